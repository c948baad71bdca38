"""What a person writes about windows, doors, and what trims them outside."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field, model_validator

from pikepole_model.scene.quantity import Measure, refuse
from pikepole_model.scene.types import (
    Length,
    LumberName,
    LumberNameOrNone,
    MembraneNameOrNone,
    PaneName,
    Section,
    SheetName,
    TapeNameOrNone,
    VentMeshName,
    WindowName,
)


class Sealed(Section):
    """What keeps water out of the wall round a window or a door."""

    # On the rough sill or the floor, up at the jambs and down over the wrap.
    membrane: MembraneNameOrNone = "flashing membrane 9 in"
    tape: TapeNameOrNone = "flashing tape 4 in"  # at the jambs and over the head


class UnitWindow(Sealed):
    """A bought window; [opening.window] of kind "unit"."""

    kind: Literal["unit"]
    mass_kg: Annotated[float, Field(ge=0.5, le=500)] | None = None  # or glazing
    glazing: WindowName | None = None
    thickness: Annotated[float, Measure("length", 20.0, 200.0)] = 82.55  # over its frame
    clearance: Annotated[float, Measure("length", 3.0, 50.0)] = 6.35  # all round

    @model_validator(mode="after")
    def _weighed_once(self) -> UnitWindow:
        if self.mass_kg is None and self.glazing is None:
            refuse("has no mass", 'give mass_kg, or glazing = "double glazed"')
        if self.mass_kg is not None and self.glazing is not None:
            refuse("is weighed twice", "take out mass_kg or glazing")
        return self


class FixedLight(Sealed):
    """A pane between stops in a site-made frame; [opening.window] of kind "fixed light"."""

    kind: Literal["fixed light"]
    pane: PaneName = "6 mm polycarbonate"
    clearance: Annotated[float, Measure("length", 1.0, 10.0)] = 3.175  # of the pane, all round
    frame: LumberName | None = None  # lines the rough opening, ripped to the wall's depth
    stop: LumberName = "1x2"  # before and behind the pane


class Vent(Sealed):
    """Sloping slats in a site-made frame; [opening.window] of kind "vent"."""

    kind: Literal["vent"]
    frame: LumberName | None = None  # lines the rough opening, ripped to the wall's depth
    slat: LumberName = "1x4"  # at 45 degrees, down and out
    mesh: VentMeshName | None = None  # behind them, on the frame's edges


Window: TypeAlias = Annotated[UnitWindow | FixedLight | Vent, Field(discriminator="kind")]


class Track(Section):
    """What a door slides on, in place of hinges; [opening.door.track]."""

    to: Literal["left", "right"] = "right"  # of one leaf, seen from outside
    lap: Annotated[float, Measure("length", 12.0, 300.0)] = 50.8  # leaf past the rough opening
    board: LumberName = "2x6"  # on the wall's face, behind the track


class DoorBase(Sealed):
    """What every door has."""

    frame: LumberName | None = None  # lines the rough opening, ripped to the wall's depth
    stop: LumberName = "1x2"  # behind the leaf
    threshold: LumberNameOrNone = "1x8"  # between the jambs, sloping outward; treated
    leaves: Annotated[int, Field(ge=1, le=2)] = 1
    hinges: Literal["left", "right"] = "left"  # of one leaf, seen from outside
    track: Track | None = None  # swings without

    @property
    def cut_mm(self) -> float | None:
        """Height over the floor at which it is cut across, mm; None where it is not."""
        return None


class SteelDoor(DoorBase):
    """Steel leaves, bought; [opening.door] of kind "steel"."""

    kind: Literal["steel"]
    mass_kg: Annotated[float, Field(ge=5, le=500)]  # of each leaf
    thickness: Annotated[float, Measure("length", 20.0, 200.0)] = 44.45


class MadeDoor(DoorBase):
    """What every door has whose leaf is made on site."""

    sheet: SheetName = "1/2 plywood"  # outside of the leaf
    dutch: Length | None = None  # height over the floor at which one leaf is cut into two

    @property
    def cut_mm(self) -> float | None:
        """Height over the floor at which it is cut across, mm; only a single leaf on hinges is."""
        return None if self.track or self.leaves > 1 else self.dutch


class LedgedDoor(MadeDoor):
    """A sheet or boards on three ledges; [opening.door] of kind "ledged"."""

    kind: Literal["ledged"]
    boards: LumberName | None = None  # in place of the sheet, upright
    ledge: LumberName = "1x6"
    brace: bool = True  # up from the hinges, between the ledges


class FramedDoor(MadeDoor):
    """A sheet on stiles and rails; [opening.door] of kind "framed"."""

    kind: Literal["framed"]
    stile: LumberName = "1x4"  # and rails


Door: TypeAlias = Annotated[LedgedDoor | FramedDoor | SteelDoor, Field(discriminator="kind")]


BETWEEN = "1x8"


class Trim(Section):
    """Casing boards round an opening, outside on the cladding; [opening.trim]."""

    board: LumberName = "1x4"
    # Ripped to cover what stands between two of a row; None: BETWEEN, where casings would meet.
    between: LumberName | None = None

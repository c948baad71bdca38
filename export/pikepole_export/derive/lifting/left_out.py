"""Stages in which nothing is lifted, as the plan sees it, and why.

left_out(building) -> tuple[LeftOut, ...]     in order of building
why_text(why, units) -> "every piece is under 6.6 lb (ISO 11228-1)"
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from pikepole_export.derive.lifting.items import LEAST_KG, items
from pikepole_model.building.kind_rows import Handled
from pikepole_model.building.part import Building, Part
from pikepole_model.units import Units, format_mass

MM2_PER_M2 = 1e6


class Reason(StrEnum):
    """Why nothing in a stage is lifted."""

    ROLLED = "comes off a roll"
    EXISTING = "stands already"
    MADE_IN_PLACE = "is made in its place"
    LIGHT = "is light"
    LIGHT_OR_ROLLED = "is light or comes off a roll"
    LIGHT_OR_MADE = "is light or made in its place"


@dataclass(frozen=True, slots=True)
class FullRoll:
    """A roll as it is carried to where it is unrolled.

    Attributes:
        name: In the catalogue.
        mass_kg: Of all that is on it, before any is cut off, kg.
    """

    name: str
    mass_kg: float


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A stage without a lift.

    Attributes:
        stage: Its number.
        name: Its name.
        why: What becomes of all that is in it.
        rolls: What it comes off, which is lifted all the same.
    """

    stage: int
    name: str
    why: Reason
    rolls: tuple[FullRoll, ...]


def why_text(why: Reason, units: Units) -> str:
    """Why nothing is lifted, said of all pieces of a stage."""
    light = f"every piece is under {format_mass(LEAST_KG, units)} (ISO 11228-1)"
    match why:
        case Reason.LIGHT:
            return light
        case Reason.LIGHT_OR_ROLLED:
            return f"{light} or {Reason.ROLLED}"
        case Reason.LIGHT_OR_MADE:
            return f"{light} or made in its place"
        case Reason.ROLLED | Reason.EXISTING | Reason.MADE_IN_PLACE:
            return f"all of it {why.value}"


def left_out(building: Building) -> tuple[LeftOut, ...]:
    """Every stage that has no item to raise."""
    planned = {item.stage for item in items(building)}
    return tuple(
        LeftOut(stage.number, stage.name, _why(stage.parts), _rolls(building, stage.parts))
        for stage in building.stages
        if stage.number not in planned
    )


def _why(parts: Sequence[Part]) -> Reason:
    handled = {part.kind.row.handled for part in parts}
    if handled <= {Handled.ROLL}:
        return Reason.ROLLED
    if handled <= {Handled.THERE}:
        return Reason.EXISTING
    if handled <= {Handled.IN_PLACE}:
        return Reason.MADE_IN_PLACE
    if Handled.IN_PLACE in handled:
        return Reason.LIGHT_OR_MADE
    return Reason.LIGHT_OR_ROLLED if Handled.ROLL in handled else Reason.LIGHT


def _rolls(building: Building, parts: Sequence[Part]) -> tuple[FullRoll, ...]:
    known = building.scene.catalogue.rolls
    names = dict.fromkeys(part.stock for part in parts if part.stock in known)
    rows = [known[name] for name in names]
    return tuple(
        FullRoll(row.name, row.mass_kg_m2 * row.width_mm * row.length_mm / MM2_PER_M2)
        for row in rows
    )

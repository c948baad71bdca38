"""What a person writes about the outside: the roof's edges and covering, wrap and cladding."""

from __future__ import annotations

from typing import Annotated, Any, Literal, TypeAlias

from pydantic import Field, model_validator

from pikepole_model.scene.quantity import Measure, Metric, refuse
from pikepole_model.scene.types import (
    ChosenLumberName,
    FlatNameOrNone,
    Gap,
    Kerf,
    Length,
    LumberName,
    LumberNameOrNone,
    Offset,
    Overhang,
    PanelNameOrNone,
    Section,
    SheetName,
    SheetNameOrNone,
    UnderlaymentNameOrNone,
    Wall,
    WrapName,
)

Planed: TypeAlias = Annotated[float, Measure("length", 10.0, 100.0)]
Reveal: TypeAlias = Annotated[float, Measure("length", 0.0, 50.0)]


class Edges(Section):
    """The boards and the bent metal along the roof's edges; [edges]."""

    fascia: ChosenLumberName = None  # across the rafters' ends; see Scene.fascia
    barge: ChosenLumberName = None  # up the outside of the fly rafters; see Scene.barge
    soffit: SheetNameOrNone = None  # under the tails
    metal: FlatNameOrNone = "flat steel 29 ga"  # drip edge, rake trim, ridge or peak cap


class Roofing(Section):
    """What lies on the roof sheets; [roofing]."""

    underlayment: UnderlaymentNameOrNone = "No. 30 felt"
    panel: PanelNameOrNone = "ribbed steel 9 in 29 ga"
    start: Literal["left", "right"] = "left"  # the end of the roof where the first panel is set
    overhang: Overhang = 38.1  # of the panels past the drip edge, along the slope
    sealed: bool = False  # sealant in the panels' side laps
    closures: bool = True  # strips of foam under and over the panels' ribs at their ends


class Wrap(Section):
    """House wrap on all four walls; [wrap]."""

    roll: WrapName = "house wrap 9 ft"


# Siding, sheathing and wall framing outside keep 6 in of clearance from the ground at least.
# Source: IRC R317.1, item 5 (from memory).
LEAST_OVER_GROUND_MM, METRIC_OVER_GROUND_MM = 152.4, 155.0

# Least height of untreated floors over the ground under them: 18 in. Source: IRC R317.1, item 1.
FLOOR_OVER_GROUND_MM = 457.2


class Facing(Section):
    """What every kind of cladding says: where it goes, and what closes its corners."""

    walls: Annotated[tuple[Wall, ...], Field(strict=False)] = (
        "front",
        "back",
        "left",
        "right",
    )
    from_left: Offset = 0.0  # left corner of the wall, seen from outside, to its start
    width: Length | None = None  # along the wall; to its right corner where left out
    above: Offset | None = None  # only above this height over the floor
    below: Offset | None = None  # only below this height over the floor
    # Lower edge at least this far over finished ground.
    above_ground: Annotated[
        float,
        Measure("length", LEAST_OVER_GROUND_MM, 100_000.0),
        Metric(METRIC_OVER_GROUND_MM),
    ] = LEAST_OVER_GROUND_MM
    corner: LumberNameOrNone = "1x4"  # two boards at each corner of the building

    @model_validator(mode="after")
    def _each_wall_once(self) -> Facing:
        if not self.walls:
            refuse("names no wall", 'give walls, such as ["front", "left"], or leave it out')
        if len(set(self.walls)) < len(self.walls):
            refuse("names a wall twice", "name each wall once")
        if self.above is not None and self.below is not None and self.above >= self.below:
            refuse("is above its own below", "give above less than below")
        return self


class Battens(Facing):
    """Upright boards, or strips of sheets, and battens; [[cladding]] of kind "battens"."""

    kind: Literal["battens"]
    board: LumberName = "1x10"
    sheet: SheetName | None = None  # ripped into strips, in place of boards
    strips: Annotated[int, Field(ge=1, le=12)] = 3  # to a sheet
    kerf: Kerf | None = None  # between two strips, of batten_sheet too; else cutting.kerf
    gap: Gap = 12.7  # between boards, for their swelling: common practice, no source
    batten: LumberName = "1x3"
    batten_sheet: SheetName | None = None  # ripped into battens, in place of a section
    batten_strips: Annotated[int, Field(ge=1, le=40)] = 16  # to a sheet
    start: Literal["left", "right", "centre"] = "left"  # where a whole board stands

    @model_validator(mode="before")
    @classmethod
    def _boards_or_strips(cls, data: Any) -> Any:
        for board, sheet in (("board", "sheet"), ("batten", "batten_sheet")):
            if isinstance(data, dict) and board in data and sheet in data:
                refuse(f"gives both {board} and {sheet}", "leave one of them out")
        return data


class Boards(Facing):
    """Level boards; [[cladding]] of kind "boards"."""

    kind: Literal["boards"]
    board: LumberName = "1x8"
    planed: Planed | None = None  # thickness that a rough board is planed to
    profile: Literal["shiplap", "square"] = "shiplap"
    lap: Gap = 9.525  # of the rabbets of shiplap: 3/8 in, common practice, no source
    reveal: Reveal = 3.175  # left open between the faces of two courses


Cladding: TypeAlias = Annotated[Battens | Boards, Field(discriminator="kind")]

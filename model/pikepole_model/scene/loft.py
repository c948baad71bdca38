"""What a person wrote about a loft: its floor, the opening in it and the ladder there."""

from __future__ import annotations

from typing import Annotated, Literal

from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.types import (
    Eave,
    Height,
    Length,
    LumberName,
    LumberNameOrNone,
    Offset,
    Section,
    SheetEdge,
    SheetName,
    Side,
    Spacing,
)
from pikepole_model.units import parse_load, parse_slope


class Ladder(Section):
    """Rails and treads made on site, up through the opening; [loft.opening.ladder]."""

    edge: Eave = "back"  # of the opening, on whose header its head leans
    slope: Annotated[float, Measure("slope", 50.0, 80.0)] = parse_slope("4:1")
    width: Annotated[float, Measure("length", 292.1, 1_000.0)] = 406.4  # between the rails
    rise: Annotated[float, Measure("length", 203.2, 355.6)] = 304.8  # from tread to tread at most
    rail: LumberName = "2x4"
    tread: LumberName = "2x4"  # laid flat
    cleat: LumberName = "1x2"  # on edge, under both ends of a tread
    grab: LumberNameOrNone = "2x4"  # upright at both sides of its head, up over the loft's floor


class LoftOpening(Section):
    """Where its ladder comes up; [loft.opening]."""

    x: Offset  # left edge from the left end of the store
    y: Offset  # front edge from the front of the store
    width: Length  # along x
    depth: Length  # along y
    ladder: Ladder | None = None


class Loft(Section):
    """A floor up under the roof, over all of the store or from one end of it; [loft]."""

    height: Height | None = None  # top of floor to its joists' underside; None: on the plates
    end: Literal["left", "right"] = "left"  # where one that covers a part begins
    reach: Side | None = None  # from that end's outer face; None: over all of the length
    joist: LumberName = "2x6"
    spacing: Spacing | None = None  # on ledgers, 16 in; on the plates they lie beside the rafters
    ledger: LumberName = "2x4"  # on the studs of walls that are higher than the joists
    sheet: SheetName = "23/32 plywood"
    edge: SheetEdge = "tongue-and-groove"  # of the sheets, along them
    edge_blocks: bool = True  # under square ones
    live_load: Annotated[float, Measure("load", 0.1, 20.0)] = parse_load("20 psf")
    opening: LoftOpening | None = None

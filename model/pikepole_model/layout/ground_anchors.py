"""Ground anchors: what holds a building on skids or girders down, where no concrete does.

|  |_______|
|  ||      |  <- skid
|  ||      |
|__||______|__   ground
   |
   |           <- a flat bar down its outer face into firm soil, screwed to it
"""

from __future__ import annotations

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, block, bulk
from pikepole_model.building.sequence import IN_PLACE
from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.spacing import evenly
from pikepole_model.layout.room import Room
from pikepole_model.plan.datums import Datums, support_mm
from pikepole_model.scene.foundation import Piers, Skids
from pikepole_model.units import FOOT_MM, INCH_MM

# A flat bar of 2 x 1/4 in, 30 in in the ground and 4 in up the bearer, 12 in from the ends and 8 ft
# apart at most; moved by a hand's breadth at a time where something is in its way. Common practice,
# no source: what one carries is for its maker and the soil to say.
WIDE_MM, THICK_MM = 2 * INCH_MM, INCH_MM / 4
DEEP_MM, LAP_MM = 30 * INCH_MM, 4 * INCH_MM
FROM_END_MM, APART_MM = FOOT_MM, 8 * FOOT_MM
_ASIDE_MM, _TRIES = 4 * INCH_MM, 6


def anchor_in_ground(datums: Datums, room: Room) -> list[Piece]:
    """Anchors along the outer faces of the outer two skids or girders that the building stays on.

    Args:
        datums: Of the building.
        room: What is there but gravel, through which an anchor is driven.
    """
    scene, bearers = datums.scene, datums.scene.foundation
    if scene.ties.ground == "none" or not isinstance(bearers, Skids | Piers):
        return []
    fronts, low = datums.bearer_fronts_mm(bearers), support_mm(bearers)
    deep = scene.lumber_stock(bearers.bearer).breadth_mm
    first, last = FROM_END_MM, datums.length_mm - FROM_END_MM
    wishes = evenly(first, last, APART_MM) if last > first else [datums.length_mm / 2]
    bar = "2 x 1/4 in" if scene.units == "imperial" else "50 x 6 mm"
    source = bulk(scene, "steel", f"ground anchor, {bar} flat bar")
    kind, (group,) = Kind.GROUND_ANCHOR, IN_PLACE.groups
    pieces: list[Piece] = []
    for y in (fronts[0] - THICK_MM, fronts[-1] + deep):
        for wish in wishes:
            tried = (wish + _ASIDE_MM * k * way for k in range(_TRIES) for way in (1, -1))
            corners = (_corners(x, y, low) for x in tried)
            free = next((pair for pair in corners if room.is_free(*pair)), None)
            if free:
                room.take(*free)
                pieces.append(block(str(kind), kind, group, source, *free, "z"))
    return pieces


def _corners(x: float, y: float, low: float) -> tuple[Vector, Vector]:
    """Low and high corner of an anchor, mm."""
    half = WIDE_MM / 2
    return (x - half, y, -DEEP_MM), (x + half, y + THICK_MM, low + LAP_MM)

"""Ground anchors: what holds a building on skids or girders down, where no concrete does.

before the walls stand              once they stand
   _________                           | _________
  |  frame  |                sheets -> ||  frame  |
  |_________|                          ||_________|
  ||      |  <- skid                 __ ||      |
  ||      |                         ||  ||      |
__||______|____                   __||__||______|____
  |                                 | ^
  |  <- a flat bar down its outer   |  a block beside the skid, so that the bar is
  |     face, screwed to it         |  driven where a sledge swings clear of the wall
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, block, bulk, timber
from pikepole_model.building.sequence import IN_PLACE, WALLS_STAND, comes_after
from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.spacing import TOLERANCE_MM, evenly
from pikepole_model.layout.room import Room
from pikepole_model.plan.datums import Datums, support_mm
from pikepole_model.scene.foundation import Piers, Skids
from pikepole_model.stock.rows import Lumber
from pikepole_model.units import FOOT_MM, INCH_MM

# A flat bar of 2 x 1/4 in, 30 in in the ground and 4 in up the bearer, 12 in from the ends and 8 ft
# apart at most; moved by its own breadth at a time where something is in its way. Common practice,
# no source: what one carries is for its maker and the soil to say.
WIDE_MM, THICK_MM = 2 * INCH_MM, INCH_MM / 4
DEEP_MM, LAP_MM = 30 * INCH_MM, 4 * INCH_MM
FROM_END_MM, APART_MM = FOOT_MM, 8 * FOOT_MM
_ASIDE_MM, _TRIES = WIDE_MM, 12

# Beside a wall a bar stands so far out from the sheets that half the head of a sledge passes them,
# and past what covers them later. Common practice, no source.
SLEDGE_MM, PAST_CLADDING_MM = 2 * INCH_MM, INCH_MM
# The block between it and the bearer: room for two columns of two lag screws, which reach through
# it with their heads let in, and above it for the edge of a flashing. Common practice, no source.
BLOCK_MM, LEAST_HIGH_MM, UNDER_TOP_MM = FOOT_MM, 3 * INCH_MM, INCH_MM / 2
MOST_OUT_MM = 5.5 * INCH_MM

Box: TypeAlias = tuple[Vector, Vector]


@dataclass(frozen=True, slots=True)
class Beside:
    """A block beside a bearer: what it is cut from, how far it stands out, how high it is, mm."""

    stock: Lumber
    out_mm: float
    high_mm: float


def anchor_in_ground(datums: Datums, cladding_mm: float, room: Room) -> list[Piece]:
    """Anchors along the outer faces of the outer two skids or girders that the building stays on.

    Args:
        datums: Of the building.
        cladding_mm: How far cladding stands out from the sheets.
        room: What is there but gravel, through which an anchor is driven.
    """
    scene, bearers = datums.scene, datums.scene.foundation
    if scene.ties.ground == "none" or not isinstance(bearers, Skids | Piers):
        return []
    fronts, broad = datums.bearer_fronts_mm(bearers), scene.lumber_stock(bearers.bearer).breadth_mm
    first, last = FROM_END_MM, datums.length_mm - FROM_END_MM
    wishes = evenly(first, last, APART_MM) if last > first else [datums.length_mm / 2]
    bar = "2 x 1/4 in" if scene.units == "imperial" else "50 x 6 mm"
    steel = bulk(scene, "steel", f"ground anchor, {bar} flat bar")
    (group,) = IN_PLACE.groups
    pieces: list[Piece] = []
    for face, out in ((fronts[0], -1), (fronts[-1] + broad, 1)):
        beside = _beside(datums, bearers, out, cladding_mm)
        for wish in wishes:
            tried = (wish + _ASIDE_MM * k * way for k in range(_TRIES) for way in (1, -1))
            wanted = (_boxes(datums, bearers, (x, face), out, beside) for x in tried)
            free = next((some for some in wanted if _has_room(datums, room, some)), ())
            for k, corners in enumerate(free):
                room.take(*corners)
                kind, source, along = Kind.GROUND_ANCHOR, steel, "z"
                if k and beside:
                    kind, along = Kind.ANCHOR_BLOCK, "x"
                    source = timber(scene, beside.stock.name, treated=True)
                pieces.append(block(str(kind), kind, group, source, *corners, along))
    return pieces


def _beside(datums: Datums, bearers: Skids | Piers, out: int, cladding_mm: float) -> Beside | None:
    """What a block beside a bearer is cut from: the least that brings the bar far enough out.

    None before walls stand, and where the bearer stands too far under them for one block.
    """
    scene = datums.scene
    if not comes_after(scene, IN_PLACE.groups[0], WALLS_STAND):
        return None
    sheets = datums.cover_mm("front" if out < 0 else "back")
    past = max(SLEDGE_MM - THICK_MM / 2, cladding_mm + PAST_CLADDING_MM)
    least = bearers.inset + sheets + past - TOLERANCE_MM
    most = scene.lumber_stock(bearers.bearer).depth_mm - UNDER_TOP_MM
    fits = (
        Beside(stock, *sides)
        for stock in scene.catalogue.lumber.values()
        for sides in ((stock.breadth_mm, stock.depth_mm), (stock.depth_mm, stock.breadth_mm))
        if least <= sides[0] <= MOST_OUT_MM and LEAST_HIGH_MM <= sides[1] <= most
    )
    return min(fits, key=lambda one: one.out_mm * one.high_mm, default=None)


def _boxes(
    datums: Datums,
    bearers: Skids | Piers,
    at: tuple[float, float],
    out: int,
    beside: Beside | None,
) -> tuple[Box, ...]:
    """The bar, and the block where there is one.

    Args:
        datums: Of the building.
        bearers: The skids or girders.
        at: X of the bar's middle and Y of the bearer's outer face, mm.
        out: -1 where that looks to the front, 1 to the back.
        beside: The block.
    """
    low, deep = support_mm(bearers), datums.scene.lumber_stock(bearers.bearer).depth_mm
    if beside is None:
        return (_box(at, out, WIDE_MM, (0.0, THICK_MM), (-DEEP_MM, low + LAP_MM)),)
    thick, foot = beside.out_mm, low + (deep - beside.high_mm) / 2
    head = foot + min(LAP_MM, beside.high_mm)
    return (
        _box(at, out, WIDE_MM, (thick, thick + THICK_MM), (-DEEP_MM, head)),
        _box(at, out, BLOCK_MM, (0.0, thick), (foot, foot + beside.high_mm)),
    )


def _has_room(datums: Datums, room: Room, boxes: tuple[Box, ...]) -> bool:
    return all(
        low[0] >= 0.0 and high[0] <= datums.length_mm and room.is_free(low, high)
        for low, high in boxes
    )


def _box(
    at: tuple[float, float],
    out: int,
    wide: float,
    past: tuple[float, float],
    z: tuple[float, float],
) -> Box:
    """Corners of what stands out from a bearer's face by so much, mm."""
    x, face = at
    y0, y1 = sorted(face + out * one for one in past)
    return (x - wide / 2, y0, z[0]), (x + wide / 2, y1, z[1])

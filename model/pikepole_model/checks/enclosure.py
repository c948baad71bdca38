"""Whether a store that is closed all round is closed from the plates of its walls up to the roof.

Seen square to a wall, in planes through its thickness, what lies over its plates:

    =====================================   roof sheets
       |##|      |##|      |##|
       |##|======|##|  ?   |##|             rafters or lookouts, and what closes between them
    =====================================   top plate

It is open where a way leads on from each of these planes into the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TypeAlias

import shapely
from shapely import LineString, MultiPoint
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.section import sections
from pikepole_model.errors import Finding, and_more
from pikepole_model.geometry.spacing import LEAST_STICK_MM, TOLERANCE_MM
from pikepole_model.scene.types import AnyWall
from pikepole_model.units import format_length

# What is open wider than 1/4 in is screened (IRC R806.1). That bees and mice come in there is
# common practice, no source.
WIDEST_MM = 6.35

# How many planes a wall is looked at in: every block of 1-1/2 in on 3-1/2 in plates lies in two.
_PLANES = 6

# Roof sheets are carried on so far in their plane: over a ridge board, and their gaps, mm.
_PAST_MM = 40.0

# Higher than any roof is over its plates, mm.
_UP_MM = 10_000.0

# Cuts through pieces that share an edge differ there by less, mm.
_GRID_MM = 1e-6

# A place in one plane through which a way leads, and what of the wall's length that may take.
_Open: TypeAlias = tuple[BaseGeometry, BaseGeometry]

_WALLS: tuple[AnyWall, ...] = ("front", "back", "left", "right", "clerestory")
_CLOSES = of(
    Family.WALL_FRAME,
    Family.ROOF_FRAME,
    Family.LOFT_FRAME,
    Family.BEAMS,
    Family.LEDGERS,
) | {Kind.WALL_SHEET}


def enclosure_findings(building: Building) -> Iterator[Finding]:
    """Walls of an enclosed store over whose plates more stays open than may."""
    scene = building.scene
    lids = [part for part in building.parts if part.kind == Kind.ROOF_SHEET]
    if not lids or not all(map(scene.is_closed, _WALLS)):
        return
    for wall in _WALLS:
        plates = [
            part
            for part in building.parts
            if part.kind == Kind.TOP_PLATE and part.group == f"{wall} wall"
        ]
        if not plates or (wall not in ("left", "right") and scene.roof.eave == "open"):
            continue
        axis = 0 if wall in ("left", "right") else 1
        # What no stick is cut for is stopped with sealant. Common practice, no source.
        every = [part.length for part in shapely.get_parts(_open(building, plates, axis))]
        lengths = [length for length in every if length >= LEAST_STICK_MM]
        if not lengths:
            continue
        wide, most = (format_length(length, scene.units) for length in (max(lengths), WIDEST_MM))
        names = tuple(part.name for part in plates)
        text = (
            f"the {wall} wall stays open between {and_more(names)} and the roof sheets, up to "
            f"{wide} along it, and what is wider than {most} is screened (IRC R806.1)"
        )
        yield Finding("other", text, names)


def _open(building: Building, plates: Sequence[Part], axis: int) -> BaseGeometry:
    """Where along a wall a way leads through it over its plates: lengths on a line, mm.

    Args:
        building: The building.
        plates: The wall's top plates.
        axis: 0 where the wall faces along X, 1 where it faces along Y.
    """
    low = min(part.bounds_mm[0][axis] for part in plates)
    high = max(part.bounds_mm[1][axis] for part in plates)
    foot = min(part.bounds_mm[0][2] for part in plates)
    there = [
        part
        for part in building.parts
        if part.bounds_mm[1][2] > foot
        and part.bounds_mm[0][axis] < high
        and part.bounds_mm[1][axis] > low
    ]
    lids = [part for part in there if part.kind == Kind.ROOF_SHEET]
    closes = [part for part in there if part.kind in _CLOSES]
    # The sheets of both slopes lie on a ridge board's edges.
    ridges = [part for part in there if part.kind == Kind.RIDGE_BOARD]
    # A screen is nailed to a face of a block, maybe the outer one: it closes what that leaves open.
    screens = [
        MultiPoint(part.vertices_mm[:, [1 - axis, 2]]).convex_hull
        for part in building.parts
        if part.kind.family == Family.SCREENS
        and part.bounds_mm[0][axis] < high + TOLERANCE_MM
        and part.bounds_mm[1][axis] > low - TOLERANCE_MM
    ]
    step = (high - low) / _PLANES
    # What is open along a slope comes so much lower, or higher, from one plane to the next.
    slopes = [abs(part.placement.n[axis] / part.placement.n[2]) for part in lids]
    lower = step * max(slopes, default=0.0) + TOLERANCE_MM
    reached: list[_Open] | None = None
    for number in range(_PLANES):
        place = low + step * (number + 0.5)
        room = _up(sections(plates, axis, place))
        roof = _up(lid for part in lids for lid in _lid(part, axis, place))
        over_ridge = _up(sections(ridges, axis, place))
        closed = _union([*sections(closes, axis, place), *screens, over_ridge])
        reached = list(_led_on(room.difference(roof).difference(closed), reached, lower))
        if not reached:
            break
    return shapely.union_all([length for _, length in reached or ()])


def _led_on(left: BaseGeometry, reached: list[_Open] | None, lower: float) -> Iterator[_Open]:
    """What is open in a plane and led into from what was reached in the one before, if any was."""
    half = WIDEST_MM / 2
    for area in shapely.get_parts(left.buffer(-half)):
        if not area.area:
            continue
        a, _, b, _ = area.bounds
        length = LineString([(a - half, 0.0), (b + half, 0.0)])
        if reached is not None:
            lengths = [one for before, one in reached if before.distance(area) <= lower]
            length = shapely.intersection(shapely.union_all(lengths), length)
        if length.length:
            yield area, length


def _up(areas: Iterable[BaseGeometry]) -> BaseGeometry:
    """All that lies in some areas and over them."""
    return _union(area.union(translate(area, yoff=_UP_MM)).convex_hull for area in areas)


def _union(areas: Iterable[BaseGeometry]) -> BaseGeometry:
    """All of some areas. Without a grid the union of pieces that share an edge may lose one."""
    return shapely.union_all([*areas], grid_size=_GRID_MM)


def _lid(part: Part, axis: int, place: float) -> Iterator[BaseGeometry]:
    """A roof sheet in a plane, carried on past its edges."""
    for area in sections([part], axis, place):
        for edge in (part.placement.u, part.placement.v):
            along, up = edge[1 - axis] * _PAST_MM, edge[2] * _PAST_MM
            yield translate(area, along, up).union(translate(area, -along, -up)).convex_hull

r"""Let-in braces: boards let flush into studs and plates at a slant, which hold a wall square.

Seen from outside, from the bottom plate up to the lower of the top plates:

    =======================
    |\| | | | | | | | | |/|
    | |\| | | | | | | |/| |   45 to 60 degrees from the level (IRC Table R602.10.4, method LIB)
    | | |\| | | | | |/| | |
    =======================
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.outline import NO_AREA_MM2, ring
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap
from pikepole_model.plan.framed import within
from pikepole_model.plan.wall import WallPlan
from pikepole_model.scene.walls import BracedWall, SlattedWall
from pikepole_model.stock.rows import Lumber

# The flattest first: it holds best. Source: IRC Table R602.10.4, method LIB, 45 to 60 degrees.
SLOPES_DEG = (45.0, 50.0, 55.0, 60.0)

# Its head ends this far under the upper plate, which so lies flat on the lower one: 1/4 in, common
# practice, no source.
SHORT_MM = 6.35


@dataclass(frozen=True, slots=True)
class Brace:
    """One brace.

    Attributes:
        stock: What it is cut from.
        outline: What it covers in the wall's (u, v), mm.
        beyond: The same, carried on past the plates: what the saw takes out of them.
        rad: Direction of its length, from u towards v.
    """

    stock: Lumber
    outline: Polygon
    beyond: Polygon
    rad: float


def brace_stock(plan: WallPlan) -> Lumber | None:
    """What a wall's braces are cut from: None for sheets, and where it is open over half height."""
    kind = plan.kind
    if plan.open_part or not isinstance(kind, BracedWall | SlattedWall) or kind.brace is None:
        return None
    return plan.datums.scene.lumber_stock(kind.brace)


def let_in_braces(plan: WallPlan) -> tuple[Brace, ...]:
    """The braces of a wall: one from each end, or one where there is no room for two.

    Each is as near to its end as the openings let it be, and both slope alike. No stud is let into
    twice: two notches leave less of it than one. Common practice, no source.
    """
    stock = brace_stock(plan)
    if stock is None:
        return ()
    under, blocked = _under(plan), shapely.union_all([box(*rect) for rect in _blocked(plan)])
    if under is None:
        return ()
    alone: list[Brace] = []
    for slope in SLOPES_DEG:
        rad = math.radians(slope)
        from_ends = [_first(plan, stock, rad, way, under, blocked) for way in (1, -1)]
        found = [brace for brace in from_ends if brace]
        if len(found) == 2 and not overlap(*(_from_to(one) for one in found)):
            return tuple(found)
        alone += found
    return tuple(alone[:1])


def _first(
    plan: WallPlan, stock: Lumber, rad: float, way: int, under: Area, blocked: BaseGeometry
) -> Brace | None:
    """The brace nearest to the left end (way 1) or the right end (way -1) that meets nothing."""
    start, end = plan.framed
    near = 0 if way > 0 else 1
    faces = {one.u[near] for one in plan.uprights if within(one.u, plan.framed)}
    # As far along the wall as it reaches at least, where the wall is lowest.
    run = way * min(v for _, v in under.exterior.coords if v > 0.0) / math.tan(rad)
    for u in sorted(faces, reverse=way < 0):
        if not start - TOLERANCE_MM <= u + run <= end + TOLERANCE_MM:
            continue
        for brace in _at(plan, stock, rad, way, u, under):
            area = Area(brace.outline)
            left, _, right, _ = area.bounds
            if (
                left >= start - TOLERANCE_MM
                and right <= end + TOLERANCE_MM
                and shapely.intersection(area, blocked).area <= NO_AREA_MM2
                and _length_mm(brace) <= stock.longest_mm
            ):
                return brace
    return None


def _blocked(plan: WallPlan) -> Iterator[tuple[float, float, float, float]]:
    """Openings with their sills and headers, and what lies in the wall: (u0, v0, u1, v1), mm."""
    for framed in plan.openings:
        (u0, u1), (left, right) = framed.u, framed.header_u
        yield (u0, framed.sill - plan.datums.breadth_mm, u1, framed.head)
        yield (left, framed.head, right, framed.header_top)
    for pocket in plan.pockets:
        yield (pocket.u[0], pocket.seat, pocket.u[1], pocket.top)


def _under(plan: WallPlan) -> Area | None:
    """What is over the floor and under the upper plate; None where no wall is: told elsewhere."""
    far = _far(plan)
    # Level past its ends, where a brace has no room.
    line = plan.head_line(*plan.framed, SHORT_MM - plan.datums.breadth_mm)
    line = [(-far, line[0][1]), *line, (plan.length_mm + far, line[-1][1])]
    if min(v for _, v in line) <= 0.0:
        return None
    return Area([(-far, 0.0), (plan.length_mm + far, 0.0), *reversed(line)])


def _far(plan: WallPlan) -> float:
    """Farther than any brace of a wall reaches, mm."""
    return plan.length_mm + max(top for _, top in plan.top_line)


def _at(
    plan: WallPlan, stock: Lumber, rad: float, way: int, u: float, under: Area
) -> Iterator[Brace]:
    """The brace whose head is at a place along the wall, and the one whose foot is there."""
    rake, far = plan.rake_at(u), _far(plan)
    head = rake.at(u) - rake.plumb(plan.datums.breadth_mm + SHORT_MM)
    wide = way * stock.depth_mm / math.sin(rad)
    for v, rises in ((head, -1), (0.0, 1)):
        run, rise = way * far * math.cos(rad), rises * far * math.sin(rad)
        low, high = (u - run, v - rise), (u + run, v + rise)
        strip = Area([low, high, (high[0] + wide, high[1]), (low[0] + wide, low[1])])
        covered = shapely.intersection(strip, under)
        if not isinstance(covered, Area) or covered.is_empty:
            continue  # it comes out of a low eave of its wall
        yield Brace(stock, ring(covered), ring(strip), math.atan2(rise, run))


def _from_to(brace: Brace) -> tuple[float, float]:
    """From and to of what it covers along its wall, mm."""
    along = [u for u, _ in brace.outline]
    return min(along), max(along)


def _length_mm(brace: Brace) -> float:
    along = [u * math.cos(brace.rad) + v * math.sin(brace.rad) for u, v in brace.outline]
    return max(along) - min(along)

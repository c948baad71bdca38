"""Boards that stand apart on a wall, through which air gets at what is stored.

Level ones lie on the studs; upright ones on girts, which lie between the studs or over them:

    |====|====|====|        | | | | | | |
    |====|====|====|        |-|-|-|-|-|-|   a girt
    |====|====|====|        | | | | | | |
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, profile, timber
from pikepole_model.geometry.courses import (
    across,
    arms,
    columns_of,
    course_edges,
    lengths_in_courses,
)
from pikepole_model.geometry.least import SLAT, of_width
from pikepole_model.geometry.outline import cut_out, grown, ring
from pikepole_model.geometry.spacing import LEAST_STICK_MM, splice
from pikepole_model.plan.backing import backed_centres
from pikepole_model.plan.girts import GirtsOver
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_cover import cover_top
from pikepole_model.scene.walls import SlattedWall


def slat_wall(plan: WallPlan) -> list[Piece]:
    """The slats of one wall, from the bottom plate up to the plates or the top of a half wall.

    A front or back wall's run out over the ends of its neighbours' cover, and theirs over the ends
    of its girts. The last is ripped to what is left; under a rake it is sawn to the slope.
    """
    kind = plan.kind
    if not isinstance(kind, SlattedWall):
        return []
    return list(_upright(plan, kind) if kind.girts else _level(plan, kind))


def girt_wall(plan: WallPlan) -> list[Piece]:
    """The girts over the studs of one wall: those between them are framed with it."""
    kind = plan.kind
    if not isinstance(kind, SlattedWall) or kind.girts != "over":
        return []
    over = GirtsOver(plan, kind)
    return [
        profile(
            f"{plan.group} {Kind.GIRT}",
            Kind.GIRT,
            f"{plan.group} girts",
            timber(plan.datums.scene, kind.girt),
            ring(area),
            plan.place,
            over.stock.breadth_mm,
            grain_rad=rad,
        )
        for area, rad in over.lengths()
    ]


def _covered(plan: WallPlan) -> Area:
    """What the slats of a wall cover between its ends, openings not taken out, in (u, v), mm."""
    datums, line = plan.datums, cover_top(plan)
    reach = datums.cover_mm if plan.runs_through else datums.girts_mm
    left, right = (-reach(plan.beside[0]), plan.length_mm + reach(plan.beside[1]))
    (_, first), *between, (_, last) = line
    if not plan.runs_through and not plan.open_part:
        first, last = plan.rakes[0].at(left), plan.rakes[-1].at(right)
    return Area([(left, 0.0), (right, 0.0), (right, last), *reversed(between), (left, first)])


def _open(plan: WallPlan) -> list[Area]:
    holes = [box(*framed.rough) for framed in plan.openings]
    depth = plan.datums.beam_depth_mm
    return holes + [box(u0, v0, u1, v1 + depth) for u0, v0, u1, v1 in plan.through]


def _level(plan: WallPlan, kind: SlattedWall) -> Iterator[Piece]:
    board, area = plan.datums.scene.lumber_stock(kind.board), _covered(plan)
    courses = course_edges(0.0, area.bounds[3] - LEAST_STICK_MM, board.depth_mm + kind.gap)
    for _, slat in lengths_in_courses(
        area, courses, board.depth_mm, _open(plan), board.longest_mm, backed_centres(plan)
    ):
        yield _slat(plan, kind, Kind.WALL_SLAT, slat)


def _upright(plan: WallPlan, kind: SlattedWall) -> Iterator[Piece]:
    """Columns from the left corner, their lengths meeting on girts."""
    board, area = plan.datums.scene.lumber_stock(kind.board), _covered(plan)
    left, _, right, top = area.bounds
    rows = GirtsOver(plan, kind).levels
    least, open_ = of_width(SLAT, board.depth_mm).width, [across(hole) for hole in _open(plan)]

    def how_bad(columns: Sequence[tuple[float, float]]) -> float:
        return arms(columns, open_, least)

    for u0, u1 in columns_of(left, right, board.depth_mm, kind.gap, "left", least, how_bad):
        for v0, v1 in splice(0.0, top, board.longest_mm, rows):
            column = shapely.intersection(area, box(u0, v0, u1, v1))
            holes = [grown(hole, column.bounds) for hole in _open(plan) if hole.intersects(column)]
            for outline, inner in cut_out(column, holes):
                left_over = Area(outline, [loop for loop in inner if isinstance(loop, tuple)])
                yield _slat(plan, kind, Kind.UPRIGHT_SLAT, left_over)


def _slat(plan: WallPlan, kind: SlattedWall, what: Kind, area: BaseGeometry) -> Piece:
    datums = plan.datums
    return profile(
        f"{plan.group} slat",
        what,
        f"{plan.group} slats",
        timber(datums.scene, kind.board),
        ring(area),
        plan.place.at_depth(datums.girts_mm(plan.name)),
        datums.scene.lumber_stock(kind.board).breadth_mm,
        grain_rad=math.pi / 2 if what is Kind.UPRIGHT_SLAT else 0.0,
        holes=[ring(Area(hole)) for hole in shapely.get_parts(area)[0].interiors],
    )

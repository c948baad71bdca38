"""Level boards that stand apart on a wall's studs, through which air gets at what is stored."""

from __future__ import annotations

from shapely import Polygon as Area
from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, profile, timber
from pikepole_model.geometry.courses import course_edges, lengths_in_courses
from pikepole_model.geometry.outline import ring
from pikepole_model.geometry.spacing import LEAST_STICK_MM
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_cover import cover_top
from pikepole_model.scene.walls import SlattedWall


def slat_wall(plan: WallPlan) -> list[Piece]:
    """The slats of one wall, from the bottom plate up to the plates or the top of a half wall.

    A front or back wall's run out over the ends of its neighbours' cover. The uppermost is ripped
    to what is left; under a rake its upper edge is sawn to the slope.
    """
    kind, datums = plan.kind, plan.datums
    if not isinstance(kind, SlattedWall):
        return []
    board, line = datums.scene.lumber_stock(kind.board), cover_top(plan)
    left, right = (datums.cover_mm(wall) if plan.runs_through else 0.0 for wall in plan.beside)
    (_, first), *_, (_, last) = line
    ends = (-left, plan.length_mm + right)
    top = [(ends[0], first), *line[1:-1], (ends[1], last)] if plan.runs_through else line
    area = Area([(ends[0], 0.0), (ends[1], 0.0), *reversed(top)])
    high = max(v for _, v in top) - LEAST_STICK_MM
    open_ = [box(f.u[0], f.sill, f.u[1], f.head) for f in plan.openings]
    open_ += [box(u0, v0, u1, v1 + datums.beam_depth_mm) for u0, v0, u1, v1 in plan.through]
    return [
        profile(
            f"{plan.group} slat",
            Kind.WALL_SLAT,
            f"{plan.group} slats",
            timber(datums.scene, kind.board),
            ring(slat),
            plan.place,
            board.breadth_mm,
        )
        for _, slat in lengths_in_courses(
            area,
            course_edges(0.0, high, board.depth_mm + kind.gap),
            board.depth_mm,
            open_,
            board.longest_mm,
            plan.backed_centres(),
        )
    ]

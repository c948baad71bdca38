"""Wall sheathing: upright sheets, joints on studs, and blocks behind a level joint."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from shapely import Polygon as Area
from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, profile, sheeting, timber
from pikepole_model.geometry.outline import cut_out, ring
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import LEAST_STICK_MM, SHEET_GAP_MM, TOLERANCE_MM, sheet_edges
from pikepole_model.plan.wall import WallPlan

# The sheets stop this far below the rafters' undersides where tails run out over them.
CLEAR_OF_TAILS_MM = 3.0

# Less wood than this over a level joint takes no nail: 3/4 in, common practice, no source.
LEAST_LANDING_MM = 19.05


def sheathe_wall(plan: WallPlan) -> list[Piece]:
    """The sheets of one wall, corner to corner and from the floor frame's underside to the plates.

    A wall higher than a sheet takes a second course; the level joint between them is backed by
    blocks, which are nailed in with the sheets.
    """
    return [*_blocks(plan), *_sheets(plan)]


def _group(plan: WallPlan) -> str:
    return f"{plan.group} sheathing"


def _foot(plan: WallPlan) -> float:
    """Bottom of the sheets above the floor, mm: they tie the wall to the rim under it."""
    return -plan.datums.floor_sheet_mm - plan.datums.joist_mm


def _top_line(plan: WallPlan) -> list[tuple[float, float]]:
    """Top of the sheets, (u, height above the floor), mm: the plates, or just under the tails."""
    roof, datums = plan.roof, plan.datums
    falls_over = any(slope.falls == plan.name for slope in roof.slopes)
    if not plan.runs_through or datums.beam or not falls_over:
        return list(plan.top_line)
    sheet = datums.scene.sheet_stock(datums.scene.walls.sheet).thickness_mm
    face = plan.place.point(0.0, 0.0, sheet)[1]
    tails = roof.lowest_tail_mm(face) - datums.floor_mm - CLEAR_OF_TAILS_MM
    return [(u, min(top, tails)) for u, top in plan.top_line]


def _courses(plan: WallPlan) -> list[float]:
    """Level edges of the sheets from the foot up, the last above the wall's highest point, mm."""
    length = plan.datums.scene.sheet_stock(plan.datums.scene.walls.sheet).length_mm
    edges = [_foot(plan)]
    highest = max(top for _, top in _top_line(plan))
    while edges[-1] < highest - TOLERANCE_MM:
        edges.append(edges[-1] + length)
    return edges


def _sheets(plan: WallPlan) -> Iterator[Piece]:
    scene = plan.datums.scene
    stock = scene.sheet_stock(scene.walls.sheet)
    foot, half = _foot(plan), SHEET_GAP_MM / 2
    wall = Area([(0.0, foot), (plan.length_mm, foot), *reversed(_top_line(plan))])
    cut_away = [
        *(box(framed.u[0], framed.sill, framed.u[1], framed.head) for framed in plan.openings),
        *_beams_through(plan),
    ]
    marks = [plan.from_layout(u) for u in plan.backed_centres()]
    laid_out = sheet_edges(0.0, plan.length_mm, stock.width_mm, marks)
    columns = sorted(plan.from_layout(mark) for mark in laid_out)
    courses = _courses(plan)
    place = plan.place
    for left, right in itertools.pairwise(columns):
        for low, high in itertools.pairwise(courses):
            sheet = box(
                left + (half if left > 0 else 0.0),
                low + (half if low > foot else 0.0),
                right - (half if right < plan.length_mm else 0.0),
                high - half,
            )
            for outline, inner in cut_out(wall.intersection(sheet), cut_away):
                if _is_scrap(plan, outline):
                    continue
                yield profile(
                    f"{plan.group} sheet",
                    Kind.WALL_SHEET,
                    _group(plan),
                    sheeting(scene, scene.walls.sheet),
                    outline,
                    place,
                    stock.thickness_mm,
                    grain_rad=math.pi / 2,
                    holes=inner,
                )


def _is_scrap(plan: WallPlan, outline: Polygon) -> bool:
    """Whether a piece lies over a beam's end and no stick of the wall: it is waste."""
    across, foot = [u for u, _ in outline], min(v for _, v in outline)
    left, right = min(across), max(across)
    ends = right <= plan.framed[0] or left >= plan.framed[1]
    return ends or any(
        one.u[0] <= left and right <= one.u[1] and foot >= one.seat for one in plan.pockets
    )


def _beams_through(plan: WallPlan) -> list[Area]:
    """What is left open for the beams that run out over a bay, up to the rafters, mm."""
    return [box(u0, v0, u1, v1 + plan.datums.beam_depth_mm) for u0, v0, u1, v1 in plan.through]


def _blocks(plan: WallPlan) -> Iterator[Piece]:
    """Flat blocks between the uprights behind each level joint, flush with the outer face.

    Where the plates come down to the joint, a block is cut to their slope.
    """
    datums = plan.datums
    half = datums.wall_mm / 2
    back = plan.place.at_depth(-datums.breadth_mm)
    for joint in _courses(plan)[1:-1]:
        solid = [
            framed.header_u
            for framed in plan.openings
            if _meets(framed.head, framed.header_top, joint, half)
        ]
        open_ = [
            framed.u for framed in plan.openings if _meets(framed.sill, framed.head, joint, half)
        ]
        standing = sorted(
            upright.u
            for upright in plan.uprights
            if _meets(upright.v[0], math.inf if upright.v[1] is None else upright.v[1], joint, half)
            and upright.n[1] == 0.0
        )
        solid += [p.u for p in plan.pockets if _meets(p.seat, p.top, joint, half)]
        filled = sorted([*standing, *solid, *open_])
        reach = filled[0][1] if filled else 0.0
        for u0, u1 in filled[1:]:
            heads = (plan.stud_head(reach), plan.stud_head(u0))
            if u0 - reach >= LEAST_STICK_MM and max(heads) >= joint + LEAST_LANDING_MM:
                under = Area([(reach, 0.0), (u0, 0.0), (u0, heads[1]), (reach, heads[0])])
                under = under.intersection(_blunt(plan, reach, u0, joint - half + LEAST_STICK_MM))
                yield profile(
                    f"{plan.group} sheet-edge block",
                    Kind.WALL_BLOCK,
                    _group(plan),
                    timber(datums.scene, datums.scene.walls.stud),
                    ring(under.intersection(box(reach, joint - half, u0, joint + half))),
                    back,
                    datums.breadth_mm,
                )
            reach = max(reach, u1)


def _blunt(plan: WallPlan, u0: float, u1: float, least: float) -> Area:
    """The stretch between two uprights where the plates are higher than a block's blunt end."""
    heads = (plan.stud_head(u0), plan.stud_head(u1))
    if min(heads) >= least:
        return box(u0, 0.0, u1, max(heads))
    cut = u0 + (u1 - u0) * (least - heads[0]) / (heads[1] - heads[0])
    return box(cut, 0.0, u1, heads[1]) if heads[1] > heads[0] else box(u0, 0.0, cut, heads[0])


def _meets(low: float, high: float, joint: float, half: float) -> bool:
    return low < joint + half and high > joint - half

"""Level boards: shiplap, or square-edged boards with an open joint, from the foot up."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterator, Sequence

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, let_in, profile, timber
from pikepole_model.geometry.courses import (
    TRIED_MM,
    arms,
    course_edges,
    edges_within,
    lengths_in_courses,
    too_narrow,
    up,
)
from pikepole_model.geometry.least import BOARD, of_width
from pikepole_model.geometry.outline import NO_AREA_MM2, past_edges, ring
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.backing import backed_centres
from pikepole_model.plan.cladding import CladdingPlan, Patch
from pikepole_model.plan.corners import BEHIND_MM, milled
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.wall_legs import dam_slots
from pikepole_model.scene.envelope import Boards
from pikepole_model.stock.rows import Lumber

# No end is left thinner than this: a feather edge breaks off, mm.
FEATHER_MM = 2.0

# A board narrower than 3 in, or than half of narrow stock, looks like a lath at a wall's foot or
# top, and takes one row of nails: the courses are shifted where that leaves wider ones. Common
# practice, no source.
LATH_MM = 76.2

# A board notched over an opening keeps what is left there, for it hangs on at both ends; less than
# 1/8 in is let go. With the 1/4 in over a flashing 3/8 in stays open. Common practice, no source.
LEAST_OVER_MM = 3.175

# A saw cut goes this far past the faces of a board, mm.
_THROUGH_MM = 1.0


def lay_boards(plan: CladdingPlan) -> list[Piece]:
    """All level boards of a scene, wall by wall, each from the foot up."""
    laid = [(patch, patch.table) for patch in plan.patches if isinstance(patch.table, Boards)]
    levels: dict[tuple[Boards, float], list[Patch]] = defaultdict(list)
    for patch, table in laid:
        levels[table, round(patch.area.bounds[1], 1)].append(patch)
    ripped: dict[Patch, float] = {}
    for (table, _), patches in levels.items():
        width = milled(plan.scene, table).depth_mm
        # Courses meet at corners, except on a wall where that leaves a strip or a lath.
        of_all = _ripped(patches, table, width)
        for patch in patches:
            meets = max(_how_bad(patch, table, width, of_all)) <= TOLERANCE_MM
            ripped[patch] = of_all if meets else _ripped([patch], table, width)
    return [piece for patch, table in laid for piece in _patch(plan, patch, table, ripped[patch])]


def _patch(plan: CladdingPlan, patch: Patch, table: Boards, ripped: float) -> Iterator[Piece]:
    """One wall's boards, course by course, end joints over studs and apart from those below."""
    board = milled(plan.scene, table)
    _, low, _, high = patch.area.bounds
    courses = course_edges(low - ripped, high, _pitch_mm(table, board.depth_mm))
    studs, open_ = backed_centres(patch.face.plan), (*patch.open, *dam_slots(plan, patch.face))
    for v, part in lengths_in_courses(
        patch.area, courses, board.depth_mm, open_, board.longest_mm, studs, LEAST_OVER_MM
    ):
        yield _board(plan, patch, table, board, _blunt(part), v)


def _open(patch: Patch) -> list[tuple[float, float]]:
    """From and to of openings, of beams that come out of the wall and of level edges within it.

    In mm above the floor; such an edge is where a lower roof meets the wall.
    """
    beams = [(v0, v1) for _, v0, _, v1 in patch.face.plan.through]
    return [*map(up, patch.open), *beams, *((v, v) for v in edges_within(patch.area, 1))]


def _pitch_mm(table: Boards, width: float) -> float:
    """Shiplap covers its width less the lap, a square-edged board all of it; the reveal is open."""
    return width + table.reveal - (table.lap if table.profile == "shiplap" else 0.0)


def _ripped(patches: Sequence[Patch], table: Boards, width: float) -> float:
    """What is ripped off the first board's foot on all of some walls, mm.

    So much that as little as can be is left in strips that break, and then in laths.
    """
    most = _pitch_mm(table, width) - of_width(BOARD, width).width

    def how_bad(ripped: float) -> tuple[float, float]:
        each = [_how_bad(patch, table, width, ripped) for patch in patches]
        return sum(bad for bad, _ in each), sum(lath for _, lath in each)

    return min((k * TRIED_MM for k in range(math.floor(most / TRIED_MM) + 1)), key=how_bad)


def _how_bad(patch: Patch, table: Boards, width: float, ripped: float) -> tuple[float, float]:
    """How bad what is left on a wall is: in strips that break, and in laths at foot and top.

    Strips are left over and under openings and at the top. Under a rake half of the last course is
    sawn off, and what is left of it is a tip, however wide: no lath. It reaches down to the plates.
    """
    pitch, least = _pitch_mm(table, width), of_width(BOARD, width).width
    widest, (low, high), face = min(LATH_MM, pitch / 2), up(patch.area), patch.face
    is_level = face.plan.runs_through or face.half_mm is not None
    edges = course_edges(low - ripped, high, pitch)
    last = high - edges[-1]
    tip = max(2 * least, high - _nailed_mm(face) + least)
    strips = too_narrow(last, least if is_level else tip)
    strips += arms([(v, v + width) for v in edges], _open(patch), least, LEAST_OVER_MM)
    laths = too_narrow(pitch - ripped, widest) + too_narrow(last, widest) * is_level
    return strips, laths


def _nailed_mm(face: WallFace) -> float:
    """How high the sheets or plates reach that an end wall's boards are nailed to, mm.

    On bare studs no higher than beside a ridge, over which the boards run on.
    """
    plan = face.plan
    if face.sheet_mm:
        return face.area.bounds[3]
    pockets = [pocket.u for pocket in plan.pockets]
    corners = [u for u, _ in plan.top_line if not any(u0 < u < u1 for u0, u1 in pockets)]
    return max(map(plan.top, (*corners, *itertools.chain.from_iterable(pockets))))


def _blunt(area: BaseGeometry) -> BaseGeometry:
    """A board whose end would run out to nothing under a rake, cut off where it is that thin."""
    u0, _, u1, _ = shapely.intersection(area, translate(area, yoff=FEATHER_MM)).bounds
    return shapely.intersection(area, box(*_between(area, u0, u1)))


def _between(area: BaseGeometry, start: float, end: float) -> tuple[float, float, float, float]:
    _, v0, _, v1 = area.bounds
    return (start, v0, end, v1)


def _board(
    plan: CladdingPlan, patch: Patch, table: Boards, board: Lumber, area: BaseGeometry, foot: float
) -> Piece:
    """One board as it is cut: its outline in the wall's plane, and shiplap's section along it."""
    place, group = patch.face.place, patch.face.plan.group
    label, source = f"{group} siding board", timber(plan.scene, table.board)
    u0, low, u1, high = area.bounds
    if table.profile == "square":
        back = place.at_depth(BEHIND_MM)
        rings = shapely.get_parts(area)[0].interiors
        return profile(
            label,
            Kind.SIDING,
            patch.group,
            source,
            ring(area),
            back,
            board.breadth_mm,
            holes=[ring(Area(inner)) for inner in rings],
        )
    if not box(u0, low, u1, high).difference(area).is_empty:
        # A rake ripped to its own highest point would leave a film there.
        low, high = foot, foot + board.depth_mm
    end = Placement(place.point(u0, foot, BEHIND_MM), place.v, place.n)
    section = shiplap(board, table.lap, low - foot, high - foot)
    piece = profile(
        label, Kind.SIDING, patch.group, source, section, end, u1 - u0, length_along="n"
    )
    # The section holds the rabbets, so what is sawn off a board's face is taken out of its solid.
    behind = place.at_depth(BEHIND_MM - _THROUGH_MM)
    for waste in shapely.get_parts(box(u0, low, u1, high).difference(area)):
        if waste.area > NO_AREA_MM2:
            cut = profile(
                label,
                Kind.SIDING,
                patch.group,
                source,
                ring(past_edges(waste, (u0, low, u1, high), _THROUGH_MM)),
                behind,
                board.breadth_mm + 2 * _THROUGH_MM,
            )
            piece = let_in(piece, cut)
    return piece


def shiplap(board: Lumber, lap: float, low: float, high: float) -> Polygon:
    """The end of a shiplap board: u up from its lower edge, v out from its back, mm.

    Each edge is cut away by half the thickness: the lower one behind, the upper one in front, so
    that a board hangs over the one below it.

          back |    | front
               +--+           the tongue that the next board covers
               |  |
               |  +--+
               |     |
               +--+  |
                  |  |        the lip over the board below
                  +--+

    Args:
        board: What it is milled from.
        lap: Height of the rabbets, mm.
        low: Where it is ripped at its lower edge, from its whole board's, mm.
        high: Where it is ripped at its upper edge, mm.
    """
    thick, width = board.breadth_mm, board.depth_mm
    half = thick / 2
    whole = shapely.union_all(
        [
            box(0.0, half, lap, thick),
            box(lap, 0.0, width - lap, thick),
            box(width - lap, 0.0, width, half),
        ]
    )
    return ring(shapely.intersection(whole, box(low, 0.0, high, thick)))

"""Let-in braces, and the notches in a wall's frame that they lie in."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely import MultiPoint
from shapely import Polygon as Area

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, let_in, profile, timber
from pikepole_model.geometry.outline import NO_AREA_MM2
from pikepole_model.geometry.shape import bounds
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.braces import Brace, let_in_braces
from pikepole_model.plan.wall import WallPlan

# The cutter comes this far out of the face, so that it leaves no film there.
_OUT_MM = 1.0


def brace_frame(plan: WallPlan, frame: Sequence[Piece]) -> list[Piece]:
    """A wall's frame notched for its braces, and the braces in the notches, flush outside.

    Args:
        plan: The wall.
        frame: Its other pieces.
    """
    pieces = list(frame)
    for brace in let_in_braces(plan):
        thick = brace.stock.breadth_mm
        cutter = _piece(plan, brace, thick + _OUT_MM, brace.beyond)
        area = Area(brace.outline)
        pieces = [let_in(p, cutter) if _meets(plan, p, area, thick) else p for p in pieces]
        pieces.append(_piece(plan, brace, thick, brace.outline))
    return pieces


def _piece(
    plan: WallPlan, brace: Brace, thick: float, outline: tuple[tuple[float, float], ...]
) -> Piece:
    return profile(
        f"{plan.group} {Kind.LET_IN_BRACE}",
        Kind.LET_IN_BRACE,
        plan.group,
        timber(plan.datums.scene, brace.stock.name),
        outline,
        plan.place.at_depth(-brace.stock.breadth_mm),
        thick,
        grain_rad=brace.rad,
    )


def _meets(plan: WallPlan, piece: Piece, area: Area, thick: float) -> bool:
    """Whether a piece of the frame lies where a brace is to lie, in the wall's outer layer."""
    (u0, v0, n0), (u1, v1, n1) = bounds(piece.shape.body)
    corners = [piece.placement.point(u, v, n) for u in (u0, u1) for v in (v0, v1) for n in (n0, n1)]
    place = plan.place
    off = [[a - b for a, b in zip(corner, place.origin, strict=True)] for corner in corners]
    us, vs, ns = (
        [sum(a * b for a, b in zip(one, axis, strict=True)) for one in off]
        for axis in (place.u, place.v, place.n)
    )
    hull = MultiPoint(list(zip(us, vs, strict=True))).convex_hull
    return max(ns) > TOLERANCE_MM - thick and shapely.intersection(hull, area).area > NO_AREA_MM2

"""Boards that close a half wall's ends at the gaps through it.

Ripped as wide as the wall is thick, from the face of its lining to that of its cladding, and up to
its cap: the ends of sheets, wrap and siding lie behind them, as behind the frame of a door. Their
end grain stands as clear of the floor as a leaf does.
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, timber
from pikepole_model.layout.joinery import board
from pikepole_model.layout.trims import GROUP
from pikepole_model.plan.clad_face import clad_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Framed
from pikepole_model.plan.windows_doors import FLOOR_GAP_MM, FRAMES
from pikepole_model.stock.metric import usual
from pikepole_model.stock.rows import Lumber


def line_gaps(face: WallFace) -> list[Piece]:
    """A board on both sides of each gap through a half wall, on its end studs."""
    return list(_jambs(face))


def gap_jamb(face: WallFace, framed: Framed) -> Lumber:
    """What those of a gap are ripped from: the narrowest that is wide enough, or the widest."""
    scene, (inner, outer) = face.plan.datums.scene, _across(face, framed)
    choice = [scene.lumber_stock(usual(name, scene.units)) for name in FRAMES]
    return next((one for one in choice if one.depth_mm >= outer - inner), choice[-1])


def _jambs(face: WallFace) -> Iterator[Piece]:
    scene, top = face.plan.datums.scene, face.half_mm
    if top is None:
        return
    for framed in face.openings:
        stock, (inner, outer) = gap_jamb(face, framed), _across(face, framed)
        n, (u0, u1) = (max(inner, outer - stock.depth_mm), outer), framed.u
        for left, right in ((u0, u0 + stock.breadth_mm), (u1 - stock.breadth_mm, u1)):
            yield board(
                face,
                f"{framed.opening.name} jamb",
                Kind.FRAME_BOARD,
                GROUP,
                timber(scene, stock.name),
                (left, FLOOR_GAP_MM, right, top),
                n,
            )


def _across(face: WallFace, framed: Framed) -> tuple[float, float]:
    """From and to across the wall with all that covers it, mm from what covers it outside."""
    plan = face.plan
    inside = face.sheet_mm + plan.datums.wall_mm + plan.datums.lining_mm(plan.name)
    return -inside, clad_mm(face, framed.rough)

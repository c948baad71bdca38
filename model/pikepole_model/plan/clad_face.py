"""How far out of the sheathing the face of what covers a wall lies."""

from __future__ import annotations

from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.facings import tables_on, u_of, v_of
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.windows_doors import FittedOpening, on_cladding


def clad_mm(face: WallFace, rect: Rect) -> float:
    """How far out of the sheathing the cladding's face lies round a place in the wall, mm.

    Battens stand prouder: they stop at the casing. Nothing lies over slats.
    """
    scene = face.plan.datums.scene
    out = BEHIND_MM if scene.wrap and face.is_closed else 0.0
    for table in tables_on(scene, face):
        (u0, u1), (v0, v1) = u_of(table, face), v_of(table, face)
        if u0 < rect[2] and u1 > rect[0] and v0 < rect[3] and v1 > rect[1]:
            out = max(out, BEHIND_MM + facing_mm(scene, table))
    return out


def clad_at_mm(face: WallFace, fitted: FittedOpening) -> float:
    """How far out of the sheathing it lies behind all that goes round an opening, mm."""
    return max(clad_mm(face, rect) for rect in on_cladding(face.plan, fitted))

"""Flashings on the walls: over casings and upright boards, and under the foot of the cladding."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.part import Kind
from pikepole_model.piece import Piece, Source, profile
from pikepole_model.placement import Placement
from pikepole_model.plan.cladding import CladdingPlan
from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.joinery import clad_mm
from pikepole_model.plan.wall_legs import feet, joints
from pikepole_model.plan.wall_metal import CLEAR_MM, DRIP_MM, OPEN_MM, UP_MM, flat_of, heads
from pikepole_model.sheet_metal import PLIES, bent, lengths
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.rows import Flat

BASES = "base flashing"
HEADS = "head flashing"


def flash_feet(plan: CladdingPlan) -> list[Piece]:
    """Under the foot of the cladding on every wall."""
    return [piece for face in plan.faces for piece in _feet(plan, face)]


def flash_heads(plan: CladdingPlan) -> list[Piece]:
    """Over the casing of every opening."""
    return [piece for face in plan.faces for piece in _heads(plan, face)]


def flash_joints(plan: CladdingPlan) -> list[Piece]:
    """Over the top of upright boards that end under others."""
    return [piece for face in plan.faces for piece in _joints(plan, face)]


def _joints(plan: CladdingPlan, face: WallFace) -> Iterator[Piece]:
    flat = flat_of(plan.scene)
    for patch, top, u0, u1 in joints(plan, face) if flat else ():
        assert flat
        # Its drip leg lies on the boards.
        out = BEHIND_MM + facing_mm(plan.scene, patch.table)
        name, up = f"{face.plan.group} {Kind.JOINT_FLASHING}", (top, top + UP_MM)
        yield from _flash(face, name, Kind.JOINT_FLASHING, patch.group, flat, (u0, u1), up, out)


def _feet(plan: CladdingPlan, face: WallFace) -> Iterator[Piece]:
    flat = flat_of(plan.scene)
    for patch, low, u0, u1 in feet(plan, face) if flat else ():
        assert flat
        out = BEHIND_MM + facing_mm(plan.scene, patch.table) + CLEAR_MM
        name = f"{face.plan.group} base flashing"
        yield from _flash(
            face, name, Kind.BASE_FLASHING, BASES, flat, (u0, u1), (low - OPEN_MM, low + UP_MM), out
        )


def _heads(plan: CladdingPlan, face: WallFace) -> Iterator[Piece]:
    flat = flat_of(plan.scene)
    for run in heads(face) if flat else ():
        assert flat
        u0, _, u1, v1 = run.outer
        casing = plan.scene.lumber_stock(run.trim.board).breadth_mm
        out = clad_mm(face, run.outer) + casing + CLEAR_MM
        name = f"{face.plan.group} head flashing"
        yield from _flash(
            face, name, Kind.HEAD_FLASHING, HEADS, flat, (u0, u1), (v1, v1 + UP_MM), out
        )


def _flash(
    face: WallFace,
    name: str,
    kind: Kind,
    group: str,
    flat: Flat,
    u: tuple[float, float],
    v: tuple[float, float],
    out: float,
) -> Iterator[Piece]:
    """Lengths of a flashing: behind the cladding from v[1] down to v[0], out there, and down."""
    line = ((0.0, v[1]), (0.0, v[0]), (out, v[0]), (out, v[0] - DRIP_MM))
    for number, (u0, u1) in enumerate(lengths(*u, flat)):
        yield profile(
            name,
            kind,
            group,
            Source(flat.name, by_area_material(flat)),
            bent(line, flat.thickness_mm, number % PLIES),
            # Out of the wall, up, and so extruded to the left.
            Placement(face.place.point(u1, 0.0), face.place.n, face.place.v),
            u1 - u0,
            length_along="n",
        )

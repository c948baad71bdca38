"""Flashings on the walls: over casings and upright boards, and under the foot of the cladding.

Over heads and beside casings their ends are dammed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, profile
from pikepole_model.geometry.placement import Placement
from pikepole_model.layout.flashing_corners import BASES, close_corners, drip_mm
from pikepole_model.plan.cladding import CladdingPlan
from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.facings import batten_size
from pikepole_model.plan.heads import heads
from pikepole_model.plan.wall_legs import changes, dams, feet, foot_drip_mm, joints
from pikepole_model.plan.wall_metal import (
    CLEAR_MM,
    DRIP_MM,
    OPEN_MM,
    RISE_MM,
    UP_MM,
    flat_of,
)
from pikepole_model.scene.envelope import Battens
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.rows import Flat
from pikepole_model.stock.sheet_metal import DAM_MM, PLIES, bent, lengths

HEADS = "head flashing"

# A dam starts clear of the leg and of the wrap over it, mm from the sheathing.
OVER_WRAP_N_MM = 2.0


def flash_feet(plan: CladdingPlan) -> list[Piece]:
    """Under the foot of the cladding on every wall, and then round the corners."""
    feet = (piece for face in plan.faces for piece in _feet(plan, face))
    return [*feet, *close_corners(plan)]


def flash_heads(plan: CladdingPlan) -> list[Piece]:
    """Over casings, frames without one and track boards, with dams at both ends."""
    return [piece for face in plan.faces for piece in _heads(plan, face)]


def flash_joints(plan: CladdingPlan) -> list[Piece]:
    """Over the top of boards that end under others, and of cladding under other cladding."""
    return [piece for face in plan.faces for piece in _joints(plan, face)]


def _joints(plan: CladdingPlan, face: WallFace) -> Iterator[Piece]:
    flat, scene = flat_of(plan.scene), plan.scene
    if not flat:
        return
    # Boards over it are notched for its dams, and the battens on the thinnest of them are not.
    tables = plan.tables(face)
    to = BEHIND_MM + min((facing_mm(scene, table) for table in tables), default=0.0)
    # Its drip leg lies on the boards, or clear of the battens on them.
    runs = [(run, BEHIND_MM + facing_mm(scene, run[0].table)) for run in joints(plan, face)]
    for run in changes(plan, face):
        table = run[0].table
        over = batten_size(scene, table).thickness + CLEAR_MM if isinstance(table, Battens) else 0.0
        runs.append((run, BEHIND_MM + facing_mm(scene, table) + over))
    for run, out in runs:
        patch, top, u0, u1 = run
        name, up = f"{face.plan.group} {Kind.JOINT_FLASHING}", (top, top + UP_MM)
        yield from _flash(face, name, Kind.JOINT_FLASHING, patch.group, flat, (u0, u1), up, out)
        for start, end in dams(face, run):
            u = start if start == u0 else end - flat.thickness_mm
            yield _dam(face, u, top, out, to, flat, patch.group)


def _feet(plan: CladdingPlan, face: WallFace) -> Iterator[Piece]:
    flat = flat_of(plan.scene)
    for patch, low, u0, u1 in feet(plan, face) if flat else ():
        assert flat
        out = drip_mm(plan, patch)
        name = f"{face.plan.group} base flashing"
        up, drip = (low - OPEN_MM, low + UP_MM), foot_drip_mm(face, low)
        yield from _flash(face, name, Kind.BASE_FLASHING, BASES, flat, (u0, u1), up, out, drip)


def _heads(plan: CladdingPlan, face: WallFace) -> Iterator[Piece]:
    flat = flat_of(plan.scene)
    for head in heads(face) if flat else ():
        assert flat
        u0, _, u1, v1 = head.outer
        name = f"{face.plan.group} {Kind.HEAD_FLASHING}"
        out = head.clad_mm + head.thick_mm + CLEAR_MM
        up = (v1, v1 + UP_MM)
        yield from _flash(
            face, name, Kind.HEAD_FLASHING, HEADS, flat, (u0, u1), up, out, head.drip_mm
        )
        for u in (u0, u1 - flat.thickness_mm):
            yield _dam(face, u, v1, out, max(head.clad_mm, BEHIND_MM + OPEN_MM), flat, HEADS)


def _dam(
    face: WallFace, u: float, v: float, out: float, to: float, flat: Flat, group: str
) -> Piece:
    """The end of a flashing turned up, soldered or sealed: out to the cladding's face.

    Args:
        face: The wall.
        u: Where it stands along the wall, mm.
        v: The flange's edge, mm above the floor.
        out: How far out that is, mm from the sheathing.
        to: How far out the dam goes, mm.
        flat: What it is cut from.
        group: What it belongs to.
    """
    thick = flat.thickness_mm
    over = PLIES * thick * math.hypot(1.0, RISE_MM / out)

    def on_flange(n: float) -> float:
        return v + RISE_MM * (1 - n / out) + over

    start, top = OVER_WRAP_N_MM, v + RISE_MM + DAM_MM
    outline = ((start, on_flange(start)), (to, on_flange(to)), (to, top), (start, top))
    place = Placement(face.place.point(u + thick, 0.0), face.place.n, face.place.v)
    source = Source(flat.name, by_area_material(flat))
    name = f"{face.plan.group} {Kind.END_DAM}"
    return profile(name, Kind.END_DAM, group, source, outline, place, thick)


def _flash(
    face: WallFace,
    name: str,
    kind: Kind,
    group: str,
    flat: Flat,
    u: tuple[float, float],
    v: tuple[float, float],
    out: float,
    drip: float = DRIP_MM,
) -> Iterator[Piece]:
    """Lengths of a flashing: behind the cladding down from v[1], sloping out to v[0], and down."""
    line = ((0.0, v[1]), (0.0, v[0] + RISE_MM), (out, v[0]), (out, v[0] - drip))
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

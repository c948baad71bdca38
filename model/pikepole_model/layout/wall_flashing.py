"""Flashings on the walls: over casings and upright boards, and under the foot of the cladding."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import shapely
from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, let_in, profile
from pikepole_model.geometry.outline import ring
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.clad_face import clad_mm
from pikepole_model.plan.cladding import CladdingPlan, Patch
from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.wall_legs import feet, joints
from pikepole_model.plan.wall_metal import CLEAR_MM, DRIP_MM, OPEN_MM, UP_MM, flat_of, heads
from pikepole_model.scene.types import ROUND
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.rows import Flat
from pikepole_model.stock.sheet_metal import PLIES, bent, lengths

BASES = "base flashing"
HEADS = "head flashing"


def flash_feet(plan: CladdingPlan) -> list[Piece]:
    """Under the foot of the cladding on every wall, and then round the corners."""
    return [*(piece for face in plan.faces for piece in _feet(plan, face)), *_corners(plan)]


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
        out = _drip_mm(plan, patch)
        name = f"{face.plan.group} base flashing"
        yield from _flash(
            face, name, Kind.BASE_FLASHING, BASES, flat, (u0, u1), (low - OPEN_MM, low + UP_MM), out
        )


def _drip_mm(plan: CladdingPlan, patch: Patch) -> float:
    """How far out of the sheathing the drip leg at a cladding's foot is, mm."""
    return BEHIND_MM + facing_mm(plan.scene, patch.table) + CLEAR_MM


def _corners(plan: CladdingPlan) -> Iterator[Piece]:
    """Where the flashings of two walls end at one corner, level with each other."""
    flat = flat_of(plan.scene)
    for k, name in enumerate(ROUND) if flat else ():
        assert flat
        one, other = plan.face(name), plan.face(ROUND[(k + 1) % len(ROUND)])
        corner = one.corners_u[1]
        for (left, low, start, end), (right, level, first, _) in itertools.product(
            feet(plan, one), feet(plan, other)
        ):
            if end < corner - TOLERANCE_MM or first > other.corners_u[0] + TOLERANCE_MM:
                continue
            if abs(low - level) < TOLERANCE_MM:
                # One thickness out from the outer of the two that it laps.
                ply = 1 + (len(lengths(start, end, flat)) - 1) % PLIES
                outs = (_drip_mm(plan, left), _drip_mm(plan, right))
                at = Placement(one.place.point(corner, low - OPEN_MM), one.place.n, other.place.n)
                yield _corner(f"{name} and {other.plan.group}", at, outs, ply, flat)


def _corner(walls: str, place: Placement, outs: tuple[float, float], ply: int, flat: Flat) -> Piece:
    """A piece bent from one blank: a flange on those of both walls, and a drip leg before each.

    Seen from above, the building at the lower left; its legs are seen from outside only:

        +-----------+
        |           |   the flange starts clear of the runs' own legs on the sheathing, and reaches
        +-----+     |   as far along each wall as lengths lap
       wall   |     |
              +-----+

    Args:
        walls: Which ones.
        place: The corner of the sheathing at the top of what is under the flange: u out of one
            wall, v out of the other.
        outs: How far out the flashings' drip legs are, mm.
        ply: How many thicknesses it lies out from them.
        flat: What it is bent from.
    """
    thick = flat.thickness_mm
    high, u, v = ply * thick, outs[0] + ply * thick, outs[1] + ply * thick
    back, along = PLIES * thick, flat.lap_mm

    def plan(grown: float, shy: float) -> Polygon:
        """Its outline from above, its ends and inner edges further out, its outer edges less."""
        a, b = back - grown, -along - grown
        edges = (box(a, b, u + shy, v + shy), box(b, a, u + shy, v + shy))
        return ring(shapely.union_all(edges))

    def solid(outline: Polygon, foot: float, top: float) -> Piece:
        at = place.at_depth(foot)
        source = Source(flat.name, by_area_material(flat))
        label = f"{walls} flashing corner"
        return profile(label, Kind.FLASHING_CORNER, BASES, source, outline, at, top - foot)

    # What is under the flange and behind the legs is taken out of a block.
    block = solid(plan(0.0, thick), -DRIP_MM, high + thick)
    return let_in(block, solid(plan(1.0, 0.0), -DRIP_MM - 1.0, high))


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

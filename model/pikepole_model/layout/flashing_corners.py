"""What closes the base flashings of two walls where they meet at a corner of the building.

A piece bent from one blank: a flange over the ends of both, mitred at the hip between their slopes,
and a drip leg before each. Seen from above, the building at the lower left:

        +-----------+
        |         / |   it starts clear of the runs' own legs on the sheathing, and reaches as far
        +-----+ /   |   along each wall as lengths lap
       wall   |     |
              +-----+
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source
from pikepole_model.geometry.folded import folded
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import DECIMALS, Shape
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.cladding import CladdingPlan, Patch
from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.wall_legs import feet, foot_drip_mm
from pikepole_model.plan.wall_metal import CLEAR_MM, OPEN_MM, RISE_MM, flat_of
from pikepole_model.scene.types import ROUND
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.rows import Flat
from pikepole_model.stock.sheet_metal import PLIES, lengths

BASES = "base flashing"

# Its fields by their corners: the flange along either wall, then the drip leg before each.
FLANGES = ((0, 1, 2, 3), (1, 4, 5, 2))
LEGS = ((3, 2, 6, 7), (2, 5, 8, 6))


def close_corners(plan: CladdingPlan) -> Iterator[Piece]:
    """Where the flashings of two walls end at one corner, level with each other."""
    flat = flat_of(plan.scene)
    if not flat:
        return
    runs = {name: tuple(feet(plan, plan.face(name))) for name in ROUND}
    for k, name in enumerate(ROUND):
        one, other = plan.face(name), plan.face(ROUND[(k + 1) % len(ROUND)])
        corner = one.corners_u[1]
        for (left, low, start, end), (right, level, first, _) in itertools.product(
            runs[name], runs[ROUND[(k + 1) % len(ROUND)]]
        ):
            if end < corner - TOLERANCE_MM or first > other.corners_u[0] + TOLERANCE_MM:
                continue
            if abs(low - level) < TOLERANCE_MM:
                # One thickness out from the outer of the two that it laps.
                ply = 1 + (len(lengths(start, end, flat)) - 1) % PLIES
                outs = (drip_mm(plan, left), drip_mm(plan, right))
                at = Placement(one.place.point(corner, low - OPEN_MM), one.place.n, other.place.n)
                walls, drip = f"{name} and {other.plan.group}", foot_drip_mm(one, low)
                yield _corner(walls, at, outs, drip, ply, flat)


def drip_mm(plan: CladdingPlan, patch: Patch) -> float:
    """How far out of the sheathing the drip leg at a cladding's foot is, mm."""
    return BEHIND_MM + facing_mm(plan.scene, patch.table) + CLEAR_MM


def _corner(
    walls: str, place: Placement, outs: tuple[float, float], drip: float, ply: int, flat: Flat
) -> Piece:
    """One of them.

    Args:
        walls: Which ones.
        place: The corner of the sheathing at the runs' edge: u out of one wall, v of the other.
        outs: How far out the flashings' drip legs are, mm.
        drip: How far these hang down.
        ply: How many thicknesses it lies out from them.
        flat: What it is bent from.
    """
    thick, along = flat.thickness_mm, -flat.lap_mm
    start = PLIES * thick / min(outs)
    # A thickness further out its edge is so much higher, by the flatter slope of the two.
    falls = [RISE_MM / out for out in outs]
    step = max(math.hypot(1.0, fall) - fall for fall in falls) * thick

    def points(plies: int) -> list[Vector]:
        (u0, v0), (u1, v1) = (
            (outs[0] * at + plies * thick, outs[1] * at + plies * thick) for at in (start, 1.0)
        )
        low, outer = -drip, plies * step
        inner = outer + RISE_MM * (1 - start)
        corners = [
            *((along, v0, inner), (u0, v0, inner), (u1, v1, outer), (along, v1, outer)),
            *((u0, along, inner), (u1, along, outer)),
            *((u1, v1, low), (along, v1, low), (u1, along, low)),
        ]
        return [_rounded(corner) for corner in corners]

    body = folded(
        list(zip(points(ply), points(ply + 1), strict=True)),
        (*FLANGES, *LEGS),
    )
    source = Source(flat.name, by_area_material(flat))
    label = f"{walls} flashing corner"
    return Piece(label, Kind.FLASHING_CORNER, BASES, source, Shape(body), place)


def _rounded(point: Vector) -> Vector:
    u, v, n = (round(value, DECIMALS) + 0.0 for value in point)
    return u, v, n

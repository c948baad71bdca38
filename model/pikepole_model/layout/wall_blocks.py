"""Level blocks between a wall's uprights, nailed in while it is framed.

Each kind is laid flat between two uprights, flush with the face that something is nailed to: behind
the level joints of sheets, outside and inside, and behind upright boards and slats.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import Polygon as Area
from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, profile, timber
from pikepole_model.geometry.outline import ring
from pikepole_model.geometry.spacing import LEAST_STICK_MM, overlap
from pikepole_model.plan.standing import closed_gaps
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_sheets import sheet_layers
from pikepole_model.stock.rows import Lumber

# Less wood than this over a level joint takes no nail: 3/4 in, common practice, no source.
LEAST_LANDING_MM = 19.05


def block_wall(plan: WallPlan) -> list[Piece]:
    """All blocks of one wall."""
    scene = plan.datums.scene
    stud = scene.lumber_stock(scene.walls.stud)
    return [
        piece
        for layer in sheet_layers(plan)
        for joint in layer.courses[1:-1]
        for piece in _row(plan, Kind.WALL_BLOCK, stud, joint, layer.block_n)
    ]


def _row(plan: WallPlan, kind: Kind, stock: Lumber, middle: float, back: float) -> Iterator[Piece]:
    """The blocks at one height, their wide face in the wall's plane.

    Where the plates come down to them, a block is cut to their slope.

    Args:
        plan: The wall.
        kind: What they are.
        stock: What they are cut from.
        middle: Their middle above the floor, mm.
        back: Their back, mm out from the framing's outer face.
    """
    half, thick = stock.depth_mm / 2, stock.breadth_mm
    filled = _filled(plan, (middle - half, middle + half), (back, back + thick))
    reach = filled[0][1] if filled else 0.0
    for u0, u1 in filled[1:]:
        heads = (_head(plan, reach), _head(plan, u0))
        if u0 - reach >= LEAST_STICK_MM and max(heads) >= middle + LEAST_LANDING_MM:
            under = Area([(reach, 0.0), (u0, 0.0), (u0, heads[1]), (reach, heads[0])])
            under = under.intersection(_blunt(plan, reach, u0, middle - half + LEAST_STICK_MM))
            yield profile(
                f"{plan.group} {kind}",
                kind,
                plan.group,
                timber(plan.datums.scene, stock.name),
                ring(under.intersection(box(reach, middle - half, u0, middle + half))),
                plan.place.at_depth(back),
                thick,
            )
        reach = max(reach, u1)


def _filled(
    plan: WallPlan, v: tuple[float, float], n: tuple[float, float]
) -> list[tuple[float, float]]:
    """From and to of what leaves no room for a block, mm: uprights, openings, headers and so on.

    Args:
        plan: The wall.
        v: From and to of the block above the floor, mm.
        n: From and to across the wall, mm.
    """

    def meets(low: float, high: float) -> bool:
        return low < v[1] and high > v[0]

    taken = [
        upright.u
        for upright in plan.uprights
        if meets(upright.v[0], math.inf if upright.v[1] is None else upright.v[1])
        and overlap(upright.n, n)
    ]
    taken += [f.header_u for f in plan.openings if meets(f.head, f.header_top)]
    taken += [f.u for f in plan.openings if meets(f.sill, f.head)]
    taken += [p.u for p in plan.pockets if meets(p.seat, p.top)]
    taken += [p.u for p in plan.parted_by if meets(p.v[0], p.v[1])]
    taken += closed_gaps(plan.datums.scene, plan.framed, plan.parted_by)
    return sorted(taken)


def _head(plan: WallPlan, u: float) -> float:
    """Underside of what lies on the studs, plates or a cap plate, mm above the floor."""
    part = plan.open_part
    return part.from_mm - plan.datums.breadth_mm if part else plan.stud_head(u)


def _blunt(plan: WallPlan, u0: float, u1: float, least: float) -> Area:
    """The stretch between two uprights where the plates are higher than a block's blunt end."""
    heads = (_head(plan, u0), _head(plan, u1))
    if min(heads) >= least:
        return box(u0, 0.0, u1, max(heads))
    cut = u0 + (u1 - u0) * (least - heads[0]) / (heads[1] - heads[0])
    return box(cut, 0.0, u1, heads[1]) if heads[1] > heads[0] else box(u0, 0.0, cut, heads[0])

"""Level blocks between a wall's uprights, nailed in while it is framed.

Each is laid flat between two uprights, flush with the face that something is nailed to: behind the
level joints of sheets, outside and inside, and behind upright boards and slats. Where sheets meet
at one height on both sides, it lies across the wall and takes both (framing 1-1/2 in thick is
enough behind a joint: IRC R602.10.10, from memory).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from typing import TypeAlias

import shapely
from shapely import Polygon as Area
from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, profile, timber
from pikepole_model.geometry.outline import NO_AREA_MM2, largest, ring
from pikepole_model.geometry.spacing import LEAST_BLOCK_MM, LEAST_STICK_MM, overlap
from pikepole_model.plan.nailing import NailingRow, nailing_rows
from pikepole_model.plan.standing import closed_gaps
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_sheets import sheet_layers

Span: TypeAlias = tuple[float, float]

# Less wood than this over a level joint takes no nail: 3/4 in, common practice, no source.
LEAST_LANDING_MM = 19.05


def block_wall(plan: WallPlan) -> list[Piece]:
    """All blocks and girts between the uprights of one wall: none where another one lies."""
    scene = plan.datums.scene
    stud, everywhere = scene.lumber_stock(scene.walls.stud), (0.0, plan.length_mm)
    joints: dict[float, list[float]] = defaultdict(list)
    for layer in sheet_layers(plan):
        for joint in layer.courses[1:-1]:
            joints[joint].append(layer.block_n)
    rows = [
        (
            NailingRow(Kind.WALL_BLOCK, stud, everywhere, joint),
            (min(backs), 0.0) if len(backs) > 1 else (backs[0], backs[0] + stud.breadth_mm),
        )
        for joint, backs in joints.items()
    ]
    rows += [(row, (-row.stock.breadth_mm, 0.0)) for row in nailing_rows(plan)]
    pieces: list[Piece] = []
    taken: list[tuple[Span, Area]] = []
    for row, n in rows:
        for area in (*_row(plan, row, n), *_beside_joints(plan, row, n)):
            beside = [other for span, other in taken if overlap(span, n)]
            if all(shapely.intersection(area, other).area < NO_AREA_MM2 for other in beside):
                taken.append((n, area))
                pieces.append(
                    profile(
                        f"{plan.group} {row.kind}",
                        row.kind,
                        plan.group,
                        timber(scene, row.stock.name),
                        ring(area),
                        plan.place.at_depth(n[0]),
                        n[1] - n[0],
                    )
                )
    return pieces


def _row(plan: WallPlan, row: NailingRow, n: Span) -> Iterator[Area]:
    """The blocks of one row in (u, v), mm.

    Where the plates come down to them, a block is cut to their slope.

    Args:
        plan: The wall.
        row: What they are.
        n: From and to across the wall, mm out from the framing's outer face.
    """
    half, middle = _half(row, n), row.middle
    filled = _filled(plan, (middle - half, middle + half), n)
    reach = filled[0][1] if filled else 0.0
    for u0, u1 in filled[1:]:
        heads = (_head(plan, reach), _head(plan, u0))
        is_wide = u0 - reach >= LEAST_BLOCK_MM and overlap((reach, u0), row.u)
        if is_wide and max(heads) >= middle + LEAST_LANDING_MM:
            under = Area([(reach, 0.0), (u0, 0.0), (u0, heads[1]), (reach, heads[0])])
            under = under.intersection(_blunt(plan, reach, u0, middle - half + LEAST_STICK_MM))
            left = under.intersection(box(reach, middle - half, u0, middle + half))
            yield largest(left)
        reach = max(reach, u1)


def _beside_joints(plan: WallPlan, row: NailingRow, n: Span) -> Iterator[Area]:
    """Blocks on a header and under a rough sill where those end near to a joint of sheets.

    No block has its middle on that joint: one of the two sheets is nailed to each.

        |      upper      |    ----  joint
        |====  block  ====|
        |#### header #####|
    """
    if row.kind is not Kind.WALL_BLOCK:
        return
    half, joint = _half(row, n), row.middle
    for framed in plan.openings:
        sill = framed.sill - plan.datums.breadth_mm
        for edge, middle, u in (
            (framed.header_top, framed.header_top + half, framed.header_u),
            (sill, sill - half, framed.u),
        ):
            if min(edge, middle) < joint < max(edge, middle):
                yield from _row(plan, replace(row, middle=middle, u=u), n)


def _half(row: NailingRow, n: Span) -> float:
    """Half the height of a block: flat against a face, or across the wall, mm."""
    is_flat = n[1] - n[0] < row.stock.depth_mm
    return (row.stock.depth_mm if is_flat else row.stock.breadth_mm) / 2


def _filled(plan: WallPlan, v: Span, n: Span) -> list[Span]:
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
    taken += [f.u for f in plan.openings if meets(f.sill - plan.datums.breadth_mm, f.head)]
    taken += [p.u for p in plan.pockets if meets(p.seat, p.top)]
    taken += [p.u for p in plan.parted_by if meets(p.v[0], p.v[1])]
    taken += closed_gaps(plan.datums, plan.framed, plan.parted_by)
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

"""Where flashings pass through a wall's wrap: at the cladding's foot and joints, over casings."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import TypeAlias

import shapely
from shapely import LineString, box
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.spacing import SHEET_GAP_MM, TOLERANCE_MM
from pikepole_model.plan import facings
from pikepole_model.plan.cladding import CladdingPlan, Patch
from pikepole_model.plan.faces import WallFace, leg_up_wall
from pikepole_model.plan.facings import claims, on_others, v_of
from pikepole_model.plan.heads import heads, leg_over
from pikepole_model.plan.membranes import sealed
from pikepole_model.plan.wall_metal import (
    DRIP_MM,
    LEAST_RUN_MM,
    NOTCH_MM,
    OPEN_MM,
    RISE_MM,
    UP_MM,
    flat_of,
    legs_mm,
)
from pikepole_model.plan.windows_doors import batten_stops
from pikepole_model.scene.envelope import Battens
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.sheet_metal import DAM_MM

# A flange falls less than this until it is clear of the wrap, mm: a quarter of its rise.
BEHIND_RISE_MM = RISE_MM / 4

# Wider than the gap between siding and corner boards, mm.
NEAR_MM = 4.0

# However short, a joint is flashed, or rain gets in there (IRC R703.4, from memory): where there is
# room for a dam at both ends and as much between them.
LEAST_JOINT_MM = 4 * NOTCH_MM

# Where cladding begins no further than this over the sheets' foot, its flashing hangs down over
# that: 2 in, common practice, no source.
MOST_OVER_FOOT_MM = 50.8


def feet(plan: CladdingPlan, face: WallFace) -> Iterator[tuple[Patch, float, float, float]]:
    """Patches that end over the ground, with the height of their foot and from and to of each run.

    Between the wall's sheathed corners, and not across doorways.
    """
    if not flat_of(plan.scene) or face.foot_mm > 0:
        return
    left, right = face.corners_u
    for patch in plan.patches:
        if patch.face is not face or patch.table.above is not None:
            continue
        low = patch.area.bounds[1]
        # Under the corner boards beside it as well.
        boards = [
            area
            for corner, area in plan.corner_boards(face)
            if patch.table is (corner.front if face is corner.through else corner.beside)
        ]
        covered = shapely.union_all([patch.area, *(grow.buffer(NEAR_MM) for grow in boards)])
        # And to the middle of a board that parts it from other cladding with the same foot, or
        # under all of one that comes down to this foot alone.
        foot_mm, own = v_of(patch.table, face)[0], claims(patch.table, face)
        level_with = [
            claims(table, face)
            for table in plan.tables(face)
            if table is not patch.table and abs(v_of(table, face)[0] - foot_mm) < TOLERANCE_MM
        ]
        parted = [
            area.buffer(NEAR_MM) for _, area in plan.joint_boards(face) if area.intersects(own)
        ]
        covered = covered.union(shapely.union_all(parted).difference(shapely.union_all(level_with)))
        level = LineString([(left, low + NEAR_MM), (right, low + NEAR_MM)])
        foot = shapely.intersection(covered, level)
        # Where the other wall's cladding starts lower, so do the corner boards.
        lower = [area for _, area in plan.corner_boards(face) if area.bounds[1] < low - OPEN_MM]
        lower += [area for area in parted if area.bounds[1] + NEAR_MM < low - TOLERANCE_MM]
        # And so do casing, hinges, irons, membrane and bare tapes by a floor lower than the foot.
        sticking = [r for one in sealed(face) for r in (one.turned_down_rect, one.taped.bounds)]
        others = [
            box(*rect)
            for rect in (*batten_stops(face.plan), *sticking)
            if rect[1] < low and rect[3] > low - OPEN_MM - foot_drip_mm(face, low)
        ]
        for hole in (*patch.open, *lower, *others):
            u0, v0, u1, _ = hole.bounds
            if v0 < low + UP_MM:
                foot = foot.difference(box(u0, low - UP_MM, u1, low + UP_MM))
        for run in shapely.get_parts(foot):
            u0, _, u1, _ = run.bounds
            if u1 - u0 >= LEAST_RUN_MM:
                yield patch, low, u0, u1


def foot_drip_mm(face: WallFace, low: float) -> float:
    """How far the drip leg hangs at a cladding's foot at some height, mm.

    Over the sheets' foot too, where that is close below: not where a slab runs on before it.
    """
    pad, over = face.plan.datums.scene.foundation, low - face.foot_mm
    wider = isinstance(pad, Pad) and pad.margin
    return DRIP_MM + (over if 0 < over <= MOST_OVER_FOOT_MM and not wider else 0.0)


def storeys(scene: Scene, patch: Patch, table: Battens) -> list[tuple[float, float]]:
    """From and to of upright boards over one another, where they are shorter than the wall, mm.

    Between them is room for a flashing, or a gap for water to get out by.

    Args:
        scene: The scene.
        patch: What the boards cover.
        table: What the scene says of them.
    """
    _, low, _, high = patch.area.bounds
    gap = OPEN_MM if flat_of(scene) else SHEET_GAP_MM
    return facings.storeys(patch.face, table, (low, high), gap)


# A patch of cladding, the height of something along it, and from and to of each run, mm.
Run: TypeAlias = tuple[Patch, float, float, float]


def joints(plan: CladdingPlan, face: WallFace) -> Iterator[Run]:
    """Patches whose upright boards end on others, with the top of the lower ones, and each run."""
    for patch in plan.patches if flat_of(plan.scene) else ():
        if patch.face is face and isinstance(patch.table, Battens):
            for top in on_others(storeys(plan.scene, patch, patch.table)):
                yield from _between(face, (patch, patch), top)


def dams(face: WallFace, run: Run) -> Iterator[tuple[float, float]]:
    """Where a flashing ends at a casing, which lies over the boards that run on there.

    Yields:
        From and to along the wall of the notch in the boards over its dam, mm.
    """
    _, top, u0, u1 = run
    for end, notch in ((u0, (u0, u0 + NOTCH_MM)), (u1, (u1 - NOTCH_MM, u1))):
        at = box(end - NEAR_MM, top, end + NEAR_MM, top + OPEN_MM)
        if any(at.intersects(box(*rect)) for rect in batten_stops(face.plan)):
            yield notch


def dam_slots(plan: CladdingPlan, face: WallFace) -> list[Area]:
    """What the cladding leaves open for those dams, mm."""
    return [
        box(u0, run[1], u1, run[1] + RISE_MM + DAM_MM)
        for run in (*joints(plan, face), *changes(plan, face))
        for u0, u1 in dams(face, run)
    ]


def changes(plan: CladdingPlan, face: WallFace) -> Iterator[Run]:
    """Patches that other cladding stands over, with their top, and each run."""
    own = [patch for patch in plan.patches if patch.face is face]
    for lower, upper in itertools.permutations(own, 2) if flat_of(plan.scene) else ():
        top = lower.table.below
        above = upper.table.above
        if top is not None and above is not None and abs(above - top) < OPEN_MM:
            yield from _between(face, (lower, upper), top)


def _between(face: WallFace, patches: tuple[Patch, Patch], top: float) -> Iterator[Run]:
    """Runs of a flashing between two patches, or the boards of one.

    Between corner boards, casings and the ends of the sheathing, and clear of flashings over heads
    and over a lower roof, and of tapes and membrane where no casing lies over them.
    """
    (left, right), lower = face.corners_u, patches[0]
    over = [leg_up_wall(face), *(leg_over(head.outer) for head in heads(face))]
    for one in sealed(face):
        over += [one.taped, box(*one.turned_down_rect)]
    slot = box(left, top - SHEET_GAP_MM, right, top + OPEN_MM + SHEET_GAP_MM)
    covered = shapely.union_all([slot, *(patch.area for patch in patches)])
    taken = [area for patch in patches for area in (patch.taken, *patch.open)]
    seen = covered.difference(shapely.union_all([*taken, *over]))
    for patch in patches:
        start, _, end, _ = patch.area.bounds
        left, right = max(left, start), min(right, end)
    if right - left < LEAST_JOINT_MM:
        return
    run: BaseGeometry = LineString([(left, top), (right, top)])
    bare = box(left, top - DRIP_MM, right, top + UP_MM).difference(seen)
    for hole in shapely.get_parts(bare) if not bare.is_empty else ():
        a, _, b, _ = hole.bounds
        run = run.difference(box(a, top - UP_MM, b, top + UP_MM))
    for part in shapely.get_parts(run):
        a, _, b, _ = part.bounds
        if b - a >= LEAST_JOINT_MM:
            yield lower, top, a, b


def slits(plan: CladdingPlan, face: WallFace) -> list[Area]:
    """What flashings leave no room for of the wrap, which laps over their legs, mm.

    It ends over the flange at the cladding's foot. Over casings and upright boards it is slit for
    the flange, which is still high there, and hangs down behind the cladding.
    """
    thick, below = legs_mm(plan.scene), face.foot_mm - 1.0
    low, high = RISE_MM - BEHIND_RISE_MM, RISE_MM + thick
    at_foot = [box(u0, below, u1, low) for _, low, u0, u1 in feet(plan, face)]
    over = [
        box(u0, v1 + low, u1, v1 + high) for u0, _, u1, v1 in (head.outer for head in heads(face))
    ]
    under = (*joints(plan, face), *changes(plan, face))
    between = [box(u0, v + low, u1, v + high) for _, v, u0, u1 in under]
    return [*over, *between, *at_foot]

"""Where flashings pass through a wall's wrap: at the foot of its cladding, and over casings."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import LineString, box
from shapely import Polygon as Area

from pikepole_model.plan.cladding import CladdingPlan, Patch
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.wall_metal import LEAST_RUN_MM, UP_MM, flat_of, heads, legs_mm

# Wider than the gap between siding and corner boards, mm.
NEAR_MM = 4.0


def feet(plan: CladdingPlan, face: WallFace) -> Iterator[tuple[Patch, float, float, float]]:
    """Patches that end over the ground, with the height of their foot and from and to of each run.

    Between the wall's sheathed corners, and not across doorways.
    """
    if not flat_of(plan.scene):
        return
    out = face.sheet_mm
    for patch in plan.patches:
        if patch.face is not face or patch.table.above is not None:
            continue
        low = patch.area.bounds[1]
        left, right = -out, face.plan.length_mm + out
        # Under the corner boards beside it as well.
        boards = [
            area
            for corner, area in plan.corner_boards(face)
            if patch.table is (corner.front if face is corner.through else corner.beside)
        ]
        covered = shapely.union_all([patch.area, *(grow.buffer(NEAR_MM) for grow in boards)])
        level = LineString([(left, low + NEAR_MM), (right, low + NEAR_MM)])
        foot = shapely.intersection(covered, level)
        for hole in patch.open:
            u0, v0, u1, _ = hole.bounds
            if v0 < low + UP_MM:
                foot = foot.difference(box(u0, low - UP_MM, u1, low + UP_MM))
        for run in shapely.get_parts(foot):
            u0, _, u1, _ = run.bounds
            if u1 - u0 >= LEAST_RUN_MM:
                yield patch, low, u0, u1


def slits(plan: CladdingPlan, face: WallFace) -> list[Area]:
    """What flashings leave no room for of the wrap, which laps over their legs, mm.

    It ends over the flange at the cladding's foot. Over casings it is slit for the flange and hangs
    down behind its cladding.
    """
    thick, under = legs_mm(plan.scene), face.foot_mm - 1.0
    at_foot = [box(u0, under, u1, low) for _, low, u0, u1 in feet(plan, face)]
    over = [box(u0, v1, u1, v1 + thick) for u0, _, u1, v1 in (run.outer for run in heads(face))]
    return [*over, *at_foot]

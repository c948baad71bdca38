"""Where bent metal comes between a wall's sheathing and its cladding, in the wall's plane.

Each flashing has a leg up behind the cladding, with the wrap cut to it, a flange out over casing or
under the cladding's foot, and a drip leg down:

        | |  cladding          | |  cladding
       ||_|_                  ||_|
       |____|  over casing    |___ |  at its foot
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import shapely
from shapely import LineString, box
from shapely import Polygon as Area

from pikepole_model.catalogue import Flat
from pikepole_model.faces import WallFace
from pikepole_model.filling import CasedRun, cased_runs
from pikepole_model.framed import Rect
from pikepole_model.roof_cover import RoofCover
from pikepole_model.scene import Scene

if TYPE_CHECKING:
    from pikepole_model.cladding_plan import CladdingPlan, Patch

# Common practice, no source: 2 in up behind the cladding, which ends 1/4 in over the flange; the
# drip leg stands 1/4 in clear of what is under it and hangs 3/8 in down.
UP_MM = 50.8
OPEN_MM = 6.35
CLEAR_MM = 6.35
DRIP_MM = 9.525

# Less of a run than this is left to the casing or the corner boards, mm.
LEAST_RUN_MM = 100.0


# Wider than the gap between siding and corner boards, mm.
NEAR_MM = 4.0


def flat_of(scene: Scene) -> Flat | None:
    """What flashings are bent from, where the scene has any."""
    name = scene.edges.metal if scene.edges else None
    return scene.catalogue.find_flat(name) if name else None


def heads(face: WallFace) -> list[CasedRun]:
    """Casings with a flashing over their heads.

    Not under a sliding door's track, which has its own board; nor where the wall ends too soon
    over the casing.
    """
    if not flat_of(face.plan.levels.scene):
        return []
    return [
        run
        for run in cased_runs(face.plan)
        if not any(filling.track for filling in run.fillings) and face.area.covers(_leg(run.outer))
    ]


def _outers(face: WallFace) -> list[Rect]:
    return [run.outer for run in heads(face)]


def head_slots(face: WallFace) -> list[Area]:
    """What the cladding leaves open over those heads, mm."""
    return [box(u0, v1, u1, v1 + OPEN_MM) for u0, _, u1, v1 in _outers(face)]


def _leg(rect: Rect) -> Area:
    u0, _, u1, v1 = rect
    return box(u0, v1, u1, v1 + UP_MM)


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


def legs(plan: CladdingPlan, face: WallFace) -> list[Area]:
    """What flashings cover of the sheathing, mm."""
    out, floor = face.sheet_mm, face.plan.levels.floor_mm
    up = [
        box(-out, low - floor, face.plan.length_mm + out, high - floor)
        for slope in face.roof.ledger_slopes
        if slope.name.startswith(face.plan.name) and flat_of(plan.scene)
        for low, high in [RoofCover(face.roof, slope).up_wall]
    ]
    on_foot = [box(u0, low - OPEN_MM, u1, low + UP_MM) for _, low, u0, u1 in feet(plan, face)]
    return [*(_leg(rect) for rect in _outers(face)), *on_foot, *up]

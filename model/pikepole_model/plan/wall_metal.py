"""Where bent metal comes between a wall's sheathing and its cladding, in the wall's plane.

Each flashing has a leg on the sheathing, with the wrap lapping over it, a flange out over casing or
under the cladding's foot, and a drip leg down:

        | |  cladding          | |  cladding
       ||_|_                  ||_|
       |____|  over casing    |___ |  at its foot
"""

from __future__ import annotations

import math

from shapely import Polygon as Area
from shapely import box

from pikepole_model.plan.faces import WallFace, lean_to
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.windows_doors import CasedRun, cased_runs
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Flat
from pikepole_model.stock.sheet_metal import PLIES

# Common practice, no source: 2 in up behind the cladding, which ends 1/4 in over the flange; the
# drip leg stands 1/4 in clear of what is under it and hangs 3/8 in down.
UP_MM = 50.8
OPEN_MM = 6.35
CLEAR_MM = 6.35
DRIP_MM = 9.525

# Less of a leg than this on the sheathing takes no nail: 3/4 in, common practice, no source.
LEAST_NAILED_MM = 19.05

# Less of a run than this is left to the casing or the corner boards, mm.
LEAST_RUN_MM = 100.0


def flat_of(scene: Scene) -> Flat | None:
    """What flashings are bent from, where the scene has any."""
    name = scene.edges.metal if scene.edges else None
    return scene.catalogue.find_flat(name) if name else None


def heads(face: WallFace) -> list[CasedRun]:
    """Casings with a flashing over their heads.

    Not under a sliding door's track, which has its own board; nor close under a ledger, whose roof
    keeps the rain off; nor on slats; nor where the wall or its sheathing, which a beam lies over,
    ends too soon over the casing.
    """
    if not flat_of(face.plan.datums.scene) or not face.is_closed:
        return []
    bare = face.area.difference(lean_to(face, 0.0, 0.0))
    sheathed = face.plan.top(0.0) if face.plan.runs_through else math.inf
    return [
        run
        for run in cased_runs(face.plan)
        if not any(fitted.track for fitted in run.openings)
        and bare.covers(leg_over(run.outer))
        and run.outer[3] + LEAST_NAILED_MM <= sheathed
    ]


def head_slots(face: WallFace) -> list[Area]:
    """What the cladding leaves open over those heads, mm."""
    return [box(u0, v1, u1, v1 + OPEN_MM) for u0, _, u1, v1 in (run.outer for run in heads(face))]


def leg_over(rect: Rect) -> Area:
    """What the leg of a flashing over a casing covers of the sheathing, mm."""
    u0, _, u1, v1 = rect
    return box(u0, v1, u1, v1 + UP_MM)


def legs_mm(scene: Scene) -> float:
    """Thickness of the flashings' legs on the sheathing, where two lengths lap; 0 without any."""
    flat = flat_of(scene)
    return PLIES * flat.thickness_mm if flat else 0.0

"""Tilting a wall or a post up about its foot: by its top edge first, then on its uprights.

tilt_of(load) -> WallRaise                      every angle of it
tilt_holds(load, tilt, ...) -> list[Hold]       what hands do meanwhile
"""

from __future__ import annotations

import math
from dataclasses import replace

from pikepole_export.derive.lifting.hand_tasks import KNUCKLE_HEIGHT_MM, HandTask, Motion
from pikepole_export.derive.lifting.hands import ZONE_TOPS_MM
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.statics import Point, WallRaise, raise_wall
from pikepole_model.geometry.placement import Vector

# Where hands push: a little under the shoulders, so that it is not over them.
PUSH_MM = ZONE_TOPS_MM[-1] - 100.0

# A wall's top plate is first blocked up so high, one end after the other, by a bar or a long 2x4
# that lifts five times what is pushed: common practice, no source.
BLOCKED_MM = 300.0
LEVER = 5.0


def tilt_of(load: Load) -> WallRaise:
    """The raising of a wall or a post about its foot, with its high mass."""
    foot, top = _foot_and_head(load)
    height = math.dist(foot, top)
    along = load.centre_mm[2] - load.low_mm
    off = load.size_mm[2] / 2
    centre: Point = (min(along, height), off)
    return raise_wall(load.weight_n, height_mm=height, centre_mm=centre, reach_mm=PUSH_MM)


def tilt_tasks(load: Load, tilt: WallRaise, *, floor_mm: float, start_mm: float) -> list[HandTask]:
    """What hands do: lift the top edge to the shoulders, then walk it up and push.

    What lies low is blocked up first, where hands have hold of it better: half of what the top edge
    takes at each end of it.

    Args:
        load: What is tilted.
        tilt: The whole of its raising.
        floor_mm: What people stand on, above ground.
        start_mm: Height of the top edge over that floor at the start.
    """
    handover_deg = tilt.handover_deg or 90.0
    before = [s.force_n for s in tilt.samples if s.angle_deg <= handover_deg]
    after = [s for s in tilt.samples if s.angle_deg >= (tilt.handover_deg or 0.0)]
    _, top = _foot_and_head(load)
    is_low = start_mm < BLOCKED_MM
    edge = HandTask(
        action="lift its top to your shoulders",
        force_n=max(tilt.vertical_n, *before),
        from_mm=BLOCKED_MM if is_low else start_mm,
        to_mm=PUSH_MM,
        floor_mm=floor_mm,
        base_mm=floor_mm,
        depth_mm=load.size_mm[2],
        at_mm=(top,),
        motion=Motion.TILTED,
    )
    walked = replace(
        edge,
        action="walk it up, hands under it",
        force_n=max(s.force_n * math.cos(math.radians(s.angle_deg)) for s in after),
        from_mm=KNUCKLE_HEIGHT_MM,
    )
    pushed = replace(
        walked,
        action="walk it up, pushing",
        force_n=max(s.force_n * math.sin(math.radians(s.angle_deg)) for s in after),
        pushed=True,
    )
    blocked = replace(
        edge,
        action="lever its top plate onto blocks, end by end",
        force_n=tilt.vertical_n / 2 / LEVER,
        from_mm=KNUCKLE_HEIGHT_MM,
        to_mm=KNUCKLE_HEIGHT_MM,
        pushed=True,
    )
    return [blocked, edge, walked, pushed] if is_low else [edge, walked, pushed]


def _foot_and_head(load: Load) -> tuple[Vector, Vector]:
    """Points of its foot and its head over its middle, building frame."""
    x = sum(end[0] for end in load.ends_mm) / 2
    y = sum(end[1] for end in load.ends_mm) / 2
    return (x, y, load.low_mm), (x, y, load.top_mm)

"""Tilting a wall or a post up about its foot: by its top edge first, then on its uprights.

    tilt_of(item) -> WallRaise                              every angle of it
    jacked_foot_of(item) -> N                               the same on wall jacks, at its foot
    tilted(item, setup, rest_height_mm) -> Options          what hands do meanwhile

             ___---             Its foot is stopped, so that hands can press square to it, where the
        ___--- /|  start        least force holds it. The upright part of that is what they lift:
  stop ===------+===  trestle   half of it while it lies, times cos2 of its angle as it comes up.

A wall's top plate is levered onto blocks first. Where it has to begin nearer to the knuckles, its
ends go up from there onto trestles, one after the other: a bare frame twists.
"""

from __future__ import annotations

import math
from dataclasses import replace

from pikepole_export.derive.lifting.grips import task_of
from pikepole_export.derive.lifting.hand_tasks import (
    KNUCKLE_HEIGHT_MM,
    HandTask,
    Motion,
    Options,
    Rest,
)
from pikepole_export.derive.lifting.hands import ZONE_TOPS_MM
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.rests import HandSetup, strapped
from pikepole_export.derive.lifting.statics import (
    Point,
    WallRaise,
    jacked_foot_n,
    push_n,
    raise_wall,
)
from pikepole_model.geometry.placement import Vector
from pikepole_model.units import FOOT_MM

# Where hands push: a little under the shoulders, so that it is not over them.
PUSH_MM = ZONE_TOPS_MM[-1] - 100.0

# What lies low is first blocked up so high, one end after the other, by a bar or a long 2x4 that
# lifts five times what is pushed: common practice, no source.
BLOCKED_MM = 300.0
LEVER = 5.0

# What is left of a force that has come down to nothing.
LEAST_LEFT = 1e-6

# One end of a top plate goes up by so much before the other. Source: Fine Homebuilding 29 (1985),
# ledges 2 ft apart along a wall.
ONE_END_MM = 2 * FOOT_MM


def tilt_of(item: Item) -> WallRaise:
    """The raising of a wall or a post about its foot, with its high mass."""
    load = item.whole
    height, centre = _about_foot(load)
    reach_mm = PUSH_MM - _foot_mm(item)
    return raise_wall(load.weight_n, height_mm=height, centre_mm=centre, reach_mm=reach_mm)


def jacked_foot_of(item: Item) -> float:
    """What thrusts a wall's foot outward while jacks raise it, N; the jacks' feet the other way."""
    height, centre = _about_foot(item.whole)
    return jacked_foot_n(item.whole.weight_n, height_mm=height, centre_mm=centre)


def tilted(item: Item, setup: HandSetup, rest_height_mm: float) -> Options:
    """What hands do: lift the top edge to the shoulders, then walk it up and push.

    Args:
        item: A wall or a post.
        setup: What trestles there are.
        rest_height_mm: Height over the floor on which a post's head waits; a wall lies on the
            floor, its top edge as high as it is thick.
    """
    load, tilt = item.whole, tilt_of(item)
    height, centre = _about_foot(load)
    foot_mm = _foot_mm(item)
    is_wall = item.handling == Handling.WALL
    x = sum(end[0] for end in load.ends_mm) / 2
    y = sum(end[1] for end in load.ends_mm) / 2
    top: Vector = (x, y, load.top_mm)

    def lifted_n(hands_mm: float) -> float:
        """The force at its top edge, square to it, so high over the floor; all of it counts."""
        rise = min(max(hands_mm - foot_mm, 0.0) / height, 1.0)
        angle_deg = math.degrees(math.asin(rise))
        square_n = push_n(load.weight_n, centre_mm=centre, grip_mm=height, angle_deg=angle_deg)
        return max(square_n, 0.0)

    def task(action: str, force_n: float, from_mm: float, to_mm: float) -> HandTask:
        return task_of(item, action, force_n, (from_mm, to_mm), top, Motion.TILTED)

    def to_shoulders(from_mm: float) -> HandTask:
        start_n, end_n = lifted_n(from_mm), lifted_n(PUSH_MM)
        edge = task("lift its top to your shoulders", start_n, from_mm, PUSH_MM)
        # Past its balance nothing is left, and the equation wants something.
        return replace(edge, left=max(end_n / start_n, LEAST_LEFT)) if start_n > 0 else edge

    # Hands stay as high while the feet come nearer, and go down along it: no lift any more. What
    # is hardly longer than they are high is past its balance by then.
    handover_deg = tilt.handover_deg or 0.0
    walks_n = [s.force_n for s in tilt.samples if s.angle_deg >= handover_deg]
    walked = task("walk it up, hands under it", max(0.0, *walks_n), PUSH_MM, PUSH_MM)
    pushed = replace(
        task("walk it up, pushing", max(s.level_n for s in tilt.samples), PUSH_MM, PUSH_MM),
        pushed=True,
    )
    up = [walked, pushed]
    start_mm = load.size_mm[2] if is_wall else rest_height_mm
    if start_mm >= BLOCKED_MM:
        return [[to_shoulders(start_mm), *up]]
    plate = "lever it onto blocks, end by end"
    what = plate if is_wall else "lever its head onto blocks"
    end_n = tilt.vertical_n / 2 if is_wall else tilt.vertical_n
    blocked = replace(task(what, end_n / LEVER, KNUCKLE_HEIGHT_MM, KNUCKLE_HEIGHT_MM), pushed=True)
    found = [[blocked, to_shoulders(BLOCKED_MM), *up]]
    for rest_mm in setup.rest_heights_mm:
        if is_wall and BLOCKED_MM < rest_mm <= BLOCKED_MM + ONE_END_MM:
            one_end = task("lift one end", end_n, BLOCKED_MM, rest_mm)
            raised = replace(one_end, onto=Rest.TRESTLES)
            found += [
                [blocked, end, to_shoulders(rest_mm), *up] for end in (raised, strapped(raised))
            ]
    return found


def _about_foot(load: Load) -> tuple[float, Point]:
    """How long it is, and its middle along it and above the edge that it turns on, mm."""
    height = load.top_mm - load.low_mm
    along = load.centre_mm[2] - load.low_mm
    return height, (min(along, height), load.size_mm[2] / 2)


def _foot_mm(item: Item) -> float:
    """Height of its foot over what people stand on, as a post's base is.

    One in a hole turns about the hole's edge; what stands higher is walked up from up there.
    """
    over_mm = item.whole.low_mm - item.floor_mm
    return over_mm if 0 < over_mm <= BLOCKED_MM else 0.0

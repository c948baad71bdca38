"""Where a load is before every step of a lift by hand, and after it.

  step_poses(item, load, method, footprint, floor) -> tuple[StepPose, ...]

         rests on        people of        rests on        people of
place    the platform    the last step    the lower one   the step before
  |          |               |                |               |
  +--------- |---------------+----------------|---------------+----> away
  |<-reach ->|  platform     |<--- platform  >|
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pikepole_export.derive.lifting.grips import GRIP_SHARE, half_depth_mm
from pikepole_export.derive.lifting.hand_tasks import HandTask, Motion, Rest, TaskAssessment
from pikepole_export.derive.lifting.items import Edge, Handling, Item
from pikepole_export.derive.lifting.ledges import LEDGE_MM
from pikepole_export.derive.lifting.loads import Load, nearer_end
from pikepole_export.derive.lifting.methods import Method
from pikepole_export.derive.lifting.poses import (
    LET_DOWN_MM,
    Footprint,
    Pose,
    between,
    eave_pose,
    in_place,
    leaning_pose,
    start_pose,
    tilted_pose,
)
from pikepole_export.derive.lifting.tilting import BLOCKED_MM
from pikepole_export.write.cards.gear import Heights
from pikepole_export.write.cards.solids import PLATFORM_DEEP_MM, UP
from pikepole_model.geometry.placement import Points

# From the ankles to the near side of what is held, and of what is set down on a platform.
BESIDE_MM = 330.0
SET_DOWN_MM = 420.0
# What rests on a platform lies so far out from its middle.
ON_EDGE_MM = PLATFORM_DEEP_MM / 2 - 100.0
# What rises on ledges or cribs does so beside what it goes onto.
BESIDE_PLACE_MM = 300.0
WAITS_BEHIND_MM = 450.0  # what still waits, behind those who take its other end
LOOK_MM = 700.0  # how far from a piece the floor is looked at
LIFTING_DEG = 50.0  # of what is walked up, as it is drawn when hands lift more than they push
STEP_MM = 100.0


@dataclass(frozen=True, slots=True)
class StepPose:
    """A load at one step.

    Attributes:
        before: Where it is when the step begins.
        after: Where it is at its end.
        away: (3,) float: level unit vector from the load to the people.
        stand_mm: From the near side of the load to their ankles.
    """

    before: Pose
    after: Pose
    away: Points
    stand_mm: float


def step_poses(
    item: Item, load: Load, method: Method, footprint: Footprint, floor: Heights
) -> tuple[StepPose, ...]:
    """The load at every step.

    Args:
        item: What is lifted.
        load: What of it goes up at once.
        method: How.
        footprint: What stands.
        floor: What people stand on.
    """
    tasks = [one.task for one in method.assessments]
    away = _away(item, load, tasks, footprint, floor)
    stands = [_stand_mm(one) for one in method.assessments]
    offsets = _offsets_mm(tasks, stands)
    waits = _waits(item, load, method, footprint, floor, away, offsets[0] + stands[0])
    found: list[StepPose] = []
    now = waits
    for number, task in enumerate(tasks):
        then = _after(item, load, tasks, number, now, footprint, away * offsets[number])
        # What is only picked up is seen before those who do it.
        in_arms = not _rests(task) and _at_start(tasks, number)
        found.append(StepPose(now, then, -away if in_arms else away, stands[number]))
        now = then
    return tuple(found)


def _rests(task: HandTask) -> bool:
    """Whether it is set down on its way, to be taken up again."""
    return task.onto is not None and task.onto.is_on_the_way


def _at_start(tasks: Sequence[HandTask], number: int) -> bool:
    """Whether it is picked up where it waits, and no more than that."""
    task = tasks[number]
    is_first = number == 0 and len(tasks) > 1
    return is_first and tasks[1].motion in (Motion.WHOLE, Motion.SLID) and not task.pushed


def held_end(load: Load, task: HandTask) -> int:
    """Which of its ends is held: 0 or 1; the last one where all of it was held before."""
    centre = np.array(load.centre_mm)
    if float(np.linalg.norm(np.array(task.at_mm[0]) - centre)) < 1.0:
        return 1
    return nearer_end(load, task.at_mm[0])


def _away(
    item: Item, load: Load, tasks: Sequence[HandTask], footprint: Footprint, floor: Heights
) -> Points:
    """Outward, or inward where only there is the floor that the plan has people on."""
    outward = in_place(load, footprint).outward
    if item.handling.over is Edge.JOIST:
        return -outward
    base = tasks[-1].base_mm
    centre = np.array(load.centre_mm)
    out, into = (abs(floor(centre + outward * LOOK_MM * s) - base) < 1.0 for s in (1, -1))
    return -outward if into and not out else outward


def _stand_mm(assessed: TaskAssessment) -> float:
    """From the near side of the load to the ankles, by the plan's reach to its middle."""
    task = assessed.task
    reach = task.reach_mm - task.depth_mm / 2 + 80.0
    return max(SET_DOWN_MM if task.onto and task.onto.is_on_platform else BESIDE_MM, reach)


def _offsets_mm(tasks: Sequence[HandTask], stands: Sequence[float]) -> list[float]:
    """How far from its place the held end is after each task: further out, the lower it rests."""
    found: list[float] = []
    further = 0.0
    for task, then, stand in reversed(list(zip(tasks, (*tasks[1:], None), stands, strict=True))):
        if then is None or then.at_mm != task.at_mm:
            further = 0.0
        match task.onto:
            case None | Rest.PLACE | Rest.SEAT | Rest.TRESTLES:
                found.append(0.0)
            case Rest.PLATFORM | Rest.BLOCK:
                found.append(further)
            case Rest.LEDGE | Rest.CRIBS:
                found.append(BESIDE_PLACE_MM)
        further = found[-1] + stand + ON_EDGE_MM
    return found[::-1]


def _waits(
    item: Item,
    load: Load,
    method: Method,
    footprint: Footprint,
    floor: Heights,
    away: Points,
    clear_mm: float,
) -> Pose:
    """Where it waits: clear of the platforms, and on the deck where it is raised from there."""
    first = method.assessments[0].task
    if item.handling.over is not None and first.motion is not Motion.SLID:
        edge = item.handling.over
        item = replace(item, handling=Handling.SHEET)  # taken off the trestles first
        pose = start_pose(item, load, footprint, method.rest_height_mm)
        if edge is Edge.JOIST:  # in the middle of the floor, with room all round
            centre = pose.apply(np.array([load.centre_mm]))[0]
            return _moved(pose, np.array([*(footprint.middle_mm - centre[:2]), 0.0]))
    pose = start_pose(item, load, footprint, method.rest_height_mm)
    if first.motion in (Motion.TILTED, Motion.SLID, Motion.TIPPED) or item.is_frame(load):
        return pose
    centre = pose.apply(np.array([load.centre_mm]))[0]
    wanted = clear_mm + WAITS_BEHIND_MM if _rests(first) else 0.0
    off = float((centre - np.array(load.centre_mm)) @ away)
    if load.low_mm < item.floor_mm + method.rest_height_mm:
        pose = _moved(pose, -pose.outward * LET_DOWN_MM)  # what is let down waits beside its place
    if abs(first.base_mm - floor(centre)) < 1.0:
        return _moved(pose, away * max(wanted - off, 0.0))
    level = np.array([1.0, 1.0, 0.0])
    first_end, last_end = pose.apply(np.array(load.ends_mm))
    held = [first_end + (last_end - first_end) * share for share in (GRIP_SHARE, 1 - GRIP_SHARE)]
    home = (np.array(load.centre_mm) - centre) * level
    for out in np.arange(max(wanted, 2 * LOOK_MM), 0.0, -STEP_MM):
        shift = home + away * out
        if all(abs(floor(end + shift) - first.base_mm) < 1.0 for end in held):
            return _moved(pose, shift)
    return pose


def _after(
    item: Item,
    load: Load,
    tasks: Sequence[HandTask],
    number: int,
    now: Pose,
    footprint: Footprint,
    shift: Points,
) -> Pose:
    """Where the load is after one of its tasks, from where it was before it."""
    task = tasks[number]
    is_last = number == len(tasks) - 1
    place = in_place(load, footprint)
    match task.motion:
        case Motion.WHOLE:
            if is_last:
                return place
            return _carried(item, load, task, tasks[number + 1], now, place, shift)
        case Motion.END:
            if is_last:
                return place
            end = held_end(load, task)
            is_seated = tasks[number + 1].at_mm != task.at_mm and not _rests(task)
            ends = now.apply(np.array(load.ends_mm))
            if is_seated and tasks[number + 1].motion is Motion.END:
                ends[end] = load.ends_mm[end]
            elif _rests(task):
                ends[end] = np.array(load.ends_mm[end]) * [1, 1, 0] + shift
                # At that height where it is held, which is a little further in.
                held = task.floor_mm + task.to_mm + half_depth_mm(load)
                ends[end][2] = (held - GRIP_SHARE * ends[1 - end][2]) / (1 - GRIP_SHARE)
            else:
                ends[end] = ends[end] + UP * (task.to_mm - task.from_mm)
            return _laid(load, ends, end, now.outward)
        case Motion.ROCKED:
            if is_last:
                return place
            low = _moved(place, shift + UP * (task.floor_mm + task.to_mm - load.low_mm))
            ends = low.apply(np.array(load.ends_mm))
            # One end as high as hands bring it, the other under the top of its crib.
            ends[0] = ends[0] - UP * min(task.to_mm - task.from_mm, LEDGE_MM) / 2
            return _laid(load, ends, 1, now.outward)
        case Motion.TIPPED:
            return _tipped(load, now)
        case Motion.TILTED:
            if is_last:
                return place
            return tilted_pose(
                load, footprint, _tilt_deg(load, tasks, number), inward=item.is_frame(load)
            )
        case Motion.SLID | Motion.OVER:
            if is_last:
                return eave_pose(item, load, footprint)
            foot = tasks[number + 1].floor_mm if _rests(task) else task.floor_mm + task.to_mm
            return leaning_pose(item, load, footprint, foot)
        case Motion.TAKEN:
            return place


def _carried(
    item: Item, load: Load, task: HandTask, then: HandTask, now: Pose, place: Pose, shift: Points
) -> Pose:
    """In the arms, or set down on a platform."""
    if _rests(task):
        centre = now.apply(np.array([load.centre_mm]))[0]
        to = (np.array(load.centre_mm) - centre) * [1, 1, 0] + shift
        low = float(now.apply(load.vertices_mm)[:, 2].min())
        is_wide = item.handling.is_panel
        up = (then.floor_mm if is_wide else task.floor_mm + task.to_mm) - low
        return _moved(now, to + UP * up)
    if then.motion is Motion.END:  # over its place, to be let down there
        return _moved(place, UP * (task.floor_mm + task.to_mm - load.low_mm))
    return _moved(now, UP * (task.to_mm - task.from_mm))


def _tipped(load: Load, now: Pose) -> Pose:
    """Half off its stack, its far edge down."""
    points = now.apply(load.vertices_mm)
    low, high = float(points[:, 2].min()), float(points[:, 2].max())
    inward = -now.outward
    spread = points @ inward
    wide = float(np.ptp(spread))
    drop = math.asin(min(max((low - load.low_mm) / wide, 0.0), 0.9))
    # About the inner edge of the stack, under its middle then.
    axis = np.cross(inward, UP)
    turn = _about(axis, -math.degrees(drop))
    edge = inward * float(spread.max()) + UP * (low + high) / 2
    middle = points.mean(axis=0)
    edge = edge + (middle - edge) * np.abs(axis)
    moved = _moved(now, inward * wide / 2)
    return Pose(turn @ moved.turn, turn @ (moved.shift_mm - edge) + edge, now.outward)


def _tilt_deg(load: Load, tasks: Sequence[HandTask], number: int) -> float:
    """How steep a wall or a post is after a task of being tilted up, the last one left out."""
    task = tasks[number]
    to_mm = BLOCKED_MM if number == 0 and task.pushed else task.to_mm
    height = load.top_mm - load.low_mm
    lifted = math.degrees(math.asin(min(to_mm / height, 0.9)))
    is_walked = number > 0 and not tasks[number - 1].pushed
    return max(lifted + 10.0, LIFTING_DEG) if is_walked else lifted


def _laid(load: Load, ends: Points, held: int, outward: Points) -> Pose:
    """With one end at a point, and turned towards the other, as little about itself as can be."""
    way = ends[1] - ends[0]
    turn = between(np.array(load.box.u), way / np.linalg.norm(way))
    return Pose(turn, ends[held] - turn @ np.array(load.ends_mm[held]), outward)


def _moved(pose: Pose, by: Points) -> Pose:
    return replace(pose, shift_mm=pose.shift_mm + by)


def _about(axis: Points, angle_deg: float) -> Points:
    level = np.cross(axis, UP)
    return between(
        level, level * math.cos(math.radians(angle_deg)) + UP * math.sin(math.radians(angle_deg))
    )

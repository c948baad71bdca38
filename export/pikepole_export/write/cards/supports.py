"""What a load lies on at a step of a lift card: trestles, bearers, ledges, cribs, wall blocks.

trestles(item, load, pose, rest_height_mm) -> tuple[Trestle, ...]
supports(load, method, number, steps, floor, units) -> solids, marks
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.lifting.grips import GRIP_SHARE, half_depth_mm
from pikepole_export.derive.lifting.hand_tasks import HandTask, Motion, Rest
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.methods import Method
from pikepole_export.derive.lifting.poses import Pose, level_along
from pikepole_export.derive.lifting.techniques import Technique
from pikepole_export.derive.lifting.tilting import BLOCKED_MM
from pikepole_export.write.cards.gear import GEAR, Heights, crib, ledge_posts
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.solids import LEG_MM, UP, Solid, bar, trestle
from pikepole_export.write.cards.steps import BESIDE_PLACE_MM, StepPose, held_end
from pikepole_export.write.cards.words import height
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units

LEVEL: Points = np.array([1.0, 1.0, 0.0])
TRESTLES_SHARE = 0.22  # from the middle of what waits, of its length
UNDER_HEAD_MM = 500.0  # a post lies on one, so far from its head
BLOCK_MM = 150.0  # breadth of a block, as it is drawn


@dataclass(frozen=True, slots=True)
class Trestle:
    """A trestle or a bearer under what waits.

    Attributes:
        top: (3,) float: middle of its rail's upper side.
        across: (3,) float: level unit vector along the rail.
    """

    top: Points
    across: Points

    def drawn(self, floor: Heights) -> Solid:
        """It, on its floor."""
        return trestle(self.top, self.across, floor(self.top), GEAR)

    def carries(self, load: Load, pose: Pose) -> bool:
        """Whether the load lies on it in a pose."""
        first, last = pose.apply(np.array(load.ends_mm))
        way = last - first
        share = float((self.top - first) @ way) / float(way @ way)
        off = first + way * share - self.top
        # Square to the load, its middle no further off than it is thick.
        return 0.0 < share < 1.0 and float(np.linalg.norm(off)) < max(load.size_mm[1:])


def trestles(item: Item, load: Load, pose: Pose, rest_height_mm: float) -> tuple[Trestle, ...]:
    """Under what waits level; one under the head of a post that lies.

    Args:
        item: What is lifted.
        load: What of it waits there.
        pose: Where it waits.
        rest_height_mm: The plan's height over the floor on which it waits.
    """
    points = pose.apply(load.vertices_mm)
    low = float(points[:, 2].min())
    along = level_along(load, pose)
    across = np.cross(UP, along)
    middle = (points.min(axis=0) + points.max(axis=0)) / 2 * LEVEL + UP * low
    if item.handling == Handling.POST and rest_height_mm > 0:
        x, y = load.centre_mm[:2]
        head = pose.apply(np.array([[x, y, load.top_mm - UNDER_HEAD_MM]]))[0]
        return (Trestle(head - UP * load.size_mm[2] / 2, np.cross(UP, pose.outward)),)
    if abs(low - (item.floor_mm + rest_height_mm)) > 1.0:
        return ()
    reach = float(np.ptp(points @ along)) * TRESTLES_SHARE
    if reach < LEG_MM * 4:
        return (Trestle(middle, across),)
    return tuple(Trestle(middle + along * reach * side, across) for side in (-1, 1))


def supports(
    load: Load,
    method: Method,
    number: int,
    steps: Sequence[StepPose],
    floor: Heights,
    units: Units,
) -> tuple[list[Solid], list[Mark]]:
    """What it lies on at the beginning of a step and at its end, but for trestles and platforms.

    Args:
        load: What is lifted.
        method: How.
        number: Which of its steps, from 0.
        steps: Where it is at each of them.
        floor: What supports stand on.
        units: Those of what is written.
    """
    task = method.assessments[number].task
    solids: list[Solid] = []
    marks: list[Mark] = []
    if task.onto and task.onto.is_on_platform:
        found, tops = _bearers(load, method, number, steps[number].after)
        solids += found
        if task.onto is Rest.BLOCK:
            said = f"block {height(method.assessments[number + 1].task.from_mm, units)}"
            marks += [Mark(Symbol.NOTE, top, None, (said,)) for top in tops[:1]]
    lay_on = method.assessments[number - 1].task.onto if number else None
    if lay_on and lay_on.is_on_platform:
        solids += _bearers(load, method, number - 1, steps[number].before)[0]
    if method.technique is Technique.LEDGES:
        for end in (0, 1):
            at, tops_mm = _ledges(load, method, steps, end)
            way = _along(load)
            solids += ledge_posts(at, way, tops_mm, floor(at))
            if end == held_end(load, task) and task.onto is Rest.LEDGE:
                said = (f"ledge {height(task.to_mm, units)}",)
                if task.is_on_platform:
                    said = (*said, "over the platform")
                top = at * LEVEL + UP * (task.floor_mm + task.to_mm)
                marks.append(Mark(Symbol.NOTE, top, None, said))
    if method.rocking is not None:
        # As high as the end comes to rest, not as hands bring it.
        pose = steps[number].after
        centre = np.array(load.centre_mm) + steps[number].away * BESIDE_PLACE_MM
        along = level_along(load, pose)
        for side in (-1, 1):
            at = centre + along * side * method.rocking.apart_mm / 2
            top = UP * (_height_at(load, pose, at) - half_depth_mm(load))
            at = at * LEVEL + top
            solids += crib(at, along, method.rocking.base_mm, floor(at))
            if side == 1:
                said = ("two cribs", f"{height(method.rocking.apart_mm, units)} apart")
                marks.append(Mark(Symbol.NOTE, at, None, said))
    if load.is_upright or task.motion is not Motion.TILTED:
        return solids, marks
    tasks = [one.task for one in method.assessments]
    for tilted, pose in (
        (tasks[number - 1] if number else None, steps[number].before),
        (task, steps[number].after),
    ):
        if tilted is None or (tilted.onto is not Rest.TRESTLES and not _is_blocked(tasks, tilted)):
            continue
        found, top = _under_edge(load, pose, floor, on_trestles=tilted.onto is Rest.TRESTLES)
        solids += found
        if tilted is task:
            what = "trestle" if tilted.onto is Rest.TRESTLES else "block"
            tall = tilted.to_mm if tilted.onto is Rest.TRESTLES else BLOCKED_MM
            marks.append(Mark(Symbol.NOTE, top, None, (f"{what} {height(tall, units)}",)))
    return solids, marks


def _is_blocked(tasks: Sequence[HandTask], task: HandTask) -> bool:
    """Whether a wall is levered onto blocks in a task: the first of those of tilting it up."""
    return task is tasks[0] and task.pushed


def _under_edge(
    load: Load, pose: Pose, floor: Heights, *, on_trestles: bool
) -> tuple[list[Solid], Points]:
    """Blocks or trestles under both ends of the edge by which a wall is raised."""
    points = pose.apply(load.vertices_mm)
    along = level_along(load, pose)
    depth = points @ -pose.outward
    edge = points[depth > float(depth.max()) - BLOCK_MM]
    low = float(edge[:, 2].min())
    solids: list[Solid] = []
    top = edge[0]
    for number in (int(np.argmin(edge @ along)), int(np.argmax(edge @ along))):
        foot = edge[number] * LEVEL + UP * floor(edge[number])
        top = edge[number] * LEVEL + UP * low
        solids.append(
            trestle(top, along, float(foot[2]), GEAR)
            if on_trestles
            else bar(foot, top, BLOCK_MM, GEAR)
        )
    return solids, top


def _bearers(
    load: Load, method: Method, number: int, pose: Pose
) -> tuple[list[Solid], list[Points]]:
    """Bearers or a block under a stick that rests on a platform; what is wide stands on it."""
    task, then = method.assessments[number].task, method.assessments[number + 1].task
    ends = pose.apply(np.array(load.ends_mm))
    top_mm = task.floor_mm + task.to_mm
    is_wide = float(pose.apply(load.vertices_mm)[:, 2].min()) < top_mm - 1.0
    if is_wide and task.motion is not Motion.END:
        return [], []
    if task.motion is Motion.END:
        held = held_end(load, task)
        spots = [ends[held] + (ends[1 - held] - ends[held]) * GRIP_SHARE / 2]
    else:
        spots = [ends[0] + (ends[1] - ends[0]) * s for s in (GRIP_SHARE, 1 - GRIP_SHARE)]
    tops = [spot * LEVEL + UP * top_mm for spot in spots]
    across = np.cross(UP, level_along(load, pose))
    return [trestle(top, across, then.floor_mm, GEAR) for top in tops], tops


def _ledges(
    load: Load, method: Method, steps: Sequence[StepPose], end: int
) -> tuple[Points, list[float]]:
    """Where an end goes up on ledges, and their heights above ground."""
    away = steps[0].away
    other = np.array(load.ends_mm[1 - end])
    at = np.array(load.ends_mm[end])
    at = at + (other - at) * GRIP_SHARE / 3 + away * BESIDE_PLACE_MM
    tasks = [one.task for one in method.assessments]
    tops = {
        task.floor_mm + task.to_mm
        for task in tasks
        if task.onto is Rest.LEDGE and held_end(load, task) == end
    }
    return at, sorted(tops)


def _along(load: Load) -> Points:
    first, last = (np.array(end) * LEVEL for end in load.ends_mm)
    return (last - first) / float(np.linalg.norm(last - first))


def _height_at(load: Load, pose: Pose, at: Points) -> float:
    """Height of its middle line over a point."""
    first, last = pose.apply(np.array(load.ends_mm))
    way = (last - first) * LEVEL
    share = float((at - first) @ way) / float(way @ way)
    return float(first[2] + (last[2] - first[2]) * share)

"""Where hands are on a load, and where the people stand whose hands they are.

    team(item, load, assessed, step, floor) -> Team

A team stands beside the load at the end of a step. Heights are the plan's; along the load they
stand as far apart as it allows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from pikepole_export.derive.lifting.grips import GRIP_SHARE, half_depth_mm
from pikepole_export.derive.lifting.hand_tasks import Motion, Rest, TaskAssessment
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.poses import Pose, level_along
from pikepole_export.write.cards.gear import Heights
from pikepole_export.write.cards.steps import StepPose, held_end
from pikepole_model.geometry.placement import Points

# People side by side at one end of a piece; common practice, no source.
APART_MM = 600.0

# Hands are this far in from an edge or the end of a post.
HAND_MM = 120.0
INSET_SHARE = 0.03  # of a sheet's edge, at either end of it

# Hands so far over the edge of a wall hold the end of a lever.
LEVERED_MM = 200.0

INSIDE_MM = 300.0  # further from a window or a leaf than those outside
LEVER_MM = 150.0  # from the edge to the hands, level

UP: Points = np.array([0.0, 0.0, 1.0])
LEVEL: Points = np.array([1.0, 1.0, 0.0])


@dataclass(frozen=True, slots=True)
class Team:
    """People at one moment.

    Attributes:
        hands: (n, 3) float: the middle between each one's hands, mm.
        holds: (n, 3) float: where the load is held: under the hands, where a strap is between.
        feet: (n, 3) float: where each stands.
        along: (3,) float: level way along which they stand.
        inside: Whether the last of them stands on the other side, in the opening.
    """

    hands: Points
    holds: Points
    feet: Points
    along: Points
    inside: bool = False


def team(item: Item, load: Load, assessed: TaskAssessment, step: StepPose, floor: Heights) -> Team:
    """Who holds, where.

    Args:
        item: What is lifted.
        load: What of it is in the hands.
        assessed: The task, with the number of people.
        step: Where the load is.
        floor: What those stand on who are not on the plan's floor: inside a window.
    """
    task = assessed.task
    if task.motion is Motion.TILTED:
        is_post = item.handling == Handling.POST
        return (_at_a_post if is_post else _at_a_frame)(load, assessed, step)
    if task.motion in (Motion.SLID, Motion.OVER):
        return _at_the_foot(load, assessed, step)
    if item.handling.is_panel and not load.lies_flat:
        return _at_a_panel(item, load, assessed, step, floor)
    if item.handling.is_panel:
        return _at_an_edge(load, assessed, step)
    return _at_a_stick(load, assessed, step)


def _team(
    assessed: TaskAssessment,
    holds: list[Points],
    ways: list[Points],
    stand_mm: float,
    along: Points,
) -> Team:
    """Feet beside what is held, on the plan's floor; hands at it, or a strap's length over it."""
    task = assessed.task
    feet = [
        hold * LEVEL + way * stand_mm + UP * task.floor_mm
        for hold, way in zip(holds, ways, strict=True)
    ]
    hands = np.array(holds) + UP * task.strap_mm
    return Team(hands, np.array(holds), np.array(feet), along)


def _at_a_stick(load: Load, assessed: TaskAssessment, step: StepPose) -> Team:
    """Near the end that is raised, or along all of it."""
    people, pose = assessed.people, step.after
    first, last = pose.apply(np.array(load.ends_mm))
    length = load.size_mm[0]
    if assessed.task.motion in (Motion.END, Motion.ROCKED):
        # A hand's place on a piece that leans is nearer to the next one from above.
        level = float(np.linalg.norm((last - first) * LEVEL)) / length
        grip, apart = GRIP_SHARE * length, APART_MM / max(level, 0.5)
        places = [grip + apart * (k - (people - 1) / 2) for k in range(people)]
        inward = min(0.0, places[0] - HAND_MM)
        places = [min(place - inward, length - HAND_MM) for place in places]
        if held_end(load, assessed.task) == 1:
            first, last = last, first
    else:
        shares = [0.5] if people == 1 else np.linspace(GRIP_SHARE, 1 - GRIP_SHARE, people)
        places = [length * float(share) for share in shares]
    _, width, thickness = load.size_mm
    v, n = (pose.turn @ np.array(way) for way in (load.box.v, load.box.n))
    beside = (abs(float(v @ step.away)) * width + abs(float(n @ step.away)) * thickness) / 2
    under = step.away * beside - UP * half_depth_mm(load)
    holds = [first + (last - first) * place / length + under for place in places]
    along = (last - first) * LEVEL
    return _team(
        assessed, holds, [step.away] * people, step.stand_mm, along / np.linalg.norm(along)
    )


def _at_a_panel(
    item: Item, load: Load, assessed: TaskAssessment, step: StepPose, floor: Heights
) -> Team:
    """One before its middle; two at its ends; a third before its middle, or inside a window."""
    people, pose, task = assessed.people, step.after, assessed.task
    points = pose.apply(load.vertices_mm)
    along = level_along(load, pose)
    spread, depth = points @ along, points @ step.away
    ends, middle = (float(spread.min()), float(spread.max())), float(spread.mean())
    outer, inner = float(depth.max()), float(depth.min())
    low, top = float(points[:, 2].min()), float(points[:, 2].max())
    level = UP * min(max(task.floor_mm + task.to_mm, low), top)
    in_place = np.allclose(pose.turn, np.eye(3)) and np.allclose(pose.shift_mm, 0.0)
    holds: list[Points] = []
    ways: list[Points] = []
    if people > 1:
        for end, side in zip(ends, (-1.0, 1.0), strict=True):
            holds.append(along * end + step.away * (outer + inner) / 2 + level)
            ways.append(along * side * 0.6 + step.away * 0.8 if in_place else along * side)
    fits = item.handling == Handling.UNIT and in_place
    for number in range(len(holds), people):
        is_inside = number > 0 and fits
        holds.append(along * middle + step.away * (inner if is_inside else outer) + level)
        ways.append(-step.away if is_inside else step.away)
    found = _team(assessed, holds, ways, step.stand_mm, along)
    if people < 3 or not fits:
        return found
    # Bent to it, with the piece between them and the opening.
    found.feet[-1] -= step.away * INSIDE_MM
    found.feet[-1][2] = floor(found.feet[-1])
    return replace(found, inside=True)


def _at_an_edge(load: Load, assessed: TaskAssessment, step: StepPose) -> Team:
    """Along the outer edge of what lies, from end to end; or along the end that is raised."""
    points = step.after.apply(load.vertices_mm)
    along, away = level_along(load, step.after), step.away
    if assessed.task.motion is Motion.END and not np.allclose(step.after.turn, np.eye(3)):
        ends = step.after.apply(np.array(load.ends_mm)) * LEVEL
        held = held_end(load, assessed.task)
        way: Points = ends[held] - ends[1 - held]
        away = way / float(np.linalg.norm(way))
        along = np.cross(UP, away)
    spread, depth = points @ along, points @ away
    first, last = float(spread.min()), float(spread.max())
    near = points[depth > float(depth.max()) - HAND_MM]
    edge = away * float(depth.max()) + UP * float(near[:, 2].max())
    shares = [0.5] if assessed.people == 1 else np.linspace(0.1, 0.9, assessed.people)
    holds = [along * (first + (last - first) * float(share)) + edge for share in shares]
    return _team(assessed, holds, [away] * len(holds), step.stand_mm, along)


def _at_the_foot(load: Load, assessed: TaskAssessment, step: StepPose) -> Team:
    """Before the lower edge of a sheet that is slid up."""
    points = step.after.apply(load.vertices_mm)
    outward = step.after.outward
    along = np.cross(UP, outward)
    low = points[points[:, 2] < float(points[:, 2].min()) + HAND_MM / 2] @ along
    first, last = float(low.min()), float(low.max())
    inset = INSET_SHARE * (last - first)
    shares = [0.5] if assessed.people == 1 else np.linspace(0.0, 1.0, assessed.people)
    edge = outward * float((points @ outward).max()) + UP * float(points[:, 2].min())
    holds = [
        along * (first + inset + (last - first - 2 * inset) * float(share)) + edge
        for share in shares
    ]
    return _team(assessed, holds, [outward] * len(holds), step.stand_mm, along)


def _at_a_frame(load: Load, assessed: TaskAssessment, step: StepPose) -> Team:
    """At a wall's top edge or further down its studs, spread along it, where it comes down to."""
    task, people = assessed.task, assessed.people
    along = level_along(load, step.after)
    spread = load.vertices_mm @ along
    first, last = float(spread.min()), float(spread.max())
    room = (last - first) * (1 - 2 * GRIP_SHARE)
    shares = [0.5] if people == 1 else np.linspace(0.0, 1.0, people)
    places = [first + (last - first) * GRIP_SHARE + room * float(share) for share in shares]
    if task.onto is Rest.TRESTLES:  # one end of it
        places = [first + HAND_MM + APART_MM * number for number in range(people)]
    falls = -step.after.outward
    middle = np.array(load.centre_mm) - along * float(np.array(load.centre_mm) @ along)
    face = middle * LEVEL + falls * load.size_mm[2] / 2
    grip = _grip_mm(load, step.after, task.to_mm)
    holds = [
        step.after.apply(np.array([face + along * place + UP * (load.low_mm + grip)]))[0]
        for place in places
    ]
    found = _team(assessed, holds, [falls] * people, step.stand_mm, along)
    over = task.floor_mm + task.to_mm - found.hands[:, 2:]
    # The lower end of a lever is under its edge, the other one in the hands.
    levered = (over > LEVERED_MM) * falls * LEVER_MM
    hands = found.hands + levered + (over > LEVERED_MM) * over * UP
    return Team(hands, found.holds, found.feet + levered, along)


def _at_a_post(load: Load, assessed: TaskAssessment, step: StepPose) -> Team:
    """On both sides of a post and before its end; round it once it stands."""
    task, pose = assessed.task, step.after
    outward = pose.outward
    across = np.cross(UP, outward)
    grip = min(_grip_mm(load, pose, task.to_mm), load.size_mm[0] - HAND_MM)
    x, y, _ = load.centre_mm
    stands = abs(float(pose.turn[2, 2])) > math.cos(math.radians(15.0))
    holds: list[Points] = []
    ways: list[Points] = []
    for number in range(assessed.people):
        if stands:
            turn = (number - (assessed.people - 1) / 2) * 0.9
            way = outward * math.cos(turn) + across * math.sin(turn)
        else:
            way = outward if number == 2 else across * (1 - 2 * number)
        up = load.low_mm + (load.size_mm[0] if number == 2 and not stands else grip)
        middle = pose.apply(np.array([[x, y, up]]))[0]
        holds.append(middle + way * (0.0 if number == 2 and not stands else load.size_mm[2] / 2))
        ways.append(way)
    return _team(assessed, holds, ways, 560.0 if stands else step.stand_mm, across)


def _grip_mm(load: Load, pose: Pose, height_mm: float) -> float:
    """How far up what is tilted hands at a height hold it."""
    steep = float((pose.turn @ UP)[2])
    return min(height_mm / max(steep, 1e-6), load.top_mm - load.low_mm)

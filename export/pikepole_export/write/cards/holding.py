"""Where hands are on a load, and where the people stand whose hands they are.

    team(item, load, assessed, pose) -> Team

A team stands beside the load at one moment of a lift. Heights are the plan's; along the load they
stand as far apart as it allows.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.lifting.grips import GRIP_SHARE
from pikepole_export.derive.lifting.hand_tasks import TaskAssessment
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.poses import Pose, level_along
from pikepole_model.geometry.placement import Points

# People side by side at one end of a piece; common practice, no source.
APART_MM = 600.0

# From the ankles to the hands where somebody stands beside a sheet's edge.
BESIDE_MM = 330.0

# Hands are this far in from an edge or the end of a post.
HAND_MM = 120.0

# What ends lower over the deck is laid down by people who stand on it.
LOW_MM = 1200.0

UP: Points = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, slots=True)
class Team:
    """People at one moment.

    Attributes:
        hands: (n, 3) float: the middle between each one's hands, mm.
        feet: (n, 3) float: where each stands, on the plan's floor.
        along: (3,) float: level way along which they stand.
    """

    hands: Points
    feet: Points
    along: Points


def team(item: Item, load: Load, assessed: TaskAssessment, pose: Pose, *, at_start: bool) -> Team:
    """Who holds, where.

    Args:
        item: What is lifted.
        load: What of it is in the hands.
        assessed: The task, with the number of people.
        pose: From its place to where it is at that moment.
        at_start: Whether it is picked up there, or brought to its place.
    """
    if load.is_upright and item.handling == Handling.POST:
        return _at_a_post(load, assessed, pose, at_start=at_start)
    task = assessed.task
    points = pose.apply(load.vertices_mm)
    along = level_along(load, pose)
    spread = points @ along
    first, last = float(spread.min()), float(spread.max())
    flat = item.handling.is_panel
    is_frame = item.is_frame(load)
    centre = pose.apply(np.array([load.centre_mm]))[0]
    at = pose.apply(np.array(task.at_mm))[0] if task.at_mm else centre
    at_end = not flat and not is_frame and not task.shares
    if at_end:
        middle = (first + last) / 2
        lets_down = float(np.linalg.norm(at - centre)) < 1.0
        end = last if (lets_down or float(at @ along) > middle) else first
        inward = -1.0 if end == last else 1.0
        grip = GRIP_SHARE * (last - first)
        places = [grip + APART_MM * (k - (assessed.people - 1) / 2) for k in range(assessed.people)]
        pushed_in = min(0.0, places[0] - 100.0)
        where = [end + inward * min(p - pushed_in, last - first - 100.0) for p in places]
    else:
        inset = 0.03 if flat else GRIP_SHARE
        room = (last - first) * (1 - 2 * inset)
        shares = [0.5] if assessed.people == 1 else np.linspace(0, 1, assessed.people).tolist()
        where = [first + (last - first) * inset + room * share for share in shares]
    outward = pose.outward
    outer = float((points @ outward).max())
    inner = float((points @ outward).min())
    low, top = float(points[:, 2].min()), float(points[:, 2].max())
    height = task.floor_mm + (task.from_mm if at_start else task.to_mm)
    level = min(max(height, low), top)
    at_eave = item.handling == Handling.ROOF_SHEET and not at_start
    if at_eave:  # by its lower edge, as it passes
        level = low
    at_edges = flat and assessed.people > 1 and not at_eave and (at_start or top > level + 600)
    slim = top - low < 400.0 and outer - inner < 400.0
    hands: list[Points] = []
    feet: list[Points] = []
    for number, place in enumerate(where):
        # Behind a stick that waits, so that it is seen; before one that is in its place.
        side = -1.0 if slim and at_start else 1.0
        # On the deck, where it is laid down there.
        on_deck = 0 < task.floor_mm == task.base_mm and task.to_mm < LOW_MM
        if is_frame or (slim and on_deck and not at_start):
            side = -1.0
        edge = outer if side > 0 else inner
        hand = along * place + outward * edge + UP * level
        way = outward * side
        if at_edges:
            # Two at the ends; a third at the last end too, before its face.
            is_first, is_third = number == 0, 0 < number < len(where) - 1
            end = first if is_first else last
            hand = along * end + outward * (outer + inner) / 2 + UP * level
            way = along * (-1.0 if is_first else 1.0) + outward * (0.35 if is_first else -0.1)
            if is_third:
                hand = along * (last - HAND_MM) + outward * edge + UP * level
                way = outward * side
        way = way / np.linalg.norm(way)
        hands.append(hand)
        feet.append(hand * [1, 1, 0] + way * max(BESIDE_MM, _reach(assessed)) + UP * task.floor_mm)
    return Team(np.array(hands), np.array(feet), along)


def _reach(assessed: TaskAssessment) -> float:
    """From the ankles to the near side of the load, by the plan's reach to its middle."""
    return assessed.task.reach_mm - assessed.task.depth_mm / 2 + 80.0


def _at_a_post(load: Load, assessed: TaskAssessment, pose: Pose, *, at_start: bool) -> Team:
    """At the head of a post that lies, on both sides; round it once it stands."""
    task = assessed.task
    x, y = load.centre_mm[0], load.centre_mm[1]
    outward = pose.outward
    across = np.cross(UP, outward)
    hands: list[Points] = []
    feet: list[Points] = []
    for number in range(assessed.people):
        if at_start:
            # One on each side of the head, the third before its end.
            is_third = number == 2
            up = load.top_mm - (0.0 if is_third else HAND_MM)
            way = outward if is_third else across * (1 - 2 * number)
            middle = pose.apply(np.array([[x, y, up]]))[0]
            hand = middle + (0.0 if is_third else 1.0) * way * load.size_mm[2] / 2
        else:
            turn = (number - (assessed.people - 1) / 2) * 0.9
            way = outward * np.cos(turn) + across * np.sin(turn)
            height = task.floor_mm + task.to_mm
            hand = np.array([x, y, height]) + way * load.size_mm[2] / 2
        hands.append(hand)
        far = 330.0 if at_start else 560.0
        feet.append(hand * [1, 1, 0] + way * far + UP * task.floor_mm)
    return Team(np.array(hands), np.array(feet), across)

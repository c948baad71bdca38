"""People of a lift by hand, at the start and at the end: figures, platforms, trestles.

by_hand(lift, load, poses, footprint, units, floor) -> Figures
rests(item, load, pose, floor, rest_height_mm) -> solids
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.lifting.falls import FALL_MM
from pikepole_export.derive.lifting.hand_tasks import TaskAssessment
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.poses import (
    Footprint,
    Pose,
    eave_pose,
    level_along,
    tilted_pose,
)
from pikepole_export.derive.lifting.work_surface import work_surface
from pikepole_export.graphics.colours import Colour
from pikepole_export.write.cards.gear import GEAR, Heights
from pikepole_export.write.cards.holding import Team, team
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.solids import (
    LEG_MM,
    UP,
    Solid,
    disc,
    person,
    platform,
    trestle,
)
from pikepole_export.write.cards.words import (
    force,
    height,
    on_one,
    platform_words,
)
from pikepole_model.building.part import Building
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units

PEOPLE: Colour = (0.27, 0.31, 0.38)
PEOPLE_BEFORE: Colour = (0.62, 0.66, 0.71)
SHADOW: Colour = (0.80, 0.80, 0.79)
SHADOW_MM = 280.0


def heights(building: Building, stage: int) -> Heights:
    """Heights of what gear stands on in a stage: the deck inside it, the ground outside."""
    surface = work_surface(building, stage)
    return lambda point: surface.under(point, edge_mm=0.0)


def rests(item: Item, load: Load, pose: Pose, floor: Heights, rest_height_mm: float) -> list[Solid]:
    """Trestles or bearers under what waits level; one under the head of a post that lies.

    Args:
        item: What is lifted.
        load: What of it waits there.
        pose: Where it waits.
        floor: What they stand on.
        rest_height_mm: The plan's height over the floor on which it waits.
    """
    points = pose.apply(load.vertices_mm)
    low = float(points[:, 2].min())
    along = level_along(load, pose)
    across = np.cross(UP, along)
    middle = middle_of(points)
    is_level = abs(low - (item.floor_mm + rest_height_mm)) <= 1.0
    if item.handling == Handling.POST and not is_level:
        head = pose.apply(np.array([[load.centre_mm[0], load.centre_mm[1], load.top_mm - 500.0]]))
        under = head[0] - UP * load.size_mm[2] / 2
        return [trestle(under, np.cross(UP, pose.outward), floor(under), GEAR)]
    if not is_level:
        return []
    reach = float(np.ptp(points @ along)) * 0.22
    if reach < LEG_MM * 4:
        top = middle * [1, 1, 0] + UP * low
        return [trestle(top, across, floor(top), GEAR)]
    tops = [middle * [1, 1, 0] + along * reach * side + UP * low for side in (-1, 1)]
    return [trestle(top, across, floor(top), GEAR) for top in tops]


@dataclass(frozen=True, slots=True)
class Figures:
    """People and what they need.

    Attributes:
        solids: What is drawn, at the start and at the end.
        marks: What is drawn over it.
        feet: Where all of them stand.
    """

    solids: tuple[list[Solid], list[Solid]]
    marks: list[Mark]
    feet: list[Points]


def by_hand(
    lift: Lift,
    load: Load,
    poses: tuple[Pose, Pose],
    footprint: Footprint,
    units: Units,
    floor: Heights,
) -> Figures:
    """By hand: people at the first task and at the last, arrows where hands pull or push.

    Args:
        lift: The plan's.
        load: What is in the hands at once.
        poses: Where it waits, and in its place.
        footprint: What stands.
        units: Those of what is written.
        floor: What people and gear stand on.
    """
    method = lift.chosen
    found = Figures(([], []), [], [])
    last = len(method.assessments) - 1
    shown: list[tuple[int, int]] = [(0, 0), (last, 1)]
    # The other end and who holds it, where the ends go up one after the other.
    ends = {
        assessed.task.at_mm: number
        for number, assessed in enumerate(method.assessments)
        if number != 0
    }
    shown += [
        (number, 2)
        for at, number in ends.items()
        if at != method.assessments[last].task.at_mm and at
    ]
    for number, when in shown:
        assessed = method.assessments[number]
        at_start = when == 0
        pose = poses[0 if at_start else 1]
        if lift.item.handling == Handling.ROOF_SHEET and not at_start:
            pose = eave_pose(lift.item, load, footprint)
        crew = team(lift.item, load, assessed, pose, at_start=at_start)
        lines = (f"step {number + 1}: {force(assessed.task.force_n, units)}",)
        if assessed.people > 1:
            lines = (*lines, f"{on_one(assessed, units)} on one")
        for place, hand in enumerate(crew.hands):
            found.marks.append(Mark(Symbol.HAND, hand))
            symbol = Symbol.PUSH if assessed.task.pushed else Symbol.LIFT
            to = (hand - crew.feet[place]) * [1, 1, 0] if assessed.task.pushed else UP
            to = to / np.linalg.norm(to)
            is_told = place == len(crew.hands) // 2
            # One arrow for all who push at one place.
            if is_told or symbol == Symbol.LIFT:
                said = lines if is_told and (number, when) != (0, 1) else ()
                found.marks.append(Mark(symbol, hand, to, said))
        _stand(found, crew, assessed, 1 if when == 1 else 0, floor, units)
    if method.tilt and method.tilt.peak_deg > 15.0:
        is_frame = lift.item.handling == Handling.WALL
        steep = tilted_pose(load, footprint, method.tilt.peak_deg, inward=is_frame)
        peak = max(method.tilt.samples, key=lambda one: one.force_n)
        x, y = load.centre_mm[0], load.centre_mm[1]
        falls = -steep.outward if is_frame else steep.outward
        edge = np.array([x, y, 0.0]) + falls * load.size_mm[2] / 2
        at = steep.apply(np.array([edge + UP * (load.low_mm + peak.grip_mm)]))[0]
        to = steep.turn @ -falls
        said = (f"most: {force(peak.force_n, units)}", f"at {peak.angle_deg:.0f}\u00b0 from level")
        found.marks.append(Mark(Symbol.PUSH, at, to, said))
    return found


def _stand(
    found: Figures, crew: Team, assessed: TaskAssessment, number: int, floor: Heights, units: Units
) -> None:
    """Draw a team, on a platform where the plan says so."""
    solids = found.solids[number]
    colour = PEOPLE if number else PEOPLE_BEFORE
    for foot, hand in zip(crew.feet, crew.hands, strict=True):
        solids.append(person(foot, hand, colour))
        found.feet.append(foot)
    middle = crew.feet.mean(axis=0)
    under = assessed.task.base_mm if assessed.task.is_on_platform else floor(middle)
    if assessed.task.floor_mm - under > 60.0:
        length = float(np.ptp(crew.feet @ crew.along)) + 800.0
        is_high = assessed.task.floor_mm > FALL_MM - 0.5
        faced = crew.hands.mean(axis=0) - middle if is_high else None
        solids.append(platform(middle, crew.along, length, under, GEAR, faced))
        said = (
            (platform_words(assessed, units),)
            if assessed.task.is_on_platform
            else ("as high as the deck",)
        )
        if assessed.task.is_on_platform and assessed.task.base_mm > 1.0:
            said = (*said, f"{height(assessed.task.floor_mm, units)} above ground")
        if all(mark.lines != said for mark in found.marks):
            edge = middle + crew.along * length / 2
            found.marks.append(Mark(Symbol.NOTE, edge, None, said))
    else:
        solids.extend(disc(foot + UP * 4.0, SHADOW_MM, SHADOW) for foot in crew.feet)


def middle_of(points: Points) -> Points:
    """(3,) float: the middle of the upright box round some points."""
    return (points.min(axis=0) + points.max(axis=0)) / 2

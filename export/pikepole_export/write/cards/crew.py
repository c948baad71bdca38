"""People of a lift by hand, step by step: figures, their platforms, what the load lies on.

by_hand(lift, load, footprint, units, floor) -> tuple[Figures, ...]
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from pikepole_export.derive.lifting.falls import FALL_MM, FallGuard, fall_protection
from pikepole_export.derive.lifting.hand_tasks import Motion, TaskAssessment
from pikepole_export.derive.lifting.items import Edge
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.poses import Footprint, Pose
from pikepole_export.derive.lifting.sentences import platform_of
from pikepole_export.derive.lifting.work_surface import work_surface
from pikepole_export.graphics.colours import Colour
from pikepole_export.write.cards.gear import GEAR, Heights, lanyard
from pikepole_export.write.cards.holding import LEVEL, Team, team
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.solids import UP, Solid, bar, disc, person, pieces, platform
from pikepole_export.write.cards.steps import StepPose, step_poses
from pikepole_export.write.cards.supports import supports, trestles
from pikepole_export.write.cards.words import (
    height,
    on_one,
)
from pikepole_model.building.part import Building
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units

# In place dark and full, at the start pale; apart in grey too.
PIECE: Colour = (0.80, 0.38, 0.13)
WAITING: Colour = (0.98, 0.84, 0.66)
PEOPLE: Colour = (0.27, 0.31, 0.38)
SHADOW: Colour = (0.80, 0.80, 0.79)
SHADOW_MM = 280.0

PLATFORM_BEYOND_MM = 400.0  # of a platform, beyond the feet of the outer ones
FLOOR_MM = 60.0  # what is lower than this is stood on without a platform
LEVER_MM = 60.0
BACK_MM = 1250.0  # where a harness is tied, above the feet
ANCHOR_UP_MM = 900.0  # from a roof sheet or from people to an anchor, as it is drawn


@dataclass(frozen=True, slots=True)
class Figures:
    """People and what they need, at one step or at a machine.

    Attributes:
        solids: What is drawn, before and after.
        marks: What is drawn over it.
        feet: Where all of them stand.
        loads: The load's points before and after, (n, 3) float.
        centres: Its centres of gravity, the same.
        head: What is written by the step's number.
        near: Only what is near the people has to be seen.
    """

    solids: tuple[list[Solid], list[Solid]] = field(default_factory=lambda: ([], []))
    marks: list[Mark] = field(default_factory=list[Mark])
    feet: list[Points] = field(default_factory=list[Points])
    loads: list[Points] = field(default_factory=list[Points])
    centres: list[Points] = field(default_factory=list[Points])
    head: str = ""
    near: bool = False

    def lay(self, load: Load, poses: tuple[Pose, Pose]) -> None:
        """The load, pale before and dark after, with its centre of gravity there."""
        for pose, solids, colour in zip(poses, self.solids, (WAITING, PIECE), strict=True):
            solid = pieces(load.parts, np.tile(colour, (len(load.parts), 1)))
            points, lines = pose.apply(solid.points), pose.apply(solid.lines)
            solids.append(Solid(points, solid.triangles, lines, solid.colours))
            self.loads.append(pose.apply(load.vertices_mm))
            self.centres.append(pose.apply(np.array([load.centre_mm]))[0])
        self.marks.append(Mark(Symbol.CENTRE, self.centres[-1]))


def heights(building: Building, stage: int) -> Heights:
    """Heights of what gear stands on in a stage: the deck inside it, the ground outside."""
    surface = work_surface(building, stage)
    return lambda point: surface.under(point, edge_mm=0.0)


def by_hand(
    lift: Lift, load: Load, footprint: Footprint, units: Units, floor: Heights
) -> tuple[Figures, ...]:
    """Every step by hand: the load before and after it, people, arrows where hands pull or push.

    Args:
        lift: The plan's.
        load: What is in the hands at once.
        footprint: What stands.
        units: Those of what is written.
        floor: What people and gear stand on.
    """
    method, item = lift.chosen, lift.item
    steps = step_poses(item, load, method, footprint, floor)
    teams = [
        team(item, load, assessed, step, floor)
        for assessed, step in zip(method.assessments, steps, strict=True)
    ]
    waiting = trestles(item, load, steps[0].before, method.rest_height_mm)
    every: list[Figures] = []
    for number, (assessed, step) in enumerate(zip(method.assessments, steps, strict=True)):
        is_one = assessed.people == 1
        share = on_one(assessed, units)
        found = Figures(
            head=share if is_one else f"{share} each",
            near=assessed.task.motion is Motion.END,
        )
        found.lay(load, (step.before, step.after))
        found.solids[0].extend(
            one.drawn(floor)
            for one in waiting
            if one.carries(load, step.before) or one.carries(load, step.after)
        )
        crew = teams[number]
        _hands(found, assessed, crew)
        _stand(found, crew, assessed, floor, units)
        if assessed.task.onto and assessed.task.onto.is_on_platform:
            then, after = method.assessments[number + 1], teams[number + 1]
            _platform(found, after, then, then.task.base_mm, _called(then, units))
        solids, marks = supports(load, method, number, steps, floor, units)
        found.solids[1].extend(solids)
        found.marks.extend(marks)
        every.append(found)
    fall = fall_protection(lift, units)
    if fall is not None and fall.guard is FallGuard.HARNESS:
        _tied(every[-1], lift, load, steps[-1], fall.stands_mm, units)
    return tuple(every)


def _hands(found: Figures, assessed: TaskAssessment, crew: Team) -> None:
    """Dots where hands are, straps or levers under them, an arrow for each who lifts."""
    task = assessed.task
    symbol = Symbol.PUSH if task.pushed else Symbol.LIFT
    for place, (hand, hold) in enumerate(zip(crew.hands, crew.holds, strict=True)):
        found.marks.append(Mark(Symbol.HAND, hand))
        if float(hand[2] - hold[2]) > 1.0:
            if task.motion is Motion.TILTED:
                found.solids[1].append(bar(hold, hand, LEVER_MM, GEAR))
            else:
                found.marks.append(Mark(Symbol.SLING, hold, hand))
        to = (hand - crew.feet[place]) * LEVEL if task.pushed else UP
        # One arrow for all who push at one place.
        if not task.pushed or place == len(crew.hands) // 2:
            found.marks.append(Mark(symbol, hand, to / np.linalg.norm(to)))


def _stand(
    found: Figures, crew: Team, assessed: TaskAssessment, floor: Heights, units: Units
) -> None:
    """Draw a team, on a platform where the plan says so."""
    task = assessed.task
    for foot, hand in zip(crew.feet, crew.hands, strict=True):
        found.solids[1].append(person(foot, hand, PEOPLE))
        found.solids[1].append(disc(foot + UP * 4.0, SHADOW_MM, SHADOW))
        found.feet.append(foot)
    if crew.inside:
        found.marks.append(Mark(Symbol.NOTE, crew.hands[-1], None, ("one inside",)))
    under = task.base_mm if task.is_on_platform else floor(crew.feet.mean(axis=0))
    # Those on the joists have these under them, and planks.
    if task.floor_mm - under > FLOOR_MM and task.motion is not Motion.TAKEN:
        said = _called(assessed, units) if task.is_on_platform else ("as high as the deck",)
        _platform(found, crew, assessed, under, said)


def _called(assessed: TaskAssessment, units: Units) -> tuple[str, ...]:
    """A platform's name, with its height, and over the ground too where it stands on the deck."""
    task = assessed.task
    said = platform_of(task, units)
    if task.base_mm <= 1.0:
        return (said,)
    return (said, f"{height(task.floor_mm, units)} up")


def _platform(
    found: Figures, crew: Team, assessed: TaskAssessment, under_mm: float, said: tuple[str, ...]
) -> None:
    """A platform under a team, with guard rails where it is high, and its name."""
    floor_mm = assessed.task.floor_mm
    on_it = np.abs(crew.feet[:, 2] - floor_mm) < 1.0
    feet = crew.feet[on_it]
    middle = feet.mean(axis=0)
    length = float(np.ptp(feet @ crew.along)) + 2 * PLATFORM_BEYOND_MM
    faced = (crew.hands[on_it].mean(axis=0) - middle) * LEVEL
    rails = faced if floor_mm > FALL_MM - 0.5 else None
    found.solids[1].append(platform(middle, crew.along, length, under_mm, GEAR, rails))
    found.marks.append(Mark(Symbol.NOTE, middle + crew.along * length / 2, None, said))


def _tied(
    found: Figures, lift: Lift, load: Load, step: StepPose, stands_mm: float, units: Units
) -> None:
    """An anchor and its line: to those at an edge, or to the edge of what goes onto a roof.

    Behind those on joists, up the slope of a roof.
    """
    points = step.after.apply(load.vertices_mm)
    outward = step.after.outward
    edge = points[int(np.argmax(points @ outward))]
    top = points[int(np.argmin(points @ outward))]
    way = (top - edge) / max(float(np.linalg.norm(top - edge)), 1.0)
    anchor = top + way * ANCHOR_UP_MM
    backs = [foot + UP * BACK_MM for foot in found.feet]
    ends = [edge] if lift.item.handling.is_panel else backs
    if lift.item.handling.over is Edge.JOIST:
        anchor, ends = np.mean(found.feet, axis=0) + step.away * ANCHOR_UP_MM, backs
    for end in ends:
        found.solids[1].extend(lanyard(anchor, end))
    said = ("harness and anchor", f"{height(stands_mm, units)} up")
    found.marks.append(Mark(Symbol.NOTE, anchor, None, said))


def middle_of(points: Points) -> Points:
    """(3,) float: the middle of the upright box round some points."""
    return (points.min(axis=0) + points.max(axis=0)) / 2

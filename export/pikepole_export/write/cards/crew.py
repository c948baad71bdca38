"""People and gear of a lift, at the start and at the end: figures, platforms, trestles, slings.

by_hand(lift, load, poses, footprint, units, floor) -> Figures
by_machine(lift, load, poses, footprint, units, floor) -> Figures
rests(item, load, pose, floor, rest_height_mm) -> solids
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import assert_never

import numpy as np

from pikepole_export.derive.lifting.hand_tasks import TaskAssessment
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.poses import (
    Footprint,
    Pose,
    eave_pose,
    level_along,
    outward_of,
    tilted_pose,
)
from pikepole_export.derive.lifting.slung import sling_spread_mm
from pikepole_export.derive.lifting.techniques import GRIP_SHARE
from pikepole_export.derive.lifting.work_surface import work_surface
from pikepole_export.graphics.colours import Colour
from pikepole_export.write.cards.gear import GEAR, Heights, forks, tripod
from pikepole_export.write.cards.holding import APART_MM, Team, team
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.solids import (
    LEG_MM,
    UP,
    Solid,
    bar,
    disc,
    person,
    platform,
    trestle,
)
from pikepole_export.write.cards.words import (
    force,
    has_platform,
    height,
    mass,
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

# A person at a tag line stands this far out from under the load; common practice, no source.
TAG_MM = 2500.0
FREE_HANDS_MM = 1050.0
STEP_MM = 300.0  # what is lower is stood up to without a platform
SEAT_MM = 1200.0  # a platform for one who sets an end
LIFT_OUT_MM = 600.0  # from the middle of a load to the mast of a material lift
CLEAR_OF_START_MM = 2000.0  # and beyond what waits on its edge
JACK_MM = 150.0  # as it is drawn


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
    if item.handling == Handling.POST:
        head = pose.apply(np.array([[load.centre_mm[0], load.centre_mm[1], load.top_mm - 500.0]]))
        under = head[0] - UP * load.size_mm[2] / 2
        return [trestle(under, np.cross(UP, pose.outward), floor(under), GEAR)]
    if abs(low - (item.floor_mm + rest_height_mm)) > 1.0:
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
    under = assessed.task.base_mm if has_platform(assessed) else floor(middle)
    if assessed.task.floor_mm - under > 60.0:
        length = float(np.ptp(crew.feet @ crew.along)) + 800.0
        solids.append(platform(middle, crew.along, length, under, GEAR))
        said = (
            (platform_words(assessed, units),)
            if has_platform(assessed)
            else ("as high as the deck",)
        )
        if has_platform(assessed) and assessed.task.base_mm > 1.0:
            said = (*said, f"{height(assessed.task.floor_mm, units)} above ground")
        if all(mark.lines != said for mark in found.marks):
            edge = middle + crew.along * length / 2
            found.marks.append(Mark(Symbol.NOTE, edge, None, said))
    else:
        solids.extend(disc(foot + UP * 4.0, SHADOW_MM, SHADOW) for foot in crew.feet)


def by_machine(
    lift: Lift,
    load: Load,
    poses: tuple[Pose, Pose],
    footprint: Footprint,
    units: Units,
    floor: Heights,
) -> Figures:
    """By a machine: its sling, forks or jack, one person at a tag line, one at the gear.

    Args:
        lift: The plan's, with a machine.
        load: All of what is lifted.
        poses: Where it waits, and in its place.
        footprint: What stands.
        units: Those of what is written.
        floor: What people and gear stand on.
    """
    machine = lift.machine
    assert machine is not None
    found = Figures(([], []), [], [])
    # Where it is highest: what lies low waits higher up.
    pose = max(reversed(poses), key=lambda one: float(one.apply(load.vertices_mm)[:, 2].max()))
    points = pose.apply(load.vertices_mm)
    along = level_along(load, pose)
    centre = pose.apply(np.array([load.centre_mm]))[0]
    told = f"{machine.kind}: {mass(machine.needed_kg, units)}"
    if machine.sling:
        hook = centre * [1.0, 1.0, 0.0] + UP * machine.reach_mm
        slung = _slung(load, points, centre, machine.sling.legs, along)
        leg = (f"{force(machine.sling.tension_n, units)} in the leg",)
        if len(slung) > 1:
            leg = (*leg, f"at {machine.sling.angle_deg:.0f}\u00b0 from level")
        for number, at in enumerate(slung, start=1):
            # All but the first are told, or the only one.
            said = leg if number > 1 or len(slung) == 1 else ()
            found.marks.append(Mark(Symbol.SLING, at, hook, said))
            found.marks.append(Mark(Symbol.HAND, at))
        said = (told, f"hook {height(machine.reach_mm, units)} up")
        found.marks.append(Mark(Symbol.LIFT, hook, UP, said))
        found.solids[1].extend(
            _forks(hook, machine, load, footprint, floor)
            if machine.kind.has_forks
            else tripod(hook, pose.outward, floor)
        )
    else:
        match machine.kind:
            case MachineKind.WALL_JACK:
                reach = float(np.ptp(points @ along)) * 0.35
                for side in range(machine.count):
                    share = 0.0 if machine.count == 1 else 2 * side / (machine.count - 1) - 1
                    top = centre * [1, 1, 0] + along * reach * share + UP * load.top_mm
                    at = poses[0].apply(np.array([top]))[0]
                    said = (f"{told} each",) if side == 0 else ()
                    found.marks.append(Mark(Symbol.LIFT, at, UP, said))
                    found.marks.append(Mark(Symbol.HAND, at))
            case MachineKind.JACK:
                waits = poses[0].apply(load.vertices_mm)
                at = _heavier_end(load, poses[0]) * [1, 1, 0] + UP * float(waits[:, 2].min())
                at = at + _level_way(middle_of(waits) - at) * JACK_MM
                foot = at * [1, 1, 0] + UP * floor(at)
                found.solids[0].append(bar(foot, at, JACK_MM, GEAR))
                found.marks.append(Mark(Symbol.LIFT, at, UP, (told,)))
                found.marks.append(Mark(Symbol.HAND, at))
            case MachineKind.MATERIAL_LIFT:
                for number, at in enumerate(_lifted_at(load, machine.count)):
                    foot = at * [1, 1, 0] + UP * floor(at)
                    found.solids[1].extend(forks(at, pose.outward, LIFT_OUT_MM, floor))
                    found.solids[1].append(bar(foot, at, JACK_MM / 2, GEAR))
                    said = (f"{told} each",) if machine.count > 1 else (told,)
                    found.marks.append(Mark(Symbol.LIFT, at, UP, said if number == 0 else ()))
            case MachineKind.TELEHANDLER | MachineKind.CHAIN_HOIST | MachineKind.HIRED:
                tip = centre * [1.0, 1.0, 0.0] + UP * load.low_mm
                found.marks.append(Mark(Symbol.LIFT, tip, UP, (told,)))
                found.solids[1].extend(_forks(tip, machine, load, footprint, floor))
            case _:
                assert_never(machine.kind)
    _guides(found, lift, load, poses[0], pose, floor)
    return found


def _forks(
    tip: Points, machine: Machine, load: Load, footprint: Footprint, floor: Heights
) -> list[Solid]:
    """Forks whose machine stands where the plan says: behind what waits, outside what stands."""
    if machine.approach is None:
        out = outward_of(load, footprint)
        reach = np.where(out[:2] > 0, footprint.high_mm, footprint.low_mm) @ out[:2]
        return forks(tip, out, float(reach - tip @ out) + CLEAR_OF_START_MM, floor)
    way = np.array([*machine.approach.way, 0.0])
    return forks(tip, way, machine.approach.out_mm, floor)


def _lifted_at(load: Load, count: int) -> list[Points]:
    """Where material lifts hold a load in its place: near its ends, or under its middle."""
    ends = [np.array(end) for end in load.ends_mm]
    shares = (GRIP_SHARE, 1 - GRIP_SHARE) if count > 1 else (0.5,)
    low = np.array([1.0, 1.0, 0.0])
    return [(ends[0] + (ends[1] - ends[0]) * share) * low + UP * load.low_mm for share in shares]


def aside(load: Load, footprint: Footprint) -> Points:
    """(3,) float: level, square to the way out, away from the middle of the deck."""
    across = np.cross(UP, outward_of(load, footprint))
    off = (np.array(load.centre_mm[:2]) - footprint.middle_mm) @ across[:2]
    return across if off > 0 else -across


def _slung(load: Load, points: Points, centre: Points, legs: int, along: Points) -> list[Points]:
    """Where a sling holds: over the centre of gravity, or round it on the upper side."""
    centre = centre * [1.0, 1.0, 0.0]
    if load.is_upright or legs == 1:
        return [centre + UP * float(points[:, 2].max())]
    apart = sling_spread_mm(load)
    across = np.cross(UP, along)
    # Two lie along it; three and four spread over its width too.
    aside = float(np.ptp(points @ across)) / 4 if legs > 2 else 0.0
    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))[:legs]
    spots = [centre + along * apart / 2 * a + across * aside * b for a, b in corners]
    return [spot + UP * _top_at(points, along, spot) for spot in spots]


def _top_at(points: Points, along: Points, at: Points) -> float:
    """Height of the upper edge of a load over a point, by its outermost points along a way."""
    flat = np.unique(np.round(np.column_stack([points @ along, points[:, 2]])), axis=0)
    where = float(at @ along)
    before, after = flat[flat[:, 0] <= where], flat[flat[:, 0] > where]
    if not len(before) or not len(after):
        return float(points[:, 2].max())
    share = (where - before[:, :1]) / (after[:, 0] - before[:, :1])
    return float((before[:, 1:] + (after[:, 1] - before[:, 1:]) * share).max())


def _guides(
    found: Figures, lift: Lift, load: Load, waits: Pose, hangs: Pose, floor: Heights
) -> None:
    """Those who work with a machine, out from under the load and not between it and the wall.

    One holds a line to its end, or gives signs; those at the gear stand where it waits, at its
    ends; those who set it stand beyond its ends in its place.
    """
    assert lift.machine is not None
    team, along = lift.machine.team, level_along(load, hangs)
    for number in range(team.guiding):
        points = hangs.apply(load.vertices_mm)
        end = points[int(np.argmax(points @ along))]
        stands = end + hangs.outward * TAG_MM + along * TAG_MM * (0.5 + number)
        hands = _figure(found, stands * [1, 1, 0] + UP * floor(stands), end, FREE_HANDS_MM)
        if lift.machine.sling is not None:
            found.marks.append(Mark(Symbol.TAG, end, hands, ("tag line",)))
    points = waits.apply(load.vertices_mm)
    for number in range(team.at_gear):
        if lift.machine.kind is MachineKind.JACK:
            end = _heavier_end(load, waits)
            stands = end + _level_way(end - middle_of(points)) * APART_MM
        else:
            side = 1.0 if number % 2 == 0 else -1.0
            end = points[int(np.argmax(points @ along * side))]
            stands = end + along * APART_MM * side * (1 + number // 2)
        _figure(found, stands * [1, 1, 0] + UP * floor(stands), end, FREE_HANDS_MM)
    for number in range(team.at_seats):
        end = np.array(load.ends_mm[number])
        if load.is_upright:
            end = np.array([load.centre_mm[0], load.centre_mm[1], load.low_mm + FREE_HANDS_MM])
        way = hangs.outward if load.is_upright else _level_way(end - np.array(load.centre_mm))
        stands = (end + way * APART_MM) * [1, 1, 0]
        ground = floor(stands)
        up = max(ground, float(end[2]) - FREE_HANDS_MM)
        if up - ground > STEP_MM:
            found.solids[1].append(platform(stands + UP * up, along, SEAT_MM, ground, GEAR))
        _figure(found, stands + UP * max(up, ground), end, FREE_HANDS_MM)


def _figure(found: Figures, feet: Points, facing: Points, hands_mm: float) -> Points:
    """Draw one of them at the end, turned to something; where their hands are."""
    hands = feet + _level_way(facing - feet) * 330.0 + UP * hands_mm
    found.solids[1].append(person(feet, hands, PEOPLE))
    found.solids[1].append(disc(feet + UP * 4.0, SHADOW_MM, SHADOW))
    found.feet.append(feet)
    return hands


def _heavier_end(load: Load, pose: Pose) -> Points:
    """(3,) float: the end that carries more of it, where it is in a pose."""
    return pose.apply(np.array(load.ends_mm))[int(np.argmax(load.end_shares))]


def _level_way(way: Points) -> Points:
    """(3,) float: the same way, level, a unit vector unless there is next to nothing of it."""
    level = way * [1, 1, 0]
    return level / max(float(np.linalg.norm(level)), 1.0)


def middle_of(points: Points) -> Points:
    """(3,) float: the middle of the upright box round some points."""
    return (points.min(axis=0) + points.max(axis=0)) / 2

"""What is drawn on a lift card: what stands, the load at the start and in place, people, forces.

card_scene(building, plan, lift) -> CardScene
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pikepole_export.cards.holding import APART_MM, Team, team
from pikepole_export.cards.solids import (
    UP,
    Solid,
    bar,
    disc,
    joined,
    person,
    pieces,
    platform,
    trestle,
)
from pikepole_export.cards.words import force, height, mass, on_one
from pikepole_export.colours import Colour, part_colour
from pikepole_export.derive.lifting.holds import Held
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.machines import SLUNG_MM
from pikepole_export.derive.lifting.plan import LiftPlan, rig_of
from pikepole_export.derive.lifting.poses import (
    Ground,
    Pose,
    ground_of,
    in_place,
    level_along,
    start_pose,
    tilted_pose,
)
from pikepole_export.derive.lifting.statics import weight_n
from pikepole_export.derive.lifting.things import Handling, Thing
from pikepole_export.derive.lifting.ways import end_shares
from pikepole_model.part import Building, Kind, Part
from pikepole_model.placement import Points
from pikepole_model.units import Units

# In place dark and full, at the start pale; apart in grey too.
PIECE: Colour = (0.80, 0.38, 0.13)
WAITING: Colour = (0.98, 0.84, 0.66)
PEOPLE: Colour = (0.27, 0.31, 0.38)
PEOPLE_BEFORE: Colour = (0.62, 0.66, 0.71)
GEAR: Colour = (0.66, 0.73, 0.78)
SHADOW: Colour = (0.80, 0.80, 0.79)
KEPT = 0.40  # of the darkness of what stands already
SHADOW_MM = 280.0

# The eye: above the ground, and aside from square on to where the load waits.
ABOVE_DEG = 24.0
ASIDE_DEG = 35.0
CENTRED_MM = 1000.0  # from the middle, along the side that it is on

# A person at a tag line stands this far out from under the load; common practice, no source.
TAG_MM = 2500.0
FREE_HANDS_MM = 1050.0
JACK_MM = 150.0  # as it is drawn


class Act(StrEnum):
    """What an arrow or a line stands for."""

    LIFT = "lift"
    PUSH = "push"
    WEIGHT = "weight"
    SLING = "sling"
    TAG = "tag"
    HAND = "hand"
    CENTRE = "centre"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Mark:
    """Something drawn over the picture.

    Attributes:
        act: What it is.
        at: (3,) float: where, mm.
        to: (3,) float: for an arrow a unit vector of its way, for a line its other end; None for
            what is at one place.
        lines: What is written beside it; empty for nothing.
    """

    act: Act
    at: Points
    to: Points | None = None
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CardScene:
    """One picture, in the building's frame.

    Attributes:
        stages: How many stages stand whole.
        stands: What stands of this one.
        before: The load and the people at the start.
        after: The load in its place, and the people there.
        axes: (3, 3) float: unit vectors right, up and towards the eye.
        light: (3,) float: how light a face is, by the way it looks.
        marks: What is drawn over it.
        people: (n, 3) float: feet of all the figures.
        loads: The load's points in each of its poses, (n, 3) float.
    """

    stages: int
    stands: Solid
    before: Solid
    after: Solid
    axes: Points
    light: Points
    marks: tuple[Mark, ...]
    people: Points
    loads: tuple[Points, ...]


def card_scene(building: Building, plan: LiftPlan, lift: Lift) -> CardScene:
    """What a lift's card shows."""
    thing = lift.thing
    load = thing.whole if lift.machine else lift.chosen.load
    stands = _standing(building, plan, lift, load)
    before = [part for part in building.parts if part.stage < thing.stage]
    ground = ground_of(building, [*before, *stands, *load.parts])
    lies_mm = rig_of(plan.crew).lies_mm
    poses = (start_pose(thing, load, ground, lies_mm), in_place(load, ground))
    units: Units = building.scene.units
    floor = _Floor(building, thing.stage)
    is_frame = thing.handling == Handling.WALL and len(load.parts) > 1
    solids: tuple[list[Solid], list[Solid]] = ([], [])
    marks: list[Mark] = []
    feet: list[Points] = []
    loads: list[Points] = []
    for number, (pose, colour) in enumerate(zip(poses, (WAITING, PIECE), strict=True)):
        solids[number].append(_moved(load, pose, colour))
        loads.append(pose.apply(load.vertices_mm))
        marks.append(Mark(Act.CENTRE, pose.apply(np.array([load.centre_mm]))[0]))
    solids[0].extend(_rests(thing, load, poses[0], floor, lies_mm))
    if lift.machine:
        found = _guided(lift, load, poses, units, floor)
    else:
        found = _held(lift, load, poses, ground, units, floor)
        if lift.chosen.tilt:
            steep = tilted_pose(load, ground, lift.chosen.tilt.peak_deg, inward=is_frame)
            if lift.chosen.tilt.peak_deg > 15.0:
                solids[0].append(_moved(load, steep, WAITING))
                loads.append(steep.apply(load.vertices_mm))
    for number in (0, 1):
        solids[number].extend(found.solids[number])
    weight = force(weight_n(load.mass.high_kg), units)
    marks.append(Mark(Act.WEIGHT, np.array(load.centre_mm), -UP, (f"weighs {weight}",)))
    marks += found.marks
    feet += found.feet
    marks += [
        Mark(Act.NOTE, _middle(loads[0]), None, ("start",)),
        Mark(Act.NOTE, _middle(loads[1]), None, ("in place",)),
    ]
    axes, light = _eye(-poses[0].outward if is_frame else poses[0].outward, load, ground)
    muted = _washed_out(np.array([part_colour(part) for part in stands]).reshape(-1, 3))
    return CardScene(
        stages=sum(stage.number < thing.stage for stage in building.stages),
        stands=pieces(stands, muted),
        before=joined(solids[0]),
        after=joined(solids[1]),
        axes=axes,
        light=light,
        marks=tuple(marks),
        people=np.array(feet).reshape(-1, 3),
        loads=tuple(loads),
    )


def stage_solid(parts: Sequence[Part]) -> Solid:
    """A stage as it looks once it stands: washed out."""
    return pieces(parts, _washed_out(np.array([part_colour(part) for part in parts])))


def _standing(building: Building, plan: LiftPlan, lift: Lift, load: Load) -> list[Part]:
    """What of this stage is up when the lift begins, in the order that is proposed."""
    own = {part.name for part in load.parts}
    done: set[str] = set()
    by_number = {one.number: one.thing for one in plan.lifts}
    for number in plan.days.order[lift.thing.stage]:
        if number == lift.number:
            break
        thing = by_number[number]
        done |= {part.name for part in thing.whole.parts} | set(thing.same)
    for piece in lift.thing.pieces:
        if piece.name == load.name:
            break
        if not lift.machine:
            done |= {part.name for part in piece.parts}
    stage = next(stage for stage in building.stages if stage.number == lift.thing.stage)
    return [part for part in stage.parts if part.name in done - own]


def _washed_out(colours: Points) -> Points:
    """(n, 3) float: nearly grey, and far nearer to white."""
    grey = colours @ np.array([0.30, 0.59, 0.11])
    return 1.0 - KEPT + KEPT * (0.35 * colours + 0.65 * grey[:, None])


def _moved(load: Load, pose: Pose, colour: Colour) -> Solid:
    solid = pieces(load.parts, np.tile(colour, (len(load.parts), 1)))
    return Solid(pose.apply(solid.points), solid.triangles, pose.apply(solid.lines), solid.colours)


def _middle(points: Points) -> Points:
    return (points.min(axis=0) + points.max(axis=0)) / 2


def _eye(outward: Points, load: Load, ground: Ground) -> tuple[Points, Points]:
    """Axes that look at where the load waits, aside from the nearer end, and the light on it."""
    across = np.cross(UP, outward)
    middle = np.array([*(ground.low_mm + ground.high_mm) / 2, 0.0])
    off = float((np.array(load.centre_mm) - middle) @ across)
    # In the middle it is seen from the front where that can be chosen, else from the right.
    if abs(off) < CENTRED_MM:
        off = float(across[0] - across[1])
    aside = across if off > 0 else -across
    turned, above = math.radians(ASIDE_DEG), math.radians(ABOVE_DEG)
    level = outward * math.cos(turned) + aside * math.sin(turned)
    towards = level * math.cos(above) + UP * math.sin(above)
    right = np.cross(UP, level)
    return np.array([right, np.cross(towards, right), towards]), 0.5 * outward + 0.2 * aside + (
        0.84 * UP
    )


class _Floor:
    """Height of what gear stands on: the deck inside it, the ground outside."""

    def __init__(self, building: Building, stage: int) -> None:
        decks = [
            part
            for part in building.parts
            if part.kind in (Kind.FLOOR_SHEET, Kind.SLAB) and part.stage < stage
        ]
        self._box = None
        if decks:
            points = np.concatenate([part.vertices_mm for part in decks])
            self._box = points.min(axis=0), points.max(axis=0)

    def at(self, point: Points) -> float:
        if self._box is None:
            return 0.0
        low, high = self._box
        inside = bool((low[:2] < point[:2]).all() and (point[:2] < high[:2]).all())
        return float(high[2]) if inside else 0.0


def _rests(thing: Thing, load: Load, pose: Pose, floor: _Floor, lies_mm: float) -> list[Solid]:
    """Trestles or bearers under what waits level; one under the head of a post that lies."""
    points = pose.apply(load.vertices_mm)
    low = float(points[:, 2].min())
    along = level_along(load, pose)
    across = np.cross(UP, along)
    middle = _middle(points)
    if thing.handling == Handling.POST:
        head = pose.apply(np.array([[load.centre_mm[0], load.centre_mm[1], load.top_mm - 500.0]]))
        under = head[0] - UP * load.size_mm[2] / 2
        return [trestle(under, np.cross(UP, pose.outward), floor.at(under), GEAR)]
    if abs(low - (thing.floor_mm + lies_mm)) > 1.0:
        return []
    reach = float(np.ptp(points @ along)) * 0.22
    tops = [middle * [1, 1, 0] + along * reach * side + UP * low for side in (-1, 1)]
    return [trestle(top, across, floor.at(top), GEAR) for top in tops]


@dataclass(frozen=True, slots=True)
class _Crew:
    """People and what they need, at the start and at the end."""

    solids: tuple[list[Solid], list[Solid]]
    marks: list[Mark]
    feet: list[Points]


def _held(
    lift: Lift,
    load: Load,
    poses: tuple[Pose, Pose],
    ground: Ground,
    units: Units,
    floor: _Floor,
) -> _Crew:
    """By hand: people at the first hold and at the last, arrows where hands pull or push."""
    way = lift.chosen
    found = _Crew(([], []), [], [])
    last = len(way.holds) - 1
    shown: list[tuple[int, int]] = [(0, 0), (last, 1)]
    # The other end, where the ends go up one after the other.
    ends = {held.hold.at_mm: number for number, held in enumerate(way.holds) if number != 0}
    shown += [(number, 2) for at, number in ends.items() if at != way.holds[last].hold.at_mm and at]
    for number, when in shown:
        held = way.holds[number]
        at_start = when == 0
        crew = team(lift.thing, load, held, poses[0 if at_start else 1], at_start=at_start)
        lines = (f"step {number + 1}: {force(held.hold.force_n, units)}",)
        if held.people > 1:
            lines = (*lines, f"{on_one(held, units)} on one")
        for place, hand in enumerate(crew.hands):
            found.marks.append(Mark(Act.HAND, hand))
            act = Act.PUSH if held.hold.pushed else Act.LIFT
            to = (hand - crew.feet[place]) * [1, 1, 0] if held.hold.pushed else UP
            to = to / np.linalg.norm(to)
            is_told = place == len(crew.hands) // 2
            # One arrow for all who push at one place.
            if is_told or act == Act.LIFT:
                said = lines if is_told and (number, when) != (0, 1) else ()
                found.marks.append(Mark(act, hand, to, said))
        if when == 2:
            continue
        _stand(found, crew, held, 0 if at_start else 1, floor, units)
    if way.tilt and way.tilt.peak_deg > 15.0:
        is_frame = lift.thing.handling == Handling.WALL
        steep = tilted_pose(load, ground, way.tilt.peak_deg, inward=is_frame)
        peak = max(way.tilt.samples, key=lambda one: one.force_n)
        x, y = load.centre_mm[0], load.centre_mm[1]
        falls = -steep.outward if is_frame else steep.outward
        edge = np.array([x, y, 0.0]) + falls * load.size_mm[2] / 2
        at = steep.apply(np.array([edge + UP * (load.low_mm + peak.grip_mm)]))[0]
        to = steep.turn @ -falls
        said = (f"most: {force(peak.force_n, units)}", f"at {peak.angle_deg:.0f}\u00b0 from level")
        found.marks.append(Mark(Act.PUSH, at, to, said))
    return found


def _stand(found: _Crew, crew: Team, held: Held, number: int, floor: _Floor, units: Units) -> None:
    """Draw a team, on a platform where the plan says so."""
    solids = found.solids[number]
    colour = PEOPLE if number else PEOPLE_BEFORE
    for foot, hand in zip(crew.feet, crew.hands, strict=True):
        solids.append(person(foot, hand, colour))
        found.feet.append(foot)
    middle = crew.feet.mean(axis=0)
    under = floor.at(middle)
    if held.hold.floor_mm - under > 60.0:
        length = float(np.ptp(crew.feet @ crew.along)) + 800.0
        solids.append(platform(middle, crew.along, length, under, GEAR))
        rise = held.hold.floor_mm - held.hold.base_mm
        if rise > 1.0:
            edge = middle + crew.along * length / 2
            found.marks.append(Mark(Act.NOTE, edge, None, (f"platform {height(rise, units)}",)))
        elif number == 0:
            edge = middle + crew.along * length / 2
            found.marks.append(Mark(Act.NOTE, edge, None, ("as high as the deck",)))
    else:
        solids.extend(disc(foot + UP * 4.0, SHADOW_MM, SHADOW) for foot in crew.feet)


def _guided(lift: Lift, load: Load, poses: tuple[Pose, Pose], units: Units, floor: _Floor) -> _Crew:
    """By a machine: its sling or jack, one person at a tag line, one at the gear."""
    machine = lift.machine
    assert machine is not None
    found = _Crew(([], []), [], [])
    pose = poses[1]
    points = load.vertices_mm
    along = level_along(load, pose)
    centre = np.array(load.centre_mm)
    needed = mass(machine.needed_kg, units)
    if machine.sling:
        hook = centre * [1.0, 1.0, 0.0] + UP * machine.reach_mm
        if load.is_upright:
            slung = [centre * [1.0, 1.0, 0.0] + UP * load.top_mm]
        else:
            apart = min(SLUNG_MM, load.size_mm[0] / 3)
            slung = [centre + along * apart / 2 * side for side in (-1, 1)]
            slung = [at * [1, 1, 0] + UP * load.top_mm for at in slung]
        for number, at in enumerate(slung):
            leg = (f"{force(machine.sling.tension_n, units)} in the leg",)
            if len(slung) > 1:
                leg = (*leg, f"at {machine.sling.angle_deg:.0f}\u00b0 from level")
            found.marks.append(Mark(Act.SLING, at, hook, leg if number else ()))
            found.marks.append(Mark(Act.HAND, at))
        if len(slung) == 1:
            found.marks[-2] = Mark(
                Act.SLING, slung[0], hook, (f"{force(machine.sling.tension_n, units)} in the leg",)
            )
        said = (f"{machine.kind}: {needed}", f"hook {height(machine.reach_mm, units)} up")
        found.marks.append(Mark(Act.LIFT, hook, UP, said))
    elif lift.thing.handling == Handling.WALL:
        reach = float(np.ptp(points @ along)) * 0.35
        for side in range(machine.count):
            share = 0.0 if machine.count == 1 else 2 * side / (machine.count - 1) - 1
            top = centre * [1, 1, 0] + along * reach * share + UP * load.top_mm
            at = poses[0].apply(np.array([top]))[0]
            said = (f"{machine.kind}: {needed} each",) if side == 0 else ()
            found.marks.append(Mark(Act.LIFT, at, UP, said))
            found.marks.append(Mark(Act.HAND, at))
    else:
        ends = poses[0].apply(np.array(load.ends_mm))
        heavy = ends[int(np.argmax(end_shares(load)))]
        at = heavy * [1, 1, 0] + UP * float(poses[0].apply(points)[:, 2].min())
        inward = _middle(poses[0].apply(points)) - at
        at = at + inward * [1, 1, 0] / max(float(np.linalg.norm(inward)), 1.0) * JACK_MM
        foot = at * [1, 1, 0] + UP * floor.at(at)
        found.solids[0].append(bar(foot, at, JACK_MM, GEAR))
        found.marks.append(Mark(Act.LIFT, at, UP, (f"{machine.kind}: {needed}",)))
        found.marks.append(Mark(Act.HAND, at))
    _guides(found, lift, load, poses, floor)
    return found


def _guides(found: _Crew, lift: Lift, load: Load, poses: tuple[Pose, Pose], floor: _Floor) -> None:
    """Those who guide, out from under the load: one with a line to its end, the rest at the start.

    They stand at opposite ends, so that they are told apart.
    """
    assert lift.machine is not None
    along = level_along(load, poses[1])
    for number in range(lift.machine.people):
        has_line = number == 0 and lift.machine.sling is not None
        points = poses[1 if has_line else 0].apply(load.vertices_mm)
        spread = points @ along
        if has_line:
            end = points[int(np.argmax(spread))]
            stands = end + poses[1].outward * TAG_MM + along * TAG_MM / 2
        else:
            end = points[int(np.argmin(spread))]
            stands = end - along * APART_MM * (1 + number)
        stands = stands * [1, 1, 0] + UP * floor.at(stands)
        towards = (end - stands) * [1, 1, 0]
        hands = stands + towards / max(float(np.linalg.norm(towards)), 1.0) * 330.0
        hands = hands + UP * FREE_HANDS_MM
        found.solids[1].append(person(stands, hands, PEOPLE))
        found.solids[1].append(disc(stands + UP * 4.0, SHADOW_MM, SHADOW))
        found.feet.append(stands)
        if has_line:
            found.marks.append(Mark(Act.TAG, end, hands, ("tag line",)))

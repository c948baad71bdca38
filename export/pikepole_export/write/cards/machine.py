"""A machine on a lift card: its sling, forks or jacks, and those of the crew who work with it.

by_machine(lift, load, poses, footprint, units, floor) -> Figures
"""

from __future__ import annotations

from typing import assert_never

import numpy as np

from pikepole_export.derive.lifting.falls import BELOW_MM, FALL_MM, seats_mm
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.poses import Footprint, Pose, level_along, outward_of
from pikepole_export.derive.lifting.slung import sling_spread_mm
from pikepole_export.derive.lifting.techniques import GRIP_SHARE
from pikepole_export.write.cards.crew import (
    PEOPLE,
    SHADOW,
    SHADOW_MM,
    Figures,
    middle_of,
)
from pikepole_export.write.cards.gear import GEAR, Heights, forks, tripod
from pikepole_export.write.cards.holding import APART_MM
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.solids import UP, Solid, bar, disc, person, platform
from pikepole_export.write.cards.words import force, height, mass
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units

# A person at a tag line stands this far out from under the load; common practice, no source.
TAG_MM = 2500.0
SEAT_MM = 1200.0  # a platform for one who sets an end
LIFT_OUT_MM = 600.0  # from the middle of a load to the mast of a material lift
CLEAR_OF_START_MM = 2000.0  # and beyond what waits on its edge
TRUCK_MM = 1200.0  # from the front of a truck to the middle of what is drawn of it
JACK_MM = 150.0  # as it is drawn


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
    found = Figures()
    # Where it is highest: what lies low waits higher up.
    pose = max(reversed(poses), key=lambda one: float(one.apply(load.vertices_mm)[:, 2].max()))
    points = pose.apply(load.vertices_mm)
    along = level_along(load, pose)
    centre = pose.apply(np.array([load.centre_mm]))[0]
    told = f"{machine.kind}: {mass(machine.needed_kg, units)}"
    if machine.sling:
        hook = centre * [1.0, 1.0, 0.0] + UP * machine.reach_mm
        slung = _slung(load, points, centre, machine.sling.legs, along)
        leg = (f"{force(machine.sling.tension_n, units)} in the sling",)
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
                    foot = at * [1, 1, 0] + UP * floor(at)
                    pole = foot + UP * (load.top_mm - load.low_mm)
                    found.solids[0].append(bar(foot, pole, JACK_MM / 2, GEAR))
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
            case MachineKind.TWO_WHEEL_TRUCK:
                waits = poses[0].apply(load.vertices_mm)
                at = middle_of(waits) * [1, 1, 0] + UP * float(waits[:, 2].min())
                found.marks.append(Mark(Symbol.LIFT, at, UP, (told,)))
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
    _guides(found, lift, load, poses[0], pose, floor, units)
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
    return forks(tip, way, machine.approach.out_mm + TRUCK_MM, floor)


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
    found: Figures,
    lift: Lift,
    load: Load,
    waits: Pose,
    hangs: Pose,
    floor: Heights,
    units: Units,
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
        hands = _figure(found, stands * [1, 1, 0] + UP * floor(stands), end, BELOW_MM)
        if lift.machine.sling is not None and not lift.machine.has_driver:
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
        _figure(found, stands * [1, 1, 0] + UP * floor(stands), end, BELOW_MM)
    for number in range(team.at_seats):
        end = np.array(load.ends_mm[number])
        if load.is_upright:
            end = np.array([load.centre_mm[0], load.centre_mm[1], load.low_mm + BELOW_MM])
        # Beside a post, out from under a boom, and not where the one at the gear is.
        way = -along if load.is_upright else _level_way(end - np.array(load.centre_mm))
        stands = (end + way * APART_MM) * [1, 1, 0]
        ground = floor(stands)
        high_mm = seats_mm(lift, units)
        on_mm = load.low_mm if load.is_upright else ground
        up = max(ground, on_mm if high_mm is None else lift.item.floor_mm + high_mm)
        if high_mm is not None and up > ground:
            faced = -way if up > FALL_MM - 0.5 else None
            floor_at = stands + UP * up
            found.solids[1].append(platform(floor_at, along, SEAT_MM, ground, GEAR, faced))
        hands = _figure(found, stands + UP * up, end, max(BELOW_MM, float(end[2]) - up))
        if number == 0 and lift.machine.sling is not None and lift.machine.has_driver:
            found.marks.append(Mark(Symbol.TAG, end, hands, ("tag line",)))


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

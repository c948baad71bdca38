"""What is drawn on a lift card: what stands, the load at the start and in place, people, forces.

card_scene(building, plan, lift) -> CardScene
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import Load, load_of
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.derive.lifting.poses import (
    Footprint,
    Pose,
    eave_pose,
    footprint_of,
    hoisted_pose,
    in_place,
    outward_of,
    start_pose,
    tilted_pose,
    truck_pose,
)
from pikepole_export.graphics.colours import Colour, part_colour
from pikepole_export.graphics.shading import END, SIDE, TOP
from pikepole_export.write.cards.crew import by_hand, heights, middle_of, rests
from pikepole_export.write.cards.gear import Heights, braces
from pikepole_export.write.cards.machine import aside, by_machine
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.solids import UP, Solid, joined, pieces
from pikepole_export.write.cards.words import force
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units

# In place dark and full, at the start pale; apart in grey too.
PIECE: Colour = (0.80, 0.38, 0.13)
WAITING: Colour = (0.98, 0.84, 0.66)
KEPT = 0.40  # of the darkness of what stands already

# The camera: above the ground, and aside from square on to where the load waits.
ABOVE_DEG = 24.0
ASIDE_DEG = 35.0
# A sheet that ends further from the eave than this is shown there too, as it passes.
PASSES_MM = 50.0
CENTRED_MM = 1000.0  # from the middle, along the side that it is on


@dataclass(frozen=True, slots=True)
class CardScene:
    """One picture, in the building's frame.

    Attributes:
        stages: How many stages stand whole.
        stands: What stands of this one.
        before: The load and the people at the start.
        after: The load in its place, and the people there.
        axes: (3, 3) float: unit vectors right, up and towards the camera.
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
    """What a lift's card shows.

    Args:
        building: What is built.
        plan: Says what of the lift's stage stands already.
        lift: One of the plan's.
    """
    item = lift.item
    load = item.whole if lift.machine else lift.chosen.load
    stands = _standing(building, plan, lift, load)
    before = [part for part in building.parts if part.stage < item.stage]
    footprint = footprint_of(building, [*before, *stands, *load.parts])
    rest_height_mm = lift.rest_height_mm
    waits = _waits(lift, load, footprint)
    poses = (waits, in_place(load, footprint))
    units: Units = building.scene.units
    floor = heights(building, item.stage)
    is_frame = item.is_frame(load)
    solids: tuple[list[Solid], list[Solid]] = ([], [])
    marks: list[Mark] = []
    feet: list[Points] = []
    loads: list[Points] = []
    for number, (pose, colour) in enumerate(zip(poses, (WAITING, PIECE), strict=True)):
        solids[number].append(_moved(load, pose, colour))
        loads.append(pose.apply(load.vertices_mm))
        marks.append(Mark(Symbol.CENTRE, pose.apply(np.array([load.centre_mm]))[0]))
    solids[0].extend(rests(item, load, poses[0], floor, rest_height_mm))
    if lift.machine:
        found = by_machine(lift, load, poses, footprint, units, floor)
    else:
        found = by_hand(lift, load, poses, footprint, units, floor)
        if lift.chosen.tilt:
            steep = tilted_pose(load, footprint, lift.chosen.tilt.peak_deg, inward=is_frame)
            if lift.chosen.tilt.peak_deg > 15.0:
                solids[0].append(_moved(load, steep, WAITING))
                loads.append(steep.apply(load.vertices_mm))
        if item.handling == Handling.ROOF_SHEET:
            passes = eave_pose(item, load, footprint)
            points = passes.apply(load.vertices_mm)
            if np.abs(points - loads[1]).max() > PASSES_MM:
                solids[0].append(_moved(load, passes, WAITING))
                loads.append(points)
                marks.append(Mark(Symbol.NOTE, middle_of(points), None, ("over the eave",)))
    if lift.bracing and lift.chosen.tilt:
        solids[1].extend(_braces(lift, load, footprint, floor))
        marks.append(Mark(Symbol.NOTE, middle_of(solids[1][-1].points), None, ("brace",)))
    for number in (0, 1):
        solids[number].extend(found.solids[number])
    weight = force(load.weight_n, units)
    # Jacks work where the load lies at the start; where forks are, they are under it in its place.
    from_below = lift.machine is not None and lift.machine.sling is None
    for splice in item.splices:
        said = ("prop under the splice" if splice.needs_prop else "spliced here",)
        marks.append(Mark(Symbol.NOTE, np.array(splice.at_mm), None, said))
    centre = poses[0 if from_below else 1].apply(np.array([load.centre_mm]))[0]
    is_part = load.name != item.whole.name
    told = (load.name, f"weighs {weight}") if is_part else (f"weighs {weight}",)
    marks.append(Mark(Symbol.WEIGHT, centre, -UP, told))
    marks += found.marks
    feet += found.feet
    marks += [
        Mark(Symbol.NOTE, middle_of(loads[0]), None, ("start",)),
        Mark(Symbol.NOTE, middle_of(loads[1]), None, ("in place",)),
    ]
    axes, light = _camera(-poses[0].outward if is_frame else poses[0].outward, load, footprint)
    muted = _washed_out(np.array([part_colour(part) for part in stands]).reshape(-1, 3))
    return CardScene(
        stages=sum(stage.number < item.stage for stage in building.stages),
        stands=joined([pieces(stands, muted), *_braced(plan, lift, stands, footprint, floor)]),
        before=joined(solids[0]),
        after=joined(solids[1]),
        axes=axes,
        light=light,
        marks=tuple(marks),
        people=np.array(feet).reshape(-1, 3),
        loads=tuple(loads),
    )


def _waits(lift: Lift, load: Load, footprint: Footprint) -> Pose:
    """Where a load waits: for a hoist with its head under the hook, for a truck across its way."""
    item, machine = lift.item, lift.machine
    low_mm = item.floor_mm + lift.rest_height_mm
    if machine and machine.tripod and load.is_upright:
        return hoisted_pose(load, footprint, low_mm)
    if machine and machine.approach and machine.sling:
        return truck_pose(load, footprint, machine.approach.way, low_mm)
    return start_pose(item, load, footprint, lift.rest_height_mm)


def stage_solid(parts: Sequence[Part]) -> Solid:
    """A stage as it looks once it stands: washed out."""
    return pieces(parts, _washed_out(np.array([part_colour(part) for part in parts])))


def _standing(building: Building, plan: LiftPlan, lift: Lift, load: Load) -> list[Part]:
    """What of this stage is up when the lift begins, in the order that is proposed."""
    own = {part.name for part in load.parts}
    done: set[str] = set()
    by_number = {one.number: one.item for one in plan.lifts}
    for number in plan.calendar.order[lift.item.stage]:
        if number == lift.number:
            break
        item = by_number[number]
        done |= {part.name for part in item.whole.parts} | set(item.same)
    for piece in lift.item.pieces:
        if piece.name == load.name:
            break
        if not lift.machine:
            done |= {part.name for part in piece.parts}
    stage = next(stage for stage in building.stages if stage.number == lift.item.stage)
    return [part for part in stage.parts if part.name in done - own]


def _braces(lift: Lift, load: Load, footprint: Footprint, floor: Heights) -> list[Solid]:
    assert lift.bracing is not None
    out, away = outward_of(load, footprint), aside(load, footprint)
    if lift.item.handling == Handling.POST:
        # On its inner sides, where no truck comes and it was not raised from.
        out, away = -out, -away
    return braces(load, lift.bracing, out, away, floor)


def _braced(
    plan: LiftPlan, lift: Lift, stands: Sequence[Part], footprint: Footprint, floor: Heights
) -> list[Solid]:
    """The braces of the posts of this stage that stand already."""
    up = {part.name: part for part in stands}
    found: list[Solid] = []
    for other in plan.lifts:
        if other.item.stage == lift.item.stage and other.item.handling == Handling.POST:
            for name in (name for name in other.item.same if name in up):
                found += _braces(other, load_of(name, [up[name]]), footprint, floor)
    return [Solid(s.points, s.triangles, s.lines, _washed_out(s.colours)) for s in found]


def _washed_out(colours: Points) -> Points:
    """(n, 3) float: nearly grey, and far nearer to white."""
    grey = colours @ np.array([0.30, 0.59, 0.11])
    return 1.0 - KEPT + KEPT * (0.35 * colours + 0.65 * grey[:, None])


def _moved(load: Load, pose: Pose, colour: Colour) -> Solid:
    solid = pieces(load.parts, np.tile(colour, (len(load.parts), 1)))
    return Solid(pose.apply(solid.points), solid.triangles, pose.apply(solid.lines), solid.colours)


def _camera(outward: Points, load: Load, footprint: Footprint) -> tuple[Points, Points]:
    """Axes that look at where the load waits, aside from the nearer end, and the light on it."""
    across = np.cross(UP, outward)
    middle = np.array([*(footprint.low_mm + footprint.high_mm) / 2, 0.0])
    off = float((np.array(load.centre_mm) - middle) @ across)
    # In the middle it is seen from the front where that can be chosen, else from the right.
    if abs(off) < CENTRED_MM:
        off = float(across[0] - across[1])
    aside = across if off > 0 else -across
    turned, above = math.radians(ASIDE_DEG), math.radians(ABOVE_DEG)
    level = outward * math.cos(turned) + aside * math.sin(turned)
    towards = level * math.cos(above) + UP * math.sin(above)
    right = np.cross(UP, level)
    return (
        np.array([right, np.cross(towards, right), towards]),
        SIDE * outward + END * aside + TOP * UP,
    )

"""What is drawn on a lift card: what stands, the load before and after each step, people, forces.

card_scene(building, plan, lift) -> CardScene
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pikepole_export.derive.lifting.items import Edge, Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import Load, load_of
from pikepole_export.derive.lifting.methods import loads_of
from pikepole_export.derive.lifting.plan import LiftPlan
from pikepole_export.derive.lifting.poses import (
    Footprint,
    Pose,
    footprint_of,
    hoisted_pose,
    in_place,
    outward_of,
    start_pose,
    truck_pose,
)
from pikepole_export.graphics.colours import part_colour
from pikepole_export.graphics.layers import standing_layers
from pikepole_export.graphics.shading import END, SIDE, TOP
from pikepole_export.write.cards.crew import Figures, by_hand, heights, middle_of
from pikepole_export.write.cards.gear import Heights, braces
from pikepole_export.write.cards.machine import aside, by_machine
from pikepole_export.write.cards.marks import Mark, Symbol
from pikepole_export.write.cards.solids import UP, Solid, joined, pieces
from pikepole_export.write.cards.supports import trestles
from pikepole_export.write.cards.words import force
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units

KEPT = 0.40  # of the darkness of what stands already

# The camera: above the ground, and aside from square on to where the load waits.
ABOVE_DEG = 24.0
ASIDE_DEG = 35.0
NEAR_MM = 2000.0  # round the people, where one end is raised
KEY = "Pale: before.  Dark: after.  Dots: hands, slings."
NOTHING = joined(())
CENTRED_MM = 1000.0  # from the middle, along the side that it is on


@dataclass(frozen=True, slots=True)
class Panel:
    """A step of a lift by hand or of a move, or a lift by machine, in the building's frame.

    Attributes:
        head: What is written in its corner: the step's number, and the force on one.
        before: The load before it, and what it lies on.
        after: The load after it, and the people.
        marks: What is drawn over it.
        people: (n, 3) float: feet of all the figures.
        loads: The load's points before and after, (n, 3) float.
        seen: (n, 3) float: what has to be within the picture.
        around: What stands at this step alone.
    """

    head: tuple[str, ...]
    before: Solid
    after: Solid
    marks: tuple[Mark, ...]
    people: Points
    loads: tuple[Points, ...]
    seen: Points
    around: Solid = NOTHING


@dataclass(frozen=True, slots=True)
class CardScene:
    """All the pictures of a card, seen the same way.

    Attributes:
        stages: Names of the layers of stages that stand whole.
        stands: What stands of this one.
        panels: Each step in order, or a lift by machine in one.
        axes: (3, 3) float: unit vectors right, up and towards the camera.
        light: (3,) float: how light a face is, by the way it looks.
        key: What its colours stand for.
    """

    stages: tuple[str, ...]
    stands: Solid
    panels: tuple[Panel, ...]
    axes: Points
    light: Points
    key: str


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
    footprint = footprint_of(building, [*building.stands(item.stage), *stands, *load.parts])
    units: Units = building.scene.units
    floor = heights(building, item.stage)
    is_frame = item.is_frame(load)
    if lift.machine:
        waits = _waits(lift, load, footprint)
        figures = (_mechanised(lift, load, waits, footprint, units, floor),)
        outward = waits.outward
    else:
        figures = by_hand(lift, load, footprint, units, floor)
        outward = in_place(load, footprint).outward
    if lift.bracing and lift.chosen.tilt:
        held = _braces(lift, load, footprint, floor)
        figures[-1].solids[1].extend(held)
        figures[-1].marks.append(Mark(Symbol.NOTE, middle_of(held[-1].points), None, ("brace",)))
    for splice in item.splices:
        said = ("prop under the splice" if splice.needs_prop else "spliced here",)
        figures[-1].marks.append(Mark(Symbol.NOTE, np.array(splice.at_mm), None, said))
    _weigh(figures[0], lift, load, units)
    axes, light = _camera(-outward if is_frame else outward, load, footprint)
    muted = _washed_out(np.array([part_colour(part) for part in stands]).reshape(-1, 3))
    return CardScene(
        stages=standing_layers(building, item.stage),
        stands=joined([pieces(stands, muted), *_braced(plan, lift, stands, footprint, floor)]),
        panels=tuple(_panel(number, one) for number, one in enumerate(figures, start=1)),
        axes=axes,
        light=light,
        key=KEY,
    )


def _mechanised(
    lift: Lift, load: Load, waits: Pose, footprint: Footprint, units: Units, floor: Heights
) -> Figures:
    """A lift by machine: where the load waits and where it goes, in one picture."""
    poses = (waits, in_place(load, footprint))
    found = by_machine(lift, load, poses, footprint, units, floor)
    found.lay(load, poses)
    found.marks.append(Mark(Symbol.CENTRE, found.centres[0]))
    found.solids[0].extend(
        one.drawn(floor) for one in trestles(lift.item, load, waits, lift.rest_height_mm)
    )
    for points, said in zip(found.loads, ("start", "in place"), strict=True):
        found.marks.append(Mark(Symbol.NOTE, middle_of(points), None, (said,)))
    return found


def _weigh(found: Figures, lift: Lift, load: Load, units: Units) -> None:
    """An arrow down from the centre of gravity, with the weight."""
    # Jacks work where the load lies at the start; where forks are, they are under it in its place.
    from_below = lift.machine is not None and lift.machine.sling is None
    centre = found.centres[0 if from_below else -1]
    told = (f"weighs {force(load.weight_n, units)}",)
    found.marks.append(Mark(Symbol.WEIGHT, centre, -UP, told))


def _panel(number: int, found: Figures) -> Panel:
    before, after = joined(found.solids[0]), joined(found.solids[1])
    people = np.array(found.feet).reshape(-1, 3)
    seen = np.concatenate([before.points, after.points])
    marks = found.marks
    if found.near:

        def near(points: Points) -> NDArray[np.bool_]:
            away = points[:, None, :2] - people[None, :, :2]
            return np.linalg.norm(away, axis=2).min(axis=1) < NEAR_MM

        seen = seen[near(seen)]
        marks = [mark for mark in marks if near(mark.at[None])[0]]
    return Panel(
        head=(str(number), found.head) if found.head else (),
        before=before,
        after=after,
        marks=tuple(marks),
        people=people,
        loads=tuple(found.loads),
        seen=seen,
    )


def _waits(lift: Lift, load: Load, footprint: Footprint) -> Pose:
    """Where a load waits: for a hoist with its head under the hook, for a truck across its way."""
    item, machine = lift.item, lift.machine
    low_mm = item.floor_mm + lift.rest_height_mm
    if item.handling.over is Edge.JOIST:
        item = replace(item, handling=Handling.SHEET)  # it comes from outside, over the walls
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
    before: list[Part] = []
    if not lift.machine:
        # What goes up after its frame is not there yet.
        for piece in loads_of(lift.item, lift.chosen.split):
            if piece.name == load.name:
                break
            before += piece.parts
    stage = next(stage for stage in building.stages if stage.number == lift.item.stage)
    names = done - own - {part.name for part in before}
    return [*(part for part in stage.parts if part.name in names), *before]


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


def _camera(outward: Points, load: Load, footprint: Footprint) -> tuple[Points, Points]:
    """Axes that look at where the load waits, aside from the nearer end, and the light on it."""
    across = np.cross(UP, outward)
    middle = np.array([*(footprint.low_mm + footprint.high_mm) / 2, 0.0])
    off = float((np.array(load.centre_mm) - middle) @ across)
    # In the middle it is seen from the front where that can be chosen, else from the right.
    if abs(off) < CENTRED_MM:
        off = float(across[0] - across[1])
    aside = across if off > 0 else -across
    return looked_at(outward, aside, ASIDE_DEG)


def looked_at(outward: Points, aside: Points, aside_deg: float) -> tuple[Points, Points]:
    """Axes of a camera above the ground, and the light on what it sees.

    Args:
        outward: Level unit vector to where it would stand square on.
        aside: Level unit vector square to it, that it goes to.
        aside_deg: How far.
    """
    turned, above = math.radians(aside_deg), math.radians(ABOVE_DEG)
    level = outward * math.cos(turned) + aside * math.sin(turned)
    towards = level * math.cos(above) + UP * math.sin(above)
    right = np.cross(UP, level)
    return (
        np.array([right, np.cross(towards, right), towards]),
        SIDE * outward + END * aside + TOP * UP,
    )

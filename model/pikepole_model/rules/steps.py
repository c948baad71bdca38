"""What must hold for steps and ramps: something to climb, boards that reach, and room before it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.errors import KeyPath, Problem, Try, leave_out, less, without
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.bay_ground import FILLER_MM
from pikepole_model.plan.beams import BeamLine, plan_beams
from pikepole_model.plan.datums import Obstacle
from pikepole_model.plan.faces import wall_faces
from pikepole_model.plan.ramp import RampPlan, plan_ways_up
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.steps import StepsPlan
from pikepole_model.plan.wall import WallPlan
from pikepole_model.rules.places import elsewhere
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.schema import Scene

# Boards across a ramp, the toe of its joists and what it begins under the floor by.
_LEAST_RAMP_MM = 100.0


def steps_problems(roof: RoofPlan, plans: tuple[WallPlan, ...], ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the steps and ramps up to doors."""
    datums = roof.datums
    openings = [opening for opening in datums.scene.opening if opening.steps]
    sizes = (
        *(datums.floor_mm, datums.length_mm, datums.depth_mm),
        *(opening.width for opening in openings),
        *(left for plan in plans for one in plan.openings for left in one.rough),
        *(bay.reach for bay in datums.scene.bay),
    )
    # A floor on a pad has its own line in the report.
    on_pad = datums.scene.floor_pad is not None and datums.scene.floor is not None
    if on_pad or not openings or not all(math.isfinite(size) for size in sizes):
        return
    lines = plan_beams(roof, plans)
    ways = plan_ways_up(wall_faces(plans), lines)
    first_of_table = {way.framed.table: way for way in reversed(ways)}
    for way in first_of_table.values():
        yield from _way_up(way, ruler)
    yield from _in_the_way(ways, lines)


def _path(way: StepsPlan | RampPlan) -> KeyPath:
    return ("opening", way.framed.table, "steps")


def _way_up(way: StepsPlan | RampPlan, ruler: Ruler) -> Iterator[Problem]:
    """Something to climb, and boards that are long and deep enough."""
    path, rise = _path(way), ruler.at(way.rise_mm)
    wide = way.u[1] - way.u[0]
    yield from ruler.too_long((*path, "board"), wide, way.board, less(*path, "width"))
    if isinstance(way, RampPlan):
        if way.rise_mm < _LEAST_RAMP_MM:
            yield Problem.at(path, f"rises {rise} only: fill that up with gravel", leave_out(path))
        return
    if way.risers < 2:
        wrong = f"leads up {rise}, and that is one step without any"
        yield Problem.at(path, wrong, leave_out(path))
        return
    depth = way.datums.scene.lumber_stock(way.stringer).depth_mm
    if depth < way.least_mm() - TOLERANCE_MM:
        given = way.says.stringer is not None
        key = (*path, "stringer") if given else (*path, "rise")
        wrong = f"leaves too little of a stringer: it takes {ruler.at_least(way.least_mm())} deep"
        yield Problem.at(key, wrong, "", *([without(*key)] if given else []), less(*path, "rise"))


def _in_the_way(
    ways: tuple[StepsPlan | RampPlan, ...], lines: tuple[BeamLine, ...]
) -> Iterator[Problem]:
    """Steps and ramps clear of each other, of posts, and of what is there already."""
    areas = [(way, Obstacle(*way.on_ground(way.long_mm), way.rise_mm)) for way in ways]
    for (first, one), (way, area) in itertools.combinations(areas, 2):
        if one.meets(area):
            path = _path(way)
            wrong = f'meets what leads up to "{first.name}"'
            yield Problem.at(path, wrong, "", *_room_for(way))
    for way, area in areas:
        there = [*_posts(lines), *_existing(way.datums.scene)]
        for name, one in there:
            if one.meets(area) and one.top > way.stands_mm:
                path = _path(way)
                wrong = f'comes down where "{name}" stands'
                yield Problem.at(path, wrong, "", *_room_for(way))


def _room_for(way: StepsPlan | RampPlan) -> tuple[Try, ...]:
    """The door in another place, a way up as wide as the door, or both."""
    path, table = _path(way), way.framed.table
    opening = way.datums.scene.opening[table]
    usual = [without(*path, "width")] if way.says.width else []
    return *elsewhere(opening, table, way.framed.rough[0]), *usual


def _posts(lines: tuple[BeamLine, ...]) -> Iterator[tuple[str, Obstacle]]:
    for line in lines:
        for post in line.posts:
            stock = line.roof.datums.scene.lumber_stock(post.says.post)
            (y0, y1), half = line.span(0.0, stock.depth_mm), stock.breadth_mm / 2
            yield f"{post.name} post", Obstacle(post.x - half, y0, post.x + half, y1, line.low_mm)
            around = line.footing_from_above(post, FILLER_MM)
            yield f"{post.name} footing", Obstacle(*around, post.concrete_mm[1])


def _existing(scene: Scene) -> Iterator[tuple[str, Obstacle]]:
    """What stands there when the steps come; what the building is moved away from does not."""
    for one in scene.existing:
        if not one.until and not (scene.move and scene.move.built_on):
            ends = (one.x + one.width, one.y + one.depth)
            yield one.name, Obstacle(one.x, one.y, *ends, one.height, one.foot)

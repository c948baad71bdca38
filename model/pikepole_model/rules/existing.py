"""What must hold for what is there already: the frame and the roof have room round it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.building.sequence import steps_of
from pikepole_model.errors import KeyPath, Problem, leave_out, less, more, other, without
from pikepole_model.geometry.spacing import CLEAR_OF_MM, TOLERANCE_MM, overlap
from pikepole_model.plan.loft import loft_plan
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.standing import LEAST_FILLED_MM, Standing, standing_at
from pikepole_model.plan.ties import tie_low_mm
from pikepole_model.plan.wall import WallPlan
from pikepole_model.rules.places import elsewhere
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.scene.walls import SheetedWall, SlattedWall
from pikepole_model.scene.work import Existing
from pikepole_model.stock.catalogue import nearest_names

# Sheets, a fascia and a drip edge reach less than this past the rafters' ends: 3 in.
PAST_RAFTERS_MM = 76.2

# Slats on girts, cladding, casing and doors reach less than this past a wall's studs: 3 in.
PAST_STUDS_MM = 76.2


def existing_problems(
    roof: RoofPlan, plans: tuple[WallPlan, ...], ruler: Ruler
) -> Iterator[Problem]:
    """What is wrong with what is there already."""
    scene = roof.datums.scene
    stages = [step.name for step in steps_of(scene)]
    for k, one in enumerate(scene.existing):
        if one.until and one.until not in stages:
            yield Problem.at(
                ("existing", k, "until"),
                "the work has no such stage",
                f"give {nearest_names(one.until, stages)}",
            )
        if one.foot > one.height - TOLERANCE_MM:
            yield Problem.at(
                ("existing", k, "foot"),
                f"is not under its top, {ruler.at(one.height)} over the ground",
                "",
                less("existing", k, "foot"),
            )
        pad = scene.floor_pad
        if pad and scene.move is None and one.foot < pad.above_ground:
            yield Problem.at(
                ("existing", k, "name"),
                "would be cast into the pad",
                leave_out(("existing", k)),
            )
            continue
        yield from _under_the_roof(roof, plans, k, one, ruler)
    for plan in plans:
        yield from _in_wall(plan, ruler)
        yield from _before_wall(plan)
    yield from _ledgers(roof)
    for (_, first), (k, after) in itertools.combinations(enumerate(scene.existing), 2):
        if (
            overlap((first.x, first.x + first.width), (after.x, after.x + after.width))
            and overlap((first.y, first.y + first.depth), (after.y, after.y + after.depth))
            and overlap((first.foot, first.height), (after.foot, after.height))
        ):
            yield Problem.at(
                ("existing", k, "x"),
                f'stands in "{first.name}"',
                "",
                other("existing", k, "x"),
                other("existing", k, "y"),
            )


def _ledgers(roof: RoofPlan) -> Iterator[Problem]:
    """Floor ledgers with something beside them to be bolted to."""
    datums, scene = roof.datums, roof.datums.scene
    for side in scene.floor.ledgers if scene.floor else ():
        frame = (datums.bearer_mm, datums.bearer_mm + datums.joist_mm)
        edge = 0.0 if side == "front" else datums.depth_mm
        beside = [
            one
            for one in datums.obstacles
            if abs((one.y1 if side == "front" else one.y0) - edge) <= TOLERANCE_MM
            and overlap((one.x0, one.x1), (0.0, datums.length_mm))
            and overlap((one.low, one.top), frame)
        ]
        if not beside:
            yield Problem.at(
                ("floor", "ledgers"),
                f"bolts a ledger along the {side}, and nothing in [[existing]] touches the floor's "
                "edge there",
                leave_out(("floor", "ledgers")),
            )


def _under_the_roof(
    roof: RoofPlan, plans: tuple[WallPlan, ...], k: int, one: Existing, ruler: Ruler
) -> Iterator[Problem]:
    """Room for what is still there when the rafters come, or what they lie on."""
    room = _room_above(roof, one) if roof.datums.is_there(one, "rafters") else float("inf")
    for plan in plans:
        # What lies on a wall's plates needs all their length.
        on_plates = ("rafters", f"{plan.name if plan.runs_through else 'ridge'} beam")
        if any(found.number == k for found in plan.parted_by) and any(
            roof.datums.is_there(one, group) for group in on_plates
        ):
            tops = [plan.top(u) for found in plan.parted_by if found.number == k for u in found.u]
            room = min(room, roof.datums.floor_mm + roof.datums.raised_mm + min(tops) - CLEAR_OF_MM)
    if one.height > room + TOLERANCE_MM:
        yield Problem.at(
            ("existing", k, "height"),
            "reaches up into the roof or the loft",
            f"give {ruler.at_most(room)}" if room > one.foot + TOLERANCE_MM else "",
            more(*walls_height(roof.datums.scene)),
        )


def _in_wall(plan: WallPlan, ruler: Ruler) -> Iterator[Problem]:
    """Openings clear of what stands in a wall, and something left of the wall between."""
    breadth = plan.datums.breadth_mm
    for one in plan.parted_by:
        path: KeyPath = ("existing", one.number)
        # A header runs from end to end, and so does what it carries.
        if plan.open_part or not isinstance(plan.kind, SheetedWall):
            away = (*path, "y" if plan.runs_through else "x")
            half = ("walls", plan.name, "height")
            yield Problem.at(
                away,
                f"stands in the {plan.name} wall, and only one with sheets from floor to plates is "
                "framed round it",
                leave_out(path),
                other(*away),
                *([without(*half)] if isinstance(plan.kind, SheetedWall) else []),
            )
            return
        if one.u[0] < plan.framed[0] + LEAST_FILLED_MM and (
            one.u[1] > plan.framed[1] - LEAST_FILLED_MM
        ):
            yield Problem.at(
                (*path, "width" if plan.runs_through else "depth"),
                f"takes all of the {plan.name} wall, and leaves no bearing for its plates",
                leave_out(path),
            )
            return
        spacing = plan.datums.scene.walls.spacing
        wide = one.u[1] - one.u[0] - 2 * CLEAR_OF_MM
        if one.v[0] > 0.0 and wide > spacing + TOLERANCE_MM:
            yield Problem.at(
                (*path, "foot"),
                f"leaves {ruler.at(wide)} of the {plan.name} wall without a stud under it, more "
                f"than the studs are apart, {ruler.at(spacing)}",
                leave_out(path),
                other(*path, "y" if plan.runs_through else "x"),
                more(*path, "foot"),
            )
        # With a stud at both sides.
        taken = (one.u[0] - breadth, one.u[1] + breadth)
        yield from _through_posts(plan, one, taken, ruler)
        yield from _through_openings(plan, one, taken, ruler)


def _through_posts(
    plan: WallPlan, one: Standing, taken: tuple[float, float], ruler: Ruler
) -> Iterator[Problem]:
    """What stands where posts of studs carry a ridge or a purlin, with a stud at both its sides."""
    name = plan.datums.scene.existing[one.number].name
    for pocket in plan.pockets:
        if overlap(pocket.taken_u, taken):
            path: KeyPath = ("existing", one.number)
            low, high = sorted(map(plan.from_layout, pocket.taken_u))
            yield Problem.at(
                (*path, "y"),
                f'"{name}", a stud beside it counted, stands in the post of the {plan.name} wall '
                f"under the {pocket.name}, from {ruler.at(low)} to {ruler.at(high)}",
                "",
                other(*path, "y"),
                less(*path, "depth"),
                other("roof", "ridge", "from_front"),
                without(*path),
            )


def _through_openings(
    plan: WallPlan, one: Standing, taken: tuple[float, float], ruler: Ruler
) -> Iterator[Problem]:
    name = plan.datums.scene.existing[one.number].name
    for framed in plan.openings:
        if overlap(framed.outer_u, taken):
            path: KeyPath = ("existing", one.number)
            yield Problem.at(
                (*path, "x" if plan.runs_through else "y"),
                f'"{name}" stands in "{framed.opening.name}" of the {plan.name} wall, jack and '
                f"king studs and a stud beside it counted, from {ruler.at(max(taken[0], 0.0))} to "
                f"{ruler.at(taken[1])}",
                "",
                *elsewhere(framed.opening, framed.table, framed.left),
                other(*path, "x" if plan.runs_through else "y"),
                less("opening", framed.table, "width"),
                without(*path),
            )


def _before_wall(plan: WallPlan) -> Iterator[Problem]:
    """Slats and openings with nothing that stands against the wall right before them.

    Sheets and boards are cut round it.
    """
    datums, scene = plan.datums, plan.datums.scene
    away = "y" if plan.runs_through else "x"
    before: list[tuple[str, str, tuple[float, float], tuple[float, float]]] = [
        (one.opening.name, f'"{one.opening.name}"', one.outer_u, (one.sill, one.head))
        for one in plan.openings
    ]
    if isinstance(plan.kind, SlattedWall):
        top = max(v for _, v in plan.top_line)
        before.append((plan.group, "the slats", plan.framed, (0.0, top)))
    for group, what, u, v in before:
        for one in standing_at(datums, plan.place, group):
            in_the_way = overlap(one.n, (0.0, PAST_STUDS_MM)) and not one.is_in(
                datums.wall_mm, plan.framed, v
            )
            if in_the_way and overlap(one.u, u) and overlap(one.v, v):
                path: KeyPath = ("existing", one.number)
                yield Problem.at(
                    (*path, away),
                    f'stands against the {plan.name} wall, right before {what}: "'
                    f'{scene.existing[one.number].name}" has to be clear of it',
                    "",
                    other(*path, away),
                    other(*path, "x" if plan.runs_through else "y"),
                    without(*path),
                )


def _room_above(roof: RoofPlan, one: Existing) -> float:
    """How high something may reach above ground, mm."""
    roofing = roof.datums.scene.roofing
    past = PAST_RAFTERS_MM + (roofing.overhang if roofing else 0.0)

    def over(y: float, inwards: float) -> float:
        height = roof.lowest_rafter_mm(y)
        return height if math.isfinite(height) else roof.lowest_rafter_mm(y + inwards)

    # Where rafters end over it they are the lowest.
    feet = (slope.y_of(slope.lower.h) for slope in roof.all_slopes)
    ends = (roof.lowest_rafter_mm(y) for y in feet if one.y < y < one.y + one.depth)
    room = min(over(one.y, -past), over(one.y + one.depth, past), *ends)
    room = min([room, *(member.low_mm for member in roof.level_members)])
    if roof.ridge_board:
        room = min(room, tie_low_mm(roof))
    loft = loft_plan(roof)
    if loft and overlap((one.x, one.x + one.width), loft.x):
        room = min(room, loft.lowest_mm)
    return room + roof.datums.raised_mm - CLEAR_OF_MM

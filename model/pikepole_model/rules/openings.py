"""What must hold for every door and window: room beside, above and below it, and to open it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.errors import (
    KeyPath,
    Problem,
    Try,
    either,
    less,
    more,
    other,
    without,
)
from pikepole_model.geometry.spacing import LEAST_STICK_MM, TOLERANCE_MM, overlap
from pikepole_model.plan.anchor_bolts import WASHER_THICKNESS_MM
from pikepole_model.plan.bottom_plate import BottomPlate, bottom_plates
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.faces import CLEAR_OF_RAFTERS_MM
from pikepole_model.plan.framed import Framed
from pikepole_model.plan.ledger_wrap import LEAST_LAP_MM
from pikepole_model.plan.roof_cover import RoofCover
from pikepole_model.plan.slope import Slope
from pikepole_model.plan.wall import WallPlan
from pikepole_model.rules.headers import Spanned, header_problems
from pikepole_model.rules.places import elsewhere, place_of, step_of
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.rules.walls import gap_problems
from pikepole_model.scene.posts import Bay
from pikepole_model.units import MARK_MM, plural

LEAST_OFFERED_MM = 600.0  # a lower door is no mend: the wall is raised instead


def opening_problems(plan: WallPlan, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the openings of one wall; what ails a whole row is said once."""
    yield from dict.fromkeys(_faults(plan, ruler))


def _faults(plan: WallPlan, ruler: Ruler) -> Iterator[Problem]:
    if plan.open_part:
        known = math.isfinite(plan.length_mm + sum(sum(one.u) for one in plan.openings))
        if known and plan.open_part.from_mm:
            yield from gap_problems(plan, plan.open_part, ruler)
        return
    # Where the corner studs stand hangs on the studs on centre: both sizes must be known.
    laid_out = math.isfinite(plan.length_mm + plan.datums.scene.walls.spacing)
    seen: list[Framed] = []
    for framed in plan.openings:
        path: KeyPath = ("opening", framed.table)
        row = [one for one in plan.openings if one.table == framed.table]
        if laid_out and framed is row[0]:
            yield from _beside(plan, row, path, ruler)
            yield from _between(plan, framed, path, ruler)
        yield from _above_and_below(plan, framed, path, ruler)
        width, narrower = framed.opening.width, less(*path, "width")
        spanned = Spanned(framed.header, width, framed.opening.header, path, "width", narrower)
        yield from header_problems(plan, spanned, ruler)
        if laid_out and math.isfinite(plan.datums.scene.roof.slope):
            yield from _ridge_post(plan, framed, path, ruler)
        yield from _ledger(plan, framed, ruler)
        yield from _under_the_eave(plan, framed, ruler)
        for one in seen:
            if overlap(framed.outer_u, one.outer_u):
                yield _overlap(plan, framed, one, path, ruler)
        seen.append(framed)


def _overlap(
    plan: WallPlan, framed: Framed, other_one: Framed, path: KeyPath, ruler: Ruler
) -> Problem:
    """One opening runs into another: of the same row, or not."""
    beside = framed.u[0] - framed.outer_u[0]
    opening = framed.opening
    if framed.table == other_one.table:
        step = step_of(opening, framed.table)
        return Problem.at(
            step,
            f"leaves no room in the {plan.name} wall for the jack and king studs between two of "
            "them",
            "",
            more(*step),
            less(*path, "count"),
            _longer(plan),
        )
    row = [one for one in plan.openings if one.table == framed.table]
    # Where the row starts clear of the other one; how far it and what stands beside it run on.
    clear = other_one.outer_u[1] + beside - (framed.u[0] - row[0].u[0])
    long, past = row[-1].u[1] - row[0].u[0], row[-1].outer_u[1] - row[0].u[0]
    known = math.isfinite(plan.length_mm + plan.datums.scene.walls.spacing)
    # It is told rounded, up to a mark of the tape on.
    there = clear + row[0].outer_u[0] - row[0].u[0], clear + past + MARK_MM[ruler.units]
    fits = not known or (
        there[1] <= plan.clear_u[1] + TOLERANCE_MM
        and not any(
            overlap(there, one.outer_u) for one in plan.openings if one.table != framed.table
        )
    )
    mend = ""
    if fits and opening.from_left is not None:
        mend = f"give {ruler.at_least(clear)}"
    elif fits and opening.from_right is not None:
        mend = f"give {ruler.at_most(plan.length_mm - clear - long)}"
    return Problem.at(
        place_of(opening, framed.table),
        f'overlaps "{other_one.opening.name}" in the {plan.name} wall, its jack and king studs '
        "counted",
        mend,
        *elsewhere(opening, framed.table, row[0].u[0]),
        *elsewhere(other_one.opening, other_one.table, _start(plan, other_one.table)),
        less("opening", other_one.table, "width"),
        less(*path, "width"),
        other(*path, "wall"),
        _longer(plan),
    )


def _start(plan: WallPlan, table: int) -> float:
    """Left corner of the wall to an opening or its row, mm."""
    return next(one.left for one in plan.openings if one.table == table)


def _longer(plan: WallPlan) -> Try:
    """A longer wall."""
    return more("building", "length" if plan.runs_through else "depth")


def _beside(plan: WallPlan, row: list[Framed], path: KeyPath, ruler: Ruler) -> Iterator[Problem]:
    """Room between the corners for the opening or the row, with jacks and kings."""
    scene, framed = plan.datums.scene, row[0]
    low, high = plan.clear_u
    beside = framed.u[0] - framed.outer_u[0]
    width, reach = framed.opening.width, row[-1].u[1] - framed.u[0]
    room = (high - low - 2 * beside - (reach - len(row) * width)) / len(row)
    least = 2 * plan.datums.breadth_mm
    if width < least - TOLERANCE_MM:
        yield Problem.at(
            (*path, "width"),
            "is less than two studs are thick, which stand side by side under a sill",
            f"give {ruler.at_least(least)}",
        )
    if width > room + TOLERANCE_MM:
        yield Problem.at(
            (*path, "width"),
            f"is wider than the {plan.name} wall has room for between its corner studs, with "
            f"{framed.jacks} jack and {plural(framed.opening.kings, 'king stud')} on each side",
            "",
            *(less(*path, "width"), less(*path, "count"), other(*path, "wall")),
            *([without(*path, "kings")] if framed.opening.kings > 1 else []),
            *(*elsewhere(framed.opening, framed.table, framed.left), _longer(plan)),
        )
    elif framed.outer_u[0] < low - TOLERANCE_MM or row[-1].outer_u[1] > high + TOLERANCE_MM:
        yield Problem.at(
            place_of(framed.opening, framed.table),
            f"runs into the {plan.name} wall's corner studs",
            "",
            *elsewhere(framed.opening, framed.table, framed.left),
            less(*path, "width"),
        )
    for stock, length in (
        (framed.header or scene.walls.stud, framed.header_u[1] - framed.header_u[0]),
        (scene.walls.stud, width),
    ):
        yield from ruler.too_long(
            (*path, "width"),
            length,
            scene.lumber_stock(stock),
            less(*path, "width"),
            *([other(*path, "one_header")] if framed.opening.one_header else []),
        )


def _between(plan: WallPlan, framed: Framed, path: KeyPath, ruler: Ruler) -> Iterator[Problem]:
    """Room for the studs between two openings under one header."""
    gap, stud = framed.gap_mm, plan.datums.breadth_mm
    one, two = abs(gap - stud) <= TOLERANCE_MM, gap >= 2 * stud - TOLERANCE_MM
    if framed.opening.one_header and not one and not two and math.isfinite(gap):
        step = step_of(framed.opening, framed.table)
        yield Problem.at(
            step,
            f"leaves {ruler.at(max(gap, 0.0))} between two of the row, and under one header stands "
            f"one stud, {ruler.at(stud)} wide, or two and more",
            "",
            more(*step),
            less(*path, "count"),
        )


def _above_and_below(
    plan: WallPlan, framed: Framed, path: KeyPath, ruler: Ruler
) -> Iterator[Problem]:
    """Room for the header under the plates, and for the sill over the bottom plate."""
    if framed.header is None and not (plan.runs_through and plan.datums.beam):
        yield Problem.at(
            (*path, "header"),
            f'is "none", and no beam lies on the {plan.name} wall',
            either(
                f'give "{plan.datums.scene.walls.header}"',
                "give beam.on_walls true" if plan.runs_through else "",
            ),
        )
    plates = plan.lowest_head(*framed.header_u)
    lowest = MARK_MM[ruler.units] if framed.opening.sill is not None else LEAST_OFFERED_MM
    over = f"{framed.header} header" if framed.header else "flat head plate"
    room = plates - framed.header_mm - framed.sill
    mend = f"give {ruler.at_most(room)}" if room >= lowest else ""
    if framed.header is None and plates - framed.sill >= lowest:
        mend = either(mend, f"give {ruler.at(plates - framed.sill)}")
    tries = [less(*path, "sill")] if framed.opening.sill is not None else []
    higher = ("roof", "clerestory", "step") if plan.foot_mm else walls_height(plan.datums.scene)
    tries.append(more(*higher))
    where = "plates" if plan.runs_through else "plates at its lower end"
    if framed.head > plates + TOLERANCE_MM:
        yield Problem.at(
            (*path, "height"),
            f"reaches {ruler.at(framed.head)} above the floor, over the underside of the "
            f"{plan.name} wall's {where} at {ruler.at(plates)}",
            mend,
            *tries,
        )
    elif framed.head + framed.header_mm > plates + TOLERANCE_MM:
        yield Problem.at(
            (*path, "height"),
            f"leaves {ruler.at(plates - framed.head)} under the {plan.name} wall's {where} for a "
            f"{over}, which is {ruler.at(framed.header_mm)} deep",
            mend,
            *tries,
        )
    least = 2 * plan.datums.breadth_mm
    pad = plan.datums.scene.floor_pad
    if pad:
        # An anchor bolt may stand under it: washer, nut, and at most as much thread above.
        least += WASHER_THICKNESS_MM + 2 * pad.bolt_diameter
    low, start, stands = "height", framed.head, "jack studs"
    if framed.opening.sill is not None:
        low, start, stands = "sill", framed.opening.sill, "rough sill"
    # Over a clerestory's foot is the lower roof, and it is told to stay over that.
    if start < least - TOLERANCE_MM and not plan.foot_mm:
        yield Problem.at(
            (*path, low),
            f"leaves no room for the {stands} over the bottom plate",
            f"give {ruler.at_least(least)}",
        )
    if not framed.header:
        return
    if plan.datums.scene.lumber_stock(framed.header).breadth_mm > plan.datums.wall_mm:
        key: KeyPath = (*path, "header") if framed.opening.header else ("walls", "header")
        yield Problem.at(key, "is thicker than the wall", "", less(*key), more("walls", "stud"))


def bolt_problems(plan: WallPlan, ruler: Ruler) -> Iterator[Problem]:
    """Doors that leave a length of bottom plate which anchor bolts cannot hold to the pad.

    Assumes that the openings themselves fit.
    """
    sizes = (plan.length_mm, plan.datums.scene.walls.spacing, plan.datums.scene.roof.slope)
    sizes += (plan.roof.plate_top_mm("front"), *(sum(framed.u) for framed in plan.openings))
    if not math.isfinite(sum(sizes)):
        return
    for plate in bottom_plates(plan):
        if plate.is_held:
            continue
        # What takes the room: doors that end the plate, and the studs of windows on it. A doorway
        # through a half wall has none outside it, and only touches the plate.
        near = (plate.u[0] - 2 * TOLERANCE_MM, plate.u[1] + 2 * TOLERANCE_MM)
        beside = [framed.table for framed in plan.openings if overlap(framed.outer_u, near)]
        if not beside:
            yield from _post_on_plate(plan, plate)
            continue
        openings, keys = plan.datums.scene.opening, list[KeyPath]()
        tries: list[Try] = []
        for table in dict.fromkeys(reversed(beside)):
            if beside.count(table) > 1:
                keys.append(step_of(openings[table], table))
                tries.append(other(*keys[-1]))
            keys.append(place_of(openings[table], table))
            tries += elsewhere(openings[table], table, _start(plan, table))
        table = beside[-1]
        yield Problem.at(
            keys[0],
            f"leaves a length of the {plan.name} wall's bottom plate that anchor bolts cannot hold "
            "to the pad: the studs leave their washers no room (IRC R403.1.6)",
            "",
            *tries,
            less("opening", table, "width"),
            other("opening", table, "wall"),
        )
        return


def _post_on_plate(plan: WallPlan, plate: BottomPlate) -> Iterator[Problem]:
    """A post under the ridge where an end bolt of the plate would stand."""
    if any(one.name == "ridge" and overlap(one.taken_u, plate.u) for one in plan.pockets):
        path: KeyPath = ("roof", "ridge", "from_front")
        yield Problem.at(
            path,
            f"sets its post where an anchor bolt has to hold the {plan.name} wall's bottom plate "
            "to the pad (IRC R403.1.6)",
            "",
            *(other(*path), without(*path), less("roof", "ridge", "plies")),
        )


def _ridge_post(plan: WallPlan, framed: Framed, path: KeyPath, ruler: Ruler) -> Iterator[Problem]:
    """The post under the ridge stands beside an opening, or wholly on its header."""
    for pocket in plan.pockets:
        start, end = pocket.taken_u
        if not overlap((start, end), framed.outer_u):
            continue
        low, high = framed.header_u
        if start < low - TOLERANCE_MM or end > high + TOLERANCE_MM:
            yield Problem.at(
                place_of(framed.opening, framed.table),
                f"puts its king or jack studs where the {pocket.name}'s post stands in the "
                f"{plan.name} wall, from {ruler.at(start)} to {ruler.at(end)}",
                "",
                *elsewhere(framed.opening, framed.table, _start(plan, framed.table)),
                more(*path, "width"),
            )
            return
        header_top = framed.head + framed.header_mm
        room = min(pocket.seat, plan.lowest_head(start, end)) - header_top
        if room < LEAST_STICK_MM - TOLERANCE_MM:
            yield Problem.at(
                (*path, "height"),
                f"leaves {ruler.at(max(room, 0.0))} for the {pocket.name}'s post over its header "
                f"in the {plan.name} wall",
                "",
                less(*path, "height"),
                less(*path, "sill"),
            )


def _ledger(plan: WallPlan, framed: Framed, ruler: Ruler) -> Iterator[Problem]:
    """A ledger and the roof on it pass over an opening, or under it."""
    datums = plan.datums
    for lower in plan.roof.slopes if plan.foot_mm else ():
        if lower.upper.meets != Meets.WALL:
            continue
        cover = RoofCover(plan.roof, lower)
        # The membrane under what is fitted into it turns down as far as a flashing runs up there.
        over = cover.metal or datums.scene.wrap or framed.opening.window
        least = cover.up_wall[1 if over else 0] - datums.floor_mm
        room = plan.lowest_head(*framed.header_u) - least - framed.opening.height
        if framed.sill < least - TOLERANCE_MM:
            yield Problem.at(
                ("opening", framed.table, "sill"),
                f'brings "{framed.opening.name}" down into the lower roof or its flashing',
                f"give {ruler.at_least(least)}" if room >= framed.header_mm else "",
                more("roof", "clerestory", "step"),
                less("opening", framed.table, "height"),
                other("opening", framed.table, "wall"),
            )
    for slope in plan.roof.ledger_slopes:
        k, bay = _bay_of(plan, slope)
        if bay.side != plan.name or bay.ledger_height is None:
            continue
        low = bay.ledger_height - datums.scene.lumber_stock(bay.ledger).depth_mm
        if datums.scene.wrap:
            low -= CLEAR_OF_RAFTERS_MM + LEAST_LAP_MM
        cover = RoofCover(plan.roof, slope)
        # What is fitted into it stands out over the sheathing that a flashing's leg lies on.
        high = cover.up_wall[1 if cover.metal else 0] - datums.floor_mm
        if framed.sill < high and framed.head > low + TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "ledger_height"),
                f'runs the ledger or the roof on it across "{framed.opening.name}" in the '
                f"{plan.name} wall",
                "",
                other("bay", k, "ledger_height"),
                less("opening", framed.table, "height"),
                other("opening", framed.table, "sill"),
            )


def _bay_of(plan: WallPlan, slope: Slope) -> tuple[int, Bay]:
    """A ledger roof's bay and its number."""
    return next((k, bay) for k, bay in enumerate(plan.datums.scene.bay) if bay.side == slope.falls)


def _under_the_eave(plan: WallPlan, framed: Framed, ruler: Ruler) -> Iterator[Problem]:
    """A hinged door opens outwards below all that hangs before its wall, as far as it swings."""
    opening, roof = framed.opening, plan.roof
    if opening.kind != "door" or not plan.runs_through or (opening.door and opening.door.track):
        return
    wall, far = (plan.place.point(0.0, 0.0, n)[1] for n in (0.0, opening.width))
    head = plan.datums.floor_mm + framed.head
    for slope in roof.all_slopes:
        h, out = slope.h_of(wall), slope.h_of(far)
        lowest = RoofCover(roof, slope).lowest_mm(min(h, out), max(h, out))
        if not head > lowest + TOLERANCE_MM:
            continue  # so an unknown height finds nothing wrong
        door = f'"{opening.name}" in the {plan.name} wall'
        if slope in roof.ledger_slopes:
            k, _ = _bay_of(plan, slope)
            yield Problem.at(
                ("bay", k, "ledger_height"),
                f"brings the rafters below the head of {door}, which opens under them",
                "",
                more("bay", k, "ledger_height"),
                less("bay", k, "slope"),
                less("opening", framed.table, "height"),
            )
            continue
        hangs = slope.roof_mm(min(slope.lower.h, out)) - lowest
        clear = (slope.roof_mm(h) - hangs - head) / math.tan(slope.slope_rad)
        # Where rafters run on over a lean-to, no eave hangs before this wall.
        bay = plan.datums.bay_at(plan.name)
        runs_on = bay is not None and bay.roof == "runs on"
        at_most = f"give roof.eave_overhang {ruler.at_most(clear)}"
        yield Problem.at(
            ("roof", "slope"),
            f"brings the eave below the head of {door}",
            at_most if clear > 0 and out > h and not runs_on else "",
            less("roof", "slope"),
            less("opening", framed.table, "height"),
            more(*walls_height(plan.datums.scene)),
        )

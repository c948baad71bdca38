"""What must hold for every door and window: room beside, above and below it, and to open it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.errors import KeyPath, Problem
from pikepole_model.geometry.spacing import LEAST_STICK_MM, TOLERANCE_MM, overlap
from pikepole_model.plan.anchor_bolts import WASHER_THICKNESS_MM
from pikepole_model.plan.bottom_plate import bottom_plates
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.framed import Framed
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_cover import RoofCover
from pikepole_model.plan.slope import RoofPart, Slope
from pikepole_model.plan.wall import WallPlan, plan_walls
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.schema import NO_HEADER, Bay, Opening, Pad, Scene
from pikepole_model.units import INCH_MM


def opening_key_problems(scene: Scene) -> Iterator[Problem]:
    """What contradicts itself in the tables of the openings, whatever their sizes."""
    names: set[str] = set()
    for k, opening in enumerate(scene.opening):
        own = {one.name for one in opening.row()}
        if own & names:
            yield Problem.at(
                ("opening", k, "name"), "is used twice", "give each opening its own name"
            )
        names |= own
        for key, wrong, mend in _contradictions(opening):
            yield Problem.at(("opening", k, key), wrong, mend)


def _contradictions(opening: Opening) -> Iterator[tuple[str, str, str]]:
    """The keys of one table that contradict the others: key, what is wrong, how to mend it."""
    is_window = opening.kind == "window"
    if is_window and opening.sill is None:
        mend = 'a window needs the height of its sill over the floor, such as sill = "3 ft"'
        yield "sill", "is missing", mend
    if not is_window and opening.sill is not None:
        yield "sill", "belongs to windows", "take it out of this door"
    if opening.window and not is_window:
        yield "window", "belongs to windows", "take it out of this door"
    if opening.door and is_window:
        yield "door", "belongs to doors", "take it out of this window"
    if opening.count > 1 and opening.apart is None:
        mend = 'a row needs the distance between its rough openings, such as apart = "4 in"'
        yield "apart", "is missing", mend
    if opening.count == 1 and opening.apart is not None:
        yield "apart", "belongs to a row", "set count to 2 or more, or take it out"
    if opening.header == NO_HEADER and opening.jacks is not None:
        yield "jacks", "have no header to carry", "take jacks out: the kings hold the head"


def opening_problems(plan: WallPlan, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the openings of one wall; what ails a whole row is said once."""
    yield from dict.fromkeys(_faults(plan, ruler))


def _faults(plan: WallPlan, ruler: Ruler) -> Iterator[Problem]:
    # Where the corner studs stand hangs on the studs on centre: both sizes must be known.
    laid_out = math.isfinite(plan.length_mm + plan.datums.scene.walls.spacing)
    seen: list[Framed] = []
    for framed in plan.openings:
        path: KeyPath = ("opening", framed.table)
        row = [one for one in plan.openings if one.table == framed.table]
        if laid_out and framed is row[0]:
            yield from _beside(plan, row, path, ruler)
        yield from _above_and_below(plan, framed, path, ruler)
        if laid_out and math.isfinite(plan.datums.scene.roof.slope):
            yield from _ridge_post(plan, framed, path, ruler)
        yield from _ledger(plan, framed, ruler)
        yield from _under_the_eave(plan, framed, ruler)
        for other in seen:
            if overlap(framed.outer_u, other.outer_u):
                yield _overlap(plan, framed, other, path, ruler)
        seen.append(framed)


def _overlap(plan: WallPlan, framed: Framed, other: Framed, path: KeyPath, ruler: Ruler) -> Problem:
    """One opening runs into another: of the same row, or not."""
    beside = framed.u[0] - framed.outer_u[0]
    if framed.table == other.table:
        return Problem.at(
            (*path, "apart"),
            f"leaves no room in the {plan.name} wall for the jack and king studs between two of "
            "them",
            f"give {ruler.at_least(2 * beside)}",
        )
    # How far the row starts to the left of this one of it.
    before = framed.u[0] - plan.datums.scene.opening[framed.table].from_left
    clear = other.outer_u[1] + beside - before
    return Problem.at(
        (*path, "from_left"),
        f'overlaps "{other.opening.name}" in the {plan.name} wall, its jack and king studs counted',
        f"give {ruler.at_least(clear)}, or move the other one",
    )


def _beside(plan: WallPlan, row: list[Framed], path: KeyPath, ruler: Ruler) -> Iterator[Problem]:
    """Room between the corners for the opening or the row, with jacks and kings."""
    scene, framed = plan.datums.scene, row[0]
    low, high = plan.clear_u
    beside = framed.u[0] - framed.outer_u[0]
    width, reach = framed.opening.width, row[-1].u[1] - framed.u[0]
    room = (high - low - 2 * beside - (reach - len(row) * width)) / len(row)
    if width > room + TOLERANCE_MM:
        yield Problem.at(
            (*path, "width"),
            f"is wider than the {plan.name} wall has room for between its corner studs, with "
            f"{framed.jacks} jack and 1 king stud on each side",
            f"give {ruler.at_most(room)}" if room > 0 else "put it in a longer wall",
        )
    elif framed.outer_u[0] < low - TOLERANCE_MM or row[-1].outer_u[1] > high + TOLERANCE_MM:
        yield Problem.at(
            (*path, "from_left"),
            f"runs into the {plan.name} wall's corner studs",
            ruler.between(low + beside, high - beside - reach, "make the opening narrower"),
        )
    for stock, length in (
        (framed.header or scene.walls.stud, framed.header_u[1] - framed.header_u[0]),
        (scene.walls.stud, width),
    ):
        yield from ruler.too_long(
            (*path, "width"),
            length,
            scene.lumber_stock(stock),
            "make the opening narrower, or take a section that comes longer",
        )


def _above_and_below(
    plan: WallPlan, framed: Framed, path: KeyPath, ruler: Ruler
) -> Iterator[Problem]:
    """Room for the header under the plates, and for the sill over the bottom plate."""
    if framed.header is None and not (plan.runs_through and plan.datums.beam):
        yield Problem.at(
            (*path, "header"),
            f'is "none", and no beam lies on the {plan.name} wall',
            "give a section, or set beam.on_walls = true for an opening in the front or back wall",
        )
    plates = plan.lowest_head(*framed.header_u)
    over = f"{framed.header} header" if framed.header else "flat head plate"
    room = plates - framed.header_mm - framed.sill
    mend = f"give {ruler.at_most(room)}" if room > 0 else "make it lower"
    if framed.header is None:
        mend = f"{mend}, or {ruler.at(plates - framed.sill)} to reach the plates"
    where = "plates" if plan.runs_through else "plates at its lower end"
    if framed.head > plates + TOLERANCE_MM:
        yield Problem.at(
            (*path, "height"),
            f"reaches {ruler.at(framed.head)} above the floor, over the underside of the "
            f"{plan.name} wall's {where} at {ruler.at(plates)}",
            f"{mend}, so that its {over} fits under them, or raise the walls",
        )
    elif framed.head + framed.header_mm > plates + TOLERANCE_MM:
        yield Problem.at(
            (*path, "height"),
            f"leaves {ruler.at(plates - framed.head)} under the {plan.name} wall's {where} for a "
            f"{over}, which is {ruler.at(framed.header_mm)} deep",
            f"{mend}, {'lower its sill, ' if framed.sill else ''}take a shallower header, or raise "
            "the walls"
            if framed.header
            else mend,
        )
    least = 2 * plan.datums.breadth_mm
    foundation = plan.datums.scene.foundation
    if isinstance(foundation, Pad):
        # An anchor bolt may stand under it: washer, nut, and at most as much thread above.
        least += WASHER_THICKNESS_MM + 2 * foundation.bolt_diameter
    if framed.opening.sill is not None and framed.opening.sill < least - TOLERANCE_MM:
        yield Problem.at(
            (*path, "sill"),
            "leaves no room for the rough sill over the bottom plate",
            f"give {ruler.at_least(least)}",
        )
    if not framed.header:
        return
    if plan.datums.scene.lumber_stock(framed.header).breadth_mm > plan.datums.wall_mm:
        key: KeyPath = (*path, "header") if framed.opening.header else ("walls", "header")
        yield Problem.at(key, "is thicker than the wall", "take a thinner section")


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
        beside = [
            framed
            for framed in plan.openings
            if framed.opening.kind == "door" and (framed.u[0] in plate.u or framed.u[1] in plate.u)
        ]
        if not beside:
            continue
        table = beside[-1].table
        key = "apart" if table in (framed.table for framed in beside[:-1]) else "from_left"
        place = _place_with_bolts(plan, table, key, ruler)
        yield Problem.at(
            ("opening", table, key),
            f"leaves a length of the {plan.name} wall's bottom plate that anchor bolts cannot hold "
            "to the pad: the studs leave their washers no room (IRC R403.1.6)",
            f"give {ruler.at(place)}" if place else "move it to another wall, or make it narrower",
        )
        return


def _place_with_bolts(plan: WallPlan, table: int, key: str, ruler: Ruler) -> float | None:
    """The nearest place for a door, or distance within a row, where every plate is held, mm."""
    scene = plan.datums.scene
    step = INCH_MM if ruler.units == "imperial" else 10.0
    given = round(getattr(scene.opening[table], key) / step)
    for k in itertools.chain.from_iterable((given + n, given - n) for n in range(1, 49)):
        moved = scene.opening[table].model_copy(update={key: k * step})
        openings = (*scene.opening[:table], moved, *scene.opening[table + 1 :])
        roof = RoofPlan(Datums(scene.model_copy(update={"opening": openings})))
        tried = next(one for one in plan_walls(roof) if one.name == plan.name)
        fits = k > 0 and not any(opening_problems(tried, ruler))
        if fits and all(plate.is_held for plate in bottom_plates(tried)):
            return k * step
    return None


def _ridge_post(plan: WallPlan, framed: Framed, path: KeyPath, ruler: Ruler) -> Iterator[Problem]:
    """The post under the ridge stands beside an opening, or wholly on its header."""
    if not plan.pocket or not plan.ridge_post:
        return
    start, end = plan.ridge_post[0][0], plan.ridge_post[-1][1]
    if end <= framed.outer_u[0] + TOLERANCE_MM or start >= framed.outer_u[1] - TOLERANCE_MM:
        return
    low, high = framed.header_u
    if start < low - TOLERANCE_MM or end > high + TOLERANCE_MM:
        yield Problem.at(
            (*path, "from_left"),
            f"puts its king or jack studs where the ridge's post stands in the {plan.name} wall, "
            f"from {ruler.at(start)} to {ruler.at(end)}",
            "move it clear of the post, or widen it so that the post stands on its header",
        )
        return
    header_top = framed.head + framed.header_mm
    room = min(plan.pocket.seat, plan.lowest_head(start, end)) - header_top
    if room < LEAST_STICK_MM - TOLERANCE_MM:
        yield Problem.at(
            (*path, "height"),
            f"leaves {ruler.at(max(room, 0.0))} for the ridge's post over its header in the "
            f"{plan.name} wall",
            f"give {ruler.at_most(framed.opening.height + room - LEAST_STICK_MM)}, or take a "
            "shallower header",
        )


def _ledger(plan: WallPlan, framed: Framed, ruler: Ruler) -> Iterator[Problem]:
    """A ledger and the roof on it pass over an opening, or under it."""
    datums = plan.datums
    for slope in plan.roof.ledger_slopes:
        k, bay = _bay_of(plan, slope)
        if bay.side != plan.name or bay.ledger_height is None:
            continue
        low = bay.ledger_height - datums.scene.lumber_stock(bay.ledger).depth_mm
        sheet = datums.scene.sheet_stock(datums.scene.roof.sheet).thickness_mm
        high = slope.roof_mm(0.0) - datums.floor_mm + sheet / math.cos(slope.slope_rad)
        if framed.sill < high and framed.head > low + TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "ledger_height"),
                f'runs the ledger or its rafters across "{framed.opening.name}" in the '
                f"{plan.name} wall",
                f"give {ruler.at_least(framed.head + bay.ledger_height - low)}, or a lower opening",
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
        if slope.part == RoofPart.LEDGER:
            k, _ = _bay_of(plan, slope)
            yield Problem.at(
                ("bay", k, "ledger_height"),
                f"brings the rafters below the head of {door}, which opens under them",
                "give more, a gentler slope or a lower door",
            )
            continue
        hangs = slope.roof_mm(min(slope.lower.h, out)) - lowest
        clear = (slope.roof_mm(h) - hangs - head) / math.tan(slope.slope_rad)
        mend = f"an eave_overhang of {ruler.at_most(clear)}, " if clear > 0 and out > h else ""
        yield Problem.at(
            ("roof", "slope"),
            f"brings the eave below the head of {door}",
            f"give a gentler slope, {mend}a lower door or higher walls",
        )

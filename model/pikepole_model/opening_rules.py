"""What must hold for every door and window: room beside, above and below it, and to open it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.anchors import WASHER_THICKNESS_MM
from pikepole_model.faults import Fault, KeyPath, Ruler
from pikepole_model.scene import Bay, Pad
from pikepole_model.spacing import CLOSE_MM, LEAST_STICK_MM
from pikepole_model.wall_plan import Framed, WallPlan


def opening_faults(plan: WallPlan, ruler: Ruler) -> Iterator[Fault]:
    """What is wrong with the openings of one wall."""
    # By identity: two openings may share a name by mistake, and even all of their sizes.
    numbers = {id(opening): k for k, opening in enumerate(plan.levels.scene.opening)}
    # Where the corner studs stand hangs on the studs on centre: both sizes must be known.
    laid_out = math.isfinite(plan.length_mm + plan.levels.scene.walls.spacing)
    seen: list[Framed] = []
    for framed in plan.openings:
        path: KeyPath = ("opening", numbers[id(framed.opening)])
        if laid_out:
            yield from _beside(plan, framed, path, ruler)
        yield from _above_and_below(plan, framed, path, ruler)
        if laid_out and math.isfinite(plan.levels.scene.roof.slope):
            yield from _ridge_post(plan, framed, path, ruler)
        yield from _ledger(plan, framed, ruler)
        yield from _under_the_eave(plan, framed, ruler)
        for other in seen:
            start, end = framed.outer_u[0], other.outer_u[1]
            if start < end - CLOSE_MM and other.outer_u[0] < framed.outer_u[1] - CLOSE_MM:
                beside = framed.u[0] - start
                yield Fault(
                    (*path, "from_left"),
                    f'overlaps "{other.opening.name}" in the {plan.name} wall, its jack and king '
                    "studs counted",
                    f"give {ruler.at_least(end + beside)}, or move the other one",
                )
        seen.append(framed)


def _beside(plan: WallPlan, framed: Framed, path: KeyPath, ruler: Ruler) -> Iterator[Fault]:
    """Room between the corners for the opening, its jacks and its kings."""
    scene = plan.levels.scene
    low, high = plan.clear_u
    beside = framed.u[0] - framed.outer_u[0]
    width, room = framed.opening.width, high - low - 2 * beside
    if width > room + CLOSE_MM:
        yield Fault(
            (*path, "width"),
            f"is wider than the {plan.name} wall has room for between its corner studs, with "
            f"{framed.jacks} jack and 1 king stud on each side",
            f"give {ruler.at_most(room)}" if room > 0 else "put it in a longer wall",
        )
    elif framed.outer_u[0] < low - CLOSE_MM or framed.outer_u[1] > high + CLOSE_MM:
        yield Fault(
            (*path, "from_left"),
            f"runs into the {plan.name} wall's corner studs",
            f"give {ruler.at_least(low + beside)} and {ruler.at_most(high - beside - width)}",
        )
    for stock, length in (
        (framed.header, framed.header_u[1] - framed.header_u[0]),
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
) -> Iterator[Fault]:
    """Room for the header under the plates, and for the sill over the bottom plate."""
    plates = plan.lowest_head(*framed.header_u)
    room = plates - framed.header_mm - framed.sill
    mend = f"give {ruler.at_most(room)}" if room > 0 else "make it lower"
    where = "plates" if plan.runs_through else "plates at its lower end"
    if framed.head > plates + CLOSE_MM:
        yield Fault(
            (*path, "height"),
            f"reaches {ruler.at(framed.head)} above the floor, over the {plan.name} wall's {where} "
            f"at {ruler.at(plates)}",
            f"{mend}, so that its {framed.header} header fits under them, or raise the walls",
        )
    elif framed.head + framed.header_mm > plates + CLOSE_MM:
        yield Fault(
            (*path, "height"),
            f"leaves {ruler.at(plates - framed.head)} under the {plan.name} wall's {where} for a "
            f"{framed.header} header, which is {ruler.at(framed.header_mm)} deep",
            f"{mend}, lower its sill, take a shallower header, or raise the walls",
        )
    least = 2 * plan.levels.breadth_mm
    foundation = plan.levels.scene.foundation
    if isinstance(foundation, Pad):
        # An anchor bolt may stand under it: washer, nut, and at most as much thread above.
        least += WASHER_THICKNESS_MM + 2 * foundation.bolt_diameter
    if framed.opening.sill is not None and framed.opening.sill < least - CLOSE_MM:
        yield Fault(
            (*path, "sill"),
            "leaves no room for the rough sill over the bottom plate",
            f"give {ruler.at_least(least)}",
        )
    if plan.levels.scene.lumber_stock(framed.header).breadth_mm > plan.levels.wall_mm:
        key: KeyPath = (*path, "header") if framed.opening.header else ("walls", "header")
        yield Fault(key, "is thicker than the wall", "take a thinner section")


def _ridge_post(plan: WallPlan, framed: Framed, path: KeyPath, ruler: Ruler) -> Iterator[Fault]:
    """The post under the ridge stands beside an opening, or wholly on its header."""
    if not plan.pocket or not plan.ridge_post:
        return
    start, end = plan.ridge_post[0][0], plan.ridge_post[-1][1]
    if end <= framed.outer_u[0] + CLOSE_MM or start >= framed.outer_u[1] - CLOSE_MM:
        return
    low, high = framed.header_u
    if start < low - CLOSE_MM or end > high + CLOSE_MM:
        yield Fault(
            (*path, "from_left"),
            f"puts its king or jack studs where the ridge's post stands in the {plan.name} wall, "
            f"from {ruler.at(start)} to {ruler.at(end)}",
            "move it clear of the post, or widen it so that the post stands on its header",
        )
        return
    header_top = framed.head + framed.header_mm
    room = min(plan.pocket.seat, plan.lowest_head(start, end)) - header_top
    if room < LEAST_STICK_MM:
        yield Fault(
            (*path, "height"),
            f"leaves {ruler.at(max(room, 0.0))} for the ridge's post over its header in the "
            f"{plan.name} wall",
            f"give {ruler.at_most(framed.opening.height + room - LEAST_STICK_MM)}, or take a "
            "shallower header",
        )


def _ledger(plan: WallPlan, framed: Framed, ruler: Ruler) -> Iterator[Fault]:
    """A ledger and the roof on it pass over an opening, or under it."""
    levels = plan.levels
    for slope in plan.roof.ledger_slopes:
        k, bay = _bay_of(plan, slope.name)
        if bay.side != plan.name or bay.ledger_height is None:
            continue
        low = bay.ledger_height - levels.scene.lumber_stock(bay.ledger).depth_mm
        sheet = levels.scene.sheet_stock(levels.scene.roof.sheet).thickness_mm
        high = slope.roof_mm(0.0) - levels.floor_mm + sheet / math.cos(slope.slope_rad)
        if framed.sill < high and framed.head > low + CLOSE_MM:
            yield Fault(
                ("bay", k, "ledger_height"),
                f'runs the ledger or its rafters across "{framed.opening.name}" in the '
                f"{plan.name} wall",
                f"give {ruler.at_least(framed.head + bay.ledger_height - low)}, or a lower opening",
            )


def _bay_of(plan: WallPlan, slope_name: str) -> tuple[int, Bay]:
    """A ledger roof's bay and its number."""
    side = slope_name.split()[0]
    return next((k, bay) for k, bay in enumerate(plan.levels.scene.bay) if bay.side == side)


def _under_the_eave(plan: WallPlan, framed: Framed, ruler: Ruler) -> Iterator[Fault]:
    """A door under falling rafters opens outwards below their tails."""
    outer, roof = plan.place.origin[1], plan.roof
    if framed.opening.kind != "door" or not plan.runs_through:
        return
    for slope in roof.all_slopes:
        eave = slope.y_of(slope.lower.h)
        if eave == outer or (eave > outer) != (plan.name == "back"):
            continue
        wall_h = max(slope.h_of(outer), slope.upper.h)
        # Under a lean-to the leaf swings clear of the far eave.
        h = min(slope.lower.h, wall_h + framed.opening.width)
        # The tail's lowest corner: under its end at a plumb cut, square across at a square one.
        cos = math.cos(slope.slope_rad)
        drop = slope.rafter_mm * (cos if slope.lower.cut == "square" else 1 / cos)
        head = plan.levels.floor_mm + framed.head
        if not head > slope.roof_mm(h) - drop + CLOSE_MM:
            continue  # so an unknown height finds nothing wrong
        door = f'"{framed.opening.name}" in the {plan.name} wall'
        if slope in roof.ledger_slopes:
            k, _ = _bay_of(plan, slope.name)
            yield Fault(
                ("bay", k, "ledger_height"),
                f"brings the rafters below the head of {door}, which opens under them",
                "give more, a gentler slope or a lower door",
            )
            continue
        clear = (slope.roof_mm(wall_h) - drop - head) / math.tan(slope.slope_rad)
        mend = f"an eave_overhang of {ruler.at_most(clear)}, " if clear > 0 else ""
        yield Fault(
            ("roof", "slope"),
            f"brings the eave below the head of {door}",
            f"give a gentler slope, {mend}a lower door or higher walls",
        )

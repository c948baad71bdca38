"""What must hold for a loft: what it lies on, and room over it and under it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.errors import (
    KeyPath,
    Problem,
    Try,
    either,
    leave_out,
    less,
    more,
    other,
    without,
)
from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap
from pikepole_model.plan.gussets import gussets_low_mm
from pikepole_model.plan.loft import LoftPlan, loft_plan
from pikepole_model.plan.loft_walls import against_mm
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.seats import LEAST_BEARING_MM
from pikepole_model.plan.ties import tie_low_mm, tie_starts
from pikepole_model.plan.wall import WallPlan
from pikepole_model.rules.loft_opening import LEAST_CLEAR_MM, opening_problems
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.scene.schema import Scene
from pikepole_model.units import parse_load

# What takes up room in an attic is so wide at the least: 24 in (IRC Table R301.5, note g).
LEAST_WIDE_MM = 609.6

# Least live load on an attic by whether it is higher than 42 in, so that things are stored in it
# (IRC Table R301.5, notes b and g).
STORED_IN_MM = 1066.8
LEAST_LOADS = {False: "10 psf", True: "20 psf"}


def loft_key_problems(scene: Scene) -> Iterator[Problem]:
    """What contradicts itself in what is said of a loft."""
    loft = scene.loft
    if not loft:
        return
    if loft.spacing is not None and loft.height is None:
        yield Problem.at(
            ("loft", "spacing"),
            "belongs to a loft on ledgers, which has a height: on the plates its joists lie beside "
            "the rafters",
            leave_out(("loft", "spacing")),
        )
    if "end" in loft.model_fields_set and loft.reach is None:
        yield Problem.at(
            ("loft", "end"),
            "belongs to a loft over a part of the store, which has a reach",
            leave_out(("loft", "end")),
        )


def loft_problems(roof: RoofPlan, walls: tuple[WallPlan, ...], ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the loft."""
    loft = loft_plan(roof)
    if not loft or not _is_known(loft):
        return
    found = [*_place(loft, ruler), *_frame(loft, ruler)]
    yield from found
    # What is cut out of it and stands on it hangs on where it lies.
    if found:
        return
    yield from _on_studs(loft, walls)
    yield from _room_over(loft, ruler)
    yield from _room_under(loft, walls, ruler)
    yield from _load(loft, ruler)
    yield from opening_problems(loft, ruler)


def _is_known(loft: LoftPlan) -> bool:
    """Whether every length is known that it hangs on."""
    datums, settings, roof = loft.datums, loft.loft, loft.datums.scene.roof
    opening = settings.opening
    ladder = opening.ladder if opening else None
    sizes = [loft.low_mm, *loft.x, loft.roof.section.highest_mm, *datums.roof_ends_mm]
    sizes += [datums.depth_mm, roof.spacing, roof.rake_overhang, settings.spacing or 0.0]
    sizes += [opening.x, opening.y, opening.width, opening.depth] if opening else []
    sizes += [ladder.slope, ladder.width, ladder.rise] if ladder else []
    sizes += [member.low_mm for member in loft.roof.level_members]
    return math.isfinite(sum(sizes))


def _height_key(loft: LoftPlan) -> KeyPath:
    """What brings it up into the roof: its height, or on the plates the roof itself."""
    return ("roof", "slope") if loft.loft.height is None else ("loft", "height")


def _lower(loft: LoftPlan) -> tuple[Try, ...]:
    """What may bring it down; on the plates it begins under them."""
    start = loft.low_mm - loft.datums.floor_mm if loft.loft.height is None else None
    return (Try(("loft", "height"), "less", start), less("loft", "joist"))


def _place(loft: LoftPlan, ruler: Ruler) -> Iterator[Problem]:
    """As long as a floor is, and under the rafters and the plates where it has a height."""
    datums, settings, roof = loft.datums, loft.loft, loft.roof
    x0, x1 = loft.x
    most = datums.length_mm - datums.wall_mm
    if settings.reach is not None and settings.reach > most + TOLERANCE_MM:
        yield Problem.at(
            ("loft", "reach"),
            "reaches past the wall at the other end of the store",
            either(f"give {ruler.at_most(most)}", leave_out(("loft", "reach"))),
        )
    elif x1 - x0 < LEAST_WIDE_MM - TOLERANCE_MM:
        least = LEAST_WIDE_MM + datums.wall_mm
        yield Problem.at(
            ("loft",) if settings.reach is None else ("loft", "reach"),
            f"makes a floor {ruler.at(max(x1 - x0, 0.0))} long",
            "" if settings.reach is None else f"give {ruler.at_least(least)}",
            *(more("building", "length"), without("loft")),
        )
    if settings.height is None:
        return
    wall, deep, joist = datums.wall_mm, datums.depth_mm, loft.stock.depth_mm
    high = min(
        *(roof.lowest_rafter_mm(y) - joist for y in (wall, deep - wall)),
        *(roof.plate_top_mm("front"), roof.plate_top_mm("back")),
    )
    if loft.low_mm > high + TOLERANCE_MM:
        yield Problem.at(
            ("loft", "height"),
            "brings its joists over the plates or up to the rafters",
            "",
            *(less("loft", "height"), without("loft", "height"), less("loft", "joist")),
            more(*walls_height(datums.scene)),
        )


def _frame(loft: LoftPlan, ruler: Ruler) -> Iterator[Problem]:
    """Joists that are long enough, beside every pair of rafters, on ledgers that bear them."""
    scene, settings = loft.datums.scene, loft.loft
    y0, y1 = loft.span_y
    yield from ruler.too_long(
        *(("loft", "joist"), y1 - y0, loft.stock),
        *(more("loft", "joist"), less("building", "depth")),
    )
    ledger = scene.lumber_stock(settings.ledger).breadth_mm
    if not loft.ties_rafters and ledger < LEAST_BEARING_MM - TOLERANCE_MM:
        yield Problem.at(
            ("loft", "ledger"),
            f"bears {ruler.at(ledger)} of the joists, and {ruler.at(LEAST_BEARING_MM)} is the "
            "least (IRC R502.6)",
            "",
            *(other("loft", "ledger"), more("loft", "ledger")),
        )
    key = ("loft", "spacing") if settings.spacing is not None else ("roof", "spacing")
    if loft.is_beside_rafters and None in loft.beside.values():
        yield Problem.at(
            key,
            "leaves no room for a joist of the loft beside each pair of rafters",
            "",
            *(other(*key), other("building", "length"), other("loft", "reach")),
        )
    most = scene.sheet_stock(settings.sheet).length_mm / 2
    widest = max(b - a for a, b in itertools.pairwise(loft.starts_x))
    if widest > most + TOLERANCE_MM:
        yield Problem.at(
            key,
            "sets the loft's joists so far apart that its sheets could not break on them",
            "",
            *(less(*key), other("loft", "sheet")),
        )


def _on_studs(loft: LoftPlan, walls: tuple[WallPlan, ...]) -> Iterator[Problem]:
    """Studs up to the plates where a ledger lies."""
    for plan in walls:
        if plan.runs_through and plan.open_part and against_mm(loft, plan):
            yield Problem.at(
                ("loft", "ledger"),
                f"has no studs to lie on in the open {plan.name} wall",
                "",
                *(without("loft", "height"), without("walls", plan.name), without("loft")),
            )


def _room_over(loft: LoftPlan, ruler: Ruler) -> Iterator[Problem]:
    """Room to store things in, and no beams, gussets or ties in the floor."""
    roof, scene = loft.roof, loft.datums.scene
    wall, deep = loft.datums.wall_mm, loft.datums.depth_mm
    key = _height_key(loft)
    room = loft.clear_mm(wall, deep - wall, LEAST_WIDE_MM)
    if room < LEAST_CLEAR_MM - TOLERANCE_MM:
        yield Problem.at(
            key,
            f"leaves the loft {ruler.at(room)} under the rafters, {ruler.at(LEAST_WIDE_MM)} wide, "
            f"and {ruler.at(LEAST_CLEAR_MM)} is the least (IRC R807.1)",
            "",
            *(*_lower(loft), more("roof", "slope"), more(*walls_height(scene)), without("loft")),
        )
        return
    gussets = gussets_low_mm(roof) if loft.is_beside_rafters else math.inf
    for member in roof.level_members:
        low = min(member.low_mm, gussets) if member in roof.purlins else member.low_mm
        if low < loft.top_mm - TOLERANCE_MM:
            yield Problem.at(
                key,
                f"brings the loft's floor {ruler.at(loft.top_mm - low)} over the underside of the "
                f"{member.name} or its gussets",
                "",
                *(*_lower(loft), more("roof", "knee", "from_wall"), more("roof", "knee", "slope")),
                *(more("roof", "slope"), without("loft")),
            )
            return
    if not roof.ridge_board:
        return
    thick = scene.lumber_stock(roof.ridge_board.tie).breadth_mm
    ties = [start for start in tie_starts(roof).values() if start is not None]
    over = tie_low_mm(roof) - loft.joists_top_mm
    through = any(overlap((start, start + thick), loft.x) for start in ties)
    if through and over < LEAST_CLEAR_MM - TOLERANCE_MM:
        yield Problem.at(
            key,
            f"leaves the loft {ruler.at(max(over, 0.0))} under the rafter ties, and "
            f"{ruler.at(LEAST_CLEAR_MM)} is the least (IRC R807.1)",
            "",
            *(*_lower(loft), without("loft", "height"), more("roof", "ridge", "tie_height")),
            *(other("roof", "ridge", "kind"), more(*walls_height(scene)), without("loft")),
        )


def _load(loft: LoftPlan, ruler: Ruler) -> Iterator[Problem]:
    """A live load of an attic as high at the least."""
    wall, deep = loft.datums.wall_mm, loft.datums.depth_mm
    high = loft.clear_mm(wall, deep - wall, 0.0)
    least = LEAST_LOADS[high > STORED_IN_MM]
    if loft.loft.live_load < parse_load(least) - 1e-9:
        yield Problem.at(
            ("loft", "live_load"),
            f"is less than an attic {ruler.at(high)} high carries (IRC Table R301.5)",
            f"give at least {least}",
        )


def _room_under(loft: LoftPlan, walls: tuple[WallPlan, ...], ruler: Ruler) -> Iterator[Problem]:
    """No door's head over it, and no window behind it."""
    floor, settings = loft.datums.floor_mm, loft.loft
    low, high = loft.lowest_mm - floor, loft.top_mm - floor
    for plan in walls:
        edge, axis = against_mm(loft, plan), 0 if plan.runs_through else 1
        for framed in plan.openings:
            along = sorted(plan.place.point(u, 0.0)[axis] for u in framed.u)
            if edge is None or not overlap((along[0], along[1]), edge):
                continue
            if framed.head <= low + TOLERANCE_MM or framed.sill >= high - TOLERANCE_MM:
                continue
            key: KeyPath = ("opening", framed.table, "height")
            path: KeyPath = key if settings.height is None else ("loft", "height")
            yield Problem.at(
                path,
                f'brings the loft across "{framed.opening.name}" in the {plan.name} wall, whose '
                f"head is {ruler.at(framed.head)} over the floor",
                "",
                more("loft", "height"),
                *(without("loft", "height"), less(*key), other("opening", framed.table, "sill")),
                *(more(*walls_height(loft.datums.scene)), less("loft", "reach")),
                without("loft"),
            )

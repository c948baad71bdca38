"""What must hold for the roof: its rafters, ridge, ties and edges."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.errors import Problem, either, less, more, other, without
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.layout.blocks import LEAST_SCREEN_MM, VENT_MM
from pikepole_model.layout.roof import lookout_places
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_cover import RoofCover
from pikepole_model.plan.seats import LEAST_BEARING_MM, Seats, widest_seat_mm
from pikepole_model.plan.slope import Support
from pikepole_model.rules.clerestory import clerestory_problems
from pikepole_model.rules.knee import knee_problems
from pikepole_model.rules.ridge import ridge_problems
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.scene.types import Eave

# Room between the fly rafters and the end rafters, where lookouts can be seen at all.
LEAST_RAKE_MM = 25.4

EAVES: tuple[Eave, Eave] = ("front", "back")


def roof_problems(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the rafters, the ridge and the ties, or at a clerestory."""
    if stepped := list(clerestory_problems(roof, ruler)):
        yield from stepped
        return
    bearings = [
        (slope, b.h[1] - b.h[0])
        for slope in roof.slopes
        for b in slope.bearings
        if b.on != Support.KNEE
    ]
    least = min(widest_seat_mm(s.slope_rad, width, s.rafter_mm) for s, width in bearings)
    if least < LEAST_BEARING_MM - TOLERANCE_MM:
        yield Problem.at(
            ("roof", "rafter"),
            f"rests on {ruler.at(least)} of wood where a quarter of it is notched, and "
            f"{ruler.at(LEAST_BEARING_MM)} is the least (IRC R802.6)",
            "",
            more("roof", "rafter"),
            less("roof", "slope"),
            more("walls", "stud"),
            more("roof", "ridge", "plies"),
            more("beam", "plies"),
        )
    elif roof.slopes[0].lookout_mm:
        yield from _end_rafter(roof, ruler)
    elif abs(roof.slopes[0].end_rafter_mm - roof.slopes[0].rafter_mm) > TOLERANCE_MM:
        yield Problem.at(
            ("roof", "end_rafter"),
            "is not as deep as the rafters, and without a rake overhang no lookouts pass over it",
            f'give "{roof.datums.scene.roof.rafter}"',
            without("roof", "end_rafter"),
        )
    yield from _screens(roof, ruler)
    yield from _overhangs(roof, ruler)
    yield from _lengths(roof, ruler)
    breaks = [*ridge_problems(roof, ruler), *knee_problems(roof, ruler)]
    yield from breaks or _lookouts(roof)
    yield from _under_the_eave(roof, ruler)
    yield from _short_eaves(roof, ruler)


def _screens(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """Screens that reach over the vents, and far enough down on the blocks under them."""
    scene = roof.datums.scene
    wide = scene.roll_stock(scene.roof.screen).width_mm
    if scene.roof.eave == "vents" and wide < LEAST_SCREEN_MM - TOLERANCE_MM:
        yield Problem.at(
            ("roof", "screen"),
            f"is {ruler.at(wide)} wide, and to close a vent of {ruler.at(VENT_MM)} and hold to the "
            f"block under it takes {ruler.at(LEAST_SCREEN_MM)}",
            "",
            other("roof", "screen"),
            other("roof", "eave"),
        )


def _lookouts(roof: RoofPlan) -> Iterator[Problem]:
    """Lookouts on every slope that has fly rafters, clear of the blocks over what carries it."""
    settings = roof.datums.scene.roof
    width = roof.datums.scene.lumber_stock(settings.lookout).depth_mm
    for slope in roof.all_slopes:
        sizes = (*slope.sheeted_h, slope.lower.h, *(b.h[1] for b in slope.bearings))
        sizes += slope.slope_rad, slope.upper.h, settings.lookout_spacing
        if not slope.lookout_mm or not math.isfinite(sum(sizes)):
            continue
        if not lookout_places(slope, width, settings.lookout_spacing):
            yield Problem.at(
                ("roof", "lookout"),
                f"finds no place on the {slope.name} beside the blocks between its rafters",
                "",
                less("roof", "lookout"),
                other("roof", "ridge", "from_front"),
                other("roof", "knee", "from_wall"),
                less("roof", "rake_overhang"),
            )
            return


def _short_eaves(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """Tails that end clear of the wall's sheets, with a fascia that does not lean into them."""
    scene = roof.datums.scene
    settings = scene.roof
    fascia = scene.fascia
    for wall in EAVES:
        sheet = roof.datums.proud_mm(wall)
        falls = [
            slope
            for slope in roof.slopes
            if slope.falls == wall and slope.lower.meets == Meets.FREE
        ]
        key = "eave_overhang" if falls else "high_overhang"
        slope, over = (falls or roof.slopes)[0], getattr(settings, key)
        past = 0.0 if roof.datums.runs_on(wall) else sheet
        # Square to the slope, a fascia across the low end leans back under the tails.
        leans = key == "eave_overhang" and fascia and slope.lower.cut == "square"
        if leans and fascia:
            deep = max(slope.rafter_mm, fascia.depth_mm)
            least = deep * math.sin(slope.slope_rad) + past
            if over < least - TOLERANCE_MM:
                yield Problem.at(
                    ("roof", key),
                    "brings the fascia across square tails back into the wall",
                    either(f"give {ruler.at_least(least)}", 'give roof.tail "plumb"'),
                )
                return
        elif 0 < over < past - TOLERANCE_MM:
            yield Problem.at(
                ("roof", key),
                f"ends the rafters in the {wall} wall's sheets, {ruler.at(sheet)} thick",
                either(f"give {ruler.at_least(past)}", 'give "0 in"'),
            )


def _overhangs(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """Room outside the walls for tails and fly rafters, and rafters of one thickness."""
    scene = roof.datums.scene
    settings, rafter = scene.roof, scene.lumber_stock(scene.roof.rafter)
    end = scene.lumber_stock(roof.slopes[0].end_rafter)
    fly = scene.lumber_stock(settings.fly_rafter or end.name)
    least = fly.breadth_mm + LEAST_RAKE_MM
    if 0 < settings.rake_overhang < least - TOLERANCE_MM:
        yield Problem.at(
            ("roof", "rake_overhang"),
            "is too narrow for the fly rafter and its lookouts",
            either(f"give {ruler.at_least(least)}", 'give "0 in"'),
        )
    if abs(end.breadth_mm - rafter.breadth_mm) > TOLERANCE_MM:
        yield Problem.at(
            ("roof", "end_rafter"),
            "is not as thick as the rafters",
            "",
            without("roof", "end_rafter"),
            other("roof", "end_rafter"),
            other("roof", "rafter"),
        )
    widths = [b.h[1] - b.h[0] for slope in roof.all_slopes for b in slope.bearings]
    if rafter.breadth_mm > min(widths) + TOLERANCE_MM:
        yield Problem.at(
            ("roof", "rafter"),
            "is thicker than what the blocks between the rafters stand on",
            "",
            without("roof", "rafter"),
            less("roof", "rafter"),
            more("beam", "plies"),
            more("walls", "stud"),
            *(more("bay", k, "ledger") for k in range(len(scene.bay))),
        )
    steepest = max(slope.slope_rad for slope in roof.slopes)
    across = max(rafter.depth_mm, fly.depth_mm) * math.sin(steepest)
    is_free = any(slope.upper.meets == Meets.FREE for slope in roof.slopes)
    for key in ("eave_overhang", "high_overhang")[: 2 if is_free else 1]:
        if settings.tail == "square" and getattr(settings, key) < across - TOLERANCE_MM:
            yield Problem.at(
                ("roof", key),
                "lets the square cut of the tails run into their seats",
                either(f"give {ruler.at_least(across)}", 'give roof.tail "plumb"'),
            )


def _end_rafter(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """End rafters that lie under the lookouts and still reach what they sit on."""
    wider = (
        *(more("walls", "stud"), more("roof", "ridge", "plies"), more("beam", "plies")),
        *(less("roof", "slope"), less("roof", "rake_overhang")),
    )
    bearings = ((slope, bearing) for slope in roof.slopes for bearing in slope.bearings)
    for slope, bearing in bearings:
        if bearing.on == Support.KNEE:
            continue
        seats = Seats(slope.slope_rad, slope.rafter_mm, slope.lookout_mm, slope.end_rafter_mm)
        width, seat = bearing.h[1] - bearing.h[0], seats.at_end_mm(bearing.seat_mm)
        if seat < LEAST_BEARING_MM - TOLERANCE_MM:
            yield Problem.at(
                ("roof", "end_rafter"),
                "is too shallow to reach its bearing from under the lookouts",
                "",
                without("roof", "end_rafter"),
                more("roof", "end_rafter"),
                other("roof", "rafter"),
                *wider,
            )
            return
        widest = widest_seat_mm(slope.slope_rad, width, slope.end_rafter_mm)
        if seat > widest + TOLERANCE_MM:
            yield Problem.at(
                ("roof", "end_rafter"),
                f"is too deep to lie under the lookouts on {ruler.at(width)} of bearing",
                "",
                without("roof", "end_rafter"),
                less("roof", "end_rafter"),
                other("roof", "rafter"),
                *wider,
            )
            return


def _lengths(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    scene = roof.datums.scene
    settings = scene.roof
    end = roof.slopes[0].end_rafter
    for key, name in (
        ("rafter", settings.rafter),
        ("end_rafter", end),
        ("fly_rafter", settings.fly_rafter or end),
    ):
        stock = scene.lumber_stock(name)
        for slope in roof.all_slopes:
            sloped = (slope.lower.h - slope.upper.h) / math.cos(slope.slope_rad)
            if settings.tail == "plumb" or slope.upper.cut != "square":
                # A plumb cut's long point lies beyond its short one.
                sloped += stock.depth_mm * math.tan(slope.slope_rad)
            too_long = list(
                ruler.too_long(
                    ("roof", key),
                    sloped,
                    stock,
                    less("roof", "eave_overhang"),
                    less("roof", "high_overhang"),
                    more("roof", key),
                    less("roof", "slope"),
                    less("roof", "back_slope"),
                    less("building", "depth"),
                    *(less("bay", k, "reach") for k in range(len(scene.bay))),
                )
            )
            if too_long:
                # The others are as long, and one line says it.
                yield from too_long
                return


def _under_the_eave(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """A roof on a ledger passes, with what covers it, under the main roof's tails and fascia."""
    datums = roof.datums
    for k, bay in enumerate(datums.scene.bay):
        lower = next((s for s in roof.ledger_slopes if s.falls == bay.side), None)
        if lower is None or bay.ledger_height is None:
            continue
        if min(b.seat_mm for b in lower.bearings) < LEAST_BEARING_MM - TOLERANCE_MM:
            key = "slope" if bay.slope is not None else "side"
            yield Problem.at(
                ("bay", k, key),
                "is so steep that a quarter of its rafters' depth gives less than "
                f"{ruler.at(LEAST_BEARING_MM)} of bearing (IRC R802.6)",
                "",
                less("bay", k, "slope"),
                more("roof", "rafter"),
                more("beam", "plies"),
            )
        plates = roof.plate_top_mm(lower.falls) - datums.floor_mm
        if bay.ledger_height > plates + TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "ledger_height"),
                f"is over the {bay.side} wall's plates at {ruler.at(plates)}",
                "",
                less("bay", k, "ledger_height"),
                more(*walls_height(datums.scene)),
                less("roof", "slope"),
            )
            continue
        cover = RoofCover(roof, lower)
        room = min(RoofCover(roof, upper).room_over_mm(cover) for upper in roof.slopes)
        if room < -TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "ledger_height"),
                "brings this roof up into the tails of the main one",
                "",
                less("bay", k, "ledger_height"),
                less("roof", "eave_overhang"),
            )

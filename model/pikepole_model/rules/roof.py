"""What must hold for the roof, its beams, and the posts under them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from pikepole_model.errors import KeyPath, Problem
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.beams import STEM_MM, BeamLine, plan_beams
from pikepole_model.plan.roof import LEAST_BEARING_MM, RoofPlan
from pikepole_model.plan.roof_cover import RoofCover
from pikepole_model.plan.ties import tie_low_mm, tie_starts
from pikepole_model.plan.wall import WallPlan
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.schema import RidgeBeam
from pikepole_model.scene.types import Eave

# What holds a beam to a post reaches up it by this much at least: two rows of bolts in a notched
# post's tongue, one in a cap's leg. Common practice, no source.
LEAST_TONGUE_HEIGHT_MM, LEAST_CAP_HEIGHT_MM = 63.5, 25.0

# A cap's legs close on a beam that is thinner than its post by this much at most.
LOOSEST_CAP_MM = 12.7

# Concrete under the stem of a post base.
LEAST_COVER_MM = 25.4

# Room between the fly rafters and the end rafters, where lookouts can be seen at all.
LEAST_RAKE_MM = 25.4

EAVES: tuple[Eave, Eave] = ("front", "back")

# Wood left beside a notch that a beam sits in: 1 in, common practice, no source.
LEAST_TONGUE_MM = 25.4


def bay_problems(roof: RoofPlan, plans: tuple[WallPlan, ...], ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the beams, the posts and their footings.

    Args:
        roof: Its plan.
        plans: Of the walls.
        ruler: For lengths in the messages.
    """
    datums = roof.datums
    if datums.beam and datums.bearing_mm > datums.wall_mm + TOLERANCE_MM:
        yield Problem.at(
            ("beam", "plies"),
            f"makes the beam {ruler.at(datums.bearing_mm)} thick, and the wall under it is "
            f"{ruler.at(datums.wall_mm)}",
            "give fewer plies, a thinner spacer or a deeper stud",
        )
    sizes = (
        datums.length_mm,
        datums.depth_mm,
        datums.scene.roof.slope,
        datums.scene.walls.spacing,
        roof.plate_top_mm("front"),
        *(bay.reach for bay in datums.scene.bay),
        *(framed.u[0] + framed.u[1] for plan in plans for framed in plan.openings),
    )
    if not all(math.isfinite(size) for size in sizes):
        return
    lines = plan_beams(roof, plans)
    # The front and the back beam are as long, and one line says it.
    yield from {problem.path: problem for line in lines for problem in _spans(line, ruler)}.values()
    yield from _posts(roof, lines, ruler)
    yield from _footings(roof, lines, ruler)


def _spans(line: BeamLine, ruler: Ruler) -> Iterator[Problem]:
    """Every ply reaches from one support to the next."""
    stock = line.roof.datums.scene.lumber_stock(line.beam.ply)
    places = [line.x[0], *line.supports, line.x[1]]
    start, end = max(itertools.pairwise(places), key=lambda ends: ends[1] - ends[0])
    ridge = isinstance(line.beam, RidgeBeam)
    path: KeyPath = ("roof", "ridge", "ply") if ridge else ("beam", "ply")
    bay = next((post.bay for post in line.posts if post.x in (start, end)), None)
    if bay:
        mend = f"give the {bay.side} bay more posts or make it shorter"
    else:
        mend = "make the building shorter" if ridge else "make the opening under it narrower"
    yield from ruler.too_long(
        path, end - start, stock, f"{mend}: plies of the {line.name} beam meet over supports only"
    )


def _posts(roof: RoofPlan, lines: tuple[BeamLine, ...], ruler: Ruler) -> Iterator[Problem]:
    scene = roof.datums.scene
    for k, bay in enumerate(scene.bay):
        post = scene.lumber_stock(bay.post)
        carried = [line for line in lines if any(on.bay is bay for on in line.posts)]
        widest = max((line.width_mm for line in carried), default=0.0)
        if bay.seat == "notch" and widest + LEAST_TONGUE_MM > post.depth_mm + TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "post"),
                f"is too thin to be notched for a beam {ruler.at(widest)} thick",
                'take a thicker post, a thinner beam, or seat = "cap"',
            )
        if bay.seat == "cap" and not (
            widest - TOLERANCE_MM <= post.depth_mm <= widest + LOOSEST_CAP_MM + TOLERANCE_MM
        ):
            than = "thinner" if post.depth_mm < widest else "so much deeper"
            yield Problem.at(
                ("bay", k, "post"),
                f"is {than} than the beam it carries, which is {ruler.at(widest)}, that a cap "
                "cannot hold it",
                'take a post as thick as the beam, or seat = "notch"',
            )
        least = LEAST_TONGUE_HEIGHT_MM if bay.seat == "notch" else LEAST_CAP_HEIGHT_MM
        sides = (post.depth_mm,) if bay.seat == "notch" else (0.0, post.depth_mm)
        if any(line.up_the_beam_mm(*sides) < least for line in carried):
            yield Problem.at(
                ("bay", k, "seat"),
                "leaves no room under the rafters to hold the beam to its post",
                "take a deeper beam or a gentler slope",
            )
        tops = [
            line.low_mm + (line.up_the_beam_mm(post.depth_mm) if bay.seat == "notch" else 0.0)
            for line in carried
        ]
        foot = bay.footing.above_ground
        longest = max(tops, default=0.0) - foot
        yield from ruler.too_long(
            ("bay", k, "post"),
            longest,
            post,
            "make the walls lower, or take a section that comes longer",
        )
        for line in carried:
            if line.low_mm - foot < post.depth_mm:
                yield Problem.at(
                    ("bay", k, "reach"),
                    f"brings the {line.name} beam down to {ruler.at(line.low_mm)} above the ground",
                    "give less reach, a gentler slope or higher walls",
                )


def _footings(roof: RoofPlan, lines: tuple[BeamLine, ...], ruler: Ruler) -> Iterator[Problem]:
    """Footings clear of the gravel under the store, and of each other."""
    datums = roof.datums
    scene, margin = datums.scene, datums.gravel_past_mm
    for k, bay in enumerate(scene.bay):
        half = scene.lumber_stock(bay.post).depth_mm / 2
        centres = [
            (post.x, line.y(half)) for line in lines for post in line.posts if post.bay is bay
        ]
        radius = bay.footing.diameter / 2
        for x, y in centres:
            past = math.hypot(max(-x, 0.0, x - datums.length_mm), max(-y, 0.0, y - datums.depth_mm))
            if past - radius < margin:
                yield Problem.at(
                    ("bay", k, "posts"),
                    "puts a footing into the gravel under the store, which reaches "
                    f"{ruler.at(margin)} past it",
                    "give fewer posts, a longer bay, a narrower footing or a smaller "
                    "foundation.gravel_margin",
                )
                break
        post = scene.lumber_stock(bay.post)
        if math.hypot(post.breadth_mm, post.depth_mm) > bay.footing.diameter + TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "footing", "diameter"),
                "is narrower than its post from corner to corner",
                f"give {ruler.at_least(math.hypot(post.breadth_mm, post.depth_mm))}",
            )
        deep = bay.footing.depth + bay.footing.above_ground
        if deep < STEM_MM + LEAST_COVER_MM - TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "footing", "depth"),
                f"is too shallow for the stem of the post base, {ruler.at(STEM_MM)} long",
                f"give {ruler.at_least(STEM_MM + LEAST_COVER_MM - bay.footing.above_ground)}",
            )
        apart = [math.dist(a, b) for a, b in itertools.combinations(centres, 2)]
        if min(apart, default=math.inf) < bay.footing.diameter - TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "posts"),
                "puts the footings into each other",
                "give fewer posts, a longer bay or a narrower footing",
            )


def roof_problems(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the rafters, the ridge and the ties."""
    least = min(roof.widest_seat_mm(w, roof.slopes[0].rafter_mm) for w in roof.bearing_widths_mm)
    if least < LEAST_BEARING_MM - TOLERANCE_MM:
        yield Problem.at(
            ("roof", "rafter"),
            f"rests on {ruler.at(least)} of wood where a quarter of it is notched, and "
            f"{ruler.at(LEAST_BEARING_MM)} is the least (IRC R802.6)",
            "take a deeper rafter, a gentler slope or wider bearings",
        )
    elif roof.slopes[0].lookout_mm:
        yield from _end_rafter(roof, ruler)
    yield from _overhangs(roof, ruler)
    yield from _lengths(roof, ruler)
    yield from _ties(roof, ruler)
    yield from _under_the_eave(roof, ruler)
    yield from _short_eaves(roof, ruler)


def _short_eaves(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """Tails that end clear of the wall's sheets, with a fascia that does not lean into them."""
    scene = roof.datums.scene
    settings, slope = scene.roof, roof.slopes[0]
    sheet = scene.sheet_stock(scene.walls.sheet).thickness_mm
    fascia = scene.fascia
    low = {"front", "back"} if roof.is_gable else {settings.falls}
    for wall in EAVES:
        key = "eave_overhang" if wall in low else "high_overhang"
        over = getattr(settings, key)
        past = 0.0 if roof.runs_on(wall) else sheet
        # Square to the slope, a fascia across the low end leans back under the tails.
        leans = key == "eave_overhang" and fascia and slope.lower.cut == "square"
        if leans and fascia:
            deep = max(slope.rafter_mm, fascia.depth_mm)
            least = deep * math.sin(slope.slope_rad) + past
            if over < least - TOLERANCE_MM:
                yield Problem.at(
                    ("roof", key),
                    "brings the fascia across square tails back into the wall",
                    f'give {ruler.at_least(least)}, or tail = "plumb"',
                )
                return
        elif 0 < over < past - TOLERANCE_MM:
            yield Problem.at(
                ("roof", key),
                f"ends the rafters in the {wall} wall's sheets, {ruler.at(sheet)} thick",
                f'give {ruler.at_least(past)}, or "0 in"',
            )


def _overhangs(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """Room outside the walls for tails and fly rafters, and rafters of one thickness."""
    scene = roof.datums.scene
    settings, rafter = scene.roof, scene.lumber_stock(scene.roof.rafter)
    end = scene.lumber_stock(roof.end_rafter[0])
    fly = scene.lumber_stock(settings.fly_rafter or end.name)
    least = fly.breadth_mm + LEAST_RAKE_MM
    if 0 < settings.rake_overhang < least - TOLERANCE_MM:
        yield Problem.at(
            ("roof", "rake_overhang"),
            "is too narrow for the fly rafter and its lookouts",
            f'give {ruler.at_least(least)}, or "0 in"',
        )
    if abs(end.breadth_mm - rafter.breadth_mm) > TOLERANCE_MM:
        yield Problem.at(
            ("roof", "end_rafter"), "is not as thick as the rafters", "take a section that is"
        )
    ledgers = [b.h[1] - b.h[0] for s in roof.ledger_slopes for b in s.bearings]
    if rafter.breadth_mm > min([*roof.bearing_widths_mm, *ledgers]) + TOLERANCE_MM:
        yield Problem.at(
            ("roof", "rafter"),
            "is thicker than what the blocks between the rafters stand on",
            "take a thinner rafter or a thicker beam or ledger",
        )
    across = max(rafter.depth_mm, fly.depth_mm) * math.sin(math.radians(settings.slope))
    keys = ("eave_overhang",) if roof.is_gable else ("eave_overhang", "high_overhang")
    for key in keys:
        if settings.tail == "square" and getattr(settings, key) < across - TOLERANCE_MM:
            yield Problem.at(
                ("roof", key),
                "lets the square cut of the tails run into their seats",
                f'give {ruler.at_least(across)}, or tail = "plumb"',
            )


def _end_rafter(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """End rafters that lie under the lookouts and still reach what they sit on."""
    for width in roof.bearing_widths_mm:
        seat, depth = roof.end_seat_mm(width), roof.end_rafter[1]
        if seat < LEAST_BEARING_MM - TOLERANCE_MM:
            yield Problem.at(
                ("roof", "end_rafter"),
                "is too shallow to reach its bearing from under the lookouts",
                "take a deeper section, or leave it out and have it chosen",
            )
            return
        if seat > roof.widest_seat_mm(width, depth) + TOLERANCE_MM:
            yield Problem.at(
                ("roof", "end_rafter"),
                f"is too deep to lie under the lookouts on {ruler.at(width)} of bearing",
                "take a shallower section, or leave it out and have it chosen",
            )
            return


def _lengths(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    scene = roof.datums.scene
    settings = scene.roof
    end = roof.end_rafter[0]
    for key, name in (
        ("rafter", settings.rafter),
        ("end_rafter", end),
        ("fly_rafter", settings.fly_rafter or end),
    ):
        stock = scene.lumber_stock(name)
        for slope in roof.all_slopes:
            sloped = (slope.lower.h - slope.upper.h) / math.cos(slope.slope_rad)
            if settings.tail == "plumb" or slope.upper.cut == "plumb":
                # A plumb cut's long point lies beyond its short one.
                sloped += stock.depth_mm * math.tan(slope.slope_rad)
            too_long = list(
                ruler.too_long(
                    ("roof", key),
                    sloped,
                    stock,
                    "make building.depth, a bay's reach or the overhangs less, or take a section "
                    "that comes longer",
                )
            )
            if too_long:
                # The others are as long, and one line says it.
                yield from too_long
                return


def _ties(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    board = roof.ridge_board
    if not board:
        return
    scene = roof.datums.scene
    stock = scene.lumber_stock(board.tie)
    plank, slope, ridge = scene.lumber_stock(board.board), roof.slopes[0], roof.ridge
    cut_mm = slope.rafter_mm / math.cos(slope.slope_rad)
    if plank.depth_mm < cut_mm - TOLERANCE_MM:
        yield Problem.at(
            ("roof", "ridge", "board"),
            f"is {ruler.at(plank.depth_mm)} deep, and the rafters' plumb cuts against it are "
            f"{ruler.at(cut_mm)} (IRC R802.3)",
            "take a deeper board, a shallower rafter or a gentler slope",
        )
    if not math.isfinite(sum(roof.datums.roof_ends_mm) + scene.roof.spacing):
        return
    starts = tie_starts(roof)
    if not starts or None in starts.values():
        yield Problem.at(
            ("roof", "spacing"),
            "leaves no room for a rafter tie beside each pair of rafters",
            "make the building longer, or give a spacing that leaves a tie's breadth between a "
            "rafter and its neighbours",
        )
    if ridge and tie_low_mm(roof) + stock.depth_mm > ridge.low_mm:
        yield Problem.at(
            ("roof", "ridge", "tie"),
            "reaches up to the ridge board",
            "take a shallower tie, or a smaller tie_height",
        )
    yield from ruler.too_long(
        ("roof", "ridge", "tie"),
        roof.datums.depth_mm,
        stock,
        "make building.depth less, or take a section that comes longer",
    )
    rise = roof.slopes[0].roof_mm(0.0) - roof.plate_top_mm("front")
    if board.tie_height > rise / 3 + TOLERANCE_MM:
        yield Problem.at(
            ("roof", "ridge", "tie_height"),
            "is more than a third of the way from the plates to the ridge, where a tie no longer "
            "holds the walls (IRC R802.5.2)",
            f"give {ruler.at_most(rise / 3)}, or carry the ridge on a beam",
        )


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
                "give a gentler slope, a deeper roof.rafter or a wider beam",
            )
        plates = roof.plate_top_mm(lower.falls) - datums.floor_mm
        if bay.ledger_height > plates + TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "ledger_height"),
                f"is over the {bay.side} wall's plates at {ruler.at(plates)}",
                f"give {ruler.at_most(plates)}",
            )
            continue
        cover = RoofCover(roof, lower)
        room = min(RoofCover(roof, upper).room_over_mm(cover) for upper in roof.slopes)
        if room < -TOLERANCE_MM:
            yield Problem.at(
                ("bay", k, "ledger_height"),
                "brings this roof up into the tails of the main one",
                f"give {ruler.at_most(bay.ledger_height + room)}",
            )

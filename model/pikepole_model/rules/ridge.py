"""What must hold for a ridge: its place, the slopes that meet there, and the ties."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.errors import Problem, either, leave_out, less, more, other, without
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.loft import loft_plan
from pikepole_model.plan.roof import LevelMember, RoofPlan
from pikepole_model.plan.seats import LEAST_BEARING_MM, Seats
from pikepole_model.plan.slope import Support
from pikepole_model.plan.ties import tie_low_mm, tie_starts
from pikepole_model.rules.ruler import Ruler, walls_height
from pikepole_model.scene.schema import RidgeBeam, RidgeBoard, Scene
from pikepole_model.scene.types import FLATTEST_DEG, STEEPEST_DEG
from pikepole_model.stock.metric import usual

# A slope that comes as near as this to the flattest or the steepest is none that was asked for.
_AT_THE_END_RAD = 1e-6

# Where there is no room for a tie of this, a beam is the better ridge: common practice, no source.
_LEAST_TIE = "2x4"


def on_a_beam(board: RidgeBoard) -> str:
    """The mend that has a beam carry the ridge, which has none of a board's own keys."""
    own = board.model_fields_set - {"kind", "from_front"}
    keys = (leave_out(("roof", "ridge", key)) for key in RidgeBoard.model_fields if key in own)
    return ", and ".join(['give roof.ridge.kind "beam"', *keys])


def on_a_board(ridge: RidgeBeam) -> str:
    """The mend that has the rafters lean on each other, with none of a beam's own keys."""
    own = ridge.model_fields_set - {"kind", "from_front"}
    keys = (leave_out(("roof", "ridge", key)) for key in RidgeBeam.model_fields if key in own)
    return ", and ".join(['give roof.ridge.kind "board"', *keys])


def highest_tie_mm(roof: RoofPlan) -> float:
    """How far over the higher wall's plates a tie may lie, mm; below 0 where none holds the walls.

    Source: IRC R802.5.2, a third of the way from the plates to the ridge at most.
    """
    front, back = roof.plate_top_mm("front"), roof.plate_top_mm("back")
    low = min(front, back)
    return (roof.section.highest_mm - low) / 3 - (max(front, back) - low)


def ridge_key_problems(scene: Scene) -> Iterator[Problem]:
    """What contradicts itself in what is said of two slopes or two heights of walls."""
    roof, walls, table = scene.roof, scene.heights, walls_height(scene)[0]
    two_heights = walls.low_height is not None and walls.high_height is not None
    if roof.back_slope is not None and not roof.ridge:
        yield Problem.at(
            ("roof", "back_slope"),
            "belongs to a roof with a ridge",
            leave_out(("roof", "back_slope")),
        )
    if not two_heights:
        return
    if not roof.ridge:
        yield Problem.at(
            (table,),
            "gives both low_height and high_height, and a roof without a ridge has one slope",
            either(leave_out((table, "low_height")), leave_out((table, "high_height"))),
        )
    elif roof.back_slope is not None:
        yield Problem.at(
            ("roof", "back_slope"),
            f"follows from {table}.low_height and {table}.high_height",
            either(leave_out(("roof", "back_slope")), leave_out((table, "high_height"))),
        )


def ridge_problems(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the ridge and the ties."""
    if roof.ridge:
        yield from _place(roof, roof.ridge, ruler)
        yield from _heights(roof, ruler)
        yield from _on_the_beam(roof, ruler)
        yield from _inner_posts(roof.datums.scene)
    if roof.ridge_board and not roof.datums.scene.roof.knee:
        yield from _ties(roof, roof.ridge_board, ruler)


def _place(roof: RoofPlan, ridge: LevelMember, ruler: Ruler) -> Iterator[Problem]:
    """The ridge and the post under it stand clear of the front and the back wall."""
    datums, settings = roof.datums, roof.datums.scene.roof.ridge
    if not settings or settings.from_front is None:
        return
    aside = ridge.y - settings.from_front
    least = (
        max(datums.wall_mm, datums.bearing_mm)
        + datums.breadth_mm
        + max(ridge.width_mm, datums.breadth_mm) / 2
    )
    low, high = least - aside, datums.depth_mm - least - aside
    if settings.from_front < low - TOLERANCE_MM or settings.from_front > high + TOLERANCE_MM:
        yield Problem.at(
            ("roof", "ridge", "from_front"),
            "brings the ridge into the front or the back wall",
            ruler.between(low, high),
            more("building", "depth"),
            without("roof", "ridge", "from_front"),
        )


def _heights(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """Some slope behind the ridge makes both heights of the walls."""
    scene = roof.datums.scene
    walls, falls, table = scene.heights, scene.roof.falls, walls_height(scene)[0]
    if walls.low_height is None or walls.high_height is None:
        return
    if walls.high_height < walls.low_height - TOLERANCE_MM:
        yield Problem.at(
            (table, "high_height"),
            f"is less than {table}.low_height",
            f"give {ruler.at_least(walls.low_height)}",
        )
        return
    back = roof.section.back_rad
    for end, than in ((FLATTEST_DEG, "flatter"), (STEEPEST_DEG, "steeper")):
        if abs(back - math.radians(end)) < _AT_THE_END_RAD:
            yield Problem.at(
                (table, "low_height"),
                f"makes the roof behind the ridge {than} than {end:g} degrees, with the "
                f"{falls} wall that low and the other at {ruler.at(walls.high_height)}",
                "",
                *(other(table, "low_height"), other(table, "high_height")),
                *(other("roof", "ridge", "from_front"), other("roof", "slope")),
                without(table, "high_height"),
            )


def _on_the_beam(roof: RoofPlan, ruler: Ruler) -> Iterator[Problem]:
    """Both slopes' rafters rest on a ridge beam, which lies as high as the steeper ones need it."""
    for slope in roof.slopes:
        seats = Seats(slope.slope_rad, slope.rafter_mm, slope.lookout_mm, slope.end_rafter_mm)
        for bearing in slope.bearings:
            half = bearing.h[1] - bearing.h[0]
            if (
                bearing.on != Support.RIDGE
                or bearing.seat_mm > seats.common_mm(half) - TOLERANCE_MM
            ):
                continue
            least = min(bearing.seat_mm, seats.at_end_mm(bearing.seat_mm))
            if least < LEAST_BEARING_MM - TOLERANCE_MM:
                yield Problem.at(
                    ("roof", "ridge", "plies"),
                    f"leaves the {slope.prefix}rafters {ruler.at(max(least, 0.0))} of the ridge "
                    f"beam to rest on, and {ruler.at(LEAST_BEARING_MM)} is the least (IRC R802.6)",
                    "",
                    more("roof", "ridge", "plies"),
                    *(more("roof", "rafter"), other("roof", "back_slope")),
                    without("roof", "back_slope"),
                )
                return


def _inner_posts(scene: Scene) -> Iterator[Problem]:
    """Posts under a ridge stand on a slab, clear of all that runs across the store."""
    ridge, path = scene.roof.ridge, ("roof", "ridge", "posts")
    if not isinstance(ridge, RidgeBeam) or not ridge.posts:
        return
    if scene.posts:
        wrong = "belongs to a store, and this ridge stands on a row of [posts] of its own"
    elif scene.floor_pad is None:
        wrong = "needs a footing under a slab: a floor's joists bend, and skids sink, under a post"
    elif scene.loft:
        wrong = "stands where the joists of the loft run"
    else:
        return
    yield Problem.at(path, wrong, leave_out(path))


def _ties(roof: RoofPlan, board: RidgeBoard, ruler: Ruler) -> Iterator[Problem]:
    scene, ridge = roof.datums.scene, roof.ridge
    stock, plank = scene.lumber_stock(board.tie), scene.lumber_stock(board.board)
    cut_mm = max(slope.rafter_mm / math.cos(slope.slope_rad) for slope in roof.slopes)
    if plank.depth_mm < cut_mm - TOLERANCE_MM:
        yield Problem.at(
            ("roof", "ridge", "board"),
            f"is {ruler.at(plank.depth_mm)} deep, and the rafters' plumb cuts against it are "
            f"{ruler.at(cut_mm)} (IRC R802.3)",
            "",
            more("roof", "ridge", "board"),
            less("roof", "rafter"),
            less("roof", "slope"),
            less("roof", "back_slope"),
        )
    if not math.isfinite(sum(roof.datums.roof_ends_mm) + scene.roof.spacing):
        return
    starts, loft = tie_starts(roof), loft_plan(roof)
    held = loft is not None and loft.ties_rafters
    if (not starts and not held) or None in starts.values():
        yield Problem.at(
            ("roof", "spacing"),
            "leaves no room for a rafter tie beside each pair of rafters",
            "",
            other("roof", "spacing"),
            other("building", "length"),
        )
    low = tie_low_mm(roof)
    if ridge and low + stock.depth_mm > ridge.low_mm:
        room = ridge.low_mm - (low - board.tie_height)
        yield Problem.at(
            ("roof", "ridge", "tie"),
            "reaches up to the ridge board",
            on_a_beam(board)
            if room < scene.lumber_stock(usual(_LEAST_TIE, scene.units)).depth_mm
            else "",
            less("roof", "ridge", "tie"),
            less("roof", "ridge", "tie_height"),
            more("roof", "slope"),
        )
    yield from ruler.too_long(
        ("roof", "ridge", "tie"),
        roof.datums.depth_mm,
        stock,
        other("roof", "ridge", "tie"),
        less("building", "depth"),
    )
    most = highest_tie_mm(roof)
    if board.tie_height > most + TOLERANCE_MM:
        is_level = abs(roof.plate_top_mm("front") - roof.plate_top_mm("back")) < TOLERANCE_MM
        plates = "plates" if is_level else "lower wall's plates"
        yield Problem.at(
            ("roof", "ridge", "tie_height"),
            f"is more than a third of the way from the {plates} to the ridge, where a tie no "
            "longer holds the walls (IRC R802.5.2)",
            f"give {ruler.at_most(most)}" if most >= 0 else on_a_beam(board),
            # A steeper front would ask for a deeper board in turn.
            *((more("roof", "slope"),) if most >= 0 else ()),
            *(other("roof", "ridge", "from_front"), without("roof", "ridge", "from_front")),
            *(other("roof", "back_slope"), without("roof", "back_slope")),
            without(walls_height(scene)[0], "high_height"),
        )

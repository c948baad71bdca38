"""What must hold for the opening in a loft, and for the ladder that comes up through it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.errors import Problem, less, more, other, without
from pikepole_model.geometry.spacing import LEAST_STICK_MM, TOLERANCE_MM
from pikepole_model.plan.datums import Obstacle
from pikepole_model.plan.ladder import LadderPlan, ladder_plan
from pikepole_model.plan.loft import LoftPlan
from pikepole_model.rules.ruler import Ruler
from pikepole_model.scene.loft import Ladder, LoftOpening

_OPENING, _LADDER = ("loft", "opening"), ("loft", "opening", "ladder")

# An attic lower than this needs no access, so nobody gets into it; nor may it be lower over that:
# 30 in (IRC R807.1).
LEAST_CLEAR_MM = 762.0

# The least access to an attic, one way and the other: 22 x 30 in (IRC R807.1).
LEAST_ACCESS_MM = (558.8, 762.0)

# From a ladder's treads to what is behind who climbs it: 24 in, with something that leads past it
# (29 CFR 1926.1053(a)(15), from memory).
LEAST_BEHIND_MM = 609.6


def opening_problems(loft: LoftPlan, ruler: Ruler) -> Iterator[Problem]:
    """What is wrong with the opening in a loft and the ladder in it."""
    opening, ladder = loft.loft.opening, ladder_plan(loft)
    if not opening:
        return
    found = list(_opening(loft, opening, ruler))
    yield from found
    yield from [] if found or not ladder else _ladder(ladder, opening, ruler)


def _opening(loft: LoftPlan, opening: LoftOpening, ruler: Ruler) -> Iterator[Problem]:
    """An opening that a person gets through, between whole joists and clear of walls and roof."""
    sizes = sorted((("width", opening.width), ("depth", opening.depth)), key=lambda one: one[1])
    for (key, size), least in zip(sizes, LEAST_ACCESS_MM, strict=True):
        if size < least - TOLERANCE_MM:
            small, large = (ruler.at(each) for each in LEAST_ACCESS_MM)
            yield Problem.at(
                (*_OPENING, key),
                f"makes the opening less than {small} by {large} (IRC R807.1)",
                f"give {ruler.at_least(least)}",
            )
            return
    thick, plies = loft.stock.breadth_mm, loft.header_plies * loft.stock.breadth_mm
    first, last = loft.starts_x[0] + 2 * thick, loft.starts_x[-1] - thick
    front, back = (
        loft.sheeted_y[0] + plies + LEAST_STICK_MM + thick,
        loft.sheeted_y[1] - plies - LEAST_STICK_MM - thick,
    )
    for key, size, start, low, high, whole in (
        ("x", opening.width, opening.x, first, last, "length"),
        ("y", opening.depth, opening.y, front, back, "depth"),
    ):
        if low - TOLERANCE_MM <= start <= high - size + TOLERANCE_MM:
            continue
        along = "width" if key == "x" else "depth"
        if size > high - low + TOLERANCE_MM:
            yield Problem.at(
                (*_OPENING, along),
                f"is wider than the loft's floor has room for, {ruler.at(max(high - low, 0.0))}",
                "",
                *(
                    less(*_OPENING, along),
                    more("building", whole),
                    more("loft", "reach"),
                    without(*_OPENING),
                ),
            )
        else:
            yield Problem.at(
                (*_OPENING, key),
                "brings the opening into the edge of the loft's floor",
                "",
                *(
                    other(*_OPENING, key),
                    less(*_OPENING, along),
                    more("loft", "reach"),
                    without(*_OPENING),
                ),
            )
        return
    if None in loft.doubles_x:
        yield Problem.at(
            (*_OPENING, "x"),
            "leaves no room to double the joists beside the opening (IRC R502.10)",
            "",
            *(other(*_OPENING, "x"), less(*_OPENING, "width"), without(*_OPENING)),
        )
    elif loft.cut_x and loft.ties_rafters and loft.roof.ridge_board:
        yield Problem.at(
            (*_OPENING, "width"),
            "cuts a joist that ties a pair of rafters (IRC R802.5.2)",
            "",
            *(other(*_OPENING, "x"), less(*_OPENING, "width"), other("roof", "ridge", "kind")),
            *(more("roof", "spacing"), without(*_OPENING)),
        )
    span = (opening.y, opening.y + opening.depth)
    clear, beam = loft.clear_mm(*span, 0.0), loft.under_beams_mm(*span)
    over = min(clear, beam)
    if over < LEAST_CLEAR_MM - TOLERANCE_MM:
        what = "a beam" if beam < clear else "the rafters"
        yield Problem.at(
            (*_OPENING, "y"),
            f"leaves {ruler.at(over)} under {what} over the opening, and "
            f"{ruler.at(LEAST_CLEAR_MM)} is the least (IRC R807.1)",
            "",
            *(other(*_OPENING, "y"), more(*_OPENING, "depth"), less(*_OPENING, "depth")),
            *(less("loft", "height"), without(*_OPENING)),
        )


def _ladder(plan: LadderPlan, opening: LoftOpening, ruler: Ruler) -> Iterator[Problem]:
    """A ladder that goes through its opening, with room to climb it and to set its foot."""
    ladder, loft, datums = plan.ladder, plan.loft, plan.loft.datums
    floor = datums.scene.floor
    if floor and not (floor.sheet or floor.board):
        yield Problem.at(
            _LADDER,
            "has only bare joists to stand on",
            "",
            *(without(*_LADDER), without("floor", "sheet")),
        )
    yield from _in_the_opening(plan, ladder, opening, ruler)
    yield from ruler.too_long(
        (*_LADDER, "rail"),
        math.hypot(plan.foot_h, loft.top_mm - datums.floor_mm),
        plan.rail,
        *(other(*_LADDER, "rail"), more(*_LADDER, "slope")),
    )
    edge, foot = sorted((plan.y_of(0.0), plan.y_of(plan.foot_h)))
    wall = datums.wall_mm
    tries = (
        *(more(*_LADDER, "slope"), other(*_LADDER, "edge"), other(*_OPENING, "y")),
        *(other(*_OPENING, "x"), without(*_LADDER)),
    )
    if edge < wall - TOLERANCE_MM or foot > datums.depth_mm - wall + TOLERANCE_MM:
        yield Problem.at(
            (*_LADDER, "slope"),
            f"sets the ladder's foot {ruler.at(plan.foot_h)} out, past the "
            f"{'back' if plan.way > 0 else 'front'} wall",
            "",
            *tries,
        )
    (x0, _), (_, x1) = plan.rails_x
    stands = Obstacle(x0, edge, x1, foot, loft.low_mm)
    if any(stands.meets(one.cleared()) for one in datums.obstacles):
        yield Problem.at(
            (*_LADDER, "edge"),
            "sets the ladder where something stands up through the floor",
            "",
            *tries[1:],
        )


def _in_the_opening(
    plan: LadderPlan, ladder: Ladder, opening: LoftOpening, ruler: Ruler
) -> Iterator[Problem]:
    wide = plan.wide_mm
    if wide > opening.width + TOLERANCE_MM:
        yield Problem.at(
            (*_LADDER, "width"),
            f"makes the ladder {ruler.at(wide)} wide over all its rails, and the opening is "
            f"{ruler.at(opening.width)}",
            "",
            *(less(*_LADDER, "width"), more(*_OPENING, "width")),
        )
    # Square to the ladder, from the middle of its treads to the header behind who climbs it.
    rad = math.radians(ladder.slope)
    least = (LEAST_BEHIND_MM + plan.rail.depth_mm / 2) / math.sin(rad)
    if opening.depth < least - TOLERANCE_MM:
        yield Problem.at(
            (*_OPENING, "depth"),
            f"leaves less than {ruler.at(LEAST_BEHIND_MM)} behind who climbs the ladder",
            f"give {ruler.at_least(least)}",
            *(more(*_OPENING, "depth"), without(*_LADDER)),
        )

"""Headers that span what is wide, by the table of what they span."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.errors import KeyPath, Problem, less, more, other
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.framed import Framed
from pikepole_model.plan.headers import WIDE_FROM_MM, rows_of, tabled_plies
from pikepole_model.plan.wall import WallPlan
from pikepole_model.rules.ruler import Ruler


def header_problems(
    plan: WallPlan, framed: Framed, path: KeyPath, ruler: Ruler
) -> Iterator[Problem]:
    """A header over a wide opening that carries rafters and does not span it.

    A section that is not in the table is taken for the next deeper one, and left alone where there
    is none.

    Args:
        plan: Its wall.
        framed: The opening.
        path: Key of its table.
        ruler: For lengths in the messages.
    """
    scene, given = plan.datums.scene, framed.opening.header
    width = framed.opening.width
    if not (framed.header and plan.carries_rafters and width > WIDE_FROM_MM):
        return
    rows = rows_of(plan.datums, framed.header)
    if given:
        deep = scene.lumber_stock(given).depth_mm - TOLERANCE_MM
        rows = [row for row in rows if scene.lumber_stock(row.section).depth_mm >= deep][:1]
    if not rows or width <= rows[-1].span_mm + TOLERANCE_MM:
        return
    most, key = rows[-1], (*path, "header" if given else "width")
    plies = tabled_plies(plan.datums, framed.header)
    yield Problem.at(
        key,
        f"asks for a header that spans {ruler.at(width)}, and {plies} plies of {most.section} span "
        f"{ruler.at_most(most.span_mm)} (IRC 2012 Table R502.5(1): roof and ceiling, snow of 30 "
        f"psf, a building {ruler.at(plan.datums.depth_mm)} wide)",
        "",
        *([other(*key)] if given else []),
        more("walls", "stud"),
        less(*path, "width"),
        other("beam", "on_walls"),
    )

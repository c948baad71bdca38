"""Headers that span what is wide, by the table of what they span."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_model.errors import KeyPath, Problem, Try, more, other
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.headers import WIDE_FROM_MM, rows_of, tabled_plies
from pikepole_model.plan.wall import WallPlan
from pikepole_model.rules.ruler import Ruler


@dataclass(frozen=True, slots=True)
class Spanned:
    """What a header spans.

    Attributes:
        header: Section of its plies; None without one.
        width_mm: Clear between what it lies on.
        given: What the scene says of the section.
        path: Key of the table that says it.
        wide: The key there that makes it so wide.
        narrower: What makes it less wide.
    """

    header: str | None
    width_mm: float
    given: str | None
    path: KeyPath
    wide: str
    narrower: Try


def header_problems(plan: WallPlan, spanned: Spanned, ruler: Ruler) -> Iterator[Problem]:
    """A header over something wide that carries rafters and does not span it.

    A section that is not in the table is taken for the next deeper one, and left alone where there
    is none.

    Args:
        plan: Its wall.
        spanned: What it spans.
        ruler: For lengths in the messages.
    """
    scene, given, width = plan.datums.scene, spanned.given, spanned.width_mm
    if not (spanned.header and plan.carries_rafters and width > WIDE_FROM_MM):
        return
    rows = rows_of(plan.datums, spanned.header)
    if given:
        deep = scene.lumber_stock(given).depth_mm - TOLERANCE_MM
        rows = [row for row in rows if scene.lumber_stock(row.section).depth_mm >= deep][:1]
    if not rows or width <= rows[-1].span_mm + TOLERANCE_MM:
        return
    most, key = rows[-1], (*spanned.path, "header" if given else spanned.wide)
    plies = tabled_plies(plan.datums, spanned.header)
    snow = "30 psf" if scene.units == "imperial" else "1.4 kN/m2"
    yield Problem.at(
        key,
        f"asks for a header that spans {ruler.at(width)}, and {plies} plies of {most.section} span "
        f"{ruler.at_most(most.span_mm)} (IRC 2012 Table R502.5(1): roof and ceiling, snow of "
        f"{snow}, a building {ruler.at(plan.datums.depth_mm)} wide)",
        "",
        *([other(*key)] if given else []),
        more("walls", "stud"),
        spanned.narrower,
        other("beam", "on_walls"),
    )

"""What is carried from the truck to the pile, as it is said on a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from pikepole_export.cli.words import wrapped
from pikepole_export.derive.lifting.carrying import (
    BY_ENDS,
    REST_M,
    TWO_WHEELS,
    Carried,
    StageCarrying,
)
from pikepole_export.derive.lifting.hands import TEAM
from pikepole_export.derive.lifting.labour import hours_text
from pikepole_model.scene.crew import Delivery
from pikepole_model.units import Units, format_mass, format_number, headcount, plural

_NAME = 30  # columns of a name; longer ones push the rest on


def carrying_block(stages: Sequence[StageCarrying], delivery: Delivery, units: Units) -> list[str]:
    """Stage by stage how much and in how many loads, and what is past the guideline.

    Args:
        stages: In order.
        delivery: How far, and how.
        units: Of the scene.
    """
    if not stages:
        return []
    is_loose = any(row.pieces is None for stage in stages for row in stage.carried)
    by = f"by hand{', gravel by wheelbarrow' if is_loose else ''}"
    if delivery.way != "hand":
        by = f"with a {delivery.way}"
    head = (
        f"Carried from the truck to the pile, {_walk(delivery.walk_mm(units), units)}, {by}, "
        "as heavy as it may be, without offcuts. Loads by HSE's figures, times of one person:"
    )
    lines = ["", *wrapped(head)]
    for stage in stages:
        name = f"{stage.stage}. {stage.name}"
        mass, loads = format_mass(stage.mass_kg, units), plural(stage.loads, "load")
        lines.append(f"  {name:{_NAME}} {mass:>9} {loads:>10} {hours_text(stage.hours):>16}")
    rows = [row for stage in stages for row in stage.carried]
    for text, some in _special(rows, delivery):
        if some:
            lines += wrapped(f"{text}: {_names(some, units)}.", "    ", "  ")
    rest_m = REST_M[delivery.way]
    if delivery.walk_mm(units) > rest_m * 1000:
        text = (
            f"Set each load down after about {_walk(rest_m * 1000, units)}: HSE's figures hold no "
            "further without a rest."
        )
        lines += wrapped(text, "    ", "  ")
    return lines


def _special(rows: Sequence[Carried], delivery: Delivery) -> list[tuple[str, list[Carried]]]:
    """What takes more than one person or another way, and how."""
    most = max(TEAM)
    several = [
        (
            f"{people} people to a load, the heaviest in brackets",
            [row for row in rows if row.people == people and row.way == "hand"],
        )
        for people in TEAM
        if people > 1
    ]
    rolled = [
        (
            f"{headcount(people).capitalize()} with a {TWO_WHEELS}, too heavy for {most} by hand",
            [row for row in rows if row.people == people and row.way == TWO_WHEELS != delivery.way],
        )
        for people in TEAM
    ]
    by_ends = [
        (
            f"{headcount(people).capitalize()} with one end at a time, too heavy to carry whole",
            [row for row in rows if row.people == people and row.way == BY_ENDS],
        )
        for people in TEAM
    ]
    set_down = "have the truck set them down where they go, or roll them there on pipes"
    above = (
        f"Above the guideline in every way, {set_down}",
        [row for row in rows if row.people is None],
    )
    return [*several, *rolled, *by_ends, above]


def _walk(distance_mm: float, units: Units) -> str:
    """How far it is, to those who walk it: "30 ft", "9 m"."""
    return format_number(distance_mm, "run", units).replace(".0 ", " ")


def _names(rows: Sequence[Carried], units: Units) -> str:
    """How many of what, and the heaviest load of each."""
    found: dict[str, tuple[int, float]] = {}
    for row in rows:
        pieces, heaviest_kg = found.get(row.what, (0, 0.0))
        more = row.loads if row.pieces is None else row.pieces
        found[row.what] = (pieces + more, max(heaviest_kg, row.heaviest_kg))
    return "; ".join(
        f"{pieces} x {what} ({format_mass(heaviest_kg, units)})"
        for what, (pieces, heaviest_kg) in found.items()
    )

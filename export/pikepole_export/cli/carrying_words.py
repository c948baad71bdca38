"""What is carried from the truck to the pile, as it is said on a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from pikepole_export.cli.words import wrapped
from pikepole_export.derive.lifting.carrying import REST_M, Carried, StageCarrying
from pikepole_export.derive.lifting.labour import Hours
from pikepole_model.scene.crew import Delivery
from pikepole_model.units import Units, format_length, format_mass, plural

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
    by = "by hand" if delivery.way == "hand" else f"with a {delivery.way}"
    head = (
        f"Carried from the truck to the pile, {format_length(delivery.distance, units)}, {by}, "
        "the high mass without offcuts; loads by the HSE figures, hours of one person:"
    )
    lines = ["", *wrapped(head)]
    for stage in stages:
        name = f"{stage.stage}. {stage.name}"
        mass, loads = format_mass(stage.mass_kg, units), plural(stage.loads, "load")
        lines.append(f"  {name:{_NAME}} {mass:>9} {loads:>10} {_time(stage.hours):>16}")
    several = [row for stage in stages for row in stage.carried if (row.people or 0) > 1]
    beyond = [row for stage in stages for row in stage.carried if row.people is None]
    for people in sorted({row.people for row in several if row.people}):
        rows = [row for row in several if row.people == people]
        lines += wrapped(f"{people} people to a load: {_names(rows, units)}.", "    ", "  ")
    if beyond:
        text = (
            f"Past the figures for 3 people, have them set down where they go, or bring a "
            f"machine: {_names(beyond, units)}."
        )
        lines += wrapped(text, "    ", "  ")
    rest_m = REST_M[delivery.way]
    if delivery.distance > rest_m * 1000:
        text = (
            f"The figures hold for about {format_length(rest_m * 1000, units)} without a rest: "
            "set it down on the way."
        )
        lines += wrapped(text, "    ", "  ")
    return lines


def _time(hours: Hours) -> str:
    """How long it takes, at the least and at the most: what is under an hour in minutes."""
    if hours.high >= 1:
        return f"{hours.low:.1f} to {hours.high:.1f} h"
    return f"{hours.low * 60:.0f} to {hours.high * 60:.0f} min"


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

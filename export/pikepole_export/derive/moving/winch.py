"""What speaks against the winch that draws a building, its strap and its anchor.

winch_problems(asked, found)
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.moving.asked import Asked
from pikepole_export.derive.moving.rollers import OnRollers, winch_of
from pikepole_model.errors import Problem
from pikepole_model.units import format_mass


def winch_problems(asked: Asked, found: OnRollers) -> Iterator[Problem]:
    """What is too weak for the hardest pull, or has no rating.

    Args:
        asked: Whose move.
        found: The pulls.
    """
    units = asked.units

    def least(mass_kg: float) -> str:
        return f"at least {format_mass(mass_kg, units, 'up')}"

    row = winch_of(asked.building)
    if row is None:
        yield asked.at(
            ("move", "way"),
            '"rollers"',
            "draws it with a winch, and the crew has none",
            f'add the table [[crew.gear]] of kind "winch", rated {least(found.winch_kg)}',
        )
    elif row[1].rating < found.winch_kg:
        place, winch = row
        yield asked.at(
            ("crew", "gear", place, "rating"),
            format_mass(winch.rating, units, "down"),
            f"is less than the line may have to pull, {format_mass(found.winch_kg, units, 'up')}",
            f"give {least(found.winch_kg)}",
        )
    pull = asked.move.pull
    if pull is None:
        yield asked.at(
            ("move", "pull"),
            "",
            "is missing: nothing says what strap and anchor hold",
            f"add the table [move.pull], strap {least(found.strap_kg)} and anchor "
            f"{least(found.anchor_kg)}",
        )
        return
    for key, rating, needed_kg in (
        ("strap", pull.strap, found.strap_kg),
        ("anchor", pull.anchor, found.anchor_kg),
    ):
        if rating < needed_kg:
            yield asked.at(
                ("move", "pull", key),
                format_mass(rating, units, "down"),
                f"is less than it may have to hold, {format_mass(needed_kg, units, 'up')}",
                f"give {least(needed_kg)}",
            )

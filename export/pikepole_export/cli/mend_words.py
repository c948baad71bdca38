"""What is said of a scene whose members were mended."""

from __future__ import annotations

from pathlib import Path

from pikepole_export.cli.words import plural, wrapped
from pikepole_export.derive.strength.check import Check
from pikepole_export.derive.strength.mending import Mended
from pikepole_export.derive.strength.words import capacity_text, demand_text, rating_text, says
from pikepole_model.errors import key_text
from pikepole_model.units import Units, format_mass


def mend_list(mended: Mended, file: Path, units: Units) -> list[str]:
    """What was changed and why, what bought steel mends, and what no one change does."""
    lines: list[str] = []
    if mended.mends:
        lines += wrapped(f"{plural(len(mended.mends), 'change')}, each the lightest that mends:")
    for one in mended.mends:
        more = format_mass(abs(one.more_kg), units)
        weighs = f"{more} {'more' if one.more_kg >= 0 else 'less'}"
        change = f"{key_text(one.change.path)} = {one.change.value}"
        why = f"for {one.check.member}, {one.check.rule.value}, {says(one.check)}"
        lines += _bullet(f"{change}, {weighs}: {why}.")
    if mended.mends:
        lines += wrapped(f"The scene with these changes is in {file}.")
    if mended.to_buy:
        lines += wrapped(
            "Mended by steel that its maker rates for so much or more, an anchor in your soil or "
            "concrete: buy it, and give what it is rated for:"
        )
    for rating, checks in mended.to_buy.items():
        why = "; ".join(f"{one.member}, {_failed(one)}" for one in checks)
        lines += _bullet(f"{rating_text(rating, units)}: for {why}.")
    if mended.unmended:
        lines += wrapped("No one change of the scene mends:")
    for check in mended.unmended:
        both = f"{demand_text(check, units)} of {capacity_text(check, units)}"
        lines += _bullet(f"{check.member}: {_failed(check)}, {both}.")
    if not mended.left and not mended.mends:
        lines += wrapped("Nothing to change: no member is over its rule.")
    return lines if mended.mends else [*lines, *wrapped(f"{file} is not written.")]


def _failed(check: Check) -> str:
    place = f", {check.place}" if check.place else ""
    return f"{check.rule.value}{place}, {says(check)}"


def _bullet(text: str) -> list[str]:
    return wrapped(text, indent="    ", first="  - ")

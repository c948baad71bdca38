"""What is said of a scene whose members were mended."""

from __future__ import annotations

from pathlib import Path

from pikepole_export.cli.words import plural, wrapped
from pikepole_export.derive.strength.mending import Mended
from pikepole_export.derive.strength.words import capacity_text, demand_text, says
from pikepole_model.errors import key_text
from pikepole_model.units import Units, format_mass


def mend_list(mended: Mended, file: Path, units: Units) -> list[str]:
    """What was changed and why, and what no one change mends."""
    lines: list[str] = []
    if mended.mends:
        lines += wrapped(f"{plural(len(mended.mends), 'change')}, each the lightest that mends:")
    for one in mended.mends:
        more = format_mass(abs(one.more_kg), units)
        weighs = f"{more} {'more' if one.more_kg >= 0 else 'less'}"
        change = f"{key_text(one.change.path)} = {one.change.value}"
        why = f"for {one.check.member}, {one.check.rule.value}, {says(one.check)}"
        lines += wrapped(f"{change}, {weighs}: {why}.", indent="    ", first="  - ")
    if mended.left:
        lines += wrapped("No one change of the scene mends:")
    for check in mended.left:
        place = f", {check.place}" if check.place else ""
        both = f"{demand_text(check, units)} of {capacity_text(check, units)}"
        text = f"{check.member}: {check.rule.value}{place}, {says(check)}, {both}."
        lines += wrapped(text, indent="    ", first="  - ")
    return [*lines, *wrapped(f"The scene with these changes is in {file}.")]

"""What the command line says of a building's strength."""

from __future__ import annotations

from collections.abc import Iterable

from pikepole_export.cli.words import plural, wrapped
from pikepole_export.derive.strength.check import Check
from pikepole_export.derive.strength.plan import DEFERS, Strength
from pikepole_export.derive.strength.words import (
    capacity_text,
    clause_text,
    demand_text,
    formula_text,
    limit_text,
    rating_text,
    says,
)
from pikepole_model.units import Units

# So many that loads ask for are listed where fewer are over their rules.
LISTED = 8


def strength_list(strength: Strength, units: Units) -> list[str]:
    """All that was found of it: what was taken for granted, the worst first, what was left out."""
    over = sum(check.is_over for check in strength.checks)
    shown = [check for check in strength.checks if check.is_worked][: max(over, LISTED)]
    rest = len(strength.checks) - len(shown)
    are = "is over its" if over == 1 else "are over their"
    return [
        "Strength, apart from the findings. Taken for granted:",
        *_bullets(one.asked for one in strength.assumed),
        f"Of {plural(len(strength.checks), 'check')}, {over} {are} rule; the worst first:",
        *(line for check in shown for line in _check(check, units)),
        *(
            wrapped(f"{plural(rest, 'more check')} within their rules: checks.csv of a build.")
            if rest
            else ()
        ),
        "Not looked at:",
        *_bullets(strength.left_out),
        *wrapped(DEFERS),
    ]


def strength_in_short(strength: Strength, where: str) -> str:
    """The same in a line, and where the rest of it is."""
    over = [check for check in strength.checks if check.is_over]
    count = plural(len(strength.checks), "check")
    if not over:
        return f"{count}, each within its rule, by what is taken for granted; see {where}"
    are, worst = "is over its" if len(over) == 1 else "are over their", over[0]
    return (
        f"{len(over)} of {count} {are} rule, the worst {worst.member}, {worst.rule.value} "
        f"({says(worst)}); see {where}"
    )


def _bullets(sentences: Iterable[str]) -> list[str]:
    return [line for text in sentences for line in wrapped(text, indent="    ", first="  - ")]


def _check(check: Check, units: Units) -> list[str]:
    of = f", the worst of {check.of}" if check.of > 1 else ""
    loads = f" under {check.combination.name}" if check.combination else ""
    place = f", {check.place}" if check.place else ""
    head = f"{check.member}{of}: {check.rule.value}{loads}{place}: {says(check)}"
    both = f"{demand_text(check, units)} of {capacity_text(check, units)}"
    limit = ", ".join(filter(None, (limit_text(check, units), check.key)))
    why = f"{formula_text(check, units)}; {limit} ({clause_text(check)})"
    buy = check.rating if check.is_over else None
    mend = f" Steel rated for it would do: {rating_text(buy, units)} or more." if buy else ""
    return [
        *wrapped(f"{head}, {both}.{mend}", indent="    ", first="  "),
        *wrapped(f"{why}.", indent="      ", first="      "),
    ]

"""Every check worked out on paper: formula, numbers, clause; `calculations.html`.

write_calculations(building, strength, folder) -> Path

One sheet for each sort of member, the hardest worked first, of the worst of its sort. It needs no
script, prints in black, and shows `strength.png` where that lies beside it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from html import escape
from pathlib import Path

from pikepole_export.derive.strength.beam import Force
from pikepole_export.derive.strength.check import Basis, Check, Measured, Worked
from pikepole_export.derive.strength.combinations import MEANS
from pikepole_export.derive.strength.nds import Adjusted
from pikepole_export.derive.strength.plan import DEFERS, Strength
from pikepole_export.derive.strength.words import (
    capacity_text,
    clause_text,
    demand_text,
    number_text,
    numbers_text,
    says,
)
from pikepole_export.files.whole import put
from pikepole_model.building.part import Building
from pikepole_model.building.quoted import cited
from pikepole_model.units import Units

NAME = "calculations.html"
PICTURE = "strength.png"

_STYLE = """
body { font: 15px/1.45 "DejaVu Sans", Verdana, sans-serif; color: #111; background: #fff;
  max-width: 52em; margin: 2em auto; padding: 0 1em; }
h1 { font-size: 1.5em; } h2 { font-size: 1.15em; margin: 2em 0 .4em; border-top: 2px solid #111;
  padding-top: .5em; break-after: avoid; } h3 { font-size: 1em; margin: 1.1em 0 .2em;
  break-after: avoid; }
table { border-collapse: collapse; } td, th { padding: .15em .9em .15em 0; text-align: left;
  vertical-align: top; } th { font-weight: bold; border-bottom: 1px solid #111; }
td.n { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
section > div { break-inside: avoid; } .over { font-weight: bold; } p { margin: .25em 0; }
.by { color: #444; } img { max-width: 100%; } a { color: inherit; }
@media print { body { margin: 0; max-width: none; font-size: 11px; } }
"""

_LEGEND = (
    "; ".join(f"{load.value}: {means}" for load, means in MEANS.items())
    + ". Forces on members are down; what draws up is below zero."
)


def write_calculations(building: Building, strength: Strength, folder: Path) -> Path:
    """Write the sheets.

    Args:
        building: Whose.
        strength: What was found of it.
        folder: That is there.
    """
    units = building.scene.units
    members = _members(strength.checks)
    title = f"{building.scene.title}: calculations"
    lines = [
        "<!DOCTYPE html>",
        f'<html lang="en"><head><meta charset="utf-8"><title>{escape(title)}</title>',
        f"<style>{_STYLE}</style></head><body>",
        f"<h1>{escape(title)}</h1>",
        f"<p>{escape(DEFERS)}</p>",
        "<h2>Taken for granted</h2>",
        *_list([one.told for one in strength.assumed]),
        "<h2>Loads of the site</h2>",
        *_loads(strength.loads, units),
        f"<p>{escape(_LEGEND)}</p>",
        "<h2>Members, the hardest worked first</h2>",
        f'<p><img src="{PICTURE}" alt="The frame, each piece in the shade of its ratio"></p>',
        *_contents(members),
        *(line for checks in members for line in _sheet(checks, units)),
        "<h2>Not looked at</h2>",
        *_list(strength.left_out),
        "</body></html>",
        "",
    ]
    path = folder / NAME
    put(path, "\n".join(lines).encode())
    return path


def _members(checks: Sequence[Check]) -> list[list[Check]]:
    """The checks of each member, the hardest worked first, and last what no load is put on."""
    found: dict[str, list[Check]] = {}
    for check in checks:
        found.setdefault(check.member, []).append(check)
    rows = [sorted(row, key=lambda one: not one.is_worked) for row in found.values()]
    return sorted(rows, key=lambda row: (not row[0].is_worked, -row[0].ratio))


def _list(sentences: Sequence[str]) -> Iterator[str]:
    yield "<ul>"
    yield from (f"<li>{escape(text)}</li>" for text in sentences)
    yield "</ul>"


def _loads(loads: Sequence[Worked], units: Units) -> Iterator[str]:
    yield "<table>"
    for one in loads:
        load = number_text(one.load, Measured.LOAD, units)
        numbers = ", ".join(numbers_text(one.numbers, units))
        formula = cited(one.formula, units)
        worked = f"{formula}; {numbers}" if numbers else formula
        yield (
            f'<tr><td>{escape(one.name)}</td><td class="n">{load}</td><td>{escape(worked)}</td>'
            f"<td>{escape(cited(one.clause, units))}</td></tr>"
        )
    yield "</table>"


def _contents(members: Sequence[list[Check]]) -> Iterator[str]:
    yield "<table><tr><th>Member</th><th>Ratio</th><th>Worst in</th><th></th></tr>"
    for checks in members:
        worst = checks[0]
        yield (
            f'<tr><td><a href="#{_anchor(worst)}">{escape(worst.member)}</a></td>'
            f'<td class="n">{_ratio(worst)}</td><td>{escape(worst.rule.value)}</td>'
            f"<td{_over(worst)}>{escape(says(worst))}</td></tr>"
        )
    yield "</table>"


def _sheet(checks: list[Check], units: Units) -> Iterator[str]:
    first = checks[0]
    yield f'<section><h2 id="{_anchor(first)}">{escape(first.member)}</h2>'
    most = max(check.of for check in checks)
    if most > 1:
        yield f"<p>It stands for {most} of its sort, as the worst of them.</p>"
    basis = next((check.basis for check in checks if check.basis), None)
    if basis is not None:
        yield "<div>"
        yield from _reckoned_with(basis, units)
        yield "</div>"
    for check in checks:
        yield "<div>"
        yield from _worked(check, units)
        yield "</div>"
    yield "</section>"


def _reckoned_with(basis: Basis, units: Units) -> Iterator[str]:
    """How it lies and what is on it, each load in a column."""

    def length(value: float) -> str:
        return number_text(value, Measured.LENGTH, units)

    yield "<h3>Reckoned with</h3>"
    if not basis.supports:
        total = ", ".join(
            f"{load.value} {number_text(_sum(forces), Measured.FORCE, units)}"
            for load, forces in basis.loads.items()
        )
        yield f"<p>{length(basis.length_mm)} high; on it, with itself: {total}</p>"
        return
    lies = "; ".join(f"{length(at)} on {escape(name)}" for at, name in basis.supports)
    yield f"<p>{length(basis.length_mm)} long, at {lies}</p>"
    says: list[str] = []
    if basis.strip_mm:
        says.append(f"it carries a strip {length(basis.strip_mm)} wide")
    if basis.slope_deg > 0.01:
        says.append(f"it slopes {basis.slope_deg:.2f} degrees; loads are square to it")
    if basis.hinges_mm:
        says.append(f"no moment at {', '.join(length(at) for at in basis.hinges_mm)}")
    if says:
        yield f"<p>{'; '.join(says).capitalize()}</p>"
    kinds = [load for load, forces in basis.loads.items() if _sum(forces) or len(forces) > 1]
    places = sorted({(one.from_mm, one.to_mm) for load in kinds for one in basis.loads[load]})
    heads = "".join(f"<th>{load.value}</th>" for load in kinds)
    yield f"<table><tr><th>From</th><th>To</th>{heads}</tr>"
    for low, high in places:
        cells = "".join(
            f'<td class="n">{_on_it(basis.loads[load], (low, high), units)}</td>' for load in kinds
        )
        end = length(high) if high > low else ""
        yield f'<tr><td class="n">{length(low)}</td><td class="n">{end}</td>{cells}</tr>'
    yield "</table>"


def _on_it(forces: Sequence[Force], place: tuple[float, float], units: Units) -> str:
    there = [one for one in forces if (one.from_mm, one.to_mm) == place]
    return number_text(_sum(there), Measured.FORCE, units) if there else ""


def _sum(forces: Sequence[Force]) -> float:
    return math.fsum(one.force_n for one in forces)


def _worked(check: Check, units: Units) -> Iterator[str]:
    loads = f" under {check.combination.name}" if check.combination else ""
    place = f", {check.place}" if check.place else ""
    yield f"<h3>{escape(check.rule.value.capitalize() + loads + place)}</h3>"
    if check.at_mm is not None:
        yield f"<p>{number_text(check.at_mm, Measured.LENGTH, units)} from its first end</p>"
    yield f"<p>Asked for: {escape(cited(check.formula, units))} = {demand_text(check, units)}</p>"
    if check.numbers:
        yield "<table>"
        for one in check.numbers:
            value = number_text(one.value, one.measured, units)
            symbol = escape(cited(one.symbol, units))
            yield f'<tr><td>{symbol}</td><td class="n">{value}</td></tr>'
        yield "</table>"
    limit = f"{escape(cited(check.limit, units))} = " if check.limit else ""
    if check.value is None:
        yield f"<p>Allowed: {limit}{capacity_text(check, units)}</p>"
    else:
        symbol = escape(check.value.symbol)
        said = f"{limit}{capacity_text(check, units)}" if limit else ""
        value = number_text(check.value.value_n_mm2, Measured.STRESS, units)
        yield f"<p>Allowed: {said + ', with ' if said else ''}{symbol} = {value}</p>"
        yield from _factors(check.value, units)
    both = f"{demand_text(check, units)} / {capacity_text(check, units)}"
    yield f"<p{_over(check)}>{both} = {_ratio(check)}: {says(check)}</p>"
    yield f'<p class="by">By {escape(clause_text(check))}</p>'


def _factors(value: Adjusted, units: Units) -> Iterator[str]:
    """The reference value and every factor on it; those of 1 in one line."""
    reference = number_text(value.reference_n_mm2, Measured.STRESS, units)
    yield "<table>"
    source = escape(value.source)
    yield f'<tr><td>reference</td><td class="n">{reference}</td><td>{source}</td></tr>'
    for one in value.factors:
        if one.value != 1:
            yield (
                f'<tr><td>x {escape(one.symbol)}</td><td class="n">{one.value:.3f}</td>'
                f"<td>{escape(cited(one.clause, units))}</td></tr>"
            )
    yield "</table>"
    ones = ", ".join(one.symbol for one in value.factors if one.value == 1)
    if ones:
        yield f"<p>1 are {escape(ones)}</p>"


def _anchor(check: Check) -> str:
    return escape(check.member.replace(" ", "-"), quote=True)


def _over(check: Check) -> str:
    return ' class="over"' if check.is_over else ""


def _ratio(check: Check) -> str:
    return "no end" if math.isinf(check.ratio) else f"{check.ratio:.2f}"

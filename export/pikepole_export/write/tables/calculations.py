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
from pikepole_export.derive.strength.combinations import MEANS, Load
from pikepole_export.derive.strength.nds import Adjusted, Lumber
from pikepole_export.derive.strength.plan import DEFERS, Strength
from pikepole_export.derive.strength.words import (
    capacity_text,
    clause_text,
    demand_text,
    in_unit,
    number_text,
    numbers_text,
    says,
    unit_of,
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
ul.given { columns: 3; column-gap: 2em; list-style: none; margin: .25em 0; padding: 0; }
ul.given li { break-inside: avoid; display: flex; justify-content: space-between; gap: 1em; }
ul.given b { font-weight: normal; white-space: nowrap; }
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
    # The heading stays on the page of what is under it.
    yield f'<section><div><h2 id="{_anchor(first)}">{escape(first.member)}</h2>'
    most = max(check.of for check in checks)
    if most > 1:
        yield f"<p>The worst of {most} like it.</p>"
    basis = next((check.basis for check in checks if check.basis), None)
    if basis is not None:
        yield from _what_is_on_it(basis, units)
        yield "</div><div>"
    yield from _worked(first, units)
    for check in checks[1:]:
        yield "</div><div>"
        yield from _worked(check, units)
    yield "</div></section>"


def _what_is_on_it(basis: Basis, units: Units) -> Iterator[str]:
    """What it is made of, how it lies or stands, and what is on it, each load in a column."""

    def length(value: float) -> str:
        return number_text(value, Measured.LENGTH, units)

    if basis.lumber:
        yield f"<p>{escape(_made_of(basis.lumber, units))}</p>"
    if basis.supports:
        lies = "; ".join(f"{length(at)} on {escape(name)}" for at, name in basis.supports)
        yield f"<p>{length(basis.length_mm)} long, at {lies}</p>"
    elif basis.length_mm:
        yield f"<p>{length(basis.length_mm)} high; on its top:</p>"
    says: list[str] = []
    if basis.strip_mm:
        says.append(f"it carries a strip {length(basis.strip_mm)} wide")
    if basis.slope_deg > 0.01:
        says.append(f"it slopes {basis.slope_deg:.2f} degrees; loads are square to it")
    if basis.hinges_mm:
        says.append(f"no moment at {', '.join(length(at) for at in basis.hinges_mm)}")
    if says:
        yield f"<p>{'; '.join(says).capitalize()}</p>"
    kinds = [load for load in Load if any(one.force_n for one in basis.loads.get(load, ()))]
    rows = sorted({_place(one) for load in kinds for one in basis.loads[load]})
    heads = "".join(f"<th>{load.value}</th>" for load in kinds)
    places = "<th>From</th><th>To</th>" if basis.supports else ""
    yield f"<table><tr>{places}<th>By</th>{heads}</tr>"
    for place in rows:
        low, high, by = place
        cells = "".join(
            f'<td class="n">{_on_it(basis.loads[load], place, units)}</td>' for load in kinds
        )
        where = ""
        if basis.supports:
            end = length(high) if high > low else ""
            where = f'<td class="n">{length(low)}</td><td class="n">{end}</td>'
        yield f"<tr>{where}<td>{escape(by)}</td>{cells}</tr>"
    if not basis.supports and len(rows) > 1:
        sums = "".join(
            f'<td class="n">{number_text(_sum(basis.loads[load]), Measured.FORCE, units)}</td>'
            for load in kinds
        )
        yield f"<tr><td>together</td>{sums}</tr>"
    yield "</table>"


def _made_of(lumber: Lumber, units: Units) -> str:
    """Its section as it is bent, and its wood: "2 plies of 1.5 x 11.25 in, ..."."""
    section, wood = lumber.section, lumber.wood
    sides = " x ".join(
        f"{in_unit(side, Measured.LENGTH, units):.4g}"
        for side in (section.breadth_mm, section.depth_mm)
    )
    plies = f"{section.plies} plies of " if section.plies > 1 else ""
    words = [f"{plies}{sides} {unit_of(Measured.LENGTH, units)}", f"{wood.species} {wood.grade}"]
    words += ["wet in use"] if lumber.wet else []
    words += ["incised"] if lumber.incised else []
    return ", ".join(words)


def _place(one: Force) -> tuple[float, float, str]:
    return one.from_mm, one.to_mm, one.by


def _on_it(forces: Sequence[Force], place: tuple[float, float, str], units: Units) -> str:
    there = [one for one in forces if _place(one) == place]
    return number_text(_sum(there), Measured.FORCE, units) if there else ""


def _sum(forces: Sequence[Force]) -> float:
    return math.fsum(one.force_n for one in forces)


def _worked(check: Check, units: Units) -> Iterator[str]:
    loads = f" under {check.combination.name}" if check.combination else ""
    place = f", {check.place}" if check.place else ""
    if check.at_mm is not None:
        place += f", {number_text(check.at_mm, Measured.LENGTH, units)} from its first end"
    yield f"<h3>{escape(check.rule.value.capitalize() + loads + place)}</h3>"
    yield f"<p>Asked for: {escape(cited(check.formula, units))} = {demand_text(check, units)}</p>"
    if check.numbers:
        yield '<ul class="given">'
        for one in check.numbers:
            value = number_text(one.value, one.measured, units)
            yield f"<li>{escape(cited(one.symbol, units))} <b>{value}</b></li>"
        yield "</ul>"
    limit = f"{escape(cited(check.limit, units))} = " if check.limit else ""
    if check.value is None:
        yield f"<p>Allowed: {limit}{capacity_text(check, units)}</p>"
    else:
        said = f"{limit}{capacity_text(check, units)}, with " if limit else ""
        yield f"<p>Allowed: {said}{_product(check.value, units)}</p>"
        yield f'<p class="by">{escape(_origins(check.value, units))}</p>'
    share = f"{demand_text(check, units)} / {capacity_text(check, units)} = {_ratio(check)}"
    result = says(check).capitalize() if math.isinf(check.ratio) else f"{share}: {says(check)}"
    yield f"<p{_over(check)}>{result}</p>"
    yield f'<p class="by">By {escape(clause_text(check))}</p>'


def _product(value: Adjusted, units: Units) -> str:
    """The reference value times every factor that is not 1: "Fb' = 875 psi x CD 1.15 = ..."."""
    reference = number_text(value.reference_n_mm2, Measured.STRESS, units)
    factors = "".join(f" x {one.symbol} {one.value:.3f}" for one in value.factors if one.value != 1)
    result = f" = {number_text(value.value_n_mm2, Measured.STRESS, units)}" if factors else ""
    return escape(f"{value.symbol} = {reference}{factors}{result}")


def _origins(value: Adjusted, units: Units) -> str:
    """Where the reference value and each factor come from; those of 1 by name alone."""
    said = [f"{one.symbol}: {cited(one.clause, units)}" for one in value.factors if one.value != 1]
    ones = ", ".join(one.symbol for one in value.factors if one.value == 1)
    said += [f"{ones}: 1"] if ones else []
    return "; ".join([*said, f"reference value: {value.source}"])


def _anchor(check: Check) -> str:
    return escape(check.member.replace(" ", "-"), quote=True)


def _over(check: Check) -> str:
    return ' class="over"' if check.is_over else ""


def _ratio(check: Check) -> str:
    return "" if math.isinf(check.ratio) else f"{check.ratio:.2f}"

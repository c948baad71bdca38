"""The checks of a building's strength as a table.

checks_table(strength, units)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from pikepole_export.derive.strength.check import Check, Measured
from pikepole_export.derive.strength.plan import DEFERS, Strength
from pikepole_export.derive.strength.words import (
    clause_text,
    formula_text,
    in_unit,
    limit_text,
    says,
    unit_of,
)
from pikepole_export.write.tables.columns import Cell, rounded
from pikepole_export.write.tables.csv_json import Table
from pikepole_model.units import Units

_HEADS = (
    *("what", "worst of", "rule", "loads", "demand", "capacity", "unit", "ratio", "says"),
    *("where", "demand from", "capacity from", "by"),
)


def checks_table(strength: Strength, units: Units) -> Table:
    """The worst check of each rule for each sort of member, the worst first.

    In CSV what was taken for granted stands above, and what was not looked at below, with that
    word for its rule; the number of pieces is left blank there.

    Args:
        strength: What is listed.
        units: Of the CSV.
    """
    people: list[Sequence[Cell]] = [
        _HEADS,
        *(_sentence("taken for granted", one.told) for one in strength.assumed),
        *(_line(check, units) for check in strength.checks),
        *(_sentence("not looked at", text) for text in strength.left_out),
        _sentence("to do", DEFERS),
    ]
    programs = {
        "taken_for_granted": [one.told for one in strength.assumed],
        "checks": [_record(check) for check in strength.checks],
        "not_looked_at": list(strength.left_out),
        "to_do": DEFERS,
    }
    return Table("checks", {"checks": people}, programs)


def _sentence(rule: str, text: str) -> Sequence[Cell]:
    cells: list[Cell] = [""] * len(_HEADS)
    cells[0], cells[2] = text, rule
    return cells


def _line(check: Check, units: Units) -> Sequence[Cell]:
    return [
        check.member,
        check.of,
        check.rule.value,
        check.combination.name if check.combination else "",
        _cell(in_unit(check.demand, check.measured, units)),
        _cell(in_unit(check.capacity, check.measured, units)),
        unit_of(check.measured, units),
        _cell(check.ratio),
        says(check),
        check.place,
        formula_text(check, units),
        limit_text(check, units),
        clause_text(check),
    ]


def _cell(value: float) -> Cell:
    return "" if math.isinf(value) else rounded(value, 4)


def _record(check: Check) -> dict[str, Any]:
    value = check.value
    return {
        "member": check.member,
        "worst_of": check.of,
        "rule": check.rule.value,
        "loads": check.combination.name if check.combination else None,
        "demand": _finite(check.demand),
        "capacity": _finite(check.capacity),
        "unit": unit_of(check.measured, "metric"),
        "ratio": _finite(check.ratio),
        "over": check.is_over,
        "at_mm": None if check.at_mm is None else rounded(check.at_mm),
        "where": check.place,
        "formula": check.formula,
        "numbers": [
            {
                "symbol": one.symbol,
                "value": _finite(in_unit(one.value, one.measured, "metric")),
                "unit": unit_of(one.measured, "metric"),
            }
            for one in check.numbers
        ],
        "limit": check.limit,
        "design_value": value
        and {
            "symbol": value.symbol,
            "reference": _finite(value.reference_n_mm2),
            "unit": unit_of(Measured.STRESS, "metric"),
            "factors": [
                {"symbol": one.symbol, "value": rounded(one.value), "clause": one.clause}
                for one in value.factors
            ],
            "source": value.source,
        },
        "by": clause_text(check),
    }


def _finite(value: float) -> float | None:
    return None if math.isinf(value) else rounded(value)

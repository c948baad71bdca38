"""A check in words and numbers that people read, in a scene's units.

says(check) -> str                  "within this rule", "over this rule by 18 %"
demand_text, capacity_text          both sides of it
formula_text, limit_text            where they come from: formula, numbers, factors
rating_text(rating, units)          'ties.base_rating = "450 lb"', at the least
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import assert_never

from pikepole_export.derive.strength.check import Check, Measured, Number, Rating, Rule
from pikepole_model.building.quoted import cited
from pikepole_model.units import (
    FOOT_MM,
    INCH_MM,
    POUND_FORCE_N,
    PSI_N_MM2,
    STANDARD_GRAVITY_M_S2,
    Units,
)

# What a number is printed in: its unit, and how many of the program's make one.
_IMPERIAL: dict[Measured, tuple[str, float]] = {
    Measured.STRESS: ("psi", PSI_N_MM2),
    Measured.LENGTH: ("in", INCH_MM),
    Measured.AREA: ("in2", INCH_MM**2),
    Measured.FACE: ("ft2", FOOT_MM**2),
    Measured.MODULUS: ("in3", INCH_MM**3),
    Measured.INERTIA: ("in4", INCH_MM**4),
    Measured.FORCE: ("lb", POUND_FORCE_N),
    Measured.MOMENT: ("in lb", POUND_FORCE_N * INCH_MM),
    Measured.LOAD: ("psf", POUND_FORCE_N / FOOT_MM**2 * 1000),
    Measured.LINE: ("plf", POUND_FORCE_N / FOOT_MM),
    Measured.NUMBER: ("", 1.0),
    Measured.COUNT: ("", 1.0),
}
_METRIC: dict[Measured, tuple[str, float]] = {
    Measured.STRESS: ("N/mm2", 1.0),
    Measured.LENGTH: ("mm", 1.0),
    Measured.AREA: ("mm2", 1.0),
    Measured.FACE: ("m2", 1e6),
    Measured.MODULUS: ("cm3", 1e3),
    Measured.INERTIA: ("cm4", 1e4),
    Measured.FORCE: ("N", 1.0),
    Measured.MOMENT: ("N m", 1e3),
    Measured.LOAD: ("kN/m2", 1.0),
    Measured.LINE: ("kN/m", 1.0),
    Measured.NUMBER: ("", 1.0),
    Measured.COUNT: ("", 1.0),
}


def unit_of(measured: Measured, units: Units) -> str:
    """What it is printed in; empty for a bare number."""
    return _table(units)[measured][0]


def in_unit(value: float, measured: Measured, units: Units) -> float:
    """A number of the program's in that unit, not rounded."""
    return value / _table(units)[measured][1]


def number_text(value: float, measured: Measured, units: Units) -> str:
    """A number with its unit, to three figures; four from a thousand up: "1,237 psi"."""
    if math.isinf(value):
        return "no end"
    amount = in_unit(value, measured, units)
    if measured is Measured.COUNT:
        return f"{amount:g}"
    size = abs(amount)
    decimals = 0 if size >= 1000 or not size else max(0, 2 - math.floor(math.log10(size)))
    text = f"{amount:,.{min(decimals, 4)}f}"
    unit = unit_of(measured, units)
    return f"{text} {unit}" if unit else text


def says(check: Check) -> str:
    """Whether it is within its rule, or by how much over it, rounded up."""
    if not check.is_over:
        return "within this rule"
    if math.isinf(check.ratio):
        buckles = check.rule is Rule.COMBINED
        return "over this rule: it buckles" if buckles else "over this rule: nothing counts for it"
    return f"over this rule by {math.ceil((check.ratio - 1) * 100 - 1e-6)} %"


def demand_text(check: Check, units: Units) -> str:
    """What is asked of it."""
    return number_text(check.demand, check.measured, units)


def capacity_text(check: Check, units: Units) -> str:
    """What that is held against."""
    return number_text(check.capacity, check.measured, units)


def formula_text(check: Check, units: Units) -> str:
    """The formula with its numbers: "fb = M / S, M 3,466 in lb, S 13.1 in3"."""
    return ", ".join([cited(check.formula, units), *numbers_text(check.numbers, units)])


def numbers_text(numbers: Iterable[Number], units: Units) -> Iterator[str]:
    """Each with its symbol: "M 3,466 in lb"."""
    for one in numbers:
        yield f"{cited(one.symbol, units)} {number_text(one.value, one.measured, units)}"


def limit_text(check: Check, units: Units) -> str:
    """Where the capacity comes from: "Fb' = 875 psi x CD 1.15 x CF 1.2", "L / 180"."""
    value = check.value
    if value is None:
        return cited(check.limit, units)
    factors = "".join(f" x {one.symbol} {one.value:.3g}" for one in value.factors if one.value != 1)
    reference = number_text(value.reference_n_mm2, Measured.STRESS, units)
    design = f"{value.symbol} = {reference}{factors}"
    limit = cited(check.limit, units)
    return f"{limit}, {design}" if limit else design


def rating_text(rating: Rating, units: Units) -> str:
    """The key that gives it with the least that does, in steps that makers' lists have."""
    match units:
        case "imperial":
            step, name, each_n = 50, "lb", POUND_FORCE_N
        case "metric":
            step, name, each_n = 25, "kg", STANDARD_GRAVITY_M_S2
        case _:
            assert_never(units)
    least = step * math.ceil(rating.least_n / each_n / step - 1e-9)
    return f'{rating.key} = "{least} {name}"'


def clause_text(check: Check) -> str:
    """The rule, and that of the loads."""
    if check.combination is None or not check.combination.clause:
        return check.clause
    return f"{check.clause}; {check.combination.clause}"


def _table(units: Units) -> dict[Measured, tuple[str, float]]:
    match units:
        case "imperial":
            return _IMPERIAL
        case "metric":
            return _METRIC
        case _:
            assert_never(units)

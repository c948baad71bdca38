"""One comparison of what is asked of a member with what it is reckoned to bear."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from pikepole_export.derive.strength.nds import Adjusted, Factor


class Rule(Enum):
    """What is looked at, as it is called in lists."""

    BENDING = "bending"
    SHEAR = "shear"
    BEARING = "bearing across the grain"
    LIVE_SAG = "deflection, live or snow"
    TOTAL_SAG = "deflection, all"
    COMPRESSION = "compression along the grain"
    COMBINED = "compression and bending"
    SLENDERNESS = "slenderness"
    UPLIFT = "uplift"
    NOTCH = "notch"
    BEARING_LENGTH = "length of bearing"
    SOIL = "bearing of the soil"
    SIZE = "least size"


class Measured(Enum):
    """In what demand and capacity are given."""

    STRESS = "stress"  # N/mm2
    LENGTH = "length"  # mm
    FORCE = "force"  # N
    LOAD = "load"  # kN/m2
    NUMBER = "number"  # of no unit


@dataclass(frozen=True, slots=True)
class Check:
    """What is asked of a member, and what it is reckoned to bear.

    Attributes:
        member: Name of the part, the worst of its like.
        like: How many parts it stands for, itself included.
        rule: What is looked at.
        combination: The loads that ask most of it: "D + S"; empty where none is asked.
        demand: In the unit of `measured`.
        capacity: What it is held against, in the same.
        measured: Their unit.
        at_mm: Where along the member, from its first end; None where that says nothing.
        formula: How the demand comes about, with its numbers.
        limit: How the capacity comes about, with its numbers.
        clause: Where the rule stands.
        reference: The reference value before its factors; None where the limit has none.
        factors: Each factor on it.
    """

    member: str
    like: int
    rule: Rule
    combination: str
    demand: float
    capacity: float
    measured: Measured
    at_mm: float | None
    formula: str
    limit: str
    clause: str
    reference: float | None = None
    factors: tuple[Factor, ...] = ()

    @property
    def ratio(self) -> float:
        """Demand over capacity; above 1 it is over the rule. Infinite for no capacity at all."""
        if self.capacity > 0:
            return self.demand / self.capacity
        return math.inf if self.demand > 0 else 0.0

    @property
    def over_percent(self) -> int:
        """By how much it is over the rule, percent, up; 0 within it."""
        return max(0, math.ceil((self.ratio - 1) * 100 - 1e-6))


def limit_of(value: Adjusted) -> str:
    """A capacity as the product of its factors: "Fb' = 875 psi x CD 1.15 x CF 1.2"."""
    from pikepole_model.units import PSI_N_MM2

    factors = [f" x {one.symbol} {one.value:.4g}" for one in value.factors if one.value != 1]
    reference = value.reference_n_mm2 / PSI_N_MM2
    return f"{value.symbol} = {reference:,.0f} psi{''.join(factors)}"

"""How far the plans of boards and sheets may be above the best there are.

proof_of(boards, sheets) -> Proof
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, isfinite

from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.sheets import StockPlan


@dataclass(frozen=True, slots=True)
class Proof:
    """All plans together.

    Attributes:
        plans: How many there are.
        proven: How many of them no other plan can better.
        gap: How far any of the others may be above the best, as a share of it, from 0; infinite
            where nobody can say.
    """

    plans: int
    proven: int
    gap: float

    @property
    def text(self) -> str:
        """What is not proven, and by how much; empty where all is."""
        if self.proven == self.plans:
            return ""
        least = f"{self.proven} of {self.plans} proven to be the least"
        return f"{least}; the others {at_most(self.gap)} above it at most"


def proof_of(boards: Sequence[SectionPlan], sheets: Sequence[StockPlan]) -> Proof:
    """How good the plans are that a list is bought by."""
    gaps = [plan.plan.gap for plan in (*boards, *sheets)]
    return Proof(len(gaps), sum(gap <= 0 for gap in gaps), max(gaps, default=0.0))


def at_most(gap: float) -> str:
    """How far a plan can be above the best one, rounded up, so that it stays a bound."""
    return f"{ceil(1000 * gap) / 10:g} %" if isfinite(gap) else "any amount"

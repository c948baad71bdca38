"""How good a cut plan is, in the words of a table."""

from __future__ import annotations

from dataclasses import dataclass
from math import isinf
from typing import Any

from pikepole_export.derive.cutting.lengths import LengthPlan
from pikepole_export.derive.cutting.nesting import SheetPlan
from pikepole_export.write.tables.columns import Column, rounded
from pikepole_model.scene.buying import CENTS

HOW_GOOD = (
    Column("cost"),
    Column("bound cost"),
    Column("gap percent"),
    Column("proven"),
)


@dataclass(frozen=True, slots=True)
class HowGood:
    """What is said of every plan."""

    cost: float | None
    bound_cost: float | None
    gap_percent: float | None
    proven: str


def how_good(plan: LengthPlan | SheetPlan) -> tuple[float | None, float | None, float | None, str]:
    """Cost and its bound where there are prices, the gap unless it is endless, if it is proven."""
    return (
        None if plan.cost is None else rounded(plan.cost, CENTS),
        None if plan.cost is None else rounded(plan.bound, CENTS),
        None if isinf(plan.gap) else rounded(100 * plan.gap, 2),
        "no" if plan.gap else "yes",
    )


def for_programs(record: dict[str, Any]) -> dict[str, Any]:
    """A record in which it is true or false whether a plan is proven.

    Args:
        record: As people are told it.
    """
    return {**record, "proven": record["proven"] == "yes"}

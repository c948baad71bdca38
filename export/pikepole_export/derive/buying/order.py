"""What to order, from whom, when, and what it costs.

    buy_list(building, boards, sheets) -> BuyList
    proof_of(boards, sheets) -> Proof     how far their plans may be above the best there are

A thing is one row, however many stages use it, and is delivered with the first of them: a board
gives pieces to several stages, and a box or a roll once opened is used up. Concrete alone has a row
for each pour, since it does not keep.

Where a stage uses a part of what is ordered, it bears that part of the cost, waste included: boards
and sheets by the volume of their pieces, fasteners by their number.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pikepole_export.derive.buying.amounts import Amount
from pikepole_export.derive.buying.own import from_own, own_findings
from pikepole_export.derive.buying.pieces_bought import pieces_bought
from pikepole_export.derive.buying.prices import before_it, good_of, goods, price_of, unfit
from pikepole_export.derive.buying.purchase import Purchase, Supplier
from pikepole_export.derive.buying.put_up import AS_DRAWN, PutUp
from pikepole_export.derive.buying.spare import spare_findings, with_spare
from pikepole_export.derive.buying.supplies import not_ordered, supplies
from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_model.building.kind_rows import Bought
from pikepole_model.building.part import Building
from pikepole_model.building.remaining import remaining
from pikepole_model.checks.done import done_findings
from pikepole_model.errors import Finding, LayoutError


@dataclass(frozen=True, slots=True)
class Proof:
    """All plans together.

    Attributes:
        plans: How many there are.
        proven: How many of them no other plan can better.
        gap: How far any of the others may be above the best, as a share of it, from 0.
    """

    plans: int
    proven: int
    gap: float

    @property
    def text(self) -> str:
        """How good the plans are where they are not all the best; empty where they are."""
        if self.proven == self.plans:
            return ""
        return f"{self.proven} of {self.plans} cannot be bettered, the rest by {at_most(self.gap)}"


@dataclass(frozen=True, slots=True)
class StageCost:
    """What a stage uses, in money.

    Attributes:
        number: Of the stage.
        name: Of the stage.
        cost: Its share of what is priced; None where the scene has no price.
    """

    number: int
    name: str
    cost: float | None


@dataclass(frozen=True, slots=True)
class BuyList:
    """All that is ordered for a building.

    Attributes:
        purchases: By supplier, then by the stage that needs it first; what is at hand last.
        not_ordered: Work, and what the reader has to decide.
        stages: What each stage costs.
        findings: Prices, spare boards, stock at hand and stages done that fit nothing.
        currency: What prices are in, as the scene has it.
        proof: How good the plans are by which boards and sheets are bought.
    """

    purchases: tuple[Purchase, ...]
    not_ordered: tuple[Amount, ...]
    stages: tuple[StageCost, ...]
    findings: tuple[Finding, ...]
    currency: str
    proof: Proof

    @property
    def total(self) -> float | None:
        """All rows that have a price together; None where none has."""
        return _sum(purchase.total for purchase in self.purchases)

    @property
    def unpriced(self) -> int:
        """How many rows that are bought have no price."""
        return sum(purchase.price is None for purchase in self.bought)

    @property
    def bought(self) -> tuple[Purchase, ...]:
        """The rows that somebody sells."""
        return tuple(one for one in self.purchases if one.supplier is not Supplier.OWN)

    @property
    def waste_cost(self) -> float | None:
        """What is paid for and not in the building; None where nothing has a price."""
        return _sum(
            None if purchase.total is None else purchase.total * purchase.waste_share
            for purchase in self.purchases
        )

    @property
    def waste_share(self) -> float | None:
        """What share of the total that is; None where nothing costs anything."""
        if self.waste_cost is None or not self.total:
            return None
        return self.waste_cost / self.total

    def total_of(self, supplier: Supplier) -> float | None:
        """What one supplier is paid; None where nothing of it has a price."""
        return _sum(p.total for p in self.purchases if p.supplier == supplier)


def buy_list(
    building: Building,
    boards: Sequence[SectionPlan],
    sheets: Sequence[StockPlan],
    temporary: Iterable[Purchase] = (),
    put_up: PutUp = AS_DRAWN,
) -> BuyList:
    """The buy list of a building, with the prices of its scene.

    Args:
        building: The building.
        boards: How its lumber is cut.
        sheets: How its sheets are cut.
        temporary: What is bought for the work and stays in no part of it: braces.
        put_up: How its walls are put up, which decides how they are nailed.

    Raises:
        LayoutError: a part is in no purchase, or in two.
    """
    scene = building.scene
    needed = (*pieces_bought(building, boards, sheets), *supplies(building, put_up), *temporary)
    found = from_own(scene, with_spare(scene, needed))
    left = remaining(building)
    _check_each_part_once(left, found)
    order = {supplier: number for number, supplier in enumerate(Supplier)}
    priced = [
        one if one.supplier is Supplier.OWN else replace(one, price=price_of(one, scene.price))
        for one in found
    ]
    purchases = tuple(sorted(priced, key=lambda one: (order[one.supplier], one.stages[0])))
    built = [] if left is building else goods(before_it(building))
    return BuyList(
        purchases,
        not_ordered(building),
        _stage_costs(left, purchases),
        (
            *unfit(scene.price, [*map(good_of, purchases), *built]),
            *spare_findings(scene, purchases),
            *own_findings(scene, purchases),
            *done_findings(building),
        ),
        scene.currency,
        proof_of(boards, sheets),
    )


def with_stage_costs(buying: BuyList, building: Building) -> BuyList:
    """The list after its prices changed."""
    return replace(buying, stages=_stage_costs(remaining(building), buying.purchases))


def proof_of(boards: Sequence[SectionPlan], sheets: Sequence[StockPlan]) -> Proof:
    """How good the plans are that a list is bought by, of what comes from no yard of one's own."""
    gaps = [plan.plan.gap for plan in (*boards, *sheets) if not plan.at_hand]
    return Proof(len(gaps), sum(gap <= 0 for gap in gaps), max(gaps, default=0.0))


def at_most(gap: float) -> str:
    """How far a plan can be above the best one, rounded up, so that it stays a bound."""
    return f"at most {math.ceil(1000 * gap) / 10:g} %"


def _check_each_part_once(building: Building, purchases: Iterable[Purchase]) -> None:
    times = Counter(name for purchase in purchases for name in purchase.parts)
    for part in building.handled:
        right = 0 if part.kind.row.bought in (Bought.NOT, Bought.CUT_OUT) else 1
        if times[part.name] != right:
            raise LayoutError(f"{part.name} is bought {times[part.name]} times, not {right}")


def _stage_costs(building: Building, purchases: Sequence[Purchase]) -> tuple[StageCost, ...]:
    def share(one: Purchase, number: int) -> float | None:
        if one.total is None:
            return None
        return one.total * one.use.get(number, 0.0) / math.fsum(one.use.values())

    return tuple(
        StageCost(stage.number, stage.name, _sum(share(one, stage.number) for one in purchases))
        for stage in building.stages
    )


def _sum(costs: Iterable[float | None]) -> float | None:
    """Costs together, to the hundredth, those that are not known left out; None without any."""
    known = [cost for cost in costs if cost is not None]
    return round(math.fsum(known), 2) if known else None

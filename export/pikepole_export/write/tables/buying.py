"""The buy list as a table.

    buy_table(buying, building)                     buy
    quote_table(buying, supplier, scene, name)      one supplier's page, its price column empty

In CSV a row for each thing to order; where the scene has no price, the column is left for a
supplier to fill in. At its end stands what is not ordered: work to do, what the reader has to
decide, and how good the cut plans are where that is not proven. JSON has beside it the totals, what
each stage costs, and prices that fit nothing in the list.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pikepole_export.derive.buying.amounts import COUNTED_IN
from pikepole_export.derive.buying.order import BuyList
from pikepole_export.derive.buying.purchase import Purchase, Supplier, counted, size_text
from pikepole_export.derive.buying.quote import quote_rows
from pikepole_export.derive.buying.wording import asked_for, in_words
from pikepole_export.write.tables.columns import Cell, Column, lines, record, rounded
from pikepole_export.write.tables.csv_json import Table
from pikepole_model.building.part import Building
from pikepole_model.scene.buying import PER
from pikepole_model.scene.schema import Scene
from pikepole_model.units import Units

_COLUMNS = (
    Column("supplier"),
    Column("delivery stage"),
    Column("delivery"),
    Column("all stages", to="people"),
    Column("item"),
    Column("made of"),
    Column("size", to="people"),
    Column("asked for"),
    Column("quantity", to="people"),
    Column("unit"),
    Column("in the building", to="people"),
    Column("waste percent"),
    Column("unit price"),
    Column("total"),
    Column("where"),
    Column("how"),
)
_HEADS = {
    "delivery stage": "needed at stage",
    "delivery": "stage",
    "unit price": "price per unit",
    "waste percent": "share not in the building, %",
    "where": "for",
    "asked for": "order",
}


@dataclass(frozen=True, slots=True)
class _Row:
    """A purchase, or what is not ordered, as a line for people."""

    supplier: str
    delivery_stage: int | None
    delivery: str
    all_stages: str
    item: str
    made_of: str
    size: str
    asked_for: str
    quantity: Cell | None
    unit: str
    in_the_building: Cell | None
    waste_percent: float | None
    unit_price: float | None
    total: float | None
    where: str
    how: str


def buy_table(buying: BuyList, building: Building) -> Table:
    """Everything to order, from whom, when and for how much.

    Args:
        buying: The list.
        building: What it is for; its scene says the units of the CSV.
    """
    stages = {stage.number: stage.name for stage in building.stages}
    rows = [_row(purchase, stages, building.scene) for purchase in buying.purchases]
    beside = [*_not_ordered(buying, building.scene.units)]
    head, *body = lines(_COLUMNS, [*rows, *beside], building.scene.units)
    people = [[_head(name, buying.currency) for name in head], *body]
    programs = {
        "currency": buying.currency,
        "total": buying.total,
        "waste_cost": buying.waste_cost,
        "waste_percent": None if buying.waste_share is None else rounded(100 * buying.waste_share),
        "rows_without_price": buying.unpriced,
        "suppliers": [
            {"supplier": supplier.value, "total": buying.total_of(supplier)}
            for supplier in Supplier
            if any(purchase.supplier == supplier for purchase in buying.purchases)
        ],
        "stages": [
            {"number": stage.number, "name": stage.name, "cost": stage.cost}
            for stage in buying.stages
        ],
        "purchases": [
            {**record(_COLUMNS, row), **_for_programs(purchase)}
            for row, purchase in zip(rows, buying.purchases, strict=True)
        ],
        "not_ordered": [
            {
                "item": amount.item,
                "where": amount.where,
                "net": None if amount.net is None else rounded(amount.net),
                "counted_in": amount.unit,
                "how": amount.how,
            }
            for amount in buying.not_ordered
        ],
        "cut_plans": {
            "plans": buying.proof.plans,
            "proven": buying.proof.proven,
            "gap_percent": rounded(100 * buying.proof.gap),
        },
        "findings": [str(finding) for finding in buying.findings],
    }
    return Table("buy", {"buy": people}, programs)


def quote_table(buying: BuyList, supplier: Supplier, scene: Scene, name: str) -> Table:
    """One supplier's page: a row for each thing, and a column left for its price.

    Args:
        buying: The list.
        supplier: Who is asked.
        scene: What it is for.
        name: Of the table.
    """
    currency = f" ({buying.currency})" if buying.currency else ""
    head = ["item", "quantity", "order", "each", f"price each{currency}"]
    rows = quote_rows(buying, supplier, scene)
    return Table(
        name,
        {"quote": [head, *([r.item, r.quantity, r.order, r.each, ""] for r in rows)]},
    )


def _row(purchase: Purchase, stages: Mapping[int, str], scene: Scene) -> _Row:
    units, english = scene.units, scene.english
    price = purchase.unit_price
    return _Row(
        supplier=in_words(purchase.supplier.value, english),
        delivery_stage=purchase.stages[0],
        delivery=stages[purchase.stages[0]],
        all_stages=" ".join(map(str, purchase.stages)),
        item=purchase.item,
        made_of=in_words(purchase.made_of, english),
        size=size_text(purchase, units),
        asked_for=in_words(asked_for(purchase, units), english),
        quantity=_plain(purchase.quantity),
        unit=purchase.unit,
        in_the_building=_plain(purchase.in_building),
        waste_percent=rounded(100 * purchase.waste_share, 1),
        unit_price=None if price is None else rounded(price, 4),
        total=purchase.total,
        where=purchase.where,
        how=purchase.how,
    )


def _not_ordered(buying: BuyList, units: Units) -> Iterator[_Row]:
    """What stands at the end of the list, so that nobody takes it for something to order."""
    told = [
        (amount.item, counted(amount, units), amount.where, amount.how)
        for amount in buying.not_ordered
    ]
    if buying.proof.text:
        told.append(("cut plans", None, "boards and sheets", buying.proof.text))
    for item, count, where, how in told:
        number, unit = (None, "") if count is None else (_plain(count[0]), count[1])
        yield _Row(
            supplier="not ordered",
            delivery_stage=None,
            delivery="",
            all_stages="",
            item=item,
            made_of="",
            size="",
            asked_for="",
            quantity=number,
            unit=unit,
            in_the_building=None,
            waste_percent=None,
            unit_price=None,
            total=None,
            where=where,
            how=how,
        )


def _plain(number: float) -> Cell:
    """A number without decimals where it is whole: 3 boards, not 3.0."""
    short = rounded(number, 3)
    return int(short) if short.is_integer() else short


def _for_programs(purchase: Purchase) -> dict[str, object]:
    """What JSON has in our units, and every part that comes out of the purchase."""
    return {
        "treated": purchase.treated,
        "size_mm": [rounded(size) for size in purchase.size_mm],
        "ordered": rounded(purchase.ordered),
        "used": rounded(purchase.used),
        "counted_in": COUNTED_IN[PER[purchase.unit][0]],
        "stages": list(purchase.stages),
        "parts": list(purchase.parts),
    }


def _head(name: Cell, currency: str) -> str:
    head = _HEADS.get(str(name), str(name))
    money = currency and name in ("unit price", "total")
    return f"{head} ({currency})" if money else head

"""One supplier's page to quote on, and the list with the prices that came back.

quote_rows(buying, supplier, scene) -> tuple[QuoteRow, ...]
quoted(buying, building, prices) -> BuyList
check_quote(lines, buying, scene) -> dict[int, float]
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from pikepole_export.derive.buying.order import BuyList, with_stage_costs
from pikepole_export.derive.buying.purchase import Purchase, Supplier
from pikepole_export.derive.buying.wording import asked_for, count_text, in_words
from pikepole_model.building.part import Building
from pikepole_model.errors import PikepoleError, Problem
from pikepole_model.scene.buying import Price
from pikepole_model.scene.schema import Scene

MOST = 999_999


class QuoteError(PikepoleError, ValueError):
    """A quote that does not belong to this list. Carries every problem found."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))


@dataclass(frozen=True, slots=True)
class QuoteRow:
    """A row to quote on.

    Attributes:
        item: Its number in the buy list, from 1.
        quantity: How many, "40 pcs".
        order: What.
        each: What the price is for one of: "pc", "box", "ft".
    """

    item: int
    quantity: str
    order: str
    each: str


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """A row of a quote as it came back.

    Attributes:
        line: Of the file, from 1.
        item: Its number in the buy list, as it stands there.
        order: What it is said to be.
        price: For one; empty where none is given.
    """

    line: int
    item: str
    order: str
    price: str


def quote_rows(buying: BuyList, supplier: Supplier, scene: Scene) -> tuple[QuoteRow, ...]:
    """What one supplier is asked for, each row with its number in the list.

    In the order of the list; sizes of one thing stand together, as they lie in the yard.
    """
    own = [
        (number, one)
        for number, one in enumerate(buying.purchases, start=1)
        if one.supplier == supplier
    ]
    first: dict[tuple[str, str], int] = {}
    for number, one in own:
        first.setdefault((one.item, one.made_of), number)
    own.sort(key=lambda row: (first[row[1].item, row[1].made_of], row[1].size_mm, row[0]))
    return tuple(
        QuoteRow(number, count_text(one), _order(one, scene), _each(one)) for number, one in own
    )


def check_quote(lines: Iterable[QuoteLine], buying: BuyList, scene: Scene) -> dict[int, float]:
    """The price of one of each row that has one, by its number.

    Raises:
        QuoteError: A row is no row of this list, or a price is no price; names them all.
    """
    prices: dict[int, float] = {}
    problems: list[Problem] = []
    for line in lines:
        number = _whole(line.item)
        if not 1 <= number <= len(buying.purchases):
            mend = f"give a number of the list, 1 to {len(buying.purchases)}"
            problems.append(Problem(_place(line, "item"), line.item, "is no row of the list", mend))
            continue
        order = _order(buying.purchases[number - 1], scene)
        if _folded(line.order) != _folded(order):
            wrong = f'is not what row {number} of the list asks for now, "{order}"'
            mend = "ask for a quote on the list as it is"
            problems.append(Problem(_place(line, "order"), line.order, wrong, mend))
        elif line.price:
            price = _price(line.price)
            if price is None:
                mend = f"give what one {_each(buying.purchases[number - 1])} costs, 0 to {MOST:,}"
                problems.append(Problem(_place(line, "price"), line.price, "is no price", mend))
            elif number in prices:
                mend = "leave one of them out"
                problems.append(Problem(_place(line, "item"), line.item, "is there twice", mend))
            else:
                prices[number] = price
    if problems:
        raise QuoteError(problems)
    return prices


def quoted(buying: BuyList, building: Building, prices: Mapping[int, float]) -> BuyList:
    """The list with prices of a quote, which go before those of the scene.

    Args:
        buying: The list.
        building: What it is for.
        prices: Of one of what a row counts, by the number of the row, from 1.
    """
    purchases = tuple(
        replace(one, price=_for_one(one, prices[number])) if number in prices else one
        for number, one in enumerate(buying.purchases, start=1)
    )
    return with_stage_costs(replace(buying, purchases=purchases), building)


def _for_one(purchase: Purchase, price: float) -> Price:
    """A price of a row: its name need not be one that a scene can write."""
    return Price.model_construct(item=purchase.item, price=price, per=purchase.unit)


def _order(purchase: Purchase, scene: Scene) -> str:
    told = in_words(asked_for(purchase, scene.units), scene.english)
    return told if purchase.used else f"{told}; {purchase.where}"


def _each(purchase: Purchase) -> str:
    if purchase.unit == "piece":
        return purchase.pack or "pc"
    return purchase.unit


def _place(line: QuoteLine, column: str) -> str:
    return f"line {line.line}, {column}"


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def _whole(text: str) -> int:
    try:
        return int(float(text))
    except (ValueError, OverflowError):
        return 0


def _price(text: str) -> float | None:
    """A price as people write it, "1,250.00" or "3,65"; None where it is none."""
    plain = text.replace(" ", "").lstrip("$€£")
    if "," in plain:
        head, _, tail = plain.rpartition(",")
        is_thousands = "." in tail or (len(tail) == 3 and "." not in head)
        plain = plain.replace(",", "") if is_thousands else f"{head.replace('.', '')}.{tail}"
    try:
        price = float(plain)
    except ValueError:
        return None
    return price if math.isfinite(price) and 0 <= price <= MOST else None


def suppliers_of(buying: BuyList) -> Iterator[Supplier]:
    """Who sells anything of the list, in its order."""
    sellers = dict.fromkeys(one.supplier for one in buying.purchases)
    yield from (one for one in sellers if one is not Supplier.OWN)

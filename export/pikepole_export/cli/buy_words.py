"""The buy list as it is said on a terminal, in 79 columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from pikepole_export.cli.words import findings_list, plural, wrapped
from pikepole_export.derive.buying.order import BuyList
from pikepole_export.derive.buying.purchase import Purchase, Supplier, counted, size_text
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding
from pikepole_model.units import Units

_WHAT = 42  # columns of what is bought; longer ones go on below
_WIDE = 79
# Where one item is several things, told apart by what they are for; so is what does not stay.
_TOLD_APART = frozenset({Supplier.GROUND, Supplier.METAL, Supplier.GLAZING})

CAUTION = (
    "Amounts come from the drawn building, waste by common practice: ask each supplier for the "
    "lengths, boxes and prices that it has before you order. What your code, soil or engineer asks "
    "for beside is not in the list."
)


def in_short(buying: BuyList) -> list[tuple[str, str]]:
    """How much there is to buy and what it costs."""
    rows = [("To buy", _how_many(buying))]
    if buying.total is not None:
        cost = _money(buying.total, buying.currency)
        if buying.waste_share is not None:
            cost += f", {buying.waste_share:.1%} of it waste"
        if buying.unpriced:
            cost += f"; {plural(buying.unpriced, 'thing')} without a price"
        rows.append(("Cost", cost))
    return rows


def opening(building: Building, buying: BuyList) -> list[str]:
    """How much there is to buy, what it costs, and what share of that is waste."""
    texts = [f"{building.scene.title}: to buy, {_how_many(buying)}."]
    if buying.total is None:
        texts.append("The scene has no prices for them: the price column is left to fill in.")
    else:
        texts.append(f"Total {_money(buying.total, buying.currency)}.")
        if buying.unpriced:
            texts.append(f"Not in it: {plural(buying.unpriced, 'row')} without a price.")
        if buying.waste_cost is not None and buying.waste_share is not None:
            texts.append(
                f"{buying.waste_share:.1%} of it, {_money(buying.waste_cost, buying.currency)}, is "
                "waste: bought and not in the building."
            )
    if buying.proof.text:
        texts.append(f"Cut plans: {buying.proof.text}.")
    return [*wrapped(" ".join(texts)), "", *wrapped(CAUTION, indent="  ", first="! ")]


def purchases_list(building: Building, buying: BuyList) -> list[str]:
    """By supplier, then by the stage that needs it first."""
    names = {stage.number: stage.name for stage in building.stages}
    lines: list[str] = []
    for supplier, own in groupby(buying.purchases, key=lambda one: one.supplier):
        total = buying.total_of(supplier)
        cost = "" if total is None else _money(total, buying.currency)
        lines += ["", f"{supplier.value.upper():{_WIDE - 20}}{cost:>20}".rstrip()]
        lines.append(f"{'quantity':>12}{'':8}{'':{_WHAT}}{'waste':>6}{'total':>11}")
        for stage, rows in groupby(own, key=lambda one: one.stages[0]):
            lines.append(f"  for stage {stage}, {names[stage]}")
            lines += [line for row in rows for line in _line(row, building.scene.units)]
    return lines


def stages_list(buying: BuyList) -> list[str]:
    """What each stage uses, in money; nothing without prices."""
    if buying.total is None:
        return []
    lines = ["", *wrapped("Cost by stage: what each uses of what has a price, waste shared out")]
    for stage in buying.stages:
        if stage.cost is not None:
            name = f"  {stage.number:>3}  {stage.name}"
            lines.append(f"{name:{_WIDE - 20}}{_money(stage.cost, buying.currency):>20}")
    return lines


def beside(buying: BuyList, units: Units) -> list[str]:
    """What is not ordered."""
    lines: list[str] = []
    if buying.not_ordered:
        lines += ["", "Not ordered: work to do, or yours to decide"]
        for amount in buying.not_ordered:
            count = counted(amount, units)
            much = f"{count[0]:,.2f} {count[1]}; " if count else ""
            text = f"{amount.item}, {amount.where}: {much}{amount.how}"
            lines += wrapped(text, indent="    ", first="  ")
    return lines


def found(buying: BuyList, practice: Sequence[Finding]) -> list[str]:
    """Prices that fit nothing, and what goes against common practice or a material's limits."""
    lines: list[str] = []
    for head, findings in (
        ("Prices that fit nothing", buying.findings),
        ("Against common practice", practice),
    ):
        if findings:
            lines += ["", head, *findings_list(findings)]
    return lines


def _how_many(buying: BuyList) -> str:
    sellers = len({purchase.supplier for purchase in buying.purchases})
    return f"{plural(len(buying.purchases), 'thing')} from {plural(sellers, 'supplier')}"


def _line(purchase: Purchase, units: Units) -> Iterator[str]:
    number = f"{purchase.quantity:,.0f}"
    if purchase.unit not in ("piece", "box"):
        number = f"{purchase.quantity:,.2f}"
    total = "" if purchase.total is None else f"{purchase.total:,.2f}"
    waste = f"{purchase.waste_share:.0%}"
    first, *more = wrapped(_what(purchase, units), columns=_WHAT)
    yield f"{number:>12} {purchase.unit:6} {first:{_WHAT}}{waste:>6}{total:>11}".rstrip()
    for text in more:
        yield f"{'':20}  {text}"


def _what(purchase: Purchase, units: Units) -> str:
    is_told = purchase.supplier in _TOLD_APART or not purchase.used
    apart = purchase.where if is_told else ""
    told: Sequence[str] = (purchase.item, size_text(purchase, units), purchase.made_of, apart)
    return ", ".join(dict.fromkeys(text for text in told if text))


def _money(amount: float, currency: str) -> str:
    return f"{amount:,.2f} {currency}".rstrip()

"""The buy list as it is said on a terminal, in 79 columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from pikepole_export.cli.words import built_already, findings_list, plural, wrapped
from pikepole_export.derive.buying.order import BuyList
from pikepole_export.derive.buying.purchase import Purchase, Supplier, counted
from pikepole_export.derive.buying.quote import quote_rows
from pikepole_export.derive.buying.wording import asked_for, count_text, in_words
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding
from pikepole_model.scene.buying import Words
from pikepole_model.units import Units

_WHAT = 49  # columns of what is bought; longer ones go on below
_WIDE = 79
# Where one item is several things, told apart by what they are for; so is what does not stay.
_TOLD_APART = frozenset({Supplier.GROUND, Supplier.METAL, Supplier.GLAZING})

CAUTION = (
    "Counted from the drawing. Before you order, ask each supplier what lengths, packs and prices "
    "it has. What your code, soil or engineer asks for beside is not in it."
)


def in_short(buying: BuyList) -> list[tuple[str, str]]:
    """How much there is to buy and what it costs."""
    rows = [("To buy", _how_many(buying))]
    if buying.total is not None:
        cost = _money(buying.total, buying.currency)
        if buying.waste_share is not None:
            cost += f", {buying.waste_share:.1%} of it waste"
        if buying.unpriced:
            cost += f"; {plural(buying.unpriced, 'item')} unpriced"
        rows.append(("Cost", cost))
    return rows


def opening(building: Building, buying: BuyList) -> list[str]:
    """How much there is to buy, what it costs, and what share of that is waste."""
    texts = [f"{building.scene.title}: {_how_many(buying)}."]
    if buying.total is None:
        texts.append("No prices yet.")
    else:
        total = _money(buying.total, buying.currency)
        unpriced = f"{plural(buying.unpriced, 'item')} unpriced"
        texts.append(f"{total} so far; {unpriced}." if buying.unpriced else f"{total} in all.")
        if buying.waste_cost is not None and buying.waste_share is not None:
            waste = _money(buying.waste_cost, buying.currency)
            texts.append(f"Of that {buying.waste_share:.1%}, {waste}, is waste.")
    if buying.proof.text:
        texts.append(f"Cut plans: {buying.proof.text}.")
    texts += built_already(building)
    return [*wrapped(" ".join(texts)), "", *wrapped(CAUTION, indent="  ", first="! ")]


def purchases_list(building: Building, buying: BuyList) -> list[str]:
    """By supplier, then by the stage that needs it first."""
    names = {stage.number: stage.name for stage in building.stages}
    words = building.scene.english
    lines: list[str] = []
    for supplier, own in groupby(buying.purchases, key=lambda one: one.supplier):
        total = buying.total_of(supplier)
        cost = "" if total is None else _money(total, buying.currency)
        seller = in_words(supplier.value, words).upper()
        lines += ["", f"{seller:{_WIDE - 20}}{cost:>20}".rstrip()]
        for stage, rows in groupby(own, key=lambda one: one.stages[0]):
            lines.append(f"  for stage {stage}, {names[stage]}")
            lines += [line for row in rows for line in _line(row, building.scene.units, words)]
    return lines


def quote_page(building: Building, buying: BuyList, supplier: Supplier) -> list[str]:
    """What one supplier is asked for, with room for a price."""
    scene = building.scene
    seller = in_words(supplier.value, scene.english)
    lines = [*wrapped(f"{scene.title}: to the {seller}, prices please."), ""]
    for row in quote_rows(buying, supplier, scene):
        number, _, unit = row.quantity.partition(" ")
        first, *more = wrapped(row.order, columns=_WHAT)
        lines.append(f"{row.item:>4} {number:>7} {unit:9} {first:{_WHAT}} {'_' * 8}")
        lines += [f"{'':22}  {text}" for text in more]
    return lines


def stages_list(buying: BuyList) -> list[str]:
    """What each stage uses, in money; nothing without prices."""
    if buying.total is None:
        return []
    lines = ["", "Cost by stage, waste included"]
    for stage in buying.stages:
        if stage.cost is not None:
            name = f"  {stage.number:>3}  {stage.name}"
            lines.append(f"{name:{_WIDE - 20}}{_money(stage.cost, buying.currency):>20}")
    return lines


def beside(buying: BuyList, units: Units) -> list[str]:
    """What is not ordered."""
    lines: list[str] = []
    if buying.not_ordered:
        lines += ["", "Not ordered: work, or yours to choose"]
        for amount in buying.not_ordered:
            count = counted(amount, units)
            much = f"{count[0]:,.2f} {count[1]}; " if count else ""
            text = f"{amount.item}, {amount.where}: {much}{amount.how}"
            lines += wrapped(text, indent="    ", first="  ")
    return lines


def found(buying: BuyList, practice: Sequence[Finding]) -> list[str]:
    """What fits nothing in the list, and what goes against practice or a material's limits."""
    lines: list[str] = []
    for head, findings in (
        ("What fits nothing in the list", buying.findings),
        ("Against common practice", practice),
    ):
        if findings:
            lines += ["", head, *findings_list(findings)]
    return lines


def _how_many(buying: BuyList) -> str:
    sellers = len({purchase.supplier for purchase in buying.bought})
    own = len(buying.purchases) - len(buying.bought)
    text = f"{plural(len(buying.bought), 'item')} from {plural(sellers, 'supplier')}"
    return f"{text}, {own} from your own" if own else text


def _line(purchase: Purchase, units: Units, words: Words) -> Iterator[str]:
    number, _, unit = count_text(purchase).partition(" ")
    total = "" if purchase.total is None else f"{purchase.total:,.2f}"
    first, *more = wrapped(in_words(_what(purchase, units), words), columns=_WHAT)
    yield f"{number:>8} {unit:9} {first:{_WHAT}}{total:>11}".rstrip()
    for text in more:
        yield f"{'':18}  {text}"


def _what(purchase: Purchase, units: Units) -> str:
    is_told = purchase.supplier in _TOLD_APART or not purchase.used
    apart = purchase.where if is_told else ""
    asked = asked_for(purchase, units)
    if purchase.spare:
        asked += f"; {purchase.spare} spare"
    return f"{asked}; {apart}" if apart and apart not in asked else asked


def _money(amount: float, currency: str) -> str:
    return f"{amount:,.2f} {currency}".rstrip()

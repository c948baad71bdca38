"""Which price of a scene holds for what is bought, and prices that hold for nothing.

    price_of(purchase, prices) -> Price | None
    unfit(prices, bought) -> tuple[Finding, ...]
    price_findings(building) -> tuple[Finding, ...]     the same before anything is planned

What can have a price is known from the building alone: a plan decides how many boards of which
length are bought, and not of which sections. So a misspelt name is found without one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pikepole_export.derive.buying.own import unknown_findings
from pikepole_export.derive.buying.pieces_bought import pieces_bought
from pikepole_export.derive.buying.purchase import Purchase
from pikepole_export.derive.buying.supplies import supplies
from pikepole_export.derive.cutting.sheets import sheet_of
from pikepole_model.building.part import Building
from pikepole_model.building.remaining import done_stages, remaining
from pikepole_model.errors import Finding
from pikepole_model.scene.buying import Amount, Per, Price, find_price
from pikepole_model.scene.work import Done
from pikepole_model.stock.catalogue import close_names

_OFFERED = 3  # nearest names that a finding tells


@dataclass(frozen=True, slots=True)
class Good:
    """Something that a price can be for.

    Attributes:
        names: What a price may call it, the nearest name first.
        treated: Whether it is treated lumber.
        unit: What the list counts it by.
        amounts: All that it may be priced by.
    """

    names: tuple[str, ...]
    treated: bool
    unit: Per
    amounts: frozenset[Amount]


def price_of(purchase: Purchase, prices: Sequence[Price]) -> Price | None:
    """The price of this thing as it is made before that of any, in a way that it is sold.

    A price that does not say for one of what it is, is for one of what the list counts.
    """
    told = (price.by(purchase.unit) for price in prices)
    fitting = [price for price in told if price.rate[0] in purchase.sold_by]
    length_mm = purchase.size_mm[0] if purchase.size_mm else None
    found = (
        find_price(fitting, name, length_mm=length_mm, treated=purchase.treated)
        for name in purchase.names
    )
    return next((price for price in found if price is not None), None)


def good_of(purchase: Purchase) -> Good:
    """What a price must call a purchase, and count it by."""
    return Good(purchase.names, purchase.treated, purchase.unit, frozenset(purchase.sold_by))


def price_findings(building: Building) -> tuple[Finding, ...]:
    """Prices, and stock at hand, of a building's scene that fit nothing that it takes."""
    scene = building.scene
    if not scene.price and not scene.have:
        return ()
    wanted = goods(before_it(building))
    left = goods(remaining(building)) if done_stages(building) else wanted
    names = dict.fromkeys(name for good in left for name in good.names)
    return (*unfit(scene.price, wanted), *unknown_findings(scene, names))


def goods(building: Building) -> list[Good]:
    """All that a building takes, before anything is planned."""
    bought = (*pieces_bought(building, (), ()), *supplies(building))
    return [*_planned(building), *map(good_of, bought)]


def before_it(building: Building) -> Building:
    """A building of which nothing is done: a price of what is built is no mistake."""
    return replace(building, scene=building.scene.model_copy(update={"done": Done()}))


def unfit(prices: Sequence[Price], bought: Sequence[Good]) -> tuple[Finding, ...]:
    """A finding for each price that fits nothing, with what comes nearest to it.

    A price of another length of a section that is bought fits: the cut plan has reckoned with it.

    Args:
        prices: Those of a scene.
        bought: All that is bought.
    """
    return tuple(
        Finding(
            "other", f'"{price.item}" fits nothing: {why[0]}', (), key=f"price[{n}]", mend=why[1]
        )
        for n, price in enumerate(prices, start=1)
        if (why := _why_unfit(price, bought))
    )


def _why_unfit(price: Price, goods: Sequence[Good]) -> tuple[str, str] | None:
    """Why a price fits nothing, and how to put it right; None where it fits."""
    same = [good for good in goods if price.item in good.names]
    alike = [good for good in same if good.treated == price.treated]
    if any(price.by(good.unit).rate[0] in good.amounts for good in alike):
        return None
    if alike:
        unit = alike[0].unit
        why = f'the list counts it by the {unit}, not by the "{price.per}"'
        return why, f"give the price of a {unit}"
    if same:
        mend = "leave out treated" if price.treated else "give treated = true"
        return f"in the list it is {'un' if price.treated else ''}treated", mend
    names = dict.fromkeys(name for good in goods for name in good.names)
    near = ", ".join(f'"{name}"' for name in close_names(price.item, names)[:_OFFERED])
    mend = f"the nearest there is: {near}" if near else "leave it out"
    return "nothing in the list is called that", mend


def _planned(building: Building) -> Iterator[Good]:
    """The lumber and the sheets that plans will be made for."""
    scene, found = building.scene, dict[Good, None]()
    for part in building.handled:
        sheet = sheet_of(scene, part)
        if part.section_mm is not None:
            names = (f"{part.stock}, {part.material.name}", part.stock)
            treated = part.material.treated
            amounts = frozenset[Amount]({"pieces", "length", "volume"})
            found[Good(names, treated, "piece", amounts)] = None
        elif sheet:
            found[Good((sheet.name,), False, "piece", frozenset({"pieces", "area"}))] = None
    yield from found

"""One row of the buy list, and how it counts.

Purchase(supplier, item, ...)
used_by(parts), names_of(parts), parts_of(building, *kinds)
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from pikepole_export.derive.buying.amounts import CUT_UP, Amount
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.buying import PER, Per, Price
from pikepole_model.scene.buying import Amount as SoldBy
from pikepole_model.units import Units, format_length

RUN: dict[Units, Per] = {"imperial": "ft", "metric": "m"}
AREA: dict[Units, Per] = {"imperial": "ft2", "metric": "m2"}
BULK: dict[Units, Per] = {"imperial": "yd3", "metric": "m3"}
MASS: dict[Units, Per] = {"imperial": "lb", "metric": "kg"}


class Supplier(StrEnum):
    """Who sells what, in the order in which the work begins with them."""

    GROUND = "concrete and ground"
    LUMBER = "lumber yard"
    IRONMONGER = "hardware store"
    METAL = "sheet metal"
    GLAZING = "glazing"
    PAINT = "paint"
    OWN = "from your own"  # what is at hand: nobody sells it


@dataclass(frozen=True, slots=True)
class Purchase:
    """One thing to order.

    Attributes:
        supplier: Who sells it.
        item: What it is, by the name that a price has too.
        made_of: What it is made of or coated with; empty where the item says all.
        where: What it is for.
        size_mm: Its length, or its width and length, mm; empty where it has none to give.
        unit: What `ordered` and `used` are counted in for people.
        ordered: How many pieces or boxes, or how many mm, mm2 or mm3 of it.
        used: How much of that is in the building, counted alike.
        how: The arithmetic, for people.
        sold_by: The same order in every way that it may be priced: pieces, mm, mm2, mm3, kg.
        use: What each stage uses of it, by number, in proportion.
        parts: Names of the parts that come out of it.
        treated: Whether it is treated lumber.
        stock: Another name for it that a price may have: the stock that it is bent from.
        asked: How it is asked for; its name, size and make without.
        pack: What it comes in, one of them: "sheet", "roll"; a piece or a box without.
        spare: How many of it are over what the cut plan takes.
        size_as: How its size is said, "{} wide x {} high"; a size after the other without.
        price: What the scene says it costs.
    """

    supplier: Supplier
    item: str
    made_of: str
    where: str
    size_mm: tuple[float, ...]
    unit: Per
    ordered: float
    used: float
    how: str
    sold_by: Mapping[SoldBy, float]
    use: Mapping[int, float]
    parts: tuple[str, ...] = ()
    treated: bool = False
    stock: str = ""
    size_as: str = ""
    asked: str = ""
    pack: str = ""
    spare: int = 0
    price: Price | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """What a price may call it, the nearest name first."""
        made = (f"{self.item}, {self.made_of}",) if self.made_of else ()
        return (*made, self.item, *((self.stock,) if self.stock else ()))

    @property
    def stages(self) -> tuple[int, ...]:
        """The stages that use it; it is delivered with the first."""
        return tuple(sorted(self.use))

    @property
    def quantity(self) -> float:
        """How much is ordered, in its unit."""
        return self.ordered / PER[self.unit][1]

    @property
    def in_building(self) -> float:
        """How much of that is in the building, in its unit."""
        return self.used / PER[self.unit][1]

    @property
    def waste_share(self) -> float:
        """What share of the order is not in the building, from 0 to 1."""
        return max(0.0, 1 - self.used / self.ordered)

    @property
    def unit_price(self) -> float | None:
        """What one unit of it costs, pieces and boxes to the hundredth; None without a price."""
        if self.price is None:
            return None
        price = self.price.cost(self.sold_by) / self.quantity
        return round(price, 2) if self.unit in ("piece", "box") else price

    @property
    def total(self) -> float | None:
        """What it costs, to the hundredth; None without a price."""
        return None if self.unit_price is None else round(self.unit_price * self.quantity, 2)


def unit_of(quantity: SoldBy, units: Units) -> Per:
    """What people count a quantity by, where a thing has no unit of its own."""
    match quantity:
        case "pieces":
            return "piece"
        case "boxes":
            return "box"
        case "length":
            return RUN[units]
        case "area":
            return AREA[units]
        case "volume":
            return BULK[units]
        case "mass":
            return MASS[units]


def counted(amount: Amount, units: Units) -> tuple[float, Per] | None:
    """What the building takes of something, in a unit that people count it by.

    Of what is cut up, whole ones: two ends of a tube are no tube.

    Returns:
        None where nobody can say from the drawing.
    """
    if amount.net is None:
        return None
    unit = unit_of(amount.quantity, units)
    whole_ones = amount.buy if amount.thing in CUT_UP else None
    return (whole_ones or amount.net) / PER[unit][1], unit


def size_text(purchase: Purchase, units: Units) -> str:
    """Its size for people; sheet metal is rounded up, as what is over can be cut off."""
    rounded = "up" if purchase.supplier == Supplier.METAL else "nearest"
    sizes = [format_length(size, units, rounded) for size in purchase.size_mm]
    return purchase.size_as.format(*sizes) or " x ".join(sizes)


def parts_of(building: Building, *kinds: Kind) -> list[Part]:
    """All parts of some kinds, in order of building."""
    return [part for part in building.parts if part.kind in kinds]


def used_by(parts: Iterable[Part]) -> dict[int, float]:
    """What each stage uses, by volume, mm3."""
    use: dict[int, float] = {}
    for part in parts:
        use[part.stage] = use.get(part.stage, 0.0) + part.volume_mm3
    return use


def names_of(parts: Iterable[Part]) -> tuple[str, ...]:
    """Names, in the same order."""
    return tuple(part.name for part in parts)

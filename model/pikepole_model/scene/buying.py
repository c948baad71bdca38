"""What a person writes about ordering and cutting: prices, the saw, paint, concrete and waste."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field, ValidationInfo, model_validator

from pikepole_model.scene.quantity import Measure, Metric, refuse
from pikepole_model.scene.types import (
    PLAIN,
    BarName,
    Kerf,
    Length,
    LumberName,
    MeshName,
    Name,
    Section,
    Spacing,
)
from pikepole_model.units import FOOT_MM, GALLON_L, POUND_KG, parse_mass, parse_spread, parse_volume

Percent: TypeAlias = Annotated[float, Field(ge=0, le=100)]  # percent of what is needed

Per: TypeAlias = Literal[
    "piece", "box", "ft", "m", "ft2", "m2", "yd3", "m3", "gal", "l", "lb", "kg", "t"
]
Amount: TypeAlias = Literal["pieces", "boxes", "length", "area", "volume", "mass"]

Words: TypeAlias = Literal["American", "British"]

# What a price counts, and how much of it one unit is: pieces, boxes, mm, mm2, mm3 or kg.
PER: dict[Per, tuple[Amount, float]] = {
    "piece": ("pieces", 1.0),
    "box": ("boxes", 1.0),
    "ft": ("length", FOOT_MM),
    "m": ("length", 1e3),
    "ft2": ("area", FOOT_MM**2),
    "m2": ("area", 1e6),
    "yd3": ("volume", (3 * FOOT_MM) ** 3),
    "m3": ("volume", 1e9),
    "gal": ("volume", GALLON_L * 1e6),
    "l": ("volume", 1e6),
    "lb": ("mass", POUND_KG),
    "kg": ("mass", 1.0),
    "t": ("mass", 1e3),
}

# Decimals of a price: a board or a sheet is charged in whole cents.
CENTS = 2

# Two lengths are one stock length when they print alike, in whole mm or in sixteenths.
SAME_LENGTH_MM = 1.0

# Dry mix gives 0.15 ft3 of concrete for every 20 lb: common practice, no source.
MIX_YIELD_MM3_PER_KG = 0.15 * FOOT_MM**3 / (20 * POUND_KG)


class Cutting(Section):
    """The boards that can be had, and the saw; [cutting]."""

    # Of boards; what yards stock without.
    longest: Annotated[float, Measure("length", 1_800.0, 12_000.0)] | None = None
    kerf: Kerf = 3.175
    # Off each end of a board that is no pre-cut stud, nor put in as it comes. Common practice, no
    # source.
    end_trim: Annotated[float, Measure("length", 0.0, 100.0)] = 12.7
    mix: bool = False  # whether a board is cut up at once for several stages
    worth: Percent = 1.0  # of the cost: one more length of a section has to save more


class SpareOf(Section):
    """Spare boards of one section; [[spare.of]]."""

    section: LumberName
    boards: Annotated[int, Field(ge=0, le=100)] | None = None
    percent: Percent | None = None  # of its boards

    @model_validator(mode="after")
    def _one_way(self) -> SpareOf:
        if (self.boards is None) == (self.percent is None):
            refuse("does not say how many", "give boards = 2, or percent = 10")
        return self


class Spare(Section):
    """Boards bought over what the cut plan takes; [spare]. Common practice, no source."""

    percent: Percent = 5.0  # of the boards of each section
    studs: Annotated[int, Field(ge=0, le=100)] = 1  # of the studs at least
    of: Annotated[tuple[SpareOf, ...], Field(strict=False)] = ()


def _not_negative(value: object, info: ValidationInfo) -> object:
    if isinstance(value, int | float) and value < 0:
        item = f'"{info.data["item"]}"' if "item" in info.data else "it"
        refuse("is negative", f"give what {item} costs, 0 or more")
    return value


class Price(Section):
    """What one thing costs; [[price]]."""

    item: Name
    length: Length | None = None  # of sections only; any length without
    treated: bool = False  # of sections only
    price: Annotated[float, BeforeValidator(_not_negative), Field(ge=0, le=999_999)]
    per: Per | None = None  # without: one of what the list to buy counts, a box, a board, a roll

    def by(self, unit: Per) -> Price:
        """This price, for one such unit where it does not say for one of what it is."""
        return self if self.per else self.model_copy(update={"per": unit})

    @property
    def rate(self) -> tuple[Amount, float]:
        """What the price counts, and the price of one piece, box, mm, mm2, mm3 or kg of it.

        What it does not say is a piece: `by` knows better where a list counts otherwise.
        """
        amount, size = PER[self.per or "piece"]
        return amount, self.price / size

    def cost(self, sold_by: Mapping[Amount, float]) -> float:
        """What an order costs, not rounded.

        Args:
            sold_by: The order in every way that it may be priced: pieces, boxes, mm, mm2, mm3, kg;
                that of this price among them.
        """
        amount, rate = self.rate
        return rate * sold_by[amount]

    def is_for(self, length_mm: float) -> bool:
        """Whether it is the price of just this length, and not of any."""
        return self.length is not None and abs(self.length - length_mm) <= SAME_LENGTH_MM


def find_price(
    prices: Iterable[Price], item: str, *, length_mm: float | None = None, treated: bool = False
) -> Price | None:
    """The price that holds for one thing: that of its length before that of any length.

    Args:
        prices: Those of a scene.
        item: Name of a section, sheet, roll or whatever is bought.
        length_mm: Stock length of a section, mm; None for what comes in no lengths.
        treated: Whether it is treated lumber.

    Returns:
        None where the scene gives no price for it.
    """
    fitting = [price for price in prices if (price.item, price.treated) == (item, treated)]
    own = (price for price in fitting if length_mm is not None and price.is_for(length_mm))
    any_length = (price for price in fitting if price.length is None)
    return next(own, None) or next(any_length, None)


class Paint(Section):
    """Paint on the outside woodwork; [paint]."""

    coats: Annotated[int, Field(ge=1, le=5)] = 2
    primer_coats: Annotated[int, Field(ge=0, le=3)] = 1
    # Of one coat: common practice, no source; the can says what it is for its paint.
    spread: Annotated[float, Measure("spread", 1.0, 25.0)] = parse_spread("350 ft2/gal")
    waste: Percent = 10.0


class Bars(Section):
    """Bars both ways in a slab; [concrete.bars]."""

    bar: BarName = "No. 4 bar"
    spacing: Spacing = 457.2  # at most


class Concrete(Section):
    """How concrete is bought, and what goes into a slab, under it and on it; [concrete]."""

    # Of dry mix.
    bag: Annotated[float, Measure("mass", 5.0, 50.0), Metric(25.0)] = parse_mass("80 lb")
    waste: Percent = 10.0
    ready_mix_from: Annotated[float, Measure("volume", 1e8, 1e11), Metric(0.75e9)] = parse_volume(
        "1 yd3"
    )
    # How ready-mix is asked for; the least that a slab or a footing takes without.
    mix: Annotated[str, Field(max_length=60, pattern=PLAIN)] = ""
    # Of a slab only; left to the local code and the soil without.
    mesh: MeshName | None = None
    bars: Bars | None = None
    edge_bars: Annotated[int, Field(ge=0, le=6)] = 0  # round the slab, in its edge
    edge_bar: BarName = "No. 4 bar"
    vapour_retarder: bool = False
    curing: Annotated[float, Measure("spread", 1.0, 25.0)] | None = None  # of curing compound


class Waste(Section):
    """What is bought over what is needed, percent of it; [waste].

    Source: common practice, no source.
    """

    rolls: Percent = 10.0
    runs: Percent = 10.0  # tapes, sealant and closures, bought by their length
    fasteners: Percent = 5.0
    gravel: Percent = 10.0

"""How much of something to order, with the arithmetic that leads there.

An amount holds what the drawn building takes and what to buy for it. There is nothing to buy where
a code or a soil decides whether it is needed at all: then `how` says so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING

from pikepole_model.units import Quantity, Units, in_units, unit_symbol

if TYPE_CHECKING:
    from pikepole_model.building.part import Part
    from pikepole_model.scene.buying import Amount as SoldBy

PRACTICE = "common practice, no source"

# What numbers of ours are counted in.
COUNTED_IN: dict[SoldBy, str] = {
    "pieces": "pieces",
    "boxes": "boxes",
    "length": "mm",
    "area": "mm2",
    "volume": "mm3",
    "mass": "kg",
}

# A sum of floats that should be whole is at most this far over it.
_NOISE = 1e-6


class Thing(Enum):
    """What an amount is of; things stand in the list in this order."""

    EXCAVATION = auto()
    SOIL = auto()
    GRAVEL = auto()
    FORM_BOARDS = auto()
    FORM_TUBE = auto()
    READY_MIX = auto()
    BAGGED_MIX = auto()
    VAPOUR_RETARDER = auto()
    MESH = auto()
    CURING_COMPOUND = auto()
    BAR = auto()
    CONTROL_JOINT = auto()
    ROLL = auto()
    SEAM_TAPE = auto()
    SEALANT = auto()
    ADHESIVE = auto()
    CLOSURE = auto()
    SHIMS = auto()
    CHALK = auto()
    PRESERVATIVE = auto()
    PRIMER = auto()
    PAINT = auto()
    CHOICE = auto()


# What is left over of one is often of no use: as many are taken as are ordered, not their sum.
CUT_UP = frozenset({Thing.FORM_TUBE, Thing.MESH})


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount of one thing in one place.

    Attributes:
        thing: What it is.
        item: The name that it is ordered and priced by: "gravel".
        where: What it is for, for people: "slab".
        parts: The parts that it is for, or that it becomes.
        quantity: What kind of number it is.
        net: What the drawn building takes, in `unit`; None where nobody can say from the drawing.
        buy: What to order, waste and whole packs included; None where it is work and nothing to
            order, or where the reader has to decide.
        how: The arithmetic, for people, in the units of the scene.
        source: Where the rule or the figure comes from.
    """

    thing: Thing
    item: str
    where: str
    parts: tuple[Part, ...]
    quantity: SoldBy
    net: float | None
    buy: float | None
    how: str
    source: str

    @property
    def unit(self) -> str:
        """What `net` and `buy` are counted in: "mm3", "pieces"."""
        return COUNTED_IN[self.quantity]


def whole(number: float) -> int:
    """The least whole number that is not below a number, its rounding noise left out."""
    return math.ceil(number - _NOISE)


def shown(value: float, quantity: Quantity, units: Units) -> str:
    """A number of ours for people, "41.25 ft2".

    Args:
        value: In mm, mm2, mm3 or kg.
        quantity: What kind of number it is.
        units: What it is shown in.
    """
    return f"{in_units(value, quantity, units):,.2f} {unit_symbol(quantity, units)}"


def pack_text(mass_kg: float, units: Units) -> str:
    """A bag or a box as it is asked for: "80 lb", "25 kg"."""
    return f"{in_units(mass_kg, 'mass', units):.3g} {unit_symbol('mass', units)}"


def percent(share: float) -> str:
    """A share for people, "10 %"."""
    return f"{100 * share:g} %"


def check_share(name: str, share: float) -> None:
    """A share of waste is no less than nothing.

    Raises:
        ValueError: it is, or it is no number.
    """
    if not (math.isfinite(share) and share >= 0):
        raise ValueError(f"{name} = {share}: waste is a share of 0 or more; write 0.1 for 10 %")


def check_above_zero(name: str, number: float) -> None:
    """A size that something is divided by.

    Raises:
        ValueError: it is not above zero, or it is no number.
    """
    if not (math.isfinite(number) and number > 0):
        raise ValueError(f"{name} = {number}: give a number above 0")


def courses(span_mm: float, width_mm: float, lap_mm: float) -> int:
    """How many courses of a width cover a span when each laps the one before it.

    Args:
        span_mm: What is covered, mm.
        width_mm: Of a course, mm, above the lap.
        lap_mm: Of a course on the one before it, mm, from 0.
    """
    return max(1, whole((span_mm - lap_mm) / (width_mm - lap_mm)))

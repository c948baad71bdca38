"""What pieces weigh, and where their weight acts. The one place where a part is weighed.

part_mass(part) -> Mass
balance(masses, centres) -> (Mass, point)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_model.part import Part
from pikepole_model.placement import Vector

MM3_PER_M3 = 1e9


@dataclass(frozen=True, slots=True)
class Mass:
    """A mass that is only known between bounds, because wood holds water.

    Attributes:
        low_kg: Everything as dry as the scene allows, kg.
        likely_kg: What to expect, kg.
        high_kg: Everything as wet as the scene allows, kg.
    """

    low_kg: float
    likely_kg: float
    high_kg: float

    def __add__(self, other: Mass) -> Mass:
        return Mass(
            self.low_kg + other.low_kg,
            self.likely_kg + other.likely_kg,
            self.high_kg + other.high_kg,
        )


NOTHING = Mass(0.0, 0.0, 0.0)


def part_mass(part: Part) -> Mass:
    """Volume of the part's solid times the density of its material, low, likely and high."""
    volume_m3 = part.volume_mm3 / MM3_PER_M3
    low, likely, high = part.material.density_kg_m3
    return Mass(volume_m3 * low, volume_m3 * likely, volume_m3 * high)


def balance(masses: Sequence[Mass], centres_mm: Sequence[Vector]) -> tuple[Mass, Vector]:
    """Several masses as one.

    Args:
        masses: At least one, the likely ones together above zero.
        centres_mm: The centre of each, mm.

    Returns:
        The sum, and the centre of gravity, mm, of the likely masses. Where some pieces are wetter
        than expected and others are not, it moves; that is not followed here.
    """
    total = sum(masses, NOTHING)
    x, y, z = (
        sum(mass.likely_kg * centre[axis] for mass, centre in zip(masses, centres_mm, strict=True))
        / total.likely_kg
        for axis in range(3)
    )
    return total, (x, y, z)

"""What pieces weigh, and where their weight acts. The one place where a part is weighed.

part_mass(part) -> Mass
balance(masses, centres) -> (Mass, point)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_model.building.kind_rows import Counted
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Vector

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

    def times(self, share: float) -> Mass:
        """A share of it."""
        return Mass(self.low_kg * share, self.likely_kg * share, self.high_kg * share)


NOTHING = Mass(0.0, 0.0, 0.0)


def part_mass(part: Part) -> Mass:
    """Volume of the part's solid times the density of its material, low, likely and high.

    What stands there already is nothing that anybody buys, lifts or moves: it weighs nothing here.
    """
    if part.kind.row.counted is Counted.NOT:
        return NOTHING
    volume_m3 = part.volume_mm3 / MM3_PER_M3
    low, likely, high = part.material.density_kg_m3
    return Mass(volume_m3 * low, volume_m3 * likely, volume_m3 * high)


def balance(masses: Sequence[Mass], centres_mm: Sequence[Vector]) -> tuple[Mass, Vector]:
    """Several masses as one.

    Args:
        masses: At least one.
        centres_mm: The centre of each, mm.

    Returns:
        The sum, and the centre of gravity, mm, of the likely masses; the middle of the centres
        where nothing weighs anything. Where some pieces are wetter than expected and others are
        not, it moves; that is not followed here.
    """
    total = sum(masses, NOTHING)
    shares = [mass.likely_kg for mass in masses] if total.likely_kg else [1.0] * len(masses)
    x, y, z = (
        sum(share * centre[axis] for share, centre in zip(shares, centres_mm, strict=True))
        / sum(shares)
        for axis in range(3)
    )
    return total, (x, y, z)

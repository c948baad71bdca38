"""What can be bought: sections, sheets, and what they are made of."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Material:
    """What a piece is made of, as far as its weight goes.

    Attributes:
        name: "spruce-pine-fir", "southern pine, treated", "concrete".
        density_kg_m3: Density low, likely and high, kg/m3, at the scene's moisture.
        source: Where the density comes from.
    """

    name: str
    density_kg_m3: tuple[float, float, float]
    source: str

"""What people stand on where they raise something: the ground, or the deck once it is laid.

work_surface(building, stage) -> WorkSurface
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from pikepole_model.building.kinds import DECK
from pikepole_model.building.part import Building
from pikepole_model.geometry.placement import Points, Vector

# As much of a deck's edge is taken up by the wall on it: common practice, no source.
EDGE_MM = 200.0


@dataclass(frozen=True, slots=True)
class WorkSurface:
    """Where people stand: on the deck over it once it is there, on the ground beside it.

    What goes onto a wall is over the deck's edge: it is raised from the ground outside.

    Attributes:
        low_mm: Front left corner of the deck, (x, y); None where there is none yet.
        high_mm: Its back right corner.
        deck_mm: Height of its top above ground.
    """

    low_mm: tuple[float, float] | None = None
    high_mm: tuple[float, float] = (0.0, 0.0)
    deck_mm: float = 0.0

    def under(self, point: Vector | Points, edge_mm: float = EDGE_MM) -> float:
        """Height of what stands under a point, above ground, mm.

        Args:
            point: In the building's frame, mm; its height is not looked at.
            edge_mm: So much of the deck along its edges is not stood on.
        """
        if self.low_mm is None:
            return 0.0
        inside = all(
            self.low_mm[i] + edge_mm < point[i] < self.high_mm[i] - edge_mm for i in range(2)
        )
        return self.deck_mm if inside else 0.0


GROUND = WorkSurface()


def level_surface(height_mm: float) -> WorkSurface:
    """One floor everywhere, at a height above ground."""
    return WorkSurface((-inf, -inf), (inf, inf), height_mm)


def work_surface(building: Building, stage: int) -> WorkSurface:
    """What people stand on in a stage: the deck only once an earlier one has laid it."""
    decks = [part for part in building.at(stage).parts if part.kind in DECK]
    if not decks or stage <= max(part.stage for part in decks):
        return GROUND
    low = np.min([part.bounds_mm[0] for part in decks], axis=0)
    high = np.max([part.bounds_mm[1] for part in decks], axis=0)
    return WorkSurface(
        (float(low[0]), float(low[1])), (float(high[0]), float(high[1])), float(high[2])
    )

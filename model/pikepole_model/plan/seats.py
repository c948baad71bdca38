"""How rafters of one pitch sit on what is level, common ones and those at the ends.

The straight underside crosses the top of what carries it one seat's width before its lower edge; a
level seat reaches to that edge and a plumb heel stands on it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.schema import Scene

# A rafter rests on at least 1-1/2 in (38 mm) of wood (IRC R802.6), and a notch at its end takes at
# most a quarter of its depth (IRC R802.7.1).
LEAST_BEARING_MM = 38.0
DEEPEST_END_NOTCH = 0.25


def widest_seat_mm(slope_rad: float, width: float, depth: float) -> float:
    """The widest seat of a rafter of some depth on a bearing, a quarter notched, mm."""
    return min(width, depth * DEEPEST_END_NOTCH / math.sin(slope_rad))


@dataclass(frozen=True, slots=True)
class Seats:
    """The seats of rafters of one pitch.

    Attributes:
        slope_rad: From the level.
        rafter_mm: Depth of the common rafters.
        lookout_mm: Thickness of the lookouts that pass over the end rafters; 0 without.
        end_rafter_mm: Depth of the end rafters.
    """

    slope_rad: float
    rafter_mm: float
    lookout_mm: float
    end_rafter_mm: float

    @property
    def _lifted_mm(self) -> float:
        """How far an end rafter's underside lies above the others', square to the roof, mm."""
        return self.rafter_mm - self.lookout_mm - self.end_rafter_mm

    def common_mm(self, width: float) -> float:
        """The widest level seat of a common rafter on a bearing with which none loses too much.

        A rafter cannot be notched less than its place under the roof asks for, so all of them are
        set a little higher where end rafters under the lookouts would lose more than a quarter.
        """
        own = widest_seat_mm(self.slope_rad, width, self.rafter_mm)
        if self._lifted_mm < 0:
            return own
        end = widest_seat_mm(self.slope_rad, width, self.end_rafter_mm)
        return min(own, end + self._lifted_mm / math.sin(self.slope_rad))

    def at_end_mm(self, common: float) -> float:
        """Level seat of an end rafter under the lookouts, beside a common one's."""
        return common - self._lifted_mm / math.sin(self.slope_rad)

    def bears(self, width: float) -> bool:
        """Whether common and end rafters both sit on enough, and neither is cut too deep."""
        common = self.common_mm(width)
        widest = widest_seat_mm(self.slope_rad, width, self.end_rafter_mm)
        least = LEAST_BEARING_MM - TOLERANCE_MM
        return common >= least and least <= self.at_end_mm(common) <= widest + TOLERANCE_MM


def lookout_mm(scene: Scene) -> float:
    """Thickness of the lookouts; 0 without a rake overhang."""
    stock = scene.lumber_stock(scene.roof.lookout)
    return stock.breadth_mm if scene.roof.rake_overhang else 0.0


def end_rafter(scene: Scene, bearings: Sequence[tuple[float, float]]) -> tuple[str, float]:
    """Stock and depth of the end rafters.

    With a rake overhang they are shallower than the others, because the lookouts pass over
    them: the deepest section that still has a bearing and fits under the lookouts, of the rafters'
    strength where there is one, or else the rafters' own stock ripped down by a lookout's
    thickness.

    Args:
        scene: The scene.
        bearings: Slope in radians and width in mm of each sort of bearing that they meet.
    """
    roof, lookout = scene.roof, lookout_mm(scene)
    if roof.end_rafter or not lookout:
        stock = scene.lumber_stock(roof.end_rafter or roof.rafter)
        return stock.name, stock.depth_mm
    rafter = scene.lumber_stock(roof.rafter)
    alike = (
        stock
        for stock in scene.catalogue.lumber.values()
        if abs(stock.breadth_mm - rafter.breadth_mm) < TOLERANCE_MM
    )
    # The first that fits is found soonest from the deepest down.
    for stock in sorted(
        alike, key=lambda one: (one.depth_mm, one.strength == rafter.strength), reverse=True
    ):
        if all(
            Seats(slope_rad, rafter.depth_mm, lookout, stock.depth_mm).bears(width)
            for slope_rad, width in bearings
        ):
            return stock.name, stock.depth_mm
    return rafter.name, rafter.depth_mm - lookout

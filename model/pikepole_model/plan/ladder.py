r"""The ladder to a loft: two rails that lean on a header of its opening, level treads between them.

In the plane (h, z): h is the level distance out from the header, z the height. The rails' back edge
meets the header's foot; their heads are cut plumb against it and level with the floor of the loft.

    header
    []__  top
    []| \
    []|  \
       \==\ tread
        \  \
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from shapely import Polygon as Area
from shapely import box

from pikepole_model.geometry.outline import ring
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.beside import Stretch
from pikepole_model.plan.loft import LoftPlan
from pikepole_model.plan.ties import ties_over_mm
from pikepole_model.scene.loft import Ladder
from pikepole_model.stock.rows import Lumber

# Who steps off a ladder holds on to something up to 42 in over the landing (29 CFR 1910.23(d)(4),
# from memory, of fixed ladders), or as high as roof, beams and ties leave 1 in over it; under 12 in
# is none.
GRAB_OVER_FLOOR_MM = 1066.8
UNDER_ROOF_MM = 25.4
LEAST_GRAB_MM = 304.8


@dataclass(frozen=True)
class LadderPlan:
    """The ladder of one loft. Heights are above finished ground, mm."""

    loft: LoftPlan
    ladder: Ladder

    @cached_property
    def rail(self) -> Lumber:
        """What the rails are cut from."""
        return self.loft.datums.scene.lumber_stock(self.ladder.rail)

    @cached_property
    def tread(self) -> Lumber:
        """What the treads are cut from."""
        return self.loft.datums.scene.lumber_stock(self.ladder.tread)

    @property
    def way(self) -> int:
        """+1 where h grows with Y, -1 where it grows against it."""
        return 1 if self.ladder.edge == "front" else -1

    def y_of(self, h: float) -> float:
        """Y at h, mm."""
        front, back = self.loft.opening_y
        return (front if self.ladder.edge == "front" else back) + self.way * h

    @property
    def _tan(self) -> float:
        return math.tan(math.radians(self.ladder.slope))

    @property
    def rail_h_mm(self) -> float:
        """Depth of the rails, measured level."""
        return self.rail.depth_mm / math.sin(math.radians(self.ladder.slope))

    def back_h(self, z: float) -> float:
        """Where the rails' back edge is at a height, before it is cut at the header, mm."""
        return (self.loft.low_mm - z) / self._tan

    @cached_property
    def foot_h(self) -> float:
        """How far out from the header its foot reaches, mm."""
        return self.back_h(self.loft.datums.floor_mm) + self.rail_h_mm

    @cached_property
    def rail_outline(self) -> Polygon:
        """A rail from its side, in (h, z), mm."""
        floor, top = self.loft.datums.floor_mm, self.loft.top_mm
        ends = [(z, self.back_h(z)) for z in (floor, top)]
        (low, back), (high, over) = ends
        band = Area(
            [(back, low), (back + self.rail_h_mm, low), (over + self.rail_h_mm, high), (over, high)]
        )
        return ring(band.intersection(box(0.0, floor, self.foot_h, top)))

    @property
    def rails_x(self) -> tuple[Stretch, Stretch]:
        """From and to of each rail along the building, mm: in the middle of the opening."""
        middle, half = sum(self.loft.opening_x) / 2, self.ladder.width / 2
        thick = self.rail.breadth_mm
        return ((middle - half - thick, middle - half), (middle + half, middle + half + thick))

    @cached_property
    def grab(self) -> Lumber | None:
        """What the rails to hold on to are cut from, if there are any and the roof leaves room."""
        name = self.ladder.grab
        stock = self.loft.datums.scene.lumber_stock(name) if name else None
        low = self.loft.top_mm + LEAST_GRAB_MM
        return stock if stock and self.grab_z(stock)[1] >= low else None

    @property
    def wide_mm(self) -> float:
        """Over its rails, and over those to hold on to beside them."""
        beside = self.grab.breadth_mm if self.grab else 0.0
        return self.ladder.width + 2 * (self.rail.breadth_mm + beside)

    def grabs_x(self, grab: Lumber) -> tuple[Stretch, Stretch]:
        """From and to of each of those along the building, mm: at both sides of the opening."""
        (left, right), thick = self.loft.opening_x, grab.breadth_mm
        return (left, left + thick), (right - thick, right)

    def grab_z(self, grab: Lumber) -> Stretch:
        """From the joists' underside to the top of those, mm."""
        loft = self.loft
        y0, y1 = sorted((self.y_of(0.0), self.y_of(grab.depth_mm)))
        clear = min(loft.clear_mm(y0, y1, y1 - y0), loft.under_beams_mm(y0, y1))
        room = min(loft.joists_top_mm + clear, ties_over_mm(loft.roof, self.grabs_x(grab)))
        return loft.low_mm, min(loft.top_mm + GRAB_OVER_FLOOR_MM, room - UNDER_ROOF_MM)

    @cached_property
    def treads_top_mm(self) -> tuple[float, ...]:
        """Top of each tread, from the foot up: equal rises from floor to floor."""
        floor, top = self.loft.datums.floor_mm, self.loft.top_mm
        rises = max(1, math.ceil((top - floor - TOLERANCE_MM) / self.ladder.rise))
        return tuple(floor + (top - floor) * k / rises for k in range(1, rises))

    def level_h(self, z: float, size_mm: float) -> Stretch:
        """From and to of something level that lies in the middle of the rails' depth, mm.

        Args:
            z: Height of its middle.
            size_mm: How far it reaches along h.
        """
        start = max(0.0, self.back_h(z) + (self.rail_h_mm - size_mm) / 2)
        return (start, start + size_mm)


def ladder_plan(loft: LoftPlan) -> LadderPlan | None:
    """The ladder of a loft, if it has one."""
    opening = loft.loft.opening
    return LadderPlan(loft, opening.ladder) if opening and opening.ladder else None

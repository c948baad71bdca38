r"""A ramp to a door: joists down to the ground, boards across them, and wedges at the foot.

In the plane (h, z), as steps are:

    | |\\_
    | |  \\ \\_  board
    | leg  \\  \\_
    |_|______\\____\\_wedge_
            joist
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from shapely import Polygon as Area

from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import evenly, ripped_rows, splice
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.beside import Stretch
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.steps import GAP_MM, StepsPlan, WayUpPlan, ways_up
from pikepole_model.scene.steps import Ramp, Steps
from pikepole_model.stock.metric import usual
from pikepole_model.stock.rows import Lumber

# It begins this far under the floor, so that rain stays out: 1/2 in. Legs stand at its head and
# this far apart at most: 4 ft. Its joists end this thick on the ground, and its wedges so. Common
# practice, no source.
DROP_MM = 12.7
LEGS_APART_MM = 1219.2
TOE_MM = 3.0
LIP_MM = 6.35
WEDGE = "2x12"


@dataclass(frozen=True)
class RampPlan(WayUpPlan):
    """The ramp up to one door."""

    says: Ramp

    @cached_property
    def joist(self) -> Lumber:
        """What its joists are cut from."""
        return self.datums.scene.lumber_stock(self.says.joist)

    @property
    def fall_rad(self) -> float:
        """From the level."""
        return math.radians(self.says.slope)

    def top_z(self, h: float) -> float:
        """Of its boards, mm."""
        return self.rise_mm - DROP_MM - math.tan(self.fall_rad) * h

    def joist_z(self, h: float) -> float:
        """Top of its joists, mm."""
        return self.top_z(h) - self.board.breadth_mm / math.cos(self.fall_rad)

    def low_z(self, h: float) -> float:
        """Underside of its joists before their feet are cut, mm."""
        return self.joist_z(h) - self.joist.depth_mm / math.cos(self.fall_rad)

    @cached_property
    def joists_h(self) -> float:
        """How far out its joists end, mm."""
        return (self.joist_z(0.0) - TOE_MM) / math.tan(self.fall_rad)

    @cached_property
    def legs_h(self) -> tuple[float, ...]:
        """Middle of each leg beside a joist, mm: at its head, and on to where it lies on ground."""
        half = self.leg_mm / 2
        first = self.pier[0] + half
        ground = self.joists_h - self.joist.depth_mm / math.sin(self.fall_rad)
        if ground <= first + half:
            return ()
        places = evenly(first, ground, LEGS_APART_MM)
        return tuple(h for h in places if self.low_z(h + half) > 0.0)

    @property
    def leg_mm(self) -> float:
        """Width of a leg, the width of a board on edge along the ramp."""
        return self.joist.depth_mm

    def leg_top(self, h: float) -> float:
        """Top of a leg whose middle is at h, under the boards, mm."""
        return self.joist_z(h + self.leg_mm / 2)

    @cached_property
    def joists(self) -> tuple[Polygon, ...]:
        """Each length of a joist from its side, in (h, z), mm; they meet beside legs."""
        longest = self.joist.longest_mm * math.cos(self.fall_rad) - self.joist.depth_mm
        runs = splice(0.0, self.joists_h, longest, self.legs_h)
        return tuple(self._length(run) for run in runs)

    def _length(self, run: Stretch) -> Polygon:
        low = [(h, max(0.0, self.low_z(h))) for h in run]
        ground = self.joists_h + (TOE_MM / math.tan(self.fall_rad))
        ground -= self.joist.depth_mm / math.sin(self.fall_rad)
        if run[0] < ground < run[1]:
            low.insert(1, (ground, 0.0))
        return self.clear_of_piers(Area([*low, *((h, self.joist_z(h)) for h in reversed(run))]))

    @cached_property
    def boards(self) -> list[Stretch]:
        """From and to of each board across the joists, down the slope from its head, mm."""
        long = self.joists_h / math.cos(self.fall_rad)
        return ripped_rows(0.0, long, self.board.depth_mm, GAP_MM)

    @property
    def wedge_stock(self) -> str:
        """What the wedges are cut from."""
        return usual(WEDGE, self.datums.scene.units)

    @cached_property
    def wedges(self) -> tuple[Polygon, ...]:
        """Each wedge from the boards down to the ground, from its end, in (h, z), mm."""
        stock, start = self.datums.scene.lumber_stock(self.wedge_stock), self.joists_h
        high = min(stock.breadth_mm, self.top_z(start))
        long = (high - LIP_MM) / math.tan(self.fall_rad)
        edges = evenly(start, start + long, stock.depth_mm)
        fall = (high - LIP_MM) / long
        tops = [high - fall * (h - start) for h in edges]
        return tuple(
            ((a, 0.0), (b, 0.0), (b, low), (a, up))
            for a, b, up, low in zip(edges, edges[1:], tops, tops[1:], strict=False)
        )

    @property
    def long_mm(self) -> float:
        """How far it reaches out."""
        return self.wedges[-1][1][0]


def plan_ways_up(
    faces: Iterable[WallFace], lines: Iterable[BeamLine]
) -> tuple[StepsPlan | RampPlan, ...]:
    """The steps and ramps of a building."""
    return tuple(
        StepsPlan(face, framed, says, stands)
        if isinstance(says, Steps)
        else RampPlan(face, framed, says, stands)
        for face, framed, says, stands in ways_up(faces, lines)
    )

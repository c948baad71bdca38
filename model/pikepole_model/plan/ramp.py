r"""A ramp to a door: joists down to the ground, boards across them, and gravel up to its foot.

In the plane (h, z), as steps are; no wood ends thinner than a board:

    | |\\_
    | |  \ \_  board
    | leg  \  \_
    |_|_____|____|:::..  gravel
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
from pikepole_model.plan.sills import Sill
from pikepole_model.plan.steps import GAP_MM, StepsPlan, WayUpPlan, ways_up
from pikepole_model.plan.windows_doors import fitted_openings
from pikepole_model.scene.steps import Ramp, Steps
from pikepole_model.stock.rows import Lumber

# It begins this far under the nose of the threshold, and as far out from it: the step that wheels
# take, 1/4 in. Source: ADA 2010 303.2 (from memory).
LIP_MM = 6.35
# Without a threshold, and before a leaf that slides down past it, so far under the floor that rain
# stays out: 1/2 in. Legs stand at its head and this far apart at most: 4 ft. Its joists end as high
# as a board is thick, 1-1/2 in. Common practice, no source.
DROP_MM = 12.7
LEGS_APART_MM = 1219.2
TOE_MM = 38.1


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

    @cached_property
    def nose(self) -> tuple[float, float] | None:
        """How far out of the sheathing the threshold's nose is and its top over the floor, mm."""
        for fitted in fitted_openings(self.face.plan):
            if fitted.framed is self.framed and fitted.threshold_mm and not fitted.track:
                sill = Sill(self.face, fitted)
                return sill.nose_n, sill.at(sill.nose_n)
        return None

    @cached_property
    def out_mm(self) -> float:
        """Where h is 0: past what covers the wall, past a slab and the threshold's nose, mm."""
        past = self.past_wall_mm
        return max(past, self.nose[0] + LIP_MM) if self.nose else past

    def top_z(self, h: float) -> float:
        """Of its boards, mm."""
        head = self.nose[1] - LIP_MM if self.nose else -DROP_MM
        return self.rise_mm + head - math.tan(self.fall_rad) * h

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

    @property
    def ground_h(self) -> float:
        """From how far out on its joists lie on the ground, mm."""
        end = self.joists_h + TOE_MM / math.tan(self.fall_rad)
        return end - self.joist.depth_mm / math.sin(self.fall_rad)

    @cached_property
    def legs_h(self) -> tuple[float, ...]:
        """Middle of each leg beside a joist, mm: at its head, and on to where it lies on ground."""
        half = self.leg_mm / 2
        first = self.pier[0] + half
        if self.ground_h <= first + half:
            return ()
        places = evenly(first, self.ground_h, LEGS_APART_MM)
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
        if run[0] < self.ground_h < run[1]:
            low.insert(1, (self.ground_h, 0.0))
        return self.clear_of_piers(Area([*low, *((h, self.joist_z(h)) for h in reversed(run))]))

    @cached_property
    def boards(self) -> list[Stretch]:
        """From and to of each board across the joists, down the slope from its head, mm."""
        long = self.joists_h / math.cos(self.fall_rad)
        return ripped_rows(0.0, long, self.board.depth_mm, GAP_MM)

    @cached_property
    def apron(self) -> Polygon:
        """The gravel from its foot down to the ground, from its side, in (h, z), mm."""
        start, high = self.joists_h, self.top_z(self.joists_h)
        return ((start, 0.0), (start + high / math.tan(self.fall_rad), 0.0), (start, high))

    @property
    def long_mm(self) -> float:
        """How far it reaches out."""
        return self.apron[1][0]


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

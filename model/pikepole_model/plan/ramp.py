r"""A ramp to a door: joists down to the ground, boards across them, and gravel up to its foot.

On a slab its foot is concrete. In the plane (h, z), as steps are; no wood ends thinner than a
board. Where a leaf swings out over it, it begins with a level landing:

    |_____________
    |_________|___|\\_
    | |       | |    \ \_  board
    | leg     |leg     \  \_
    |_|_______|_|_______|____|:::..  gravel
                        joist
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from shapely import Polygon as Area
from shapely import box

from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import TOLERANCE_MM, evenly, ripped_rows, splice
from pikepole_model.plan.beams import BeamLine
from pikepole_model.plan.beside import Stretch
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.sills import Sill
from pikepole_model.plan.steps import GAP_MM, OFF_WALL_MM, StepsPlan, WayUpPlan, ways_up
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.steps import Ramp, Steps
from pikepole_model.stock.rows import Lumber

# It begins this far under the nose of the threshold, and as far out from it, and ends so high on a
# slab: the step that wheels take, 1/4 in. Source: ADA 2010 303.2 (from memory).
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
        fitted = self.fitted
        if fitted is None or not fitted.threshold_mm or fitted.track:
            return None
        sill = Sill(self.face, fitted)
        return sill.nose_n, sill.at(sill.nose_n)

    @cached_property
    def start_mm(self) -> float:
        """Where its boards would begin if no slab reached out: at the cover or the nose, mm."""
        return max(self.past_cover_mm, self.nose[0] + LIP_MM) if self.nose else self.past_cover_mm

    @cached_property
    def overhang_mm(self) -> float:
        """How far its first board passes its joists' heads, back to the threshold.

        They stand clear of a slab that may reach out farther. A board passes them by its thickness
        at most, and where it lies clear over that slab.
        """
        pad = self.datums.scene.foundation
        slab = pad.above_ground - self.stands_mm if isinstance(pad, Pad) else 0.0
        if not self.nose or self.head_z - self.board.breadth_mm < slab + OFF_WALL_MM:
            return 0.0
        return min(self.out_mm - self.start_mm, self.board.breadth_mm)

    @cached_property
    def landing_boards(self) -> int:
        """How many make the landing; none is needed where no leaf swings over it."""
        return self.boards_of(self.leaf_landing_mm)

    @property
    def landing_mm(self) -> float:
        """Depth of the landing: where the slope begins."""
        if not self.landing_boards:
            return 0.0
        return self.landing_boards * (self.board.depth_mm + GAP_MM) - self.overhang_mm

    @property
    def head_z(self) -> float:
        """Top of the boards at its head, mm: no wheel drops in before the threshold."""
        return self.rise_mm + (self.nose[1] - LIP_MM if self.nose else -DROP_MM)

    def top_z(self, h: float) -> float:
        """Of the sloping boards, mm, or what the line of them is at over the landing."""
        return self.head_z - math.tan(self.fall_rad) * (h - self.landing_mm)

    def joist_z(self, h: float) -> float:
        """Top of its joists, mm."""
        if h < self.landing_mm - TOLERANCE_MM:
            return self.head_z - self.board.breadth_mm
        return self.top_z(h) - self.board.breadth_mm / math.cos(self.fall_rad)

    def low_z(self, h: float) -> float:
        """Underside of its joists before their feet are cut, mm."""
        if h < self.landing_mm - TOLERANCE_MM:
            return self.joist_z(h) - self.joist.depth_mm
        return self.joist_z(h) - self.joist.depth_mm / math.cos(self.fall_rad)

    @cached_property
    def joists_h(self) -> float:
        """How far out its joists end, mm."""
        start = self.landing_mm
        return start + (self.joist_z(start) - TOE_MM) / math.tan(self.fall_rad)

    @property
    def ground_h(self) -> float:
        """From how far out on its joists lie on the ground, mm."""
        end = self.joists_h + TOE_MM / math.tan(self.fall_rad)
        return max(self.landing_mm, end - self.joist.depth_mm / math.sin(self.fall_rad))

    @cached_property
    def legs_h(self) -> tuple[float, ...]:
        """Middle of each leg beside a joist, mm: at its head, and on to where it lies on ground.

        One stands where the landing ends, half beside its joist, half beside the sloping one.
        """
        half, edge = self.leg_mm / 2, self.landing_mm
        first = self.pier[0] + half
        before = evenly(first, edge, LEGS_APART_MM) if edge > first + half else []
        start = edge if before else first
        if self.ground_h <= start + half:
            return tuple(before)
        sloping = evenly(start, self.ground_h, LEGS_APART_MM)
        places = [*before[:-1], *sloping]
        return tuple(h for h in places if h == edge or self.low_z(h + half) > 0.0)

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
        runs = splice(self.landing_mm, self.joists_h, longest, self.legs_h)
        return (*self._landing_joist(), *(self._length(run) for run in runs))

    def _landing_joist(self) -> tuple[Polygon, ...]:
        if not self.landing_boards:
            return ()
        low = max(0.0, self.low_z(0.0))
        return (self.clear_of_piers(box(0.0, low, self.landing_mm, self.joist_z(0.0))),)

    def _length(self, run: Stretch) -> Polygon:
        low = [(h, max(0.0, self.low_z(h))) for h in run]
        if run[0] < self.ground_h < run[1]:
            low.insert(1, (self.ground_h, 0.0))
        return self.clear_of_piers(Area([*low, *((h, self.joist_z(h)) for h in reversed(run))]))

    @cached_property
    def level_boards(self) -> list[Stretch]:
        """From and to of each board of the landing, out from its head, mm."""
        step, start = self.board.depth_mm + GAP_MM, -self.overhang_mm
        heads = [start + k * step for k in range(self.landing_boards)]
        return [(head, head + self.board.depth_mm) for head in heads]

    @cached_property
    def boards(self) -> list[Stretch]:
        """From and to of each sloping board, down the slope from over h = 0, mm.

        The first one's lower corner is where the landing ends.
        """
        start, end = (h / math.cos(self.fall_rad) for h in (self.landing_mm, self.joists_h))
        if self.landing_boards:
            start += self.board.breadth_mm * math.tan(self.fall_rad)
        return ripped_rows(start, end, self.board.depth_mm, GAP_MM)

    @cached_property
    def apron(self) -> Polygon:
        """The gravel from its foot down to the ground, from its side, in (h, z), mm."""
        start, high = self.joists_h, self.top_z(self.joists_h)
        return ((start, 0.0), (start + high / math.tan(self.fall_rad), 0.0), (start, high))

    @property
    def toe(self) -> Polygon:
        """Concrete in place of that on a slab, where gravel would roll: it ends as a lip."""
        (start, _), (end, _), (_, high) = self.apron
        end -= LIP_MM / math.tan(self.fall_rad)
        return ((start, 0.0), (end, 0.0), (end, LIP_MM), (start, high))

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

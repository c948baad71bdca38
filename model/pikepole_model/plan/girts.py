"""Girts over the studs and posts of a wall: level boards, their wide face out, for upright slats.

Seen from outside. The uppermost runs up a rake with the plates; over and under an opening one of
its own takes the ends of the slats there:

    =======================
    |   |---------|   |   |
    |===|=========|===|===|
    |   |         |   |   |
    =======================
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import shapely
from shapely import LineString, box
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.outline import cut_out
from pikepole_model.geometry.spacing import (
    TOLERANCE_MM,
    evenly,
    joints_of,
    overlap,
    splice,
    without,
)
from pikepole_model.plan.backing import backed_centres
from pikepole_model.plan.framed import Rake
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_cover import cover_top
from pikepole_model.scene.types import Wall
from pikepole_model.scene.walls import SlattedWall
from pikepole_model.stock.rows import Lumber

# A girt ripped narrower than this beside an opening is left out: the next one is near. 1-1/2 in,
# common practice, no source.
LEAST_RIPPED_MM = 38.1


@dataclass(frozen=True)
class GirtsOver:
    """The girts of one wall.

    Attributes:
        plan: The wall.
        kind: What the scene says of it.
    """

    plan: WallPlan
    kind: SlattedWall

    @cached_property
    def stock(self) -> Lumber:
        """What they are cut from."""
        return self.plan.datums.scene.lumber_stock(self.kind.girt)

    @cached_property
    def rakes(self) -> list[Rake]:
        """The top of what covers the wall, in straight lengths from left to right.

        A front or back wall's run out over what lies on its neighbours' studs.
        """
        plan = self.plan
        pairs = itertools.pairwise(cover_top(plan))
        rakes = [Rake(*ends) for ends in pairs if ends[1][0] - ends[0][0] > TOLERANCE_MM]
        if plan.runs_through:
            left, right = (self._under_cover(wall) for wall in plan.beside)
            start, end = -left, plan.length_mm + right
            rakes[0] = replace(rakes[0], start=(start, rakes[0].at(start)))
            rakes[-1] = replace(rakes[-1], end=(end, rakes[-1].at(end)))
        return rakes

    def _under_cover(self, wall: Wall) -> float:
        datums = self.plan.datums
        is_slatted = isinstance(datums.scene.walls.kind_of(wall), SlattedWall)
        return datums.girts_mm(wall) if is_slatted else datums.cover_mm(wall)

    @cached_property
    def levels(self) -> list[float]:
        """Middles of the rows, mm above the floor: evenly from the foot to the highest one."""
        half = self.stock.depth_mm / 2
        highest = max(v for rake in self.rakes for _, v in (rake.start, rake.end))
        return evenly(half, max(half, highest - half), self.kind.girt_spacing)

    def lengths(self) -> Iterator[tuple[BaseGeometry, float]]:
        """What each covers in (u, v), mm, and its slope; joints over studs, apart from those below.

        A level one ends where its whole width has room under the uppermost.
        """
        wide, longest, below = (
            self.stock.depth_mm,
            self.stock.longest_of_mm(self.plan.length_mm),
            list[float](),
        )
        studs = backed_centres(self.plan)
        for level in self.levels[:-1]:
            low, joints = level - wide / 2, list[float]()
            for run in self._runs(low):
                lengths = splice(*run, longest, studs, below)
                joints += joints_of(lengths)
                yield from ((box(u0, low, u1, low + wide), 0.0) for u0, u1 in lengths)
            below = joints
        depth = self.plan.datums.beam_depth_mm
        open_ = [
            *(box(*framed.rough) for framed in self.plan.openings),
            *(box(u0, v0, u1, v1 + depth) for u0, v0, u1, v1 in self.plan.through),
        ]
        for rake in self.rakes:
            # Cut plumb at its ends, it is longer from corner to corner.
            reached = longest * math.cos(rake.rad) - wide * abs(math.sin(rake.rad))
            for u0, u1 in splice(rake.start[0], rake.end[0], reached, studs, below):
                for outline, _ in cut_out(_band(rake, u0, u1, wide), open_):
                    yield Area(outline), rake.rad
        for band in self._beside_openings():
            yield band, 0.0

    @cached_property
    def _under(self) -> BaseGeometry:
        """What is left of the wall under the uppermost girts, in (u, v), mm."""
        wide = self.stock.depth_mm
        line = [
            (u, rake.at(u) - rake.plumb(wide))
            for rake in self.rakes
            for u in (rake.start[0], rake.end[0])
        ]
        foot = min(0.0, *(v for _, v in line)) - 1.0
        return Area([(line[0][0], foot), (line[-1][0], foot), *reversed(line)])

    def _runs(self, low: float) -> Iterator[tuple[float, float]]:
        """From and to of a level girt along the wall between openings and beams, mm."""
        (left, _, right, _), wide = self._under.bounds, self.stock.depth_mm
        top = LineString([(left, low + wide), (right, low + wide)])
        gaps = [
            framed.u
            for framed in self.plan.openings
            if overlap((framed.sill - wide, framed.head + wide), (low, low + wide))
        ]
        depth = self.plan.datums.beam_depth_mm
        for u0, v0, u1, v1 in self.plan.through:
            gaps += [(u0, u1)] * overlap((v0, v1 + depth), (low, low + wide))
        for part in shapely.get_parts(shapely.intersection(self._under, top)):
            if part.length > TOLERANCE_MM:
                yield from without((part.bounds[0], part.bounds[2]), gaps)

    def _beside_openings(self) -> Iterator[BaseGeometry]:
        """The girts over and under openings, to the edges of these, ripped where little is left."""
        wide = self.stock.depth_mm
        for framed in self.plan.openings:
            u0, u1 = framed.u
            high = min(framed.head + wide, self._room(framed.u))
            if high - framed.head >= LEAST_RIPPED_MM:
                yield box(u0, framed.head, u1, high)
            low = max(0.0, framed.sill - wide)
            if framed.sill - low >= LEAST_RIPPED_MM:
                yield box(u0, low, u1, framed.sill)

    def _room(self, u: tuple[float, float]) -> float:
        """The lowest underside of the uppermost girts over a stretch, mm above the floor."""
        wide = self.stock.depth_mm
        reached = (r for r in self.rakes if overlap((r.start[0], r.end[0]), u))
        return min(
            r.at(min(max(end, r.start[0]), r.end[0])) - r.plumb(wide) for r in reached for end in u
        )


def _band(rake: Rake, u0: float, u1: float, wide: float) -> Area:
    top = [(u0, rake.at(u0)), (u1, rake.at(u1))]
    return Area([*top, *((u, v - rake.plumb(wide)) for u, v in reversed(top))])

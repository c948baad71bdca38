"""The sheets on a wall, outside and inside, as courses on paper: where their level joints fall."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import shapely
from shapely import LineString, box
from shapely import Polygon as Area

from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.least import SHEET
from pikepole_model.geometry.spacing import (
    LEAST_SHEET_MM,
    SHEET_GAP_MM,
    TOLERANCE_MM,
    laid_apart,
    overlap,
    sheet_edges,
)
from pikepole_model.plan.backing import backed_centres
from pikepole_model.plan.standing import Standing, standing_at
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_cover import (
    cover_foot_mm,
    lining_top,
    sheet_top,
    tails_mm,
    tails_u,
)
from pikepole_model.scene.walls import SheetedWall
from pikepole_model.stock.rows import Sheet

# A level joint lies an inch lower, or some, where it would leave less than 12 in over it, if that
# leaves more: a narrower strip bends in the hand and takes a row of blocks for little. Common
# practice, no source.
LOWERED_MM = 25.4
LOWERED_TIMES = 25
LEAST_STRIP_MM = 304.8

# Over or under an opening 7-1/2 in are as good: that hangs together with the sheet beside it, and a
# header is behind it. Common practice, no source.
LEAST_NECK_MM = 190.5

# Further than any wall is high, mm.
FAR_MM = 100_000.0


@dataclass(frozen=True)
class SheetLayer:
    """Sheets on one side of a wall's studs.

    Attributes:
        plan: The wall.
        what: What a sheet is called.
        kind: What it is.
        group: What it belongs to.
        stock: What it is cut from.
        u: From and to along the wall, mm.
        foot: Their bottom above the floor, mm.
        top_line: Their top, (u, height above the floor), mm.
        n: Their back, mm out from the framing's outer face.
        block_n: The back of the blocks behind their level joints, mm out from there.
        across: The sheets on the studs' other side, where there are any.
    """

    plan: WallPlan
    what: str
    kind: Kind
    group: str
    stock: Sheet
    u: tuple[float, float]
    foot: float
    top_line: list[tuple[float, float]]
    n: float
    block_n: float
    across: SheetLayer | None = None

    @cached_property
    def cut_round(self) -> list[Standing]:
        """What is there already where they come."""
        plan, n = self.plan, (self.n, self.n + self.stock.thickness_mm)
        there = standing_at(plan.datums, plan.place, self.group)
        return [one for one in there if overlap(one.n, n)]

    @cached_property
    def columns(self) -> list[float]:
        """Upright edges of the sheets from left to right: joints on studs, mm.

        None beside an opening or a beam where it would leave an arm, nor on the last stud where it
        would leave a strip, if another stud will do. Beside a doorway an arm is as long as a man
        and breaks sooner: it is LEAST_STRIP_MM wide where as many sheets do. Nor does a joint then
        go on in line with an opening's side, or on the king beside it: where the wall moves, it
        opens at the corner. A sheet is cut round the corner instead, and the joint is past the king
        or over the opening. Common practice, no source.
        """
        least = SHEET.width + SHEET_GAP_MM
        tried = [self._off(least), self._off(LEAST_STRIP_MM), self._off(least, past_corners=True)]
        fine = [edges for edges in tried if edges]
        return min(fine, key=self._faults) if fine else self._edges(self._backed)

    @cached_property
    def _backed(self) -> list[float]:
        """Where something stands behind a joint, mm."""
        return backed_centres(self.plan)

    def _faults(self, edges: Sequence[float]) -> tuple[int, bool, int, int]:
        """What speaks against joints there, the worst first.

        How many sheets they take; whether one leaves a thin arm beside a doorway; how many are
        narrow; how many joints are at a corner of an opening.
        """
        joints, spans = edges[1:-1], itertools.pairwise(edges)
        return (
            len(edges),
            any(self._leaves_thin_arm(u) for u in joints),
            sum(b - a < LEAST_SHEET_MM - TOLERANCE_MM for a, b in spans),
            sum(self._is_at_corner(u) for u in joints),
        )

    def _leaves_thin_arm(self, u: float) -> bool:
        """Whether a joint lies nearer to a doorway's outside than LEAST_STRIP_MM."""
        doors = [framed.u for framed in self.plan.openings if framed.sill < TOLERANCE_MM]
        return any(
            TOLERANCE_MM < out < LEAST_STRIP_MM - TOLERANCE_MM
            for left, right in doors
            for out in (left - u, u - right)
        )

    def _is_at_corner(self, u: float) -> bool:
        """Whether a joint is nearer to an opening's side than a jack and a king are thick.

        At a gap through a half wall its sheets end, and no joint goes on over that.
        """
        plan = self.plan
        sides = [] if plan.open_part else [side for one in plan.openings for side in one.u]
        return any(abs(u - side) < 2 * plan.datums.breadth_mm - TOLERANCE_MM for side in sides)

    def _off(self, least: float, *, past_corners: bool = False) -> list[float] | None:
        """The upright edges with joints so far off openings and beams, mm; None where none are.

        Args:
            least: How far, mm; in line with their sides is far enough.
            past_corners: Whether they are also off corners, and leave no thin arm.
        """
        plan = self.plan
        beams = ((u0, u1) for u0, _, u1, _ in plan.through)
        cut = (*(framed.u for framed in plan.openings), *(one.u for one in self.cut_round), *beams)
        ends = [u for pair in (self.u, *cut) for u in pair]
        clear = [
            u for u in self._backed if not any(TOLERANCE_MM < abs(u - end) < least for end in ends)
        ]
        if past_corners:
            near = (self._is_at_corner, self._leaves_thin_arm)
            clear = [u for u in clear if not any(is_near(u) for is_near in near)]
        edges, fine = self._edges(clear), (*clear, *ends)
        are_fine = all(any(abs(u - one) < TOLERANCE_MM for one in fine) for u in edges)
        return edges if are_fine else None

    @cached_property
    def notches(self) -> list[Area]:
        """What is cut out of the upper edge for rafters' tails, and for fingers between them.

        __    __    __   plates
          |__|  |__|     each tail comes down through a notch; what would be left between two,
                         or beside a joint, and breaks, goes with it
        """
        low = tails_mm(self.plan) if self.kind is Kind.WALL_SHEET else math.inf
        if low >= max(top for _, top in self.top_line):
            return []
        least, edges = SHEET.width + SHEET_GAP_MM, self.columns
        found: list[tuple[float, float]] = []
        for start, end in tails_u(self.plan):
            near = [u for u in edges if start - least < u < end + least]
            start, end = min([start, *near]), max([end, *near])
            if found and start - found[-1][1] < least:
                start = found.pop()[0]
            found.append((start, end))
        return [box(start, low, end, FAR_MM) for start, end in found]

    @property
    def sheets_u(self) -> list[tuple[float, float]]:
        """From and to of each column along the wall, mm."""
        plan = self.plan
        spans = laid_apart(sorted(map(plan.from_layout, self.columns)))
        ends = (sorted(map(plan.from_layout, span)) for span in spans)
        return sorted((left, right) for left, right in ends)

    def _edges(self, studs: Sequence[float]) -> list[float]:
        plan, part = self.plan, self.plan.open_part
        marks = {plan.from_layout(u): u for u in studs}
        # A half wall's sheets begin anew past a gap through it.
        gaps = [u for gap in part.gaps for u in gap] if part else []
        ends = sorted(map(plan.from_layout, (*self.u, *gaps)))
        edges = [
            edge
            for low, high in zip(ends[::2], ends[1::2], strict=True)
            for edge in sheet_edges(low, high, self.stock.width_mm, marks)
        ]
        return sorted(marks.get(mark, plan.from_layout(mark)) for mark in edges)

    @cached_property
    def courses(self) -> list[float]:
        """Level edges of the sheets from the foot up, the last no lower than the highest point, mm.

        A joint lies a whole sheet and a gap over the one before: the block behind it follows. Where
        a strip or a tip would be left over the last joint, that one lies lower, so that the sheets
        below share with it; and where the sheets on the studs' other side can meet there too, so
        that one row of blocks serves both.
        """
        edges = self._whole_sheets
        if len(edges) == 2:
            return edges
        shared = self._shared
        joint = self._lowered if shared is None else shared
        return [*edges[:-2], joint, edges[-1] - (edges[-2] - joint)]

    @cached_property
    def _whole_sheets(self) -> list[float]:
        """The same where no joint lies lower than a whole sheet reaches, mm."""
        edges, long = [self.foot], self.stock.length_mm
        while edges[-1] + long < self._highest - TOLERANCE_MM:
            edges.append(edges[-1] + long + SHEET_GAP_MM)
        edges.append(edges[-1] + long)
        return edges

    @property
    def _highest(self) -> float:
        """The highest point of the sheets, mm."""
        return max(top for _, top in self.top_line)

    @property
    def _lower(self) -> list[float]:
        """Where the last level joint may lie, the highest first, mm; nowhere without any.

        The sheet over it is no longer than a sheet.
        """
        *below, joint, end = self._whole_sheets
        if not below:
            return []
        spare = end - self._highest + TOLERANCE_MM
        lowered = (k * LOWERED_MM for k in range(LOWERED_TIMES))
        return [joint - by for by in lowered if by <= spare]

    @cached_property
    def _lowered(self) -> float:
        """Where the last level joint lies by these sheets alone, mm."""
        return max(self._lower, key=self._least_over)  # of equal ones the highest

    @property
    def _shared(self) -> float | None:
        """Where it lies on both sides of the studs, mm; None where that would leave less."""
        other = self.across
        if other is None or not other._lower:
            return None
        both = (self, other)
        low, high = max(one._lower[-1] for one in both), min(one._lower[0] for one in both)
        joints = sorted({j for one in both for j in one._lower if low <= j <= high}, reverse=True)
        least = {joint: min(one._least_over(joint) for one in both) for joint in joints}
        apart = min(one._least_over(one._lowered) for one in both)
        best = max(joints, key=least.__getitem__, default=None)
        return best if best is not None and least[best] >= apart - TOLERANCE_MM else None

    def _least_over(self, joint: float) -> float:
        """The least that a level joint leaves of a sheet, up to LEAST_STRIP_MM; necks count more.

        Under the plates or their rake, under the tails, over and under openings, beams that come
        through and what is there already; and of a notch that is no deeper than a strip.
        """
        over = [under - joint for high, under in self._columns_high if high > joint]
        past = [
            abs(out) * LEAST_STRIP_MM / enough
            for low, high, enough in self._holes
            for out in (joint - high, low - joint)
            if out > -SHEET.width and abs(out) > TOLERANCE_MM
        ]
        return min([LEAST_STRIP_MM, *over, *past])

    @cached_property
    def _columns_high(self) -> list[tuple[float, float]]:
        """How high each column goes, and how high under the tails, mm."""
        tails = tails_mm(self.plan) if self.kind is Kind.WALL_SHEET else math.inf
        line, found = LineString(self.top_line), list[tuple[float, float]]()
        for u0, u1 in itertools.pairwise(self.columns):
            over = shapely.intersection(line, box(u0, -FAR_MM, u1, FAR_MM))
            high = math.inf if over.is_empty else over.bounds[3]
            found.append((high, min(high, tails)))
        return found

    @cached_property
    def _holes(self) -> list[tuple[float, float, float]]:
        """From and to of what the sheets are cut round, up the wall, and what to leave beside it.

        Beside a beam a sheet goes on; nothing is behind a joint over what is there already.
        """
        return [
            *((one.sill, one.head, LEAST_NECK_MM) for one in self.plan.openings),
            *((low, high, 2 * SHEET.width) for _, low, _, high in self.plan.through),
            *((*one.v, LEAST_STRIP_MM) for one in self.cut_round),
        ]


def sheet_layers(plan: WallPlan) -> Iterator[SheetLayer]:
    """The sheets that a wall has, outside and inside."""
    for layer in (outside_sheets(plan), inside_sheets(plan)):
        if layer:
            yield layer


def outside_sheets(plan: WallPlan) -> SheetLayer | None:
    """Those outside, their joints where those inside can meet too; None on bare studs."""
    outside = _outside(plan)
    return outside and replace(outside, across=_inside(plan))


def inside_sheets(plan: WallPlan) -> SheetLayer | None:
    """Those inside, their joints where those outside can meet too; None where there are none."""
    inside = _inside(plan)
    return inside and replace(inside, across=_outside(plan))


def _outside(plan: WallPlan) -> SheetLayer | None:
    """Corner to corner and from the rim under it to the plates; None on bare studs."""
    if not isinstance(plan.kind, SheetedWall):
        return None
    datums = plan.datums
    return SheetLayer(
        plan,
        f"{plan.group} sheet",
        Kind.WALL_SHEET,
        f"{plan.group} sheathing",
        datums.scene.sheet_stock(datums.scene.walls.sheet),
        (0.0, plan.length_mm),
        cover_foot_mm(plan),
        sheet_top(plan),
        0.0,
        -datums.breadth_mm,
    )


def _inside(plan: WallPlan) -> SheetLayer | None:
    """From the floor up and between those of its neighbours; None where nothing lines the inside.

    A front or back wall's reach from side wall to side wall.
    """
    datums, lining = plan.datums, plan.datums.lining(plan.name)
    if lining is None:
        return None
    beside = [0.0 if plan.runs_through else datums.lining_mm(w) for w in plan.beside]
    return SheetLayer(
        plan,
        f"{plan.group} {Kind.LINING}",
        Kind.LINING,
        f"{plan.group} lining",
        lining,
        (datums.wall_mm + beside[0], plan.length_mm - datums.wall_mm - beside[1]),
        0.0,
        lining_top(plan),
        -datums.wall_mm - lining.thickness_mm,
        -datums.wall_mm,
    )

"""The deck floor: rim joists, joists, blocking between them, and sheets or boards over them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from shapely import box

from pikepole_model.building.decks import has_edge_blocks, is_tongued
from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, block, profile, sheeting, timber
from pikepole_model.building.sequence import CLOSED_GAPS
from pikepole_model.geometry.outline import cut_out
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.spacing import (
    LEAST_BLOCK_MM,
    TOLERANCE_MM,
    joints_of,
    overlap,
    ripped_rows,
    row_joints,
    sheet_rows,
    splice,
    without,
)
from pikepole_model.plan.datums import Datums, Obstacle
from pikepole_model.plan.framed import within
from pikepole_model.plan.joists import joist_centres
from pikepole_model.plan.standing import is_filled, is_narrow
from pikepole_model.scene.schema import Floor
from pikepole_model.scene.types import Eave
from pikepole_model.stock.rows import Lumber

# From and to along X and along Y, mm.
Rect = tuple[float, float, float, float]

# Two lengths of a rim meet on a block at least so long, which either is nailed to 15 diameters of a
# 10d nail from its end (NDS Commentary Table C12.1.6.6, from memory), and as far from that of the
# block: 4 times 2-1/4 in.
LEAST_SPLICE_MM = 228.6

FRAME = "floor frame"
DECK = "floor deck"


def frame_floor(datums: Datums, floor: Floor) -> list[Piece]:
    """Rims along the front and back, joists between them, rows of blocking.

    A joist in the way of something that stands up through the floor stops short of it on headers
    between its neighbours; what stands between two joists gets blocks before and behind it.
    """
    frame = _Frame(datums, floor)
    return [*frame.rims(), *frame.joists(), *frame.blocks()]


def close_rims(datums: Datums, floor: Floor) -> list[Piece]:
    """What closes the floor's front and back where something was taken away."""
    return list(_Frame(datums, floor).closers())


class _Frame:
    """The floor frame of one scene."""

    def __init__(self, datums: Datums, floor: Floor) -> None:
        stock = datums.scene.lumber_stock(floor.joist)
        self.datums, self.floor = datums, floor
        self.stock, self.breadth = stock, stock.breadth_mm
        self.source = timber(datums.scene, floor.joist, treated=floor.treated)
        self.centres = joist_centres(datums, floor)
        self.blocked = self._apart(
            [
                obstacle.cleared()
                for obstacle in datums.obstacles
                if obstacle.top > datums.bearer_mm and obstacle.low < datums.floor_mm
                if obstacle.meets(datums.floor)
            ]
        )

    def _stick(self, kind: Kind, x: tuple[float, float], y: tuple[float, float]) -> Piece:
        low = self.datums.bearer_mm
        return block(
            str(kind),
            kind,
            FRAME,
            self.source,
            (x[0], y[0], low),
            (x[1], y[1], low + self.stock.depth_mm),
            "y" if kind == Kind.JOIST else "x",
        )

    def rims(self) -> Iterator[Piece]:
        """The joists along the front and back, in lengths where stock is too short."""
        for (side, front), runs in zip(self._sides, self._lengths, strict=True):
            kind = Kind.FLOOR_LEDGER if side in self.floor.ledgers else Kind.RIM
            y = (front, front + self.breadth)
            for x in (rest for run in runs for rest in self._beside_blocked(run, y)):
                if not is_filled(x, self.breadth):
                    yield self._stick(kind, x, y)

    @property
    def _sides(self) -> tuple[tuple[Eave, float], ...]:
        """The front and the back, and the front face of the rim there, mm."""
        return ("front", 0.0), ("back", self.datums.depth_mm - self.breadth)

    @cached_property
    def _lengths(self) -> list[list[tuple[float, float]]]:
        """From and to of each length of either rim, mm.

        They meet between two joists, with a block behind both: on the end of one joist each would
        have half of it to be nailed to. They meet there only where no stock reaches from block to
        block. Joists that hang on a ledger stay clear of its joints too.
        """
        length, lengths = self.datums.length_mm, list[list[tuple[float, float]]]()
        longest = self.stock.longest_of_mm(length)
        for _, front in self._sides:
            places = [sum(gap) / 2 for gap in self._gaps_behind(front)]
            earlier = joints_of(lengths[-1]) if lengths else []
            runs = splice(0.0, length, longest, places, earlier)
            if any(end - start > longest + TOLERANCE_MM for start, end in runs):
                runs = splice(0.0, length, longest, self.centres, earlier)
            lengths.append(runs)
        return lengths

    def _gaps_behind(self, front: float) -> list[tuple[float, float]]:
        """Between which joists there is room for a block behind a rim, or for a joint, mm."""
        taken = self._taken
        y = self._behind(front)
        gaps = [
            (left + self.breadth / 2, right - self.breadth / 2)
            for left, right in itertools.pairwise(self.centres)
        ]
        return [
            gap
            for gap in gaps
            if gap[1] - gap[0] >= LEAST_SPLICE_MM and self._is_clear(gap, y, taken)
        ]

    def _behind(self, front: float) -> float:
        """The front face of a block behind a rim, mm."""
        return front + self.breadth if front == 0.0 else front - self.breadth

    def _splices(self) -> Iterator[tuple[float, float, float]]:
        """The blocks behind the joints of rims: left and right end, and front face, mm."""
        for (side, front), runs in zip(self._sides, self._lengths, strict=True):
            for left, right in self._gaps_behind(front):
                meet = any(left < joint < right for joint in joints_of(runs))
                if meet and side not in self.floor.ledgers:
                    yield left, right, self._behind(front)

    def _beside_blocked(
        self, run: tuple[float, float], y: tuple[float, float]
    ) -> list[tuple[float, float]]:
        """What is left of a rim beside what stands in its line, mm."""
        gaps = [(one.x0, one.x1) for one in self.blocked if overlap((one.y0, one.y1), y)]
        return without(run, gaps)

    def joists(self) -> Iterator[Piece]:
        """Joists from rim to rim, cut round what stands in their way, and the headers there."""
        breadth = self.breadth
        for x in self.centres:
            y, end = self._between_rims(x)
            cut_by = [obstacle for obstacle in self.blocked if x in self._in_the_way_of(obstacle)]
            for obstacle in sorted(cut_by, key=lambda obstacle: obstacle.y0):
                if obstacle.y0 - breadth - y >= LEAST_BLOCK_MM:
                    yield self._stick(
                        Kind.JOIST, (x - breadth / 2, x + breadth / 2), (y, obstacle.y0 - breadth)
                    )
                y = obstacle.y1 + breadth
            if end - y >= LEAST_BLOCK_MM:
                yield self._stick(Kind.JOIST, (x - breadth / 2, x + breadth / 2), (y, end))
        for kind, left, right, y in self._across():
            if kind == Kind.FLOOR_HEADER:
                yield self._stick(kind, (left, right), (y, y + breadth))

    def _between_rims(self, x: float) -> tuple[float, float]:
        """Where a joist starts and ends, mm: in the face where so little is left that no rim is."""
        deep, breadth = self.datums.depth_mm, self.breadth
        own, ends = (x - breadth / 2, x + breadth / 2), [breadth, deep - breadth]
        for k, y in enumerate(((0.0, breadth), (deep - breadth, deep))):
            left = self._beside_blocked((0.0, self.datums.length_mm), y)
            if any(within(own, run) and is_filled(run, breadth) for run in left):
                ends[k] = y[k]
        return ends[0], ends[1]

    def closers(self) -> Iterator[Piece]:
        """The rims where what stood in their line was taken away, from joist to joist.

        None in a narrow gap all through the wall over it: studs fill it down to the bearers.
        """
        datums = self.datums
        deep, wall = datums.depth_mm, datums.wall_mm
        for front, low, high in ((0.0, 0.0, wall), (deep - self.breadth, deep - wall, deep)):
            y = (front, front + self.breadth)
            for one in self.blocked:
                left, right = max(0.0, one.x0), min(datums.length_mm, one.x1)
                through = one.y0 <= low and one.y1 >= high and one.low <= datums.bearer_mm
                if through and is_narrow((left, right), datums.breadth_mm):
                    continue
                if overlap((one.y0, one.y1), y) and not any(
                    one.meets(other) for other in self.datums.staying
                ):
                    yield replace(self._stick(Kind.RIM, (left, right), y), group=CLOSED_GAPS)

    def _apart(self, obstacles: list[Obstacle]) -> list[Obstacle]:
        """The same, those that stand so close that their headers would meet framed round as one."""
        for one, other in itertools.combinations(obstacles, 2):
            a, b = self._framed_round(one), self._framed_round(other)
            if a.meets(b):
                rest = [obstacle for obstacle in obstacles if obstacle not in (one, other)]
                return self._apart([*rest, one.joined(other)])
        return obstacles

    def _framed_round(self, obstacle: Obstacle) -> Obstacle:
        """Something in the way with what lies before and behind it, from joist to joist."""
        left, right = self._neighbours(obstacle)
        breadth = self.breadth
        return Obstacle(left, obstacle.y0 - breadth, right, obstacle.y1 + breadth, obstacle.top)

    def _across(self) -> Iterator[tuple[Kind, float, float, float]]:
        """What lies before and behind each obstacle, under the edges of the hole round it.

        Returns:
            Headers where it cuts joists, or else blocks; left and right end, and front face, mm.
        """
        for obstacle in self.blocked:
            kind = Kind.FLOOR_HEADER if self._in_the_way_of(obstacle) else Kind.FLOOR_BLOCK
            left, right = self._neighbours(obstacle)
            for y in (obstacle.y0 - self.breadth, obstacle.y1):
                if self.breadth <= y <= self.datums.depth_mm - 2 * self.breadth:
                    yield kind, left, right, y

    def _in_the_way_of(self, obstacle: Obstacle) -> list[float]:
        """Centres of the joists that something is in the way of."""
        half = self.breadth / 2
        return [x for x in self.centres if obstacle.x0 < x + half and obstacle.x1 > x - half]

    def _neighbours(self, obstacle: Obstacle) -> tuple[float, float]:
        """Inner faces of the whole joists on both sides of something, or the floor's ends."""
        half, cut = self.breadth / 2, self._in_the_way_of(obstacle)
        clear = [x for x in self.centres if x not in cut]
        left = max((x + half for x in clear if x < obstacle.x0), default=0.0)
        right = min((x - half for x in clear if x > obstacle.x1), default=self.datums.length_mm)
        return left, right

    def blocks(self) -> Iterator[Piece]:
        """Blocks round what is in the way, behind rims' joints, under bare edges, and in rows."""
        breadth, rows = self.breadth, self.floor.blocking_rows
        taken = self._taken
        for kind, left, right, y in self._across():
            if kind == Kind.FLOOR_BLOCK:
                yield self._stick(kind, (left, right), (y, y + breadth))
        for left, right, y in self._splices():
            taken.append((left, right, y, y + breadth))
            yield self._stick(Kind.FLOOR_BLOCK, (left, right), (y, y + breadth))
        for joint in self._bare_edges():
            front = joint - breadth / 2
            for left, right in itertools.pairwise(self.centres):
                x = (left + breadth / 2, right - breadth / 2)
                if self._is_clear(x, front, taken):
                    taken.append((*x, front, front + breadth))
                    yield self._stick(Kind.FLOOR_BLOCK, x, (front, front + breadth))
        for row in range(rows):
            y = breadth + (self.datums.depth_mm - 2 * breadth) * (row + 1) / (rows + 1)
            for k, (left, right) in enumerate(itertools.pairwise(self.centres)):
                # Every other block steps aside by its thickness, so that each can be end-nailed.
                front = y - breadth if k % 2 else y
                x = (left + breadth / 2, right - breadth / 2)
                if self._is_clear(x, front, taken):
                    yield self._stick(Kind.FLOOR_BLOCK, x, (front, front + breadth))

    @property
    def _taken(self) -> list[Rect]:
        """Where no block can lie: what stands in the way, and what lies before and behind it."""
        return [
            *((obstacle.x0, obstacle.x1, obstacle.y0, obstacle.y1) for obstacle in self.blocked),
            *((left, right, y, y + self.breadth) for _, left, right, y in self._across()),
        ]

    def _bare_edges(self) -> list[float]:
        """Where long edges of sheets meet that nothing holds but the blocks under them, mm."""
        floor, datums = self.floor, self.datums
        if not floor.sheet or not has_edge_blocks(datums.scene, Kind.FLOOR_SHEET):
            return []
        return row_joints(0.0, datums.depth_mm, datums.scene.sheet_stock(floor.sheet).width_mm)

    def _is_clear(self, x: tuple[float, float], front: float, taken: Sequence[Rect]) -> bool:
        """Whether a block has room: it is long enough, and clear of what is there, mm."""
        back = front + self.breadth
        return x[1] - x[0] >= LEAST_BLOCK_MM and all(
            x[1] <= x0 or x[0] >= x1 or back <= y0 or front >= y1 for x0, x1, y0, y1 in taken
        )


def deck_floor(datums: Datums, floor: Floor) -> list[Piece]:
    """Sheets across the joists in staggered rows from the front, or boards a gap apart.

    Both are cut round what passes through; bare joists get nothing.
    """
    scene, supports = datums.scene, joist_centres(datums, floor)
    area = (0.0, 0.0, datums.length_mm, datums.depth_mm)
    if floor.board:
        board = scene.lumber_stock(floor.board)
        source, kind = timber(scene, floor.board, treated=floor.treated), Kind.FLOOR_BOARD
        rows = _board_rows(area, board, floor.gap, supports)
    elif stock := datums.deck_sheet:
        source, kind = sheeting(scene, stock.name), Kind.FLOOR_SHEET
        tongued = is_tongued(scene, kind)
        across = stock.row_mm(tongued=tongued)
        rows = sheet_rows(area, stock.length_mm, across, supports, tongued=tongued)
    else:
        return []
    under = datums.floor_mm - datums.deck_mm
    cleared = [
        obstacle.cleared()
        for obstacle in datums.obstacles
        if obstacle.top > under and obstacle.low < datums.floor_mm and obstacle.meets(datums.floor)
    ]
    holes = [box(obstacle.x0, obstacle.y0, obstacle.x1, obstacle.y1) for obstacle in cleared]
    return [
        profile(
            str(kind),
            kind,
            DECK,
            source,
            outline,
            Placement((0.0, 0.0, under)),
            datums.deck_mm,
            holes=inner,
        )
        for row in rows
        for outline, inner in cut_out(box(*row), holes)
    ]


def _board_rows(
    area: tuple[float, float, float, float], board: Lumber, gap: float, supports: Sequence[float]
) -> Iterator[tuple[float, float, float, float]]:
    """Boards laid flat from the front on, joints on joists and apart from those of the row before.

    Args:
        area: What is covered: low and high corner (x0, y0, x1, y1), mm.
        board: Their section.
        gap: Between two, mm.
        supports: Centres of the joists, mm.

    Yields:
        Low and high corner of each length, mm.
    """
    x0, y0, x1, y1 = area
    before: list[float] = []
    for low, high in ripped_rows(y0, y1, board.depth_mm, gap):
        runs = splice(x0, x1, board.longest_of_mm(x1 - x0), supports, before)
        before = joints_of(runs)
        for start, end in runs:
            yield (start, low, end, high)

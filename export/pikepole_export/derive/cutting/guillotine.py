"""The best that cuts from edge to edge can make of one sheet.

best_layout(rectangles, values, grid) -> the layout worth most, pieces of a size without end
every_layout(rectangles, grid) -> all layouts that no other outdoes, pieces up to their demand

A layout can be pushed into the near corner until every cut lies where sides of pieces, added up,
come to. So only these points are looked at.

Source: Gilmore and Gomory, Multistage cutting stock problems of two and more dimensions, Operations
    Research 13 (1965), for the recursion; Beasley, Algorithms for unconstrained two-dimensional
    guillotine cutting, Journal of the Operational Research Society 36 (1985), for the points;
    Christofides and Whitlock, An algorithm for two-dimensional cutting problems, Operations
    Research 25 (1977), for the case with a demand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.cutting.patterns import Counts
from pikepole_export.derive.cutting.rectangles import Layout, Leaf, Rectangles, Sides, Split

MOST_ROWS = 3_000_000  # layouts of panels looked at before every_layout gives up
ROWS_PER_CUT = 20  # what it takes to begin a cut, in rows
COMPARED_PER_ROW = 8  # rows compared in the time in which one is made


def points(rectangles: Rectangles, axis: int, room: int) -> list[int]:
    """What sides of pieces, each taken at most as often as wanted, add up to within a room.

    Args:
        rectangles: Pieces and how many of each.
        axis: 0 for widths, 1 for lengths.
        room: In steps.
    """
    reached = 1  # bit n stands for n steps
    every = (1 << (room + 1)) - 1
    for size, demand in enumerate(rectangles.demands):
        sides = sorted({way[axis] for way in rectangles.ways(size)})
        for _ in range(min(demand, room // sides[0])):
            before = reached
            for side in sides:
                reached |= (before << side) & every
            if reached == before:
                break
    bits = np.frombuffer(reached.to_bytes(room // 8 + 1, "little"), dtype=np.uint8)
    return np.flatnonzero(np.unpackbits(bits, bitorder="little")).tolist()


@dataclass(frozen=True, slots=True)
class Grid:
    """The points at which a sheet may be cut, along its width and along its length, from 0 up."""

    xs: list[int]
    ys: list[int]

    @classmethod
    def of(cls, rectangles: Rectangles) -> Grid:
        """All the points that matter."""
        width, length = rectangles.sheet
        return cls(points(rectangles, 0, width), points(rectangles, 1, length))

    @property
    def cells(self) -> int:
        """Panels to look at."""
        return len(self.xs) * len(self.ys)


def _halves(marks: list[int]) -> tuple[np.ndarray, np.ndarray]:
    """For each mark, every cut in its near half, and the mark that the rest still reaches.

    Returns:
        Two (marks, cuts) arrays of places in the list of marks; what is no cut is 0, 0.
    """
    at = np.array(marks)
    near = np.arange(int(np.searchsorted(at, at[-1] // 2, side="right")))
    rest = np.searchsorted(at, at[:, None] - at[near][None, :], side="right") - 1
    cut = (2 * at[near][None, :] <= at[:, None]) & (near[None, :] > 0)
    return np.where(cut, near[None, :], 0), np.where(cut, rest, 0)


def best_layout(
    rectangles: Rectangles, values: Sequence[int], grid: Grid
) -> tuple[np.ndarray, Layout]:
    """What every panel of a grid is worth at most, pieces of a size taken without end.

    Args:
        rectangles: The pieces; their demands do not count.
        values: What a piece of each size is worth; whole, 0 or more.
        grid: Points at which to cut.

    Returns:
        (xs, ys) worths, and the layout that makes the last of them, the whole sheet's.
    """
    xs, ys = np.array(grid.xs), np.array(grid.ys)
    worth = np.zeros((len(xs), len(ys)), dtype=np.int64)
    ways = [
        (*way, size) for size in range(len(values)) for way in rectangles.ways(size) if values[size]
    ]
    for width, length, _, size in ways:
        i, j = np.searchsorted(xs, width), np.searchsorted(ys, length)
        np.maximum(worth[i:, j:], values[size], out=worth[i:, j:])
    across, across_rest = _halves(grid.xs)
    along, along_rest = _halves(grid.ys)
    for j in range(1, len(ys)):
        column = worth[:, j]
        if along.shape[1]:
            divided = worth[:, along[j]] + worth[:, along_rest[j]]
            np.maximum(column, divided.max(axis=1), out=column)
        while across.shape[1]:  # each round doubles the strips that may lie side by side
            wider = np.maximum(column, (column[across] + column[across_rest]).max(axis=1))
            if (wider == column).all():
                break
            column[:] = wider

    def layout(i: int, j: int) -> Layout:
        value = worth[i, j]
        if not value:
            return None
        for width, length, turned, size in ways:
            if values[size] == value and width <= xs[i] and length <= ys[j]:
                return Leaf(size, turned)
        for a, b in zip(across[i], across_rest[i], strict=True):
            if a and worth[a, j] + worth[b, j] == value:
                return Split(0, int(xs[a]), layout(int(a), j), layout(int(b), j))
        for a, b in zip(along[j], along_rest[j], strict=True):
            if a and worth[i, a] + worth[i, b] == value:
                return Split(1, int(ys[a]), layout(i, int(a)), layout(i, int(b)))
        raise AssertionError("a panel is worth what nothing in it makes")

    return worth, layout(len(xs) - 1, len(ys) - 1)


@dataclass(frozen=True, slots=True)
class _Panel:
    """All that one panel can hold.

    Attributes:
        counts: Pieces of each size, (layouts, sizes); no row has all that another has.
        made: For each row the axis, the cut, the point its rest reaches and the rows of both
            sides; or -1 and the way of a piece, -1 for none.
    """

    counts: np.ndarray
    made: np.ndarray


class _TooManyError(Exception):
    pass


class _Work:
    """Rows that may still be looked at: so many, on every computer."""

    def __init__(self, most: int) -> None:
        self._left = most

    def spend(self, rows: int) -> None:
        self._left -= rows
        if self._left < 0:
            raise _TooManyError


def every_layout(
    rectangles: Rectangles,
    grid: Grid,
    values: Counts | None = None,
    least: int = 0,
) -> list[tuple[Counts, Layout]] | None:
    """The layouts of a sheet that no other outdoes in what is wanted.

    Args:
        rectangles: The pieces, of which no more than their demand counts.
        grid: All points at which the sheet may be cut.
        values: What a piece of each size is worth; whole, 0 or more. None where all layouts count.
        least: What a layout must be worth, no piece beyond the demand counted.

    Returns:
        Pieces of each size and the layout (which may hold more of them); None where they are
        too many.
    """
    demands = np.array(rectangles.demands, dtype=np.int16)
    if np.prod(demands + 1.0) > 2.0**62:
        return None
    radix = np.concatenate([[1], np.cumprod(demands + np.int64(1))[:-1]])
    nothing = np.zeros(len(demands), dtype=np.int16)
    singles = np.eye(len(demands), dtype=np.int16)
    halves = _halves(grid.xs), _halves(grid.ys)
    ways = [(*way, size) for size in range(len(demands)) for way in rectangles.ways(size)]
    known: dict[Sides, _Panel] = {}
    work = _Work(MOST_ROWS)
    # What a panel falls short of its best, the sheet does as well: too much of it is no use.
    worth = best_layout(rectangles, values, grid)[0] if values else None
    short = int(worth[-1, -1]) - least if worth is not None else 0
    if short < 0:
        return []

    def panel(i: int, j: int) -> _Panel:
        if (i, j) in known:
            return known[i, j]
        fits = [way for way, w in enumerate(ways) if w[0] <= grid.xs[i] and w[1] <= grid.ys[j]]
        found = [np.vstack([nothing, *(singles[ways[way][3]] for way in fits)])]
        origins = [np.array([[-1, way, 0, 0, 0] for way in (-1, *fits)], dtype=np.int32)]
        for axis, place in ((0, i), (1, j)):
            cuts, rests = halves[axis][0][place], halves[axis][1][place]
            useful = cuts > 0
            if worth is not None:
                line = worth[:, j] if axis == 0 else worth[i]
                useful &= line[cuts] + line[rests] >= worth[i, j] - short
            work.spend(ROWS_PER_CUT)
            for cut, rest in zip(cuts[useful].tolist(), rests[useful].tolist(), strict=True):
                near = panel(cut, j) if axis == 0 else panel(i, cut)
                far = panel(rest, j) if axis == 0 else panel(i, rest)
                sums = near.counts[:, None, :] + far.counts[None, :, :]
                work.spend(sums.shape[0] * sums.shape[1] + ROWS_PER_CUT)
                found.append(np.minimum(sums.reshape(-1, len(demands)), demands))
                pairs = np.indices(sums.shape[:2]).reshape(2, -1)
                origin = np.empty((pairs.shape[1], 5), dtype=np.int32)
                origin[:, :3], origin[:, 3:] = (axis, cut, rest), pairs.T
                origins.append(origin)
        counts, origin = np.concatenate(found), np.concatenate(origins)
        if worth is not None:
            enough = counts @ np.array(values, dtype=np.int64) >= worth[i, j] - short
            counts, origin = counts[enough], origin[enough]
        kept = _outdone_by_none(counts, radix, work)
        known[i, j] = _Panel(counts[kept], origin[kept])
        return known[i, j]

    def layout(i: int, j: int, row: int) -> Layout:
        axis, cut, rest, near, far = map(int, known[i, j].made[row])
        if axis < 0:
            return Leaf(ways[cut][3], ways[cut][2]) if cut >= 0 else None
        if axis == 0:
            return Split(0, grid.xs[cut], layout(cut, j, near), layout(rest, j, far))
        return Split(1, grid.ys[cut], layout(i, cut, near), layout(i, rest, far))

    last = len(grid.xs) - 1, len(grid.ys) - 1
    try:
        rows = panel(*last).counts.tolist()
    except (_TooManyError, RecursionError):
        return None
    return [(tuple(counts), layout(*last, row)) for row, counts in enumerate(rows)]


def _outdone_by_none(counts: np.ndarray, radix: np.ndarray, work: _Work) -> np.ndarray:
    """Rows that no other row has all of, each once; of equal rows the first."""
    _, first = np.unique(counts @ radix, return_index=True)
    first = first[np.argsort(-counts[first].sum(axis=1), kind="stable")]
    kept: list[int] = []
    while len(first):
        # Nothing left has more pieces than the row in front, so nothing left outdoes it.
        kept.append(int(first[0]))
        work.spend(len(first) // COMPARED_PER_ROW)
        first = first[(counts[first] > counts[first[0]]).any(axis=1)]
    return np.array(kept, dtype=np.int64)

"""Bounds from the two sides of the pieces, each side by itself.

    bar_cuts(rectangles, costs, clock) -> bounds that every plan keeps

Slice a sheet across its length into thin bars. Every bar is a board as wide as the sheet, and the
pieces it runs through are a pattern of widths. Strips just over half the width of a sheet take all
of it, since no bar runs through two of them; their area does not say so.

In general, give every piece a value f by its width and a value g by its length, any values. Let
F be the most by f that fits side by side across a sheet, and G the most by g that fits one behind
the other along it. Then the pieces of one sheet have no more than F * G in sum of f * g. For one
piece that is plain. A cut through the width parts the pieces in two groups, near and far, and

    F(near) * G(near) + F(far) * G(far) <= (F(near) + F(far)) * G(all) <= F(all) * G(all)

as what fits side by side on either side of the cut does so across the whole; a cut through the
length likewise. So f * g are values of pieces, and F * G worths of sheets, such as a `Cut` has.
With g the length itself, f is what a bar's pieces are worth, and the best f a linear programme;
with that f kept, so is the best g, and so on in turn, as long as the bound rises.

Source: Fekete and Schepers, A general framework for bounds for higher-dimensional orthogonal
    packing problems, Mathematical Methods of Operations Research 60 (2004), for the products;
    Scheithauer, LP-based bounds for the container and multi-container loading problem,
    International Transactions in Operational Research 6 (1999), for the bars; Caprara and Monaci,
    Bidimensional packing by bilinear programming, Mathematical Programming 118 (2009), for taking
    turns. Scheithauer's title and year from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.cutting.columns import SCALE, whole_values
from pikepole_export.derive.cutting.patterns import Counts, Job, best_patterns
from pikepole_export.derive.cutting.programmes import Clock, Cut
from pikepole_export.derive.cutting.rectangles import Rectangles, Sides

FINE = 20_000  # ticks along a side; more are counted in a coarser measure, rounded down
TURNS = 4  # taken by the two sides at most
GAIN = 1e-4  # of the bound: less is not worth another turn
DEAR = 10.0  # what a piece is worth at most, where the dearest sheet costs 1


@dataclass(frozen=True, slots=True)
class _Way:
    """How one size may lie.

    Attributes:
        size: Which.
        sides: Across the sheet and along it.
        fits: Whether it fits a sheet of each stock.
    """

    size: int
    sides: Sides
    fits: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class _Row:
    """Pieces side by side along one side of the sheets; a pattern is what is in one row.

    Attributes:
        job: A size of it is a way to lie, in the measure of this side.
        ways: The same ways.
        known: Rows that others were found to be worth less than, a list for each stock.
    """

    job: Job
    ways: tuple[_Way, ...]
    known: tuple[list[Counts], ...]

    @classmethod
    def along(cls, rectangles: Rectangles, ways: tuple[_Way, ...], axis: int) -> _Row:
        """With the rows known that hold one piece."""
        sides = [way.sides[axis] for way in ways]
        rooms = [sheet[axis] for sheet in rectangles.sheets]
        measure = max(1, min(max(rooms) // FINE, *sides))
        job = Job(
            sizes=tuple(side // measure for side in sides),
            demands=tuple(rectangles.job.demands[way.size] for way in ways),
            rooms=tuple(room // measure for room in rooms),
            costs=rectangles.job.costs,
            limits=rectangles.job.limits,
        )
        single = np.eye(len(ways), dtype=int).tolist()
        known = tuple(
            [tuple(row) for row, way in zip(single, ways, strict=True) if way.fits[stock]]
            for stock in range(len(rooms))
        )
        return cls(job, ways, known)

    def best(self, values: Sequence[int]) -> tuple[list[Counts], Counts]:
        """The row worth most for each stock, of ways that fit its sheet, and what it is worth."""
        rows: list[Counts] = []
        worths: list[int] = []
        for stock in range(len(self.job.rooms)):
            fit = [v * way.fits[stock] for v, way in zip(values, self.ways, strict=True)]
            patterns, most = best_patterns(self.job, fit)
            rows.append(patterns[stock].counts)
            worths.append(most[stock])
        return rows, tuple(worths)


def bar_cuts(rectangles: Rectangles, costs: Counts, clock: Clock) -> list[Cut]:
    """Bounds for sheets that cost so much each, the bars once across, once along the sheets.

    Args:
        rectangles: What is to be cut.
        costs: What a sheet of each stock counts.
        clock: Time that is left; when it is up, the bounds so far.
    """
    if not max(costs):
        return []
    ways = tuple(
        _Way(size, (width, length), fits)
        for size in range(len(rectangles.sides))
        for width, length, _ in rectangles.ways(size)
        if any(fits := tuple(width <= w and length <= n for w, n in rectangles.sheets))
    )
    rows = [_Row.along(rectangles, ways, axis) for axis in (0, 1)]
    cuts: list[Cut] = []
    for first in (0, 1):
        given, best = rows[1 - first].job.sizes, 0.0
        for turn in range(TURNS):
            axis = (first + turn) % 2
            _, worths = rows[1 - axis].best(given)
            values, row_worths, bound = _best_values(rows[axis], given, worths, costs, clock)
            if not clock.left_s() or bound <= best * (1 + GAIN):
                break
            products = [f * g for f, g in zip(values, given, strict=True)]
            both = [f * g for f, g in zip(row_worths, worths, strict=True)]
            cuts.append(_cut(rectangles.job, ways, products, both))
            given, best = values, bound
    return cuts


def _best_values(
    row: _Row, given: Sequence[int], given_worths: Sequence[int], costs: Counts, clock: Clock
) -> tuple[Counts, Counts, float]:
    """Values along one side that raise the bound most, with those along the other given.

    A piece counts what it does the way it lies worst, so no plan gains by turning it.

    Returns:
        A value for each way to lie, the worth of the best row of each stock, and the bound.
    """
    from scipy.optimize import linprog

    job, ways = row.job, row.ways
    stocks, sizes = len(job.rooms), 1 + max(way.size for way in ways)
    share = np.array(given, float) / max(given_worths)
    sheet_share = np.array(given_worths, float) / max(given_worths)
    cost = np.array(costs, float) / max(costs)
    demands = np.zeros(sizes)
    demands[[way.size for way in ways]] = job.demands
    # Unknown are the values of the ways, what a piece of each size counts, and what one more sheet
    # of each stock would save, where there are no more.
    turned = np.zeros((len(ways), len(ways) + sizes + stocks))
    turned[np.arange(len(ways)), np.arange(len(ways))] = -share
    turned[np.arange(len(ways)), [len(ways) + way.size for way in ways]] = 1.0
    goal = np.concatenate([np.zeros(len(ways)), -demands, np.array(job.limits, float)])
    while True:
        lines, most = [turned], [np.zeros(len(ways))]
        for stock, known in enumerate(row.known):
            if known:
                line = np.zeros((len(known), turned.shape[1]))
                line[:, : len(ways)] = np.array(known, float) * sheet_share[stock]
                line[:, len(ways) + sizes + stock] = -1.0
                lines.append(line)
                most.append(np.full(len(known), cost[stock]))
        answer = linprog(
            goal,
            A_ub=np.vstack(lines),
            b_ub=np.concatenate(most),
            bounds=[(0, None)] * len(ways) + [(0, DEAR)] * sizes + [(0, None)] * stocks,
            method="highs-ds",
        )
        assert answer.status == 0, answer.message
        values = whole_values(np.maximum(answer.x[: len(ways)], 0.0), job)
        if not values:
            return (0,) * len(ways), (0,) * stocks, 0.0
        unit = max(v / x for v, x in zip(values, answer.x, strict=False) if v)
        found, worths = row.best(values)
        new = False
        for stock, (counts, worth) in enumerate(zip(found, worths, strict=True)):
            price = cost[stock] + answer.x[len(ways) + sizes + stock]
            if worth * sheet_share[stock] > price * unit + 2 and counts not in row.known[stock]:
                row.known[stock].append(counts)
                new = True
        if not new or not clock.left_s():
            return values, worths, -float(answer.fun)


def _cut(job: Job, ways: Sequence[_Way], products: Sequence[int], worths: Sequence[int]) -> Cut:
    """The bound, in numbers small enough for a programme: pieces rounded down, sheets up."""
    top = max(*worths, 1)
    values = [top] * len(job.sizes)
    for way, product in zip(ways, products, strict=True):
        values[way.size] = min(values[way.size], product)
    pieces = tuple(value * SCALE // top for value in values)
    sheets = tuple(-(-worth * SCALE // top) for worth in worths)
    return Cut(pieces, sheets, sum(v * n for v, n in zip(pieces, job.demands, strict=True)))

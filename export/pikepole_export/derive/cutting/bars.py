"""Bounds from the two sides of the pieces, each side by itself.

    sheets_by_bars(rectangles) -> sheets that every plan has at least, before they are made whole

Slice a sheet across its length into thin bars. Every bar is a board as wide as the sheet, and the
pieces it runs through are a pattern of widths. Strips just over half the width of a sheet take all
of it, since no bar runs through two of them; their area does not say so.

In general, give every piece a value f by its width and a value g by its length, any values. Let
F be the most by f that fits side by side across a sheet, and G the most by g that fits one behind
the other along it. Then the pieces of one sheet have no more than F * G in sum of f * g. For one
piece that is plain. A cut through the width parts the pieces in two groups, near and far, and

    F(near) * G(near) + F(far) * G(far) <= (F(near) + F(far)) * G(all) <= F(all) * G(all)

as what fits side by side on either side of the cut does so across the whole; a cut through the
length likewise. So no plan has fewer sheets than the pieces' f * g, added up, divided by F * G.
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
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np

from pikepole_export.derive.cutting.patterns import Counts, Job, best_patterns
from pikepole_export.derive.cutting.programmes import whole_values
from pikepole_export.derive.cutting.rectangles import Rectangles
from pikepole_export.derive.cutting.solver import Programme

FINE = 20_000  # steps along a side; more are counted in a coarser measure, rounded down
TURNS = 4  # taken by the two sides at most
GAIN = 1e-4  # of the bound: less is not worth another turn
DEAR = 10.0  # what a piece is worth at most, where a sheet costs 1


@dataclass(frozen=True, slots=True)
class _Row:
    """Pieces side by side along one side of a sheet.

    Attributes:
        job: A size of it is a way to lie, in the measure of this side.
        known: Rows that values were found to make too much of.
    """

    job: Job
    known: list[Counts] = field(default_factory=list[Counts])

    @classmethod
    def along(cls, rectangles: Rectangles, ways: Sequence[tuple[int, ...]], axis: int) -> _Row:
        """With the rows known that hold one piece.

        Args:
            rectangles: What is to be cut.
            ways: How pieces may lie: side across the sheet, side along it, and size.
            axis: 0 across, 1 along.
        """
        sides = [way[axis] for way in ways]
        room = rectangles.sheet[axis]
        measure = max(1, min(room // FINE, *sides))
        demands = tuple(rectangles.demands[way[2]] for way in ways)
        sizes = tuple(side // measure for side in sides)
        job = Job(sizes, demands, (room // measure,), (1,))
        return cls(job, [tuple(row) for row in np.eye(len(ways), dtype=int).tolist()])

    def most(self, values: Sequence[int]) -> tuple[Counts, int]:
        """The row worth most, and what it is worth."""
        (row,), (worth,) = best_patterns(self.job, values)
        return row.counts, worth


def sheets_by_bars(rectangles: Rectangles) -> Fraction:
    """A bound of how many sheets there are, the bars once across, once along them.

    Raises:
        SolverError: The solver gave no answer.
    """
    ways = [
        (width, length, size)
        for size in range(len(rectangles.sides))
        for width, length, _ in rectangles.ways(size)
        if width <= rectangles.sheet[0] and length <= rectangles.sheet[1]
    ]
    rows = [_Row.along(rectangles, ways, axis) for axis in (0, 1)]
    found = Fraction(0)
    for first in (0, 1):
        given, best = rows[1 - first].job.sizes, Fraction(0)
        for turn in range(TURNS):
            axis = (first + turn) % 2
            _, given_worth = rows[1 - axis].most(given)
            values, worth = _best_values(rows[axis], ways, given, given_worth)
            if not worth:
                break
            least: dict[int, int] = {}  # a piece counts what it does the way it lies worst
            for (*_, size), f, g in zip(ways, values, given, strict=True):
                least[size] = min(f * g, least.get(size, f * g))
            total = sum(value * rectangles.demands[size] for size, value in least.items())
            bound = Fraction(total, worth * given_worth)
            found = max(found, bound)
            if bound <= best * (1 + GAIN):
                break
            given, best = values, bound
    return found


def _best_values(
    row: _Row, ways: Sequence[tuple[int, ...]], given: Sequence[int], given_worth: int
) -> tuple[Counts, int]:
    """Values along one side that raise the bound most, with those along the other given.

    Returns:
        A value for each way to lie, and the worth of the best row; 0 where no values were found.
    """
    sizes = 1 + max(way[2] for way in ways)
    demands = np.zeros(sizes)
    demands[[way[2] for way in ways]] = row.job.demands
    # Unknown are the values of the ways, and what a piece of each size counts.
    lies = np.array([[way[2] == size for size in range(sizes)] for way in ways], dtype=float)
    programme = Programme([0.0] * len(ways))
    programme.add_columns([0.0] * len(ways), np.diag(np.array(given, float) / given_worth))
    programme.add_columns([*-demands], -lies.T, most=DEAR)
    told = 0
    while True:
        rows = np.zeros((len(row.known) - told, len(ways) + sizes))
        rows[:, : len(ways)] = row.known[told:]
        programme.add_rows(-rows, [-1.0] * len(rows))
        told = len(row.known)
        amounts = programme.solved().amounts
        exact = np.maximum(amounts[: len(ways)], 0.0)
        if not exact.any():
            return (0,) * len(ways), 0
        values = whole_values(exact, row.job)
        unit = max(v / x for v, x in zip(values, exact, strict=True) if v)
        found, worth = row.most(values)
        if worth <= unit + 2 or found in row.known:
            return values, worth
        row.known.append(found)

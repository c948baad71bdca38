"""Bounds of what sheets can yield, also where there are too many points to look at them all.

Bounds(rectangles).cut(values) -> the bound that these values of the pieces give
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.cutting.guillotine import Grid, best_layout, every_layout
from pikepole_export.derive.cutting.patterns import Counts, Pattern
from pikepole_export.derive.cutting.programmes import Clock, Cut
from pikepole_export.derive.cutting.rectangles import Layout, Rectangles

MOST_CELLS = 120_000  # of a grid looked at in full
THIN = 60  # points along a side of any other


@dataclass(frozen=True, slots=True)
class _View:
    """How the layouts of one stock are looked at.

    Attributes:
        grid: Where cuts are tried: everywhere that matters, or at some points of a fine grid.
        coarse: Then also the sides in a coarser measure, for a bound that holds everywhere, and
            its grid; None where the grid is whole, or the smallest side would come to nothing.
        whole: Whether the grid has all the points.
    """

    grid: Grid
    coarse: tuple[Rectangles, Grid] | None
    whole: bool

    @classmethod
    def of(cls, rectangles: Rectangles, stock: int) -> _View:
        """All points where they are few enough."""
        grid = Grid.of(rectangles, stock)
        if grid.cells <= MOST_CELLS:
            return cls(grid, None, True)
        thin = grid.thinned(rectangles, THIN)
        smallest = min(map(min, rectangles.sides))
        measure = 2
        while measure <= smallest:
            coarse = _coarser(rectangles, measure)
            grid = Grid.of(coarse, stock)
            if grid.cells <= MOST_CELLS:
                return cls(thin, (coarse, grid), False)
            measure *= 2
        return cls(thin, None, False)


class Bounds:
    """What sheets are worth at most, by any values of the pieces."""

    def __init__(self, rectangles: Rectangles) -> None:
        self._rectangles = rectangles
        self._views = [_View.of(rectangles, stock) for stock in range(len(rectangles.sheets))]

    def whole(self) -> bool:
        """Whether all layouts of all stocks can be looked at as they are."""
        return all(view.whole for view in self._views)

    def sparing(
        self, values: Counts, leasts: Sequence[int], clock: Clock
    ) -> dict[Pattern, Layout] | None:
        """Every layout worth so much or more, by stock; None where they are too many to list.

        In a coarser measure these are more than can be cut.
        """
        found: dict[Pattern, Layout] = {}
        for stock, (view, least) in enumerate(zip(self._views, leasts, strict=True)):
            if view.coarse:
                listed = every_layout(*view.coarse, clock, values, least)
            elif view.whole:
                listed = every_layout(self._rectangles, view.grid, clock, values, least)
            else:
                return None
            if listed is None:
                return None
            found |= {Pattern(stock, counts): layout for counts, layout in listed}
        return found

    def cut(self, values: Counts) -> tuple[Cut, list[Layout]]:
        """The bound that values give, and a good layout by them for each stock."""
        job = self._rectangles.job
        total = sum(v * n for v, n in zip(values, job.demands, strict=True))
        worths: list[int] = []
        layouts: list[Layout] = []
        for room, view in zip(job.rooms, self._views, strict=True):
            # No more than all the pieces, nor than what is worth most for its area.
            worth = max(v * room // size for v, size in zip(values, job.sizes, strict=True))
            worth = min(worth, total)
            best, layout = best_layout(self._rectangles, values, view.grid)
            if view.coarse:
                coarse, grid = view.coarse
                best, _ = best_layout(coarse, values, grid)
            if view.coarse or view.whole:
                worth = min(worth, int(best[-1, -1]))
            worths.append(worth)
            layouts.append(layout)
        return Cut(values, tuple(worths), total), layouts


def _coarser(rectangles: Rectangles, measure: int) -> Rectangles:
    """All sides in a coarser measure, rounded down: what fitted fits still, so bounds hold."""
    job = rectangles.job
    return Rectangles.of(
        sides=tuple((w // measure, n // measure) for w, n in rectangles.sides),
        turns=rectangles.turns,
        demands=job.demands,
        sheets=tuple((w // measure, n // measure) for w, n in rectangles.sheets),
        costs=job.costs,
        limits=job.limits,
    )

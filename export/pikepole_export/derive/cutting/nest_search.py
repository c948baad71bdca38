"""The search for the cheapest sheets that give all the pieces, and for the proof.

First quick plans, and bounds from the sides of the pieces, which often meet. Then more bounds: the
linear programme over all layouts gives every piece a value, and no sheet can yield more value than
its best layout (column generation); whole numbers of sheets that all bounds allow are the bound of
the plan. Where sheets must be so full to reach
it that few layouts will do, these are listed, and where they do not give the pieces, the bound
moves up. The integer programme chooses among the layouts found on the way. Where that stays above
the bound, all layouts of the largest pieces are listed, then of more and more sizes: what these
alone need, all the pieces need, and with the last size it is the best plan.

Source: Gilmore and Gomory, Multistage cutting stock problems of two and more dimensions, Operations
    Research 13 (1965).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from math import inf
from random import Random

from pikepole_export.derive.cutting.bars import bar_cuts
from pikepole_export.derive.cutting.columns import whole_values
from pikepole_export.derive.cutting.guillotine import Grid, every_layout
from pikepole_export.derive.cutting.patterns import Counts, Job, Pattern
from pikepole_export.derive.cutting.placing import Filled, try_out
from pikepole_export.derive.cutting.programmes import (
    Clock,
    Columns,
    Cut,
    WayOut,
    cheapest,
    fewest,
    relax,
)
from pikepole_export.derive.cutting.rectangles import Layout, Rectangles, leaves
from pikepole_export.derive.cutting.sheet_bounds import Bounds

TRIES = 240
FIRST_TRIES = 3  # of these, while there is no bound but that from the area
TRY_SHARE = 0.25  # of the time that is left, for the others
BAR_SHARE = 0.25  # of it, for bounds from the sides of the pieces
CHOOSE_SHARE = 0.5  # of what is left, for one choice among layouts
MANY_NODES = 100_000  # of a search tree
LIST_CELLS = 10_000  # of a grid on which all layouts are listed


@dataclass(frozen=True, slots=True)
class Nested:
    """A plan and what is known about the best one.

    Attributes:
        sheets: With pieces of a size perhaps too many, never too few.
        cost_bound: No plan costs less.
        proven: Whether no plan costs less, nor as much with fewer sheets.
    """

    sheets: tuple[Filled, ...]
    cost_bound: int
    proven: bool


class _Search:
    """What is known so far: layouts, bounds, the best plan."""

    def __init__(self, rectangles: Rectangles, clock: Clock) -> None:
        self.rectangles = rectangles
        self.job = rectangles.job
        self.clock = clock
        self.bounds = Bounds(rectangles)
        self.tries = try_out(rectangles, TRIES, Random(0))
        by_area, layouts = self.bounds.cut(whole_values(self.job.sizes, self.job))
        self.cuts = [by_area]
        self.known: dict[Pattern, Layout] = {}
        self.best: list[Filled] | None = None
        self.refuted: tuple[int, int] | None = None  # cost and sheets that no plan has, nor less
        self.bound = (0, 0)  # cost and sheets that no plan is below
        for stock, layout in enumerate(layouts):
            self.add(stock, layout)

    def done(self) -> bool:
        """Whether the best plan is proven."""
        return self.best is not None and self.rank(self.best) == self.bound

    def rank(self, sheets: Sequence[Filled]) -> tuple[int, int]:
        """What plans are compared by."""
        return sum(self.job.costs[sheet.stock] for sheet in sheets), len(sheets)

    def offer(self, sheets: list[Filled]) -> None:
        """Takes a plan where it is better than the best so far."""
        if self.best is None or self.rank(sheets) < self.rank(self.best):
            self.best = sheets

    def add(self, stock: int, layout: Layout) -> None:
        """Takes a layout in; of two with the same pieces the first."""
        counts = [0] * len(self.job.sizes)
        for leaf in leaves(layout):
            counts[leaf.size] += 1
        pattern = Pattern(stock, tuple(map(min, counts, self.job.demands)))
        if any(counts):
            self.known.setdefault(pattern, layout)

    def slice(self) -> None:
        """Bounds from the sides of the pieces, for what sheets cost and for how many they are."""
        clock = Clock(self.clock.left_s() * BAR_SHARE)
        ones = (1,) * len(self.job.costs)
        for costs in dict.fromkeys((self.job.costs, ones) if len(ones) > 1 else (ones,)):
            self.cuts += bar_cuts(self.rectangles, costs, clock)

    def try_out(self, most: int | None = None) -> None:
        """More quick plans, until one is as good as the bound."""
        clock = Clock(self.clock.left_s() * TRY_SHARE)
        for sheets, complete in islice(self.tries, most):
            for sheet in sheets:
                self.add(sheet.stock, sheet.layout)
            if complete:
                self.offer(sheets)
            if self.done() or not clock.left_s():
                break

    def floors(self) -> list[tuple[Counts, int]]:
        """Weights of each stock, and what sheets times weights come to in every plan."""
        floors = [(cut.worths, cut.total) for cut in self.cuts]
        if self.refuted:
            weight = sum(self.job.demands) + 1  # more than the sheets of any plan
            both = tuple(cost * weight + 1 for cost in self.job.costs)
            floors.append((both, self.refuted[0] * weight + self.refuted[1] + 1))
        return floors

    def raise_bound(self) -> bool:
        """Reads the bound from all that is known; False where that leaves no plan at all."""
        floors, costs = self.floors(), self.job.costs
        counted = fewest(costs, floors, self.job.limits, self.clock)
        if counted is None:
            return False
        cost = sum(c * n for c, n in zip(costs, counted, strict=True))
        self.bound = max(self.bound, (cost, 0))
        floors.append((tuple(-c for c in costs), -self.bound[0]))
        counted = fewest((1,) * len(costs), floors, self.job.limits, self.clock)
        # Where no number of sheets costs just this, all that is left cost more.
        self.bound = max(self.bound, (cost, sum(counted)) if counted else (cost + 1, 0))
        return True

    def refute(self) -> None:
        """Moves the bound up as long as the layouts that could reach it are few and do not."""
        while not self.done() and self.clock.left_s():
            listed = self.reaching()
            if listed is None:
                return
            clock = Clock(self.clock.left_s() * CHOOSE_SHARE)
            chosen, proven = _cheapest(self.job, list(listed), clock)
            if chosen and self.bounds.whole():
                self.offer([Filled(p.stock, p.counts, listed[p]) for p in chosen])
            reached = sum(self.job.costs[p.stock] for p in chosen or ()), len(chosen or ())
            if not proven or (chosen and reached <= self.bound):
                return
            self.refuted = self.bound
            if not self.raise_bound() or self.bound == self.refuted:
                return

    def reaching(self) -> dict[Pattern, Layout] | None:
        """Every layout that a plan as good as the bound can hold; None where they are too many."""
        cost, count = self.bound
        floors = self.floors()
        floors += [
            (tuple(-c for c in self.job.costs), -cost),
            ((-1,) * len(self.job.costs), -count),
        ]
        slacks: list[tuple[float, int, Cut]] = []
        for cut in self.cuts:
            most = fewest(tuple(-w for w in cut.worths), floors, self.job.limits, self.clock)
            if most is None:
                return {}
            slack = sum(w * n for w, n in zip(cut.worths, most, strict=True)) - cut.total
            slacks.append((slack / max(cut.worths), slack, cut))
        _, slack, sharp = min(slacks, key=lambda one: one[0])
        return self.bounds.sparing(
            sharp.values, [worth - slack for worth in sharp.worths], self.clock
        )

    def generate(self, costs: Counts, ceiling: float | None = None) -> None:
        """Column generation: layouts and bounds, as the linear programme asks for them."""
        dear = 1e3 * (1.0 + max(costs)) / min(self.job.sizes)
        way_out = WayOut.missing(self.job, dear)
        while self.clock.left_s():
            relaxed = relax(
                self.job, Columns.of(self.job, list(self.known)), costs, way_out, ceiling
            )
            values = whole_values(relaxed.values, self.job)
            if not values:
                return
            cut, layouts = self.bounds.cut(values)
            self.cuts.append(cut)
            known = len(self.known)
            for stock, layout in enumerate(layouts):
                self.add(stock, layout)
            if len(self.known) == known:
                return

    def choose(self) -> None:
        """The best choice among all layouts known."""
        clock = Clock(self.clock.left_s() * CHOOSE_SHARE)
        chosen, _ = _cheapest(self.job, list(self.known), clock)
        if chosen:
            self.offer([Filled(p.stock, p.counts, self.known[p]) for p in chosen])

    def list_largest(self) -> None:
        """Bounds from the largest sizes alone, one more at a time while all layouts can be listed.

        With all sizes taken in, that is the best plan.
        """
        for sizes in range(1, len(self.job.sizes) + 1):
            some = self.rectangles.largest(sizes)
            known: dict[Pattern, Layout] = {}
            for stock in range(len(some.sheets)):
                grid = Grid.of(some, stock)
                listed = every_layout(some, grid, self.clock) if grid.cells <= LIST_CELLS else None
                if listed is None:
                    return
                known |= {
                    Pattern(stock, counts): layout for counts, layout in listed if any(counts)
                }
            chosen, proven = _cheapest(some.job, list(known), self.clock)
            if not chosen or not proven:
                return
            sheets = [Filled(p.stock, p.counts, known[p]) for p in chosen]
            self.bound = max(self.bound, self.rank(sheets))
            if sizes == len(self.job.sizes):
                self.offer(sheets)
            if self.done():
                return


def search(rectangles: Rectangles, limit_s: float) -> Nested | None:
    """The cheapest sheets, the fewest among the cheapest, and the proof, if time allows.

    Returns:
        The plan; None where none was found: sheets are limited, and too few for the pieces.
    """
    known = _Search(rectangles, Clock(limit_s))
    try:
        if not known.raise_bound():
            return None
        known.try_out(FIRST_TRIES)
        if not known.done():
            known.slice()
            if not known.raise_bound():
                return None
            known.try_out()
        if not known.done():
            known.generate(rectangles.job.costs)
            if not known.raise_bound():
                return None
            if len(rectangles.sheets) > 1 and not known.done():
                known.generate((1,) * len(rectangles.sheets), known.bound[0] + 0.5)
                known.raise_bound()
        known.refute()
        if not known.done():
            known.choose()
        if not known.done():
            known.list_largest()
    except TimeoutError:
        pass
    if known.best is None:
        return None
    cost, _ = known.rank(known.best)
    return Nested(tuple(known.best), min(known.bound[0], cost), known.done())


def _cheapest(job: Job, pool: Sequence[Pattern], clock: Clock) -> tuple[list[Pattern] | None, bool]:
    """The least cost, then the fewest sheets, from these patterns; and whether that is proven."""
    weight = sum(job.demands) + 1  # more than the sheets of any plan
    both = [cost * weight + 1 for cost in job.costs]
    return cheapest(job, pool, both, inf, MANY_NODES, clock)

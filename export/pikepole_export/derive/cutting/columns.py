"""Patterns found one after the other, as the linear programme asks for them, and bounds from it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pikepole_export.derive.cutting.patterns import (
    Counts,
    Job,
    Pattern,
    all_patterns,
    best_patterns,
)
from pikepole_export.derive.cutting.programmes import Clock, Columns, Cut, Relaxed, WayOut, relax

SCALE = 1_000_000  # what a full board is worth at most when values are made whole numbers


def whole_values(values: Sequence[float] | np.ndarray, job: Job) -> Counts:
    """Values as whole numbers, in proportion, such that a full board is worth SCALE at most."""
    dearest = max(v / size for v, size in zip(values, job.sizes, strict=True)) * max(job.rooms)
    return tuple(int(v * SCALE / dearest + 1e-3) for v in values) if dearest > 0 else ()


def cut_by(job: Job, values: Counts) -> tuple[Cut, list[Pattern]]:
    """The bound that these values give, and the patterns that set it."""
    patterns, worths = best_patterns(job, values)
    total = sum(v * n for v, n in zip(values, job.demands, strict=True))
    return Cut(values, worths, total), patterns


class Pool:
    """Patterns worth knowing, each once, in the order they were found."""

    def __init__(self, job: Job) -> None:
        self._demands = job.demands
        self._known: dict[Pattern, None] = {}
        for stock in range(len(job.rooms)):
            for size in range(len(job.sizes)):
                counts = [0] * len(job.sizes)
                counts[size] = job.most(size, stock)
                if counts[size]:
                    self.add(Pattern(stock, tuple(counts)))

    def add(self, pattern: Pattern) -> bool:
        """Takes a pattern in; whether it is new."""
        new = any(pattern.counts) and pattern not in self._known
        if new:
            self._known[pattern] = None
        return new

    def within(self, job: Job) -> list[Pattern]:
        """The patterns with no more of a size than the job still wants, of stock it still has."""
        there = [p for p in self._known if job.limits[p.stock]]
        if job.demands == self._demands:
            return there
        trimmed = (Pattern(p.stock, tuple(map(min, p.counts, job.demands))) for p in there)
        return list(dict.fromkeys(p for p in trimmed if any(p.counts)))


def generate(
    job: Job,
    pool: Pool,
    costs: Sequence[float],
    way_out: WayOut,
    cuts: list[Cut] | None,
    clock: Clock,
    ceiling: float | None = None,
) -> tuple[Relaxed, list[Pattern]]:
    """Column generation: the linear programme over all patterns, and the ones it was left with.

    Every round's values give a bound; it goes to `cuts` where they are wanted.
    """
    patterns = pool.within(job)
    columns = Columns.of(job, patterns)
    while True:
        relaxed = relax(job, columns, costs, way_out, ceiling)
        values = whole_values(relaxed.values, job)
        if not values:
            return relaxed, patterns
        unit = max(w / v for w, v in zip(values, relaxed.values, strict=True) if v > 0)
        cut, best = cut_by(job, values)
        if cuts is not None:
            cuts.append(cut)
        known = len(patterns)
        for stock, (pattern, worth) in enumerate(zip(best, cut.worths, strict=True)):
            price = (costs[stock] + relaxed.charges[stock]) * unit
            if job.limits[stock] and worth > price + 2 and pool.add(pattern):
                patterns.append(pattern)
        if len(patterns) == known or not clock.left_s():
            return relaxed, patterns[:known]
        columns = columns.beside(Columns.of(job, patterns[known:]))


def sparing_patterns(
    job: Job, values: Counts, slack: int, worths: Counts, limit: int
) -> list[Pattern] | None:
    """All patterns that a plan can hold which wastes no more worth than the slack."""
    found: list[Pattern] = []
    for stock, worth in enumerate(worths):
        if job.limits[stock]:
            some = all_patterns(job, values, stock, worth - slack, limit - len(found))
            if some is None:
                return None
            found += some
    return found


def within(
    job: Job,
    relaxed: Relaxed,
    cut: Cut,
    weights: Counts,
    most: int,
    ceiling: int | None,
    limit: int,
) -> list[Pattern] | None:
    """All patterns that can be in a plan whose boards come to no more than that by weight.

    By the values of the linear programme a board costs its weight and the charges for what is
    scarce, and yields what its pattern is worth. All boards together yield what the pieces are
    worth, so that no board can yield less than it costs by more than what is over in all.

    Args:
        job: What is to be cut.
        relaxed: The answer of the linear programme for these weights and this ceiling.
        cut: The bound from its values.
        weights: What a board of each stock counts.
        most: What they may come to.
        ceiling: The most that the boards may cost.
        limit: Patterns that are too many.
    """
    costs = np.array(weights, float) + relaxed.charges
    if not costs.all():
        return None
    # So that no pattern yields more than it costs.
    unit = float(np.max(np.array(cut.worths) / costs))
    scarce = relaxed.charges - relaxed.ceiling_charge * np.array(job.costs, float)
    budget = most + relaxed.ceiling_charge * (ceiling or 0) + scarce @ np.array(job.limits, float)
    slack = int(unit * budget) - cut.total + 2
    worths = tuple(int(unit * cost) for cost in costs)
    return sparing_patterns(job, cut.values, slack, worths, limit)

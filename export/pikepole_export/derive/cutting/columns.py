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
from pikepole_export.derive.cutting.programmes import Clock, Cut, Relaxed, WayOut, relax

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
        trimmed = (
            Pattern(p.stock, tuple(map(min, p.counts, job.demands)))
            for p in self._known
            if job.limits[p.stock]
        )
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
    while True:
        patterns = pool.within(job)
        relaxed = relax(job, patterns, costs, way_out, ceiling)
        values = whole_values(relaxed.values, job)
        if not values:
            return relaxed, patterns
        unit = max(w / v for w, v in zip(values, relaxed.values, strict=True) if v > 0)
        cut, best = cut_by(job, values)
        if cuts is not None:
            cuts.append(cut)
        added = False
        for stock, (pattern, worth) in enumerate(zip(best, cut.worths, strict=True)):
            price = (costs[stock] + relaxed.charges[stock]) * unit
            if job.limits[stock] and worth > price + 2:
                added |= pool.add(pattern)
        if not added or not clock.left_s():
            return relaxed, patterns


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

"""What can come out of one board: patterns, found by value.

A pattern says how many pieces of each length come out of one board. Lengths are whole ticks here,
the kerf added to every piece and to the board (`lengths` says why), so that a pattern fits when its
sizes add up to the board's room or less.

    best_patterns(job, values) -> the pattern worth most for each board, and its worth
    all_patterns(job, values, stock, least, limit) -> every pattern worth so much or more
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

Counts: TypeAlias = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Pattern:
    """How one board is cut.

    Attributes:
        stock: Which stock length, by its place in the job.
        counts: Pieces of each size.
    """

    stock: int
    counts: Counts


@dataclass(frozen=True, slots=True)
class Job:
    """What is to be cut and what from, in whole numbers.

    Attributes:
        sizes: Lengths of the pieces in ticks with one kerf each, longest first, no two equal.
        demands: Pieces wanted of each size, one or more.
        rooms: Length of each stock in ticks, trims off and one kerf on.
        costs: What a board of each stock costs, in whole numbers of any kind, 0 or more.
        limits: Boards there are of each stock.
    """

    sizes: Counts
    demands: Counts
    rooms: Counts
    costs: Counts
    limits: Counts

    def most(self, size: int, stock: int) -> int:
        """Pieces of a size that one board can be asked for."""
        return min(self.demands[size], self.rooms[stock] // self.sizes[size])

    def used(self, pattern: Pattern) -> int:
        """Ticks of a board that the pieces take."""
        return sum(n * size for n, size in zip(pattern.counts, self.sizes, strict=True))

    def left(self, demands: Counts, limits: Counts) -> Job:
        """The same job with other numbers of pieces and boards. Sizes stay, also those at 0."""
        return Job(self.sizes, demands, self.rooms, self.costs, limits)


def _portions(most: int) -> list[int]:
    """Numbers of which some add up to any number up to the most: 1, 2, 4 ... and a rest."""
    portions: list[int] = []
    step = 1
    while most > 0:
        portions.append(min(step, most))
        most -= portions[-1]
        step *= 2
    return portions


def best_patterns(job: Job, values: Sequence[int]) -> tuple[list[Pattern], Counts]:
    """The pattern that is worth most for each stock: one knapsack for all, exact in integers.

    Args:
        job: What is to be cut; no pattern has more of a size than its demand.
        values: What a piece of each size is worth; whole, 0 or more, below 2**31 for a full board.

    Returns:
        A pattern for each stock, and what each is worth.
    """
    longest = max(job.rooms)
    worth = np.zeros(longest + 1, dtype=np.int64)
    layers: list[tuple[int, int, int, np.ndarray]] = []
    for size, (length, value) in enumerate(zip(job.sizes, values, strict=True)):
        if value <= 0:
            continue
        for portion in _portions(min(job.demands[size], longest // length)):
            room = portion * length
            if room > longest:
                continue
            with_it = worth[:-room] + portion * value
            taken = with_it > worth[room:]
            np.maximum(worth[room:], with_it, out=worth[room:])
            layers.append((size, portion, room, taken))
    patterns: list[Pattern] = []
    for stock, space in enumerate(job.rooms):
        counts = [0] * len(job.sizes)
        for size, portion, room, taken in reversed(layers):
            if space >= room and taken[space - room]:
                counts[size] += portion
                space -= room
        patterns.append(Pattern(stock, tuple(counts)))
    return patterns, tuple(int(worth[room]) for room in job.rooms)


def all_patterns(
    job: Job, values: Sequence[int], stock: int, least: int, limit: int
) -> list[Pattern] | None:
    """Every pattern of a stock that is worth so much or more and has no room for another piece.

    Args:
        job: What is to be cut; no pattern has more of a size than its demand.
        values: What a piece of each size is worth; whole, 0 or more.
        stock: Which stock.
        least: What a pattern must be worth.
        limit: Patterns that are too many.

    Returns:
        The patterns, or None where there are more than the limit or looking takes too long.
    """
    room = job.rooms[stock]
    sizes = [size for size in range(len(job.sizes)) if job.most(size, stock)]
    if len(sizes) * room > 30_000_000:  # ticks of table: some 240 MB
        return None
    # tables[j][space]: the most that sizes[j:] are worth in that space.
    tables = [np.zeros(room + 1, dtype=np.int64)]
    for size in reversed(sizes):
        worth = tables[-1].copy()
        if values[size]:
            for portion in _portions(job.most(size, stock)):
                taken = portion * job.sizes[size]
                if taken <= room:
                    with_it = worth[:-taken] + portion * values[size]
                    np.maximum(worth[taken:], with_it, out=worth[taken:])
        tables.append(worth)
    tables.reverse()
    found: list[Pattern] = []
    counts = [0] * len(job.sizes)
    steps_left = 60 * limit

    def walk(place: int, space: int, needed: int) -> bool:
        nonlocal steps_left
        steps_left -= 1
        if steps_left < 0:
            return False
        if place == len(sizes):
            if all(
                job.sizes[size] > space or counts[size] == job.most(size, stock) for size in sizes
            ):
                found.append(Pattern(stock, tuple(counts)))
            return len(found) <= limit
        size = sizes[place]
        table = tables[place + 1]
        for count in range(min(job.most(size, stock), space // job.sizes[size]), -1, -1):
            space_left = space - count * job.sizes[size]
            needed_still = needed - count * values[size]
            if table[space_left] >= needed_still:
                counts[size] = count
                if not walk(place + 1, space_left, needed_still):
                    return False
        counts[size] = 0
        return True

    if tables[0][room] < least:
        return []
    return found if walk(0, room, least) else None

"""What can come out of one board, in whole numbers.

    step_mm(lengths_mm) -> the step in which lengths are counted
    whole_steps(length_mm, step_mm) -> how many
    best_patterns(job, values) -> the pattern worth most for each stock, and its worth
    Listing(job, values).worth(leasts, limit) -> every pattern worth so much or more

A pattern says how many pieces of each length come out of one board. The kerf is added to every
piece and to the board (`lengths` says why), so that a pattern fits when its sizes add up to the
board's room or less.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

# Whole in 1/64 in (3175 of them), in 0.1 mm (800) and in a micrometre.
UNIT_MM = 1 / 8000
MICROMETRE_MM = 1e-3
NOISE = 1e-3  # of a step: left by arithmetic, no length
MOST_CELLS = 20_000_000  # of the tables by which patterns are listed: 80 MB
VISITS_PER_PATTERN = 60  # to the tree of patterns before listing gives up

Counts: TypeAlias = tuple[int, ...]


def step_mm(lengths_mm: Sequence[float]) -> float:
    """The largest measure that all lengths share, or a micrometre."""
    units = [length / UNIT_MM for length in lengths_mm]
    if all(abs(n - round(n)) < NOISE for n in units):
        shared_mm = math.gcd(*map(round, units)) * UNIT_MM
        if shared_mm >= MICROMETRE_MM:
            return shared_mm
    return MICROMETRE_MM


def whole_steps(length_mm: float, step_mm: float) -> int:
    """Whole steps in a length; what is over is less than any saw can tell."""
    return math.floor(length_mm / step_mm + NOISE)


@dataclass(frozen=True, slots=True)
class Pattern:
    """How one board or sheet is cut.

    Attributes:
        stock: Which stock, by its place in the job.
        counts: Pieces of each size.
    """

    stock: int
    counts: Counts


@dataclass(frozen=True, slots=True)
class Job:
    """What is to be cut and what from, in whole numbers.

    Attributes:
        sizes: Lengths of the pieces in steps with one kerf each, longest first, no two equal.
        demands: Pieces wanted of each size, one or more.
        rooms: Length of each stock in steps, trims off and one kerf on.
        costs: What a board of each stock costs, in whole numbers of any kind, 1 or more.
    """

    sizes: Counts
    demands: Counts
    rooms: Counts
    costs: Counts

    def most(self, size: int, stock: int) -> int:
        """Pieces of a size that one board can be asked for."""
        return min(self.demands[size], self.rooms[stock] // self.sizes[size])

    def coarser(self, steps: int) -> Job:
        """The same job in so many times larger steps: what fits there fits here."""
        return Job(
            tuple(-(-size // steps) for size in self.sizes),
            self.demands,
            tuple(room // steps for room in self.rooms),
            self.costs,
        )


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
    worth = np.zeros(longest + 1, dtype=np.int32)
    layers: list[tuple[int, int, int, np.ndarray]] = []
    for size, (length, value) in enumerate(zip(job.sizes, values, strict=True)):
        if value <= 0:
            continue
        for portion in _portions(min(job.demands[size], longest // length)):
            room = portion * length
            with_it = worth[: longest + 1 - room] + np.int32(portion * value)
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


class Listing:
    """All patterns that are worth much by certain values of the pieces.

    Args:
        job: What is to be cut; no pattern has more of a size than its demand.
        values: What a piece of each size is worth; whole, 0 or more, below 2**31 for a full board.
    """

    def __init__(self, job: Job, values: Sequence[int]) -> None:
        self._job, self._values = job, values
        room = max(job.rooms)
        # From the last size on, the most that this size and those behind it are worth in a space.
        self._tables = [np.zeros(room + 1, dtype=np.int32)]
        if (room + 1) * len(job.sizes) > MOST_CELLS:
            return
        for length, demand, value in reversed([*zip(job.sizes, job.demands, values, strict=True)]):
            worth = self._tables[-1].copy()
            for portion in _portions(min(demand, room // length) if value else 0):
                taken = portion * length
                if taken <= room:
                    with_it = worth[: room + 1 - taken] + np.int32(portion * value)
                    np.maximum(worth[taken:], with_it, out=worth[taken:])
            self._tables.append(worth)
        self._tables.reverse()

    def worth(self, leasts: Sequence[int], limit: int) -> list[Pattern] | None:
        """Every pattern that has no room for another piece and is worth so much or more.

        Args:
            leasts: What a pattern of each stock must be worth.
            limit: Patterns that are too many.

        Returns:
            The patterns, or None where there are more than the limit or looking takes too long.
        """
        job, values = self._job, self._values
        if len(self._tables) <= len(job.sizes):
            return None
        found: list[Pattern] = []
        counts = [0] * len(job.sizes)
        visits = VISITS_PER_PATTERN * limit

        def walk(stock: int, size: int, space: int, needed: int) -> bool:
            nonlocal visits
            visits -= 1
            if visits < 0:
                return False
            if size == len(counts):
                if all(
                    n > space or c == d
                    for n, c, d in zip(job.sizes, counts, job.demands, strict=True)
                ):
                    found.append(Pattern(stock, tuple(counts)))
                return len(found) <= limit
            for count in range(min(job.demands[size], space // job.sizes[size]), -1, -1):
                space_left = space - count * job.sizes[size]
                needed_still = needed - count * values[size]
                if self._tables[size + 1][space_left] >= needed_still:
                    counts[size] = count
                    if not walk(stock, size + 1, space_left, needed_still):
                        return False
            counts[size] = 0
            return True

        for stock, (room, least) in enumerate(zip(job.rooms, leasts, strict=True)):
            if self._tables[0][room] >= least and not walk(stock, 0, room, least):
                return None
        return found

"""Patterns chosen by linear and integer programmes.

    generate(job, pool, best) -> a bound, after the pool has got the patterns it takes
    choose(job, pool, least, nodes) -> whole numbers of patterns that give all the pieces
    sparing(job, bound, every, most, limit) -> all patterns of the plans that cost so little
    prove(job, chosen, bound, every) -> a better plan or a better bound

Column generation: the linear programme over the patterns known so far says what a piece of each
size is worth; the patterns worth most at these values are added, until none is worth more than its
stock costs. The integer programme then takes whole numbers of the patterns.

Source: Gilmore and Gomory, A linear programming approach to the cutting-stock problem, Operations
    Research 9 (1961) and 11 (1963).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, inf
from typing import TypeAlias

import numpy as np

from pikepole_export.derive.cutting.patterns import Counts, Job, Pattern
from pikepole_export.derive.cutting.solver import Answer, Programme

SCALE = 1_000_000  # what a full board is worth at most when values are made whole numbers
FEW_PATTERNS = 500  # an integer programme chooses among so many, where no proof is asked for
FEW_NODES = 300  # of its search tree
A_LENGTH = 0.5  # of what a board counts: each length on it, as the saw's stop is set for it

MANY_PATTERNS, PROOF_NODES = 8_000, 20_000  # where one is asked for
ROUNDED = 1e-5  # of a bound: lost where values are made whole
NOISE = 1e-6  # left by arithmetic where whole numbers are compared with others

# From values of the pieces: the pattern worth most for each stock, and what each is worth.
Best: TypeAlias = Callable[[Sequence[int]], tuple[list[Pattern], Counts]]
# From what a pattern of each stock must be worth by the values of a bound: all such patterns, None
# where they are more than a limit.
Every: TypeAlias = Callable[[Sequence[int], int], list[Pattern] | None]


@dataclass(frozen=True, slots=True)
class DualBound:
    """A bound from values of the pieces that every plan keeps.

    Give every piece a value, any value. No board can yield more than the pattern worth most, so
    sum(worths * boards) >= total for every plan. The best values come from the dual of the linear
    programme, and whole numbers keep the bound free of rounding.

    Attributes:
        values: Value of a piece of each size.
        worths: The most that a board of each stock can yield.
        total: Value of all the pieces.
    """

    values: Counts
    worths: Counts
    total: int

    def unit(self, costs: Sequence[int]) -> Fraction:
        """What a board yields at most for each unit that it costs."""
        return max(Fraction(w, c) for w, c in zip(self.worths, costs, strict=True))

    def least(self, costs: Sequence[int]) -> int:
        """What boards cost at least, of which stock ever they are."""
        return ceil(self.total / self.unit(costs))

    def thrifty(self, job: Job, patterns: Iterable[Pattern]) -> list[Pattern]:
        """Patterns in order of what their boards cost beyond what they yield."""
        unit = self.unit(job.costs)
        return sorted(
            patterns, key=lambda p: unit * job.costs[p.stock] - _sum(self.values, p.counts)
        )


def bound_by(job: Job, values: Counts, best: Best) -> tuple[DualBound, list[Pattern]]:
    """The bound that values give, and the patterns that set it.

    Args:
        job: What is wanted, and what there is.
        values: One for each kind of piece.
        best: Finds the pattern that these values make worth most.
    """
    patterns, worths = best(values)
    return DualBound(values, worths, _sum(values, job.demands)), patterns


class Generation:
    """Column generation, gone on with whenever boards of other stocks are asked about.

    Args:
        job: What is to be cut.
        pool: Patterns that can give all the pieces; gets more.
        best: The pattern worth most for each stock.
        board_cost: What a board of any stock counts beside what it costs.
    """

    def __init__(
        self, job: Job, pool: dict[Pattern, None], best: Best, board_cost: float = 0.0
    ) -> None:
        self._job, self._pool, self._best = job, pool, best
        self._costs = [cost + board_cost for cost in job.costs]
        self._programme, self._told = Programme(job.demands), 0

    def least(self, stocks: Collection[int], nearly: float = 0.0) -> tuple[float, DualBound]:
        """What all the pieces cost with fractions of boards, and the bound that their values give.

        Args:
            stocks: Of which the boards are; the longest piece fits one of them.
            nearly: Share of it by which the bound may be below and is good enough.

        Raises:
            SolverError: The solver gave no answer.
        """
        while True:
            answer = self._solved(stocks)
            values = [max(0.0, price) for price in answer.prices]
            whole = whole_values(values, self._job)
            bound, patterns = bound_by(self._job, whole, self._best)
            unit = max(w / v for w, v in zip(whole, values, strict=True) if v > 0)
            for stock in stocks:
                # Only what is worth more than its board costs saves anything; 2 are left by
                # rounding.
                if bound.worths[stock] > self._costs[stock] * unit + 2:
                    self._pool[patterns[stock]] = None
            near = nearly and bound.least(self._job.costs) > (1 - nearly) * answer.cost
            if near or len(self._pool) == self._told:
                return answer.cost, bound

    def _solved(self, stocks: Collection[int]) -> Answer:
        patterns = [*self._pool]
        fresh, self._told = patterns[self._told :], len(patterns)
        if fresh:
            self._programme.add_columns([self._costs[one.stock] for one in fresh], _counted(fresh))
        self._programme.allow([one.stock in stocks for one in patterns])
        return self._programme.solved()


def generate(
    job: Job,
    pool: dict[Pattern, None],
    best: Best,
    board_cost: float = 0.0,
    *,
    nearly: float = 0.0,
) -> DualBound:
    """Adds to a pool the patterns that cost least, fractions of boards allowed.

    Args:
        job: What is to be cut.
        pool: Patterns that can give all the pieces; gets more.
        best: The pattern worth most for each stock.
        board_cost: What a board of any stock counts beside what it costs.
        nearly: Share of it by which the bound may be below the best and is good enough.

    Returns:
        The bound that this comes to, not counting that.

    Raises:
        SolverError: The solver gave no answer.
    """
    _, bound = Generation(job, pool, best, board_cost).least(range(len(job.rooms)), nearly)
    by_length, _ = bound_by(job, whole_values(job.sizes, job), best)
    # Of two bounds that are equal but for rounding that by length, which wastes nothing.
    sharp = by_length.total / by_length.unit(job.costs) > (1 - ROUNDED) * float(
        bound.total / bound.unit(job.costs)
    )
    return by_length if sharp else bound


def choose(
    job: Job, pool: Sequence[Pattern], least: int, nodes: int, enough: float = 0.0
) -> tuple[list[Pattern] | None, float]:
    """Whole numbers of patterns that give all the pieces at little cost.

    Among equal ones it takes few boards, and few different lengths on each.

    Args:
        job: What is to be cut.
        pool: Patterns to choose from.
        least: What any plan costs at least.
        nodes: Where the search tree ends.
        enough: Share of the cost by which a choice may be above the best one.

    Returns:
        The patterns, each as often as it is cut, None where none were found; and what any choice
        from the pool costs at least, infinite where there is none.
    """
    if not pool:
        return None, inf
    counts = _counted(pool)
    costs = np.array([job.costs[pattern.stock] for pattern in pool], dtype=float)
    lengths = np.count_nonzero(counts, axis=1)
    programme = Programme(job.demands)
    programme.add_columns([*(costs + board_trifle(job) * (1 + A_LENGTH * lengths))], counts)
    programme.add_rows(costs[None, :], [least])
    # Less than what two plans can differ by.
    gap = max(enough, 0.9 * board_trifle(job) / least)
    answer = programme.whole(gap=gap, nodes=nodes)
    if not answer.amounts:
        return None, inf if answer.bound == inf else least
    chosen = [p for p, n in zip(pool, answer.amounts, strict=True) for _ in range(round(n))]
    return chosen, ceil(answer.bound - 0.5 - NOISE)


def sparing(
    job: Job, bound: DualBound, every: Every, most: int, limit: int
) -> tuple[list[Pattern], int] | None:
    """The patterns of all plans that cost no more than so much, or than the most with few enough.

    By the values of the bound a board costs as much as it yields, or more, and all boards of a
    plan together cost so much more as the plan is above the bound. The nearer to it a plan is, the
    fewer patterns can be in it.

    Args:
        job: What is to be cut.
        bound: The best bound there is.
        every: Lists patterns by the values of the bound.
        most: What the plans may cost.
        limit: Patterns that are too many.

    Returns:
        The patterns, and what the plans cost at most whose patterns these are; None where even
        those at the bound are too many.
    """
    least = bound.least(job.costs)
    unit = bound.unit(job.costs)
    found: tuple[list[Pattern], int] | None = None
    reach, step = least, 1
    while True:
        slack = ceil(unit * reach) - bound.total
        listed = every([ceil(unit * cost) - slack for cost in job.costs], limit)
        if listed is None:
            return found
        found = listed, reach
        if reach == most:
            return found
        reach, step = min(most, reach + step), 2 * step


def prove(
    job: Job, chosen: list[Pattern], bound: DualBound, every: Every
) -> tuple[list[Pattern], int]:
    """Raises the bound or betters the plan until they meet, or the work gets too much.

    Args:
        job: What is to be cut.
        chosen: The best plan so far.
        bound: The bound so far.
        every: Lists patterns by the values of the bound.

    Returns:
        The best plan, and what any plan costs at least.
    """
    least = bound.least(job.costs)
    while least < cost_of(job, chosen):
        listed = sparing(job, bound, every, cost_of(job, chosen) - 1, MANY_PATTERNS)
        if listed is None:
            break
        patterns, most = listed
        plan, reached = choose(job, patterns, least, PROOF_NODES)
        before = least, cost_of(job, chosen)
        if plan and cost_of(job, plan) < cost_of(job, chosen):
            chosen = plan
        least = max(least, int(min(reached, most + 1)))
        if (least, cost_of(job, chosen)) == before:
            break
    return chosen, min(least, cost_of(job, chosen))


def board_trifle(job: Job) -> float:
    """What a board may count beside its cost, so that all boards of a plan count less than 1."""
    return 0.5 / (1 + sum(job.demands))


def cost_of(job: Job, boards: Sequence[Pattern]) -> int:
    """What boards cost."""
    return sum(job.costs[board.stock] for board in boards)


def whole_values(values: Sequence[float] | np.ndarray, job: Job) -> Counts:
    """Values as whole numbers, in proportion, such that a full board is worth SCALE at most."""
    dearest = max(v / size for v, size in zip(values, job.sizes, strict=True)) * max(job.rooms)
    return tuple(int(v * SCALE / dearest + 1e-3) for v in values)


def _counted(patterns: Sequence[Pattern]) -> np.ndarray:
    """Pieces of each size in each pattern, (patterns, sizes)."""
    return np.array([pattern.counts for pattern in patterns], dtype=float)


def _sum(values: Sequence[int], counts: Sequence[int]) -> int:
    return sum(value * count for value, count in zip(values, counts, strict=True))

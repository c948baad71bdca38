"""The linear and integer programmes of a cut plan, solved by HiGHS through scipy.

relax(job, columns, costs, way_out) -> how much of each pattern, and what the pieces are worth
fewest(...), few(...) -> how many boards of each stock the known bounds allow at least
choose(...) -> whole numbers of patterns that give all the pieces
cheapest(...) -> whole numbers of patterns that come to the least
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pikepole_export.derive.cutting.patterns import Counts, Job, Pattern

MANY_NODES = 1_000_000  # of a search tree: no end but the clock's


@dataclass(frozen=True, slots=True)
class Cut:
    """A bound that every plan keeps: boards, each at its worth, make up the worth of the pieces.

    Give every piece a value, any value. No board can yield more than the pattern worth most, so
    sum(worths * boards) >= total for every plan. The best values come from the dual of the linear
    programme (Gilmore and Gomory 1961), and whole numbers keep the bound free of rounding.

    Attributes:
        values: Value of a piece of each size.
        worths: The most that a board of each stock can yield.
        total: Value of all the pieces.
    """

    values: Counts
    worths: Counts
    total: int

    def broken_by(self, boards: Sequence[int]) -> bool:
        """Whether so many boards of each stock are too few."""
        return sum(w * n for w, n in zip(self.worths, boards, strict=True)) < self.total

    def least(self, weights: Sequence[int]) -> int:
        """What boards come to at least by weight, of which stock ever they are."""
        shares = [(v, w) for v, w in zip(weights, self.worths, strict=True) if w]
        return min((-(-v * self.total // w) for v, w in shares), default=0)


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The answer of the linear programme.

    Attributes:
        amounts: How much of each pattern of the pool.
        missing: Pieces of all sizes not cut.
        values: What one more piece of each size would cost.
        charges: What one more board of each stock would save, ceiling included.
        ceiling_charge: What it would save to let the boards cost one more.
    """

    amounts: np.ndarray
    boards: np.ndarray
    missing: float
    values: np.ndarray
    charges: np.ndarray
    ceiling_charge: float


@dataclass(frozen=True, slots=True)
class WayOut:
    """What the linear programme may do, at a cost, where the boards are too few.

    Attributes:
        pieces: Pieces of each size that come from nowhere, (sizes, ways).
        boards: Boards of each stock that come from nowhere, (stocks, ways).
        costs: What each way costs, (ways,).
    """

    pieces: np.ndarray
    boards: np.ndarray
    costs: np.ndarray

    @classmethod
    def missing(cls, job: Job, cost: float) -> WayOut:
        """Leaves pieces out, at a cost for each tick."""
        sizes = len(job.sizes)
        return cls(
            np.eye(sizes), np.zeros((len(job.rooms), sizes)), cost * np.array(job.sizes, float)
        )


class Clock:
    """Time that is left, in seconds."""

    def __init__(self, limit_s: float) -> None:
        self._end = time.monotonic() + limit_s

    def left_s(self) -> float:
        """Seconds left, 0 when time is up."""
        return max(0.0, self._end - time.monotonic())


@dataclass(frozen=True, slots=True)
class Columns:
    """Patterns as columns of a programme.

    Attributes:
        pieces: Pieces of each size, (sizes, patterns).
        boards: Boards of each stock, (stocks, patterns).
    """

    pieces: np.ndarray
    boards: np.ndarray

    @classmethod
    def of(cls, job: Job, pool: Sequence[Pattern]) -> Columns:
        """A column for each pattern."""
        pieces = np.array([pattern.counts for pattern in pool], dtype=float)
        boards = np.zeros((len(job.rooms), len(pool)))
        boards[[pattern.stock for pattern in pool], np.arange(len(pool))] = 1.0
        return cls(pieces.reshape(len(pool), len(job.sizes)).T, boards)

    def beside(self, more: Columns) -> Columns:
        """These and more."""
        return Columns(np.hstack([self.pieces, more.pieces]), np.hstack([self.boards, more.boards]))


def relax(
    job: Job,
    columns: Columns,
    costs: Sequence[float],
    way_out: WayOut,
    ceiling: float | None = None,
) -> Relaxed:
    """Cheapest amounts of patterns, fractions allowed, with a way out where boards are too few.

    With a ceiling, what the boards cost by the job's own costs may not come to more.
    """
    from scipy.optimize import linprog

    pieces, boards = columns.pieces, columns.boards
    sizes, stocks = len(job.sizes), len(job.rooms)
    own_costs = np.array(job.costs, float)
    out = np.vstack([-way_out.pieces, -way_out.boards])
    rows = np.vstack([-pieces, boards])
    least = np.concatenate([-np.array(job.demands, float), np.array(job.limits, float)])
    if ceiling is not None:
        rows = np.vstack([rows, own_costs @ boards])
        out = np.vstack([out, np.zeros(out.shape[1])])
        least = np.append(least, ceiling)
    answer = linprog(
        np.concatenate([np.array(costs, float) @ boards, way_out.costs]),
        A_ub=np.hstack([rows, out]),
        b_ub=least,
        method="highs-ds",
    )
    assert answer.status == 0, answer.message
    prices = -answer.ineqlin.marginals
    ceiling_charge = 0.0 if ceiling is None else max(0.0, float(prices[-1]))
    charges = prices[sizes : sizes + stocks] + ceiling_charge * own_costs
    amounts = answer.x[: boards.shape[1]]
    return Relaxed(
        amounts=amounts,
        boards=boards @ amounts,
        missing=float(answer.x[boards.shape[1] :].sum()),
        values=np.maximum(prices[:sizes], 0.0),
        charges=np.maximum(charges, 0.0),
        ceiling_charge=ceiling_charge,
    )


def fewest(
    weights: Counts, floors: Sequence[tuple[Counts, int]], limits: Counts, clock: Clock
) -> Counts | None:
    """Boards of each stock that come to the least by weight and reach every floor.

    The arguments are those of `few`.

    Returns:
        Boards of each stock; None where no boards reach the floors.

    Raises:
        TimeoutError: The solver did not finish.
    """
    counted, least = few(weights, floors, limits, clock, MANY_NODES)
    if not least:
        raise TimeoutError
    return counted


def few(
    weights: Counts,
    floors: Sequence[tuple[Counts, int]],
    limits: Counts,
    clock: Clock,
    nodes: int,
) -> tuple[Counts | None, bool]:
    """Boards of each stock that come to little by weight and reach every floor.

    Args:
        weights: What a board of each stock counts.
        floors: Weights of each stock, and what boards times weights must come to or pass.
        limits: Boards there are of each stock.
        clock: Time that is left.
        nodes: Where the search tree ends.

    Returns:
        Boards of each stock, None where no boards reach the floors; and whether that is the least.

    Raises:
        TimeoutError: The solver found nothing in time.
    """
    from scipy.optimize import milp

    answer = milp(
        np.array(weights, float),
        integrality=np.ones(len(limits)),
        bounds=(0, np.array(limits, float)),
        constraints=(np.array([row for row, _ in floors], float), [t for _, t in floors], np.inf),
        options={
            "mip_rel_gap": 0.0,
            "node_limit": nodes,
            "time_limit": max(0.05, clock.left_s()),
        },
    )
    if answer.status == 2:
        return None, True
    if answer.x is None:
        raise TimeoutError
    return tuple(round(n) for n in answer.x), answer.status == 0


def choose(
    job: Job,
    pool: Sequence[Pattern],
    rows: Sequence[tuple[Counts, float, float]],
    nodes: int,
    clock: Clock,
) -> tuple[list[Pattern] | None, bool]:
    """Patterns, whole ones, that give all the pieces.

    Args:
        job: Pieces wanted and boards there are.
        pool: Patterns to choose from.
        rows: Weights of each stock, and the least and most that boards times weights may come to.
        nodes: Where the search tree ends.
        clock: Time that is left.

    Returns:
        The patterns, each as often as it is cut, or None; and whether None is a proof that the
        pool has no such choice.
    """
    from scipy.optimize import milp
    from scipy.sparse import bmat, csr_array, eye_array

    if not pool:
        return None, True
    columns = Columns.of(job, pool)
    stocks = len(job.rooms)
    # Numbers of boards are variables of their own: to branch on them splits the work best.
    tie = bmat([[csr_array(columns.boards), -eye_array(stocks)]])
    cover = bmat([[csr_array(columns.pieces), csr_array((len(job.sizes), stocks))]])
    constraints: list[Any] = [
        (tie, 0, 0),
        (cover, np.array(job.demands, float), np.inf),
    ]
    for weights, least, most in rows:
        row = np.concatenate([np.zeros(len(pool)), np.array(weights, float)])
        constraints.append((row[None, :], least, most))
    answer = milp(
        np.concatenate([np.zeros(len(pool)), np.ones(stocks)]),
        integrality=np.ones(len(pool) + stocks),
        bounds=(0, np.concatenate([np.full(len(pool), np.inf), np.array(job.limits, float)])),
        constraints=constraints,
        options={"node_limit": nodes, "time_limit": max(0.05, clock.left_s())},
    )
    if answer.x is None:
        return None, answer.status == 2
    times = [round(n) for n in answer.x[: len(pool)]]
    return [pattern for pattern, n in zip(pool, times, strict=True) for _ in range(n)], False


def cheapest(
    job: Job,
    pool: Sequence[Pattern],
    weights: Sequence[int],
    ceiling: float,
    nodes: int,
    clock: Clock,
) -> tuple[list[Pattern] | None, bool]:
    """Patterns, whole ones, that give all the pieces, and whose boards come to the least by weight.

    Args:
        job: Pieces wanted, boards there are and what they cost.
        pool: Patterns to choose from.
        weights: What a board of each stock counts.
        ceiling: The most that the boards may cost.
        nodes: Where the search tree ends.
        clock: Time that is left; at either end, the best so far.

    Returns:
        The patterns, each as often as it is cut, or None; and whether the pool has none better.
    """
    from scipy.optimize import milp

    if not pool:
        return None, True
    columns = Columns.of(job, pool)
    costs = np.array(job.costs, float) @ columns.boards
    answer = milp(
        np.array(weights, float) @ columns.boards,
        integrality=np.ones(len(pool)),
        constraints=[
            (columns.pieces, np.array(job.demands, float), np.inf),
            (columns.boards, 0, np.array(job.limits, float)),
            (costs[None, :], 0, ceiling),
        ],
        options={
            "mip_rel_gap": 0.0,
            "node_limit": nodes,
            "time_limit": max(0.05, clock.left_s()),
        },
    )
    if answer.x is None:
        return None, answer.status == 2
    plan = [p for p, n in zip(pool, answer.x, strict=True) for _ in range(round(n))]
    return plan, answer.status == 0

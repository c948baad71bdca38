"""The search for the best cut plan and for the proof that there is no better one.

What a plan costs depends only on how many boards of each stock it takes. The linear programme over
all patterns (column generation, Gilmore and Gomory 1961, 1963) gives a bound, and the integer
programme chooses the best plan among the patterns found on the way. Where that is above the bound,
two questions are asked in turn. Which numbers of boards come to less than the best plan and break
no known bound? Can the pieces be cut from just these boards? If the linear programme says no, its
dual is a new bound, and the first question is asked again (Benders' decomposition). If they can be
cut, that is a better plan. When no numbers of boards are left, nothing is better, and that is the
proof. It is done for the cost first, then for the number of boards at that cost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, inf
from random import Random

import numpy as np

from pikepole_export.derive.cutting.columns import Pool, cut_by, generate, sparing_patterns, within
from pikepole_export.derive.cutting.dive import completed, counted_boards, dive, rank_of
from pikepole_export.derive.cutting.patterns import Counts, Job, Pattern
from pikepole_export.derive.cutting.programmes import (
    Clock,
    Cut,
    Relaxed,
    WayOut,
    cheapest,
    choose,
    few,
    fewest,
)

FEW_PATTERNS = 1_000  # so many are looked at quickly
MANY_PATTERNS = 8_000  # more are not looked at as a whole
FEW_NODES, MANY_NODES = 300, 3_000  # of a search tree
MORE_DIVES = 12
SHARE = 0.4  # of the time left, for one step that need not come to its end
NOISE = 1e-6  # left by arithmetic where whole numbers are compared with others


@dataclass(frozen=True, slots=True)
class Found:
    """A plan and what is known about the best one.

    Attributes:
        boards: A pattern for each board; pieces of a size may be too many, never too few.
        cost_bound: No plan costs less.
        proven: Whether no plan costs less, nor as much with fewer boards.
    """

    boards: tuple[Pattern, ...]
    cost_bound: int
    proven: bool


def cost_by_length(job: Job) -> int:
    """What the pieces cost at least if boards could be joined: the cheapest length first."""
    need = sum(size * n for size, n in zip(job.sizes, job.demands, strict=True))
    cost = Fraction(0)
    stocks = sorted(zip(job.costs, job.rooms, job.limits, strict=True), key=lambda s: s[0] / s[1])
    for price, room, boards in stocks:
        taken = min(need, room * boards)
        cost += Fraction(price * taken, room)
        need -= taken
    return ceil(cost)


@dataclass(frozen=True, slots=True)
class _Root:
    """The linear programme without anything fixed, and the bound from its values."""

    relaxed: Relaxed
    cut: Cut


class _Search:
    """What is known so far: patterns, bounds, the best plan."""

    def __init__(self, job: Job, limit_s: float) -> None:
        self.job = job
        self.clock = Clock(limit_s)
        self.pool = Pool(job)
        self.cuts = [cut_by(job, job.sizes)[0]]
        # Bounds beyond these: weights of each stock, and what boards times weights come to.
        self.floors = [(job.costs, cost_by_length(job))]
        self.ones = (1,) * len(job.rooms)
        self.certain = True  # whether these still hold for every plan
        # So dear that no piece is left out where it can be cut.
        self._out = WayOut.missing(job, 1e3 * (1.0 + max(job.costs)) / min(job.sizes))
        self.best = completed(job, [], job)

    def offer(self, plan: list[Pattern] | None) -> None:
        """Takes a plan where it is better than the best so far."""
        if plan and (not self.best or rank_of(self.job, plan) < rank_of(self.job, self.best)):
            self.best = plan

    def relax(
        self, weights: Sequence[float], job: Job | None = None, ceiling: float | None = None
    ) -> Relaxed:
        """The least that boards can come to by weight, fractions allowed, and its bounds.

        Args:
            weights: What a board of each stock counts.
            job: The job with other limits of boards; None for the job itself.
            ceiling: The most that the boards may cost.
        """
        clock = self._part_of_time()
        job = job or self.job
        return generate(job, self.pool, weights, self._out, self.cuts, clock, ceiling)[0]

    def ranges(self, ceiling: int | None) -> None:
        """Bounds from the least and the most boards of each stock that cost no more than that."""
        for stock in range(len(self.ones)):
            for sign in (1.0, -1.0):
                if self.clock.left_s():
                    self.relax(sign * np.eye(len(self.ones))[stock], ceiling=ceiling)

    def settle_for(
        self, weights: Counts, ceiling: int | None, near: Sequence[Pattern] = ()
    ) -> None:
        """The best plan of the patterns known so far, and of some more."""
        most = inf if ceiling is None else ceiling
        pool = list(dict.fromkeys([*self.pool.within(self.job), *near]))
        self.offer(cheapest(self.job, pool, weights, most, FEW_NODES, self._part_of_time())[0])

    def near(self, root: _Root, weights: Counts, ceiling: int | None) -> list[Pattern]:
        """The patterns that are in plans near the bound, as many as are looked at quickly."""
        bound = root.cut.least(weights)
        found: list[Pattern] = []
        above = 1
        while above < 2 * bound:
            listed = within(
                self.job, root.relaxed, root.cut, weights, bound + above, ceiling, FEW_PATTERNS
            )
            if listed is None:
                break
            found = listed
            above *= 2
        return found

    def few(
        self, weights: Counts, most: int | None, ceiling: int | None
    ) -> tuple[Counts | None, bool]:
        """Boards that all bounds allow, within a weight and a cost; and whether they are fewest."""
        floors = self.all_floors(weights, most, ceiling)
        return few(weights, floors, self.job.limits, self.clock, MANY_NODES)

    def all_floors(
        self, weights: Counts, most: int | None, ceiling: int | None
    ) -> list[tuple[Counts, int]]:
        """All that is known of boards, and the weight and cost they may come to, as floors."""
        floors = [(cut.worths, cut.total) for cut in self.cuts] + self.floors
        for counts, limit in ((weights, most), (self.job.costs, ceiling)):
            if limit is not None:
                floors.append((tuple(-c for c in counts), -limit))
        return floors

    def breaks(
        self, boards: Counts, weights: Counts, most: int | None, ceiling: int | None
    ) -> bool:
        """Looks for a bound that so many boards break, and for those that break many others too."""
        fixed = self.job.left(self.job.demands, boards)
        known = len(self.cuts)
        generate(
            fixed,
            self.pool,
            (0,) * len(boards),
            WayOut.missing(self.job, 1.0),
            self.cuts,
            self.clock,
        )
        if not any(cut.broken_by(boards) for cut in self.cuts[known:]):
            return False
        # The fewer stocks have to be so few for it, the more the bound says.
        limits = list(boards)
        for stock in sorted(range(len(boards)), key=lambda stock: -self.job.rooms[stock]):
            wider = list(limits)
            wider[stock] = self.job.limits[stock]
            job = self.job.left(self.job.demands, tuple(wider))
            relaxed = self.relax(weights, job, ceiling)
            least = float(np.dot(weights, relaxed.boards))
            if relaxed.missing > NOISE or (most is not None and least > most + NOISE):
                limits = wider
            if not self.clock.left_s():
                break
        return True

    def reaches(self, boards: Counts, dives: int) -> bool:
        """Tries to cut all the pieces from so many boards. What it comes to may be the best yet."""
        fixed = self.job.left(self.job.demands, boards)
        luck = Random(0)  # the same at every run
        for number in range(dives):
            done, rest = dive(fixed, self.pool, luck, self.clock, thorough=number == 0)
            self.offer(completed(self.job, done, rest))
            if not any(rest.demands):
                return True
            if not self.clock.left_s():
                break
        return False

    def settles(self, counted: Counts, weights: Counts, ceiling: int | None) -> bool | None:
        """Whether a plan comes to no more than these boards do, by looking at all patterns.

        Only patterns count that waste no more, by the sharpest bound, than such a plan can.

        Returns:
            None where the patterns are too many or the time too short.
        """
        job = self.job
        value = _value(weights, counted)

        def spare(cut: Cut) -> float:
            return (_value(cut.worths, counted) - cut.total) / max(cut.worths)

        listed: list[Pattern] | None = None
        sharp = sorted(self.cuts, key=spare)[:4]
        floors = self.all_floors(weights, value, ceiling)
        for cut in sharp:
            try:
                most = fewest(tuple(-w for w in cut.worths), floors, job.limits, self.clock)
            except TimeoutError:
                return None
            if most is None:
                return False
            slack = _value(cut.worths, most) - cut.total
            some = sparing_patterns(job, cut.values, slack, cut.worths, MANY_PATTERNS)
            if some is not None and (listed is None or len(some) < len(listed)):
                listed = some
        if listed is None:
            return None
        rows = [(cut.worths, cut.total, inf) for cut in sharp]
        rows += [(weights, 0, value)]
        if ceiling is not None:
            rows += [(job.costs, 0, ceiling)]
        plan, refuted = choose(job, listed, rows, MANY_NODES, self.clock)
        self.offer(plan)
        return True if plan else False if refuted else None

    def improve(self, weights: Counts, ceiling: int | None = None) -> int:
        """Looks for plans that come to less by weight until there are none, or time is up.

        Args:
            weights: What a board of each stock counts.
            ceiling: The most that the boards may cost.

        Returns:
            A bound: no plan that costs no more than the ceiling comes to less.
        """
        bound, looks = 0, 0
        near: list[Pattern] = []
        root: _Root | None = None
        while True:
            reached = _value(weights, counted_boards(self.job, self.best)) if self.best else None
            most = None if reached is None else reached - 1
            bound = max(bound, *(cut.least(weights) for cut in self.cuts))
            if reached is not None and bound >= reached:
                return reached
            try:
                counted, least = self.few(weights, most, ceiling)
            except TimeoutError:
                if not root or not near or not self.clock.left_s():
                    return bound
                self.settle_for(weights, ceiling, near)
                near = []
                bound = self.probe(root, weights, ceiling, bound, MANY_PATTERNS)
                continue
            if counted is None:
                return reached if self.certain and reached is not None else bound
            if self.certain and least:
                bound = max(bound, _value(weights, counted))
            if not self.clock.left_s():
                return bound
            looks += 1
            if looks == 1:
                root = _Root(self.relax(weights, ceiling=ceiling), self.cuts[-1])
                self.settle_for(weights, ceiling)
                near = self.near(root, weights, ceiling)
                bound = self.probe(root, weights, ceiling, bound, FEW_PATTERNS)
                self.floors.append((weights, bound))
            elif looks == 2:
                self.ranges(most if ceiling is None else ceiling)
            elif not self.breaks(counted, weights, most, ceiling):
                self.try_for(counted, weights, ceiling, near)
                near = []

    def probe(
        self, root: _Root, weights: Counts, ceiling: int | None, bound: int, limit: int
    ) -> int:
        """Asks from the bound upwards whether a plan comes to so little, with all its patterns.

        The nearer a plan is to the bound, the fewer patterns can be in it.

        Returns:
            The bound, moved up.
        """
        cut = root.cut
        bound = max(bound, cut.least(weights))
        step = 1
        while self.clock.left_s():
            reached = _value(weights, counted_boards(self.job, self.best)) if self.best else None
            most = bound - 1 + step if reached is None else min(bound - 1 + step, reached - 1)
            if most < bound:
                break
            listed = within(self.job, root.relaxed, cut, weights, most, ceiling, limit)
            if listed is None:
                break
            rows = [(weights, 0, most), (cut.worths, cut.total, inf)]
            if ceiling is not None:
                rows.append((self.job.costs, 0, ceiling))
            plan, refuted = choose(self.job, listed, rows, FEW_NODES, self._part_of_time())
            self.offer(plan)
            if refuted:
                bound = most + 1
                step *= 2
            elif not plan:
                break
        return bound

    def try_for(
        self, counted: Counts, weights: Counts, ceiling: int | None, near: Sequence[Pattern]
    ) -> None:
        """Looks for a plan that comes to no more than boards of which no bound says no."""
        if self.reaches(counted, 1):
            return
        best = self.best
        if near:
            self.settle_for(weights, ceiling, near)
        if self.best is not best:
            return
        settled = self.settles(counted, weights, ceiling)
        if settled or (settled is None and self.reaches(counted, MORE_DIVES)):
            return
        self.certain = self.certain and settled is False
        self.floors.append((weights, _value(weights, counted) + 1))

    def _part_of_time(self) -> Clock:
        return Clock(self.clock.left_s() * SHARE)


def _value(weights: Counts, boards: Counts) -> int:
    return sum(w * n for w, n in zip(weights, boards, strict=True))


def search(job: Job, limit_s: float) -> Found | None:
    """The cheapest plan, with the fewest boards among the cheapest, and the proof, if time allows.

    Returns:
        The plan; None where none was found: boards are limited, and too few for the pieces.
    """
    known = _Search(job, limit_s)
    cost, boards = known.improve(job.costs), 0
    if not known.best:
        return None
    rank = rank_of(job, known.best)
    if cost == rank[0]:
        boards = known.improve(known.ones, ceiling=cost)
        rank = rank_of(job, known.best)
    return Found(tuple(known.best), cost, (cost, boards) == rank)

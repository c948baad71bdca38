"""The search for the best cut plan and for the proof that there is no better one.

What a plan costs depends only on how many boards of each stock it takes. So the search asks two
questions in turn. Which numbers of boards are the least that every known bound allows? A small
integer programme says. Can the pieces be cut from just these boards? If the linear programme over
all patterns (column generation, Gilmore and Gomory 1961, 1963) says no, its dual is a new bound,
and the first question is asked again (Benders' decomposition). If the pieces can be cut, nothing
is cheaper, and that is the proof.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, inf
from random import Random

from pikepole_export.derive.cutting.columns import Pool, cut_by, generate, sparing_patterns
from pikepole_export.derive.cutting.dive import completed, dive, rank_of
from pikepole_export.derive.cutting.patterns import Counts, Job, Pattern
from pikepole_export.derive.cutting.programmes import (
    Clock,
    Cut,
    WayOut,
    cheapest,
    choose,
    fewest,
)

MANY_PATTERNS = 8_000  # more are not looked at as a whole
MORE_DIVES = 12
ROOT_SHARE = 0.4  # of the time left, for one such step at most
NUDGES = (-0.02, 0.02)  # of one stock's cost: the answers lie near the best one's


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
        # So dear that no piece is left out where it can be cut.
        self._out = WayOut.missing(job, 1e3 * (1.0 + max(job.costs)) / min(job.sizes))
        self.best = completed(job, [], job)

    def root(self, costs: Sequence[float], ceiling: float | None = None) -> None:
        """Bounds from the linear programme."""
        clock = Clock(self.clock.left_s() * ROOT_SHARE)
        generate(self.job, self.pool, costs, self._out, self.cuts, clock, ceiling)

    def nudge(self, costs: Sequence[float], ceiling: float | None = None) -> None:
        """More bounds: from the linear programme with the cost of one stock a little other."""
        clock = Clock(self.clock.left_s() * ROOT_SHARE)
        for nudge in NUDGES:
            for stock in range(len(costs)):
                if clock.left_s():
                    nudged = [c * (1 + nudge * (k == stock)) for k, c in enumerate(costs)]
                    generate(self.job, self.pool, nudged, self._out, self.cuts, clock, ceiling)

    def settle_for(self) -> None:
        """The cheapest plan of the patterns known so far, in case no proof is reached in time."""
        clock = Clock(self.clock.left_s() * ROOT_SHARE)
        plan = cheapest(self.job, self.pool.within(self.job), clock)
        if plan and (not self.best or rank_of(self.job, plan) < rank_of(self.job, self.best)):
            self.best = plan

    def fewest(
        self, weights: Counts, cost: int | None = None, boards: int | None = None
    ) -> Counts | None:
        """The least boards by weight that all bounds allow, at no more than a cost and a number."""
        floors = [(cut.worths, cut.total) for cut in self.cuts] + self.floors
        if cost is not None:
            floors.append((tuple(-c for c in self.job.costs), -cost))
        if boards is not None:
            floors.append(((-1,) * len(weights), -boards))
        return fewest(weights, floors, self.job.limits, self.clock)

    def breaks(self, boards: Counts) -> bool:
        """Looks for a bound that so many boards break."""
        fixed = self.job.left(self.job.demands, boards)
        known = len(self.cuts)
        out = WayOut.missing(self.job, 1.0)
        none = (0,) * len(boards)
        generate(fixed, self.pool, none, out, self.cuts, self.clock)
        return any(cut.broken_by(boards) for cut in self.cuts[known:])

    def reaches(self, boards: Counts, dives: int, luck: Random) -> bool:
        """Tries to cut all the pieces from so many boards. What it comes to may be the best yet."""
        fixed = self.job.left(self.job.demands, boards)
        for number in range(dives):
            done, rest = dive(fixed, self.pool, luck, self.clock, thorough=number == 0)
            plan = completed(self.job, done, rest)
            if plan and (not self.best or rank_of(self.job, plan) < rank_of(self.job, self.best)):
                self.best = plan
            if not any(rest.demands):
                return True
            if not self.clock.left_s():
                break
        return False

    def settles(self, cost: int, counted: Counts) -> bool | None:
        """Whether a plan of this cost has no more boards than counted, by looking at all patterns.

        Only patterns count that waste no more, by the sharpest bound, than such a plan can.

        Returns:
            None where the patterns are too many or the time too short.
        """
        job, boards = self.job, sum(counted)

        def spare(cut: Cut) -> float:
            worth = sum(w * n for w, n in zip(cut.worths, counted, strict=True))
            return (worth - cut.total) / max(cut.worths)

        few: list[Pattern] | None = None
        sharp = sorted(self.cuts, key=spare)[:4]
        for cut in sharp:
            most = self.fewest(tuple(-w for w in cut.worths), cost, boards)
            if most is None:
                return False
            slack = sum(w * n for w, n in zip(cut.worths, most, strict=True)) - cut.total
            some = sparing_patterns(job, cut.values, slack, cut.worths, MANY_PATTERNS)
            if some is not None and (few is None or len(some) < len(few)):
                few = some
        if few is None:
            return None
        rows = [(cut.worths, cut.total, inf) for cut in sharp]
        rows += [(job.costs, cost, cost), (self.ones, 0, boards)]
        plan, refuted = choose(job, few, rows, 2_000, self.clock)
        if plan:
            self.best = plan
        return True if plan else False if refuted else None


def search(job: Job, limit_s: float) -> Found | None:
    """The cheapest plan, with the fewest boards among the cheapest, and the proof, if time allows.

    Returns:
        The plan; None where none was found: boards are limited, and too few for the pieces.
    """
    known = _Search(job, limit_s)
    weight = sum(job.demands) + 1  # more than the boards of any plan
    both = tuple(cost * weight + 1 for cost in job.costs)
    bound = (known.floors[0][1], 0)  # cost and boards that no plan is below
    certain = True  # whether bounds still hold for every plan
    nudged, nudged_at = False, -1
    try:
        known.root(job.costs)
        cost: int | None = None  # once there are boards of this cost that break no bound
        while known.clock.left_s():
            if cost is None:
                counted = known.fewest(job.costs)
                if counted is None:
                    break
                least = sum(c * n for c, n in zip(job.costs, counted, strict=True))
                if certain:
                    bound = max(bound, (least, 0))
                known.floors[0] = (job.costs, least)
                if not known.breaks(counted):
                    cost = least
                    known.root(known.ones, cost + 0.5)
                elif not nudged:
                    nudged = True
                    known.nudge(job.costs)
                    known.settle_for()
                continue
            counted = known.fewest(known.ones, cost)
            if counted is None:
                cost = None
                continue
            aim = (cost, sum(counted))
            if certain:
                bound = aim
            if known.best and rank_of(job, known.best) <= aim:
                break
            if known.breaks(counted):
                if nudged_at != cost:
                    nudged_at = cost
                    known.nudge(known.ones, cost + 0.5)
                continue
            luck = Random(0)  # the same at every run
            if known.reaches(counted, 1, luck):
                break
            settled = known.settles(cost, counted)
            if settled or (settled is None and known.reaches(counted, MORE_DIVES, luck)):
                break
            certain = certain and settled is False
            known.floors.append((both, aim[0] * weight + aim[1] + 1))
    except TimeoutError:
        pass
    if not known.best:
        return None
    rank = rank_of(job, known.best)
    bound = min(bound, rank)
    return Found(tuple(known.best), bound[0], bound == rank)

"""A plan from given boards, fast: whole boards out of the linear programme, one lot at a time."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from pikepole_export.derive.cutting.columns import Pool, generate, sparing_patterns
from pikepole_export.derive.cutting.patterns import Counts, Job, Pattern
from pikepole_export.derive.cutting.programmes import Clock, WayOut, choose

FEW_PATTERNS = 4_000  # so many go to the integer programme whole
TAIL = 12  # boards left when it is asked first


def counted_boards(job: Job, boards: Sequence[Pattern]) -> Counts:
    """Boards of each stock."""
    return tuple(sum(b.stock == stock for b in boards) for stock in range(len(job.rooms)))


def rank_of(job: Job, boards: Sequence[Pattern]) -> tuple[int, int]:
    """What plans are compared by: cost, then number of boards."""
    return sum(job.costs[board.stock] for board in boards), len(boards)


def dive(
    job: Job, pool: Pool, luck: Random, clock: Clock, thorough: bool
) -> tuple[list[Pattern], Job]:
    """Cuts the pieces from just the boards that the job has, as far as that goes.

    Rounds the linear programme down, solves it anew for what is left, and gives the rest to the
    integer programme as soon as all its patterns are few. When that has no answer, a thorough dive
    goes on, for a plan that is nearly there; any other ends.

    Returns:
        Boards, and the job that is left, without demands when all was cut.
    """
    boards: list[Pattern] = []
    way_out = WayOut.missing(job, 4.0)
    while any(job.demands) and any(job.limits):
        room = sum(n * r for n, r in zip(job.limits, job.rooms, strict=True))
        slack = room - sum(n * s for n, s in zip(job.demands, job.sizes, strict=True))
        if slack < 0:
            break
        if sum(job.limits) <= TAIL:
            few = sparing_patterns(job, job.sizes, slack, job.rooms, FEW_PATTERNS)
            if few is not None:
                chosen, refuted = choose(job, few, (), 200, clock)
                if chosen is not None:
                    return boards + chosen, job.left((0,) * len(job.sizes), job.limits)
                if refuted and not thorough:
                    break
        if not clock.left_s():
            break
        relaxed, patterns = generate(job, pool, job.rooms, way_out, None, clock)
        # Boards of few long pieces first: short ones fill what is left more easily.
        order = sorted(
            range(len(patterns)), key=lambda p: sum(patterns[p].counts) + luck.uniform(0.0, 2.0)
        )
        whole = [p for p in order for _ in range(int(relaxed.amounts[p] + 1e-6))]
        if not whole:
            whole = [next(p for p in order if relaxed.amounts[p] >= 0.7 * max(relaxed.amounts))]
        demands, limits = list(job.demands), list(job.limits)
        for pattern in (patterns[p] for p in whole[: max(1, sum(limits) - TAIL)]):
            boards.append(pattern)
            limits[pattern.stock] -= 1
            demands = [max(0, d - c) for d, c in zip(demands, pattern.counts, strict=True)]
        job = job.left(tuple(demands), tuple(limits))
    return boards, job


def completed(job: Job, boards: list[Pattern], rest: Job) -> list[Pattern] | None:
    """The plan with the pieces that are left put first-fit on boards; None where boards run out."""
    done = list(boards)
    limits = [n - used for n, used in zip(job.limits, counted_boards(job, boards), strict=True)]
    demands = list(rest.demands)
    while any(demands):
        now = job.left(tuple(demands), tuple(limits))
        options: list[tuple[float, int, Pattern]] = []
        for stock, room in enumerate(job.rooms):
            counts = [0] * len(job.sizes)
            space = room
            for size, length in enumerate(job.sizes):
                counts[size] = min(now.demands[size], space // length)
                space -= counts[size] * length
            if limits[stock] and any(counts):
                options.append(
                    (job.costs[stock] / (room - space), stock, Pattern(stock, tuple(counts)))
                )
        if not options:
            return None
        _, stock, pattern = min(options, key=lambda option: option[:2])
        done.append(pattern)
        limits[stock] -= 1
        demands = [d - c for d, c in zip(demands, pattern.counts, strict=True)]
    return done

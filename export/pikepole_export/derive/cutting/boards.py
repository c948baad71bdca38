"""The search for boards that give all the pieces at the least cost.

    best_boards(job, to_prove=False) -> the boards, and what any plan costs at least
    least_cost(job) -> that alone

Column generation gives a bound and the patterns worth knowing. Where the patterns of all plans near
the bound are few, the integer programme chooses among them, else among those met on the way.
"""

from __future__ import annotations

from collections.abc import Sequence

from pikepole_export.derive.cutting.patterns import (
    Counts,
    Job,
    Listing,
    Pattern,
    best_patterns,
)
from pikepole_export.derive.cutting.programmes import (
    FEW_NODES,
    FEW_PATTERNS,
    PROOF_NODES,
    board_trifle,
    choose,
    cost_of,
    generate,
    prove,
    sparing,
)

GOOD_ENOUGH = 5e-4  # of the cost: less is not looked for, where no proof is asked for
THRIFTY_PATTERNS = 300  # of those met on the way, or four for each size
COARSE_STEPS = 20_000  # in a board, while patterns are looked for that need not be the very best


def least_cost(job: Job, *, to_prove: bool = False) -> int:
    """What any plan costs at least: by the linear programme, or as far as it can be proved.

    Args:
        job: What is to be cut; the longest piece fits the longest board.
        to_prove: Whether to go on until the bound meets a plan, or the work gets too much.

    Raises:
        SolverError: The solver gave no answer.
    """
    if to_prove:
        return best_boards(job, to_prove=True)[1]
    pool = dict.fromkeys([*first_fit(job), *of_one_size(job)])
    return generate(job, pool, lambda values: best_patterns(job, values)).least(job.costs)


def best_boards(
    job: Job, *, to_prove: bool = False, enough: float = 0.0
) -> tuple[list[Pattern], int]:
    """Boards for all the pieces, and what any plan costs at least.

    Args:
        job: What is to be cut; the longest piece fits the longest board.
        to_prove: Whether to go on until the bound meets the plan, or the work gets too much.
        enough: Share of the cost by which a plan may be above the bound and is good enough.

    Raises:
        SolverError: The solver gave no answer.
    """

    def best(values: Sequence[int]) -> tuple[list[Pattern], Counts]:
        return best_patterns(job, values)

    chosen = first_fit(job)
    pool = dict.fromkeys([*chosen, *of_one_size(job)])
    steps = max(job.rooms) // COARSE_STEPS
    if steps > 1:
        coarse = job.coarser(steps)
        if all(max(coarse.rooms) >= size for size in coarse.sizes):
            generate(coarse, pool, lambda values: best_patterns(coarse, values), board_trifle(job))
    generate(job, pool, best, board_trifle(job))
    bound = generate(job, pool, best)
    least = bound.least(job.costs)
    every = Listing(job, bound.values).worth
    near = sparing(job, bound, every, 2 * least, FEW_PATTERNS)
    if near is not None:
        patterns, most = near
        chosen, reached = _better(job, chosen, patterns, least, enough, FEW_NODES)
        least = max(least, int(min(reached, most + 1)))
    if cost_of(job, chosen) > least * (1 + max(enough, GOOD_ENOUGH)):
        most = max(THRIFTY_PATTERNS, 4 * len(job.sizes))
        nodes = PROOF_NODES if to_prove else FEW_NODES
        chosen, _ = _better(job, chosen, bound.thrifty(job, pool)[:most], least, enough, nodes)
    if to_prove:
        chosen, proven = prove(job, chosen, bound, every)
        least = max(least, proven)
    return chosen, min(least, cost_of(job, chosen))


def _better(
    job: Job,
    chosen: list[Pattern],
    patterns: Sequence[Pattern],
    least: int,
    enough: float,
    nodes: int,
) -> tuple[list[Pattern], float]:
    """The best choice among patterns and those of the plan at hand, and what any of them costs."""
    known = list(dict.fromkeys([*chosen, *patterns]))
    found, reached = choose(job, known, least, nodes, enough)
    return min(found or chosen, chosen, key=lambda plan: (cost_of(job, plan), len(plan))), reached


def first_fit(job: Job) -> list[Pattern]:
    """Boards filled one after the other, longest pieces first, each the cheapest for its fill."""
    boards: list[Pattern] = []
    demands = list(job.demands)
    while any(demands):
        filled: list[tuple[float, Pattern]] = []
        for stock, room in enumerate(job.rooms):
            space, counts = room, [0] * len(demands)
            for size, length in enumerate(job.sizes):
                counts[size] = min(demands[size], space // length)
                space -= counts[size] * length
            if space < room:
                filled.append((job.costs[stock] / (room - space), Pattern(stock, tuple(counts))))
        _, board = min(filled, key=lambda one: one[0])
        boards.append(board)
        demands = [n - count for n, count in zip(demands, board.counts, strict=True)]
    return boards


def of_one_size(job: Job) -> list[Pattern]:
    """For each size and stock the board with most of it."""
    sizes = range(len(job.sizes))
    return [
        Pattern(stock, tuple(job.most(size, stock) if n == size else 0 for n in sizes))
        for stock in range(len(job.rooms))
        for size in sizes
        if job.most(size, stock)
    ]

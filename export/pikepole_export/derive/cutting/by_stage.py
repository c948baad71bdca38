"""Boards cut as the building goes up: each stage its own, and what is left over for a later one.

    boards_at_once(job, stage) -> what is opened, and what any plan costs at least
    boards_by_stage(job, demands, kept) -> the same, as each stage opens them

Stage after stage is planned by itself: first what earlier stages left is used up, the shortest
first, then boards are opened for the rest. Where a section is needed a little at every stage, a
plan for all stages together may be so much cheaper that it is worth keeping off-cuts for: each that
is set aside must save as much as the shortest off-cut that is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from pikepole_export.derive.cutting.boards import best_boards, least_cost
from pikepole_export.derive.cutting.patterns import Counts, Job, Pattern, best_patterns
from pikepole_export.derive.cutting.programmes import whole_values

NEARLY = 1e-2  # of a stage's cost: less is not looked for, since what is left serves other stages
FEW_SIZES = 24  # for more no plan for all stages together is tried: it takes too long


@dataclass(slots=True)
class Opened:
    """A board that is cut up little by little.

    Attributes:
        stock: Which, by its place in the job.
        space: Steps that are left of it, one kerf more than its length.
        uses: Pieces of each size, by stage, in the order in which they are cut.
    """

    stock: int
    space: int
    uses: dict[int, Counts]


def boards_at_once(job: Job, stage: int, *, to_prove: bool) -> tuple[list[Opened], int]:
    """Boards that are cut up in one stage, or whenever they are opened, and the bound.

    Args:
        job: What is needed.
        stage: Number of the stage that it counts for.
        to_prove: Whether to go on until the bound meets the plan, or the work gets too much.

    Raises:
        SolverError: The solver gave no answer.
    """
    plan, least = best_boards(job, to_prove=to_prove)
    return _opened(job, plan, {stage: job.demands}), least


def boards_by_stage(
    job: Job, demands: Mapping[int, Counts], *, kept: int, to_prove: bool, bounded: bool = True
) -> tuple[list[Opened], int]:
    """Boards for all the pieces, in the order in which they are opened, and the bound.

    Args:
        job: What all stages need together.
        demands: Pieces of each size that a stage needs, by its number.
        kept: Steps of an off-cut that is kept, with a kerf; shorter ones are thrown away.
        to_prove: Whether to go on, stage by stage, until no plan of that stage can be better.
        bounded: Whether a bound is looked for where it is not found beside; 0 without.

    Raises:
        SolverError: The solver gave no answer.
    """
    opened: list[Opened] = []
    for stage, wanted in sorted(demands.items()):
        left = list(wanted)
        use_up(job, opened, stage, left, kept=kept)
        part = _only(job, left)
        if part is None:
            continue
        plan, _ = best_boards(part, to_prove=to_prove, enough=NEARLY)
        opened += _opened(job, _whole(job, part, plan), {stage: tuple(left)})
    if len(job.sizes) > FEW_SIZES:
        return opened, least_cost(job, to_prove=to_prove) if bounded else 0
    plan, least = best_boards(job, to_prove=to_prove, enough=NEARLY)
    together = _opened(job, plan, demands)
    if not all(_are_kept(job, board, kept) for board in together):
        return opened, least
    aside = kept * min(cost / room for cost, room in zip(job.costs, job.rooms, strict=True))
    return min(opened, together, key=lambda boards: _counted(job, boards, aside)), least


def use_up(job: Job, opened: list[Opened], stage: int, left: list[int], *, kept: int) -> None:
    """Cuts what a stage needs from boards that are there, the shortest first.

    Args:
        job: What all stages need together.
        opened: The boards; what is cut from them is written down there.
        stage: Number of the stage.
        left: Pieces of each size that it needs; what is cut is taken off.
        kept: Steps of an off-cut that is kept, with a kerf; shorter ones are no longer there.
    """
    for board in sorted(opened, key=lambda board: board.space):
        if board.space >= kept or not board.uses:
            _use(board, stage, _filled(job, board, left), job, left)


def _counted(job: Job, boards: list[Opened], aside: float) -> float:
    """What boards cost, and what setting off-cuts aside counts."""
    return sum(job.costs[one.stock] + aside * (len(one.uses) - 1) for one in boards)


def _are_kept(job: Job, board: Opened, kept: int) -> bool:
    """Whether all that is set aside of a board is long enough to be kept."""
    space = board.space  # behind the last use; what an earlier one left, it took from
    for counts in [*board.uses.values()][:0:-1]:
        space += sum(n * size for n, size in zip(counts, job.sizes, strict=True))
        if space < kept:
            return False
    return True


def _only(job: Job, wanted: list[int]) -> Job | None:
    """The job of so many pieces; None without any."""
    sizes = [size for size, count in enumerate(wanted) if count]
    if not sizes:
        return None
    return replace(
        job,
        sizes=tuple(job.sizes[size] for size in sizes),
        demands=tuple(wanted[size] for size in sizes),
    )


def _whole(job: Job, part: Job, plan: list[Pattern]) -> list[Pattern]:
    """Patterns of a part of a job as patterns of all of it."""
    place = {size: n for n, size in enumerate(part.sizes)}
    return [
        Pattern(
            one.stock,
            tuple(one.counts[place[size]] if size in place else 0 for size in job.sizes),
        )
        for one in plan
    ]


def _filled(job: Job, board: Opened, left: list[int]) -> Counts:
    """What uses up most of an opened board, of pieces that are left to cut."""
    fits = [n if size <= board.space else 0 for n, size in zip(left, job.sizes, strict=True)]
    part = _only(job, fits)
    if part is None:
        return tuple(0 for _ in left)
    part = replace(part, rooms=(board.space,), costs=(1,))
    (best,), _ = best_patterns(part, whole_values(part.sizes, part))
    (whole,) = _whole(job, part, [best])
    return whole.counts


def _use(board: Opened, stage: int, counts: Counts, job: Job, left: list[int]) -> None:
    """Cuts pieces from a board, and takes them off what is left to cut."""
    taken = tuple(map(min, counts, left))
    if not any(taken):
        return
    board.uses[stage] = taken
    board.space -= sum(n * size for n, size in zip(taken, job.sizes, strict=True))
    left[:] = [n - count for n, count in zip(left, taken, strict=True)]


def _opened(job: Job, plan: list[Pattern], demands: Mapping[int, Counts]) -> list[Opened]:
    """Boards of a plan, the pieces of the first stages from the first of them."""
    waiting = {stage: list(counts) for stage, counts in sorted(demands.items())}
    boards: list[Opened] = []
    for pattern in sorted(plan, key=lambda b: (b.stock, tuple(-n for n in b.counts))):
        board = Opened(pattern.stock, job.rooms[pattern.stock], {})
        counts = pattern.counts
        for stage, left in waiting.items():
            _use(board, stage, counts, job, left)
            used = board.uses.get(stage, tuple(0 for _ in counts))
            counts = tuple(n - m for n, m in zip(counts, used, strict=True))
        if board.uses:
            boards.append(board)
    return sorted(boards, key=lambda board: min(board.uses))

"""Which stock lengths to buy, and which pieces come out of each.

    plan_lengths(pieces, stocks, saw) -> LengthPlan
    least_spent(studs, others, stocks, precut, saw) -> what no plan is below
    fill_boards(pieces, stocks, saw) -> (boards, pieces that are left)     of boards at hand

The plan is the cheapest found where the stock has prices, else the one that buys the least length;
among these it has few boards. A board serves one stage of the work, and what is left of it a later
one, unless stages are mixed. Beside the plan stands a bound that no plan is below, and the gap.

What fits on a board: the trim at the first end, then pieces with a cut between neighbours, then the
trim at the last end. After the last piece one more cut is made unless it ends where the board ends.
That cut may take a rest thinner than the blade: it is dust. So n pieces fit where

    trims + sum of lengths + (n - 1) * kerf <= length of the board

and for every board: trims + pieces + sawdust + offcut = length, where the sawdust is one kerf
between neighbours and one more, or what was left, behind the last piece. What a trim cut turns to
dust counts as trim.

A piece takes room to the next mark on the tape, a sixteenth of an inch or a millimetre, or to the
end of a board that it just fits: nobody cuts finer, and the bound is one for pieces so marked.
Lengths are counted in whole steps: in the largest measure that all of them share. Where that is too
fine it is an 80th of a millimetre, in which sixteenths and tenths are whole; pieces, kerf and trims
are rounded up then and boards down, so that nothing is cut short.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import TYPE_CHECKING, TypeAlias

from pikepole_export.derive.cutting.faults import Faults
from pikepole_export.derive.cutting.patterns import (
    NOISE,
    Counts,
    Job,
    Pattern,
    best_patterns,
    step_mm,
    whole_steps,
)
from pikepole_model.geometry.spacing import TOLERANCE_MM

if TYPE_CHECKING:
    from pikepole_export.derive.cutting.by_stage import Opened

FINE_MM = 1 / 80
MOST_STEPS = 1_000_000  # in a board; more make the search slow
KEPT_MM = 304.8  # of an off-cut that is kept for later, a foot: common practice, no source
NEARLY = 5e-4  # of the best bound of several sorts: less is not looked for
PRICE_UNIT = 1e-4  # in which what boards cost is counted


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A piece to be cut.

    Attributes:
        name: What it is called, each name once.
        length_mm: Its length.
        stage: Number of the stage of the work that needs it.
    """

    name: str
    length_mm: float
    stage: int = 0


@dataclass(frozen=True, slots=True)
class StockLength:
    """A length in which boards can be had.

    Attributes:
        name: What it is called, each name once.
        length_mm: Length of a board.
        price: What a board costs, in any currency; None where it is not known.
        is_own: Whether such a board is at hand: it costs nothing.
    """

    name: str
    length_mm: float
    price: float | None = None
    is_own: bool = False


@dataclass(frozen=True, slots=True)
class Saw:
    """What cutting takes.

    Attributes:
        kerf_mm: Width of a cut.
        first_trim_mm: Taken off the end where cutting begins, kerf included.
        last_trim_mm: Not used at the other end, kerf included.
        mark_mm: From mark to mark on the tape; 0 where pieces are measured as finely as given.
    """

    kerf_mm: float
    first_trim_mm: float = 0.0
    last_trim_mm: float = 0.0
    mark_mm: float = 0.0

    @property
    def trims_mm(self) -> float:
        """What is not used of a board at both its ends."""
        return self.first_trim_mm + self.last_trim_mm


@dataclass(frozen=True, slots=True)
class Board:
    """A board and how it is cut.

    Attributes:
        stock: What it is.
        uses: What is cut from it at one time, the longest piece first; then, stage by stage, from
            what that leaves.
        cuts: Cuts to make, trims included.
        sawdust_mm: Length lost to the blade, without trims.
        trim_mm: Length trimmed off both ends.
        offcut_mm: Length left, without trims.
    """

    stock: StockLength
    uses: tuple[tuple[CutPiece, ...], ...]
    cuts: int
    sawdust_mm: float
    trim_mm: float
    offcut_mm: float

    @property
    def pieces(self) -> tuple[CutPiece, ...]:
        """What comes out of it, in the order of cutting."""
        return tuple(chain.from_iterable(self.uses))


@dataclass(frozen=True, slots=True)
class LengthPlan:
    """Boards that give all the pieces.

    Attributes:
        boards: In the order in which stages open them, then of stock, as the stock was given; equal
            boards side by side.
        cost: What the boards cost, or None without prices.
        bought_mm: Length of all boards that are bought.
        bound: No plan has a lower cost or, without prices, buys less length in mm.
    """

    boards: tuple[Board, ...]
    cost: float | None
    bought_mm: float
    bound: float

    @property
    def gap(self) -> float:
        """How far the plan may be above the least there is, as a share of it."""
        return gap_over(self.bought_mm if self.cost is None else self.cost, self.bound)


def gap_over(value: float, bound: float) -> float:
    """By how much a value is above its bound, as a share of the bound; without end over nothing."""
    if value <= bound:
        return 0.0
    return value / bound - 1 if bound > 0 else math.inf


def plan_lengths(
    pieces: Sequence[CutPiece],
    stocks: Sequence[StockLength],
    saw: Saw,
    *,
    mix: bool = False,
    prove: bool = False,
    bounded: bool = True,
) -> LengthPlan:
    """A plan for pieces of one section, grade and treatment; the same plan for the same input.

    Args:
        pieces: What to cut.
        stocks: What it can be cut from.
        saw: Kerf and trims.
        mix: Whether a board is cut up at once, for whatever stage.
        prove: Whether to go on, for a better plan or the proof that there is none.
        bounded: Whether a bound is looked for; there may be none without.

    Raises:
        CutPlanError: Something in the input is wrong.
        SolverError: The solver gave no answer.
    """
    from pikepole_export.derive.cutting.by_stage import boards_at_once, boards_by_stage

    _check(pieces, stocks, saw)
    priced = all(stock.price is not None for stock in stocks)
    if not pieces:
        return LengthPlan((), 0.0 if priced else None, 0.0, 0.0)
    step = _step_mm(pieces, stocks, saw)
    waiting = _waiting(pieces, stocks, saw, step, mix=mix)
    amounts = [stock.length_mm if stock.price is None else stock.price for stock in stocks]
    costs, unit = _whole_costs(amounts)
    job = _job(waiting, stocks, saw, step, costs)
    demands = _demands(waiting)
    if len(demands) == 1:
        opened, least = boards_at_once(job, *demands, to_prove=prove)
    else:
        kept = _up(KEPT_MM, step) + _up(saw.kerf_mm, step)
        opened, least = boards_by_stage(job, demands, kept=kept, to_prove=prove, bounded=bounded)
    boards = _cut(opened, waiting, stocks, saw)
    spent = sum(job.costs[one.stock] for one in opened)
    bought_mm = math.fsum(board.stock.length_mm for board in boards)
    cost = math.fsum(board.stock.price or 0.0 for board in boards) if priced else None
    value = bought_mm if cost is None else cost
    bound = value if spent <= least else min(least * unit, value)
    return LengthPlan(tuple(boards), cost, bought_mm, bound)


def least_spent(
    studs: Sequence[CutPiece],
    others: Sequence[CutPiece],
    stocks: Sequence[StockLength],
    precut: Sequence[StockLength],
    saw: Saw,
) -> float:
    """What no plan is below in which studs and all else share boards: by the linear programme.

    Args:
        studs: What any stock gives.
        others: What no pre-cut stud gives.
        stocks: Boards, each with a price.
        precut: Pre-cut studs, each with a price.
        saw: Kerf and trims.

    Raises:
        SolverError: The solver gave no answer.
    """
    from pikepole_export.derive.cutting.boards import of_one_size
    from pikepole_export.derive.cutting.programmes import generate

    every = [*stocks, *precut]
    step = _step_mm([*studs, *others], every, saw)
    costs, unit = _whole_costs([stock.price or 0.0 for stock in every])
    waiting = [_waiting(some, every, saw, step, mix=True) for some in (studs, others)]
    first = len(waiting[0])
    one, other = (_job(some, every, saw, step, costs) for some in waiting)
    job = replace(one, sizes=one.sizes + other.sizes, demands=one.demands + other.demands)
    short = replace(job, rooms=job.rooms[len(stocks) :])

    def best(values: Sequence[int]) -> tuple[list[Pattern], Counts]:
        boards, worths = best_patterns(job, values)
        if not precut:
            return boards, worths
        out, theirs = best_patterns(short, [*values[:first], *(0 for _ in values[first:])])
        of_studs = [Pattern(len(stocks) + one.stock, one.counts) for one in out]
        return [*boards[: len(stocks)], *of_studs], worths[: len(stocks)] + theirs

    alone = [one for one in of_one_size(job) if one.stock < len(stocks) or any(one.counts[:first])]
    return generate(job, dict.fromkeys(alone), best, nearly=NEARLY).least(job.costs) * unit


def fill_boards(
    pieces: Sequence[CutPiece],
    stocks: Sequence[StockLength],
    saw: Saw,
    *,
    mix: bool = False,
    since: Sequence[int] | None = None,
) -> tuple[list[Board], list[CutPiece]]:
    """Boards at hand, filled stage after stage, the shortest first, and what is left to cut.

    Args:
        pieces: What to cut.
        stocks: The boards, one each.
        saw: Kerf and trims.
        mix: Whether a board is cut up at once, for whatever stage.
        since: The stage that leaves each; what is shorter than an off-cut that is kept is gone
            after it. None where all lie there and are whole.
    """
    from pikepole_export.derive.cutting.by_stage import Opened, use_up

    longest_mm = max((stock.length_mm for stock in stocks), default=0.0) - saw.trims_mm
    fits = [one for one in pieces if one.length_mm <= longest_mm + TOLERANCE_MM]
    if not fits:
        return [], [*pieces]
    step = _step_mm(fits, stocks, saw)
    waiting = _waiting(fits, stocks, saw, step, mix=mix)
    job = _job(waiting, stocks, saw, step, tuple(1 for _ in stocks))
    opened = [Opened(n, room, {}) for n, room in enumerate(job.rooms)]
    kept = _up(KEPT_MM, step) + _up(saw.kerf_mm, step)
    for stage, wanted in _demands(waiting).items():
        there = [
            one
            for one, left_by in zip(opened, since or (stage for _ in opened), strict=True)
            if left_by == stage or (left_by < stage and one.space >= kept)
        ]
        use_up(job, there, stage, [*wanted], kept=kept)
    boards = _cut([one for one in opened if one.uses], waiting, stocks, saw)
    done = {piece for board in boards for piece in board.pieces}
    return boards, [one for one in pieces if one not in done]


# Pieces by their size in steps, then by the stage that needs them.
_Waiting: TypeAlias = dict[int, dict[int, list[CutPiece]]]


def _waiting(
    pieces: Sequence[CutPiece], stocks: Sequence[StockLength], saw: Saw, step: float, *, mix: bool
) -> _Waiting:
    """Pieces in the order of cutting, the longest first; with `mix` all of one stage."""
    stages = sorted({0 if mix else piece.stage for piece in pieces})
    waiting: _Waiting = {}
    for piece in sorted(pieces, key=lambda piece: -piece.length_mm):
        size = _up(_room_mm(piece, stocks, saw), step) + _up(saw.kerf_mm, step)
        by_stage = waiting.setdefault(size, {stage: [] for stage in stages})
        by_stage[0 if mix else piece.stage].append(piece)
    return waiting


def _job(
    waiting: _Waiting, stocks: Sequence[StockLength], saw: Saw, step: float, costs: Counts
) -> Job:
    usable = (max(0, _usable(stock, saw, step)) for stock in stocks)
    return Job(
        sizes=tuple(waiting),
        demands=tuple(sum(map(len, some.values())) for some in waiting.values()),
        rooms=tuple(room + _up(saw.kerf_mm, step) for room in usable),
        costs=costs,
    )


def _demands(waiting: _Waiting) -> dict[int, Counts]:
    """Pieces of each size that a stage needs, by its number, in order."""
    stages = next(iter(waiting.values()))
    return {n: tuple(len(some[n]) for some in waiting.values()) for n in stages}


def _cut(
    opened: Iterable[Opened], waiting: _Waiting, stocks: Sequence[StockLength], saw: Saw
) -> list[Board]:
    """Boards with the pieces that wait; takes these from there."""
    boards: list[Board] = []
    for one in opened:
        uses: list[tuple[CutPiece, ...]] = []
        for stage, counts in one.uses.items():
            some = [by_stage[stage] for by_stage in waiting.values()]
            uses.append(tuple(p for n, queue in zip(counts, some, strict=True) for p in queue[:n]))
            for n, queue in zip(counts, some, strict=True):
                del queue[:n]
        boards.append(cut_board(stocks[one.stock], tuple(uses), saw))
    return boards


def cut_board(stock: StockLength, uses: tuple[tuple[CutPiece, ...], ...], saw: Saw) -> Board:
    """What happens along one board, whose pieces fit."""
    pieces = list(chain.from_iterable(uses))
    trim_mm = saw.trims_mm
    between_mm = saw.kerf_mm * (len(pieces) - 1)
    rest_mm = stock.length_mm - trim_mm - between_mm - math.fsum(p.length_mm for p in pieces)
    if rest_mm < TOLERANCE_MM:
        rest_mm = 0.0
    last_mm = min(saw.kerf_mm, rest_mm)
    return Board(
        stock=stock,
        uses=uses,
        cuts=(saw.first_trim_mm > 0) + len(pieces) - 1 + (rest_mm > 0 or saw.last_trim_mm > 0),
        sawdust_mm=between_mm + last_mm,
        trim_mm=trim_mm,
        offcut_mm=rest_mm - last_mm,
    )


def _room_mm(piece: CutPiece, stocks: Sequence[StockLength], saw: Saw) -> float:
    """Length of a piece to the next mark, or to the end of a board that it fits all but exactly."""
    if not saw.mark_mm:
        return piece.length_mm
    marked_mm = math.ceil(piece.length_mm / saw.mark_mm - NOISE) * saw.mark_mm
    usable_mm = [stock.length_mm - saw.first_trim_mm - saw.last_trim_mm for stock in stocks]
    least_mm = piece.length_mm - TOLERANCE_MM
    return min([mm for mm in usable_mm if least_mm <= mm < marked_mm], default=marked_mm)


def _step_mm(pieces: Sequence[CutPiece], stocks: Sequence[StockLength], saw: Saw) -> float:
    """The largest measure that all lengths share, where that is not too fine."""
    lengths = [_room_mm(p, stocks, saw) for p in pieces] + [s.length_mm for s in stocks]
    shared = step_mm([*lengths, saw.kerf_mm, saw.first_trim_mm, saw.last_trim_mm])
    return shared if max(lengths) <= MOST_STEPS * shared else FINE_MM


def _up(length_mm: float, step: float) -> int:
    return math.ceil(length_mm / step - NOISE)


def _usable(stock: StockLength, saw: Saw, step: float) -> int:
    """Steps of a board between its trims."""
    trims = _up(saw.first_trim_mm, step) + _up(saw.last_trim_mm, step)
    return whole_steps(stock.length_mm, step) - trims


def _whole_costs(amounts: Sequence[float]) -> tuple[tuple[int, ...], float]:
    """Costs as whole numbers without common factor, and their unit.

    What is free counts one unit, so that no more of it is taken than needed.
    """
    counted = [max(1, round(amount / PRICE_UNIT)) for amount in amounts]
    shared = math.gcd(*counted)
    return tuple(n // shared for n in counted), shared * PRICE_UNIT


def _check(pieces: Sequence[CutPiece], stocks: Sequence[StockLength], saw: Saw) -> None:
    """Refuses what cannot be meant, every problem at once."""
    faults = Faults()

    def length(key: str, value: float, least: str = "more than 0") -> None:
        right = math.isfinite(value) and (value > 0 or (least == "0 or more" and value == 0))
        faults.unless(right, key, value, "no such length", f"give {least} mm")

    faults.each_once("piece", [piece.name for piece in pieces])
    faults.each_once("stock", [stock.name for stock in stocks])
    faults.unless(bool(stocks), "stock", "none", "nothing to cut from", "name a stock length")
    for key in ("kerf_mm", "first_trim_mm", "last_trim_mm"):
        length(f"saw.{key}", getattr(saw, key), "0 or more")
    priced = any(stock.price is not None for stock in stocks)
    for stock in stocks:
        key, price = f"stock[{stock.name}]", stock.price
        length(f"{key}.length_mm", stock.length_mm)
        right = price is None or (math.isfinite(price) and price >= 0)
        faults.unless(right, f"{key}.price", price, "no such price", "give 0 or more")
        wrong, mend = "other stock has a price, this one none", "price all of it or none"
        faults.unless(price is not None or not priced, f"{key}.price", "none", wrong, mend)
    for piece in pieces:
        length(f"piece[{piece.name}].length_mm", piece.length_mm)
    faults.refuse()
    step = _step_mm(pieces, stocks, saw)
    longest = max(_usable(stock, saw, step) for stock in stocks)
    for piece in pieces:
        key = f"piece[{piece.name}].length_mm"
        wrong = f"longer than any stock, which gives {longest * step:g} mm within its trims"
        right = _up(_room_mm(piece, stocks, saw), step) <= longest
        faults.unless(right, key, f"{piece.length_mm:g}", wrong, "add a longer stock or splice it")
        wrong = f"shorter than the saw's kerf of {saw.kerf_mm:g} mm"
        right = piece.length_mm >= saw.kerf_mm
        faults.unless(right, key, f"{piece.length_mm:g}", wrong, "correct the piece or the kerf")
    faults.refuse()

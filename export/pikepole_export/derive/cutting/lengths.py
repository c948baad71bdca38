"""Which stock lengths to buy, and which pieces come out of each.

    plan_lengths(pieces, stocks, saw) -> LengthPlan

The plan is the cheapest where the stock has prices, else the one that buys the least length; among
these it has the fewest boards. Beside it stands a bound that no plan is below, and the gap.

What fits on a board: the trim at the first end, then pieces with a cut between neighbours, then the
trim at the last end. After the last piece one more cut is made unless it ends where the board ends.
That cut may take a rest thinner than the blade: it is dust. So n pieces fit where

    trims + sum of lengths + (n - 1) * kerf <= length of the board

and for every board: trims + pieces + sawdust + offcut = length, where the sawdust is one kerf
between neighbours and one more, or what was left, behind the last piece. What a trim cut turns to
dust counts as trim.

A piece takes room to the next mark on the tape, a sixteenth of an inch or a millimetre, or to the
end of a board that it just fits: nobody cuts finer, and the plan is the best for pieces so marked.
Lengths are counted in whole steps: in the largest measure that all of them share, else in tenths of
a millimetre, where pieces, kerf and trims are rounded up and boards down, so that nothing is cut
short.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from pikepole_export.derive.cutting.ticks import NOISE, tick_mm, ticks, whole
from pikepole_model.errors import PikepoleError, Problem

TENTH_MM = 0.1
MOST_STEPS = 100_000  # in a board; more make the search slow


class CutPlanError(PikepoleError, ValueError):
    """Pieces cannot be cut as asked. Carries every problem found, not only the first."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = problems
        super().__init__("\n".join(map(str, problems)))


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A piece to be cut.

    Attributes:
        name: What it is called, each name once.
        length_mm: Its length.
    """

    name: str
    length_mm: float


@dataclass(frozen=True, slots=True)
class StockLength:
    """A length in which boards can be had.

    Attributes:
        name: What it is called, each name once.
        length_mm: Length of a board.
        price: What a board costs, in any currency; None where it is not known.
        boards: How many there are, or None for as many as needed.
        owned: Whether it is there already: it costs nothing and is not bought.
    """

    name: str
    length_mm: float
    price: float | None = None
    boards: int | None = None
    owned: bool = False


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


@dataclass(frozen=True, slots=True)
class Board:
    """A board and how it is cut.

    Attributes:
        stock: What it is.
        pieces: What comes out of it, in the order of cutting, longest first.
        cuts: Cuts to make, trims included.
        sawdust_mm: Length lost to the blade, without trims.
        trim_mm: Length trimmed off both ends.
        offcut_mm: Length left, without trims.
    """

    stock: StockLength
    pieces: tuple[CutPiece, ...]
    cuts: int
    sawdust_mm: float
    trim_mm: float
    offcut_mm: float


@dataclass(frozen=True, slots=True)
class LengthPlan:
    """Boards that give all the pieces.

    Attributes:
        boards: In order of stock, as the stock was given; equal boards side by side.
        cost: What the bought boards cost, or None without prices.
        bought_mm: Length of all boards bought.
        bound: No plan has a lower cost or, without prices, buys less length in mm.
        gap: By how much the plan is above the bound, as a share of the bound; infinite over 0.
        proven: Whether no plan is better, the number of boards included.
    """

    boards: tuple[Board, ...]
    cost: float | None
    bought_mm: float
    bound: float
    gap: float
    proven: bool


@dataclass(slots=True)
class _Faults:
    """Problems found so far."""

    found: list[Problem] = field(default_factory=list[Problem])

    def unless(self, right: bool, key: str, value: object, wrong: str, mend: str) -> None:
        if not right:
            self.found.append(Problem(key, str(value), wrong, mend))


def plan_lengths(
    pieces: Sequence[CutPiece],
    stocks: Sequence[StockLength],
    saw: Saw,
    limit_s: float = 20.0,
) -> LengthPlan:
    """The best plan for pieces of one section, grade and treatment.

    The same input gives the same plan wherever the proof was finished in time.

    Args:
        pieces: What to cut.
        stocks: What it can be cut from.
        saw: Kerf and trims.
        limit_s: Seconds after which the best plan so far is returned, with its bound.

    Raises:
        CutPlanError: Something in the input is wrong, or the boards are too few.

    Source: Gilmore and Gomory, A linear programming approach to the cutting-stock problem,
        Operations Research 9 (1961) and 11 (1963), for the bound.
    """
    from pikepole_export.derive.cutting.patterns import Job
    from pikepole_export.derive.cutting.search import search

    _check(pieces, stocks, saw)
    if not pieces:
        priced = any(stock.price is not None for stock in stocks)
        return LengthPlan((), 0.0 if priced else None, 0.0, 0.0, 0.0, True)
    step = _step_mm(pieces, stocks, saw)
    kerf = _up(saw.kerf_mm, step)
    trims = _up(saw.first_trim_mm, step) + _up(saw.last_trim_mm, step)
    by_size: dict[int, list[CutPiece]] = {}
    for piece in sorted(pieces, key=lambda piece: -piece.length_mm):
        by_size.setdefault(_up(_room_mm(piece, stocks, saw), step) + kerf, []).append(piece)
    costs, unit = _costs(stocks)
    job = Job(
        sizes=tuple(by_size),
        demands=tuple(map(len, by_size.values())),
        rooms=tuple(max(0, ticks(s.length_mm, step) - trims) + kerf for s in stocks),
        costs=costs,
        limits=tuple(
            len(pieces) if s.boards is None else min(s.boards, len(pieces)) for s in stocks
        ),
    )
    found = search(job, limit_s)
    if found is None:
        raise CutPlanError(
            (
                Problem(
                    "stock",
                    ", ".join(stock.name for stock in stocks),
                    f"no plan was found that cuts all {len(pieces)} pieces from so few boards",
                    "allow more boards",
                ),
            )
        )
    waiting = {size: list(some) for size, some in by_size.items()}
    boards: list[Board] = []
    order = sorted(found.boards, key=lambda b: (b.stock, tuple(-n for n in b.counts)))
    for pattern in order:
        out: list[CutPiece] = []
        for size, count in zip(job.sizes, pattern.counts, strict=True):
            out += waiting[size][:count]
            del waiting[size][:count]
        if out:
            boards.append(_board(stocks[pattern.stock], tuple(out), saw, step))
    bought = [board.stock for board in boards if not board.stock.owned]
    priced = any(stock.price is not None for stock in bought)
    cost = math.fsum(s.price for s in bought if s.price is not None)
    bought_mm = math.fsum(s.length_mm for s in bought)
    value = cost if priced else bought_mm
    bound = value if found.proven else min(found.cost_bound * unit, value)
    return LengthPlan(
        boards=tuple(boards),
        cost=cost if any(s.price is not None for s in stocks) else None,
        bought_mm=bought_mm,
        bound=bound,
        gap=0.0 if value <= bound else (value - bound) / bound if bound else math.inf,
        proven=found.proven,
    )


def _board(stock: StockLength, pieces: tuple[CutPiece, ...], saw: Saw, step: float) -> Board:
    """What happens along one board."""
    trim_mm = saw.first_trim_mm + saw.last_trim_mm
    between_mm = saw.kerf_mm * (len(pieces) - 1)
    rest_mm = stock.length_mm - trim_mm - between_mm - math.fsum(p.length_mm for p in pieces)
    if rest_mm < NOISE * step:
        rest_mm = 0.0
    last_mm = min(saw.kerf_mm, rest_mm)
    return Board(
        stock=stock,
        pieces=pieces,
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
    least_mm = piece.length_mm - NOISE * saw.mark_mm
    return min([mm for mm in usable_mm if least_mm <= mm < marked_mm], default=marked_mm)


def _step_mm(pieces: Sequence[CutPiece], stocks: Sequence[StockLength], saw: Saw) -> float:
    """The largest measure that all lengths share, or a tenth of a millimetre."""
    lengths = [_room_mm(p, stocks, saw) for p in pieces] + [s.length_mm for s in stocks]
    shared = tick_mm([*lengths, saw.kerf_mm, saw.first_trim_mm, saw.last_trim_mm])
    return shared if max(lengths, default=0.0) <= MOST_STEPS * shared else TENTH_MM


def _up(length_mm: float, step_mm: float) -> int:
    return math.ceil(length_mm / step_mm - NOISE)


def _costs(stocks: Sequence[StockLength]) -> tuple[tuple[int, ...], float]:
    """What each stock costs in whole numbers, and what one of these is worth.

    Without prices that is its length.
    """
    priced = any(stock.price is not None for stock in stocks)
    return whole([0.0 if s.owned else (s.price or 0.0) if priced else s.length_mm for s in stocks])


def _check(pieces: Sequence[CutPiece], stocks: Sequence[StockLength], saw: Saw) -> None:
    """Refuses what cannot be meant, every problem at once."""
    faults = _Faults()

    def length(key: str, value: float, least: str = "more than 0") -> None:
        right = math.isfinite(value) and (value > 0 or (least == "0 or more" and value == 0))
        faults.unless(right, key, value, "no such length", f"give {least} mm")

    for what, names in (("piece", [p.name for p in pieces]), ("stock", [s.name for s in stocks])):
        for name in dict.fromkeys(n for n in names if names.count(n) > 1):
            mend = f"give every {what} a name of its own"
            faults.unless(False, what, name, f"the name stands for {names.count(name)}", mend)
    faults.unless(bool(stocks), "stock", "none", "nothing to cut from", "name a stock length")
    for key in ("kerf_mm", "first_trim_mm", "last_trim_mm"):
        length(f"saw.{key}", getattr(saw, key), "0 or more")
    to_buy = [stock for stock in stocks if not stock.owned]
    priced = any(stock.price is not None for stock in to_buy)
    for stock in stocks:
        key = f"stock[{stock.name}]"
        length(f"{key}.length_mm", stock.length_mm)
        price, boards = stock.price, stock.boards
        if price is not None:
            right = math.isfinite(price) and price >= 0
            faults.unless(right, f"{key}.price", price, "no such price", "give 0 or more")
        if stock.owned:
            wrong = "what is owned has no price"
            faults.unless(price is None, f"{key}.price", price, wrong, "leave it out")
            wrong, mend = "how many are owned is not said", "give their number"
            faults.unless(boards is not None, f"{key}.boards", "none", wrong, mend)
        elif priced:
            wrong, mend = "other stock has a price, this one none", "price all of it or none"
            faults.unless(price is not None, f"{key}.price", "none", wrong, mend)
        right = boards is None or boards >= 0
        faults.unless(right, f"{key}.boards", boards, "no such number", "give 0 or more")
    for piece in pieces:
        length(f"piece[{piece.name}].length_mm", piece.length_mm)
    if faults.found:
        raise CutPlanError(tuple(faults.found))
    step = _step_mm(pieces, stocks, saw)
    trims = _up(saw.first_trim_mm, step) + _up(saw.last_trim_mm, step)
    longest = max(ticks(stock.length_mm, step) - trims for stock in stocks)
    for piece in pieces:
        key = f"piece[{piece.name}].length_mm"
        wrong = f"longer than any stock, which gives {longest * step:g} mm within its trims"
        right = _up(_room_mm(piece, stocks, saw), step) <= longest
        faults.unless(right, key, f"{piece.length_mm:g}", wrong, "add a longer stock or splice it")
        wrong = f"shorter than the saw's kerf of {saw.kerf_mm:g} mm"
        right = piece.length_mm >= saw.kerf_mm
        faults.unless(right, key, f"{piece.length_mm:g}", wrong, "correct the piece or the kerf")
    if faults.found:
        raise CutPlanError(tuple(faults.found))

"""Few different lengths: a yard picks, a lorry carries and a builder stacks them more easily.

    few_lengths(work, saw, worth) -> the lengths to buy of a section

A length is left out while that costs no more than it is worth. What boards cost is not planned for
each choice: where a stage has more than a few pieces the linear programme says it nearly enough,
else boards are filled one after the other.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Sequence
from functools import cached_property
from typing import TypeAlias

from pikepole_export.derive.cutting.boards import first_fit, of_one_size
from pikepole_export.derive.cutting.lengths import CutPiece, Saw, StockLength
from pikepole_export.derive.cutting.offered import Offer, told_lengths
from pikepole_export.derive.cutting.patterns import Job, best_patterns
from pikepole_export.derive.cutting.programmes import Generation, board_trifle, cost_of

_STEP_MM = 2.0
_CENT = 100  # what boards cost is counted in hundredths
_FEW = 16  # pieces, of which whole boards are counted

_Work: TypeAlias = tuple[Sequence[CutPiece], Sequence[Offer]]


def few_lengths(
    work: Sequence[_Work], saw: Saw, worth: float, *, mix: bool = False
) -> frozenset[StockLength]:
    """The lengths that are worth ordering, of all that are offered for a section.

    Args:
        work: Pieces, and what they may be cut from; a length may be offered for several.
        saw: Kerf and trims.
        worth: The share of the cost that a length has to save, from 0.
        mix: Whether a board is cut up at once, for whatever stage.

    Raises:
        SolverError: The solver gave no answer.
    """
    kept = {one.stock for _, offers in work for one in offers}
    estimates = [
        _Estimate(some, offers, saw, many=len(pieces) > _FEW)
        for pieces, offers in work
        for some in ([pieces] if mix or len(pieces) <= _FEW else _by_stage(pieces))
        if some
    ]

    def cost(stocks: Collection[StockLength]) -> float:
        return math.fsum(one.cost(stocks) for one in estimates)

    now = cost(kept)
    while len(kept) > 1:
        fewer = {left: cost(kept - {left}) for left in sorted(kept, key=_by_length)}
        left = min(fewer, key=fewer.__getitem__)
        if fewer[left] > now * (1 + worth):
            break
        kept.remove(left)
        now = fewer[left]
    return frozenset(kept)


class _Estimate:
    """What some pieces cost, about, whatever lengths they are cut from."""

    def __init__(
        self, pieces: Sequence[CutPiece], offers: Sequence[Offer], saw: Saw, *, many: bool
    ) -> None:
        self._many = many
        kerf = saw.kerf_mm
        trims_mm = saw.trims_mm
        sizes = Counter(_up(piece.length_mm + kerf) for piece in pieces)
        longest = sorted(sizes, reverse=True)
        told = told_lengths(offers, saw)
        self._stocks = [one.stock for one in offers]
        self._job = Job(
            tuple(longest),
            tuple(sizes[size] for size in longest),
            tuple(_up(one.length_mm - trims_mm + kerf) for one in told),
            tuple(max(1, round(_CENT * (one.price or 0.0))) for one in told),
        )

    @cached_property
    def _generation(self) -> Generation:
        return Generation(
            self._job,
            dict.fromkeys(of_one_size(self._job)),
            lambda values: best_patterns(self._job, values),
            board_trifle(self._job),
        )

    def cost(self, stocks: Collection[StockLength]) -> float:
        """In hundredths; infinite where a piece comes out of none."""
        job, mine = self._job, [n for n, one in enumerate(self._stocks) if one in stocks]
        if not mine or max(job.rooms[n] for n in mine) < job.sizes[0]:
            return math.inf
        if self._many:
            return self._generation.least(mine)[0]
        rooms, costs = ([amounts[n] for n in mine] for amounts in (job.rooms, job.costs))
        own = Job(job.sizes, job.demands, tuple(rooms), tuple(costs))
        return cost_of(own, first_fit(own))


def _by_stage(pieces: Sequence[CutPiece]) -> list[list[CutPiece]]:
    stages = sorted({one.stage for one in pieces})
    return [[one for one in pieces if one.stage == stage] for stage in stages]


def _up(length_mm: float) -> int:
    return math.ceil(length_mm / _STEP_MM)


def _by_length(stock: StockLength) -> float:
    return stock.length_mm

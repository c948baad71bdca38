"""Boards and sheets that lie in the yard: they are cut up before any are bought.

    boards_at_hand(scene, section, treated) -> list[StockLength]      one each
    taken(plan, own, kerf_mm) -> LengthPlan      with boards at hand in the place of bought ones
    filled(pieces, own, saw) -> (LengthPlan, pieces that are left)
    cheapest(plans, least, own, offered) -> the best of them

Two ways are tried. What is at hand takes the place of what would be bought, the dearest first; and
it is filled, stage after stage, before anything is bought for the rest. What is cheapest is taken,
so that stock at hand never costs more than none; of equal plans the one that uses most of it.

The bound is that without it, less what boards would cost that could be in its place.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from pikepole_export.derive.cutting.lengths import (
    Board,
    CutPiece,
    LengthPlan,
    Saw,
    StockLength,
    cut_board,
    fill_boards,
)
from pikepole_export.derive.cutting.offered import Offer, in_order, told_lengths
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Lumber


def boards_at_hand(scene: Scene, section: Lumber, *, treated: bool) -> list[StockLength]:
    """The boards of a section that lie in the yard, the shortest first.

    Args:
        scene: Says what does.
        section: Which.
        treated: Whether they are.
    """
    found = [
        (one.length, round(one.count))
        for one in scene.have
        if (one.item, one.treated) == (section.name, treated) and one.length is not None
    ]
    return [
        StockLength(f"own {section.name} {mm:g} mm", mm, 0.0, is_own=True)
        for mm, count in sorted(found)
        for _ in range(count)
    ]


def taken(plan: LengthPlan, own: Sequence[StockLength], kerf_mm: float) -> LengthPlan:
    """A plan in which boards at hand take the place of bought ones, the dearest first.

    Args:
        plan: Which boards are bought.
        own: Boards at hand that the plan does not use yet.
        kerf_mm: What the saw takes.
    """
    left, boards = sorted(own, key=_length), dict(enumerate(plan.boards))
    for n in sorted(boards, key=lambda n: (-_worth(boards[n].stock), n)):
        board = boards[n]
        long = [one for one in left if one.length_mm >= board.stock.length_mm - TOLERANCE_MM]
        if long and not board.stock.is_own:
            left.remove(long[0])
            trim_mm = board.trim_mm / 2
            boards[n] = cut_board(long[0], board.uses, Saw(kerf_mm, trim_mm, trim_mm))
    return _paid(boards.values(), plan)


def filled(
    pieces: Sequence[CutPiece], own: Sequence[StockLength], saw: Saw, *, mix: bool
) -> tuple[LengthPlan, list[CutPiece]]:
    """Boards at hand with the pieces that come out of them, and the pieces that do not.

    Args:
        pieces: What to cut.
        own: The boards.
        saw: Kerf and trims.
        mix: Whether a board is cut up at once, for whatever stage.
    """
    told = told_lengths([Offer(one) for one in own], saw)
    real = dict(zip(told, own, strict=True))
    boards, left = fill_boards(pieces, told, saw, mix=mix)
    cut = [cut_board(real[board.stock], board.uses, saw) for board in boards]
    return LengthPlan(tuple(cut), 0.0, 0.0, 0.0), left


def unused(plan: LengthPlan, own: Sequence[StockLength]) -> list[StockLength]:
    """Boards at hand that a plan leaves lying."""
    left = [*own]
    for board in plan.boards:
        if board.stock.is_own:
            left.remove(board.stock)
    return left


def without(plan: LengthPlan, pieces: Iterable[CutPiece], kerf_mm: float) -> LengthPlan:
    """A plan of more pieces, the rest left out, and boards that are only for that.

    Args:
        plan: Of all pieces.
        pieces: Those that are still to be cut.
        kerf_mm: What the saw takes.
    """
    wanted = {piece.name for piece in pieces}
    boards: list[Board] = []
    for board in plan.boards:
        uses = (tuple(one for one in use if one.name in wanted) for use in board.uses)
        if some := tuple(use for use in uses if use):
            trim_mm = board.trim_mm / 2
            boards.append(cut_board(board.stock, some, Saw(kerf_mm, trim_mm, trim_mm)))
    return _paid(boards, plan)


def cheapest(
    plans: Sequence[LengthPlan],
    least: float,
    own: Sequence[StockLength],
    offered: Sequence[StockLength],
) -> LengthPlan:
    """The cheapest of some plans for the same pieces, with a bound that is one with stock at hand.

    Args:
        plans: Which.
        least: What a plan costs at least that has none.
        own: All boards at hand.
        offered: What else there is; every piece comes out of one of them.
    """

    def order(plan: LengthPlan) -> tuple[float, float]:
        own_mm = math.fsum(b.stock.length_mm for b in plan.boards if b.stock.is_own)
        return round(_value(plan), 4), -own_mm

    best = min(plans, key=order)
    saved = math.fsum(_replaced(one, offered) for one in own)
    return replace(best, bound=min(_value(best), max(0.0, least - saved)))


def _replaced(own: StockLength, offered: Sequence[StockLength]) -> float:
    """What boards cost at most that together hold whatever comes out of one at hand."""
    long = [_worth(one) for one in offered if one.length_mm >= own.length_mm]
    if long:
        return min(long)
    # Filled one after the other, all but one of them are more than half full.
    longest = max(offered, key=_length)
    return _worth(longest) * 2 * math.ceil(own.length_mm / longest.length_mm)


def _paid(boards: Iterable[Board], plan: LengthPlan) -> LengthPlan:
    some = in_order(boards)
    bought = [board for board in some if not board.stock.is_own]
    cost = None if plan.cost is None else math.fsum(_worth(board.stock) for board in bought)
    return LengthPlan(some, cost, math.fsum(b.stock.length_mm for b in bought), plan.bound)


def _worth(stock: StockLength) -> float:
    """What a board costs; its length where that is not known."""
    return stock.length_mm if stock.price is None else stock.price


def _value(plan: LengthPlan) -> float:
    return plan.bought_mm if plan.cost is None else plan.cost


def _length(stock: StockLength) -> float:
    return stock.length_mm

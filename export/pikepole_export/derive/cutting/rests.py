"""What is left of boards that are planned, cut up before others are opened.

    rests_filled(plan, pieces, saw) -> (LengthPlan, pieces that are left)

Pieces that may not come out of the same boards are planned one sort after the other: studs that a
pre-cut one gives, then all else. What the first leave of boards that are no pre-cut studs is there
for the others as it is for later pieces of their own.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
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
from pikepole_export.derive.cutting.offered import LEAST_REST_MM, in_order


def rests_filled(
    plan: LengthPlan,
    pieces: Sequence[CutPiece],
    saw: Saw,
    *,
    but: Collection[StockLength],
    mix: bool = False,
) -> tuple[LengthPlan, list[CutPiece]]:
    """A plan with more pieces in what it leaves, and the pieces that do not fit there.

    Args:
        plan: Of other pieces.
        pieces: What is to be cut beside.
        saw: Kerf and trims.
        but: Boards whose rests are not for them: pre-cut studs.
        mix: Whether a board is cut up at once, for whatever stage.
    """
    unused_mm = saw.trims_mm - max(LEAST_REST_MM, saw.trims_mm)
    rests: dict[StockLength, Board] = {}
    for n, board in enumerate(plan.boards):
        usable_mm = board.offcut_mm + unused_mm
        if board.stock not in but and usable_mm > 0:
            rests[StockLength(f"rest {n}", usable_mm + saw.trims_mm)] = board
    since = [0 if mix else _last_stage(board) for board in rests.values()]
    filled, left = fill_boards(pieces, [*rests], saw, mix=mix, since=since)
    more = {id(rests[one.stock]): one for one in filled}
    boards = [_with(board, more.get(id(board)), saw, mix=mix) for board in plan.boards]
    return replace(plan, boards=in_order(boards)), left


def _with(board: Board, more: Board | None, saw: Saw, *, mix: bool) -> Board:
    """A board with what is cut from its rest, at one time with the last before it where it can."""
    if more is None:
        return board
    *before, last = board.uses
    now, *later = more.uses
    if mix or now[0].stage == last[0].stage:
        return cut_board(board.stock, (*before, _longest_first(*last, *now), *later), saw)
    return cut_board(board.stock, (*board.uses, *more.uses), saw)


def _longest_first(*pieces: CutPiece) -> tuple[CutPiece, ...]:
    return tuple(sorted(pieces, key=lambda piece: -piece.length_mm))


def _last_stage(board: Board) -> int:
    return board.uses[-1][0].stage

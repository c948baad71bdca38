"""Boards as they are cut up in the course of the work, and how the saw's stop is set for them.

    board_work(plan, kerf_mm) -> tuple[BoardUse, ...]     stage by stage
    stops(plan, units) -> tuple[Stop, ...]            stage by stage, the longest first
    in_order(rows) -> those of all sections, stage by stage
    piece_words(piece, use, plan, units) -> what a piece is, and what else is done to it

A board that serves a later stage too is taken in hand again then: what is left of it goes by the
board's number, and is measured from its own end.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.lengths import Board, CutPiece
from pikepole_export.derive.cutting.marks import NOISE_MM, tape_mm
from pikepole_model.units import Units, format_length


@dataclass(frozen=True, slots=True)
class BoardUse:
    """What is cut at one time from a board, or from what is left of it.

    Attributes:
        board: What it belongs to.
        number: Its number among those of its section, from 1.
        stage: Number of the stage that needs it first.
        pieces: What is cut, the longest first.
        is_offcut: Whether an earlier stage has cut from it already.
        start_mm: Where it begins on the board, before the end is trimmed.
        length_mm: How long it is before it is cut.
        trim_mm: What is trimmed off its first end.
        left_mm: What is left behind it, the last trim not counted.
        cuts: Cuts to make, trims included.
        is_kept: Whether a later stage needs what is left.
    """

    board: Board
    number: int
    stage: int
    pieces: tuple[CutPiece, ...]
    is_offcut: bool
    start_mm: float
    length_mm: float
    trim_mm: float
    left_mm: float
    cuts: int
    is_kept: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """Pieces that are cut with the stop set once.

    Attributes:
        stage: Number of the stage that needs them.
        length_mm: What it is set to, as it is read off the tape.
        pieces: What is cut.
    """

    stage: int
    length_mm: float
    pieces: tuple[CutPiece, ...]


Row = TypeVar("Row", BoardUse, Stop)


def board_work(plan: SectionPlan, kerf_mm: float) -> tuple[BoardUse, ...]:
    """Every board as often as it is taken in hand.

    Args:
        plan: The boards of a section.
        kerf_mm: What the saw takes.
    """
    uses = (
        use
        for number, board in enumerate(plan.plan.boards, start=1)
        for use in _uses(board, number, kerf_mm)
    )
    return tuple(sorted(uses, key=lambda use: (use.stage, use.is_offcut, use.number)))


def stops(plan: SectionPlan, units: Units) -> tuple[Stop, ...]:
    """What every stage needs of each length.

    Args:
        plan: The boards of a section.
        units: Of the tape.
    """
    found: dict[tuple[int, float], list[CutPiece]] = {}
    for board in plan.plan.boards:
        for use in board.uses:
            stage = min(piece.stage for piece in use)
            for piece in use:
                found.setdefault((stage, -tape_mm(piece.length_mm, units)), []).append(piece)
    return tuple(
        Stop(stage, -length_mm, tuple(pieces))
        for (stage, length_mm), pieces in sorted(found.items(), key=lambda one: one[0])
    )


def in_order(rows: Iterable[tuple[SectionPlan, Row]]) -> list[tuple[SectionPlan, Row]]:
    """Rows of all sections in the order of the stages, else as they were.

    Args:
        rows: Each with its section.
    """
    return sorted(rows, key=lambda row: row[1].stage)


def piece_words(piece: CutPiece, use: BoardUse, plan: SectionPlan, units: Units) -> str:
    """What a piece is, what it is ripped to, and its stage where that comes later.

    Args:
        piece: Which.
        use: When it is cut.
        plan: Of its section.
        units: Of the tape.
    """
    words = piece.name
    if width_mm := plan.ripped_mm.get(piece.name):
        words += f", ripped to {format_length(width_mm, units)}"
    return words if piece.stage == use.stage else f"{words} (stage {piece.stage})"


def _uses(board: Board, number: int, kerf_mm: float) -> Iterator[BoardUse]:
    start_mm, end_mm, each_mm = 0.0, board.stock.length_mm, board.trim_mm / 2
    for n, pieces in enumerate(board.uses):
        trim_mm = 0.0 if n else each_mm
        taken_mm = math.fsum(p.length_mm for p in pieces) + kerf_mm * (len(pieces) - 1)
        rest_mm = end_mm - start_mm - trim_mm - taken_mm - each_mm
        if rest_mm < NOISE_MM:
            rest_mm = 0.0
        left_mm = max(0.0, rest_mm - kerf_mm)
        yield BoardUse(
            board=board,
            number=number,
            stage=min(piece.stage for piece in pieces),
            pieces=pieces,
            is_offcut=n > 0,
            start_mm=start_mm,
            length_mm=end_mm - start_mm,
            trim_mm=trim_mm,
            left_mm=left_mm,
            cuts=(trim_mm > 0) + len(pieces) - 1 + (rest_mm > kerf_mm - NOISE_MM or each_mm > 0),
            is_kept=n + 1 < len(board.uses),
        )
        start_mm = end_mm - each_mm - left_mm

"""Boards as they are cut up in the course of the work, and how the saw's stop is set for them.

    board_work(plan, kerf_mm) -> tuple[BoardUse, ...]     stage by stage
    stops(plan, units) -> tuple[Stop, ...]            stage by stage, the longest first
    in_order(rows) -> those of all sections, stage by stage
    alike(uses, plan, shaped) -> boards that are cut alike
    run_words(same, plan, units, shaped) -> what each piece of theirs is
    length_words(use, units), left_words(use, units) -> how long it is, and what is left of it

A board that serves a later stage too is taken in hand again then: what is left of it goes by the
board's number, and is measured from its own end.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TypeVar

from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.lengths import Board, CutPiece
from pikepole_export.derive.cutting.marks import NOISE_MM, natural, numbered, tape_mm
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


def alike(
    uses: Iterable[BoardUse], plan: SectionPlan, shaped: Mapping[str, str]
) -> list[list[BoardUse]]:
    """Boards, or off-cuts, that are cut alike, in order of the first of each sort.

    Args:
        uses: Of one stage.
        plan: Of their section.
        shaped: The drawing that a piece is shaped by, by its name; of shaped pieces only.
    """
    found: dict[tuple[object, ...], list[BoardUse]] = {}
    for use in uses:
        work = tuple(
            (
                *(p.length_mm, p.stage),
                *(plan.ripped_mm.get(p.name), plan.sawn_mm.get(p.name), shaped.get(p.name)),
            )
            for p in use.pieces
        )
        own = use.board.stock.is_own
        key = use.is_offcut, own, round(use.length_mm, 3), use.is_kept, work
        found.setdefault(key, []).append(use)
    return list(found.values())


def run_words(
    same: Sequence[BoardUse], plan: SectionPlan, units: Units, shaped: Mapping[str, str]
) -> Iterator[tuple[tuple[int, ...], str]]:
    """Pieces of boards that are cut alike, neighbours of one sort told together.

    Args:
        same: The boards.
        plan: Of their section.
        units: Of the tape.
        shaped: The drawing that a piece is shaped by, by its name; of shaped pieces only.

    Returns:
        Which pieces of a board, from 0, and what they are: `2 at 1' 2-1/2": floor block 2 to 3`.
    """

    def sort(k: int) -> tuple[str, str, str]:
        piece = same[0].pieces[k]
        also = ", ".join(_also(piece, same[0], plan, units, shaped))
        return format_length(piece.length_mm, units), also, re.sub(r" \d+$", "", piece.name)

    for (printed, also, _), some in groupby(range(len(same[0].pieces)), key=sort):
        own = tuple(some)
        names = sorted((one.pieces[k].name for k in own for one in same), key=natural)
        each = f"{len(own)} at {printed}:" if len(own) > 1 else printed
        text = f"{each} {numbered(names)}"
        yield own, f"{text} ({also})" if also else text


def length_words(use: BoardUse, units: Units) -> str:
    """How long it is before it is cut; an off-cut as it was said when it was set aside.

    Args:
        use: Of a board.
        units: Of the tape.
    """
    return format_length(use.length_mm, units, "down" if use.is_offcut else "nearest")


def left_words(use: BoardUse, units: Units) -> str:
    """What is left of it, `keep 1' 3-1/8"` or `4" left`; empty for nothing.

    What is kept has its end, which is trimmed when it is cut up.

    Args:
        use: Of a board.
        units: Of the tape.
    """
    if use.is_kept:
        return f"keep {format_length(use.left_mm + use.board.trim_mm / 2, units, 'down')}"
    left = format_length(use.left_mm, units, "down")
    return "" if left == format_length(0.0, units) else f"{left} left"


def _also(
    piece: CutPiece, use: BoardUse, plan: SectionPlan, units: Units, shaped: Mapping[str, str]
) -> Iterator[str]:
    """What is done to a piece that is cut to its length, and its stage where that comes later."""
    if width_mm := plan.ripped_mm.get(piece.name):
        yield f"rip to {format_length(width_mm, units)}"
    if drawing := shaped.get(piece.name):
        yield f"by {drawing}"
    if piece.stage != use.stage:
        yield f"stage {piece.stage}"
    if halves_mm := plan.sawn_mm.get(piece.name):
        into = " and ".join(format_length(mm, units) for mm in halves_mm)
        yield f"its wall goes up in halves: saw it over a stud into {into}"


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

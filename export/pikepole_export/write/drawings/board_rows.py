"""Boards of a stage as rows of its pages: those cut alike are one row.

stage_rows(plans, scene, shaped) -> {stage: sections with their rows}
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from pikepole_export.derive.cutting.board_work import (
    BoardUse,
    alike,
    board_work,
    left_words,
    run_words,
    stops,
)
from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.marks import letter, letters, sliver_mm
from pikepole_export.graphics.lettering import NO_BREAK
from pikepole_model.scene.schema import Scene
from pikepole_model.units import MARK_MM, format_length, plural

NOT_SQUARED = "Nothing is left to square an end: take one whose ends are square."


@dataclass(frozen=True, slots=True)
class Bar:
    """What lies along a board.

    Attributes:
        at_mm: From its left end.
        length_mm: Its length.
        printed: As people read it.
        is_left: Whether it is left over, or kept.
    """

    at_mm: float
    length_mm: float
    printed: str
    is_left: bool = False


@dataclass(frozen=True, slots=True)
class BoardRow:
    """Boards, or what is left of them, that are cut alike.

    Attributes:
        numbers: Of the boards, in order.
        what: How many of which length: `4 of 16' 0"`.
        length_mm: Of each.
        bars: Pieces, and then what is left.
        names: What comes out of each board, in the order of the pieces.
        words: What each piece is by its letter, and then what is left.
        notes: What else to know.
    """

    numbers: tuple[int, ...]
    what: str
    length_mm: float
    bars: tuple[Bar, ...]
    names: tuple[tuple[str, ...], ...]
    words: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SectionRows:
    """What a stage cuts of one section.

    Attributes:
        section: "2x4".
        stock: "2x4, spruce-pine-fir".
        stops: What the saw's stop is set to, and how often.
        rows: Board by board.
    """

    section: str
    stock: str
    stops: str
    rows: tuple[BoardRow, ...]


def stage_rows(
    plans: Sequence[SectionPlan], scene: Scene, shaped: Mapping[str, str]
) -> dict[int, list[SectionRows]]:
    """What every stage cuts, by its number, in order of the stages.

    Args:
        plans: A plan for each section and material.
        scene: For its saw and its units.
        shaped: The drawing that a piece is shaped by, by its name; of shaped pieces only.
    """
    found: dict[int, list[SectionRows]] = {}
    for plan in plans:
        uses: dict[int, list[BoardUse]] = {}
        for use in board_work(plan, scene.cutting.kerf):
            uses.setdefault(use.stage, []).append(use)
        for stage, some in uses.items():
            counts = (
                f"{format_length(stop.length_mm, scene.units)}: {len(stop.pieces)}".replace(
                    " ", NO_BREAK
                )
                for stop in stops(plan, scene.units)
                if stop.stage == stage
            )
            rows = SectionRows(
                plan.section.name,
                f"{plan.section.name}, {plan.material}",
                f"Stop at {'; '.join(counts)}.",
                tuple(_row(same, plan, scene, shaped) for same in alike(some, plan, shaped)),
            )
            found.setdefault(stage, []).append(rows)
    return dict(sorted(found.items()))


def _row(
    same: Sequence[BoardUse], plan: SectionPlan, scene: Scene, shaped: Mapping[str, str]
) -> BoardRow:
    use, units = same[0], scene.units
    bars: list[Bar] = []
    at_mm = use.trim_mm
    for piece in use.pieces:
        bars.append(Bar(at_mm, piece.length_mm, format_length(piece.length_mm, units)))
        at_mm += piece.length_mm + scene.cutting.kerf
    words = [
        f"{letters(k + 1 for k in own)}: {text}"
        for own, text in run_words(same, plan, units, shaped)
    ]
    if left := left_words(use, units):
        bars.append(Bar(at_mm, use.left_mm, left, is_left=True))
        words.append(f"{letter(len(bars))}: {left}")
    length = format_length(use.length_mm, units)
    return BoardRow(
        numbers=tuple(one.number for one in same),
        what=plural(len(same), "off-cut") if use.is_offcut else f"{len(same)} of {length}",
        length_mm=use.length_mm,
        bars=tuple(bars),
        names=tuple(tuple(piece.name for piece in one.pieces) for one in same),
        words=tuple(words),
        notes=tuple(_notes(use, scene)),
    )


def _notes(use: BoardUse, scene: Scene) -> Iterator[str]:
    if use.board.stock.is_own and not use.is_offcut:
        yield "From your own."
    if use.is_kept:
        return
    sliver = sliver_mm(use.board, scene.cutting.kerf)
    if sliver >= MARK_MM[scene.units] / 2:
        yield (
            f"{format_length(sliver, scene.units)} more than the last piece needs, less than the "
            "saw takes: plane it off, or leave it where the gap at the joint allows."
        )
    if not use.board.trim_mm and not use.board.offcut_mm:
        yield NOT_SQUARED

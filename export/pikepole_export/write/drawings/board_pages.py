"""Pages of boards to stand beside the saw: stage after stage, ten to fourteen boards to a page.

    board_pages(stages, scene) -> list[BoardPage]

A board lies from left to right; its pieces have letters, and are named under it. Each piece is
measured from the end that the last cut left, as against a stop.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pikepole_export.derive.cutting.marks import kerf_words, letter, together
from pikepole_export.graphics.lettering import spread
from pikepole_export.write.drawings.board_rows import Bar, BoardRow, SectionRows
from pikepole_export.write.drawings.drafting import (
    MARGIN_MM,
    PAPER,
    PAPER_NAMES,
    SCALES,
    TEXT_MM,
)
from pikepole_export.write.drawings.svg import Sheet, width_of, wrapped
from pikepole_export.write.drawings.title import NAME_MM, SMALL_MM, unbroken
from pikepole_model.scene.schema import Scene

LABEL_MM = 28.0  # left of a board: its number
BAR_MM, LETTER_MM, ROW_MM, GAP_MM = 4.6, 3.4, 3.5, 1.3
HEAD_MM, FOOT_MM = 7.5, 8.0
STAGE_MM, STAGE_TEXT_MM = 6.5, 3.8
FRESH_END = (
    "Measure each piece from the end that the last cut left: the saw takes its kerf beyond the "
    "mark. Lengths are long point to long point. Cut to length first, then rip, then shape."
)


@dataclass(frozen=True, slots=True)
class BoardPage:
    """A page.

    Attributes:
        data: An SVG file.
        marks: What each piece on it is called: "2x4 board 5, a".
    """

    data: bytes
    marks: dict[str, str]


@dataclass(frozen=True, slots=True)
class _Line:
    """A row of the page, or a heading.

    Attributes:
        heading: Over what follows; empty of a row.
        section: What a row belongs to.
        row: None of a heading.
        text: Under the board, or of the heading.
        is_stage: Whether the heading is that of a stage.
        letters_mm: Room over a board, for letters that have none on their pieces.
    """

    heading: str = ""
    section: str = ""
    row: BoardRow | None = None
    text: tuple[str, ...] = ()
    is_stage: bool = False
    letters_mm: float = 0.0

    @property
    def high_mm(self) -> float:
        """What it takes of the page."""
        lines = ROW_MM * len(self.text)
        if self.row:
            return lines + GAP_MM + self.letters_mm + BAR_MM + 0.7
        return lines + (STAGE_MM if self.is_stage else ROW_MM + 1.0)


def board_pages(stages: Mapping[str, Sequence[SectionRows]], scene: Scene) -> list[BoardPage]:
    """All boards in the order in which they are taken in hand.

    Args:
        stages: What is cut of each section, by the heading of the stage: "Stage 4, Back wall".
        scene: For its title, its saw and its units. All pages are to one scale.
    """
    rows = [row for sections in stages.values() for one in sections for row in one.rows]
    room = PAPER[scene.units][0] - 2 * MARGIN_MM - LABEL_MM - 4
    longest = max((row.length_mm for row in rows), default=0.0)
    scale = next((one for one in SCALES if longest / one <= room), SCALES[-1])
    pages = _parted(stages, scale, scene)
    return [
        _drawn(lines, f"page {k} of {len(pages)}", scale, scene)
        for k, lines in enumerate(pages, start=1)
    ]


def _parted(
    stages: Mapping[str, Sequence[SectionRows]], scale: int, scene: Scene
) -> list[list[_Line]]:
    """Lines page by page; headings stand again where their boards go on."""
    width, height = PAPER[scene.units]
    room, free = width - 2 * MARGIN_MM - 4, height - 2 * MARGIN_MM - HEAD_MM - FOOT_MM
    pages: list[list[_Line]] = []
    used = free
    for stage, sections in stages.items():
        over = [_Line(stage, is_stage=True)]
        for section in sections:
            stops = tuple(wrapped(section.stops, SMALL_MM, room))
            over.append(_Line(section.stock, text=stops))
            for row in section.rows:
                text = " ".join((f"{'; '.join(row.words)}.", *row.notes))
                lines = tuple(wrapped(unbroken(text), SMALL_MM, room - LABEL_MM))
                high = LETTER_MM if any(_is_over(row, scale)) else 0.0
                line = _Line(section=section.section, row=row, text=lines, letters_mm=high)
                new = [*over, line]
                if used + sum(one.high_mm for one in new) > free:
                    again = [_Line(f"{stage}, going on", is_stage=True), _Line(section.stock)]
                    new = [*(over if len(over) == 2 else [again[0], *(over or again[1:])]), line]
                    pages.append([])
                    used = 0.0
                pages[-1] += new
                used += sum(one.high_mm for one in new)
                over = []
    return pages


def _drawn(lines: Sequence[_Line], page: str, scale: int, scene: Scene) -> BoardPage:
    units = scene.units
    width, height = PAPER[units]
    stages = " and ".join(
        dict.fromkeys(line.heading.removesuffix(", going on") for line in lines if line.is_stage)
    )
    sheet = Sheet((width, height), f"Boards, {page}: {stages}")
    left, right = MARGIN_MM, width - MARGIN_MM
    sheet.text(f"Boards, {page}", (left + 2, MARGIN_MM + 4), NAME_MM, bold=True)
    about = f"{scene.title}. Scale 1:{scale} on {PAPER_NAMES[units]}"
    sheet.text(about, (right - 2, MARGIN_MM + 4), SMALL_MM, anchor="end")
    marks: dict[str, str] = {}
    y = MARGIN_MM + HEAD_MM
    for line in lines:
        if line.is_stage:
            sheet.line([(left, y), (right, y)], "wide")
            sheet.text(line.heading, (left + 2, y + 4.5), STAGE_TEXT_MM, bold=True)
            start, indent = 0.0, left
        elif line.row is None:
            sheet.text(line.heading, (left + 2, y + 3.0), TEXT_MM, bold=True)
            start, indent = y + 3.0 + ROW_MM, left + 2
        else:
            top = y + line.letters_mm
            marks |= _board(sheet, line.section, line.row, (left + 2, top), scale)
            start, indent = top + BAR_MM + 3.4, left + LABEL_MM
        for k, text in enumerate(line.text):
            sheet.text(text, (indent, start + ROW_MM * k), SMALL_MM)
        y += line.high_mm
    kerf = kerf_words(scene.cutting.kerf, units)
    foot = wrapped(unbroken(f"{FRESH_END} Kerf {kerf}."), SMALL_MM, right - left - 4)
    for k, text in enumerate(foot):
        sheet.text(text, (left + 2, height - MARGIN_MM - FOOT_MM + 5.0 + ROW_MM * k), SMALL_MM)
    return BoardPage(sheet.to_bytes(), marks)


def _is_over(row: BoardRow, scale: float) -> list[bool]:
    """Of each piece whether its letter stands over it: there is no room for it on the piece.

    What is left of a board has the room behind that.
    """
    return [
        not bar.is_left and not _has_letter(k, bar, scale)
        for k, bar in enumerate(row.bars, start=1)
    ]


def _has_letter(k: int, bar: Bar, scale: float) -> bool:
    """Whether a piece has room for its letter, before its length if it has room for that."""
    length = _printed_mm(bar) if _has_length(bar, scale) else 0.0
    return _key_mm(k) + length <= _room_mm(bar, scale)


def _has_length(bar: Bar, scale: float) -> bool:
    """Whether a piece has room for its length."""
    return _printed_mm(bar) < _room_mm(bar, scale)


def _room_mm(bar: Bar, scale: float) -> float:
    return bar.length_mm / scale - 0.4


def _printed_mm(bar: Bar) -> float:
    return width_of(bar.printed, SMALL_MM) + 0.6


def _key_mm(k: int) -> float:
    return width_of(letter(k), SMALL_MM, bold=True)


def _board(
    sheet: Sheet, section: str, row: BoardRow, at: tuple[float, float], scale: float
) -> dict[str, str]:
    """One board to scale, each piece with its letter; returns what the pieces are called."""
    x, top = at
    start = x + LABEL_MM - 2
    called = ", ".join(together(f"board {number}" for number in row.numbers))
    numbers = wrapped(unbroken(called.replace("board ", "")), TEXT_MM, LABEL_MM - 4, bold=True)
    for k, text in enumerate(numbers):
        sheet.text(text, (x, top + 2.6 + ROW_MM * k), TEXT_MM, bold=True)
    sheet.text(row.what, (x, top + 2.6 + ROW_MM * len(numbers)), SMALL_MM)

    def box(at_mm: float, length_mm: float) -> list[tuple[float, float]]:
        a, b = start + at_mm / scale, start + (at_mm + length_mm) / scale
        return [(a, top), (b, top), (b, top + BAR_MM), (a, top + BAR_MM)]

    sheet.area(box(0.0, row.length_mm), "void", called)
    for bar in row.bars:
        sheet.area(box(bar.at_mm, bar.length_mm), "void" if bar.is_left else "piece", bar.printed)
    base = top + BAR_MM - 1.6
    over: list[tuple[float, str]] = []
    for k, (bar, is_over) in enumerate(zip(row.bars, _is_over(row, scale), strict=True), start=1):
        key, left = letter(k), start + bar.at_mm / scale
        long = bar.length_mm / scale
        beside = 0.0
        if is_over:
            over.append((left + long / 2, key))
        elif not _has_letter(k, bar, scale):
            behind = start + row.length_mm / scale + 0.8
            sheet.text(key, (behind, base), SMALL_MM, bold=True)
        elif _has_length(bar, scale):
            sheet.text(key, (left + 0.6, base), SMALL_MM, bold=True)
            beside = 0.6 + _key_mm(k)
        else:
            sheet.text(key, (left + long / 2, base), SMALL_MM, anchor="middle", bold=True)
        if _has_length(bar, scale):
            middle = left + beside + (long - beside) / 2
            sheet.text(bar.printed, (middle, base), SMALL_MM, anchor="middle")
    apart = max((width_of(key, SMALL_MM, bold=True) for _, key in over), default=0.0) + 0.6
    wished = [middle for middle, _ in over]
    placed = spread(wished, apart, start, sheet.size[0] - MARGIN_MM) if over else []
    for place, (_, key) in zip(placed, over, strict=True):
        sheet.text(key, (place, top - 1.0), SMALL_MM, anchor="middle", bold=True)
    return {
        name: f"{section} board {number}, {letter(k)}"
        for number, names in zip(row.numbers, row.names, strict=True)
        for k, name in enumerate(names, start=1)
    }

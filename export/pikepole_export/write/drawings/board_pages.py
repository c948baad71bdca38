"""Pages of boards to stand beside the saw: stage by stage, ten boards to a page.

    board_pages(stage, name, sections, scene) -> list[BoardPage]

A board lies from left to right; its pieces have letters, and are named under it. Each piece is
measured from the end that the last cut left, as against a stop.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.cutting.marks import together
from pikepole_export.graphics.lettering import spread
from pikepole_export.write.drawings.board_rows import BoardRow, SectionRows
from pikepole_export.write.drawings.cut_lists import letter
from pikepole_export.write.drawings.cut_plans import SCALES
from pikepole_export.write.drawings.drafting import MARGIN_MM, PAPER, PAPER_NAMES, TEXT_MM
from pikepole_export.write.drawings.svg import Sheet, width_of, wrapped
from pikepole_export.write.drawings.title import NAME_MM, SMALL_MM, unbroken
from pikepole_model.scene.schema import Scene
from pikepole_model.units import format_length

ROWS = 10  # to a page
LABEL_MM = 28.0  # left of a board: its number
BAR_MM, LETTER_MM, ROW_MM, GAP_MM = 5.0, 3.4, 3.6, 2.2
HEAD_MM, FOOT_MM = 16.0, 12.0
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
        section: What it belongs to.
        row: None of a heading.
        text: Under the board, or of the heading.
    """

    section: SectionRows
    row: BoardRow | None
    text: tuple[str, ...]

    @property
    def high_mm(self) -> float:
        """What it takes of the page."""
        lines = ROW_MM * len(self.text)
        return lines + (GAP_MM + LETTER_MM + BAR_MM + 1.0 if self.row else ROW_MM + 1.0)


def board_pages(
    stage: int, name: str, sections: Sequence[SectionRows], scene: Scene
) -> list[BoardPage]:
    """All boards that a stage takes in hand.

    Args:
        stage: Its number.
        name: Its name.
        sections: What it cuts of each section.
        scene: For its title, its saw and its units.
    """
    pages = _parted(sections, scene)
    return [
        _drawn(lines, f"Stage {stage}, {name}: boards", f"page {k} of {len(pages)}", scene)
        for k, lines in enumerate(pages, start=1)
    ]


def _parted(sections: Sequence[SectionRows], scene: Scene) -> list[list[_Line]]:
    """Lines page by page; a heading stands again where its boards go on."""
    width, height = PAPER[scene.units]
    room, free = width - 2 * MARGIN_MM - 4, height - 2 * MARGIN_MM - HEAD_MM - FOOT_MM
    pages: list[list[_Line]] = []
    used, count = free, ROWS
    for section in sections:
        stops = wrapped(section.stops, SMALL_MM, room)
        head = _Line(section, None, tuple(stops))
        for n, row in enumerate(section.rows):
            said = "; ".join(f"{letter(k)}: {one}" for k, one in enumerate(row.words, start=1))
            text = " ".join((f"{said}.", *row.notes))
            line = _Line(section, row, tuple(wrapped(unbroken(text), SMALL_MM, room - LABEL_MM)))
            above = head.high_mm if n == 0 else 0.0
            if count == ROWS or used + above + line.high_mm > free:
                pages.append([])
                used, count = 0.0, 0
                above = head.high_mm if n == 0 else ROW_MM + 1.0
                if n:
                    pages[-1].append(_Line(section, None, ()))
            if n == 0:
                pages[-1].append(head)
            pages[-1].append(line)
            used, count = used + above + line.high_mm, count + 1
    return pages


def _drawn(lines: Sequence[_Line], title: str, page: str, scene: Scene) -> BoardPage:
    units = scene.units
    width, height = PAPER[units]
    sheet = Sheet((width, height), f"{title}, {page}")
    left, right = MARGIN_MM, width - MARGIN_MM
    room = right - left - LABEL_MM - 4
    longest = max(line.row.length_mm for line in lines if line.row)
    scale = next((s for s in SCALES if longest / s <= room), SCALES[-1])
    sheet.text(title, (left + 2, MARGIN_MM + 6), NAME_MM, bold=True)
    about = f"{scene.title}, {page}. Scale 1:{scale} on {PAPER_NAMES[units]}"
    sheet.text(about, (left + 2, MARGIN_MM + 11), SMALL_MM)
    sheet.line([(left, MARGIN_MM + 13), (right, MARGIN_MM + 13)], "wide")
    marks: dict[str, str] = {}
    y = MARGIN_MM + HEAD_MM
    for line in lines:
        if line.row is None:
            sheet.text(line.section.stock, (left + 2, y + 3.0), TEXT_MM, bold=True)
            start, indent = y + 3.0 + ROW_MM, left + 2
        else:
            marks |= _board(sheet, line.section, line.row, (left + 2, y), scale)
            start, indent = y + LETTER_MM + BAR_MM + 3.6, left + LABEL_MM
        for k, text in enumerate(line.text):
            sheet.text(text, (indent, start + ROW_MM * k), SMALL_MM)
        y += line.high_mm
    kerf = format_length(scene.cutting.kerf, units)
    foot = wrapped(unbroken(f"{FRESH_END} Kerf {kerf}."), SMALL_MM, right - left - 4)
    for k, text in enumerate(foot):
        sheet.text(text, (left + 2, height - MARGIN_MM - FOOT_MM + 5.0 + ROW_MM * k), SMALL_MM)
    return BoardPage(sheet.to_bytes(), marks)


def _board(
    sheet: Sheet, section: SectionRows, row: BoardRow, at: tuple[float, float], scale: float
) -> dict[str, str]:
    """One board to scale, a letter over each piece; returns what the pieces are called."""
    x, y = at
    top, start = y + LETTER_MM, x + LABEL_MM - 2
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
    middles = [start + (bar.at_mm + bar.length_mm / 2) / scale for bar in row.bars]
    keys = [letter(k) for k in range(1, len(row.bars) + 1)]
    apart = max(width_of(key, SMALL_MM, bold=True) for key in keys) + 0.6
    places = spread(middles, apart, start, sheet.size[0] - MARGIN_MM)
    for key, bar, middle, place in zip(keys, row.bars, middles, places, strict=True):
        sheet.text(key, (place, y + 2.4), SMALL_MM, anchor="middle", bold=True)
        if width_of(bar.printed, SMALL_MM) + 1.0 < bar.length_mm / scale:
            sheet.text(bar.printed, (middle, top + BAR_MM - 1.6), SMALL_MM, anchor="middle")
    return {
        name: f"{section.section} board {number}, {letter(k)}"
        for number, names in zip(row.numbers, row.names, strict=True)
        for k, name in enumerate(names, start=1)
    }

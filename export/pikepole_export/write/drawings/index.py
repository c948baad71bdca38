"""The index of the drawings: on which page a piece is cut, and by which pattern.

index_pages(pages, patterns, scene) -> list[bytes]     SVG files
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from pikepole_export.derive.cutting.marks import natural, numbered
from pikepole_export.write.drawings.drafting import MARGIN_MM, PAPER
from pikepole_export.write.drawings.svg import Sheet, wrapped
from pikepole_export.write.drawings.title import NAME_MM, SMALL_MM, unbroken
from pikepole_model.scene.schema import Scene
from pikepole_model.units import Units

INDEX = "index"
COLUMNS, GAP_MM, INDENT_MM, LINE_MM, HEAD_MM = 4, 2.5, 2.0, 3.3, 10.0
_TOGETHER = 3  # so many rows of one name stand under it


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of a column.

    Attributes:
        words: What it says.
        indent_mm: How far in it starts.
        is_head: Whether it is the name of what stands under it.
    """

    words: str
    indent_mm: float = 0.0
    is_head: bool = False


@dataclass(frozen=True, slots=True)
class _Row:
    """Pieces on one page, by one pattern.

    Attributes:
        words: Their names, or their numbers under a head; the page, the pattern.
        head: What they stand under; empty if nothing.
    """

    words: str
    head: str = ""

    def lines(self, room: float) -> list[_Line]:
        """What it says in a column so wide, mm."""
        indent = INDENT_MM if self.head else 0.0
        words = wrapped(unbroken(self.words), SMALL_MM, room - indent - INDENT_MM)
        return [_Line(line, indent + INDENT_MM * (k > 0)) for k, line in enumerate(words)]


def index_pages(pages: Mapping[str, str], patterns: Mapping[str, str], scene: Scene) -> list[bytes]:
    """Every piece by its name, pieces in a row on the same page drawn together.

    Args:
        pages: The page that a piece is on, by the piece's name.
        patterns: The pattern that it is shaped by, of shaped pieces only.
        scene: For its title and its units.
    """
    columns = _columns(pages, patterns, scene.units)
    count = -(-len(columns) // COLUMNS)
    sheets: list[bytes] = []
    for page in range(count):
        title = f"Index of the drawings, page {page + 1} of {count}"
        sheet = Sheet(PAPER[scene.units], title)
        sheet.text(
            f"{scene.title}: {title.lower()}", (MARGIN_MM, MARGIN_MM + 5), NAME_MM, bold=True
        )
        for n, column in enumerate(columns[COLUMNS * page : COLUMNS * (page + 1)]):
            x = MARGIN_MM + n * (_wide_mm(scene.units) + GAP_MM)
            for k, line in enumerate(column):
                at = (x + line.indent_mm, MARGIN_MM + HEAD_MM + LINE_MM * k)
                sheet.text(line.words, at, SMALL_MM, bold=line.is_head)
        sheets.append(sheet.to_bytes())
    return sheets


def _wide_mm(units: Units) -> float:
    """How wide a column is."""
    return (PAPER[units][0] - 2 * MARGIN_MM - GAP_MM * (COLUMNS - 1)) / COLUMNS


def _columns(
    pages: Mapping[str, str], patterns: Mapping[str, str], units: Units
) -> list[list[_Line]]:
    """Column by column; a head stands again where what is under it goes on."""
    most = int((PAPER[units][1] - 2 * MARGIN_MM - HEAD_MM) / LINE_MM)
    columns: list[list[_Line]] = []
    head = ""
    for row in _rows(pages, patterns):
        lines = row.lines(_wide_mm(units))
        heads = [_Line(row.head, is_head=True)] if row.head else []
        over = heads if row.head != head else []
        if not columns or len(columns[-1]) + len(over) + len(lines) > most:
            columns.append([])
            over = heads
        columns[-1] += [*over, *lines]
        head = row.head
    return columns


def _rows(pages: Mapping[str, str], patterns: Mapping[str, str]) -> Iterator[_Row]:
    """By the first of the pieces that are on the same pages under one name."""
    kinds: dict[str, dict[tuple[str, str], list[str]]] = {}
    for name in sorted({*pages, *patterns}, key=natural):
        alike = kinds.setdefault(re.sub(r" \d+$", "", name), {})
        alike.setdefault((pages.get(name, ""), patterns.get(name, "")), []).append(name)
    for kind, alike in kinds.items():
        head = kind if len(alike) >= _TOGETHER else ""
        for where, names in alike.items():
            words = f"{numbered(names)}: {', '.join(filter(None, where))}"
            yield _Row(words.removeprefix(f"{head} "), head)

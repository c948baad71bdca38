"""The index of the drawings: on which page a piece is cut, and by which pattern.

index_pages(pages, patterns, scene) -> list[bytes]     SVG files
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from pikepole_export.derive.cutting.marks import natural, numbered
from pikepole_export.write.drawings.drafting import MARGIN_MM, PAPER
from pikepole_export.write.drawings.svg import Sheet, wrapped
from pikepole_export.write.drawings.title import NAME_MM, SMALL_MM, unbroken
from pikepole_model.scene.schema import Scene

INDEX = "index"
COLUMNS, GAP_MM, INDENT_MM, LINE_MM, HEAD_MM = 3, 4.0, 4.0, 3.7, 12.0


def index_pages(pages: Mapping[str, str], patterns: Mapping[str, str], scene: Scene) -> list[bytes]:
    """Every piece by its name, pieces in a row on the same page drawn together.

    Args:
        pages: The page that a piece is on, by the piece's name.
        patterns: The pattern that it is shaped by, of shaped pieces only.
        scene: For its title and its units.
    """
    width, height = PAPER[scene.units]
    wide = (width - 2 * MARGIN_MM - GAP_MM * (COLUMNS - 1)) / COLUMNS
    lines = int((height - 2 * MARGIN_MM - HEAD_MM) / LINE_MM)
    entries = [wrapped(unbroken(row), SMALL_MM, wide - INDENT_MM) for row in _rows(pages, patterns)]
    columns: list[list[tuple[str, float]]] = [[]]
    for entry in entries:
        if len(columns[-1]) + len(entry) > lines:
            columns.append([])
        columns[-1] += [(entry[0], 0.0), *((more, INDENT_MM) for more in entry[1:])]
    count = -(-len(columns) // COLUMNS)
    sheets: list[bytes] = []
    for page in range(count) if entries else ():
        title = f"Index of the drawings, page {page + 1} of {count}"
        sheet = Sheet((width, height), title)
        sheet.text(
            f"{scene.title}: {title.lower()}", (MARGIN_MM, MARGIN_MM + 5), NAME_MM, bold=True
        )
        for n, column in enumerate(columns[COLUMNS * page : COLUMNS * (page + 1)]):
            x = MARGIN_MM + n * (wide + GAP_MM)
            for k, (text, indent) in enumerate(column):
                sheet.text(text, (x + indent, MARGIN_MM + HEAD_MM + LINE_MM * k), SMALL_MM)
        sheets.append(sheet.to_bytes())
    return sheets


def _rows(pages: Mapping[str, str], patterns: Mapping[str, str]) -> Iterator[str]:
    """By the first of the pieces that are on the same pages under one name."""
    alike: dict[tuple[str, str, str], list[str]] = {}
    for name in sorted({*pages, *patterns}, key=natural):
        stem = re.sub(r" \d+$", "", name)
        alike.setdefault((stem, pages.get(name, ""), patterns.get(name, "")), []).append(name)
    for (_, page, pattern), names in alike.items():
        yield f"{numbered(names)}: {', '.join(filter(None, (page, pattern)))}"

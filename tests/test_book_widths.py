"""Columns of the handbook's tables: as wide as keeps them short, and no rows alone on a page."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader

from pikepole_export.write.book.blocks import Cell, Chapter, Column, Head, Table, Words, printable
from pikepole_export.write.book.setting import set_book
from pikepole_export.write.book.widths import BESIDE_MM, wide_mm, widths_mm

ROOM_MM = 180.0


def table(heads: str, *rows: tuple[str, ...]) -> Table:
    columns = tuple(Column(head, wraps=True) for head in heads.split())
    return Table(columns, tuple(tuple(map(Cell, row)) for row in rows))


def test_all_of_the_room_is_given_out_and_no_word_is_wider_than_its_column() -> None:
    said = "carry it to its place using the platform and let it down one end at a time " * 3
    asked = table("What Who How", ("left wall header", "alone", said), ("post", "alone", said))
    widths = widths_mm(asked, ROOM_MM)
    assert sum(widths) == pytest.approx(ROOM_MM)
    for k, wide in enumerate(widths):
        words = [word for row in asked.rows for word in row[k].text.split()]
        assert max(wide_mm(word) for word in words) + BESIDE_MM <= wide
    # What is short stays on one line: the sentence has the rest.
    name, who = (wide_mm(text) + BESIDE_MM for text in ("left wall header", "alone"))
    assert widths[0] >= name
    assert widths[1] >= who
    assert widths[2] > ROOM_MM / 2


def test_a_column_that_does_not_wrap_is_as_wide_as_what_is_in_it() -> None:
    columns = (Column("No.", right=True), Column("Piece", wraps=True))
    rows = ((Cell("1,234"), Cell("stud " * 60)),)
    number, words = widths_mm(Table(columns, rows), ROOM_MM)
    assert number == pytest.approx(wide_mm("1,234") + BESIDE_MM, abs=0.5)
    assert number + words == pytest.approx(ROOM_MM)


def test_neither_a_size_nor_a_unit_is_broken_across_lines() -> None:
    assert "/\u2060mm2" in printable("0.251 N/mm2")
    assert "/\u2060" not in printable("and/or 23/32 plywood, 3' 11-15/16\"")
    size = "3' 11-15/16\" x 7' 11-15/16\""
    rows = [(f"front wall siding strip {k}", size, "by a drawing") for k in range(20)]
    widths = widths_mm(table("Piece Length Cuts", *rows), 90.0)
    assert widths[1] >= wide_mm(size) + BESIDE_MM


@pytest.mark.parametrize("filled", range(40, 60))
def test_no_page_has_one_or_two_rows_alone(filled: int, tmp_path: Path) -> None:
    # Lines before it push the table over the end of the page, row by row.
    lines = tuple(Words(f"line {k}") for k in range(filled))
    rows = tuple((Cell(f"row {k}"),) for k in range(9))
    own = (*lines, Head("Rows"), Table((Column("Piece", wraps=True),), rows))
    data = set_book([Chapter("Sticks", "sticks", own)], "T", "metric", tmp_path)
    (tmp_path / "t.pdf").write_bytes(data)
    counts = [page.extract_text().count("row ") for page in PdfReader(tmp_path / "t.pdf").pages]
    assert sum(counts) == len(rows)
    first, *last = filter(None, counts)
    assert first >= 2
    assert all(count >= 4 for count in last)

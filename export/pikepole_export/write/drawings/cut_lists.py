"""Lists beside a drawing: rows that flow from column to column, and what to say where they end.

Row(key, words)
Column(left, top, lines)
left_out(rows, columns, room) -> how many rows have no place
put_rows(sheet, rows, columns, room, table)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from pikepole_export.write.drawings.cells import ROW_MM
from pikepole_export.write.drawings.svg import Sheet, width_of, wrapped
from pikepole_export.write.drawings.title import SMALL_MM, unbroken

KEY_MM = 6.0


@dataclass(frozen=True, slots=True)
class Row:
    """One thing that is listed.

    Attributes:
        key: Its letter or number; empty where it has none.
        words: What is said of it.
        bold: Whether it is a heading.
    """

    key: str
    words: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Column:
    """Room for lines of a list.

    Attributes:
        left: Where they start, mm.
        top: Base line of the first, mm.
        lines: How many there are.
    """

    left: float
    top: float
    lines: int


def left_out(rows: Sequence[Row], columns: Sequence[Column], room: float) -> int:
    """How many rows have no place in columns so wide, mm.

    Args:
        rows: In order.
        columns: That they flow through.
        room: Width of a column, mm.
    """
    return len(rows) - len(_placed(rows, columns, room)[0])


def put_rows(
    sheet: Sheet, rows: Sequence[Row], columns: Sequence[Column], room: float, table: str
) -> None:
    """All rows, and where there are too many, which table has the rest.

    Args:
        sheet: Where they go.
        rows: In order.
        columns: That they flow through.
        room: Width of a column, mm.
        table: Where the rest is: "cuts.csv".
    """
    placed, last = _placed(rows, columns, room)
    for row, (column, start, lines) in zip(rows, placed, strict=False):
        indent = _indent(row)
        for k, line in enumerate(lines):
            at = (column.left, column.top + ROW_MM * (start + k))
            if row.key and k == 0:
                sheet.text(row.key, at, SMALL_MM, bold=True)
            sheet.text(line, (at[0] + indent, at[1]), SMALL_MM, bold=row.bold)
    column, start = last
    if len(placed) < len(rows) and column.lines:
        words = f"and {len(rows) - len(placed)} more: see {table}"
        sheet.text(words, (column.left, column.top + ROW_MM * start), SMALL_MM)


_Place: TypeAlias = tuple[Column, int, list[str]]
_NOWHERE = Column(0.0, 0.0, 0)


def _placed(
    rows: Sequence[Row], columns: Sequence[Column], room: float
) -> tuple[list[_Place], tuple[Column, int]]:
    """The rows that have room, none parted between columns, and the line kept for the rest."""
    placed: list[_Place] = []
    waiting = [column for column in columns if column.lines > 0]
    used = 0
    for row in rows:
        lines = _lines(row, room)
        # A heading takes a line of what is under it along.
        needed = used + len(lines) + row.bold
        while len(waiting) > 1 and needed > waiting[0].lines:
            waiting.pop(0)
            needed -= used
            used = 0
        # In the last column a line is kept to say what is missing, if anything may be.
        is_last = row is rows[-1]
        if not waiting or needed > waiting[0].lines - (len(waiting) == 1 and not is_last):
            break
        placed.append((waiting[0], used, lines))
        used += len(lines)
    return placed, (waiting[0] if waiting else _NOWHERE, used)


def _lines(row: Row, room: float) -> list[str]:
    return wrapped(unbroken(row.words), SMALL_MM, room - _indent(row), bold=row.bold)


def _indent(row: Row) -> float:
    """How far in its words begin, behind its key."""
    return max(KEY_MM, width_of(row.key, SMALL_MM, bold=True) + 1.5) if row.key else 0.0

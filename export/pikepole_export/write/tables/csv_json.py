"""A table as two files of one name: CSV for people, JSON for programs.

    write_table(name, columns, rows, units, folder)     NAME.csv, NAME.json
    write_pair(name, people, programs, folder)          the same of lines and records made elsewhere
    write_csv(name, people, folder)                     NAME.csv alone
    in_json(data) -> bytes

CSV: UTF-8, comma, lines ended as RFC 4180 asks, which every spreadsheet reads.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, cast

from pikepole_export.files.whole import put
from pikepole_export.write.tables.columns import Cell, Column, lines, record
from pikepole_model.units import Units

_BEGIN_FORMULAS = ("=", "+", "-", "@", "\t", "\r")


def write_pair(
    name: str, people: Sequence[Sequence[Cell]], programs: Any, folder: Path
) -> tuple[Path, Path]:
    """Write a table.

    Args:
        name: Of both files, without an ending.
        people: Lines of cells.
        programs: The same for programs, of what JSON knows.
        folder: Where to, a folder that is there.
    """
    return (
        write_csv(name, people, folder),
        put(folder / f"{name}.json", in_json(programs)),
    )


def write_csv(name: str, people: Sequence[Sequence[Cell]], folder: Path) -> Path:
    """Write lines for people alone.

    Args:
        name: Of the file, without an ending.
        people: Lines of cells.
        folder: Where to, a folder that is there.
    """
    return put(folder / f"{name}.csv", _in_csv(people))


def write_table(
    name: str, columns: Sequence[Column], rows: Sequence[object], units: Units, folder: Path
) -> tuple[Path, Path]:
    """Write a plain table, a line and a record for each row.

    Args:
        name: Of both files, without an ending.
        columns: In order.
        rows: Have the attributes that these name.
        units: Of the CSV.
        folder: Where to, a folder that is there.
    """
    programs = [record(columns, row) for row in rows]
    return write_pair(name, lines(columns, rows, units), programs, folder)


def in_json(data: Any) -> bytes:
    """JSON in UTF-8: a list of records takes a line for each, all else is indented.

    Args:
        data: Such a list, or a record that may hold some.
    """
    if isinstance(data, dict):
        fields = cast("dict[str, Any]", data).items()
        text = ",\n".join(f"  {_text(key)}: {_value(value)}" for key, value in fields)
        return f"{{\n{text}\n}}\n".encode()
    return f"{_records(data)}\n".encode()


def _value(value: Any) -> str:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return _records(cast("list[Any]", value))
    return json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False).replace("\n", "\n  ")


def _records(data: list[Any]) -> str:
    records = ",\n".join(map(_text, data))
    return f"[\n{records}\n]" if data else "[]"


def _text(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _in_csv(people: Sequence[Sequence[Cell]]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text).writerows([_as_text(cell) for cell in line] for line in people)
    return text.getvalue().encode()


def _as_text(cell: Cell) -> Cell:
    """A cell that no spreadsheet takes for a formula: a name may begin like one."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(_BEGIN_FORMULAS) else cell

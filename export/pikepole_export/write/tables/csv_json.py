"""A table as two files of one name: CSV for people, JSON for programs.

    plain_table(name, columns, rows, units) -> Table    a line and a record for each row
    write_table(table, folder)                          NAME.csv, NAME.json
    in_json(data) -> bytes

CSV: UTF-8, comma, lines ended as RFC 4180 asks, which every spreadsheet reads.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias, cast

from pikepole_export.files.whole import put
from pikepole_export.write.tables.columns import Cell, Column, lines, record
from pikepole_model.units import Units

Lines: TypeAlias = Sequence[Sequence[Cell]]

_BEGIN_FORMULAS = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True)
class Table:
    """A table, ready to be written.

    Attributes:
        name: Of its files, without an ending.
        people: Lines of cells under what they are called; where there are several such lists they
            stand one under the other, an empty line between.
        programs: The same for programs, of what JSON knows; None where it is for people alone.
    """

    name: str
    people: Mapping[str, Lines]
    programs: Any = None


def plain_table(
    name: str, columns: Sequence[Column], rows: Sequence[object], units: Units
) -> Table:
    """A table with a line and a record for each row.

    Args:
        name: Of both files, without an ending.
        columns: In order.
        rows: Have the attributes that these name.
        units: Of the CSV.
    """
    programs = [record(columns, row) for row in rows]
    return Table(name, {name: lines(columns, rows, units)}, programs)


def write_table(table: Table, folder: Path) -> tuple[Path, ...]:
    """Write a table.

    Args:
        table: What to write.
        folder: Where to, a folder that is there.

    Raises:
        OutputError: a file could not be written whole.
    """
    people = put(folder / f"{table.name}.csv", _in_csv(table.people.values()))
    if table.programs is None:
        return (people,)
    return people, put(folder / f"{table.name}.json", in_json(table.programs))


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


def _in_csv(lists: Iterable[Lines]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    for number, people in enumerate(lists):
        if number:
            writer.writerow([])
        writer.writerows([_as_text(cell) for cell in line] for line in people)
    return text.getvalue().encode()


def _as_text(cell: Cell) -> Cell:
    """A cell that no spreadsheet takes for a formula: a name may begin like one."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(_BEGIN_FORMULAS) else cell

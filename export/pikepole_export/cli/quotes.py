"""A quote that a supplier filled in, read from CSV or from a spreadsheet.

read_quote(path) -> list[QuoteLine]
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from pikepole_export.derive.buying.quote import QuoteError, QuoteLine
from pikepole_model.errors import Problem

MOST_BYTES = 5_000_000
_COLUMNS = ("item", "order", "price")


def read_quote(path: Path) -> list[QuoteLine]:
    """The rows of a quote, blank ones left out.

    Raises:
        QuoteError: It cannot be read, or has other columns.
    """
    ending = path.suffix.lower()
    if ending not in (".csv", ".xlsx"):
        raise _refused(path, "is no quote", "name a file that ends in .csv or .xlsx")
    try:
        if path.stat().st_size > MOST_BYTES:
            raise _refused(path, "is too large", "name a quote of less than 5 MB")
        rows = [*(_in_csv(path) if ending == ".csv" else _in_spreadsheet(path))]
    except OSError as error:
        raise _refused(path, f"cannot be read, {error.strerror}", "name another file") from error
    except (ValueError, KeyError, zipfile.BadZipFile) as error:
        mend = "save it again as CSV in UTF-8, or as .xlsx"
        raise _refused(path, "cannot be read", mend) from error
    head = [cell.casefold().strip() for cell in rows[0]] if rows else []
    places = [
        next((n for n, cell in enumerate(head) if cell.startswith(name)), None) for name in _COLUMNS
    ]
    item, order, price = places
    if item is None or order is None or price is None:
        wrong = "has no line of heads with item, order and price"
        raise _refused(path, wrong, 'begin with what "pikepole buy --for" writes')
    return [
        QuoteLine(line, *(_cell(row, place) for place in (item, order, price)))
        for line, row in enumerate(rows[1:], start=2)
        if any(cell.strip() for cell in row)
    ]


def _in_csv(path: Path) -> Iterator[list[str]]:
    """Lines of cells, with the comma or the semicolon that its first line has more of."""
    text = path.read_text(encoding="utf-8-sig")
    first = text.partition("\n")[0]
    delimiter = ";" if first.count(";") > first.count(",") else ","
    yield from csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)


def _in_spreadsheet(path: Path) -> Iterator[list[str]]:
    """Lines of cells of its first sheet."""
    from openpyxl import load_workbook

    book = load_workbook(path, read_only=True, data_only=True)
    try:
        for row in book.worksheets[0].iter_rows(values_only=True):
            yield ["" if cell is None else str(cell) for cell in row]
    finally:
        book.close()


def _cell(row: Sequence[str], place: int) -> str:
    return row[place].strip() if place < len(row) else ""


def _refused(path: Path, wrong: str, mend: str) -> QuoteError:
    return QuoteError([Problem(str(path), "", wrong, mend)])

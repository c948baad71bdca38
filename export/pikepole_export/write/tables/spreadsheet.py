"""All tables as one spreadsheet, a list to a sheet.

    write_spreadsheet(tables, units, folder)    lists.xlsx

Numbers are numbers, in the scene's units; text is text, whatever it begins with.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from pikepole_export.files.whole import put
from pikepole_export.write.tables.columns import Cell
from pikepole_export.write.tables.csv_json import Table
from pikepole_model.units import Units

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

NAME = "lists.xlsx"
# The same scene gives the same bytes, so none says when.
_CREATED = datetime(2000, 1, 1)
# Most that a cell holds in the common spreadsheet programs; from memory.
_MOST_LETTERS = 32_767
_WIDEST_PX, _HIGHEST_PX = 420, 540  # longer texts are broken into lines
_LINE_PX, _PADDING_PX = 20, 18
_ADDED_PX = 7  # what the library adds to the width of a text
_OTHER_FONTS = 1.15  # where the one that widths are reckoned for is missing
_PAPER: dict[Units, int] = {"imperial": 1, "metric": 9}  # Letter, A4 (ECMA-376 part 1, 18.3.1.63)


def write_spreadsheet(
    tables: Iterable[Table], units: Units, folder: Path, name: str = NAME
) -> Path:
    """Write every list on a sheet of its own, in the order given.

    Args:
        tables: What to write; none without a list.
        units: Say which paper it is printed on.
        folder: Where to, a folder that is there.
        name: Of the file.

    Raises:
        OutputError: the file could not be written whole.
    """
    from xlsxwriter import Workbook

    data = io.BytesIO()
    with Workbook(data, {"in_memory": True}) as book:
        book.set_properties({"created": _CREATED})
        head = book.add_format(
            {"bold": True, "text_wrap": True, "valign": "top", "indent": 1, "bottom": 1}
        )
        body = book.add_format({"text_wrap": True, "valign": "top", "indent": 1})
        for table in tables:
            for title, lines in table.people.items():
                sheet = book.add_worksheet(title)
                _fill(sheet, lines, f"{table.name}.csv", head, body)
                sheet.freeze_panes(1, 0)
                sheet.repeat_rows(0)
                sheet.set_landscape()
                sheet.set_paper(_PAPER[units])
                sheet.fit_to_pages(1, 0)
    return put(folder / name, data.getvalue())


def _fill(
    sheet: Worksheet, lines: Sequence[Sequence[Cell]], file: str, head: Format, body: Format
) -> None:
    """The cells of a list, each column and each row as large as its texts want."""
    texts = [[_held(str(cell), file) for cell in line] for line in lines]
    wide_px = [
        min(_WIDEST_PX, max(map(_width_px, column)) + _PADDING_PX)
        for column in zip(*texts, strict=True)
    ]
    for column, px in enumerate(wide_px):
        sheet.set_column_pixels(column, column, px)
    for row, (line, words) in enumerate(zip(lines, texts, strict=True)):
        look = body if row else head
        count = max(map(_line_count, words, wide_px))
        sheet.set_row_pixels(row, min(_LINE_PX * count, _HIGHEST_PX))
        for column, (cell, text) in enumerate(zip(line, words, strict=True)):
            if text == "":
                sheet.write_blank(row, column, None, look)
            elif isinstance(cell, str):
                sheet.write_string(row, column, text, look)
            else:
                sheet.write_number(row, column, cell, look)


def _held(text: str, file: str) -> str:
    """A text that a cell holds; where it is too long, with where the rest is."""
    rest = f" ... the rest is in {file}"
    return text if len(text) <= _MOST_LETTERS else text[: _MOST_LETTERS - len(rest)] + rest


@cache
def _width_px(text: str) -> int:
    from xlsxwriter.utility import cell_autofit_width

    return round((cell_autofit_width(text) - _ADDED_PX) * _OTHER_FONTS) if text else 0


def _line_count(text: str, wide_px: int) -> int:
    """How many lines a text takes in a cell so wide, broken between words."""
    count, used = 1, 0
    for word in text.split(" "):
        px = _width_px(word)
        if used and used + px > wide_px - _PADDING_PX:
            count, used = count + 1, 0
        used += px + _width_px(" ")
    return count

"""How wide the columns of a table are, so that it comes out short.

widths_mm(table, room_mm) -> a width for each column

Columns that wrap share what the others leave: of widths at which many of their cells are not
wrapped those that come out shortest, and from there on from one to another while that saves lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import permutations, product

from pikepole_export.graphics.lettering import NO_BREAK, width_px
from pikepole_export.write.book.blocks import MAY_BREAK, Cell, Table, printable

# As the layout sets tables: lettering of 8 points, and what is beside it in a cell.
LETTERS_MM, BESIDE_MM = 8 * 25.4 / 72, 2.4
BOX_MM, PAGE = 3.0, "000"  # a box to tick, and the number of a page
_MOVED_MM = (12.0, 6.0, 3.0, 1.0)
_UNWRAPPED = (0.5, 0.75, 0.9, 1.0)  # of the cells of a column
_TO_SPARE_MM = 0.3  # two libraries measure the same lettering
_MEASURED_PX = 100


def wide_mm(words: str, *, bold: bool = False) -> float:
    """How wide words of a table come out, mm."""
    return width_px(words, _MEASURED_PX, bold) * LETTERS_MM / _MEASURED_PX


_SPACE_MM = {bold: wide_mm(" ", bold=bold) for bold in (False, True)}


def widths_mm(table: Table, room_mm: float) -> list[float]:
    """How wide each column is, mm.

    Args:
        table: Any.
        room_mm: For all of it; one strip of a table that is folded.
    """
    columns = [
        _Column([Cell(column.head, bold=True), *(row[k] for row in table.rows)])
        for k, column in enumerate(table.columns)
    ]
    loose = [k for k, column in enumerate(table.columns) if column.wraps]
    widths = {k: column.widest_mm for k, column in enumerate(columns)}
    left_mm = room_mm - sum(mm for k, mm in widths.items() if k not in loose)
    widths |= dict(zip(loose, _shared([columns[k] for k in loose], left_mm), strict=True))
    return list(widths.values())


class _Column:
    """The cells of a column, its head among them."""

    def __init__(self, cells: Sequence[Cell]) -> None:
        self._cells = [(_text(cell), cell.bold) for cell in cells]
        boxes = BOX_MM if any(cell.box for cell in cells) else 0.0
        self.beside_mm = boxes + BESIDE_MM + _TO_SPARE_MM
        self._whole_mm = sorted(
            self.beside_mm + wide_mm(text.replace(MAY_BREAK, ""), bold=bold)
            for text, bold in self._cells
        )
        # Cells that say the same are wrapped once.
        self._words_mm = {
            (text, bold): [wide_mm(word, bold=bold) for word in _words(text)]
            for text, bold in dict.fromkeys(self._cells)
        }
        self.least_mm = self.beside_mm + max(mm for own in self._words_mm.values() for mm in own)
        self.lines = cache(self._lines)

    @property
    def widest_mm(self) -> float:
        """So wide that nothing in it is wrapped."""
        return self._whole_mm[-1]

    @property
    def tried_mm(self) -> list[float]:
        """Its least width, and those that leave more and more of its cells unwrapped."""
        last = len(self._whole_mm) - 1
        some = (self._whole_mm[round(last * part)] for part in _UNWRAPPED)
        return sorted({self.least_mm, *(max(mm, self.least_mm) for mm in some)})

    def _lines(self, wide_mm: float) -> tuple[int, ...]:
        """How many lines each cell takes in a column so wide."""
        room = wide_mm - self.beside_mm
        taken = {
            (text, bold): _line_count(own, _SPACE_MM[bold], room)
            for (text, bold), own in self._words_mm.items()
        }
        return tuple(taken[cell] for cell in self._cells)


def _words(text: str) -> list[str]:
    """What is not broken."""
    return text.replace(MAY_BREAK, " ").split(" ")


def _line_count(words_mm: Sequence[float], space_mm: float, room_mm: float) -> int:
    """How many lines words of such widths take."""
    count, filled = 1, -space_mm
    for mm in words_mm:
        if filled >= 0.0 and filled + space_mm + mm > room_mm:
            count, filled = count + 1, -space_mm
        filled += space_mm + mm
    return count


def _text(cell: Cell) -> str:
    pages = f",{NO_BREAK}".join([PAGE] * len(cell.pages))
    return printable(" ".join(filter(None, (cell.text, pages))))


def _shared(columns: Sequence[_Column], room_mm: float) -> list[float]:
    """What each gets of a room, all of which is given out."""
    if not columns:
        return []

    def lines(widths: Sequence[float]) -> int:
        each = (column.lines(mm) for column, mm in zip(columns, widths, strict=True))
        return sum(map(max, zip(*each, strict=True)))

    tried = (
        _filled(columns, some, room_mm)
        for some in product(*(column.tried_mm for column in columns))
        if sum(some) <= room_mm
    )
    widths = min(tried, key=lines, default=_filled(columns, [c.least_mm for c in columns], room_mm))
    best = lines(widths)
    for step_mm in _MOVED_MM:
        is_better = True
        while is_better:
            is_better = False
            for one, other in permutations(range(len(columns)), 2):
                moved = list(widths)
                moved[one] = round(widths[one] - step_mm, 3)
                moved[other] = round(widths[other] + step_mm, 3)
                if moved[one] >= columns[one].least_mm and (found := lines(moved)) < best:
                    widths, best, is_better = moved, found, True
    return widths


def _filled(columns: Sequence[_Column], widths: Sequence[float], room_mm: float) -> list[float]:
    """What is left of a room given to those that need more, the rest of it to the last of all."""
    filled = list(widths)
    needy = sorted(range(len(columns)), key=lambda k: columns[k].widest_mm - widths[k])
    for done, k in enumerate(needy):
        share = (room_mm - sum(filled)) / (len(needy) - done)
        filled[k] = round(min(filled[k] + share, max(filled[k], columns[k].widest_mm)), 3)
    filled[-1] += room_mm - sum(filled)
    return filled

"""The marks on flat pieces: figures of one, letters and a table of several that share a drawing.

FlatMarks(family, units)
"""

from __future__ import annotations

from string import ascii_lowercase

from pikepole_export.derive.cutting.marks import together
from pikepole_export.derive.measures.families import FlatFamily
from pikepole_export.write.drawings.lengths import LengthTable
from pikepole_model.units import Units, format_length


class FlatMarks:
    """How each mark along the two edges of a blank is told.

    Args:
        family: Flat pieces by their names.
        units: The measures are printed in.
    """

    def __init__(self, family: FlatFamily, units: Units) -> None:
        self._family = family
        self._units: Units = units
        # Slopes have the first letters.
        letters = iter(ascii_lowercase[len(next(iter(family.values())).slopes) :])
        self._columns: dict[tuple[str, ...], str] = {}
        self._words: list[list[str]] = []
        for axis in (0, 1):
            words: list[str] = []
            for each in zip(*(one.marks_mm[axis] for one in family.values()), strict=True):
                told = tuple(self._told(mark) for mark in each)
                if len(set(told)) > 1 and told not in self._columns:
                    self._columns[told] = next(letters)
                words.append(self._columns.get(told, told[0]))
            self._words.append(words)

    def _told(self, mark: float) -> str:
        return format_length(mark, self._units) if mark else "0"

    def along(self, axis: int) -> list[str]:
        """Of each mark its figure, or its letter in the table: along the bottom, or up the left."""
        return self._words[axis]

    def blank(self) -> str:
        """Width and length of the blank, the length along the sheet's."""
        wide, high = (words[-1] for words in self._words)
        first = next(iter(self._family.values()))
        return f"{high} x {wide}" if first.along == "x" else f"{wide} x {high}"

    def table(self) -> LengthTable | None:
        """The letters' figures; None where there is one piece alone."""
        if len(self._family) == 1:
            return None
        return LengthTable(
            ("pattern", "make", *self._columns.values(), "pieces"),
            tuple(
                (
                    *(name, str(len(one.names))),
                    *(told[k] for told in self._columns),
                    "; ".join(together(one.names)),
                )
                for k, (name, one) in enumerate(self._family.items())
            ),
        )

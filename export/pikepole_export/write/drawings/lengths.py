"""The lengths on a pattern: figures of one, letters and a table of several that share a drawing.

Lengths(family, drawn, units)
below(template) -> what is dimensioned under the piece
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_lowercase
from typing import TypeAlias

from pikepole_export.derive.cutting.marks import together
from pikepole_export.derive.measures.families import Family
from pikepole_export.derive.measures.templates import Template
from pikepole_export.write.drawings.cells import ROW_MM
from pikepole_export.write.drawings.cut_words import along
from pikepole_export.write.drawings.svg import Point, Sheet, width_of, wrapped
from pikepole_export.write.drawings.title import SMALL_MM, unbroken
from pikepole_model.units import Units

Span: TypeAlias = tuple[float, float]

GAP_MM = 3.0


@dataclass(frozen=True, slots=True)
class LengthTable:
    """Rows under their heads; the last column takes what is left of the room.

    Attributes:
        heads: What stands over the columns.
        rows: A cell for each column.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    @property
    def wide_mm(self) -> float:
        """How wide it comes out with a line to each row, mm."""
        return self._lefts()[-1] + max(width_of(row[-1], SMALL_MM) for row in self.rows) + 0.5

    def high_mm(self, room: float) -> float:
        """How high it comes out in a room so wide, mm."""
        return ROW_MM * (1 + sum(len(last) for _, last in self._lines(room))) + 2.0

    def put(self, sheet: Sheet, at: Point, room: float) -> None:
        """Write it.

        Args:
            sheet: Where it goes.
            at: The base line of its heads, mm.
            room: How wide it may be, mm.
        """
        lefts = [at[0] + left for left in self._lefts()]
        y = at[1]
        for left, head in zip(lefts, self.heads, strict=True):
            sheet.text(head, (left, y), SMALL_MM, bold=True)
        sheet.line([(at[0], y + 1.0), (at[0] + room, y + 1.0)])
        for first, last in self._lines(room):
            y += ROW_MM
            for left, words in zip(lefts, (*first, last[0]), strict=True):
                sheet.text(words, (left, y), SMALL_MM)
            for more in last[1:]:
                y += ROW_MM
                sheet.text(more, (lefts[-1], y), SMALL_MM)

    def _lefts(self) -> list[float]:
        wide = [
            max(width_of(words, SMALL_MM, bold=True) for words in column) + GAP_MM
            for column in zip(self.heads, *self.rows, strict=True)
        ]
        return [sum(wide[:k]) for k in range(len(wide))]

    def _lines(self, room: float) -> list[tuple[Sequence[str], list[str]]]:
        left = room - self._lefts()[-1]
        return [(row[:-1], wrapped(unbroken(row[-1]), SMALL_MM, left)) for row in self.rows]


class Lengths:
    """How each length along the whole piece is told.

    Args:
        family: Patterns by their names.
        drawn: The one of them that is drawn.
        units: The measures are printed in.
    """

    def __init__(self, family: Family, drawn: Template, units: Units) -> None:
        self.units: Units = units
        self._family = family
        each = [_told(one, units) for one in family.values()]
        letters = iter(ascii_lowercase)
        self._columns: list[tuple[str, tuple[str, ...]]] = []
        self._words: dict[Span, str] = {}
        for k, span in enumerate(_spans(drawn)):
            told = tuple(one[k] for one in each)
            self._words[span] = told[0]
            if len(set(told)) > 1:
                letter = next((name for name, own in self._columns if own == told), "")
                if not letter:
                    letter = next(letters)
                    self._columns.append((letter, told))
                self._words[span] = letter

    def told(self, a: float, b: float) -> str:
        """From one place along the drawing to another: its figure, or its letter in the table."""
        return self._words[a, b]

    def table(self) -> LengthTable | None:
        """The letters' figures; None where there is one pattern alone."""
        if len(self._family) == 1:
            return None
        letters = [letter for letter, _ in self._columns]
        return LengthTable(
            ("pattern", "make", *letters, "pieces"),
            tuple(
                (
                    *(name, str(len(one.names))),
                    *(told[k] for _, told in self._columns),
                    "; ".join(together(one.names)),
                )
                for k, (name, one) in enumerate(self._family.items())
            ),
        )


def below(template: Template) -> list[Span]:
    """What is dimensioned under a piece: its lower edge, and from long point to long point."""
    over_all = (0.0, template.length_mm)
    spans = dict.fromkeys([template.lower_edge, over_all])
    return [(a, b) for a, b in spans if b > a and (a, b) != template.top_edge]


def _spans(template: Template) -> list[Span]:
    """Every length that is told of the whole piece."""
    start = template.marked_from
    marks = [(start, start + mark) for mark in template.marks_mm[1:]]
    return [*marks, template.top_edge, template.lower_edge, (0.0, template.length_mm)]


def _told(template: Template, units: Units) -> list[str]:
    return [along(template, *span, units) for span in _spans(template)]

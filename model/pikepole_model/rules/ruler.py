"""Lengths, and where to change them, as the messages of the rules give them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_model.errors import NOT_YET, KeyPath, Problem, Try, more
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Lumber
from pikepole_model.units import MARK_MM, Rounding, Units, format_length


def walls_height(scene: Scene) -> KeyPath:
    """The key that says how high a scene's walls are, or the posts in their place."""
    key = "low_height" if scene.heights.high_height is None else "high_height"
    return ("posts" if scene.posts else "walls", key)


@dataclass(frozen=True, slots=True)
class Ruler:
    """Lengths in messages, rounded to the side on which the advice holds.

    Attributes:
        units: The system they are given in.
    """

    units: Units

    def at(self, length_mm: float) -> str:
        """A length as it is."""
        return self._text(length_mm, "nearest")

    def at_most(self, length_mm: float) -> str:
        """A limit from above, rounded down."""
        return f"at most {self._text(length_mm, 'down')}"

    def at_least(self, length_mm: float) -> str:
        """A limit from below, rounded up."""
        return f"at least {self._text(length_mm, 'up')}"

    def between(self, low_mm: float, high_mm: float) -> str:
        """The mend for what must lie between two limits, empty where nothing does.

        Limits so near to each other that rounding brings them past one another leave nothing that
        a person could give.
        """
        step = MARK_MM[self.units]
        if (high_mm + TOLERANCE_MM) // step < -((TOLERANCE_MM - low_mm) // step):
            return ""
        return f"give {self.at_least(low_mm)} and {self.at_most(high_mm)}"

    def _text(self, length_mm: float, rounded: Rounding) -> str:
        # A length that could not be read has its own line in the report.
        if math.isnan(length_mm):
            return NOT_YET
        return format_length(length_mm, self.units, rounded)

    def less_than(self, limit_mm: float) -> str:
        """The mend for what must stay under a limit: one mark of a tape less."""
        return f"give {self.at_most(limit_mm - MARK_MM[self.units])}"

    def too_long(
        self, path: KeyPath, length_mm: float, stock: Lumber, *tries: Try, mend: str = ""
    ) -> Iterator[Problem]:
        """A problem where a piece is longer than anything it could be cut from.

        Args:
            path: The key that is most likely wrong.
            length_mm: Of the piece.
            stock: What it is cut from.
            tries: Keys that may mend it.
            mend: How to put it right, where that is known without trying.
        """
        if length_mm > stock.longest_mm + TOLERANCE_MM:
            board_mm = length_mm + 2 * stock.trim_mm - TOLERANCE_MM
            enough = [mm for mm in stock.to_order_mm if mm >= board_mm]
            if enough and not mend:
                mend = f"give cutting.longest {self.at_least(enough[0])}"
            yield Problem.at(
                path,
                f"needs a piece {self.at(length_mm)} long, and the longest {stock.name} is "
                f"{self.at(stock.longest_mm)}",
                mend,
                more("cutting", "longest"),
                *tries,
            )

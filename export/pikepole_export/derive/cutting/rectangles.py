"""Rectangles to be cut from rectangles, and the guillotine layouts that do it.

All in whole ticks, one kerf added to both sides of every piece and every sheet (`nesting` says
why), so that a cut takes no room of its own.

    Rectangles: the pieces wanted and the sheets there are
    Layout: nothing, one piece, or a cut from edge to edge with a layout on either side
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from pikepole_export.derive.cutting.patterns import Counts, Job

Sides: TypeAlias = tuple[int, int]  # along the sheet's width, along its length


@dataclass(frozen=True, slots=True)
class Rectangles:
    """What is to be cut and what from.

    Attributes:
        sides: Of each size of piece, the largest by area first.
        turns: Whether pieces of that size may lie across.
        sheets: Sides of each stock.
        job: The same by area: sizes and rooms in square ticks, demands, costs and limits.
    """

    sides: tuple[Sides, ...]
    turns: tuple[bool, ...]
    sheets: tuple[Sides, ...]
    job: Job

    @classmethod
    def of(
        cls,
        *,
        sides: tuple[Sides, ...],
        turns: tuple[bool, ...],
        demands: Counts,
        sheets: tuple[Sides, ...],
        costs: Counts,
        limits: Counts,
    ) -> Rectangles:
        """Sides, numbers and costs, with their areas worked out."""
        areas = tuple(width * length for width, length in sides)
        rooms = tuple(width * length for width, length in sheets)
        return cls(sides, turns, sheets, Job(areas, demands, rooms, costs, limits))

    def largest(self, sizes: int) -> Rectangles:
        """The same with no more than so many sizes, the first, which are the largest."""
        return Rectangles.of(
            sides=self.sides[:sizes],
            turns=self.turns[:sizes],
            demands=self.job.demands[:sizes],
            sheets=self.sheets,
            costs=self.job.costs,
            limits=self.job.limits,
        )

    def ways(self, size: int) -> Iterator[tuple[int, int, bool]]:
        """The sides of a size as it may lie, and whether it is turned then."""
        width, length = self.sides[size]
        yield width, length, False
        if self.turns[size] and width != length:
            yield length, width, True


@dataclass(frozen=True, slots=True)
class Leaf:
    """One piece at the near corner of its panel; what it leaves is trimmed off."""

    size: int
    turned: bool


@dataclass(frozen=True, slots=True)
class Split:
    """A cut from edge to edge.

    Attributes:
        axis: 0 where it divides the panel's width, 1 where its length.
        at: How much of it the first side takes.
        first: What the first side holds.
        second: What the rest holds.
    """

    axis: int
    at: int
    first: Layout
    second: Layout


Layout: TypeAlias = Leaf | Split | None


def leaves(layout: Layout) -> Iterator[Leaf]:
    """The pieces of a layout, in the order of cutting."""
    if isinstance(layout, Split):
        yield from leaves(layout.first)
        yield from leaves(layout.second)
    elif layout:
        yield layout


def cut_panel(panel: Sides, axis: int, at: int) -> tuple[Sides, Sides]:
    """Sides of the two panels that a cut makes of one."""
    width, length = panel
    if axis == 0:
        return (at, length), (width - at, length)
    return (width, at), (width, length - at)


def tidied(layout: Layout, panel: Sides) -> Layout:
    """The same pieces without cuts that part nothing, what is left over always second."""
    if not isinstance(layout, Split):
        return layout
    sides = cut_panel(panel, layout.axis, layout.at)
    first, second = tidied(layout.first, sides[0]), tidied(layout.second, sides[1])
    if first and second:
        return Split(layout.axis, layout.at, first, second)
    kept, at = (first, layout.at) if first else (second, panel[layout.axis] - layout.at)
    # A piece is trimmed to size wherever it lies, so it needs no cut around it.
    return Split(layout.axis, at, kept, None) if isinstance(kept, Split) else kept

"""Rectangles to be cut from sheets of one size, and the guillotine layouts that do it.

All in whole steps, one kerf added to both sides of every piece and of the sheet (`nesting` says
why), so that a cut takes no room of its own.

    Rectangles: the pieces wanted and the sheet
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
        demands: Pieces wanted of each size, one or more.
        sheet: Sides of a sheet.
    """

    sides: tuple[Sides, ...]
    turns: tuple[bool, ...]
    demands: Counts
    sheet: Sides

    @property
    def areas(self) -> Counts:
        """Of a piece of each size, square steps."""
        return tuple(width * length for width, length in self.sides)

    @property
    def by_area(self) -> Job:
        """The same as a job of areas, in which a sheet costs one."""
        return Job(self.areas, self.demands, (self.sheet[0] * self.sheet[1],), (1,))

    def ways(self, size: int) -> Iterator[tuple[int, int, bool]]:
        """The sides of a size as it may lie, and whether it is turned then."""
        width, length = self.sides[size]
        yield width, length, False
        if self.turns[size] and width != length:
            yield length, width, True

    def counts(self, layout: Layout) -> Counts:
        """Pieces of each size in a layout, no more than are wanted."""
        counts = [0] * len(self.sides)
        for leaf in leaves(layout):
            counts[leaf.size] += 1
        return tuple(map(min, counts, self.demands))


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
    """Sides of the two panels that a cut makes of one.

    Args:
        panel: Width and length, in steps.
        axis: 0 where the cut divides the width, 1 where the length.
        at: How far from the edge.
    """
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

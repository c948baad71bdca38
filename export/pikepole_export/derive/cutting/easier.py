"""The same pieces of a sheet with less to set and to cut: few, long rips and then crosscuts.

    easier(layout, rectangles, trouble) -> layout

The pieces of one sheet are laid on it anew, in several orders: widest first, strips ripped through
and then cut to length; longest first, cut across and then ripped; and as it comes. Of all that hold
them the one with the least trouble stays.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeVar

from pikepole_export.derive.cutting.placing import fill
from pikepole_export.derive.cutting.rectangles import Layout, Rectangles, Sides, leaves, tidied

Trouble = TypeVar("Trouble", float, tuple[float, ...])


def easier(layout: Layout, rectangles: Rectangles, trouble: Callable[[Layout], Trouble]) -> Layout:
    """The layout of the same pieces on a sheet that is the least trouble; the first among equals.

    Args:
        layout: As it was found.
        rectangles: Sides of the pieces and of the sheet.
        trouble: Of cutting a layout.
    """
    return min((layout, *_others(layout, rectangles)), key=trouble)


def _others(layout: Layout, rectangles: Rectangles) -> Iterator[Layout]:
    sizes = [leaf.size for leaf in leaves(layout)]
    if len(sizes) < 2:
        return
    held = sorted(sizes)

    def by_width(size: int) -> Sides:
        width, length = rectangles.sides[size]
        return -width, -length

    def by_length(size: int) -> Sides:
        width, length = rectangles.sides[size]
        return -length, -width

    def by_area(size: int) -> int:
        width, length = by_width(size)
        return -width * length

    def rip(_: Sides) -> int:
        return 0

    def across(_: Sides) -> int:
        return 1

    def shorter(spare: Sides) -> int:
        return int(spare[0] < spare[1])

    def longer(spare: Sides) -> int:
        return int(spare[0] >= spare[1])

    for order in (by_width, by_length, by_area):
        pieces = sorted(sizes, key=order)
        for axis in (rip, across, shorter, longer):
            for rule in (0, 1):
                (found,) = fill(rectangles, pieces, axis, rule, 1)
                if sorted(leaf.size for leaf in leaves(found)) == held:
                    yield tidied(found, rectangles.sheet)

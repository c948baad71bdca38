"""Sheets ripped into strips from end to end, and each strip cut to length: the least to set.

    strip_plan(rectangles) -> list[Layout]

What is equally wide comes out of the same strips, the longest first, each where it leaves least,
and sheet after sheet is filled with strips as well as it can be. Widths that differ by no more than
the saw takes share a strip: that is shaved off, or left where there is room. Such a plan may take a
sheet more than one that cuts up panels as it likes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.cutting.rectangles import Layout, Leaf, Rectangles, Split

MOST_SUMS = 2_000  # of widths, the largest, from which the fullest is found


@dataclass(slots=True)
class _Row:
    """What lies side by side in a strip or on a sheet.

    Attributes:
        across: How wide it is.
        left: How much of it is free.
        parts: How far each part reaches along it, and what it is.
    """

    across: int
    left: int
    parts: list[tuple[int, Layout]]

    def layout(self, axis: int) -> Layout:
        """Its parts one behind the other along an axis."""
        (side, last), *before = reversed(self.parts)
        layout: Layout = Split(axis, side, last, None)
        for at, part in before:
            layout = Split(axis, at, part, layout)
        return layout


def strip_plan(rectangles: Rectangles, kerf: int) -> list[Layout]:
    """Layouts of strips that hold all the pieces.

    Args:
        rectangles: What is to be cut; each piece fits a sheet.
        kerf: Steps.
    """
    width, length = rectangles.sheet
    strips: list[_Row] = []
    ways = [_lies(rectangles, size) for size in range(len(rectangles.sides))]
    waiting = sorted(range(len(ways)), key=lambda size: ways[size], reverse=True)
    while waiting:
        widest = ways[waiting[0]][0]
        alike = [size for size in waiting if ways[size][0] >= widest - kerf]
        waiting = waiting[len(alike) :]
        own: list[_Row] = []
        for size in sorted(alike, key=lambda size: ways[size][::-1], reverse=True):
            for _ in range(rectangles.demands[size]):
                _put(own, ways[size][1], Leaf(size, ways[size][2]), _Row(widest, length, []))
        strips += own
        # The emptiest of them is saved where what it holds fits the ends of others.
        emptiest = max(own, key=lambda row: row.left)
        others = [row for row in strips if row is not emptiest]
        if _all_put(others, emptiest.parts):
            strips = others
    sheets: list[Layout] = []
    while strips:
        chosen = _fullest([strip.across for strip in strips], width)
        parts = [(strips[n].across, strips[n].layout(1)) for n in chosen]
        sheets.append(_Row(length, 0, parts).layout(0))
        strips = [strip for n, strip in enumerate(strips) if n not in chosen]
    return sheets


def _fullest(sides: Sequence[int], room: int) -> tuple[int, ...]:
    """Which of some sides fill a room best, by their places; the first of them among equals."""
    filled: dict[int, tuple[int, ...]] = {0: ()}
    for place, side in enumerate(sides):
        with_it = {
            sum_ + side: (*places, place)
            for sum_, places in filled.items()
            if sum_ + side <= room and sum_ + side not in filled
        }
        filled |= with_it
        if len(filled) > MOST_SUMS:
            filled = {sum_: filled[sum_] for sum_ in sorted(filled, reverse=True)[:MOST_SUMS]}
    return filled[max(filled)]


def _put(rows: list[_Row], side: int, part: Layout, empty: _Row) -> None:
    """A part into the row that it leaves least of, else into an empty one."""
    fits = [row for row in rows if row.left >= side]
    if not fits:
        rows.append(empty)
    row = min(fits, key=lambda row: row.left, default=empty)
    row.left -= side
    row.parts.append((side, part))


def _all_put(rows: Sequence[_Row], parts: Sequence[tuple[int, Layout]]) -> bool:
    """All parts into rows that are there; as it was, if they do not fit."""
    before = [(row.left, len(row.parts)) for row in rows]
    for side, part in parts:
        fits = [row for row in rows if row.left >= side]
        if not fits:
            for row, (left, count) in zip(rows, before, strict=True):
                row.left = left
                del row.parts[count:]
            return False
        row = min(fits, key=lambda row: row.left)
        row.left -= side
        row.parts.append((side, part))
    return True


def _lies(rectangles: Rectangles, size: int) -> tuple[int, int, bool]:
    """How a piece lies: as it is drawn, or turned where that is the only way that it fits."""
    width, length = rectangles.sheet
    return next(way for way in rectangles.ways(size) if way[0] <= width and way[1] <= length)

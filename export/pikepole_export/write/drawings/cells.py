"""Several small drawings on one page, each in a cell with its name, its count and its scale.

    arranged(items, units) -> pages of items in their order, each at its place
    packed(items, units) -> pages of items in any order, as full as they go
    shared_page(places, heading, foot, units) -> Sheet
    celled(size, title, units) -> Sheet, and how far down there is room to draw
    drawn_mm(size, title) -> how far that is

Arranged, cells go in the order that they come in into the first room that holds them, of an
earlier page too: right of a cell, as high as it is, then under it. Packed, those of one height fill
a row as far as they go; then what is right of them is filled, and what is under them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from pikepole_export.derive.cutting.marks import together
from pikepole_export.write.drawings.drafting import MARGIN_MM, PAPER, PAPER_NAMES, TEXT_MM
from pikepole_export.write.drawings.svg import Point, Sheet, Size, width_of, wrapped
from pikepole_export.write.drawings.title import SMALL_MM, Title, scale_bar, unbroken
from pikepole_model.units import Units

HEAD_MM, FOOT_MM = 7.0, 12.0  # over and under the cells
NAME_MM, ROW_MM, PAD_MM = 3.4, 3.5, 2.0
COUNT_MM = 24.0  # beside the name
BAR_MM, BESIDE_MM = 6.5, 36.0  # under the words for the scale bar, or beside them
_NEAR_MM, _STEP_MM = 1e-6, 0.05


@dataclass(frozen=True, slots=True)
class Item:
    """A small drawing.

    Attributes:
        name: What it is called.
        size: Of its cell, mm.
        draw: Draws it.
    """

    name: str
    size: Size
    draw: Callable[[], Sheet]


def drawn_item(name: str, sheet: Sheet) -> Item:
    """A small drawing that is drawn already."""
    return Item(name, sheet.size, lambda: sheet)


@dataclass(frozen=True, slots=True)
class Place:
    """A drawing at its place.

    Attributes:
        item: The drawing.
        at: Its upper left corner on the sheet, mm.
    """

    item: Item
    at: Point


def room_of(units: Units) -> Size:
    """Width and height that the cells of a page share, mm."""
    width, height = PAPER[units]
    return width - 2 * MARGIN_MM, height - 2 * MARGIN_MM - HEAD_MM - FOOT_MM


def arranged(items: Iterable[Item], units: Units) -> list[list[Place]]:
    """Page by page, what is on it and where.

    Args:
        items: In order; none larger than a page.
        units: They decide the paper.
    """
    width, height = room_of(units)
    pages: list[list[Place]] = []
    free: list[_Free] = []
    for item in items:
        wide, high = item.size
        room = next((one for one in free if one.holds(item.size)), None)
        if room is None:
            pages.append([])
            room = _Free(len(pages) - 1, 0.0, 0.0, width, height)
            free.append(room)
        at = (MARGIN_MM + room.left, MARGIN_MM + HEAD_MM + room.top)
        pages[room.page].append(Place(item, at))
        k = free.index(room)
        free[k : k + 1] = [
            _Free(room.page, room.left + wide, room.top, room.wide - wide, high),
            _Free(room.page, room.left, room.top + high, room.wide, room.high - high),
        ]
    return pages


def packed(items: Iterable[Item], units: Units) -> list[list[Place]]:
    """Page by page, what is on it and where, the largest of what is left first.

    Args:
        items: Of whatever sizes; none larger than a page.
        units: They decide the paper.
    """
    left = sorted(items, key=lambda item: (-item.size[1], -item.size[0]))
    pages: list[list[Place]] = []
    while left:
        pages.append([*_filled(_Free(len(pages), 0.0, 0.0, *room_of(units)), left)])
    return pages


def _filled(room: _Free, left: list[Item]) -> Iterator[Place]:
    """Fills a room; takes what goes into it off what is left."""
    first = next((one for one in left if room.holds(one.size)), None)
    if first is None:
        return
    high = first.size[1]
    others = [one for one in left if one is not first and abs(one.size[1] - high) < _NEAR_MM]
    at = room.left
    for item in (first, *_widest(others, room.wide - first.size[0])):
        left.remove(item)
        yield Place(item, (MARGIN_MM + at, MARGIN_MM + HEAD_MM + room.top))
        at += item.size[0]
    yield from _filled(_Free(room.page, at, room.top, room.left + room.wide - at, high), left)
    under = _Free(room.page, room.left, room.top + high, room.wide, room.high - high)
    yield from _filled(under, left)


def _widest(items: Sequence[Item], wide: float) -> list[Item]:
    """Those that together fill a width as far as any of them do."""
    found: dict[int, tuple[float, list[Item]]] = {0: (0.0, [])}
    for item in items:
        for filled, some in list(found.values()):
            more = filled + item.size[0]
            if more <= wide + _NEAR_MM:
                found.setdefault(round(more / _STEP_MM), (more, [*some, item]))
    return found[max(found)][1]


@dataclass(frozen=True, slots=True)
class _Free:
    """Room that no cell has yet: its page, its upper left corner, its width and height, mm."""

    page: int
    left: float
    top: float
    wide: float
    high: float

    def holds(self, size: Size) -> bool:
        """Whether a cell goes into it."""
        return size[0] <= self.wide + _NEAR_MM and size[1] <= self.high + _NEAR_MM


def shared_page(places: Sequence[Place], heading: str, foot: str, units: Units) -> Sheet:
    """A page of cells.

    Args:
        places: What is on it.
        heading: Over them.
        foot: What goes for all of them, three lines of it.
        units: They decide the paper.
    """
    width, height = PAPER[units]
    names = ", ".join(together(one.item.name for one in places))
    sheet = Sheet((width, height), f"{heading.split(':')[0]}: {names}")
    sheet.text(heading, (MARGIN_MM, MARGIN_MM + 4.0), TEXT_MM * 1.3, bold=True)
    paper = f"to print on {PAPER_NAMES[units]} at 100 %"
    sheet.text(paper, (width - MARGIN_MM, MARGIN_MM + 4.0), SMALL_MM, anchor="end")
    for one in places:
        sheet.put(one.item.draw(), one.at)
    top = height - MARGIN_MM - FOOT_MM + 4.5
    for k, line in enumerate(wrapped(unbroken(foot), SMALL_MM, width - 2 * MARGIN_MM)):
        sheet.text(line, (MARGIN_MM, top + ROW_MM * k), SMALL_MM)
    return sheet


def drawn_mm(size: Size, title: Title, said: Iterable[str] = ()) -> float:
    """How far down in a cell there is room to draw over its words, mm.

    Args:
        size: Of the cell, mm.
        title: What it says.
        said: What else there is to say.
    """
    rows = _rows(size, title, said)
    bar = 1.0 if _is_beside(rows, size, title) else BAR_MM
    return size[1] - PAD_MM - ROW_MM * len(rows) - bar - NAME_MM - 1.0


def is_named(size: Size, name: str) -> bool:
    """Whether a cell has room for a name that can be read."""
    return _name_mm(size, name) >= SMALL_MM


def _name_mm(size: Size, name: str) -> float:
    return min(NAME_MM, NAME_MM * (size[0] - COUNT_MM) / width_of(name, NAME_MM, bold=True))


def _is_beside(rows: Sequence[str], size: Size, title: Title) -> bool:
    """Whether the scale bar has room behind the last line."""
    return width_of(rows[-1], SMALL_MM) + _bar_mm(title) <= size[0] - 2 * PAD_MM


def _bar_mm(title: Title) -> float:
    """What the scale and its bar take of a line, whichever scale it is in the end."""
    return width_of(re.sub(r"\d+", "100", title.scales), SMALL_MM) + BESIDE_MM


def _rows(size: Size, title: Title, said: Iterable[str]) -> list[str]:
    lines = ["; ".join(together(title.names)), *title.lines, *said]
    room = size[0] - 2 * PAD_MM
    return [row for line in lines for row in wrapped(unbroken(line), SMALL_MM, room)]


def shared_stem(names: Sequence[str]) -> str:
    """What several patterns together are called: after the first, and how many more there are."""
    return names[0] if len(names) == 1 else f"{names[0]}-and-{len(names) - 1}-more"


def celled(size: Size, title: Title, units: Units, said: Iterable[str] = ()) -> tuple[Sheet, float]:
    """An empty cell with its words, and how far down there is room to draw, mm.

    Args:
        size: Of the cell, mm.
        title: What it says.
        units: Of its scale bar.
        said: What else there is to say.
    """
    width, height = size
    sheet = Sheet(size, title.name)
    rows, room = _rows(size, title, said), drawn_mm(size, title, said)
    corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height), (0.0, 0.0)]
    sheet.line(corners)
    y = room + 1.0 + NAME_MM
    name_mm = _name_mm(size, title.name)
    sheet.text(title.name, (PAD_MM, y), name_mm, bold=True)
    sheet.text(title.count, (width - PAD_MM, y), TEXT_MM, anchor="end", bold=True)
    for k, row in enumerate(rows):
        sheet.text(row, (PAD_MM, y + 1.0 + ROW_MM * (k + 1)), SMALL_MM)
    bar = height - PAD_MM - 1.8
    left = width - PAD_MM - _bar_mm(title) if _is_beside(rows, size, title) else PAD_MM
    sheet.text(title.scales, (left, bar + 1.6), SMALL_MM)
    start = left + width_of(title.scales, SMALL_MM) + 3.0
    scale_bar(sheet, (start, bar), title.scale, units, least_mm=10.0)
    return sheet, room

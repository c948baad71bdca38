"""Where the words of a lift card stand, outside its picture.

text_layout(words) -> TextLayout         the words, and the room that is left for the picture

+------------------------------------------------+
| name, verdict                                  |
+-----------------------------+------------------+
|                             | weight, size     |
|   pictures, step by step    | how              |
|                             | other ways       |
+-----------------------------+ take care        |
| what has no room beside     |                  |
+-----------------------------+------------------+
| what goes for every lift                       |
+------------------------------------------------+
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from itertools import product

from pikepole_export.graphics.lettering import shortened, width_px, wrapped
from pikepole_export.graphics.page import WIDTH_PX
from pikepole_export.write.cards.labels import Box
from pikepole_export.write.cards.sizes import HEADER_PX, HEIGHT_PX, PANEL_PX
from pikepole_export.write.cards.words import Block, CardWords

SIDE_PX = 36
GAP_PX = 24
VIEW_LEAST_PX = 740  # of the pictures' height

# Printed 6.5 in wide, 27 of 1600 pixels are 7.9 points.
BODY_PX = 27
LEAST_PX = 14  # however much there is to say
FOOT_PX = 24  # of what goes for every lift
NAME_PX = 42
VERDICT_PX = 31
VERDICT_LINES = 2
LINE = 1.24  # of a line, by the size of its letters

INK = (20, 20, 20)
QUIET = (90, 90, 90)


@dataclass(frozen=True, slots=True)
class TextBox:
    """A line of text, and the room it takes.

    Attributes:
        text: One line.
        box: Its room on the page, px.
        size: Of its letters, px.
        bold: Whether it is.
        ink: Red, green, blue.
    """

    text: str
    box: Box
    size: int
    bold: bool = False
    ink: tuple[int, int, int] = INK


@dataclass(frozen=True, slots=True)
class TextLayout:
    """Every line outside the picture, and where the picture is.

    Attributes:
        texts: The lines.
        view: The room for the pictures.
        foot: Where what goes for every lift begins, px from the top.
    """

    texts: tuple[TextBox, ...]
    view: Box
    foot: float


def text_layout(words: CardWords) -> TextLayout:
    """Lay out all that stands outside the picture, as large as there is room for it.

    What to take care of at this lift stands beside the picture, what has no room there below it.
    """
    header = _header(words)
    foot, bottom = _upward(
        " ".join(words.always), FOOT_PX, WIDTH_PX - 2 * SIDE_PX, HEIGHT_PX, QUIET
    )
    sizes = range(BODY_PX, LEAST_PX - 1, -1)
    column: list[TextBox] = []
    strip: list[TextBox] = []
    top = 0.0
    for size, beside in product(sizes, range(len(words.cautions), -1, -1)):
        care = (Block("Take care", words.cautions[:beside]),) if beside else ()
        column = list(_column((*words.blocks, *care), size))
        below = " ".join(words.cautions[beside:])
        strip, top = _upward(below, size, PANEL_PX - 2 * GAP_PX - SIDE_PX, bottom, INK)
        fits = column[-1].box.bottom <= bottom - GAP_PX / 2
        if fits and top - HEADER_PX >= VIEW_LEAST_PX:
            break
    view = Box(0, HEADER_PX, PANEL_PX - GAP_PX, max(top, HEADER_PX + 1.0))
    return TextLayout((*header, *column, *strip, *foot), view, bottom)


def _header(words: CardWords) -> list[TextBox]:
    room = WIDTH_PX - 2 * SIDE_PX
    over = _cut(words.over, BODY_PX, False, room * 0.45)
    wide = width_px(over, BODY_PX)
    name = _cut(words.name, NAME_PX, True, room - wide - GAP_PX)
    size = VERDICT_PX
    while size > BODY_PX and width_px(words.verdict, size, True) > room:
        size -= 1
    verdict = _wrapped(words.verdict, size, True, room)
    # One line below the name, or two that begin higher up.
    up = 0.0 if len(verdict) == 1 else 14.0
    return [
        text_box(name, SIDE_PX, 18 - up, NAME_PX, bold=True),
        text_box(over, WIDTH_PX - SIDE_PX - wide, 32 - up, BODY_PX, ink=QUIET),
        *(
            text_box(line, SIDE_PX, 76 - up + row * size * LINE, size, bold=True)
            for row, line in enumerate(verdict[:VERDICT_LINES])
        ),
    ]


def _column(blocks: Iterable[Block], size: int) -> Iterable[TextBox]:
    """What stands beside the picture."""
    top = float(HEADER_PX + 8)
    for block in blocks:
        lines, top = _block(block, PANEL_PX, top, WIDTH_PX - SIDE_PX - PANEL_PX, size)
        yield from lines
        top += size * 0.5


def _block(
    block: Block, left: float, top: float, room: float, size: int
) -> tuple[list[TextBox], float]:
    """A heading and its paragraphs, and where they end."""
    lines: list[TextBox] = []
    for text in _wrapped(block.head, size, True, room):
        lines.append(text_box(text, left, top, size, bold=True))
        top += size * LINE
    # As wide as the largest number, and a little.
    last = width_px(str(len(block.items)), size)
    indent = last + size * 0.6 if block.numbered else 0.0
    for number, item in enumerate(block.items, start=1):
        if block.numbered:
            lines.append(text_box(f"{number}", left, top, size))
        for text in _wrapped(item, size, False, room - indent):
            lines.append(text_box(text, left + indent, top, size))
            top += size * LINE
    return lines, top


def _upward(
    text: str, size: int, room: float, bottom: float, ink: tuple[int, int, int]
) -> tuple[list[TextBox], float]:
    """Lines that end at a height of the page, and where they begin; nothing for no text."""
    lines = _wrapped(text, size, False, room)
    if not lines:
        return [], bottom
    top = bottom - GAP_PX / 2 - len(lines) * size * LINE
    texts = [
        text_box(line, SIDE_PX, top + row * size * LINE, size, ink=ink)
        for row, line in enumerate(lines)
    ]
    return texts, top - GAP_PX / 2


def text_box(
    text: str,
    left: float,
    top: float,
    size: int,
    *,
    bold: bool = False,
    ink: tuple[int, int, int] = INK,
) -> TextBox:
    """A line of text whose upper left corner is given.

    Args:
        text: One line.
        left: Of its corner, px.
        top: Of its corner, px.
        size: Of its letters, px.
        bold: Whether it is.
        ink: Red, green, blue, 0 to 255.
    """
    wide = width_px(text, size, bold)
    return TextBox(text, Box(left, top, left + wide, top + size * 1.2), size, bold, ink)


def _wrapped(text: str, size: int, bold: bool, room: float) -> list[str]:
    """Lines that have room; a word that is too long is cut."""
    width = partial(width_px, size=size, bold=bold)
    return [shortened(line, room, width) for line in wrapped(text, room, width)]


def _cut(text: str, size: int, bold: bool, room: float) -> str:
    return shortened(text, room, partial(width_px, size=size, bold=bold))

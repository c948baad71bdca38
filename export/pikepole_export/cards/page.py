"""How a lift card is laid out: where every word stands, and every mark over the picture.

text_layout(words) -> TextLayout         the words, and the room that is left for the picture
page_layout(scene, layout) -> Page       the picture's eye, the marks and labels over it

+------------------------------------------------+
| name, verdict                                  |
+-----------------------------+------------------+
|                             | weight, size     |
|   picture                   | how              |
|                             | other ways       |
+-----------------------------+ wind             |
| cautions                    |                  |
+-----------------------------+------------------+
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from pikepole_export.cards.labels import (
    ON_FIGURE,
    ON_LABEL,
    ON_PIECE,
    ON_SYMBOL,
    Box,
    Label,
    Obstacle,
    nearest,
    place_labels,
)
from pikepole_export.cards.scene import Act, CardScene
from pikepole_export.cards.words import Block, CardWords
from pikepole_export.write import _sheet
from pikepole_export.write._lettering import font_of
from pikepole_model.placement import Points

WIDTH_PX, HEIGHT_PX = _sheet.WIDTH_PX, _sheet.HEIGHT_PX
SIDE_PX = 36
PANEL_PX = 1004  # left edge of what stands beside the picture
HEADER_PX = 128
GAP_PX = 24

# Printed 6.5 in wide, 1600 pixels make 26 of them 7.6 points.
BODY_PX = 26
LEAST_PX = 22  # where there is very much to say
NAME_PX = 42
VERDICT_PX = 31
LABEL_PX = 26
LINE = 1.24  # of a line, by the size of its letters

INK = (20, 20, 20)
QUIET = (90, 90, 90)

KEY = "Pale: at the start.  Dark: in place.  Dots: hands, slings."

MARGIN_PX = 64  # of the picture, round what has to be seen
LEAST_SEEN_MM = 4200.0
ARROW_PX = 88.0
DOT_PX = 7.0
CENTRE_PX = 15.0


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
        view: The room for the picture.
    """

    texts: tuple[TextBox, ...]
    view: Box


@dataclass(frozen=True, slots=True)
class Page:
    """A card, ready to be drawn.

    Attributes:
        texts: Every line of text, those of the labels included.
        labels: The boxes behind the labels, each with the line to what it belongs to.
        marks: What is drawn over the picture: its act, and its points on the page.
        view: The picture's room.
        scale: Pixels to the millimetre.
        shift: Of the building's origin on the picture, from its lower left corner, px.
    """

    texts: tuple[TextBox, ...]
    labels: tuple[tuple[Box, tuple[float, float], tuple[float, float]], ...]
    marks: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    view: Box
    scale: float
    shift: tuple[float, float]

    @property
    def plain(self) -> dict[str, Any]:
        """The same as words and numbers, for the process that draws."""
        return asdict(self)


def text_layout(words: CardWords) -> TextLayout:
    """Lay out all that stands outside the picture, as large as there is room for it."""
    header = _header(words)
    for size in range(BODY_PX, LEAST_PX - 1, -1):
        column = list(_column(words.blocks, size))
        strip, top = _strip(words.cautions, size)
        if not column or column[-1].box.bottom <= HEIGHT_PX - GAP_PX:
            break
    # What has no room even so goes below the picture, beside the cautions: nothing is left out.
    else:
        column, strip, top = _overflowing(words, LEAST_PX)
    view = Box(0, HEADER_PX, PANEL_PX - GAP_PX, top)
    return TextLayout((*header, *column, *strip), view)


def _header(words: CardWords) -> list[TextBox]:
    room = WIDTH_PX - 2 * SIDE_PX
    over = _cut(words.over, BODY_PX, False, room * 0.45)
    wide = font_of(BODY_PX).getlength(over)
    name = _cut(words.name, NAME_PX, True, room - wide - GAP_PX)
    size = VERDICT_PX
    while size > LEAST_PX and font_of(size, True).getlength(words.verdict) > room:
        size -= 1
    verdict = _cut(words.verdict, size, True, room)
    return [
        _text(name, SIDE_PX, 18, NAME_PX, bold=True),
        _text(over, WIDTH_PX - SIDE_PX - wide, 32, BODY_PX, ink=QUIET),
        _text(verdict, SIDE_PX, 76, size, bold=True),
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
        lines.append(_text(text, left, top, size, bold=True))
        top += size * LINE
    for number, item in enumerate(block.items, start=1):
        indent = size * 1.2 if block.numbered else 0.0
        if block.numbered:
            lines.append(_text(f"{number}", left, top, size))
        for text in _wrapped(item, size, False, room - indent):
            lines.append(_text(text, left + indent, top, size))
            top += size * LINE
    return lines, top


def _strip(cautions: Sequence[str], size: int) -> tuple[list[TextBox], float]:
    """The cautions, below the picture, and where they begin."""
    if not cautions:
        return [], HEIGHT_PX - GAP_PX
    room = PANEL_PX - GAP_PX - SIDE_PX
    lines = list(_wrapped("Cautions: " + " ".join(cautions), size, False, room))
    top = HEIGHT_PX - GAP_PX - len(lines) * size * LINE
    texts = [_text(text, SIDE_PX, top + row * size * LINE, size) for row, text in enumerate(lines)]
    return texts, top - GAP_PX / 2


def _overflowing(words: CardWords, size: int) -> tuple[list[TextBox], list[TextBox], float]:
    """The last blocks moved below the picture until the rest has room beside it."""
    column: list[TextBox] = []
    for kept in range(len(words.blocks) - 1, 0, -1):
        column = list(_column(words.blocks[:kept], size))
        moved = [f"{block.head}: {'; '.join(block.items)}." for block in words.blocks[kept:]]
        strip, top = _strip((*words.cautions, *moved), size)
        if column[-1].box.bottom <= HEIGHT_PX - GAP_PX:
            return column, strip, top
    return column, *_strip(words.cautions, size)


def _text(
    text: str,
    left: float,
    top: float,
    size: int,
    *,
    bold: bool = False,
    ink: tuple[int, int, int] = INK,
) -> TextBox:
    wide = font_of(size, bold).getlength(text)
    return TextBox(text, Box(left, top, left + wide, top + size * 1.2), size, bold, ink)


def _wrapped(text: str, size: int, bold: bool, room: float) -> Iterable[str]:
    """Lines that have room; a word that is too long is cut."""
    font = font_of(size, bold)
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}" if line else word
        if font.getlength(longer) <= room:
            line = longer
            continue
        if line:
            yield line
        line = _cut(word, size, bold, room)
    if line:
        yield line


def _cut(text: str, size: int, bold: bool, room: float) -> str:
    font = font_of(size, bold)
    if font.getlength(text) <= room:
        return text
    while text and font.getlength(f"{text}...") > room:
        text = text[:-1]
    return f"{text.rstrip()}..."


def page_layout(scene: CardScene, layout: TextLayout) -> Page:
    """Fit the picture into its room and put the marks and labels over it."""
    view = layout.view
    scale, shift = _fit(scene, view)

    def place(points: Points) -> Points:
        flat = np.atleast_2d(points) @ scene.axes[:2].T * scale + np.array(shift)
        return np.column_stack([view.left + flat[:, 0], view.bottom - flat[:, 1]])

    marks: list[tuple[str, tuple[tuple[float, float], ...]]] = []
    labels: list[Label] = []
    said: list[tuple[tuple[str, ...], bool]] = []
    obstacles = _obstacles(scene, place, scale)
    key = _text(KEY, SIDE_PX, view.bottom - LEAST_PX * 1.2 - 8, LEAST_PX, ink=QUIET)
    obstacles.append(Obstacle(key.box.grown(4.0), ON_LABEL))
    for mark in scene.marks:
        spots = [_pair(place(mark.at)[0])]
        if mark.act in (Act.LIFT, Act.PUSH, Act.WEIGHT):
            assert mark.to is not None
            spots.append(_tip(scene, spots[0], mark.to))
        elif mark.to is not None:
            spots.append(_pair(place(mark.to)[0]))
        if mark.act != Act.NOTE:
            marks.append((mark.act.value, tuple(spots)))
            obstacles += [Obstacle(box, ON_SYMBOL) for box in _covered(mark.act, spots)]
        if mark.lines:
            lines = mark.lines
            bold = mark.act not in (Act.NOTE, Act.TAG)
            font = font_of(LABEL_PX, bold)
            wide = max(font.getlength(line) for line in lines) + 14
            labels.append(Label(_point_at(mark.act, spots), wide, len(lines) * LABEL_PX * LINE + 8))
            said.append((lines, bold))
    area = view.grown(-8.0)
    area = Box(max(area.left, SIDE_PX / 2), area.top, area.right, area.bottom)
    boxes = place_labels(labels, obstacles, area)
    texts = [*layout.texts, key]
    behind: list[tuple[Box, tuple[float, float], tuple[float, float]]] = []
    for label, box, (lines, bold) in zip(labels, boxes, said, strict=True):
        behind.append((box, label.at, nearest(box, label.at)))
        for row, line in enumerate(lines):
            top = box.top + 2 + row * LABEL_PX * LINE
            texts.append(_text(line, box.left + 7, top, LABEL_PX, bold=bold))
    return Page(tuple(texts), tuple(behind), tuple(marks), view, scale, shift)


def _pair(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _tip(scene: CardScene, at: tuple[float, float], way: Points) -> tuple[float, float]:
    """Where an arrow ends: as long on the page whatever the force, its value is written by it."""
    flat = scene.axes[:2] @ way
    flat = flat / max(float(np.linalg.norm(flat)), 1e-6) * ARROW_PX
    return at[0] + float(flat[0]), at[1] - float(flat[1])


def _point_at(act: Act, spots: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """What a label's line goes to."""
    if act in (Act.SLING, Act.TAG):
        (x0, y0), (x1, y1) = spots
        return ((x0 + x1) / 2, (y0 + y1) / 2)
    if len(spots) == 2:
        (x0, y0), (x1, y1) = spots
        return (x0 + (x1 - x0) * 0.8, y0 + (y1 - y0) * 0.8)
    return spots[0]


def _covered(act: Act, spots: Sequence[tuple[float, float]]) -> list[Box]:
    """What a mark covers, as small boxes along it."""
    half = CENTRE_PX + 3 if act == Act.CENTRE else 10.0
    if len(spots) == 1:
        return [Box(*spots[0], *spots[0]).grown(half)]
    (x0, y0), (x1, y1) = spots
    steps = max(2, int(np.hypot(x1 - x0, y1 - y0) / 14))
    shares = [i / steps for i in range(steps + 1)]
    return [
        Box(x0 + (x1 - x0) * s, y0 + (y1 - y0) * s, x0 + (x1 - x0) * s, y0 + (y1 - y0) * s).grown(8)
        for s in shares
    ]


def _obstacles(scene: CardScene, place: Any, scale: float) -> list[Obstacle]:
    """The figures, and the load along its length."""
    found: list[Obstacle] = []
    for foot in scene.people:
        x, low = _pair(place(foot)[0])
        _, high = _pair(place(foot + np.array([0.0, 0.0, _sheet.FIGURE_MM]))[0])
        half = _sheet.FIGURE_HALF_WIDTH_MM * scale
        found.append(Obstacle(Box(x - half, high, x + half, low), ON_FIGURE))
    for points in scene.loads:
        low, high = points.min(axis=0), points.max(axis=0)
        middle = points.mean(axis=0)
        # Along its longest way, as boxes a hand's breadth wide.
        _, _, ways = np.linalg.svd(points - middle, full_matrices=False)
        along = (points - middle) @ ways[0]
        for share in np.linspace(float(along.min()), float(along.max()), 24):
            near = points[np.abs((points - middle) @ ways[0] - share) < 400.0]
            across = (near - middle) @ ways[1] if len(near) else np.zeros(1)
            for aside in np.linspace(float(across.min()), float(across.max()), 4):
                x, y = _pair(place(middle + ways[0] * share + ways[1] * aside)[0])
                found.append(Obstacle(Box(x, y, x, y).grown(13.0), ON_PIECE))
        del low, high
    return found


def _fit(scene: CardScene, view: Box) -> tuple[float, tuple[float, float]]:
    """Scale and shift that show the load, the people and the arrows as large as they go."""
    heads = scene.people + np.array([0.0, 0.0, _sheet.FIGURE_MM])
    spots = [mark.at for mark in scene.marks]
    spots += [m.to for m in scene.marks if m.to is not None and m.act in (Act.SLING, Act.TAG)]
    points = np.concatenate([*scene.loads, scene.people, heads, np.array(spots)])
    flat = points @ scene.axes[:2].T
    low, high = flat.min(axis=0), flat.max(axis=0)
    wide, tall = view.right - view.left, view.bottom - view.top
    # Arrows point up from what is highest, and the key stands below.
    above, below = ARROW_PX + GAP_PX, MARGIN_PX
    size = np.maximum(high - low, [LEAST_SEEN_MM, LEAST_SEEN_MM * 0.6])
    scale = float(min((wide - 2 * MARGIN_PX) / size[0], (tall - above - below) / size[1]))
    middle = (low + high) / 2 * scale
    return scale, (
        float(wide / 2 - middle[0]),
        float((tall - above + below) / 2 - middle[1]),
    )

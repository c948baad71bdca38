"""How the pictures of a card are laid out: their cameras, every mark and label over them.

page_layout(scene, layout) -> Page
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from typing import Any, TypeAlias

import numpy as np

from pikepole_export.graphics.figure import FIGURE_HALF_WIDTH_MM, FIGURE_MM
from pikepole_export.graphics.lettering import width_px
from pikepole_export.write.cards.labels import (
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
from pikepole_export.write.cards.marks import LINES, Symbol
from pikepole_export.write.cards.scene import CardScene, Panel
from pikepole_export.write.cards.texts import (
    GAP_PX,
    LINE,
    QUIET,
    SIDE_PX,
    TextBox,
    TextLayout,
    text_box,
)
from pikepole_model.geometry.placement import Points

Place: TypeAlias = Callable[[Points], Points]  # (n, 3) of the building to (n, 2) of the page

LABEL_PX = 24
KEY_PX = 24
LABEL_ROOM_PX = 34  # round a label in its picture
NUMBER_PX = 34  # of a step's number
# The labels of these first, where they fit best; the others where there is room left.
FIRST = (
    Symbol.LIFT,
    Symbol.PUSH,
    Symbol.WEIGHT,
    Symbol.SIZE,
    Symbol.SLING,
    Symbol.TAG,
    Symbol.NOTE,
    Symbol.HAND,
    Symbol.CENTRE,
)

MARGIN_PX = 30  # of a picture, round what has to be seen
LEAST_SEEN_MM = 3000.0
ARROW_PX = 62.0
CENTRE_PX = 15.0

Marks: TypeAlias = tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
Labels: TypeAlias = tuple[tuple[Box, tuple[float, float], tuple[float, float]], ...]


@dataclass(frozen=True, slots=True)
class PanelPage:
    """One picture of a card, ready to be drawn.

    Attributes:
        view: Its room.
        scale: Pixels to the millimetre.
        shift: Of the building's origin on the picture, from its lower left corner, px.
        marks: What is drawn over it: its act, and its points on the page.
        labels: The boxes behind the labels, each with the line to what it belongs to.
    """

    view: Box
    scale: float
    shift: tuple[float, float]
    marks: Marks
    labels: Labels


@dataclass(frozen=True, slots=True)
class Page:
    """A card, ready to be drawn.

    Attributes:
        texts: Every line of text, those of the labels included.
        panels: Its pictures, in the order of the steps.
        view: The room of all of them.
        foot: Where what goes for every lift begins, px from the top.
    """

    texts: tuple[TextBox, ...]
    panels: tuple[PanelPage, ...]
    view: Box
    foot: float

    @property
    def plain(self) -> dict[str, Any]:
        """The same as words and numbers, for the process that draws."""
        return asdict(self)


def page_layout(scene: CardScene, layout: TextLayout) -> Page:
    """Fit the pictures into their room and put the marks and labels over them."""
    view = layout.view
    key = text_box(scene.key, SIDE_PX, view.bottom - KEY_PX * 1.2 - 4, KEY_PX, ink=QUIET)
    rooms = _rooms(scene, Box(view.left, view.top, view.right, key.box.top - 4))
    texts = [*layout.texts, key]
    panels: list[PanelPage] = []
    for panel, room in zip(scene.panels, rooms, strict=True):
        page, said = _panel(scene, panel, room)
        panels.append(page)
        texts += said
    return Page(tuple(texts), tuple(panels), view, layout.foot)


def _rooms(scene: CardScene, view: Box) -> list[Box]:
    """A room for each picture, row by row, in the columns in which the smallest is largest.

    None is narrower than its labels.
    """
    count = len(scene.panels)
    widest = max(_widest(panel) for panel in scene.panels)
    best: list[Box] = []
    largest = -1.0
    for columns in range(1, count + 1):
        rows = -(-count // columns)
        wide, high = (view.right - view.left) / columns, (view.bottom - view.top) / rows
        found = [
            Box(
                view.left + wide * (number % columns),
                view.top + high * (number // columns),
                view.left + wide * (number % columns + 1),
                view.top + high * (number // columns + 1),
            )
            for number in range(count)
        ]
        smallest = min(
            _fit(scene, panel, room)[0] for panel, room in zip(scene.panels, found, strict=True)
        )
        if not best or (smallest > largest and wide > widest + LABEL_ROOM_PX):
            best, largest = found, smallest
    return best


def _widest(panel: Panel) -> float:
    """Of the labels of a picture, px."""
    lines = [(line, _is_bold(mark.symbol)) for mark in panel.marks for line in mark.lines]
    lines.append((" ".join(panel.head), True))
    return max(width_px(line, LABEL_PX, bold) for line, bold in lines)


def _is_bold(symbol: Symbol) -> bool:
    return symbol not in (Symbol.NOTE, Symbol.TAG)


def _panel(scene: CardScene, panel: Panel, view: Box) -> tuple[PanelPage, list[TextBox]]:
    """One picture with its marks and labels, and what is written on it."""
    scale, shift = _fit(scene, panel, view)

    def place(points: Points) -> Points:
        flat = np.atleast_2d(points) @ scene.axes[:2].T * scale + np.array(shift)
        return np.column_stack([view.left + flat[:, 0], view.bottom - flat[:, 1]])

    marks: list[tuple[str, tuple[tuple[float, float], ...]]] = []
    labels: list[Label] = []
    said: list[tuple[tuple[str, ...], bool]] = []
    obstacles = _obstacles(panel, place, scale)
    texts, behind = _head(panel, view)
    obstacles += [Obstacle(box, ON_LABEL) for box, _, _ in behind]
    for mark in sorted(panel.marks, key=lambda mark: FIRST.index(mark.symbol)):
        spots = [_pair(place(mark.at)[0])]
        if mark.symbol in (Symbol.LIFT, Symbol.PUSH, Symbol.WEIGHT):
            assert mark.to is not None
            spots.append(_tip(scene, spots[0], mark.to))
        elif mark.to is not None:
            spots.append(_pair(place(mark.to)[0]))
        if mark.symbol != Symbol.NOTE:
            marks.append((mark.symbol.value, tuple(spots)))
            obstacles += [Obstacle(box, ON_SYMBOL) for box in _covered(mark.symbol, spots)]
        if mark.lines:
            lines = mark.lines
            bold = _is_bold(mark.symbol)
            wide = max(width_px(line, LABEL_PX, bold) for line in lines) + 14
            labels.append(
                Label(_point_at(mark.symbol, spots), wide, len(lines) * LABEL_PX * LINE + 8)
            )
            said.append((lines, bold))
    boxes = place_labels(labels, obstacles, view.grown(-8.0))
    for label, box, (lines, bold) in zip(labels, boxes, said, strict=True):
        behind.append((box, label.at, nearest(box, label.at)))
        for row, line in enumerate(lines):
            top = box.top + 2 + row * LABEL_PX * LINE
            texts.append(text_box(line, box.left + 7, top, LABEL_PX, bold=bold))
    return PanelPage(view, scale, shift, tuple(marks), tuple(behind)), texts


def _head(
    panel: Panel, view: Box
) -> tuple[list[TextBox], list[tuple[Box, tuple[float, float], tuple[float, float]]]]:
    """The step's number and its forces in the upper left corner of its picture."""
    if not panel.head:
        return [], []
    number, *lines = panel.head
    left, top = view.left + 18, view.top + 10
    texts = [text_box(number, left, top, NUMBER_PX, bold=True)]
    beside = texts[0].box.right + 14
    texts += [text_box(line, beside, top + 8, LABEL_PX, bold=True) for line in lines]
    box = Box(
        left - 8,
        top - 4,
        max(text.box.right for text in texts) + 8,
        max(text.box.bottom for text in texts) + 4,
    )
    corner = (box.left, box.top)
    return texts, [(box, corner, corner)]


def _pair(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _tip(scene: CardScene, at: tuple[float, float], way: Points) -> tuple[float, float]:
    """Where an arrow ends: as long on the page whatever the force, its value is written by it."""
    flat = scene.axes[:2] @ way
    flat = flat / max(float(np.linalg.norm(flat)), 1e-6) * ARROW_PX
    return at[0] + float(flat[0]), at[1] - float(flat[1])


def _point_at(symbol: Symbol, spots: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """What a label's line goes to."""
    if symbol in LINES:
        (x0, y0), (x1, y1) = spots
        return ((x0 + x1) / 2, (y0 + y1) / 2)
    if len(spots) == 2:
        (x0, y0), (x1, y1) = spots
        return (x0 + (x1 - x0) * 0.8, y0 + (y1 - y0) * 0.8)
    return spots[0]


def _covered(symbol: Symbol, spots: Sequence[tuple[float, float]]) -> list[Box]:
    """What a mark covers, as small boxes along it."""
    half = CENTRE_PX + 3 if symbol == Symbol.CENTRE else 10.0
    if len(spots) == 1:
        return [Box(*spots[0], *spots[0]).grown(half)]
    (x0, y0), (x1, y1) = spots
    steps = max(2, int(np.hypot(x1 - x0, y1 - y0) / 14))
    shares = [i / steps for i in range(steps + 1)]
    return [
        Box(x0 + (x1 - x0) * s, y0 + (y1 - y0) * s, x0 + (x1 - x0) * s, y0 + (y1 - y0) * s).grown(8)
        for s in shares
    ]


def _obstacles(panel: Panel, place: Place, scale: float) -> list[Obstacle]:
    """The figures, and the load along its length."""
    found: list[Obstacle] = []
    for foot in panel.people:
        x, low = _pair(place(foot)[0])
        _, high = _pair(place(foot + np.array([0.0, 0.0, FIGURE_MM]))[0])
        half = FIGURE_HALF_WIDTH_MM * scale
        found.append(Obstacle(Box(x - half, high, x + half, low), ON_FIGURE))
    for points in panel.loads:
        middle = points.mean(axis=0)
        # Along its longest way, as boxes a hand's breadth wide.
        _, _, ways = np.linalg.svd(points - middle, full_matrices=False)
        along = (points - middle) @ ways[0]
        across = (points - middle) @ ways[1]
        spots: list[Points] = []
        for share in np.linspace(float(along.min()), float(along.max()), 24):
            near = across[np.abs(along - share) < 400.0]
            near = near if len(near) else np.zeros(1)
            asides = np.linspace(float(near.min()), float(near.max()), 4)[:, None]
            spots.append(middle + ways[0] * share + ways[1] * asides)
        for x, y in place(np.concatenate(spots)).tolist():
            found.append(Obstacle(Box(x, y, x, y).grown(13.0), ON_PIECE))
    return found


def _fit(scene: CardScene, panel: Panel, view: Box) -> tuple[float, tuple[float, float]]:
    """Scale and shift that show the load, the people and the arrows as large as they go."""
    spots = [mark.at for mark in panel.marks]
    spots += [mark.to for mark in panel.marks if mark.to is not None and mark.symbol in LINES]
    points = np.concatenate([panel.seen, np.array(spots).reshape(-1, 3)])
    flat = points @ scene.axes[:2].T
    low, high = flat.min(axis=0), flat.max(axis=0)
    wide, tall = view.right - view.left, view.bottom - view.top
    size = np.maximum(high - low, [LEAST_SEEN_MM, LEAST_SEEN_MM * 0.6])

    def scale_under(above: float) -> float:
        return float(min((wide - 2 * MARGIN_PX) / size[0], (tall - above - MARGIN_PX) / size[1]))

    # Arrows point up from what is highest; the step's number is above them.
    head = NUMBER_PX * LINE if panel.head else 0.0
    above = ARROW_PX / 2 + GAP_PX / 2 + head
    for mark in panel.marks:
        if mark.to is not None and mark.symbol not in LINES and (scene.axes[:2] @ mark.to)[1] > 0:
            under_mm = high[1] - float((scene.axes[:2] @ mark.at)[1])
            above = max(above, ARROW_PX + head - under_mm * scale_under(ARROW_PX + head))
    scale = scale_under(above)
    middle = (low + high) / 2 * scale
    return scale, (
        float(wide / 2 - middle[0]),
        float((tall - above + MARGIN_PX) / 2 - middle[1]),
    )

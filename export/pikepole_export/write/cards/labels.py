"""Where the labels of a picture go, so that they lie on nothing that has to be seen.

    place_labels(labels, obstacles, area) -> tuple[Box, ...]

Greedy: one label after the other goes to the place that hides least, near what it belongs to. Where
one finds no room but on a symbol, all are placed again with that one first.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pikepole_model.geometry.placement import Points

# Distances of a label from its point, and ways round it.
AWAY_PX = (26.0, 48.0, 76.0, 112.0, 156.0, 210.0, 280.0)
WAYS = 24

# What it costs to lie on a label, on a symbol, on a figure; and to be a pixel further away.
ON_LABEL = 1e6
ON_SYMBOL = 40.0
ON_FIGURE = 2.5
ON_PIECE = 3.0
LONG = 12.0
OVER_SYMBOL = 300.0
TANGLED = 4000.0
CLOSE_PX = 4.0  # from another label, what counts as lying on it


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the page, px; y goes down."""

    left: float
    top: float
    right: float
    bottom: float

    def overlap(self, other: Box) -> float:
        """The area that both cover."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(wide, 0.0) * max(high, 0.0)

    def within(self, other: Box) -> bool:
        """Whether all of it lies in the other."""
        return (
            self.left >= other.left
            and self.top >= other.top
            and self.right <= other.right
            and self.bottom <= other.bottom
        )

    def grown(self, by: float) -> Box:
        """The same with a margin."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)


@dataclass(frozen=True, slots=True)
class Label:
    """A label that looks for its place.

    Attributes:
        at: What it belongs to: x, y, px.
        wide: Of its text, px.
        high: Of its text, px.
    """

    at: tuple[float, float]
    wide: float
    high: float


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something that a label should not lie on.

    Attributes:
        box: Where it is.
        cost: For each pixel that is covered.
    """

    box: Box
    cost: float


def place_labels(
    labels: Sequence[Label], obstacles: Sequence[Obstacle], area: Box
) -> tuple[Box, ...]:
    """A box for each label, in their order.

    Args:
        labels: The most important first.
        obstacles: What is in the picture.
        area: Where they may lie.
    """
    order, best, least = list(range(len(labels))), dict[int, Box](), math.inf
    for _ in labels:
        placed, total, worst = _placed({k: labels[k] for k in order}, obstacles, area)
        if total < least:
            best, least = placed, total
        if worst is None or worst == order[0]:
            break
        order.remove(worst)
        order.insert(0, worst)
    return tuple(best[k] for k in range(len(labels)))


def _placed(
    labels: Mapping[int, Label], obstacles: Sequence[Obstacle], area: Box
) -> tuple[dict[int, Box], float, int | None]:
    """Each label's box, what they all cost, and which lies on most of a symbol; None where none."""
    hidden = _sides([one.box for one in obstacles])
    costs = np.array([one.cost for one in obstacles])
    symbols = hidden[costs == ON_SYMBOL]
    placed: dict[int, Box] = {}
    on_symbols: dict[int, float] = {}
    leaders: list[Points] = []  # from x, y to x, y
    spent = 0.0
    for number, label in labels.items():
        options = [_box(label, away, way, area) for away in AWAY_PX for way in range(WAYS)]
        boxes = _sides(options)
        lines = np.array([(*label.at, *nearest(box, label.at)) for box in options])
        others, drawn = _sides(list(placed.values())), np.array(leaders).reshape(-1, 4)
        total = _overlaps(boxes, hidden) @ costs
        total += LONG * np.hypot(*(lines[:, 2:] - lines[:, :2]).T)
        total += OVER_SYMBOL * _leads_over(lines, symbols).sum(axis=1)
        close = _overlaps(boxes + np.array([-1, -1, 1, 1]) * CLOSE_PX, others) > 0
        total += (close * (ON_LABEL + 100 * _overlaps(boxes, others))).sum(axis=1)
        total += TANGLED * _cross(lines, drawn).sum(axis=1)
        total += TANGLED * _within(lines, others).any(axis=1).sum(axis=1)
        total += TANGLED * _within(drawn, boxes).any(axis=1).sum(axis=0)
        best = int(np.argmin(total))
        spent += float(total[best])
        placed[number] = options[best]
        on_symbols[number] = float(_overlaps(boxes[best : best + 1], symbols).sum())
        leaders.append(lines[best])
    worst = max(on_symbols, key=on_symbols.__getitem__, default=None)
    return placed, spent, worst if worst is not None and on_symbols[worst] > 0.0 else None


def _sides(boxes: Sequence[Box]) -> Points:
    """(n, 4) float: left, top, right, bottom."""
    sides = [(box.left, box.top, box.right, box.bottom) for box in boxes]
    return np.array(sides, dtype=float).reshape(-1, 4)


def _overlaps(boxes: Points, others: Points) -> Points:
    """(n, m) float: the area that each box and each other one both cover."""
    own = boxes[:, None, :]
    wide = np.minimum(own[..., 2], others[:, 2]) - np.maximum(own[..., 0], others[:, 0])
    high = np.minimum(own[..., 3], others[:, 3]) - np.maximum(own[..., 1], others[:, 1])
    return np.maximum(wide, 0.0) * np.maximum(high, 0.0)


def _within(lines: Points, boxes: Points) -> NDArray[np.bool_]:
    """(n, k, m) bool: which of k points along each line lie in which box."""
    share = np.linspace(0.0, 1.0, 16)[:, None]
    start, end = lines[:, None, None, :2], lines[:, None, None, 2:]
    x, y = np.moveaxis(start + (end - start) * share[:, None], -1, 0)
    return (boxes[:, 0] < x) & (x < boxes[:, 2]) & (boxes[:, 1] < y) & (y < boxes[:, 3])


def _leads_over(lines: Points, boxes: Points) -> NDArray[np.bool_]:
    """(n, m) bool: which boxes each line passes through, but those at its beginning."""
    inside = _within(lines, boxes)
    return inside.any(axis=1) & ~inside[:, 0]


def nearest(box: Box, at: tuple[float, float]) -> tuple[float, float]:
    """The point of a box that is nearest to another."""
    return (min(max(at[0], box.left), box.right), min(max(at[1], box.top), box.bottom))


def _box(label: Label, away: float, way: int, area: Box) -> Box:
    """The label's box at a distance from its point, pushed into the area."""
    angle = 2 * math.pi * way / WAYS
    x = label.at[0] + math.cos(angle) * (away + label.wide / 2 * abs(math.cos(angle)))
    y = label.at[1] + math.sin(angle) * (away + label.high / 2 * abs(math.sin(angle)))
    # Beside it rather than over it: the half that looks away.
    left = x - label.wide / 2 + math.cos(angle) * label.wide / 2 * (1 - abs(math.cos(angle)))
    top = y - label.high / 2
    left = min(max(left, area.left), area.right - label.wide)
    top = min(max(top, area.top), area.bottom - label.high)
    return Box(left, top, left + label.wide, top + label.high)


def _cross(lines: Points, others: Points) -> NDArray[np.bool_]:
    """(n, m) bool: whether two straight lines cross."""

    def sides(of: Points, ends: Points) -> Points:
        """On which side of each line an end of each other one lies: (n, m)."""
        start, way = of[:, None, :2], of[:, None, 2:] - of[:, None, :2]
        to = ends[None] - start
        return way[..., 0] * to[..., 1] - way[..., 1] * to[..., 0]

    apart = sides(lines, others[:, :2]) * sides(lines, others[:, 2:]) < 0
    return apart & (sides(others, lines[:, :2]) * sides(others, lines[:, 2:]) < 0).T

"""Where the labels of a picture go, so that they lie on nothing that has to be seen.

    place_labels(labels, obstacles, area) -> tuple[Box, ...]

Greedy: one label after the other goes to the place that hides least, near what it belongs to.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from pikepole_model.geometry.placement import Points

Leader: TypeAlias = tuple[float, float, float, float]  # from x, y to x, y

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
    hidden = np.array([_sides(one.box) for one in obstacles]).reshape(-1, 4)
    costs = np.array([one.cost for one in obstacles])
    symbols = hidden[costs == ON_SYMBOL]
    placed: list[Box] = []
    leaders: list[Leader] = []
    for label in labels:
        options = [_box(label, away, way, area) for away in AWAY_PX for way in range(WAYS)]
        lines: list[Leader] = [(*label.at, *nearest(box, label.at)) for box in options]
        total = _overlaps(options, hidden) @ costs
        total += LONG * np.array([math.dist(line[:2], line[2:]) for line in lines])
        total += OVER_SYMBOL * _crossed(np.array(lines), symbols)
        for number, (box, line) in enumerate(zip(options, lines, strict=True)):
            total[number] += sum(ON_LABEL + 100 * box.overlap(b) for b in placed if _touch(box, b))
            total[number] += TANGLED * sum(_cross(line, other) for other in leaders)
            total[number] += TANGLED * sum(_through(line, other) for other in placed)
            total[number] += TANGLED * sum(_through(other, box) for other in leaders)
        best = int(np.argmin(total))
        placed.append(options[best])
        leaders.append(lines[best])
    return tuple(placed)


def _sides(box: Box) -> tuple[float, float, float, float]:
    return box.left, box.top, box.right, box.bottom


def _overlaps(boxes: Sequence[Box], others: Points) -> Points:
    """(n, m) float: the area that each box and each other one both cover."""
    own = np.array([_sides(box) for box in boxes])[:, None, :]
    wide = np.minimum(own[..., 2], others[:, 2]) - np.maximum(own[..., 0], others[:, 0])
    high = np.minimum(own[..., 3], others[:, 3]) - np.maximum(own[..., 1], others[:, 1])
    return np.maximum(wide, 0.0) * np.maximum(high, 0.0)


def _crossed(lines: Points, boxes: Points) -> Points:
    """(n,) int: how many boxes each line passes through, those at its beginning left out."""
    share = np.linspace(0.0, 1.0, 16)[:, None]
    start, end = lines[:, None, None, :2], lines[:, None, None, 2:]
    x, y = np.moveaxis(start + (end - start) * share[:, None], -1, 0)
    inside = (boxes[:, 0] < x) & (x < boxes[:, 2]) & (boxes[:, 1] < y) & (y < boxes[:, 3])
    return (inside.any(axis=1) & ~inside[:, 0]).sum(axis=1)


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


def _touch(box: Box, other: Box) -> bool:
    return box.grown(4.0).overlap(other) > 0


def _cross(first: Leader, second: Leader) -> bool:
    """Whether two straight lines cross."""

    def side(line: Leader, x: float, y: float) -> float:
        return (line[2] - line[0]) * (y - line[1]) - (line[3] - line[1]) * (x - line[0])

    return (
        side(first, *second[:2]) * side(first, *second[2:]) < 0
        and side(second, *first[:2]) * side(second, *first[2:]) < 0
    )


def _through(line: Leader, box: Box) -> bool:
    """Whether a straight line goes through a box."""
    steps = 12
    return any(
        box.left < line[0] + (line[2] - line[0]) * i / steps < box.right
        and box.top < line[1] + (line[3] - line[1]) * i / steps < box.bottom
        for i in range(steps + 1)
    )

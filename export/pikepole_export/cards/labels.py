"""Where the labels of a picture go, so that they lie on nothing that has to be seen.

    place_labels(labels, obstacles, area) -> tuple[Box, ...]

Greedy: one label after the other goes to the place that hides least, near what it belongs to.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

# Distances of a label from its point, and ways round it.
AWAY_PX = (26.0, 48.0, 76.0, 112.0, 156.0, 210.0, 280.0)
WAYS = 24

# What it costs to lie on a label, on a symbol, on a figure; and to be a pixel further away.
ON_LABEL = 1e6
ON_SYMBOL = 40.0
ON_FIGURE = 4.0
ON_PIECE = 8.0


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
    placed: list[Box] = []
    leaders: list[tuple[float, float, float, float]] = []
    for label in labels:
        options = [_box(label, away, way, area) for away in AWAY_PX for way in range(WAYS)]

        def cost(box: Box, label: Label = label) -> float:
            near = nearest(box, label.at)
            length = math.dist(near, label.at)
            total = length * 12.0
            for obstacle in obstacles:
                total += obstacle.cost * box.overlap(obstacle.box)
            total += sum(ON_LABEL + 100 * box.overlap(b) for b in placed if _touch(box, b))
            leader = (*label.at, *near)
            total += sum(4000.0 for other in leaders if _cross(leader, other))
            total += sum(4000.0 for other in placed if _through(leader, other))
            total += sum(3000.0 for other in leaders if _through(other, box))
            return total

        best = min(options, key=cost)
        placed.append(best)
        leaders.append((*label.at, *nearest(best, label.at)))
    return tuple(placed)


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


def _cross(
    first: tuple[float, float, float, float], second: tuple[float, float, float, float]
) -> bool:
    """Whether two straight lines cross."""

    def side(line: tuple[float, float, float, float], x: float, y: float) -> float:
        return (line[2] - line[0]) * (y - line[1]) - (line[3] - line[1]) * (x - line[0])

    return (
        side(first, *second[:2]) * side(first, *second[2:]) < 0
        and side(second, *first[:2]) * side(second, *first[2:]) < 0
    )


def _through(line: tuple[float, float, float, float], box: Box) -> bool:
    """Whether a straight line goes through a box."""
    steps = 12
    return any(
        box.left < line[0] + (line[2] - line[0]) * i / steps < box.right
        and box.top < line[1] + (line[3] - line[1]) * i / steps < box.bottom
        for i in range(steps + 1)
    )

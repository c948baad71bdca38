"""Where things are on a picture: the eye, the fit, the figure for scale.

A picture is 1600 x 1000 pixels, the building above and the caption in a band below. Lines of sight
are parallel, so equal pieces are drawn equal wherever they stand, and studs can be counted and
compared.

Sheet coordinates are x to the right and y up from the bottom left corner of the drawing area, and
z towards the eye, all in pixels.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.placement import Points

WIDTH_PX = 1600
HEIGHT_PX = 1000
BAND_PX = 174  # the caption, at the foot of the picture
DRAWING_PX = HEIGHT_PX - BAND_PX
MARGIN_PX = 26

FIGURE_MM = 1750.0
FIGURE_HALF_WIDTH_MM = 270.0
FIGURE_TOES_MM = 118.0  # in front of where it stands
FIGURE_CLEAR_MM = 250.0  # from the building, on the sheet
FIGURE_STEP_MM = 250.0
FIGURE_REACH_MM = 6000.0
LABEL_LINE_PX = 34
LABEL_GAP_PX = 12
LABEL_WIDTH_PX = 130


@dataclass(frozen=True, slots=True)
class Sheet:
    """How the building's frame falls on the drawing area.

    Attributes:
        axes: (3, 3) float: unit vectors right, up and towards the eye, in the building's frame.
        scale: Pixels to the millimetre.
        shift: (x, y) of the building's origin on the sheet, px.
        figure_mm: Where the figure stands on the ground, (x, y), mm.
    """

    axes: Points
    scale: float
    shift: tuple[float, float]
    figure_mm: tuple[float, float]

    def place(self, points: Points) -> Points:
        """(n, 3) points of the building, mm, as (n, 3) points of the sheet, px."""
        return points @ self.axes.T * self.scale + np.array([*self.shift, 0.0])

    @property
    def label_px(self) -> tuple[float, float]:
        """Middle of the top of the figure's label, below its toes: (x, y), px."""
        x, y, _ = self.place(np.array([[*self.figure_mm, 0.0]]))[0]
        return float(x), float(y - _toes(self.axes) * self.scale - LABEL_GAP_PX)


def fit(points: Points, axes: Points, label_lines: int) -> Sheet:
    """The sheet that shows all points as large as they go, with the figure beside them.

    Args:
        points: (n, 3) float, every vertex of the finished building, mm.
        axes: (3, 3) float: unit vectors right, up and towards the eye.
        label_lines: Lines of text under the figure.

    Returns:
        The sheet. The figure stands where it costs the building the least size.
    """
    flat = points @ axes[:2].T
    outline = shapely.convex_hull(shapely.LineString(flat))
    feet = _standings(points, axes)
    scale, box_mm, figure = _scale(flat.min(axis=0), flat.max(axis=0)), np.zeros(4), feet[0]
    # The label is a fixed number of pixels, so its size in mm depends on the scale it leads to.
    for _ in range(3):
        figure, box_mm = _best_standing(outline, feet, axes, scale, label_lines)
        scale = _scale(box_mm[:2], box_mm[2:])
    middle = (box_mm[:2] + box_mm[2:]) / 2 * scale
    shift = (WIDTH_PX / 2 - middle[0], DRAWING_PX / 2 - middle[1])
    return Sheet(axes, scale, (float(shift[0]), float(shift[1])), (figure[0], figure[1]))


def figure_at(
    x_mm: float, y_mm: float, axes: Points, *, arms: bool = True
) -> tuple[Points, NDArray[np.int32], Points]:
    """A person 1.75 m tall, facing the eye, standing on the ground.

    Args:
        x_mm: Where.
        y_mm: Where.
        axes: (3, 3) float: unit vectors right, up and towards the eye.
        arms: Hanging; without them, others can be drawn.

    Returns:
        (n, 3) vertices, mm; (m, 3) triangles; (n, 3) unit vectors out of the body at the vertices.
    """
    right = axes[0]
    turn: Points = np.array([right, [-right[1], right[0], 0.0], [0.0, 0.0, 1.0]])
    vertices: list[Points] = []
    triangles: list[NDArray[np.int32]] = []
    start = 0
    for rings in (*_BODY, *(_ARMS if arms else ())):
        solid, facets = _stack(rings)
        vertices.append(solid @ turn + [x_mm, y_mm, 0.0])
        triangles.append(facets + start)
        start += len(solid)
    points, facets = np.concatenate(vertices), np.concatenate(triangles)
    a, b, c = (points[facets[:, i]] for i in range(3))
    across = np.cross(b - a, c - a)
    outward = np.zeros_like(points)
    for corner in range(3):
        np.add.at(outward, facets[:, corner], across)
    return points, facets, outward / np.linalg.norm(outward, axis=1, keepdims=True)


def _toes(axes: Points) -> float:
    """How far the figure's toes reach below its place, on the sheet, mm."""
    return FIGURE_TOES_MM * float(axes[2, 2])


def _scale(low: Points, high: Points) -> float:
    size = high - low
    return float(min((WIDTH_PX - 2 * MARGIN_PX) / size[0], (DRAWING_PX - 2 * MARGIN_PX) / size[1]))


def _standings(points: Points, axes: Points) -> Points:
    """(n, 3) float: places on the ground round the building, on the eye's side of its middle."""
    low = points[:, :2].min(axis=0) - FIGURE_REACH_MM
    high = points[:, :2].max(axis=0) + FIGURE_REACH_MM
    xs, ys = (np.arange(a, b, FIGURE_STEP_MM) for a, b in zip(low, high, strict=True))
    grid = np.stack([*np.meshgrid(xs, ys, indexing="ij"), np.zeros((len(xs), len(ys)))], axis=-1)
    feet = grid.reshape(-1, 3)
    ahead = (feet - [*(low + high) / 2, 0.0])[:, :2] @ axes[2, :2] > 0
    return feet[ahead]


def _best_standing(
    outline: BaseGeometry, feet: Points, axes: Points, scale: float, label_lines: int
) -> tuple[Points, Points]:
    """Where the figure stands, and the box round building, figure and label: (4,) float, mm."""
    left, bottom, right, top = outline.bounds
    half = max(FIGURE_HALF_WIDTH_MM, LABEL_WIDTH_PX / 2 / scale)
    spots = feet @ axes[:2].T
    boxes = np.column_stack(
        [
            spots[:, 0] - half,
            spots[:, 1] - _toes(axes) - (LABEL_GAP_PX + label_lines * LABEL_LINE_PX) / scale,
            spots[:, 0] + half,
            spots[:, 1] + FIGURE_MM * axes[1, 2] + 100.0,
        ]
    )
    low = np.minimum(boxes[:, :2], [left, bottom])
    high = np.maximum(boxes[:, 2:], [right, top])
    sizes = high - low
    scales = np.minimum(
        (WIDTH_PX - 2 * MARGIN_PX) / sizes[:, 0], (DRAWING_PX - 2 * MARGIN_PX) / sizes[:, 1]
    )
    # Clear of the building first, then the largest building; within two percent, the nearest.
    rectangles = shapely.box(*boxes.T)
    away = shapely.distance(outline, rectangles)
    clear = away >= FIGURE_CLEAR_MM
    near = clear & (scales >= 0.98 * scales[clear].max())
    best = int(np.argmin(np.where(near, away, np.inf)))
    return feet[best], np.concatenate([low[best], high[best]])


# The figure: closed stacks of ellipses, each (height, middle to the right, half width, half
# depth), mm. Ours, drawn for this; only its height is to be trusted.
_Rings = tuple[tuple[float, float, float, float], ...]


def _leg(out: float) -> _Rings:
    return (
        (0, out, 44, FIGURE_TOES_MM),
        (35, out, 46, 108),
        (80, out, 42, 66),
        (130, out, 40, 46),
        (330, out, 56, 58),
        (480, out * 0.98, 56, 58),
        (700, out * 0.95, 74, 78),
        (900, out * 0.90, 88, 96),
    )


def _arm(out: float) -> _Rings:
    side = math.copysign(1.0, out)
    return (
        (680, out + 34 * side, 14, 22),
        (720, out + 33 * side, 28, 38),
        (790, out + 30 * side, 33, 42),
        (860, out + 26 * side, 27, 30),
        (1000, out + 18 * side, 38, 40),
        (1180, out + 6 * side, 42, 46),
        (1340, out - 4 * side, 48, 54),
        (1410, out - 22 * side, 42, 52),
        (1440, out - 52 * side, 20, 34),
    )


_BODY: tuple[_Rings, ...] = (
    _leg(-88),
    _leg(88),
    (
        (884, 0, 152, 94),
        (892, 0, 160, 100),
        (950, 0, 168, 112),
        (1080, 0, 142, 98),
        (1280, 0, 176, 116),
        (1380, 0, 180, 102),
        (1430, 0, 150, 84),
        (1462, 0, 88, 66),
        (1485, 0, 58, 58),
        (1545, 0, 54, 56),
    ),
    (
        (1512, 0, 20, 40),
        (1525, 0, 46, 66),
        (1565, 0, 68, 86),
        (1620, 0, 79, 98),
        (1670, 0, 80, 100),
        (1712, 0, 68, 84),
        (1738, 0, 42, 52),
        (FIGURE_MM, 0, 10, 12),
    ),
)


_ARMS: tuple[_Rings, ...] = (_arm(-196), _arm(196))


def _stack(rings: _Rings, sides: int = 24) -> tuple[Points, NDArray[np.int32]]:
    angles = np.linspace(0.0, 2 * math.pi, sides, endpoint=False)
    vertices = np.concatenate(
        [
            np.column_stack(
                [
                    middle + half_width * np.cos(angles),
                    half_depth * np.sin(angles),
                    np.full(sides, height),
                ]
            )
            for height, middle, half_width, half_depth in rings
        ]
    )
    i = np.arange(sides, dtype=np.int32)
    j = (i + 1) % sides
    triangles: list[NDArray[np.int32]] = []
    for level in range(len(rings) - 1):
        a, b = level * sides, (level + 1) * sides
        triangles += [
            np.column_stack([a + i, a + j, b + j]),
            np.column_stack([a + i, b + j, b + i]),
        ]
    last = (len(rings) - 1) * sides
    fan = np.arange(1, sides - 1, dtype=np.int32)
    triangles.append(np.column_stack([np.zeros_like(fan), fan + 1, fan]))
    triangles.append(np.column_stack([np.full_like(fan, last), last + fan, last + fan + 1]))
    return vertices, np.concatenate(triangles)

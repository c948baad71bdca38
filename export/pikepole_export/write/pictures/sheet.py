"""Where things are on a picture: the fit, and the figure for scale beside the building.

A picture has the building above and the caption in a band below. Lines of sight
are parallel, so equal pieces are drawn equal wherever they stand, and studs can be counted and
compared.

Sheet coordinates are x to the right and y up from the bottom left corner of the drawing area, and
z towards the camera, all in pixels.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_export.graphics.figure import FIGURE_HALF_WIDTH_MM, FIGURE_MM, FIGURE_TOES_MM
from pikepole_export.graphics.page import HEIGHT_PX, WIDTH_PX
from pikepole_model.geometry.placement import Points

BAND_PX = 174  # the caption, at the foot of the picture
DRAWING_PX = HEIGHT_PX - BAND_PX
MARGIN_PX = 26

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
        axes: (3, 3) float: unit vectors right, up and towards the camera, in the building's frame.
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
        axes: (3, 3) float: unit vectors right, up and towards the camera.
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


def _toes(axes: Points) -> float:
    """How far the figure's toes reach below its place, on the sheet, mm."""
    return FIGURE_TOES_MM * float(axes[2, 2])


def _scale(low: Points, high: Points) -> float:
    size = high - low
    return float(min((WIDTH_PX - 2 * MARGIN_PX) / size[0], (DRAWING_PX - 2 * MARGIN_PX) / size[1]))


def _standings(points: Points, axes: Points) -> Points:
    """(n, 3) float: places on the ground round the building, on the camera's side of its middle."""
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

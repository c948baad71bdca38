"""Where things are on a picture: the fit, the figure for scale and the words on the ground.

A page has the building on its left, at the top as large as it goes and below it what the stage is
set out by, and words in a column on its right. Lines of sight are parallel, so equal pieces are
drawn equal wherever they stand, and studs can be counted and compared.

Sheet coordinates are x to the right and y up from the bottom left corner of a frame of the page,
and z towards the camera, all in pixels.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_export.graphics.figure import FIGURE_HALF_WIDTH_MM, FIGURE_MM, FIGURE_TOES_MM
from pikepole_export.graphics.page import HEIGHT_PX, WIDTH_PX
from pikepole_model.geometry.placement import Points

# Left, top, width and height of what a page has room for, px.
Frame = tuple[int, int, int, int]
COLUMN_PX = 480
MAIN: Frame = (0, 0, WIDTH_PX - COLUMN_PX, 740)
# Below it, in a row: the view from behind, what the stage is set out by, and details; the last
# under the words, where these leave room.
SECOND_PX = (MAIN[2] // 2, HEIGHT_PX - MAIN[3])
SLOTS: tuple[Frame, ...] = (
    (0, MAIN[3], *SECOND_PX),
    (SECOND_PX[0], MAIN[3], *SECOND_PX),
    (MAIN[2], MAIN[3], COLUMN_PX, SECOND_PX[1]),
)
WIDE_PX = (MAIN[2], SECOND_PX[1])  # two of them together
# Two views that leave room for what the stage is set out by, each drawn so much smaller.
_SMALL = 0.6
SMALL_PX = round(SECOND_PX[0] * _SMALL)
BESIDE: tuple[Frame, ...] = (
    (0, MAIN[3], SMALL_PX, SECOND_PX[1]),
    (SMALL_PX, MAIN[3], SMALL_PX, SECOND_PX[1]),
    (2 * SMALL_PX, MAIN[3], MAIN[2] - 2 * SMALL_PX, SECOND_PX[1]),
    SLOTS[-1],
)
# One such view that leaves room for words beside a detail.
BETWEEN_PX = MAIN[2] - SMALL_PX - COLUMN_PX
DETAILED: tuple[Frame, ...] = (
    BESIDE[0],
    (SMALL_PX, MAIN[3], BETWEEN_PX, SECOND_PX[1]),
    (SMALL_PX + BETWEEN_PX, MAIN[3], COLUMN_PX, SECOND_PX[1]),
    SLOTS[-1],
)
# Two views that leave room below them as well.
_LEAST = 0.5
_LEAST_PX = round(SECOND_PX[0] * _LEAST)
STRIPPED: tuple[Frame, ...] = (
    (0, MAIN[3], _LEAST_PX, SECOND_PX[1]),
    (_LEAST_PX, MAIN[3], _LEAST_PX, SECOND_PX[1]),
    *BESIDE[2:],
)
_STRIP_PX = MAIN[3] + round(SECOND_PX[1] * _LEAST) + 30  # the figures' height stands below them
STRIP: Frame = (0, _STRIP_PX, 2 * SMALL_PX, HEIGHT_PX - _STRIP_PX)
# By name, and how large the views in them are drawn.
FRAMES = {"slots": SLOTS, "beside": BESIDE, "detailed": DETAILED, "stripped": STRIPPED}
SMALLER = {"slots": 1.0, "beside": _SMALL, "detailed": _SMALL, "stripped": _LEAST}
DETAIL_PX = (COLUMN_PX, SECOND_PX[1])
MARGIN_PX = 24
SAID_PX = 32  # what is said above a view below the first, from its frame's upper edge

FIGURE_CLEAR_MM = 250.0  # from the building, on the sheet
FIGURE_STEP_MM = 250.0
FIGURE_REACH_MM = 6000.0
LABEL_LINE_PX = 28
LABEL_GAP_PX = 12
LABEL_WIDTH_PX = 110

# The words on the ground: how high their letters are, and how wide all of it, px before it is
# foreshortened; how far off the building they lie.
LETTER_PX = 38.0
LETTERS = {"FRONT": 3.9, "BACK": 3.4, "LEFT": 2.7, "RIGHT": 3.6}  # widths, in heights of a letter
WORD_GAPS_MM = (250.0, 450.0, 650.0, 900.0)


@dataclass(frozen=True, slots=True)
class Word:
    """A word that lies on the ground beside a side of the building.

    Attributes:
        text: "FRONT".
        corners_mm: (4, 3) float: from its lower left corner round to its upper left one.
    """

    text: str
    corners_mm: Points


@dataclass(frozen=True, slots=True)
class Sheet:
    """How the building's frame falls on a frame of the page.

    Attributes:
        axes: (3, 3) float: unit vectors right, up and towards the camera, in the building's frame.
        scale: Pixels to the millimetre.
        shift: (x, y) of the building's origin on the sheet, px.
        figure_mm: Where the figure stands on the ground, (x, y), mm.
        words: Those that the building does not hide.
    """

    axes: Points
    scale: float
    shift: tuple[float, float]
    figure_mm: tuple[float, float]
    words: tuple[Word, ...]

    def place(self, points: Points) -> Points:
        """(n, 3) points of the building, mm, as (n, 3) points of the sheet, px."""
        return points @ self.axes.T * self.scale + np.array([*self.shift, 0.0])

    @property
    def label_px(self) -> tuple[float, float]:
        """Middle of the top of the figure's label, below its toes: (x, y), px."""
        x, y, _ = self.place(np.array([[*self.figure_mm, 0.0]]))[0]
        return float(x), float(y - _toes(self.axes) * self.scale - LABEL_GAP_PX)


def fit(points: Points, axes: Points, label_lines: int, size_px: tuple[int, int]) -> Sheet:
    """The sheet that shows all points as large as they go, with the figure beside them.

    Args:
        points: (n, 3) float, every vertex of what is shown, mm.
        axes: (3, 3) float: unit vectors right, up and towards the camera.
        label_lines: Lines of text under the figure.
        size_px: Width and height of the frame.

    Returns:
        The sheet. The figure stands where it costs the building the least size.
    """
    flat = points @ axes[:2].T
    hull = shapely.convex_hull(shapely.LineString(flat))
    above = shapely.convex_hull(shapely.LineString(flat[points[:, 2] > -1.0]))
    scale, box_mm = _scale(flat.min(axis=0), flat.max(axis=0), size_px), np.zeros(4)
    figure, words = np.zeros(3), ()
    # Words and label are a fixed number of pixels: their size in mm depends on the scale.
    for _ in range(4):
        words = tuple(_words(points, above, axes, LETTER_PX / scale))
        lying = [shapely.Polygon(word.corners_mm @ axes[:2].T) for word in words]
        outline = shapely.union_all([hull, *lying])
        feet = _standings(np.concatenate([points, *(word.corners_mm for word in words)]), axes)
        figure, box_mm = _best_standing(outline, feet, axes, scale, label_lines, size_px)
        scale = _scale(box_mm[:2], box_mm[2:], size_px)
    middle = (box_mm[:2] + box_mm[2:]) / 2 * scale
    shift = (size_px[0] / 2 - middle[0], size_px[1] / 2 - middle[1])
    return Sheet(axes, scale, (float(shift[0]), float(shift[1])), (figure[0], figure[1]), words)


def _words(points: Points, above: BaseGeometry, axes: Points, letter_mm: float) -> Iterator[Word]:
    """The name of each side, on the ground before it, to be read by the one who looks.

    Only where it lies clear of what stands `above` the ground, on the sheet.
    """
    (x0, y0), (x1, y1) = points[:, :2].min(axis=0), points[:, :2].max(axis=0)
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    half = np.array([(x1 - x0) / 2, (y1 - y0) / 2])
    ways = {"FRONT": (0.0, -1.0), "BACK": (0.0, 1.0), "LEFT": (-1.0, 0.0), "RIGHT": (1.0, 0.0)}
    # Those that face the eye first: where there is no room for all, they have it.
    taken = [above]
    for text, out in sorted(ways.items(), key=lambda way: -float(axes[2, :2] @ way[1])):
        outward = np.array(out)
        along = np.array([abs(outward[1]), abs(outward[0])])
        along = along if along @ axes[0, :2] > 0 else -along
        up = np.array([-along[1], along[0]])
        # Deeper than its letters are high, so that they look as high as they are wide.
        deep = letter_mm / max(float(np.hypot(*(axes[:2, :2] @ up))), 0.25)
        wide = letter_mm * LETTERS[text]
        for gap_mm in WORD_GAPS_MM:
            centre = middle + outward * (half + gap_mm + deep / 2)
            corners = [
                [*(centre + along * wide / 2 * right + up * deep / 2 * high), 0.0]
                for right, high in ((-1, -1), (1, -1), (1, 1), (-1, 1))
            ]
            word = Word(text, np.array(corners))
            lying = shapely.Polygon(word.corners_mm @ axes[:2].T)
            if not any(lying.intersects(other) for other in taken):
                taken.append(lying)
                yield word
                break


def _toes(axes: Points) -> float:
    """How far the figure's toes reach below its place, on the sheet, mm."""
    return FIGURE_TOES_MM * float(axes[2, 2])


def _scale(low: Points, high: Points, size_px: tuple[int, int]) -> float:
    room = np.array(size_px) - 2 * MARGIN_PX
    return float((room / (high - low)).min())


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
    outline: BaseGeometry,
    feet: Points,
    axes: Points,
    scale: float,
    label_lines: int,
    size_px: tuple[int, int],
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
    scales = ((np.array(size_px) - 2 * MARGIN_PX) / (high - low)).min(axis=1)
    # Clear of the building first, then the largest building; within two percent, the nearest.
    rectangles = shapely.box(*boxes.T)
    away = shapely.distance(outline, rectangles)
    clear = away >= FIGURE_CLEAR_MM
    near = clear & (scales >= 0.98 * scales[clear].max())
    best = int(np.argmin(np.where(near, away, math.inf)))
    return feet[best], np.concatenate([low[best], high[best]])

"""A person 1.75 m tall, for scale: in stage pictures beside the building, on lift cards at work."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pikepole_model.geometry.placement import Points

FIGURE_MM = 1750.0
FIGURE_HALF_WIDTH_MM = 270.0
FIGURE_TOES_MM = 118.0  # in front of where it stands


def figure_at(
    x_mm: float, y_mm: float, axes: Points, *, arms: bool = True
) -> tuple[Points, NDArray[np.int32], Points]:
    """A person 1.75 m tall, facing the camera, standing on the ground.

    Args:
        x_mm: Where.
        y_mm: Where.
        axes: (3, 3) float: unit vectors right, up and towards the camera.
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

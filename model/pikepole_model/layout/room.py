"""What is in the way of a piece that is put beside others: their own room, seen from the end.

Room(pieces).is_free(low, high)         of a small piece
taken_between(pieces, place, v)         of one that is notched round them, seen from above
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from shapely import MultiPoint, box
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.piece import Piece
from pikepole_model.geometry.outline import NO_AREA_MM2
from pikepole_model.geometry.placement import Placement, Points, Vector
from pikepole_model.geometry.shape import Prism, bounds
from pikepole_model.geometry.spacing import TOLERANCE_MM

# A direction that is this near to an axis, by its cosine, runs along it.
_ALONG = 1 - 1e-9

# Farther than any building reaches.
_FAR_MM = 1e6


class Room:
    """The room that pieces take.

    A piece that is drawn square to an axis of the building is taken as it is; any other by the box
    it is cut from, as that is seen from the end: a little more than it takes.
    """

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self._pieces = pieces
        self._corners = np.array([_corners(piece) for piece in pieces]).reshape(-1, 8, 3)
        self._low = self._corners.min(axis=1) + TOLERANCE_MM
        self._high = self._corners.max(axis=1) - TOLERANCE_MM
        self._seen: dict[int, tuple[list[int], BaseGeometry]] = {}

    def is_free(self, low: Vector, high: Vector) -> bool:
        """Whether nothing is in a box along the building's axes, between two corners, mm."""
        near = (self._low < np.array(high)).all(axis=1) & (self._high > np.array(low)).all(axis=1)
        return not any(self._is_in(int(k), low, high) for k in np.flatnonzero(near))

    def take(self, low: Vector, high: Vector) -> None:
        """Fill such a box."""
        self._low = np.vstack((self._low, np.array(low) + TOLERANCE_MM))
        self._high = np.vstack((self._high, np.array(high) - TOLERANCE_MM))

    def _is_in(self, k: int, low: Vector, high: Vector) -> bool:
        """Whether a piece is in a box that the box round it shares room with."""
        if k >= len(self._pieces):
            return True
        if k not in self._seen:
            self._seen[k] = self._look(k)
        (a, b), seen = self._seen[k]
        return seen.intersection(box(low[a], low[b], high[a], high[b])).area > NO_AREA_MM2

    def _look(self, k: int) -> tuple[list[int], BaseGeometry]:
        """Two axes of the building, and a piece as it is seen in their plane, mm."""
        body, place = self._pieces[k].shape.body, self._pieces[k].placement
        along = [axis for axis in range(3) if abs(place.n[axis]) > _ALONG]
        axes = [axis for axis in range(3) if axis not in (along or [0])]
        if along and isinstance(body, Prism) and isinstance(body.outline, tuple):
            corners = np.array([place.point(u, v) for u, v in body.outline])
            return axes, Area(corners[:, axes])
        return axes, MultiPoint(self._corners[k][:, axes]).convex_hull


def _corners(piece: Piece) -> Points:
    """(8, 3) corners of the box that a piece is cut from, building frame, mm."""
    (a, b, c), (d, e, f) = bounds(piece.shape.body)
    corners = np.array([(u, v, n) for u in (a, d) for v in (b, e) for n in (c, f)])
    return piece.placement.apply(corners)


def box_round(piece: Piece) -> tuple[Vector, Vector]:
    """Low and high corner of the box that a piece is cut from, building frame, mm."""
    (x0, y0, z0), (x1, y1, z1) = (
        end.tolist() for end in (_corners(piece).min(axis=0), _corners(piece).max(axis=0))
    )
    return (x0, y0, z0), (x1, y1, z1)


def taken_between(
    pieces: Iterable[Piece], place: Placement, v: tuple[float, float]
) -> Iterator[tuple[Piece, BaseGeometry]]:
    """The pieces that reach in between two heights of a wall, and what each takes there.

    Args:
        pieces: The pieces.
        place: The wall's frame: u along it, v up, n out.
        v: From and to above its origin, mm.

    Yields:
        Each piece, with what it takes in (u, n), mm.
    """
    axes, origin = np.array([place.u, place.v, place.n]), np.array(place.origin)
    low, high = v[0] + TOLERANCE_MM, v[1] - TOLERANCE_MM
    for piece in pieces:
        seen = (_corners(piece) - origin) @ axes.T
        if seen[:, 1].min() >= high or seen[:, 1].max() <= low:
            continue
        body, upright = piece.shape.body, abs(float(np.dot(piece.placement.n, place.v)))
        if isinstance(body, Prism) and isinstance(body.outline, tuple) and upright > _ALONG:
            corners = np.array([piece.placement.point(a, b) for a, b in body.outline])
            yield piece, Area(((corners - origin) @ axes.T)[:, [0, 2]])
        elif isinstance(body, Prism) and isinstance(body.outline, tuple) and upright < 1 - _ALONG:
            # Of what slopes, no more than lies between the two heights.
            ends = (0.0, body.thickness)
            points = [piece.placement.point(a, b, c) for a, b in body.outline for c in ends]
            flat = (np.array(points) - origin) @ axes.T
            level = int(
                np.argmin([abs(float(np.dot(piece.placement.n, way))) for way in axes[::2]])
            )
            across = [0, 2][level]
            side = Area(flat[::2][:, [across, 1]])
            kept = side.intersection(box(-_FAR_MM, low, _FAR_MM, high))
            if kept.is_empty:
                continue
            other = 2 - across
            a0, a1 = kept.bounds[0], kept.bounds[2]
            b0, b1 = flat[:, other].min(), flat[:, other].max()
            yield piece, box(a0, b0, a1, b1) if across == 0 else box(b0, a0, b1, a1)
        else:
            # And of the box that another is cut from.
            ends = np.array([[one, other] for one in seen for other in seen])
            yield piece, MultiPoint(_cut_off(ends, low, high)[:, [0, 2]]).convex_hull


def _cut_off(ends: Points, low: float, high: float) -> Points:
    """Where lines between pairs of points start and end between two heights, mm.

    Args:
        ends: (n, 2, 3) the pairs; v is their second axis.
        low: The lower height.
        high: The upper one.
    """
    start, way = ends[:, 0], ends[:, 1] - ends[:, 0]
    level = np.where(way[:, 1] == 0.0, 1.0, way[:, 1])
    shares = (np.clip((v - start[:, 1]) / level, 0.0, 1.0) for v in (low, high))
    points = np.vstack([start + share[:, None] * way for share in shares])
    return points[(points[:, 1] >= low - TOLERANCE_MM) & (points[:, 1] <= high + TOLERANCE_MM)]

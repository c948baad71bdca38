"""Where a plane cuts parts, and what is seen behind it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_export.derive.views.faces import LEAST_MM2, Faces, as_array, faces_towards
from pikepole_export.derive.views.side import Side
from pikepole_model.building.part import Part

# A plane that is asked for at a round number would lie in faces of parts: it is this much nearer.
OFF_FACES_MM = 0.037
_FAR_MM = 1e6


def cut_areas(
    parts: Sequence[Part], side: Side, depth_mm: float
) -> list[tuple[Part, BaseGeometry]]:
    """What a plane square to a view cuts of parts: areas in the view, mm.

    Args:
        parts: Some of them may not reach it.
        side: It is seen from.
        depth_mm: Of the plane, mm towards that side from the building's origin.
    """
    found: list[tuple[Part, BaseGeometry]] = []
    for part in parts:
        points = side.seen(part.vertices_mm)
        over = points[:, 2] > depth_mm
        if over.all() or not over.any():
            continue
        corners, side_of = points[part.shape.mesh.triangles], over[part.shape.mesh.triangles]
        crossing = side_of.any(axis=1) & ~side_of.all(axis=1)
        corners, side_of = corners[crossing], side_of[crossing]
        # The corner that is alone on its side, and the two others.
        alone = np.where(side_of.sum(axis=1) == 1, side_of.argmax(axis=1), side_of.argmin(axis=1))
        rows = np.arange(len(corners))
        tip = corners[rows, alone]
        ends = [corners[rows, (alone + k) % 3] for k in (1, 2)]
        at = [
            tip + (end - tip) * ((depth_mm - tip[:, 2]) / (end[:, 2] - tip[:, 2]))[:, None]
            for end in ends
        ]
        lines = shapely.linestrings(np.stack([at[0][:, :2], at[1][:, :2]], axis=1))
        area = shapely.build_area(shapely.union_all(lines, grid_size=1e-4))
        if area.area > 1.0:
            found.append((part, shapely.simplify(area, 1e-3)))
    return found


def faces_behind(
    parts: Sequence[Part], side: Side, depth_mm: float
) -> tuple[Faces, list[tuple[Part, BaseGeometry]]]:
    """What a plane leaves: faces behind it, its cuts before them, and these cuts by themselves.

    Args:
        parts: Of the building.
        side: It is seen from.
        depth_mm: Of the plane, as in `cut_areas`.

    Returns:
        The faces, those of cuts last, owned by places from the number of parts on; and the cuts.
    """
    depth_mm += OFF_FACES_MM
    cuts = cut_areas(parts, side, depth_mm)
    faces = faces_towards(parts, side)
    faces = faces.of(faces.depths[:, 0] < depth_mm)
    for number in np.flatnonzero(faces.depths[:, 1] > depth_mm).tolist():
        half = _half(faces.planes[number], depth_mm)
        faces.outlines[number] = shapely.intersection(faces.outlines[number], half)
        faces.edges[number] = shapely.intersection(faces.edges[number], half)
        faces.depths[number, 1] = depth_mm
    faces = faces.of(shapely.area(faces.outlines) > LEAST_MM2)
    areas = as_array([area for _, area in cuts])
    flat = Faces(
        areas,
        shapely.boundary(areas),
        np.tile([0.0, 0.0, depth_mm], (len(cuts), 1)),
        np.full((len(cuts), 2), depth_mm),
        len(parts) + np.arange(len(cuts)),
    )
    return faces.joined(flat), cuts


def _half(plane: np.ndarray, depth_mm: float) -> BaseGeometry:
    """The side of the line in a view where a plane is not nearer than a depth."""
    a, b, c = plane.tolist()
    steep = float(np.hypot(a, b))
    across = np.array([a, b]) / steep
    along = np.array([-across[1], across[0]])
    foot = across * (depth_mm - c) / steep
    far = foot - across * _FAR_MM
    return shapely.Polygon(
        [
            foot + along * _FAR_MM,
            foot - along * _FAR_MM,
            far - along * _FAR_MM,
            far + along * _FAR_MM,
        ]
    )

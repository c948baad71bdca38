"""What a plane square to one of the building's axes cuts of a part."""

from __future__ import annotations

from shapely import MultiPoint
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.part import Part

# The corners of a triangle's sides.
_SIDES = [0, 1, 1, 2, 2, 0]


def section(part: Part, axis: int, place: float) -> BaseGeometry:
    """What a plane cuts of a part, hollows filled, seen square to it, mm.

    Args:
        part: The part.
        axis: Which axis the plane is square to: 0, 1 or 2.
        place: Where on that axis it is, mm.

    Returns:
        In the other two axes, in their order; empty where the plane passes the part.
    """
    ends = part.vertices_mm[part.shape.mesh.triangles[:, _SIDES].reshape(-1, 2)]
    off = ends[:, :, axis] - place
    through = off[:, 0] * off[:, 1] < 0
    ends, off = ends[through], off[through]
    share = off[:, :1] / (off[:, :1] - off[:, 1:])
    points = ends[:, 0] + share * (ends[:, 1] - ends[:, 0])
    return MultiPoint(points[:, [one for one in range(3) if one != axis]]).convex_hull

"""What parts cover, seen square to a plane, and which way they run."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Vector

ALONG: Vector = (1.0, 0.0, 0.0)
BACKWARDS: Vector = (0.0, 1.0, 0.0)

# A facet seen edge on covers less than this, mm2.
_EDGE_ON_MM2 = 1e-6


def projection(part: Part, u: Vector = ALONG, v: Vector = BACKWARDS) -> BaseGeometry:
    """What a part covers of the plane of two axes, mm; on the ground where none are given.

    Args:
        part: The part.
        u: First axis of the plane, building frame.
        v: Second axis of the plane, square to the first.
    """
    facets = part.vertices_mm[part.shape.mesh.triangles] @ np.array([u, v]).T
    one, other = facets[:, 1] - facets[:, 0], facets[:, 2] - facets[:, 0]
    covered_mm2 = np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]) / 2
    return shapely.union_all(shapely.polygons(facets[covered_mm2 > _EDGE_ON_MM2]))


def way_of(part: Part) -> Vector:
    """The way a piece runs along its length: a unit vector."""
    along_n = part.shape.length_mm == part.shape.size_mm[2]
    return part.placement.n if along_n else part.placement.u

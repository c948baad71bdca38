"""What a plane square to one of the building's axes cuts of parts."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.part import Part

# The corners of a triangle's sides.
_SIDES = [0, 1, 1, 2, 2, 0]


def sections(parts: Sequence[Part], axis: int, place: float) -> list[BaseGeometry]:
    """What a plane cuts of each part, hollows filled, seen square to it, mm.

    Args:
        parts: The parts.
        axis: Which axis the plane is square to: 0, 1 or 2.
        place: Where on that axis it is, mm.

    Returns:
        In the other two axes, in their order, for each part that the plane goes through.
    """
    cut = [part for part in parts if part.bounds_mm[0][axis] < place < part.bounds_mm[1][axis]]
    if not cut:
        return []
    sides = [part.vertices_mm[part.shape.mesh.triangles[:, _SIDES].reshape(-1, 2)] for part in cut]
    owners = np.repeat(np.arange(len(cut)), [len(each) for each in sides])
    ends = np.concatenate(sides)
    off = ends[:, :, axis] - place
    through = off[:, 0] * off[:, 1] < 0
    ends, off = ends[through], off[through]
    share = off[:, :1] / (off[:, :1] - off[:, 1:])
    points = ends[:, 0] + share * (ends[:, 1] - ends[:, 0])
    flat = points[:, [one for one in range(3) if one != axis]]
    hulls = np.asarray(shapely.convex_hull(shapely.multipoints(flat, indices=owners[through])))
    return [hull for hull in hulls.tolist() if hull is not None]

"""Which lines of parts are seen from a side, those that others hide taken out.

Exact for solids of flat faces that do not run through one another: of two faces that overlap in the
view one lies wholly before the other there. A face before another takes away what it covers of its
edges. So no mesh of pixels and no kernel is asked, and lines stay as long as they are in the model.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from pikepole_export.derive.views.faces import Faces

SAME_DEPTH_MM = 0.02
SAME_PLACE_MM = 1e-3


def edges_seen(faces: Faces) -> NDArray[np.object_]:
    """(n,) what is seen of each face's edges: lines, or nothing."""
    kept, behind, before = _hides(faces)
    seen = faces.edges.copy()
    seen[~kept] = shapely.LineString()
    # The largest that hides a face first, for all faces at once: few are left after some rounds.
    order = np.lexsort((before, -shapely.area(faces.outlines)[before], behind))
    before = before[order]
    ends = np.searchsorted(behind[order], np.arange(len(seen) + 1))
    hiding = np.diff(ends)
    for number in range(int(hiding.max(initial=0))):
        left = np.flatnonzero((hiding > number) & ~shapely.is_empty(seen))
        others = before[ends[left] + number]
        seen[left] = shapely.difference(seen[left], faces.outlines[others])
    return seen


def _hides(faces: Faces) -> tuple[NDArray[np.bool_], NDArray[np.int_], NDArray[np.int_]]:
    """What hides what.

    Returns:
        (n,) whether a face is not wholly hidden by a single other; and of those that are not, pairs
        of which the second lies before the first where they overlap, and reaches its edges, in
        order of the first.
    """
    boxes, (least, most) = shapely.bounds(faces.outlines), faces.depths.T
    one, other = shapely.STRtree(faces.outlines).query(faces.outlines)
    low = np.maximum(boxes[one, :2], boxes[other, :2])
    high = np.minimum(boxes[one, 2:], boxes[other, 2:])
    overlap = (high - low > SAME_PLACE_MM).all(axis=1) & (one != other)
    overlap &= most[other] > least[one] + SAME_DEPTH_MM
    one, other = one[overlap], other[overlap]
    clear = least[other] >= most[one] - SAME_DEPTH_MM
    # A rectangle hides whatever has its box in that of the rectangle.
    areas = np.prod(boxes[:, 2:] - boxes[:, :2], axis=1)
    fills = shapely.area(faces.outlines) > areas - 1.0
    inside = (boxes[one, :2] >= boxes[other, :2] - SAME_PLACE_MM).all(axis=1)
    inside &= (boxes[one, 2:] <= boxes[other, 2:] + SAME_PLACE_MM).all(axis=1)
    kept = np.ones(len(boxes), dtype=bool)
    kept[one[clear & inside & fills[other]]] = False
    both = kept[one] & kept[other]
    # Many cover nothing of the other's edges.
    shapely.prepare(faces.outlines)
    both[both] = shapely.intersects(faces.outlines[other[both]], faces.edges[one[both]])
    one, other, clear = one[both], other[both], clear[both]
    before = clear.copy()
    before[~clear] = _lies_before(faces, one[~clear], other[~clear])
    return kept, one[before], other[before]


def _lies_before(faces: Faces, one: NDArray[np.int_], other: NDArray[np.int_]) -> NDArray[np.bool_]:
    """Whether the second of each pair lies before the first where they overlap in the view."""
    shared = shapely.intersection(faces.outlines[one], faces.outlines[other])
    real = np.flatnonzero(shapely.area(shared) > SAME_PLACE_MM)
    at = shapely.get_coordinates(shapely.point_on_surface(shared[real]))
    at = np.column_stack([at, np.ones(len(at))])
    far, near = (np.einsum("ij,ij->i", faces.planes[some[real]], at) for some in (one, other))
    before = np.zeros(len(one), dtype=bool)
    before[real] = near > far + SAME_DEPTH_MM
    return before

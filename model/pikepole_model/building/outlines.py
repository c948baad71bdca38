"""Gaps between pieces that are outlines of constant thickness along one line.

Most that a builder lays against one another are: sheets on blocks, boards on boards, studs under a
bevelled plate. What is between their outlines and what is between them along that line stand square
to one another, which is exact, and far cheaper than to measure between their triangles.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from pikepole_model.building.boxes import SQUARE, Boxes, Floats, Pairs, pairs_of
from pikepole_model.building.part import Part
from pikepole_model.geometry.shape import Prism


def outline_gaps(boxes: Boxes, pairs: Pairs, parts: Sequence[Part]) -> Floats:
    """(n,) the clear distance of each pair, mm: 0 where they meet or share the same space.

    Not a number where their thicknesses do not run along one line, or something is cut into them. A
    plain block is an outline along each of its axes.

    Args:
        boxes: Each part's own box.
        pairs: Pairs of them.
        parts: The parts.
    """
    plain = np.array([part.shape.is_box for part in parts])
    drawn = np.array([isinstance(p.shape.body, Prism) and not p.shape.cuts for p in parts])
    # Seen in the plane of one that is not a block, where one is not.
    turned = plain[pairs.a]
    seen = pairs_of(boxes, np.where(turned, pairs.b, pairs.a), np.where(turned, pairs.a, pairs.b))
    across = np.abs(seen.turn[:, 2]) < SQUARE
    block = plain[seen.b] & (across.sum(axis=1) == 2)
    known = drawn[seen.a] & (block | (drawn[seen.b] & across[:, :2].all(axis=1)))
    gaps = np.full(len(known), np.nan)
    gaps[known] = _gaps(boxes, seen.only(known), block[known], parts)
    return gaps


def _gaps(boxes: Boxes, pairs: Pairs, block: NDArray[np.bool_], parts: Sequence[Part]) -> Floats:
    """(n,) as above, of pairs seen in the plane of the first; the second of some is a block."""
    half = boxes.half[pairs.b]
    reach = np.einsum("nj,nj->n", np.abs(pairs.turn[:, 2]), half)
    along = np.abs(pairs.away[:, 2]) - boxes.half[pairs.a, 2] - reach
    at = (pairs.away + boxes.middle[pairs.a])[:, :2]
    outlines = np.empty(len(at), dtype=object)
    outlines[block] = _rectangles(pairs.turn[block], half[block], at[block])
    others = np.flatnonzero(~block)
    areas = np.array([parts[b].shape.area for b in pairs.b[others]], dtype=object)
    points, which = shapely.get_coordinates(areas, return_index=True)
    row = others[which]
    points = points - boxes.middle[pairs.b[row], :2]
    points = np.einsum("nij,nj->ni", pairs.turn[row, :2, :2], points) + at[row]
    outlines[others] = shapely.set_coordinates(areas, points)
    own = np.array([parts[a].shape.area for a in pairs.a], dtype=object)
    return np.hypot(np.maximum(along, 0.0), shapely.distance(own, outlines))


def _rectangles(turn: Floats, half: Floats, at: Floats) -> NDArray[np.object_]:
    """(n,) what each block covers in the plane that one of its axes stands square to."""
    rows = np.arange(len(turn))
    normal = np.abs(turn[:, 2]).argmax(axis=1)
    a, b = (
        turn[rows, :2, axis] * half[rows, axis, np.newaxis]
        for axis in ((normal + 1) % 3, (normal + 2) % 3)
    )
    return np.asarray(
        shapely.polygons(np.stack([at + a + b, at + a - b, at - a - b, at - a + b], axis=1))
    )

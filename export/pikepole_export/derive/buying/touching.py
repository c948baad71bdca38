"""How the pieces of a joint lie on one another: end to side, side by side, crossing, and how long.

    touches(building) -> tuple[Touch, ...]     one for each joint, in order

Read off each piece's own box. A piece with birdsmouths or bevels is taken for the box it is cut
from: what touches along a slope is as long as the box says.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from pikepole_model.building.boxes import Boxes, Floats, Indices, Pairs, boxes_of, pairs_of
from pikepole_model.building.part import Building, Joint, Part

# Narrower than this there is nothing to nail, mm: pieces that meet in an edge or a corner.
NARROWEST_MM = 12.0

# A member this near to a sheet's edge is under it, mm: sheets that meet share it, with a gap.
EDGE_MM = 6.0


class JointType(StrEnum):
    """How one piece lies on another."""

    EDGE = "edge"  # in a line or a point: nothing to nail
    END = "end"  # its end on the other's side
    SIDE = "side"  # its side on the other's end
    BUTT = "butt"  # end to end
    ALONG = "along"  # side by side, the same way
    ACROSS = "across"  # side on side, square to one another
    ASKEW = "askew"  # at an angle


@dataclass(frozen=True, slots=True)
class Touching:
    """A joint, seen from one of its pieces.

    Attributes:
        part: That piece.
        other: What it is joined to.
        way: How it lies on the other.
        length_mm: How long they touch, along the longer side of what they share, mm.
        at_edge: Whether that lies at an edge of `part`, where that is a sheet.
    """

    part: Part
    other: Part
    way: JointType
    length_mm: float
    at_edge: bool


@dataclass(frozen=True, slots=True)
class Touch:
    """A joint, seen from either of its pieces."""

    joint: Joint
    a: Touching
    b: Touching


def touches(building: Building) -> tuple[Touch, ...]:
    """Every joint, seen from both of its pieces."""
    if not building.joints:
        return ()
    parts = building.parts
    index = {part.name: number for number, part in enumerate(parts)}
    a = np.array([index[joint.a] for joint in building.joints])
    b = np.array([index[joint.b] for joint in building.joints])
    pieces = _Pieces(
        boxes_of(parts),
        np.array([_length_axis(part) for part in parts]),
        np.array([part.section_mm is None for part in parts]),
    )
    views = [_view(pieces, pairs_of(pieces.boxes, one, other)) for one, other in ((a, b), (b, a))]
    edge = (views[0][0] == JointType.EDGE) | (views[1][0] == JointType.EDGE)
    seen = [
        [
            Touching(parts[i], parts[j], JointType(way), long, near)
            for i, j, way, long, near in zip(
                one.tolist(),
                other.tolist(),
                np.where(edge, JointType.EDGE, ways).tolist(),
                lengths.tolist(),
                at_edge.tolist(),
                strict=True,
            )
        ]
        for (one, other), (ways, lengths, at_edge) in zip(((a, b), (b, a)), views, strict=True)
    ]
    return tuple(map(Touch, building.joints, *seen))


@dataclass(frozen=True, slots=True)
class _Pieces:
    """Every part's own box, the axis (n,) its length runs along, whether (n,) it is no lumber."""

    boxes: Boxes
    lengths: Indices
    thin: NDArray[np.bool_]


def _length_axis(part: Part) -> int:
    size = part.shape.size_mm
    return min(range(3), key=lambda axis: abs(size[axis] - part.length_mm))


def _view(pieces: _Pieces, pairs: Pairs) -> tuple[NDArray[np.str_], Floats, NDArray[np.bool_]]:
    """Ways, lengths and whether at an edge, of each pair as seen from its first piece."""
    one, other, low, high, square = pairs.a, pairs.b, pairs.low, pairs.high, pairs.square
    rows, half = np.arange(len(one)), pieces.boxes.half[one]
    normal, across, along = np.argsort(high - low, axis=1, kind="stable").T
    own = pieces.lengths[one]
    # The axis of `one` that the other's length runs along; only where they stand square.
    way = pairs.turn[rows, :, pieces.lengths[other]]
    others = np.argmax(np.abs(way), axis=1)
    shared = np.maximum(high - low, 0.0)[rows, along]
    lengths = np.where(square, shared, _inside(pieces, pairs, way))
    narrow = (high - low)[rows, across] < NARROWEST_MM
    # A sheet is nailed through its face, to what lies flat on it.
    face = np.argmin(half, axis=1)
    flat = np.where(square, normal == face, np.abs(way[rows, face]) < 1e-3)
    edge = (square & narrow) | (pieces.thin[one] & (~flat | (lengths <= 0.0)))
    ways = np.select(
        [
            edge,
            ~square,
            (normal == own) & (normal == others),
            normal == own,
            normal == others,
            own == others,
        ],
        [
            JointType.EDGE,
            JointType.ASKEW,
            JointType.BUTT,
            JointType.END,
            JointType.SIDE,
            JointType.ALONG,
        ],
        JointType.ACROSS,
    )
    to_edge = np.minimum(low + half, half - high)[rows, across]
    return ways, lengths, ~square | (to_edge < EDGE_MM)


def _inside(pieces: _Pieces, pairs: Pairs, way: Floats) -> Floats:
    """How much of the other's middle line lies over `one`'s box, thickness left out, mm.

    For what lies askew: a sloping plate behind a wall sheet.

    Args:
        pieces: All of them.
        pairs: Which lie on one another, each seen from its first piece, `one`.
        way: (n, 3) where the other's length runs, along the axes of `one`.
    """
    one, other, rows = pairs.a, pairs.b, np.arange(len(way))
    reach = pieces.boxes.half[other, pieces.lengths[other]]
    start = pairs.away - way * reach[:, None]
    # The thinnest side of `one` is the one they meet on: nothing is cut off there.
    limit = pieces.boxes.half[one].copy()
    limit[rows, np.argmin(limit, axis=1)] = np.inf
    level = np.abs(way) < 1e-9
    slant = np.where(level, 1.0, way)
    p, q = (-limit - start) / slant, (limit - start) / slant
    p, q = np.where(level, -np.inf, p), np.where(level, np.inf, q)
    first = np.maximum(np.minimum(p, q).max(axis=1), 0.0)
    last = np.minimum(np.maximum(p, q).min(axis=1), 2 * reach)
    return np.maximum(last - first, 0.0)

"""Which pieces touch, and which share the same space.

Four sieves, each exact about what it lets go:

1. boxes along the building's axes, swept along its longest axis, throw out the far pairs;
2. each piece's own box (its extent along u, v and n) against the other's decides every pair of
   plain blocks that stand square to one another, and throws out pairs that are clearly apart;
3. outlines of constant thickness along one line that have room between them, or whose boxes only
   meet, are measured in their plane;
4. what is left (bevels, birdsmouths, notches, bolts) goes to manifold3d in double precision.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from pikepole_model.building.boxes import (
    Boxes,
    Floats,
    Indices,
    Pairs,
    boxes_of,
    middles,
    near_pairs,
    pairs_of,
    separation,
)
from pikepole_model.building.outlines import outline_gaps
from pikepole_model.building.part import Part
from pikepole_model.geometry.mesh import manifold_of
from pikepole_model.geometry.placement import Placement, Points, Vector
from pikepole_model.geometry.shape import Shape

if TYPE_CHECKING:
    from manifold3d import Manifold

# Pieces this close count as touching, mm: a sheet gap of 1/8 in is 3.2 mm.
TOUCH_MM = 4.0

# Faces meant to meet may miss each other by this much, mm: recipes are rounded to a millionth and
# turned by cosines that are good to a few trillionths of a building's length.
NOISE_MM = 1e-5

# A common body, or a fin on one, that is thinner than this step is such a miss, mm. The step is
# askew to every face a carpenter would cut.
FILM_MM = 1e-3
ASKEW_MM: Vector = (0.61 * FILM_MM, 0.53 * FILM_MM, 0.59 * FILM_MM)

# Of so many pairs it is remembered how they meet, and of so many pieces their bodies: where one
# value after another is tried in a scene, most of a building stays as it was.
KEPT_PAIRS = 16_384
KEPT_BODIES = 4_096


@dataclass(frozen=True, slots=True)
class Contact:
    """Two pieces that touch or overlap.

    Attributes:
        a: Index of the one that comes first in the list of parts.
        b: Index of the other.
        gap_mm: Clear distance between them, 0 where they meet.
        common_volume_mm3: Volume that both fill, 0 where they only meet.
        penetration_mm: How far one is in the other: the least width of the common body along the
            axes and the face normals of both pieces, good where it is about convex; of several
            separate common bodies, the deepest. Good to 0.001 mm; 0 below that.
        at_mm: Centre of the (deepest) common body; where nothing is common, the middle of the
            region that b's extent along a's axes shares with a's own box. Building frame.
    """

    a: int
    b: int
    gap_mm: float
    common_volume_mm3: float
    penetration_mm: float
    at_mm: Vector


def find_contacts(parts: Sequence[Part]) -> tuple[Contact, ...]:
    """Every pair of parts with at most `TOUCH_MM` between them, in order of their indices.

    Raises:
        ValueError: a part's mesh is not a closed body.
    """
    if len(parts) < 2:
        return ()
    boxes = boxes_of(parts)
    plain = np.array([part.shape.is_box for part in parts])
    found: list[Contact] = []
    for a, b in near_pairs(boxes, TOUCH_MM + NOISE_MM):
        near = pairs_of(boxes, a, b)
        exact = near.square & plain[a] & plain[b]
        found += _block_contacts(boxes, near.only(exact))
        found += _body_contacts(boxes, near.only(~exact), parts)
    return tuple(sorted(found, key=lambda contact: (contact.a, contact.b)))


def _block_contacts(boxes: Boxes, pairs: Pairs) -> Iterator[Contact]:
    """Contacts of plain blocks square to one another: their common body is a block too."""
    extent = pairs.high - pairs.low
    gap = np.linalg.norm(np.maximum(-extent, 0.0), axis=1)
    extent = np.maximum(extent, 0.0)
    volume, depth, at = extent.prod(axis=1), extent.min(axis=1), middles(boxes, pairs)
    near = np.flatnonzero(gap <= TOUCH_MM + NOISE_MM)
    for row in near.tolist():
        yield Contact(
            int(pairs.a[row]),
            int(pairs.b[row]),
            float(gap[row]),
            float(volume[row]),
            float(depth[row]),
            _vector(at[row]),
        )


def _body_contacts(boxes: Boxes, pairs: Pairs, parts: Sequence[Part]) -> Iterator[Contact]:
    """Contacts of bodies of any form: between outlines, where that tells all, or by manifold3d."""
    apart = separation(boxes, pairs)
    near = apart <= TOUCH_MM + NOISE_MM
    apart, pairs = apart[near], pairs.only(near)
    # Boxes that only meet hold bodies that at most meet: nothing can be common.
    only_touch = apart >= -NOISE_MM
    gaps, at = outline_gaps(boxes, pairs, parts), middles(boxes, pairs)
    told = (gaps > 0) | (only_touch & (gaps == 0))
    for row in np.flatnonzero(~told | (gaps <= TOUCH_MM + NOISE_MM)).tolist():
        a, b = int(pairs.a[row]), int(pairs.b[row])
        if told[row]:
            met = _Meeting(float(gaps[row]))
        else:
            one, other = _Placed.of(parts[a]), _Placed.of(parts[b])
            met = _meeting(one, other, only_touch=bool(only_touch[row]))
        if met.gap_mm <= TOUCH_MM + NOISE_MM:
            where = met.at_mm or _vector(at[row])
            yield Contact(a, b, met.gap_mm, met.volume_mm3, met.depth_mm, where)


@dataclass(frozen=True, slots=True)
class _Placed:
    """A shape somewhere in the building."""

    shape: Shape
    placement: Placement

    @classmethod
    def of(cls, part: Part) -> _Placed:
        return cls(part.shape, part.placement)

    def directions(self) -> Points:
        """(n, 3) unit vectors of the building: the axes and face normals."""
        return _directions(self.shape) @ self.placement.matrix[:3, :3].T


@dataclass(frozen=True, slots=True)
class _Meeting:
    """How two bodies meet: as in `Contact`, and no place where nothing deep is common."""

    gap_mm: float
    volume_mm3: float = 0.0
    depth_mm: float = 0.0
    at_mm: Vector | None = None


@lru_cache(KEPT_PAIRS)
def _meeting(one: _Placed, other: _Placed, *, only_touch: bool) -> _Meeting:
    if not only_touch:
        common = _moved(one) ^ _moved(other)
        if not common.is_empty():
            return _Meeting(0.0, *_common(common, one, other))
    return _Meeting(_moved(one).min_gap(_moved(other), TOUCH_MM + 1.0))


@lru_cache(KEPT_BODIES)
def _moved(one: _Placed) -> Manifold:
    return _body(one.shape).transform(one.placement.matrix[:3])


@lru_cache(KEPT_BODIES)
def _body(shape: Shape) -> Manifold:
    return manifold_of(shape.mesh)


def _directions(shape: Shape) -> Points:
    """(n, 3) unit vectors of the shape's own axes: these and the normals of its faces."""
    p, q, r = shape.mesh.vertices[shape.mesh.triangles].swapaxes(0, 1)
    normals = np.cross(q - p, r - p)
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    return np.unique(np.round(np.concatenate([np.eye(3), normals]), 9), axis=0)


def _common(common: Manifold, one: _Placed, other: _Placed) -> tuple[float, float, Vector | None]:
    """Volume, greatest penetration and its place, of what two bodies share.

    Faces that only touch often share a film of float noise, which may run round a notch and so be
    wide along every axis, or stand as a fin on a real overlap. A small step askew parts a film
    from itself: what the common body still shares with itself after it is the overlap proper.
    Where many films lie side by side, the kernel may join the corners of some to a body that is not
    there: it is gone when the parts are met anew after that step.
    """
    volume = abs(common.volume())
    # No convex body is wider than 2 sqrt 3 times the radius of its greatest ball (Steinhagen),
    # nor that radius more than three times volume over surface.
    widest = 6 * np.sqrt(3) * volume
    if widest <= FILM_MM * common.surface_area():
        return volume, 0.0, None
    deepest, place = 0.0, None
    proper = common ^ common.translate(ASKEW_MM)
    if proper.is_empty():
        return volume, 0.0, None
    directions = np.concatenate([one.directions(), other.directions()])
    again = _moved(one) ^ _moved(other).translate(ASKEW_MM)
    for body in proper.decompose():
        if (body ^ again).volume() < body.volume() / 2:
            continue
        mesh = body.to_mesh64()
        points = np.asarray(mesh.vert_properties)[:, :3]
        # The step takes its own length off every width; put it back (a fin gives less away, so
        # that a width may come out too large by as much).
        widths = np.ptp(points @ directions.T, axis=0) + np.abs(directions @ ASKEW_MM)
        width = float(widths.min())
        if width > deepest:
            centre = _centroid(points, np.asarray(mesh.tri_verts).astype(np.intp))
            deepest, place = width, _vector(centre - np.array(ASKEW_MM) / 2)
    return volume, deepest, place


def _centroid(points: Points, triangles: Indices) -> Points:
    """Centre of a closed mesh, by tetrahedra from its first point."""
    p, q, r = (points[triangles] - points[0]).swapaxes(0, 1)
    pieces = np.einsum("ij,ij->i", p, np.cross(q, r))
    return points[0] + pieces @ (p + q + r) / (4 * pieces.sum())


def _vector(row: Floats) -> Vector:
    x, y, z = row.tolist()
    return x, y, z

"""The flat faces of parts that look towards a side, each as an outline with its depth."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pikepole_export.derive.views.side import Side
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Points
from pikepole_model.geometry.shape import Shape

# A face turned farther than this from the side is seen edge on: its cosine.
EDGE_ON = 1e-3
# Facets whose normals and offsets differ by no more lie in one plane.
NORMAL_STEP, OFFSET_MM = 1e-5, 1e-2
LEAST_MM2 = 0.01  # that a face covers in the view


@dataclass(frozen=True, slots=True)
class Faces:
    """Faces in a view, in the order of their parts.

    Attributes:
        outlines: (n,) shapely polygons in the view, mm.
        edges: (n,) shapely lines: what is drawn round each, not where a curve is in facets.
        planes: (n, 3) float: depth a x + b y + c at a point (x, y) of the view, mm, nearer is more.
        depths: (n, 2) float: the least and the most depth of each, mm.
        owners: (n,) int: the place of each one's part among those given.
    """

    outlines: NDArray[np.object_]
    edges: NDArray[np.object_]
    planes: Points
    depths: Points
    owners: NDArray[np.int_]

    def of(self, chosen: NDArray[np.int_] | NDArray[np.bool_]) -> Faces:
        """Some of them."""
        return Faces(*(column[chosen] for column in self._columns))

    @property
    def _columns(self) -> tuple[NDArray[Any], ...]:
        return (self.outlines, self.edges, self.planes, self.depths, self.owners)

    def joined(self, other: Faces) -> Faces:
        """Its own and then those of another lot."""
        pairs = zip(self._columns, other._columns, strict=True)
        return Faces(*(np.concatenate(pair) for pair in pairs))


def faces_towards(parts: Sequence[Part], side: Side) -> Faces:
    """Every face of some parts that looks towards a side, hidden or not.

    Args:
        parts: Whose they are.
        side: It is seen from.
    """
    corners: list[Points] = [np.empty((0, 3, 3))]
    numbers: list[NDArray[np.int_]] = [np.empty(0, dtype=int)]
    bends: list[tuple[int, int, Points, NDArray[np.int_]]] = []
    triangles, owner_of_number = 0, list[int]()
    for owner, part in enumerate(parts):
        number, bent = _facets(part.shape)
        points = side.seen(part.vertices_mm)
        if len(bent):
            bends.append((owner, triangles, points, bent))
        corners.append(points[part.shape.mesh.triangles])
        numbers.append(number + len(owner_of_number))
        owner_of_number += [owner] * (int(number.max()) + 1)
        triangles += len(number)
    every, number_of = np.concatenate(corners), np.concatenate(numbers)
    facing = _normals(every)[:, 2] > EDGE_ON
    curved: list[tuple[int, BaseGeometry]] = []
    for owner, first, points, bent in bends:
        inside = bent[facing[bent[:, 2:] + first].all(axis=1), :2]
        lines = shapely.union_all(shapely.linestrings(points[inside][:, :, :2]))
        curved.append((owner, shapely.buffer(lines, LEAST_MM2)))
    found = _faces(every[facing], number_of[facing], np.array(owner_of_number, dtype=int))
    for owner, lines in curved:
        own = found.owners == owner
        found.edges[own] = shapely.difference(found.edges[own], lines)
    return found


def _faces(triangles: Points, numbers: NDArray[np.int_], owners: NDArray[np.int_]) -> Faces:
    """Faces of their triangles, all at once.

    Args:
        triangles: (m, 3, 3) of the view, mm.
        numbers: (m,) the face that each belongs to.
        owners: For each number its part.
    """
    order = np.argsort(numbers, kind="stable")
    triangles, numbers = triangles[order], numbers[order]
    starts = np.flatnonzero(np.diff(numbers, prepend=-1))
    if not len(starts):
        return Faces(as_array([]), as_array([]), np.empty((0, 3)), np.empty((0, 2)), starts)
    one, other = (triangles[:, k, :2] - triangles[:, 0, :2] for k in (1, 2))
    doubled = np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0])
    covered_mm2 = np.add.reduceat(doubled, starts) / 2
    # Most faces are convex: much faster than a union.
    face_of = np.repeat(np.arange(len(starts)), np.diff(starts, append=len(numbers)))
    points = shapely.multipoints(triangles[:, :, :2].reshape(-1, 2), indices=np.repeat(face_of, 3))
    outlines = np.asarray(shapely.convex_hull(points), dtype=object)
    ends = np.append(starts[1:], len(numbers))
    for face in np.flatnonzero(shapely.area(outlines) - covered_mm2 >= LEAST_MM2).tolist():
        own = triangles[starts[face] : ends[face], :, :2]
        outlines[face] = shapely.coverage_union_all(shapely.polygons(own))
    first = triangles[starts]
    normals = _normals(first)
    a, b = (-normals[:, k] / normals[:, 2] for k in (0, 1))
    x, y, z = first[:, 0].T
    depths = triangles[:, :, 2]
    found = Faces(
        outlines,
        np.asarray(shapely.boundary(outlines), dtype=object),
        np.column_stack([a, b, z - a * x - b * y]),
        np.column_stack(
            [
                np.minimum.reduceat(depths.min(axis=1), starts),
                np.maximum.reduceat(depths.max(axis=1), starts),
            ]
        ),
        owners[numbers[starts]],
    )
    return found.of(covered_mm2 >= LEAST_MM2)


def _normals(corners: Points) -> Points:
    """(m, 3) unit normals of triangles, (m, 3, 3)."""
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    return normals


def as_array(some: Sequence[BaseGeometry]) -> NDArray[np.object_]:
    """(n,) geometries, which numpy would take apart itself."""
    found = np.empty(len(some), dtype=object)
    found[:] = some
    return found


@lru_cache(maxsize=4096)  # looked at from several sides
def _facets(shape: Shape) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """For each triangle of a shape the number of its plane; and where facets of a curve meet."""
    number = _planes_of(shape)
    return number, _bent(shape, number)


def _planes_of(shape: Shape) -> NDArray[np.int_]:
    """(m,) int: the number of the plane that each triangle of a shape lies in."""
    corners = shape.mesh.vertices[shape.mesh.triangles]
    normals = _normals(corners)
    offsets = np.einsum("ij,ij->i", normals, corners[:, 0])
    keys = [_alike(column, NORMAL_STEP) for column in normals.T]
    keys.append(_alike(offsets, OFFSET_MM))
    _, number = np.unique(np.column_stack(keys), axis=0, return_inverse=True)
    return number.reshape(-1)


def _alike(values: NDArray[np.float64], step: float) -> NDArray[np.int_]:
    """(n,) int: the same number for values a step apart at most; rounding would part some."""
    order = np.argsort(values, kind="stable")
    alike = np.empty(len(values), dtype=int)
    alike[order] = np.cumsum(np.diff(values[order], prepend=values[order[0]]) > step)
    return alike


def _bent(shape: Shape, number: NDArray[np.int_]) -> NDArray[np.int_]:
    """(k, 4) int: where facets of a curve meet, two vertices and the two triangles."""
    mesh = shape.mesh
    sharp = {tuple(edge) for edge in mesh.edges.tolist()}
    first: dict[tuple[int, int], int] = {}
    found: list[tuple[int, int, int, int]] = []
    if shape.is_box:
        return np.empty((0, 4), dtype=int)
    for one, corners in enumerate(mesh.triangles.tolist()):
        for a, b in itertools.pairwise((*corners, corners[0])):
            edge = (min(a, b), max(a, b))
            other = first.setdefault(edge, one)
            if other != one and number[other] != number[one] and edge not in sharp:
                found.append((*edge, other, one))
    return np.array(found, dtype=int).reshape(-1, 4)

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
    outlines: list[BaseGeometry] = []
    planes: list[tuple[float, float, float]] = []
    depths: list[tuple[float, float]] = []
    owners: list[int] = []
    curved: list[tuple[int, BaseGeometry]] = []
    for owner, part in enumerate(parts):
        triangles = part.shape.mesh.triangles
        number, bent = _facets(part.shape)
        points = side.seen(part.vertices_mm)
        corners = points[triangles]
        normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        normals /= np.linalg.norm(normals, axis=1, keepdims=True)
        facing = normals[:, 2] > EDGE_ON
        if len(bent):
            inside = bent[facing[bent[:, 2:]].all(axis=1), :2]
            lines = shapely.union_all(shapely.linestrings(points[inside][:, :, :2]))
            curved.append((owner, shapely.buffer(lines, LEAST_MM2)))
        for one in np.unique(number[facing]).tolist():
            own = (number == one) & facing
            outline = _outline(corners[own][:, :, :2])
            if outline is None:
                continue
            a, b = -normals[own][0, :2] / normals[own][0, 2]
            x, y, z = corners[own][0, 0]
            outlines.append(outline)
            planes.append((float(a), float(b), float(z - a * x - b * y)))
            depths.append((float(corners[own][:, :, 2].min()), float(corners[own][:, :, 2].max())))
            owners.append(owner)
    found, owner_of = as_array(outlines), np.array(owners, dtype=int)
    edges = shapely.boundary(found)
    for owner, lines in curved:
        edges[owner_of == owner] = shapely.difference(edges[owner_of == owner], lines)
    return Faces(
        found, edges, np.array(planes).reshape(-1, 3), np.array(depths).reshape(-1, 2), owner_of
    )


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
    a, b, c = (shape.mesh.vertices[shape.mesh.triangles[:, corner]] for corner in range(3))
    normals = np.cross(b - a, c - a)
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    offsets = np.einsum("ij,ij->i", normals, a)
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


def _outline(triangles: Points) -> BaseGeometry | None:
    """What triangles in the view cover, (n, 3, 2); None where that is nothing to speak of."""
    one, other = triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    covered_mm2 = float(np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]).sum()) / 2
    if covered_mm2 < LEAST_MM2:
        return None
    hull: BaseGeometry = shapely.MultiPoint(triangles.reshape(-1, 2)).convex_hull
    if hull.area - covered_mm2 < LEAST_MM2:
        return hull  # most faces: much faster than a union
    whole: BaseGeometry = shapely.coverage_union_all(shapely.polygons(triangles))
    return whole

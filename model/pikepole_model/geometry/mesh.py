"""A shape in triangles: an extrusion from its outline, all else as the CAD kernel meshes it."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pikepole_model.geometry.placement import Points, Vector

if TYPE_CHECKING:
    import cadquery as cq

# Mesh nodes of neighbouring faces that lie nearer than this are one: what a boolean cut of the
# kernel may be off by, and far under the thinnest sheet.
SAME_MM = 1e-4

# A facet of less has its corners in a line: where edges of two holes are in line with one another
# no plane body is without such.
NO_SIZE_MM2 = 1e-6

# Curved faces are meshed this finely. A bolt and its hole get the same facets.
CHORD_MM = 0.1
CHORD_ANGLE_RAD = 0.25


@dataclass(frozen=True)
class Mesh:
    """A closed triangle mesh in the shape's own frame.

    Attributes:
        vertices: (n, 3) float, mm.
        triangles: (m, 3) int, counter-clockwise seen from outside.
    """

    vertices: Points
    triangles: NDArray[np.int32]

    @cached_property
    def edges(self) -> NDArray[np.int32]:
        """(k, 2) int: pairs of vertices on the solid's real edges, for drawing."""
        return _sharp_edges(self.vertices, self.triangles)


def extruded_mesh(loops: Sequence[Sequence[tuple[float, float]]], thickness: float) -> Mesh:
    """The triangles of straight-sided outlines made so thick upwards, mm.

    Args:
        loops: The outer loop, counter-clockwise, and those of its holes, clockwise.
        thickness: Along n, mm.
    """
    import manifold3d

    rings = [np.array(loop) for loop in loops]
    flat = np.concatenate(rings)
    here, count = np.arange(len(flat)), len(flat)
    ends = np.cumsum([len(ring) for ring in rings])
    after = here + 1
    after[ends - 1] = [0, *ends[:-1]]
    face = manifold3d.triangulate(rings, allow_convex=False)
    sides = np.stack([here, after, after + count, here, after + count, here + count], axis=1)
    vertices = np.concatenate(
        [np.column_stack([flat, np.full(count, height)]) for height in (0.0, thickness)]
    )
    triangles = np.concatenate([face[:, ::-1], face + count, sides.reshape(-1, 3)])
    triangles = triangles.astype(np.int32)
    return Mesh(vertices, triangles)


def flat_faced_mesh(corners: Sequence[Vector], faces: Sequence[Sequence[int]]) -> Mesh:
    """The triangles of a closed body of flat faces, each a fan from its first corner.

    Args:
        corners: Its corners, mm.
        faces: The numbers of each face's corners, counter-clockwise seen from outside.
    """
    vertices = np.array(corners)
    triangles = np.array(
        [(face[0], b, c) for face in faces for b, c in itertools.pairwise(face[1:])],
        dtype=np.int32,
    )
    return Mesh(vertices, triangles)


def mesh_of(solid: cq.Solid) -> Mesh:
    """The solid's tessellation, vertices merged so that every edge is shared by two facets.

    Raises:
        ValueError: a face of the solid is no face.
    """
    from OCP.BRep import BRep_Tool
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.TopAbs import TopAbs_Orientation
    from OCP.TopLoc import TopLoc_Location

    BRepMesh_IncrementalMesh(solid.wrapped, CHORD_MM, False, CHORD_ANGLE_RAD, False)
    points: list[Vector] = []
    triangles: list[tuple[int, int, int]] = []
    for face in (found.wrapped for found in solid.Faces()):
        location = TopLoc_Location()  # a face left by a cut keeps the tool's place
        facets = BRep_Tool.Triangulation_s(face, location)
        if facets is None:
            raise ValueError("an outline crosses itself, or encloses nothing")
        place = location.Transformation()
        start = len(points) - 1
        nodes = [facets.Node(i) for i in range(1, facets.NbNodes() + 1)]
        if not location.IsIdentity():
            nodes = [node.Transformed(place) for node in nodes]
        points += [node.Coord() for node in nodes]
        inward = face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
        for i in range(1, facets.NbTriangles() + 1):
            a, b, c = facets.Triangle(i).Get()
            triangles.append(
                (start + a, start + c, start + b) if inward else (start + a, start + b, start + c)
            )
    # Neighbouring faces mesh their shared edge with the same nodes; give those one number.
    cells = _cells(np.array(points))
    # One number for all three, in the same order: much faster than to compare rows.
    keys = np.ravel_multi_index(tuple(cells.T), tuple(cells.max(axis=0) + 1))
    _, first, number = np.unique(keys, return_index=True, return_inverse=True)
    vertices = np.array(points)[first]
    faces = number[np.array(triangles)].astype(np.int32)
    return Mesh(vertices, faces)


def _cells(points: Points) -> NDArray[np.int64]:
    """(n, 3) int: numbers of the points' coordinates, equal where they lie within SAME_MM.

    Rounding would part two that happen to lie either side of a rounding edge.
    """
    cells = np.empty(points.shape, dtype=np.int64)
    for axis, values in enumerate(points.T):
        order = np.argsort(values, kind="stable")
        cells[order, axis] = np.cumsum(np.diff(values[order], prepend=values[order[0]]) > SAME_MM)
    return cells


def _sharp_edges(vertices: Points, triangles: NDArray[np.int32]) -> NDArray[np.int32]:
    """(k, 2) int: the mesh edges across which the surface turns by more than a facet of a curve."""
    corners = vertices[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normals, axis=1)
    in_line = size < NO_SIZE_MM2
    normals /= np.where(in_line, 1.0, size)[:, np.newaxis]
    edges = np.sort(triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    order = np.lexsort((edges[:, 1], edges[:, 0]))
    pairs, sides = edges[order].reshape(-1, 2, 2), np.repeat(np.arange(len(triangles)), 3)[order]
    sides = sides.reshape(-1, 2)
    long = np.linalg.norm(vertices[pairs[:, 0, 0]] - vertices[pairs[:, 0, 1]], axis=1)
    for flat in np.flatnonzero(in_line):
        # Three corners in a line lie in the facet beyond their longest side.
        (own,) = np.nonzero((sides == flat).any(axis=1))
        normals[flat] = normals[sides[own[np.argmax(long[own])]].sum() - flat]
    a, b = normals[sides].swapaxes(0, 1)
    sharp = np.einsum("ij,ij->i", a, b) < np.cos(2 * CHORD_ANGLE_RAD)
    return pairs[sharp, 0].astype(np.int32)

"""A body in triangles: an outline made thick, flat faces, and what cuts leave of them.

The CAD kernel takes seconds to import, and triangles need none of it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pikepole_model.geometry.placement import Placement, Points, Vector

if TYPE_CHECKING:
    from manifold3d import Manifold

# Corners that lie nearer than this are one: what a cut may be off by, and far under the thinnest
# sheet.
SAME_MM = 1e-4

# A facet of less has its corners in a line: where edges of two holes are in line with one another
# no plane body is without such.
NO_SIZE_MM2 = 1e-6

# No facet of a round face is further from it, and none turns by more. A bolt and its hole get the
# same facets.
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

    @property
    def volume_and_centre(self) -> tuple[float, Vector]:
        """What it encloses, mm3, and the middle of that, mm: of the pyramids on its facets.

        Their tips are in one corner. Source: the divergence theorem.
        """
        tip = self.vertices[0]
        corners = (self.vertices - tip)[self.triangles]
        volumes = np.linalg.det(corners) / 6
        volume = float(volumes.sum())
        x, y, z = tip + volumes @ corners.sum(axis=1) / (4 * volume) if volume else tip
        return volume, (float(x), float(y), float(z))


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


def cut_mesh(mesh: Mesh, tools: Sequence[tuple[Mesh, Placement]]) -> Mesh:
    """What is left of a body when others, each where it is placed, are taken out of it.

    Raises:
        ValueError: it is not one body.
    """
    import manifold3d

    placed = [manifold_of(tool).transform(place.matrix[:3]) for tool, place in tools]
    whole = [manifold_of(mesh), *placed]
    # Of faces that were one before they met a tool, one is made again.
    left = manifold3d.Manifold.batch_boolean(whole, manifold3d.OpType.Subtract).as_original()
    bodies = left.simplify(SAME_MM).decompose()
    if len(bodies) != 1:
        raise ValueError(f"the cuts leave {len(bodies)} bodies where one was meant")
    made = bodies[0].to_mesh64()
    return Mesh(np.array(made.vert_properties), np.array(made.tri_verts, dtype=np.int32))


def manifold_of(mesh: Mesh) -> Manifold:
    """A mesh as a body that others can be taken out of and measured against.

    Raises:
        ValueError: it is not closed.
    """
    import manifold3d

    body = manifold3d.Manifold(manifold3d.Mesh64(mesh.vertices, mesh.triangles.astype(np.uint64)))
    if body.is_empty():
        raise ValueError(f"a mesh is not a closed body: {body.status()}")
    return body


def round_loop(u: float, v: float, radius: float) -> list[tuple[float, float]]:
    """A circle as a polygon of the same area, counter-clockwise, mm: it bounds as much.

    Its corners are the same after any quarter turn, as a bolt may stand in its hole.

    Args:
        u: Its centre.
        v: Its centre.
        radius: Above zero.
    """
    most = min(CHORD_ANGLE_RAD, 2 * math.acos(max(0.0, 1 - CHORD_MM / radius)))
    quarter = math.ceil(math.pi / 2 / most)
    turn = math.pi / 2 / quarter
    corner = radius * math.sqrt(turn / math.sin(turn))
    first = [(corner * math.cos(turn * k), corner * math.sin(turn * k)) for k in range(quarter)]
    second = [(-y, x) for x, y in first]
    around = [*first, *second, *((-x, -y) for x, y in (*first, *second))]
    return [(u + x, v + y) for x, y in around]


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

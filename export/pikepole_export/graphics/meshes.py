"""Many parts as one mesh that still knows whose each triangle is, and how thick a solid is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pikepole_model.building.part import Part
from pikepole_model.geometry.mesh import Mesh
from pikepole_model.geometry.placement import Points


@dataclass(frozen=True, slots=True)
class Merged:
    """Parts joined end to end in one set of arrays, in the building's frame.

    Attributes:
        vertices: (n, 3) float, mm.
        triangles: (m, 3) int, rows of vertices, counter-clockwise seen from outside.
        owners: (m,) int, for each triangle the place of its part in the parts given.
        edges: (k, 2) int, pairs of vertices on the solids' real edges.
        edge_owners: (k,) int, the same for each edge.
    """

    vertices: Points
    triangles: NDArray[np.int32]
    owners: NDArray[np.int32]
    edges: NDArray[np.int32]
    edge_owners: NDArray[np.int32]

    @property
    def normals(self) -> Points:
        """(m, 3) float: unit vector out of each triangle."""
        a, b, c = (self.vertices[self.triangles[:, i]] for i in range(3))
        normals = np.cross(b - a, c - a)
        return normals / np.linalg.norm(normals, axis=1, keepdims=True)


def thickness_mm(mesh: Mesh) -> float:
    """How thick a sheet is, flat or bent, mm: twice its volume to its surface; half of a bar."""
    a, b, c = (mesh.vertices[mesh.triangles[:, corner]] for corner in range(3))
    across = np.cross(b - a, c - a)
    volume_mm3 = float(np.einsum("ij,ij->", a, across)) / 6
    area_mm2 = float(np.linalg.norm(across, axis=1).sum()) / 2
    return 2 * volume_mm3 / area_mm2


def merge(parts: Sequence[Part]) -> Merged:
    """The meshes of parts, where they stand, as one."""
    meshes = [part.shape.mesh for part in parts]
    counts = [len(mesh.triangles) for mesh in meshes]
    starts = np.cumsum([0] + [len(mesh.vertices) for mesh in meshes]).tolist()
    triangles = [mesh.triangles + start for mesh, start in zip(meshes, starts, strict=False)]
    edges = [mesh.edges + start for mesh, start in zip(meshes, starts, strict=False)]
    # The empty arrays give what has no parts, or no edges, its right shape.
    return Merged(
        vertices=np.concatenate([np.empty((0, 3)), *(part.vertices_mm for part in parts)]),
        triangles=np.concatenate([np.empty((0, 3), np.int32), *triangles], dtype=np.int32),
        owners=np.repeat(np.arange(len(parts), dtype=np.int32), counts),
        edges=np.concatenate([np.empty((0, 2), np.int32), *edges], dtype=np.int32),
        edge_owners=np.repeat(
            np.arange(len(parts), dtype=np.int32), [len(mesh.edges) for mesh in meshes]
        ),
    )

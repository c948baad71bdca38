"""The building's solids for the page: each shape once, and every place where a piece of it stands.

packed(building) -> what page.js reads: numbers as little-endian bytes in base64

    vertices    float32, 3 to a vertex, mm, in the frame of their shape
    triangles   uint32, 3 to a triangle, vertices of their shape, counter-clockwise from outside
    edges       uint32, 2 to an edge, vertices of their shape
    sizes       uint32, 4 to a shape: how many vertices, triangles, edges it has, whether it is thin
    places      float32, 9 to a place: its origin, u and v in the building's frame
    standing    uint32, 5 to a place: piece, shape, look, first and last stage in which it is there

A piece of a building that is moved has several places, none at the same time. Stages are counted
from 0.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from pikepole_export.graphics.colours import LOOKS, part_look
from pikepole_export.graphics.layers import layers_of, standing_layers
from pikepole_export.graphics.meshes import thickness_mm
from pikepole_model.building.part import Building

_THIN_MM = 5.0  # felt and sheet metal are thinner
_FLOATS, _INTEGERS = "<f4", "<u4"


def packed(building: Building) -> dict[str, str]:
    """All arrays by name.

    Args:
        building: Pieces are numbered in the order of its parts.

    Raises:
        ValueError: a solid cannot be made.
    """
    pieces = {part.name: number for number, part in enumerate(building.parts)}
    layers, stages = layers_of(building), _stages(building)
    shapes = {part.shape: None for parts in layers.values() for part in parts}
    numbers = {shape: number for number, shape in enumerate(shapes)}
    looks = {look: number for number, look in enumerate(LOOKS)}
    meshes = [shape.mesh for shape in shapes]
    there = [(part, stages[layer]) for layer, parts in layers.items() for part in parts]
    return {
        "vertices": _packed((mesh.vertices for mesh in meshes), _FLOATS),
        "triangles": _packed((mesh.triangles for mesh in meshes), _INTEGERS),
        "edges": _packed((mesh.edges for mesh in meshes), _INTEGERS),
        "sizes": _packed(
            (
                [
                    len(mesh.vertices),
                    len(mesh.triangles),
                    len(mesh.edges),
                    thickness_mm(mesh) < _THIN_MM,
                ]
                for mesh in meshes
            ),
            _INTEGERS,
        ),
        "places": _packed(
            ([part.placement.origin, part.placement.u, part.placement.v] for part, _ in there),
            _FLOATS,
        ),
        "standing": _packed(
            (
                [pieces[part.name], numbers[part.shape], looks[part_look(part)], *between]
                for part, between in there
            ),
            _INTEGERS,
        ),
    }


def _stages(building: Building) -> dict[str, tuple[int, int]]:
    """The first and the last stage in which each layer is there, by their places from 0."""
    found: dict[str, tuple[int, int]] = {}
    for place, stage in enumerate(building.stages):
        for layer in (*standing_layers(building, stage.number), f"stage{place}"):
            first, _ = found.get(layer, (place, place))
            found[layer] = first, place
    return found


def _packed(rows: Iterable[object], kind: str) -> str:
    flat: list[NDArray[np.generic]] = [np.asarray(row).ravel() for row in rows]
    return base64.b64encode(np.concatenate(flat).astype(kind).tobytes()).decode()

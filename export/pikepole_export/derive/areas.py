"""What there is to paint and to prime: the walls, by surface.

    surfaces(building) -> tuple[Surface, ...]     each wall outside, then inside; floor

Everything is measured on the solids. Paint covers what is seen square to the wall: the facets of
its pieces that face that way, laid over one another in the wall's plane, so that a batten hides
the board behind it and an opening is left open. The narrow edges of boards and battens, which face
sideways, are not in it: they are a few parts in a hundred, and less than what brush and wood take.
Inside, a wall ends at the framing of its neighbours and at the floor.
Primer covers every face of a piece of cladding, its back and its cut ends too, because it is primed
before it goes up; on any other surface it covers what paint does.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_model.part import Building, Kind, Part
from pikepole_model.placement import Points, Vector

CLADDING = frozenset({Kind.SIDING, Kind.UPRIGHT_BOARD, Kind.STRIP, Kind.BATTEN, Kind.CORNER_BOARD})

# Outwards from each wall, and to the right along it as seen from outside.
WALLS: dict[str, tuple[Vector, Vector]] = {
    "front": ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0)),
    "back": ((0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)),
    "left": ((-1.0, 0.0, 0.0), (0.0, -1.0, 0.0)),
    "right": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
}
UP: Vector = (0.0, 0.0, 1.0)

# A facet whose normal is this near to a direction, as a cosine, faces it.
FACING = 0.999


@dataclass(frozen=True, slots=True)
class Surface:
    """A surface to paint.

    Attributes:
        name: "front wall outside", "front wall inside", "floor".
        of: What it is made of, by kind: "siding board, batten", "wall sheet".
        paint_mm2: What is seen of it, square to it, mm2.
        primer_mm2: What is primed, mm2.
    """

    name: str
    of: str
    paint_mm2: float
    primer_mm2: float


def surfaces(building: Building) -> tuple[Surface, ...]:
    """Each wall outside and inside, and the floor; none where there is nothing."""
    return tuple(surface for surface in _surfaces(building) if surface.paint_mm2 > 0)


def _surfaces(building: Building) -> Iterator[Surface]:
    for wall, (out, along) in WALLS.items():
        parts = [part for part in building.parts if part.group == f"{wall} wall cladding"]
        clad = [part for part in parts if part.kind in CLADDING]
        sheets = _sheets(building, wall)
        seen = _seen(clad or sheets, out, along, UP)
        primed = sum(_all_faces_mm2(part) for part in clad) if clad else seen
        yield Surface(f"{wall} wall outside", _kinds(clad or sheets), seen, primed)
    room = _room(building)
    for wall, (out, along) in WALLS.items():
        sheets = _sheets(building, wall)
        inwards = (-out[0], -out[1], -out[2])
        seen = _seen(sheets, inwards, along, UP, within=room)
        yield Surface(f"{wall} wall inside", _kinds(sheets), seen, seen)
    floor = [part for part in building.parts if part.kind == Kind.FLOOR_SHEET]
    seen = _seen(floor, UP, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), within=room)
    yield Surface("floor", _kinds(floor), seen, seen)


def _sheets(building: Building, wall: str) -> list[Part]:
    group = f"{wall} wall sheathing"
    return [p for p in building.parts if p.group == group and p.kind == Kind.WALL_SHEET]


def _kinds(parts: Iterable[Part]) -> str:
    return ", ".join(dict.fromkeys(part.kind.value for part in parts))


def _room(building: Building) -> Points:
    """(2, 3) float: low and high corner of the space between the four walls' framing, mm."""
    framing = {
        wall: np.concatenate([p.vertices_mm for p in building.parts if p.group == f"{wall} wall"])
        for wall in WALLS
    }
    heights = np.concatenate([points[:, 2] for points in framing.values()])
    low = (framing["left"][:, 0].max(), framing["front"][:, 1].max(), heights.min())
    high = (framing["right"][:, 0].min(), framing["back"][:, 1].min(), heights.max())
    return np.array([low, high])


def _seen(
    parts: Iterable[Part], towards: Vector, u: Vector, v: Vector, within: Points | None = None
) -> float:
    """Area of what faces a viewer, pieces in front of others counted once, mm2."""
    plane = np.array([u, v])
    seen = shapely.union_all([_facing(part, np.array(towards), plane) for part in parts])
    if within is not None:
        (u0, v0), (u1, v1) = np.sort(within @ plane.T, axis=0)
        seen = shapely.intersection(seen, shapely.box(u0, v0, u1, v1))
    return float(seen.area)


def _facing(part: Part, towards: Points, plane: Points) -> BaseGeometry:
    """What of a part faces a direction, in a plane square to that."""
    corners = part.vertices_mm[part.shape.mesh.triangles]
    square = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    faces = square @ towards > FACING * np.linalg.norm(square, axis=1)
    return shapely.union_all(shapely.polygons(corners[faces] @ plane.T))


def _all_faces_mm2(part: Part) -> float:
    """Area of a part's whole surface, mm2."""
    corners = part.shape.mesh.vertices[part.shape.mesh.triangles]
    square = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.linalg.norm(square, axis=1).sum() / 2)

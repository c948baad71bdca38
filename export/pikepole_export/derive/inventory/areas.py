"""What there is to paint and to prime: the walls, by surface.

    surfaces(building) -> tuple[Surface, ...]     the walls outside, the walls inside, the floor

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
from typing import Literal

import numpy as np
import shapely

from pikepole_model.building.kinds import CLADDING, FLOORING, SLATS, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points, Vector
from pikepole_model.scene.schema import Scene

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
        name: "front wall", "floor".
        side: Which side of it is seen, of the building's.
        of: What it is made of, by kind: "siding board, batten", "wall sheet".
        area_mm2: What is painted: what is seen of it, square to it, mm2.
        primer_area_mm2: What is primed, mm2.
    """

    name: str
    side: Literal["outside", "inside"]
    of: str
    area_mm2: float
    primer_area_mm2: float


def walls_of(scene: Scene) -> dict[str, tuple[Vector, Vector]]:
    """The same for a scene's walls: a clerestory faces the way that its lower roof falls."""
    if not scene.roof.clerestory:
        return WALLS
    return {**WALLS, "clerestory": WALLS["front" if scene.roof.falls == "back" else "back"]}


def surfaces(building: Building) -> tuple[Surface, ...]:
    """Each wall outside and inside, and the floor; none where there is nothing."""
    return (*outside(building), *_there(_inside(building), building))


def outside(building: Building) -> Iterator[Surface]:
    """Each wall outside; none where there is nothing."""
    yield from _there(_outside(building), building)


def _there(surfaces: Iterable[Surface], building: Building) -> Iterator[Surface]:
    if not building.scene.posts:
        yield from (surface for surface in surfaces if surface.area_mm2 > 0)


def _outside(building: Building) -> Iterator[Surface]:
    for wall, (out, along) in walls_of(building.scene).items():
        groups = (f"{wall} wall cladding", f"{wall} wall slats")
        parts = [part for part in building.parts if part.group in groups]
        clad = [part for part in parts if part.kind in CLADDING | SLATS]
        outermost = clad or _sheets(building, wall)
        facets = _facets(outermost)
        seen = _seen_mm2(facets, out, along, UP)
        primed = float(np.linalg.norm(_squares(facets), axis=1).sum()) / 2 if clad else seen
        yield Surface(f"{wall} wall", "outside", kinds_of(outermost), seen, primed)


def _inside(building: Building) -> Iterator[Surface]:
    room = _room(building)
    for wall, (out, along) in walls_of(building.scene).items():
        lining = [part for part in building.parts if part.group == f"{wall} wall lining"]
        sheets = [p for p in lining if p.kind == Kind.LINING] or _sheets(building, wall)
        inwards = (-out[0], -out[1], -out[2])
        seen = _seen_mm2(_facets(sheets), inwards, along, UP, within=room)
        yield Surface(f"{wall} wall", "inside", kinds_of(sheets), seen, seen)
    floor = [part for part in building.parts if part.kind in FLOORING]
    seen = _seen_mm2(_facets(floor), UP, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), within=room)
    yield Surface("floor", "inside", kinds_of(floor), seen, seen)


def _sheets(building: Building, wall: str) -> list[Part]:
    group = f"{wall} wall sheathing"
    return [p for p in building.parts if p.group == group and p.kind == Kind.WALL_SHEET]


def kinds_of(parts: Iterable[Part]) -> str:
    """Kinds, each once: "stud, top plate"."""
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


def _facets(parts: Iterable[Part]) -> Points:
    """(n, 3, 3) float: the corners of every facet of some parts, mm."""
    facets = [part.vertices_mm[part.shape.mesh.triangles] for part in parts]
    return np.concatenate([np.empty((0, 3, 3)), *facets])


def _squares(facets: Points) -> Points:
    """(n, 3) float: outwards and square to each facet, as long as twice its area, mm2."""
    return np.cross(facets[:, 1] - facets[:, 0], facets[:, 2] - facets[:, 0])


def _seen_mm2(
    facets: Points, towards: Vector, u: Vector, v: Vector, within: Points | None = None
) -> float:
    """Area of what faces a viewer, where several facets lie over one another counted once, mm2."""
    squares, plane = _squares(facets), np.array([u, v])
    faces = squares @ np.array(towards) > FACING * np.linalg.norm(squares, axis=1)
    seen = shapely.union_all(shapely.polygons(facets[faces] @ plane.T))
    if within is not None:
        (u0, v0), (u1, v1) = np.sort(within @ plane.T, axis=0)
        seen = shapely.intersection(seen, shapely.box(u0, v0, u1, v1))
    return float(seen.area)

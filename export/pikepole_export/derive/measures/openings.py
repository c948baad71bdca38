"""Doors and windows as they stand in their walls: rough openings, measured from the ground.

openings_of(building) -> Opening, ...           in the order of the scene
swings_of(building, opening) -> Swing, ...      how its hinged leaves turn, from above
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from string import ascii_uppercase

import numpy as np

from pikepole_export.derive.measures.layouts import seen_from_outside
from pikepole_export.derive.views.side import SIDES, Side
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import DECK, Kind
from pikepole_model.building.part import Building, LeafRecord, Part
from pikepole_model.scene.types import AnyWall, Wall

SAME_MM = 1.0  # heights nearer than this are one


@dataclass(frozen=True, slots=True)
class RoughOpening:
    """One opening in a wall.

    Attributes:
        mark: "A", "B" and so on.
        name: As the scene has it.
        kind: "door" or "window".
        wall: The side of the building that its wall faces.
        along: From and to along the wall in the building's frame, mm: x or, in a side wall, y.
        z: Sill and head over the ground, mm.
        floor_mm: Top of floor over the ground.
        face_mm: Outer face of its wall's framing: y or, of a side wall, x.
    """

    mark: str
    name: str
    kind: str
    wall: Wall
    along: tuple[float, float]
    z: tuple[float, float]
    floor_mm: float
    face_mm: float

    @property
    def width_mm(self) -> float:
        """Width of the rough opening."""
        return self.along[1] - self.along[0]

    @property
    def height_mm(self) -> float:
        """Height of the rough opening."""
        return self.z[1] - self.z[0]

    @property
    def side(self) -> Side:
        """The side that shows it."""
        return SIDES[self.wall]

    @property
    def seen(self) -> tuple[float, float]:
        """From and to in the view of its side, left to right, mm."""
        axis = 0 if self.wall in ("front", "back") else 1
        one, other = sorted(self.side.right[axis] * at for at in self.along)
        return one, other


@dataclass(frozen=True, slots=True)
class Swing:
    """A hinged leaf from above, mm: where it turns, and its free edge when it is shut and open."""

    hinge: tuple[float, float]
    shut: tuple[float, float]
    opened: tuple[float, float]


def floor_top_mm(building: Building) -> float:
    """Top of the floor over finished ground: what the walls stand on."""
    plates = [one.bounds_mm[0][2] for one in building.parts if one.kind is Kind.BOTTOM_PLATE]
    decks = [one.bounds_mm[1][2] for one in building.parts if one.kind in DECK]
    return min(plates) if plates else max(decks, default=0.0)


def floor_called(building: Building) -> str:
    """What its top is that of: "floor", "slab" or, with neither, "ground"."""
    top_mm = floor_top_mm(building)
    slabs = (one for one in building.parts if one.kind is Kind.SLAB)
    if any(abs(slab.bounds_mm[1][2] - top_mm) < SAME_MM for slab in slabs):
        return "slab"
    return "floor" if top_mm > SAME_MM else "ground"


def openings_of(building: Building) -> tuple[RoughOpening, ...]:
    """Every rough opening of a building, in the order of its scene."""
    return tuple(_openings(building))


def _openings(building: Building) -> Iterator[RoughOpening]:
    marks = _marks()
    store, floor = building.scene.building, floor_top_mm(building)
    for table in building.scene.opening:
        wall, face = _wall_of(building, table.wall)
        long = store.length if wall in ("front", "back") else store.depth
        sill = floor + (table.sill or 0.0)
        for one, left in zip(table.row(), table.lefts_mm(long), strict=True):
            # Seen from outside: that runs against x behind, and against y on the left.
            turned = wall in ("back", "left")
            start = long - left - one.width if turned else left
            yield RoughOpening(
                next(marks),
                one.name,
                one.kind,
                wall,
                (start, start + one.width),
                (sill, sill + one.height),
                floor,
                face,
            )


def _marks() -> Iterator[str]:
    for length in itertools.count(1):
        yield from map("".join, itertools.product(ascii_uppercase, repeat=length))


def _wall_of(building: Building, wall: AnyWall) -> tuple[Wall, float]:
    """The side that a wall faces, and the outer face of its framing, mm along that axis."""
    store = building.scene.building
    match wall:
        case "front":
            return wall, 0.0
        case "back":
            return wall, store.depth
        case "left":
            return wall, 0.0
        case "right":
            return wall, store.length
        case "clerestory":
            own = [part for part in building.parts if part.group == "clerestory wall"]
            flat = np.concatenate([part.vertices_mm for part in own])[:, 1]
            _, out = seen_from_outside(own, building.parts)
            return ("front", float(flat.min())) if out[1] < 0 else ("back", float(flat.max()))


def swings_of(building: Building, opening: RoughOpening) -> tuple[Swing, ...]:
    """How the hinged leaves of an opening turn, outwards, as their hinges lie outside.

    Args:
        building: That it belongs to.
        opening: The opening.
    """
    leaves: dict[str, list[Part]] = {}
    for part in building.parts:
        if isinstance(part.record, LeafRecord) and part.record.leaf.startswith(opening.name):
            leaves.setdefault(part.record.leaf, []).append(part)
    axis = 0 if opening.wall in ("front", "back") else 1
    found: dict[tuple[int, int], Swing] = {}
    for parts in leaves.values():
        hinges = [part for part in parts if part.kind.family is Family.HINGES]
        faces = [part for part in parts if part.kind.family is Family.LEAF_FACE]
        if not hinges or not faces:
            continue
        at = np.concatenate([part.vertices_mm for part in faces])[:, axis]
        ends = (float(at.min()), float(at.max()))
        hung = float(np.mean([part.centre_mm[axis] for part in hinges]))
        pivot, free = ends if abs(hung - ends[0]) < abs(hung - ends[1]) else ends[::-1]
        out = opening.side.towards[1 - axis] * abs(free - pivot)
        plan = [(pivot, 0.0), (free, 0.0), (pivot, out)]
        spots = [
            (a, opening.face_mm + b) if axis == 0 else (opening.face_mm + b, a) for a, b in plan
        ]
        found.setdefault((round(pivot), round(free)), Swing(*spots))
    return tuple(found.values())

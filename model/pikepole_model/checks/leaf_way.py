"""What a door's leaf meets on its way: what it moves through, and what of other parts is in there.

LeafWay                                       a leaf, its wall and what it moves through
moving(building, opening)                     the leaves of a door with what hangs from them
places(scene, k, opening)                     the keys that such a thing hangs on
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import LEAF, Kind
from pikepole_model.building.part import Building, LeafRecord, Part
from pikepole_model.checks.section import sections
from pikepole_model.errors import Try, less, more
from pikepole_model.geometry.placement import Points
from pikepole_model.geometry.spacing import evenly
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import AnyWall

# What comes nearer than this is met: paint and play of what it hangs from, mm. Common practice, no
# source.
CLEAR_MM = 3.0

# How far apart the heights are that it is looked at.
_APART_MM = 75.0

# Outwards, and the way from the left of a wall to its right, seen from outside.
WAYS: dict[AnyWall, tuple[tuple[int, int], tuple[int, int]]] = {
    "front": ((0, -1), (1, 0)),
    "right": ((1, 0), (0, 1)),
    "back": ((0, 1), (-1, 0)),
    "left": ((-1, 0), (0, -1)),
}


@dataclass(frozen=True)
class LeafWay(ABC):
    """A leaf that is opened: its parts, and the wall that it is in."""

    name: str
    wall: AnyWall
    parts: tuple[Part, ...]

    @abstractmethod
    def way(self) -> BaseGeometry:
        """What it moves through, in plan."""

    @cached_property
    def swept(self) -> BaseGeometry:
        """The same, less what is only touched."""
        return self.way().buffer(-CLEAR_MM)

    @cached_property
    def high_mm(self) -> tuple[float, float]:
        """From its foot to its top, mm."""
        low, high = zip(*(part.bounds_mm for part in self.parts), strict=True)
        return min(one[2] for one in low), max(one[2] for one in high)

    def met(self, part: Part) -> Points:
        """Where in plan it meets a part: corners of what it would move through; often none."""
        (low_x, low_y, low), (high_x, high_y, high) = part.bounds_mm
        low, high = max(low, self.high_mm[0]), min(high, self.high_mm[1])
        over = shapely.box(low_x, low_y, high_x, high_y)
        if high - low <= 2 * CLEAR_MM or not self.swept.intersects(over):
            return np.empty((0, 2))
        heights = evenly(low + CLEAR_MM, high - CLEAR_MM, _APART_MM)
        cut = [one for z in heights for one in sections([part], 2, z)]
        inside = shapely.intersection(cut, self.swept)
        return shapely.get_coordinates(inside)


def reach(parts: Sequence[Part], way: Sequence[int]) -> tuple[float, float]:
    """From and to of some parts in a direction in plan, mm."""
    at = [x * way[0] + y * way[1] for part in parts for x, y, _ in part.vertices_mm.tolist()]
    return min(at), max(at)


def moving(
    building: Building, opening: Opening
) -> Iterator[tuple[str, tuple[Part, ...], tuple[Part, ...]]]:
    """The leaves of a door: name, pieces, and what they hang from or slide on."""
    records = [(part, part.record) for part in building.parts]
    own = [(part, record.leaf) for part, record in records if isinstance(record, LeafRecord)]
    # What it slides on is put up with all other tracks, and is in none of its leaves.
    for name in dict.fromkeys(leaf for part, leaf in own if part.group == opening.name):
        parts = [part for part, leaf in own if leaf == name]
        yield (
            name,
            tuple(part for part in parts if part.kind in LEAF),
            tuple(part for part in parts if part.kind in (Kind.HINGE, Kind.TRACK)),
        )


def places(scene: Scene, k: int, opening: Opening) -> tuple[Try, ...]:
    """The keys that it hangs on what an opened leaf meets: where it is, and how wide."""
    across = scene.building.length if opening.wall in ("front", "back") else scene.building.depth
    left = opening.lefts_mm(across)[0] if opening.at else None
    place = "from_left" if opening.from_right is None else "from_right"
    reaches = [
        more("bay", b, "reach") for b, bay in enumerate(scene.bay) if bay.side == opening.wall
    ]
    return Try(("opening", k, place), "other", left), *reaches, less("opening", k, "width")

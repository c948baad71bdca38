"""Whether a hinged leaf stands open at a right angle, or meets something on the way there.

Seen from above, a leaf that is hinged at its left, its wall up in the page and outside down:

    =====o===========o=====   wall; the leaf closed
         |         .'
         |   ##  .'           what it sweeps, and a post in the way
         |    .'
         o'                   the leaf open
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.part import Building, LeafRecord, Part
from pikepole_model.checks.section import section
from pikepole_model.errors import Finding, Try, and_more, key_text, less, more, other
from pikepole_model.geometry.spacing import evenly
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import AnyWall

# What comes nearer than this is met: paint and play of the hinges, mm. Common practice, no source.
_CLEAR_MM = 3.0

# How far apart the heights are that it is looked at.
_APART_MM = 75.0

_FACES = of(Family.LEAF_FACE)

# Outwards, and the way from the left of a wall to its right, seen from outside.
_WAYS: dict[AnyWall, tuple[tuple[int, int], tuple[int, int]]] = {
    "front": ((0, -1), (1, 0)),
    "right": ((1, 0), (0, 1)),
    "back": ((0, 1), (-1, 0)),
    "left": ((-1, 0), (0, -1)),
}


@dataclass(frozen=True)
class _Swing:
    """A hinged leaf that is opened: its parts, its wall, and whether its hinges are at the left."""

    name: str
    wall: AnyWall
    parts: tuple[Part, ...]
    at_left: bool

    def _reach(self, way: Sequence[int]) -> tuple[float, float]:
        """From and to of the leaf in a direction in plan, mm."""
        at = [
            x * way[0] + y * way[1] for part in self.parts for x, y, _ in part.vertices_mm.tolist()
        ]
        return min(at), max(at)

    @cached_property
    def high_mm(self) -> tuple[float, float]:
        """From its foot to its top, mm."""
        low, high = zip(*(part.bounds_mm for part in self.parts), strict=True)
        return min(one[2] for one in low), max(one[2] for one in high)

    @cached_property
    def closed(self) -> tuple[Point, float, tuple[int, int]]:
        """Its hinges in plan, how wide it is, mm, and the way it lies from there."""
        out, right = _WAYS[self.wall]
        start, end = self._reach(right)
        along, face = start if self.at_left else end, self._reach(out)[1]
        hinges = Point(*(along * a + face * b for a, b in zip(right, out, strict=True)))
        return hinges, end - start, right if self.at_left else (-right[0], -right[1])

    @cached_property
    def swept(self) -> BaseGeometry:
        """The quarter of a disc that it sweeps, in plan, less what is only touched."""
        hinges, wide, along = self.closed
        out, _ = _WAYS[self.wall]
        turns = [math.radians(degree) for degree in range(91)]
        rim = [
            (
                hinges.x + wide * (math.cos(turn) * along[0] + math.sin(turn) * out[0]),
                hinges.y + wide * (math.cos(turn) * along[1] + math.sin(turn) * out[1]),
            )
            for turn in turns
        ]
        return Polygon([(hinges.x, hinges.y), *rim]).buffer(-_CLEAR_MM)

    def met(self, part: Part) -> float | None:
        """How far it opens before it meets a part, degrees; None where it does not."""
        (low_x, low_y, low), (high_x, high_y, high) = part.bounds_mm
        low, high = max(low, self.high_mm[0]), min(high, self.high_mm[1])
        over = shapely.box(low_x, low_y, high_x, high_y)
        if high - low <= 2 * _CLEAR_MM or not self.swept.intersects(over):
            return None
        heights = evenly(low + _CLEAR_MM, high - _CLEAR_MM, _APART_MM)
        angles = (self._angle(section(part, 2, z)) for z in heights)
        return min((angle for angle in angles if angle is not None), default=None)

    def _angle(self, footprint: BaseGeometry) -> float | None:
        hinges, _, along = self.closed
        out, _ = _WAYS[self.wall]
        inside = footprint.intersection(self.swept)
        off = shapely.get_coordinates(inside) - (hinges.x, hinges.y)
        turns = [math.degrees(math.atan2(one @ out, one @ along)) for one in off]
        return min(turns, default=None)


def swing_findings(building: Building) -> Iterator[Finding]:
    """Doors that do not open at a right angle, for a post, a step or the like.

    Source: IRC R311.2, a door's clear width is measured with it open at 90 degrees (from memory).
    """
    scene = building.scene
    for k, opening in enumerate(scene.opening):
        swings = [swing for one in opening.row() for swing in _swings(building, one)]
        others = [part for part in building.parts if part.group not in _names(opening)]
        found = [
            (angle, swing, part)
            for swing in swings
            for part in others
            if (angle := swing.met(part)) is not None
        ]
        if found:
            angle, swing, _ = min(found, key=lambda one: one[0])
            names = tuple(dict.fromkeys(part.name for _, _, part in found))
            tries = _tries(scene, k, opening)
            text = (
                f'lets "{swing.name}" open {math.floor(angle)} degrees, up to '
                f"{and_more(names)}: a door stands open at a right angle (IRC R311.2, for houses)"
            )
            mend = f'give "{"right" if swing.at_left else "left"}"' if _hangs_once(opening) else ""
            key = key_text(tries[0].path)
            yield Finding("other", text, names, key=key, mend=mend, tries=tries)


def _hangs_once(opening: Opening) -> bool:
    """Whether it has one leaf, which may have its hinges at either side."""
    return opening.door is not None and opening.door.leaves == 1


def _names(opening: Opening) -> set[str]:
    return {one.name for one in opening.row()}


def _swings(building: Building, opening: Opening) -> Iterator[_Swing]:
    """The hinged leaves of a door."""
    leaves: dict[str, list[Part]] = {}
    hinges: dict[str, list[Part]] = {}
    for part in building.parts:
        if part.group == opening.name and isinstance(part.record, LeafRecord):
            of_kind = hinges if part.kind is Kind.HINGE else leaves
            of_kind.setdefault(part.record.leaf, []).append(part)
    _, right = _WAYS.get(opening.wall, _WAYS["front"])
    for name, own in hinges.items():
        parts = [part for part in leaves[name] if part.kind in _FACES]
        hinge, leaf = (
            sum(part.centre_mm[0] * right[0] + part.centre_mm[1] * right[1] for part in some)
            / len(some)
            for some in (own, parts)
        )
        yield _Swing(name, opening.wall, tuple(parts), hinge < leaf)


def _tries(scene: Scene, k: int, opening: Opening) -> tuple[Try, ...]:
    """The keys that it hangs on, the likeliest first: only one leaf has its hinges at a side."""
    across = scene.building.length if opening.wall in ("front", "back") else scene.building.depth
    left = opening.lefts_mm(across)[0] if opening.at else None
    place = "from_left" if opening.from_right is None else "from_right"
    hinges = [other("opening", k, "door", "hinges")] if _hangs_once(opening) else []
    reaches = [
        more("bay", b, "reach") for b, bay in enumerate(scene.bay) if bay.side == opening.wall
    ]
    return (
        *hinges,
        Try(("opening", k, place), "other", left),
        *reaches,
        less("opening", k, "width"),
    )

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
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.leaf_way import WAYS, LeafWay, moving, places, reach
from pikepole_model.errors import Finding, and_more, key_text, other
from pikepole_model.scene.openings import Opening

_FACES = of(Family.LEAF_FACE)


@dataclass(frozen=True)
class _Swing(LeafWay):
    """A hinged leaf that is opened, and whether its hinges are at the left."""

    at_left: bool

    @cached_property
    def closed(self) -> tuple[Point, float, tuple[int, int]]:
        """Its hinges in plan, how wide it is, mm, and the way it lies from there."""
        out, right = WAYS[self.wall]
        start, end = reach(self.parts, right)
        along, face = start if self.at_left else end, reach(self.parts, out)[1]
        hinges = Point(*(along * a + face * b for a, b in zip(right, out, strict=True)))
        return hinges, end - start, right if self.at_left else (-right[0], -right[1])

    def way(self) -> BaseGeometry:
        """The quarter of a disc that it sweeps, in plan."""
        hinges, wide, along = self.closed
        out, _ = WAYS[self.wall]
        turns = [math.radians(degree) for degree in range(91)]
        rim = [
            (
                hinges.x + wide * (math.cos(turn) * along[0] + math.sin(turn) * out[0]),
                hinges.y + wide * (math.cos(turn) * along[1] + math.sin(turn) * out[1]),
            )
            for turn in turns
        ]
        return Polygon([(hinges.x, hinges.y), *rim])

    def angle(self, part: Part) -> float | None:
        """How far it opens before it meets a part, degrees; None where it does not."""
        hinges, _, along = self.closed
        out, _ = WAYS[self.wall]
        off = self.met(part) - (hinges.x, hinges.y)
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
            if (angle := swing.angle(part)) is not None
        ]
        if found:
            angle, swing, _ = min(found, key=lambda one: one[0])
            names = tuple(dict.fromkeys(part.name for _, _, part in found))
            # Only one leaf has its hinges at a side.
            hinges = [other("opening", k, "door", "hinges")] if _hangs_once(opening) else []
            tries = (*hinges, *places(scene, k, opening))
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
    _, right = WAYS.get(opening.wall, WAYS["front"])
    for name, leaf, hung in moving(building, opening):
        hinges = [part for part in hung if part.kind is Kind.HINGE]
        if not hinges:
            continue
        faces = tuple(part for part in leaf if part.kind in _FACES)
        hinge, middle = (
            sum(part.centre_mm[0] * right[0] + part.centre_mm[1] * right[1] for part in some)
            / len(some)
            for some in (hinges, faces)
        )
        yield _Swing(name, opening.wall, faces, hinge < middle)

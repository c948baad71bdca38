"""Whether a sliding leaf has its way along the wall free, up to where it is clear of its doorway.

Seen from above, outside down:

    ====o         o==========  wall and doorway
        |=========|  ->        the leaf closed, and the way it slides
                        ##     a post in its way
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, LeafRecord, Part
from pikepole_model.checks.leaf_way import WAYS, LeafWay, moving, places, reach
from pikepole_model.errors import Finding, and_more, key_text, other
from pikepole_model.scene.openings import Opening
from pikepole_model.units import format_length


@dataclass(frozen=True)
class _Slide(LeafWay):
    """A leaf that slides, and its track, which ends where the leaf has left its doorway.

    Its floor guide is round its lower edge, and in nobody's way.
    """

    track: tuple[Part, ...]

    @cached_property
    def along(self) -> tuple[float, float, float]:
        """Its front edge closed and open, along the wall from left to right, and which way, mm."""
        _, right = WAYS[self.wall]
        (leaf_0, leaf_1), (start, end) = reach(self.parts, right), reach(self.track, right)
        is_right = end - leaf_1 > leaf_0 - start
        return (leaf_1, end, 1.0) if is_right else (leaf_0, start, -1.0)

    def way(self) -> BaseGeometry:
        """Between its faces all along the track, in plan."""
        out, right = WAYS[self.wall]
        depth, length = reach(self.parts, out), reach(self.track, right)
        corners = [
            tuple(n * a + u * b for a, b in zip(out, right, strict=True))
            for n, u in zip(depth, length, strict=True)
        ]
        return shapely.MultiPoint(corners).envelope

    def room_mm(self, part: Part) -> float | None:
        """How far it slides before it meets a part, mm; None where it does not."""
        _, right = WAYS[self.wall]
        closed, _, way = self.along
        ahead = [max(0.0, way * (float(one @ right) - closed)) for one in self.met(part)]
        return min(ahead, default=None)


def slide_findings(building: Building) -> Iterator[Finding]:
    """Sliding doors that do not clear their doorway, for a post, a casing or the like.

    The doorway's clear width is what an open leaf leaves of it (IRC R311.2, from memory). That a
    leaf slides past all that stands out from the wall is common practice, no source.
    """
    scene = building.scene
    for k, opening in enumerate(scene.opening):
        found = [
            (room, slide, part)
            for one in opening.row()
            for slide in _slides(building, one)
            for part in building.parts
            if part.group != one.name and part.record != LeafRecord(slide.name)
            if (room := slide.room_mm(part)) is not None
        ]
        if found and opening.door and opening.door.track:
            room, slide, _ = min(found, key=lambda one: one[0])
            names = tuple(dict.fromkeys(part.name for _, _, part in found))
            closed, opened, way = slide.along
            once = opening.door.leaves == 1
            to = [other("opening", k, "door", "track", "to")] if once else []
            tries = (*to, *places(scene, k, opening))
            text = (
                f'lets "{slide.name}" slide {format_length(room, scene.units, "down")} of '
                f"{format_length(way * (opened - closed), scene.units)}, up to "
                f"{and_more(names)}: it does not clear its doorway (IRC R311.2, for houses)"
            )
            side = "right" if opening.door.track.to == "left" else "left"
            mend = f'give "{side}"' if once else ""
            key = key_text(tries[0].path)
            yield Finding("other", text, names, key=key, mend=mend, tries=tries)


def _slides(building: Building, opening: Opening) -> Iterator[_Slide]:
    """The sliding leaves of a door."""
    for name, leaf, hung in moving(building, opening):
        track = tuple(part for part in hung if part.kind is Kind.TRACK)
        if track:
            yield _Slide(name, opening.wall, leaf, track)

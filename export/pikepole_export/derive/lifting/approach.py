"""Where a truck with a boom stands when it sets a piece in its place, and from which side.

site_of(building, stage) -> Site                    what stands before a stage
approach(site, load, floor_mm) -> Approach | None   None where every way is blocked

     . . . . . . . . .
     .   what stands .         It comes from outside, where a truck can drive, and stops behind
     .   +-------+   .         the piece that waits for it: never on it, never under a roof and
     . . |piece  |. ..         never among the braces, which stand on the inner sides.
         +-------+
      |      ^      |  the way: nothing stands in it that is higher than the piece's place
      | +---------+ |
      | |  waits  | |
      | +---------+ |
        [ truck ]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.lifting.loads import Load
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points
from pikepole_model.scene.types import Wall

# Between what stands, what waits and the truck, to walk round each: common practice, no source.
CLEAR_MM = 1200.0
BEHIND_MM = 500.0

# What reaches no higher than this over a piece's foot is passed over as it comes, and what reaches
# no further out than this past the piece itself is beside it: common practice, no source.
OVER_MM = 300.0
PAST_MM = 100.0

# Which way is out, for each side: axis and sign.
_WAYS: dict[Wall, tuple[int, int]] = {
    "front": (1, -1),
    "back": (1, 1),
    "left": (0, -1),
    "right": (0, 1),
}


@dataclass(frozen=True)
class Site:
    """What stands before a stage begins.

    Attributes:
        low_mm: (n, 3) float: the lowest corner of the box round each part.
        high_mm: (n, 3) float: the highest.
        names: Of the parts.
    """

    low_mm: Points
    high_mm: Points
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Approach:
    """A side that is open.

    Attributes:
        side: It comes from there.
        out_mm: Level, from the front of the truck to the middle of the piece in its place.
    """

    side: Wall
    out_mm: float

    @property
    def way(self) -> tuple[float, float]:
        """Level unit vector from the piece to the truck, (x, y)."""
        axis, sign = _WAYS[self.side]
        return (float(sign), 0.0) if axis == 0 else (0.0, float(sign))


OPEN_GROUND = Site(np.empty((0, 3)), np.empty((0, 3)), ())


def site_of(building: Building, stage: int) -> Site:
    """All that stands before a stage, where it is worked on."""
    return site_of_parts(building.stands(stage))


def site_of_parts(parts: Sequence[Part]) -> Site:
    """Some parts, as what stands."""
    if not parts:
        return OPEN_GROUND
    low, high = (np.array([part.bounds_mm[end] for part in parts]) for end in (0, 1))
    return Site(low, high, tuple(part.name for part in parts))


def approach(site: Site, load: Load) -> Approach | None:
    """The side from which a truck has the shortest way with nothing in it; None where none has.

    Args:
        site: What stands.
        load: What is set in its place.
    """
    low, high = load.vertices_mm.min(axis=0), load.vertices_mm.max(axis=0)
    found = [
        Approach(side, _out_mm(site, load, low, high, axis, sign))
        for side, (axis, sign) in _WAYS.items()
        if not _blocked(site, low, high, axis, sign).any()
    ]
    return min(found, key=lambda one: one.out_mm, default=None)


def in_the_way(site: Site, load: Load, side: Wall) -> tuple[str, ...]:
    """Names of what stands between a side and a piece's place, or over the way to it."""
    low, high = load.vertices_mm.min(axis=0), load.vertices_mm.max(axis=0)
    blocked = _blocked(site, low, high, *_WAYS[side])
    return tuple(name for name, is_in in zip(site.names, blocked, strict=True) if is_in)


def _blocked(site: Site, low: Points, high: Points, axis: int, sign: int) -> Points:
    """(n,) bool: what is higher than the piece's place, out from it over its whole breadth."""
    other = 1 - axis
    beside = (site.low_mm[:, other] < high[other]) & (site.high_mm[:, other] > low[other])
    outside = (
        site.high_mm[:, axis] > high[axis] + PAST_MM
        if sign > 0
        else site.low_mm[:, axis] < low[axis] - PAST_MM
    )
    return beside & outside & (site.high_mm[:, 2] > low[2] + OVER_MM)


def _out_mm(site: Site, load: Load, low: Points, high: Points, axis: int, sign: int) -> float:
    """From the truck's front, behind what waits outside all that stands, to the piece's middle."""
    edges = [
        *(site.high_mm if sign > 0 else site.low_mm)[:, axis],
        (high if sign > 0 else low)[axis],
    ]
    edge = max(edges) if sign > 0 else min(edges)
    waits_mm = sorted(load.size_mm)[1]  # as it lies there, along the wall
    return abs(float(edge) - load.centre_mm[axis]) + CLEAR_MM + waits_mm + BEHIND_MM

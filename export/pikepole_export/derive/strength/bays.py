"""The roofs of bays beside a closed store, as wind along the store's wall sees them.

bays_of(paths) -> each bay that no knee braces hold that way

Such a bay leans along the wall that it is on: the sheets of its roof carry the wind to that wall,
as a diaphragm that is held there alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_export.derive.strength import wind
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.roofs import KN_M2, RAFTERS
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.scene.posts import Bay
from pikepole_model.units import FOOT_MM, INCH_MM, POUND_FORCE_N

WAYS = ("along the building", "across the building")
BRACES = frozenset({Kind.KNEE_BRACE, Kind.BOLTED_BRACE})
_PLF = POUND_FORCE_N / FOOT_MM
# Roof sheets nailed at 6 in, without blocks at their edges, however they lie, from so thick on:
# 8d, framing 2x. Source: APA E30V, Table 38.
_DIAPHRAGMS = (
    (15 / 32 * INCH_MM, 190 * _PLF),
    (7 / 16 * INCH_MM, 170 * _PLF),
    (3 / 8 * INCH_MM, 160 * _PLF),
)
_SLACK_MM = 0.6  # a sheet by the millimetre is so much thinner
# A diaphragm held along one side reaches no farther out than this many times its width. Source:
# SDPWS 2015 4.2.5.2, open front (from memory).
_FARTHEST = 1.5


@dataclass(frozen=True, slots=True)
class FreeRoof:
    """A free roof and the beams under it, as wind that goes one way sees it.

    Attributes:
        name: Of its bay, or "posts".
        along: The way of the wind: 0 for X.
        area_mm2: Of that.
        pressure: On it as on a wall, kN/m2.
        middle_mm: Of that area, in the frame of the building: along the other way, and up.
        width_mm: As wide as it is the way of the wind, beside what it is fixed to.
        reach_mm: Out from that; 0 where it is fixed to nothing.
        sheets: Over it.
    """

    name: str
    along: int
    area_mm2: float
    pressure: float
    middle_mm: tuple[float, float] = (0.0, 0.0)
    width_mm: float = 0.0
    reach_mm: float = 0.0
    sheets: tuple[Part, ...] = ()

    @property
    def push_n(self) -> float:
        """H, of all the wind on it."""
        return self.pressure * KN_M2 * self.area_mm2

    @property
    def thick_mm(self) -> float:
        """Of its thinnest sheet; 0 of none."""
        return min((min(sheet.across_mm) for sheet in self.sheets), default=0.0)

    @property
    def shear_n_mm(self) -> float:
        """v, that its sheets may carry, N for each mm of its width; 0 of none."""
        rows = (v for least, v in _DIAPHRAGMS if self.thick_mm >= least - _SLACK_MM)
        return next(rows, 0.0)

    @property
    def is_held(self) -> bool:
        """Whether its sheets count as a diaphragm that is held at the store."""
        return self.shear_n_mm > 0 and self.reach_mm <= _FARTHEST * self.width_mm


def bays_of(paths: Paths) -> Iterator[FreeRoof]:
    """Every bay that no knee braces hold along its wall."""
    building = paths.members.building
    braces = [part for part in building.parts if part.kind in BRACES]
    for bay in building.scene.bay:
        # Along its beam a bay at the front or the back may have knee braces.
        along = 0 if bay.side in ("front", "back") else 1
        name = f"{bay.side} bay"
        if along == 1 or not any(part.label.startswith(name) for part in braces):
            yield _beside_store(paths, bay, name, along)


def seen_along(members: Sequence[Member], along: int) -> BaseGeometry:
    """Their outline, seen along X or Y."""
    points = np.concatenate([part.vertices_mm for one in members for part in one.wooden])
    return shapely.MultiPoint(points[:, [1 - along, 2]]).convex_hull


def _beside_store(paths: Paths, bay: Bay, name: str, along: int) -> FreeRoof:
    """The roof of a bay as wind along its wall sees it."""
    members, store = paths.members, paths.members.building.scene.building
    out = 1 - along
    face = 0.0 if bay.side in ("left", "front") else (store.length, store.depth)[out]
    sign = -1 if bay.side in ("left", "front") else 1

    def is_out(point: Sequence[float]) -> bool:
        return sign * (point[out] - face) > 0

    def reaches_out(member: Member) -> bool:
        return any(is_out(member.point(at)) for at in (0.0, member.length_mm))

    rafters = [one for one in members.of(*RAFTERS) if reaches_out(one)]
    beams = [one for one in members.of(Kind.BEAM) if reaches_out(one)]
    # Both may go on over the store, where its walls are pushed: no further in than its face.
    seen = seen_along((*rafters, *beams), along)
    left, low, right, high = seen.bounds
    outside = (left, low, face, high) if sign < 0 else (face, low, right, high)
    beside = shapely.intersection(seen, shapely.box(*outside))
    points = np.concatenate([part.vertices_mm for one in rafters for part in one.wooden])
    wide = float(np.ptp(points[:, along]))
    return FreeRoof(
        name,
        along,
        float(beside.area),
        wind.wall_push(paths.climate.open_q),
        (beside.centroid.x, beside.centroid.y),
        min(wide, (store.depth, store.length)[out]),
        bay.reach,
        tuple(
            part
            for part in members.parts.values()
            if part.kind is Kind.ROOF_SHEET and is_out(part.centre_mm)
        ),
    )

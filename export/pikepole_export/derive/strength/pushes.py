"""Wind on the building as a whole, along each of its sides.

pushes_of(paths) -> (along X, along Y)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import box

from pikepole_export.derive.strength import wind
from pikepole_export.derive.strength.check import Measured, Number
from pikepole_export.derive.strength.frame import UPRIGHT
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.roofs import KN_M2, RAFTERS, is_free
from pikepole_model.building.kinds import Kind

WAYS = ("along the building", "across the building")
STOOD_ON = (Kind.SKID, Kind.GIRDER)


@dataclass(frozen=True, slots=True)
class Push:
    """Wind one way, on walls and the rise of the roof as on a wall.

    Attributes:
        pressure: Windward and leeward together, kN/m2.
        area_mm2: That it pushes on.
        upper_mm2: What of that is above half the walls' height, and so pushes by way of the roof.
        height_mm: Of its middle over what the building stands on.
    """

    pressure: float
    area_mm2: float
    upper_mm2: float
    height_mm: float

    @property
    def force_n(self) -> float:
        """H, in all."""
        return self.pressure * KN_M2 * self.area_mm2

    @property
    def numbers(self) -> tuple[Number, ...]:
        """Where that comes from."""
        return (
            Number("H", self.force_n, Measured.FORCE),
            Number("wall pressure", self.pressure, Measured.LOAD),
            Number("its area", self.area_mm2, Measured.FACE),
        )


def pushes_of(paths: Paths) -> tuple[Push, Push]:
    """The wind on the enclosed part, along X and along Y."""
    points = _outline(paths)
    ground_mm = float(points[:, 2].min())
    tops = [
        part.centre_mm[2] for part in paths.members.parts.values() if part.kind is Kind.TOP_PLATE
    ]
    middle_mm = (ground_mm + (min(tops) + max(tops)) / 2) / 2 if tops else ground_mm
    pressure = wind.wall_push(paths.climate.open_q)

    def push(axis: int) -> Push:
        seen = shapely.MultiPoint(points[:, [1 - axis, 2]]).convex_hull
        left, _, right, top = seen.bounds
        upper = shapely.intersection(seen, box(left, middle_mm, right, top))
        return Push(pressure, seen.area, upper.area, seen.centroid.y - ground_mm)

    return push(0), push(1)


def _outline(paths: Paths) -> np.ndarray:
    """(n, 3) corners of the enclosed part: its frame from the ground to the roof, mm."""
    members = paths.members
    kinds = UPRIGHT | {Kind.TOP_PLATE, Kind.BOTTOM_PLATE, Kind.RIM, *STOOD_ON}
    parts = [part for part in members.parts.values() if part.kind in kinds]
    parts += [one.first for one in members.of(*RAFTERS) if not is_free(members, one)]
    return np.concatenate([part.vertices_mm for part in parts])

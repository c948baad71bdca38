"""Wind on the building as a whole, along each of its sides.

pushes_of(paths) -> (along X, along Y)

A bay whose roof's sheets hold it at the store hands its wind to the store's walls.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import box

from pikepole_export.derive.strength import wind
from pikepole_export.derive.strength.bays import FreeRoof, bays_of
from pikepole_export.derive.strength.check import Measured, Number
from pikepole_export.derive.strength.frame import UPRIGHT
from pikepole_export.derive.strength.lever import shares_of
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.roofs import KN_M2, RAFTERS, is_free
from pikepole_model.building.kinds import Kind

STOOD_ON = (Kind.SKID, Kind.GIRDER)


@dataclass(frozen=True, slots=True)
class Push:
    """Wind one way, on walls and the rise of the roof as on a wall.

    Attributes:
        pressure: Windward and leeward together, kN/m2.
        store_mm2: Of the store that it pushes on.
        upper_mm2: What of that is above half the walls' height, and so pushes by way of the roof.
        bays: Roofs of bays that hand theirs to the store.
        height_mm: Of its middle over what the building stands on.
    """

    pressure: float
    store_mm2: float
    upper_mm2: float
    bays: tuple[FreeRoof, ...]
    height_mm: float

    @property
    def area_mm2(self) -> float:
        """That it pushes on in all."""
        return self.store_mm2 + sum(bay.area_mm2 for bay in self.bays)

    @property
    def force_n(self) -> float:
        """H, in all."""
        return self.pressure * KN_M2 * self.area_mm2

    def from_bays_n(self, wall_mm: float, walls_mm: Sequence[float]) -> float:
        """B, what bays give a wall that stands the way of the wind, N.

        A roof that is held by two walls and hangs out past one of them is a lever: the near wall
        has all of it and more, and the far one is pushed the other way, which is not counted.

        Args:
            wall_mm: Where the wall stands, across the wind.
            walls_mm: Where all do that stand that way, it among them.
        """
        places = sorted(walls_mm)
        own = places.index(wall_mm)
        return sum(
            bay.push_n * max(0.0, shares_of(places, bay.middle_mm[0], bay.middle_mm[0])[own])
            for bay in self.bays
        )

    @property
    def numbers(self) -> tuple[Number, ...]:
        """Where that comes from."""
        return (
            Number("H", self.force_n, Measured.FORCE),
            Number("wall pressure", self.pressure, Measured.LOAD),
            Number("its area", self.area_mm2, Measured.FACE),
            *(Number(f"{bay.name} in that", bay.area_mm2, Measured.FACE) for bay in self.bays),
        )


def pushes_of(paths: Paths) -> tuple[Push, Push]:
    """The wind on the enclosed part and on what leans on it, along X and along Y."""
    bays = [bay for bay in bays_of(paths) if bay.is_held]
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
        ours = tuple(bay for bay in bays if bay.along == axis)
        pushed = [(seen.area, seen.centroid.y), *((one.area_mm2, one.middle_mm[1]) for one in ours)]
        height_mm = sum(area * high for area, high in pushed) / sum(area for area, _ in pushed)
        return Push(pressure, seen.area, upper.area, ours, height_mm - ground_mm)

    return push(0), push(1)


def _outline(paths: Paths) -> np.ndarray:
    """(n, 3) corners of the enclosed part: its frame from the ground to the roof, mm."""
    members = paths.members
    kinds = UPRIGHT | {Kind.TOP_PLATE, Kind.BOTTOM_PLATE, Kind.RIM, *STOOD_ON}
    parts = [part for part in members.parts.values() if part.kind in kinds]
    parts += [one.first for one in members.of(*RAFTERS) if not is_free(members, one)]
    return np.concatenate([part.vertices_mm for part in parts])

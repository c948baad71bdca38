"""Hinged leaves that swing out over a step down.

leaf_drops(building, groups) -> {door: how far down, mm}

A landing is no more than 1-1/2 in below a threshold that a door swings out over. Source: IRC
R311.3.1, for the doors of houses (from memory).
"""

from __future__ import annotations

from collections.abc import Collection

import shapely

from pikepole_model.building.kinds import LEAF, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.doors import step_up_mm
from pikepole_model.checks.leaf_way import WAYS, reach
from pikepole_model.scene.openings import Opening
from pikepole_model.units import INCH_MM

MOST_MM = 1.5 * INCH_MM
# What one steps on before a door; else it is the ground.
STEPPED_ON = {Kind.STEP_TREAD, Kind.RAMP_BOARD, Kind.SLAB, Kind.GRAVEL}


def leaf_drops(building: Building, groups: Collection[str]) -> dict[str, float]:
    """From the threshold, or the floor where there is none, to what is highest under the leaf.

    Args:
        building: As it stands in the end.
        groups: What pieces belong to that are put up: doors by their names.
    """
    found: dict[str, float] = {}
    for table in building.scene.opening:
        if table.door is None or table.door.track:
            continue
        for opening in table.row():
            leaf = [p for p in building.parts if p.group == opening.name and p.kind in LEAF]
            if leaf and opening.name in groups:
                drop_mm = _drop_mm(building, opening, leaf)
                if drop_mm > MOST_MM:
                    found[opening.name] = drop_mm
    return found


def _drop_mm(building: Building, opening: Opening, leaf: list[Part]) -> float:
    out, right = WAYS[opening.wall]
    (left, end), face = reach(leaf, right), reach(leaf, out)[1]
    assert opening.door
    wide = (end - left) / opening.door.leaves
    corners = [
        (u * right[0] + h * out[0], u * right[1] + h * out[1])
        for u, h in ((left, face), (end, face), (end, face + wide), (left, face + wide))
    ]
    swept = shapely.Polygon(corners)
    label = f"{opening.name} {Kind.THRESHOLD}"
    thresholds = tuple(part for part in building.parts if part.label == label)
    # Over the ground: a slab before the wall is among what is stepped on.
    sill_mm = step_up_mm(building, opening.wall, thresholds) + _slab_mm(building, opening)
    tops = [
        part.bounds_mm[1][2]
        for part in building.parts
        if part.kind in STEPPED_ON
        and swept.intersects(shapely.box(*part.bounds_mm[0][:2], *part.bounds_mm[1][:2]))
        and part.bounds_mm[1][2] <= sill_mm
    ]
    return sill_mm - max([0.0, *tops])  # gravel may lie below the ground


def _slab_mm(building: Building, opening: Opening) -> float:
    """How high the slab before a wall is, which `step_up_mm` goes from."""
    slabs = (part for part in building.parts if part.kind is Kind.SLAB)
    own = (p.bounds_mm[1][2] for p in slabs if p.name.startswith(f"{opening.wall} bay"))
    return max(own, default=0.0)

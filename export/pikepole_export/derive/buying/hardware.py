"""What an ironmonger has to know of a door to choose its hinges, hangers and track.

leaves_text(hardware, building) -> str     "3 for store door, 900 mm wide x ..."
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from pikepole_export.derive.inventory.mass import NOTHING, part_mass
from pikepole_model.building.joints import LEAF
from pikepole_model.building.part import Building, Kind, LeafRecord, Part
from pikepole_model.units import format_length, format_mass

_FACE = frozenset({Kind.DOOR_SHEET, Kind.DOOR_BOARD})


def leaves_text(hardware: Sequence[Part], building: Building) -> str:
    """Each leaf with its width, height and weight, and how many of these pieces it has.

    Args:
        hardware: Pieces of one kind: hinges, hangers, tracks.
        building: Where the leaves are.
    """
    leaf_parts = [part for part in building.parts if part.kind in LEAF]
    counts = Counter(part.record for part in hardware if isinstance(part.record, LeafRecord))
    return "; ".join(
        f"{count} for {record.leaf}, "
        f"{_leaf_text([part for part in leaf_parts if part.record == record], building)}"
        for record, count in counts.items()
    )


def _leaf_text(parts: Sequence[Part], building: Building) -> str:
    units = building.scene.units
    faces = [part.bounds_mm for part in parts if part.kind in _FACE]
    width_mm, height_mm = (
        max(
            max(high[axis] for _, high in faces) - min(low[axis] for low, _ in faces)
            for axis in axes
        )
        for axes in ((0, 1), (2,))
    )
    mass = sum((part_mass(part) for part in parts), NOTHING)
    return (
        f"{format_length(width_mm, units)} wide x {format_length(height_mm, units)} high, "
        f"{format_mass(mass.likely_kg, units)} likely, {format_mass(mass.high_kg, units)} wet"
    )

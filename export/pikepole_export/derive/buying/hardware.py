"""What an ironmonger has to know of a door to choose its hinges, hangers and track.

leaves_text(hardware, building) -> str     "3 for store door, 900 mm wide x ..."
"""

from __future__ import annotations

from collections.abc import Sequence

from pikepole_export.derive.inventory.mass import NOTHING, part_mass
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import LEAF, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.units import format_length, format_mass


def leaves_text(hardware: Sequence[Part], building: Building) -> str:
    """Each leaf with its width, height and weight, and how many of these pieces it has.

    Args:
        hardware: Pieces of one kind: hinges, hangers, tracks.
        building: Where the leaves are.
    """
    leaf_parts = [part for part in building.parts if part.kind in LEAF]
    doors = sorted({part.group for part in leaf_parts}, key=len, reverse=True)
    counts: dict[str, int] = {}
    for piece in hardware:
        leaf = _leaf_of(piece, doors)
        counts[leaf] = counts.get(leaf, 0) + 1
    told = (
        f"{count} for {leaf}, {_leaf_text([p for p in leaf_parts if _is_of(p, leaf)], building)}"
        for leaf, count in counts.items()
        if leaf
    )
    return "; ".join(told)


def _leaf_of(piece: Part, doors: Sequence[str]) -> str:
    """The leaf that a piece of hardware is for, by the words that its name begins with."""
    door = next((door for door in doors if piece.name.startswith(f"{door} ")), "")
    sides = (f"{door} {side} leaf" for side in ("left", "right"))
    return next((side for side in sides if piece.name.startswith(f"{side} ")), door)


def _is_of(part: Part, leaf: str) -> bool:
    """Whether a piece is on a leaf; the strip over the gap of two is on the left one."""
    if part.kind == Kind.ASTRAGAL:
        return leaf == f"{part.group} left leaf"
    return part.name.startswith(f"{leaf} ")


def _leaf_text(parts: Sequence[Part], building: Building) -> str:
    units = building.scene.units
    faces = [part.bounds_mm for part in parts if part.kind.family is Family.LEAF_FACE]
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

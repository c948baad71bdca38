"""What a door hangs from, runs on, is held shut and is opened by: one set for each door.

door_sets(building) -> Iterator[Purchase]

Strikes of latches and keepers of bolts are not drawn, and counted with them.
Common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from pikepole_export.derive.buying.purchase import Purchase, Supplier, names_of, used_by
from pikepole_export.derive.inventory.mass import NOTHING, part_mass
from pikepole_model.building.kind_rows import Bought, Family
from pikepole_model.building.kinds import LEAF, Kind
from pikepole_model.building.part import Building, LeafRecord, Part
from pikepole_model.units import Units, format_length, format_mass, plural

ITEM = "door hardware"
FACE = Family.LEAF_FACE

# What a piece of a set is called where that is not what it is called on site, and what else is
# counted for each.
_CALLED: dict[Kind, tuple[str, str]] = {
    Kind.HINGE: ("T-hinge", ""),
    Kind.LATCH: ("latch", "strike"),
    Kind.PULL: ("pull", ""),
    Kind.DOOR_BOLT: ("bolt", "keeper"),
    Kind.TRACK: ("track", ""),
    Kind.HANGER: ("track hanger", ""),
}
# What is bought by a length.
_SIZED = {Kind.TRACK, Kind.HINGE, Kind.LATCH, Kind.PULL, Kind.DOOR_BOLT}


def door_sets(building: Building) -> Iterator[Purchase]:
    """The hardware of each door in one row, its pieces named and sized in how it is asked for."""
    units = building.scene.units
    doors = [one.name for opening in building.scene.opening for one in opening.row()]
    found: dict[str, list[Part]] = {}
    for part in building.parts:
        if part.kind.row.bought in (Bought.IRON, Bought.FITTING):
            found.setdefault(_door(part, doors), []).append(part)
    leaves = _leaves(building)
    for door, parts in found.items():
        pieces = Counter((part.kind, _length_mm(part, leaves)) for part in parts)
        each = (_called(n, kind, mm, units) for (kind, mm), n in pieces.items())
        yield Purchase(
            Supplier.IRONMONGER,
            ITEM,
            door,
            ITEM,
            (),
            "piece",
            1,
            1,
            _leaves_text(leaves, parts, units),
            {"pieces": 1},
            used_by(parts),
            names_of(parts),
            asked=f"hardware for the {door}: {', '.join(each)}",
            pack="set",
        )


def _door(part: Part, doors: Iterable[str]) -> str:
    """The door that a piece is on; of names that begin alike the longest."""
    return max((name for name in doors if part.name.startswith(f"{name} ")), key=len)


def _called(count: int, kind: Kind, length_mm: float | None, units: Units) -> str:
    """So many of one piece with what goes with it, "2 bolts 5", 2 keepers"."""
    called, beside = _CALLED.get(kind, (kind.value, ""))
    size = "" if length_mm is None else f" {format_length(length_mm, units)}"
    return f"{plural(count, called)}{size}" + (f", {plural(count, beside)}" if beside else "")


def _leaves(building: Building) -> dict[LeafRecord, list[Part]]:
    """What each leaf of the doors is made of."""
    leaves: dict[LeafRecord, list[Part]] = {}
    for part in building.parts:
        if part.kind in LEAF and isinstance(part.record, LeafRecord):
            leaves.setdefault(part.record, []).append(part)
    return leaves


def _length_mm(part: Part, leaves: Mapping[LeafRecord, Sequence[Part]]) -> float | None:
    """What it is sold by: its longest side, the length of a track, a hinge's strap on its leaf."""
    if part.kind not in _SIZED:
        return None
    low, high = part.bounds_mm
    sides = [round(b - a, 3) for a, b in zip(low, high, strict=True)]
    is_upright = part.kind.family is Family.LEAF_HARDWARE
    if part.kind is Kind.HINGE and isinstance(part.record, LeafRecord):
        axis = sides.index(max(sides[:2]))
        faces = [one.bounds_mm for one in leaves[part.record] if one.kind.family is FACE]
        start = max(low[axis], min(face[0][axis] for face in faces))
        return round(min(high[axis], max(face[1][axis] for face in faces)) - start, 3)
    return round(max(sides if is_upright else sides[:2]), 3)


def _leaves_text(
    leaves: Mapping[LeafRecord, Sequence[Part]], hardware: Sequence[Part], units: Units
) -> str:
    """What an ironmonger has to know of a door's leaves to choose their hinges, hangers and track.

    Each leaf with its width, height and weight.
    """
    hung = dict.fromkeys(one.record for one in hardware if isinstance(one.record, LeafRecord))
    return "; ".join(
        f"{record.leaf}, {_leaf_text(leaves[record], units)}" for record in hung if record in leaves
    )


def _leaf_text(parts: Sequence[Part], units: Units) -> str:
    faces = [part.bounds_mm for part in parts if part.kind.family is FACE]
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

"""How many of what: pieces by kind, stock and material.

    counts(rows) -> tuple[Count, ...]     in order of first use

Lengths are those of the stock each piece is cut from, long point to long point; no waste is added.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.inventory.mass import NOTHING, Mass
from pikepole_export.derive.inventory.parts import PartRow
from pikepole_model.building.kind_rows import Counted
from pikepole_model.building.kinds import Kind


@dataclass(frozen=True, slots=True)
class Count:
    """All pieces of one kind from one stock of one material.

    Attributes:
        kind: What they are.
        stock: What they are cut from.
        material: What that is made of.
        pieces: How many.
        distinct_shapes: How many different ones among them.
        total_length_mm: Their lengths together, mm; None where they are counted by area.
        total_area_mm2: What they cover together, mm2; None where they are counted by length.
        mass: What they weigh together.
    """

    kind: Kind
    stock: str
    material: str
    pieces: int
    distinct_shapes: int
    total_length_mm: float | None
    total_area_mm2: float | None
    mass: Mass


def counts(rows: Sequence[PartRow]) -> tuple[Count, ...]:
    """Pieces by kind, stock and material, in order of first use; not what stands there already."""
    alike: dict[tuple[Kind, str, str], list[PartRow]] = {}
    for row in rows:
        if row.kind.row.counted is not Counted.NOT:
            alike.setdefault((row.kind, row.stock, row.material), []).append(row)
    return tuple(_count(*key, group) for key, group in alike.items())


def _count(kind: Kind, stock: str, material: str, rows: Sequence[PartRow]) -> Count:
    areas_mm2 = [row.area_mm2 for row in rows if row.area_mm2 is not None]
    return Count(
        kind=kind,
        stock=stock,
        material=material,
        pieces=len(rows),
        distinct_shapes=len({row.shape for row in rows}),
        total_length_mm=None if areas_mm2 else sum(row.length_mm for row in rows),
        total_area_mm2=sum(areas_mm2) if areas_mm2 else None,
        mass=sum((row.mass for row in rows), NOTHING),
    )

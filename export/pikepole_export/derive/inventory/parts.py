"""The list of parts: one row each, with all that the other tables and files need to know.

    part_rows(building) -> tuple[PartRow, ...]     in order of building

Counts, weights and the summary are worked out from these rows, so that no two tables can disagree.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.inventory.mass import Mass, part_mass
from pikepole_model.building.kind_rows import Counted
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import Shape


@dataclass(frozen=True, slots=True)
class PartRow:
    """A part in numbers.

    Attributes:
        name: Its unique name.
        kind: What it is.
        group: What it is raised or counted with.
        stage: Number of the stage that adds it.
        stock: What it is cut from.
        material: What it is made of.
        weighed: What the scale said that its mass goes by; empty where it goes by the tables.
        section_mm: Dressed breadth and depth of lumber, mm; None for anything else.
        length_mm: Length of stock it is cut from, mm.
        sheet_mm: Width and thickness of what is no lumber: with the length, the box it is cut from,
            mm; None for lumber.
        area_mm2: What a sheet, slab or bed covers, seen square to its face, less its openings,
            mm2; None for anything else.
        shape: Id of its shape.
        volume_mm3: Volume of its solid, mm3.
        mass: What it weighs.
        centre_of_gravity_mm: In the building's frame, mm.
        placement: Its own frame in the building's.
    """

    name: str
    kind: Kind
    group: str
    stage: int
    stock: str
    material: str
    weighed: str
    section_mm: tuple[float, float] | None
    length_mm: float
    sheet_mm: tuple[float, float] | None
    area_mm2: float | None
    shape: str
    volume_mm3: float
    mass: Mass
    centre_of_gravity_mm: Vector
    placement: Placement


def part_rows(building: Building) -> tuple[PartRow, ...]:
    """A row for each part, in order of building."""
    flat = [part for part in building.parts if part.kind.row.counted is Counted.AREA]
    areas_mm2 = {shape: covered_mm2(shape) for shape in dict.fromkeys(part.shape for part in flat)}
    return tuple(
        PartRow(
            name=part.name,
            kind=part.kind,
            group=part.group,
            stage=part.stage,
            stock=part.stock,
            material=part.material.told,
            weighed=part.material.weighed,
            section_mm=part.section_mm,
            length_mm=part.length_mm,
            sheet_mm=None if part.section_mm else (part.across_mm[1], part.across_mm[0]),
            area_mm2=areas_mm2[part.shape] if part.kind.row.counted is Counted.AREA else None,
            shape=building.shapes[part.shape],
            volume_mm3=part.volume_mm3,
            mass=part_mass(part),
            centre_of_gravity_mm=part.centre_mm,
            placement=part.placement,
        )
        for part in building.parts
    )


def covered_mm2(shape: Shape) -> float:
    """What a shape hides, mm2, seen along its own third axis: square to the face of a sheet.

    The facets that face the viewer and those that face away hide the same, so it is half of what
    all of them do. A round opening is as round as its facets. Assumes that no facet hides another
    on the same side, as in a sheet, a slab with a thickened edge, or a bed with sloping sides.
    """
    a, b, c = np.moveaxis(shape.mesh.vertices[shape.mesh.triangles][:, :, :2], 1, 0)
    twice_mm2 = np.abs((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
    return float(twice_mm2.sum()) / 4

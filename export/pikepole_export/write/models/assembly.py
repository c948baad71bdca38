"""A building as a tree of instances for STEP.

assembly_of(building) -> Assembly
"""

from __future__ import annotations

from pikepole_export.graphics.colours import part_colour
from pikepole_export.write.models.step import Assembly, Instance
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.shape import Shape


def assembly_of(building: Building) -> Assembly:
    """Every part of a building under its stage and its group."""
    instances = tuple(
        Instance(
            part.name,
            f"{stage.number} {stage.name}",
            part.group,
            part.shape,
            part.placement,
            part_colour(part),
        )
        for stage in building.stages
        for part in stage.parts
    )
    return Assembly(building.scene.title, product_names(building), instances)


def product_names(building: Building) -> dict[Shape, str]:
    """What each distinct shape is called as a product.

    The name of its part where only one has it; else its number, with stock and kind where its
    parts agree.
    """
    sharing: dict[Shape, list[Part]] = {}
    for part in building.parts:
        sharing.setdefault(part.shape, []).append(part)
    names: dict[Shape, str] = {}
    for shape, number in building.shapes.items():
        parts = sharing[shape]
        if len(parts) == 1:
            names[shape] = parts[0].name
            continue
        kind, stock = (
            "".join(found) if len(found) == 1 else ""
            for found in ({part.kind.value for part in parts}, {part.stock for part in parts})
        )
        names[shape] = " ".join(filter(None, (number, stock, "" if kind in stock else kind)))
    return names

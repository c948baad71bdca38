"""Drawings to work from: of shaped lumber, of flat pieces with cut-outs, of bent trims.

    write_templates(building, folder) -> list[Path]     drawings/*.svg

A birdsmouth has sheets of its own at full size as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from pikepole_export.derive.measures.outlines import Outline
from pikepole_export.derive.measures.templates import Template
from pikepole_export.files.whole import make_folder, put
from pikepole_export.write.drawings.bent import bent_profile
from pikepole_export.write.drawings.details import details_of
from pikepole_export.write.drawings.outlines import outline_drawing
from pikepole_export.write.drawings.pattern_names import named_shapes
from pikepole_export.write.drawings.patterns import pattern
from pikepole_export.write.drawings.tiles import tiles
from pikepole_model.building.part import Building
from pikepole_model.units import Units

FOLDER = "drawings"


def write_templates(building: Building, folder: Path) -> list[Path]:
    """Write every template, outline and profile of a building.

    Args:
        building: The building.
        folder: Where its output goes; the drawings come into a folder inside.

    Returns:
        What was written, in order of building; nothing where every piece is a box.

    Raises:
        OutputError: a file could not be written whole.
    """
    units = building.scene.units
    files: dict[str, bytes] = {}
    for stem, shape in named_shapes(building):
        if isinstance(shape, Template):
            files[stem] = pattern(shape, stem, units)
            files |= dict(_full_size(stem, shape, units))
        elif isinstance(shape, Outline):
            files[stem] = outline_drawing(shape, stem, units)
        else:
            lap_mm = building.scene.catalogue.find_flat(shape.stock).lap_mm
            files[stem] = bent_profile(shape, stem, lap_mm, units)
    if not files:
        return []
    place = make_folder(folder / FOLDER)
    return [put(place / f"{stem}.svg", data) for stem, data in files.items()]


def _full_size(stem: str, template: Template, units: Units) -> Iterator[tuple[str, bytes]]:
    """The birdsmouths of a rafter, sheet by sheet."""
    for detail in details_of(template):
        if detail.features[0].birdsmouth:
            called = f"{stem}, birdsmouth {detail.letter}"
            for k, sheet in enumerate(tiles(template, detail, called, units), start=1):
                yield f"{stem}-birdsmouth-{detail.letter.lower()}-full-size-{k}", sheet

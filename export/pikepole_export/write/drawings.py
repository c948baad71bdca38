"""Drawings to work from: of shaped lumber, of flat pieces with cut-outs, of bent trims.

    write_templates(building, folder) -> list[Path]     drawings/*.svg

A birdsmouth has sheets of its own at full size as well.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from pikepole_export.derive.bends import bends
from pikepole_export.derive.outlines import outlines
from pikepole_export.derive.templates import templates
from pikepole_export.files import make_folder, put
from pikepole_export.write._bent import bent_profile
from pikepole_export.write._captions import slug
from pikepole_export.write._details import details_of
from pikepole_export.write._outlines import outline_drawing
from pikepole_export.write._patterns import pattern
from pikepole_export.write._tiles import tiles
from pikepole_model.part import Building

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
    numbers: Counter[str] = Counter()

    def name(kind: str) -> str:
        numbers[kind] += 1
        return f"{slug(kind)}-{numbers[kind]}"

    for template in templates(building):
        stem = name(template.kind)
        files[stem] = pattern(template, units)
        for detail in details_of(template):
            if not detail.features[0].birdsmouth:
                continue
            called = f"{stem}, birdsmouth {detail.letter}"
            for k, sheet in enumerate(tiles(template, detail, called, units), start=1):
                files[f"{stem}-birdsmouth-{detail.letter.lower()}-full-size-{k}"] = sheet
    for outline in outlines(building):
        files[name(outline.kind)] = outline_drawing(outline, units)
    for bend in bends(building):
        lap_mm = building.scene.catalogue.find_flat(bend.stock).lap_mm
        files[name(bend.kind)] = bent_profile(bend, lap_mm, units)
    if not files:
        return []
    place = make_folder(folder / FOLDER)
    return [put(place / f"{stem}.svg", data) for stem, data in files.items()]

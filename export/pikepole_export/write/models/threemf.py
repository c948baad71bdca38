"""3MF: a model of the building to print at a scale, its roof beside it so that it lifts off.

    write_3mf(building, scale, path) -> path

An object for each stage of the work, in two of them what goes into the roof and what does not.
What is in the ground is left out, and what would come out thinner than a printed layer. Millimetres
of the model, both parts standing on the plate.

Source: 3MF Consortium, 3D Manufacturing Format, Core Specification 1.3.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from pikepole_export.files.whole import put
from pikepole_export.graphics.meshes import merge, thickness_mm
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import OutputError
from pikepole_model.geometry.placement import Points

# A layer of most printers, mm: common practice, no source.
LAYER_MM = 0.2
BESIDE_MM = 10.0  # from the building to its roof, on the plate
DECIMALS = 4
ROOF = of(
    Family.ROOF_FRAME,
    Family.EDGE_BOARDS,
    Family.SOFFITS,
    Family.UNDERLAYMENT,
    Family.PANELS,
    Family.ROOF_METAL,
) | {Kind.ROOF_SHEET}

_TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">\
<Default Extension="rels" \
ContentType="application/vnd.openxmlformats-package.relationships+xml"/>\
<Default Extension="model" \
ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>
"""
_RELATIONS = """<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">\
<Relationship Target="/3D/3dmodel.model" Id="model" \
Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>
"""
_MODEL = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"


@dataclass(frozen=True, slots=True)
class _Half:
    """The building without its roof, or its roof.

    Attributes:
        name: What it is called.
        stages: The parts of each stage by its name, where it has any.
    """

    name: str
    stages: dict[str, Sequence[Part]]

    @property
    def points_mm(self) -> Points:
        """(n, 3) float: all its corners, building frame."""
        return np.concatenate([part.vertices_mm for own in self.stages.values() for part in own])


def write_3mf(building: Building, scale: float, path: Path) -> Path:
    """Write the building as one 3MF file.

    Args:
        building: What to write, as it stands in the end.
        scale: How many times as large the building is: 24 for 1:24.
        path: The file, in a folder that is there.

    Raises:
        OutputError: nothing of it is thick enough to be printed, or the file did not come out
            whole.
    """
    printed = [
        part
        for part in building.parts
        if not part.kind.row.stays and thickness_mm(part.shape.mesh) / scale >= LAYER_MM
    ]
    halves = [
        half
        for half in (
            _half("building", building, [part for part in printed if part.kind not in ROOF]),
            _half("roof", building, [part for part in printed if part.kind in ROOF]),
        )
        if half.stages
    ]
    if not halves:
        raise OutputError(
            f"{path}: at 1:{scale:g} every piece is thinner than {LAYER_MM} mm; choose a larger "
            "model, such as --scale 1:24"
        )
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in (
            ("[Content_Types].xml", _TYPES),
            ("_rels/.rels", _RELATIONS),
            ("3D/3dmodel.model", "\n".join(_model(building.scene.title, halves, scale))),
        ):
            # With a date of its own an entry would be different each time.
            archive.writestr(zipfile.ZipInfo(name), text, zipfile.ZIP_DEFLATED)
    return put(path, data.getvalue())


def _half(name: str, building: Building, parts: Sequence[Part]) -> _Half:
    found: dict[str, Sequence[Part]] = {}
    for stage in building.stages:
        own = [part for part in parts if part.stage == stage.number]
        if own:
            found[f"{stage.number} {stage.name}, {name}"] = own
    return _Half(name, found)


def _model(title: str, halves: Sequence[_Half], scale: float) -> Iterator[str]:
    yield '<?xml version="1.0" encoding="UTF-8"?>'
    yield f'<model unit="millimeter" xml:lang="en" xmlns="{_MODEL}">'
    yield f'<metadata name="Title">{escape(title)}, 1:{scale:g}</metadata>'
    yield "<resources>"
    number, items, left_mm = 0, list[str](), 0.0
    for half in halves:
        points = half.points_mm / scale
        low, high = points.min(axis=0), points.max(axis=0)
        first = number + 1
        for name, parts in half.stages.items():
            number += 1
            yield from _object(number, name, parts, scale)
        components = "".join(f'<component objectid="{k}"/>' for k in range(first, number + 1))
        number += 1
        yield (
            f'<object id="{number}" type="model" name={quoteattr(half.name)}>'
            f"<components>{components}</components></object>"
        )
        x, y, z = (round(float(value), DECIMALS) for value in (left_mm - low[0], -low[1], -low[2]))
        items.append(f'<item objectid="{number}" transform="1 0 0 0 1 0 0 0 1 {x} {y} {z}"/>')
        left_mm += float(high[0] - low[0]) + BESIDE_MM
    yield "</resources>"
    yield f"<build>{''.join(items)}</build>"
    yield "</model>"


def _object(number: int, name: str, parts: Sequence[Part], scale: float) -> Iterator[str]:
    """The pieces of a stage as one object: a closed shell for each."""
    merged = merge(parts)
    yield f'<object id="{number}" type="model" name={quoteattr(name)}><mesh><vertices>'
    for x, y, z in np.round(merged.vertices / scale, DECIMALS).tolist():
        yield f'<vertex x="{x}" y="{y}" z="{z}"/>'
    yield "</vertices><triangles>"
    for a, b, c in merged.triangles.tolist():
        yield f'<triangle v1="{a}" v2="{b}" v3="{c}"/>'
    yield "</triangles></mesh></object>"

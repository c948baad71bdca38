"""The page: building.html, with all that it needs in it.

write_page(building, told, folder) -> path
"""

from __future__ import annotations

import base64
import html
import json
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from importlib.resources import files
from itertools import accumulate
from pathlib import Path
from typing import Any

from pikepole_export.derive.inventory.described import described
from pikepole_export.derive.measures.notes import notes_of
from pikepole_export.files.whole import put
from pikepole_export.graphics.camera import camera_axes
from pikepole_export.graphics.colours import LOOKS
from pikepole_export.graphics.shading import END, SIDE, TOP
from pikepole_export.write.page.shown import Shown, shown
from pikepole_export.write.page.solids import packed
from pikepole_model.building.part import Building, Part

NAME = "building.html"
# As small as it gets; read once by the browser, when the first drawing is asked for.
_LEVEL = 9


@dataclass(frozen=True, slots=True)
class Told:
    """What other outputs have of the pieces, each by the piece's name.

    Attributes:
        cautions: What to bear in mind with every mass, and with every lift.
        marks: What the cut plan calls it: "board 3, b".
        drawn: The drawings that it is cut by, by their names.
        lifts: How it gets to its place, a paragraph for each lift that it is in.
        drawings: Every drawing by its name: an SVG file.
        pieces: What each stage is built of, by its number, in lines.
        held: What holds each stage's pieces, by its number, a line for each joint.
        sheets: The drawings that show each stage's pieces, likewise.
        plans: Those of the building as a whole.
    """

    cautions: tuple[str, str]
    marks: Mapping[str, str] = field(default_factory=dict[str, str])
    drawn: Mapping[str, Sequence[str]] = field(default_factory=dict[str, Sequence[str]])
    lifts: Mapping[str, Sequence[str]] = field(default_factory=dict[str, Sequence[str]])
    drawings: Mapping[str, bytes] = field(default_factory=dict[str, bytes])
    pieces: Mapping[int, Sequence[str]] = field(default_factory=dict[int, Sequence[str]])
    held: Mapping[int, Sequence[str]] = field(default_factory=dict[int, Sequence[str]])
    sheets: Mapping[int, Sequence[str]] = field(default_factory=dict[int, Sequence[str]])
    plans: Sequence[str] = ()


def write_page(building: Building, told: Told, folder: Path) -> Path:
    """Write the building as a page to turn it in.

    Args:
        building: What is shown.
        told: What is said of its pieces beside what they are.
        folder: Where to, a folder that is there.

    Raises:
        OutputError: the file could not be written whole.
    """
    source = files("pikepole_export.write.page")
    page = source.joinpath("source", "page.html").read_text(encoding="utf-8")
    # No text of a scene can end the element that it stands in, nor stand for another part.
    parts = {
        "title": html.escape(building.scene.title),
        "caution": html.escape(told.cautions[0]),
        "style": source.joinpath("source", "page.css").read_text(encoding="utf-8"),
        "model": _in_json(_model(building, told)),
        "drawings": _drawings(told.drawings),
        "script": source.joinpath("built", "page.js").read_text(encoding="utf-8"),
    }
    first, *rest = page.split("<!--put ")
    for piece in rest:
        name, after = piece.split("-->", 1)
        first += parts[name] + after
    return put(folder / NAME, first.encode())


def _model(building: Building, told: Told) -> dict[str, Any]:
    scene, layers = building.scene, list(Shown)
    return {
        "units": scene.units,
        "stages": [
            (
                *(stage.number, stage.name, notes_of(building, stage)),
                *(
                    by_stage.get(stage.number, ())
                    for by_stage in (told.pieces, told.held, told.sheets)
                ),
            )
            for stage in building.stages
        ],
        "plans": told.plans,
        "layers": layers,
        "looks": [[round(255 * value) for value in look.colour] for look in LOOKS],
        "light": [END, SIDE, TOP],
        "towards": camera_axes(building)[2].tolist(),
        "withLifts": told.cautions[1],
        "pieces": [
            {
                "name": part.name,
                "layer": layers.index(shown(part.kind)),
                "rows": _rows(part, building, told),
                "drawings": told.drawn.get(part.name, ()),
                "lifts": told.lifts.get(part.name, ()),
            }
            for part in building.parts
        ],
        "solids": packed(building),
    }


def _rows(part: Part, building: Building, told: Told) -> list[tuple[str, str]]:
    mark = told.marks.get(part.name)
    return [*([("Mark", mark)] if mark else []), *described(part, building.scene.units)]


def _drawings(drawings: Mapping[str, bytes]) -> str:
    """All drawings one after the other, and where each ends in what comes out."""
    ends = accumulate(map(len, drawings.values()))
    data = base64.b64encode(zlib.compress(b"".join(drawings.values()), _LEVEL)).decode()
    return _in_json({"ends": dict(zip(drawings, ends, strict=True)), "data": data})


def _in_json(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")

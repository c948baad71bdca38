"""A numbered picture of every stage, and one of the finished building.

The pictures are drawn by a child process, because the graphics library ends the whole process,
without an exception, where the machine lacks what it draws with. The child gets arrays and words
and needs neither the CAD kernel nor the model, so it draws while the parent writes other files:

    with start_pictures(building) as pictures:
        ...
        names = pictures.finish(folder)
"""

from __future__ import annotations

import json
import re
import shutil
import tempfile
import unicodedata
from collections.abc import Sequence
from pathlib import Path
from typing import TypedDict

import numpy as np
from numpy.typing import NDArray

from pikepole_export.colours import part_colour
from pikepole_export.derive.mass import MADE_IN_PLACE, NOTHING, part_mass
from pikepole_export.eye import eye_axes
from pikepole_export.meshes import Merged, merge
from pikepole_export.write import _sheet
from pikepole_export.write._child import Pictures
from pikepole_model.part import Building, Part
from pikepole_model.placement import Points
from pikepole_model.units import FOOT_MM, Units, format_length, format_mass, unit_symbol

CHILD = "pikepole_export.write._render"

# Lines are drawn this much nearer to the eye than the faces they bound, so that they stay whole;
# less than any sheet is thick, so that none shows through.
LINE_LIFT_MM = 8.0

_GRID: dict[Units, tuple[float, str]] = {
    "metric": (1000.0, "1 m"),
    "imperial": (4 * FOOT_MM, "4 ft"),
}

FIGURE_GREY = 0.52


def write_pictures(building: Building, folder: Path) -> list[str]:
    """Draw every stage and the finished building into `folder`/stages.

    Returns:
        The names written, in order: "stages/01-foundation.png", ..., "stages/finished.png".

    Raises:
        OutputError: the pictures could not be drawn; none was left behind.
    """
    with start_pictures(building) as pictures:
        return pictures.finish(folder)


def start_pictures(building: Building) -> Pictures:
    """Begin to draw in a child process, and return at once."""
    job = Path(tempfile.mkdtemp(prefix="pikepole-"))
    try:
        captions = _captions(building)
        _write_job(building, captions, job)
        names = [caption["file"] for caption in captions]
        return Pictures(job, CHILD, names, "stages", (_sheet.WIDTH_PX, _sheet.HEIGHT_PX))
    except BaseException:
        shutil.rmtree(job, ignore_errors=True)
        raise


class Column(TypedDict):
    """A heading and the lines below it."""

    head: str
    bold: list[str]
    plain: list[str]


class Caption(TypedDict):
    """What is written under one picture, and the file it goes to."""

    file: str
    over: str
    name: str
    under: str
    columns: list[Column]


def _captions(building: Building) -> list[Caption]:
    """What is written under each picture, and the file each goes to."""
    units: Units = building.scene.units
    title = building.scene.title
    grid = f"Ground grid {_GRID[units][1]}"
    count = len(building.stages)
    captions: list[Caption] = []
    standing: list[Part] = []
    for stage in building.stages:
        standing += stage.parts
        captions.append(
            {
                "file": f"{stage.number:02}-{_slug(stage.name)}.png",
                "over": f"{title}, stage {stage.number} of {count}",
                "name": f"{stage.number}  {stage.name}",
                "under": _in_place(standing, grid, units),
                "columns": [
                    _totals("Added", stage.parts, units),
                    _totals("So far", standing, units),
                ],
            }
        )
    captions.append(
        {
            "file": "finished.png",
            "over": f"{count} stages",
            "name": title,
            "under": _in_place(standing, grid, units),
            "columns": [_size(standing, units), _totals("In all", standing, units)],
        }
    )
    return captions


def _in_place(parts: Sequence[Part], grid: str, units: Units) -> str:
    """The grid's size, and how much of the mass so far is no part of what can be moved."""
    mass = sum((part_mass(part) for part in parts if part.kind in MADE_IN_PLACE), NOTHING)
    return f"{grid}; gravel, concrete {format_mass(mass.likely_kg, units)} of it"


def _totals(head: str, parts: Sequence[Part], units: Units) -> Column:
    """How many parts and what they weigh: likely, and between what."""
    mass = sum((part_mass(part) for part in parts), NOTHING)
    count = f"{len(parts)} part{'s' if len(parts) != 1 else ''}"
    low = format_mass(mass.low_kg, units).removesuffix(f" {unit_symbol('mass', units)}")
    around = f"{low} to {format_mass(mass.high_kg, units)}"
    return {"head": head, "bold": [count, format_mass(mass.likely_kg, units)], "plain": [around]}


def _size(parts: Sequence[Part], units: Units) -> Column:
    """How much room the building takes above the ground, over everything."""
    points = np.concatenate([part.vertices_mm for part in parts])
    sizes = np.ptp(np.maximum(points, [-np.inf, -np.inf, 0.0]), axis=0)
    ways = ("long", "deep", "high")
    texts = [
        f"{format_length(float(mm), units)} {way}" for mm, way in zip(sizes, ways, strict=True)
    ]
    return {"head": "Over all", "bold": texts, "plain": []}


def _slug(name: str) -> str:
    """A stage's name as part of a file name: lower case, hyphens, ASCII."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-") or "stage"


def _write_job(building: Building, captions: list[Caption], job: Path) -> None:
    """Put what the child needs into the job's folder: `arrays.npz` and `words.json`."""
    units: Units = building.scene.units
    label = ["1.75 m"] if units == "metric" else ["1.75 m", "5 ft 9 in"]
    merged = [merge(stage.parts) for stage in building.stages]
    everything = np.concatenate([one.vertices for one in merged])
    sheet = _sheet.fit(everything, eye_axes(building), len(label))

    arrays: dict[str, NDArray[np.generic]] = {}
    for number, (stage, one) in enumerate(zip(building.stages, merged, strict=True)):
        colours = np.array([part_colour(part) for part in stage.parts]).reshape(-1, 3)
        arrays |= _layer(f"stage{number}", one, colours, sheet)
    vertices, triangles, outward = _sheet.figure_at(*sheet.figure_mm, sheet.axes)
    arrays |= {
        "figure_points": sheet.place(vertices).astype(np.float32),
        "figure_triangles": triangles,
        "figure_colours": _bytes(np.outer(_shade(outward, sheet.axes), [FIGURE_GREY] * 3)),
        "figure_lines": np.empty((0, 3), dtype=np.float32),
    }

    ground = everything[:, :2]
    arrays |= {
        "size": np.array([_sheet.WIDTH_PX, _sheet.DRAWING_PX]),
        "axes": sheet.axes,
        "shift": np.array(sheet.shift),
        "scale": np.array(sheet.scale),
        "footprint": np.concatenate([ground.min(axis=0), ground.max(axis=0)]),
        "figure": np.array(sheet.figure_mm),
        "label": np.array(sheet.label_px),
    }
    np.savez(job / "arrays.npz", allow_pickle=False, **arrays)
    words = {
        "band_px": _sheet.BAND_PX,
        "label": label,
        "label_line_px": _sheet.LABEL_LINE_PX,
        "grid_mm": _GRID[units][0],
        "captions": captions,
    }
    (job / "words.json").write_text(json.dumps(words), encoding="utf-8")


def _layer(
    name: str, merged: Merged, colours: Points, sheet: _sheet.Sheet
) -> dict[str, NDArray[np.generic]]:
    """One set of parts as arrays for the child, on the sheet: faces with their colours, lines."""
    shade = _shade(merged.normals, sheet.axes)
    lines = sheet.place(merged.vertices[merged.edges.ravel()])
    lines[:, 2] += LINE_LIFT_MM * sheet.scale
    return {
        f"{name}_points": sheet.place(merged.vertices).astype(np.float32),
        f"{name}_triangles": merged.triangles,
        f"{name}_colours": _bytes(colours[merged.owners] * shade[:, None]),
        f"{name}_lines": lines.astype(np.float32),
    }


def _bytes(colours: Points) -> NDArray[np.uint8]:
    return np.clip(np.round(colours * 255), 0, 255).astype(np.uint8)


def _shade(normals: Points, axes: Points) -> Points:
    """(m,) float, 0 to 1: how light a face is drawn, by the way it looks.

    Three steps that stay apart in grey: tops lightest, then the front, then the end.
    """
    side = np.sign(axes[2, 0])
    light = np.array([0.20 * side, -0.50, 0.84])
    return np.clip(0.66 + 0.41 * normals @ light, 0.5, 1.0)

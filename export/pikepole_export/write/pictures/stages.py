"""A numbered picture of every stage, and two of the finished building.

The pictures are drawn by a child process, because the graphics library ends the whole process,
without an exception, where the machine lacks what it draws with. The child gets arrays and words
and needs neither the CAD kernel nor the model, so it draws while the parent writes other files:

    with start_pictures(building) as pictures:
        ...
        names = pictures.finish(folder)
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pikepole_export.graphics.camera import camera_axes, camera_axes_behind
from pikepole_export.graphics.child import Pictures
from pikepole_export.graphics.colours import part_colour
from pikepole_export.graphics.figure import figure_at
from pikepole_export.graphics.layers import layers_of
from pikepole_export.graphics.meshes import Merged, merge
from pikepole_export.graphics.page import HEIGHT_PX, WIDTH_PX
from pikepole_export.graphics.shading import END, SIDE, TOP, as_bytes, shade
from pikepole_export.graphics.window import LINE_LIFT_MM
from pikepole_export.write.pictures.captions import GRID, Caption, captions
from pikepole_export.write.pictures.sheet import BAND_PX, DRAWING_PX, LABEL_LINE_PX, Sheet, fit
from pikepole_model.building.part import Building
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units

CHILD = "pikepole_export.write.pictures.render"

FIGURE_GREY = 0.52


def write_pictures(building: Building, folder: Path) -> list[str]:
    """Draw every stage and the finished building into `folder`/stages.

    Returns:
        The names written, in order: "stages/01-foundation.png", ..., "stages/finished.png",
        "stages/finished-behind.png".

    Raises:
        OutputError: the pictures could not be drawn; none was left behind.
    """
    with start_pictures(building) as pictures:
        return pictures.finish(folder)


def start_pictures(building: Building) -> Pictures:
    """Begin to draw in a child process, and return at once."""
    pictures = Pictures(CHILD, "stages", (WIDTH_PX, HEIGHT_PX))
    try:
        words = captions(building)
        _write_job(building, words, pictures.job)
        for caption in words:
            pictures.hand(caption["file"])
        pictures.complete()
    except BaseException:
        pictures.close()
        raise
    return pictures


def _write_job(building: Building, captions: list[Caption], job: Path) -> None:
    """Put what the child needs into the job's folder: `arrays.npz` and `words.json`."""
    units: Units = building.scene.units
    label = ["1.75 m"] if units == "metric" else ["1.75 m", "5 ft 9 in"]
    layers = layers_of(building)
    merged = {name: merge(parts) for name, parts in layers.items()}
    colours = {
        name: np.array([part_colour(part) for part in parts]).reshape(-1, 3)[merged[name].owners]
        for name, parts in layers.items()
    }
    everything = np.concatenate([one.vertices for one in merged.values()])
    arrays: dict[str, NDArray[np.generic]] = {
        "size": np.array([WIDTH_PX, DRAWING_PX]),
        "footprint": np.concatenate([everything[:, :2].min(axis=0), everything[:, :2].max(axis=0)]),
    }
    for view, axes in (("front", camera_axes(building)), ("behind", camera_axes_behind(building))):
        sheet = fit(everything, axes, len(label))
        for name, one in merged.items():
            arrays |= _layer(f"{view}_{name}", one, colours[name], sheet)
        vertices, triangles, outward = figure_at(*sheet.figure_mm, sheet.axes)
        arrays |= {
            f"{view}_figure_points": sheet.place(vertices).astype(np.float32),
            f"{view}_figure_triangles": triangles,
            f"{view}_figure_colours": as_bytes(
                np.outer(shade(outward, _light(sheet.axes)), [FIGURE_GREY] * 3)
            ),
            f"{view}_figure_lines": np.empty((0, 3), dtype=np.float32),
            f"{view}_axes": sheet.axes,
            f"{view}_shift": np.array(sheet.shift),
            f"{view}_scale": np.array(sheet.scale),
            f"{view}_figure": np.array(sheet.figure_mm),
            f"{view}_label": np.array(sheet.label_px),
        }
    np.savez(job / "arrays.npz", allow_pickle=False, **arrays)
    words = {
        "band_px": BAND_PX,
        "label": label,
        "label_line_px": LABEL_LINE_PX,
        "grid_mm": GRID[units][0],
        "captions": captions,
    }
    (job / "words.json").write_text(json.dumps(words), encoding="utf-8")


def _layer(
    name: str, merged: Merged, colours: Points, sheet: Sheet
) -> dict[str, NDArray[np.generic]]:
    """One set of parts as arrays for the child, on the sheet: faces with their colours, lines."""
    light = shade(merged.normals, _light(sheet.axes))
    lines = sheet.place(merged.vertices[merged.edges.ravel()])
    lines[:, 2] += LINE_LIFT_MM * sheet.scale
    return {
        f"{name}_points": sheet.place(merged.vertices).astype(np.float32),
        f"{name}_triangles": merged.triangles,
        f"{name}_colours": as_bytes(colours * light[:, None]),
        f"{name}_lines": lines.astype(np.float32),
    }


def _light(axes: Points) -> Points:
    """(3,) float: from the long side and the end that are seen, and from above."""
    end, side = np.sign(axes[2, :2])
    return np.array([END * end, SIDE * side, TOP])

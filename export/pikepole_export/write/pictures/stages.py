"""A numbered picture of every stage, and one of the finished building.

The pictures are drawn by child processes, because the graphics library ends the whole process,
without an exception, where the machine lacks what it draws with. The child gets arrays and words
and needs neither the CAD kernel nor the model, so it draws while the parent writes other files:

    with start_pictures(building, lifts, drawers()) as pictures:
        ...
        names = pictures.finish(folder)
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypedDict

import numpy as np
from numpy.typing import NDArray

from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.graphics.camera import camera_axes, camera_axes_behind
from pikepole_export.graphics.child import Pictures
from pikepole_export.graphics.colours import part_colour
from pikepole_export.graphics.drawer import page_file
from pikepole_export.graphics.figure import figure_at
from pikepole_export.graphics.layers import ROOF
from pikepole_export.graphics.meshes import merge
from pikepole_export.graphics.page import HEIGHT_PX, WIDTH_PX
from pikepole_export.graphics.shading import END, SIDE, TOP, as_bytes, shade
from pikepole_export.write.pictures.captions import GRID, captions
from pikepole_export.write.pictures.details import cuts_of, detail
from pikepole_export.write.pictures.layouts import layout_plate
from pikepole_export.write.pictures.nailing import Nailing, nailing, nailing_plate
from pikepole_export.write.pictures.pages import fits_of, layers_shown, pages_of
from pikepole_export.write.pictures.plate import Plate
from pikepole_export.write.pictures.sheet import (
    BESIDE,
    DETAIL_PX,
    DETAILED,
    FRAMES,
    LABEL_LINE_PX,
    MAIN,
    MARGIN_PX,
    SAID_PX,
    SECOND_PX,
    SMALLER,
    STRIP,
    WIDE_PX,
    Sheet,
    fit,
)
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.part import Building, Stage
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units

CHILD = "pikepole_export.write.pictures.render"

FIGURE_GREY = 0.52
LARGE = 2  # the views are drawn so fine in any case


class Beside(TypedDict):
    """What stands beside the views: a layout in three widths, details, and what is nailed.

    That as words for the column, and as a drawing in four sizes.
    """

    layout: list[Plate]
    details: list[Plate]
    nailing: Nailing | None
    nailed: list[Plate]


PageWords = dict[str, Any]
Lifts = Callable[[], Iterable[Lift]]
Arrays = dict[str, NDArray[np.generic]]


def write_pictures(building: Building, lifts: Lifts, folder: Path) -> list[str]:
    """Draw every stage and the finished building into `folder`/stages.

    Args:
        building: What to draw.
        lifts: Gives those of its lift plan.
        folder: That is there.

    Returns:
        The names written, in order: "stages/01-foundation.png", ..., "stages/finished.png".

    Raises:
        OutputError: the pictures could not be drawn; none was left behind.
    """
    with start_pictures(building, lifts, drawers()) as pictures:
        return pictures.finish(folder)


def drawers(*, large: bool = False, children: int = 1) -> Pictures:
    """The processes that draw: they can load what they draw with before there is a building.

    Args:
        large: Whether twice as many pixels are drawn each way, to print.
        children: How many share the pictures.

    Raises:
        OSError: there is no room for what they are handed.
    """
    times = LARGE if large else 1
    return Pictures(CHILD, "stages", (WIDTH_PX * times, HEIGHT_PX * times), children=children)


def start_pictures(building: Building, lifts: Lifts, pictures: Pictures) -> Pictures:
    """Begin to draw in child processes, and return at once.

    Args:
        building: What to draw.
        lifts: Gives those of its lift plan.
        pictures: Of `drawers`; closed where it cannot begin.

    Returns:
        The pictures.
    """
    try:
        pages = write_job(building, pictures.job, pictures.size[0] // WIDTH_PX)
        pictures.ready()
        planned = tuple(lifts())
        words = captions(building, heaviest_of(planned))
        shown = zip(pages, words, (*building.stages, None), strict=True)
        for number, (page, caption, stage) in enumerate(shown):
            write_page(building, stage, page | {"caption": caption}, pictures.job, planned)
            # Each draws one run of them: what stands on a page is kept for the next.
            pictures.hand(caption["file"], number * pictures.count // len(words))
        pictures.complete()
    except BaseException:
        pictures.close()
        raise
    return pictures


def heaviest_of(lifts: Iterable[Lift]) -> dict[int, Lift]:
    """The lift of each stage that raises the most at once, by the stage's number.

    Not of what it is moved with, which no picture lists.
    """
    heaviest: dict[int, Lift] = {}
    for lift in lifts:
        if any(part.kind.family is Family.TEMPORARY for part in lift.item.whole.parts):
            continue
        known = heaviest.get(lift.item.stage)
        if known is None or _raised_kg(lift) > _raised_kg(known):
            heaviest[lift.item.stage] = lift
    return heaviest


def _raised_kg(lift: Lift) -> float:
    """What goes up at once, at the most."""
    return lift.chosen.load.mass.high_kg


def write_job(building: Building, job: Path, times: int = 1) -> list[PageWords]:
    """Put what the child needs for all pages into its folder: `arrays.npz` and `words.json`.

    Args:
        building: What to draw.
        job: The folder.
        times: Pixels drawn to a pixel of the page, each way.

    Returns:
        What it needs besides of each page: its layers and views.
    """
    units: Units = building.scene.units
    label = ["1.75 m"] if units == "metric" else ["1.75 m", "5 ft 9 in"]
    layers = layers_shown(building)
    numbers = {part.name: number for number, part in enumerate(building.parts)}
    arrays: Arrays = {}
    points: dict[str, Points] = {}
    for name, parts in layers.items():
        merged = merge(parts)
        points[name] = merged.vertices
        own = np.array([numbers[part.name] for part in parts], dtype=np.int32)
        colours = np.array([part_colour(part) for part in parts], dtype=np.float32)
        arrays |= {
            f"{name}_points": merged.vertices.astype(np.float32),
            f"{name}_triangles": merged.triangles,
            f"{name}_owners": own[merged.owners],
            f"{name}_edges": merged.edges,
            f"{name}_edge_owners": own[merged.edge_owners],
            f"{name}_colours": colours[merged.owners],
        }
    everything = np.concatenate(list(points.values()))
    arrays["footprint"] = np.concatenate(
        [everything[:, :2].min(axis=0), everything[:, :2].max(axis=0)]
    )
    pages = pages_of(building, layers)

    axes = camera_axes(building)
    fits = fits_of(pages, points, axes, MAIN[2:])
    views: dict[str, Any] = {}
    for last in sorted(set(fits)):
        of_fit = [page for page, own in zip(pages, fits, strict=True) if own == last]
        names = dict.fromkeys(name for page in of_fit for name in page.shown)
        shown = np.concatenate([points[name] for name in names])
        sides = (("front", axes), ("behind", camera_axes_behind(building)))
        sizes: tuple[tuple[str, tuple[int, int]], ...] = (("large", MAIN[2:]), ("small", SECOND_PX))
        for (side, looks), (name, size) in itertools.product(sides, sizes):
            sheet = fit(shown, looks, len(label), size)
            view = f"{name} {side} {last}"
            arrays |= _view(view, sheet)
            views[view] = {
                "size": size,
                "words": [word.text for word in sheet.words],
                "label": label,
            }
    np.savez(job / "arrays.npz", allow_pickle=False, **arrays)
    words = {
        "page": [WIDTH_PX, HEIGHT_PX],
        "times": times,
        "main": MAIN,
        "frames": FRAMES,
        "strip": STRIP,
        "smaller": SMALLER,
        "label_line_px": LABEL_LINE_PX,
        "margin_px": MARGIN_PX,
        "said_px": SAID_PX,
        "grid_mm": GRID[units][0],
        "roof": [name for name, parts in layers.items() if all(p.kind in ROOF for p in parts)],
        "views": views,
    }
    (job / "words.json").write_text(json.dumps(words), encoding="utf-8")
    return [
        {
            "standing": page.standing,
            "added": page.added,
            "opened": page.opened,
            "main": f"large front {last}",
            "second": f"small behind {last}",
            "turned": [f"large behind {last}", f"small front {last}"],
        }
        for page, last in zip(pages, fits, strict=True)
    ]


def write_page(
    building: Building,
    stage: Stage | None,
    page: PageWords,
    job: Path,
    lifts: Iterable[Lift] = (),
) -> None:
    """Put what the child needs for one page into the job's folder.

    Args:
        building: What to draw.
        stage: That the page shows; None where it is all that stands in the end.
        page: Of `write_job`, with its caption.
        job: The folder.
        lifts: Of the lift plan, which tell where walls are braced.
    """
    beside: Beside = {"layout": [], "details": [], "nailing": None, "nailed": []}
    if stage:
        own = [lift for lift in lifts if lift.item.stage == stage.number]
        braced = {
            lift.item.name: [place.upper_mm for place in lift.bracing.places]
            for lift in own
            if lift.bracing
        }
        layouts = (
            layout_plate(building, stage, size, braced)
            for size in (WIDE_PX, SECOND_PX, BESIDE[2][2:])
        )
        beside["layout"] = [layout for layout in layouts if layout]
        cuts = cuts_of(building, stage)
        beside["details"] = [detail(building, stage, cut, DETAIL_PX) for cut in cuts]
        if said := nailing(building, stage):
            beside["nailing"] = said
            sizes = (SECOND_PX, BESIDE[1][2:], DETAILED[1][2:], STRIP[2:])
            beside["nailed"] = [nailing_plate(said, size) for size in sizes]
    file = job / page_file(page["caption"]["file"])
    file.write_text(json.dumps(page | beside), encoding="utf-8")


def _view(name: str, sheet: Sheet) -> Arrays:
    """A view as arrays for the child: its camera, its light, its figure and its words."""
    vertices, triangles, outward = figure_at(*sheet.figure_mm, sheet.axes)
    light = _light(sheet.axes)
    arrays: Arrays = {
        f"{name}_figure_points": vertices.astype(np.float32),
        f"{name}_figure_triangles": triangles,
        f"{name}_figure_edges": np.empty((0, 2), dtype=np.int32),
        f"{name}_figure_colours": as_bytes(np.outer(shade(outward, light), [FIGURE_GREY] * 3)),
        f"{name}_axes": sheet.axes,
        f"{name}_shift": np.array(sheet.shift),
        f"{name}_scale": np.array(sheet.scale),
        f"{name}_light": light,
        f"{name}_standing": np.array(sheet.figure_mm),
        f"{name}_label": np.array(sheet.label_px),
    }
    return arrays | {
        f"{name}_word{number}": word.corners_mm for number, word in enumerate(sheet.words)
    }


def _light(axes: Points) -> Points:
    """(3,) float: from the long side and the end that are seen, and from above."""
    end, side = np.sign(axes[2, :2])
    return np.array([END * end, SIDE * side, TOP])

"""Draws the pictures of one job: the program of the child process.

    python -m pikepole_export.write._render JOB_FOLDER

Reads `arrays.npz` and `words.json`, writes `drawn/*.png`. Every layer (a stage's parts, the
figure) is drawn once, alone, at twice the size, with the distance of each pixel. The pictures are
then put together from those: what a stage adds in its own colours, and what stood before washed
out. Where something that stands hides something that is added, the added shows through it, fainter.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

if TYPE_CHECKING:
    import pyvista as pv

Arrays: TypeAlias = dict[str, NDArray[Any]]
Pixels: TypeAlias = NDArray[np.uint32]  # red, green, blue and one unused byte in each
Depths: TypeAlias = NDArray[np.float32]
Window: TypeAlias = tuple[slice, slice]
# What a stage lays on an earlier one hides its edges too, however thin it is: they are drawn a
# little nearer to the eye than the faces they bound.
COVERS_MM = 40.0
RGB = np.uint32(0xFFFFFF)  # of a pixel's four bytes

# The window a layer reaches, and in it (h, w) colours and (h, w) depths, 1 where it is empty.
Drawn: TypeAlias = tuple[Window, Pixels, Depths]

FINE = 2  # pixels drawn to a pixel shown, each way
LINE_PX = 2.6  # at the fine size
INK = (30, 28, 26)
INK_BYTES = np.uint32(INK[0] | INK[1] << 8 | INK[2] << 16)
SHOWS_THROUGH = 0.55
KEPT = 0.38  # of the darkness of what stood before

PAPER = 255
GROUND = 243
GRID = 222
GROUND_FADES_MM = 2200.0
FRAME_FADES_PX = 120
SHADOW = 60  # under the figure's feet
SHADOW_MM = 320.0

# Printed 6.5 in wide, 1600 pixels make 28 of them about 8 points.
SMALL_PX = 28
BODY_PX = 31
NAME_PX = 50
SIDE_PX = 40
COLUMNS_PX = (930, 1270)
TEXT = (20, 20, 20)
RULE = (150, 150, 150)
QUIET = (95, 95, 95)


def main(job: Path) -> None:
    """Draw every picture of the job."""
    with np.load(job / "arrays.npz") as stored:
        arrays: Arrays = dict(stored)
    words = json.loads((job / "words.json").read_text(encoding="utf-8"))
    width, height = (int(size) for size in arrays["size"])
    draw = _drawer(arrays, width * FINE, height * FINE)
    folder = job / "drawn"
    folder.mkdir()

    muted, nearest = _setting(arrays, words["grid_mm"], draw)
    is_edge = np.zeros(nearest.shape, dtype=bool)
    near, far = _depth_range(arrays)
    covers = np.float32(COVERS_MM * float(arrays["scale"]) / (near - far))
    plain = muted.copy()
    *stages, finished = words["captions"]
    for number, caption in enumerate(stages):
        where, colour, depth = draw(f"stage{number}")
        front = (depth < nearest[where] + covers * is_edge[where]) & (depth < 1.0)
        behind = (depth < 1.0) & ~front
        picture = muted.copy()
        picture[where][front] = colour[front]
        picture[where][behind] = _shown_through(colour[behind], muted[where][behind])
        _save(picture, words, caption, arrays["label"], folder)
        plain[where][front] = colour[front]
        muted[where][front] = _washed_out(colour[front])
        is_edge[where][front] = (colour[front] & RGB) == INK_BYTES
        nearest[where][front] = depth[front]
    _save(plain, words, finished, arrays["label"], folder)


def _drawer(arrays: Arrays, width: int, height: int) -> Callable[[str], Drawn]:
    """A function that draws one layer alone."""
    # Without a display server: the same pictures on a desk, over ssh and in a container.
    if sys.platform == "linux":
        os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")
    import pyvista as pv
    from vtkmodules.vtkCommonCore import vtkFloatArray, vtkUnsignedCharArray

    # Any: what pyvista wraps to refuse positional arguments has no usable type.
    plotter: Any = pv.Plotter(off_screen=True, window_size=[width, height], lighting="none")
    plotter.background_color = "white"
    window = plotter.ren_win
    window.SetMultiSamples(0)  # the fine size smooths edges; depths must not be mixed
    layers = [key.removesuffix("_points") for key in arrays if key.endswith("_points")]
    actors = {layer: _actors(plotter, arrays, layer) for layer in layers}
    plotter.show(auto_close=False)
    near, far = _depth_range(arrays)
    camera = plotter.camera
    camera.parallel_projection = True
    camera.focal_point = (width / FINE / 2, height / FINE / 2, far)
    camera.position = (width / FINE / 2, height / FINE / 2, near)
    camera.up = (0.0, 1.0, 0.0)
    camera.parallel_scale = height / FINE / 2
    camera.clipping_range = (0.0, near - far)
    pixels, distances = vtkUnsignedCharArray(), vtkFloatArray()

    def draw(layer: str) -> Drawn:
        for name, drawn in actors.items():
            for actor in drawn:
                actor.visibility = name == layer
        window.Render()
        where = _window(arrays[f"{layer}_points"], width, height)
        window.GetRGBACharPixelData(0, 0, width - 1, height - 1, 0, pixels)
        colour = pv.convert_array(pixels).view(np.uint32).reshape(height, width)[::-1]
        window.GetZbufferData(0, 0, width - 1, height - 1, distances)
        depth = pv.convert_array(distances).reshape(height, width)[::-1]
        return where, colour[where], depth[where]

    return draw


def _window(points: NDArray[np.float32], width: int, height: int) -> Window:
    """The rows and columns of the fine picture that a layer reaches, lines included."""
    if not len(points):
        return slice(0, 0), slice(0, 0)
    low = np.floor(points.min(axis=0) * FINE).astype(int) - 4
    high = np.ceil(points.max(axis=0) * FINE).astype(int) + 4
    rows = slice(max(height - high[1], 0), min(height - low[1], height))
    return rows, slice(max(low[0], 0), min(high[0], width))


def _depth_range(arrays: Arrays) -> tuple[float, float]:
    """Nearest and farthest the eye has to look, with a little to spare, in sheet coordinates."""
    heights = [array[:, 2] for key, array in arrays.items() if key.endswith(("_points", "_lines"))]
    nearest = max(float(h.max()) for h in heights if len(h))
    farthest = min(float(h.min()) for h in heights if len(h))
    return nearest + 10.0, farthest - 10.0


def _actors(plotter: pv.Plotter, arrays: Arrays, name: str) -> list[pv.Actor]:
    import pyvista as pv

    points, triangles = arrays[f"{name}_points"], arrays[f"{name}_triangles"]
    if not len(triangles):
        return []
    faces = pv.PolyData.from_regular_faces(points, triangles)
    colours = arrays[f"{name}_colours"]
    # One colour to a triangle for flat faces, one to a point for a rounded surface.
    data = faces.cell_data if len(colours) == len(triangles) else faces.point_data
    data["colours"] = colours
    # `culling` skips what faces away: half the work, and nothing is open to look into.
    actors = [
        plotter.add_mesh(
            faces, reset_camera=False, scalars="colours", rgb=True, lighting=False, culling="back"
        )
    ]
    ends = arrays[f"{name}_lines"]
    if len(ends):
        lines = pv.line_segments_from_points(ends)
        actors.append(
            plotter.add_mesh(
                lines, reset_camera=False, color=INK, line_width=LINE_PX, lighting=False
            )
        )
    return actors


def _setting(arrays: Arrays, grid_mm: float, draw: Callable[[str], Drawn]) -> tuple[Pixels, Depths]:
    """The ground with its grid, and the figure on it, as drawn before anything is built."""
    width, height = (int(size) for size in arrays["size"])
    axes, scale, shift = arrays["axes"], float(arrays["scale"]), arrays["shift"]
    # Sheet (x, y) of a pixel's middle, and from there the point of the ground it looks at.
    x = np.arange(width, dtype=np.float32) + np.float32(0.5 - shift[0])
    y = (np.float32(height - 0.5 - shift[1]) - np.arange(height, dtype=np.float32))[:, None]
    inverse = (np.linalg.inv(axes[:2, :2]) / scale).astype(np.float32)
    ground_x = inverse[0, 0] * x + inverse[0, 1] * y
    ground_y = inverse[1, 0] * x + inverse[1, 1] * y

    x0, y0, x1, y1 = (float(side) for side in arrays["footprint"])
    from_building = np.hypot(
        np.maximum(np.maximum(x0 - ground_x, ground_x - x1), 0.0),
        np.maximum(np.maximum(y0 - ground_y, ground_y - y1), 0.0),
    )
    figure_x, figure_y = (float(value) for value in arrays["figure"])
    from_figure = np.hypot(ground_x - figure_x, ground_y - figure_y)
    near = np.minimum(from_building, from_figure)
    strength = np.clip(1.0 - near / GROUND_FADES_MM, 0.0, 1.0) ** 1.5
    # Gone before the frame, where the building is small and the ground shown with it is too.
    inside_x = np.minimum(np.arange(width), np.arange(width)[::-1])
    inside_y = np.minimum(np.arange(height), np.arange(height)[::-1])[:, None]
    strength *= np.clip(np.minimum(inside_x, inside_y) / FRAME_FADES_PX, 0.0, 1.0)
    grid = np.zeros_like(near)
    for along in (ground_x, ground_y):
        off = np.abs((along + grid_mm / 2) % grid_mm - grid_mm / 2)
        grid = np.maximum(grid, np.clip(1.5 - off * scale, 0.0, 1.0))
    grey = PAPER - strength * ((PAPER - GROUND) + grid * (GROUND - GRID))
    grey -= SHADOW * np.clip(1.0 - from_figure / SHADOW_MM, 0.0, 1.0)

    near_px, far_px = _depth_range(arrays)
    ground_z = scale * (axes[2, 0] * ground_x + axes[2, 1] * ground_y)
    # A touch deeper than it is, so that what lies on the ground is not half sunk in it.
    depth = np.minimum((near_px - ground_z + 1.0) / (near_px - far_px), 1.0)
    shade = grey.astype(np.uint32) * np.uint32(0x01010101)
    ground, nearest = (
        rows.repeat(FINE, axis=0).repeat(FINE, axis=1) for rows in (shade, depth.astype(np.float32))
    )
    where, colour, figure = draw("figure")
    front = figure < 1.0
    ground[where][front] = colour[front]
    nearest[where][front] = figure[front]
    return ground, nearest


def _washed_out(colour: Pixels) -> Pixels:
    """What stood before: nearly grey, and far nearer to white, lines and all."""
    parts = _channels(colour).astype(np.float32)
    grey = parts @ np.array([0.30, 0.59, 0.11, 0.0], dtype=np.float32)
    parts *= 0.35 * KEPT
    parts += (PAPER * (1.0 - KEPT) + 0.65 * KEPT * grey)[:, None]
    return _packed(parts)


def _shown_through(colour: Pixels, over: Pixels) -> Pixels:
    """What is added, seen through what stands before it."""
    return _packed(SHOWS_THROUGH * _channels(colour) + (1.0 - SHOWS_THROUGH) * _channels(over))


def _channels(colour: Pixels) -> NDArray[np.uint8]:
    """(n, 4) red, green, blue and one unused, of (n,) pixels."""
    return colour[:, None].view(np.uint8)


def _packed(channels: NDArray[np.floating[Any]]) -> Pixels:
    return channels.astype(np.uint8).view(np.uint32)[:, 0]


def _save(
    picture: Pixels,
    words: dict[str, Any],
    caption: dict[str, Any],
    label_at: NDArray[np.float64],
    folder: Path,
) -> None:
    """Bring a picture to size, write on it, and put it in the folder."""
    height, width = (size // FINE for size in picture.shape)
    fine = Image.frombuffer("RGBX", picture.shape[::-1], picture, "raw", "RGBX", 0, 1)
    shown = fine.reduce(FINE).convert("RGB")
    band: int = words["band_px"]
    page = Image.new("RGB", (width, height + band), "white")
    page.paste(shown, (0, 0))
    write = ImageDraw.Draw(page)
    small = _font(SMALL_PX)
    for row, line in enumerate(words["label"]):
        at = (
            round(float(label_at[0])),
            round(height - float(label_at[1])) + words["label_line_px"] * row,
        )
        write.text(at, line, fill=QUIET, font=small, anchor="mt")
    _write_caption(write, caption, (0, height, width, height + band))
    page.save(folder / caption["file"], compress_level=4)


def _write_caption(
    write: ImageDraw.ImageDraw, caption: dict[str, Any], band: tuple[int, int, int, int]
) -> None:
    left, top, right, _ = band[0] + SIDE_PX, band[1], band[2] - SIDE_PX, band[3]
    write.line([(left, top), (right, top)], fill=RULE, width=2)
    starts = [left, *COLUMNS_PX]
    rooms = [b - a - 24 for a, b in zip(starts, [*COLUMNS_PX, right + 24], strict=True)]
    _line(write, (left, top + 42), caption["over"], SMALL_PX, rooms[0], QUIET)
    _line(write, (left, top + 105), caption["name"], NAME_PX, rooms[0], TEXT, bold=True)
    _line(write, (left, top + 154), caption["under"], SMALL_PX, rooms[0], QUIET)
    for start, room, column in zip(starts[1:], rooms[1:], caption["columns"], strict=True):
        _line(write, (start, top + 42), column["head"], SMALL_PX, room, QUIET)
        for row, line in enumerate(column["bold"] + column["plain"]):
            at = (start, top + 80 + 37 * row)
            _line(write, at, line, BODY_PX, room, TEXT, bold=row < len(column["bold"]))


def _line(
    write: ImageDraw.ImageDraw,
    at: tuple[int, int],
    text: str,
    size: int,
    room: int,
    ink: tuple[int, int, int],
    *,
    bold: bool = False,
) -> None:
    """One line of text, its base line at `at`, smaller or cut short where it has no room."""
    font = _font(size, bold)
    while font.getlength(text) > room and size > SMALL_PX:
        size -= 1
        font = _font(size, bold)
    if font.getlength(text) > room:
        while text and font.getlength(text + "...") > room:
            text = text[:-1]
        text = text.rstrip() + "..."
    write.text(at, text, fill=ink, font=font, anchor="ls")


@cache
def _font(size: int, bold: bool = False) -> ImageFont.FreeTypeFont:
    """DejaVu Sans, which pyvista's own plotting library brings along everywhere."""
    spec = find_spec("matplotlib")
    assert spec is not None
    assert spec.origin is not None
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return ImageFont.truetype(Path(spec.origin).parent / "mpl-data/fonts/ttf" / name, size)


if __name__ == "__main__":
    main(Path(sys.argv[1]))

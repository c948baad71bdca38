"""Draws the pictures of one job: the program of the child process.

    python -m pikepole_export.write.pictures.render JOB_FOLDER

Reads `arrays.npz` and `words.json`, writes `drawn/*.png`. Every layer (a stage's parts, the
figure) is drawn once from each side, alone, at twice the size, with the distance of each pixel. The
pictures are then put together from those: what a stage adds in its own colours, and what stood
before washed out. Where something that stands hides something that is added, the edges of the added
show through it, and its faces faintly.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from pikepole_export.graphics.job import begin
from pikepole_export.graphics.lettering import font_of
from pikepole_export.graphics.window import (
    FINE,
    LINE_PX,
    Box,
    Depths,
    HiddenWindow,
    Pixels,
    reached,
)
from pikepole_export.write.pictures.band import QUIET, SMALL_PX, write_caption

Arrays: TypeAlias = dict[str, NDArray[Any]]
Mask: TypeAlias = NDArray[np.bool_]
Places: TypeAlias = NDArray[np.intp]
# What a stage lays on an earlier one hides its edges too, however thin it is: they are drawn a
# little nearer to the camera than the faces they bound.
COVERS_MM = 15.0
RGB = np.uint32(0xFFFFFF)  # of a pixel's four bytes

# The window a layer reaches, and in it (h, w) colours and (h, w) depths, 1 where it is empty.
Drawn: TypeAlias = tuple[Box, Pixels, Depths]
Draw: TypeAlias = Callable[[str], Drawn]  # one layer alone, by its name

INK = (30, 28, 26)
INK_BYTES = np.uint32(INK[0] | INK[1] << 8 | INK[2] << 16)
FACE_SHOWS_THROUGH = 0.12
EDGE_SHOWS_THROUGH = 0.40
KEPT = 0.38  # of the darkness of what stood before

PAPER = 255
GROUND = 243
GRID = 222
GRID_PX = 1.2  # from a line's middle to where it ends
GROUND_FADES_MM = 2200.0
FRAME_FADES_PX = 120
SHADOW = 60  # under the figure's feet
SHADOW_MM = 320.0


def main(job: Path) -> None:
    """Draw every picture of the job."""
    names, folder = begin(job)
    for _ in names:
        pass  # all share what is in the job
    with np.load(job / "arrays.npz") as stored:
        arrays = dict(stored)
    words = json.loads((job / "words.json").read_text(encoding="utf-8"))
    width, height = (int(size) for size in arrays["size"])
    draw = _drawer(arrays, width, height)
    # One after the other, so that the pixels of the first are given back before the second.
    _draw_stages(arrays, words, draw, folder)
    _draw_from_behind(arrays, words, draw, folder)


def _draw_stages(arrays: Arrays, words: Any, draw: Draw, folder: Path) -> None:
    """Every stage, and then the finished building from the front."""
    *stages, finished, _ = words["captions"]
    muted, standing = _setting(arrays, "front", words["grid_mm"], draw)
    plain = muted.copy()
    for number, caption in enumerate(stages):
        if f"front_before{number}_points" in arrays:
            muted, standing = _setting(arrays, "front", words["grid_mm"], draw)
            plain = muted.copy()
            where, colour, _ = drawn = draw(f"front_before{number}")
            front = standing.in_front(drawn)
            plain[where][front] = colour[front]
            muted[where][front] = _washed_out(colour[front])
            standing.add(drawn, front)
        drawn = where, colour, depth = draw(f"front_stage{number}")
        front = standing.in_front(drawn)
        hidden = (depth < 1.0) & ~front
        picture = muted.copy()
        picture[where][front] = colour[front]
        picture[where][hidden] = _shown_through(colour[hidden], muted[where][hidden])
        _save(picture, words, caption, arrays["front_label"], folder)
        plain[where][front] = colour[front]
        muted[where][front] = _washed_out(colour[front])
        standing.add(drawn, front)
    _save(plain, words, finished, arrays["front_label"], folder)


def _draw_from_behind(arrays: Arrays, words: Any, draw: Draw, folder: Path) -> None:
    """The finished building from behind."""
    *stages, _, behind = words["captions"]
    plain, standing = _setting(arrays, "behind", words["grid_mm"], draw)
    last = max((k for k in range(len(stages)) if f"behind_before{k}_points" in arrays), default=0)
    layers = [f"behind_stage{number}" for number in range(last, len(stages))]
    if f"behind_before{last}_points" in arrays:
        layers.insert(0, f"behind_before{last}")
    for layer in layers:
        drawn = where, colour, _ = draw(layer)
        front = standing.in_front(drawn)
        plain[where][front] = colour[front]
        standing.add(drawn, front)
    _save(plain, words, behind, arrays["behind_label"], folder)


class _Standing:
    """How near to the camera each pixel of what stands is, and whether an edge is drawn there."""

    def __init__(self, nearest: Depths, covers: float) -> None:
        self._nearest = nearest
        self._is_edge = np.zeros(nearest.shape, dtype=bool)
        self._covers = np.float32(covers)

    def in_front(self, drawn: Drawn) -> Mask:
        """Where a layer hides what stands: where it is nearer, or lies on an edge."""
        where, _, depth = drawn
        nearest = self._nearest[where]
        front = depth < nearest
        rows, columns = np.nonzero(self._is_edge[where] & ~front & (depth < 1.0))
        here = depth[rows, columns]
        # A line has its width in the sheet, and so stands off a face that is seen nearly edge on.
        stands_off = LINE_PX * (
            _step(depth, here, rows, columns, (1, 0)) + _step(depth, here, rows, columns, (0, 1))
        )
        front[rows, columns] = here < nearest[rows, columns] + self._covers + stands_off
        return front

    def add(self, drawn: Drawn, front: Mask) -> None:
        """A layer stands, where it is in front."""
        where, colour, depth = drawn
        self._is_edge[where][front] = (colour[front] & RGB) == INK_BYTES
        self._nearest[where][front] = depth[front]


def _step(
    depth: Depths, here: Depths, rows: Places, columns: Places, way: tuple[int, int]
) -> Depths:
    """How much the depth changes to the next pixel on the same face, at some pixels."""
    height, width = depth.shape
    steps = [
        np.abs(
            here
            - depth[
                np.clip(rows + sign * way[0], 0, height - 1),
                np.clip(columns + sign * way[1], 0, width - 1),
            ]
        )
        for sign in (1, -1)
    ]
    # The lesser of both sides: the other may be beyond the face's edge.
    return np.minimum(*steps)


def _drawer(arrays: Arrays, width: int, height: int) -> Draw:
    """A function that draws one layer alone."""
    window = HiddenWindow((width, height), (PAPER, PAPER, PAPER))
    layers = [key.removesuffix("_points") for key in arrays if key.endswith("_points")]
    actors = {
        layer: window.solid(
            *(arrays[f"{layer}_{what}"] for what in ("points", "triangles", "colours", "lines")),
            ink=INK,
        )
        for layer in layers
    }
    near, far = _depth_range(arrays)
    camera = window.plotter.camera
    camera.parallel_projection = True
    camera.focal_point = (width / 2, height / 2, far)
    camera.position = (width / 2, height / 2, near)
    camera.up = (0.0, 1.0, 0.0)
    camera.parallel_scale = height / 2
    camera.clipping_range = (0.0, near - far)

    def draw(layer: str) -> Drawn:
        box = reached(arrays[f"{layer}_points"], window.width, window.height)
        return box, *window.drawn(actors[layer], box)

    return draw


def _depth_range(arrays: Arrays) -> tuple[float, float]:
    """Nearest and farthest the camera has to look, with a little to spare, in sheet coordinates."""
    heights = [array[:, 2] for key, array in arrays.items() if key.endswith(("_points", "_lines"))]
    nearest = max(float(h.max()) for h in heights if len(h))
    farthest = min(float(h.min()) for h in heights if len(h))
    return nearest + 10.0, farthest - 10.0


def _setting(arrays: Arrays, view: str, grid_mm: float, draw: Draw) -> tuple[Pixels, _Standing]:
    """The ground with its grid, and the figure on it, as drawn before anything is built."""
    width, height = (int(size) for size in arrays["size"])
    axes, shift = arrays[f"{view}_axes"], arrays[f"{view}_shift"]
    scale = float(arrays[f"{view}_scale"])
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
    figure_x, figure_y = (float(value) for value in arrays[f"{view}_figure"])
    from_figure = np.hypot(ground_x - figure_x, ground_y - figure_y)
    near = np.minimum(from_building, from_figure)
    strength = np.clip(1.0 - near / GROUND_FADES_MM, 0.0, 1.0) ** 1.5
    # Gone before the frame, where the building is small and the ground shown with it is too.
    inside_x = np.minimum(np.arange(width), np.arange(width)[::-1])
    inside_y = np.minimum(np.arange(height), np.arange(height)[::-1])[:, None]
    strength *= np.clip(np.minimum(inside_x, inside_y) / FRAME_FADES_PX, 0.0, 1.0)
    grid = np.zeros_like(near)
    for along, mm_per_px in ((ground_x, np.hypot(*inverse[0])), (ground_y, np.hypot(*inverse[1]))):
        off = np.abs((along + grid_mm / 2) % grid_mm - grid_mm / 2)
        grid = np.maximum(grid, np.clip(GRID_PX - off / mm_per_px, 0.0, 1.0))
    grey = PAPER - strength * ((PAPER - GROUND) + grid * (GROUND - GRID))
    grey -= SHADOW * np.clip(1.0 - from_figure / SHADOW_MM, 0.0, 1.0)

    near_px, far_px = _depth_range(arrays)
    ground_z = scale * (axes[2, 0] * ground_x + axes[2, 1] * ground_y)
    # Deeper than it is by its step from pixel to pixel, or what lies flush with it is half sunk.
    step_px = np.hypot(axes[2, 0], axes[2, 1]) / axes[2, 2]
    depth = np.minimum((near_px - ground_z + step_px) / (near_px - far_px), 1.0)
    shade = grey.astype(np.uint32) * np.uint32(0x01010101)
    ground, nearest = (
        rows.repeat(FINE, axis=0).repeat(FINE, axis=1) for rows in (shade, depth.astype(np.float32))
    )
    where, colour, figure = draw(f"{view}_figure")
    front = figure < 1.0
    ground[where][front] = colour[front]
    nearest[where][front] = figure[front]
    return ground, _Standing(nearest, COVERS_MM * scale / (near_px - far_px))


# Shares of a channel are taken in 256ths, in 16 bits: half the memory of floating point.


def _washed_out(colour: Pixels) -> Pixels:
    """What stood before: nearly grey, and far nearer to white, lines and all."""
    parts = _channels(colour).astype(np.uint16)
    grey = (77 * parts[:, 0] + 150 * parts[:, 1] + 29 * parts[:, 2]) // 256
    parts *= round(256 * 0.35 * KEPT)
    parts += (round(256 * 0.65 * KEPT) * grey + round(256 * (1.0 - KEPT)) * PAPER)[:, None]
    return _packed(parts // 256)


def _shown_through(colour: Pixels, over: Pixels) -> Pixels:
    """What is added, seen through what stands before it."""
    edge = (colour & RGB) == INK_BYTES
    share = np.where(edge, round(256 * EDGE_SHOWS_THROUGH), round(256 * FACE_SHOWS_THROUGH))
    share = share.astype(np.uint16)[:, None]
    return _packed((share * _channels(colour) + (256 - share) * _channels(over)) // 256)


def _channels(colour: Pixels) -> NDArray[np.uint8]:
    """(n, 4) red, green, blue and one unused, of (n,) pixels."""
    return colour[:, None].view(np.uint8)


def _packed(channels: NDArray[Any]) -> Pixels:
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
    small = font_of(SMALL_PX)
    for row, line in enumerate(words["label"]):
        at = (
            round(float(label_at[0])),
            round(height - float(label_at[1])) + words["label_line_px"] * row,
        )
        write.text(at, line, fill=QUIET, font=small, anchor="mt")
    write_caption(write, caption, (0, height, width, height + band))
    page.save(folder / caption["file"], compress_level=4)


if __name__ == "__main__":
    main(Path(sys.argv[1]))

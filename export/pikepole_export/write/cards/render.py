"""Draws the cards of one job, in a process of its own.

Draws the cards whose names it is handed into `drawn`. Each picture is drawn twice at twice the
size: all that is there, and the load with its people alone. Where something that stands hides
them, they show through it, fainter. Marks and words are laid over it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, TypeAlias, assert_never

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from pikepole_export.graphics.lettering import font_of
from pikepole_export.graphics.page import COMPRESS_LEVEL, WIDTH_PX
from pikepole_export.graphics.shading import as_bytes, shade
from pikepole_export.graphics.window import FINE, LINE_LIFT_MM, Box, HiddenWindow, Ink, reached
from pikepole_export.write.cards.marks import LINES, Symbol
from pikepole_export.write.cards.sizes import HEADER_PX, HEIGHT_PX, PANEL_PX

Arrays: TypeAlias = dict[str, NDArray[Any]]
# (n, 3) points, (m, 3) triangles as their rows, (m, 3) colours, (2k, 3) ends of lines.
Layer: TypeAlias = tuple[NDArray[Any], NDArray[Any], NDArray[Any], NDArray[Any]]
Spot: TypeAlias = tuple[float, float]

LAYER = ("points", "triangles", "colours", "lines")
SHOWS_THROUGH = 0.45
GROUND = (244, 244, 241)
LINES_STANDING = (168, 165, 160)
LINES_BEFORE = (120, 96, 70)
LINES_AFTER = (40, 24, 12)
RULE = (150, 150, 150)
INK = (20, 20, 20)
LABEL_EDGE = (120, 120, 120)
FORCE = (0, 62, 126)
WEIGHT = (20, 20, 20)
OVER_BEFORE_MM = 2.0  # where a sheet is slid in its plane, its new place hides its old one
MOVING = ("before", "after")  # the layers of a picture that show through what hides them
DEPTH_MM = 30_000.0
GROUND_MM = -5.0  # as it is drawn, so that what lies on it is not half sunk in it


def draw(names: Iterator[str], job: Path) -> None:
    """Draw every card of a job.

    Args:
        names: Of the cards, each as soon as it is handed over.
        job: The folder with what they need.
    """
    folder = job / "drawn"
    draw = _Drawer(job)
    for name in names:
        page = json.loads((job / f"{name}.json").read_text(encoding="utf-8"))
        card = _finish(draw.card(name, page), page)
        card.save(folder / name, compress_level=COMPRESS_LEVEL)


class _Drawer:
    """One window in which every picture is drawn."""

    def __init__(self, job: Path) -> None:
        self._job = job
        self._window = HiddenWindow((PANEL_PX, HEIGHT_PX - HEADER_PX), GROUND)
        self._ground = self._window.plane(GROUND_MM, DEPTH_MM, GROUND)  # hides what is in it
        self._stages: dict[str, Layer] = {}  # each is shown on many cards

    def card(self, name: str, page: dict[str, Any]) -> list[Image.Image]:
        """The pictures of one card, each at its final size."""
        arrays = self._load(name)
        axes, light = arrays["axes"], arrays["light"]
        stages: list[str] = page["stages"]
        for name in stages:
            if name not in self._stages:
                self._stages[name] = _layer(self._load(name), "stage")
        # One body: what an actor costs is much the same however much it shows.
        stands = _joined([*(self._stages[name] for name in stages), _layer(arrays, "stands")])
        standing = self._actors(stands, axes, light, LINES_STANDING)
        pictures: list[Image.Image] = []
        for step, panel in enumerate(page["panels"]):
            around, before, after = (
                self._actors(_layer(arrays, f"{step}_{layer}"), axes, light, ink, nearer)
                for layer, ink, nearer in (
                    ("around", LINES_STANDING, 0.0),
                    ("before", LINES_BEFORE, 0.0),
                    ("after", LINES_AFTER, OVER_BEFORE_MM),
                )
            )
            moving = [*before, *after]
            whole = _whole(panel)
            everything, near = self._drawn(
                [*self._ground, *standing, *around, *moving], axes, panel, whole
            )
            if moving:
                points = [arrays[f"{step}_{layer}_points"] for layer in MOVING]
                part = _reach(np.vstack(points), axes, panel)
                alone, depth = self._drawn(moving, axes, panel, part)
                behind, seen = everything[part], near[part]
                hidden = (depth < 1.0) & (seen < depth - 1e-6)
                mixed = SHOWS_THROUGH * alone[hidden] + (1 - SHOWS_THROUGH) * behind[hidden]
                behind[hidden] = mixed.astype(np.uint8)
            self._window.remove([*around, *before, *after])
            pictures.append(_picture(everything).reduce(FINE).convert("RGB"))
        self._window.remove(standing)
        return pictures

    def _load(self, name: str) -> Arrays:
        with np.load(self._job / f"{name}.npz") as stored:
            return dict(stored)

    def _actors(
        self,
        layer: Layer,
        axes: NDArray[Any],
        light: NDArray[Any],
        ink: Ink,
        nearer: float = 0.0,
    ) -> list[Any]:
        """Faces and lines, shaded for a camera and so much nearer to it, not shown yet."""
        points, triangles, colours, lines = layer
        a, b, c = (points[triangles[:, i]].astype(float) for i in range(3))
        normals = np.cross(b - a, c - a)
        normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-9)
        shaded = as_bytes(colours * shade(normals, light)[:, None])
        return self._window.solid(
            points + axes[2] * nearer,
            triangles,
            shaded,
            lines + axes[2] * (nearer + LINE_LIFT_MM),
            ink,
        )

    def _drawn(
        self, actors: Sequence[Any], axes: NDArray[Any], panel: dict[str, Any], part: Box
    ) -> tuple[NDArray[np.uint8], NDArray[np.float32]]:
        """A part of a picture: (h, w, 4) colours and (h, w) depths, 1 where there is nothing."""
        high, depths = _whole(panel)[0].stop / FINE, (DEPTH_MM, -DEPTH_MM)
        self._window.look(axes, panel["scale"], panel["shift"], high, depths, part)
        pixels, depth = self._window.drawn(actors)
        return pixels.view(np.uint8).reshape(*pixels.shape, 4), depth


def _layer(arrays: Arrays, name: str) -> Layer:
    points, triangles, colours, lines = (arrays[f"{name}_{what}"] for what in LAYER)
    return points, triangles, colours, lines


def _joined(layers: Sequence[Layer]) -> Layer:
    """All in one."""
    points, triangles, colours, lines = zip(*layers, strict=True)
    firsts = np.cumsum([0, *(len(one) for one in points)])
    shifted = [one + first for one, first in zip(triangles, firsts, strict=False)]
    return (
        np.concatenate(points),
        np.concatenate(shifted),
        np.concatenate(colours),
        np.concatenate(lines),
    )


def _whole(panel: dict[str, Any]) -> Box:
    """Rows and columns of a fine picture."""
    view = panel["view"]
    wide, high = round(view["right"] - view["left"]), round(view["bottom"] - view["top"])
    return slice(0, high * FINE), slice(0, wide * FINE)


def _reach(points: NDArray[Any], axes: NDArray[Any], panel: dict[str, Any]) -> Box:
    """Rows and columns of a fine picture that (n, 3) points take up."""
    rows, columns = _whole(panel)
    placed = points @ axes[:2].T * panel["scale"] + panel["shift"]
    return reached(placed, columns.stop, rows.stop)


def _picture(pixels: NDArray[np.uint8]) -> Image.Image:
    """Of (h, w, 4) colours with one unused byte."""
    high, wide = pixels.shape[:2]
    return Image.frombuffer("RGBX", (wide, high), np.ascontiguousarray(pixels), "raw", "RGBX", 0, 1)


def _finish(pictures: Sequence[Image.Image], page: dict[str, Any]) -> Image.Image:
    """The whole card: pictures, marks, labels, words."""
    width, height = WIDTH_PX, HEIGHT_PX
    card = Image.new("RGB", (width, height), "white")
    view = page["view"]
    write = ImageDraw.Draw(card)
    write.rectangle((view["left"], view["top"], view["right"], view["bottom"]), fill=GROUND)
    for picture, panel in zip(pictures, page["panels"], strict=True):
        at = (round(panel["view"]["left"]), round(panel["view"]["top"]))
        card.paste(_marked(picture, panel, at), at)
    for text in page["texts"]:
        font = font_of(text["size"], text["bold"])
        at = (text["box"]["left"], text["box"]["top"])
        write.text(at, text["text"], fill=tuple(text["ink"]), font=font)
    for panel in page["panels"]:
        box = panel["view"]
        write.rectangle((box["left"], box["top"], box["right"], box["bottom"]), outline=RULE)
    top, right, bottom, foot = view["top"], view["right"], view["bottom"], page["foot"]
    write.line([(0, top), (width, top)], fill=RULE, width=2)
    write.line([(right, top), (right, foot)], fill=RULE, width=2)
    write.line([(0, bottom), (right, bottom)], fill=RULE, width=2)
    write.line([(0, foot), (width, foot)], fill=RULE, width=2)
    return card


def _marked(picture: Image.Image, panel: dict[str, Any], at: tuple[int, int]) -> Image.Image:
    """Marks and the boxes of the labels, drawn at twice the size and brought down to it."""
    size = (picture.width * FINE, picture.height * FINE)
    fine = picture.resize(size, Image.Resampling.NEAREST)
    draw = ImageDraw.Draw(fine)

    def placed(spot: Sequence[float]) -> Spot:
        return (spot[0] - at[0]) * FINE, (spot[1] - at[1]) * FINE

    marks = [(Symbol(symbol), [placed(spot) for spot in spots]) for symbol, spots in panel["marks"]]
    for symbol, points in marks:
        if symbol in LINES:
            _mark(draw, symbol, points)
    for _, start, near in panel["labels"]:
        draw.line([placed(start), placed(near)], fill="white", width=5 * FINE)
        draw.line([placed(start), placed(near)], fill=LABEL_EDGE, width=2 * FINE)
    # Hands over centres of gravity, so that both are seen.
    for over in ((Symbol.LIFT, Symbol.PUSH, Symbol.WEIGHT), (Symbol.CENTRE,), (Symbol.HAND,)):
        for symbol, points in marks:
            if symbol in over:
                _mark(draw, symbol, points)
    for box, _, _ in panel["labels"]:
        corners = [*placed((box["left"], box["top"])), *placed((box["right"], box["bottom"]))]
        draw.rounded_rectangle(corners, 6 * FINE, fill="white", outline=LABEL_EDGE, width=FINE)
    return fine.reduce(FINE)


def _mark(draw: ImageDraw.ImageDraw, symbol: Symbol, points: Sequence[Spot]) -> None:
    match symbol:
        case Symbol.SLING | Symbol.TAG:
            draw.line(points, fill="white", width=6 * FINE)
            draw.line(points, fill=INK, width=3 * FINE if symbol is Symbol.SLING else 2 * FINE)
        case Symbol.SIZE:
            _size(draw, points[0], points[1])
        case Symbol.LIFT | Symbol.PUSH:
            _arrow(draw, points[0], points[1], FORCE)
        case Symbol.WEIGHT:
            _arrow(draw, points[0], points[1], WEIGHT)
        case Symbol.HAND:
            (x, y), r = points[0], 7 * FINE
            draw.ellipse((x - r - 3, y - r - 3, x + r + 3, y + r + 3), fill="white")
            draw.ellipse((x - r, y - r, x + r, y + r), fill=FORCE)
        case Symbol.CENTRE:
            _centre(draw, *points[0], 14 * FINE)
        case Symbol.NOTE:
            pass  # has a label and nothing else
        case _:
            assert_never(symbol)


def _centre(draw: ImageDraw.ImageDraw, x: float, y: float, r: float) -> None:
    """The centre of gravity: a circle in quarters, black and white by turns."""
    box = (x - r, y - r, x + r, y + r)
    draw.ellipse((x - r - 4, y - r - 4, x + r + 4, y + r + 4), fill="white")
    draw.ellipse(box, fill="white", outline=INK, width=2 * FINE)
    draw.pieslice(box, 0, 90, fill=INK)
    draw.pieslice(box, 180, 270, fill=INK)


def _size(draw: ImageDraw.ImageDraw, start: Spot, end: Spot) -> None:
    """A line with a stroke across each end, as on a drawing."""
    length = max(math.dist(start, end), 1e-6)
    across = ((start[1] - end[1]) / length * 9 * FINE, (end[0] - start[0]) / length * 9 * FINE)
    strokes = [
        [(x - across[0], y - across[1]), (x + across[0], y + across[1])] for x, y in (start, end)
    ]
    for ink, width in (("white", 6 * FINE), (INK, 2 * FINE)):
        for line in ([start, end], *strokes):
            draw.line(line, fill=ink, width=width)


def _arrow(draw: ImageDraw.ImageDraw, start: Spot, end: Spot, ink: Ink) -> None:
    """A stout arrow with a white edge, so that it is seen on anything."""
    length = math.dist(start, end)
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    across = (-along[1], along[0])

    def outline(grow: float) -> list[Spot]:
        half, head, broad = 4.0 * FINE + grow, 26.0 * FINE, 13.0 * FINE + grow * 1.6
        neck = length - head
        shape = (
            (-grow, -half),
            (neck - grow, -half),
            (neck - grow, -broad),
            (length + grow * 2, 0.0),
            (neck - grow, broad),
            (neck - grow, half),
            (-grow, half),
        )
        return [
            (start[0] + a * along[0] + b * across[0], start[1] + a * along[1] + b * across[1])
            for a, b in shape
        ]

    draw.polygon(outline(5.0), fill="white")
    draw.polygon(outline(0.0), fill=ink)

"""Draws the frame in the shades of its ratios, in a process of its own.

Reads `arrays.npz` and `words.json`, writes `drawn/strength.png`.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageDraw

from pikepole_export.graphics.lettering import font_of, width_px, wrapped
from pikepole_export.graphics.window import FINE, LINE_LIFT_MM, HiddenWindow

INK, LINES, PAPER = (20, 20, 20), (70, 70, 70), (255, 255, 255)
TITLE_PX, BODY_PX, LINE_PX, MARGIN_PX, BOX_PX = 30, 20, 28, 24, 30
RADIUS_PX = 17
DEPTH_MM = 50_000.0


def draw(names: Iterator[str], job: Path) -> None:
    """Draw the picture once it is handed over.

    Args:
        names: Its name.
        job: The folder with what it needs.
    """
    folder = job / "drawn"
    for name in names:
        with np.load(job / "arrays.npz") as stored:
            arrays = dict(stored)
        words = json.loads((job / "words.json").read_text(encoding="utf-8"))
        sheet = Image.new("RGB", words["page"], PAPER)
        width, height = words["view"]
        sheet.paste(_view(arrays, (width, height)), (0, 0))
        write = ImageDraw.Draw(sheet)
        # The first over the others.
        for number, mark in reversed(list(enumerate(words["marks"], start=1))):
            _numbered(write, number, (mark["at"][0], height - mark["at"][1]))
        _column(write, words, (width, words["page"][0] - MARGIN_PX))
        sheet.save(folder / name)


def _view(arrays: dict[str, Any], size: tuple[int, int]) -> Image.Image:
    window = HiddenWindow(size, PAPER)
    axes, scale = arrays["axes"], float(arrays["scale"])
    lines = arrays["lines"] + axes[2] * LINE_LIFT_MM
    actors = window.solid(arrays["points"], arrays["triangles"], arrays["colours"], lines, LINES)
    whole = slice(0, window.height), slice(0, window.width)
    window.look(axes, scale, arrays["shift"], size[1], (DEPTH_MM, -DEPTH_MM), whole)
    pixels, _ = window.drawn(actors)
    fine = Image.frombuffer(
        "RGBX", pixels.shape[::-1], np.ascontiguousarray(pixels), "raw", "RGBX", 0, 1
    )
    return fine.reduce(FINE).convert("RGB")


def _numbered(write: ImageDraw.ImageDraw, number: int, at: tuple[float, float]) -> None:
    (x, y), r = at, RADIUS_PX
    write.ellipse((x - r, y - r, x + r, y + r), fill=PAPER, outline=INK, width=3)
    write.text((x, y), str(number), fill=INK, font=font_of(BODY_PX, True), anchor="mm")


def _column(write: ImageDraw.ImageDraw, words: dict[str, Any], frame: tuple[int, int]) -> None:
    (left, right), y = frame, MARGIN_PX

    def lines(text: str, x: int, size: int = BODY_PX, bold: bool = False) -> None:
        nonlocal y
        for line in wrapped(text, right - x, lambda said: width_px(said, size, bold)):
            write.text((x, y), line, fill=INK, font=font_of(size, bold), anchor="la")
            y += LINE_PX * size // BODY_PX

    lines(words["title"], left, TITLE_PX, True)
    lines(words["says"], left)
    y += LINE_PX
    for colour, name in words["shades"]:
        write.rectangle((left, y, left + 2 * BOX_PX, y + BOX_PX), tuple(colour), LINES)
        middle = (left + 2 * BOX_PX + MARGIN_PX, y + BOX_PX / 2)
        write.text(middle, name, fill=INK, font=font_of(BODY_PX), anchor="lm")
        y += BOX_PX + 10
    y += LINE_PX
    lines("The hardest worked", left, bold=True)
    y += 8
    for number, mark in enumerate(words["marks"], start=1):
        _numbered(write, number, (left + RADIUS_PX, y + RADIUS_PX))
        lines(mark["text"], left + 3 * RADIUS_PX)
        y += 12

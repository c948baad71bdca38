"""Draws a flat drawing on its page: in the child process."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from PIL import Image, ImageDraw

from pikepole_export.graphics.lettering import font_of
from pikepole_export.graphics.window import FINE
from pikepole_export.write.pictures.plate import DARK, Plate, Point, Words

DASH_PX = 7.0
Place: TypeAlias = tuple[int, int]


def drawn_plate(plate: Plate, times: int) -> Image.Image:
    """A flat drawing as an image.

    Args:
        plate: What is on it.
        times: Pixels drawn to a pixel of the page.
    """
    fine = times * FINE
    width, height = plate["size"]
    image = Image.new("RGB", (width * fine, height * fine), "white")
    draw = ImageDraw.Draw(image)

    def placed(points: Sequence[Point]) -> list[Point]:
        return [(x * fine, y * fine) for x, y in points]

    for area in plate["areas"]:
        outer, *holes = (placed(loop) for loop in area["loops"])
        draw.polygon(outer, fill=tuple(area["fill"]))
        for hole in holes:
            draw.polygon(hole, fill="white")
        if area["edge"]:
            for loop in (outer, *holes):
                draw.line([*loop, loop[0]], fill=DARK, width=round(area["edge"] * fine))
    for stroke in plate["strokes"]:
        ink, wide = tuple(stroke["ink"]), max(1, round(stroke["wide"] * fine))
        points = placed(stroke["points"])
        for piece in _dashes(points, DASH_PX * fine) if stroke["dashed"] else (points,):
            draw.line(piece, fill=ink, width=wide)
    shown = image.reduce(FINE)
    for words in plate["words"]:
        _write(shown, words, times)
    return shown


def _dashes(points: Sequence[Point], dash: float) -> Iterator[list[Point]]:
    (x0, y0), (x1, y1) = points
    length = math.hypot(x1 - x0, y1 - y0)
    count = max(1, round(length / dash / 2))
    for number in range(count):
        a, b = number / count, (number + 0.5) / count
        yield [(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share) for share in (a, b)]


def _write(image: Image.Image, words: Words, times: int) -> None:
    font = font_of(words["high"] * times, words["bold"])
    x, y = (value * times for value in words["at"])
    ink = tuple(words["ink"])
    if not words["turned"]:
        ImageDraw.Draw(image).text((x, y), words["text"], ink, font, words["anchor"])
        return
    # Written level on a slip of its own, which is turned a quarter and laid on.
    left, top, right, bottom = (round(v) for v in font.getbbox(words["text"], anchor="ls"))
    slip = Image.new("L", (right - left + 2, bottom - top + 2))
    ImageDraw.Draw(slip).text((1 - left, 1 - top), words["text"], 255, font, "ls")
    turned = slip.transpose(Image.Transpose.ROTATE_90)
    # Its base line runs upwards through x; "l" begins at y, "r" ends there.
    begins = y if words["anchor"][0] == "l" else y + turned.height
    at: Place = (round(x + top - 1), round(begins - turned.height))
    image.paste(Image.new("RGB", turned.size, ink), at, turned)

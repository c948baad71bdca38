"""A flat drawing that stands on a page beside the views: areas, lines and words, in its own pixels.

It is put together with the building at hand, and drawn by the child process.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypedDict

from pikepole_export.graphics.lettering import NO_BREAK, font_of
from pikepole_export.graphics.page import WIDTH_MM, WIDTH_PX

Point = tuple[float, float]
Ink = tuple[int, int, int]

PX_PER_MM = WIDTH_PX / WIDTH_MM
TEXT_PX = 20
LINE_PX = 24
DARK: Ink = (30, 30, 30)
QUIET: Ink = (110, 110, 110)
PALE: Ink = (170, 170, 170)


class Area(TypedDict):
    """A filled outline with holes, and how wide its edge is drawn; 0 for none."""

    loops: list[list[Point]]
    fill: Ink
    edge: float


class Stroke(TypedDict):
    """A line through points."""

    points: list[Point]
    ink: Ink
    wide: float
    dashed: bool


class Words(TypedDict):
    """Words in one line, `high` px; `anchor` as Pillow has it; turned, read from the right."""

    at: Point
    text: str
    anchor: str
    turned: bool
    bold: bool
    ink: Ink
    high: int


class Plate(TypedDict):
    """One flat drawing: its size, and what is on it from the bottom up. x right, y down, px."""

    size: tuple[int, int]
    areas: list[Area]
    strokes: list[Stroke]
    words: list[Words]


def blank(size: tuple[int, int]) -> Plate:
    """A plate with nothing on it."""
    return {"size": size, "areas": [], "strokes": [], "words": []}


def draw_area(plate: Plate, loops: Sequence[Sequence[Point]], fill: Ink, edge: float = 1.0) -> None:
    """Fill an outline.

    Args:
        plate: Drawn on.
        loops: The outer one, then its holes.
        fill: Its colour.
        edge: How wide its dark edge is, px.
    """
    plate["areas"].append({"loops": [list(loop) for loop in loops], "fill": fill, "edge": edge})


def draw_line(
    plate: Plate, *points: Point, ink: Ink = DARK, wide: float = 1.0, dashed: bool = False
) -> None:
    """Draw a line through points."""
    plate["strokes"].append({"points": list(points), "ink": ink, "wide": wide, "dashed": dashed})


def write(
    plate: Plate,
    at: Point,
    text: str,
    anchor: str = "ls",
    *,
    turned: bool = False,
    bold: bool = False,
    ink: Ink = DARK,
    high: int = TEXT_PX,
) -> None:
    """Write words in one line.

    Args:
        plate: Written on.
        at: Where its anchor is, px.
        text: The words.
        anchor: Of Pillow: "ls" begins there, "mm" has its middle there.
        turned: Whether it runs upwards.
        bold: Whether it stands out.
        ink: Its colour.
        high: The size of its letters, px.
    """
    text = text.replace(NO_BREAK, " ")
    plate["words"].append(
        {
            "at": at,
            "text": text,
            "anchor": anchor,
            "turned": turned,
            "bold": bold,
            "ink": ink,
            "high": high,
        }
    )


def wide_px(text: str, bold: bool = False, high: int = TEXT_PX) -> float:
    """How wide words come out, px."""
    return font_of(high, bold).getlength(text)

"""A sheet of paper as SVG: lines, areas and lettering at true size, in millimetres.

x runs to the right and y down, from the upper left corner. What is put on a sheet comes out in
that order, in the same bytes every time.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from functools import lru_cache, partial
from typing import Literal, TypeAlias
from xml.etree import ElementTree
from xml.sax.saxutils import escape

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon as Area

from pikepole_export.graphics import lettering
from pikepole_export.graphics.lettering import font_of

Point: TypeAlias = tuple[float, float]
Size: TypeAlias = tuple[float, float]
Anchor: TypeAlias = Literal["start", "middle", "end"]
Style: TypeAlias = Literal[
    "wide", "narrow", "chain", "dashed", "piece", "wood", "void", "fill", "cut"
]

INK = "#141414"

# Wide lines twice as wide as narrow ones, long dashes with a dot for what is only thought of.
# Source: ISO 128-2:2020, line groups and types, from memory.
_STYLES: dict[Style, dict[str, str]] = {
    "wide": {"fill": "none", "stroke": INK, "stroke-width": "0.5"},
    "narrow": {"fill": "none", "stroke": INK, "stroke-width": "0.18"},
    "chain": {
        "fill": "none",
        "stroke": INK,
        "stroke-width": "0.18",
        "stroke-dasharray": "4 0.8 0.4 0.8",
    },
    "dashed": {"fill": "none", "stroke": INK, "stroke-width": "0.25", "stroke-dasharray": "2 1"},
    "piece": {"fill": "#f3ead9", "stroke": INK, "stroke-width": "0.5", "stroke-linejoin": "round"},
    "wood": {"fill": "#f3ead9", "stroke": "none"},
    "void": {"fill": "#e4e4e4", "stroke": INK, "stroke-width": "0.25"},
    "fill": {"fill": INK, "stroke": "none"},
    "cut": {"fill": "none", "stroke": INK, "stroke-width": "0.35"},
}

# The face is measured at this size, px, and scaled.
_MEASURED_PX = 100
# Of the lettering's size: how far capitals reach over the base line, and tails under it.
UP, DOWN = 0.76, 0.22

# Of what is in a file, the first are its title, its style and the white of its paper.
_PAPER = 3
_HALO = {"class": "halo", "fill": "white", "stroke": "white", "stroke-width": "0.6"}


@dataclass
class Sheet:
    """A sheet being drawn.

    Attributes:
        size: Width and height, mm.
        title: What it shows, for whoever reads the file without seeing it.
        boxes: The box round each piece of lettering so far, mm.
    """

    size: Size
    title: str
    boxes: list[Area] = field(default_factory=list[Area])

    def __post_init__(self) -> None:
        width, height = self.size
        self._root = ElementTree.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "width": f"{_number(width)}mm",
                "height": f"{_number(height)}mm",
                "viewBox": f"0 0 {_number(width)} {_number(height)}",
            },
        )
        ElementTree.SubElement(self._root, "title").text = self.title
        # A browser prints it on paper of its own size, true to scale: its margins would shrink it.
        page = f"@page {{ size: {_number(width)}mm {_number(height)}mm; margin: 0 }}"
        ElementTree.SubElement(self._root, "style").text = page
        paper = {"width": "100%", "height": "100%", "fill": "white"}
        ElementTree.SubElement(self._root, "rect", paper)

    def line(self, points: Sequence[Point], style: Style = "narrow") -> None:
        """A line through points."""
        ElementTree.SubElement(self._root, "polyline", _named(style) | {"points": _list(points)})

    def area(self, points: Sequence[Point], style: Style = "piece", name: str = "") -> None:
        """A closed outline.

        Args:
            points: Its corners, mm.
            style: How it is drawn.
            name: What it is, for a reader of the file.
        """
        attributes = _named(style) | {"points": _list(points)}
        shape = ElementTree.SubElement(self._root, "polygon", attributes)
        if name:
            ElementTree.SubElement(shape, "title").text = name

    def circle(self, centre: Point, radius: float, style: Style = "narrow") -> None:
        """A circle, mm.

        Args:
            centre: On the sheet, mm.
            radius: In mm.
            style: Of its line.
        """
        place = {
            "cx": _number(centre[0]),
            "cy": _number(centre[1]),
            "r": _number(radius),
        }
        ElementTree.SubElement(self._root, "circle", _named(style) | place)

    def text(
        self,
        words: str,
        at: Point,
        size: float,
        *,
        anchor: Anchor = "start",
        angle_deg: float = 0.0,
        bold: bool = False,
    ) -> None:
        """One line of lettering.

        Its width is written with it, so that it takes the same room in any typeface.

        Args:
            words: What it says.
            at: Where its base line starts, has its middle or ends, mm.
            size: Of the lettering, mm: its capitals are about three quarters of that.
            anchor: Which of those.
            angle_deg: Turned by that, clockwise on the sheet.
            bold: Whether it is bold.
        """
        attributes = {
            "x": _number(at[0]),
            "y": _number(at[1]),
            "font-family": "'DejaVu Sans', Verdana, sans-serif",
            "font-size": _number(size),
            "text-anchor": anchor,
            "textLength": _number(width_of(words, size, bold=bold)),
            "lengthAdjust": "spacingAndGlyphs",
        }
        if bold:
            attributes["font-weight"] = "bold"
        if angle_deg:
            turn = f"{_number(angle_deg)} {_number(at[0])} {_number(at[1])}"
            attributes["transform"] = f"rotate({turn})"
        # White round the letters, so that a line that passes under them does not cross them. As a
        # text of its own: not every program paints the outline of a text before its letters.
        for look in (_HALO, {"fill": INK}):
            ElementTree.SubElement(self._root, "text", attributes | look).text = words
        self.boxes.append(box_of(words, at, size, anchor=anchor, angle_deg=angle_deg, bold=bold))

    def put(self, other: Sheet, at: Point) -> None:
        """All that is on a smaller sheet, its upper left corner at a place of this one, mm."""
        left, top = at
        group = ElementTree.SubElement(self._root, "g")
        ElementTree.SubElement(group, "title").text = other.title
        for child in list(other._root)[_PAPER:]:
            moved = deepcopy(child)
            for one in moved.iter():
                if "points" in one.attrib:
                    pairs = (pair.split(",") for pair in one.attrib["points"].split())
                    one.set("points", _list([(float(x) + left, float(y) + top) for x, y in pairs]))
                for name, by in {"x": left, "y": top, "cx": left, "cy": top}.items():
                    if name in one.attrib:
                        one.set(name, _number(float(one.attrib[name]) + by))
                if turn := re.fullmatch(r"rotate\((\S+) .*\)", one.attrib.get("transform", "")):
                    place = f"{one.attrib['x']} {one.attrib['y']}"
                    one.set("transform", f"rotate({turn[1]} {place})")
            group.append(moved)
        if other.boxes:
            shift = np.array(at)
            self.boxes += shapely.transform(other.boxes, lambda xy: xy + shift).tolist()

    @property
    def is_clear(self) -> bool:
        """Whether no lettering lies over other lettering, or over the edge."""
        pairs = shapely.STRtree(self.boxes).query(self.boxes, predicate="intersects")
        whole = shapely.box(0.0, 0.0, *self.size)
        return pairs.shape[1] == len(self.boxes) and bool(shapely.covers(whole, self.boxes).all())

    def to_bytes(self) -> bytes:
        """The file."""
        lines = ["<?xml version='1.0' encoding='utf-8'?>", *_lines(self._root, ""), ""]
        return "\n".join(lines).encode()


def _lines(element: ElementTree.Element, indent: str) -> Iterator[str]:
    """An element line by line: a library that knows all of XML takes three times as long."""
    said = "".join(f' {key}="{_quoted(value)}"' for key, value in element.items())
    start = f"{indent}<{element.tag}{said}"
    if not len(element):
        text = escape(element.text) if element.text else ""
        yield f"{start}>{text}</{element.tag}>" if text else f"{start} />"
        return
    yield f"{start}>"
    for child in element:
        yield from _lines(child, f"{indent}  ")
    yield f"{indent}</{element.tag}>"


@lru_cache(maxsize=4096)
def _quoted(value: str) -> str:
    return escape(value, {'"': "&quot;"})


def width_of(words: str, size: float, *, bold: bool = False) -> float:
    """How wide lettering of a size comes out, mm.

    Args:
        words: One line.
        size: Of the letters, mm.
        bold: Whether they are.
    """
    return _width_px(words, bold) * size / _MEASURED_PX


@lru_cache(maxsize=16_384)
def _width_px(words: str, bold: bool) -> float:
    # Kept: the same words are tried in many places before they are written in one.
    return font_of(_MEASURED_PX, bold).getlength(words)


def box_of(
    words: str,
    at: Point,
    size: float,
    *,
    anchor: Anchor = "start",
    angle_deg: float = 0.0,
    bold: bool = False,
) -> Area:
    """The box round one line of lettering, mm.

    Args:
        words: One line.
        at: Its anchor, mm.
        size: Of the letters, mm.
        anchor: Which point of the line stands there.
        angle_deg: Turned clockwise about it.
        bold: Whether they are.
    """
    width = width_of(words, size, bold=bold)
    left = -{"start": 0.0, "middle": width / 2, "end": width}[anchor]
    sides = (left, -UP * size, left + width, DOWN * size)
    if not angle_deg:
        x, y = at
        return shapely.box(x + sides[0], y + sides[1], x + sides[2], y + sides[3])
    (box,) = boxes_at([at], sides, angle_deg)
    return box


def boxes_at(
    places: Sequence[Point], sides: tuple[float, float, float, float], angle_deg: float
) -> NDArray[np.object_]:
    """The same rectangle round each of several places, turned about it.

    Args:
        places: On the sheet, mm.
        sides: Left, top, right and bottom from a place, mm.
        angle_deg: Clockwise.

    Returns:
        (n,) polygons.
    """
    left, top, right, bottom = sides
    corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    turned = corners @ np.array([(cos, sin), (-sin, cos)])
    return np.asarray(shapely.polygons(np.array(places)[:, None, :] + turned), dtype=object)


def wrapped(words: str, size: float, room: float, *, bold: bool = False) -> list[str]:
    """Words in lines no wider than a room, mm; a word that is wider has a line to itself.

    Args:
        words: What is NO_BREAK in them stays on one line.
        size: Of the letters, mm.
        room: Width, mm.
        bold: Whether they are.
    """
    return lettering.wrapped(words, room, partial(width_of, size=size, bold=bold))


def _named(style: Style) -> dict[str, str]:
    return {"class": style, **_STYLES[style]}


def _list(points: Sequence[Point]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _number(value: float) -> str:
    """To a thousandth of a millimetre, without needless zeros."""
    if not math.isfinite(value):
        raise ValueError(f"{value} is no place on a sheet")
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")

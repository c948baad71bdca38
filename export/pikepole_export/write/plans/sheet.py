"""A sheet that goes out as SVG and as DXF: what is drawn on it is kept, with its layer.

    new_sheet(building, file, name, notes, box, margins) -> (sheet, view)
    number_sheet(sheet, number, count)

Sheets are in mm of paper, as all drawings are; a view says where a point of the model comes.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal, TypeAlias

from shapely import Polygon

from pikepole_export.write.drawings.drafting import MARGIN_MM, PAPER, STROKE_MM, View
from pikepole_export.write.drawings.svg import Anchor, Point, Sheet, Style
from pikepole_export.write.drawings.title import BLOCK_MM, SMALL_MM, Title, framed
from pikepole_model.building.part import Building
from pikepole_model.units import FOOT_MM, INCH_MM, Units, format_length

# Left, low, right and high of what is drawn, mm of the real thing.
Box: TypeAlias = tuple[float, float, float, float]
# What dimensions and notes take round it, mm of paper: left, top, right, bottom.
Margins: TypeAlias = tuple[float, float, float, float]

# Those that rulers are made with, so many to one: architect's scales from 1 in to the foot down,
# ISO 5455:1979 with 1:25 between.
SCALES: dict[Units, tuple[int, ...]] = {
    "imperial": (12, 16, 24, 32, 48, 64, 96, 128, 192, 384),
    "metric": (10, 20, 25, 50, 100, 200, 500),
}
CAUTION = (
    "Not a permit, and not engineered: drawn from a model of what was written. Ask your local "
    "building office first; its code governs over this sheet."
)
FILL_IN = "Date ____________   Drawn by ____________"


class Layer(StrEnum):
    """What lines are, as a CAD program lists them."""

    SHEET = "sheet"
    VISIBLE = "visible"
    CUT = "cut"
    HATCH = "hatch"
    HIDDEN = "hidden"
    OPENINGS = "openings"
    GROUND = "ground"
    DIMENSIONS = "dimensions"
    NOTES = "notes"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points, mm of paper."""

    points: tuple[Point, ...]
    style: Style
    layer: Layer
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle, mm of paper."""

    centre: Point
    radius: float
    style: Style
    layer: Layer


@dataclass(frozen=True, slots=True)
class Words:
    """One line of lettering; `at` is on its base line, mm of paper."""

    words: str
    at: Point
    size: float
    anchor: Anchor
    angle_deg: float
    layer: Layer


@dataclass(frozen=True, slots=True)
class Measure:
    """A distance with its dimension line, level or upright.

    Attributes:
        a: One end, where the thing is, mm of paper.
        b: The other.
        line: Of the dimension line: y where it is level, x where it is upright.
        level: Whether it is level.
        words: The measure.
        at: Middle of the words' base line.
        size: Of the words.
    """

    a: Point
    b: Point
    line: float
    level: bool
    words: str
    at: Point
    size: float


Hatching: TypeAlias = Literal["wood", "concrete", "ground"]


@dataclass(frozen=True, slots=True)
class Hatch:
    """A cut face, mm of paper; `fine` where it is too thin for lines and is filled."""

    area: Polygon
    hatching: Hatching
    fine: bool


Mark: TypeAlias = Stroke | Ring | Words | Measure | Hatch


@dataclass
class PlanSheet(Sheet):
    """A sheet that remembers what is on it.

    Attributes:
        units: Of its dimensions.
        scale: How many times smaller than the real thing it is.
        name: Of its file: "floor-plan".
        marks: All that is on it, in order.
        rings: The circles among them.
    """

    units: Units = "metric"
    scale: float = 1.0
    name: str = ""
    marks: list[Mark] = field(default_factory=list[Mark])
    rings: list[Ring] = field(default_factory=list[Ring])
    _layer: Layer = Layer.SHEET

    @contextmanager
    def on(self, layer: Layer) -> Generator[None]:
        """Let what is drawn in the block lie on a layer."""
        before, self._layer = self._layer, layer
        yield
        self._layer = before

    def line(self, points: Sequence[Point], style: Style = "narrow") -> None:
        """A line through points."""
        super().line(points, style)
        self.marks.append(Stroke(tuple(points), style, self._layer))

    def area(self, points: Sequence[Point], style: Style = "piece", name: str = "") -> None:
        """A closed outline."""
        super().area(points, style, name)
        self.marks.append(Stroke(tuple(points), style, self._layer, closed=True))

    def circle(self, centre: Point, radius: float, style: Style = "narrow") -> None:
        """A circle, mm."""
        super().circle(centre, radius, style)
        self.rings.append(Ring(centre, radius, style, self._layer))
        self.marks.append(self.rings[-1])

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
        """One line of lettering."""
        super().text(words, at, size, anchor=anchor, angle_deg=angle_deg, bold=bold)
        self.marks.append(Words(words, at, size, anchor, angle_deg, self._layer))

    def measure(self, measure: Measure) -> None:
        """A dimension: in DXF one that a program can read."""
        along, gap, over = (0, 1.2, 1.2) if measure.level else (1, 1.2, 1.2)
        ends: list[Point] = []
        for foot in (measure.a, measure.b):
            end = (foot[0], measure.line) if measure.level else (measure.line, foot[1])
            way = 1.0 if end[1 - along] > foot[1 - along] else -1.0
            start, beyond = list(foot), list(end)
            start[1 - along] += way * gap
            beyond[1 - along] += way * over
            super().line([(start[0], start[1]), (beyond[0], beyond[1])])
            stroke = STROKE_MM * 0.7
            super().line(
                [(end[0] - stroke, end[1] + stroke), (end[0] + stroke, end[1] - stroke)], "wide"
            )
            ends.append(end)
        super().line(ends)
        super().text(
            measure.words,
            measure.at,
            measure.size,
            anchor="middle",
            angle_deg=0.0 if measure.level else -90.0,
        )
        self.marks.append(measure)

    def to_bytes(self) -> bytes:
        """The file, all lettering over all lines: what is drawn later crosses none of it."""
        for words in self._root.findall("text"):
            self._root.remove(words)
            self._root.append(words)
        return super().to_bytes()

    def hatch(self, hatch: Hatch, lines: Sequence[Sequence[Point]]) -> None:
        """A cut face, and the lines that it is hatched with."""
        outline = list(hatch.area.exterior.coords)
        super().area([(x, y) for x, y, *_ in outline], "fill" if hatch.fine else "void")
        for line in lines:
            super().line(line)
        self.marks.append(hatch)


def scale_words(scale: float, units: Units) -> str:
    """A scale as it is written: "1:50", or a quarter inch to the foot with 1:48 behind."""
    ratio = f"1:{scale:g}"
    if units == "metric" or scale == 1:
        return ratio
    if scale % 120 == 0:  # as sites are drawn
        return f'1" = {format_length(INCH_MM * scale, units)} ({ratio})'
    return f"{format_length(FOOT_MM / scale, units)} = 1' 0\" ({ratio})"


def new_sheet(
    building: Building,
    file: str,
    name: str,
    notes: Sequence[str],
    box: Box,
    margins: Margins,
    scales: Sequence[int] = (),
) -> tuple[PlanSheet, View]:
    """An empty sheet with its title block, and where the drawing comes on it.

    Args:
        building: Whose it is.
        file: The file's name, without its ending.
        name: What it shows: "Floor plan".
        notes: What there is to say of members, in short.
        box: What is drawn.
        margins: What dimensions and notes take round it.
        scales: To choose from; those of buildings where none are given.
    """
    scene = building.scene
    width, height = PAPER[scene.units]
    room = (
        width - 2 * MARGIN_MM - margins[0] - margins[2],
        height - 2 * MARGIN_MM - BLOCK_MM - margins[1] - margins[3],
    )
    size = (box[2] - box[0], box[3] - box[1])
    needed = max(size[0] / room[0], size[1] / room[1])
    scales = scales or SCALES[scene.units]
    scale = float(next((one for one in scales if one >= needed), scales[-1]))

    said = (*notes, *(["dimensions in millimetres"] if scene.units == "metric" else []))
    sheet = _framed(building, file, name, said, scale, scale_words(scale, scene.units))
    left = MARGIN_MM + margins[0] + (room[0] - size[0] / scale) / 2
    low = MARGIN_MM + margins[1] + (room[1] + size[1] / scale) / 2
    return sheet, View(scale, (left - box[0] / scale, low + box[1] / scale))


def word_sheet(building: Building, file: str, name: str, notes: Sequence[str]) -> PlanSheet:
    """A sheet for words alone; its bar is true, to check the print.

    Args:
        building: Whose it is.
        file: The file's name, without its ending.
        name: What it says.
        notes: What there is to know of it, in short.
    """
    return _framed(building, file, name, notes, 1.0, "")


def _framed(
    building: Building, file: str, name: str, notes: Sequence[str], scale: float, scales: str
) -> PlanSheet:
    scene = building.scene
    title = Title(
        name=name,
        count=scene.title,
        lines=(FILL_IN,),
        heading="Notes",
        names=tuple(notes),
        practice=CAUTION,
        scales=scales,
        scale=scale,
    )
    return framed(
        scene.units,
        title,
        lambda size, words: PlanSheet(size, words, units=scene.units, scale=scale, name=file),
    )


def number_sheet(sheet: PlanSheet, number: int, count: int) -> None:
    """Say in the title block which sheet it is of how many."""
    place = (MARGIN_MM + 3.0, sheet.size[1] - MARGIN_MM - 3.0)
    sheet.text(f"Sheet {number} of {count}", place, SMALL_MM, bold=True)

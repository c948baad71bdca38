"""A birdsmouth at full size, on as many sheets of paper as it takes, to print and cut out.

    tiles(template, feature, name, units) -> list[bytes]     SVG files, row by row from upper left

Neighbouring sheets share a strip; crosses in it are laid over each other.
"""

from __future__ import annotations

import math
from itertools import product

import shapely
from shapely import LineString
from shapely import Polygon as Area

from pikepole_export.derive.templates import Feature, Template
from pikepole_export.write._drafting import MARGIN_MM, PAPER, PAPER_NAMES, TEXT_MM, View
from pikepole_export.write._patterns import lines_in, plumb_line, window
from pikepole_export.write._svg import Point, Sheet, Size
from pikepole_export.write._title import SMALL_MM, scale_bar
from pikepole_model.units import Units, format_length

OVERLAP_MM = 12.0
# Under what is drawn: the words and the scale bar.
FOOT_MM = 30.0
# How much of the piece is shown beside the birdsmouth.
BEYOND_MM = 20.0
# Room round the piece, and how long an arm of a cross is.
AROUND_MM = 6.0
CROSS_MM = 4.0


def tiles(template: Template, feature: Feature, name: str, units: Units) -> list[bytes]:
    """Its sheets.

    Args:
        template: The piece.
        feature: A birdsmouth of it.
        name: What it is called on the sheets: "rafter, birdsmouth B".
        units: Of the building, which decide the paper.
    """
    low, high = window(template, feature, BEYOND_MM)
    size = (high - low + 2 * AROUND_MM, template.depth_mm + 2 * AROUND_MM)
    # Whichever way the paper lies takes fewer sheets; upright if it is all the same.
    wide, tall = PAPER[units]
    width, height = min(
        ((tall, wide), (wide, tall)), key=lambda paper: math.prod(_grid(size, paper))
    )
    seen = _seen((width, height))
    columns, rows = _grid(size, (width, height))
    sheets: list[bytes] = []
    for row, column in product(range(rows), range(columns)):
        left = low - AROUND_MM + column * (seen[0] - OVERLAP_MM)
        top = template.depth_mm + AROUND_MM - row * (seen[1] - OVERLAP_MM)
        view = View(1.0, (MARGIN_MM - left, MARGIN_MM + top))
        sheet = Sheet((width, height), f"{name}, full size")
        _draw(sheet, view, template, feature, (low, high), seen)
        shared = product(_crosses(column, columns, seen[0]), _crosses(row, rows, seen[1]))
        for x, y in shared if rows * columns > 1 else ():
            at = (MARGIN_MM + x, MARGIN_MM + y)
            sheet.line([(at[0] - CROSS_MM, at[1]), (at[0] + CROSS_MM, at[1])])
            sheet.line([(at[0], at[1] - CROSS_MM), (at[0], at[1] + CROSS_MM)])
        place = f"sheet {row * columns + column + 1} of {rows * columns}"
        if rows * columns > 1:
            place += f": row {row + 1} from the top, column {column + 1} from the left"
        _foot(sheet, f"{name}, {place}", feature, units)
        sheets.append(sheet.to_bytes())
    return sheets


def _seen(paper: Size) -> Size:
    """What there is room for on a sheet of paper, mm."""
    return (paper[0] - 2 * MARGIN_MM, paper[1] - 2 * MARGIN_MM - FOOT_MM)


def _grid(size: Size, paper: Size) -> tuple[int, int]:
    """How many sheets across and down."""
    across, down = (_count(a, b) for a, b in zip(size, _seen(paper), strict=True))
    return across, down


def _count(size: float, seen: float) -> int:
    return max(1, math.ceil((size - OVERLAP_MM) / (seen - OVERLAP_MM)))


def _crosses(number: int, count: int, seen: float) -> list[float]:
    """Where the middles of the strips that a sheet shares lie on it, mm; none on the rim."""
    before, after = OVERLAP_MM / 2, seen - OVERLAP_MM / 2
    if count == 1:
        return [seen / 4, 3 * seen / 4]
    return [before] * (number > 0) + [after] * (number < count - 1)


def _draw(
    sheet: Sheet,
    view: View,
    template: Template,
    feature: Feature,
    shown: tuple[float, float],
    seen: Size,
) -> None:
    paper = shapely.box(MARGIN_MM, MARGIN_MM, MARGIN_MM + seen[0], MARGIN_MM + seen[1])
    outline = Area(template.outline)
    part = outline.intersection(shapely.box(shown[0], -1.0, shown[1], template.depth_mm + 1.0))
    for area in shapely.get_parts(part):
        on = Area(view.all(area.exterior.coords[:-1])).intersection(paper)
        for piece in shapely.get_parts(on):
            if isinstance(piece, Area) and not piece.is_empty:
                sheet.area([(x, y) for x, y in piece.exterior.coords[:-1]], "wood")
    for line in lines_in(template, *shown):
        _within(sheet, view.all(line), paper, thin=False)
    assert feature.birdsmouth
    foot, mark = plumb_line(template, feature.birdsmouth)
    _within(sheet, view.all([foot, mark]), paper, thin=True)


def _within(sheet: Sheet, points: list[Point], paper: Area, *, thin: bool) -> None:
    for line in shapely.get_parts(LineString(points).intersection(paper)):
        if isinstance(line, LineString) and line.length > 0:
            on = [(x, y) for x, y in line.coords]
            sheet.line(on, "chain" if thin else "wide")


def _foot(sheet: Sheet, words: str, feature: Feature, units: Units) -> None:
    width, height = sheet.size
    mouth = feature.birdsmouth
    assert mouth
    y = height - MARGIN_MM - FOOT_MM + 6
    sheet.line([(MARGIN_MM, y - 5), (width - MARGIN_MM, y - 5)])
    sheet.text(words, (MARGIN_MM + 2, y), TEXT_MM, bold=True)
    bars: tuple[Units, ...] = ("imperial", "metric") if units == "imperial" else ("metric",)
    seat, heel, over = (
        format_length(mm, units) for mm in (mouth.seat_mm, mouth.heel_mm, mouth.above_mm)
    )
    measures = f"Seat {seat}, heel {heel}, {over} plumb over the heel."
    sheet.text(measures, (MARGIN_MM + 2, y + 5), SMALL_MM)
    sheet.text(
        f"Print on {PAPER_NAMES[units]} at 100 %, not fitted to the page. Measure the bar first.",
        (MARGIN_MM + 2, y + 9.5),
        SMALL_MM,
    )
    for k, bar_units in enumerate(bars):
        at = (MARGIN_MM + 2, y + 12.5 + 5 * k)
        scale_bar(sheet, at, 1.0, bar_units, least_mm=75.0)

"""A birdsmouth at full size, on as many sheets of paper as it takes, to print and cut out.

    tiles(template, detail, name, units) -> list[bytes]     SVG files, row by row from upper left

Neighbouring sheets share a strip; crosses in it are laid over each other.
"""

from __future__ import annotations

import math
from itertools import product

import shapely
from shapely import LineString
from shapely import Polygon as Area

from pikepole_export.derive.cutting.marks import together
from pikepole_export.derive.measures.features import Feature
from pikepole_export.derive.measures.templates import Template
from pikepole_export.write.drawings.cut_words import along, feature_name
from pikepole_export.write.drawings.details import Detail, lines_in, plumb_line, window
from pikepole_export.write.drawings.drafting import MARGIN_MM, PAPER, PAPER_NAMES, TEXT_MM, View
from pikepole_export.write.drawings.svg import Point, Sheet, Size, Style, width_of, wrapped
from pikepole_export.write.drawings.title import SMALL_MM, scale_bar
from pikepole_model.units import Units, format_length

OVERLAP_MM = 12.0
# Under what is drawn: the words and the scale bar.
FOOT_MM = 60.0
# How much of the piece is shown beside the birdsmouth.
BEYOND_MM = 20.0
# Room round the piece, and how long an arm of a cross is.
AROUND_MM = 6.0
CROSS_MM = 4.0
# From the edge of what is shown to lettering on it.
INDENT_MM = 4.0


def tiles(template: Template, detail: Detail, name: str, units: Units) -> list[bytes]:
    """Its sheets.

    Args:
        template: The piece.
        detail: A birdsmouth of it, or several that are alike.
        name: What it is called on the sheets: "rafter-1, birdsmouth B".
        units: Of the building, which decide the paper.
    """
    feature = detail.features[0]
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
        place = f"sheet {row * columns + column + 1} of {rows * columns}"
        sheet = Sheet((width, height), f"{name}, full size, {place}")
        _draw(sheet, view, template, feature, (low, high), seen)
        shared = product(_crosses(column, columns, seen[0]), _crosses(row, rows, seen[1]))
        for x, y in shared if rows * columns > 1 else ():
            at = (MARGIN_MM + x, MARGIN_MM + y)
            sheet.line([(at[0] - CROSS_MM, at[1]), (at[0] + CROSS_MM, at[1])])
            sheet.line([(at[0], at[1] - CROSS_MM), (at[0], at[1] + CROSS_MM)])
        if rows * columns > 1:
            place += f": row {row + 1} from the top, column {column + 1} from the left"
        _foot(sheet, f"{name}, {place}", _foot_words(template, detail, units), units)
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
        _within(sheet, view.all(line), paper, "wide")
    assert feature.birdsmouth
    foot, mark = plumb_line(template, feature.birdsmouth)
    _within(sheet, view.all([foot, mark]), paper, "chain")
    # Where the piece runs on, the paper is cut off square.
    for u in shown:
        across = LineString([(u, 0.0), (u, template.depth_mm)]).intersection(outline)
        for line in shapely.get_parts(across):
            if isinstance(line, LineString) and 0.0 < u < template.length_mm:
                _within(sheet, view.all([(x, y) for x, y in line.coords]), paper, "narrow")
    _which_way(sheet, view, (shown[0], mark[0], shown[1]), template.depth_mm, paper)


def _which_way(
    sheet: Sheet, view: View, across: tuple[float, float, float], depth_mm: float, paper: Area
) -> None:
    """Names the top edge and the upper end, on the roomier side of the heel's plumb line."""
    low, mark, high = (view.at((u, depth_mm)) for u in across)
    left, _, right, _ = paper.bounds
    sides = [(max(low[0], left), min(mark[0], right)), (max(mark[0], left), min(high[0], right))]
    start, end = max(sides, key=lambda side: side[1] - side[0])
    lines = ["top edge", "upper end this way"]
    wide = width_of(lines[1], SMALL_MM)
    # Away from the plumb line, which leans.
    x = start + INDENT_MM if start < mark[0] else end - INDENT_MM - wide
    y = low[1] + TEXT_MM + 1.0
    if not paper.contains(shapely.box(x, y - TEXT_MM, x + wide, y + 9.0)):
        return
    sheet.text(lines[0], (x, y), TEXT_MM, bold=True)
    sheet.text(lines[1], (x, y + 4.5), SMALL_MM)
    tip = (x, y + 7.5)
    sheet.line([(x + wide, tip[1]), tip], "wide")
    sheet.line([(x + 2.2, tip[1] - 1.1), tip, (x + 2.2, tip[1] + 1.1)], "wide")


def _within(sheet: Sheet, points: list[Point], paper: Area, style: Style) -> None:
    for line in shapely.get_parts(LineString(points).intersection(paper)):
        if isinstance(line, LineString) and line.length > 0:
            sheet.line([(x, y) for x, y in line.coords], style)


def _foot_words(template: Template, detail: Detail, units: Units) -> list[str]:
    feature = detail.features[0]
    mouths = [other.birdsmouth for other in detail.features if other.birdsmouth]
    start = template.top_edge[0]
    marks = [along(template, start, start + mouth.mark_mm, units) for mouth in mouths]
    seat, heel, over = (
        format_length(mm, units)
        for mm in (mouths[0].seat_mm, mouths[0].heel_mm, mouths[0].above_mm)
    )
    many = len(template.names)
    low, high = window(template, feature, BEYOND_MM)
    also = [
        f"{feature_name(template, other)}, {' and '.join(cut.name for cut in other.cuts)}"
        for other in template.features
        if other is not feature and other.span[0] < high and other.span[1] > low
    ]
    return [
        f"For {many} {'piece' if many == 1 else 'pieces'}: {'; '.join(together(template.names))}.",
        f"Seat {seat}, heel {heel}, {over} plumb over the heel.",
        f"Heel line, dash and dot: {' and '.join(marks)} from the upper end along the top edge.",
        *(f"Also seen: {words}." for words in also),
        "Cut the paper along the outline and the thin lines that close it, top edge on top edge.",
        f"Print on {PAPER_NAMES[units]} at 100 %, not fitted to the page. Measure this before "
        "cutting, both ways:",
    ]


def _foot(sheet: Sheet, head: str, words: list[str], units: Units) -> None:
    width, height = sheet.size
    y = height - MARGIN_MM - FOOT_MM + 6
    sheet.line([(MARGIN_MM, y - 5), (width - MARGIN_MM, y - 5)])
    sheet.text(head, (MARGIN_MM + 2, y), TEXT_MM, bold=True)
    room = width - 2 * MARGIN_MM - 20
    rows = [row for line in words for row in wrapped(line, SMALL_MM, room)]
    for k, row in enumerate(rows, start=1):
        sheet.text(row, (MARGIN_MM + 2, y + 0.4 + 4.0 * k), SMALL_MM)
    bars: tuple[Units, ...] = ("imperial", "metric") if units == "imperial" else ("metric",)
    at = (MARGIN_MM + 2, y + 3.0 + 4.0 * len(rows))
    for bar_units in bars:
        scale_bar(sheet, at, 1.0, bar_units, least_mm=75.0)
        at = (at[0], at[1] + 5.0)
    at = (width - MARGIN_MM - 8.0, height - MARGIN_MM - 1.0)
    scale_bar(sheet, at, 1.0, units, least_mm=45.0, upright=True)

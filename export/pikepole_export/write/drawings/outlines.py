"""The drawing of a flat piece: its outline on its blank, and the marks along two edges of that.

outline_item(family, units) -> Item     a cell of a page
foot_words(pieces) -> what goes for all on a page
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass
from string import ascii_lowercase
from typing import Any

import shapely

from pikepole_export.derive.measures.families import FlatFamily
from pikepole_export.derive.measures.features import Cut
from pikepole_export.derive.measures.outlines import Outline
from pikepole_export.graphics.lettering import spread
from pikepole_export.write.drawings.arrows import grain, up_mm, which_way_up
from pikepole_export.write.drawings.cells import (
    PAD_MM,
    Item,
    celled,
    drawn_mm,
    is_named,
    room_of,
    shared_stem,
)
from pikepole_export.write.drawings.drafting import GAP_MM, TEXT_MM, Draft, View, scale_to_fit
from pikepole_export.write.drawings.flat_marks import FlatMarks
from pikepole_export.write.drawings.lengths import LengthTable
from pikepole_export.write.drawings.square import setting
from pikepole_export.write.drawings.svg import DOWN, UP, Point, Sheet, Size, width_of
from pikepole_export.write.drawings.title import LINE_MM, Title
from pikepole_model.units import Units

# Widths and heights of cells, in parts of a page, the smallest cells first; and the smallest scale
# that one may have, of a strip and of what is as wide as a sheet.
_CELLS = sorted(((k / 120, high) for k in range(18, 121) for high in (0.5, 1.0)), key=math.prod)
FINEST, FINEST_WIDE, WIDE_MM = 25, 50, 600.0
# Of a family: how wide its drawing is, and from where down its table.
BESIDE_MM, TABLE_MM = 66.0, 8.0
# Round the blank: what its marks take beside their lettering, which way is up, and the least room
# that is left for it.
SIDE_MM, FOOT_MM, OVER_MM, RIGHT_MM, LEAST_MM = 10.5, 11.0, 14.0, 4.0, 10.0
LETTERING_MM = 3.4  # what one mark takes of an edge
# From the blank to the line of its marks.
RUNNING_MM = 5.0
# What is cut away and smaller than this has a ring round it, so wide, and a detail.
SEEN_MM, RING_MM, DETAIL_MM, APART_MM = 2.0, 2.5, 26.0, 6.0
_LETTERS = "AB"  # of what is drawn larger


@dataclass(frozen=True, slots=True)
class _Shown:
    """What is drawn.

    Attributes:
        outline: The piece; the largest of a family.
        called: Its name on the drawing.
        marks: How its marks are told.
        many: How many are made.
        units: The measures are printed in.
    """

    outline: Outline
    called: str
    marks: FlatMarks
    many: int
    units: Units

    @property
    def left_mm(self) -> float:
        """Room left of the blank, for the marks up its side."""
        return SIDE_MM + max(width_of(words, TEXT_MM) for words in self.marks.along(1))

    @property
    def under_mm(self) -> float:
        """Room under the blank, for the marks along its bottom, which stand upright."""
        return FOOT_MM + max(width_of(words, TEXT_MM) for words in self.marks.along(0))


def outline_item(family: FlatFamily, units: Units) -> Item:
    """Flat pieces alike but for their marks: one to scale, in the smallest cell that shows it well.

    Args:
        family: By their names on the drawing.
        units: The measures are printed in.
    """
    across, down = room_of(units)
    marks = FlatMarks(family, units)
    outline = max(family.values(), key=lambda one: one.area.area)
    many = sum(len(one.names) for one in family.values())
    shown = _Shown(outline, shared_stem(list(family)), marks, many, units)
    if table := marks.table():
        cell = (min(across, BESIDE_MM + table.wide_mm + 2 * PAD_MM), down / 2)
        return Item(shown.called, cell, lambda: _with_table(shown, table, cell))
    cells = ((across * wide, down * high) for wide, high in _CELLS)
    size = next((size for size in cells if _fits(shown, size)), (across, down))
    return Item(shown.called, size, lambda: _drawn(shown, size))


def _with_table(shown: _Shown, table: LengthTable, cell: Size) -> Sheet:
    """The largest of a family, and beside it the marks of all."""
    wide, high = cell
    sheet = Sheet(cell, shown.called)
    sheet.line([(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high), (0.0, 0.0)])
    sheet.put(_drawn(shown, (BESIDE_MM, high)), (0.0, 0.0))
    table.put(sheet, (BESIDE_MM + PAD_MM, TABLE_MM), wide - BESIDE_MM - 2 * PAD_MM)
    return sheet


def _fits(shown: _Shown, size: Size) -> bool:
    """Whether it is drawn large enough in a cell, and all that is lettered has room in it."""
    sides, (xs, ys) = shown.outline.size_mm, shown.outline.marks_mm
    if sides[0] > _coarsest(shown.outline) * _across_mm(shown, size):
        return False
    (left, _), scale = _placed(shown, size)
    return (
        scale <= _coarsest(shown.outline)
        and is_named(size, shown.called)
        and up_mm(shown.outline.up) <= left + sides[0] / scale
        and len(xs) * LETTERING_MM <= size[0] - shown.left_mm / 2
        and len(ys) * LETTERING_MM <= sides[1] / scale + shown.under_mm
    )


def _coarsest(outline: Outline) -> float:
    """The smallest scale at which a piece is drawn in a cell, as the 10 of 1:10."""
    return FINEST_WIDE if min(outline.size_mm) > WIDE_MM else FINEST


def _placed(shown: _Shown, size: Size) -> tuple[Point, float]:
    """Where the blank's lower left corner is in a cell, and the scale."""
    sides = shown.outline.size_mm
    high = drawn_mm(size, *_told(shown, 1))
    left = shown.left_mm
    room = _across_mm(shown, size), high - OVER_MM - shown.under_mm
    if min(room) < LEAST_MM:
        return (0.0, 0.0), math.inf
    scale = scale_to_fit(sides, room)
    wide, tall = (side / scale for side in sides)
    return (left + (room[0] - wide) / 2, OVER_MM + (room[1] + tall) / 2), scale


def _across_mm(shown: _Shown, size: Size) -> float:
    """How wide a cell's room is for the blank, between its marks and what is drawn larger."""
    details = len(_small(shown.outline, _coarsest(shown.outline))[: len(_LETTERS)])
    beside = RIGHT_MM + details * DETAIL_MM + max(0, details - 1) * APART_MM
    return size[0] - shown.left_mm - beside


def _told(shown: _Shown, scale: float) -> tuple[Title, list[str]]:
    """What stands under a piece, and how its slopes are set out; a table says its own."""
    outline, units = shown.outline, shown.units
    stock = ", ".join(dict.fromkeys([outline.stock, outline.material]))
    alone = shown.marks.table() is None
    title = Title(
        name=shown.called,
        count=f"Make {shown.many}",
        lines=(stock, f"blank {shown.marks.blank()}"),
        heading="",
        names=outline.names if alone else (),
        practice="",
        scales=f"1:{scale:g}",
        scale=scale,
    )
    alike: dict[str, list[str]] = {}
    for letter, cut in zip(ascii_lowercase, outline.slopes, strict=False):
        edge = "bottom" if cut.off == "edge" else "left"
        words = f"{setting(cut, units)} ({cut.angle_deg:.1f}°) off the {edge} edge"
        alike.setdefault(words, []).append(letter)
    return title, [f"{', '.join(own)}: {words}" for words, own in alike.items()]


def _drawn(shown: _Shown, size: Size) -> Sheet:
    outline = shown.outline
    lower_left, scale = _placed(shown, size)
    title, slopes = _told(shown, scale)
    sheet, down = celled(size, title, shown.units, slopes)
    view = View(scale, lower_left)
    draft = Draft(sheet, (0.5, 0.5, size[0] - 0.5, down))
    _piece(draft, view, outline)
    _marks(draft, view, outline, shown.marks)
    corner = view.at(outline.size_mm)
    if outline.up:
        which_way_up(draft, corner, outline.up)
    if outline.along:
        grain(draft, outline.along)
    for letter, cut in zip(ascii_lowercase, outline.slopes, strict=False):
        draft.note(letter, _beside(view, cut), bold=True)
    _details(draft, view, outline, (corner[0] + 4.0, OVER_MM))
    return sheet


def _piece(draft: Draft, view: View, outline: Outline) -> None:
    """The blank, grey where it is cut away, and on it the piece."""
    sheet, (wide, high) = draft.sheet, outline.size_mm
    blank = view.all([(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)])
    sheet.area(blank, "void", "blank")
    draft.keep_off([*blank, blank[0]])
    draft.draw(view, outline.corners, outline.kind)
    for hole in outline.holes:
        points = view.all(hole)
        sheet.area(points, "void", "opening")
        sheet.line([*points, points[0]], "wide")
        draft.keep_off([*points, points[0]])
    for a, b in outline.folds:
        sheet.line(view.all([a, b]), "chain")
        draft.keep_off(view.all([a, b]))


def _marks(draft: Draft, view: View, outline: Outline, marks: FlatMarks) -> None:
    """Along the bottom edge and up the left one, with lines from there to the nearest corner."""
    xs, ys = outline.marks_mm
    points = [point for loop in (*outline.loops, *outline.folds) for point in loop]
    for x in xs:
        _lead(draft, view, (x, 0.0), min((p for p in points if p[0] == x), key=lambda p: p[1]))
    for y in ys:
        _lead(draft, view, (0.0, y), min((p for p in points if p[1] == y), key=lambda p: p[0]))

    under = view.at((0.0, 0.0))[1] + RUNNING_MM
    across, up = (
        [(view.at(point), words) for point, words in zip(points, marks.along(axis), strict=True)]
        for axis, points in enumerate(([(x, 0.0) for x in xs], [(0.0, y) for y in ys]))
    )
    draft.running(across, under, up=False)
    _up_the_side(draft, up)


def _lead(draft: Draft, view: View, edge: Point, corner: Point) -> None:
    if edge != corner:
        draft.sheet.line(view.all([edge, corner]))
        draft.keep_off(view.all([edge, corner]))


def _up_the_side(draft: Draft, marks: list[tuple[Point, str]]) -> None:
    """Running dimensions up an edge, from a circle at the first mark, read from below.

    Args:
        draft: The sheet.
        marks: Where each is on the edge, on the sheet, and what it reads, from below.
    """
    needed = TEXT_MM * (UP + DOWN) + 0.4
    _, top, _, bottom = draft.within
    places = spread([point[1] for point, _ in reversed(marks)], needed, top, bottom)[::-1]
    x, first = marks[0][0][0] - RUNNING_MM, marks[0][0][1]
    draft.sheet.line([(x, first), (x, marks[-1][0][1])])
    draft.sheet.circle((x, first), 0.9)
    for (point, words), y in zip(marks, places, strict=True):
        end = (x - (1.5 if abs(y - point[1]) < 0.05 else 4.0), y)
        line = [(point[0] - GAP_MM, point[1]), (x - 1.5, point[1]), end]
        draft.sheet.line(line)
        draft.keep_off(line)
        if point[1] != first:
            half = 0.78  # of the stroke, drawn at 45 degrees
            stroke = [(x - half, point[1] + half), (x + half, point[1] - half)]
            draft.sheet.line(stroke, "wide")
        at = (end[0] - 0.8, y + TEXT_MM * (UP - DOWN) / 2)
        draft.sheet.text(words, at, TEXT_MM, anchor="end")


def _beside(view: View, cut: Cut) -> list[Point]:
    """Places for a slope's letter, the likeliest first."""
    (a, b), (c, d) = view.all([cut.start, cut.end])
    length = math.dist((a, b), (c, d))
    # Counter-clockwise round the piece, what is cut away lies on the right.
    x, y = -(d - b) / length, (c - a) / length
    return [
        (a + (c - a) * t + x * off, b + (d - b) * t + y * off + 1.0)
        for clear in (3.0, 5.0, 7.0)
        for t in (0.5, 0.35, 0.65, 0.2, 0.8)
        for off in (clear, -clear)
    ]


def _details(draft: Draft, view: View, outline: Outline, at: Point) -> None:
    """What is cut away and too small to be seen, once more and larger, in a row in the column."""
    sheet, piece = draft.sheet, outline.area
    for k, (letter, part) in enumerate(zip(_LETTERS, _small(outline, view.scale), strict=False)):
        reach = _extent(part)
        x, y = (part.bounds[0] + part.bounds[2]) / 2, (part.bounds[1] + part.bounds[3]) / 2
        a, b = view.at((x, y))
        scale = scale_to_fit((3 * reach, 3 * reach), (DETAIL_MM, DETAIL_MM))
        left, top = at[0] + (DETAIL_MM + APART_MM) * k, at[1] + LINE_MM
        sheet.text(f"{letter}, 1:{scale}", (left, top), TEXT_MM, bold=True)
        sheet.circle((a, b), RING_MM)
        places = [(a + dx, b + dy) for dx in (5.0, -5.0) for dy in (5.0, -4.0, 7.0)]
        draft.note(letter, places, bold=True)
        middle = (left + DETAIL_MM / 2, top + DETAIL_MM / 2 + 2.0)
        close = View(scale, (middle[0] - x / scale, middle[1] + y / scale))
        half = DETAIL_MM / 2 * scale
        shown = shapely.box(x - half, y - half, x + half, y + half)
        sheet.area(close.all(part.exterior.coords[:-1]), "void")
        for wood in shapely.get_parts(piece.intersection(shown)):
            sheet.area(close.all(wood.exterior.coords[:-1]), "wood")
        edges = shapely.line_merge(piece.boundary.intersection(shown))
        for edge in shapely.get_parts(edges):
            sheet.line(close.all(edge.coords), "wide")


def _extent(area: shapely.Geometry) -> float:
    """The longer side of the box round it."""
    left, low, right, high = shapely.bounds(area)
    return max(right - left, high - low)


def _small(outline: Outline, scale: float) -> list[Any]:
    """What is cut away and can hardly be seen at a scale."""
    gone = shapely.box(0.0, 0.0, *outline.size_mm).difference(outline.area)
    return [part for part in shapely.get_parts(gone) if _extent(part) / scale < SEEN_MM]


def foot_words(pieces: Collection[Outline]) -> str:
    """What goes for flat pieces."""
    faces = " or ".join(dict.fromkeys(one.seen for one in pieces))
    words = [
        "Marks from the lower left corner of the blank, thin lines carry them. Cut the blank "
        f"first, by the cut plan; then mark the face seen {faces} and cut out what is shaded."
    ]
    if any(one.folds for one in pieces):
        words.append(
            "Flashing: edges raw, no hem; fold both legs down along the chain lines, 5° less than "
            "square; close the joint and bed the piece in sealant over both base flashings."
        )
    return " ".join(words)

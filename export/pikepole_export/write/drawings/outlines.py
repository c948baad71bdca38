"""The drawing of a flat piece: its outline on its blank, and the marks along two edges of that.

outline_drawing(outline, called, units) -> bytes     an SVG file
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from pikepole_export.derive.measures.outlines import Outline
from pikepole_export.graphics.lettering import spread
from pikepole_export.write.drawings.cut_words import setting
from pikepole_export.write.drawings.drafting import (
    GAP_MM,
    MARGIN_MM,
    PAPER,
    TEXT_MM,
    Draft,
    View,
    scale_to_fit,
)
from pikepole_export.write.drawings.svg import DOWN, UP, Point, box_of, width_of, wrapped
from pikepole_export.write.drawings.title import (
    BLOCK_MM,
    LINE_MM,
    ONE_PATTERN,
    SMALL_MM,
    Title,
    framed,
)
from pikepole_model.units import Units, format_length

# Beside the drawing: what there is to say. Round the blank: its marks, and which end is up.
NOTES_MM = 70.0
LEFT_MM, OVER_MM, UNDER_MM = 38.0, 20.0, 36.0
# From the blank to the line of its marks.
RUNNING_MM = 6.0
# Farther than this from what it is about, lettering has a line to it.
LEADER_MM = 3.0
# What is cut away and smaller than this has a ring round it, so wide, and a detail.
SEEN_MM, RING_MM, DETAIL_MM = 2.0, 2.5, 26.0
# An arrow: how long it is, its head, and half the width of that.
ARROW_MM, HEAD_MM, HALF_MM = 14.0, 3.0, 1.1


def outline_drawing(outline: Outline, called: str, units: Units) -> bytes:
    """A flat piece to scale on one sheet of paper, under the name it is called.

    Args:
        outline: The piece.
        called: Its name on the drawing.
        units: The measures are printed in.
    """
    width, height = PAPER[units]
    across, down = width - MARGIN_MM - NOTES_MM, height - MARGIN_MM - BLOCK_MM
    room = (across - MARGIN_MM - LEFT_MM - 6.0, down - MARGIN_MM - OVER_MM - UNDER_MM)
    scale = scale_to_fit(outline.size_mm, room)
    wide, high = (side / scale for side in outline.size_mm)
    lower_left = (
        MARGIN_MM + LEFT_MM + (room[0] - wide) / 2,
        MARGIN_MM + OVER_MM + (room[1] + high) / 2,
    )
    sheet = framed(units, _title(outline, called, units, scale))
    view = View(scale, lower_left)
    draft = Draft(sheet, (MARGIN_MM + 1, MARGIN_MM + 1, across, down - 1))
    marks = "Marks from the lower left corner of the blank; thin lines only carry them."
    head = f"Seen {outline.seen}. {marks}"
    sheet.text(head, (MARGIN_MM + 3, MARGIN_MM + 5), TEXT_MM)
    _piece(draft, view, outline)
    _marks(draft, view, outline, units)
    if outline.up:
        _which_way_up(draft, (lower_left[0] + wide, lower_left[1] - high), outline.up)
    for middle, words, places in _slopes(view, outline, units):
        at = draft.note(words, places)
        box = box_of(words, at, TEXT_MM, anchor="middle")
        leader = shapely.shortest_line(shapely.Point(middle), box)
        if leader.length > LEADER_MM:
            sheet.line([(x, y) for x, y in leader.coords])
    below = _notes(draft, outline, (across + 1, MARGIN_MM + 6), units)
    _details(draft, view, outline, (across + 1, below))
    return sheet.to_bytes()


def _title(outline: Outline, called: str, units: Units, scale: int) -> Title:
    return Title(
        name=called,
        count=f"Make {len(outline.names)}",
        lines=(
            *dict.fromkeys([outline.stock, outline.material]),
            f"blank {_blank(outline, units)}",
        ),
        heading="Pattern for",
        names=outline.names,
        practice=ONE_PATTERN,
        scales=f"1:{scale}",
        scale=scale,
    )


def _blank(outline: Outline, units: Units) -> str:
    """Width and length of the blank, the length along the sheet's."""
    wide, high = (format_length(side, units) for side in outline.size_mm)
    return f"{high} x {wide}" if outline.along == "x" else f"{wide} x {high}"


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


def _marks(draft: Draft, view: View, outline: Outline, units: Units) -> None:
    """Along the bottom edge and up the left one, with lines from there to the nearest corner."""
    xs, ys = outline.marks_mm
    points = [point for loop in (*outline.loops, *outline.folds) for point in loop]
    for x in xs:
        _lead(draft, view, (x, 0.0), min((p for p in points if p[0] == x), key=lambda p: p[1]))
    for y in ys:
        _lead(draft, view, (0.0, y), min((p for p in points if p[1] == y), key=lambda p: p[0]))

    def read(mark: float) -> str:
        return format_length(mark, units) if mark else "0"

    under = view.at((0.0, 0.0))[1] + RUNNING_MM
    draft.running([(view.at((x, 0.0)), read(x)) for x in xs], under, up=False)
    _up_the_side(draft, [(view.at((0.0, y)), read(y)) for y in ys])


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


def _which_way_up(draft: Draft, corner: Point, words: str) -> None:
    """An arrow over the blank's upper right corner, and what it points to."""
    x, y = corner[0] - HALF_MM, corner[1] - 3.0
    _arrow(draft, (x, y), (x, y - 6.0))
    draft.keep_off([(x, y), (x, y - 6.0)])
    draft.sheet.text(words, (x - 2.5, y - 2.0), TEXT_MM, anchor="end", bold=True)


def _arrow(draft: Draft, tail: Point, head: Point) -> None:
    """From tail to head, on the sheet, mm."""
    length = math.dist(tail, head)
    along = ((head[0] - tail[0]) / length, (head[1] - tail[1]) / length)
    neck = (head[0] - along[0] * HEAD_MM, head[1] - along[1] * HEAD_MM)
    side = (-along[1] * HALF_MM, along[0] * HALF_MM)
    draft.sheet.line([tail, neck], "wide")
    barbs = [(neck[0] + s * side[0], neck[1] + s * side[1]) for s in (1, -1)]
    draft.sheet.area([head, *barbs], "fill")


def _slopes(view: View, outline: Outline, units: Units) -> Iterator[tuple[Point, str, list[Point]]]:
    """The middle of each slope, how it is set out, and places for that, the likeliest first."""
    over = view.at((0.0, outline.size_mm[1]))[1] - 3.0
    for cut in outline.slopes:
        edge = "bottom" if cut.off == "edge" else "left"
        words = f"{setting(cut)} ({cut.angle_deg:.1f}°) off the {edge} edge"
        half = width_of(words, TEXT_MM) / 2
        (a, b), (c, d) = view.all([cut.start, cut.end])
        length = math.dist((a, b), (c, d))
        # Counter-clockwise round the piece, what is cut away lies on the right.
        x, y = -(d - b) / length, (c - a) / length
        beside = [
            (a + (c - a) * t + x * off, b + (d - b) * t + y * off + 1.0)
            for clear in (4.0, 7.0, 10.0, 14.0)
            for t in (0.5, 0.35, 0.65, 0.2, 0.8)
            for off in (clear + abs(x) * half, -clear - abs(x) * half)
        ]
        inwards = math.copysign(half, -x)
        yield (
            ((a + c) / 2, (b + d) / 2),
            words,
            [*beside, *((a + inwards * k, over) for k in (0.0, 0.5, 1.0))],
        )


def _notes(draft: Draft, outline: Outline, at: Point, units: Units) -> float:
    """How the piece is made, in the column beside it; returns where that ends."""
    x, y = at
    for k, words in enumerate([f"Blank {_blank(outline, units)}", *_words(outline)]):
        for row in wrapped(words, SMALL_MM, NOTES_MM - 6, bold=not k):
            draft.sheet.text(row, (x, y), SMALL_MM, bold=not k)
            y += LINE_MM
        y += LINE_MM * 0.4
    if outline.along:
        y += 2.0
        half = ARROW_MM / 2
        step = (half, 0.0) if outline.along == "x" else (0.0, half)
        middle = (x + max(HALF_MM, step[0]), y + step[1])
        for way in (-1, 1):
            _arrow(draft, middle, (middle[0] + way * step[0], middle[1] + way * step[1]))
        beside = (middle[0] + step[0] + 3.0, middle[1] + 1.0)
        draft.sheet.text("grain", beside, TEXT_MM, bold=True)
        y = middle[1] + step[1] + LINE_MM
    return y


def _details(draft: Draft, view: View, outline: Outline, at: Point) -> None:
    """What is cut away and too small to be seen, once more and larger, in a row in the column."""
    sheet, piece = draft.sheet, outline.area
    gone = shapely.get_parts(shapely.box(0.0, 0.0, *outline.size_mm).difference(piece))
    small = [part for part in gone if _extent(part) / view.scale < SEEN_MM]
    for letter, part in zip("AB", small, strict=False):
        reach = _extent(part)
        x, y = (part.bounds[0] + part.bounds[2]) / 2, (part.bounds[1] + part.bounds[3]) / 2
        a, b = view.at((x, y))
        sheet.circle((a, b), RING_MM)
        places = [(a + dx, b + dy) for dx in (5.0, -5.0) for dy in (5.0, -4.0)]
        draft.note(letter, places, bold=True)
        scale = scale_to_fit((3 * reach, 3 * reach), (DETAIL_MM, DETAIL_MM))
        left, top = at[0] + (DETAIL_MM + 6.0) * "AB".index(letter), at[1] + LINE_MM
        middle = (left + DETAIL_MM / 2, top + DETAIL_MM / 2 + 2.0)
        close = View(scale, (middle[0] - x / scale, middle[1] + y / scale))
        half = DETAIL_MM / 2 * scale
        shown = shapely.box(x - half, y - half, x + half, y + half)
        sheet.text(f"{letter}, 1:{scale}", (left, top), TEXT_MM, bold=True)
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


def _words(outline: Outline) -> list[str]:
    """How the piece is made of its blank."""
    if outline.folds:
        return [
            "Laid flat, its weather side up, its outer corner at the lower left.",
            "Cut out what is grey. The edges are raw: no hem.",
            "Fold both legs down along the chain lines. They are drawn square to the rest: fold "
            "each about 5° less, so that what would lie level falls outwards.",
            "The legs meet at the outer corner: close that joint, and bed the piece over the ends "
            "of both base flashings, in sealant.",
        ]
    way = "up and down" if outline.along == "y" else "from side to side"
    return [
        f"Cut the blank first: the cut plan of {outline.stock} lists it under the piece's name.",
        "Then cut out what is grey, before it is fixed or after: mark it from this drawing, on "
        f"the face that is seen {outline.seen}.",
        f"The long way of the sheet, and so its grain, runs {way} on the drawing.",
    ]

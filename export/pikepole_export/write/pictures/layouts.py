"""What is laid out with a tape at a stage: a wall seen from outside, or a frame from above.

    layout_of(building, stage, size) -> a flat drawing, or None

Marks run from one end, as they are read off one tape: to the near edge of a member that is nailed
on, to the middle of a footing. Beside them stand the sides and, where it is square, both diagonals.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely

from pikepole_export.graphics.colours import part_colour
from pikepole_export.graphics.lettering import spread, wrapped
from pikepole_export.write.pictures.pieces import way_of
from pikepole_export.write.pictures.plate import (
    DARK,
    LINE_PX,
    PALE,
    QUIET,
    TEXT_PX,
    Ink,
    Plate,
    Point,
    blank,
    draw_area,
    draw_line,
    wide_px,
    write,
)
from pikepole_model.building.kind_rows import Assembly, Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.geometry.placement import Points
from pikepole_model.units import Units, format_length

EDGE_PX = 22
GAP_PX = 22  # from one mark's words to the next
STEP_PX = 8  # from the drawing to where a mark's line may slant
SLANT_PX = 16
FADED = 0.55  # of a piece's colour that is left
SAME_MM = 1.0  # marks nearer than this are one
ENDS_MM = 60.0  # what begins so near the end of a frame is an end of it
ACROSS = 0.01  # the cosine of what lies across a tape

# Kings and jacks follow from the edge of their opening.
STUDS = {Kind.STUD, Kind.CORNER_STUD, Kind.POST_STUD, Kind.WALL_POST}
ROOF_FRAME = {Kind.RAFTER, Kind.END_RAFTER}
LOFT_FRAME = {Kind.LOFT_JOIST, Kind.LOFT_HEADER, Kind.LOFT_LEDGER}
FLOOR_FRAME = {Kind.RIM, Kind.JOIST, Kind.FLOOR_HEADER, Kind.FLOOR_LEDGER}
RUNNERS = {Kind.SKID, Kind.GIRDER}
BEDS = {Kind.SLAB, Kind.GRAVEL}
POINTS = {Kind.FOOTING, Kind.PIER}
SHOWN = {Family.FLOOR_FRAME, Family.LOFT_FRAME, Family.GRAVEL}


# Left, low, right and high, mm.
Box: TypeAlias = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Mark:
    """Where something is along a tape.

    Attributes:
        at: Along the tape, mm in the plane.
        reach: Where it is across the tape: from there its line runs to the edge.
        bold: Whether it stands out: the edge of an opening.
    """

    at: float
    reach: float
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Layout:
    """What is laid out, in a plane of its own, mm.

    Attributes:
        title: What it is, and from where it is seen.
        note: How the marks are read.
        areas: Outlines of the pieces from the farthest to the nearest, each with its colour.
        box: What is measured.
        below: Marks along the low side, from the left end.
        beside: Marks up the right side, from the low end.
        crossed: Openings.
        square: Whether its two diagonals are given.
    """

    title: str
    note: str
    areas: tuple[tuple[Points, Ink], ...]
    box: Box
    below: tuple[Mark, ...]
    beside: tuple[Mark, ...]
    crossed: tuple[Box, ...]
    square: bool


def layout_of(building: Building, stage: Stage, size: tuple[int, int]) -> Plate | None:
    """A flat drawing of what a stage lays out; None where it lays out nothing.

    Args:
        building: That it belongs to.
        stage: The stage.
        size: Width and height of the drawing, px.
    """
    layout = _wall(building, stage) or _frame(stage)
    return _drawn(layout, size, building.scene.units) if layout else None


def _wall(building: Building, stage: Stage) -> Layout | None:
    """A framed wall from outside; of several, the one with the most pieces."""
    groups: dict[str, list[Part]] = {}
    for part in stage.parts:
        if part.kind.row.assembly is Assembly.WALL:
            groups.setdefault(part.group, []).append(part)
    plated = {Kind.BOTTOM_PLATE, Kind.TOP_PLATE}
    framed = [own for own in groups.values() if plated <= {part.kind for part in own}]
    if not framed:
        return None
    parts = max(framed, key=len)
    right, out = _seen_from_outside(parts, building.built.parts)
    run_mm = np.ptp(np.concatenate([part.vertices_mm for part in parts]) @ right)
    if sum(part.length_mm for part in parts if part.kind is Kind.BOTTOM_PLATE) < run_mm / 2:
        return None  # pieces here and there, that close gaps
    flat = _flat(parts, np.array([right, [0.0, 0.0, 1.0]]))
    boxes = _boxes(flat)
    left, low, end, top = _around(boxes.values())
    kinds = {part.name: part.kind for part in parts}
    plates = [box for name, box in boxes.items() if kinds[name] is Kind.TOP_PLATE]
    thick = min(part.across_mm[0] for part in parts if part.kind is Kind.BOTTOM_PLATE)
    standing = [
        Mark(box[0], low)
        for name, box in boxes.items()
        if kinds[name] in STUDS and box[1] < low + 2 * thick
    ]
    openings = tuple(_openings(boxes, kinds, low))
    sides = [Mark(edge, low, True) for hole in openings for edge in (hole[0], hole[2])]
    peak = Mark(top, max(box[2] for box in boxes.values() if box[3] > top - SAME_MM))
    heights = [Mark(edge, hole[2]) for hole in openings for edge in (hole[1], hole[3])]
    return Layout(
        title=f"{parts[0].group[:1].upper()}{parts[0].group[1:]} from outside",
        note="From its left end to the left edge of each stud, and to both of an opening; "
        "heights from the floor.",
        areas=_areas(parts, flat, lambda part: float(part.vertices_mm.mean(axis=0) @ out)),
        box=(left, low, end, top),
        below=_distinct([*sides, *standing]),
        beside=_distinct([*(one for one in heights if one.at > low + SAME_MM), peak]),
        crossed=openings,
        # Its plates are level, and no longer than thick.
        square=all(box[3] - box[1] < 2 * thick for box in plates),
    )


def _seen_from_outside(parts: Sequence[Part], everything: Sequence[Part]) -> tuple[Points, Points]:
    """Unit vectors to the right and out of a wall, as it is seen from outside."""
    low, high, lowest, highest = (
        end(np.concatenate([part.vertices_mm for part in own])[:, :2], axis=0)
        for own in (parts, everything)
        for end in (np.min, np.max)
    )
    off = low + high - lowest - highest
    along_x = high[0] - low[0] > high[1] - low[1]
    if along_x:
        out = np.array([0.0, math.copysign(1.0, off[1]), 0.0])
    else:
        out = np.array([math.copysign(1.0, off[0]), 0.0, 0.0])
    return np.array([-out[1], out[0], 0.0]), out


def _openings(boxes: Mapping[str, Box], kinds: Mapping[str, Kind], low: float) -> Iterator[Box]:
    """The holes under the headers, between the jacks that carry them."""
    known: list[Box] = []
    for name, (left, foot, right, _) in boxes.items():
        if kinds[name] is not Kind.HEADER:
            continue
        under = [
            (other, box)
            for other, box in boxes.items()
            if left - SAME_MM < (box[0] + box[2]) / 2 < right + SAME_MM and box[1] < foot - SAME_MM
        ]
        jacks = [box for other, box in under if kinds[other] is Kind.JACK]
        middle = (left + right) / 2
        first = max((box[2] for box in jacks if box[2] < middle), default=left)
        last = min((box[0] for box in jacks if box[0] > middle), default=right)
        sill = max((box[3] for other, box in under if kinds[other] is Kind.SILL), default=low)
        hole = (first, sill, last, foot)
        if not any(np.allclose(hole, other, atol=SAME_MM) for other in known):
            known.append(hole)
            yield hole


def _frame(stage: Stage) -> Layout | None:
    """A roof's, a loft's or a floor's frame, or a foundation, from above."""
    kinds = {part.kind for part in stage.parts}
    for title, marked in (
        ("Rafters from above", ROOF_FRAME),
        ("Loft frame from above", LOFT_FRAME),
        ("Floor frame from above", FLOOR_FRAME),
        ("Foundation from above", RUNNERS | BEDS | POINTS),
    ):
        if kinds & marked - {Kind.GRAVEL}:
            return _from_above(stage.parts, title, marked)
    return None


def _from_above(parts: Sequence[Part], title: str, marked: Set[Kind]) -> Layout:
    """Pieces from above, front below: marks for those that lie across a tape."""
    shown = [part for part in parts if part.kind in marked or part.kind.family in SHOWN]
    flat = _flat(shown, np.eye(3)[:2])
    boxes = _boxes(flat)
    spots = [part for part in shown if part.kind in POINTS]
    lying = [part for part in shown if part.kind in marked - POINTS - {Kind.GRAVEL}]
    box = _around(boxes[part.name] for part in lying or spots)
    if not lying:
        box = _around((x, y, x, y) for x, y, _ in (part.centre_mm for part in spots))
    sticks = [part for part in lying if part.kind not in BEDS]
    middle = bool(spots)
    across, along = (
        [
            Mark(
                (own[axis] + own[axis + 2]) / 2 if middle else own[axis],
                own[1] if axis == 0 else own[2],
            )
            for part in sticks
            if abs(way_of(part)[axis]) < ACROSS
            for own in (boxes[part.name],)
            # A rim is an end of the frame itself.
            if axis == 0 or middle or box[1] + SAME_MM < own[1] < box[3] - ENDS_MM
        ]
        for axis in (0, 1)
    )
    centres = [part.centre_mm for part in spots]
    to = "middle" if middle else "near edge"
    return Layout(
        title=title,
        note=f"From the left end and the front, to the {to} of each.",
        areas=_areas(shown, flat, lambda part: part.bounds_mm[1][2]),
        box=box,
        below=_distinct([*across, *(Mark(x, y) for x, y, _ in centres)]),
        beside=_distinct([*along, *(Mark(y, x) for x, y, _ in centres)]),
        crossed=(),
        square=not marked & ROOF_FRAME,
    )


def _flat(parts: Iterable[Part], axes: Points) -> dict[str, Points]:
    """The corners of each piece in a plane: (n, 2) float, mm, by its name."""
    return {part.name: part.vertices_mm @ axes.T for part in parts}


def _boxes(flat: Mapping[str, Points]) -> dict[str, Box]:
    boxes: dict[str, Box] = {}
    for name, own in flat.items():
        (left, low), (right, high) = own.min(axis=0).tolist(), own.max(axis=0).tolist()
        boxes[name] = (left, low, right, high)
    return boxes


def _around(boxes: Iterable[Box]) -> Box:
    lefts, lows, rights, highs = zip(*boxes, strict=True)
    return min(lefts), min(lows), max(rights), max(highs)


def _areas(
    parts: Sequence[Part], flat: Mapping[str, Points], near: Callable[[Part], float]
) -> tuple[tuple[Points, Ink], ...]:
    """Outlines from the farthest to the nearest."""
    found: list[tuple[Points, Ink]] = []
    for part in sorted(parts, key=near):
        hull = shapely.convex_hull(shapely.MultiPoint(flat[part.name]))
        if isinstance(hull, shapely.Polygon):
            red, green, blue = (
                round(255 * (1 - FADED * (1 - share))) for share in part_colour(part)
            )
            found.append((shapely.get_coordinates(hull.exterior), (red, green, blue)))
    return tuple(found)


def _distinct(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """In order, those that are one as a tape reads them once."""
    found: list[Mark] = []
    for mark in sorted(marks, key=lambda mark: (round(mark.at), not mark.bold, mark.reach)):
        if not found or mark.at - found[-1].at > SAME_MM:
            found.append(mark)
    return tuple(found)


def _drawn(layout: Layout, size: tuple[int, int], units: Units) -> Plate:
    """A layout on a plate, as large as its words leave room for."""
    left, low, right, high = layout.box
    shown = _around([layout.box, *(_box_of(outline) for outline, _ in layout.areas)])

    def read(mm: float) -> str:
        return format_length(mm, units)

    below = [(mark, read(mark.at - left)) for mark in layout.below]
    beside = [(mark, read(mark.at - low)) for mark in layout.beside]
    deep, wide = (
        max((wide_px(words, mark.bold) + STEP_PX + SLANT_PX for mark, words in marks), default=0.0)
        for marks in (below, beside)
    )
    notes = wrapped(layout.note, size[0] - 2 * EDGE_PX, wide_px)
    head = EDGE_PX // 2 + LINE_PX * (1 + len(notes)) + LINE_PX // 2
    margins = (EDGE_PX + LINE_PX, head, EDGE_PX + wide, EDGE_PX + LINE_PX + deep)
    room = (size[0] - margins[0] - margins[2], size[1] - margins[1] - margins[3])
    scale = min(room[0] / (shown[2] - shown[0]), room[1] / (shown[3] - shown[1]))
    x0 = margins[0] + (room[0] - (shown[2] - shown[0]) * scale) / 2 - shown[0] * scale
    y0 = margins[1] + (room[1] + (shown[3] - shown[1]) * scale) / 2 + shown[1] * scale

    def at(u: float, v: float) -> Point:
        return x0 + u * scale, y0 - v * scale

    plate = blank(size)
    for outline, fill in layout.areas:
        draw_area(plate, [[at(u, v) for u, v in outline]], fill, 0.7)
    for u0, v0, u1, v1 in layout.crossed:
        draw_line(plate, at(u0, v0), at(u1, v1), ink=PALE)
        draw_line(plate, at(u0, v1), at(u1, v0), ink=PALE)
    for number, words in enumerate([layout.title, *notes]):
        y = EDGE_PX // 2 + LINE_PX * (1 + number)
        write(plate, (EDGE_PX, y), words, bold=not number, ink=QUIET if number else DARK)
    (_, bottom), (edge, _) = at(0.0, shown[1]), at(shown[2], 0.0)
    _marks_level(plate, [(at(mark.at, mark.reach), mark, words) for mark, words in below], bottom)
    _marks_upright(plate, [(at(mark.reach, mark.at), words) for mark, words in beside], edge, head)
    said = f"{read(right - left)} over all"
    if layout.square:
        said += f", both diagonals {read(math.hypot(right - left, high - low))}"
        for a, b in (((left, low), (right, high)), ((left, high), (right, low))):
            draw_line(plate, at(*a), at(*b), ink=QUIET, dashed=True)
    half = wide_px(said) / 2 + EDGE_PX
    x = min(max((at(left, 0)[0] + at(right, 0)[0]) / 2, half), size[0] - half)
    write(plate, (x, size[1] - EDGE_PX + 4), said, "ms")
    if not any(math.isclose(mark.at, high) for mark in layout.beside):
        edge, (_, y1), (_, y2) = at(shown[0], 0)[0], at(left, low), at(left, high)
        for y in (y1, y2):
            draw_line(plate, (edge - LINE_PX, y), (edge - 4, y), ink=QUIET)
        up = read(high - low)
        write(plate, (edge - 8, (y1 + y2 + wide_px(up)) / 2), up, turned=True)
    return plate


def _box_of(outline: Points) -> Box:
    (left, low), (right, high) = outline.min(axis=0).tolist(), outline.max(axis=0).tolist()
    return left, low, right, high


def _kept(places: Sequence[float], room: float) -> list[int]:
    """Numbers of the marks that have room: every second, every third of them, and the last."""
    step = max(1, math.ceil(len(places) * GAP_PX / room))
    kept = list(range(0, len(places), step))
    last = len(places) - 1
    return kept if not places or last in kept else [*kept[:-1], last]


def _marks_level(plate: Plate, marks: Sequence[tuple[Point, Mark, str]], edge: float) -> None:
    """Marks below a level edge, each with its words turned."""
    width = plate["size"][0]
    kept = [marks[n] for n in _kept([x for (x, _), _, _ in marks], width)]
    for ((x, y), mark, words), place in zip(
        kept, spread([x for (x, _), _, _ in kept], GAP_PX, 0, width) if kept else (), strict=True
    ):
        end = edge + STEP_PX + SLANT_PX
        draw_line(plate, (x, y), (x, edge + STEP_PX), (place, end), ink=QUIET)
        at = (place + TEXT_PX * 0.36, end + 2)
        write(plate, at, words, "rs", turned=True, bold=mark.bold)


def _marks_upright(
    plate: Plate, marks: Sequence[tuple[Point, str]], edge: float, top: float
) -> None:
    """Marks up a right edge, their words level."""
    bottom = plate["size"][1] - LINE_PX
    kept = [marks[n] for n in _kept([y for (_, y), _ in marks], bottom - top)][::-1]
    for ((x, y), words), place in zip(
        kept, spread([y for (_, y), _ in kept], GAP_PX, top, bottom) if kept else (), strict=True
    ):
        end = edge + STEP_PX + SLANT_PX
        draw_line(plate, (x, y), (edge + STEP_PX, y), (end, place), ink=QUIET)
        write(plate, (end + 2, place), words, "lm")

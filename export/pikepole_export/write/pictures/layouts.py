"""What is laid out with a tape at a stage, drawn flat beside its views.

layout_plate(building, stage, size) -> a flat drawing, or None
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from statistics import median

import numpy as np

from pikepole_export.derive.measures.layout_words import diagonals
from pikepole_export.derive.measures.layouts import (
    SAME_MM,
    Layout,
    Mark,
    around,
    box_of,
    layout_of,
    seen_from_outside,
)
from pikepole_export.graphics.colours import part_colour
from pikepole_export.graphics.lettering import NO_BREAK, spread, wrapped
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
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.geometry.placement import Vector
from pikepole_model.units import Units, format_length

EDGE_PX = 22
GAP_PX = 20  # from one mark's words to the next
STEP_PX = 8  # from the drawing to where a mark's line may slant
SLANT_PX = 16
ROOMY = 0.6  # of its size a drawing keeps where words stand on its left as well
DOT_PX = 3.5  # of what is too small to be seen, from its middle
MANY = 3  # rows of a note: more are written in smaller letters
NOTE_PX, NOTE_ROW_PX = 18, 21
EVEN = 0.02  # gaps that differ by a smaller share are alike
FADED = 0.55  # of a piece's colour that is left


def layout_plate(
    building: Building,
    stage: Stage,
    size: tuple[int, int],
    braced: Mapping[str, Sequence[Vector]] | None = None,
) -> Plate | None:
    """A flat drawing of what a stage lays out; None where it lays out nothing.

    Args:
        building: That it belongs to.
        stage: The stage.
        size: Width and height of the drawing, px.
        braced: Where temporary braces are nailed, by the name of their wall; building frame, mm.
    """
    layout = layout_of(building, stage)
    if layout is None:
        return None
    return _drawn(_with_braces(layout, building, braced or {}), size, building.scene.units)


def _with_braces(
    layout: Layout, building: Building, braced: Mapping[str, Sequence[Vector]]
) -> Layout:
    """A wall's layout with a dot where each brace is nailed."""
    parts = [part for _, part in layout.areas]
    uppers = () if layout.from_above else braced.get(parts[0].group, ())
    if not uppers:
        return layout
    right, _ = seen_from_outside(parts, building.built.parts)
    dots = tuple((float(np.array(at) @ right), at[2]) for at in uppers)
    return replace(layout, dots=dots, note=f"{layout.note} Dots: braces.")


def _tied(words: str) -> str:
    """Words that no line breaks between."""
    return words.replace(" ", NO_BREAK)


def _faded(part: Part) -> Ink:
    red, green, blue = (round(255 * (1 - FADED * (1 - share))) for share in part_colour(part))
    return red, green, blue


def _drawn(layout: Layout, size: tuple[int, int], units: Units) -> Plate:
    """A layout on a plate, as large as its words leave room for."""
    left, low, right, high = layout.box
    shown = around(
        [
            layout.box,
            *(box_of(outline) for outline, _ in layout.areas),
            *((*a, *b) for a, b in layout.lines),
        ]
    )

    def read(mm: float) -> str:
        return format_length(mm, units)

    def told(marks: Sequence[Mark], axis: int) -> list[tuple[Mark, str]]:
        return [(mark, read(mark.at - layout.zero[axis])) for mark in marks]

    # The rows of a wall are on its sheet of the plans.
    rows = layout.rows_alone if layout.from_above else ()
    every = sorted((*layout.beside, *rows), key=lambda mark: mark.at)
    below, beside = told(layout.below, 0), told(every, 1)
    deep, wide = _wide(below), _wide(beside)
    said = [_tied(f"{read(right - left)} over all")] if right - left > SAME_MM else []
    said += [of + _tied(words) for of, words in diagonals(layout.squares, units)]
    note, step = layout.note, _step(len(layout.below), size[0])
    if step > 1:
        note = f"{note} Figures at one in {step}.".lstrip()
    notes, foot = (
        wrapped(words, size[0] - 2 * EDGE_PX, wide_px) for words in (note, ", ".join(said))
    )
    note_px, row_px = TEXT_PX, LINE_PX
    if len(notes) > MANY:
        note_px, row_px = NOTE_PX, NOTE_ROW_PX
        notes = wrapped(note, size[0] - 2 * EDGE_PX, lambda words: wide_px(words, high=NOTE_PX))
    head = EDGE_PX // 2 + LINE_PX + row_px * len(notes) + LINE_PX // 2
    margins = [EDGE_PX + LINE_PX, head, EDGE_PX + wide, EDGE_PX + LINE_PX * len(foot) + deep]
    room = [size[0] - margins[0] - margins[2], size[1] - margins[1] - margins[3]]
    across, high_scale = shown[2] - shown[0], room[1] / (shown[3] - shown[1])
    # What stands at the left end is told there, unless that takes too much off the drawing.
    ends = told(layout.ends, 1)
    if room[0] - _wide(ends) < ROOMY * min(room[0], high_scale * across):
        ends = []
    margins[0] += _wide(ends)
    room[0] -= _wide(ends)
    beside = [one for one in beside if one[0].at not in {mark.at for mark, _ in ends}]
    scale = min(room[0] / across, high_scale)
    x0 = margins[0] + (room[0] - (shown[2] - shown[0]) * scale) / 2 - shown[0] * scale
    y0 = margins[1] + (room[1] + (shown[3] - shown[1]) * scale) / 2 + shown[1] * scale

    def at(u: float, v: float) -> Point:
        return x0 + u * scale, y0 - v * scale

    plate = blank(size)
    for outline, part in layout.areas:
        draw_area(plate, [[at(u, v) for u, v in outline]], _faded(part), 0.7)
    for u, v in layout.dots:
        draw_area(plate, [_ring(at(u, v), DOT_PX)], DARK, 0)
    for u0, v0, u1, v1 in layout.crossed:
        draw_line(plate, at(u0, v0), at(u1, v1), ink=PALE)
        draw_line(plate, at(u0, v1), at(u1, v0), ink=PALE)
    y = EDGE_PX // 2 + LINE_PX
    write(plate, (EDGE_PX, y), layout.title, bold=True)
    for row, words in enumerate(notes, 1):
        write(plate, (EDGE_PX, y + row_px * row), words, ink=QUIET, high=note_px)
    (_, bottom), (edge, _) = at(0.0, shown[1]), at(shown[2], 0.0)
    end = _marks_level(
        plate, [(at(mark.at, mark.reach), mark, words) for mark, words in below], bottom
    )
    # They keep over the words below where these run on past the corner.
    room_v = head, bottom + STEP_PX if end > edge + STEP_PX else size[1] - LINE_PX * len(foot)
    for marks, side, way in ((beside, edge, 1), (ends, at(shown[0], 0.0)[0], -1)):
        reached = [(at(mark.reach, mark.at), words) for mark, words in marks]
        _marks_upright(plate, reached, side, room_v, way)
    for a, b in layout.lines:
        draw_line(plate, at(*a), at(*b), dashed=True)
    for _, (u0, v0, u1, v1) in layout.squares:
        for a, b in (((u0, v0), (u1, v1)), ((u0, v1), (u1, v0))):
            draw_line(plate, at(*a), at(*b), ink=QUIET, dashed=True)
    half = max(map(wide_px, foot), default=0.0) / 2 + EDGE_PX
    x = min(max((at(left, 0)[0] + at(right, 0)[0]) / 2, half), size[0] - half)
    for up, words in enumerate(reversed(foot)):
        write(plate, (x, size[1] - EDGE_PX + 4 - LINE_PX * up), words, "ms")
    tops = [mark.at for mark in layout.beside] if math.isclose(low, layout.zero[1]) else []
    if not any(math.isclose(top, high) for top in tops):
        edge, (_, y1), (_, y2) = at(shown[0], 0)[0] - _wide(ends), at(left, low), at(left, high)
        for y in (y1, y2):
            draw_line(plate, (edge - LINE_PX, y), (edge - 4, y), ink=QUIET)
        up = read(high - low)
        write(plate, (edge - 8, (y1 + y2 + wide_px(up)) / 2), up, turned=True)
    return plate


def _wide(marks: Sequence[tuple[Mark, str]]) -> float:
    """What the longest of some words takes beside a drawing, px."""
    return max(
        (wide_px(words, mark.bold) + STEP_PX + SLANT_PX for mark, words in marks), default=0.0
    )


def _ring(middle: Point, radius: float) -> list[Point]:
    """Points round a place."""
    turns = [math.tau * k / 12 for k in range(12)]
    return [(middle[0] + radius * math.cos(t), middle[1] + radius * math.sin(t)) for t in turns]


def _step(count: int, room: float) -> int:
    """One in how many marks has room."""
    return max(1, math.ceil(count / int(room / GAP_PX)))


def _kept(places: Sequence[float], room: float) -> list[int]:
    """Numbers of the marks that have room: all, or every second, every third of them.

    And the last, with those before it that break the spacing.
    """
    last, most = len(places) - 1, int(room / GAP_PX)
    step = _step(len(places), room)
    kept = set(range(0, last + 1, step))
    if step == 1:
        return sorted(kept)
    if len(kept | {last}) > most:
        kept.remove(max(kept))
    kept.add(last)
    gaps = [after - before for before, after in pairwise(places)]
    usual = median(gaps)
    for number in range(last, 0, -1):
        if math.isclose(gaps[number - 1], usual, rel_tol=EVEN) or len(kept | {number}) > most:
            break
        kept.add(number)
    return sorted(kept)


def _marks_level(plate: Plate, marks: Sequence[tuple[Point, Mark, str]], edge: float) -> float:
    """Marks below a level edge, each with its words turned; how far right these come, px."""
    width, most = plate["size"][0], 0.0
    kept = [marks[n] for n in _kept([x for (x, _), _, _ in marks], width)]
    for ((x, y), mark, words), place in zip(
        kept, spread([x for (x, _), _, _ in kept], GAP_PX, 0, width) if kept else (), strict=True
    ):
        end = edge + STEP_PX + SLANT_PX
        draw_line(plate, (x, y), (x, edge + STEP_PX), (place, end), ink=QUIET)
        at = (place + TEXT_PX * 0.36, end + 2)
        write(plate, at, words, "rs", turned=True, bold=mark.bold)
        most = at[0]
    return most


def _marks_upright(
    plate: Plate,
    marks: Sequence[tuple[Point, str]],
    edge: float,
    room: tuple[float, float],
    way: int,
) -> None:
    """Marks up an edge, the right one or (with -1 for its way) the left one, their words level."""
    top, bottom = room
    kept = [marks[n] for n in _kept([y for (_, y), _ in marks], bottom - top)][::-1]
    for ((x, y), words), place in zip(
        kept, spread([y for (_, y), _ in kept], GAP_PX, top, bottom) if kept else (), strict=True
    ):
        bend = edge + way * STEP_PX
        end = bend + way * SLANT_PX
        draw_line(plate, (x, y), (bend, y), (end, place), ink=QUIET)
        write(plate, (end + way * 2, place), words, "lm" if way > 0 else "rm")

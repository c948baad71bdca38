"""What is framed, from above or from outside: foundation, floor, loft, roof and each wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from string import ascii_uppercase

import numpy as np

from pikepole_export.derive.inventory.described import box_words
from pikepole_export.derive.measures.bracing import bracing_words
from pikepole_export.derive.measures.layout_words import diagonals, plates_run
from pikepole_export.derive.measures.layouts import (
    ANCHORS,
    BEDS,
    POINTS,
    RUNNERS,
    SAME_MM,
    STANDING,
    Layout,
    around,
    frame_layout,
    plan_mm,
    seen_from_outside,
    spot,
    wall_layout,
)
from pikepole_export.derive.views.faces import faces_towards
from pikepole_export.derive.views.side import ABOVE, SIDES, Side
from pikepole_export.derive.views.visible import edges_seen
from pikepole_export.write.drawings.drafting import MARGIN_MM, Draft, View
from pikepole_export.write.drawings.drafting import TEXT_MM as TAPE_TEXT_MM
from pikepole_export.write.drawings.svg import width_of, wrapped
from pikepole_export.write.drawings.title import unbroken
from pikepole_export.write.plans.dimensions import FIRST_MM, TEXT_MM, chain, levels
from pikepole_export.write.plans.drawn import draw_lines
from pikepole_export.write.plans.elevations import box_of
from pikepole_export.write.plans.numbers import areas_seen, lettered, number_pieces
from pikepole_export.write.plans.sections import depths
from pikepole_export.write.plans.sheet import Box, Layer, PlanSheet, new_sheet
from pikepole_export.write.plans.words import block_words, height_words, member_words
from pikepole_model.building.kind_rows import Assembly, Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.units import Units, format_length

MARGINS = (22.0, 12.0, 30.0, 42.0)
LINE_MM = 3.6
ANCHOR_MM = 0.9
TAPE_MM = 4.8  # from the line of a tape to its words, at most
OVERALL_MM = 30.0  # to where the lines of the size over all begin, at most
CAST = POINTS | BEDS
FOUNDATION = RUNNERS | BEDS | POINTS | ANCHORS
OVER_ROOF = (Family.ROOF_FRAME, Family.BEAMS)


@dataclass(frozen=True, slots=True)
class Frame:
    """What one framing sheet shows.

    Attributes:
        file: Of the sheet, without its ending: "front-wall-framing".
        name: "Front wall framing".
        parts: What is drawn on it.
        is_wall: Whether it stands.
    """

    file: str
    name: str
    parts: list[Part]
    is_wall: bool


def framing(building: Building) -> Iterator[PlanSheet]:
    """A sheet for each frame that is there, from the ground up, and for each wall."""
    finished = building.finished
    for frame in frames(building):
        if frame.is_wall:
            layout = wall_layout(frame.parts, finished.parts)
            _, out = seen_from_outside(frame.parts, finished.parts)
            side = max(SIDES.values(), key=lambda side: float(np.dot(side.towards, out)))
        else:
            layout, side = frame_layout(frame.parts, plan_mm(building)), ABOVE
        if layout:
            yield _sheet(finished, frame, side, layout)


def frames(building: Building) -> Iterator[Frame]:
    """What there is to be drawn on framing sheets, in their order.

    All as it stands in the end; but before that what is there already, also where it does not stay.
    """
    parts = building.finished.parts
    there = [part for part in building.built.parts if part.kind in STANDING]
    for file, name, own in (
        ("standing-already", "Standing already", there),
        ("foundation", "Foundation plan", [p for p in parts if p.kind in FOUNDATION]),
        ("floor-framing", "Floor framing", _of(parts, Family.FLOOR_FRAME)),
        ("loft-framing", "Loft framing", _of(parts, Family.LOFT_FRAME)),
        ("roof-framing", "Roof framing", _of(parts, *OVER_ROOF)),
    ):
        if own:
            yield Frame(file, name, own, is_wall=False)
    groups = {part.group: None for part in parts if part.kind.row.assembly is Assembly.WALL}
    for group in groups:
        own = [part for part in _of(parts, Family.WALL_FRAME) if part.group == group]
        if own:
            name = f"{group.capitalize()} framing"
            yield Frame(f"{group.replace(' ', '-')}-framing", name, own, is_wall=True)


def _of(parts: Sequence[Part], *families: Family) -> list[Part]:
    return [part for part in parts if part.kind.family in families]


def _sheet(building: Building, frame: Frame, side: Side, layout: Layout) -> PlanSheet:
    """One frame with its tape marks, overall sizes, and what it is made of."""
    units, own = building.scene.units, frame.parts
    straps = _straps(building, frame)
    box = around([box_of([*own, *straps], side), *((*a, *b) for a, b in layout.lines)])
    kinds = list(dict.fromkeys(part.kind for part in own))
    letters = lettered([*kinds, *dict.fromkeys(part.kind for part in straps)])
    there = {part.name: box_words(units, part) for part in own if part.kind in STANDING}
    names = (a + b for a in ("", *ascii_uppercase) for b in ascii_uppercase)
    sizes = dict(zip(dict.fromkeys(there.values()), names, strict=False))
    # What there is no room for is cut off at the end.
    notes = [
        layout.note.rstrip("."),
        *bracing_words(building, {part.group for part in own}),
        *(of + words for of, words in diagonals(layout.squares, units)),
        *plates_run(_top_plates(layout) if frame.is_wall else (), layout.zero[0], units),
        *(f"{name} {size}" for size, name in sizes.items()),
        *(
            f"{letters[kind]} {member_words(own, kind, units)}"
            for kind in kinds
            if kind not in CAST | STANDING
        ),
        *(height_words(name, z, units) for z, name in depths(own)),
        *(f"{letters[kind]} {block_words(own, kind, units)}" for kind in kinds if kind in CAST),
    ]
    left, top, right, bottom = MARGINS
    margins = (left, top + 2 * LINE_MM if straps else top, right, bottom)
    sheet, view = new_sheet(building, frame.file, frame.name, notes, box, margins)
    own = [*own, *straps]
    seen = edges_seen(faces_towards(own, side))
    draw_lines(sheet, view, seen, Layer.VISIBLE, "narrow")
    for anchor in (part for part in own if part.kind in ANCHORS):  # too small to be seen
        with sheet.on(Layer.VISIBLE):
            sheet.circle(view.at(spot(anchor)), ANCHOR_MM)
    for u0, v0, u1, v1 in layout.crossed:
        with sheet.on(Layer.OPENINGS):
            sheet.line(view.all([(u0, v0), (u1, v1)]))
            sheet.line(view.all([(u0, v1), (u1, v0)]))
    with sheet.on(Layer.HIDDEN):
        for line in layout.lines:
            sheet.line(view.all(line), "dashed")
    of_blocks = "under blocks " if frame.is_wall else "blocks "
    deep = _tape(sheet, view, box, layout, of_blocks)
    if layout.crossed:
        ends = [mark for u0, _, u1, _ in layout.crossed for mark in (u0, u1)]
        chain(sheet, view, box, [layout.box[0], *ends, layout.box[2]], "above")
    chain(sheet, view, box, [layout.box[0], layout.box[2]], "below", 4, deep)
    chain(sheet, view, box, [layout.box[1], layout.box[3]], "left")
    if straps:
        at = (MARGIN_MM + 4.0, MARGIN_MM + 5.0)
        room = sheet.size[0] - 2 * at[0]
        with sheet.on(Layer.NOTES):
            words = _strap_words(straps, side, layout, letters[Kind.STRAP], units)
            for row, line in enumerate(wrapped(unbroken(words), TEXT_MM, room)):
                sheet.text(line, (at[0], at[1] + LINE_MM * row), TEXT_MM)
    number_pieces(
        sheet,
        view,
        areas_seen(own, side),
        lambda part: sizes[there[part.name]] if part.name in there else letters[part.kind],
    )
    return sheet


def _top_plates(layout: Layout) -> list[tuple[str, float, float]]:
    """Each length of a wall's top plates: what it is called in its wall, and its ends, mm."""
    return [
        (_row(part), float(outline[:, 0].min()), float(outline[:, 0].max()))
        for outline, part in sorted(layout.areas, key=lambda area: _row(area[1]))
        if part.kind is Kind.TOP_PLATE
    ]


def _row(part: Part) -> str:
    return part.label.removeprefix(f"{part.group} ")


def _straps(building: Building, frame: Frame) -> list[Part]:
    """Straps that tie a wall to what lies on it; they are nailed on with the roof."""
    if not frame.is_wall:
        return []
    group = frame.parts[0].group
    return [
        part
        for part in building.parts
        if part.kind is Kind.STRAP and part.name.startswith(f"{group} ")
    ]


def _strap_words(
    straps: Sequence[Part], side: Side, layout: Layout, letter: str, units: Units
) -> str:
    """Where straps are: their middles along the tape, their ends over the floor."""
    by_ends: dict[tuple[str, str], list[str]] = {}
    for part in straps:
        left, low, right, high = box_of([part], side)
        ends = [format_length(z - layout.box[1], units) for z in (low, high)]
        middle = format_length((left + right) / 2 - layout.zero[0], units)
        name = f"{letter}{part.name.split()[-1]}"
        by_ends.setdefault((ends[0], ends[1]), []).append(f"{name} at {middle}")
    rows = (
        f"{', '.join(own)}, from {foot} to {top} over the floor"
        for (foot, top), own in by_ends.items()
    )
    stock = straps[0].stock
    return f"{stock[:1].upper()}{stock[1:]}, middles from where the tape starts: {'; '.join(rows)}"


def _tape(sheet: PlanSheet, view: View, box: Box, layout: Layout, of_blocks: str) -> float:
    """Running dimensions along the low side, and up the right one; how far down they reach, mm."""
    left, low = layout.zero
    edge = view.at((0.0, box[1]))[1]
    draft = Draft(sheet, (10.0, 10.0, sheet.size[0] - 10.0, sheet.size[1] - 10.0))
    # They start where the tape is hooked on.
    hooked = [] if any(abs(mark.at - left) < SAME_MM for mark in layout.below) else [left]
    marks = [
        ((view.at((at, 0.0))[0], edge), format_length(at - left, sheet.units))
        for at in sorted([*hooked, *(mark.at for mark in layout.below)])
    ]
    if layout.below:
        with sheet.on(Layer.DIMENSIONS):
            draft.running(marks, edge + FIRST_MM, up=False, start=view.at((left, 0.0))[0])
    beside = [
        (mark.at, of + format_length(mark.at - low, sheet.units))
        for marks, of in ((layout.beside, ""), (layout.rows_alone, of_blocks))
        for mark in marks
    ]
    levels(sheet, view, box[2], beside)
    wide = max((width_of(words, TAPE_TEXT_MM) for _, words in marks if layout.below), default=0.0)
    return min(FIRST_MM + TAPE_MM + wide, OVERALL_MM) if wide else 0.0

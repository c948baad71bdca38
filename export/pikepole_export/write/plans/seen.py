"""A sheet of several views, each piece in them with its number, and what is laid out with a tape.

Seen(heading, side, parts)       one view
SeenSheet(file, name, views)     what a sheet shows
seen_sheet(building, shown)      the sheet
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.views.faces import faces_towards
from pikepole_export.derive.views.side import Side
from pikepole_export.derive.views.visible import edges_seen
from pikepole_export.write.drawings.drafting import MARGIN_MM, PAPER, View
from pikepole_export.write.drawings.svg import Point, Size, wrapped
from pikepole_export.write.drawings.title import BLOCK_MM, unbroken
from pikepole_export.write.plans.dimensions import TEXT_MM, chain
from pikepole_export.write.plans.drawn import draw_lines
from pikepole_export.write.plans.elevations import box_of
from pikepole_export.write.plans.numbers import (
    areas_seen,
    legend,
    lettered,
    number_pieces,
    stem_of,
)
from pikepole_export.write.plans.sheet import SCALES, Box, Layer, PlanSheet, new_sheet
from pikepole_export.write.plans.words import member_words
from pikepole_model.building.kind_rows import Cut
from pikepole_model.building.part import Building, Part

# Round each view, mm of paper: beside it, its heading over it, under it the whole width, or marks
# and the whole width.
GAP_MM, HEAD_MM, FOOT_MM = 14.0, 7.0, 12.0
MARKED_GAP_MM, MARKED_FOOT_MM = 17.0, 24.0
LINE_MM, LEAST_MM = 3.2, 30.0  # of a heading, and how wide it is at the least


@dataclass(frozen=True, slots=True)
class Seen:
    """One view.

    Attributes:
        heading: Over it, in one line or two.
        side: That it is seen from.
        parts: What is drawn.
        of: What the names of its pieces begin with, which is not said again.
        level: Marks along its foot, mm of the view.
        upright: Marks up its left side, likewise.
    """

    heading: str
    side: Side
    parts: list[Part]
    of: str = ""
    level: tuple[float, ...] = ()
    upright: tuple[float, ...] = ()

    @property
    def box(self) -> Box:
        """What it takes, its marks with it, mm."""
        left, low, right, high = box_of(self.parts, self.side)
        across, up = (left, right, *self.level), (low, high, *self.upright)
        return min(across), min(up), max(across), max(up)

    def name(self, part: Part) -> str:
        """What a piece is called in it, without its number."""
        return stem_of(part).removeprefix(f"{self.of} ")


@dataclass(frozen=True, slots=True)
class SeenSheet:
    """What one sheet shows.

    Attributes:
        file: Of the sheet, without its ending: "wall-sheets".
        name: "Wall sheets".
        views: What is drawn.
        notes: What goes for all of it.
    """

    file: str
    name: str
    views: tuple[Seen, ...]
    notes: tuple[str, ...] = ()

    @property
    def parts(self) -> list[Part]:
        """All that is drawn on it."""
        return [part for view in self.views for part in view.parts]


def seen_sheet(building: Building, shown: SeenSheet) -> PlanSheet:
    """Its views in rows, as large as there is room for."""
    units = building.scene.units
    count = Counter(view.name(part) for view in shown.views for part in view.parts)
    usual = max(count, key=lambda name: count[name])
    letters = lettered(name for name in count if name != usual)
    cut = (part.kind for part in shown.parts if part.kind.row.cut is not Cut.NOT)
    notes = [
        f"a number alone: {usual}",
        *([f"before a number: {legend(letters)}"] if letters else []),
        *shown.notes,
        *(member_words(shown.parts, kind, units) for kind in dict.fromkeys(cut)),
    ]
    marked = any(view.level for view in shown.views)
    width, height = PAPER[units]
    room = (width - 2 * MARGIN_MM - 2 * GAP_MM, height - 2 * MARGIN_MM - BLOCK_MM)
    scale, corners, filled = _packed(shown.views, SCALES[units], room, marked=marked)
    whole = (0.0, 0.0, filled[0] * scale, filled[1] * scale)
    sheet, view = new_sheet(
        building, shown.file, shown.name, notes, whole, (GAP_MM, 0.0, GAP_MM, 0.0), (scale,)
    )
    left, top = view.at((0.0, whole[3]))
    for one, (x, y) in zip(shown.views, corners, strict=True):
        place, (low, _, _, high) = (left + x, top + y), one.box
        here = View(scale, (place[0] - low / scale, place[1] + high / scale))
        _drawn(sheet, here, one, place)
        number_pieces(
            sheet,
            here,
            areas_seen(one.parts, one.side),
            lambda part, one=one: letters.get(one.name(part), ""),
        )
    return sheet


def _drawn(sheet: PlanSheet, view: View, one: Seen, place: Point) -> None:
    """A view with its heading and its measures."""
    box = one.box
    draw_lines(sheet, view, edges_seen(faces_towards(one.parts, one.side)), Layer.VISIBLE, "narrow")
    with sheet.on(Layer.NOTES):
        for row, line in enumerate(reversed(_heading(one, view.scale))):
            at = (place[0], place[1] - HEAD_MM / 3 - LINE_MM * row)
            sheet.text(line, at, TEXT_MM, bold=True)
    if one.level:
        chain(sheet, view, box, one.level, "below")
    chain(sheet, view, box, [box[0], box[2]], "below", 2 if one.level else 0)
    if one.upright:
        chain(sheet, view, box, one.upright, "left")


def _wide_mm(one: Seen, scale: float) -> float:
    """What a view takes across the sheet, mm of paper."""
    box = one.box
    return max(LEAST_MM, (box[2] - box[0]) / scale)


def _heading(one: Seen, scale: float) -> list[str]:
    text = f"{one.heading[:1].upper()}{one.heading[1:]}"
    return wrapped(unbroken(text), TEXT_MM, _wide_mm(one, scale), bold=True)


def _packed(
    views: Sequence[Seen], scales: Sequence[int], room: Size, *, marked: bool
) -> tuple[int, list[Point], Size]:
    """Views in rows from the top, at the largest scale that there is room for.

    Args:
        views: In order.
        scales: To choose from, the largest first.
        room: On the sheet, mm.
        marked: Whether there are marks at their feet and sides.

    Returns:
        The scale, the upper left corner of each view, and what they fill, mm of paper.
    """
    gap, foot = (MARKED_GAP_MM, MARKED_FOOT_MM) if marked else (GAP_MM, FOOT_MM)
    for scale in scales:
        head = HEAD_MM + LINE_MM * max(len(_heading(one, scale)) for one in views)
        corners: list[Point] = []
        x = y = row = filled = 0.0
        for one in views:
            box, wide = one.box, _wide_mm(one, scale)
            if corners and x + wide > room[0]:
                x, y, row = 0.0, y + row, 0.0
            corners.append((x, y + head))
            filled = max(filled, x + wide)
            x += wide + gap
            row = max(row, head + (box[3] - box[1]) / scale + foot)
        if (y + row <= room[1] and filled <= room[0]) or scale == scales[-1]:
            return scale, corners, (filled, y + row)
    raise ValueError("no scale to choose from")

"""The pattern of a stick: the whole piece with what is marked along it, and its details.

pattern_items(family, units) -> cells of a page, each with the patterns that it is of
"""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Geometry

from pikepole_export.derive.measures.families import Family
from pikepole_export.derive.measures.features import Feature
from pikepole_export.derive.measures.templates import Template
from pikepole_export.write.drawings.cells import PAD_MM, Item, celled, drawn_item, room_of
from pikepole_export.write.drawings.cut_words import across
from pikepole_export.write.drawings.details import draw_detail, draw_wide_face, plumb_line
from pikepole_export.write.drawings.drafting import TEXT_MM, Draft, View
from pikepole_export.write.drawings.lengths import Lengths, below
from pikepole_export.write.drawings.pattern_cells import (
    NEXT_MM,
    PIECE_MM,
    TABLE_MM,
    UNDER_MM,
    Cell,
    Shown,
)
from pikepole_export.write.drawings.svg import Sheet
from pikepole_export.write.drawings.title import LINE_MM, SMALL_MM
from pikepole_model.units import Units, format_length

# How much of a page a cell may take across and down, and the whole piece of its width: the smallest
# first.
_CELLS = (
    (1 / 2, 1 / 2, 0.5),
    (1 / 3, 1, 1.0),
    (2 / 3, 1 / 2, 0.45),
    (1 / 2, 1, 1.0),
    (1, 1 / 2, 0.4),
    (2 / 3, 1, 1.0),
)
# So many rows of a table half a page has room for, by how many details there are, and so high a
# table a page has beside them.
_ROWS_IN_HALF, TABLE_HIGH_MM = (12, 12, 6), 90.0


def pattern_items(family: Family, units: Units) -> Iterator[tuple[Item, Family]]:
    """Patterns that differ in length alone, one drawing and a table of them to a cell of a page.

    Args:
        family: By their names on the drawing.
        units: The measures are printed in.
    """
    own: Family = {}
    for name, template in family.items():
        table = Lengths({**own, name: template}, template, units).table()
        if table and table.high_mm(TABLE_MM - PAD_MM) > TABLE_HIGH_MM:
            yield _item(own, units), own
            own = {}
        own[name] = template
    yield _item(own, units), own


def _item(family: Family, units: Units) -> Item:
    """In the smallest cell that shows it about as well as half a page does, or a page."""
    shown = Shown(family, units)
    wide, high = room_of(units)
    page, half = Cell(shown, (wide, high)), Cell(shown, (wide / 2, high))
    in_half = half.cells < len(_ROWS_IN_HALF) and len(family) <= _ROWS_IN_HALF[half.cells]
    large = half if in_half and half.is_roomy else page
    for across_part, down_part, split in _CELLS:
        cell = Cell(shown, (wide * across_part, high * down_part), split)
        if cell.is_roomy and cell.is_as_good_as(large):
            sheet, is_clear = _drawn(cell)
            if is_clear:
                return drawn_item(shown.called, sheet)
    return Item(shown.called, page.size, lambda: _drawn(page)[0])


def _drawn(cell: Cell) -> tuple[Sheet, bool]:
    """A cell, and whether no lettering on it lies over other, nor a line over what is said."""
    shown = cell.shown
    details, template = shown.details, shown.template
    title = shown.title(cell.scale, cell.finer if details else cell.scale)
    sheet, _ = celled(cell.size, title, shown.units)
    for row, line in enumerate(cell.said):
        at = (PAD_MM, 5 + LINE_MM * row)
        sheet.text(line, at, SMALL_MM if row else TEXT_MM)
    draft = Draft(sheet, (1.0, 1.0, cell.whole_mm - 1.0, cell.clear_mm))
    _whole(draft, cell)
    said: list[Geometry] = []
    for k, lines in enumerate(cell.texts):
        draft.within = cell.detail_room(k)
        if k < len(details):
            draw_detail(draft, template, details[k], cell.finer, shown.units)
        else:
            draw_wide_face(draft, template, cell.finer)
        left, _, right, bottom = draft.within
        for row, line in enumerate(lines):
            at = ((left + right) / 2, bottom + 2.5 + LINE_MM * row)
            words_mm = SMALL_MM if row else TEXT_MM
            sheet.text(line, at, words_mm, anchor="middle", bold=not row)
        said += sheet.boxes[len(sheet.boxes) - len(lines) :]
    if shown.table:
        width, beside = cell.size[0], cell.beside_mm
        top = cell.clear_mm + 4.0 if beside else cell.foot_mm + 3.0
        left = width - beside if beside else PAD_MM
        shown.table.put(sheet, (left, top), (beside or width) - PAD_MM)
    return sheet, sheet.is_clear and not draft.is_crossed(said)


def _whole(draft: Draft, cell: Cell) -> None:
    shown, running = cell.shown, cell.running_mm
    template, lengths, units = shown.template, shown.lengths, shown.units
    sheet, width, scale = draft.sheet, cell.whole_mm, cell.scale
    left = (width - template.length_mm / scale) / 2
    view = View(scale, (left, running + PIECE_MM + template.depth_mm / scale))
    draft.draw(view, template.outline, template.kind)
    start = template.marked_from
    for k, (length, many) in enumerate(template.lengths):
        words = f"make {many}, {format_length(length, units)} long"
        at = (sheet.size[0] - PAD_MM, 5 + LINE_MM * k)
        sheet.text(words, at, TEXT_MM, anchor="end", bold=True)
    for feature in template.features:
        if feature.birdsmouth:
            foot, mark = view.all(plumb_line(template, feature.birdsmouth))
            sheet.line([foot, mark], "chain")
    marks = [start + mark for mark in template.marks_mm]
    places = [view.at((mark, template.depth_mm)) for mark in marks]
    figures = ["0", *(lengths.told(start, mark) for mark in marks[1:])]
    draft.running(list(zip(places, figures, strict=True)), running, up=True)
    for k, (a, b) in enumerate(below(template)):
        one, other = view.at((a, 0.0)), view.at((b, 0.0))
        start_mm = UNDER_MM + NEXT_MM * k
        draft.dimension(one, other, (0.0, 1.0), lengths.told(a, b), start_mm=start_mm)
    if template.lies == "ripped":
        one, other = view.at((0.0, 0.0)), view.at((0.0, template.depth_mm))
        deep = across(0.0, template.depth_mm, units)
        draft.dimension(one, other, (-1.0, 0.0), deep, start_mm=UNDER_MM)
    for detail in shown.details:
        for feature in detail.features:
            _letter(draft, view, template, feature, detail.letter)


def _letter(draft: Draft, view: View, template: Template, feature: Feature, letter: str) -> None:
    low, high = feature.span
    if feature.place.endswith("end"):
        out = 4.0 if feature.place == "right end" else -4.0
        x, y = view.at((high if out > 0 else low, template.depth_mm / 2))
        places = [(x + out, y + 1 + dy) for dy in (0.0, -3.0, 3.0)]
    else:
        side = 3.5 if feature.place == "lower notch" else -2.0
        x, y = view.at(((low + high) / 2, 0.0 if side > 0 else template.depth_mm))
        places = [(x + dx, y + side) for dx in (0.0, -3.0, 3.0)]
    draft.note(letter, places, bold=True)

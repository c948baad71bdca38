"""The pattern of a stick: the whole piece with what is marked along it, and its details.

pattern_items(family, units) -> cells of a page, each with the patterns that it is of
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pikepole_export.derive.measures.families import Family
from pikepole_export.derive.measures.features import Feature
from pikepole_export.derive.measures.templates import Template
from pikepole_export.write.drawings.cells import (
    PAD_MM,
    Item,
    celled,
    drawn_mm,
    room_of,
    shared_stem,
)
from pikepole_export.write.drawings.cut_words import (
    ENDS,
    across,
    along,
    feature_name,
    feature_words,
    marked_edge,
    notes,
    wide_face_words,
)
from pikepole_export.write.drawings.details import (
    BEYOND,
    Detail,
    details_of,
    draw_detail,
    draw_wide_face,
    plumb_line,
    window,
)
from pikepole_export.write.drawings.drafting import TEXT_MM, Draft, View, scale_to_fit
from pikepole_export.write.drawings.lengths import Lengths, below
from pikepole_export.write.drawings.svg import Sheet, Size, width_of, wrapped
from pikepole_export.write.drawings.title import LINE_MM, SMALL_MM, Title
from pikepole_model.units import Units, format_length

# What half a page has room for: details beside each other, and rows of a table, by how many details
# there are. A third has it for one detail of a piece no longer than this.
_IN_HALF, _ROWS_IN_HALF = 2, (12, 12, 6)
SHORT_MM = 900.0
TABLE_MM, TABLE_HIGH_MM = 125.0, 90.0  # beside the details
# Under what is said at the top: the running dimensions' lettering, and from their line the piece.
LETTERING_MM, PIECE_MM = 7.5, 6.0
# Beside the lengths of a ripped piece, for what is said of it.
LENGTHS_MM = 55.0
# From the piece to the first dimension under it, from that to the next, and from there on down.
UNDER_MM, NEXT_MM, CLEAR_MM = 8.5, 6.0, 1.5
# Room beside the whole piece for its ends' letters, and its greatest depth on the sheet.
SIDE_MM = 12.0
DEEPEST_MM = 22.0
# Round a detail, for its dimensions.
ROUND_MM = (15.0, 8.5)
# However many details there are, each is at least so wide on the sheet.
LEAST_MM = 8.0


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
    first = max(family.values(), key=lambda one: one.length_mm)
    details = details_of(first)
    across, down = room_of(units)
    shown = len(details) + _is_shown_twice(first, details)
    in_third = shown <= 1 and len(family) == 1 and first.length_mm <= SHORT_MM
    in_half = shown <= _IN_HALF and len(family) <= _ROWS_IN_HALF[shown]
    size = (across / (3 if in_third else 2 if in_half else 1), down)
    return Item(shared_stem(list(family)), size, lambda: _drawn(family, first, size, units))


def _drawn(family: Family, template: Template, size: Size, units: Units) -> Sheet:
    width = size[0]
    details = details_of(template)
    lengths = Lengths(family, template, units)
    table = lengths.table()
    wide = width > room_of(units)[0] / 2 + 1.0
    beside = TABLE_MM if table and wide else 0.0
    under = 0.0 if beside or not table else table.high_mm(width - 2 * PAD_MM)
    scale = scale_to_fit(
        (template.length_mm, template.depth_mm),
        (width - 2 * SIDE_MM, DEEPEST_MM if wide else DEEPEST_MM * 0.6),
    )
    turned = _is_shown_twice(template, details)
    cell = (width - beside) / max(1, len(details) + turned)
    said = _said(template, units, width - 2 * PAD_MM, alone=not table)
    running = _running_mm(template, said, lengths)
    start = running + PIECE_MM + template.depth_mm / scale
    start += UNDER_MM + NEXT_MM * len(below(template)) + CLEAR_MM
    foot = drawn_mm(size, _title(family, template, units, 1.0, 2.0)) - under
    texts = [_words(template, detail, details, units, cell - 6) for detail in details]
    if turned:
        long, short = (lengths.told(*edge) for edge in (template.top_edge, template.lower_edge))
        rows = [wrapped(line, SMALL_MM, cell - 6) for line in wide_face_words(long, short)]
        texts.append(["The wide face", *(row for lines in rows for row in lines)])
    lettering = 4.0 + LINE_MM * max([0, *map(len, texts)])
    high = max(LEAST_MM, foot - start - lettering - 2 * ROUND_MM[1])
    beyond = BEYOND * template.depth_mm
    windows = [window(template, detail.features[0], beyond) for detail in details]
    tall = max(template.section_mm) if turned else template.depth_mm
    finer = max(
        scale_to_fit((b - a, tall), (max(LEAST_MM, cell - 2 * ROUND_MM[0]), high))
        for a, b in [*windows, (0.0, 1.0)]
    )
    title = _title(family, template, units, scale, finer if details else scale)
    sheet, _ = celled(size, title, units)
    for row, line in enumerate(said):
        at = (PAD_MM, 5 + LINE_MM * row)
        sheet.text(line, at, SMALL_MM if row else TEXT_MM)
    draft = Draft(sheet, (1.0, 1.0, width - 1.0, start))
    _whole(draft, template, details, scale, running, lengths)
    for k, lines in enumerate(texts):
        left = cell * k
        draft.within = (left + 1, start, left + cell - 1, foot - lettering)
        if k < len(details):
            draw_detail(draft, template, details[k], finer, units)
        else:
            draw_wide_face(draft, template, finer)
        for row, line in enumerate(lines):
            at = (left + cell / 2, foot - lettering + 2.5 + LINE_MM * row)
            words_mm = SMALL_MM if row else TEXT_MM
            sheet.text(line, at, words_mm, anchor="middle", bold=not row)
    if table:
        top = start + 4.0 if beside else foot + 3.0
        table.put(sheet, (width - beside if beside else PAD_MM, top), (beside or width) - PAD_MM)
    return sheet


def _is_shown_twice(template: Template, details: Sequence[Detail]) -> bool:
    """Whether it is a stick raked across its narrow edge at the head, and nothing more."""
    places = [feature.place for detail in details for feature in detail.features]
    plainly = template.seen_on == "narrow edge" and template.lies == "upright"
    return plainly and places == ["right end"] and len(template.slants) == 1


def _said(template: Template, units: Units, room: float, *, alone: bool) -> list[str]:
    """What stands at the top, line by line."""
    head = f"Marks along {marked_edge(template)}, from the {ENDS[template.lies]['left end']}"
    if template.lies == "ripped":
        head = "End section"
    room -= LENGTHS_MM if template.lengths else 0.0
    return [head, *wrapped(notes(template, units, alone=alone), SMALL_MM, room)]


def _running_mm(template: Template, said: Sequence[str], lengths: Lengths) -> float:
    """Where the line of the running dimensions comes in the cell, mm from its top."""
    rows = max(len(said), len(template.lengths))
    start = template.marked_from
    told = (lengths.told(start, start + mark) for mark in template.marks_mm[1:])
    long = max(width_of(words, TEXT_MM) for words in ("0", *told))
    return 5 + LINE_MM * (rows - 1) + LETTERING_MM + long


def _title(family: Family, template: Template, units: Units, scale: float, finer: float) -> Title:
    breadth, depth = (format_length(side, units) for side in template.section_mm)
    stock = f"{template.stock}, dressed {breadth} x {depth}, {template.material}"
    long = along(template, 0.0, template.length_mm, units)
    alone = len(family) == 1
    cut = "" if template.lies == "ripped" or not alone else f"from stock {long} or longer"
    scales = f"1:{scale:g}" + (f", details 1:{finer:g}" if finer != scale else "")
    return Title(
        name=shared_stem(list(family)),
        count=f"Make {sum(len(one.names) for one in family.values())}",
        lines=(stock, cut),
        heading="",
        names=template.names if alone else (),
        practice="",
        scales=scales,
        scale=scale,
    )


def _words(
    template: Template, detail: Detail, details: Sequence[Detail], units: Units, room: float
) -> list[str]:
    feature, many = detail.features[0], len(detail.features)
    what = feature_name(template, feature)
    mouths = [other for other in details if other.features[0].birdsmouth]
    if feature.birdsmouth and len(mouths) > 1 and detail in (mouths[0], mouths[-1]):
        what = f"{'upper' if detail is mouths[0] else 'lower'} {what}"
    head = f"{detail.letter}: {what}" + (f", {many} places" if many > 1 else "")
    lines = feature_words(template, feature, units)
    heads = wrapped(head, TEXT_MM, room, bold=True)
    return [*heads, *(row for line in lines for row in wrapped(line, SMALL_MM, room))]


def _whole(
    draft: Draft,
    template: Template,
    details: Sequence[Detail],
    scale: float,
    running: float,
    lengths: Lengths,
) -> None:
    sheet, width, units = draft.sheet, draft.sheet.size[0], lengths.units
    left = (width - template.length_mm / scale) / 2
    view = View(scale, (left, running + PIECE_MM + template.depth_mm / scale))
    draft.draw(view, template.outline, template.kind)
    start = template.marked_from
    for k, (length, many) in enumerate(template.lengths):
        words = f"make {many}, {format_length(length, units)} long"
        at = (width - PAD_MM, 5 + LINE_MM * k)
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
    for detail in details:
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

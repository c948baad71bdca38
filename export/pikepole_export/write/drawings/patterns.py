"""The drawing of a template: the whole piece with what is marked along it, and its details.

pattern(template, units) -> bytes     an SVG file
"""

from __future__ import annotations

from collections.abc import Sequence

from pikepole_export.derive.measures.features import Feature
from pikepole_export.derive.measures.templates import Template
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
from pikepole_export.write.drawings.drafting import (
    MARGIN_MM,
    PAPER,
    TEXT_MM,
    Draft,
    View,
    scale_to_fit,
)
from pikepole_export.write.drawings.svg import width_of, wrapped
from pikepole_export.write.drawings.title import (
    BLOCK_MM,
    LINE_MM,
    ONE_PATTERN,
    SMALL_MM,
    Title,
    framed,
)
from pikepole_model.units import Units, format_length

# Under what is said at the top: the running dimensions' lettering, and from their line the piece.
LETTERING_MM, PIECE_MM = 8.0, 6.0
# Beside the lengths of a ripped piece, for what is said of it.
LENGTHS_MM = 70.0
# From the piece to the first dimension under it, from that to the next, and from there on down.
UNDER_MM, NEXT_MM, CLEAR_MM = 8.5, 6.0, 1.5
# Room beside the whole piece for its ends' letters, and its greatest depth on the sheet.
SIDE_MM = 12.0
DEEPEST_MM = 22.0
# Round a detail, for its dimensions.
ROUND_MM = (15.0, 8.5)
# However many details there are, each is at least so wide on the sheet.
LEAST_MM = 8.0


def pattern(template: Template, called: str, units: Units) -> bytes:
    """A template to scale and dimensioned, on one sheet of paper, under the name it is called.

    Args:
        template: The piece.
        called: Its name on the drawing.
        units: The measures are printed in.
    """
    width, height = PAPER[units]
    details = details_of(template)
    room = (width - 2 * (MARGIN_MM + SIDE_MM), DEEPEST_MM)
    scale = scale_to_fit((template.length_mm, template.depth_mm), room)
    turned = _is_shown_twice(template, details)
    cell = (width - 2 * MARGIN_MM) / max(1, len(details) + turned)
    said = _said(template, units)
    running = _running_mm(template, said, units)
    start = running + PIECE_MM + template.depth_mm / scale
    start += UNDER_MM + NEXT_MM * len(_below(template)) + CLEAR_MM
    foot = height - MARGIN_MM - BLOCK_MM
    texts = [_words(template, detail, details, units, cell - 6) for detail in details]
    if turned:
        rows = [wrapped(line, SMALL_MM, cell - 6) for line in wide_face_words(template, units)]
        texts.append(["The wide face", *(row for lines in rows for row in lines)])
    lettering = 4.0 + LINE_MM * max([0, *map(len, texts)])
    high = foot - start - lettering - 2 * ROUND_MM[1]
    beyond = BEYOND * template.depth_mm
    windows = [window(template, detail.features[0], beyond) for detail in details]
    tall = max(template.section_mm) if turned else template.depth_mm
    finer = max(
        (scale_to_fit((b - a, tall), (max(LEAST_MM, cell - 2 * ROUND_MM[0]), high)))
        for a, b in [*windows, (0.0, 1.0)]
    )
    scales = f"1:{scale}" + (f", details 1:{finer}" if details else "")
    sheet = framed(units, _title(template, called, units, scales, scale))
    for row, line in enumerate(said):
        at = (MARGIN_MM + 3, MARGIN_MM + 5 + LINE_MM * row)
        sheet.text(line, at, SMALL_MM if row else TEXT_MM)
    draft = Draft(sheet, (MARGIN_MM + 1, MARGIN_MM + 1, width - MARGIN_MM - 1, start))
    _whole(draft, template, details, scale, running, units)
    for k, lines in enumerate(texts):
        left = MARGIN_MM + cell * k
        draft.within = (left + 1, start, left + cell - 1, foot - lettering)
        if k < len(details):
            draw_detail(draft, template, details[k], finer, units)
        else:
            draw_wide_face(draft, template, finer)
        for row, line in enumerate(lines):
            at = (left + cell / 2, foot - lettering + 2.5 + LINE_MM * row)
            size = SMALL_MM if row else TEXT_MM
            sheet.text(line, at, size, anchor="middle", bold=not row)
    return sheet.to_bytes()


def _is_shown_twice(template: Template, details: Sequence[Detail]) -> bool:
    """Whether it is a stick raked across its narrow edge at the head, and nothing more."""
    places = [feature.place for detail in details for feature in detail.features]
    plainly = template.seen_on == "narrow edge" and template.lies == "upright"
    return plainly and places == ["right end"] and len(template.slants) == 1


def _said(template: Template, units: Units) -> list[str]:
    """What stands at the top of the sheet, line by line."""
    head = f"Marks along {marked_edge(template)}, from the {ENDS[template.lies]['left end']}"
    if template.lies == "ripped":
        head = "End section"
    room = PAPER[units][0] - 2 * (MARGIN_MM + 3) - (LENGTHS_MM if template.lengths else 0.0)
    return [head, *wrapped(notes(template, units), SMALL_MM, room)]


def _running_mm(template: Template, said: Sequence[str], units: Units) -> float:
    """Where the line of the running dimensions comes on the sheet, mm from its top."""
    rows = max(len(said), len(template.lengths))
    long = max(width_of(format_length(mark, units), TEXT_MM) for mark in template.marks_mm)
    return MARGIN_MM + 5 + LINE_MM * (rows - 1) + LETTERING_MM + long


def _title(template: Template, called: str, units: Units, scales: str, scale: float) -> Title:
    breadth, depth = (format_length(side, units) for side in template.section_mm)
    lines = [f"{template.stock}, dressed {breadth} x {depth}", template.material]
    if template.lies == "ripped":
        lines.append("lengths at the upper right")
    else:
        lines.append(f"from stock {along(template, 0.0, template.length_mm, units)} or longer")
    count = f"Make {len(template.names)}"
    names, all_lines = template.names, tuple(lines)
    return Title(called, count, all_lines, "Pattern for:", names, ONE_PATTERN, scales, scale)


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
    scale: int,
    running: float,
    units: Units,
) -> None:
    sheet, width = draft.sheet, draft.sheet.size[0]
    left = (width - template.length_mm / scale) / 2
    view = View(scale, (left, running + PIECE_MM + template.depth_mm / scale))
    draft.draw(view, template.outline, template.kind)
    start = template.top_edge[0]
    for k, (length, many) in enumerate(template.lengths):
        words = f"make {many}, {format_length(length, units)} long"
        at = (width - MARGIN_MM - 3, MARGIN_MM + 5 + LINE_MM * k)
        sheet.text(words, at, TEXT_MM, anchor="end", bold=True)
    for feature in template.features:
        if feature.birdsmouth:
            foot, mark = view.all(plumb_line(template, feature.birdsmouth))
            sheet.line([foot, mark], "chain")
    marks = [start + mark for mark in template.marks_mm]
    places = [view.at((mark, template.depth_mm)) for mark in marks]
    figures = ["0", *(along(template, start, mark, units) for mark in marks[1:])]
    draft.running(list(zip(places, figures, strict=True)), running, up=True)
    for k, (a, b) in enumerate(_below(template)):
        words, one, other = along(template, a, b, units), view.at((a, 0.0)), view.at((b, 0.0))
        draft.dimension(one, other, (0.0, 1.0), words, start_mm=UNDER_MM + NEXT_MM * k)
    if template.lies == "ripped":
        one, other = view.at((0.0, 0.0)), view.at((0.0, template.depth_mm))
        deep = across(0.0, template.depth_mm, units)
        draft.dimension(one, other, (-1.0, 0.0), deep, start_mm=UNDER_MM)
    for detail in details:
        for feature in detail.features:
            _letter(draft, view, template, feature, detail.letter)


def _below(template: Template) -> list[tuple[float, float]]:
    """What is dimensioned under the piece: its lower edge, and from long point to long point."""
    over_all = (0.0, template.length_mm)
    spans = dict.fromkeys([template.lower_edge, over_all])
    return [(a, b) for a, b in spans if b > a and (a, b) != template.top_edge]


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

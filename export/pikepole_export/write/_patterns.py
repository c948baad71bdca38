"""The drawing of a template: the whole piece with what is marked along it, and its details.

pattern(template, units) -> bytes     an SVG file
"""

from __future__ import annotations

import math
import string
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString
from shapely import Polygon as Area

from pikepole_export.derive.templates import Birdsmouth, Cut, Feature, Lies, Place, Template
from pikepole_export.write._drafting import (
    LEVEL_MM,
    MARGIN_MM,
    PAPER,
    TEXT_MM,
    Draft,
    View,
    scale_to_fit,
)
from pikepole_export.write._svg import Point, wrapped
from pikepole_export.write._title import (
    BLOCK_MM,
    LINE_MM,
    ONE_PATTERN,
    SMALL_MM,
    Title,
    cut_words,
    framed,
)
from pikepole_model.units import Units, format_length

# From the top of the sheet, mm: the running dimensions' line, and under it the piece.
RUNNING_MM = 41.0
PIECE_MM = 47.0
# From the piece to the first dimension under it, from that to the next, and from there on down.
UNDER_MM, NEXT_MM, CLEAR_MM = 8.5, 6.0, 1.5
# Room beside the whole piece for its ends' letters, and its greatest depth on the sheet.
SIDE_MM = 12.0
DEEPEST_MM = 22.0
# What a detail shows beyond what is cut, in parts of the piece's depth.
BEYOND = 0.2
# Round a detail, for its dimensions.
ROUND_MM = (15.0, 8.5)
# However many details there are, each is at least so wide on the sheet.
LEAST_MM = 8.0

ENDS: dict[Lies, dict[Place, str]] = {
    "sloping": {"left end": "upper end", "right end": "lower end"},
    "upright": {"left end": "foot", "right end": "head"},
    "level": {"left end": "left end", "right end": "right end"},
    "ripped": {"left end": "left edge", "right end": "right edge"},
}


@dataclass(frozen=True, slots=True)
class Detail:
    """One or more features that are cut alike, shown once.

    Attributes:
        letter: What it is called on the sheet.
        features: The first one is drawn.
    """

    letter: str
    features: tuple[Feature, ...]


def pattern(template: Template, units: Units) -> bytes:
    """A template to scale and dimensioned, on one sheet of paper."""
    width, height = PAPER[units]
    details = details_of(template)
    room = (width - 2 * (MARGIN_MM + SIDE_MM), DEEPEST_MM)
    scale = scale_to_fit((template.length_mm, template.depth_mm), room)
    cell = (width - 2 * MARGIN_MM) / max(1, len(details))
    below = _below(template)
    start = PIECE_MM + template.depth_mm / scale + UNDER_MM + NEXT_MM * len(below) + CLEAR_MM
    foot = height - MARGIN_MM - BLOCK_MM
    texts = [_words(template, detail, units, cell - 6) for detail in details]
    lettering = 4.0 + LINE_MM * max([0, *map(len, texts)])
    high = foot - start - lettering - 2 * ROUND_MM[1]
    beyond = BEYOND * template.depth_mm
    windows = [window(template, detail.features[0], beyond) for detail in details]
    finer = max(
        (scale_to_fit((b - a, template.depth_mm), (max(LEAST_MM, cell - 2 * ROUND_MM[0]), high)))
        for a, b in [*windows, (0.0, 1.0)]
    )
    scales = f"1:{scale}" + (f", details 1:{finer}" if details else "")
    sheet = framed(units, _title(template, units, scales, scale))
    draft = Draft(sheet, (MARGIN_MM + 1, MARGIN_MM + 1, width - MARGIN_MM - 1, start))
    _whole(draft, template, details, scale, units)
    for k, (detail, lines) in enumerate(zip(details, texts, strict=True)):
        left = MARGIN_MM + cell * k
        draft.within = (left + 1, start, left + cell - 1, foot - lettering)
        _detail(draft, template, detail, finer, units)
        for row, line in enumerate(lines):
            at = (left + cell / 2, foot - lettering + 2.5 + LINE_MM * row)
            size = SMALL_MM if row else TEXT_MM
            sheet.text(line, at, size, anchor="middle", bold=not row)
    return sheet.to_bytes()


def details_of(template: Template) -> tuple[Detail, ...]:
    """What is more than a square cut across an end, each once, from left to right."""
    alike: dict[object, list[Feature]] = {}
    for feature in template.features:
        if feature.is_plain:
            continue
        cuts = tuple(
            (cut.name, cut.off, round(cut.angle_deg, 3), round(cut.length_mm, 2))
            for cut in feature.cuts
        )
        alike.setdefault((feature.place, cuts), []).append(feature)
    return tuple(
        Detail(letter, tuple(features))
        for letter, features in zip(string.ascii_uppercase, alike.values(), strict=False)
    )


def window(template: Template, feature: Feature, beyond: float) -> tuple[float, float]:
    """From and to along the piece of a feature, its plumb line, and so much beyond it, mm."""
    low, high = feature.span
    if feature.birdsmouth:
        mark = template.top_edge[0] + feature.birdsmouth.mark_mm
        low, high = min(low, mark), max(high, mark)
    return max(0.0, low - beyond), min(template.length_mm, high + beyond)


def lines_in(template: Template, low: float, high: float) -> list[list[Point]]:
    """The edges of a piece between two places along it, mm."""
    ring = LineString([*template.outline, template.outline[0]])
    inside = ring.intersection(shapely.box(low, -1.0, high, template.depth_mm + 1.0))
    merged = shapely.line_merge(inside)
    return [list(part.coords) for part in shapely.get_parts(merged) if part.length > 0]


def plumb_line(template: Template, mouth: Birdsmouth) -> tuple[Point, Point]:
    """From the corner of a birdsmouth to the top edge, mm."""
    top = template.top_edge[0] + mouth.mark_mm
    return mouth.corner, (top, template.depth_mm)


def _title(template: Template, units: Units, scales: str, scale: float) -> Title:
    breadth, depth = (format_length(side, units) for side in template.section_mm)
    lines = [f"{template.stock}, dressed {breadth} x {depth}", template.material]
    if template.lies == "ripped":
        lines.append("end section, ripped; lengths at the upper right")
    else:
        lines.append(f"from stock {format_length(template.length_mm, units, 'up')} or longer")
    count = f"cut {len(template.names)}"
    names, name = template.names, template.kind
    return Title(name, count, tuple(lines), "Pattern for", names, ONE_PATTERN, scales, scale)


def _words(template: Template, detail: Detail, units: Units, room: float) -> list[str]:
    feature, many = detail.features[0], len(detail.features)
    what = ENDS[template.lies].get(feature.place, "notch")
    if feature.birdsmouth:
        what = "birdsmouth"
    head = f"{detail.letter}: {what}" + (f", {many} places" if many > 1 else "")
    called = {"level cut": "seat: ", "plumb cut": "heel: "} if feature.birdsmouth else {}
    lines = [called.get(cut.name, "") + cut_words(cut, units) for cut in feature.cuts]
    if feature.birdsmouth:
        mouth = feature.birdsmouth
        depth, over = (format_length(mm, units) for mm in (mouth.depth_mm, mouth.above_mm))
        lines += [f"plumb over the heel {over}", f"depth square to the edge {depth}"]
    return [head, *(row for line in lines for row in wrapped(line, SMALL_MM, room))]


def _whole(
    draft: Draft, template: Template, details: Sequence[Detail], scale: int, units: Units
) -> None:
    sheet, width = draft.sheet, draft.sheet.size[0]
    left = (width - template.length_mm / scale) / 2
    view = View(scale, (left, PIECE_MM + template.depth_mm / scale))
    draft.draw(view, template.outline, template.kind)
    start = template.top_edge[0]
    ends = ENDS[template.lies]
    head = f"Marks along the top edge, from the {ends['left end']}"
    if template.lies == "ripped":
        head = "End section"
    sheet.text(head, (MARGIN_MM + 3, MARGIN_MM + 5), TEXT_MM)
    for k, (length, many) in enumerate(template.lengths):
        words = f"{many} of {format_length(length, units)}"
        at = (width - MARGIN_MM - 3, MARGIN_MM + 5 + LINE_MM * k)
        sheet.text(words, at, TEXT_MM, anchor="end", bold=True)
    for feature in template.features:
        if feature.birdsmouth:
            foot, mark = view.all(plumb_line(template, feature.birdsmouth))
            sheet.line([foot, mark], "chain")
    draft.running(
        [
            (
                view.at((start + mark, template.depth_mm)),
                format_length(mark, units) if mark else "0",
            )
            for mark in template.marks_mm
        ],
        RUNNING_MM,
        up=True,
    )
    for k, (a, b) in enumerate(_below(template)):
        words, one, other = format_length(b - a, units), view.at((a, 0.0)), view.at((b, 0.0))
        draft.dimension(one, other, (0.0, 1.0), words, start_mm=UNDER_MM + NEXT_MM * k)
    for detail in details:
        for feature in detail.features:
            _letter(draft, view, template, feature, detail.letter)
    depth = format_length(template.depth_mm, units)
    plain = [feature for feature in template.features if feature.is_plain]
    note = f"{depth} from edge to edge."
    if plain:
        which = " and ".join(ends[feature.place] for feature in plain)
        note += f" Square: {which}."
    sheet.text(note, (MARGIN_MM + 3, MARGIN_MM + 5 + LINE_MM), SMALL_MM)


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


def _detail(draft: Draft, template: Template, detail: Detail, scale: int, units: Units) -> None:
    sheet, feature = draft.sheet, detail.features[0]
    low, high = window(template, feature, BEYOND * template.depth_mm)
    left, top, right, bottom = draft.within
    origin = (
        (left + right) / 2 - (low + high) / 2 / scale,
        (top + bottom) / 2 + template.depth_mm / 2 / scale,
    )
    view = View(scale, origin)
    shown = Area(template.outline).intersection(
        shapely.box(low, -1.0, high, template.depth_mm + 1.0)
    )
    for part in shapely.get_parts(shown):
        sheet.area(view.all(part.exterior.coords[:-1]), "wood")
    corners: list[Point] = []
    for line in lines_in(template, low, high):
        corners += line
        points = view.all(line)
        sheet.line(points, "wide")
        draft.keep_off(points)
    for at in (low, high):
        if 0.0 < at < template.length_mm:
            draft.break_line(view.at((at, template.depth_mm)), view.at((at, 0.0)))
    if feature.birdsmouth:
        _measure_birdsmouth(draft, view, template, feature, units)
    else:
        for cut in feature.cuts:
            _measure(draft, view, corners, cut, units)


def _measure(draft: Draft, view: View, shown: Sequence[Point], cut: Cut, units: Units) -> None:
    """How long a cut is that goes across, and how far a slanting one runs along the piece."""
    (a, b), (c, d) = cut.start, cut.end
    # Counter-clockwise round the piece, what is cut away lies on the right.
    out = ((d - b) / cut.length_mm, (a - c) / cut.length_mm)

    def clear(way: Point, at: Point) -> float:
        """From the cut to outside the piece, on the sheet, mm."""
        far = max(way[0] * u + way[1] * v for u, v in shown)
        return (far - way[0] * at[0] - way[1] * at[1]) / view.scale

    slants = cut.angle_deg > 0.05
    if not slants or cut.off == "square":
        words, start = format_length(cut.length_mm, units), LEVEL_MM + clear(out, cut.start)
        one, other = view.at(cut.start), view.at(cut.end)
        draft.dimension(one, other, (out[0], -out[1]), words, start_mm=start)
    if slants:
        up = 1.0 if out[1] > 0 else -1.0
        v = max(b, d) if up > 0 else min(b, d)
        words, start = format_length(abs(c - a), units), LEVEL_MM + clear((0.0, up), (a, v))
        draft.dimension(view.at((a, v)), view.at((c, v)), (0.0, -up), words, start_mm=start)


def _measure_birdsmouth(
    draft: Draft, view: View, template: Template, feature: Feature, units: Units
) -> None:
    mouth = feature.birdsmouth
    assert mouth
    foot, mark = plumb_line(template, mouth)
    over = (mark[0] + (mark[0] - foot[0]) * 0.12, mark[1] + (mark[1] - foot[1]) * 0.12)
    draft.sheet.line(view.all([foot, over]), "chain")
    for cut in feature.cuts:
        one, other = view.at(cut.start), view.at(cut.end)
        words = format_length(cut.length_mm, units)
        if cut.name == "level cut":
            draft.dimension(one, other, (0.0, 1.0), words, start_mm=6.0)
        else:
            # Beyond the seat's far end, where nothing else is.
            seat = next(c for c in feature.cuts if c.name == "level cut")
            far = seat.start if seat.end == mouth.corner else seat.end
            away = (far[0] - mouth.corner[0], -(far[1] - mouth.corner[1]))
            clear = math.dist(seat.start, seat.end) / view.scale + 5.0
            draft.dimension(one, other, away, words, start_mm=clear)
    away = (1.0 if feature.cuts[0].name == "level cut" else -1.0, 0.0)
    over_seat = format_length(mouth.above_mm, units)
    draft.dimension(view.at(foot), view.at(mark), away, over_seat, start_mm=6.0)

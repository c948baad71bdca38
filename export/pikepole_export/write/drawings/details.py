"""The details of a pattern: each end, notch and birdsmouth larger, with its measures.

details_of(template) -> tuple[Detail, ...]
draw_detail(draft, template, detail, scale, units)
"""

from __future__ import annotations

import string
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString
from shapely import Polygon as Area

from pikepole_export.derive.measures.features import Birdsmouth, Cut, Feature
from pikepole_export.derive.measures.templates import Template
from pikepole_export.write.drawings.cut_words import SQUARE_DEG, across, along
from pikepole_export.write.drawings.drafting import LEVEL_MM, Draft, View
from pikepole_export.write.drawings.svg import Point
from pikepole_model.units import Units, format_length

# What a detail shows beyond what is cut, in parts of the piece's depth.
BEYOND = 0.2
# From a birdsmouth to its dimensions.
MOUTH_MM = 6.0
# The heel's is the first: it is short.
HEEL_MM = 4.0


@dataclass(frozen=True, slots=True)
class Detail:
    """One or more features that are cut alike, shown once.

    Attributes:
        letter: What it is called on the sheet.
        features: The first one is drawn.
    """

    letter: str
    features: tuple[Feature, ...]


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
    """From and to along the piece of a feature, its plumb line, and so much beyond it, mm.

    Args:
        template: The piece.
        feature: What is shown.
        beyond: How much more, mm.
    """
    low, high = feature.span
    if feature.birdsmouth:
        mark = template.top_edge[0] + feature.birdsmouth.mark_mm
        low, high = min(low, mark), max(high, mark)
    return max(0.0, low - beyond), min(template.length_mm, high + beyond)


def lines_in(template: Template, low: float, high: float) -> list[list[Point]]:
    """The edges of a piece between two places along it, mm.

    Args:
        template: The piece.
        low: From here along it, mm.
        high: To here.
    """
    ring = LineString([*template.outline, template.outline[0]])
    inside = ring.intersection(shapely.box(low, -1.0, high, template.depth_mm + 1.0))
    merged = shapely.line_merge(inside)
    return [list(part.coords) for part in shapely.get_parts(merged) if part.length > 0]


def plumb_line(template: Template, mouth: Birdsmouth) -> tuple[Point, Point]:
    """From the corner of a birdsmouth to the top edge, mm."""
    top = template.top_edge[0] + mouth.mark_mm
    return mouth.corner, (top, template.depth_mm)


def draw_detail(draft: Draft, template: Template, detail: Detail, scale: int, units: Units) -> None:
    """Draw one detail larger, with its measures.

    Args:
        draft: Where it goes.
        template: The piece.
        detail: What of it is shown.
        scale: How many mm of the piece to 1 mm on the sheet.
        units: Of the measures.
    """
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
        _measure_birdsmouth(draft, view, template, feature.birdsmouth, feature.cuts, units)
    else:
        for cut in feature.cuts:
            _measure(draft, view, template, corners, cut, units)


def draw_wide_face(draft: Draft, template: Template, scale: int) -> None:
    """The head of a raked stick from its wide face: where that ends, and dashed where the other.

    Args:
        draft: Where it goes.
        template: The stick.
        scale: How many mm of it to 1 mm on the sheet.
    """
    (_, high), (_, low), wide = template.top_edge, template.lower_edge, max(template.section_mm)
    start = low - BEYOND * wide
    left, top, right, bottom = draft.within
    origin = (
        (left + right) / 2 - (start + high) / 2 / scale,
        (top + bottom) / 2 + wide / 2 / scale,
    )
    view = View(scale, origin)
    corners = view.all([(start, 0.0), (high, 0.0), (high, wide), (start, wide)])
    draft.sheet.area(corners, "wood")
    draft.sheet.line(corners, "wide")
    draft.sheet.line(view.all([(low, 0.0), (low, wide)]), "dashed")
    draft.break_line(corners[3], corners[0])


def _measure(
    draft: Draft,
    view: View,
    template: Template,
    shown: Sequence[Point],
    cut: Cut,
    units: Units,
) -> None:
    """How long a cut is that goes across, and how far a slanting one runs along the piece."""
    (a, b), (c, d) = cut.start, cut.end
    # Counter-clockwise round the piece, what is cut away lies on the right.
    out = ((d - b) / cut.length_mm, (a - c) / cut.length_mm)

    def clear(way: Point, at: Point) -> float:
        """From the cut to outside the piece, on the sheet, mm."""
        far = max(way[0] * u + way[1] * v for u, v in shown)
        return (far - way[0] * at[0] - way[1] * at[1]) / view.scale

    slants = cut.angle_deg >= SQUARE_DEG
    if not slants or cut.off == "square":
        upright, level = across(b, d, units), along(template, min(a, c), max(a, c), units)
        words = format_length(cut.length_mm, units) if slants else level if b == d else upright
        # A slant that reads no longer than it is high would only puzzle.
        if not slants or words != upright:
            start = LEVEL_MM + clear(out, cut.start)
            one, other = view.at(cut.start), view.at(cut.end)
            draft.dimension(one, other, (out[0], -out[1]), words, start_mm=start)
    if slants:
        up = 1.0 if out[1] > 0 else -1.0
        v = max(b, d) if up > 0 else min(b, d)
        words, start = (
            along(template, min(a, c), max(a, c), units),
            LEVEL_MM + clear((0.0, up), (a, v)),
        )
        draft.dimension(view.at((a, v)), view.at((c, v)), (0.0, -up), words, start_mm=start)


def _measure_birdsmouth(
    draft: Draft,
    view: View,
    template: Template,
    mouth: Birdsmouth,
    cuts: Sequence[Cut],
    units: Units,
) -> None:
    corner, mark = plumb_line(template, mouth)
    beyond = (mark[0] + (mark[0] - corner[0]) * 0.12, mark[1] + (mark[1] - corner[1]) * 0.12)
    chain = view.all([corner, beyond])
    draft.sheet.line(chain, "chain")
    seat, heel = sorted(cuts, key=lambda cut: cut.name != "level cut")
    # The heel and what is left over it on the side away from the seat.
    away = (1.0 if cuts[0] is seat else -1.0, 0.0)
    one, other = sorted((view.at(heel.start), view.at(heel.end)), key=lambda at: at[1])
    heel_words = format_length(heel.length_mm, units)
    draft.dimension(one, other, away, heel_words, start_mm=HEEL_MM)
    over = format_length(mouth.above_mm, units)
    draft.dimension(view.at(corner), view.at(mark), away, over, start_mm=MOUTH_MM)
    one, other = view.at(seat.start), view.at(seat.end)
    seat_words = format_length(seat.length_mm, units)
    draft.dimension(one, other, (0.0, 1.0), seat_words, start_mm=MOUTH_MM)
    x, y = chain[-1]
    draft.note("heel line: the mark", [(x + dx, y - 1.2) for dx in (0.0, -8.0, 8.0, -16.0, 16.0)])

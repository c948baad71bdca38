"""The floor plan: walls cut above the sills, openings with their widths, the roof over it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from pikepole_export.derive.measures.openings import (
    RoughOpening,
    floor_top_mm,
    openings_of,
    swings_of,
)
from pikepole_export.derive.views.cut import faces_behind
from pikepole_export.derive.views.side import ABOVE, SIDES
from pikepole_export.derive.views.visible import edges_seen
from pikepole_export.write.drawings.drafting import MARGIN_MM, View
from pikepole_export.write.drawings.svg import wrapped
from pikepole_export.write.plans.dimensions import TEXT_MM, At, chain
from pikepole_export.write.plans.drawn import draw_cuts, draw_lines
from pikepole_export.write.plans.elevations import (
    LEFT_OUT,
    TAG_MM,
    box_of,
    draw_ring,
    draw_tag,
    opening_size,
)
from pikepole_export.write.plans.sections import CUT_FROM, place_of_cut
from pikepole_export.write.plans.sheet import Box, Layer, PlanSheet, new_sheet
from pikepole_export.write.plans.site_plan import NORTH_MM, draw_north, roof_over
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import FLOORING, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.types import Wall
from pikepole_model.units import format_length

MARGINS = (26.0, 20.0, 68.0, 28.0)
# Height of the cut over the floor where no sill says otherwise: common practice, no source.
CUT_MM = 1219.2
OVER_SILL_MM = 150.0
CHAIN_MM = 10.0
LINE_MM = 4.2
SCHEDULE_MM = 62.0
CLEAR_MM = 2.5  # of the marks of sections, beyond the roof
MARK_MM = 3.0  # half of a stroke that says where a section is cut


def floor_plan(building: Building) -> PlanSheet:
    """The plan, cut where it shows most openings."""
    parts, units = building.parts, building.scene.units
    openings = openings_of(building)
    height = cut_height_mm(building, openings)
    roof = roof_over(parts)
    low = [part for part in parts if part.bounds_mm[0][2] < height and _is_shown(part)]
    left, front, right, back = box_of(low, ABOVE)
    if not roof.is_empty:
        x0, y0, x1, y1 = roof.bounds
        left, front, right, back = min(left, x0), min(front, y0), max(right, x1), max(back, y1)
    box = (left, front, right, back)
    notes = [
        f"cut {format_length(height - floor_top_mm(building), units)} over the floor",
        "openings are rough; walls are measured over the framing",
        "dashed: edge of the roof",
        f"floor {_area_words(building)}",
    ]
    beside = CHAIN_MM if any(one.wall == "right" for one in openings) else 0.0
    margins = (*MARGINS[:2], MARGINS[2] + beside, MARGINS[3])
    sheet, view = new_sheet(building, "floor-plan", "Floor plan", notes, box, margins)
    faces, cuts = faces_behind(low, ABOVE, height)
    drawn = [k for k, part in enumerate(low) if part.kind not in FLOORING]
    seen = edges_seen(faces)[np.isin(faces.owners, drawn)]
    draw_lines(sheet, view, seen, Layer.VISIBLE, "narrow")
    draw_cuts(sheet, view, cuts)
    draw_lines(sheet, view, shapely.boundary(roof), Layer.HIDDEN, "dashed")
    for one in openings:
        _draw_opening(sheet, view, building, one)
    _cut_marks(sheet, view, building, box)
    _dimension(sheet, view, building, openings, box)
    _schedule(sheet, openings, building.scene.site.north)
    return sheet


def cut_height_mm(building: Building, openings: Sequence[RoughOpening]) -> float:
    """How high the plan is cut over the ground: through as many openings as can be.

    Args:
        building: What is cut.
        openings: Its openings.
    """
    usual = floor_top_mm(building) + CUT_MM
    tried = [usual, *(one.z[0] + OVER_SILL_MM for one in openings)]

    def crossed(height: float) -> tuple[int, float]:
        return (sum(one.z[0] < height < one.z[1] for one in openings), -abs(height - usual))

    return max(tried, key=crossed)


def _is_shown(part: Part) -> bool:
    """Whether a plan shows a piece from above: nothing in the ground, no frame under a floor."""
    return part.kind.family not in LEFT_OUT | {Family.GRAVEL, Family.FLOOR_FRAME, Family.WALL_METAL}


def _area_words(building: Building) -> str:
    store, units = building.scene.building, building.scene.units
    return f"{format_length(store.length, units)} by {format_length(store.depth, units)}"


def _draw_opening(sheet: PlanSheet, view: View, building: Building, opening: RoughOpening) -> None:
    """Its mark beside the wall inside, and how its leaves turn."""
    middle = sum(opening.along) / 2
    inward = -(opening.side.towards[0] + opening.side.towards[1])
    off = opening.face_mm + inward * (6.5 * view.scale)
    level = opening.wall in ("front", "back")
    draw_tag(sheet, view, opening.mark, (middle, off) if level else (off, middle))
    for swing in swings_of(building, opening):
        hinge, shut, opened = (view.at(one) for one in (swing.hinge, swing.shut, swing.opened))
        radius = math.dist(hinge, shut)
        start, end = (math.atan2(p[1] - hinge[1], p[0] - hinge[0]) for p in (shut, opened))
        turn = (end - start + math.pi) % (2 * math.pi) - math.pi
        arc = [
            (hinge[0] + radius * math.cos(a), hinge[1] + radius * math.sin(a))
            for a in (start + turn * k / 18 for k in range(19))
        ]
        with sheet.on(Layer.OPENINGS):
            sheet.line([hinge, opened], "cut")
            sheet.line(arc)


def _dimension(
    sheet: PlanSheet,
    view: View,
    building: Building,
    openings: Sequence[RoughOpening],
    box: Box,
) -> None:
    """Chains round the plan: openings, walls and posts, and the roof over all."""
    store, off = building.scene.building, CLEAR_MM * view.scale
    clear = (box[0] - off, box[1] - off, box[2] + off, box[3] + off)
    posts = [part.centre_mm for part in building.parts if part.kind is Kind.POST]
    sides: tuple[tuple[Wall, At, int, float], ...] = (
        ("front", "below", 0, store.length),
        ("back", "above", 0, store.length),
        ("left", "left", 1, store.depth),
        ("right", "right", 1, store.depth),
    )
    for wall, at, axis, long in sides:
        edges = [mark for one in openings if one.wall == wall for mark in one.along]
        if edges:
            chain(sheet, view, clear, [0.0, *edges, long], at)
        if at in ("below", "left"):
            row = 1 if edges else 0
            outside = [place[axis] for place in posts if not -1.0 < place[axis] < long + 1.0]
            chain(sheet, view, clear, [0.0, long, *outside], at, row)
            chain(sheet, view, clear, [box[axis], box[axis + 2]], at, row + 1)


def _cut_marks(sheet: PlanSheet, view: View, building: Building, box: Box) -> None:
    """Where the sections are cut: a stroke at either end of the plane, with its number."""
    (left, back), (right, front) = view.at((box[0], box[3])), view.at((box[2], box[1]))
    for name, wall in CUT_FROM.items():
        side = SIDES[wall]
        at = place_of_cut(building, side) * (side.towards[0] + side.towards[1])
        x, y = view.at((at, at))
        for end, way in ((back, 1), (front, -1)) if side.towards[0] else ((left, 1), (right, -1)):
            reach = (end - way * MARK_MM / 2, end + way * MARK_MM)
            ends = [(x, one) if side.towards[0] else (one, y) for one in reach]
            ring = end - way * (MARK_MM / 2 + TAG_MM)
            with sheet.on(Layer.CUT):
                sheet.line(ends, "wide")
            draw_ring(sheet, name[-1], (x, ring) if side.towards[0] else (ring, y))


def _schedule(sheet: PlanSheet, openings: Sequence[RoughOpening], north_deg: float | None) -> None:
    """North, and the openings as a table."""
    x, y, units = sheet.size[0] - MARGIN_MM - SCHEDULE_MM, 20.0, sheet.units
    draw_north(sheet, (x + SCHEDULE_MM - 12.0, y + NORTH_MM), north_deg)
    y += 2 * NORTH_MM + 8.0
    with sheet.on(Layer.NOTES):
        if openings:
            sheet.text("Openings, rough", (x, y), TEXT_MM, bold=True)
        for one in openings:
            head, sill = (format_length(z - one.floor_mm, units) for z in one.z[::-1])
            over = f"sill {sill}, head {head}" if one.kind == "window" else f"head {head}"
            y += LINE_MM * 0.3
            for words in (
                *wrapped(f"{one.mark} {one.name}", TEXT_MM, SCHEDULE_MM - 2.0)[:1],
                f"{opening_size(one, units)}; {over}",
            ):
                y += LINE_MM * 0.85
                sheet.text(words, (x, y), TEXT_MM)
        if openings:
            y += LINE_MM * 1.3
            sheet.text("sills and heads over the floor", (x, y), TEXT_MM)

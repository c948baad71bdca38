"""The building from its four sides: what is seen, heights over the ground, slopes, openings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from pikepole_export.derive.measures.openings import RoughOpening, floor_top_mm, openings_of
from pikepole_export.derive.measures.projection import projection
from pikepole_export.derive.views.faces import faces_towards
from pikepole_export.derive.views.side import SIDES, Side
from pikepole_export.derive.views.visible import edges_seen
from pikepole_export.write.drawings.drafting import View
from pikepole_export.write.drawings.svg import Point, width_of
from pikepole_export.write.plans.dimensions import SAME_MM, TEXT_MM, chain, is_free, levels
from pikepole_export.write.plans.drawn import draw_lines
from pikepole_export.write.plans.sheet import Box, Layer, PlanSheet, new_sheet
from pikepole_export.write.plans.words import height_words, roof_words, slope_words, slopes_of
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.types import Wall
from pikepole_model.units import Units, format_length

MARGINS = (18.0, 12.0, 52.0, 22.0)
GROUND_MM = 400.0  # that the ground is drawn on beside the building
GAP_MM, FLAT_MM = 10.0, 0.1
TAG_MM = 2.3
WEDGE_MM = 9.0  # of the triangle that says a slope
FAR_MM = 1e6
# Hidden, or too small to be seen at these scales.
LEFT_OUT = {
    Family.BOLTS,
    Family.FLASHING_CORNERS,
    Family.MEMBRANES,
    Family.TIES,
    Family.UNDERLAYMENT,
    Family.WRAP,
}


def elevations(building: Building) -> Iterator[PlanSheet]:
    """A sheet for each side, the front first."""
    for wall in SIDES:
        yield _elevation(building, wall)


def _elevation(building: Building, wall: Wall) -> PlanSheet:
    parts, side, units = building.parts, SIDES[wall], building.scene.units
    shown = [p for p in parts if p.kind.family not in LEFT_OUT | {Family.GRAVEL}]
    box = box_of(shown, side)
    openings = [one for one in openings_of(building) if one.wall == wall]
    notes = [
        *(f"{one.mark} {one.name} {opening_size(one, units)}" for one in openings),
        *roof_words(parts, units),
        "dashed: below ground",
        "heights over finished ground; openings are rough",
    ]
    sheet, view = new_sheet(
        building, f"elevation-{wall}", f"{wall.capitalize()} elevation", notes, box, MARGINS
    )
    faces = faces_towards(shown, side)
    above = shapely.box(-FAR_MM, 0.0, FAR_MM, FAR_MM)
    seen = edges_seen(faces)
    draw_lines(sheet, view, shapely.intersection(seen, above), Layer.VISIBLE, "narrow")
    whole = shapely.union_all(faces.outlines[~shapely.is_empty(seen)])
    # Closed where only a gap between two boards is left, through which nothing with an edge shows.
    # Without corners too flat to have a mitre.
    closed = shapely.buffer(shapely.simplify(whole, FLAT_MM), GAP_MM, join_style="mitre")
    whole = shapely.buffer(closed, -GAP_MM, join_style="mitre")
    profile = shapely.intersection(shapely.boundary(whole), above)
    draw_lines(sheet, view, profile, Layer.VISIBLE, "cut")
    draw_ground(sheet, view, box)
    draw_buried(sheet, view, parts, side)
    for one in openings:
        draw_tag(sheet, view, one.mark, (sum(one.seen) / 2, sum(one.z) / 2))
    ends = [float(end) for end in _walls_seen(building, wall)]
    edges = [at for one in openings for at in one.seen]
    if edges:
        chain(sheet, view, box, [*ends, *edges], "below")
    chain(sheet, view, box, [box[0], *ends, box[2]], "below", 1 if edges else 0)
    heights = heights_of(building, wall)
    chain(sheet, view, box, [0.0, *(z for z, _ in heights)], "left")
    words = [(z, height_words(name, z, units)) for z, name in heights]
    levels(sheet, view, box[2], [(0.0, "finished ground"), *words])
    draw_slopes(sheet, view, parts, side)
    return sheet


def opening_size(opening: RoughOpening, units: Units) -> str:
    """Width by height of a rough opening."""
    wide, high = (format_length(mm, units) for mm in (opening.width_mm, opening.height_mm))
    return f"{wide} x {high}"


def box_of(parts: Sequence[Part], side: Side) -> Box:
    """What parts take of a view, mm."""
    points = side.seen(np.concatenate([part.vertices_mm for part in parts]))
    (left, low), (right, high) = points[:, :2].min(axis=0), points[:, :2].max(axis=0)
    return float(left), float(low), float(right), float(high)


def _walls_seen(building: Building, wall: Wall) -> tuple[float, float]:
    """Both corners of the framing in the view of a side, mm."""
    store, (x, y, _) = building.scene.building, SIDES[wall].right
    low, high = sorted((0.0, x * store.length + y * store.depth))
    return low, high


def heights_of(building: Building, wall: Wall) -> list[tuple[float, str]]:
    """Heights over the ground that a side is measured by: floor, plates, the top; rising."""
    found = {floor_top_mm(building): "top of floor"}
    eaves = (wall,) if wall in ("front", "back") else ("front", "back")
    for name in eaves:
        own = [part for part in building.parts if part.group == f"{name} wall"]
        tops = [part.bounds_mm[1][2] for part in own if part.kind is Kind.TOP_PLATE]
        if tops:
            same = next((one for one in found if abs(one - max(tops)) < SAME_MM), max(tops))
            found[same] = "top of plates" if same in found else f"top of {name} plates"
    ours = (part for part in building.parts if part.kind is not Kind.EXISTING)
    found.setdefault(max(part.bounds_mm[1][2] for part in ours), "highest point")
    return sorted((height, name) for height, name in found.items() if height > SAME_MM)


def draw_ground(sheet: PlanSheet, view: View, box: Box) -> None:
    """The line of finished ground, on past what stands on it."""
    with sheet.on(Layer.GROUND):
        ends = [(box[0] - GROUND_MM, 0.0), (box[2] + GROUND_MM, 0.0)]
        sheet.line(view.all(ends), "wide")


def draw_buried(sheet: PlanSheet, view: View, parts: Sequence[Part], side: Side) -> None:
    """What is below the ground, dashed: gravel, and then what it is packed round."""
    below = shapely.box(-FAR_MM, -FAR_MM, FAR_MM, 0.0)
    level = shapely.box(-FAR_MM, -0.5, FAR_MM, 0.5)
    for gravel in (True, False):
        areas = [
            projection(part, side.right, side.up)
            for part in parts
            if part.bounds_mm[0][2] < -1.0 and (part.kind.family is Family.GRAVEL) == gravel
        ]
        outline = shapely.boundary(shapely.intersection(shapely.union_all(areas), below))
        draw_lines(sheet, view, shapely.difference(outline, level), Layer.HIDDEN, "dashed")


def draw_tag(sheet: PlanSheet, view: View, mark: str, at: tuple[float, float]) -> None:
    """The mark of an opening in a ring, at a place of the model."""
    with sheet.on(Layer.OPENINGS):
        draw_ring(sheet, mark, view.at(at))


def draw_ring(sheet: PlanSheet, mark: str, at: Point) -> None:
    """A letter or a number in a ring, at a place on the sheet."""
    sheet.circle(at, max(TAG_MM, width_of(mark, TEXT_MM) / 2 + 0.8))
    sheet.text(mark, (at[0], at[1] + 0.85), TEXT_MM, anchor="middle", bold=True)


def draw_slopes(sheet: PlanSheet, view: View, parts: Sequence[Part], side: Side) -> None:
    """A triangle with its words over each slope, where slopes are seen edge on."""
    if side.towards[1]:
        return
    for rafter, angle in slopes_of(parts):
        points = view.all((x, y) for x, y, _ in side.seen(rafter.vertices_mm).tolist())
        left, right = min(points), max(points)
        middle = (left[0] + right[0]) / 2
        over = min(left[1], right[1]) / 2 + max(left[1], right[1]) / 2 - 5.0
        words, rise = slope_words(angle, sheet.units), WEDGE_MM * math.tan(math.radians(angle))
        foot = next(
            (
                y
                for y in (over - 2.0 * k for k in range(8))
                if is_free(sheet, words, (middle, y - 1))
            ),
            over,
        )
        start, end = (middle - WEDGE_MM / 2, foot), (middle + WEDGE_MM / 2, foot)
        high = start if left[1] < right[1] else end
        tip = (high[0], foot - rise)
        with sheet.on(Layer.NOTES):
            sheet.line([start, end, tip, start] if high is end else [end, start, tip, end])
            at = (middle, min(foot - rise - 0.8, foot - 1.0))
            sheet.text(words, at, TEXT_MM, anchor="middle")

"""The building cut across and along: cut faces hatched, members named with size and spacing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from pikepole_export.derive.measures.projection import way_of
from pikepole_export.derive.views.cut import faces_behind
from pikepole_export.derive.views.side import SIDES, Side
from pikepole_export.derive.views.visible import edges_seen
from pikepole_export.graphics.lettering import spread
from pikepole_export.write.drawings.drafting import View
from pikepole_export.write.drawings.svg import DOWN, UP, wrapped
from pikepole_export.write.plans.dimensions import SAME_MM, TEXT_MM, chain, levels
from pikepole_export.write.plans.drawn import draw_cuts, draw_lines
from pikepole_export.write.plans.elevations import (
    LEFT_OUT,
    box_of,
    draw_ground,
    draw_slopes,
    heights_of,
)
from pikepole_export.write.plans.sheet import Layer, PlanSheet, new_sheet
from pikepole_export.write.plans.words import height_words, member_words, roof_words
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.types import Wall

MARGINS = (52.0, 10.0, 46.0, 14.0)
NAMES_MM = 38.0  # that the names of members are wide
# What each is called, and from where it is seen.
CUT_FROM: dict[str, Wall] = {"Cross section 1": "right", "Long section 2": "front"}
FILES = ("section-cross", "section-long")
TOP_MM = 12.0
ASIDE_MM = 250.0  # from the end of a long cut to where its name points
STEP_MM = 20.0  # from one place that is tried for a cut to the next
# What is named in a section, from the top down.
NAMED = (
    Kind.PANEL,
    Kind.UNDERLAYMENT,
    Kind.ROOF_SHEET,
    Kind.RAFTER,
    Kind.RIDGE_BOARD,
    Kind.TIE,
    Kind.BEAM,
    Kind.TOP_PLATE,
    Kind.STUD,
    Kind.WALL_SHEET,
    Kind.SIDING,
    Kind.UPRIGHT_BOARD,
    Kind.WALL_SLAT,
    Kind.LINING,
    Kind.LOFT_SHEET,
    Kind.LOFT_JOIST,
    Kind.POST,
    Kind.BOTTOM_PLATE,
    Kind.FLOOR_SHEET,
    Kind.FLOOR_BOARD,
    Kind.JOIST,
    Kind.GIRDER,
    Kind.SKID,
    Kind.SLAB,
    Kind.PIER,
    Kind.FOOTING,
    Kind.GRAVEL,
)
SEEN = {Kind.RAFTER, Kind.STUD, Kind.POST, Kind.JOIST, Kind.LOFT_JOIST, Kind.TIE}
FRAMES = {Family.WALL_FRAME, Family.ROOF_FRAME, Family.FLOOR_FRAME, Family.POSTS}


def sections(building: Building) -> Iterator[PlanSheet]:
    """Across, as it is seen from the right, and along, as it is seen from the front."""
    for (name, wall), file in zip(CUT_FROM.items(), FILES, strict=True):
        yield _section(building, wall, file, name)


def _section(building: Building, wall: Wall, file: str, name: str) -> PlanSheet:
    side, units = SIDES[wall], building.scene.units
    left_out = LEFT_OUT - {Family.UNDERLAYMENT}
    parts = [part for part in building.parts if part.kind.family not in left_out]
    depth = place_of_cut(building, side)
    faces, cuts = faces_behind(parts, side, depth)
    behind = [part for part in parts if side.seen(part.vertices_mm)[:, 2].min() < depth]
    box = box_of(behind, side)
    notes = [
        *roof_words(parts, units),
        "hatched: cut; heights over finished ground; o.c.: from middle to middle",
    ]
    sheet, view = new_sheet(building, file, name, notes, box, MARGINS)
    seen = edges_seen(faces)
    draw_lines(sheet, view, seen[faces.owners < len(parts)], Layer.VISIBLE, "narrow")
    draw_cuts(sheet, view, cuts)
    draw_ground(sheet, view, box)
    store = building.scene.building
    long = store.length if wall == "front" else store.depth
    chain(sheet, view, box, [box[0], 0.0, long, box[2]], "below")
    # Of what is seen: the back, from the front, and nothing that is cut away.
    measured = heights_of(building, "back" if wall == "front" else wall)
    heights = [(z, what) for z, what in measured if z < box[3] + SAME_MM]
    words = [(z, height_words(what, z, units)) for z, what in (*depths(behind), *heights)]
    levels(sheet, view, box[2], [(0.0, "finished ground"), *words])
    _name_members(sheet, view, box[0], parts, _places(cuts, parts, faces.owners, seen))
    draw_slopes(sheet, view, parts, side)
    return sheet


def depths(parts: Sequence[Part]) -> list[tuple[float, str]]:
    """How deep concrete and gravel reach into the ground."""
    found: list[tuple[float, str]] = []
    for family, name in (
        (Family.CONCRETE, "bottom of concrete"),
        (Family.GRAVEL, "bottom of gravel"),
    ):
        feet = [part.bounds_mm[0][2] for part in parts if part.kind.family is family]
        if feet and min(feet) < -1.0:
            found.append((min(feet), name))
    return found


def place_of_cut(building: Building, side: Side) -> float:
    """Where a section is cut, mm towards its side: near the middle, along as few sticks as can be.

    Args:
        building: What is cut.
        side: It is seen from.
    """
    axis = 0 if side.towards[0] else 1
    way = side.towards[axis]
    long = (building.scene.building.length, building.scene.building.depth)[axis]
    along = [
        part.bounds_mm
        for part in building.parts
        if part.kind.family in FRAMES and abs(way_of(part)[axis]) < 0.5
    ]
    low = np.array([bounds[0][axis] for bounds in along])
    high = np.array([bounds[1][axis] for bounds in along])
    tried = [
        long / 2 + sign * STEP_MM * k for k in range(int(long / 4 / STEP_MM)) for sign in (1, -1)
    ]

    def split(at: float) -> int:
        return int(np.count_nonzero((low < at + 1.0) & (high > at - 1.0)))

    return way * min(tried, key=split)


def _name_members(
    sheet: PlanSheet,
    view: View,
    edge_mm: float,
    parts: Sequence[Part],
    places: Mapping[Kind, tuple[float, float]],
) -> None:
    """Names left of what is drawn, each with a line to the member.

    Args:
        sheet: Where they go.
        view: How the model falls on it.
        edge_mm: Left end of what is drawn, mm of the model.
        parts: All parts, for sizes and spacing.
        places: Where a member of each kind is, mm of the model.
    """
    named = sorted(
        ((kind, view.at(at)) for kind, at in places.items()), key=lambda one: one[1][::-1]
    )
    rows = [wrapped(member_words(parts, kind, sheet.units), TEXT_MM, NAMES_MM) for kind, _ in named]
    line = TEXT_MM + 0.7
    gap = line * max(map(len, rows), default=1) + 0.8
    ys = spread([at[1] for _, at in named], gap, TOP_MM, sheet.size[1] - 44.0) if named else []
    edge = view.at((edge_mm, 0.0))[0]
    with sheet.on(Layer.NOTES):
        for (_, at), row, y in zip(named, rows, ys, strict=True):
            sheet.line([(edge - 12.0, y), (edge - 6.0, y), at])
            sheet.circle(at, 0.35, "fill")
            top = y - line * (len(row) - 1) / 2 + TEXT_MM * (UP - DOWN) / 2
            for number, words in enumerate(row):
                sheet.text(words, (edge - 13.0, top + line * number), TEXT_MM, anchor="end")


def _places(
    cuts: Iterable[tuple[Part, BaseGeometry]],
    parts: Sequence[Part],
    owners: NDArray[np.int_],
    seen: NDArray[np.object_],
) -> dict[Kind, tuple[float, float]]:
    """A place on a member of each kind that is named: cut, farthest left, or at least seen."""
    found: dict[Kind, tuple[float, float]] = {}
    for part, area in cuts:
        left, low, right, high = area.bounds
        x = left + min((right - left) / 2, ASIDE_MM)
        upright = shapely.intersection(shapely.LineString([(x, low), (x, high)]), area)
        if part.kind in NAMED and (part.kind not in found or x < found[part.kind][0] - 1.0):
            found[part.kind] = (x, float(shapely.centroid(upright).y))
    for kind in SEEN - found.keys():
        own = [owner for owner, part in enumerate(parts) if part.kind is kind]
        lines = shapely.get_parts(shapely.line_merge(shapely.union_all(seen[np.isin(owners, own)])))
        if len(lines):
            spot = shapely.line_interpolate_point(
                max(lines, key=shapely.length), 0.4, normalized=True
            )
            found[kind] = (float(spot.x), float(spot.y))
    return found

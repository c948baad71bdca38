"""The building on its lot: distances to the lot lines, north, and what it is designed for."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pikepole_export.derive.inventory.summary import size_above_ground_mm
from pikepole_export.derive.strength.climate import climate_of, counts
from pikepole_export.derive.strength.live import roof_live
from pikepole_export.derive.strength.wind import roof_pressure, wall_pressure
from pikepole_export.derive.views.side import SIDES
from pikepole_export.write.drawings.drafting import MARGIN_MM, View
from pikepole_export.write.drawings.svg import Point, wrapped
from pikepole_export.write.plans.dimensions import TEXT_MM, At, chain
from pikepole_export.write.plans.drawn import draw_lines
from pikepole_export.write.plans.sheet import Box, Layer, PlanSheet, new_sheet
from pikepole_export.write.plans.words import slopes_of
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.quoted import cited
from pikepole_model.scene.types import ROUND, Wall
from pikepole_model.units import Units, format_height, format_length, format_number

MARGINS = (20.0, 14.0, 76.0, 24.0)
ROOF = (Family.PANELS, Family.ROOF_METAL, Family.ROOF_FRAME, Family.EDGE_BOARDS)
# Those that rulers for sites are made with: engineer's scales, ISO 5455:1979.
SCALES: dict[Units, tuple[int, ...]] = {
    "imperial": (48, 96, 120, 240, 360, 480, 600, 720, 1200, 2400),
    "metric": (50, 100, 200, 500, 1000, 2000),
}
BLANK = "________"
NORTH_MM = 6.0
COLUMN_MM = 70.0
LINE_MM = 4.4
NAME_MM = 3.0  # from a line of the lot to its name
GAP_MM = 30.0
LEAST_SHOWN_MM = 3000.0  # to a line that nobody says the place of


def site_plan(building: Building) -> PlanSheet:
    """The building from above between the lines of its lot."""
    scene, parts = building.scene, building.parts
    walls, roof = walls_box(building), roof_over(parts)
    far = max(LEAST_SHOWN_MM, walls[2] - walls[0], walls[3] - walls[1]) / 3
    lot = _moved(walls, {wall: scene.site.lot.at(wall) or far for wall in ROUND})
    around = shapely.union_all([shapely.box(*lot), roof]).bounds
    box = (around[0], around[1], around[2], around[3])
    notes = [
        "distances are to the framing of the walls, or to posts that stand farther out",
        "dashed: edge of the roof; dash and dot: lot line",
        *(["dashed inside the lot: setback"] if scene.site.setback.model_fields_set else []),
    ]
    sheet, view = new_sheet(
        building, "site-plan", "Site plan", notes, box, MARGINS, SCALES[scene.units]
    )
    draw_lines(sheet, view, _stands(building), Layer.VISIBLE, "cut")
    draw_lines(sheet, view, shapely.boundary(roof), Layer.HIDDEN, "dashed")
    _lot_lines(sheet, view, building, lot)
    chains: tuple[tuple[int, At, Wall, Wall], ...] = (
        (0, "below", "left", "right"),
        (1, "left", "front", "back"),
    )
    for low, at, wall, opposite in chains:
        marks = [walls[low], walls[low + 2]]
        marks += [lot[low]] if scene.site.lot.at(wall) is not None else []
        marks += [lot[low + 2]] if scene.site.lot.at(opposite) is not None else []
        chain(sheet, view, box, marks, at)
    _column(sheet, building)
    return sheet


def walls_box(building: Building) -> Box:
    """What distances to a lot line are measured from: the framing, and posts outside of it, mm."""
    store = building.scene.building
    posts = [part.bounds_mm for part in building.parts if part.kind.family is Family.POSTS]
    low = np.array([(0.0, 0.0), *(bounds[0][:2] for bounds in posts)]).min(axis=0)
    high = np.array([(store.length, store.depth), *(bounds[1][:2] for bounds in posts)])
    return (*low.tolist(), *high.max(axis=0).tolist())


def roof_over(parts: tuple[Part, ...]) -> BaseGeometry:
    """What a roof covers of the ground, mm."""
    points = [part.vertices_mm[:, :2] for part in parts if part.kind.family in ROOF]
    # In plan every piece of a roof is convex.
    return shapely.union_all([shapely.MultiPoint(one).convex_hull for one in points])


def draw_north(sheet: PlanSheet, at: Point, north_deg: float | None) -> None:
    """A ring with north in it; empty where nobody says where that is.

    Args:
        sheet: Where it goes.
        at: Its middle, mm.
        north_deg: Where north is, clockwise from up on the sheet, degrees.
    """
    with sheet.on(Layer.NOTES):
        sheet.circle(at, NORTH_MM)
        if north_deg is None:
            sheet.text("N", (at[0], at[1] + 1.2), 3.0, anchor="middle", bold=True)
            for number, words in enumerate(("draw in the", "north arrow")):
                place = (at[0] - NORTH_MM - 2.0, at[1] + 3.4 * number)
                sheet.text(words, place, TEXT_MM, anchor="end")
            return

        def off(reach: float, turn_deg: float) -> Point:
            turn = math.radians(north_deg + turn_deg)
            return (at[0] + reach * math.sin(turn), at[1] - reach * math.cos(turn))

        tip, foot = off(NORTH_MM, 0.0), off(NORTH_MM, 180.0)
        sheet.line([foot, tip], "cut")
        for turn in (155.0, 205.0):
            sheet.line([off(NORTH_MM * 0.45, turn), tip], "cut")
        name = off(NORTH_MM + 2.6, 0.0)
        sheet.text("N", (name[0], name[1] + 1.2), 3.0, anchor="middle", bold=True)


def _moved(box: Box, off: dict[Wall, float]) -> Box:
    """A box with each side moved out."""
    left, front, right, back = box
    return (left - off["left"], front - off["front"], right + off["right"], back + off["back"])


def _stands(building: Building) -> BaseGeometry:
    """The outline of the walls, of posts outside, and of steps and ramps."""
    store = building.scene.building
    shown = {Family.POSTS, Family.STEPS}
    others = (part for part in building.parts if part.kind.family in shown)
    flat = [shapely.MultiPoint(part.vertices_mm[:, :2]).convex_hull for part in others]
    walls = [] if building.scene.posts else [shapely.box(0.0, 0.0, store.length, store.depth)]
    # Closed where only a gap between two treads is left.
    whole = shapely.buffer(shapely.union_all([*walls, *flat]), GAP_MM, join_style="mitre")
    return shapely.boundary(shapely.buffer(whole, -GAP_MM, join_style="mitre"))


def _lot_lines(sheet: PlanSheet, view: View, building: Building, lot: Box) -> None:
    """The four lines with their names, those by hand with a blank, and the setbacks inside."""
    site = building.scene.site
    left, low, right, high = lot
    ends: dict[Wall, tuple[Point, Point]] = {
        "front": ((left, low), (right, low)),
        "back": ((left, high), (right, high)),
        "left": ((left, low), (left, high)),
        "right": ((right, low), (right, high)),
    }
    for wall, (one, other) in ends.items():
        level, known = one[1] == other[1], site.lot.at(wall)
        a, b = view.at(one), view.at(other)
        with sheet.on(Layer.GROUND):
            sheet.line([a, b], "chain")
        inwards = 1.0 if wall in ("front", "right") else -1.0
        words = f"{wall} lot line" + ("" if known is not None else f", {BLANK} off")
        x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
        # Read from below or from the right, inside the lot.
        off = -1.2 if inwards > 0 else NAME_MM + 0.6
        at = (x, y + off) if level else (x + off, y)
        with sheet.on(Layer.NOTES):
            sheet.text(words, at, TEXT_MM, anchor="middle", angle_deg=0.0 if level else -90.0)
        least = site.setback.at(wall)
        if least is not None and known is not None:
            way = 1.0 if wall in ("front", "left") else -1.0
            own = [(x, y + way * least) if level else (x + way * least, y) for x, y in (one, other)]
            with sheet.on(Layer.HIDDEN):
                sheet.line(view.all(own), "dashed")


def _column(sheet: PlanSheet, building: Building) -> None:
    """North, the lot, and what the building is designed for, beside the plan."""
    x, y = sheet.size[0] - MARGIN_MM - COLUMN_MM, 20.0
    draw_north(sheet, (x + COLUMN_MM - 12.0, y + NORTH_MM), building.scene.site.north)
    y += 2 * NORTH_MM + 8.0
    with sheet.on(Layer.NOTES):
        for heading, rows in (
            ("To the lot lines", list(_distances(building))),
            ("The building", list(_sizes(building))),
            ("Designed for, as the scene has it", list(_loads(building))),
        ):
            sheet.text(heading, (x, y), TEXT_MM, bold=True)
            for words in rows:
                for line in wrapped(words, TEXT_MM, COLUMN_MM - 3.0):
                    y += LINE_MM
                    sheet.text(line, (x, y), TEXT_MM)
            y += LINE_MM * 1.9


def _roof_and_wind(building: Building) -> Iterator[str]:
    """Live load of the roof, and pressures of the wind on parts, as a permit desk asks for them."""
    units, climate = building.scene.units, climate_of(building)

    def load(value: float) -> str:
        return format_number(abs(value), "load", units)

    slopes = [angle for _, angle in slopes_of(building.parts)]
    if slopes:
        yield f"snow on a flat roof {load(climate.flat_snow)}"
        yield f"roof live load {load(roof_live(min(slopes), 0.0))}, before it is reduced by area"
    walls = [part for part in building.parts if part.kind is Kind.BOTTOM_PLATE]
    if not walls:
        return
    onto, off = wall_pressure(climate.part_q, 0.0, edge=False)
    _, corner = wall_pressure(climate.part_q, 0.0, edge=True)
    yield (
        f"wind on parts of walls: onto them {load(onto)}, off them {load(off)}, {load(corner)} at "
        "corners"
    )
    if slopes:
        roof, worst = building.scene.roof, max(slopes)
        gable = roof.ridge is not None or roof.knee is not None
        onto, off = roof_pressure(climate.part_q, worst, gable=gable, edge=False)
        _, edge = roof_pressure(climate.part_q, worst, gable=gable, edge=True)
        yield f"on parts of the roof: down {load(onto)}, up {load(off)}, {load(edge)} at edges"
    part = cited("10 ft2", building.scene.units)
    yield f"({part} of it, strength level, ASCE 7-16 chapter 30)"


def _distances(building: Building) -> Iterator[str]:
    site, units = building.scene.site, building.scene.units
    for wall in SIDES:
        there, least = (
            format_length(mm, units) if mm is not None else BLANK
            for mm in (site.lot.at(wall), site.setback.at(wall))
        )
        yield f"{wall} {there}, setback {least}"


def _sizes(building: Building) -> Iterator[str]:
    scene, parts = building.scene, building.parts
    units, store = scene.units, scene.building
    long, deep = (format_length(mm, units) for mm in (store.length, store.depth))
    yield f"{long} by {deep}, {_area(store.length * store.depth, units)} over the framing"
    yield f"{_area(roof_over(parts).area, units)} under the roof"
    yield f"{format_height(size_above_ground_mm(parts)[2], units)} high over finished ground"


def _area(mm2: float, units: Units) -> str:
    return format_number(mm2, "area", units)


def _loads(building: Building) -> Iterator[str]:
    """The loads of the site; what the scene does not say is marked."""
    site, units = building.scene.site, building.scene.units
    said = {
        "ground_snow": f"ground snow {format_number(site.ground_snow, 'load', units)}",
        "wind": f"wind {format_number(site.wind, 'speed', units)}, gust of 3 s",
        "terrain": f"exposure {site.terrain}",
        "risk": f"risk category {site.risk}",
        "floor_live": f"live load of the floor {format_number(site.floor_live, 'load', units)}",
        "soil": f"the soil bears {format_number(site.soil, 'load', units)}",
    }
    for key, words in said.items():
        if counts(building, key):
            yield words if key in site.model_fields_set else f"{words}, assumed"
    loft = building.scene.loft
    if loft:
        yield f"live load of the loft {format_number(loft.live_load, 'load', units)}"
    yield from _roof_and_wind(building)
    yield f"frost {format_length(site.frost, units) if site.frost is not None else BLANK} deep"

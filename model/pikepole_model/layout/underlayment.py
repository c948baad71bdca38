"""Roof underlayment: courses from the low edge up, each over the head of the one below.

A course leans by its own thickness on the one below it, so that no two share a place. On a low
slope the courses lie in two layers from a narrow starter up to the top.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, profile
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import rectangle
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.faces import roof_plane, roof_size
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_cover import RoofCover
from pikepole_model.plan.roof_section import across, label
from pikepole_model.plan.slope import over
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.rows import Roll
from pikepole_model.stock.sheet_metal import bent

UNDERLAYMENT = "roof underlayment"

# A strip over the ridge reaches this far down each slope: 6 in, common practice, no source.
OVER_RIDGE_MM = 152.4


def lay_underlayment(roof: RoofPlan) -> list[Piece]:
    """The courses of every slope, and the strips over ridge and knees."""
    covers = [RoofCover(roof, slope) for slope in roof.all_slopes]
    courses = [piece for cover in covers for piece in _courses(cover)]
    return [*courses, *(piece for cover in covers for piece in _ridge_strip(cover))]


def _source(roll: Roll) -> Source:
    return Source(roll.name, by_area_material(roll))


def course_places(cover: RoofCover) -> list[tuple[float, float]]:
    """From and to of each course up the slope from its low edge, the starter first, mm."""
    roll = cover.roll
    if not roll:
        return []
    height = cover.felt_to
    places = [(0.0, min(cover.lap_mm, height))] if cover.is_doubled else []
    # As far up as this a course lies on another, or alone where one layer is enough.
    done = cover.lap_mm if cover.is_doubled else roll.width_mm
    low = 0.0
    while True:
        places.append((low, min(low + roll.width_mm, height)))
        if low + done >= height - TOLERANCE_MM:
            return places
        low += roll.width_mm - cover.lap_mm


def _courses(cover: RoofCover) -> Iterator[Piece]:
    roll, slope = cover.roll, cover.slope
    if not roll:
        return
    plane = roof_plane(slope)
    lean = math.atan(cover.lean)
    for number, (v0, v1) in enumerate(course_places(cover)):
        starter = cover.is_doubled and number == 0
        low = cover.felt_mm + (0.0 if starter else cover.lean * roll.width_mm)
        up = plane.v if starter else _leaning(plane, lean)
        course = Placement(plane.point(0.0, v0, low), plane.u, up)
        for ply, (u0, u1) in _unrolled(roof_size(slope)[0], roll):
            place = course.at_depth(ply * roll.thickness_mm)
            yield profile(
                label(slope, Kind.UNDERLAYMENT),
                Kind.UNDERLAYMENT,
                UNDERLAYMENT,
                _source(roll),
                rectangle(u0, 0.0, u1, v1 - v0),
                place,
                roll.thickness_mm,
            )


def _leaning(plane: Placement, rad: float) -> Vector:
    """Up the slope, and a little into it."""
    cos, sin = math.cos(rad), math.sin(rad)
    a, b, c = (cos * v - sin * n for v, n in zip(plane.v, plane.n, strict=True))
    return a, b, c


def _unrolled(width: float, roll: Roll) -> Iterator[tuple[int, tuple[float, float]]]:
    """The lengths of one course, each over the end of the one before: layer, from and to, mm."""
    start, number = 0.0, 0
    while width - start > roll.length_mm + TOLERANCE_MM:
        yield number % 2, (start, start + roll.length_mm)
        start += roll.length_mm - roll.end_lap_mm
        number += 1
    yield number % 2, (start, width)


def _ridge_strip(cover: RoofCover) -> Iterator[Piece]:
    """A strip over the upper end of a slope, from the front only where two fall from it."""
    roll, slope, other = cover.roll, cover.slope, cover.above
    is_ridge = slope.upper.meets == Meets.RIDGE
    if not roll or not other or not cover.strips[0] or (is_ridge and slope.falls == "back"):
        return
    far = OVER_RIDGE_MM if is_ridge else other.sheeted[1] - OVER_RIDGE_MM
    line = over(slope, other.slope, (OVER_RIDGE_MM, far), (cover.strip_mm, other.strip_mm))
    for ply, (u0, u1) in _unrolled(cover.width_mm, roll):
        yield profile(
            str(Kind.RIDGE_STRIP) if is_ridge else f"{slope.falls} knee underlayment",
            Kind.RIDGE_STRIP,
            UNDERLAYMENT,
            _source(roll),
            bent(line, roll.thickness_mm, ply),
            across(slope, slope.sheeted_x[0] + u0, u1 - u0),
            u1 - u0,
            length_along="n",
        )

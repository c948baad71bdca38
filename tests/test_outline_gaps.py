"""Gaps between extruded pieces by their outlines: against plane geometry, and manifold3d."""

from __future__ import annotations

from math import cos, nan, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from pikepole_model.building.boxes import boxes_of, pairs_of
from pikepole_model.building.kinds import Kind
from pikepole_model.building.outlines import outline_gaps
from pikepole_model.building.part import Part
from pikepole_model.geometry.mesh import manifold_of
from pikepole_model.geometry.placement import Placement, Vector, cross
from pikepole_model.geometry.shape import Circle, Frustum, Polygon, Prism, Shape, rectangle
from samples import SPRUCE

# A sheet with a leg, and a window in it.
L_SHAPE: Polygon = ((0, 0), (600, 0), (600, 200), (150, 200), (150, 500), (0, 500))
WINDOW: Polygon = rectangle(250, 40, 550, 160)
SHEET = Shape(Prism(L_SHAPE, 12.0, (WINDOW,)))
BEVELLED = Shape(Prism(((0, 0), (400, 0), (370, 90), (0, 90)), 38.0))
STICK = Shape(Prism(rectangle(0, 0, 60, 30), 20.0))


def part(shape: Shape, place: Placement | None = None) -> Part:
    return Part("piece", Kind.STUD, "frame", 1, "2x4", SPRUCE, None, shape, place or Placement())


def gap_mm(one: Part, other: Part) -> float:
    parts = (one, other)
    boxes = boxes_of(parts)
    (gap,) = outline_gaps(boxes, pairs_of(boxes, np.array([0]), np.array([1])), parts)
    return float(gap)


def between_triangles(one: Part, other: Part, far_mm: float) -> float:
    a, b = (manifold_of(p.shape.mesh).transform(p.placement.matrix[:3]) for p in (one, other))
    return a.min_gap(b, far_mm)


# Where the stick lies, and how far it is from the sheet by plane geometry.
BESIDE: dict[str, tuple[Vector, float]] = {
    "in the window": ((270, 60, 0), 20.0),
    "in the corner of the leg": ((180, 230, -4), 30.0),
    "off the leg's end": ((150 + 30, 500 + 40, 0), 50.0),
    "over it": ((20, 20, 15), 3.0),
    "over its edge": ((600 + 3, 20, 12 + 4), 5.0),
    "in it": ((20, 20, 5), 0.0),
    "against it": ((600, 100, -3), 0.0),
}


@pytest.mark.parametrize("place", BESIDE)
def test_a_stick_beside_a_sheet(place: str) -> None:
    at, gap = BESIDE[place]
    for one, other in (
        (part(SHEET), part(STICK, Placement(at))),
        (part(STICK, Placement(at)), part(SHEET)),
    ):
        assert gap_mm(one, other) == pytest.approx(gap, abs=1e-9)


def test_a_stick_turned_by_45_degrees_reaches_by_its_corner() -> None:
    # 60 by 30 seen along its edge: its corner is half of 90 sin 45 from its middle.
    turned = Placement(
        (700, 100, 0),
        (cos(radians(45)), sin(radians(45)), 0),
        (-sin(radians(45)), cos(radians(45)), 0),
    )
    assert gap_mm(part(SHEET), part(STICK, turned)) == pytest.approx(100 - 30 * sin(radians(45)))


ANGLE = st.floats(0, 360)
FAR = st.floats(-500, 900)


@given(
    u=FAR,
    v=FAR,
    n=st.floats(-60, 60),
    angle=ANGLE,
    of=st.sampled_from([SHEET, BEVELLED, STICK]),
    axis=st.sampled_from([0, 1, 2]),
    over=st.booleans(),
)
@draws(150)
def test_whatever_is_turned_about_the_line_is_as_far_as_its_triangles(
    u: float, v: float, n: float, angle: float, of: Shape, axis: int, over: bool
) -> None:
    """A block by whichever of its axes along the line; an outline by its thickness alone."""
    c, s = cos(radians(angle)), sin(radians(angle))
    line: Vector = (0.0, 0.0, -1.0 if over else 1.0)
    flat: Vector = (c, s, 0.0)
    frames = ((flat, cross(line, flat)), (line, flat), (flat, line))
    first, second = frames[axis if of is STICK else 0]
    there = Placement((u, v, n), first, second)
    gap = gap_mm(part(SHEET), part(of, there))
    assert gap == pytest.approx(between_triangles(part(SHEET), part(of, there), 2_000), abs=1e-6)


ROUND = Shape(Prism(Circle(0, 0, 6), 100.0))
SLOPED = Shape(Frustum((0, 0, 100, 100), (10, 10, 90, 90), 50.0))
NOTCHED = Shape(SHEET.body, ((STICK.body, Placement((560, 20, -4))),))
UPRIGHT = Placement((900, 0, 0), (1, 0, 0), (0, 0, 1))


@pytest.mark.parametrize(
    ("other", "place"),
    [
        (BEVELLED, UPRIGHT),
        (ROUND, UPRIGHT),
        (SLOPED, Placement((900, 0, 0))),
        (NOTCHED, Placement((900, 0, 0))),
        (STICK, Placement((900, 0, 0), (0.8, 0, 0.6))),
    ],
)
def test_what_has_no_line_in_common_is_not_told(other: Shape, place: Placement) -> None:
    assert gap_mm(part(SHEET), part(other, place)) == pytest.approx(nan, nan_ok=True)


def test_a_bolt_beside_a_sheet_is_as_far_as_its_facets() -> None:
    at = Placement((600 + 30, 100, 0))
    # A facet of a polygon as large as the circle lies up to 0.1 mm inside it, a corner outside.
    assert gap_mm(part(SHEET), part(ROUND, at)) == pytest.approx(30 - 6, abs=0.2)

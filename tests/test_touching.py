"""How pieces lie on one another, by the sizes of what they share."""

from __future__ import annotations

from dataclasses import replace
from math import cos, hypot, radians, sin

import pytest

from blocks import joined, lumber
from pikepole_export.derive.buying.touching import JointType, Touch, touches
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import Prism, Shape, rectangle
from samples import SPRUCE

JOIST = lumber("joist", Kind.JOIST, (400, 38, 100), (438, 2000, 240))


def touch(one: Part, other: Part) -> Touch:
    (found,) = touches(joined((one, other), [(one.name, other.name)]))
    return found


def sheet(low: Vector, high: Vector, kind: Kind = Kind.FLOOR_SHEET) -> Part:
    return replace(lumber("sheet", kind, low, high), section_mm=None)


@pytest.mark.parametrize(
    ("other", "way", "back", "length_mm"),
    [
        # Its end, 38 by 140, on the side of a rim 20 mm lower: 120 of it.
        (((0, 0, 80), (3000, 38, 220)), JointType.END, JointType.SIDE, 120),
        # On a skid 90 broad.
        (((0, 500, 0), (3000, 590, 100)), JointType.ACROSS, JointType.ACROSS, 90),
        # Beside another that begins a metre further back.
        (((438, 1038, 100), (476, 3500, 240)), JointType.ALONG, JointType.ALONG, 962),
        # In line with the next.
        (((400, 2000, 100), (438, 3500, 240)), JointType.BUTT, JointType.BUTT, 140),
        # Only a corner of it lies on what it touches: 11 mm of 38, and 13 where there is room.
        (((427, 0, 0), (3000, 2100, 100)), JointType.EDGE, JointType.EDGE, 1962),
        (((425, 500, 0), (3000, 590, 100)), JointType.ACROSS, JointType.ACROSS, 90),
    ],
)
def test_lumber_on_lumber(
    other: tuple[Vector, Vector], way: JointType, back: JointType, length_mm: float
) -> None:
    found = touch(JOIST, lumber("other", Kind.RIM, *other))
    assert (found.a.way, found.b.way) == (way, back)
    assert (found.a.part, found.a.other.name) == (JOIST, "other")
    assert found.a.length_mm == pytest.approx(length_mm)
    assert found.b.length_mm == pytest.approx(length_mm)


@pytest.mark.parametrize(("x", "at_edge"), [(0, True), (5, True), (7, False), (1155, False)])
def test_a_member_is_at_an_edge_or_between(x: float, at_edge: bool) -> None:
    # A sheet 1200 wide, and a member under it 38 thick, from so far behind its edge on.
    deck = sheet((0, 0, 240), (1200, 2400, 258))
    member = lumber("joist", Kind.JOIST, (x, 0, 100), (x + 38, 3000, 240))
    found = touch(deck, member)
    assert (found.a.way, found.a.at_edge, found.a.length_mm) == (JointType.ALONG, at_edge, 2400)


def test_an_edge_shared_with_the_next_sheet_is_an_edge() -> None:
    deck = sheet((0, 0, 240), (1200, 2400, 258))
    member = lumber("joist", Kind.JOIST, (1181, 0, 100), (1219, 3000, 240))
    assert touch(deck, member).a.at_edge


def test_a_sheet_is_not_nailed_through_its_edge() -> None:
    # It stands on the plate.
    wall = sheet((0, 0, 38), (2400, 12, 1238), Kind.WALL_SHEET)
    plate = lumber("plate", Kind.BOTTOM_PLATE, (0, 0, 0), (3000, 89, 38))
    assert touch(wall, plate).a.way is JointType.EDGE
    stud = lumber("stud", Kind.STUD, (600, 12, 38), (638, 101, 2438))
    assert touch(wall, stud).a.way is JointType.ACROSS
    assert touch(wall, stud).a.length_mm == pytest.approx(1200)


def sloping(slope_deg: float, length_mm: float, start: Vector, *, down: bool = False) -> Part:
    """A plate of 89 by 38 behind a wall sheet, its middle line from a place on it up a slope."""
    a = radians(slope_deg)
    u: Vector = (cos(a), 0.0, sin(a))
    v: Vector = (-sin(a), 0.0, cos(a))
    x, y, z = start
    if down:  # laid out from its other end
        x, z = x + length_mm * u[0], z + length_mm * u[2]
        u, v = (-u[0], 0.0, -u[2]), (-v[0], 0.0, -v[2])
    shape = Shape(Prism(rectangle(0, -19, length_mm, 19), 89))
    # n = u x v looks to the front: the plate lies behind its start.
    place = Placement((x, y + 89, z), u, v)
    return Part("plate", Kind.TOP_PLATE, "wall", 1, "2x4", SPRUCE, (38, 89), shape, place)


@pytest.mark.parametrize("down", [False, True])
@pytest.mark.parametrize(
    ("slope_deg", "length_mm", "start", "over_mm"),
    [
        # From edge to edge of 1200: 1200 / cos 30.
        (30, 3000, (-500, 12, 1000), 1200 / cos(radians(30))),
        # It begins 200 in from the edge, and one ends there.
        (30, 3000, (200, 12, 1000), 1000 / cos(radians(30))),
        (30, 800, (200, 12, 1000), 800),
        # Out over the sheet's top, 2400 up: 400 / sin 30.
        (30, 3000, (200, 12, 2000), 400 / sin(radians(30))),
        # Past its corner, and on beyond it.
        (30, 3000, (1300, 12, 1000), 0),
        (10, 5000, (-6000, 12, 1000), 0),
    ],
)
def test_a_sloping_plate_is_nailed_as_far_as_the_sheet_covers_it(
    slope_deg: float, length_mm: float, start: Vector, over_mm: float, down: bool
) -> None:
    wall = sheet((0, 0, 0), (1200, 12, 2400), Kind.WALL_SHEET)
    plate = sloping(slope_deg, length_mm, start, down=down)
    found = touch(wall, plate).a
    assert found.length_mm == pytest.approx(over_mm)
    assert found.way is (JointType.ASKEW if over_mm else JointType.EDGE)
    assert found.at_edge  # as near as an edge is nailed


def test_what_crosses_askew_is_as_long_as_the_way_across() -> None:
    # A brace at 3 : 4 over a stud 90 wide: its middle line is over it for 90 x 5 / 4.
    stud = lumber("stud", Kind.STUD, (1000, 101, 0), (1090, 139, 2400))
    brace = sloping(0, 3000, (0, 12, 0))
    long = hypot(3, 4)
    place = Placement((0, 101, 0), (4 / long, 0.0, 3 / long), (-3 / long, 0.0, 4 / long))
    brace = replace(brace, placement=place)
    assert touch(stud, brace).a.way is JointType.ASKEW
    assert touch(stud, brace).a.length_mm == pytest.approx(90 * 5 / 4)


def test_nothing_joined_is_nothing_touching() -> None:
    assert touches(joined((JOIST,), [])) == ()

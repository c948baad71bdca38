"""House wrap: courses, laps and corners, measured on the parts."""

from __future__ import annotations

import itertools

import pytest

from clad import (
    DEPTH_MM,
    FOOT,
    INCH,
    LENGTH_MM,
    SHEET_MM,
    WRAP_MM,
    clad,
    face_of,
    on_wall,
    spans,
    window,
)
from measuring import CUT_MM
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.stock.catalogue import load_catalogue
from pikepole_model.stock.materials import by_area_material

# 6 in both ways, as makers commonly ask: common practice, no source. IRC R703.2 asks for 2 in and
# 6 in of felt.
LAP = 6 * INCH

NARROW = {"roll": "house wrap 3 ft"}
WALLS = {"front": LENGTH_MM, "right": DEPTH_MM, "back": LENGTH_MM, "left": DEPTH_MM}


def courses(building: Building, wall: str) -> list[tuple[tuple[float, float], ...]]:
    """The lengths that cover a wall from end to end, from the low edge up."""
    found = [spans(part, wall) for part in on_wall(building, wall, Kind.WRAP)]
    return sorted((s for s in found if s[0][1] - s[0][0] > LAP + 1.0), key=lambda s: s[1])


@pytest.mark.parametrize("wall", ["front", "back"])
def test_each_course_laps_the_one_below_by_6_in(wall: str) -> None:
    found = courses(clad(wrap=NARROW), wall)
    assert found[0][1] == pytest.approx((8 * INCH, 8 * INCH + 3 * FOOT), abs=CUT_MM)
    for below, above in itertools.pairwise(found):
        assert below[1][1] - above[1][0] == pytest.approx(LAP, abs=CUT_MM)
        # Over a neighbour, never in it.
        assert below[2][1] <= above[2][0] + CUT_MM or above[2][1] <= below[2][0] + CUT_MM


def test_courses_of_the_front_wall_by_hand() -> None:
    """The eave wall is sheeted to 7 ft or a little less: 36 in and then 30 in a course is
    36, 66, 96 in, so three courses; one of a 9 ft roll."""
    assert len(courses(clad(wrap=NARROW), "front")) == 3
    assert len(courses(clad(wrap={}), "front")) == 1


def test_a_wall_is_covered_to_the_neighbours_sheets_and_its_openings_are_cut_out() -> None:
    building = clad(wrap={}, opening=[window("front", "4 ft", "3 ft", "2 ft")])
    (course,) = courses(building, "front")
    assert course[0] == pytest.approx((-SHEET_MM, LENGTH_MM + SHEET_MM), abs=CUT_MM)
    (part,) = [p for p in on_wall(building, "front", Kind.WRAP) if "from" not in p.name]
    (_, _), (low, high), _ = course
    whole = (LENGTH_MM + 2 * SHEET_MM) * (high - low)
    # Up to the plates but for the tails, which come down before it as before the sheets: 1-1/2 in
    # wide every 16 in, 8 between two at the ends, with 3 mm of room all round; 3:12 of plate, sheet
    # and wrap below the plates' top. Over the neighbours' sheets it ends as low.
    deep = (3.5 * INCH + SHEET_MM + WRAP_MM) * 3 / 12 + 3
    tails = 8 * (1.5 * INCH + 6) + 2 * (1.5 * INCH + 3 + SHEET_MM)
    area = face_of(part, "front").area
    assert high - 8 * INCH == pytest.approx(7 * FOOT, abs=CUT_MM)
    assert area == pytest.approx(whole - 3 * FOOT * 2 * FOOT - deep * tails, rel=1e-6)


@pytest.mark.parametrize("wall", list(WALLS))
def test_the_wall_before_turns_its_end_on_to_each_wall(wall: str) -> None:
    building = clad(wrap={})
    order = list(WALLS)
    before = order[order.index(wall) - 1]
    turned = [p for p in on_wall(building, wall, Kind.WRAP) if f"from the {before}" in p.name]
    assert turned
    for part in turned:
        u = spans(part, wall)[0]
        assert u == pytest.approx((-SHEET_MM, LAP - SHEET_MM), abs=CUT_MM)


def test_a_long_wall_takes_a_second_length_with_its_lap() -> None:
    """100 ft on a roll: a wall of 110 ft takes two lengths."""
    building = clad(wrap={}, building={"length": "110 ft", "depth": "8 ft"})
    first, second = sorted(courses(building, "front"))
    assert first[0][1] - first[0][0] == pytest.approx(100 * FOOT, abs=CUT_MM)
    assert first[0][1] - second[0][0] == pytest.approx(LAP, abs=CUT_MM)


def test_nothing_is_in_the_same_place_twice_and_all_is_stapled() -> None:
    left = {"braced_elsewhere": ["left"]}  # the window leaves too little of it
    building = clad(wrap=NARROW, opening=[window("left", "2 ft", "3 ft", "2 ft")], walls=left)
    assert not check(building)
    kinds = {part.name: part.kind for part in building.parts}
    wrap = {name for name, kind in kinds.items() if kind == Kind.WRAP}
    held = {j.fixing for j in building.joints if j.a in wrap or j.b in wrap}
    assert held == {"stapled"}


def test_wrap_lies_within_a_millimetre_of_the_sheets() -> None:
    building = clad(wrap=NARROW)
    for wall in WALLS:
        for part in on_wall(building, wall, Kind.WRAP):
            low, high = spans(part, wall)[2]
            assert SHEET_MM - CUT_MM <= low < high <= SHEET_MM + 1.0


def test_a_roll_weighs_what_it_should() -> None:
    """No. 15 felt, ASTM D226 Type I: 11.5 lb per 100 ft2 (from memory). House wrap: 60 g/m2."""
    catalogue = load_catalogue()
    felt = catalogue.find_roll("No. 15 felt")
    assert felt.mass_kg_m2 == pytest.approx(11.5 * 0.45359237 / (100 * 0.3048**2), rel=0.001)
    wrap = catalogue.find_roll("house wrap 9 ft")
    assert wrap.width_mm * wrap.length_mm == pytest.approx(900 * FOOT**2)
    # 900 ft2 is 83.6 m2, at 60 g 5.0 kg.
    kg = by_area_material(wrap).density_kg_m3[1] * 900 * 0.3048**2 * wrap.thickness_mm / 1000
    assert kg == pytest.approx(5.02, abs=0.01)

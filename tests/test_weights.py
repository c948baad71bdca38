from __future__ import annotations

from math import cos, pi, sin
from typing import TypeAlias

import pytest

from pikepole_export.derive.inventory.counts import counts
from pikepole_export.derive.inventory.mass import Mass, balance
from pikepole_export.derive.inventory.parts import PartRow, covered_mm2, part_rows
from pikepole_export.derive.inventory.summary import stage_rows, summary
from pikepole_export.derive.inventory.weights import weigh, weights
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Circle, Frustum, Prism, Shape, rectangle
from samples import (
    BOLT_AREA,
    BOLT_EMBEDMENT,
    DEPTH_4,
    HEEL,
    HIGH_MM,
    LOW_MM,
    NOTCH_AT,
    SEAT,
    SHAPES,
    SLOPE,
    TOP_Z,
    WALL_Y,
    expected_volume_mm3,
    sample_building,
)

Rows: TypeAlias = tuple[PartRow, ...]

# The kernel integrates to better than this; a slip in a formula is far larger.
EXACT = 1e-9


@pytest.fixture(scope="module")
def building() -> Building:
    return sample_building()


@pytest.fixture(scope="module")
def rows(building: Building) -> Rows:
    return part_rows(building)


def named(rows: Rows, name: str) -> PartRow:
    return next(row for row in rows if row.name == name)


def test_volume_and_mass_of_every_part_by_closed_formula(building: Building, rows: Rows) -> None:
    assert [row.name for row in rows] == [part.name for part in building.parts]
    for part, row in zip(building.parts, rows, strict=True):
        volume_mm3 = expected_volume_mm3(row.name)
        assert row.volume_mm3 == pytest.approx(volume_mm3, rel=EXACT), row.name
        got = (row.mass.low_kg, row.mass.likely_kg, row.mass.high_kg)
        # kg = mm3 x kg/m3 / 1e9
        expected = [volume_mm3 * density / 1e9 for density in part.material.density_kg_m3]
        assert got == pytest.approx(expected, rel=EXACT), row.name


def test_a_known_stud_weighs_what_it_should(rows: Rows) -> None:
    # 600 x 88.9 x 38.1 mm of 450 kg/m3: 0.6 x 0.0889 x 0.0381 x 450 = 0.914 kg
    assert named(rows, "back wall stud 1").mass.likely_kg == pytest.approx(0.9145, abs=5e-5)


def test_centre_of_a_sloping_notched_rafter(rows: Rows) -> None:
    # Plane geometry: a rectangle less the triangle of the seat cut, whose centroid is the mean of
    # its corners; then turned up the slope about the lower corner of the notch.
    whole, notch = 1100 * DEPTH_4, SEAT * HEEL / 2
    corners = [
        (NOTCH_AT, 0.0),
        (NOTCH_AT + HEEL * sin(SLOPE), HEEL * cos(SLOPE)),
        (NOTCH_AT + SEAT / cos(SLOPE), 0.0),
    ]
    u = (whole * 550 - notch * sum(c[0] for c in corners) / 3) / (whole - notch) - NOTCH_AT
    v = (whole * DEPTH_4 / 2 - notch * sum(c[1] for c in corners) / 3) / (whole - notch)
    expected = (
        600.0,
        WALL_Y + u * cos(SLOPE) - v * sin(SLOPE),
        TOP_Z + 38.1 - HEEL + u * sin(SLOPE) + v * cos(SLOPE),
    )
    assert named(rows, "rafter 1").centre_of_gravity_mm == pytest.approx(expected, abs=1e-6)


def test_centre_of_a_footing_with_a_bolt_let_in(rows: Rows) -> None:
    # A block less a round hole from its top.
    block, hole = 300 * 250 * 300, BOLT_AREA * BOLT_EMBEDMENT
    y = (block * 125 - hole * 90) / (block - hole)
    z = (block * 150 - hole * (300 - BOLT_EMBEDMENT / 2)) / (block - hole) - 200
    assert named(rows, "footing 2").centre_of_gravity_mm == pytest.approx((1050, y, z), abs=1e-6)


def test_balance_is_the_law_of_the_lever() -> None:
    # 1 kg at 0 and 3 kg at 4 balance at 3, on every axis.
    masses = [Mass(0.5, 1.0, 2.0), Mass(1.5, 3.0, 9.0)]
    mass, centre = balance(masses, [(0.0, 10.0, -4.0), (4.0, 14.0, 0.0)])
    assert mass == Mass(2.0, 4.0, 11.0)
    assert centre == pytest.approx((3.0, 13.0, -1.0), rel=EXACT)


@pytest.mark.parametrize("way", ["kinds", "groups", "stages"])
def test_each_way_of_parting_adds_up_to_the_whole(building: Building, rows: Rows, way: str) -> None:
    total = weights(building, rows)
    found = getattr(total, way)
    piles = [weight for _, weight in found] if way == "stages" else list(found)
    mass, centre = balance(
        [pile.mass for pile in piles], [pile.centre_of_gravity_mm for pile in piles]
    )
    assert sum(pile.parts for pile in piles) == 17
    for bound in ("low_kg", "likely_kg", "high_kg"):
        assert getattr(mass, bound) == pytest.approx(getattr(total.building.mass, bound), rel=EXACT)
    assert centre == pytest.approx(total.building.centre_of_gravity_mm, rel=EXACT)


def test_whole_mass_by_closed_formula(building: Building, rows: Rows) -> None:
    volumes = {part.name: expected_volume_mm3(part.name) for part in building.parts}
    likely = sum(
        volumes[part.name] * part.material.density_kg_m3[1] / 1e9 for part in building.parts
    )
    assert weights(building, rows).building.mass.likely_kg == pytest.approx(likely, rel=EXACT)


def test_stages_run_up_to_the_whole(building: Building, rows: Rows) -> None:
    stages = stage_rows(building, weights(building, rows))
    assert [(s.number, s.name, s.parts) for s in stages] == [
        (1, "Foundation", 5),
        (2, "Floor", 6),
        (3, "Back wall and rafter", 6),
    ]
    # What stands after stage 2 is the first eleven parts, on the scales together.
    standing = weigh("", rows[:11])
    assert stages[1].running_mass.high_kg == pytest.approx(standing.mass.high_kg, rel=EXACT)
    assert stages[1].centre_of_gravity_mm == pytest.approx(standing.centre_of_gravity_mm, rel=EXACT)


def test_summary(building: Building, rows: Rows) -> None:
    findings = [
        Finding("overlap", "two studs overlap", ("a", "b")),
        Finding("loose", "a block floats", ("c",)),
        Finding("loose", "another block floats", ("d",)),
        Finding("other", "a header is short", ("e",)),
    ]
    result = summary(building, rows, weights(building, rows), findings)
    assert (result.title, result.units) == ("Hive stand", "imperial")
    assert (result.parts, result.shapes) == (17, SHAPES)
    sides = [high - low for low, high in zip(LOW_MM, HIGH_MM, strict=True)]
    assert result.size_mm == pytest.approx(sides, abs=1e-6)
    counted = result.findings
    assert (counted.overlaps, counted.loose, counted.other) == (1, 2, 1)
    # The footings at 53 kg are heavier, but are cast where they stay. A sheet of 1200 x 800 less
    # 150 x 220, 18.25 thick, of 560 kg/m3, is 9.47 kg; a rim of 1200 x 139.7 x 38.1, 800: 5.11 kg.
    assert result.heaviest_part == "floor sheet 1"
    assert result.heaviest_mass.likely_kg == pytest.approx(9.4739, abs=1e-4)
    # Two footings of 300 x 250 x 300 with a half-inch bolt let in 178 deep, 2300 to 2400 kg/m3.
    cast_m3 = 2 * (0.3 * 0.25 * 0.3 - pi * 0.00635**2 * 0.178)
    cast = result.made_in_place
    assert cast.low_kg == pytest.approx(2300 * cast_m3)
    assert cast.likely_kg == pytest.approx(2350 * cast_m3)
    assert cast.high_kg == pytest.approx(2400 * cast_m3)


def test_counts_by_hand(rows: Rows) -> None:
    # Pieces, distinct shapes, and mm or mm2 in all, from the drawing at the head of samples.py:
    # joists between two rims of 38.1 are 723.8 long; the sheet has one opening.
    expected = [
        ("footing", "footing", 2, 1, "mm", 600.0),
        ("anchor bolt", "1/2 anchor bolt", 2, 1, "mm", 496.0),
        ("bottom plate", "2x6", 1, 1, "mm", 1200.0),
        ("rim joist", "2x6", 2, 1, "mm", 2400.0),
        ("floor joist", "2x6", 3, 1, "mm", 3 * 723.8),
        ("floor sheet", "23/32 plywood", 1, 1, "mm2", 1200 * 800 - 150 * 220),
        ("bottom plate", "2x4", 1, 1, "mm", 1200.0),
        ("stud", "2x4", 3, 1, "mm", 1800.0),
        ("top plate", "2x4", 1, 1, "mm", 1200.0),
        ("rafter", "2x4", 1, 1, "mm", 1100.0),
    ]
    found = counts(rows)
    assert len(found) == len(expected)
    for count, (kind, stock, pieces, shapes, unit, total) in zip(found, expected, strict=True):
        assert (count.kind, count.stock) == (kind, stock)  # in order of building
        assert (count.pieces, count.distinct_shapes) == (pieces, shapes)
        by_length, by_area = count.total_length_mm, count.total_area_mm2
        counted, other = (by_length, by_area) if unit == "mm" else (by_area, by_length)
        assert counted == pytest.approx(total, rel=EXACT)
        assert other is None


def test_counts_tell_stocks_and_shapes_apart() -> None:
    # Three stands in a row: three times the pieces and the mass, no more shapes.
    single, triple = (counts(part_rows(sample_building(repeat=n))) for n in (1, 3))
    for one, three in zip(single, triple, strict=True):
        assert three.pieces == 3 * one.pieces
        assert three.distinct_shapes == one.distinct_shapes
        assert three.mass.likely_kg == pytest.approx(3 * one.mass.likely_kg, rel=EXACT)


def test_a_bed_with_sloping_sides_covers_its_larger_rectangle() -> None:
    assert covered_mm2(Shape(Frustum((0, 0, 1000, 700), (50, 50, 950, 650), 100))) == (
        pytest.approx(1000 * 700, rel=EXACT)
    )


def test_a_cut_from_below_covers_as_much_as_before() -> None:
    hollow = Frustum((100, 100, 900, 600), (200, 200, 800, 500), 100)
    slab = Shape(Prism(rectangle(0, 0, 1000, 700), 250), ((hollow, Placement()),))
    assert covered_mm2(slab) == pytest.approx(1000 * 700, rel=EXACT)


def test_a_round_hole_is_as_round_as_its_facets() -> None:
    sheet = Shape(Prism(rectangle(0, 0, 1000, 700), 12, holes=(Circle(500, 300, 100),)))
    # A chord stands off its arc by 0.1 mm at most: less than 0.2 % of the hole.
    assert covered_mm2(sheet) == pytest.approx(1000 * 700 - pi * 100**2, abs=0.002 * pi * 100**2)

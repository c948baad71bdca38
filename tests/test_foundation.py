"""Skids, pad, gravel and anchor bolts, measured on the parts."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from measuring import CUT_MM, INCH, box_of, gaps, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.practice import practice_findings
from pikepole_model.plan.anchor_bolts import bolt_places
from strategies import scene_of

FOOT = 12 * INCH
HALF_INCH = INCH / 2


def along(part: Part) -> tuple[float, float, int]:
    """From and to of a stick on plan, and the axis it runs along."""
    box = box_of(part)
    size = [high - low for low, high in zip(box.low, box.high, strict=True)]
    axis = 0 if size[0] > size[1] else 1
    return box.low[axis], box.high[axis], axis


def test_anchor_bolts(tool_store: Building) -> None:
    # 1/2 in bolts, at least 7 in embedded, at most 6 ft apart, at least two to each plate, one not
    # more than 12 in from each end and not closer to it than 7 diameters, in the middle third of
    # the plate's width. Source: IRC R403.1.6. (One widely read summary has "at least 12 in".)
    slab_top = box_of(of_kind(tool_store, Kind.SLAB)[0]).high[2]
    for bolt in of_kind(tool_store, Kind.ANCHOR_BOLT):
        assert slab_top - box_of(bolt).low[2] >= 7 * INCH - CUT_MM
    for plate in of_kind(tool_store, Kind.BOTTOM_PLATE):
        start, end, axis = along(plate)
        box = box_of(plate)
        inside = [
            bolt.centre_mm
            for bolt in of_kind(tool_store, Kind.ANCHOR_BOLT)
            if all(box.low[k] < bolt.centre_mm[k] < box.high[k] for k in (0, 1))
        ]
        places = sorted(centre[axis] for centre in inside)
        assert len(places) >= 2, plate.name
        for from_end in (places[0] - start, end - places[-1]):
            assert 7 * HALF_INCH - CUT_MM <= from_end <= 12 * INCH + CUT_MM, plate.name
        assert max(gaps(places)) <= 6 * FOOT + CUT_MM
        across = 1 - axis
        third = (box.high[across] - box.low[across]) / 3
        for centre in inside:
            assert box.low[across] + third <= centre[across] <= box.high[across] - third


def test_washers_are_clear_of_the_uprights(tool_store: Building) -> None:
    standing = (Kind.STUD, Kind.CORNER_STUD, Kind.KING, Kind.JACK, Kind.CRIPPLE)
    uprights = [box_of(part) for part in of_kind(tool_store, *standing)]
    for washer in of_kind(tool_store, Kind.WASHER):
        a = box_of(washer)
        for b in uprights:
            overlap = [min(a.high[k], b.high[k]) - max(a.low[k], b.low[k]) for k in range(3)]
            assert min(overlap) <= CUT_MM


@pytest.mark.parametrize(("feet", "bolts"), [(16, 4), (8, 2)])
def test_fewest_bolts(feet: int, bolts: int) -> None:
    # A 16 ft plate: 168 in between end bolts at 12 in, 72 in at most apart: 3 spaces, 4 bolts. An
    # 8 ft plate: 72 in, 2 bolts. Arithmetic on IRC R403.1.6.
    assert len(bolt_places((0.0, feet * FOOT), 6 * FOOT, HALF_INCH, [])) == bolts


@given(
    st.floats(700, 9000),
    st.sampled_from([300.0, 406.4, 610.0]),
    st.floats(0, 300),
    st.sampled_from([9.5, 12.7, 15.875]),
)
def test_bolts_among_studs(length: float, spacing: float, first: float, diameter: float) -> None:
    # Studs 1-1/2 in thick leave room for 3 in washers between them wherever they start.
    marks = [first + spacing * k for k in range(int(length / spacing) + 1)]
    taken = [(mark, mark + 38.1) for mark in marks if mark + 38.1 <= length]
    places = bolt_places((0.0, length), 6 * FOOT, diameter, taken)
    assert len(places) >= 2
    assert places[0] >= 7 * diameter - CUT_MM
    assert length - places[-1] >= 7 * diameter - CUT_MM
    assert max(places[0], length - places[-1]) <= 12 * INCH + CUT_MM
    assert max(gaps(places)) <= 6 * FOOT + CUT_MM
    assert min(gaps(places)) >= 3 * INCH - 0.02
    for place, (a, b) in itertools.product(places, taken):
        assert place + 1.5 * INCH <= a + 0.02 or place - 1.5 * INCH >= b - 0.02


def test_short_plate() -> None:
    # Too short for two washers clear of one another and 7 diameters from the ends: one bolt in its
    # middle, as the code has it for walls of up to 24 in between offset braced panels
    # (IRC R403.1.6, exception).
    assert bolt_places((100.0, 340.0), 6 * FOOT, HALF_INCH, []) == [220.0]
    # Nowhere to stand: none.
    assert bolt_places((0.0, 200.0), 6 * FOOT, HALF_INCH, [(0.0, 200.0)]) == []


def test_two_bolts_of_a_short_plate_stand_apart() -> None:
    # Each in the middle of its half (common practice, no source), from 7 diameters to 12 in off
    # the end (IRC R403.1.6); of a long plate 12 in off.
    for length, off in ((600.0, 150.0), (1800.0, 12 * INCH)):
        places = bolt_places((0.0, length), 6 * FOOT, HALF_INCH, [])
        assert places == pytest.approx([off, length - off])


def test_no_length_of_a_long_walls_plates_is_a_stub() -> None:
    # A wall of 5.1 m, of 4.8 m at the longest: each length of its plates is at least as long as
    # joints of two layers lie apart, 24 in (IRC R602.3.2), and has two bolts (IRC R403.1.6).
    scene = {
        "title": "Sail store",
        "units": "metric",
        "building": {"length": "5.1 m", "depth": "3 m"},
        "foundation": {"kind": "pad", "edge_depth": "460 mm"},
        "roof": {"slope": "3:12"},
    }
    building = build(scene_of(scene))
    plates = of_kind(building, Kind.BOTTOM_PLATE, Kind.TOP_PLATE)
    long_walls = [plate for plate in plates if plate.group in {"front wall", "back wall"}]
    assert len(long_walls) == 2 * 3 * 2
    assert min(plate.length_mm for plate in long_walls) >= 24 * INCH
    bolts = [part.centre_mm for part in of_kind(building, Kind.WASHER)]
    for plate in of_kind(building, Kind.BOTTOM_PLATE):
        low, high = plate.bounds_mm
        held = [at for at in bolts if all(low[k] < at[k] < high[k] for k in (0, 1))]
        assert len(held) >= 2, plate.name


def test_pad(tool_store: Building) -> None:
    # 4 in thick, over the IRC R506.1 least of 3-1/2 in; its top 6 in out of the ground; 12 in in
    # the ground at the edge (IRC R403.1.4); 4 in of gravel that reaches 6 in past it.
    slab = box_of(of_kind(tool_store, Kind.SLAB)[0])
    assert slab.high[2] == pytest.approx(6 * INCH, abs=CUT_MM)
    assert slab.low == pytest.approx((0, 0, -12 * INCH), abs=CUT_MM)
    bed = box_of(next(p for p in tool_store.parts if p.name == "gravel bed"))
    assert bed.low == pytest.approx((-6 * INCH, -6 * INCH, -16 * INCH), abs=CUT_MM)
    assert bed.high[2] == pytest.approx(-12 * INCH, abs=CUT_MM)
    for plate in of_kind(tool_store, Kind.BOTTOM_PLATE):
        assert box_of(plate).low[2] == pytest.approx(6 * INCH, abs=CUT_MM)
        assert plate.material.treated


@pytest.mark.parametrize(
    ("pad", "mend"),
    [
        ({}, ""),
        ({"above_ground": "10 in"}, ""),
        # The top of the slab 6 in over the ground, and its edge 12 in and more in it.
        ({"edge_depth": "17 in"}, "give at least 1' 6\""),
        ({"edge_depth": "18 in"}, ""),
        ({"above_ground": "3 in", "edge_depth": "14 in"}, "give at least 1' 3\""),
    ],
)
def test_the_edge_of_a_pad_goes_as_deep_as_a_footing(pad: dict[str, str], mend: str) -> None:
    # IRC R403.1.4 (from memory): 12 in below undisturbed ground.
    scene = {
        "title": "Leek store",
        "building": {"length": "12 ft", "depth": "8 ft"},
        "foundation": {"kind": "pad", **pad},
        "roof": {"slope": "3:12"},
    }
    building = build(scene_of(scene))
    key = "foundation.edge_depth"
    found = [(one.mend, one.parts) for one in practice_findings(building) if one.key == key]
    assert found == ([(mend, ("slab",))] if mend else [])


def test_skids(building: Building) -> None:
    # Evenly spread, the outer ones an inset from the edges, on edge on gravel flush with the
    # ground; treated.
    foundation = building.scene.foundation
    if foundation is None or foundation.kind != "skids":
        return
    stock = building.scene.lumber_stock(foundation.skid)
    fronts: set[float] = set()
    for skid in of_kind(building, Kind.SKID):
        box = box_of(skid)
        assert box.high[1] - box.low[1] == pytest.approx(stock.breadth_mm, abs=CUT_MM)
        assert (box.low[2], box.high[2]) == pytest.approx((0.0, stock.depth_mm), abs=CUT_MM)
        assert skid.material.treated
        fronts.add(round(box.low[1], 3))
    assert len(fronts) == foundation.count
    steps = gaps(fronts)
    assert max(steps) - min(steps) < 0.01
    assert min(fronts) == pytest.approx(foundation.inset, abs=0.001)
    deep = building.scene.building.depth
    assert max(fronts) + stock.breadth_mm == pytest.approx(deep - foundation.inset, abs=0.001)
    bed = box_of(of_kind(building, Kind.GRAVEL)[0])
    assert bed.high[2] == 0.0
    margin = foundation.gravel_margin
    assert bed.low == pytest.approx((-margin, -margin, -foundation.gravel), abs=CUT_MM)


def test_only_bolts_are_cast_in_and_nuts_go_on_with_the_wall_they_hold(
    tool_store: Building,
) -> None:
    bolts, nuts = of_kind(tool_store, Kind.ANCHOR_BOLT), of_kind(tool_store, Kind.NUT)
    washers = of_kind(tool_store, Kind.WASHER)
    assert len(bolts) == len(nuts) == len(washers) > 0
    assert {part.group for part in bolts} == {"foundation"}
    plates = of_kind(tool_store, Kind.BOTTOM_PLATE)
    for part in (*washers, *nuts):
        box = box_of(part)
        (under,) = [
            plate
            for plate in plates
            if all(box_of(plate).low[k] < part.centre_mm[k] < box_of(plate).high[k] for k in (0, 1))
        ]
        assert (part.group, part.stage) == (under.group, under.stage)
        assert part.stage > bolts[0].stage
        assert box.low[2] >= box_of(under).high[2] - CUT_MM

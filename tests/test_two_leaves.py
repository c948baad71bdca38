"""Doors of two leaves: pairs that slide or stand 12 ft wide, and dutch doors."""

from __future__ import annotations

from collections import Counter

import pytest

import test_doors
from filled import INCH, door, named, store
from measuring import CUT_MM, of_kind
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from test_doors import FRAMED, IRON, LEAF, LEAF_LOW, LEAF_V, LEDGED, extent, leaf_of

HALVES = ("lower", "upper")
SIDES = ("left", "right")


@pytest.fixture(scope="module")
def sliding_pair() -> Building:
    """Two leaves before an opening of 4 ft, halfway along a front wall of 16 ft."""
    opening = door(width="4 ft", door={**FRAMED, "leaves": 2, "track": {}}, trim={})
    del opening["from_left"]
    return store(
        {**opening, "at": "middle"},
        building={"length": "16 ft", "depth": "8 ft"},
        cladding=[{"kind": "boards"}],
    )


@pytest.fixture(scope="module")
def dutch() -> Building:
    return store(door(door={**LEDGED, "boards": "1x6", "dutch": "40 in"}, trim={}))


@pytest.fixture(params=["sliding_pair", "dutch"])
def each(request: pytest.FixtureRequest) -> Building:
    return request.getfixturevalue(request.param)


def test_leaves_are_clean_and_held_by_their_hinges_or_hangers_alone(each: Building) -> None:
    test_doors.test_nothing_is_found(each)
    test_doors.test_a_leaf_is_held_by_its_hinges_or_hangers_alone(each)


def test_each_of_a_sliding_pair_runs_to_its_own_side(sliding_pair: Building) -> None:
    # The opening is 48 in, from 72 to 120 in. With laps of 2 in the leaves fill 52 in less 3/16 in
    # between them. Each runs until it leaves its half of the doorway clear, up to the guide beside
    # the jamb and 3/16 in more: its track is so much longer than itself.
    wide = (52 - 3 / 16) / 2 * INCH
    left, right = (extent(sliding_pair, leaf_of(sliding_pair, f"gate {s} leaf")) for s in SIDES)
    middle = 96 * INCH
    assert left[0][0] == pytest.approx(middle - 26 * INCH, abs=CUT_MM)
    assert right[0][1] == pytest.approx(middle + 26 * INCH, abs=CUT_MM)
    tracks = sorted(extent(sliding_pair, [p])[0] for p in of_kind(sliding_pair, Kind.TRACK))
    gap = 3 / 32 * INCH
    jambs = [
        extent(sliding_pair, [part])[0]
        for part in of_kind(sliding_pair, Kind.FRAME_BOARD)
        if "jamb" in part.name
    ]
    clear = min(jamb[1] for jamb in jambs), max(jamb[0] for jamb in jambs)
    run = middle - gap - clear[0] + 3 / 16 * INCH
    assert tracks[0] == pytest.approx((middle - gap - wide - run, middle - gap), abs=CUT_MM)
    run = clear[1] - middle - gap + 3 / 16 * INCH
    assert tracks[1] == pytest.approx((middle + gap, middle + gap + wide + run), abs=CUT_MM)
    assert Counter(part.kind for part in of_kind(sliding_pair, *IRON, Kind.GUIDE)) == {
        Kind.HANGER: 4,
        Kind.WHEEL: 4,
        Kind.GUIDE: 2,
        Kind.LATCH: 2,
        Kind.PULL: 2,
    }
    # One floor guide at each side of the clear opening, 3/4 in boards in it.
    guides = sorted(extent(sliding_pair, [p])[0] for p in of_kind(sliding_pair, Kind.GUIDE))
    assert guides[0][1] < 72.75 * INCH
    assert guides[1][0] > 119.25 * INCH
    (astragal,) = of_kind(sliding_pair, Kind.ASTRAGAL)
    u, _, n = extent(sliding_pair, [astragal])
    assert sum(u) / 2 == pytest.approx(middle, abs=CUT_MM)
    assert n[0] >= left[2][1] - 19.05 - CUT_MM


def test_a_pair_of_12_ft_stands_under_a_header_of_three_plies() -> None:
    opening = door(width="12 ft", height="84 in", header="2x12", jacks=3, trim={})
    opening |= {"at": "middle", "door": {**FRAMED, "leaves": 2, "frame": "1x8"}}
    del opening["from_left"]
    building = store(
        opening,
        building={"length": "20 ft", "depth": "12 ft"},
        walls={"stud": "2x6", "low_height": "9 ft"},
    )
    assert not check(building)
    # A wall of 5-1/2 in takes three plies of 1-1/2 in with 1/2 in sheets in both joints; they reach
    # over three jacks of 1-1/2 in at each end.
    plies = named(building, "gate", Kind.HEADER)
    assert [part.length_mm for part in plies] == pytest.approx([153 * INCH] * 3, abs=CUT_MM)
    assert len(named(building, "gate", Kind.JACK)) == 6
    # Each leaf: (144 - 2 x (3/4 in and 1.3 mm of membrane and tape) - 2 x 1/8 - 3/16) / 2; two
    # sheets of 4 ft, so that a third stile stands behind their joint, and three rails in each of
    # its two fields.
    for side in SIDES:
        leaf = leaf_of(building, f"gate {side} leaf")
        u = extent(building, [part for part in leaf if part.kind != Kind.ASTRAGAL])[0]
        assert u[1] - u[0] == pytest.approx(
            (144 - 1.5 - 0.25 - 3 / 16) / 2 * INCH - 1.3, abs=CUT_MM
        )
        kinds = Counter(part.kind for part in leaf if part.kind != Kind.ASTRAGAL)
        assert kinds == {Kind.DOOR_SHEET: 2, Kind.STILE: 3, Kind.DOOR_RAIL: 6}


def test_a_dutch_door_is_hung_by_halves(dutch: Building) -> None:
    # Cut 40 in over the floor with 3/16 in between; together as high as a leaf in one piece.
    lower, upper = (extent(dutch, leaf_of(dutch, f"gate {half} leaf")) for half in HALVES)
    assert lower[1] == pytest.approx((LEAF_LOW, (40 - 3 / 32) * INCH), abs=CUT_MM)
    assert upper[1] == pytest.approx(((40 + 3 / 32) * INCH, LEAF_V + LEAF_LOW), abs=CUT_MM)
    for half in HALVES:
        kinds = Counter(part.kind for part in named(dutch, f"gate {half} leaf", *LEAF, *IRON))
        # Two ledges with a brace between them, a hinge at each; 34-1/4 in take seven boards. Latch
        # and pull on each, and on the upper one the bolt that holds both together.
        bolts = {Kind.DOOR_BOLT: 1} if half == "upper" else {}
        hardware = {Kind.HINGE: 2, Kind.LATCH: 1, Kind.PULL: 1, **bolts}
        assert kinds == {Kind.LEDGE: 2, Kind.BRACE: 1, Kind.DOOR_BOARD: 7, **hardware}
    # A 1x3 over the gap, as wide as the leaf, on the upper half.
    (astragal,) = of_kind(dutch, Kind.ASTRAGAL)
    u, v, _ = extent(dutch, [astragal])
    assert (u, sum(v) / 2) == (pytest.approx(upper[0], abs=CUT_MM), pytest.approx(40 * INCH))
    assert v[1] - v[0] == pytest.approx(2.5 * INCH, abs=CUT_MM)
    held = {name for j in dutch.joints for name in (j.a, j.b) if astragal.name in (j.a, j.b)}
    assert any("upper leaf" in name for name in held)
    assert not any("lower leaf" in name for name in held)


def test_a_framed_dutch_door_has_its_hinges_clear_of_the_astragal() -> None:
    assert not check(store(door(door={**FRAMED, "dutch": "3 ft"}, trim={})))

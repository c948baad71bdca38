"""Doors measured on the parts: clearances, leaves and what they weigh, hinges, tracks."""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections import Counter
from typing import Any

import pytest

from clad import WRAP_MM
from filled import (
    FOUR,
    INCH,
    ONE_BY,
    PLYWOOD_KG_M2,
    SIX,
    WOOD_KG_M3,
    Bounds,
    door,
    face_of,
    in_face,
    mass_kg,
    named,
    problems_of,
    store,
    table_of,
)
from measuring import CUT_MM, box_of, of_group, of_kind
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.weights import weights
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check

LEDGED: dict[str, Any] = {"kind": "ledged"}
FRAMED: dict[str, Any] = {"kind": "framed"}

# A rough opening of 36 by 78 in, less membrane of 1 mm, tape of 0.3 and 3/4 in boards at the sides
# and tape and board at the head; the leaf clear of them by 1/8 in and by 1/4 in of a threshold of
# 3/4 in on its membrane (common practice, no source).
MEMBRANE, TAPE = 1.0, 0.3
FRAME = MEMBRANE + TAPE + ONE_BY
THRESHOLD = MEMBRANE + ONE_BY
LEAF_LOW = THRESHOLD + INCH / 4
LEAF_U = 36 * INCH - 2 * FRAME - INCH / 4
LEAF_V = 78 * INCH - TAPE - ONE_BY - INCH / 8 - LEAF_LOW

LEAF = (
    Kind.DOOR_SHEET,
    Kind.DOOR_BOARD,
    Kind.LEDGE,
    Kind.BRACE,
    Kind.STILE,
    Kind.DOOR_RAIL,
    Kind.ASTRAGAL,
)
IRON = (Kind.HINGE, Kind.HANGER, Kind.WHEEL, Kind.LATCH, Kind.PULL, Kind.DOOR_BOLT)


def extent(building: Building, parts: list[Part]) -> Bounds:
    """What some parts reach together in the front wall's plane."""
    face = face_of(building, "front")
    bounds = [in_face(face, part) for part in parts]
    a, b, c = (
        (min(bound[k][0] for bound in bounds), max(bound[k][1] for bound in bounds))
        for k in range(3)
    )
    return a, b, c


def leaf_of(building: Building, text: str = "gate") -> list[Part]:
    return named(building, text, *LEAF)


@pytest.fixture(scope="module")
def ledged() -> Building:
    return store(door(door=LEDGED, trim={}))


@pytest.fixture(scope="module")
def pair() -> Building:
    return store(door(width="60 in", door={**FRAMED, "leaves": 2}, trim={}))


@pytest.fixture(scope="module")
def sliding() -> Building:
    return store(
        door(door={**FRAMED, "track": {"to": "right"}}, trim={}), cladding=[{"kind": "boards"}]
    )


@pytest.fixture(params=["ledged", "pair", "sliding"])
def each(request: pytest.FixtureRequest) -> Building:
    return request.getfixturevalue(request.param)


def test_nothing_is_found(each: Building) -> None:
    assert not check(each)


def test_a_leaf_is_held_by_its_hinges_or_hangers_alone(each: Building) -> None:
    kinds = {part.name: part.kind for part in each.parts}
    out = {
        kinds[name]
        for joint in each.joints
        for name, other in ((joint.a, joint.b), (joint.b, joint.a))
        if kinds[other] in LEAF and kinds[name] not in LEAF
    }
    assert out
    assert out <= set(IRON)


def test_without_its_iron_the_leaf_is_loose(each: Building) -> None:
    parts = tuple(part for part in each.parts if part.kind not in IRON)
    there = {part.name for part in parts}
    left = dataclasses.replace(
        each,
        parts=parts,
        joints=tuple(joint for joint in each.joints if {joint.a, joint.b} <= there),
        stages=tuple(
            dataclasses.replace(
                stage, parts=tuple(part for part in stage.parts if part.name in there)
            )
            for stage in each.stages
        ),
    )
    loose = {name for finding in check(left) if finding.kind == "loose" for name in finding.parts}
    assert loose == {part.name for part in leaf_of(each)}


def test_a_leaf_stands_clear_of_its_frame_and_the_floor(ledged: Building) -> None:
    u, v, _ = extent(ledged, leaf_of(ledged))
    face = face_of(ledged, "front")
    frame = [in_face(face, part) for part in of_kind(ledged, Kind.FRAME_BOARD)]
    left, right = sorted(f for f in frame if f[0][1] - f[0][0] < 2 * ONE_BY)
    (head,) = (f for f in frame if f[1][1] - f[1][0] < 2 * ONE_BY)
    assert u[0] - left[0][1] == pytest.approx(INCH / 8, abs=CUT_MM)
    assert right[0][0] - u[1] == pytest.approx(INCH / 8, abs=CUT_MM)
    assert head[1][0] - v[1] == pytest.approx(INCH / 8, abs=CUT_MM)
    assert v[0] == pytest.approx(LEAF_LOW, abs=CUT_MM)
    assert left[1][0] == pytest.approx(MEMBRANE, abs=CUT_MM)


def test_a_leaf_is_flush_with_its_casing_and_closes_on_the_stops(ledged: Building) -> None:
    (sheet,) = of_kind(ledged, Kind.DOOR_SHEET)
    n = extent(ledged, [sheet])[2]
    assert extent(ledged, of_kind(ledged, Kind.CASING))[2][1] == pytest.approx(n[1], abs=CUT_MM)
    stops = extent(ledged, of_kind(ledged, Kind.DOOR_STOP))
    assert stops[2][1] == pytest.approx(n[0], abs=CUT_MM)
    # The ledges pass between the stops with the leaf's own 1/8 in.
    ledges = extent(ledged, of_kind(ledged, Kind.LEDGE))[0]
    assert ledges[0] - (stops[0][0] + ONE_BY) == pytest.approx(INCH / 8, abs=CUT_MM)


def brace_level_cut(width: float, height: float, wide: float) -> float:
    """The level cut of a brace across a field, by halving: thickness across it is given, mm."""
    low, high = wide, width
    for _ in range(200):
        cut = (low + high) / 2
        across = cut * math.sin(math.atan2(height, width - cut))
        low, high = (cut, high) if across < wide else (low, cut)
    return low


def test_a_ledged_leaf_weighs_its_sheet_ledges_and_braces(ledged: Building) -> None:
    # Ledges between the stops, 3/4 in each; they lie 6 in in from both ends, the third between.
    ledge = LEAF_U - 2 * ONE_BY
    field = (LEAF_V - 2 * (6 * INCH) - 3 * SIX) / 2
    brace = brace_level_cut(ledge, field, SIX) * field
    wood_mm3 = (3 * ledge * SIX + 2 * brace) * ONE_BY
    expected = LEAF_U * LEAF_V * 1e-6 * PLYWOOD_KG_M2 + wood_mm3 * 1e-9 * WOOD_KG_M3
    assert mass_kg(leaf_of(ledged)) == pytest.approx(expected, rel=1e-3)


def test_a_door_is_weighed_under_its_own_name(each: Building) -> None:
    group = of_group(each, "gate")
    assert {part.name for part in group} >= {part.name for part in leaf_of(each)}
    assert {part.kind for part in group} <= {*LEAF, *IRON}
    groups = {row.name: row.mass for row in weights(each, part_rows(each)).groups}
    assert groups["gate"].likely_kg == pytest.approx(mass_kg(group), rel=1e-9)


@pytest.mark.parametrize("side", ["left", "right"])
def test_braces_rise_from_the_hinges(side: str) -> None:
    building = store(door(door={**LEDGED, "hinges": side}))
    face = face_of(building, "front")
    for brace in of_kind(building, Kind.BRACE):
        (u0, u1), (v0, _), _ = in_face(face, brace)
        corners = brace.placement.apply(brace.shape.mesh.vertices)
        u = (corners - face.place.origin) @ list(face.place.u)
        v = (corners - face.place.origin) @ list(face.place.v)
        foot = u[v < v0 + 1.0].mean()
        assert (foot < (u0 + u1) / 2) == (side == "left")
    hinges = [in_face(face, hinge)[0] for hinge in of_kind(building, Kind.HINGE)]
    middle = extent(building, leaf_of(building))[0]
    assert len(hinges) == 3
    assert all((sum(u) < sum(middle)) == (side == "left") for u in hinges)


def test_boards_fill_the_leaf_equally_with_their_gaps() -> None:
    building = store(door(door={**LEDGED, "boards": "1x6", "brace": False}))
    boards = sorted(
        in_face(face_of(building, "front"), board)[0]
        for board in of_kind(building, Kind.DOOR_BOARD)
    )
    # 34-1/4 in in boards of at most 5-1/2 in with 1/8 in between: seven.
    assert len(boards) == math.ceil((LEAF_U + INCH / 8) / (SIX + INCH / 8)) == 7
    gaps = [b[0] - a[1] for a, b in itertools.pairwise(boards)]
    assert gaps == pytest.approx([INCH / 8] * 6, abs=CUT_MM)
    assert [u[1] - u[0] for u in boards] == pytest.approx(
        [(LEAF_U - 6 * INCH / 8) / 7] * 7, abs=CUT_MM
    )
    assert not of_kind(building, Kind.BRACE)
    assert not check(building)


def test_a_framed_leaf_weighs_its_sheet_stiles_and_rails() -> None:
    building = store(door(door=FRAMED))
    kinds = Counter(part.kind for part in leaf_of(building))
    assert kinds == {Kind.DOOR_SHEET: 1, Kind.STILE: 2, Kind.DOOR_RAIL: 3}
    wood_mm3 = (2 * LEAF_V + 3 * (LEAF_U - 2 * FOUR)) * FOUR * ONE_BY
    expected = LEAF_U * LEAF_V * 1e-6 * PLYWOOD_KG_M2 + wood_mm3 * 1e-9 * WOOD_KG_M3
    assert mass_kg(leaf_of(building)) == pytest.approx(expected, rel=1e-3)
    assert not check(building)


def test_a_pair_meets_with_its_gap(pair: Building) -> None:
    left, right = (
        extent(pair, named(pair, f"gate {side} leaf", *LEAF))[0] for side in ("left", "right")
    )
    # 3/16 in between the two, 1/8 in at each jamb: common practice, no source.
    assert right[0] - left[1] == pytest.approx(3 / 16 * INCH, abs=CUT_MM)
    clear = 60 * INCH - 2 * FRAME
    each = (clear - 2 * INCH / 8 - 3 / 16 * INCH) / 2
    assert [left[1] - left[0], right[1] - right[0]] == pytest.approx([each] * 2, abs=CUT_MM)


def test_the_astragal_covers_the_gap_and_is_fixed_to_one_leaf(pair: Building) -> None:
    (astragal,) = of_kind(pair, Kind.ASTRAGAL)
    u, v, n = extent(pair, [astragal])
    left = extent(pair, named(pair, "gate left leaf", *LEAF))
    right = extent(pair, named(pair, "gate right leaf", *LEAF))
    assert u[0] < left[0][1] < right[0][0] < u[1]
    assert v == pytest.approx(left[1], abs=CUT_MM)
    # 1x3: 3/4 x 2-1/2 in (PS 20), rebated by 1/4 in past the first leaf's edge.
    over = 1.25 * INCH + 3 / 32 * INCH
    assert astragal.volume_mm3 == pytest.approx(
        (2.5 * ONE_BY - over * 0.25) * INCH * (v[1] - v[0]), rel=1e-6
    )
    assert n == pytest.approx((left[2][1], left[2][1] + ONE_BY), abs=CUT_MM)
    held = {
        name
        for joint in pair.joints
        if astragal.name in (joint.a, joint.b)
        for name in (joint.a, joint.b)
    }
    assert not any(name.startswith("gate right leaf") for name in held)
    between = [
        joint
        for joint in pair.joints
        if {joint.a.split()[1], joint.b.split()[1]} == {"left", "right"}
        and joint.a.startswith("gate")
        and joint.b.startswith("gate")
    ]
    assert not between


def test_a_sliding_leaf_laps_its_opening(sliding: Building) -> None:
    u, v, n = extent(sliding, leaf_of(sliding))
    # 2 in past the rough opening on each side and at the head; the opening starts at 5 ft.
    assert u == pytest.approx((58 * INCH, 98 * INCH), abs=CUT_MM)
    assert v == pytest.approx((INCH / 2, 80 * INCH), abs=CUT_MM)
    # Clear of the board behind its track, and of the casing.
    board = extent(sliding, of_kind(sliding, Kind.TRACK_BOARD))[2]
    assert n[0] - board[1] == pytest.approx(INCH / 4, abs=CUT_MM)
    assert n[0] > extent(sliding, of_kind(sliding, Kind.CASING))[2][1]
    # Board and casing lie on the cladding: 3/4 in boards 4 mm off the sheathing.
    assert board[0] == pytest.approx(WRAP_MM + ONE_BY, abs=CUT_MM)


def test_the_track_lets_the_leaf_clear_the_opening(sliding: Building) -> None:
    leaf = extent(sliding, leaf_of(sliding))
    (track,) = of_kind(sliding, Kind.TRACK)
    u = extent(sliding, [track])[0]
    jamb = max(extent(sliding, [part])[0][0] for part in of_kind(sliding, Kind.CASING))
    # Open, it ends 3/16 in past the opening between the casings, to the right: common practice.
    travel = jamb + 3 / 16 * INCH - leaf[0][0]
    assert u == pytest.approx((leaf[0][0], leaf[0][1] + travel), abs=CUT_MM)
    stops = sorted(extent(sliding, [stop])[0] for stop in of_kind(sliding, Kind.TRACK_STOP))
    wheels = sorted(extent(sliding, [wheel])[0] for wheel in of_kind(sliding, Kind.WHEEL))
    assert len(stops) == len(wheels) == 2
    # Closed and open, the wheels are on the track between its stops.
    assert stops[0][1] < wheels[0][0]
    assert wheels[1][1] + travel < stops[1][0]
    # In the floor guide by 2 in both times.
    guide = extent(sliding, of_kind(sliding, Kind.GUIDE))[0]
    for moved in (0.0, travel):
        inside = min(guide[1], leaf[0][1] + moved) - max(guide[0], leaf[0][0] + moved)
        assert inside > 2 * INCH


def test_a_track_is_held_over_its_whole_length(sliding: Building) -> None:
    # A spacer at each stud and, over the opening, to the header at most as far apart as studs are.
    # Past its last stud the board goes on for less than a stud's spacing. Common practice.
    (track,) = of_kind(sliding, Kind.TRACK)
    at = sorted(sum(extent(sliding, [p])[0]) / 2 for p in of_kind(sliding, Kind.TRACK_SPACER))
    ends = extent(sliding, [track])[0]
    assert at[0] - ends[0] < INCH
    gaps = [b - a for a, b in itertools.pairwise([*at, ends[1]])]
    assert max(gaps) <= 16 * INCH + CUT_MM


def test_no_gap_is_left_beside_a_sliding_leaf() -> None:
    # Casing of 3/4 in, and another of it, out to the face of the track's board of 1-1/2 in: there
    # the leaf runs 1/4 in off. Common practice, no source.
    building = store(door(door={**FRAMED, "track": {"to": "right"}}, trim={"board": "1x4"}))
    board = extent(building, of_kind(building, Kind.TRACK_BOARD))
    strips = [p for p in of_kind(building, Kind.CASING) if "side strip" in p.name]
    assert len(strips) == 2
    for strip in strips:
        u, v, n = extent(building, [strip])
        assert n[1] == pytest.approx(board[2][1], abs=CUT_MM)
        assert v == pytest.approx((0.0, board[1][0]), abs=CUT_MM)
        leaf = extent(building, leaf_of(building))
        assert leaf[0][0] < u[1]
        assert u[0] < leaf[0][1]


@pytest.mark.parametrize("face", [{}, {"boards": "1x6"}], ids=["sheet", "boards"])
def test_a_sliding_leaf_on_ledges_closes_all_round(face: dict[str, Any]) -> None:
    # A leaf of 40 by 79-1/2 in: 2 in past the opening on three sides, 1/2 in over the floor. Its
    # ledges end with it at head and foot; in the two fields between, each (79-1/2 - 3 x 5-1/2) / 2
    # = 31-1/2 in high, stiles of the same boards stand at both edges and a brace fits between them:
    # common practice, no source.
    opening = door(door={**LEDGED, **face, "track": {"to": "right"}}, trim={"board": "1x4"})
    building = store(opening)
    leaf, field = extent(building, leaf_of(building)), 31.5 * INCH
    sticks = {
        kind: [extent(building, [part]) for part in of_kind(building, kind)]
        for kind in (Kind.LEDGE, Kind.STILE, Kind.BRACE)
    }
    assert {kind: len(rows) for kind, rows in sticks.items()} == {
        Kind.LEDGE: 3,
        Kind.STILE: 4,
        Kind.BRACE: 2,
    }
    ledges = sorted(v for _, v, _ in sticks[Kind.LEDGE])
    assert (ledges[0][0], ledges[-1][1]) == pytest.approx((0.5 * INCH, 80 * INCH), abs=CUT_MM)
    for kind, wide in ((Kind.STILE, SIX), (Kind.BRACE, 40 * INCH - 2 * SIX)):
        for u, v, _ in sticks[kind]:
            assert (u[1] - u[0], v[1] - v[0]) == pytest.approx((wide, field), abs=CUT_MM)
    assert {round(u[0], 1) for u, *_ in sticks[Kind.STILE]} == {
        round(u, 1) for u in (leaf[0][0], leaf[0][1] - SIX)
    }
    # Nothing but the 1/4 in it runs clear by is left to the strips on its casing.
    strips = [p for p in of_kind(building, Kind.CASING) if "side strip" in p.name]
    for *_, n in sticks[Kind.STILE]:
        assert n[0] - extent(building, strips)[2][1] == pytest.approx(INCH / 4, abs=CUT_MM)
    assert not check(building)


def test_wheels_run_on_the_track(sliding: Building) -> None:
    (track,) = of_kind(sliding, Kind.TRACK)
    v = extent(sliding, [track])[1]
    for wheel in of_kind(sliding, Kind.WHEEL):
        assert extent(sliding, [wheel])[1][0] == pytest.approx(v[1], abs=0.1)


def test_the_floor_guide_goes_round_the_leaf_without_touching(sliding: Building) -> None:
    (guide,) = of_kind(sliding, Kind.GUIDE)
    leaf, iron = extent(sliding, leaf_of(sliding)), extent(sliding, [guide])
    assert iron[1][0] > 0.0
    assert iron[1][1] > leaf[1][0]
    assert iron[2][0] < leaf[2][0] < leaf[2][1] < iron[2][1]
    # In the way of the leaf both closed and open, beside the clear opening.
    assert 96 * INCH - ONE_BY < iron[0][0] < iron[0][1]
    assert iron[0][0] < leaf[0][1]
    kinds = {part.name: part.kind for part in sliding.parts}
    held = [j for j in sliding.joints if guide.name in (j.a, j.b)]
    assert held
    assert not any(kinds[name] in LEAF for j in held for name in (j.a, j.b))


@pytest.mark.parametrize("to", ["left", "right"])
@pytest.mark.parametrize("kind", [{**LEDGED, "boards": "1x8"}, FRAMED], ids=["ledged", "framed"])
def test_doors_slide_both_ways_on_every_wall(kind: dict[str, Any], to: str) -> None:
    for wall in ("back", "left"):
        opening = door(
            wall=wall,
            width="30 in",
            height="70 in",
            from_left="44 in",
            door={**kind, "track": {"to": to}},
        )
        assert not check(store(opening, wrap={}))


REFUSED = {
    "a track longer than its wall": (
        door(width="8 ft", door={**FRAMED, "track": {}}),
        "door.track",
    ),
    "a track past the corner": (
        door(from_left="2 ft", door={**FRAMED, "track": {"to": "left"}}),
        "door.track",
    ),
    "a dutch door that slides": (
        door(door={**FRAMED, "dutch": "3 ft", "track": {}}),
        "door.dutch",
    ),
    "half a pair": (door(door={**FRAMED, "dutch": "3 ft", "leaves": 2}), "door.dutch"),
    "a half too low": (door(door={**LEDGED, "dutch": "1 ft"}), "door"),
    "cut over its head": (door(door={**LEDGED, "dutch": "8 ft"}), "door"),
    "a lap over its board": (door(door={**FRAMED, "track": {"lap": "4 in"}}), "door.track.lap"),
    "a sheet joint without a stile": (door(width="5 ft", door=LEDGED), "door.sheet"),
    "a leaf higher than its sheet": (
        door(wall="front", height="100 in", door=FRAMED),
        "door.sheet",
    ),
    "a leaf too small for its sticks": (door(width="11 in", door=FRAMED), "door"),
    "a frame too narrow": (door(door={**LEDGED, "frame": "1x3"}), "door.frame"),
    "another group's name": (door(name="roof deck", door=FRAMED), "name"),
    "a window in a door": (door(window={"kind": "fixed light"}), "window"),
    "an unknown kind": (door(door={"kind": "folding"}), "door.kind"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_refused_once_and_by_its_key(what: str) -> None:
    opening, key = REFUSED[what]
    table = table_of(opening, walls={"low_height": "9 ft"})
    assert [key for key, _ in problems_of(table)] == [f"opening[1].{key}"]


@pytest.mark.parametrize(("stud", "board"), [("2x4", "1x6"), ("2x6", "1x8"), ("2x8", "1x10")])
def test_a_frame_is_of_the_narrowest_board_that_lines_its_wall(stud: str, board: str) -> None:
    # Dressed sizes of PS 20: a wall of 3-1/2 in with sheets and siding is over 3-1/2 and under
    # 5-1/2 in, one of 5-1/2 in under 7-1/4 in, one of 7-1/4 in under 9-1/4 in.
    tables: dict[str, Any] = {"walls": {"stud": stud}, "wrap": {}, "cladding": [{"kind": "boards"}]}
    boards = of_kind(store(door(door=LEDGED), **tables), Kind.FRAME_BOARD)
    assert {part.stock for part in boards} == {board}


@pytest.mark.parametrize("tail", ["plumb", "square"])
@pytest.mark.parametrize("wall", ["back", "front"])
@pytest.mark.parametrize("edges", [{}, {"fascia": "1x6", "soffit": "15/32 plywood"}])
def test_a_hinged_leaf_opens_clear_of_the_eave(wall: str, tail: str, edges: dict[str, str]) -> None:
    # A door 30 in wide swings past an overhang of 18 in: its head lies under all that is there.
    roof = {"slope": "4:12", "falls": wall, "eave_overhang": "18 in", "tail": tail}
    tables: dict[str, Any] = {"roof": roof, "edges": edges, "walls": {"low_height": "8 ft"}}
    bare = store(**tables)
    kinds = (Kind.FASCIA, Kind.SOFFIT, Kind.RAFTER, Kind.END_RAFTER)
    depth = bare.scene.building.depth
    eave = min(
        z
        for part in of_kind(bare, *kinds)
        for _, y, z in part.vertices_mm.tolist()
        if (y - depth if wall == "back" else -y) > 6 * INCH
    )
    floor = max(box_of(part).high[2] for part in of_kind(bare, Kind.FLOOR_SHEET))
    keys: dict[float, list[str]] = {}
    # The edge of a soffit of 1/2 in is square, and ends t sin tan = 0.05 in over where it would
    # meet the fascia's face.
    for over in (-0.06, 0.01):
        height = {"height": f"{(eave - floor) / INCH + over:.3f} in", "header": "2x4"}
        one = door(wall=wall, width="30 in", door=LEDGED, **height)
        keys[over] = [key for key, _ in problems_of(table_of(one, **tables))]
        slides = door(wall=wall, width="30 in", door={**LEDGED, "track": {}}, **height)
        assert "roof.slope" not in [key for key, _ in problems_of(table_of(slides, **tables))]
    assert keys == {-0.06: [], 0.01: ["roof.slope"]}

"""Board and batten, level boards and corner boards, measured on the parts and counted by hand."""

from __future__ import annotations

import itertools

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import box

from clad import (
    DEPTH_MM,
    FOOT,
    FOUR,
    INCH,
    LENGTH_MM,
    ONE_BY,
    SHEET_MM,
    WRAP_MM,
    Table,
    clad,
    face_of,
    on_wall,
    problems,
    spans,
    window,
)
from draws import draws
from measuring import CUT_MM
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.checks.fit import check
from pikepole_model.geometry.courses import lengths_in_courses
from pikepole_model.geometry.outline import cut_out
from pikepole_model.reading.file import check_scene
from strategies import tables

# 19/32 in plywood, 48 in wide, in three: two kerfs of 1/8 in go to sawdust, so that a strip is
# (48 - 2 x 1/8) / 3 = 15.917 in wide and not 16 in: as a tape shows, 15-7/8 in.
STRIPS: Table = {"kind": "battens", "sheet": "19/32 plywood", "strips": 3}
STRIP = (15 + 7 / 8) * INCH
PLY = 19 / 32 * INCH
GAP = INCH / 2
PITCH = STRIP + GAP
# 1x3 is 3/4 x 2-1/2 in, 1x8 3/4 x 7-1/4 in, 1x10 3/4 x 9-1/4 in (PS 20).
BATTEN, EIGHT, TEN = 2.5 * INCH, 7.25 * INCH, 9.25 * INCH

RIPPED: Table = {"kind": "battens", "batten_sheet": "5/8 plywood", "batten_strips": 16}

# From the corner of the framing to the outer edge of the front wall's strips: over the side
# wall's sheets, wrap and strips.
PAST = SHEET_MM + WRAP_MM + PLY

SHIPLAP: Table = {"kind": "boards", "board": "1x8"}
# 7-1/4 in less a lap of 3/8 in, and 1/8 in left open: 7 in a course.
COURSE = 7 * INCH
LAP = 3 / 8 * INCH


def test_a_strip_is_a_third_of_a_sheet_less_the_kerfs() -> None:
    building = clad(STRIPS)
    whole = on_wall(building, "front", Kind.STRIP)[:-1]
    for part in whole:
        (u0, u1), _, (n0, n1) = spans(part, "front")
        assert u1 - u0 == pytest.approx(STRIP, abs=CUT_MM)
        assert u1 - u0 < 16 * INCH
        assert (n0, n1) == pytest.approx((SHEET_MM + WRAP_MM, PAST), abs=CUT_MM)
    wide = clad({**STRIPS, "kerf": "3 mm", "strips": 4})
    u0, u1 = spans(on_wall(wide, "front", Kind.STRIP)[0], "front")[0]
    # (1219.2 - 3 x 3) / 4 = 302.55 mm = 11.911 in.
    assert u1 - u0 == pytest.approx((11 + 14 / 16) * INCH, abs=CUT_MM)


def test_strips_and_battens_of_the_front_wall_by_hand() -> None:
    """12 ft of framing and 30.2 mm past it at each end is 3718 mm: 8 pitches of 415.925 and a rest.

    So 9 columns, the last ripped to 391 mm, with 8 gaps between. The window from 1213 to 2127 mm is
    1243 to 2157 mm from the first strip's edge. Strips 4 (1248 to 1651) and 5 (1664 to 2067) lie
    wholly in its width and come in two pieces, under and over it; strip 6 (2080 to 2483) is cut
    round it. That makes 9 + 2 = 11. Of the battens, those on the gaps at 1657 and 2073 mm come in
    two; that on 1241 mm is cut round it: 8 + 2 = 10.
    """
    building = clad(STRIPS, opening=[window("front", "3 ft 11-3/4 in", "3 ft", "2 ft")])
    strips = on_wall(building, "front", Kind.STRIP)
    battens = on_wall(building, "front", Kind.BATTEN)
    assert len(strips) == 11
    assert len(battens) == 10
    assert len(on_wall(building, "front", Kind.CORNER_BOARD)) == 2
    lefts = sorted({round(spans(part, "front")[0][0], 3) for part in strips})
    assert lefts == pytest.approx([-PAST + k * PITCH for k in range(9)], abs=0.01)
    last = spans(strips[-1], "front")[0]
    assert last[1] == pytest.approx(LENGTH_MM + PAST, abs=CUT_MM)
    assert last[1] - last[0] == pytest.approx(LENGTH_MM + 2 * PAST - 8 * PITCH, abs=CUT_MM)


def test_strips_gaps_and_window_make_up_the_wall() -> None:
    """W x H less 8 gaps, and less what of the window is no gap: 2 whole gaps and a part of one."""
    building = clad(STRIPS, opening=[window("front", "3 ft 11-3/4 in", "3 ft", "2 ft")])
    strips = on_wall(building, "front", Kind.STRIP)
    wide, high = LENGTH_MM + 2 * PAST, max(spans(part, "front")[1][1] for part in strips) - 8 * INCH
    left_of_window = 47.75 * INCH + PAST
    gap_in_window = 3 * PITCH - left_of_window
    covered = (wide - 8 * GAP) * high - (3 * FOOT - 2 * GAP - gap_in_window) * 2 * FOOT
    assert sum(part.volume_mm3 for part in strips) == pytest.approx(covered * PLY, rel=1e-9)


@pytest.mark.parametrize("start", ["left", "right", "centre"])
def test_each_batten_is_centred_on_its_gap(start: str) -> None:
    building = clad({"kind": "battens", "start": start})
    boards = [spans(p, "back")[0] for p in on_wall(building, "back", Kind.UPRIGHT_BOARD)]
    battens = [spans(p, "back") for p in on_wall(building, "back", Kind.BATTEN)]
    gaps = [(a[1], b[0]) for a, b in itertools.pairwise(boards)]
    assert [b - a for a, b in gaps] == pytest.approx([GAP] * len(gaps), abs=CUT_MM)
    whole = [batten for batten in battens if batten[0][1] - batten[0][0] > BATTEN - CUT_MM]
    assert len(whole) >= len(battens) - 2  # one beside each corner board may be ripped
    for (u0, u1), _, n in whole:
        ours = [gap for gap in gaps if u0 < gap[0] and gap[1] < u1]
        assert len(ours) == 1
        assert (u0 + u1) / 2 == pytest.approx(sum(ours[0]) / 2, abs=CUT_MM)
        # It lies on the boards, 1 in of each: (2-1/2 - 1/2) / 2.
        assert ours[0][0] - u0 == pytest.approx(INCH, abs=CUT_MM)
        front = SHEET_MM + WRAP_MM + ONE_BY
        assert n == pytest.approx((front, front + ONE_BY), abs=CUT_MM)
    ends = [b - a for a, b in (boards[0], boards[-1])]
    if start == "left":
        assert ends[0] == pytest.approx(TEN, abs=CUT_MM)
    elif start == "right":
        assert ends[1] == pytest.approx(TEN, abs=CUT_MM)
    else:
        assert ends[0] == pytest.approx(ends[1], abs=CUT_MM)


def test_every_gap_is_covered_from_top_to_bottom() -> None:
    """Seen from outside, boards, battens and corner boards leave only the openings open."""
    opening = window("back", "4 ft", "3 ft", "2 ft")
    building = clad({"kind": "battens"}, opening=[opening])
    kinds = (Kind.UPRIGHT_BOARD, Kind.BATTEN, Kind.CORNER_BOARD)
    seen = shapely.union_all([face_of(p, "back") for p in on_wall(building, "back", *kinds)])
    low = 8 * INCH
    rough = box(4 * FOOT, low + 3 * FOOT, 7 * FOOT, low + 5 * FOOT)
    hull = seen.convex_hull
    open_mm2 = hull.area - seen.area
    assert open_mm2 == pytest.approx(rough.area, abs=1.0)
    assert seen.intersection(rough).area == pytest.approx(0.0, abs=1.0)


@pytest.mark.parametrize(
    ("table", "kind", "whole", "gap"),
    [
        ({"kind": "battens", "board": "1x6", "gap": "3/8 in"}, Kind.UPRIGHT_BOARD, 5.5, 3 / 8),
        ({"kind": "battens", "sheet": "19/32 plywood", "strips": 6}, Kind.STRIP, 7.875, 1 / 2),
    ],
)
def test_one_strip_lies_behind_a_head_casing(
    table: Table, kind: Kind, whole: float, gap: float
) -> None:
    """A window from 3 to 5 ft over the floor, 8 in up, and from 4 to 7 ft along the wall.

    Its head casing's top is 5 ft less a tape of 0.3 mm and a frame board of 3/4 in and up 3-1/2 in:
    2.74 in of each board would be left over the head, and split at its nails. Common practice, no
    source: 6 in at least, and a strip ripped to that and laid level from board to board.
    """
    opening = window("front", "4 ft", "3 ft", "2 ft")
    opening |= {"window": {"kind": "fixed light"}, "trim": {"board": "1x4"}}
    building = clad({**table, "walls": ["front"]}, opening=[opening], edges={}, wrap={})
    assert check(building) == ()
    head = 8 * INCH + 5 * FOOT
    parts = {p.name: (p, *spans(p, "front")) for p in on_wall(building, "front", kind)}
    (strip,) = [name for name, (_, _, v, _) in parts.items() if v[1] - v[0] < 6 * INCH - CUT_MM]
    part, u, v, _ = parts.pop(strip)
    assert v == pytest.approx((head, head - 0.3 - ONE_BY + FOUR), abs=CUT_MM)
    assert part.length_mm == pytest.approx(u[1] - u[0], abs=CUT_MM)
    # As long as some whole boards and what lies between them; what is at its ends runs past it.
    count = round((u[1] - u[0] + gap * INCH) / ((whole + gap) * INCH))
    assert u[1] - u[0] == pytest.approx((count * (whole + gap) - gap) * INCH, abs=CUT_MM)
    beside = [other for _, other, (low, high), _ in parts.values() if low < v[0] and high > v[0]]
    for side in (0, 1):
        near = min(abs(edges[1 - side] - u[side]) for edges in beside)
        assert near == pytest.approx(gap * INCH, abs=CUT_MM)
    assert 3 * FOOT - 2 * whole * INCH < u[1] - u[0] < 3 * FOOT


def test_battens_are_nailed_between_boards_that_can_move() -> None:
    building = clad(STRIPS)
    kinds = {part.name: part.kind for part in building.parts}
    held = {
        joint.fixing
        for joint in building.joints
        if {kinds[joint.a], kinds[joint.b]} == {Kind.STRIP, Kind.BATTEN}
    }
    assert held == {"nailed between the boards"}
    assert not [
        joint
        for joint in building.joints
        if kinds[joint.a] == kinds[joint.b] and kinds[joint.a] in (Kind.STRIP, Kind.BATTEN)
    ]


def test_long_walls_take_a_level_joint_at_one_height_all_round() -> None:
    """A sheet is 8 ft long; the joint is left open by 1/8 in, as between sheets (APA)."""
    building = clad({**STRIPS, "corner": "none"}, walls={"low_height": "9 ft"})
    for wall in ("front", "right", "back", "left"):
        strips = [spans(p, wall)[1] for p in on_wall(building, wall, Kind.STRIP)]
        lower = {round(v[1], 3) for v in strips if v[0] < 9 * INCH}
        upper = {round(v[0], 3) for v in strips if v[0] > 9 * INCH}
        assert lower == {round(8 * INCH + 8 * FOOT, 3)}
        assert upper == {round(8 * INCH + 8 * FOOT + INCH / 8, 3)}


def test_level_boards_of_the_back_wall_by_hand() -> None:
    """Up to 5 ft 10 in over the floor, 7 in a course: 10 courses, each one length of at most 16 ft.

    The window from 30 to 50 in lies over courses 6 (from 35 in, to 42-1/4) and 7 (from 42, to
    49-1/4) whole, which come in two pieces; it takes the upper part of course 5 (28 to 35-1/4) and
    the lower inch of course 8 (49 to 56-1/4). 10 + 2 = 12.
    """
    building = clad(
        {**SHIPLAP, "walls": ["back"], "below": "5 ft 10 in"},
        opening=[window("back", "4 ft", "30 in", "20 in")],
    )
    boards = on_wall(building, "back", Kind.SIDING)
    assert len(boards) == 12
    feet = sorted({round(spans(part, "back")[1][0] - 8 * INCH, 3) for part in boards})
    # Course 8 stands on the head of the window too; its foot is the course's at both sides.
    assert feet == pytest.approx([k * COURSE for k in range(10)], abs=0.01)
    assert max(spans(p, "back")[1][1] for p in boards) == pytest.approx(
        8 * INCH + 70 * INCH, abs=CUT_MM
    )
    assert len({part.shape for part in boards if part.shape.cuts}) == 2
    assert not check(building)


def test_shiplap_covers_its_width_less_the_lap() -> None:
    """Volume of a whole board: each rabbet takes half the thickness over the lap's height."""
    building = clad({**SHIPLAP, "walls": ["front"], "below": "5 ft 10 in"})
    boards = on_wall(building, "front", Kind.SIDING)
    for part in boards[:-1]:
        (u0, u1), (v0, v1), (n0, n1) = spans(part, "front")
        assert v1 - v0 == pytest.approx(EIGHT, abs=CUT_MM)
        assert n1 - n0 == pytest.approx(ONE_BY, abs=CUT_MM)
        section = (EIGHT - LAP) * ONE_BY
        assert part.volume_mm3 == pytest.approx(section * (u1 - u0), rel=1e-6)
        assert part.length_mm == pytest.approx(u1 - u0, abs=CUT_MM)
    for below, above in itertools.pairwise(boards):
        lap = spans(below, "front")[1][1] - spans(above, "front")[1][0]
        assert lap == pytest.approx(LAP - INCH / 8, abs=CUT_MM)


def test_square_boards_fill_a_raked_wall() -> None:
    """With no reveal their faces are the whole trapezoid, less 2 mm that a feathered end loses."""
    building = clad({**SHIPLAP, "profile": "square", "reveal": "0 in", "walls": ["left"]})
    boards = on_wall(building, "left", Kind.SIDING)
    faces = [face_of(part, "left") for part in boards]
    whole = shapely.union_all(faces).convex_hull
    # A 2 mm feather under 3:12 is 8 mm long: 8 mm2 lost at the end of a course.
    assert sum(part.volume_mm3 / ONE_BY for part in boards) == pytest.approx(
        whole.area, abs=8.1 * len(boards)
    )
    # It is a trapezoid: the box round it is larger.
    low_u, low_v, high_u, high_v = whole.bounds
    assert whole.area < 0.95 * (high_u - low_u) * (high_v - low_v)
    assert not check(building)


def test_boards_longer_than_stock_meet_over_studs_and_not_in_neighbouring_courses() -> None:
    """1x8 comes up to 16 ft; end joints lie 24 in apart at least, as those of plates do (IRC)."""
    building = clad({**SHIPLAP, "walls": ["front"]}, building={"length": "26 ft", "depth": "8 ft"})
    studs = {
        round(sum(spans(p, "front")[0]) / 2, 3)
        for p in building.parts
        if p.group == "front wall" and p.kind in (Kind.STUD, Kind.KING)
    }
    courses: dict[float, list[float]] = {}
    for part in on_wall(building, "front", Kind.SIDING):
        (u0, u1), (v0, _), _ = spans(part, "front")
        assert u1 - u0 <= 16 * FOOT + CUT_MM
        if u0 > FOOT:
            courses.setdefault(round(v0, 2), []).append(round(u0, 3))
    ordered = [courses[v] for v in sorted(courses)]
    assert len(ordered) >= 10
    for joints in ordered:
        assert set(joints) <= studs
    for lower, upper in itertools.pairwise(ordered):
        assert min(abs(a - b) for a in lower for b in upper) >= 24 * INCH - CUT_MM


@pytest.mark.parametrize("table", [STRIPS, SHIPLAP])
def test_one_corner_board_laps_the_other_and_both_look_as_wide(table: Table) -> None:
    building = clad(table)
    (lapping,) = [
        p for p in on_wall(building, "front", Kind.CORNER_BOARD) if spans(p, "front")[0][0] < 0
    ]
    (lapped,) = [
        p for p in on_wall(building, "left", Kind.CORNER_BOARD) if spans(p, "left")[0][1] > DEPTH_MM
    ]
    over = PLY if table is STRIPS else 0.0
    (u0, u1), _, (n0, n1) = spans(lapping, "front")
    assert u1 - u0 == pytest.approx(FOUR, abs=CUT_MM)
    assert (n0, n1) == pytest.approx(
        (SHEET_MM + WRAP_MM + over, SHEET_MM + WRAP_MM + over + ONE_BY), abs=CUT_MM
    )
    (w0, w1), _, (m0, m1) = spans(lapped, "left")
    # Its own face, and the other's edge beside it.
    assert w1 - w0 + (n1 - n0) == pytest.approx(FOUR, abs=CUT_MM)
    assert u0 == pytest.approx(-m1, abs=CUT_MM)  # flush with its face
    assert w1 - DEPTH_MM == pytest.approx(n0, abs=CUT_MM)  # butted to the other's back
    assert m1 - m0 == pytest.approx(ONE_BY, abs=CUT_MM)


def test_an_accent_corner_meets_its_neighbours_without_a_clash() -> None:
    accent: Table = {"kind": "boards", "profile": "square", "board": "1x6", "reveal": "0 in"}
    building = clad(
        {**accent, "walls": ["front"], "width": "3 ft"},
        {**accent, "walls": ["left"], "from_left": "5 ft"},
        {**STRIPS, "walls": ["front"], "from_left": "3 ft"},
        {**SHIPLAP, "walls": ["left"], "width": "5 ft", "below": "3 ft"},
        {**STRIPS, "walls": ["left"], "width": "5 ft", "above": "3 ft"},
        {**SHIPLAP, "walls": ["right", "back"]},
        wrap={},
    )
    assert not check(building)
    accents = on_wall(building, "front", Kind.SIDING)
    # They stop 1/8 in from the board that stands half on each side of the joint.
    stop = 3 * FOOT - FOUR / 2 - INCH / 8
    assert max(spans(p, "front")[0][1] for p in accents) == pytest.approx(stop, abs=CUT_MM)
    strips = on_wall(building, "left", Kind.STRIP)
    assert min(spans(p, "left")[1][0] for p in strips) == pytest.approx(
        8 * INCH + 3 * FOOT, abs=CUT_MM
    )


@pytest.mark.parametrize(
    "around",
    [
        {  # barge boards and fascias on the walls themselves
            "roof": {
                "slope": "10:12",
                "falls": "front",
                "eave_overhang": "0 in",
                "high_overhang": "0 in",
                "rake_overhang": "0 in",
            },
            "edges": {},
        },
        {"roof": {"slope": "10:12", "tail": "square"}, "edges": {"soffit": "15/32 plywood"}},
        {  # a lower roof on a ledger, with its own metal along the wall
            "walls": {"low_height": "10 ft"},
            "bay": [
                {
                    "side": "back",
                    "reach": "5 ft",
                    "roof": "ledger",
                    "ledger_height": "7 ft",
                    "slope": "3:12",
                }
            ],
            "edges": {},
            "roofing": {},
        },
        {"bay": [{"side": "right", "reach": "6 ft"}], "edges": {}},
    ],
)
def test_cladding_keeps_clear_of_what_meets_the_wall(around: Table) -> None:
    building = clad(
        {**STRIPS, "walls": ["front", "left"]},
        {**SHIPLAP, "walls": ["back"]},
        {**SHIPLAP, "walls": ["right"]},
        wrap={},
        **around,
    )
    assert not check(building)
    if "bay" in around and around["bay"][0]["side"] == "back":
        feet = {spans(p, "back")[1][0] > 9 * FOOT for p in on_wall(building, "back", Kind.SIDING)}
        assert feet == {False, True}  # under that roof and over it


def test_two_tables_cannot_claim_one_place() -> None:
    found = problems({**STRIPS, "walls": ["front", "left"]}, {**SHIPLAP, "walls": ["left", "back"]})
    assert [problem.key for problem in found] == ["cladding[2].walls"]
    assert "left wall" in found[0].wrong
    assert "cladding[1]" in found[0].wrong
    assert not problems(
        {**STRIPS, "walls": ["left"], "above": "2 ft"},
        {**SHIPLAP, "walls": ["left"], "below": "2 ft"},
    )


@pytest.mark.parametrize(
    ("table", "key"),
    [
        ({"kind": "battens", "gap": "1 in", "batten": "1x2"}, "cladding[1].batten"),
        ({**STRIPS, "strips": 12, "batten": "1x6"}, "cladding[1].strips"),
        ({"kind": "battens", "board": "1x10", "sheet": "19/32 plywood"}, "cladding[1]"),
        ({**RIPPED, "batten": "1x3"}, "cladding[1]"),
        ({**RIPPED, "batten_strips": 40}, "cladding[1].batten_strips"),
        (
            {**RIPPED, "sheet": "19/32 plywood", "strips": 12, "batten_strips": 8},
            "cladding[1].strips",
        ),
        ({**SHIPLAP, "board": "1x3", "lap": "1 in"}, "cladding[1].lap"),
        ({**SHIPLAP, "corner": "2x2"}, "cladding[1].corner"),
        ({**SHIPLAP, "walls": ["left"], "from_left": "9 ft"}, "cladding[1].from_left"),
        ({**SHIPLAP, "walls": ["front"], "above": "20 ft"}, "cladding[1].above"),
        ({**SHIPLAP, "above": "3 ft", "below": "2 ft"}, "cladding[1]"),
        # Wood siding keeps 6 in over the ground: IRC R317.1, item 5.
        ({**SHIPLAP, "above_ground": "5 in"}, "cladding[1].above_ground"),
        ({**SHIPLAP, "walls": ["front", "front"]}, "cladding[1]"),
        ({**SHIPLAP, "walls": ["top"]}, "cladding[1].walls[1]"),
        ({**SHIPLAP, "walls": []}, "cladding[1]"),
        ({"kind": "panels"}, "cladding[1].kind"),
    ],
)
def test_what_cannot_be_is_refused_at_its_key(table: Table, key: str) -> None:
    assert [problem.key for problem in problems(table)] == [key]


claddings = st.one_of(
    st.fixed_dictionaries(
        {
            "kind": st.just("battens"),
            "start": st.sampled_from(["left", "right", "centre"]),
            "corner": st.sampled_from(["none", "1x4", "2x4"]),
        }
    ),
    st.just(STRIPS),
    st.fixed_dictionaries(
        {
            "kind": st.just("boards"),
            "profile": st.sampled_from(["shiplap", "square"]),
            "board": st.sampled_from(["1x6", "1x8"]),
            "corner": st.sampled_from(["none", "1x4"]),
        }
    ),
)


@draws(3)
@given(tables(), claddings, claddings)
def test_cladding_fits_whatever_the_building(table: Table, ends: Table, eaves: Table) -> None:
    table = {
        **table,
        "wrap": {},
        "cladding": [{**ends, "walls": ["left", "right"]}, {**eaves, "walls": ["front", "back"]}],
    }
    scene, found = check_scene(table)
    assert scene
    assert not found
    # All fits; what is no good practice is told with a mend, as square edges before wrap are.
    told = check(build(scene))
    assert all(one.kind == "other" and one.mend for one in told)
    square = {k for k, one in ((1, ends), (2, eaves)) if one.get("profile") == "square"}
    keys = {one.key for one in told}
    of_cladding = {key for key in keys if key.startswith("cladding")}
    profiles = {key for key in of_cladding if key.endswith(".profile")}
    assert profiles == {f"cladding[{k}].profile" for k in square}
    # Besides, no more than a sliver at the top of a wall.
    assert all(key.endswith(".above_ground") for key in of_cladding - profiles)


def test_no_film_of_wood_is_left_beside_a_cut() -> None:
    # A batten's upper end runs along a rake; what is beside it ends a hair under that line.
    batten = shapely.Polygon([(0, 0), (63.5, 0), (63.5, 2938.935911), (0, 2945.61003)])
    beside = shapely.Polygon([(47.6125, 0), (63.5, 0), (63.5, 2938.93591), (47.6125, 2940.605754)])
    ((outline, inner),) = cut_out(batten, [beside])
    assert not inner
    assert len(outline) == 4
    assert shapely.Polygon(outline).is_valid
    assert max(u for u, _ in outline) == pytest.approx(47.6125, abs=1e-3)


def test_no_film_hangs_on_a_board_whose_joint_lies_at_the_edge_of_an_opening() -> None:
    # The opening ends a hair before the stud on which boards of 3600 meet.
    course, hole = box(0.0, 0.0, 6000.0, 184.0), box(1000.0, 100.0, 2400.0 - 1e-9, 300.0)
    boards = lengths_in_courses(course, [0.0], 184.0, [hole], 3600.0, [2400.0])
    (_, left), (_, right) = boards
    # 1000 x 184 and 1400 x 100 under the opening; 3600 x 184.
    assert left.area == pytest.approx(1000.0 * 184.0 + 1400.0 * 100.0)
    assert right.area == pytest.approx(3600.0 * 184.0)
    assert shapely.minimum_clearance(left) > 80.0

"""The upright board between two claddings on one wall, measured on the parts and worked by hand.

Where cladding changes its kind, boards stop at an upright board as level ones do at a corner board:
common practice, no source. The gaps are those between sheets, 1/8 in (APA).
"""

from __future__ import annotations

import itertools
from typing import Literal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

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
    on_wall,
    problems,
    spans,
    window,
)
from measuring import CUT_MM, of_kind
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.checks.fragile import fragile_findings
from pikepole_model.geometry.courses import columns_of

UPRIGHT: Table = {"kind": "battens", "board": "1x10", "walls": ["front"]}
STRIPS: Table = {"kind": "battens", "sheet": "19/32 plywood", "walls": ["front"]}
LEVEL: Table = {"kind": "boards", "board": "1x8", "walls": ["front"]}

# They part at 7 ft; a 1x4 is 3-1/2 in wide (PS 20), half of it on each side.
PARTED = 7 * FOOT
GAP = INCH / 8
CLADDING = (Kind.SIDING, Kind.UPRIGHT_BOARD, Kind.STRIP)
WALLS = ("front", "right", "back", "left")


def side_by_side(left: Table, right: Table, **tables: object) -> Building:
    return clad({**left, "width": "7 ft"}, {**right, "from_left": "7 ft"}, **tables)


def joint_boards(building: Building, wall: str = "front") -> list[Part]:
    return on_wall(building, wall, Kind.JOINT_BOARD)


@pytest.mark.parametrize(("left", "right"), [(UPRIGHT, LEVEL), (LEVEL, STRIPS), (LEVEL, LEVEL)])
def test_a_board_stands_on_the_wrap_and_both_claddings_stop_at_it(
    left: Table, right: Table
) -> None:
    building = side_by_side(left, right, wrap={})
    (board,) = joint_boards(building)
    u, v, n = spans(board, "front")
    assert u == pytest.approx((PARTED - FOUR / 2, PARTED + FOUR / 2), abs=CUT_MM)
    assert n == pytest.approx((SHEET_MM + WRAP_MM, SHEET_MM + WRAP_MM + ONE_BY), abs=CUT_MM)
    beside = [spans(part, "front") for part in on_wall(building, "front", *CLADDING)]
    before = [edges for edges in beside if edges[0][0] < PARTED]
    after = [edges for edges in beside if edges[0][0] > PARTED]
    assert max(e[0][1] for e in before) == pytest.approx(PARTED - FOUR / 2 - GAP, abs=CUT_MM)
    assert min(e[0][0] for e in after) == pytest.approx(PARTED + FOUR / 2 + GAP, abs=CUT_MM)
    # From the foot of both up to their tops.
    assert v[0] == pytest.approx(min(e[1][0] for e in beside), abs=CUT_MM)
    assert v[1] == pytest.approx(max(e[1][1] for e in beside), abs=CUT_MM)
    battens = [spans(part, "front")[0] for part in on_wall(building, "front", Kind.BATTEN)]
    assert not [b for b in battens if b[0] < u[1] + GAP - CUT_MM and b[1] > u[0] - GAP + CUT_MM]
    assert check(building) == ()


def test_the_board_beside_it_is_ripped_by_hand() -> None:
    """Uprights from 15.1 mm past the framing to 82-1/8 in along it cover 2101.1 mm.

    A 1x10 is 9-1/4 in, and with its gap of 1/2 in takes 247.65 mm: 8 of them leave 119.9 mm.
    """
    building = side_by_side(UPRIGHT, LEVEL)
    boards = on_wall(building, "front", Kind.UPRIGHT_BOARD)
    assert len(boards) == 9
    wide = [b - a for (a, b), _, _ in (spans(part, "front") for part in boards)]
    assert wide[:8] == pytest.approx([9.25 * INCH] * 8, abs=CUT_MM)
    left = SHEET_MM + WRAP_MM + (84 - 1.75 - 0.125) * INCH - 8 * 9.75 * INCH
    assert wide[8] == pytest.approx(left, abs=CUT_MM)
    assert left == pytest.approx(119.9, abs=0.1)


def test_board_and_neighbours_are_nailed_to_the_wall_and_not_to_one_another() -> None:
    building = side_by_side(UPRIGHT, LEVEL, wrap={})
    kinds = {part.name: part.kind for part in building.parts}
    clothing = {part.name for part in on_wall(building, "front", *CLADDING, Kind.JOINT_BOARD)}
    held = {
        ours
        for joint in building.joints
        for ours, other in ((joint.a, joint.b), (joint.b, joint.a))
        if ours in clothing and kinds[other] == Kind.WALL_SHEET and joint.fixing == "nailed"
    }
    assert held == clothing
    (board,) = joint_boards(building)
    beside = [joint for joint in building.joints if board.name in (joint.a, joint.b)]
    others = {kinds[j.a if j.b == board.name else j.b] for j in beside}
    assert others == {Kind.WALL_SHEET}


def test_its_section_is_the_left_ones_and_either_can_leave_it_out() -> None:
    wide = side_by_side({**UPRIGHT, "corner": "1x6"}, LEVEL)
    (board,) = joint_boards(wide)
    # 1x6 is 5-1/2 in wide (PS 20).
    assert spans(board, "front")[0] == pytest.approx(
        (PARTED - 2.75 * INCH, PARTED + 2.75 * INCH), abs=CUT_MM
    )
    for left, right in (("none", "1x4"), ("1x4", "none")):
        bare = side_by_side({**UPRIGHT, "corner": left}, {**LEVEL, "corner": right})
        assert not joint_boards(bare)
        starts = [spans(part, "front")[0][0] for part in on_wall(bare, "front", Kind.SIDING)]
        assert min(starts) == pytest.approx(PARTED, abs=CUT_MM)


def test_it_ends_at_a_casing_and_goes_on_over_its_flashing() -> None:
    """A window from 6 to 9 ft: casing of 3-1/2 in, inside frame boards of 3/4 in at the head.

    The head casing's top is 5 ft less a tape of 0.3 mm and 3/4 in and up 3-1/2 in over the floor, 8
    in up; the cladding leaves 1/4 in open over it for the flashing. The casing under the sill ends
    under its nose, a membrane of 1 mm over the rough sill.
    """
    hatch = {
        **window("front", "6 ft", "3 ft", "2 ft"),
        "window": {"kind": "fixed light"},
        "trim": {"board": "1x4"},
    }
    building = side_by_side(UPRIGHT, LEVEL, opening=[hatch], edges={}, wrap={})
    lower, upper = sorted(spans(p, "front")[1] for p in joint_boards(building))
    floor = 8 * INCH
    assert lower[1] == pytest.approx(floor + 3 * FOOT + 1.0 - FOUR, abs=CUT_MM)
    assert upper[0] == pytest.approx(floor + 5 * FOOT - 0.3 - ONE_BY + FOUR + INCH / 4, abs=CUT_MM)
    assert check(building) == ()


def test_claddings_over_one_another_share_one_board_with_what_is_beside_them() -> None:
    beside = {**LEVEL, "walls": ["left"], "from_left": "5 ft"}
    building = clad(
        {**LEVEL, "walls": ["left"], "width": "5 ft", "below": "3 ft"},
        {**UPRIGHT, "walls": ["left"], "width": "5 ft", "above": "3 ft"},
        beside,
    )
    (board,) = joint_boards(building, "left")
    u, v, _ = spans(board, "left")
    assert u == pytest.approx((5 * FOOT - FOUR / 2, 5 * FOOT + FOUR / 2), abs=CUT_MM)
    assert v[0] == pytest.approx(8 * INCH, abs=CUT_MM)
    # Past the plates of the low wall in front.
    assert v[1] > 8 * INCH + 7 * FOOT
    assert check(building) == ()
    # Where there is cladding beside only a part of the wall, the board is as high as that.
    low = clad({**LEVEL, "walls": ["left"], "width": "5 ft", "below": "3 ft"}, beside)
    (board,) = joint_boards(low, "left")
    assert spans(board, "left")[1] == pytest.approx((8 * INCH, 8 * INCH + 3 * FOOT), abs=CUT_MM)
    assert check(low) == ()


@pytest.mark.parametrize("edges", [{}, None])
@pytest.mark.parametrize("feet", [(11, 12), (12, 11), (11, 11.125)])
def test_it_stands_on_the_lower_foot_and_leaves_no_strip_there(
    edges: Table | None, feet: tuple[float, float]
) -> None:
    """With 988 mm to the joint a column of 1x8 would be cut to a strip beside a shorter board.

    Where a base flashing is bent from metal, that of the lower cladding goes on under all of the
    board, and that of the higher one ends beside it. Common practice, no source.
    """
    left, right = ({**UPRIGHT, "board": "1x8", "above_ground": f"{foot} in"} for foot in feet)
    metal: Table = {} if edges is None else {"edges": edges}
    left, right = {**left, "width": "988 mm"}, {**right, "from_left": "988 mm"}
    building = clad(left, right, wrap={}, **metal)
    (board,) = joint_boards(building)
    (u0, u1), v, _ = spans(board, "front")
    assert v[0] == pytest.approx(min(feet) * INCH, abs=CUT_MM)
    assert check(building) == ()
    assert not list(fragile_findings(building))
    runs = sorted(spans(p, "front")[0] for p in of_kind(building, Kind.BASE_FLASHING))
    if edges is not None:
        assert any(a <= u0 and u1 <= b for a, b in runs)


def test_base_flashing_runs_on_under_it() -> None:
    building = side_by_side(STRIPS, LEVEL, edges={}, wrap={})
    feet = [spans(p, "front")[0] for p in of_kind(building, Kind.BASE_FLASHING)]
    assert PARTED in [pytest.approx(u, abs=CUT_MM) for run in feet for u in run]
    runs = sorted(feet)
    assert runs[0][0] == pytest.approx(-SHEET_MM, abs=CUT_MM)
    assert runs[-1][1] == pytest.approx(LENGTH_MM + SHEET_MM, abs=CUT_MM)
    for one, other in itertools.pairwise(runs):
        assert other[0] <= one[1] + CUT_MM


@pytest.mark.parametrize("wall", WALLS)
def test_a_board_too_near_a_corner_board_is_refused(wall: str) -> None:
    """Between them goes at least a piece of 20 mm and two gaps of 1/8 in: 26.35 mm.

    At a corner the lapping board is 3-1/2 in wide and the lapped one 3/4 in less; the lapping one
    stands out over the other by as much, so that both reach as far in along their walls.
    """
    end = DEPTH_MM if wall in ("left", "right") else LENGTH_MM
    others = {**LEVEL, "walls": [name for name in WALLS if name != wall]}

    def found(width: float) -> list[str]:
        left = {**LEVEL, "walls": [wall], "width": f"{width:.3f} mm"}
        right = {**LEVEL, "walls": [wall], "from_left": f"{width:.3f} mm"}
        return [problem.key for problem in problems(others, left, right)]

    inner = FOUR - ONE_BY - SHEET_MM - WRAP_MM
    nearest = inner + 20.0 + 2 * GAP + FOUR / 2
    assert found(nearest - 0.1) == ["cladding[3].from_left"]
    assert found(end - nearest + 0.1) == ["cladding[3].from_left"]
    assert not found(nearest + 0.1)
    assert not found(end - nearest - 0.1)


@given(
    st.floats(100.0, 6000.0),
    st.floats(89.0, 406.0),
    st.floats(3.0, 38.0),
    st.sampled_from(["left", "right", "centre"]),
)
def test_upright_boards_reach_from_edge_to_edge(
    across: float, width: float, gap: float, start: Literal["left", "right", "centre"]
) -> None:
    """No bare strip beside a corner without boards or beside a joint board, and no sliver.

    On two boards or more: from a single narrow one nothing can be taken.
    """
    assume(across > 2 * width)
    columns = columns_of(0.0, across, width, gap, start)
    assert columns[0][0] == pytest.approx(0.0, abs=0.02)
    assert columns[-1][1] == pytest.approx(across, abs=0.02)
    assert all(20.0 - 0.02 <= b - a <= width + 1e-6 for a, b in columns)
    for (_, a), (b, _) in itertools.pairwise(columns):
        assert b - a == pytest.approx(gap, abs=1e-6)

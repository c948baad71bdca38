"""Pieces that a hand would break: the layout divides elsewhere, and what remains is found."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any, TypeAlias

import pytest
import shapely
from shapely import box

from clad import FOOT, INCH, clad, on_wall, spans, table_of, window
from pikepole_model.build import build, walls_alone
from pikepole_model.building.kinds import Kind
from pikepole_model.checks.entry import entry_findings
from pikepole_model.checks.fragile import LEAST, fragile_findings
from pikepole_model.checks.practice import practice_findings
from pikepole_model.errors import Finding, Problem, Try, less, other
from pikepole_model.geometry.courses import (
    arms,
    columns_of,
    course_edges,
    lengths_in_courses,
    stretches,
)
from pikepole_model.geometry.fragile import narrowest
from pikepole_model.geometry.least import BATTEN, BOARD, SHEET, SLAT, of_width
from pikepole_model.reading.file import check_scene, load_scene
from pikepole_model.reading.found import with_tried_mends
from pikepole_model.units import parse_length
from strategies import scene_of
from test_close_fits import opening, store
from whole import changes

Table: TypeAlias = dict[str, Any]

FORMS = Path(__file__).parent / "scenes" / "forms"
SHIPPED = Path(__file__).parents[1] / "scenes"

# Found by halving: a tenth of a millimetre.
FOUND_MM = 0.2


@pytest.mark.parametrize(
    ("area", "least", "width"),
    [
        # A strip 16 in wide round a window: arms of 14-3/8 in lead to a neck of 1-5/8 in.
        (box(0, 0, 400, 2400).difference(box(41, 900, 500, 1700)), 50.8, 41.0),
        # A sheet with an arm of 11/16 in beside a doorway, and one wide enough.
        (box(0, 0, 1220, 2440).difference(box(200, -1, 1202, 2000)), 50.8, 18.0),
        (box(0, 0, 1220, 2440).difference(box(200, -1, 1160, 2000)), 50.8, None),
        # Wholly too narrow, and just wide enough.
        (box(0, 0, 40, 900), 50.8, 40.0),
        (box(0, 0, 51, 900), 50.8, None),
        # A step of 18 mm in its edge is no arm: it hangs on along its whole length.
        (box(0, 0, 400, 2400).difference(box(382, 900, 500, 1700)), 50.8, None),
        # However short it is: an ear 10 mm out and 19 mm along a board's foot hangs on by the 19.
        (box(0, 0, 70, 200).difference(box(-1, 19, 10, 201)), 31.75, None),
        # One 10 mm wide and 19 mm out hangs on by the 10.
        (box(0, 0, 70, 200).difference(box(-1, 10, 19, 201)), 31.75, 10.0),
        # Nor is the tip of a board under a rake of 3 in 12.
        (shapely.Polygon([(0, 0), (1200, 0), (1200, 300), (0, 0.1)]), 50.8, None),
    ],
)
def test_narrowest_place(area: shapely.Polygon, least: float, width: float | None) -> None:
    found = narrowest(area, least)
    assert (found is None) == (width is None)
    if found and width:
        assert found.width == pytest.approx(width, abs=FOUND_MM)


def test_least_of_narrow_stock() -> None:
    # A 1x6 slat keeps 2-3/4 in, a 1x4 one half of 3-1/2 in; the neck of 2-1/4 in is under either's.
    assert of_width(SLAT, 5.5 * INCH).width == pytest.approx(2.75 * INCH)
    assert of_width(SLAT, 3.5 * INCH).width == pytest.approx(1.75 * INCH)
    assert BATTEN.length > 2.5 * INCH
    assert SHEET.width > 1.625 * INCH


def test_columns_start_with_a_ripped_one_rather_than_leave_an_arm() -> None:
    # Boards of 10 in, gaps of 1 in: whole ones from 0 on have edges at 33 and 43 in, and an opening
    # from 34 in on would leave 1 in of one beside it. Ripped by 1 in, it keeps 2 in.
    opening = (34.0 * INCH, 60.0 * INCH)
    plain = columns_of(0.0, 120 * INCH, 10 * INCH, INCH, "left")
    assert arms(plain, [opening], 2 * INCH) > 0
    found = columns_of(
        0.0, 120 * INCH, 10 * INCH, INCH, "left", 2 * INCH, lambda c: arms(c, [opening], 2 * INCH)
    )
    assert arms(found, [opening], 2 * INCH) == 0
    assert found[0] == pytest.approx((0.0, 9 * INCH))
    assert found[-1][1] == pytest.approx(120 * INCH)


def test_no_joint_of_upright_boards_just_over_a_stop() -> None:
    # Strips of 96 in on a wall of 120 in, a board across from 87 to 93-1/2 in: a joint at 96 in
    # would leave battens of 2-1/2 in; one 6 in under the board (a stub splits at its nails: 6 in,
    # common practice, no source) and the gap of 1/4 in leaves none.
    stop = (87 * INCH, 93.5 * INCH)
    runs = stretches(0.0, 120 * INCH, 96 * INCH, 0.25 * INCH, [stop])
    assert runs == [
        pytest.approx((0.0, 80.75 * INCH)),
        pytest.approx((81 * INCH, 120 * INCH)),
    ]
    # Nor a last length of 4 in: the first is 6 in shorter than it could be, and the last 10 in.
    runs = stretches(0.0, 100 * INCH, 96 * INCH, 0.0)
    assert runs == [pytest.approx((0.0, 90 * INCH)), pytest.approx((90 * INCH, 100 * INCH))]


def test_level_boards_start_ripped_rather_than_leave_a_strip_under_a_sill() -> None:
    # Courses of 7 in from the foot, 6 in over the ground and 2 in under the floor: their upper
    # faces end at 5, 12 and so on. A sill 12-1/2 in over the floor would leave 1/2 in of one.
    boards = {"kind": "boards", "board": "1x8", "profile": "square", "reveal": "0 in"}
    building = clad(boards, opening=[window("front", "4 ft", "13 in", "30 in")])
    assert not list(fragile_findings(building))
    beside = [
        spans(part, "front")
        for part in on_wall(building, "front", Kind.SIDING)
        if spans(part, "front")[0][0] < 5 * FOOT
    ]
    low = min(v0 for _, (v0, _), _ in beside)
    first = min(v1 for _, (v0, v1), _ in beside if v0 == low)
    assert first - low < 7.25 * INCH - 1.0
    assert first - low >= BOARD.width - 0.01


def test_sheet_joints_keep_off_jambs_and_leave_no_strip() -> None:
    # A jack stud's middle is 3/4 in beside its doorway: a joint there would leave an arm of 11/16
    # in, the gap of 1/8 in taken off. A strip of 1 in over the level joint would be as bad.
    door = {
        "name": "way in",
        "kind": "door",
        "wall": "front",
        "from_left": "16-3/4 in",
        "width": "30 in",
        "height": "6 ft",
    }
    for height in ("7 ft", "103-1/2 in", "104 in"):
        building = clad(walls={"low_height": height}, opening=[door])
        assert not list(fragile_findings(building))


@pytest.mark.parametrize(
    ("length", "from_left", "width", "joints_in"),
    [
        # Studs every 16 in, sheets of 48 in. The next joint to the left of a doorway's side at 96
        # in that leaves 12 in of a sheet beside it is at 80 in; one at 128 is 4 in inside of it.
        ("14 ft", "8 ft", "3 ft", [48, 80, 128]),
        # With the doorway's other side at 48 in, the first is at 32 in over it.
        ("14 ft", "1 ft", "3 ft", [32, 80, 128]),
        # Three whole sheets are 12 ft: any other joint would take a fourth.
        ("12 ft", "4 ft", "4 ft", [48, 96]),
    ],
)
def test_sheets_are_cut_round_the_corners_of_an_opening(
    length: str, from_left: str, width: str, joints_in: list[float]
) -> None:
    # No joint goes on in line with the side of an opening: common practice, no source.
    door = {"name": "way in", "kind": "door", "wall": "front", "from_left": from_left}
    table = table_of(
        building={"length": length, "depth": "8 ft"},
        opening=[door | {"width": width, "height": "6 ft"}],
    )
    sheets = [p for p in build(scene_of(table)).parts if p.kind is Kind.WALL_SHEET]
    lefts = {spans(p, "front")[0][0] for p in sheets if p.group == "front wall sheathing"}
    assert sorted(lefts)[1:] == pytest.approx([u * INCH for u in joints_in])


def test_sheet_joints_keep_off_a_ridge_beam_that_comes_out() -> None:
    # Studs every 600 mm: a joint on the one at 1200 mm would be 51.3 mm beside the beam's pocket,
    # and half a gap of 1/8 in is taken off: 49.7 mm, 1-15/16 in.
    table = store(
        "8 ft",
        "7 ft",
        "34 deg",
        foundation={"kind": "piers"},
        floor={},
        walls={"low_height": "6 ft 10 in", "spacing": "600 mm"},
        roof={"ridge": {"kind": "beam"}, "back_slope": "19 deg", "falls": "front"}
        | {"rafter": "C16 47x170"},
        beam={"ply": "2x10", "plies": 2},
        bay=[{"side": "left", "reach": "5 ft", "seat": "notch", "post": "2x8"}],
    )
    assert not list(fragile_findings(build(scene_of(table))))


def slatted(*lefts_in: float, **place: str) -> Table:
    """Upright slats on girts round windows 20 in wide, the last of them at a place."""
    windows = [
        {**window("front", f"{left} in", "30 in", "20 in"), "name": f"w{k}", "width": "20 in"}
        for k, left in enumerate(lefts_in)
    ]
    if place:
        del windows[-1]["from_left"]
        windows[-1] |= place
    front = {"kind": "slats", "girts": "over"}
    return table_of(walls={"low_height": "7 ft", "front": front}, opening=windows)


def slatted_by_right() -> Table:
    """The same with the second window's place given from the right."""
    table = slatted(24.0, 71.5)
    over = parse_length(table["building"]["length"]) / INCH - 71.5 - 20.0
    return slatted(24.0, 71.5, from_right=f"{over} in")


def slatted_in_the_middle() -> Table:
    """The same with the second window in the middle of a wall that is as long as that asks for."""
    table = slatted(24.0, 71.5, at="middle")
    table["building"]["length"] = f"{2 * 71.5 + 20.0} in"
    return table


REMAINING: dict[str, tuple[Table, str]] = {
    # A slat every 6-1/2 in keeps 2-3/4 in beside an opening. From the first window on, slats may
    # begin in 1-1/2 in of each 6-1/2; the second, 47-1/2 in on, rules out just these.
    "slats between two windows": (slatted(24.0, 71.5), "opening[2].from_left"),
    "slats by the right": (slatted_by_right(), "opening[2].from_right"),
    "slats by the middle": (slatted_in_the_middle(), "opening[2].from_left"),
    # Nine boards of 3-1/2 in with 1 in between them take 40-1/2 in: of 42 in 1-1/2 in is left.
    "a slat at the top of a half wall": (
        store(
            "8 ft",
            "8 ft",
            "3:12",
            walls={"left": {"kind": "slats", "height": "42 in", "board": "1x4"}},
        ),
        "walls.left.gap",
    ),
    # A 2x4 end rafter under lookouts laid flat leaves 2 in, less 1/16 in of gap and 3 mm under
    # the lookouts: 46 mm. On a 2x6 it is 2 in more.
    "strip on a low end rafter": (
        store("12 ft", "8 ft", "2.5:12", roof={"rafter": "2x4"}, wrap={}),
        "roof.rafter",
    ),
    # Battens from 43 in up to a casing of 3-1/2 in under a sill at 48 in are 1-1/2 in long.
    "stubs under a casing": (
        store(
            "10 ft",
            "8 ft",
            "3:12",
            opening=[opening("window", "front", "3 ft", "3 ft", sill="4 ft", trim={})],
            cladding=[
                {"kind": "boards", "below": "43 in"},
                {"kind": "battens", "above": "43 in"},
            ],
        ),
        "opening[1].sill",
    ),
    # Rafters with deep tails, steep, come down over the face of the beam on the wall.
    "strip on a beam under deep tails": (
        store(
            "10 ft",
            "12 ft",
            "12:12",
            foundation={"kind": "pad"},
            roof={"ridge": {"kind": "beam"}, "rafter": "CLS 38x235"},
            bay=[{"side": "right", "reach": "11 ft", "post": "C24 95x195"}],
            cladding=[{"kind": "battens"}],
        ),
        "beam.ply",
    ),
}


@pytest.mark.parametrize("name", REMAINING)
def test_what_remains_is_found_with_mends_that_work(name: str) -> None:
    table, key = REMAINING[name]
    building = build(scene_of(table))
    fragile = list(fragile_findings(building))
    found = with_tried_mends([*fragile, *practice_findings(building)], building)[: len(fragile)]
    assert [one.key for one in found] == [key]
    for one in found:
        mends = changes(table, Problem(one.key, "", one.text, one.mend))
        assert mends, one
        for mended in mends:
            scene, problems = check_scene(mended)
            assert scene
            assert not problems
            assert not [again for again in fragile_findings(build(scene)) if again.key == one.key]


@pytest.mark.parametrize("kind", ["sheets", "slats"])
def test_walls_are_alone_as_they_are_in_the_building(kind: str) -> None:
    # What lies on a half wall reads what it covers off what was laid out before it.
    half = {"kind": kind, "height": "42 in"}
    scene = scene_of(
        store(
            "8 ft",
            "8 ft",
            "3:12",
            walls={"left": half},
            cladding=[{"kind": "boards", "walls": ["front"]}],
        )
    )
    alone, whole = (
        {(part.name, part.shape) for part in one.parts if part.kind in (*LEAST, Kind.WALL_CAP)}
        for one in (walls_alone(scene), build(scene))
    )
    assert alone == whole


@pytest.mark.parametrize(
    ("tries", "mend"),
    [
        # No height of a window helps what stands beside it; nor do the walls', nor their length:
        # both stand as far from the left. Without the second the first is left as it is.
        ((other("opening", 1, "height"), other("walls", "low_height")), "leave out opening[2]"),
        ((other("walls", "low_height"),), "leave out opening[2]"),
        ((other("opening", 1, "height"), other("opening", 1, "from_left")), "opening[2].from_left"),
    ],
)
def test_a_window_is_left_out_where_no_value_mends(tries: tuple[Try, ...], mend: str) -> None:
    building = build(scene_of(slatted(24.0, 71.5)))
    (found,) = fragile_findings(building)
    (told,) = with_tried_mends([replace(found, tries=tries)], building)
    assert mend in told.mend


def test_what_is_missing_hides_no_mend_of_what_is_there() -> None:
    # There is no door either, and one does not help the slats.
    building = build(scene_of(slatted(24.0, 71.5)))
    (found,) = fragile_findings(building)
    entry = list(entry_findings(building))
    assert entry
    last = replace(found, tries=(other("walls", "low_height"),))
    told, *_ = with_tried_mends([last, *entry], building)
    assert told.mend == "leave out opening[2]"


def test_a_mend_goes_with_what_was_measured() -> None:
    # A span of 8 ft 1-1/4 in is near enough to 8 ft, and too far from any less: that is no mend.
    span = {"after": "Floor deck", "what": "span", "left": "8 ft 1-1/4 in"}
    table = store("12 ft", "8 ft", "3:12", measured=[span])
    building = build(scene_of(table))
    depth = less("building", "depth")
    found = Finding("other", "is too deep", (), key="building.depth", tries=(depth,))
    (told,) = with_tried_mends([found], building)
    mends = changes(table, Problem(found.key, "", found.text, told.mend))
    assert mends
    for mended in mends:
        assert not check_scene(mended)[1], told.mend


def test_course_edges_from_under_the_foot() -> None:
    assert course_edges(-2.0, 10.0, 5.0) == [-2.0, 3.0, 8.0]


def test_no_lath_at_the_foot_nor_the_top_where_courses_can_be_shifted() -> None:
    # Courses of 7-1/4 in from the floor: nine are 65-1/4 in, and a lath of 2 in would be left up to
    # 67-1/4 in. With 1 in ripped off the first, the last has 3 in.
    boards = {"kind": "boards", "board": "1x8", "profile": "square", "reveal": "0 in"}
    whole = clad({**boards, "walls": ["front"], "below": "67-1/4 in"})
    found = sorted(spans(part, "front")[1] for part in on_wall(whole, "front", Kind.SIDING))
    low, high = found[0], found[-1]
    assert low[1] - low[0] == pytest.approx(6.25 * INCH, abs=0.01)
    assert high[1] - high[0] == pytest.approx(3 * INCH, abs=0.01)


def test_a_wall_whose_courses_would_end_in_laths_leaves_those_of_its_neighbours() -> None:
    # Courses of 7 in, from the foot of the skids' sheets, 5-3/4 in under the floor, to under the
    # rafters. Those of the gable walls go by the barn door's head; with the same in front and back
    # a lath of 1-3/8 in would be left at their feet.
    barn = walls_alone(load_scene(FORMS / "cider-barn.toml"))
    for wall in ("front", "back"):
        found = sorted({spans(part, wall)[1] for part in on_wall(barn, wall, Kind.SIDING)})
        low, high = found[0], found[-1]
        assert low[1] - low[0] >= 3 * INCH
        assert high[1] - high[0] >= 3 * INCH


def test_a_film_over_a_flashing_is_no_strip() -> None:
    # A hole from 5 to 7-1/8 in of a board of 7-1/4 in: 1/8 in over it is cut off with it. Of one
    # that ends at 6-3/4 in half an inch would be left, which breaks: as bad as 2 - 0.5/1.25.
    board = [(0.0, 7.25 * INCH)]
    assert arms(board, [(5 * INCH, 7.125 * INCH)], 1.25 * INCH, INCH / 8 + 0.01) == 0.0
    assert arms(board, [(5 * INCH, 6.75 * INCH)], 1.25 * INCH, INCH / 8) == pytest.approx(1.6)


def test_end_joints_of_level_boards_make_no_ladder() -> None:
    # 24 ft, studs 16 in apart, boards of 16 ft: the first joint at 192 in; the farthest stud 24 in
    # off that is at 160, off both at 128; the fourth course keeps off 160 and 128, and no more.
    area, studs = box(0, 0, 288 * INCH, 28 * INCH), [16 * INCH * k for k in range(1, 18)]
    edges = [7 * INCH * k for k in range(4)]
    boards = lengths_in_courses(area, edges, 7 * INCH, [], 192 * INCH, studs)
    joints = [round(part.bounds[2] / INCH) for _, part in boards if part.bounds[0] == 0.0]
    assert joints == [192, 160, 128, 192]


def test_no_thin_arm_of_a_sheet_beside_a_doorway_where_another_stud_does() -> None:
    # A gable wall of 14 ft, studs 16 in apart from the front, a doorway from 18 to 66 in from its
    # left corner, which is the back: whole sheets from 24 in on would leave 6 in from 66 to 72.
    # Joints at 40 and 88 in leave 22 in there; the last sheet is 48 in wide.
    oars = build(load_scene(FORMS / "oar-store.toml"))
    sheets = [p.bounds_mm for p in oars.parts if p.group == "left wall sheathing"]
    ends = {round(168 - high[1] / INCH) for _, high in sheets}
    assert ends == {0, 40, 66, 88, 120}


def test_a_narrow_sheet_stands_in_a_corner_rather_than_a_thin_arm_beside_a_doorway() -> None:
    # A wall of 20 ft, a doorway from 147 to 207 in. A joint 12 in past it leaves 21 in at most up
    # to the corner: less than 2 ft, which as many sheets could do without, by arms of 3-3/4 in on
    # both sides of the doorway, 80 in long. Common practice, no source.
    barn = build(load_scene(SHIPPED / "seed-barn.toml"))
    sheets = [p.bounds_mm for p in barn.parts if p.group == "front wall sheathing"]
    starts = sorted(low[0] / INCH for low, _ in sheets)
    assert len(starts) == 6
    assert not [u for u in starts if 135 < u < 147 or 207 < u < 219]
    assert 219 <= starts[-1] < 240

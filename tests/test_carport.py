"""Buildings that are all bays, and bays beside a tool room: counted and measured by hand."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from math import pi, sqrt
from pathlib import Path
from typing import Any

import pytest
import shapely

from measuring import CUT_MM, INCH, box_of, corners, of_group, of_kind
from pikepole_export.derive.buying.bolts import bolt_for
from pikepole_export.derive.buying.schedule import fixed
from pikepole_export.derive.buying.slab_joints import control_joints
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene

README = Path(__file__).parent.parent / "scenes" / "README.md"

FOOT = 12 * INCH


def test_a_building_that_is_all_bays(cart_shelter: Building) -> None:
    # Two bays are three posts in a row, and the ridge's row makes three rows. A brace on either
    # side of the middle post and one on each outer post: four in a row.
    counted = Counter(part.kind for part in cart_shelter.parts)
    for kind in (Kind.POST, Kind.POST_BASE, Kind.FOOTING):
        assert counted[kind] == 3 * 3
    assert counted[Kind.BOLTED_BRACE] == 3 * 4
    assert counted[Kind.SLAB] == counted[Kind.GRAVEL] == 1
    assert not {Kind.STUD, Kind.TOP_PLATE, Kind.BOTTOM_PLATE, Kind.WALL_SHEET} & counted.keys()
    groups = {part.group for part in of_kind(cart_shelter, Kind.BEAM)}
    assert groups == {"front beam", "back beam", "ridge beam"}


def test_bays_are_as_wide_as_the_scene_says(cart_shelter: Building, dory_shelter: Building) -> None:
    def middles(building: Building, *names: str) -> list[float]:
        posts = (part for part in building.parts if part.kind is Kind.POST)
        boxes = [box_of(post) for post in posts if post.name.startswith(names)]
        return sorted({round((box.low[0] + box.high[0]) / 2, 3) for box in boxes})

    # Outer posts of 5-1/2 in flush with the ends, the middle one 9 ft on from the first's middle.
    expected = [2.75 * INCH, 2.75 * INCH + 9 * FOOT, 21 * FOOT - 2.75 * INCH]
    assert middles(cart_shelter, "front", "ridge", "back") == pytest.approx(expected, abs=1e-3)
    # From the store, 7 ft long: 10 ft to the first middle; the last, 3-1/2 in thick, flush.
    expected = [17 * FOOT, 26 * FOOT - 1.75 * INCH]
    assert middles(dory_shelter, "right bay") == pytest.approx(expected, abs=1e-3)


def test_nailed_braces_fill_the_corner_of_post_and_beam(dory_shelter: Building) -> None:
    # Right-angled triangles with legs of 18 in, less those above the brace, whose legs are shorter
    # by the bevel: sqrt 2 times the 3-1/2 in of a 4x4.
    legs = 18 * INCH, (18 - 3.5 * sqrt(2)) * INCH
    volume = (legs[0] ** 2 - legs[1] ** 2) / 2 * 3.5 * INCH
    braces = of_kind(dory_shelter, Kind.KNEE_BRACE)
    # In the front and in the back: both sides of the first post, the store's side of the last.
    assert len(braces) == 2 * 3
    for brace in braces:
        assert brace.shape.volume_mm3 == pytest.approx(volume, rel=1e-9)
        box = box_of(brace)
        beam = [
            box_of(part)
            for part in of_kind(dory_shelter, Kind.BEAM)
            if part.name in dory_shelter.mates[brace.name]
        ]
        assert box.high[2] == pytest.approx(beam[0].low[2], abs=CUT_MM)
        for axis in (0, 2):
            assert box.high[axis] - box.low[axis] == pytest.approx(legs[0], abs=CUT_MM)
        (post,) = [
            box_of(part)
            for part in of_kind(dory_shelter, Kind.POST)
            if part.name in dory_shelter.mates[brace.name]
        ]
        sides = (box.high[0] - post.low[0], box.low[0] - post.high[0])
        assert min(map(abs, sides)) < CUT_MM


def test_nails_of_a_brace(dory_shelter: Building) -> None:
    # Two toenails in each side at each of its two ends: common practice, no source.
    nails = [one.pieces for one in fixed(dory_shelter) if one.part.kind is Kind.KNEE_BRACE]
    assert nails == [4] * 2 * 6


def test_bolts_of_a_brace(cart_shelter: Building) -> None:
    # A 2x6 and a post of 7-1/2 in are 9 in, and 1-1/4 in makes 10-1/4; on two plies and 1/2 in
    # between, 5 in, 6-1/4; on three plies at the ridge, 6 in, 7-1/4. Up to a whole 1/2 in (common
    # practice, no source).
    bolts = Counter[float]()
    for one in fixed(cart_shelter):
        if one.part.kind is Kind.BOLTED_BRACE:
            bolts[bolt_for(one, cart_shelter).length_mm / INCH] += one.pieces
    assert bolts == {10.5: 12, 6.5: 8, 7.5: 4}


def test_bolted_braces_lie_on_the_outer_faces(cart_shelter: Building) -> None:
    # Flush with the framing's front and back face, 1-1/2 in out from there; bevelled at 45 degrees
    # to the middle of the post, where the two of a post meet.
    for name, face in (
        ("front", (-1.5 * INCH, 0.0)),
        ("back", (15 * FOOT, 15 * FOOT + 1.5 * INCH)),
    ):
        braces = [
            part
            for part in of_kind(cart_shelter, Kind.BOLTED_BRACE)
            if part.name.startswith(f"{name} ")
        ]
        assert len(braces) == 4
        for brace in braces:
            box = box_of(brace)
            assert (box.low[1], box.high[1]) == pytest.approx(face, abs=CUT_MM)
            ends = corners(brace)
            low = ends[ends[:, 2] < box.low[2] + CUT_MM]
            (post,) = [
                box_of(part)
                for part in of_kind(cart_shelter, Kind.POST)
                if part.name in cart_shelter.mates[brace.name]
            ]
            assert low[:, 0] == pytest.approx((post.low[0] + post.high[0]) / 2, abs=CUT_MM)


def test_bolted_braces_end_under_a_soffit() -> None:
    table = carport(
        posts={"high_height": "11 ft", "brace": {"fixed": "bolted"}},
        edges={"soffit": "11 mm plywood 1220x2440"},
    )
    scene, problems = check_scene(table)
    assert scene
    assert problems == []
    assert [finding.text for finding in check(build(scene))] == []


def test_a_slab_is_cast_round_the_footings(cart_shelter: Building) -> None:
    # 21 by 15 ft, 4 in thick, its top 2 in over the ground, 4 in of gravel under it; less the
    # footings, 12 in across in the middle of each post, and 1/2 in of joint filler round them.
    (slab,), (gravel,) = (of_kind(cart_shelter, kind) for kind in (Kind.SLAB, Kind.GRAVEL))
    area = shapely.box(0, 0, 21 * FOOT, 15 * FOOT)
    for post in of_kind(cart_shelter, Kind.POST):
        box = box_of(post)
        middle = [(box.low[axis] + box.high[axis]) / 2 for axis in (0, 1)]
        # A polygon of 4096 sides is a circle but for 4e-7 of it.
        area -= shapely.Point(middle).buffer(6.5 * INCH, quad_segs=1024)
    for layer, low, high in ((slab, -2, 2), (gravel, -6, -2)):
        box = box_of(layer)
        assert (box.low[2], box.high[2]) == pytest.approx((low * INCH, high * INCH), abs=CUT_MM)
        assert layer.shape.volume_mm3 == pytest.approx(area.area * 4 * INCH, rel=1e-6)


def test_a_slab_under_bays_is_parted_by_its_own_thickness(cart_shelter: Building) -> None:
    # 30 times 4 in is 10 ft: 15 ft in two, 21 ft in three, each cut an inch deep (NRMCA CIP 6).
    cuts = control_joints(cart_shelter)
    assert [cut.across for cut in cuts] == ["x", "x", "y"]
    assert [cut.at_mm for cut in cuts] == pytest.approx([7 * FOOT, 14 * FOOT, 7.5 * FOOT])
    assert [cut.depth_mm for cut in cuts] == pytest.approx([INCH] * 3)


def test_gravel_of_a_bay_ends_where_the_stores_begins(dory_shelter: Building) -> None:
    # The store's bed reaches 1 ft past its 7 ft; the bay's goes on from there to its end at 26 ft,
    # less the footings: whole discs but for what stands out past the posts' outer faces.
    bed = next(part for part in of_group(dory_shelter, "foundation") if part.kind is Kind.GRAVEL)
    (bay,) = of_group(dory_shelter, "bay ground")
    assert box_of(bed).high[0] == pytest.approx(8 * FOOT)
    assert (box_of(bay).low[0], box_of(bay).high[0]) == pytest.approx((8 * FOOT, 26 * FOOT))
    whole = 18 * FOOT * 14 * FOOT * 4 * INCH
    assert whole - 4 * pi * (6.5 * INCH) ** 2 * 4 * INCH < bay.shape.volume_mm3 < whole


def carport(**tables: Any) -> dict[str, Any]:
    """A carport of two bays, and what else is said of it."""
    return {
        "title": "Cab rank",
        "building": {"length": "20 ft", "depth": "16 ft"},
        "posts": {"high_height": "9 ft", **tables.pop("posts", {})},
        "roof": {"slope": "2:12"},
        **tables,
    }


def test_rows_of_inner_posts_carry_long_rafters() -> None:
    # Rows 6 and 13 ft from the front: four rows of three posts with four beams, all rafters notched
    # over each beam, 3-1/2 in wide, in its middle.
    posts = {"high_height": "11 ft", "widths": ["11 ft"], "rows": ["6 ft", "13 ft"], "brace": {}}
    scene, problems = check_scene(
        carport(
            building={"length": "20 ft", "depth": "21 ft"},
            posts=posts,
            cutting={"longest": "24 ft"},
        )
    )
    assert scene
    assert problems == []
    building = build(scene)
    assert [finding.text for finding in check(building)] == []
    counted = Counter(part.kind for part in building.parts)
    assert counted[Kind.POST] == 4 * 3
    assert counted[Kind.KNEE_BRACE] == 4 * 4
    named = {part.name: part for part in building.parts}
    for name, middle in (("inner 1 beam", 6 * FOOT), ("inner 2 beam", 13 * FOOT)):
        boxes = [box_of(part) for part in of_group(building, name)]
        low, high = min(box.low[1] for box in boxes), max(box.high[1] for box in boxes)
        assert (low, high) == pytest.approx((middle - 1.75 * INCH, middle + 1.75 * INCH))
        held = {mate for part in of_group(building, name) for mate in building.mates[part.name]}
        rafters = {mate for mate in held if named[mate].kind in (Kind.RAFTER, Kind.END_RAFTER)}
        assert len(rafters) == counted[Kind.RAFTER] + counted[Kind.END_RAFTER]


REFUSED: dict[str, tuple[dict[str, Any], str, str, str]] = {
    "a notch that leaves nothing": (
        carport(posts={"post": "4x4"}),
        "posts.post",
        'too thin to be notched for a beam 3-1/2" thick: 0" is left of it',
        'give posts.seat "cap"',
    ),
    # Three plies of 1-1/2 in leave 1 in of a 6x6, 5-1/2 in, and 3 in of a 6x8, 7-1/2 in.
    "a notch that leaves an inch": (
        carport(beam={"plies": 3, "spacer": "none"}),
        "posts.post",
        'for a beam 4-1/2" thick: 1" is left of it, and 1-1/2" is the least',
        'give "6x8"',
    ),
    "bays that take all of the length": (
        carport(posts={"widths": ["11 ft", "8 ft 6 in"]}),
        "posts.widths[2]",
        'leaves 1/2" for the last bay',
        "give at most 6' 6-7/8\"",
    ),
    # The last post is flush with the end: over half its 5-1/2 in, no joint.
    "a bay wider than its beam's stock": (
        carport(building={"length": "60 ft", "depth": "16 ft"}, posts={"widths": ["30 ft"]}),
        "beam.ply",
        "30' 2-3/4\" long, and the longest 2x8 is 19' 11\"",
        "leave out posts.widths",
    ),
    # The back beam lies lower by 2 in a foot over 15 ft 8-1/2 in, from the lower edge of one seat
    # to that of the other: 8 ft 8 in - 2 ft 7-5/12 in - 1 ft 6 in = 4 ft 6-7/12 in.
    "braces too low for heads": (
        carport(posts={"high_height": "8 ft 8 in", "brace": {}}),
        "posts.brace.leg",
        "down to 4' 6-9/16\" over the ground, and 5' 0\" is the least",
        "give 1' 0\"",
    ),
    "braces that meet": (
        carport(posts={"high_height": "14 ft", "every": "6 ft", "brace": {"leg": "3 ft 6 in"}}),
        "posts.brace.leg",
        "out into a bay that has room for",
        "give",
    ),
    "a slab over the footings": (
        carport(posts={"ground": {"kind": "slab", "above_ground": "6 in"}}),
        "posts.ground.above_ground",
        'over footings 3" above ground',
        'give at most 3"',
    ),
    "walls beside posts": (
        carport(walls={"stud": "2x6"}),
        "walls",
        "belongs to a store",
        "leave out walls",  # without posts it would want a floor or a pad
    ),
    "neither walls nor posts": (
        {key: value for key, value in carport().items() if key != "posts"},
        "foundation",
        "is missing",
        "add the table [foundation]",
    ),
    "a row beside the front beam": (
        carport(posts={"rows": ["1 ft"]}),
        "posts.rows[1]",
        "nearer than 1' 11-5/8\" to the next beam",
        "give at least 1' 11-5/8\" and at most 14' 0-3/8\"",
    ),
    "a row where ties run": (
        carport(posts={"rows": ["8 ft"]}, roof={"slope": "6:12", "ridge": {"kind": "board"}}),
        "posts.rows",
        "where the ties of a ridge board run",
        "leave out posts.rows",
    ),
    "widths and a distance": (
        carport(posts={"widths": ["9 ft"], "every": "8 ft"}),
        "posts.every",
        "stands beside widths",
        "leave out posts.every",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_does_not_go_together_has_one_message(name: str) -> None:
    table, key, wrong, mend = REFUSED[name]
    problems = check_scene(table)[1]
    (problem,) = problems
    assert problem.key == key
    assert wrong in problem.wrong
    assert mend in problem.mend


def test_the_shortest_scene_of_the_page_is_clean() -> None:
    page = README.read_text(encoding="utf-8").split("## `[posts]`")[1]
    example = re.search(r"```toml\n(.+?)```", page, re.DOTALL)
    assert example
    scene, problems = check_scene(tomllib.loads(example[1]))
    assert scene
    assert problems == []
    assert [finding.text for finding in check(build(scene))] == []


def test_a_cap_takes_a_4x4_under_two_plies() -> None:
    assert check_scene(carport(posts={"post": "4x4", "seat": "cap"}))[1] == []

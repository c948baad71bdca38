"""A building that is framed on one foundation and moved onto another, in both of its places."""

from __future__ import annotations

import copy
import math
import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from measuring import CUT_MM, INCH, box_of, of_group, of_kind
from mended import follow, ways
from pikepole_export.derive.buying.amounts import Thing
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.buying.sundries import sundries
from pikepole_export.derive.inventory.parts import part_rows
from pikepole_export.derive.inventory.summary import summary
from pikepole_export.derive.inventory.weights import weights
from pikepole_export.derive.lifting.items import items
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.derive.moving.plan import plan_moves
from pikepole_export.graphics.layers import layers_of, standing_layers
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.errors import SceneError
from pikepole_model.reading.file import check_scene
from strategies import Table, scene_of
from whole import changes

PRESS_HOUSE = Path(__file__).parent / "scenes" / "forms" / "press-house.toml"
FRAMED = ("Back wall", "Front wall", "Left wall", "Right wall")


def table(**changes: Any) -> Table:
    """The press house as it is written, with other values in its tables."""
    scene = copy.deepcopy(tomllib.loads(PRESS_HOUSE.read_text(encoding="utf-8")))
    for name, values in changes.items():
        scene[name] = {**scene[name], **values} if isinstance(values, dict) else values
    return scene


@pytest.fixture(scope="module")
def press_house() -> Building:
    return build(scene_of(table()))


@pytest.fixture(scope="module")
def on_blocks() -> Building:
    blocks = {"kind": "piers", "girder": "6x6", "inset": "7 in", "spacing": "5 ft"}
    return build(scene_of(table(move={"built_on": blocks})))


def test_clean_in_both_places(press_house: Building, on_blocks: Building) -> None:
    for building in (press_house, on_blocks):
        assert [finding.text for finding in check(building)] == []


def test_stages(press_house: Building) -> None:
    # The slab is poured while the frame is built elsewhere; what holds it down is drilled in once
    # it lies there, and the bay is built on after that. Common practice, no source.
    assert [stage.name for stage in press_house.stages][:12] == [
        "Standing already",
        "First foundation",
        "Foundation",
        "Floor frame",
        "Floor deck",
        *FRAMED,
        "Gaps closed",
        "Wall sheathing",
        "Anchors",
    ]
    assert press_house.before
    assert [stage.name for stage in press_house.before.stages] == [
        "Standing already",
        "First foundation",
        "Floor frame",
        "Floor deck",
        *FRAMED,
        "Gaps closed",
        "Wall sheathing",
    ]


def test_two_foundations(press_house: Building) -> None:
    # The skids lie on the gravel, flush with the ground, and then on the slab, 3 in over it.
    before, finished = press_house.before, press_house.finished
    assert before
    assert {box_of(skid).low[2] for skid in of_kind(before, Kind.SKID)} == {0.0}
    for skid in of_kind(finished, Kind.SKID):
        assert box_of(skid).low[2] == pytest.approx(3 * INCH, abs=CUT_MM)
    assert of_kind(before, Kind.SLAB) == of_group(finished, "first foundation") == []
    assert [part.name for part in of_group(before, "first foundation")] == ["gravel bed 1"]
    # Of the rest each is in both, a slab's height apart.
    left = ("existing", "first foundation")
    there = {part.name: box_of(part) for part in before.parts if part.group not in left}
    for part in finished.parts:
        if part.name in there:
            assert box_of(part).low[2] - there[part.name].low[2] == pytest.approx(3 * INCH)
    assert len(there) == len(before.parts) - 6 - 1 > 150


def test_blocks_are_left_behind(on_blocks: Building) -> None:
    # Blocks 12 in wide under both ends of 184 in: 172 in from middle to middle, in steps of at most
    # 5 ft: 3 steps, 4 blocks under each of 3 girders.
    assert on_blocks.before
    assert len(of_kind(on_blocks.before, Kind.PIER)) == 4 * 3
    assert of_kind(on_blocks.finished, Kind.PIER) == []
    assert {name.rstrip("0123456789 ") for name in on_blocks.left} == {
        "pier block",
        "pier gravel",
        *(one.name for one in on_blocks.scene.existing),
    }


def test_anchors(press_house: Building) -> None:
    # A skid is 184 in long and its toes 1-1/2 in: 181 in bear. The end anchors 12 in from the ends
    # of that, 157 in between them, at most 4 ft apart: 4 spaces, 5 anchors, on the outer face of
    # both outer skids. Placed by IRC R403.1.6 as the bolts of a plate are, and where a joist lies
    # over one or nearer than 1-1/2 in, beside it: one ends at the back post, 2336.8 mm from the
    # left end less 6 mm of room, and the post's gap behind it is filled with studs.
    anchors, angles = (
        of_kind(press_house, kind) for kind in (Kind.DRILLED_ANCHOR, Kind.ANCHOR_ANGLE)
    )
    assert len(anchors) == len(angles) == 2 * 5
    fronts = {round(one.centre_mm[1] / INCH, 3) for one in anchors}
    # 2 in off the outer faces, which are 5 in inside of 122 in.
    assert fronts == {5 - 2, 122 - 5 + 2}
    beside = (2336.8 - 6) / INCH
    for y, middle in ((min(fronts), beside + 1.5), (max(fronts), beside - 1.5 - 1.5)):
        xs = sorted(p.centre_mm[0] / INCH for p in anchors if round(p.centre_mm[1] / INCH, 3) == y)
        wished = [13.5 + 157 / 4 * k for k in range(5)]
        assert xs == pytest.approx([*wished[:2], middle, *wished[3:]])
    for anchor in anchors:
        # 4 in of it in the concrete.
        assert box_of(anchor).low[2] == pytest.approx((3 - 4) * INCH, abs=CUT_MM)


def test_fingers_have_room_round_a_rod(press_house: Building) -> None:
    # A rod in adhesive is turned in upright, by fingers that take 1-1/2 in from its middle (common
    # practice, no source): so much is free of joists, rims and what fills the posts' gaps.
    over = [box_of(p) for p in of_kind(press_house, Kind.JOIST, Kind.RIM, Kind.FLOOR_BLOCK)]
    filling = of_group(press_house, "closed gaps")
    over += [box_of(part) for part in filling if part.kind is Kind.STUD]
    for rod in of_kind(press_house, Kind.DRILLED_ANCHOR):
        x, y, _ = rod.centre_mm
        for one in over:
            across = max(one.low[0] - x, x - one.high[0])
            out = max(one.low[1] - y, y - one.high[1])
            assert max(across, out) > 1.5 * INCH - CUT_MM


def test_a_rim_too_near_to_rods_is_found() -> None:
    # Skids 4-1/2 in inside set rods of 12 in and more 2-1/2 in inside, 1 in behind the rim: 5-1/2
    # in lie under it, and 10-1/2 in and 1.236 of rod stand over a pad when they are let in.
    deep = {"thickness": "24 in", "bolt_embedment": "10-1/2 in"}
    near = table(foundation=deep, move={"built_on": SKIDS | {"inset": "4-1/2 in"}})
    assert [one.key for one in check(build(scene_of(near)))] == ["foundation.bolt_embedment"]
    assert not check(build(scene_of(table(foundation=deep))))


def test_rods_go_in_between_pad_and_frame() -> None:
    # Between the joists the floor's sheets lie 5-1/2 + 7-1/4 = 12-3/4 in over the pad. A rod of
    # 1/2 in is as long as its hole is deep and 1/4 in of angle, 1/4 of washer, 1/2 of nut and 6 mm
    # over it: 1.236 in. 11-1/2 in of it in the pad still go in; 11-5/8 do not.
    for deep, goes in (("11-1/2 in", True), ("11-5/8 in", False)):
        thick = {"thickness": "24 in", "bolt_embedment": deep}
        found = [one.key for one in check(build(scene_of(table(foundation=thick))))]
        assert found == ([] if goes else ["foundation.bolt_embedment"])


def test_adhesive_fills_the_holes(press_house: Building) -> None:
    # 10 holes of 5/8 in round rods of 1/2 in, 4 in deep, twice over, of 300 ml a cartridge.
    (one,) = (one for one in sundries(press_house, 0.0) if one.thing is Thing.ADHESIVE)
    ring_mm2 = math.pi / 4 * (0.625**2 - 0.5**2) * INCH**2
    assert one.net == pytest.approx(2 * 10 * ring_mm2 * 4 * INCH / 300_000)
    assert one.buy == 1


def test_anchors_are_bought(press_house: Building) -> None:
    # One each with nut and washer, and two lag screws in each angle (common practice, no source).
    pieces: Counter[str] = Counter()
    for row in fasteners(press_house):
        pieces[row.fastener] += row.pieces
    assert pieces["1/2 in adhesive anchor with nut and washer"] == 10
    assert pieces["lag screw 3/8 x 3 in with washer"] == 2 * 10
    assert pieces["angle 3-1/2 x 3-1/2 x 1/4 in, 3 in long"] == 10


def test_what_is_left_is_no_part_of_the_weight(press_house: Building) -> None:
    rows = part_rows(press_house)
    found = summary(press_house, rows, weights(press_house, rows), ())
    left = [row for row in rows if row.group == "first foundation"]
    assert len(left) == 1
    whole = sum(row.mass.likely_kg for row in rows)
    assert found.mass.likely_kg == pytest.approx(whole - left[0].mass.likely_kg)
    assert found.stages[-1].running_mass.likely_kg == pytest.approx(found.mass.likely_kg)
    # The slab stands alone while the frame is built elsewhere.
    by_name = {stage.name: stage for stage in found.stages}
    slab = by_name["Foundation"]
    assert slab.running_mass == slab.mass
    skids = by_name["First foundation"].mass.likely_kg + by_name["Floor frame"].mass.likely_kg
    assert by_name["Floor frame"].running_mass.likely_kg == pytest.approx(skids)


def test_what_is_drawn(press_house: Building) -> None:
    layers = layers_of(press_house)
    numbers = {stage.name: stage.number for stage in press_house.stages}

    def stands(name: str) -> set[str]:
        shown = standing_layers(press_house, numbers[name])
        return {part.group for layer in shown for part in layers[layer]}

    assert stands("Foundation") == set()
    assert stands("Floor frame") == {"existing", "first foundation", "skids and girders"}
    assert "existing" in stands("Right wall")
    assert "existing" not in stands("Wall sheathing")
    assert "foundation" in stands("Anchors")
    assert "first foundation" not in stands("Anchors")
    # One stage after the other, as it was put up: lines of studs do not show through the sheets.
    shown = [layers[layer] for layer in standing_layers(press_house, numbers["Anchors"])]
    stages = [{part.stage for part in parts} for parts in shown]
    assert all(len(own) == 1 for own in stages)
    assert (ups := [min(own) for own in stages]) == sorted(ups)
    # As they are drawn there: the floor a slab's height higher than before.
    for name, low in (("Floor deck", 0.0), ("Anchors", 3.0)):
        shown = standing_layers(press_house, numbers[name])
        skid = next(
            part for layer in shown for part in layers[layer] if part.group == "skids and girders"
        )
        assert box_of(skid).low[2] == pytest.approx(low * INCH, abs=CUT_MM)


def test_lifts_end_where_the_work_is(press_house: Building) -> None:
    by_name = {item.name: item for item in items(press_house)}
    assert by_name["skid 1"].whole.low_mm == pytest.approx(0.0, abs=CUT_MM)
    # Its foot is on the floor, which is 5-1/2 + 7-1/4 + 23/32 over the gravel.
    assert by_name["front wall"].whole.low_mm == pytest.approx((5.5 + 7.25 + 23 / 32) * INCH)
    names = {lift.item.name for lift in lift_plan(press_house).lifts}
    assert {"skid 1", "carrying beam 1"} <= names


def test_the_move(press_house: Building) -> None:
    moves = plan_moves(press_house)
    # What closes the gaps of the posts is the last of the floor frame.
    assert [row.name for row in moves.table] == ["Gaps closed", "Wall sheathing"]
    plan = moves.plan
    assert plan
    assert plan.problems == ()
    said = " ".join(one.text for one in plan.conduct.down)
    assert '3" out of the ground' in said
    assert "10 drilled anchors" in said
    # No drill gets in beside the skids then.
    assert any("10 holes" in one.text for one in plan.first)
    # Those of its bay are cast when it stands there: common practice, no source.
    assert "footing" not in said


def own_stages(*moved: tuple[str, ...]) -> Table:
    """The usual order, with other stages at its beginning."""
    usual = build(scene_of(table()))
    taken = {group for groups in moved for group in groups}
    stages = [
        {"name": stage.name, "groups": list(dict.fromkeys(part.group for part in stage.parts))}
        for stage in usual.stages
    ]
    rest = [
        {**stage, "groups": groups}
        for stage in stages
        if (groups := [group for group in stage["groups"] if group not in taken])
    ]
    first = [{"name": f"Own {k}", "groups": list(groups)} for k, groups in enumerate(moved)]
    return table(stage=[*first, *rest])


def test_nothing_goes_up_before_what_holds_it_there() -> None:
    scene = scene_of(own_stages(("floor frame",)))
    found = [one.text for one in check(build(scene))]
    assert any("what holds them comes only in stage" in text for text in found)


def test_nobody_works_in_two_places_in_one_stage() -> None:
    scene = scene_of(own_stages(("first foundation", "foundation")))
    with pytest.raises(SceneError) as caught:
        build(scene)
    (problem,) = caught.value.problems
    assert (problem.key, problem.value) == ("stage", '"Own 0"')
    assert problem.mend == 'put "foundation" into a stage of its own'


def test_anchors_are_drilled_after_the_move() -> None:
    problems = check_scene(own_stages(("first foundation", "skids and girders"), ("anchors",)))[1]
    assert [problem.key for problem in problems] == ["stage[2].groups"]
    assert 'a stage after "Wall sheathing"' in problems[0].mend


SKIDS = {"kind": "skids", "skid": "6x6", "inset": "5 in"}


@pytest.mark.parametrize(
    ("scene", "key", "mends"),
    [
        # 8 x 1/2 in to the edge, of which 3 in are inside of the framing (ACI 318-19, 17.9.2).
        (table(foundation={"margin": "0 in"}), "foundation.margin", ["1 in"]),
        # 3 in over and 12 in in the ground: all but 4 in, as more than 2/3 (ACI 318-19, 17.9.4).
        (table(foundation={"bolt_embedment": "12 in"}), "foundation.bolt_embedment", ["11 in"]),
        (table(move={"built_on": None}), "move", []),
        (table(foundation=SKIDS | {"margin": None}), "move.built_on", []),
        (table(move={"way": "jacks", "beams": None}), "move.way", []),
        (table(move={"built_on": SKIDS | {"inset": "4 ft 8 in"}}), "move.built_on.count", []),
        (
            table(
                move={
                    "way": "rollers",
                    "ramp": {"height": "2 in", "length": "8 ft", "plank": "2x10"},
                }
            ),
            "move.ramp.height",
            ["3 in"],
        ),
    ],
)
def test_what_is_refused_is_mended(scene: Table, key: str, mends: list[str]) -> None:
    def pruned(values: Any) -> Any:
        if isinstance(values, dict):
            return {name: pruned(value) for name, value in values.items() if value is not None}
        return values

    scene = pruned(scene)
    if scene["foundation"].get("kind") == "skids":
        scene["foundation"] = SKIDS
    problems = check_scene(scene)[1]
    assert [problem.key for problem in problems] == [key]
    found = changes(scene, problems[0])
    assert found or "add the table [move.built_on]" in problems[0].mend
    for table in found:
        assert key not in {one.key for one in check_scene(table)[1]}
    for mend in mends:
        assert mend.replace(" in", '"') in problems[0].mend


def test_a_margin_is_for_what_is_moved() -> None:
    scene = table(foundation={"margin": "8 in"})
    del scene["move"], scene["floor"], scene["existing"]
    del scene["opening"][0]["steps"]  # the pad is 3 in up
    problems = check_scene(scene)[1]
    assert [(one.key, one.mend) for one in problems] == [
        ("foundation.margin", "leave out foundation.margin")
    ]


def test_a_post_that_sheets_shut_in_is_found_with_the_stage_before_them() -> None:
    # A post is cut and drawn out of an open bay: common practice, no source.
    scene = table()
    for one in scene["existing"]:
        one["until"] = "Wall sheathing"
    found = check(build(scene_of(scene)))
    keys = [f"existing[{k}].until" for k in range(1, len(scene["existing"]) + 1)]
    assert [one.key for one in found] == keys
    for one in found:
        ((key, stage),) = ways(one.mend, one.key)
        scene = follow(scene, key, stage)
    assert not check(build(scene_of(scene)))

"""Where openings and posts are, said in each of the ways there are."""

from __future__ import annotations

from typing import Any

import pytest

from measuring import CUT_MM, INCH, box_of, of_group
from mended import follow, ways
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.errors import Problem
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.walls import plan_walls
from pikepole_model.reading.file import check_scene
from pikepole_model.reading.mends import with_mends
from pikepole_model.rules.places import elsewhere
from pikepole_model.scene.schema import Scene
from test_scene_mends import plain

DOOR = {"name": "way in", "kind": "door", "wall": "back", "width": "3 ft", "height": "6 ft"}
LIGHT = {**DOOR, "name": "light", "kind": "window", "height": "2 ft", "sill": "2 ft"}


def scene_of(*openings: dict[str, Any], **tables: Any) -> Scene:
    return Scene.model_validate({**STORE, "opening": list(openings), **tables})


STORE: dict[str, Any] = plain(building={"length": "20 ft", "depth": "10 ft"})


def lefts(*openings: dict[str, Any], **tables: Any) -> dict[str, float]:
    """Left corner of its wall to each rough opening by its name, in."""
    plans = plan_walls(RoofPlan(Datums(scene_of(*openings, **tables))))
    return {one.opening.name: one.left / INCH for plan in plans for one in plan.openings}


@pytest.mark.parametrize(
    ("wall", "place", "left"),
    [
        # A wall of 20 ft is 240 in, one of 10 ft 120 in; the door is 36 in wide.
        ("back", {"from_left": "5 ft"}, 60),
        ("back", {"from_right": "5 ft"}, 240 - 60 - 36),
        ("back", {"at": "middle"}, (240 - 36) / 2),
        ("right", {"from_right": "2 ft"}, 120 - 24 - 36),
        ("right", {"at": "middle"}, (120 - 36) / 2),
    ],
)
def test_a_place_in_a_wall(wall: str, place: dict[str, str], left: float) -> None:
    assert lefts({**DOOR, "wall": wall, **place}) == pytest.approx({"way in": left})


def test_a_row_by_its_distance_from_middle_to_middle() -> None:
    # Windows of 3 ft, 5 ft from middle to middle: 2 ft between two. Three of them are 13 ft wide.
    row = {**LIGHT, "count": 3, "every": "5 ft"}
    names = [f"light {k}" for k in (1, 2, 3)]
    for place, first in (
        ({"from_left": "4 ft"}, 48),
        ({"from_right": "4 ft"}, 240 - 48 - 156),
        ({"at": "middle"}, (240 - 156) / 2),
    ):
        expected = dict(zip(names, (first, first + 60, first + 120), strict=True))
        assert lefts({**row, **place}) == pytest.approx(expected)
        apart = {**LIGHT, "count": 3, "apart": "2 ft", **place}
        assert lefts(apart) == pytest.approx(expected)


def test_what_is_in_the_middle_stays_there_when_the_store_grows() -> None:
    longer = {"building": {"length": "26 ft", "depth": "10 ft"}}
    assert lefts({**DOOR, "at": "middle"}, **longer) == pytest.approx({"way in": (312 - 36) / 2})


def posts_x(building: Building, group: str) -> list[float]:
    """Middles of a group's posts, in, each place once."""
    boxes = [box_of(part) for part in of_group(building, group) if part.kind is Kind.POST]
    return sorted({round((box.low[0] + box.high[0]) / 2 / INCH, 3) for box in boxes})


def test_posts_by_their_greatest_distance() -> None:
    # 12 ft in steps of at most 5 ft are three of 4 ft, the last post, of 5-1/2 in, flush with
    # the end.
    bay = {"side": "right", "reach": "12 ft", "every": "5 ft"}
    building = build(scene_of(bay=[bay]))
    assert posts_x(building, "right bay posts") == pytest.approx(
        [240 + 48, 240 + 96, 240 + 144 - 2.75], abs=CUT_MM
    )
    # A whole number of steps takes no post more.
    building = build(scene_of(bay=[{**bay, "every": "6 ft"}]))
    assert posts_x(building, "right bay posts") == pytest.approx([312, 384 - 2.75], abs=CUT_MM)


def test_posts_of_a_lean_to_by_their_greatest_distance() -> None:
    # Over a store of 20 ft the outer posts' middles are 240 - 5-1/2 in apart: five steps of at
    # most 4 ft.
    bay = {"side": "back", "reach": "4 ft", "every": "4 ft"}
    found = posts_x(build(scene_of(bay=[bay])), "back bay posts")
    assert found == pytest.approx([2.75 + 234.5 * k / 5 for k in range(6)], abs=CUT_MM)


ROW = {**LIGHT, "from_left": "3 ft", "count": 2}
BAY = {"side": "right", "reach": "8 ft"}
REFUSED: dict[str, tuple[dict[str, Any], str]] = {
    "no place": ({"opening": [DOOR]}, "opening[1].from_left"),
    "two places": (
        {"opening": [{**DOOR, "from_left": "3 ft", "at": "middle"}]},
        "opening[1].at",
    ),
    "two places, one of them wrong": (
        {"opening": [{**DOOR, "from_left": "18 ft", "from_right": "4 ft"}]},
        "opening[1].from_right",
    ),
    "two distances": (
        {"opening": [{**ROW, "apart": "1 ft", "every": "4 ft"}]},
        "opening[1].every",
    ),
    "a distance without a row": (
        {"opening": [{**DOOR, "at": "middle", "every": "4 ft"}]},
        "opening[1].every",
    ),
    "a row too tight": ({"opening": [{**ROW, "every": "38 in"}]}, "opening[1].every"),
    "too near the right corner": (
        {"opening": [{**DOOR, "from_right": "1 in"}]},
        "opening[1].from_right",
    ),
    "over another from the right": (
        {"opening": [{**LIGHT, "at": "middle"}, {**DOOR, "from_right": "7 ft"}]},
        "opening[2].from_right",
    ),
    "over another in the middle": (
        {"opening": [{**LIGHT, "from_right": "9 ft"}, {**DOOR, "at": "middle"}]},
        "opening[2].at",
    ),
    "a track past the corner": (
        {
            "opening": [
                {**DOOR, "wall": "left", "width": "4 ft", "at": "middle"}
                | {"door": {"kind": "framed", "track": {}}}
            ]
        },
        "opening[1].door.track",
    ),
    "posts twice": ({"bay": [{**BAY, "posts": 2, "every": "4 ft"}]}, "bay[1].every"),
    "posts too near": (
        {"bay": [{**BAY, "every": "2 ft", "footing": {"diameter": "30 in"}}]},
        "bay[1].every",
    ),
    "posts too far": ({"bay": [{**BAY, "reach": "25 ft", "every": "25 ft"}]}, "beam.ply"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_refused_is_mended_by_the_key_that_was_written(case: str) -> None:
    tables, key = REFUSED[case]
    table = {**STORE, **tables}
    problems = check_scene(table)[1]
    problem = next(one for one in problems if one.key == key)
    found = ways(problem.mend, key)
    assert found, problem.mend
    before = {one.key for one in problems}
    for where, value in found:
        after = {one.key for one in check_scene(follow(table, where, value))[1]}
        assert key not in after, (where, value)
        assert after <= before, (where, value, after)


def test_an_opening_in_the_middle_that_nothing_else_mends_is_told_a_place() -> None:
    table = {**STORE, "opening": [{**DOOR, "at": "middle"}]}
    scene = Scene.model_validate(table)
    wrong = Problem.at(
        ("opening", 0, "at"), "is wrong", "", *elsewhere(scene.opening[0], 0, 2590.8)
    )

    def check(tried: dict[str, Any]) -> list[Problem]:
        return [wrong] if set(tried["opening"][0]) & {"at", "from_left"} != {"from_left"} else []

    # Halfway is 8 ft 6 in from the corner, and an inch on is the nearest other place.
    (mended,) = with_mends([wrong], table, scene, check)
    assert mended.mend == "leave out opening[1].at, and give opening[1].from_left 8' 7\""

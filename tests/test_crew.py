"""Who builds, with what gear, and how the building is moved: read, and refused where wrong."""

from __future__ import annotations

import re
from math import atan, degrees
from pathlib import Path
from typing import Any

import pytest

from fodder import read, refused, table
from pikepole_model.building.sequence import steps_of
from pikepole_model.errors import Problem
from pikepole_model.reading.file import check_scene, load_scene
from pikepole_model.scene.crew import (
    ChainHoist,
    Crew,
    Jack,
    Platform,
    Telehandler,
    Trestles,
    WallJack,
    Winch,
)
from pikepole_model.scene.moving import Move

SCENES = Path(__file__).parents[1] / "scenes"

# 1 lb = 0.45359237 kg and 1 in = 25.4 mm exactly (yard and pound agreement, 1959).
LB, IN = 0.45359237, 25.4


def with_gear(**keys: Any) -> dict[str, Any]:
    return {"gear": [keys]}


# --- what is read ---


def test_a_scene_without_a_crew_has_one_person_and_two_to_call() -> None:
    scene = read()
    assert scene.crew == Crew(people=1, helpers=2, guideline="women", gear=())
    assert (scene.crew.minutes_per_lift, scene.crew.hours_per_day) == (10, 6)
    # About knuckle height over a platform: common practice, no source.
    assert scene.crew.platform_rest == pytest.approx(24 * IN)
    assert scene.move is None


def test_a_crew_as_written() -> None:
    crew = read(
        crew={
            "people": 8,
            "helpers": 0,
            "guideline": "men",
            "platform_rest": "45 cm",
            "minutes_per_lift": 7.5,
            "hours_per_day": 8,
        }
    ).crew
    assert (crew.people, crew.helpers, crew.guideline) == (8, 0, "men")
    assert crew.platform_rest == pytest.approx(450)
    assert (crew.minutes_per_lift, crew.hours_per_day) == (7.5, 8)


def test_what_pieces_lie_on_and_people_stand_on_has_its_height_in_mm() -> None:
    trestles, platform = read(
        crew={
            "gear": [
                {"kind": "trestles", "height": "30 in"},
                {"kind": "platform", "height": "1.2 m"},
            ]
        }
    ).crew.gear
    assert isinstance(trestles, Trestles)
    assert isinstance(platform, Platform)
    assert (trestles.height, platform.height) == (pytest.approx(30 * IN), 1200)


def test_gear_that_carries_has_its_rating_in_kg_and_its_sizes_in_mm() -> None:
    jack, hoist, truck, step, winch = read(
        crew={
            "gear": [
                {"kind": "wall jack", "rating": "1000 lb", "reach": "9 ft"},
                {"kind": "chain hoist", "rating": "0.5 t", "reach": "12 ft"},
                {"kind": "telehandler", "rating": "2500 kg", "reach": "5.5 m"},
                {"kind": "jack", "rating": "4000 lb", "stroke": "6 in"},
                {"kind": "winch", "rating": "2000 lb"},
            ]
        }
    ).crew.gear
    assert isinstance(jack, WallJack)
    assert (jack.rating, jack.count, jack.reach) == (pytest.approx(1000 * LB), 2, 108 * IN)
    assert isinstance(hoist, ChainHoist)
    assert (hoist.rating, hoist.reach) == (500, pytest.approx(144 * IN))
    assert isinstance(truck, Telehandler)
    # Rated at 24 in, with two sling legs at 60 degrees, where nothing else is said.
    assert (truck.rating, truck.load_centre) == (2500, pytest.approx(24 * IN))
    assert (truck.reach, truck.sling_legs, truck.sling_angle) == (5500, 2, 60)
    assert isinstance(step, Jack)
    # A 4x4 is 3-1/2 in dressed (PS 20).
    assert (step.stroke, step.layer) == (pytest.approx(6 * IN), pytest.approx(3.5 * IN))
    assert isinstance(winch, Winch)
    assert (winch.rating, winch.parts) == (pytest.approx(2000 * LB), 1)


def test_a_move_of_which_only_the_stage_is_told() -> None:
    # Forks of the usual length end before the last skid of a store 8 ft deep.
    problem = refused(move={"after": "Wall sheathing"})
    assert (problem.key, problem.value) == ("move.fork", "4' 0\" by default")
    assert problem.mend.startswith(
        "give at least 8' 0\", or give move.beams.length at least 8' 0\""
    )
    move = read(move={"after": "Wall sheathing", "fork": "8 ft"}).move
    assert isinstance(move, Move)
    assert (move.way, move.side, move.rise, move.friction) == ("forks", "front", 0, 0.1)
    assert move.fork_spacing == pytest.approx(48 * IN)
    # Cautious: common practice, no source.
    assert (move.fork_width, move.fork_thickness) == (
        pytest.approx(4 * IN),
        pytest.approx(2.5 * IN),
    )


def test_a_move_as_written() -> None:
    move = read(
        move={
            "after": "Rafters",
            "way": "rollers",
            "side": "left",
            "rise": "1:20",
            "friction": 0.25,
        }
    ).move
    assert isinstance(move, Move)
    assert (move.after, move.way, move.side, move.friction) == ("Rafters", "rollers", "left", 0.25)
    assert move.rise == pytest.approx(degrees(atan(1 / 20)))


def test_a_move_after_a_stage_that_the_scene_names_itself() -> None:
    stages = [{"name": "All of it", "groups": ["floor frame"]}]
    assert read(stage=stages, move={"after": "All of it", "fork": "8 ft"}).move
    problem = refused(stage=stages, move={"after": "Rafters", "fork": "8 ft"})
    assert (problem.key, problem.mend) == ("move.after", 'give "All of it"')


@pytest.mark.parametrize("path", sorted(SCENES.glob("*.toml")), ids=lambda path: path.stem)
def test_scenes_that_ship_say_who_builds(path: Path) -> None:
    scene = load_scene(path)
    assert "crew" in scene.model_fields_set
    assert scene.crew.gear


def test_the_honey_house_is_moved_before_anything_stands_on_its_footings() -> None:
    scene = load_scene(SCENES / "honey-house.toml")
    assert scene.move
    order = [step.name for step in steps_of(scene)]
    assert order.index(scene.move.after) < order.index("Beams and posts")


# --- what is refused ---


def test_a_crew_of_nobody() -> None:
    assert refused(crew={"people": 0}) == Problem(
        "crew.people", "0", "is a crew of nobody: you count too", "give at least 1 and at most 8"
    )


@pytest.mark.parametrize(
    ("key", "value", "wrong", "mend"),
    [
        ("people", 9, "is too large", "give at least 1 and at most 8"),
        ("people", -1, "is negative", "give at least 1 and at most 8"),
        ("people", 1.5, "is not a whole number", "give at least 1 and at most 8"),
        ("people", False, "is not a whole number", "give at least 1 and at most 8, "),
        ("helpers", 9, "is too large", "give at least 0 and at most 8"),
        ("guideline", "boys", "is not one of the choices", 'give "women" or "men"'),
        ("minutes_per_lift", 0, "is zero", "give at least 1 and at most 120"),
        ("hours_per_day", 25, "is too large", "give at least 1 and at most 16"),
        ("gear", "winch", "is not a list of tables", "write each one headed [[crew.gear]]"),
        ("helper", 1, "is no key of [crew]", "the nearest there is: helpers"),
    ],
)
def test_a_crew_that_is_wrong(key: str, value: object, wrong: str, mend: str) -> None:
    problem = refused(crew={key: value})
    assert (problem.key, problem.wrong) == (f"crew.{key}", wrong)
    assert problem.mend.startswith(mend)


@pytest.mark.parametrize(
    "kind",
    [
        "wall jack",
        "chain hoist",
        "telehandler",
        "material lift",
        "two-wheel truck",
        "jack",
        "winch",
    ],
)
def test_gear_without_its_rating(kind: str) -> None:
    sizes = {"jack": {"stroke": "6 in"}, "winch": {}, "two-wheel truck": {}}.get(
        kind, {"reach": "9 ft"}
    )
    assert refused(crew=with_gear(kind=kind, **sizes)) == Problem(
        "crew.gear[1].rating",
        "",
        "is missing",
        'add it, such as rating = "1000 lb" or "450 kg"',
    )


# 50 kg is 110.2311 lb and 50 t is 110 231.1 lb: a limit that is printed is itself allowed.
@pytest.mark.parametrize(
    ("rating", "value", "wrong", "mend"),
    [
        (2000, "2000", "has no unit", 'write it with its unit, such as "2000 lb" or "2000 kg"'),
        (7.5, "7.5", "has no unit", 'write it with its unit, such as "7.5 lb" or "7.5 kg"'),
        (True, "true", "is no mass", 'write a mass with its unit, such as "250 kg" or "2000 lb"'),
        (
            "2 tons",
            '"2 tons"',
            "cannot be read as a mass",
            'write a mass with its unit, such as "250 kg" or "2000 lb"',
        ),
        ("0 lb", '"0 lb"', "is zero", "give at least 111 lb and at most 110231 lb"),
        ("-5 kg", '"-5 kg"', "is negative", "give at least 111 lb and at most 110231 lb"),
        ("60 t", '"60 t"', "is too large", "give at least 111 lb and at most 110231 lb"),
        ("40 kg", '"40 kg"', "is too small", "give at least 111 lb and at most 110231 lb"),
    ],
)
def test_a_rating_that_is_wrong(rating: object, value: str, wrong: str, mend: str) -> None:
    problem = refused(crew=with_gear(kind="winch", rating=rating))
    assert problem == Problem("crew.gear[1].rating", value, wrong, mend)


def test_limits_of_a_rating_are_in_the_scenes_units() -> None:
    gear = with_gear(kind="winch", rating="1 kg")
    assert refused(units="metric", crew=gear).mend == "give at least 50.0 kg and at most 50000 kg"


def test_gear_of_no_kind_that_there_is() -> None:
    kinds = (
        'give "trestles", "platform", "wall jack", "chain hoist", "telehandler", "material lift", '
        '"two-wheel truck", "jack" or "winch"'
    )
    problem = refused(crew=with_gear(kind="crane", rating="2 t"))
    assert problem == Problem(
        "crew.gear[1].kind", '"crane"', "is not one of the kinds there are", kinds
    )
    assert refused(crew=with_gear(rating="2 t")) == Problem(
        "crew.gear[1].kind", "", "is missing", kinds
    )


def test_a_height_belongs_to_what_one_stands_on() -> None:
    problem = refused(crew=with_gear(kind="winch", rating="2 t", height="1 m"))
    assert (problem.key, problem.wrong) == (
        "crew.gear[1].height",
        'belongs to kind "trestles" or "platform"',
    )


@pytest.mark.parametrize(
    ("kind", "key"),
    [
        *(("trestles", "height"), ("platform", "height"), ("wall jack", "reach")),
        *(("chain hoist", "reach"), ("telehandler", "reach"), ("jack", "stroke")),
        ("material lift", "reach"),
    ],
)
def test_what_a_report_asks_to_add_is_allowed(kind: str, key: str) -> None:
    rating = {} if kind in ("trestles", "platform") else {"rating": "1000 lb"}
    problem = refused(crew=with_gear(kind=kind, **rating))
    assert (problem.key, problem.wrong) == (f"crew.gear[1].{key}", "is missing")
    examples = re.findall('"(.+?)"', problem.mend)
    assert problem.mend.startswith(f"add it, such as {key} = ")
    assert len(examples) == 2
    for example in examples:
        assert read(crew=with_gear(kind=kind, **rating, **{key: example}))


@pytest.mark.parametrize("kind", ["wall jack", "chain hoist", "telehandler", "material lift"])
def test_gear_that_reaches_no_higher_than_the_trestles(kind: str) -> None:
    # A foot over trestles of 30 in less 1/5 in, 300 mm: 762 + 300 = 1062 mm, 3' 5-13/16".
    low = {"kind": kind, "rating": "1000 lb", "reach": "3 ft"}
    trestles = {"kind": "trestles", "height": "30 in"}
    problem = refused(crew={"gear": [low, trestles]})
    assert (problem.key, problem.value) == ("crew.gear[1].reach", '"3 ft"')
    assert problem.wrong == "lifts nothing off the trestles, 2' 6\" high"
    assert problem.mend == "give at least 3' 5-13/16\", or lower trestles"
    assert read(crew={"gear": [{**low, "reach": "3 ft 6 in"}, trestles]})


def test_a_move_after_a_stage_that_there_is_not() -> None:
    problem = refused(move={"after": "Wall sheeting", "fork": "8 ft"})
    assert (problem.key, problem.value) == ("move.after", '"Wall sheeting"')
    assert problem.wrong == "the work has no such stage"
    assert problem.mend.startswith('give "Wall sheathing"')


def test_a_move_without_its_stage() -> None:
    assert refused(move={}) == Problem("move.after", "", "is missing", "add it")


@pytest.mark.parametrize(
    ("side", "spacing", "across", "most"),
    [
        # All of a fork 4 in wide is under the building: 12 ft and 8 ft, less 4 in.
        ("front", "13 ft", "12' 0\"", "11' 8\""),
        ("back", "11 ft 9 in", "12' 0\"", "11' 8\""),
        ("left", "9 ft", "8' 0\"", "7' 8\""),
    ],
)
def test_forks_wider_apart_than_the_building(
    side: str, spacing: str, across: str, most: str
) -> None:
    beams = {"section": "4x8", "length": "12 ft"}
    move = {"after": "Rafters", "side": side, "fork": "8 ft", "beams": beams}
    problem = refused(move={**move, "fork_spacing": spacing})
    assert (problem.key, problem.value) == ("move.fork_spacing", f'"{spacing}"')
    apart = {"13 ft": "13' 0\"", "11 ft 9 in": "11' 9\"", "9 ft": "9' 0\""}[spacing]
    assert problem.wrong == (
        f"sets the forks {apart} apart, and the building's {side} is {across} long"
    )
    assert problem.mend == f"give at most {most}"
    assert read(move={**move, "fork_spacing": most})


def test_forks_at_their_usual_distance_under_a_building_that_is_narrower() -> None:
    narrow = {"length": "9 ft", "depth": "3 ft 6 in"}
    tables = {"building": narrow, "floor": {"blocking_rows": 0}, "walls": {"spacing": "1 ft"}}
    move = {"after": "Rafters", "side": "left", "fork": "9 ft"}
    _, problems = check_scene(table(**tables, move=move))
    (problem,) = [problem for problem in problems if problem.key.startswith("move")]
    assert (problem.key, problem.value) == ("move.fork_spacing", "4' 0\" by default")


@pytest.mark.parametrize(
    ("key", "value", "wrong", "mend"),
    [
        (
            "way",
            "sledge",
            "is not one of the choices",
            'give "forks", "rollers", "jacks" or "trailer"',
        ),
        (
            "side",
            "top",
            "is not one of the choices",
            'give "front", "back", "left" or "right"',
        ),
        ("rise", "16 deg", "is too large", "give at least 0 deg and at most 15 deg"),
        ("rise", "-1:20", "is negative", "give at least 0 deg and at most 15 deg"),
        ("rise", 2, "has no unit", 'write it with its unit, such as "2:12" or "14 deg"'),
        ("friction", 0, "is zero", "give at least 0.01 and at most 1"),
        ("friction", 1.5, "is too large", "give at least 0.01 and at most 1"),
        ("fork", "4 in", "is too small", "give at least 1' 11-5/8\" and at most 9' 10-1/16\""),
        (
            "colour",
            "red",
            "is no key of [move]",
            "leave out move.colour; the keys are after, built_on, way, ",
        ),
    ],
)
def test_a_move_that_is_wrong(key: str, value: object, wrong: str, mend: str) -> None:
    problem = refused(move={"after": "Rafters", "fork": "8 ft", key: value})
    assert (problem.key, problem.wrong) == (f"move.{key}", wrong)
    assert problem.mend.startswith(mend)


def test_all_that_is_wrong_with_crew_and_move_is_in_one_report_with_the_rest() -> None:
    _, problems = check_scene(
        table(
            crew={"people": 0, "colour": "red", **with_gear(kind="winch", rating=3)},
            move={"way": "sledge", "rise": "60 deg", "friction": "low"},
            walls={"spacing": "9 ft"},  # wider than the wall: seen only once all has been read
        )
    )
    assert sorted(problem.key for problem in problems) == [
        "crew.colour",
        "crew.gear[1].rating",
        "crew.people",
        "move.after",
        "move.friction",
        "move.rise",
        "move.way",
        "walls.spacing",
    ]


def test_a_move_before_there_is_a_floor_frame() -> None:
    problem = refused(move={"after": "Foundation", "fork": "8 ft"})
    assert problem.key == "move.after"
    assert "before the floor frame" in problem.wrong
    assert "Floor frame" in problem.mend


def test_a_store_that_is_framed_on_its_pad_is_not_moved() -> None:
    pad = {"kind": "pad", "edge_depth": "14 in"}  # room for the anchor bolts
    on_pad = table(move={"after": "Wall sheathing"}, foundation=pad)
    del on_pad["floor"]
    _, problems = check_scene(on_pad)
    assert [problem.key for problem in problems] == ["move"]
    assert "on its pad" in problems[0].wrong

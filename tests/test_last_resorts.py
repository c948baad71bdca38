"""Where no small change mends what is wrong: what is offered then, from what costs least on.

Most hold a scene against rules written here, so that each way out is the only one; the last are
small stores as they are refused.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, TypeAlias

import pytest

from pikepole_model.errors import KeyPath, Problem, Try, less, other
from pikepole_model.reading.file import check_scene
from pikepole_model.reading.mends import with_mends
from pikepole_model.scene.schema import Scene
from test_close_fits import opening, store
from test_scene_tried import BAY, DOOR, WINDOW, with_bay, with_openings
from whole import changes

Table: TypeAlias = dict[str, Any]
Rule: TypeAlias = Callable[[Table], Iterator[Problem]]


def wrong(path: KeyPath, text: str, *tries: Try) -> Problem:
    return Problem.at(path, text, "", *tries)


def plies_of(table: Table) -> int:
    """Of the beam: two where nothing is said."""
    return table.get("beam", {}).get("plies", 2)


def mended(table: Table, rule: Rule) -> list[str]:
    """The mends of all that a rule finds in a scene."""
    problems = list(rule(table))
    return [one.mend for one in with_mends(problems, table, Scene.model_validate(table), rule)]


def test_one_of_two_faults_at_a_key_is_mended() -> None:
    # Two plies are thin enough; nothing makes them long enough.
    def rule(table: Table) -> Iterator[Problem]:
        plies = ("beam", "plies")
        if plies_of(table) > 2:
            yield wrong(plies, "are too thick", less(*plies))
        yield wrong(plies, "are too short")

    table = with_bay(bay=[BAY], beam={"plies": 3})
    assert mended(table, rule)[0] == "give 2"


def test_an_opening_that_no_value_mends_is_left_out() -> None:
    # What is wrong with the third opening is as wrong when it is the second.
    def rule(table: Table) -> Iterator[Problem]:
        for k, one in enumerate(table["opening"]):
            if one["name"] in ("gap 1", "gap 2"):
                yield wrong(("opening", k, "width"), f"{one['name']} has no room")

    table = with_openings(DOOR, {**WINDOW, "from_left": "6 ft"}, {**WINDOW, "from_left": "9 ft"})
    assert mended(table, rule) == ["leave out opening[2]", "leave out opening[3]"]


def test_a_bay_is_left_out_with_the_beam_that_then_carries_nothing() -> None:
    def rule(table: Table) -> Iterator[Problem]:
        if table.get("bay"):
            yield wrong(("bay", 0, "reach"), "runs into a tree")
        elif "beam" in table:
            yield wrong(("beam",), "carries nothing")

    told = ["leave out bay[1], and leave out beam"]
    assert mended(with_bay(bay=[BAY], beam={"plies": 3}), rule) == told


def test_no_wrong_comes_in_anothers_place() -> None:
    # Two plies fit the wall and no post that there is: whoever mended that would be back at three.
    def rule(table: Table) -> Iterator[Problem]:
        if plies_of(table) > 2:
            yield wrong(("beam", "plies"), "are too thick", less("beam", "plies"))
        else:
            yield wrong(("bay", 0, "post"), "is too thin for a cap")

    table = with_bay(bay=[{**BAY, "post": "6x6"}], beam={"plies": 3})
    assert mended(table, rule) == ["no one value mends it; change several of beam.plies"]


def test_posts_and_plies_take_their_usual_sizes_together() -> None:
    # Each alone would only bring up the other.
    def rule(table: Table) -> Iterator[Problem]:
        if (plies_of(table) > 2) != any("seat" in bay for bay in table["bay"]):
            yield wrong(("beam", "plies"), "do not fit their posts")

    bays = [BAY, {**BAY, "side": "right"}, {**BAY, "side": "front", "seat": "notch"}]
    table = with_bay(bay=bays, beam={"plies": 3})
    assert mended(table, rule) == []
    table["bay"][1]["seat"] = "notch"
    del table["beam"]
    assert mended(table, rule) == ["leave out bay[3].seat, and leave out bay[2].seat"]


def test_a_building_is_made_shallower_and_what_was_measured_of_it_left_out() -> None:
    # A rafter is 20 ft at most; 16 ft and lines that were measured on 22 ft do not go together.
    def rule(table: Table) -> Iterator[Problem]:
        feet = int(str(table["building"]["depth"]).split()[0].rstrip("'"))
        if feet > 16:
            yield wrong(("roof", "rafter"), "is too long")
        if feet != 22 and table.get("measured"):
            yield wrong(("measured", 0, "left"), "is far over what is planned")

    line = {"after": "Floor", "what": "span", "left": "22 ft"}
    table = with_bay(measured=[line, line])
    table["building"]["depth"] = "22 ft"
    told = "give building.depth 16' 0\", and leave out measured[2], and leave out measured[1]"
    assert mended(table, rule) == [told]


def test_what_never_helps_is_told_with_the_keys_to_look_at() -> None:
    def rule(_: Table) -> Iterator[Problem]:
        tries = other("roof", "slope"), less("building", "depth")
        yield wrong(("roof", "rafter"), "reaches too far", *tries)

    told = "no one value mends it; change several of roof.rafter, roof.slope, building.depth"
    assert mended(with_bay(), rule) == [told]


REFUSED: dict[str, tuple[Table, str, tuple[str, ...]]] = {
    # A window of 4 ft 1 in leaves 3 in of a wall of 4 ft 4 in, and its jacks and kings take 6 in.
    "windows too many for their wall": (
        store(
            "8 ft",
            "4 ft 4 in",
            "3:12",
            walls={"low_height": "8 ft"},
            opening=[
                opening("window", "right", "7 in", "4 ft 1 in", height="1 ft")
                | {"count": 3, "apart": "6 in"}
            ],
        ),
        "opening[1].width",
        ("building.depth", "opening[1]"),
    ),
    # A window too near to its corner, and casing between it and another that there is not: this is
    # asked about a window that stands where it can.
    "casing of a window in a corner": (
        store(
            "6 ft 8 in",
            "9 ft",
            "12:12",
            foundation={"kind": "piers"},
            floor={},
            opening=[
                {"name": "light", "kind": "window", "wall": "front", "from_right": "6 in"}
                | {"width": "22 in", "height": "3 ft", "sill": "9 in"}
                | {"trim": {"between": "1x6"}}
            ],
        ),
        "opening[1].from_right",
        ("opening[1].trim.between", "opening[1]"),
    ),
    # 2080 mm up, a roof 8 ft 10 in deep runs into the tails; where it would clear them its beam
    # comes too near to the ground.
    "roof between tails and ground": (
        store(
            "8 ft",
            "4 ft 4 in",
            "8:12",
            bay=[
                {"side": "back", "reach": "8 ft 10 in", "footing": {"above_ground": "0 in"}}
                | {"roof": "ledger", "ledger_height": "2080 mm"}
            ],
            roofing={},
        ),
        "bay[1].ledger_height",
        ("bay[1].reach", "bay[1]"),
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_store_is_put_right_by_several_keys_or_by_one_item_less(name: str) -> None:
    table, key, mending = REFUSED[name]
    _, (problem,) = check_scene(table)
    assert problem.key == key
    together, without = problem.mend.split(", or ")
    assert mending[0] in together.split()
    assert without == f"leave out {mending[1]}"
    mended = changes(table, problem)
    assert len(mended) == len(mending)
    for each in mended:
        assert not check_scene(each)[1]

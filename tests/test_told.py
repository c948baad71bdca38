"""Mends as they are told, read back and tried: those that mend nothing are not told."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from pikepole_model.errors import Problem, less
from pikepole_model.reading.told import path_of, told_ways
from test_last_resorts import Table, mended
from test_scene_tried import BAY, with_bay

SEAT = ("bay", 0, "seat")


def problem(mend: str) -> Problem:
    return Problem.at(SEAT, "does not fit", mend)


@pytest.mark.parametrize(
    ("mend", "ways"),
    [
        ('give "cap"', [{SEAT: "cap"}]),
        ('give "cap" or "notch"', [{SEAT: "cap"}, {SEAT: "notch"}]),
        # A length has quotes in it, and a name may have a comma.
        ("give 8' 0\" or 10' 6-1/2\"", [{SEAT: "8' 0\""}, {SEAT: "10' 6-1/2\""}]),
        ('give "Posts, beams" or "Roof"', [{SEAT: "Posts, beams"}, {SEAT: "Roof"}]),
        ('give ["left", "back"]', [{SEAT: ["left", "back"]}]),
        ("give at least 2 in and at most 90 mm", [{SEAT: "2 in"}, {SEAT: "90 mm"}]),
        ("give beam.plies 2", [{("beam", "plies"): 2}]),
        (
            "give beam.on_walls true, or leave out bay[2]",
            [{("beam", "on_walls"): True}, {("bay", 1): None}],
        ),
        ("give beam.plies 2, and leave out bay[1].seat", [{("beam", "plies"): 2, SEAT: None}]),
        # What JSON cannot read is text.
        (r'give "a\x"', [{SEAT: r'"a\x"'}]),
        ('add it, such as sill = "3 ft"', [{SEAT: "3 ft"}]),
        # One more item of a list, as it stands in the file.
        (
            'add the table [[opening]] with name = "hatch", steps = { kind = "none" }',
            [{("opening",): {"name": "hatch", "steps": {"kind": "none"}}}],
        ),
    ],
)
def test_a_mend_is_read_back(mend: str, ways: list[dict[Any, Any]]) -> None:
    found = [way for told in told_ways(problem(mend)) for way in told.ways or ()]
    assert [{change.path: change.value for change in way} for way in found] == ways


@pytest.mark.parametrize(
    "mend",
    [
        "choose another name",
        "add the table bay",
        'add the table [[opening]] of kind "door"',
        "give a length yet to be given",
        "give at least 4' 0\", or lower trestles",
    ],
)
def test_what_says_more_than_a_value_stays_as_it_is(mend: str) -> None:
    assert [(told.text, told.ways) for told in told_ways(problem(mend))] == [(mend, None)]


def test_a_key_is_read_as_people_write_it() -> None:
    assert path_of("bay[2].footing.depth") == ("bay", 1, "footing", "depth")


def seated(seat: str) -> Table:
    return with_bay(bay=[{**BAY, "seat": seat}])


def test_rules_that_give_way_to_each_other_leave_the_item_out() -> None:
    # Each names a value that only brings up the other.
    def rule(table: Table) -> Iterator[Problem]:
        for k, bay in enumerate(table.get("bay", ())):
            capped = bay.get("seat", "notch") == "cap"
            value = "notch" if capped else "cap"
            key = ("bay", k, "seat" if capped else "post")
            yield Problem.at(key, "is too thin", f'give bay[{k + 1}].seat "{value}"')

    assert mended(seated("cap"), rule) == ["leave out bay[1]"]
    assert mended(seated("notch"), rule) == ["leave out bay[1]"]


def test_a_way_that_does_not_mend_is_not_told_beside_one_that_does() -> None:
    def rule(table: Table) -> Iterator[Problem]:
        plies = table.get("beam", {}).get("plies", 2)
        if plies > 2:
            yield Problem.at(("beam", "plies"), "are too thick", "give 3, or give 2")

    assert mended(with_bay(bay=[BAY], beam={"plies": 4}), rule) == ["give 2"]


def test_past_a_limit_that_does_not_do_one_that_does_is_told() -> None:
    # 7 ft are too far still: whole inches are tried down from the 8 ft that stand there.
    def rule(table: Table) -> Iterator[Problem]:
        if int(str(table["bay"][0]["reach"]).split()[0].rstrip("'")) > 5:
            yield Problem.at(("bay", 0, "reach"), "is too far", "give at most 7 ft")

    assert mended(with_bay(bay=[BAY]), rule) == ["give at most 5' 11\""]


def test_what_a_rules_own_mend_brings_up_is_mended_with_it() -> None:
    def rule(table: Table) -> Iterator[Problem]:
        bay = table["bay"][0] if table.get("bay") else None
        if bay and bay.get("seat") == "cap" and table.get("beam", {}).get("plies", 2) > 2:
            yield Problem.at(
                ("beam", "plies"), "are too thick for a cap", "", less("beam", "plies")
            )
        elif bay and bay.get("seat") != "cap":
            yield Problem.at(("bay", 0, "post"), "is too thin", 'give bay[1].seat "cap"')

    told = 'give bay[1].seat "cap", and give beam.plies 2, or leave out bay[1]'
    assert mended(with_bay(bay=[BAY], beam={"plies": 3}), rule) == [told]


def test_where_nothing_else_helps_a_plain_store_is_told() -> None:
    def rule(table: Table) -> Iterator[Problem]:
        size = table["building"]
        if (size["length"], size["depth"]) != ("12' 0\"", "8' 0\"") or "bay" in table:
            yield Problem.at(("roof", "rafter"), "is too weak", "")

    (told,) = mended(with_bay(building={"length": "80 ft", "depth": "70 ft"}), rule)
    assert told.startswith("give building.length 12' 0\", and give building.depth 8' 0\"")

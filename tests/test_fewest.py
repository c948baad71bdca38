"""What a scene could do without, and the fewest of it to take out."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from pikepole_model.errors import KeyPath
from pikepole_model.reading.fewest import fewest, things_of
from strategies import scene_of
from test_close_fits import opening, store

THINGS: list[KeyPath] = [("bay", k) for k in range(100)]


@pytest.mark.parametrize(
    "needed",
    [{0}, {57}, {99}, {0, 99}, {31, 32}, {3, 64, 65}, {1, 2, 3, 5, 8, 13}, set(range(0, 100, 9))],
)
def test_what_has_to_go_is_found(needed: set[int]) -> None:
    tried: list[set[int]] = []

    def holds(paths: Sequence[KeyPath]) -> bool:
        # From the last on, so that none moves up before it goes.
        numbers = [int(path[1]) for path in paths]
        assert numbers == sorted(numbers, reverse=True)
        tried.append(set(numbers))
        return needed <= tried[-1]

    assert {path[1] for path in fewest(THINGS, holds)} == needed
    # All; 1, 2 and so on to 100; halves of these from 50 to 1, each of which takes two looks.
    assert len(tried) <= (1 + 8 + 2 * 7) * len(needed)


def test_none_where_nothing_helps() -> None:
    assert fewest(THINGS, lambda paths: False) == ()
    assert fewest([], lambda paths: True) == ()


def test_what_is_in_an_item_that_goes_goes_with_it() -> None:
    things: list[KeyPath] = [("bay", 0, "post"), ("bay", 0), ("beam", "plies"), ("bay", 2)]
    tried: list[Sequence[KeyPath]] = []
    fewest(things, lambda paths: bool(tried.append(paths)))
    assert tried[0] == (("bay", 2), ("bay", 0), ("beam", "plies"))


def test_what_is_near_comes_first_and_what_no_building_is_without_stays() -> None:
    door, window = (
        opening("door", "front", "1 ft", "3 ft"),
        opening("window", "back", "2 ft", "2 ft"),
    )
    table = store("12 ft", "8 ft", "3:12", opening=[door, window], wrap={}, roof={"rafter": "2x6"})
    things = things_of(scene_of(table), [("opening", 0, "width")], keys=True)
    assert things[0] == ("opening", 0)
    # What has a usual value before what is then missing; the last of a list first.
    assert things.index(("roof", "rafter")) < things.index(("wrap",)) < things.index(("opening", 1))
    assert not {path[-1] for path in things} & {"title", "building", "length", "slope", "width"}
    assert {path[:1] for path in things_of(scene_of(table), [], keys=False)} == {
        ("opening",),
        ("wrap",),
    }


def test_a_beam_that_posts_bring_is_no_table_to_leave_out() -> None:
    bay = {"side": "front", "reach": "6 ft"}
    given, brought = (
        store("12 ft", "8 ft", "3:12", bay=[bay], **beam) for beam in ({"beam": {}}, {})
    )
    assert scene_of(brought) == scene_of(given)
    left_out = set(things_of(scene_of(given), [], keys=False))
    assert left_out - {*things_of(scene_of(brought), [], keys=False)} == {("beam",)}

"""Sliding leaves clear their doorways, or what they meet is found: IRC R311.2 (from memory)."""

from __future__ import annotations

import re
from typing import Any

import pytest

from measuring import INCH, box_of, of_kind
from mended import follow, ways
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.checks.practice import practice_findings
from pikepole_model.checks.slide import slide_findings
from pikepole_model.errors import Finding
from pikepole_model.reading.file import check_scene
from pikepole_model.reading.found import with_tried_mends
from pikepole_model.units import parse_length
from strategies import Table, scene_of
from test_door_swing import STORE, post

# A doorway of 3 ft in the middle of a wall of 12 ft: its leaf laps that by 2 in on each side, and
# slides 3 ft 2 in or a little less to the right of it, from 8 ft 2 in on.
DOOR: Table = {
    "name": "door",
    "kind": "door",
    "wall": "front",
    "from_left": "54 in",
    "width": "3 ft",
    "height": "78 in",
    "door": {"kind": "ledged", "track": {}},
    "steps": {"kind": "none"},
}


def with_post(one: Table, wall: str = "front", **track: Any) -> Table:
    door = {**DOOR, "wall": wall, "door": {"kind": "ledged", "track": track}}
    return {**STORE, "opening": [door], "existing": [one]}


def found(table: Table) -> list[Finding]:
    return list(slide_findings(build(scene_of(table))))


# From 1 in to 5 in before the framing and 104 in to 108 in from the left, seen from outside.
AT_RIGHT = {
    "front": post(104, -5),
    "right": post(144 + 1, 104),
    "back": post(144 - 108, 144 + 1),
    "left": post(-5, 144 - 108),
}


@pytest.mark.parametrize("wall", AT_RIGHT)
def test_a_post_in_the_way_of_a_leaf_is_found(wall: str) -> None:
    (one,) = found(with_post(AT_RIGHT[wall], wall))
    assert (one.key, one.parts) == ("opening[1].door.track.to", ("post",))
    assert one.mend == 'give "left"'
    assert not found(with_post(AT_RIGHT[wall], wall, to="left"))


def test_how_far_it_slides() -> None:
    table = with_post(AT_RIGHT["front"])
    (one,) = found(table)
    told = re.search(r"slide (\S+(?: \S+\")?) of", one.text)
    assert told
    edge = box_of(of_kind(build(scene_of(table)), Kind.DOOR_SHEET)[0]).high[0]
    # Up to the post, which is 104 in from the corner, with 3 mm of play.
    expected = 104 * INCH - edge
    assert parse_length(told[1]) == pytest.approx(expected, abs=3.0 + INCH / 16)


@pytest.mark.parametrize(
    ("one", "meets"),
    [
        # Farther out than the leaf is, which runs some 2 to 4 in before the framing.
        (post(104, -12), False),
        # To the left of the doorway, where nothing slides; and past the leaf when it is open.
        (post(40, -5), False),
        (post(138, -5), False),
        # Over its top, 12 in and 80 in up; and under its foot.
        (post(104, -5, foot="98 in", height="102 in"), False),
        (post(104, -5, height="11 in"), False),
        (post(104, -5, height="15 in"), True),
    ],
)
def test_what_it_meets(one: Table, meets: bool) -> None:
    assert bool(found(with_post(one))) == meets


def test_what_swings_does_not_slide() -> None:
    door = {**DOOR, "door": {"kind": "ledged"}}
    assert not found({**STORE, "opening": [door], "existing": [AT_RIGHT["front"]]})


def test_each_of_two_leaves_has_a_way_of_its_own() -> None:
    # Each is 20 in wide and slides as far to its own side, from 52 in and 92 in on.
    both = {**DOOR, "door": {"kind": "ledged", "leaves": 2, "track": {}}}
    for x_in, leaf in ((36, "left"), (104, "right")):
        (one,) = found({**STORE, "opening": [both], "existing": [post(x_in, -5)]})
        assert f'"door {leaf} leaf"' in one.text
        assert one.key == "opening[1].from_left"


def test_the_mend_is_a_door_that_slides() -> None:
    table = with_post(AT_RIGHT["front"])
    building = build(scene_of(table))
    told = with_tried_mends(practice_findings(building), building)
    (one,) = [each for each in told if each.key == "opening[1].door.track.to"]
    for where, value in ways(one.mend, one.key):
        scene, problems = check_scene(follow(table, where, value))
        assert scene
        assert not problems
        assert not list(slide_findings(build(scene)))

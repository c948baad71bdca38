"""Hinged leaves open at a right angle, or what they meet is found: IRC R311.2 (from memory)."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from measuring import INCH, box_of, of_kind
from mended import follow, ways
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.checks.practice import practice_findings
from pikepole_model.checks.swing import swing_findings
from pikepole_model.errors import Finding
from pikepole_model.reading.file import check_scene
from pikepole_model.reading.found import with_tried_mends
from strategies import Table, scene_of

# A door 3 ft wide that begins 3 ft from the left of its wall, in a store on skids: its foot is some
# 12 in up.
DOOR: Table = {
    "name": "door",
    "kind": "door",
    "wall": "front",
    "from_left": "3 ft",
    "width": "3 ft",
    "height": "78 in",
    "door": {"kind": "ledged"},
    "steps": {"kind": "none"},
}
STORE: Table = {
    "title": "Extractor room",
    "building": {"length": "12 ft", "depth": "12 ft"},
    "foundation": {"kind": "skids", "gravel_margin": "0 in"},
    "floor": {},
    "walls": {"low_height": "8 ft"},
    "roof": {"slope": "2:12"},
}


def post(x_in: float, y_in: float, **more: str) -> Table:
    """A post of 4 in by 4 in, by the corner at its front left."""
    sides = {"width": "4 in", "depth": "4 in", "height": "8 ft"}
    return {"name": "post", "x": f"{x_in} in", "y": f"{y_in} in", **sides, **more}


def with_post(one: Table, wall: str = "front", **door: Any) -> Table:
    opening = {**DOOR, "wall": wall, "door": {**DOOR["door"], **door}}
    return {**STORE, "opening": [opening], "existing": [one]}


def found(table: Table) -> list[Finding]:
    return list(swing_findings(build(scene_of(table))))


# 20 in before the wall and within the left 5 in of the opening, seen from outside.
AT_LEFT = {
    "front": post(37, -24),
    "right": post(144 + 20, 37),
    "back": post(144 - 41, 144 + 20),
    "left": post(-24, 144 - 41),
}


@pytest.mark.parametrize("wall", AT_LEFT)
def test_a_post_in_the_way_of_a_leaf_is_found(wall: str) -> None:
    (one,) = found(with_post(AT_LEFT[wall], wall))
    assert (one.key, one.parts) == ("opening[1].door.hinges", ("post",))
    assert one.mend == 'give "right"'
    # Hinged at its right it passes: 30 in along and 20 out are 36 in, and it is 34-1/2 in wide.
    assert not found(with_post(AT_LEFT[wall], wall, hinges="right"))


def test_how_far_it_opens() -> None:
    table = with_post(AT_LEFT["front"])
    sheet = box_of(of_kind(build(scene_of(table)), Kind.DOOR_SHEET)[0])
    # Its face comes to the post's near corner, at the right of it.
    along, out = 41 * INCH - sheet.low[0], 20 * INCH + sheet.low[1]
    (one,) = found(table)
    told = re.search(r"open (\d+) degrees", one.text)
    assert told
    assert int(told[1]) == pytest.approx(math.degrees(math.atan2(out, along)), abs=1.0)


@pytest.mark.parametrize(
    ("table", "meets"),
    [
        # The leaf is some 34-1/2 in wide: what stands 40 in before its hinges is passed.
        (with_post(post(37, -44)), False),
        # Beside the opening.
        (with_post(post(30, -24)), False),
        # In front of the far jamb, 20 in out: from the hinges some 39 in.
        (with_post(post(67, -24)), False),
        # Over its head, 12 in and 78 in up; and under its foot.
        (with_post(post(37, -24, foot="91 in", height="96 in")), False),
        (with_post(post(37, -24, height="11 in")), False),
        (with_post(post(37, -24, height="15 in")), True),
        # Each of two leaves is some 17 in wide.
        (with_post(post(37, -24), leaves=2), False),
        (with_post(post(37, -14), leaves=2), True),
        (with_post(post(64, -14), leaves=2), True),
        # What slides does not swing.
        (with_post(post(37, -24), track={}), False),
    ],
)
def test_what_it_meets(table: Table, meets: bool) -> None:
    assert bool(found(table)) == meets


@pytest.mark.parametrize(
    ("table", "key"),
    [
        (with_post(AT_LEFT["front"]), "opening[1].door.hinges"),
        # In the middle it is in the way of either side.
        (with_post(post(52, -20)), "opening[1].door.hinges"),
        (with_post(post(37, -14), leaves=2), "opening[1].from_left"),
    ],
)
def test_the_mend_is_a_door_that_opens(table: Table, key: str) -> None:
    building = build(scene_of(table))
    (one,) = (told for told in practice_findings(building) if told.key == key)
    told = with_tried_mends(practice_findings(building), building)
    (told,) = [each for each in told if each.key == one.key]
    for where, value in ways(told.mend, told.key):
        scene, problems = check_scene(follow(table, where, value))
        assert scene
        assert not problems
        assert not list(swing_findings(build(scene)))


def test_a_post_of_a_bay_in_the_way_is_found() -> None:
    # Under a roof that runs on 3 ft a door of 34-1/2 in meets the middle one of three posts, which
    # is 5-1/2 in thick.
    table = {
        **STORE,
        "opening": [{**DOOR, "from_left": "64 in"}],
        "bay": [{"side": "front", "reach": "3 ft"}],
    }
    (one,) = found(table)
    assert "bay post" in one.parts[0]

"""How far floor joists hang out past their outer bearers: IRC R502.3.3 (2018 and 2021)."""

from __future__ import annotations

from typing import Any

import pytest

from measuring import INCH
from mended import follow, ways
from pikepole_model.build import build
from pikepole_model.checks.floors import floor_findings
from pikepole_model.checks.practice import practice_findings
from pikepole_model.reading.file import check_scene
from pikepole_model.reading.found import with_tried_mends
from strategies import Table, scene_of

# A store 8 ft deep on two rows; its joists are 2x6 where nothing else is said.
STORE: Table = {
    "title": "Smoker store",
    "building": {"length": "10 ft", "depth": "8 ft"},
    "foundation": {"kind": "skids", "count": 2},
    "floor": {},
    "walls": {"low_height": "7 ft"},
    "roof": {"slope": "3:12"},
    "opening": [
        {
            "name": "door",
            "kind": "door",
            "wall": "front",
            "from_left": "2 ft",
            "width": "3 ft",
            "height": "6 ft",
            "steps": {"kind": "none"},
        }
    ],
}


POST: Table = {
    "name": "post",
    "x": "2 m",
    "y": "200 mm",
    "width": "100 mm",
    "depth": "100 mm",
    "height": "2.5 m",
}


def inset(far: str, kind: str = "skids", **floor: Any) -> Table:
    return {**STORE, "foundation": {"kind": kind, "count": 2, "inset": far}, "floor": floor}


@pytest.mark.parametrize("kind", ["skids", "piers"])
@pytest.mark.parametrize(
    ("joist", "most_in"),
    [
        # A joist may hang out by its nominal depth: 4, 6 and 8 in (PS 20). What EN 336 names by its
        # size has no other nominal depth: 145 mm.
        ("2x4", 4.0),
        ("2x6", 6.0),
        ("2x8", 8.0),
        ("C24 47x145", 145 / INCH),
    ],
)
def test_joists_hang_out_by_their_nominal_depth(kind: str, joist: str, most_in: float) -> None:
    at, past = (inset(f"{most_in * INCH + more} mm", kind, joist=joist) for more in (0.0, 1.0))
    assert not list(floor_findings(build(scene_of(at))))
    (found,) = floor_findings(build(scene_of(past)))
    assert found.key == "foundation.inset"
    assert "R502.3.3" in found.text


def test_a_floor_on_a_ledger_does_not_hang_out_there() -> None:
    # What stands at the back carries it: joists hang out over the front alone, and there is no
    # cantilever where they end on a ledger.
    wall = {
        "name": "garden wall",
        "x": "0 ft",
        "y": "8 ft",
        "width": "10 ft",
        "depth": "8 in",
        "height": "30 in",
    }
    table = {**inset("10 in", ledgers=["front", "back"]), "existing": [wall]}
    table["existing"].append({**wall, "name": "second wall", "y": "-8 in"})
    del table["opening"]
    assert not list(floor_findings(build(scene_of(table))))
    table["floor"] = {"ledgers": ["back"]}
    (found,) = floor_findings(build(scene_of(table)))
    # 10 in past the front skid.
    assert '10"' in found.text


@pytest.mark.parametrize(
    ("table", "mend"),
    [
        # 6 in is the nominal depth of a 2x6.
        (inset("3 ft"), 'give at most 6"'),
        # 140 mm is all the depth that there is.
        ({**inset("360 mm"), "units": "metric"}, "give at most 140 mm"),
        # There a skid would run through what stands: 95 mm wide, from 140 mm in on, and 6 mm clear
        # of a post that reaches from 200 to 300 mm in. Of steps of 25 mm the next clear one that is
        # tried is 75 mm, with a skid up to 170 mm.
        ({**inset("360 mm"), "units": "metric", "existing": [POST]}, "give 75 mm"),
    ],
)
def test_the_mend_is_a_smaller_inset(table: Table, mend: str) -> None:
    building = build(scene_of(table))
    (found,) = floor_findings(building)
    told = with_tried_mends(practice_findings(building), building)
    (told,) = [one for one in told if one.key == found.key]
    assert told.mend == mend
    for where, value in ways(told.mend, told.key):
        scene, problems = check_scene(follow(table, where, value))
        assert scene
        assert not problems
        assert not list(floor_findings(build(scene)))


def test_girders_that_meet_a_post_are_set_to_the_nearer_side_of_it() -> None:
    # From 5 in in on, a girder of 3-1/2 in lies on the middle of blocks of 12 in, whose back is
    # 5 + 1.75 + 6 in in, and the post begins at 12 in. Clear of it by 6 mm they are 4.01 in in at
    # most, or on its other side 20.5 in and more.
    post = {**POST, "y": "12 in", "depth": "4 in"}
    _, problems = check_scene({**inset("5 in", "piers"), "existing": [post]})
    (told,) = [one for one in problems if one.key == "existing[1].y"]
    assert 'foundation.inset 4"' in told.mend


def test_what_is_built_on_skids_and_moved_is_mended_there() -> None:
    moved = {
        **STORE,
        "foundation": {"kind": "pad", "margin": "6 in"},
        "move": {
            "after": "Floor deck",
            "way": "rollers",
            "side": "left",
            "built_on": {"kind": "skids", "skid": "6x6", "count": 2, "inset": "14 in"},
        },
    }
    (found,) = floor_findings(build(scene_of(moved)).finished)
    assert found.key == "move.built_on.inset"

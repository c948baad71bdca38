"""A room that nobody gets into, and what counts as a way in: IRC R310.2 (from memory)."""

from __future__ import annotations

from typing import Any

import pytest

from mended import follow, ways
from pikepole_export.derive.findings import findings
from pikepole_model.build import build, build_with_contacts
from pikepole_model.checks.entry import entry_findings
from pikepole_model.reading.file import check_scene
from strategies import Table, scene_of

STORE: Table = {
    "title": "Frame store",
    "building": {"length": "10 ft", "depth": "8 ft"},
    "foundation": {"kind": "pad"},
    "walls": {"low_height": "8 ft"},
    "roof": {"slope": "3:12"},
}


def opening(kind: str, width: str, height: str, **more: Any) -> Table:
    where = {"name": "way", "kind": kind, "wall": "left", "at": "middle"}
    return {**STORE, "opening": [{**where, "width": width, "height": height, **more}]}


def walls(**kinds: Table) -> Table:
    return {**STORE, "walls": {**STORE["walls"], **kinds}}


def slatted(front: Table) -> Table:
    return walls(front=front, **{side: {"kind": "slats"} for side in ("left", "right", "back")})


GLAZED = {"kind": "fixed light"}
WAYS_IN: dict[str, Table] = {
    "a doorway": opening("door", "36 in", "80 in"),
    "a door": opening("door", "36 in", "80 in", door={"kind": "ledged"}),
    "the least that one gets out by": opening("door", "20 in", "24 in"),
    "an opening without a window that one climbs in by": opening(
        "window", "20 in", "24 in", sill="44 in"
    ),
    "an open side": walls(front={"kind": "open"}),
    "a wall that one climbs over": walls(front={"kind": "sheets", "height": "44 in"}),
    "bare studs": walls(front={"kind": "braces"}),
    "slats and an open side": slatted({"kind": "open"}),
}
NO_WAY_IN: dict[str, Table] = {
    "no opening at all": STORE,
    "a door for hens": opening("door", "19 in", "24 in"),
    "a door for cats": opening("door", "20 in", "20 in"),
    "a window": opening("window", "36 in", "36 in", sill="3 ft", window=GLAZED),
    "a high hatch": opening("window", "36 in", "36 in", sill="45 in"),
    "a wall that is too high to climb over": walls(front={"kind": "sheets", "height": "60 in"}),
    "boards on bare studs": {
        **walls(front={"kind": "braces"}),
        "cladding": [{"kind": "boards", "walls": ["front"]}],
    },
    "slats all round": slatted({"kind": "slats"}),
}


@pytest.mark.parametrize("name", WAYS_IN)
def test_one_gets_in_by(name: str) -> None:
    assert not list(entry_findings(build(scene_of(WAYS_IN[name]))))


@pytest.mark.parametrize("name", NO_WAY_IN)
def test_one_does_not_get_in_by(name: str) -> None:
    (found,) = entry_findings(build(scene_of(NO_WAY_IN[name])))
    assert found.key == "opening"
    assert "no way into the room" in found.text


def test_posts_without_walls_are_no_room() -> None:
    open_ = {key: STORE[key] for key in ("title", "building", "roof")}
    assert not list(entry_findings(build(scene_of({**open_, "posts": {"low_height": "8 ft"}}))))


WINDOW = {"name": "light", "kind": "window", "wall": "front", "at": "middle", "sill": "3 ft"}


@pytest.mark.parametrize(
    ("table", "said"),
    [
        # A door 3 ft by 6 ft 8 in, where there is room for it.
        (STORE, ['wall = "front", at = "middle", width = "36 in", height = "80 in"']),
        # Beside a window of 3 ft in the middle of a front of 14 ft: 12 in from the corner.
        (
            {
                **STORE,
                "building": {"length": "14 ft", "depth": "8 ft"},
                "opening": [{**WINDOW, "width": "3 ft", "height": "2 ft", "window": GLAZED}],
            },
            ['wall = "front", from_left = "12 in", width = "36 in", height = "80 in"'],
        ),
        # A floor of joists on skids, two times 5-1/2 in up, takes steps (IRC R311.3.2).
        ({**STORE, "foundation": {"kind": "skids"}, "floor": {}}, ['steps = { kind = "steps" }']),
        # Walls of 5 ft 6 in have no room for 80 in of door, nor for 72.
        ({**STORE, "walls": {"low_height": "5 ft 6 in"}}, ['height = "']),
        # Walls of 6 ft, 8 ft high: beside 80 in of door two panels of 32 in would be asked for,
        # beside 72 in of 27, beside 60 in of 24 (IRC R602.10.5): 24 + 22 + 24 in go into 72 in.
        (
            {**STORE, "building": {"length": "6 ft", "depth": "6 ft"}},
            ['at = "middle", width = "22 in", height = "48 in"'],
        ),
        ({**STORE, "units": "metric"}, ['width = "900 mm", height = "2000 mm"']),
    ],
)
def test_the_mend_is_a_door_that_fits(table: Table, said: list[str]) -> None:
    (found,) = findings(*build_with_contacts(scene_of(table)))
    assert found.key == "opening"
    for text in said:
        assert text in found.mend
    ((key, door),) = ways(found.mend, found.key)
    scene, problems = check_scene(follow(table, key, door))
    assert scene
    assert not problems
    assert not findings(*build_with_contacts(scene))


def test_where_no_door_fits_the_mend_says_no_size() -> None:
    # 28 in each way: no side has room for the narrowest door that is tried, 22 in, with a jack and
    # a king of 1-1/2 in at each side, and corner studs.
    closet: Table = {
        **STORE,
        "building": {"length": "28 in", "depth": "28 in"},
        "foundation": {"kind": "skids", "count": 2},
        "floor": {},
    }
    found = findings(*build_with_contacts(scene_of(closet)))
    assert [one.mend for one in found if one.key == "opening"] == [
        'add the table [[opening]] of kind "door"'
    ]

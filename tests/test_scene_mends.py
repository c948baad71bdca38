"""What is refused comes with a mend, and the scene so mended checks clean."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from mended import follow, ways
from pikepole_export.derive.findings import findings
from pikepole_model.build import build
from pikepole_model.building.contact import find_contacts
from pikepole_model.errors import Problem
from pikepole_model.reading.file import check_scene

# Underlayments of felt, and synthetic ones. IRC Table R905.1.1(1) has ASTM D226 Type I and II
# under metal panels (from memory).
FELTS = {"No. 15 felt", "No. 30 felt", "felt 10 m", "felt 20 m"}
UNDERLAYMENTS = {*FELTS, "synthetic underlayment 42 in"} | {
    f"{sort} underlayment {wide}" for sort in ("woven", "synthetic") for wide in ("4 ft", "1.5 m")
}

PLAIN = Path(__file__).parent / "scenes" / "plain.toml"


def plain(**tables: dict[str, Any] | None) -> dict[str, Any]:
    """The plain scene with these tables changed key by key, or left out for None."""
    scene = tomllib.loads(PLAIN.read_text(encoding="utf-8"))
    for name, keys in tables.items():
        if keys is None:
            del scene[name]
        else:
            scene[name] = {**scene.get(name, {}), **keys}
    return scene


def refused(scene: dict[str, Any], key: str) -> Problem:
    """The one thing that is wrong with a scene."""
    _, problems = check_scene(scene)
    assert [problem.key for problem in problems] == [key]
    return problems[0]


def checks_clean(scene: dict[str, Any]) -> None:
    """Nothing is wrong with a scene, and nothing is found in its building."""
    checked, problems = check_scene(scene)
    assert not problems
    assert checked is not None
    building = build(checked)
    assert not findings(building, find_contacts(building.parts))


@pytest.mark.parametrize(
    ("tables", "key", "serve"),
    [
        (
            {"roofing": {"underlayment": "house wrap 9 ft"}},
            "roofing.underlayment",
            UNDERLAYMENTS,
        ),
        (
            {"wrap": {"roll": "flashing membrane 9 in"}},
            "wrap.roll",
            # IRC R703.2: No. 15 felt of ASTM D226 Type I, or another approved wrap.
            # Membranes of EN 13859-2 come 1.5 and 3 m wide (common practice, no source).
            {
                "house wrap 9 ft",
                "house wrap 3 ft",
                "house wrap 1.5 m",
                "house wrap 3 m",
                "No. 15 felt",
            },
        ),
    ],
)
def test_a_roll_goes_where_it_serves(
    tables: dict[str, dict[str, str]], key: str, serve: set[str]
) -> None:
    problem = refused(plain(**tables), key)
    named = re.findall(r'"(.+?)"', problem.mend)
    assert set(named) == serve
    table, _, name = key.partition(".")
    # The panels' seams need 3 in 12 (IBC 1507.4.2).
    for roll in named:
        checks_clean(plain(**{table: {name: roll}}, roof={"slope": "4:12"}))


def on_pad(length: str, **tables: dict[str, Any]) -> dict[str, Any]:
    """The plain scene at this length on a pad of which nothing more is said."""
    scene = plain(building={"length": length}, floor=None, **tables)
    return {**scene, "foundation": {"kind": "pad"}}


def test_a_pad_stands_by_its_defaults() -> None:
    scene = on_pad("8 ft")
    checks_clean(scene)
    # Without a thickened edge its bolts are too long: 7 in at least (IRC R403.1.6), and 1 in of
    # concrete under them (common practice, no source). A deeper edge has both, and goes 12 in
    # into the ground (IRC R403.1.4) under a slab 6 in over it.
    scene["foundation"]["edge_depth"] = "4 in"
    problem = refused(scene, "foundation.bolt_embedment")
    assert problem.mend == "give foundation.edge_depth at least 1' 6\""
    scene["foundation"]["edge_depth"] = "18 in"
    checks_clean(scene)
    # A slab thicker than the default edge has none.
    scene["foundation"] = {"kind": "pad", "thickness": "20 in"}
    checks_clean(scene)


@pytest.mark.parametrize("stud", ["2x4", "2x6"])
@pytest.mark.parametrize(
    "length", ["7 ft 6 in", "11 ft 6 in", "15 ft 6 in", "24 ft 3 in", "24 ft 6 in"]
)
def test_every_plate_on_a_pad_can_be_bolted(stud: str, length: str) -> None:
    # IRC R403.1.6: two bolts in a plate, the end ones within 12 in of its ends and 7 diameters
    # from them. Lumber comes 24 ft long at most, so the longest two have spliced plates.
    checks_clean(on_pad(length, walls={"stud": stud}))


@pytest.mark.parametrize(
    ("key", "doors"),
    [
        # A corner takes 5 in (an end stud and a corner stud laid flat), the washer 3 in, the jack
        # and the king 3 in: a door nearer than 11 in has no room for it.
        ("from_left", [{"from_left": "9 in"}]),
        ("from_left", [{"from_left": "11 ft 9 in"}]),
        # Two jacks, two kings and a washer: 9 in.
        ("apart", [{"from_left": "3 ft", "count": 2, "apart": "7 in"}]),
        ("from_left", [{"from_left": "3 ft"}, {"from_left": "6 ft 7 in"}]),
        # A stud 16 in from the front stands in the midst of what a door leaves at the other end.
        ("from_left", [{"wall": "left", "from_left": "13 in"}]),
    ],
)
def test_a_door_leaves_room_for_an_anchor_bolt(key: str, doors: list[dict[str, Any]]) -> None:
    shape = {"kind": "door", "wall": "front", "width": "3 ft", "height": "6 ft"}
    scene = on_pad("15 ft 6 in")
    scene["building"]["depth"] = "10 ft"
    scene["opening"] = [{"name": f"door {k}", **shape, **door} for k, door in enumerate(doors)]
    problem = refused(scene, f"opening[{len(doors)}].{key}")
    for where, value in ways(problem.mend, problem.key):
        checks_clean(follow(scene, where, value))


@pytest.mark.parametrize("height", ["6 ft", "6 ft 6 in", "7 ft", "7 ft 1 in", "2010.1 mm"])
def test_a_limit_itself_is_within_it(height: str) -> None:
    # A ledger as high as the plates, which rise by their height from a floor of many thicknesses.
    bay = {"side": "back", "reach": "6 ft", "roof": "ledger", "slope": "2:12"}
    scene = plain(walls={"low_height": height})
    scene["bay"] = [{**bay, "ledger_height": height}]
    assert "bay[1].ledger_height" not in [problem.key for problem in check_scene(scene)[1]]


def test_limits_that_pass_each_other_are_no_mend() -> None:
    # A floor of 600 mm between its rims of 1-1/2 in, with 6 mm of room: from 44.1 to 555.9 mm. A
    # pipe 511.2 mm wide could stand from 44.1 to 44.7 mm only, between two marks of a tape.
    pipe = {"name": "pipe", "x": "1 ft", "y": "40 mm", "width": "2 in", "depth": "511.2 mm"}
    scene = {**plain(building={"depth": "600 mm"}), "units": "metric"}
    scene["floor"] = {"through": [pipe]}
    mends = {problem.key: problem.mend for problem in check_scene(scene)[1]}
    way = re.fullmatch(
        r"give (\d+ mm), and give floor.through\[1\].depth (\d+ mm)", mends["floor.through[1].y"]
    )
    assert way
    scene["floor"]["through"][0].update(y=way[1], depth=way[2])
    checks_clean(scene)


def test_a_ply_too_short_for_its_beam_is_mended_by_a_key_that_there_is() -> None:
    bay = {"side": "right", "reach": "25 ft", "posts": 1}
    scene = {**plain(), "bay": [bay]}
    (mend,) = [p.mend for p in check_scene(scene)[1] if p.key == "beam.ply"]
    assert ("bay[1].posts", 2) in ways(mend, "beam.ply")
    for key, value in ways(mend, "beam.ply"):
        tried = follow(scene, key, value)
        # Lengths that reach from post to post may still meet in one place: a post more, or two.
        for _ in range(2):
            checked, problems = check_scene(tried)
            assert checked
            assert not problems
            building = build(checked)
            for one in findings(building, find_contacts(building.parts)):
                (more,) = [way for way in ways(one.mend, one.key) if way[0] == "bay[1].posts"]
                tried = follow(tried, *more)
        checks_clean(tried)
    # A ridge stands on the end walls and has no posts between them: over joists it goes on a board,
    # whose ties hold the rafters (IRC R802.3, R802.5.2), or the store is shorter.
    roof = {"slope": "6:12", "ridge": {"kind": "beam"}}
    scene = plain(building={"length": "26 ft"}, roof=roof)
    (mend,) = [p.mend for p in check_scene(scene)[1] if p.key == "roof.ridge.ply"]
    board, *others = ways(mend, "roof.ridge.ply")
    assert board == ("roof.ridge.kind", "board")
    checks_clean(follow(scene, *board))
    assert [key for key, _ in others] == ["building.length"]
    for key, value in others:
        checks_clean(follow(scene, key, value))


EAVES = {"slope": "4:12", "eave_overhang": "12 in", "high_overhang": "12 in"}


@pytest.mark.parametrize("cladding", [{"kind": "battens"}, {"kind": "boards"}])
def test_a_fly_rafter_clears_the_cladding(cladding: dict[str, Any]) -> None:
    # Sheets of 7/16 in, boards and battens of 3/4 in each and a rafter of 1-1/2 in: 3-7/16 in.
    scene = plain(roof={**EAVES, "rake_overhang": "3 in"})
    checks_clean(scene)
    scene["cladding"] = [cladding]
    problem = refused(scene, "roof.rake_overhang")
    found = ways(problem.mend, problem.key)
    assert len(found) == 2
    for key, value in found:
        checks_clean(follow(scene, key, value))


@pytest.mark.parametrize(
    ("roof", "fascia", "least"),
    [
        # Sheets of 7/16 in.
        ({"eave_overhang": "1/4 in"}, "1x8", '7/16"'),
        # 7-1/4 in at 4:12 leans back 2.29 in, 11-1/4 in 3.56 in; and the sheets.
        ({"eave_overhang": "2-1/2 in", "tail": "square", "rafter": "2x6"}, "1x8", '2-3/4"'),
        ({"eave_overhang": "3 in", "tail": "square", "rafter": "2x6"}, "1x12", '4"'),
    ],
)
@pytest.mark.parametrize("on_beam", [False, True])
def test_a_fascia_clears_the_wall(
    roof: dict[str, str], fascia: str, least: str, on_beam: bool
) -> None:
    scene = plain(roof={**EAVES, **roof}, edges={"fascia": fascia})
    if on_beam:
        scene["beam"] = {"on_walls": True}
    problem = refused(scene, "roof.eave_overhang")
    assert f"give at least {least}, or " in problem.mend
    scene["roof"]["eave_overhang"] = least
    checks_clean(scene)

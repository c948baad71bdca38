"""Every mend of a refusal is followed: the scene so mended is refused no more."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from mended import follow, ways
from pikepole_model.errors import Problem, less, other
from pikepole_model.reading.file import check_scene
from pikepole_model.reading.mends import with_mends
from pikepole_model.scene.schema import Scene
from test_close_fits import store
from test_scene_mends import on_pad, plain

DOOR = {"kind": "door", "wall": "front", "from_left": "2 ft", "width": "3 ft", "height": "6 ft"}
WINDOW = {**DOOR, "kind": "window", "width": "2 ft", "height": "2 ft", "sill": "3 ft"}
BAY = {"side": "right", "reach": "8 ft"}
LEDGER = {"side": "back", "reach": "4 ft", "roof": "ledger", "slope": "2:12"}
BOARDS: dict[str, Any] = {"kind": "boards"}
WIDE_BATTEN = {"strips": 12, "batten": "1x6"}
SQUARE = {"width": "4 in", "depth": "4 in"}
OLD_POST = {"name": "old post", "x": "1 in", "y": "30 in", "height": "20 ft", **SQUARE}


def with_openings(*openings: dict[str, Any], **tables: dict[str, Any]) -> dict[str, Any]:
    """The plain scene, longer, with these openings."""
    scene = plain(building={"length": "12 ft", "depth": "8 ft"}, **tables)
    return {**scene, "opening": [{"name": f"gap {k}", **one} for k, one in enumerate(openings)]}


def with_bay(**tables: Any) -> dict[str, Any]:
    return {**plain(building={"length": "12 ft", "depth": "8 ft"}), **tables}


REFUSED: dict[str, tuple[dict[str, Any], str]] = {
    "skids": (plain(foundation={"count": 20, "inset": "2 ft"}), "foundation.count"),
    "gravel": (
        plain(floor={}, foundation={"kind": "piers", "spacing": "1 ft"}),
        "foundation.gravel_margin",
    ),
    "edge": (on_pad("8 ft", walls={}), "foundation.edge_width"),
    "embedment": (on_pad("8 ft", walls={}), "foundation.bolt_embedment"),
    "joist": (plain(building={"depth": "25 ft"}), "floor.joist"),
    "rafter": (plain(building={"depth": "25 ft"}), "roof.rafter"),
    "steep": (plain(roof={"slope": "45 deg", "rafter": "2x4"}), "roof.rafter"),
    "wide": (with_openings({**DOOR, "width": "13 ft"}), "opening[1].width"),
    "tall": (
        with_openings({**DOOR, "height": "7 ft"}, roof={"falls": "front"}),
        "opening[1].height",
    ),
    "corner": (with_openings({**DOOR, "from_left": "11 ft"}), "opening[1].from_left"),
    "over": (with_openings(DOOR, {**WINDOW, "from_left": "4 ft"}), "opening[2].from_left"),
    "row": (with_openings({**WINDOW, "count": 3, "apart": "1 in"}), "opening[1].apart"),
    "no apart": (with_openings({**WINDOW, "count": 2}), "opening[1].apart"),
    "no sill": (with_openings({**WINDOW, "sill": None}), "opening[1].sill"),
    "sill": (with_openings({**WINDOW, "sill": "1 in"}), "opening[1].sill"),
    "low": (with_openings({**DOOR, "height": "1 in"}), "opening[1].height"),
    "leaf": (
        with_openings({**DOOR, "width": "1 ft", "door": {"kind": "ledged"}}),
        "opening[1].door",
    ),
    "sheet": (
        with_openings({**DOOR, "width": "5 ft", "door": {"kind": "ledged"}}),
        "opening[1].door.sheet",
    ),
    "track": (
        with_openings({**DOOR, "from_left": "8 ft", "door": {"kind": "framed", "track": {}}}),
        "opening[1].door.track",
    ),
    "half": (
        with_openings({**DOOR, "door": {"kind": "ledged", "dutch": "1 ft"}}),
        "opening[1].door",
    ),
    "frame": (
        with_openings({**DOOR, "door": {"kind": "ledged", "frame": "1x2"}}),
        "opening[1].door.frame",
    ),
    "beam": (with_bay(bay=[BAY], beam={"plies": 3}), "beam.plies"),
    "post": (with_bay(bay=[{**BAY, "post": "2x4"}]), "bay[1].post"),
    "cap": (with_bay(bay=[{**BAY, "seat": "cap"}]), "bay[1].post"),
    "posts": (with_bay(bay=[{**BAY, "posts": 12}]), "bay[1].posts"),
    "twice": (with_bay(bay=[BAY, {**BAY}]), "bay[2].side"),
    "ledger": (with_bay(bay=[LEDGER]), "bay[1].ledger_height"),
    "high ledger": (with_bay(bay=[{**LEDGER, "ledger_height": "9 ft"}]), "bay[1].ledger_height"),
    "battens": (
        {**plain(), "cladding": [{"kind": "battens", "batten": "1x2", "gap": "1 in"}]},
        "cladding[1].batten",
    ),
    "strips": (
        {**plain(), "cladding": [{"kind": "battens", "sheet": "15/32 plywood", **WIDE_BATTEN}]},
        "cladding[1].strips",
    ),
    "both": ({**plain(), "cladding": [BOARDS, {**BOARDS, "walls": ["left"]}]}, "cladding[2].walls"),
    "post through the roof": ({**plain(), "existing": [OLD_POST]}, "existing[1].height"),
    # A beam on the walls goes over an opening without a header; a beam with no bay lies there or
    # nowhere; one of three plies, 5-1/2 in with its spacers, is too thick for studs of 3-1/2 in and
    # need not lie on them where the bay's roof hangs on a ledger.
    "no header": (with_openings({**DOOR, "header": "none"}), "opening[1].header"),
    "no bay": (plain(beam={}), "beam"),
    "thick beam": (
        with_bay(
            bay=[{**LEDGER, "ledger_height": "6 ft", "post": "6x6", "seat": "cap"}],
            beam={"plies": 3, "on_walls": True},
        ),
        "beam.plies",
    ),
}
ON_WALLS = {
    "no header": "give beam.on_walls true",
    "no bay": "give beam.on_walls true",
    "thick beam": "leave out beam.on_walls",
}
REFUSED["edge"][0]["foundation"].update(edge_width="35 in")
REFUSED["embedment"][0]["foundation"].update(edge_depth="4 in")


def without_none(table: dict[str, Any]) -> dict[str, Any]:
    table["opening"] = [
        {key: value for key, value in one.items() if value is not None}
        for one in table.get("opening", ())
    ]
    return table


@pytest.mark.parametrize("case", REFUSED)
def test_every_mend_mends(case: str) -> None:
    scene, key = REFUSED[case]
    scene = without_none(scene)
    problems = check_scene(scene)[1]
    (problem, *_) = [one for one in problems if one.key == key]
    found = ways(problem.mend, key)
    assert found, problem.mend
    for where, value in found:
        after = {one.key for one in check_scene(follow(scene, where, value))[1]}
        assert key not in after, (where, value, problem.mend)
        assert after <= {one.key for one in problems}, (where, value, after)


@pytest.mark.parametrize("case", ON_WALLS)
def test_a_beam_is_laid_on_the_walls_or_taken_off(case: str) -> None:
    scene, key = REFUSED[case]
    _, (problem,) = check_scene(scene)
    assert problem.key == key
    assert ON_WALLS[case] in problem.mend.split(", or ")


def test_a_roof_too_steep_for_its_depth_is_mended_by_its_slope() -> None:
    # 17 ft 8 in and two overhangs of 1 ft at 1.5 in 12 are 19 ft 9-7/8 in on the slope, and the
    # plumb cut of a 2x8 adds 7/8 in: less than 19 ft 11 in, which 1.75 in 12 is over.
    door = {**DOOR, "name": "way in", "wall": "right", "from_left": "10 ft", "height": "5 ft"}
    table = store("18 ft", "17 ft 8 in", "9.5:12", walls={"low_height": "6 ft"}, opening=[door])
    _, (problem,) = check_scene(table)
    assert (problem.key, problem.mend) == ("roof.rafter", "give roof.slope 1.5:12")


def test_a_cap_too_small_for_the_ridge_is_mended_at_the_ridge() -> None:
    # Beams of two plies and 1/2 in are 3-1/2 in thick, as a 4x4 is; three plies of a ridge, 4-1/2.
    ridge = {"kind": "beam", "plies": 3, "spacer": "none", "ply": "2x8"}
    bay = {"side": "right", "reach": "8 ft", "seat": "cap", "post": "4x4"}
    _, (problem,) = check_scene(
        store(
            "12 ft", "10 ft", "3:12", foundation={"kind": "pad"}, roof={"ridge": ridge}, bay=[bay]
        )
    )
    assert (problem.key, problem.mend) == ("bay[1].post", "give roof.ridge.plies 2")


def test_what_a_mend_brings_up_is_mended_with_it() -> None:
    # A cap holds a post of 5-1/2 in to three plies, and one of 3-1/2 in to two.
    table = with_bay(bay=[{**BAY, "post": "6x6", "seat": "cap"}], beam={"plies": 3})
    thick = Problem.at(("beam", "plies"), "are too thick", "", less("beam", "plies"))
    deep = [
        Problem.at(("bay", 0, key), f"is too deep: {key}", "", other("bay", 0, "post"))
        for key in ("post", "seat")
    ]

    def check(tried: dict[str, Any]) -> Iterator[Problem]:
        if tried["beam"]["plies"] > 2:
            yield thick
        elif tried["bay"][0]["post"] != "4x4":
            yield from deep

    (mended,) = with_mends([thick], table, Scene.model_validate(table), check)
    assert mended.mend == 'give 2, and give bay[1].post "4x4"'


def test_a_trial_looks_no_further_than_what_is_wrong() -> None:
    table = with_bay(bay=[BAY], beam={"plies": 3})
    thick = Problem.at(("beam", "plies"), "are too thick", "", less("beam", "plies"))

    def check(tried: dict[str, Any]) -> Iterator[Problem]:
        yield from [thick] if tried["beam"]["plies"] > 1 else []
        assert tried["beam"]["plies"] == 1, "looked further"

    (mended,) = with_mends([thick], table, Scene.model_validate(table), check)
    assert mended.mend == "give 1"


def test_a_mend_that_hides_what_it_is_for_gives_way() -> None:
    table = with_bay(bay=[BAY], beam={"plies": 3})
    seat = ("bay", 0, "seat")
    loose, shallow = (Problem.at(seat, wrong, "") for wrong in ("is loose", "is too shallow"))
    tries = other("bay", 0, "post"), less("beam", "plies")
    thick = Problem.at(("beam", "plies"), "are too thick", "", *tries)

    def check(tried: dict[str, Any]) -> Iterator[Problem]:
        if "post" in tried["bay"][0]:
            yield shallow  # and no more is looked for
        elif tried["beam"]["plies"] > 2:
            yield from (thick, loose)

    mended, _ = with_mends([thick, loose], table, Scene.model_validate(table), check)
    assert mended.mend == "give 2"

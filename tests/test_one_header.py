"""A row of openings under one long header, or under one flat stud where a beam carries the roof."""

from __future__ import annotations

from typing import Any

import pytest

from measuring import CUT_MM, INCH, box_of, of_kind
from mended import follow, ways
from pikepole_export.derive.findings import findings
from pikepole_model.build import build
from pikepole_model.building.contact import find_contacts
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import check_scene
from test_scene_mends import plain

# Three of 2 ft in the front wall of 12 ft, the first 2 ft from its left corner.
ROW: dict[str, Any] = {
    "name": "bench window",
    "kind": "window",
    "wall": "front",
    "from_left": "2 ft",
    "width": "2 ft",
    "height": "2 ft",
    "sill": "3 ft",
    "count": 3,
    "one_header": True,
}
STUD = 1.5


def store(**keys: Any) -> dict[str, Any]:
    # Rows of windows leave no panels: what braces such a front is not in the scene.
    braced = {"braced_elsewhere": ["front"]}
    tables: dict[str, Any] = plain(building={"length": "12 ft", "depth": "8 ft"}, walls=braced)
    beam = {"beam": {"on_walls": True}} if keys.get("header") == "none" else {}
    return {**tables, **beam, "opening": [{**ROW, **keys}]}


def built(**keys: Any) -> Building:
    scene, problems = check_scene(store(**keys))
    assert not problems
    assert scene
    building = build(scene)
    assert not findings(building, find_contacts(building.parts))
    return building


def x(building: Building, *kinds: Kind) -> list[tuple[float, float]]:
    """From and to along the front wall of its pieces of some kinds, in, each place once."""
    parts = [part for part in of_kind(building, *kinds) if part.group == "front wall"]
    boxes = [box_of(part) for part in parts]
    return sorted({(round(b.low[0] / INCH, 4), round(b.high[0] / INCH, 4)) for b in boxes})


@pytest.mark.parametrize(
    ("apart", "between"),
    [
        # One stud fills 1-1/2 in, two 3 in, and in 6 in one stands at each side.
        ("1-1/2 in", [(0, 1.5)]),
        ("3 in", [(0, 1.5), (1.5, 3)]),
        ("6 in", [(0, 1.5), (4.5, 6)]),
    ],
)
def test_studs_under_one_header(apart: str, between: list[tuple[float, float]]) -> None:
    building = built(apart=apart)
    gap = between[-1][1]
    # Rough openings of 24 in from 24 in on; a jack and a king at each end only.
    ends = [24 + k * (24 + gap) for k in range(3)]
    right = ends[-1] + 24
    assert x(building, Kind.KING) == [(21, 22.5), (right + STUD, right + 2 * STUD)]
    jacks = [(22.5, 24), (right, right + STUD)]
    jacks += [(left + 24 + u0, left + 24 + u1) for left in ends[:2] for u0, u1 in between]
    assert x(building, Kind.JACK) == sorted(jacks)
    assert x(building, Kind.HEADER) == [(22.5, right + STUD)]
    plies = [part for part in of_kind(building, Kind.HEADER) if part.group == "front wall"]
    assert [part.name for part in plies] == [f"bench window header ply {k}" for k in (1, 2)]
    assert x(building, Kind.SILL) == [(left, left + 24) for left in ends]
    # Every jack carries the header: 5 ft up.
    tops = {
        round(box_of(part).high[2] - box_of(plies[0]).low[2], 4)
        for part in of_kind(building, Kind.JACK)
    }
    assert tops == {0.0}


def test_a_wide_gap_keeps_the_studs_of_the_layout() -> None:
    # From 48 in to 72 in nothing is open; the studs 48 in (its jack) and 64 in on centre stand in
    # it, that on 64 in under the header.
    building = built(apart="2 ft", count=2)
    assert (63.25, 64.75) in x(building, Kind.JACK)
    assert x(building, Kind.HEADER) == [(22.5, 97.5)]


def test_under_a_beam_one_flat_stud_is_the_head_of_the_row() -> None:
    building = built(apart="1-1/2 in", header="none")
    right = 24 + 3 * 24 + 2 * STUD
    assert x(building, Kind.HEAD_PLATE) == [(24, right)]
    assert x(building, Kind.JACK) == [(48, 49.5), (73.5, 75)]
    assert x(building, Kind.KING) == [(22.5, 24), (right, right + STUD)]


def test_cripples_over_the_header_are_there_once() -> None:
    building = built(apart="6 in")
    over = [
        box_of(part)
        for part in of_kind(building, Kind.CRIPPLE)
        if part.group == "front wall" and box_of(part).low[2] > 6 * 12 * INCH
    ]
    # On centre at 32, 48, 64, 80 and 96 in; 112 in is past the header's end at 109-1/2 in.
    found = sorted(round((b.low[0] + b.high[0]) / 2 / INCH, 3) for b in over)
    assert found == pytest.approx([32, 48, 64, 80, 96], abs=CUT_MM)


REFUSED = {
    "no stud goes in": ({"apart": "1 in"}, "apart"),
    "one does not fill it": ({"every": "26 in"}, "every"),
    "alone": ({"count": 1}, "one_header"),
    "longer than any header": (
        {"count": 10, "apart": "6 in", "header": "2x6", "wall": "back"},
        "width",
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_is_refused_with_a_mend(case: str) -> None:
    keys, key = REFUSED[case]
    table = store(**keys)
    if case.startswith("longer"):
        table["building"]["length"] = "32 ft"
    problems = check_scene(table)[1]
    assert [problem.key for problem in problems] == [f"opening[1].{key}"]
    found = ways(problems[0].mend, problems[0].key)
    assert found
    for where, value in found:
        assert not check_scene(follow(table, where, value))[1], (where, value)

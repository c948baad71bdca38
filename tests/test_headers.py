"""Headers over wide openings: chosen by the table of spans, refused with a figure past it."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from measuring import CUT_MM, INCH, of_kind
from mended import follow
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.reading.file import check_scene
from pikepole_model.stock.headers import load_headers
from test_close_fits import store

FOOT = 12 * INCH


def spans(plies: int, across_ft: float) -> dict[str, float]:
    """In feet, by section."""
    rows = load_headers().rows_of(plies, across_ft * FOOT)
    return {row.section: row.span_mm / FOOT for row in rows}


def test_the_table_as_it_is_printed() -> None:
    # IRC 2012 Table R502.5(1), roof and ceiling, 30 psf: 2-2x12 under 20 ft 9 ft 9 in, 3-2x12
    # 12 ft 2 in, 4-2x10 under 36 ft 9 ft 5 in.
    assert spans(2, 20)["2x12"] == pytest.approx(9.75)
    assert spans(3, 20)["2x12"] == pytest.approx(12 + 2 / 12)
    assert spans(4, 36)["2x10"] == pytest.approx(9 + 5 / 12)


def test_spans_between_two_widths() -> None:
    # Half way from 20 to 28 ft: (5 ft 5 in + 4 ft 8 in) / 2 = 5 ft 1/2 in, as a footnote of the
    # table allows. A narrower building is taken as one of 20 ft, a wider one is not in it.
    assert spans(2, 24)["2x6"] == pytest.approx(5 + 0.5 / 12)
    assert spans(2, 8) == spans(2, 20)
    assert spans(2, 36.1) == {}


def test_longer_in_every_way_that_carries_more() -> None:
    for across in (20, 28, 36):
        for plies in (2, 3, 4):
            found = list(spans(plies, across).values())
            assert found == sorted(found)
        for section in ("2x10", "2x12"):
            found = [spans(plies, across)[section] for plies in (2, 3, 4)]
            assert found == sorted(found)


def shed(width: str, stud: str = "2x4", *, wall: str = "front", **keys: Any) -> dict[str, Any]:
    """A bus shed 16 ft deep with a pair of doors in it."""
    door = {"kind": "framed", "leaves": 2, "frame": "1x6" if stud == "2x4" else "1x8"}
    opening = {
        "name": "bus door",
        "kind": "door",
        "wall": wall,
        "at": "middle",
        "width": width,
        "height": "7 ft",
        "steps": {"kind": "none"},
        "door": door,
    }
    return {
        "title": "Bus shed",
        "building": {"length": "24 ft", "depth": "16 ft"},
        "foundation": {"kind": "pad"},
        "walls": {"low_height": "9 ft", "stud": stud},
        "opening": [{**opening, **keys}],
        "roof": {"slope": "2:12"},
    }


@pytest.mark.parametrize(
    ("width", "stud", "header", "plies"),
    [
        # Up to 6 ft the walls' own; 8 ft 5 in on two 2x10, 9 ft 9 in on two 2x12, 12 ft on three
        # 2x12, which take a wall of 2x6.
        ("6 ft", "2x4", "2x6", 2),
        ("8 ft 5 in", "2x4", "2x10", 2),
        ("8 ft 6 in", "2x4", "2x12", 2),
        ("9 ft 9 in", "2x4", "2x12", 2),
        ("10 ft 6 in", "2x6", "2x10", 3),
        ("12 ft", "2x6", "2x12", 3),
    ],
)
def test_double_doors_get_the_header_they_need(
    width: str, stud: str, header: str, plies: int
) -> None:
    scene, problems = check_scene(shed(width, stud))
    assert scene
    assert problems == []
    building = build(scene)
    assert Counter(part.stock for part in of_kind(building, Kind.HEADER)) == {header: plies}
    jacks = len(of_kind(building, Kind.JACK))
    assert jacks == (2 if width == "6 ft" else 4)
    for part in of_kind(building, Kind.HEADER):
        # Over the opening and its jacks, 1-1/2 in each.
        long = scene.opening[0].width + jacks * 1.5 * INCH
        assert part.length_mm == pytest.approx(long, abs=CUT_MM)


@pytest.mark.parametrize(
    ("table", "key", "wrong", "mend"),
    [
        (shed("12 ft"), "opening[1].width", "2 plies of 2x12 span at most 9' 9\"", "give 9' 9\""),
        (
            shed("9 ft", header="2x10"),
            "opening[1].header",
            "2 plies of 2x10 span at most 8' 5\"",
            'give "2x12"',
        ),
        # Not in the table: shallower than two 2x10, and so no better.
        (shed("8 ft 6 in", header="2x8"), "opening[1].header", "at most 8' 5\"", 'give "2x12"'),
    ],
)
def test_what_no_row_carries_is_refused_with_a_figure(
    table: dict[str, Any], key: str, wrong: str, mend: str
) -> None:
    (problem,) = check_scene(table)[1]
    assert problem.key == key
    assert wrong in problem.wrong
    assert "IRC 2012 Table R502.5(1)" in problem.wrong
    assert mend in problem.mend


def test_what_carries_no_rafters_is_left_alone() -> None:
    # In an end wall under a monopitch, and under a beam that carries the roof past the opening.
    end = shed("8 ft", wall="right")
    beam = {**shed("12 ft"), "beam": {"on_walls": True}}
    for table in (end, beam):
        scene, problems = check_scene(table)
        assert scene
        assert problems == []
        assert {part.stock for part in of_kind(build(scene), Kind.HEADER)} == {"2x6"}


def test_more_posts_are_told_where_no_other_header_helps() -> None:
    # Neither the rail nor the stud has another size. In 14 ft three posts of 3-1/2 in stand
    # (168 - 3 x 3.5) / 2 = 78.75 in clear; with four it is 51-3/8 in, and 2-2x6 span 5 ft 5 in (the
    # same table, 20 ft wide).
    names = ("larch rail", "larch stud")
    sizes = {"breadth": "45 mm", "depth": "90 mm", "lengths": ["5 m"]}
    table = store(
        "14 ft",
        "6 ft",
        "2:12",
        walls={"stud": names[1], "front": {"kind": "open", "header": names[0]}},
        stock={"lumber": [{"name": name, **sizes} for name in names]},
    )
    _, (problem,) = check_scene(table)
    assert problem.key == "walls.front.header"
    assert problem.mend == "give walls.front.posts 4"
    assert check_scene(follow(table, "walls.front.posts", 4))[1] == []

"""Small stores in which one piece would come into another's place: each is told how to mend it."""

from __future__ import annotations

from typing import Any

import pytest

from pikepole_model.reading.file import check_scene
from test_close_fits import opening, store
from whole import laid_out

REFUSED = [
    # A fascia wider than the rafters leans back under square tails, over what comes up there.
    (
        "bay[1].ledger_height",
        store(
            "8 ft",
            "10 ft 11 in",
            "7.75:12",
            foundation={"kind": "pad"},
            roof={"ridge": {"kind": "board"}, "rafter": "2x6", "tail": "square"}
            | {"eave_overhang": "2 ft", "high_overhang": "0 in"},
            bay=[{"side": "back", "reach": "4 ft 7 in", "roof": "ledger", "ledger_height": "6 ft"}],
            edges={"fascia": "1x8"},
            roofing={},
        ),
    ),
    # Panels hang over the edge of a roof that ends flush with its wall, and into the lower one.
    (
        "bay[2].ledger_height",
        store(
            "9 ft 6 in",
            "13 ft 9 in",
            "9:12",
            bay=[
                {"side": "back", "reach": "4 ft"},
                {"side": "front", "reach": "6 ft", "slope": "8 deg"}
                | {"roof": "ledger", "ledger_height": "2132 mm"},
            ],
            roof={"ridge": {"kind": "board", "board": "1x12"}, "rafter": "2x8"}
            | {"eave_overhang": "0 in"},
            roofing={"overhang": "0 in"},
        ),
    ),
    # The sill of a window stands out over the flashing's leg, 5 in up.
    (
        "bay[1].ledger_height",
        store(
            "9 ft",
            "10 ft",
            "19 deg",
            foundation={"kind": "pad"},
            bay=[
                {"side": "front", "reach": "5 ft", "roof": "ledger", "ledger_height": "3 ft 3 in"}
            ],
            opening=[
                opening("window", "front", "2 ft", "3 ft", sill="4 ft")
                | {"window": {"kind": "fixed light"}}
            ],
            edges={},
            cladding=[{"kind": "battens"}],
        ),
    ),
    # The straps that a sliding leaf hangs from reach farther out under the rafters than its track.
    (
        "opening[2].door.track",
        store(
            "12 ft 3 in",
            "12 ft",
            "41 deg",
            walls={"low_height": "2175 mm"},
            roof={"ridge": {"kind": "board"}, "rafter": "2x6", "tail": "square"},
            opening=[
                opening("window", "left", "3 ft", "2 ft"),
                opening("door", "back", "3 ft", "4 ft", height="1920 mm")
                | {"door": {"kind": "framed", "track": {}}},
            ],
        ),
    ),
    # The second of a row: its track runs past the end of the wall.
    (
        "opening[1].door.track",
        store(
            "10 ft",
            "14 ft 6 in",
            "2:12",
            opening=[
                opening("door", "left", "18 in", "3 ft", count=2, apart="4 ft")
                | {"door": {"kind": "ledged", "track": {}}}
            ],
        ),
    ),
    # A track runs on past its opening by a leaf: half of it comes before the next one of the row.
    (
        "opening[1].apart",
        store(
            "14 ft",
            "8 ft",
            "2:12",
            opening=[
                opening("door", "front", "2 ft", "3 ft", count=2, apart="1 ft")
                | {"door": {"kind": "ledged", "track": {}}}
            ],
        ),
    ),
    # Studs beside a window leave the end bolt of a plate no room within 12 in (IRC R403.1.6).
    (
        "opening[1].from_left",
        store(
            "12 ft",
            "7 ft 6 in",
            "2:12",
            foundation={"kind": "pad"},
            opening=[opening("window", "back", "239 mm", "3 ft")],
        ),
    ),
    # Two studs stand side by side under a sill: 3 in.
    (
        "opening[1].width",
        store("8 ft", "6 ft", "2:12", opening=[opening("window", "front", "2 ft", "2-1/2 in")]),
    ),
    # Lookouts pass over end rafters, and without an overhang there are none.
    (
        "roof.end_rafter",
        store(
            "9 ft",
            "12 ft",
            "5:12",
            roof={"rafter": "2x6", "end_rafter": "2x8", "rake_overhang": "0 in"},
        ),
    ),
    # Between the blocks over a ridge and over a wall 11 in from it there is no room for a 2x6.
    (
        "roof.lookout",
        store(
            "8 ft",
            "6 ft",
            "15 deg",
            roof={"ridge": {"kind": "beam", "from_front": "11 in"}, "lookout": "2x6"}
            | {"back_slope": "12:12", "rafter": "2x10", "eave_overhang": "0 in"},
        ),
    ),
    # A square tail of 93 mm ends in front of the wall, where its slant is lower than its edge.
    (
        "bay[1].ledger_height",
        store(
            "12 ft 6 in",
            "5 ft 3 in",
            "7:12",
            roof={"ridge": {"kind": "beam"}, "eave_overhang": "3-11/16 in", "tail": "square"},
            bay=[
                {
                    "side": "front",
                    "reach": "1400 mm",
                    "post": "4x8",
                    "ledger": "2x8",
                    "roof": "ledger",
                    "ledger_height": "6 ft 3 in",
                }
            ],
            beam={"plies": 1, "ply": "2x8"},
            wrap={},
        ),
    ),
    # Three hinges of 4 in, half a foot in from the ends of a leaf, would lie on each other.
    (
        "opening[1].door",
        store(
            "8 ft",
            "6 ft",
            "2:12",
            opening=[
                opening("door", "front", "2 ft", "3 ft", height="20 in")
                | {"door": {"kind": "steel", "mass_kg": 15}}
            ],
        ),
    ),
    # Rafters of 47 mm on a ledger of 1-1/2 in, and end rafters as thick as they are.
    (
        "roof.rafter",
        store(
            "12 ft",
            "6 ft",
            "2:12",
            walls={"low_height": "8 ft"},
            roof={"rafter": "C24 47x145", "end_rafter": "C24 47x145", "rake_overhang": "0 in"},
            bay=[{"side": "front", "reach": "6 ft", "roof": "ledger", "ledger_height": "6 ft"}],
        ),
    ),
    # A track of 3 ft and a leaf ends 3 in from a door, whose hinges are nailed on its bare frame.
    (
        "opening[2].from_left",
        store(
            "20 ft",
            "7 ft",
            "3:12",
            opening=[
                opening("door", "front", "3 ft", "3 ft", door={"kind": "ledged", "track": {}}),
                opening("door", "front", "9 ft 3 in", "2 ft", door={"kind": "ledged"})
                | {"name": "side door"},
            ],
            cladding=[{"kind": "boards"}],
        ),
    ),
    # An old post 3/4 in behind the rafters' ends, where sheets and panels hang over it.
    (
        "existing[1].height",
        store(
            "11 ft 6 in",
            "1200 mm",
            "9:12",
            existing=[
                {"name": "old post", "x": "7 ft", "y": "1525 mm", "width": "4 in", "depth": "6 in"}
                | {"height": "9 ft"}
            ],
            edges={},
            roofing={"overhang": "0 in"},
        ),
    ),
    # A gap through a half wall that begins 1 ft past the end of it.
    (
        "opening[1].from_left",
        store(
            "14 ft",
            "9 ft",
            "3:12",
            walls={"front": {"kind": "sheets", "height": "4 ft"}},
            opening=[opening("door", "front", "15 ft", "3 ft")],
        ),
    ),
    # The ridge beam crosses the opening in a loft 2 ft 5-11/16 in over its joists.
    (
        "loft.opening.y",
        store(
            "12 ft",
            "12 ft",
            "2:12",
            walls={"low_height": "9 ft 3 in"},
            roof={"ridge": {"kind": "beam"}},
            loft={
                "height": "6 ft 6 in",
                "opening": {"x": "6 ft", "y": "3 ft", "width": "3 ft", "depth": "40 in"},
            },
        ),
    ),
    # A soffit under square tails ends farther in than they do, and lower, over what comes up there.
    (
        "bay[1].ledger_height",
        store(
            "8 ft",
            "5 ft 4 in",
            "3:12",
            walls={"high_height": "2700 mm"},
            roof={"eave_overhang": "2 ft 2 in", "tail": "square"},
            bay=[
                {"side": "back", "reach": "4 ft", "slope": "1:12"}
                | {"roof": "ledger", "ledger_height": "7 ft 2 in"}
            ],
            beam={"ply": "C16 47x195", "plies": 1, "on_walls": True},
            edges={"fascia": "1x6", "soffit": "7/16 OSB"},
        ),
    ),
    # A brace of 3/4 in, let in flush, parts girts that are no thicker.
    (
        "walls.front.girt",
        store(
            "6 ft",
            "7 ft",
            "2:12",
            walls={"front": {"kind": "slats", "girts": "between", "girt": "1x4"}},
        ),
    ),
    # An old post against the face of the back wall, in the middle of its door.
    (
        "existing[1].y",
        store(
            "10 ft",
            "8 ft",
            "3:12",
            foundation={"kind": "skids", "inset": "6 in"},
            floor={},
            existing=[
                {"name": "old post", "x": "5 ft", "y": "8 ft", "width": "4 in", "depth": "4 in"}
                | {"height": "6 ft"}
            ],
            opening=[opening("door", "back", "3 ft 6 in", "36 in")],
        ),
    ),
    # Slats on girts stand out so far that a narrow corner board beside them reaches no frame.
    (
        "cladding[1].corner",
        store(
            "11 ft",
            "8 ft",
            "8 deg",
            walls={"right": {"kind": "slats", "board": "1x6", "girts": "over", "girt": "2x6"}},
            cladding=[{"kind": "boards", "corner": "1x3", "board": "1x8"}],
        ),
    ),
    # The same against a wall of slats, which are not cut round it as boards are.
    (
        "existing[1].x",
        store(
            "6 ft",
            "8 ft",
            "3:12",
            existing=[
                {"name": "old post", "x": "6 ft", "y": "3 ft", "width": "4 in", "depth": "4 in"}
                | {"height": "6 ft"}
            ],
            walls={"right": {"kind": "slats"}},
        ),
    ),
    # An old post under the ends of the rafters, which are lower over its middle than at its sides.
    (
        "existing[1].height",
        store(
            "10 ft",
            "8 ft",
            "12:12",
            existing=[
                {
                    "name": "old post",
                    "x": "5 ft",
                    "y": "8 ft 2 in",
                    "width": "4 in",
                    "depth": "18 in",
                }
                | {"height": "7 ft 6 in"}
            ],
            roof={"eave_overhang": "1 ft"},
        ),
    ),
    # A half wall of 4 in between a doorway and a post, which stands from 82-1/4 to 85-3/4 in: less
    # the studs at both its ends, 1 in of plate is left for the washer of 3 in.
    (
        "opening[1].from_left",
        store(
            "14 ft",
            "9 ft",
            "3:12",
            foundation={"kind": "pad"},
            walls={"front": {"kind": "sheets", "height": "4 ft", "posts": 3}},
            opening=[opening("door", "front", "42-1/4 in", "36 in")],
        ),
    ),
    # A window of a clerestory 1/4 in over the bare sheets of the lower roof: the membrane of its
    # sill turns down 2 in.
    (
        "opening[1].sill",
        store(
            "12 ft",
            "8 ft",
            "6 deg",
            roof={"clerestory": {"from_wall": "3 ft", "step": "4 ft 6 in"}},
            opening=[
                opening("window", "clerestory", "1 ft", "1 ft 6 in", sill="7 ft 11-1/4 in")
                | {"window": {"kind": "vent"}}
            ],
            cladding=[{"kind": "battens", "batten": "1x2"}],
        ),
    ),
    # An old post in a half wall, through the header that lies on its posts.
    (
        "existing[1].y",
        store(
            "8 ft",
            "6 ft",
            "3:12",
            foundation={"kind": "skids", "inset": "1 ft"},
            floor={},
            walls={"back": {"kind": "sheets", "height": "3 ft"}},
            existing=[
                {"name": "old post", "x": "4 ft", "y": "5 ft 10 in"}
                | {"width": "4 in", "depth": "4 in", "height": "5 ft"}
            ],
        ),
    ),
    # An old post 12 mm behind the studs under a ridge, where one has to stand beside it.
    (
        "existing[1].y",
        store(
            "6 ft",
            "6 ft",
            "11:12",
            foundation={"kind": "skids", "inset": "1 ft"},
            floor={},
            roof={"ridge": {"kind": "beam", "plies": 4}},
            existing=[
                {"name": "old post", "x": "5 ft 9 in", "y": "1003 mm"}
                | {"width": "6 in", "depth": "6 in", "height": "3 ft"}
            ],
        ),
    ),
]


@pytest.mark.parametrize(("key", "table"), REFUSED)
def test_what_does_not_fit_is_mended_as_told(key: str, table: dict[str, Any]) -> None:
    _, problems = check_scene(table)
    assert [problem.key for problem in problems] == [key]
    _, building, wrong = laid_out(table)
    assert building
    assert wrong == []


def test_a_ridge_post_where_end_bolts_belong_is_told_for_both_walls() -> None:
    # It stands over the last foot of both end walls' plates.
    table = store(
        "8 ft",
        "2890 mm",
        "9:12",
        foundation={"kind": "pad"},
        roof={"ridge": {"kind": "beam", "from_front": "2600 mm", "plies": 4}},
    )
    _, problems = check_scene(table)
    assert [problem.key for problem in problems] == ["roof.ridge.from_front"] * 2
    _, building, wrong = laid_out(table)
    assert building
    assert wrong == []

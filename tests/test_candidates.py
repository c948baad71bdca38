"""What is tried in place of a value: the next whole sizes on either side, stock, words."""

from __future__ import annotations

from typing import Any

import pytest

from pikepole_model.errors import Try, less, more, other, without
from pikepole_model.reading.candidates import changes_at
from strategies import scene_of
from test_close_fits import opening, store


def texts(one: Try, **tables: Any) -> list[str]:
    """What is tried at a key of a store, one to three steps away."""
    table = store("8 ft", "6 ft", "2.6:12", **tables)
    return [change.text for change in changes_at(scene_of(table), one, (1, 2, 3))]


GAP = {"opening": [opening("window", "front", "2 ft 1/2 in", "2 ft")]}
THICK = {"beam": {"plies": 3, "on_walls": True}, "walls": {"stud": "2x6"}}


@pytest.mark.parametrize(
    ("one", "tables", "tried"),
    [
        # Lengths by whole inches, from the nearest on; by 25 mm in a metric scene.
        (more("opening", 0, "from_left"), GAP, ["2' 1\"", "2' 2\"", "2' 3\""]),
        (less("opening", 0, "from_left"), GAP, ["2' 0\"", "1' 11\"", "1' 10\""]),
        (
            other("opening", 0, "from_left"),
            GAP,
            ["2' 1\"", "2' 0\"", "2' 2\"", "1' 11\"", "2' 3\"", "1' 10\""],
        ),
        (
            more("opening", 0, "from_left"),
            {**GAP, "units": "metric"},
            ["625 mm", "650 mm", "675 mm"],
        ),
        # Slopes by quarters in 12, by half degrees: 2.6 in 12 is 12.2 degrees.
        (more("roof", "slope"), {}, ["2.75:12", "3:12", "3.25:12"]),
        (less("roof", "slope"), {"units": "metric"}, ["12 deg", "11.5 deg", "11 deg"]),
        # Counts by one, up to the key's limits: a beam has one ply to four.
        (other("beam", "plies"), THICK, ["4", "2", "1"]),
        # True where false stands, other words, and nothing where nothing stands or is known.
        (other("beam", "on_walls"), {"beam": {"on_walls": True}}, ["false"]),
        (without("beam"), {"beam": {"on_walls": True}}, [""]),
        (without("beam"), {}, []),
        (other("beam", "ply"), {}, []),
        (other("beam", "price"), {"beam": {"on_walls": True}}, []),
    ],
)
def test_what_is_tried(one: Try, tables: dict[str, Any], tried: list[str]) -> None:
    assert texts(one, **tables) == tried


def test_stock_is_tried_from_the_nearest_size_on() -> None:
    # Dressed 2x8 is 7-1/4 in deep (PS 20): 2x6 is 1-3/4 in away, 2x10 2 in, 2x4 3-3/4 in.
    beam = {"beam": {"ply": "2x8", "on_walls": True}}
    tried = [text.strip('"') for text in texts(other("beam", "ply"), **beam)]
    twos = [name for name in tried if name.startswith("2x")]
    assert twos[:3] == ["2x6", "2x10", "2x4"]
    # Common boards are no joists (PS 20: boards are under 2 in thick by name, and not stress-rated
    # as framing is; from memory).
    assert not [name for name in tried if name.startswith("1x")]
    deeper = [text.strip('"') for text in texts(more("beam", "ply"), **beam)]
    assert deeper[0] == "2x10"
    # A board may become a thicker one.
    trim = {"opening": [opening("window", "front", "2 ft", "2 ft", trim={"board": "1x6"})]}
    assert '"2x6"' in texts(other("opening", 0, "trim", "board"), **trim)

"""The long edges of floor sheets: tongue-and-groove, or on blocks, or found.

Source: IRC Table R503.2.1.1(1), its note on edges (from memory).
"""

from __future__ import annotations

import pytest

from filled import store
from measuring import INCH, box_of, of_kind
from pikepole_export.derive.buying.order import buy_list
from pikepole_export.derive.cutting.cuts import cut_plans
from pikepole_export.derive.cutting.sheets import sheet_plans
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check


def rows(building: Building) -> dict[float, int]:
    """How many floor blocks have their middle so far from the front, in."""
    found: dict[float, int] = {}
    for part in of_kind(building, Kind.FLOOR_BLOCK):
        box = box_of(part)
        middle = round((box.low[1] + box.high[1]) / 2 / INCH, 3)
        found[middle] = found.get(middle, 0) + 1
    return found


# 16 by 10 ft: rows of sheets 48, 48 and 24 in deep meet 48 and 96 in from the front. Joists stand
# at 0, 16 ... 176 in and at the end, 13 of them: 12 gaps.
def test_blocks_under_square_edges() -> None:
    # The usual row is in the middle, 60 in, its blocks half a thickness to either side in turn.
    building = store(floor={"edge": "square"})
    assert rows(building) == {48: 12, 96: 12, 59.25: 6, 60.75: 6}
    assert check(building) == ()
    for part in of_kind(building, Kind.FLOOR_BLOCK):
        assert part.stock == "2x6"
        # Between two joists: 16 - 1-1/2, at the ends half a joist less.
        assert part.length_mm / INCH == pytest.approx(14.5, abs=0.76)


def test_usual_blocks_make_room_for_those_under_edges() -> None:
    # 8 ft deep: one joint, 48 in from the front, where the usual row would be.
    building = store(floor={"edge": "square"}, building={"length": "16 ft", "depth": "8 ft"})
    assert rows(building) == {48: 12}
    assert check(building) == ()


def test_blocks_leave_room_round_what_stands_up_through_the_floor() -> None:
    pipe = {"name": "flue", "x": "70 in", "y": "44 in", "width": "6 in", "depth": "8 in"}
    building = store(floor={"edge": "square", "through": [pipe]})
    # Between the joists at 64 and 80: blocks before and behind the pipe in place of one under the
    # edge.
    assert rows(building)[48] == 11
    assert check(building) == ()


def test_tongue_and_groove_takes_no_blocks_and_is_asked_for_in_the_buy_list() -> None:
    building = store()
    assert rows(building) == {59.25: 6, 60.75: 6}
    square = store(floor={"edge": "square"})
    for one, made_of in ((building, "tongue-and-groove"), (square, "square")):
        buying = buy_list(one, cut_plans(one), sheet_plans(one))
        (sheets,) = [row for row in buying.purchases if row.item == "23/32 plywood"]
        assert sheets.made_of == made_of


def test_bare_edges_are_found() -> None:
    building = store(floor={"edge": "square", "edge_blocks": False})
    assert rows(building) == {59.25: 6, 60.75: 6}
    (found,) = check(building)
    assert (found.key, found.mend) == ("floor.edge_blocks", "give true")
    assert "R503.2.1.1" in found.text
    # One row of sheets has no edge between joists.
    narrow = {"length": "16 ft", "depth": "4 ft"}
    assert check(store(floor={"edge": "square", "edge_blocks": False}, building=narrow)) == ()


def test_sheets_lie_the_same_with_either_edge() -> None:
    places = [
        sorted(box_of(part).low for part in of_kind(store(floor={"edge": edge}), Kind.FLOOR_SHEET))
        for edge in ("square", "tongue-and-groove")
    ]
    assert places[0] == places[1]
    # 48 in from edge to edge of two rows, 1/8 in between them (APA).
    assert {round(low[1] / INCH, 4) for low in places[0]} == {0.0, 48.0625, 96.0625}

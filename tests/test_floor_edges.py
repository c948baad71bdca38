"""The long edges of floor sheets: tongue-and-groove, or on blocks, or found.

Source: IRC Table R503.2.1.1(1), its note on edges (from memory).
"""

from __future__ import annotations

import pytest

from filled import store, table_of
from measuring import INCH, box_of, of_kind
from pikepole_export.derive.buying.order import buy_list
from pikepole_export.derive.cutting.cuts import cut_plans
from pikepole_export.derive.cutting.sheets import sheet_plans
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.checks.fit import check
from pikepole_model.reading.file import check_scene
from strategies import Table


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
    # A whole sheet and the gap are 48-1/8 in, two rows of them 96-1/4. The usual row is in the
    # middle, 60 in, its blocks half a thickness to either side in turn.
    building = store(floor={"edge": "square"})
    assert rows(building) == {48.125: 12, 96.25: 12, 59.25: 6, 60.75: 6}
    assert check(building) == ()
    for part in of_kind(building, Kind.FLOOR_BLOCK):
        assert part.stock == "2x6"
        # Between two joists: 16 - 1-1/2, at the ends half a joist less.
        assert part.length_mm / INCH == pytest.approx(14.5, abs=0.76)


def test_usual_blocks_make_room_for_those_under_edges() -> None:
    # 8 ft deep: one joint, 48-1/8 in from the front, about where the usual row would be.
    building = store(floor={"edge": "square"}, building={"length": "16 ft", "depth": "8 ft"})
    assert rows(building) == {48.125: 12}
    assert check(building) == ()


def test_blocks_leave_room_round_what_stands_up_through_the_floor() -> None:
    pipe = {"name": "flue", "x": "70 in", "y": "44 in", "width": "6 in", "depth": "8 in"}
    building = store(floor={"edge": "square", "through": [pipe]})
    # Between the joists at 64 and 80: blocks before and behind the pipe in place of one under the
    # edge.
    assert rows(building)[48.125] == 11
    assert check(building) == ()


@pytest.mark.parametrize(("y", "tails"), [("4-1/2 in", 1), ("8 in", 2)])
def test_a_joist_too_short_to_nail_is_left_out_beside_a_header(y: str, tails: int) -> None:
    # The joist at 80 in is cut round a pipe. 1/4 in clear of that and a header of 1-1/2 in leave
    # 4.5 - 0.25 - 1.5 - 1.5 = 1.25 in before it, or 4.75; a stub splits under 3-1/2 in, common
    # practice, no source.
    pipe = {"name": "flue", "x": "78 in", "y": y, "width": "4 in", "depth": "4 in"}
    building = store(floor={"through": [pipe]})
    joists = [box_of(part) for part in of_kind(building, Kind.JOIST)]
    cut = [box for box in joists if box.low[0] < 80 * INCH < box.high[0]]
    assert len(cut) == tails
    assert min(box.high[1] - box.low[1] for box in joists) > 3.5 * INCH
    assert check(building) == ()


def test_tongue_and_groove_takes_no_blocks_and_is_asked_for_in_the_buy_list() -> None:
    building = store()
    assert rows(building) == {59.25: 6, 60.75: 6}
    square = store(floor={"edge": "square"})
    for one, made_of in ((building, "tongue-and-groove"), (square, "square")):
        buying = buy_list(one, cut_plans(one), sheet_plans(one))
        (sheets,) = [row for row in buying.purchases if row.item == "23/32 treated plywood"]
        assert sheets.made_of == made_of


def test_thin_sheets_have_square_edges_on_blocks() -> None:
    # Tongue and groove begins at 19/32 in: common practice, no source.
    building = store(floor={"sheet": "15/32 plywood"})
    assert rows(building) == {48.125: 12, 96.25: 12, 59.25: 6, 60.75: 6}
    assert check(building) == ()


@pytest.mark.parametrize(
    ("floor", "key", "mend"),
    [
        (
            {"sheet": "15/32 plywood", "edge": "tongue-and-groove"},
            "floor.edge",
            'give "square"',
        ),
        ({"edge_blocks": True}, "floor.edge_blocks", "leave out floor.edge_blocks"),
        ({"board": "2x6", "edge": "square"}, "floor.edge", "leave out floor.edge"),
        ({"gap": "1/4 in"}, "floor.gap", "leave out floor.gap"),
    ],
)
def test_keys_that_would_make_nothing_are_refused(floor: Table, key: str, mend: str) -> None:
    _, (problem,) = check_scene(table_of(floor=floor))
    assert problem.key == key
    assert mend in problem.mend


def test_bare_edges_are_found() -> None:
    building = store(floor={"edge": "square", "edge_blocks": False})
    assert rows(building) == {59.25: 6, 60.75: 6}
    (found,) = check(building)
    assert (found.key, found.mend) == ("floor.edge_blocks", "give true")
    assert "R503.2.1.1" in found.text
    # One row of sheets has no edge between joists.
    narrow = {"length": "16 ft", "depth": "4 ft"}
    assert check(store(floor={"edge": "square", "edge_blocks": False}, building=narrow)) == ()


def edges(building: Building) -> list[float]:
    """Front and back edges of the floor's sheets, in."""
    sheets = [box_of(part) for part in of_kind(building, Kind.FLOOR_SHEET)]
    return sorted({round(mm / INCH, 4) for box in sheets for mm in (box.low[1], box.high[1])})


def test_rows_lie_as_far_apart_as_sheets_cover() -> None:
    # Square rows are whole sheets of 48 in, 1/8 in between them (APA).
    square = [0, 48, 48.125, 96.125, 96.25, 120]
    assert edges(store(floor={"edge": "square"})) == square
    # With tongue and groove they go together, each a face of 47-1/2 in from the next, whole but for
    # the last: common practice, no source.
    assert edges(store()) == [0, 47.5, 95, 120]


def test_a_narrow_last_row_takes_its_width_from_the_first_where_edges_have_tongues() -> None:
    # 97 in deep: 2 in would be left. A last row is half a sheet wide at least, 23-1/2 in; the other
    # 21-1/2 come off the front edge of the first row, which meets no other.
    assert edges(store(building={"length": "16 ft", "depth": "97 in"})) == [0, 26, 73.5, 97]


def test_sheets_that_are_wanted_wider_than_a_face_are_planned_apart() -> None:
    building = store(walls={"sheet": "23/32 treated plywood"})
    floor, others = [p for p in sheet_plans(building) if p.stock.name == "23/32 treated plywood"]
    assert (floor.edge, others.edge) == ("tongue-and-groove", "")
    for plan, is_floor in ((floor, True), (others, False)):
        names = [one.piece.name for sheet in plan.plan.sheets for one in sheet.placed]
        assert all(name.startswith("floor sheet") == is_floor for name in names)

"""Nails of boards on the walls: how many hold each, and how far they reach into the wood behind."""

from __future__ import annotations

import math
import tomllib
from importlib import resources

import pytest

from blocks import joined, lumber
from clad import INCH, clad
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_export.derive.buying.schedule import Fixed, fixed
from pikepole_model.building.fastenings import load_fastenings
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.units import parse_length

# IRC Table R703.3(1), wood siding: nails reach 1-1/2 in into studs. Wood sheathing counts, as the
# California Redwood Association has it from the Uniform Building Code.
PENETRATION_MM = 1.5 * INCH


def nail_mm(name: str) -> float:
    data = resources.files("pikepole_model").joinpath("data", "fasteners.toml")
    groups = tomllib.loads(data.read_text(encoding="utf-8"))["nail"]
    (length,) = (group["rows"][name][0] for group in groups if name in group["rows"])
    return parse_length(length)


def held(building: Building, kind: Kind) -> list[Fixed]:
    return [one for one in fixed(building) if one.part.kind == kind and one.pieces]


# IRC Table R703.3(1), face nailing: one nail at each bearing up to 6 in wide, two from 8 in on,
# 5-1/2 and 7-1/4 in dressed.
@pytest.mark.parametrize(("board", "at_each"), [("1x6", 1), ("1x8", 2), ("1x10", 2)])
def test_level_boards_by_their_width(board: str, at_each: int) -> None:
    building = clad({"kind": "boards", "board": board, "profile": "square", "corner": "none"})
    deep = building.scene.lumber_stock(board).depth_mm
    whole = [p for p in held(building, Kind.SIDING) if p.part.across_mm[1] > deep - 1]
    assert whole
    for one in whole:
        studs = math.ceil(one.part.length_mm / building.scene.walls.spacing - 1e-6) + 1
        assert one.pieces == at_each * studs, one.part.name


def test_a_board_ripped_narrow_takes_one_at_each_stud() -> None:
    building = clad({"kind": "boards", "board": "1x8", "profile": "square", "corner": "none"})
    narrow = [p for p in held(building, Kind.SIDING) if p.part.across_mm[1] < 6 * INCH]
    assert narrow
    for one in narrow:
        studs = math.ceil(one.part.length_mm / building.scene.walls.spacing - 1e-6) + 1
        assert one.pieces == studs, one.part.name


def test_upright_boards_have_as_many_as_two_at_each_two_feet() -> None:
    # Blocking at most 24 in apart (WWPA, Natural Wood Siding), two nails in a board of 8 in and
    # more (IRC Table R703.3(1)).
    building = clad({"kind": "battens", "board": "1x8", "corner": "none"})
    boards = held(building, Kind.UPRIGHT_BOARD)
    assert boards
    for one in boards:
        assert one.pieces >= 2 * one.part.length_mm / (24 * INCH)


@pytest.mark.parametrize("facing", [{"board": "1x8"}, {"sheet": "19/32 plywood"}])
def test_nails_reach_into_the_wood_behind(facing: dict[str, str]) -> None:
    building = clad({"kind": "battens", "batten": "1x3", **facing})
    (board_mm,) = {
        part.across_mm[0]
        for part in building.parts
        if part.kind in (Kind.UPRIGHT_BOARD, Kind.STRIP)
    }
    schedule = {row.name: row.fastener for row in load_fastenings().schedule}
    board, batten = (
        schedule[name]
        for name in ("upright board to wall, up its middle", "batten to wall, between the boards")
    )
    assert board
    assert batten
    assert nail_mm(board) - board_mm >= PENETRATION_MM - 1e-6
    # Through a batten of 3/4 in and the gap between the boards.
    assert nail_mm(batten) - 0.75 * INCH - board_mm >= PENETRATION_MM - 1e-6


def test_nails_of_level_boards_reach_into_the_wood_behind() -> None:
    row = next(row for row in load_fastenings().schedule if row.name == "siding to studs")
    assert row.fastener
    assert nail_mm(row.fastener) - 0.75 * INCH >= PENETRATION_MM


@pytest.mark.parametrize("name", ["casing to wall", "corner board to wall"])
def test_nails_through_trim_and_siding_reach_into_the_wood_behind(name: str) -> None:
    row = next(row for row in load_fastenings().schedule if row.name == name)
    assert row.fastener
    # Trim and siding of 1x boards, 3/4 in each dressed.
    assert nail_mm(row.fastener) - 2 * 0.75 * INCH >= PENETRATION_MM - 1e-6


def test_strips_beside_a_sliding_leaf_are_screwed_to_the_stud() -> None:
    """7 ft of strip, two rows 16 in apart: 84 / 16 is six spaces, seven in a row.

    Strip, casing and siding of 3/4 in each and 7/16 in of sheathing are 2.7 in: of 3-1/2 in some
    0.8 in is left for the stud, of 3 in next to nothing. Common practice, no source.
    """
    casing = lumber("casing", Kind.CASING, (0, 0, 0), (89, 19, 84 * INCH), group="casings")
    strip = lumber("strip", Kind.CASING, (0, 19, 0), (89, 38, 84 * INCH), group="casings")
    (row,) = fasteners(joined([casing, strip], [("casing", "strip")], units="imperial"))
    assert (row.fastener, row.pieces) == ("frame screw No. 10 x 3-1/2 in", 2 * 7)
    assert row.joint == "strip on a casing, into the stud"

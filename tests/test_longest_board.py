"""The longest board that can be had, and trimmed ends: what is longer is made of pieces.

Lengths are common practice, no source; what is checked is that nothing is longer than its board.
"""

from __future__ import annotations

from fodder import read
from pikepole_export.derive.cutting.cuts import cut_plans
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.units import FOOT_MM, INCH_MM


def lumber_lengths(building: Building) -> list[float]:
    return [part.length_mm for part in building.parts if part.section_mm]


def top_plates(building: Building) -> list[float]:
    return [
        part.length_mm
        for part in building.parts
        if part.kind == Kind.TOP_PLATE and part.name.startswith("front wall lower")
    ]


def test_without_a_longest_the_catalogue_decides() -> None:
    # 12 ft is a stock length: one piece.
    building = build(read())
    assert len(top_plates(building)) == 1
    assert max(lumber_lengths(building)) > 8 * FOOT_MM


def test_no_piece_is_longer_than_the_longest_board() -> None:
    scene = read(building={"length": "20 ft", "depth": "8 ft"}, cutting={"longest": "12 ft"})
    building = build(scene)
    assert len(top_plates(building)) > 1
    assert abs(sum(top_plates(building)) - 20 * FOOT_MM) < INCH_MM
    assert max(lumber_lengths(building)) <= 12 * FOOT_MM
    for plan in cut_plans(building):
        assert all(board.stock.length_mm <= 12 * FOOT_MM for board in plan.plan.boards)


def test_a_section_that_only_comes_longer_is_had_in_its_shortest_length() -> None:
    section = {
        "name": "long 2x4",
        "breadth": "1-1/2 in",
        "depth": "3-1/2 in",
        "lengths": ["16 ft", "20 ft"],
    }
    scene = read(stock={"lumber": [section]}, cutting={"longest": "12 ft"})
    assert scene.lumber_stock("long 2x4").lengths_mm == (16 * FOOT_MM,)


def test_a_piece_leaves_room_for_both_trims() -> None:
    # The front plates are as long as a 12 ft board, which gives less once its ends are trimmed.
    scene = read(cutting={"longest": "12 ft", "end_trim": "1 in"})
    building = build(scene)
    assert len(top_plates(building)) > 1
    # The skids are such a board as it comes.
    long = 12 * FOOT_MM - 2 * INCH_MM
    lumber = [part for part in building.parts if part.section_mm]
    assert {part.kind for part in lumber if part.length_mm > long} == {Kind.SKID}
    assert sum(plan.pieces for plan in cut_plans(building)) == len(lumber_lengths(building))

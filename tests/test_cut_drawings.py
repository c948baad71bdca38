"""Drawings of boards and sheets, read back as XML and held against the plans they are of."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from xml.etree import ElementTree

import pytest

from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_export.write.drawings.cutting import board_layout, write_cut_drawings
from pikepole_export.write.drawings.nested import sheet_layout
from pikepole_model.building.part import Building
from planned import boards_once, built, sheets_once

SCENE = "plain"


@pytest.fixture(scope="module")
def building() -> Building:
    return built(SCENE)


@pytest.fixture(scope="module")
def boards(building: Building) -> tuple[SectionPlan, ...]:
    return boards_once(building)


@pytest.fixture(scope="module")
def sheets(building: Building) -> tuple[StockPlan, ...]:
    return sheets_once(building)


def test_every_piece_is_named_on_a_drawing(
    building: Building,
    boards: tuple[SectionPlan, ...],
    sheets: tuple[StockPlan, ...],
    tmp_path: Path,
) -> None:
    files = write_cut_drawings(boards, sheets, building, tmp_path)
    said = " ".join(" ".join(ElementTree.parse(file).getroot().itertext()) for file in files)
    words = " ".join(said.split())
    for plan in boards:
        for piece in (piece for board in plan.plan.boards for piece in board.pieces):
            assert piece.name in words
    for plan in sheets:
        for one in (one for sheet in plan.plan.sheets for one in sheet.placed):
            assert one.piece.name in words
    assert len({file.name for file in files}) == len(files)


def test_a_board_is_used_up_from_end_to_end(
    building: Building, boards: tuple[SectionPlan, ...]
) -> None:
    # Pieces, a kerf after each but where nothing is left, and the rest: the whole board.
    saw = building.scene.cutting
    for plan in boards:
        for board in plan.plan.boards:
            placed, cuts = board_layout(board, plan, building.scene, {})
            ends = [one.at_mm[0] + one.size_mm[0] for one in placed]
            starts = [one.at_mm[0] for one in placed[1:]]
            assert all(b - a == pytest.approx(saw.kerf) for a, b in zip(ends, starts, strict=False))
            assert ends[-1] <= board.stock.length_mm + 1e-6
            assert len(cuts) >= len(placed) - 1
            # The blade never runs off the end, and never in less than its own width.
            assert all(
                cut.start_mm[0] + saw.kerf / 2 <= board.stock.length_mm + 1e-6 for cut in cuts
            )
            middles = [cut.start_mm[0] for cut in cuts]
            assert middles == sorted(middles)


def test_no_cut_goes_through_a_piece(sheets: tuple[StockPlan, ...], building: Building) -> None:
    kerf, units = building.scene.cutting.kerf, building.scene.units
    for plan in sheets:
        for sheet in plan.plan.sheets:
            for cut in sheet_layout(sheet, kerf, units, {})[1]:
                (x0, y0), (x1, y1) = cut.start_mm, cut.end_mm
                for one in sheet.placed:
                    # Along the sheet's length, and across it.
                    a0, a1 = one.y_mm, one.y_mm + one.length_mm
                    b0, b1 = one.x_mm, one.x_mm + one.width_mm
                    apart = x1 <= a0 or x0 >= a1 or y1 <= b0 or y0 >= b1
                    assert apart, (cut.order, one.piece.name)


def test_as_many_cuts_are_drawn_as_the_plan_makes(
    sheets: tuple[StockPlan, ...], building: Building
) -> None:
    for plan in sheets:
        for sheet in plan.plan.sheets:
            kerf_mm, units = building.scene.cutting.kerf, building.scene.units
            _, cuts = sheet_layout(sheet, kerf_mm, units, {})
            orders = [cut.order for cut in cuts if cut.order is not None]
            assert Counter(orders) == Counter(range(1, len(sheet.cuts) + 1))
            assert len(cuts) - len(orders) == len(sheet.shavings)

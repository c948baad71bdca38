"""Drawings of boards and sheets, read back as XML and held against the plans they are of."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_export.write.drawings.board_pages import board_pages
from pikepole_export.write.drawings.board_rows import stage_rows
from pikepole_export.write.drawings.cutting import cut_pages, write_cut_drawings
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
    files = write_cut_drawings(cut_pages(boards, sheets, building), building.scene, tmp_path)
    said = " ".join(" ".join(ElementTree.parse(file).getroot().itertext()) for file in files)
    words = " ".join(said.split()).replace("\N{NO-BREAK SPACE}", " ")
    for section in (s for some in stage_rows(boards, building.scene, {}).values() for s in some):
        for row in section.rows:
            # Those of several boards are drawn together: "floor joist 2 to 10".
            assert all(each[0].rsplit(" ", 1)[0] in words for each in zip(*row.names, strict=True))
    for plan in sheets:
        for one in (one for sheet in plan.plan.sheets for one in sheet.placed):
            assert one.piece.name in words
    assert len({file.name for file in files}) == len(files)


def test_a_board_is_used_up_from_end_to_end(
    building: Building, boards: tuple[SectionPlan, ...]
) -> None:
    # The trim, pieces, a kerf after each but where nothing is left, and the rest: the whole board.
    kerf_mm = building.scene.cutting.kerf
    drawn = 0
    for sections in stage_rows(boards, building.scene, {}).values():
        for row in (row for section in sections for row in section.rows):
            assert row.bars[0].at_mm in (0.0, building.scene.cutting.end_trim)
            for one, after in pairwise(row.bars):
                assert after.at_mm - one.at_mm - one.length_mm == pytest.approx(kerf_mm)
            last = row.bars[-1]
            assert last.at_mm + last.length_mm <= row.length_mm + 1e-6
            assert [bar.is_left for bar in row.bars[:-1]] == [False] * (len(row.bars) - 1)
            drawn += len(row.numbers) * sum(not bar.is_left for bar in row.bars)
    assert drawn == sum(plan.pieces for plan in boards)


def test_boards_cut_alike_are_one_row(building: Building, boards: tuple[SectionPlan, ...]) -> None:
    for sections in stage_rows(boards, building.scene, {}).values():
        for section in sections:
            cuts = [
                (row.length_mm, row.bars[-1].printed, *(bar.length_mm for bar in row.bars))
                for row in section.rows
            ]
            assert len(set(cuts)) == len(cuts)


def test_a_board_of_ones_own_stands_by_itself(
    building: Building, boards: tuple[SectionPlan, ...]
) -> None:
    # The skids: two boards cut alike, of which the first now lies in the yard.
    skids = next(plan for plan in boards if plan.section.name == "4x6")
    first, *others = skids.plan.boards
    own = replace(first, stock=replace(first.stock, is_own=True))
    plans = [replace(skids, plan=replace(skids.plan, boards=(own, *others)))]
    for some, numbers in ((plans, [(1,), (2,)]), ([skids], [(1, 2)])):
        ((section,),) = stage_rows(some, building.scene, {}).values()
        assert [row.numbers for row in section.rows] == numbers
        told = [row.numbers for row in section.rows if "From your own." in row.notes]
        assert told == ([(1,)] if some is plans else [])


def test_pages_are_full_of_boards_and_each_piece_has_its_mark(
    building: Building, boards: tuple[SectionPlan, ...]
) -> None:
    marks: dict[str, str] = {}
    stages = {f"Stage {n}": rows for n, rows in stage_rows(boards, building.scene, {}).items()}
    pages = board_pages(stages, building.scene)
    for page in pages:
        # The board and what is left of it: of 180 mm a heading and its stops take 14.5, each board
        # 10.1 with a line of names, so that 16 have room.
        assert page.data.count(b'class="void"') <= 2 * 16
        marks |= page.marks
    rows = sum(len(section.rows) for sections in stages.values() for section in sections)
    # Full but for what headings and long lists of names take: two thirds at the least.
    assert len(pages) <= 1 + rows / (16 * 2 / 3)
    assert set(marks) == {p.name for plan in boards for b in plan.plan.boards for p in b.pieces}
    assert marks["skid 1"] == "4x6 board 1, a"


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

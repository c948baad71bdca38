"""Sheets in the course of the work: what is kept for which stage, and how little is to be set."""

from __future__ import annotations

import pytest

from conftest import SCENES
from nested import assert_followed_at_the_saw, pieces_of
from pikepole_export.derive.cutting.nesting import SheetPiece, StockSheet, plan_sheets
from pikepole_export.derive.cutting.sheet_work import SheetUse, sheet_work
from planned import built, sheets_once

FOOT_MM, HALF_INCH_MM = 304.8, 12.7
KERF = 4.0
SHEET = StockSheet("sheet", 1220, 2440)


def test_few_rips_and_then_crosscuts() -> None:
    """Three strips of 404 mm and two kerfs are 1220; 1000 and 1436 and one are 2440.

    Two rips and a crosscut in each strip, or one crosscut and two rips on either side of it: five
    cuts, and the saw is set twice.
    """
    pieces = [*pieces_of("long", 404, 1436, 3), *pieces_of("short", 404, 1000, 3)]
    plan = plan_sheets(pieces, SHEET, KERF)
    assert_followed_at_the_saw(plan, pieces, KERF)
    (sheet,) = plan.sheets
    assert len(sheet.cuts) == 5
    assert len({(cut.divides, cut.at_mm) for cut in sheet.cuts}) == 2


def test_widths_that_differ_by_less_than_the_blade_share_a_strip() -> None:
    # 404 and 402 mm: the narrower is planed, or left where there is room; no cut for 2 mm.
    pieces = [*pieces_of("wide", 404, 1436, 3), *pieces_of("narrow", 402, 1000, 3)]
    (sheet,) = plan_sheets(pieces, SHEET, KERF).sheets
    assert len(sheet.cuts) == 5
    assert [one.off_mm for one in sheet.shavings] == pytest.approx([2.0] * len(sheet.shavings))


def test_what_a_later_stage_needs_stays_in_one_panel() -> None:
    # Three strips of 404 mm from end to end, the first stage needs one of them.
    pieces = [SheetPiece(f"strip {n}", 404, 2440, stage=stage) for n, stage in enumerate((5, 3, 5))]
    (sheet,) = plan_sheets(pieces, SHEET, KERF).sheets
    assert [(cut.stage, cut.at_mm) for cut in sheet.cuts] == [(3, 404), (5, 404)]
    assert [one.piece.stage for one in sheet.placed] == [3, 5, 5]


@pytest.mark.parametrize("name", SCENES)
def test_every_panel_that_is_kept_is_taken_in_hand_by_its_stage(name: str) -> None:
    building = built(name)
    stage_of = {part.name: part.stage for part in building.handled}
    for plan in sheets_once(building):
        work = sheet_work(plan)
        assert [use.stage for use in work] == sorted(use.stage for use in work)
        placed = [one.piece.name for use in work for one in use.placed]
        assert len(placed) == len(set(placed)) == plan.pieces
        cuts = sum(len(use.cuts) for use in work)
        assert cuts == sum(len(sheet.cuts) for sheet in plan.plan.sheets)
        kept = {one.name: (use, one) for use in work for one in use.kept}
        assert len(kept) == sum(len(use.kept) for use in work)
        for use in work:
            assert {stage_of[one.piece.name] for one in use.placed} <= {use.stage}
            assert_kept(use)
            if use.name:
                before, panel = kept.pop(use.name)
                assert (before.number, panel.stage) == (use.number, use.stage)
                assert before.stage < use.stage
                sides = panel.width_mm, panel.length_mm
                assert sides == pytest.approx((use.width_mm, use.length_mm))
        # All others are left over.
        assert all(panel.stage is None for _, panel in kept.values())


def assert_kept(use: SheetUse) -> None:
    """What is left over is no sliver; a foot both ways has a name."""
    for one in use.left:
        sides = sorted((one.width_mm, one.length_mm))
        assert sides[0] >= HALF_INCH_MM
        assert sides[0] < FOOT_MM
    for panel in use.kept:
        if panel.stage is None:
            least = min(panel.width_mm, panel.length_mm)
            assert least >= FOOT_MM or least == pytest.approx(FOOT_MM)

"""Nesting in sheets: strips worked by hand, grain, off-cuts, prices, and what is refused."""

from __future__ import annotations

from math import inf

import pytest

from nested import PLY, assert_followed_at_the_saw, pieces_of
from pikepole_export.derive.cutting.faults import CutPlanError
from pikepole_export.derive.cutting.nesting import SheetPiece, StockSheet, plan_sheets

MICROMETRE = 1e-3  # mm: to which sides that share no coarser measure are counted


@pytest.mark.parametrize("kerf", [0, 2.2, 3, 3.2])
@pytest.mark.parametrize("width", [1220, 1219.2, 1250])
def test_three_strips_of_a_sheet_are_a_third_of_it_less_two_kerfs(
    kerf: float, width: float
) -> None:
    # Three strips and the two cuts between them are the sheet: 3 w + 2 k = W.
    third = (width - 2 * kerf) / 3
    sheet = StockSheet("skin", width, 2440)
    plan = plan_sheets(pieces_of("strip", third, 2440, 3), sheet, kerf)
    assert (len(plan.sheets), plan.gap) == (1, 0)
    for number, placed in enumerate(plan.sheets[0].placed):
        assert placed.x_mm == pytest.approx(number * (third + kerf), abs=3 * MICROMETRE)
        assert (placed.y_mm, placed.length_mm) == (0, 2440)
    # A tenth of a millimetre more, and the third strip needs a sheet of its own.
    wider = plan_sheets(pieces_of("strip", third + 0.1, 2440, 3), sheet, kerf)
    assert (len(wider.sheets), wider.gap) == (2, 0)


def test_strips_by_a_thin_blade_fill_a_sheet_to_its_edge() -> None:
    # Three of 15-15/16 in and two kerfs of 3/32 in: 47-13/16 and 3/16 in are 48 in.
    strips = pieces_of("strip", 15.9375 * 25.4, 96 * 25.4, 3)
    sheet = StockSheet("sheet", 48 * 25.4, 96 * 25.4)
    plan = plan_sheets(strips, sheet, 3 / 32 * 25.4, 25.4 / 16)
    assert len(plan.sheets) == 1
    assert len(plan_sheets(strips, sheet, 1 / 8 * 25.4, 25.4 / 16).sheets) == 2


def test_strips_and_their_cuts_by_hand() -> None:
    # Five strips of 240 and 3 mm cuts: 5 * 240 + 4 * 3 = 1212, a fifth cut, and 1220 - 1215 = 5.
    plan = plan_sheets(pieces_of("strip", 240, 2440, 5), PLY, 3)
    (sheet,) = plan.sheets
    assert [placed.x_mm for placed in sheet.placed] == [0, 243, 486, 729, 972]
    assert [(cut.number, cut.divides, cut.at_mm) for cut in sheet.cuts] == [
        (number, "width", 240) for number in range(1, 6)
    ]
    assert [cut.panel for cut in sheet.cuts] == [1, 3, 5, 7, 9]
    (offcut,) = sheet.offcuts
    assert (offcut.x_mm, offcut.width_mm, offcut.length_mm) == (1215, 5, 2440)
    assert plan.pieces_mm2 == 5 * 240 * 2440
    assert plan.bought_mm2 == plan.bound == 1220 * 2440
    assert plan.gap == 0


def test_what_a_sheet_cannot_hold_counts_for_the_bound() -> None:
    # Of 620 mm squares a 1220 mm wide sheet holds one beside another not, and three in its length:
    # ten need four sheets, though their area is that of 1.3.
    plan = plan_sheets(pieces_of("pane", 620, 620, 10, may_turn=True), PLY, 3)
    assert len(plan.sheets) == 4
    assert plan.bound == 4 * 1220 * 2440


def test_a_proof_goes_beyond_area_and_sides() -> None:
    # Four of 51 x 49 fit round the middle of 100 x 100, but not from edge to edge: with 51 off one
    # side, two lie in the one panel and one, turned, in the other. Eight need three sheets, and
    # neither their area nor their sides say so.
    pieces = pieces_of("tile", 51, 49, 8, may_turn=True)
    sheet = StockSheet("square", 100, 100)
    quick = plan_sheets(pieces, sheet, 0)
    assert (len(quick.sheets), quick.bound) == (3, 2 * 100 * 100)
    assert quick.gap == pytest.approx(1 / 2)
    plan = plan_sheets(pieces, sheet, 0, prove=True)
    assert (len(plan.sheets), plan.bound, plan.gap) == (3, 3 * 100 * 100, 0)
    assert_followed_at_the_saw(plan, pieces, 0)


def test_grain_keeps_a_piece_from_being_turned() -> None:
    # Along the grain two of these need two sheets; across it both come out of one.
    across = (1220 - 3) / 2
    fixed = plan_sheets(pieces_of("skin", 1220, across, 2), StockSheet("square", 1220, 1220), 3)
    assert len(fixed.sheets) == 1
    sheet = StockSheet("narrow", 700, 1300)
    turned = plan_sheets(pieces_of("skin", 1200, 300, 2, may_turn=True), sheet, 3)
    assert len(turned.sheets) == 1
    assert all(placed.turned for placed in turned.sheets[0].placed)
    with pytest.raises(CutPlanError, match=r"piece\[skin 1\] = 1200 x 300 mm: larger than its"):
        plan_sheets(pieces_of("skin", 1200, 300, 2), sheet, 3)


def test_a_price_is_paid_for_each_sheet() -> None:
    # Two skins side by side and two behind them: 2 * 600 + 3 of 1220, 2 * 1200 + 3 of 2440.
    sheet = StockSheet("large", 1220, 2440, price=40)
    skins = pieces_of("skin", 600, 1200, 5)
    plan = plan_sheets(skins[:4], sheet, 3)
    assert (plan.cost, plan.bound, plan.gap) == (40, 40, 0)
    assert plan_sheets(skins, sheet, 3).cost == 80


CLASSROOM = (
    *pieces_of("door skin", 800, 1900, 2),
    *pieces_of("pane", 600, 600, 2, may_turn=True),
    *pieces_of("cupboard side", 317, 911, 9, may_turn=True),
    *pieces_of("strip", 91, 1207, 13),
    *pieces_of("spacer", 41, 613, 17, may_turn=True),
)


def test_same_order_gives_the_same_plan() -> None:
    plan = plan_sheets(CLASSROOM, PLY, 3.2)
    assert plan == plan_sheets(CLASSROOM, PLY, 3.2)
    assert_followed_at_the_saw(plan, CLASSROOM, 3.2)
    assert plan.bound >= plan.pieces_mm2
    assert plan_sheets(CLASSROOM, PLY, 3.2, prove=True).bought_mm2 <= plan.bought_mm2


def test_nothing_to_cut_needs_nothing() -> None:
    plan = plan_sheets([], PLY, 3)
    assert (plan.sheets, plan.bought_mm2, plan.bound, plan.gap) == ((), 0, 0, 0)


ODD = [SheetPiece("pane", 300, 400)]


@pytest.mark.parametrize(
    ("pieces", "stock", "kerf", "says"),
    [
        (
            [SheetPiece("long skin", 800, 2500, True)],
            PLY,
            3,
            "piece[long skin] = 800 x 2500 mm: larger than its sheet; "
            "take a larger sheet, or make it of two pieces",
        ),
        (
            [SheetPiece("skin", 2000, 800)],
            PLY,
            3,
            "piece[skin] = 2000 x 800 mm: larger than its sheet, unturned; "
            "take a larger sheet, or make it of two pieces",
        ),
        (
            [SheetPiece("shim", 2, 800)],
            PLY,
            3,
            "piece[shim] = 2 x 800 mm: narrower than the saw's kerf of 3 mm; "
            "correct the piece or the kerf",
        ),
        (ODD, PLY, -1, "kerf_mm = -1: no such width; give 0 or more mm"),
        (ODD, PLY, inf, "kerf_mm = inf: no such width; give 0 or more mm"),
        (
            ODD * 2,
            PLY,
            3,
            "piece = pane: the name stands for 2; give every piece a name of its own",
        ),
        (
            [SheetPiece("pane", -300, 400)],
            PLY,
            3,
            "piece[pane].width_mm = -300: no such side; give more than 0 mm",
        ),
        (
            ODD,
            StockSheet("ply", 1220, float("nan")),
            3,
            "sheet[ply].length_mm = nan: no such side; give more than 0 mm",
        ),
        (
            ODD,
            StockSheet("ply", 1220, 2440, -5),
            3,
            "sheet[ply].price = -5: no such price; give more than 0",
        ),
    ],
)
def test_what_cannot_be_meant_is_refused(
    pieces: list[SheetPiece], stock: StockSheet, kerf: float, says: str
) -> None:
    with pytest.raises(CutPlanError) as caught:
        plan_sheets(pieces, stock, kerf)
    assert str(caught.value) == says

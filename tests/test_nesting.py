"""Nesting in sheets: strips worked by hand, grain, off-cuts, prices, and what is refused."""

from __future__ import annotations

from math import inf

import pytest

from nested import PLY, assert_followed_at_the_saw, pieces_of
from pikepole_export.derive.cutting.lengths import CutPlanError
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
    plan = plan_sheets(pieces_of("strip", third, 2440, 3), [sheet], kerf)
    assert len(plan.sheets) == 1
    assert plan.proven
    for number, placed in enumerate(plan.sheets[0].placed):
        assert placed.x_mm == pytest.approx(number * (third + kerf), abs=3 * MICROMETRE)
        assert (placed.y_mm, placed.length_mm) == (0, 2440)
    # A tenth of a millimetre more, and the third strip needs a sheet of its own.
    wider = plan_sheets(pieces_of("strip", third + 0.1, 2440, 3), [sheet], kerf)
    assert len(wider.sheets) == 2
    assert wider.proven


def test_strips_and_their_cuts_by_hand() -> None:
    # Five strips of 240 and 3 mm cuts: 5 * 240 + 4 * 3 = 1212, a fifth cut, and 1220 - 1215 = 5.
    plan = plan_sheets(pieces_of("strip", 240, 2440, 5), [PLY], 3)
    (sheet,) = plan.sheets
    assert [placed.x_mm for placed in sheet.placed] == [0, 243, 486, 729, 972]
    assert [(cut.number, cut.divides, cut.at_mm) for cut in sheet.cuts] == [
        (number, "width", 240) for number in range(1, 6)
    ]
    assert [cut.panel for cut in sheet.cuts] == [1, 3, 5, 7, 9]
    (offcut,) = sheet.offcuts
    assert (offcut.x_mm, offcut.width_mm, offcut.length_mm) == (1215, 5, 2440)
    assert plan.pieces_mm2 == 5 * 240 * 2440
    assert plan.bought_mm2 == plan.cut_up_mm2 == plan.bound == 1220 * 2440
    assert plan.gap == 0


def test_what_a_sheet_cannot_hold_counts_for_the_bound() -> None:
    # Of 620 mm squares a 1220 mm wide sheet holds one beside another not, and three in its length:
    # ten need four sheets, though their area is that of 1.3.
    plan = plan_sheets(pieces_of("pane", 620, 620, 10, may_turn=True), [PLY], 3)
    assert len(plan.sheets) == 4
    assert plan.proven
    assert plan.bound == 4 * 1220 * 2440


def test_large_pieces_alone_can_settle_the_bound() -> None:
    # Inches. A 48 x 96 sheet holds one 31 x 75 skin; beside it 17 and 21 are left, too little for
    # a 24 x 24 pane. Two panes and a cut are wider than 48, so they need two half sheets or one
    # whole one, which has the same area: the fewer sheets win. The rest fits in between.
    inch = 25.4
    pieces = [
        *pieces_of("skin", 31 * inch, 75 * inch, 2),
        *pieces_of("pane", 24 * inch, 24 * inch, 2, may_turn=True),
        *pieces_of("strip", 3.5 * inch, 48 * inch, 10),
        *pieces_of("spacer", 1.5 * inch, 24 * inch, 12, may_turn=True),
    ]
    whole = StockSheet("whole", 48 * inch, 96 * inch)
    half = StockSheet("half", 48 * inch, 48 * inch)
    plan = plan_sheets(pieces, [half, whole], inch / 8)
    assert [sheet.stock for sheet in plan.sheets] == [whole] * 3
    assert plan.proven
    assert plan.bound == pytest.approx(3 * 48 * 96 * inch**2)
    assert_followed_at_the_saw(plan, pieces, inch / 8)


def test_grain_keeps_a_piece_from_being_turned() -> None:
    # Along the grain two of these need two sheets; across it both come out of one.
    across = (1220 - 3) / 2
    fixed = plan_sheets(pieces_of("skin", 1220, across, 2), [StockSheet("square", 1220, 1220)], 3)
    assert len(fixed.sheets) == 1
    sheet = StockSheet("narrow", 700, 1300)
    turned = plan_sheets(pieces_of("skin", 1200, 300, 2, may_turn=True), [sheet], 3)
    assert len(turned.sheets) == 1
    assert all(placed.turned for placed in turned.sheets[0].placed)
    with pytest.raises(CutPlanError, match=r"piece\[skin 1\] = 1200 x 300 mm: larger than any"):
        plan_sheets(pieces_of("skin", 1200, 300, 2), [sheet], 3)


def test_offcuts_are_used_before_a_sheet_is_bought() -> None:
    spacers = pieces_of("spacer", 90, 600, 6)
    # Six strips of 90 and five cuts of 3: 555 mm.
    offcut = StockSheet("offcut of the floor", 555, 600, price=0, sheets=1)
    plan = plan_sheets(spacers, [PLY, offcut], 3)
    assert [sheet.stock for sheet in plan.sheets] == [offcut]
    assert (plan.bought_mm2, plan.bound, plan.gap, plan.cost) == (0, 0, 0, None)
    assert plan.cut_up_mm2 == 555 * 600
    assert plan.proven
    narrow = StockSheet("offcut of the floor", 554, 600, price=0, sheets=1)
    plan = plan_sheets(spacers, [PLY, narrow], 3)
    # One strip is left over, so a sheet is bought, and it takes them all: one sheet, not two.
    assert [sheet.stock for sheet in plan.sheets] == [PLY]
    # The second offcut takes what the first does not.
    second = StockSheet("offcut of the wall", 100, 610, price=0, sheets=1)
    plan = plan_sheets(spacers, [PLY, narrow, second], 3)
    assert [sheet.stock for sheet in plan.sheets] == [narrow, second]


def test_prices_decide_before_area() -> None:
    large = StockSheet("large", 1220, 2440, price=40)
    half = StockSheet("half", 1220, 1220, price=25)
    skins = pieces_of("skin", 600, 1200, 4)
    # Two halves cost 50, one large sheet 40; for two skins a half is enough.
    assert [s.stock for s in plan_sheets(skins, [half, large], 3).sheets] == [large]
    plan = plan_sheets(skins[:2], [half, large], 3)
    assert [s.stock for s in plan.sheets] == [half]
    assert (plan.cost, plan.bound, plan.gap) == (25, 25, 0)
    # Two halves at 20 cost what one large sheet does: the fewer sheets win.
    cheap = StockSheet("half", 1220, 1220, price=20)
    plan = plan_sheets(skins, [cheap, large], 3)
    assert [s.stock for s in plan.sheets] == [large]
    assert plan.proven


CLASSROOM = (
    *pieces_of("door skin", 800, 1900, 2),
    *pieces_of("pane", 600, 600, 2, may_turn=True),
    *pieces_of("cupboard side", 317, 911, 9, may_turn=True),
    *pieces_of("strip", 91, 1207, 13),
    *pieces_of("spacer", 41, 613, 17, may_turn=True),
)


def test_same_order_gives_the_same_plan() -> None:
    # Few enough to be listed in full, too many for the quick plans to end the search.
    pieces = [
        *pieces_of("pane", 600, 600, 3, may_turn=True),
        *pieces_of("side", 300, 900, 4, may_turn=True),
        *pieces_of("skin", 500, 1500, 2),
    ]
    stocks = [PLY, StockSheet("offcut", 600, 1220, 0, 2)]
    plan = plan_sheets(pieces, stocks, 3.2)
    assert plan == plan_sheets(pieces, stocks, 3.2)
    assert_followed_at_the_saw(plan, pieces, 3.2)


def test_out_of_time_the_gap_is_told() -> None:
    stocks = [
        StockSheet("small", 1220, 2440, 40.0),
        StockSheet("large", 1250, 3000, 55.0),
        StockSheet("half", 1220, 1220, 24.0),
    ]
    plan = plan_sheets(CLASSROOM, stocks, 3.2, limit_s=0.01)
    assert_followed_at_the_saw(plan, CLASSROOM, 3.2)
    assert plan.cost is not None
    assert plan.gap == pytest.approx((plan.cost - plan.bound) / plan.bound)
    # What the pieces' area costs in the cheapest sheets is a bound that needs no search.
    assert plan.bound >= plan.pieces_mm2 * min(40 / 1220 / 2440, 55 / 1250 / 3000) - 1e-9
    slow = plan_sheets(CLASSROOM, stocks, 3.2, limit_s=2)
    assert slow.cost is not None
    assert plan.bound <= slow.cost <= plan.cost


def test_nothing_to_cut_needs_nothing() -> None:
    plan = plan_sheets([], [PLY], 3)
    assert (plan.sheets, plan.bought_mm2, plan.proven) == ((), 0, True)


ODD = [SheetPiece("pane", 300, 400)]


@pytest.mark.parametrize(
    ("pieces", "stocks", "kerf", "says"),
    [
        (
            [SheetPiece("long skin", 800, 2500, True)],
            [PLY],
            3,
            "piece[long skin] = 800 x 2500 mm: larger than any sheet; "
            "add a larger sheet, or make it of two pieces",
        ),
        (
            [SheetPiece("skin", 2000, 800)],
            [PLY],
            3,
            "piece[skin] = 2000 x 800 mm: larger than any sheet, unturned; "
            "add a larger sheet, or make it of two pieces",
        ),
        (
            [SheetPiece("shim", 2, 800)],
            [PLY],
            3,
            "piece[shim] = 2 x 800 mm: narrower than the saw's kerf of 3 mm; "
            "correct the piece or the kerf",
        ),
        (ODD, [PLY], -1, "kerf_mm = -1: no such width; give 0 or more mm"),
        (ODD, [PLY], inf, "kerf_mm = inf: no such width; give 0 or more mm"),
        (ODD, [], 3, "sheets = none: nothing to cut from; name a sheet"),
        (
            ODD * 2,
            [PLY],
            3,
            "piece = pane: the name stands for 2; give every piece a name of its own",
        ),
        (
            ODD,
            [PLY] * 2,
            3,
            "sheet = plywood: the name stands for 2; give every sheet a name of its own",
        ),
        (
            [SheetPiece("pane", -300, 400)],
            [PLY],
            3,
            "piece[pane].width_mm = -300: no such side; give more than 0 mm",
        ),
        (
            ODD,
            [StockSheet("ply", 1220, float("nan"))],
            3,
            "sheet[ply].length_mm = nan: no such side; give more than 0 mm",
        ),
        (
            ODD,
            [StockSheet("ply", 1220, 2440, -5)],
            3,
            "sheet[ply].price = -5: no such price; give 0 or more",
        ),
        (
            ODD,
            [StockSheet("ply", 1220, 2440, 5), PLY],
            3,
            "sheet[plywood].price = none: other sheets have a price, this one none; "
            "price all of them or none",
        ),
        (
            ODD,
            [StockSheet("rest", 500, 500, 0)],
            3,
            "sheet[rest].sheets = none: how many are at hand is not said; give their number",
        ),
        (
            ODD,
            [StockSheet("ply", 1220, 2440, sheets=-1)],
            3,
            "sheet[ply].sheets = -1: no such number; give 0 or more",
        ),
        (
            ODD,
            [StockSheet("ply", 1220, 2440, sheets=0)],
            3,
            "piece[pane] = 300 x 400 mm: larger than any sheet, unturned; "
            "add a larger sheet, or make it of two pieces",
        ),
        (
            pieces_of("skin", 1200, 2400, 3),
            [StockSheet("ply", 1220, 2440, sheets=2)],
            3,
            "sheets = ply: no plan was found that cuts all 3 pieces from so few sheets; "
            "allow more sheets",
        ),
    ],
)
def test_what_cannot_be_meant_is_refused(
    pieces: list[SheetPiece], stocks: list[StockSheet], kerf: float, says: str
) -> None:
    with pytest.raises(CutPlanError) as caught:
        plan_sheets(pieces, stocks, kerf)
    assert str(caught.value) == says

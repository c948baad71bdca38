"""Nesting in sheets: published instances, strips worked by hand, all ways tried, cuts replayed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pikepole_export.derive.cutting.guillotine import Grid, best_layout, every_layout
from pikepole_export.derive.cutting.lengths import CutPlanError
from pikepole_export.derive.cutting.nesting import (
    CutSheet,
    SheetPiece,
    SheetPlan,
    StockSheet,
    plan_sheets,
)
from pikepole_export.derive.cutting.programmes import Clock
from pikepole_export.derive.cutting.rectangles import Layout, Rectangles, Sides, Split, leaves

MICROMETRE = 1e-3  # mm: to which sides that share no coarser measure are counted

# OR-Library, gcut1: sheet 250 x 250, each piece worth its area, none may be turned.
# Beasley, Journal of the Operational Research Society 36 (1985).
GCUT1 = (
    *((167, 184), (114, 118), (167, 152), (83, 140), (70, 86)),
    *((143, 166), (120, 160), (66, 148), (87, 141), (69, 165)),
)

# OR-Library, cgcut1: sheet 15 x 10; width, length, most, value. Data from memory.
# Christofides and Whitlock, Operations Research 25 (1977), example 1.
CGCUT1 = (
    *((8, 4, 2, 66), (3, 7, 1, 35), (8, 2, 3, 24), (3, 4, 5, 17)),
    *((3, 3, 2, 11), (3, 2, 2, 8), (2, 1, 1, 2)),
)


def one_sheet(sides: Sequence[Sides], demands: Sequence[int], sheet: Sides) -> Rectangles:
    return Rectangles.of(
        sides=tuple(sides),
        turns=(False,) * len(sides),
        demands=tuple(demands),
        sheets=(sheet,),
        costs=(1,),
        limits=(1,),
    )


def free(sides: Sequence[Sides], values: Sequence[int], sheet: Sides) -> tuple[int, Layout]:
    """The best of a sheet with pieces of a size without end."""
    many = [(sheet[0] * sheet[1]) // (width * length) for width, length in sides]
    rectangles = one_sheet(sides, many, sheet)
    worth, layout = best_layout(rectangles, values, Grid.of(rectangles, 0))
    return int(worth[-1, -1]), layout


def assert_cut_within(layout: Layout, sheet: Sides, sides: Sequence[Sides]) -> None:
    """Follows a layout of pieces that are not turned, cut by cut, without the code under test."""
    width, length = sheet
    if isinstance(layout, Split):
        assert 0 < layout.at < sheet[layout.axis]
        near = (layout.at, length) if layout.axis == 0 else (width, layout.at)
        far = (width - layout.at, length) if layout.axis == 0 else (width, length - layout.at)
        assert_cut_within(layout.first, near, sides)
        assert_cut_within(layout.second, far, sides)
    elif layout:
        assert not layout.turned
        assert sides[layout.size][0] <= width
        assert sides[layout.size][1] <= length


def test_gcut1_is_worth_what_was_published() -> None:
    # Cintra, Miyazawa, Wakabayashi and Xavier, European Journal of Operational Research 191 (2008):
    # gcut1, pieces not turned, 56460.
    values = [width * length for width, length in GCUT1]
    worth, layout = free(GCUT1, values, (250, 250))
    assert worth == 56460
    assert sum(values[leaf.size] for leaf in leaves(layout)) == 56460
    assert_cut_within(layout, (250, 250), GCUT1)


def test_cgcut1_is_worth_what_was_published() -> None:
    # Christofides and Whitlock, Operations Research 25 (1977): 244 within the limits.
    sides, most = [row[:2] for row in CGCUT1], [row[2] for row in CGCUT1]
    values = [row[3] for row in CGCUT1]
    rectangles = one_sheet(sides, most, (15, 10))
    grid = Grid.of(rectangles, 0)
    layouts = every_layout(rectangles, grid, Clock(60))
    assert layouts
    worths = [sum(v * n for v, n in zip(values, counts, strict=True)) for counts, _ in layouts]
    assert max(worths) == 244
    for counts, layout in layouts:
        assert all(n <= m for n, m in zip(counts, most, strict=True))
        held = [sum(leaf.size == size for leaf in leaves(layout)) for size in range(len(sides))]
        assert all(n <= h for n, h in zip(counts, held, strict=True))
        assert_cut_within(layout, (15, 10), sides)
    # Those alone that are worth so much, and none that is worth more.
    best = every_layout(rectangles, grid, Clock(60), tuple(values), 244)
    assert best
    assert {counts for counts, _ in best} == {
        counts for (counts, _), worth in zip(layouts, worths, strict=True) if worth == 244
    }
    assert every_layout(rectangles, grid, Clock(60), tuple(values), 245) == []


def test_cgcut1_without_its_limits_is_another_problem() -> None:
    # Hifi and Zissimopoulos, European Journal of Operational Research 91 (1996), print 249 for it.
    sides, values = [row[:2] for row in CGCUT1], [row[3] for row in CGCUT1]
    assert free(sides, values, (15, 10))[0] == 249


PLY = StockSheet("plywood", 1220, 2440)


def pieces_of(
    name: str, width_mm: float, length_mm: float, count: int, may_turn: bool = False
) -> list[SheetPiece]:
    return [SheetPiece(f"{name} {n + 1}", width_mm, length_mm, may_turn) for n in range(count)]


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


def assert_followed_at_the_saw(
    plan: SheetPlan, pieces: Sequence[SheetPiece], kerf: float, slack: float = 0.0
) -> None:
    """Makes every cut in its order, and finds every piece once, and every off-cut, as a panel."""
    placed = [placed for sheet in plan.sheets for placed in sheet.placed]
    assert sorted(one.piece.name for one in placed) == sorted(piece.name for piece in pieces)
    for sheet in plan.sheets:
        panels = saw(sheet, kerf)
        assert sheet.placed
        for one in (*sheet.placed, *sheet.offcuts):
            got = panels.pop(one.panel)
            assert got == pytest.approx(
                (one.x_mm, one.y_mm, one.width_mm, one.length_mm), abs=1e-6 + slack
            )
        assert not panels
        for one in sheet.placed:
            sides = one.piece.width_mm, one.piece.length_mm
            lies = (one.width_mm, one.length_mm)
            assert lies == pytest.approx(sides[::-1] if one.turned else sides, abs=1e-6 + slack)
            assert one.piece.may_turn or not one.turned
    assert plan.bound <= (plan.bought_mm2 if plan.cost is None else plan.cost)
    assert not plan.proven or plan.gap == 0


def saw(sheet: CutSheet, kerf: float) -> dict[int, tuple[float, float, float, float]]:
    """Panels left when all cuts are made: number to x, y, width, length."""
    panels = {1: (0.0, 0.0, sheet.stock.width_mm, sheet.stock.length_mm)}
    for number, cut in enumerate(sheet.cuts, start=1):
        assert cut.number == number
        x, y, width, length = panels.pop(cut.panel)
        side = width if cut.divides == "width" else length
        rest = side - cut.at_mm - kerf
        assert 0 < cut.at_mm < side
        assert (rest > 1e-6) == (cut.second is not None)
        assert cut.first not in panels
        far = cut.at_mm + kerf
        if cut.divides == "width":
            panels[cut.first] = (x, y, cut.at_mm, length)
            if cut.second:
                panels[cut.second] = (x + far, y, rest, length)
        else:
            panels[cut.first] = (x, y, width, cut.at_mm)
            if cut.second:
                panels[cut.second] = (x, y + far, width, rest)
    return panels


@st.composite
def orders(draw: st.DrawFn) -> tuple[list[SheetPiece], list[StockSheet], int]:
    """Pieces that each fit the larger sheet, what else there is, and a kerf."""
    kerf = draw(st.integers(0, 4))
    sides = st.tuples(st.integers(5, 60), st.integers(5, 100), st.booleans(), st.integers(1, 4))
    pieces = [
        piece
        for name, (width, length, turn, count) in enumerate(
            draw(st.lists(sides, min_size=1, max_size=6))
        )
        for piece in pieces_of(f"piece {name}", width, length, count, turn)
    ]
    stocks = [StockSheet("sheet", 60, 100)]
    if draw(st.booleans()):
        stocks.append(StockSheet("other", draw(st.integers(30, 90)), draw(st.integers(30, 90))))
    if draw(st.booleans()):
        width, length = draw(st.integers(10, 60)), draw(st.integers(10, 100))
        stocks.append(StockSheet("offcut", width, length, 0, draw(st.integers(1, 2))))
    return pieces, stocks, kerf


@settings(max_examples=30, deadline=None)
@given(orders())
def test_every_plan_can_be_followed_at_the_saw(
    order: tuple[list[SheetPiece], list[StockSheet], int],
) -> None:
    pieces, stocks, kerf = order
    plan = plan_sheets(pieces, stocks, kerf, limit_s=1)
    assert_followed_at_the_saw(plan, pieces, kerf)
    # Free sheets or not, kerfs or not: no plan cuts up less than the pieces' area.
    assert plan.cut_up_mm2 >= plan.pieces_mm2
    for stock in stocks:
        used = sum(sheet.stock is stock for sheet in plan.sheets)
        assert stock.sheets is None or used <= stock.sheets


def least_by_trying_all(
    pieces: Sequence[SheetPiece], stocks: Sequence[StockSheet], kerf: int
) -> tuple[float, int]:
    """Area bought and number of sheets of the best plan: every cut, every share of the pieces."""

    def shares(some: frozenset[int]) -> list[frozenset[int]]:
        members = sorted(some)
        return [
            frozenset(m for n, m in enumerate(members) if bits >> n & 1)
            for bits in range(1, 2 ** len(members) - 1)
        ]

    @cache
    def fits(width: int, length: int, some: frozenset[int]) -> bool:
        if len(some) == 1:
            (piece,) = (pieces[number] for number in some)
            ways = [(piece.width_mm, piece.length_mm)]
            if piece.may_turn:
                ways.append((piece.length_mm, piece.width_mm))
            return any(w <= width and n <= length for w, n in ways)
        return any(
            fits(at, length, share) and fits(width - at - kerf, length, some - share)
            for at in range(1, width - kerf)
            for share in shares(some)
        ) or any(
            fits(width, at, share) and fits(width, length - at - kerf, some - share)
            for at in range(1, length - kerf)
            for share in shares(some)
        )

    @cache
    def least(some: frozenset[int], left: tuple[int, ...]) -> tuple[float, int]:
        if not some:
            return 0.0, 0
        first = min(some)
        best = (inf, 0)
        for number, stock in enumerate(stocks):
            if not left[number]:
                continue
            fewer = tuple(n - (place == number) for place, n in enumerate(left))
            for share in (*shares(some), some):
                sides = int(stock.width_mm), int(stock.length_mm)
                if first in share and fits(*sides, share):
                    area, count = least(some - share, fewer)
                    bought = 0 if stock.at_hand else stock.area_mm2
                    best = min(best, (area + bought, count + 1))
        return best

    limits = tuple(len(pieces) if s.sheets is None else s.sheets for s in stocks)
    return least(frozenset(range(len(pieces))), limits)


@st.composite
def tiny_orders(draw: st.DrawFn) -> tuple[list[SheetPiece], list[StockSheet], int]:
    kerf = draw(st.integers(0, 1))
    sides = st.tuples(st.integers(1, 6), st.integers(1, 7), st.booleans())
    pieces = [
        SheetPiece(f"piece {name}", *piece)
        for name, piece in enumerate(draw(st.lists(sides, min_size=1, max_size=5)))
    ]
    stocks = [StockSheet("sheet", 6, 7)]
    if draw(st.booleans()):
        stocks.append(StockSheet("other", draw(st.integers(4, 8)), draw(st.integers(4, 8))))
    if draw(st.booleans()):
        stocks.append(StockSheet("offcut", draw(st.integers(2, 6)), draw(st.integers(2, 7)), 0, 1))
    return pieces, stocks, kerf


@settings(max_examples=60, deadline=None)
@given(tiny_orders())
def test_no_plan_is_better_where_all_are_tried(
    order: tuple[list[SheetPiece], list[StockSheet], int],
) -> None:
    pieces, stocks, kerf = order
    plan = plan_sheets(pieces, stocks, kerf)
    assert (plan.bought_mm2, len(plan.sheets)) == least_by_trying_all(pieces, stocks, kerf)
    assert plan.proven
    assert plan.bound == plan.bought_mm2
    assert_followed_at_the_saw(plan, pieces, kerf)


@st.composite
def sawn_apart(draw: st.DrawFn) -> tuple[list[SheetPiece], int]:
    """What two sheets fall into when they are sawn apart with a 3 mm kerf, and how many sheets."""
    pieces: list[tuple[int, int]] = []
    sheets = 2
    for _ in range(sheets):
        panels = [(1220, 2440)]
        for _ in range(draw(st.integers(3, 8))):
            width, length = panels.pop(draw(st.integers(0, len(panels) - 1)))
            if max(width, length) < 100:
                panels.append((width, length))
            elif width >= length:
                at = draw(st.integers(20, width - 30))
                panels += [(at, length), (width - at - 3, length)]
            else:
                at = draw(st.integers(20, length - 30))
                panels += [(width, at), (width, length - at - 3)]
        pieces += panels
    return [SheetPiece(f"piece {n}", *sides) for n, sides in enumerate(pieces)], sheets


@settings(max_examples=15, deadline=None)
@given(sawn_apart())
def test_bound_is_not_above_a_plan_that_is_known(order: tuple[list[SheetPiece], int]) -> None:
    # Sides share no coarse measure here, so that the bound is reckoned in rounded ones.
    pieces, sheets = order
    plan = plan_sheets(pieces, [PLY], 3, limit_s=2)
    assert plan.bound <= sheets * PLY.area_mm2
    # Nor below the area of the pieces, in whole sheets.
    assert plan.bound >= plan.pieces_mm2
    assert_followed_at_the_saw(plan, pieces, 3)


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

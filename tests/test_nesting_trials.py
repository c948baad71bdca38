"""Nesting of random orders: cuts replayed, all ways tried, sheets sawn apart and put back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import cache
from math import inf
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from nested import PLY, assert_followed_at_the_saw, pieces_of
from pikepole_export.derive.cutting import nest_search
from pikepole_export.derive.cutting.bars import bar_cuts
from pikepole_export.derive.cutting.nesting import SheetPiece, StockSheet, plan_sheets
from pikepole_export.derive.cutting.placing import try_out
from pikepole_export.derive.cutting.programmes import Clock
from pikepole_export.derive.cutting.rectangles import Rectangles


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


@draws(10)
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
        for name, piece in enumerate(draw(st.lists(sides, min_size=1, max_size=6)))
    ]
    stocks = [StockSheet("sheet", 6, 7)]
    if draw(st.booleans()):
        stocks.append(StockSheet("other", draw(st.integers(4, 8)), draw(st.integers(4, 8))))
    if draw(st.booleans()):
        stocks.append(StockSheet("offcut", draw(st.integers(2, 6)), draw(st.integers(2, 7)), 0, 1))
    return pieces, stocks, kerf


@draws(15)
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


@draws(20)
@given(tiny_orders())
def test_no_bound_is_above_the_best_where_all_are_tried(
    order: tuple[list[SheetPiece], list[StockSheet], int],
) -> None:
    pieces, stocks, kerf = order
    with pytest.MonkeyPatch.context() as patch:
        # One quick plan and no list of all layouts: the bounds have to do it.
        patch.setattr(nest_search, "TRIES", 1)
        patch.setattr(nest_search, "LIST_CELLS", 0)
        plan = plan_sheets(pieces, stocks, kerf)
    best = least_by_trying_all(pieces, stocks, kerf)
    assert plan.bound <= best[0]
    assert (plan.bought_mm2, len(plan.sheets)) >= best
    assert not plan.proven or (plan.bought_mm2, len(plan.sheets)) == best


def rectangles_of(
    pieces: Sequence[SheetPiece], stocks: Sequence[StockSheet], kerf: int
) -> Rectangles:
    """An order in whole millimetres, the kerf added, each piece a size of its own."""
    ordered = sorted(pieces, key=lambda piece: -piece.width_mm * piece.length_mm)
    return Rectangles.of(
        sides=tuple((int(p.width_mm) + kerf, int(p.length_mm) + kerf) for p in ordered),
        turns=tuple(p.may_turn for p in ordered),
        demands=(1,) * len(ordered),
        sheets=tuple((int(s.width_mm) + kerf, int(s.length_mm) + kerf) for s in stocks),
        costs=tuple(0 if s.at_hand else int(s.area_mm2) for s in stocks),
        limits=tuple(len(pieces) if s.sheets is None else s.sheets for s in stocks),
    )


@draws(15)
@given(tiny_orders())
def test_bars_ask_for_no_more_than_is_needed_where_all_are_tried(
    order: tuple[list[SheetPiece], list[StockSheet], int],
) -> None:
    pieces, stocks, kerf = order
    some = rectangles_of(pieces, stocks[:1], kerf)
    cuts = bar_cuts(some, (1,), Clock(60))
    _, sheets = least_by_trying_all(pieces, stocks[:1], kerf)
    assert not any(cut.broken_by((sheets,)) for cut in cuts)
    # Nor less than the area does, but for rounding.
    area = sum(width * length for width, length in some.sides)
    assert max(c.total / c.worths[0] for c in cuts) >= area / some.job.rooms[0] - 1e-3


@draws(8)
@given(orders(), st.integers(0, 2))
def test_bars_ask_for_no_more_than_a_plan_has(
    order: tuple[list[SheetPiece], list[StockSheet], int], counted: int
) -> None:
    pieces, stocks, kerf = order
    some = rectangles_of(pieces, stocks, kerf)
    # By area, by number, and by prices that have to do with neither.
    ones, prices = (1,) * len(stocks), tuple(range(1, len(stocks) + 1))
    cuts = bar_cuts(some, (some.job.costs, ones, prices)[counted], Clock(60))
    assert cuts or counted == 0  # what is at hand may hold it all
    for sheets, complete in try_out(some, 8, Random(counted)):
        used = Counter(sheet.stock for sheet in sheets)
        boards = [used[stock] for stock in range(len(stocks))]
        assert not complete or not any(cut.broken_by(boards) for cut in cuts)


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


@draws(6)
@given(sawn_apart())
def test_bound_is_not_above_a_plan_that_is_known(order: tuple[list[SheetPiece], int]) -> None:
    # Sides share no coarse measure here, so that the bound is reckoned in rounded ones.
    pieces, sheets = order
    plan = plan_sheets(pieces, [PLY], 3, limit_s=2)
    assert plan.bound <= sheets * PLY.area_mm2
    # Nor below the area of the pieces, in whole sheets.
    assert plan.bound >= plan.pieces_mm2
    assert_followed_at_the_saw(plan, pieces, 3)

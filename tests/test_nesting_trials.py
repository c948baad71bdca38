"""Nesting of random orders: cuts replayed, all ways tried, sheets sawn apart and put back."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from nested import PLY, assert_followed_at_the_saw, pieces_of
from pikepole_export.derive.cutting.bars import sheets_by_bars
from pikepole_export.derive.cutting.nesting import SheetPiece, StockSheet, plan_sheets
from pikepole_export.derive.cutting.placing import tries
from pikepole_export.derive.cutting.rectangles import Rectangles

LARGE, SMALL = StockSheet("sheet", 60, 100), StockSheet("sheet", 6, 7)


@st.composite
def orders(draw: st.DrawFn) -> tuple[list[SheetPiece], int]:
    """Pieces that each fit a sheet of 60 x 100, and a kerf."""
    kerf = draw(st.integers(0, 4))
    sides = st.tuples(st.integers(5, 60), st.integers(5, 100), st.booleans(), st.integers(1, 4))
    pieces = [
        piece
        for name, (width, length, turn, count) in enumerate(
            draw(st.lists(sides, min_size=1, max_size=6))
        )
        for piece in pieces_of(f"piece {name}", width, length, count, turn)
    ]
    return pieces, kerf


@draws(10)
@given(orders())
def test_every_plan_can_be_followed_at_the_saw(order: tuple[list[SheetPiece], int]) -> None:
    pieces, kerf = order
    plan = plan_sheets(pieces, LARGE, kerf)
    assert_followed_at_the_saw(plan, pieces, kerf)
    # Kerfs or not: no plan cuts up less than the pieces' area.
    assert plan.bought_mm2 >= plan.bound >= plan.pieces_mm2


def least_by_trying_all(pieces: Sequence[SheetPiece], sheet: StockSheet, kerf: int) -> int:
    """Number of sheets of the best plan: every cut, every share of the pieces."""

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
    def least(some: frozenset[int]) -> int:
        if not some:
            return 0
        sides, first = (int(sheet.width_mm), int(sheet.length_mm)), min(some)
        return 1 + min(
            least(some - share)
            for share in (*shares(some), some)
            if first in share and fits(*sides, share)
        )

    return least(frozenset(range(len(pieces))))


@st.composite
def tiny_orders(draw: st.DrawFn) -> tuple[list[SheetPiece], int]:
    """Up to six pieces that each fit a sheet of 6 x 7, and a kerf."""
    kerf = draw(st.integers(0, 1))
    sides = st.tuples(st.integers(1, 6), st.integers(1, 7), st.booleans())
    pieces = draw(st.lists(sides, min_size=1, max_size=6))
    return [SheetPiece(f"piece {name}", *piece) for name, piece in enumerate(pieces)], kerf


@draws(15)
@given(tiny_orders())
def test_no_plan_is_better_where_all_are_tried(order: tuple[list[SheetPiece], int]) -> None:
    pieces, kerf = order
    plan = plan_sheets(pieces, SMALL, kerf, prove=True)
    best = least_by_trying_all(pieces, SMALL, kerf)
    assert (len(plan.sheets), plan.gap) == (best, 0)
    assert_followed_at_the_saw(plan, pieces, kerf)
    quick = plan_sheets(pieces, SMALL, kerf)
    assert quick.bound <= best * SMALL.area_mm2 <= quick.bought_mm2
    assert_followed_at_the_saw(quick, pieces, kerf)


def rectangles_of(pieces: Sequence[SheetPiece], sheet: StockSheet, kerf: int) -> Rectangles:
    """An order in whole millimetres, the kerf added, each piece a size of its own."""
    ordered = sorted(pieces, key=lambda piece: -piece.width_mm * piece.length_mm)
    return Rectangles(
        sides=tuple((int(p.width_mm) + kerf, int(p.length_mm) + kerf) for p in ordered),
        turns=tuple(p.may_turn for p in ordered),
        demands=(1,) * len(ordered),
        sheet=(int(sheet.width_mm) + kerf, int(sheet.length_mm) + kerf),
    )


@draws(15)
@given(tiny_orders())
def test_bars_ask_for_no_more_than_is_needed_where_all_are_tried(
    order: tuple[list[SheetPiece], int],
) -> None:
    pieces, kerf = order
    some = rectangles_of(pieces, SMALL, kerf)
    asked = sheets_by_bars(some)
    assert asked <= least_by_trying_all(pieces, SMALL, kerf)
    # Nor less than the area does, but for rounding.
    area = sum(width * length for width, length in some.sides)
    assert asked >= area / (some.sheet[0] * some.sheet[1]) - 1e-3


@draws(8)
@given(orders())
def test_bars_ask_for_no_more_than_a_plan_has(order: tuple[list[SheetPiece], int]) -> None:
    pieces, kerf = order
    some = rectangles_of(pieces, LARGE, kerf)
    asked = sheets_by_bars(some)
    assert asked > 0
    assert all(asked <= len(plan) for plan, _ in tries(some, 8))


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
    pieces, sheets = order
    plan = plan_sheets(pieces, PLY, 3)
    assert plan.bound <= sheets * PLY.area_mm2
    # Nor below the area of the pieces, in whole sheets.
    assert plan.bound >= plan.pieces_mm2
    assert_followed_at_the_saw(plan, pieces, 3)

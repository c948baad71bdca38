"""Sheets, and pieces of sheets, that lie in the yard: they are cut up before any are bought.

    sheets_at_hand(scene, sheet) -> list[StockSheet]     one each, the smallest first
    with_own(plain, pieces, own, planned) -> SheetPlan

Whole ones take the place of sheets that would be bought. Pieces of sheets are filled first, the
smallest before larger ones, and stay lying where that saves no sheet and would cost one.

The bound is that without them, less a sheet for each.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TypeAlias

from pikepole_export.derive.cutting.nesting import CutSheet, SheetPiece, SheetPlan, StockSheet
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Sheet

# What plans some pieces from sheets of a size.
Planner: TypeAlias = Callable[[Sequence[SheetPiece], StockSheet], SheetPlan]


def sheets_at_hand(scene: Scene, sheet: Sheet, face_mm: float) -> list[StockSheet]:
    """The sheets of a stock that lie in the yard, the smallest first.

    Args:
        scene: Says what does.
        sheet: Which, whole.
        face_mm: How much of its width is cut up.
    """
    found = [
        (min(one.width or face_mm, face_mm), one.length or sheet.length_mm, round(one.count))
        for one in scene.have
        if one.item == sheet.name
    ]
    return [
        StockSheet(f"own {sheet.name} {width:g} x {length:g} mm", width, length, is_own=True)
        for width, length, count in sorted(found, key=lambda one: (one[0] * one[1], one))
        for _ in range(count)
    ]


def with_own(
    plain: SheetPlan,
    pieces: Sequence[SheetPiece],
    stock: StockSheet,
    own: Sequence[StockSheet],
    planned: Planner,
) -> SheetPlan:
    """The plan that buys least of those that use what is at hand; of equal ones the one with most.

    Args:
        plain: The plan of the same pieces without it.
        pieces: What to cut.
        stock: What is bought.
        own: The sheets at hand.
        planned: Plans some pieces from sheets of a size.
    """
    filled: list[CutSheet] = []
    left = [*pieces]
    for size, count in Counter(own).items():
        fits = [piece for piece in left if _fits(piece, size)]
        if fits and not _is_whole(size, stock):
            fullest = sorted(planned(fits, size).sheets, key=_placed_mm2)[::-1][:count]
            filled += fullest
            names = {one.piece.name for sheet in fullest for one in sheet.placed}
            left = [piece for piece in left if piece.name not in names]
    rest = planned(left, stock).sheets if left else ()
    plans = [_taken(sheets, plain, stock, own) for sheets in ((*filled, *rest), plain.sheets)]
    return min(plans, key=lambda plan: plan.bought_mm2)


def _taken(
    sheets: Iterable[CutSheet], plain: SheetPlan, stock: StockSheet, own: Sequence[StockSheet]
) -> SheetPlan:
    """Sheets with whole ones from the yard in the place of those that are bought."""
    whole = [one for one in own if _is_whole(one, stock)]
    some: list[CutSheet] = []
    for sheet in sorted(sheets, key=_stage):
        if whole and not sheet.stock.is_own:
            sheet = replace(sheet, stock=whole.pop())
        some.append(sheet)
    bought = sum(not sheet.stock.is_own for sheet in some)
    worth = stock.area_mm2 if stock.price is None else stock.price
    return replace(
        plain,
        sheets=tuple(some),
        cost=None if stock.price is None else stock.price * bought,
        bought_mm2=stock.area_mm2 * bought,
        bound=min(worth * bought, max(0.0, plain.bound - worth * len(own))),
    )


def _fits(piece: SheetPiece, sheet: StockSheet) -> bool:
    ways = [(piece.width_mm, piece.length_mm), (piece.length_mm, piece.width_mm)]
    return any(
        width <= sheet.width_mm and length <= sheet.length_mm
        for width, length in ways[: 1 + piece.may_turn]
    )


def _is_whole(one: StockSheet, stock: StockSheet) -> bool:
    return (
        one.width_mm > stock.width_mm - TOLERANCE_MM
        and one.length_mm > stock.length_mm - TOLERANCE_MM
    )


def _placed_mm2(sheet: CutSheet) -> float:
    return math.fsum(one.width_mm * one.length_mm for one in sheet.placed)


def _stage(sheet: CutSheet) -> int:
    return min(one.piece.stage for one in sheet.placed)

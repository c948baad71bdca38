"""Which sheets to buy, and how to cut strips, panes, spacers and skins out of them.

    plan_sheets(pieces, stocks, kerf_mm) -> SheetPlan

Every cut runs from edge to edge of the panel it parts, as at a panel saw or along a straightedge.
The plan is the cheapest where the sheets have prices, else the one that buys the least area; among
these it has the fewest sheets. What is at hand (off-cuts of sheets laid before) has the price 0 and
comes first. Beside the plan stands a bound that no plan is below, and the gap.

A cut takes its kerf out of the panel behind it. So n strips fit across a sheet where

    sum of widths + (n - 1) * kerf <= width of the sheet

and a rest behind the last strip that is thinner than the blade is dust. With a kerf added to both
sides of every piece and every sheet, cuts take no room: so it is counted inside.

A sheet's grain runs along its length, and so does that of a piece which may not be turned.

Sides are counted in whole ticks: in the largest measure that all of them share, else in
micrometres, what is over dropped, so that three thirds of a sheet fit it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pikepole_export.derive.cutting.lengths import CutPlanError
from pikepole_export.derive.cutting.ticks import tick_mm, ticks, whole
from pikepole_model.errors import Problem

if TYPE_CHECKING:  # these bring numpy, which a refusal need not wait for
    from pikepole_export.derive.cutting.placing import Filled
    from pikepole_export.derive.cutting.rectangles import Layout, Rectangles
    from pikepole_export.derive.cutting.saw_order import Offcut, Placed, SawCut, Shaving


@dataclass(frozen=True, slots=True)
class SheetPiece:
    """A rectangle to be cut.

    Attributes:
        name: What it is called, each name once.
        width_mm: Across the grain.
        length_mm: Along the grain.
        may_turn: Whether the grain does not matter.
    """

    name: str
    width_mm: float
    length_mm: float
    may_turn: bool = False


@dataclass(frozen=True, slots=True)
class StockSheet:
    """A sheet that can be had.

    Attributes:
        name: What it is called, each name once.
        width_mm: Across the grain.
        length_mm: Along the grain.
        price: What a sheet costs, in any currency; None where it is not known; 0 for what is at
            hand, which is not bought.
        sheets: How many there are, or None for as many as needed.
    """

    name: str
    width_mm: float
    length_mm: float
    price: float | None = None
    sheets: int | None = None

    @property
    def at_hand(self) -> bool:
        """Whether it need not be bought."""
        return self.price == 0

    @property
    def area_mm2(self) -> float:
        """Of one sheet."""
        return self.width_mm * self.length_mm


@dataclass(frozen=True, slots=True)
class CutSheet:
    """A sheet and how it is cut.

    Attributes:
        stock: What it is.
        cuts: In the order they are made.
        placed: What comes out of it, in the order it comes off the saw.
        offcuts: What is left.
        shavings: What comes off panels and is less than the blade is wide.
    """

    stock: StockSheet
    cuts: tuple[SawCut, ...]
    placed: tuple[Placed[SheetPiece], ...]
    offcuts: tuple[Offcut, ...]
    shavings: tuple[Shaving, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """Sheets that give all the pieces.

    Attributes:
        sheets: In order of stock, as the stock was given; the fullest first.
        cost: What the bought sheets cost, or None without prices.
        bought_mm2: Area of the sheets bought.
        cut_up_mm2: Area of all sheets cut, those at hand included.
        pieces_mm2: Area of the pieces.
        bound: No plan has a lower cost or, without prices, buys less area in mm2.
        gap: By how much the plan is above the bound, as a share of the bound; infinite over 0.
        proven: Whether no plan is better, the number of sheets included.
    """

    sheets: tuple[CutSheet, ...]
    cost: float | None
    bought_mm2: float
    cut_up_mm2: float
    pieces_mm2: float
    bound: float
    gap: float
    proven: bool


def plan_sheets(
    pieces: Sequence[SheetPiece],
    stocks: Sequence[StockSheet],
    kerf_mm: float,
    limit_s: float = 20.0,
    mark_mm: float = 0.0,
) -> SheetPlan:
    """The best plan for pieces of one material and thickness.

    The same input gives the same plan wherever the search came to its end in time.

    Args:
        pieces: What to cut.
        stocks: What it can be cut from.
        kerf_mm: Width of a cut.
        limit_s: Seconds after which the best plan so far is returned, with its bound.
        mark_mm: From mark to mark on the tape; less than half of it is not cut off. 0 where all is.

    Raises:
        CutPlanError: Something in the input is wrong, or the sheets are too few.
    """
    from pikepole_export.derive.cutting.nest_search import search
    from pikepole_export.derive.cutting.rectangles import Rectangles

    _check(pieces, stocks, kerf_mm)
    priced = any(stock.price is not None and not stock.at_hand for stock in stocks)
    tick = _tick_mm(pieces, stocks, kerf_mm)
    kerf = ticks(kerf_mm, tick)
    by_size: dict[tuple[int, int, bool], list[SheetPiece]] = {}
    for piece in sorted(pieces, key=lambda piece: -piece.width_mm * piece.length_mm):
        width, length = ticks(piece.width_mm, tick) + kerf, ticks(piece.length_mm, tick) + kerf
        by_size.setdefault((width, length, piece.may_turn), []).append(piece)
    amounts = [0.0 if s.at_hand else (s.price or 0.0) if priced else s.area_mm2 for s in stocks]
    costs, unit = whole(amounts)
    rectangles = Rectangles.of(
        sides=tuple((width, length) for width, length, _ in by_size),
        turns=tuple(turn for *_, turn in by_size),
        demands=tuple(map(len, by_size.values())),
        sheets=tuple(
            (ticks(s.width_mm, tick) + kerf, ticks(s.length_mm, tick) + kerf) for s in stocks
        ),
        costs=costs,
        limits=tuple(
            len(pieces) if s.sheets is None else min(s.sheets, len(pieces)) for s in stocks
        ),
    )
    if not pieces:
        return SheetPlan((), 0.0 if priced else None, 0.0, 0.0, 0.0, 0.0, 0.0, True)
    found = search(rectangles, limit_s)
    if found is None:
        raise CutPlanError(
            (
                Problem(
                    "sheets",
                    ", ".join(stock.name for stock in stocks),
                    f"no plan was found that cuts all {len(pieces)} pieces from so few sheets",
                    "allow more sheets",
                ),
            )
        )
    waiting = list(by_size.values())
    sheets = _cut_up(found.sheets, rectangles, waiting, stocks, kerf, tick, mark_mm)
    bought = [sheet.stock for sheet in sheets if not sheet.stock.at_hand]
    cost = math.fsum(stock.price for stock in bought if stock.price is not None)
    bought_mm2 = math.fsum(stock.area_mm2 for stock in bought)
    value = cost if priced else bought_mm2
    bound = value if found.proven else min(found.cost_bound * unit, value)
    return SheetPlan(
        sheets=sheets,
        cost=cost if priced else None,
        bought_mm2=bought_mm2,
        cut_up_mm2=math.fsum(sheet.stock.area_mm2 for sheet in sheets),
        pieces_mm2=math.fsum(piece.width_mm * piece.length_mm for piece in pieces),
        bound=bound,
        gap=0.0 if value <= bound else (value - bound) / bound if bound else math.inf,
        proven=found.proven,
    )


def _cut_up(
    filled: Sequence[Filled],
    rectangles: Rectangles,
    waiting: list[list[SheetPiece]],
    stocks: Sequence[StockSheet],
    kerf: int,
    tick: float,
    mark_mm: float,
) -> tuple[CutSheet, ...]:
    """The work on every sheet, with each piece once: layouts may hold more than are wanted."""
    from pikepole_export.derive.cutting.rectangles import tidied
    from pikepole_export.derive.cutting.saw_order import at_the_saw

    areas = rectangles.job.sizes
    order = sorted(
        filled,
        key=lambda f: (
            f.stock,
            -sum(n * a for n, a in zip(f.counts, areas, strict=True)),
            f.counts,
        ),
    )
    wanted = [len(some) for some in waiting]
    queues = [iter(some) for some in waiting]
    sheets: list[CutSheet] = []
    for one in order:
        sides = rectangles.sheets[one.stock]
        layout = tidied(_wanted(one.layout, wanted), sides)
        if layout is None:
            continue
        work = at_the_saw(
            layout, sides, rectangles, kerf, tick, lambda size: next(queues[size]), mark_mm
        )
        sheets.append(
            CutSheet(
                stocks[one.stock],
                tuple(work.cuts),
                tuple(work.placed),
                tuple(work.offcuts),
                tuple(work.shavings),
            )
        )
    return tuple(sheets)


def _wanted(layout: Layout, left: list[int]) -> Layout:
    """A layout without the pieces that are left over; counts down what is left to cut."""
    from pikepole_export.derive.cutting.rectangles import Leaf, Split

    if isinstance(layout, Split):
        first = _wanted(layout.first, left)
        return Split(layout.axis, layout.at, first, _wanted(layout.second, left))
    if isinstance(layout, Leaf):
        left[layout.size] -= 1
        return layout if left[layout.size] >= 0 else None
    return None


def _tick_mm(pieces: Sequence[SheetPiece], stocks: Sequence[StockSheet], kerf_mm: float) -> float:
    sides = [(p.width_mm, p.length_mm) for p in pieces] + [
        (s.width_mm, s.length_mm) for s in stocks
    ]
    return tick_mm([kerf_mm, *(side for both in sides for side in both)])


def _check(pieces: Sequence[SheetPiece], stocks: Sequence[StockSheet], kerf_mm: float) -> None:
    """Refuses what cannot be meant, every problem at once."""
    found: list[Problem] = []

    def unless(right: bool, key: str, value: object, wrong: str, mend: str) -> None:
        if not right:
            found.append(Problem(key, str(value), wrong, mend))

    right = math.isfinite(kerf_mm) and kerf_mm >= 0
    unless(right, "kerf_mm", kerf_mm, "no such width", "give 0 or more mm")
    unless(bool(stocks), "sheets", "none", "nothing to cut from", "name a sheet")
    priced = any(stock.price is not None and not stock.at_hand for stock in stocks)
    for what, things in (("piece", pieces), ("sheet", stocks)):
        names = [thing.name for thing in things]
        for name in dict.fromkeys(n for n in names if names.count(n) > 1):
            mend = f"give every {what} a name of its own"
            unless(False, what, name, f"the name stands for {names.count(name)}", mend)
        for thing in things:
            for key in ("width_mm", "length_mm"):
                side = getattr(thing, key)
                right = math.isfinite(side) and side > 0
                key = f"{what}[{thing.name}].{key}"
                unless(right, key, side, "no such side", "give more than 0 mm")
    for stock in stocks:
        key = f"sheet[{stock.name}]"
        price, sheets = stock.price, stock.sheets
        right = price is None or (math.isfinite(price) and price >= 0)
        unless(right, f"{key}.price", price, "no such price", "give 0 or more")
        if priced:
            wrong, mend = "other sheets have a price, this one none", "price all of them or none"
            unless(price is not None, f"{key}.price", "none", wrong, mend)
        if stock.at_hand:
            wrong, mend = "how many are at hand is not said", "give their number"
            unless(sheets is not None, f"{key}.sheets", "none", wrong, mend)
        right = sheets is None or sheets >= 0
        unless(right, f"{key}.sheets", sheets, "no such number", "give 0 or more")
    if found:
        raise CutPlanError(tuple(found))
    tick = _tick_mm(pieces, stocks, kerf_mm)
    there = [
        (ticks(stock.width_mm, tick), ticks(stock.length_mm, tick))
        for stock in stocks
        if stock.sheets != 0
    ]
    for piece in pieces:
        width, length = ticks(piece.width_mm, tick), ticks(piece.length_mm, tick)
        ways = [(width, length), (length, width)] if piece.may_turn else [(width, length)]
        right = any(w <= sheet[0] and n <= sheet[1] for w, n in ways for sheet in there)
        wrong = "larger than any sheet" if piece.may_turn else "larger than any sheet, unturned"
        value = f"{piece.width_mm:g} x {piece.length_mm:g} mm"
        mend = "add a larger sheet, or make it of two pieces"
        unless(right, f"piece[{piece.name}]", value, wrong, mend)
        wrong = f"narrower than the saw's kerf of {kerf_mm:g} mm"
        right = min(piece.width_mm, piece.length_mm) >= kerf_mm
        unless(right, f"piece[{piece.name}]", value, wrong, "correct the piece or the kerf")
    if found:
        raise CutPlanError(tuple(found))

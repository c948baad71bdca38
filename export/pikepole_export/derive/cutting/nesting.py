"""How many sheets to buy, and how to cut strips, panes, spacers and skins out of them.

    plan_sheets(pieces, stock, kerf_mm) -> SheetPlan

Every cut runs from edge to edge of the panel it parts, as at a panel saw or along a straightedge.
The plan has the fewest sheets found. Beside it stands a bound that no plan is below, and the gap.

A cut takes its kerf out of the panel behind it. So n strips fit across a sheet where

    sum of widths + (n - 1) * kerf <= width of the sheet

and a rest behind the last strip that is thinner than the blade is dust. With a kerf added to both
sides of every piece and of the sheet, cuts take no room: so it is counted inside.

A sheet's grain runs along its length, and so does that of a piece which may not be turned.

Sides are counted in whole steps: in the largest measure that all of them share, else in
micrometres, what is over dropped, so that three thirds of a sheet fit it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pikepole_export.derive.cutting.easier import easier
from pikepole_export.derive.cutting.faults import Faults
from pikepole_export.derive.cutting.lengths import gap_over
from pikepole_export.derive.cutting.patterns import step_mm, whole_steps
from pikepole_export.derive.cutting.rectangles import (
    Layout,
    Leaf,
    Rectangles,
    Split,
    leaves,
    tidied,
)
from pikepole_export.derive.cutting.saw_order import (
    Offcut,
    Placed,
    SawCut,
    Shaving,
    at_the_saw,
    in_stages,
)


@dataclass(frozen=True, slots=True)
class SheetPiece:
    """A rectangle to be cut.

    Attributes:
        name: What it is called, each name once.
        width_mm: Across the grain.
        length_mm: Along the grain.
        may_turn: Whether the grain does not matter.
        stage: Number of the stage of the work that needs it.
        takes_mm: Of a sheet's width, where what is ripped off it is no second piece; None where it
            takes no more than its own.
    """

    name: str
    width_mm: float
    length_mm: float
    may_turn: bool = False
    stage: int = 0
    takes_mm: float | None = None


@dataclass(frozen=True, slots=True)
class StockSheet:
    """A sheet that can be had.

    Attributes:
        name: What it is called.
        width_mm: Across the grain.
        length_mm: Along the grain.
        price: What a sheet costs, in any currency; None where it is not known.
        is_own: Whether it is at hand, and costs nothing.
    """

    name: str
    width_mm: float
    length_mm: float
    price: float | None = None
    is_own: bool = False

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
        shavings: What comes off panels and is no wider than the blade.
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
        sheets: In the order in which stages open them, then the fullest first.
        cost: What the sheets cost, or None without a price.
        bought_mm2: Area of the sheets that are bought.
        pieces_mm2: Area of the pieces.
        bound: No plan has a lower cost or, without a price, buys less area in mm2.
    """

    sheets: tuple[CutSheet, ...]
    cost: float | None
    bought_mm2: float
    pieces_mm2: float
    bound: float

    @property
    def gap(self) -> float:
        """How far the plan may be above the least there is, as a share of it."""
        return gap_over(self.bought_mm2 if self.cost is None else self.cost, self.bound)


def plan_sheets(
    pieces: Sequence[SheetPiece],
    stock: StockSheet,
    kerf_mm: float,
    mark_mm: float = 0.0,
    *,
    prove: bool = False,
) -> SheetPlan:
    """A plan for pieces of one material and thickness; the same plan for the same input.

    Args:
        pieces: What to cut.
        stock: What it is cut from.
        kerf_mm: Width of a cut.
        mark_mm: From mark to mark on the tape; less than half of it is not cut off. 0 where all is.
        prove: Whether to go on, for a better plan or the proof that there is none.

    Raises:
        CutPlanError: Something in the input is wrong.
        SolverError: The solver gave no answer.
    """
    from pikepole_export.derive.cutting.sheet_search import fewest_sheets

    _check(pieces, stock, kerf_mm)
    step = _step_mm(pieces, stock, kerf_mm)
    kerf = whole_steps(kerf_mm, step)
    by_size: dict[tuple[int, int, int, bool], list[SheetPiece]] = {}
    for piece in sorted(
        pieces, key=lambda piece: (-_takes_mm(piece) * piece.length_mm, piece.stage)
    ):
        sides = (_takes_mm(piece), piece.width_mm, piece.length_mm)
        takes, width, length = (whole_steps(mm, step) + kerf for mm in sides)
        by_size.setdefault((takes, length, width, piece.may_turn), []).append(piece)
    rectangles = Rectangles(
        sides=tuple((takes, length) for takes, length, *_ in by_size),
        turns=tuple(turn for *_, turn in by_size),
        demands=tuple(map(len, by_size.values())),
        sheet=(whole_steps(stock.width_mm, step) + kerf, whole_steps(stock.length_mm, step) + kerf),
    )
    sawn = replace(rectangles, sides=tuple((width, length) for _, length, width, _ in by_size))
    layouts, least = fewest_sheets(rectangles, kerf, to_prove=prove) if pieces else ([], 0)
    queues = [iter(some) for some in by_size.values()]

    def trouble(layout: Layout) -> tuple[float, ...]:
        """Cuts and settings of the saw, and then how much is left in small pieces."""
        sizes = [leaf.size for leaf in leaves(layout)]
        work = at_the_saw(layout, sawn, kerf, step, sizes, mark_mm)
        settings = {(cut.divides, cut.at_mm) for cut in work.cuts}
        largest = max((one.width_mm * one.length_mm for one in work.offcuts), default=0.0)
        return len(work.cuts) + len(settings), -largest

    sheets: list[CutSheet] = []
    for found in _each_once(layouts, rectangles):
        layout = easier(found, rectangles, trouble)
        own = [next(queues[leaf.size]) for leaf in leaves(layout)]
        layout, own = in_stages(layout, rectangles.sheet, own, _stage_of)
        work = at_the_saw(layout, sawn, kerf, step, own, mark_mm, _stage_of)
        sheets.append(
            CutSheet(
                stock,
                tuple(work.cuts),
                tuple(work.placed),
                tuple(work.offcuts),
                tuple(work.shavings),
            )
        )
    sheets.sort(key=lambda sheet: min(one.piece.stage for one in sheet.placed))
    worth = stock.area_mm2 if stock.price is None else stock.price
    return SheetPlan(
        sheets=tuple(sheets),
        cost=None if stock.price is None else stock.price * len(sheets),
        bought_mm2=stock.area_mm2 * len(sheets),
        pieces_mm2=math.fsum(piece.width_mm * piece.length_mm for piece in pieces),
        bound=worth * least,
    )


def _stage_of(piece: SheetPiece) -> int:
    return piece.stage


def _takes_mm(piece: SheetPiece) -> float:
    return piece.takes_mm or piece.width_mm


def _each_once(layouts: Sequence[Layout], rectangles: Rectangles) -> Iterator[Layout]:
    """Layouts as they are cut, the fullest first, without pieces that are left over."""

    def order(layout: Layout) -> tuple[int, tuple[int, ...]]:
        counts = rectangles.counts(layout)
        return -sum(n * a for n, a in zip(counts, rectangles.areas, strict=True)), counts

    wanted = list(rectangles.demands)
    for layout in sorted(layouts, key=order):
        kept = tidied(_wanted(layout, wanted), rectangles.sheet)
        if kept is not None:
            yield kept


def _wanted(layout: Layout, left: list[int]) -> Layout:
    """A layout without the pieces that are left over; counts down what is left to cut."""
    if isinstance(layout, Split):
        first = _wanted(layout.first, left)
        return Split(layout.axis, layout.at, first, _wanted(layout.second, left))
    if isinstance(layout, Leaf):
        left[layout.size] -= 1
        return layout if left[layout.size] >= 0 else None
    return None


def _step_mm(pieces: Sequence[SheetPiece], stock: StockSheet, kerf_mm: float) -> float:
    sides = [(p.width_mm, p.length_mm) for p in (*pieces, stock)]
    taken = [_takes_mm(piece) for piece in pieces]
    return step_mm([kerf_mm, *taken, *(side for both in sides for side in both)])


def _check(pieces: Sequence[SheetPiece], stock: StockSheet, kerf_mm: float) -> None:
    """Refuses what cannot be meant, every problem at once."""
    faults = Faults()
    right = math.isfinite(kerf_mm) and kerf_mm >= 0
    faults.unless(right, "kerf_mm", kerf_mm, "no such width", "give 0 or more mm")
    faults.each_once("piece", [piece.name for piece in pieces])
    for what, things in (("piece", pieces), ("sheet", [stock])):
        for thing in things:
            for key in ("width_mm", "length_mm"):
                side = getattr(thing, key)
                right = math.isfinite(side) and side > 0
                key = f"{what}[{thing.name}].{key}"
                faults.unless(right, key, side, "no such side", "give more than 0 mm")
    price = stock.price
    right = price is None or (math.isfinite(price) and price > 0)
    faults.unless(right, f"sheet[{stock.name}].price", price, "no such price", "give more than 0")
    faults.refuse()
    step = _step_mm(pieces, stock, kerf_mm)
    sheet = whole_steps(stock.width_mm, step), whole_steps(stock.length_mm, step)
    for piece in pieces:
        width, length = whole_steps(_takes_mm(piece), step), whole_steps(piece.length_mm, step)
        ways = [(width, length), (length, width)] if piece.may_turn else [(width, length)]
        right = any(w <= sheet[0] and n <= sheet[1] for w, n in ways)
        wrong = "larger than its sheet" if piece.may_turn else "larger than its sheet, unturned"
        value = f"{_takes_mm(piece):g} x {piece.length_mm:g} mm"
        mend = "take a larger sheet, or make it of two pieces"
        faults.unless(right, f"piece[{piece.name}]", value, wrong, mend)
        wrong = f"narrower than the saw's kerf of {kerf_mm:g} mm"
        right = min(piece.width_mm, piece.length_mm) >= kerf_mm
        faults.unless(right, f"piece[{piece.name}]", value, wrong, "correct the piece or the kerf")
    faults.refuse()

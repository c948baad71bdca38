"""Pieces put on sheets one after the other, many times over: fast plans, not the best ones.

try_out(rectangles, tries, luck) -> filled sheets: layouts to choose from, some of them a plan
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from random import Random

from pikepole_export.derive.cutting.patterns import Counts
from pikepole_export.derive.cutting.rectangles import (
    Layout,
    Leaf,
    Rectangles,
    Sides,
    Split,
    cut_panel,
    leaves,
)

FILLS = 8  # ways to fill a sheet from which one is taken
JITTERS = (0.0, 0.1, 0.3, 0.6)  # of a piece's place in the order


@dataclass(frozen=True, slots=True)
class Filled:
    """A sheet with pieces on it.

    Attributes:
        stock: Which stock it is of.
        counts: Pieces of each size.
        layout: How they lie.
    """

    stock: int
    counts: Counts
    layout: Layout


@dataclass(slots=True, eq=False)
class _Panel:
    """A panel while it is filled: free, or with a piece and up to two panels cut off beside it."""

    sides: Sides
    leaf: Leaf | None = None
    axis: int = 0
    at: Sides = (0, 0)
    beside: tuple[_Panel | None, _Panel | None] = (None, None)

    def put(self, leaf: Leaf, width: int, length: int, axis: int) -> list[_Panel]:
        """Cuts along one axis first, then the strip with the piece along the other."""
        self.leaf, self.axis, self.at = leaf, axis, (width, length)
        strip, rest = cut_panel(self.sides, axis, self.at[axis])
        _, end = cut_panel(strip, 1 - axis, self.at[1 - axis])
        panels = [_Panel(sides) if min(sides) > 0 else None for sides in (end, rest)]
        self.beside = panels[0], panels[1]
        return [panel for panel in panels if panel]

    def layout(self) -> Layout:
        """What was put in it."""
        layout: Layout = self.leaf
        end, rest = self.beside
        if end:
            layout = Split(1 - self.axis, self.at[1 - self.axis], layout, end.layout())
        if rest:
            layout = Split(self.axis, self.at[self.axis], layout, rest.layout())
        return layout


def try_out(
    rectangles: Rectangles, tries: int, luck: Random
) -> Iterator[tuple[list[Filled], bool]]:
    """Filled sheets of one try after the other, and whether they hold all the pieces.

    Every fourth try fills one sheet as well as it can before it takes the next.
    """
    job = rectangles.job
    for number in range(tries):
        if number % 4 == 3:
            yield from _sheet_by_sheet(rectangles, number, luck)
        else:
            sheets = _one_try(rectangles, job.demands, job.limits, number, luck)
            yield sheets, _missing(job.demands, sheets) is None


def _missing(demands: Counts, sheets: Sequence[Filled]) -> Counts | None:
    """Pieces of each size that the sheets do not hold; None where they hold all."""
    left = list(demands)
    for sheet in sheets:
        left = [n - count for n, count in zip(left, sheet.counts, strict=True)]
    return tuple(left) if any(left) else None


def _sheet_by_sheet(
    rectangles: Rectangles, number: int, luck: Random
) -> Iterator[tuple[list[Filled], bool]]:
    """Takes, again and again, the sheet that holds most for its cost."""
    job = rectangles.job
    plan: list[Filled] = []
    left: Counts | None = job.demands
    limits = list(job.limits)

    def gain(sheet: Filled) -> float:
        held = sum(n * area for n, area in zip(sheet.counts, job.sizes, strict=True))
        # What costs nothing goes first, the better filled before the others.
        return held / (job.costs[sheet.stock] or job.rooms[sheet.stock] * 1e-9)

    while left is not None:
        tried: list[Filled] = []
        for stock in range(len(limits)):
            if limits[stock]:
                single = tuple(int(other == stock) for other in range(len(limits)))
                for more in range(FILLS):
                    tried += _one_try(rectangles, left, single, number * FILLS + more, luck)
        if not tried:
            return
        tried.sort(key=gain)
        plan.append(tried[-1] if luck.random() < 0.7 else luck.choice(tried[-3:]))
        limits[plan[-1].stock] -= 1
        left = _missing(job.demands, plan)
        yield tried, False
    yield plan, True


def _one_try(
    rectangles: Rectangles, demands: Counts, limits: Counts, number: int, luck: Random
) -> list[Filled]:
    """Largest pieces first, each on the free panel it fits best, as long as there are sheets.

    The number says by which rules; low ones leave nothing to chance.
    """
    jitter = JITTERS[number // 16 % len(JITTERS)]
    key = number % 4

    def large(size: int) -> float:
        width, length = rectangles.sides[size]
        by = (width * length, max(width, length), min(width, length), width + length)[key]
        return -by * (1 + luck.uniform(-jitter, jitter))

    pieces = [size for size, demand in enumerate(demands) for _ in range(demand)]
    if number % 3 == 2:  # equal pieces need not stay together
        pieces.sort(key=large)
    else:
        rank = {size: large(size) for size in range(len(demands))}
        pieces.sort(key=lambda size: (rank[size], size))
    left = list(limits)
    stocks: list[int] = []
    roots: list[_Panel] = []
    free: list[_Panel] = []
    for size in pieces:
        spot = _best_spot(rectangles, size, free, number // 4 % 2)
        if spot is None:
            stock = _new_sheet(rectangles, size, left, luck if number else None)
            if stock is None:
                continue
            left[stock] -= 1
            roots.append(_Panel(rectangles.sheets[stock]))
            stocks.append(stock)
            free.append(roots[-1])
            spot = _best_spot(rectangles, size, free[-1:], 0)
            assert spot
        panel, (width, length, turned) = spot
        spare = panel.sides[0] - width, panel.sides[1] - length
        rule = number // 8 % (3 if jitter else 2)
        axis = luck.randrange(2) if rule == 2 else int((spare[0] < spare[1]) == (rule == 0))
        free.remove(panel)
        free += panel.put(Leaf(size, turned), width, length, axis)
    sheets: list[Filled] = []
    for stock, root in zip(stocks, roots, strict=True):
        counts = [0] * len(demands)
        layout = root.layout()
        for leaf in leaves(layout):
            counts[leaf.size] += 1
        sheets.append(Filled(stock, tuple(counts), layout))
    return sheets


def _best_spot(
    rectangles: Rectangles, size: int, free: list[_Panel], rule: int
) -> tuple[_Panel, tuple[int, int, bool]] | None:
    """The free panel and way to lie that leave the least, by the shorter side or by area."""
    best: tuple[int, int] | None = None
    found: tuple[_Panel, tuple[int, int, bool]] | None = None
    ways = list(rectangles.ways(size))
    for panel in free:
        for way in ways:
            spare = panel.sides[0] - way[0], panel.sides[1] - way[1]
            if min(spare) < 0:
                continue
            area = panel.sides[0] * panel.sides[1]
            left = (min(spare), area) if rule == 0 else (area, min(spare))
            if best is None or left < best:
                best, found = left, (panel, way)
    return found


def _new_sheet(
    rectangles: Rectangles, size: int, limits: list[int], luck: Random | None
) -> int | None:
    """A stock that the piece fits: the cheapest by area, or one or the other."""
    job = rectangles.job
    fits = [
        stock
        for stock, sides in enumerate(rectangles.sheets)
        if limits[stock]
        and any(w <= sides[0] and n <= sides[1] for w, n, _ in rectangles.ways(size))
    ]
    fits.sort(key=lambda stock: (job.costs[stock] / job.rooms[stock], job.rooms[stock]))
    if not fits:
        return None
    return luck.choice(fits) if luck and luck.random() < 0.5 else fits[0]

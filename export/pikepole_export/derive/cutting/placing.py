"""Pieces put on sheets one after the other, by one rule after the other: fast plans.

    tries(rectangles, count) -> the filled sheets of one try after the other
    fill(rectangles, pieces, axis, rule) -> the sheets of one

The rules of a try follow from its number: by which size pieces are sorted, on which free panel each
goes, which way the panel is cut then. Some tries shuffle a little, always the same way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
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
)

FILLS = 8  # ways to fill a sheet from which one is taken
JITTERS = (0.0, 0.1, 0.3, 0.6)  # of a piece's place in the order


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


def tries(rectangles: Rectangles, count: int) -> Iterator[tuple[list[Layout], list[Layout]]]:
    """One try after the other: the sheets of a plan, and all that were filled on the way.

    Every fourth try fills one sheet as well as it can before it takes the next.
    """
    random = Random(0)  # the same at every run
    for number in range(count):
        if number % 4 == 3:
            yield _sheet_by_sheet(rectangles, number, random)
        else:
            sheets = _filled(rectangles, rectangles.demands, number, random)
            yield sheets, sheets


def _sheet_by_sheet(
    rectangles: Rectangles, number: int, random: Random
) -> tuple[list[Layout], list[Layout]]:
    """Takes, again and again, the sheet that holds most, or one that holds nearly as much."""
    plan: list[Layout] = []
    seen: list[Layout] = []
    left = rectangles.demands

    def held(layout: Layout) -> int:
        counts = rectangles.counts(layout)
        return sum(n * area for n, area in zip(counts, rectangles.areas, strict=True))

    while any(left):
        fills = [
            _filled(rectangles, left, number * FILLS + more, random, 1)[0] for more in range(FILLS)
        ]
        fills.sort(key=held)
        seen += fills
        place = -1 if random.random() < 0.7 else -1 - int(random.random() * 3)
        plan.append(fills[place])
        taken = rectangles.counts(plan[-1])
        left = tuple(n - count for n, count in zip(left, taken, strict=True))
    return plan, seen


def _filled(
    rectangles: Rectangles, demands: Counts, number: int, random: Random, most: int | None = None
) -> list[Layout]:
    """Largest pieces first, each on the free panel it fits best, on so many sheets at most."""
    jitter = JITTERS[number // 16 % len(JITTERS)]
    key = number % 4

    def large(size: int) -> float:
        width, length = rectangles.sides[size]
        by = (width * length, max(width, length), min(width, length), width + length)[key]
        return -by * (1 + jitter * (2 * random.random() - 1))

    pieces = [size for size, demand in enumerate(demands) for _ in range(demand)]
    if number % 3 == 2:  # equal pieces need not stay together
        pieces.sort(key=large)
    else:
        rank = {size: large(size) for size in range(len(demands))}
        pieces.sort(key=lambda size: (rank[size], size))
    rule = number // 8 % (3 if jitter else 2)

    def axis(spare: Sides) -> int:
        return int(random.random() * 2) if rule == 2 else int((spare[0] < spare[1]) == (rule == 0))

    return fill(rectangles, pieces, axis, number // 4 % 2, most)


def fill(
    rectangles: Rectangles,
    pieces: Iterable[int],
    axis: Callable[[Sides], int],
    rule: int,
    most: int | None = None,
) -> list[Layout]:
    """Sheets filled with pieces in their order, each on the free panel that it fits best.

    Args:
        rectangles: What is to be cut.
        pieces: The size of each.
        axis: Which side of a panel its first cut divides, from what a piece leaves of both.
        rule: 0 for the panel of which the shorter side leaves least, 1 for that of least area.
        most: How many sheets at most; what has no room is left out.
    """
    sheets: list[_Panel] = []
    free: list[_Panel] = []
    for size in pieces:
        spot = _best_spot(rectangles, size, free, rule)
        if spot is None:
            if len(sheets) == most:
                continue
            sheets.append(_Panel(rectangles.sheet))
            free.append(sheets[-1])
            spot = _best_spot(rectangles, size, free[-1:], 0)
            assert spot, "a piece fits an empty sheet"
        panel, (width, length, turned) = spot
        spare = panel.sides[0] - width, panel.sides[1] - length
        free.remove(panel)
        free += panel.put(Leaf(size, turned), width, length, axis(spare))
    return [sheet.layout() for sheet in sheets]


def _best_spot(
    rectangles: Rectangles, size: int, free: Sequence[_Panel], rule: int
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

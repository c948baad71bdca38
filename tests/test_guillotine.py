"""One sheet, cut from edge to edge: published instances with their published best values."""

from __future__ import annotations

from collections.abc import Sequence

from nested import GCUT1
from pikepole_export.derive.cutting.guillotine import Grid, best_layout, every_layout
from pikepole_export.derive.cutting.rectangles import (
    Layout,
    Leaf,
    Rectangles,
    Sides,
    Split,
    leaves,
    tidied,
)

# OR-Library, cgcut1: sheet 15 x 10; width, length, most, value. Data from memory.
# Christofides and Whitlock, Operations Research 25 (1977), example 1.
CGCUT1 = (
    *((8, 4, 2, 66), (3, 7, 1, 35), (8, 2, 3, 24), (3, 4, 5, 17)),
    *((3, 3, 2, 11), (3, 2, 2, 8), (2, 1, 1, 2)),
)


def one_sheet(sides: Sequence[Sides], demands: Sequence[int], sheet: Sides) -> Rectangles:
    return Rectangles(tuple(sides), (False,) * len(sides), tuple(demands), sheet)


def free(sides: Sequence[Sides], values: Sequence[int], sheet: Sides) -> tuple[int, Layout]:
    """The best of a sheet with pieces of a size without end."""
    many = [(sheet[0] * sheet[1]) // (width * length) for width, length in sides]
    rectangles = one_sheet(sides, many, sheet)
    worth, layout = best_layout(rectangles, values, Grid.of(rectangles))
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
    grid = Grid.of(rectangles)
    layouts = every_layout(rectangles, grid)
    assert layouts
    worths = [sum(v * n for v, n in zip(values, counts, strict=True)) for counts, _ in layouts]
    assert max(worths) == 244
    for counts, layout in layouts:
        assert all(n <= m for n, m in zip(counts, most, strict=True))
        held = [sum(leaf.size == size for leaf in leaves(layout)) for size in range(len(sides))]
        assert all(n <= h for n, h in zip(counts, held, strict=True))
        assert_cut_within(layout, (15, 10), sides)
    # Those alone that are worth so much, and none that is worth more.
    best = every_layout(rectangles, grid, tuple(values), 244)
    assert best
    assert {counts for counts, _ in best} == {
        counts for (counts, _), worth in zip(layouts, worths, strict=True) if worth == 244
    }
    assert every_layout(rectangles, grid, tuple(values), 245) == []


def test_cgcut1_without_its_limits_is_another_problem() -> None:
    # Hifi and Zissimopoulos, European Journal of Operational Research 91 (1996), print 249 for it.
    sides, values = [row[:2] for row in CGCUT1], [row[3] for row in CGCUT1]
    assert free(sides, values, (15, 10))[0] == 249


def test_pieces_are_cut_before_what_is_left_over() -> None:
    # In a panel of 100 x 50: 30 left over in front of a strip of 70 with two pieces 20 deep.
    pair = Split(1, 20, Leaf(0, False), Leaf(0, False))
    assert tidied(Split(0, 30, None, pair), (100, 50)) == Split(0, 70, pair, None)
    assert tidied(Split(1, 40, pair, None), (100, 50)) == Split(1, 40, pair, None)
    # One piece is trimmed to its size anyhow, and nothing needs no cut at all.
    assert tidied(Split(0, 30, None, Leaf(0, True)), (100, 50)) == Leaf(0, True)
    assert tidied(Split(0, 30, None, Split(1, 5, None, None)), (100, 50)) is None

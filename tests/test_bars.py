"""Bounds from the sides of the pieces, against what fits across and along a sheet, by hand."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from nested import GCUT1
from pikepole_export.derive.cutting.bars import sheets_by_bars
from pikepole_export.derive.cutting.rectangles import Rectangles, Sides
from pikepole_export.derive.cutting.sheet_search import fewest_sheets

ROUNDED = 1e-4  # values are whole numbers up to a million; a piece of a hundred loses this much


def wanted(
    pieces: Sequence[tuple[int, int, int]], sheet: Sides, *, turns: bool = False
) -> Rectangles:
    """Pieces by width, length and number."""
    return Rectangles(
        sides=tuple((width, length) for width, length, _ in pieces),
        turns=(turns,) * len(pieces),
        demands=tuple(number for *_, number in pieces),
        sheet=sheet,
    )


def by_bars(rectangles: Rectangles) -> float:
    """Sheets that the bound asks for, before they are made whole."""
    return float(sheets_by_bars(rectangles))


@pytest.mark.parametrize("across", [1, 2, 3, 4, 7])
@pytest.mark.parametrize("along", [1, 2, 5])
def test_pieces_just_too_large_for_one_more(across: int, along: int) -> None:
    # A piece just larger than a (k + 1)th part of the sheet fits k times: a sheet holds
    # across * along of them, though with many their area is that of (across + 1) * (along + 1).
    width, length = 840 // (across + 1) + 1, 2520 // (along + 1) + 1
    rectangles = wanted([(width, length, 100)], (840, 2520))
    assert by_bars(rectangles) == pytest.approx(100 / (across * along), rel=ROUNDED)


def test_strips_that_no_bar_runs_through_twice() -> None:
    # 51 of 100 wide: one across. 17 strips 31 long in sheets of 62, two along: 17 / 2 sheets.
    # Beside each lies a strip of 49, which needs no sheet more; a 50th one does not fit there.
    assert by_bars(wanted([(51, 31, 17)], (100, 62))) == pytest.approx(8.5, rel=ROUNDED)
    both = wanted([(51, 31, 17), (49, 31, 17)], (100, 62))
    assert by_bars(both) == pytest.approx(8.5, rel=ROUNDED)
    wider = wanted([(51, 31, 17), (50, 31, 17)], (100, 62))
    # No wide one beside another nor beside a 50; two of 50 side by side: (17 + 17 / 2) / 2.
    assert by_bars(wider) == pytest.approx(12.75, rel=ROUNDED)


def test_strips_of_a_third_and_of_two_ninths() -> None:
    # In a sheet 48 wide count strips of 14 and 15 for 1/3 of it and of 11 for 2/9. That holds for
    # every bar: three thirds; two thirds and one 11, since 28 + 22 > 48; one third and three of 11,
    # since 14 + 44 > 48; four of 11, 8/9.
    pieces = [(14, 96, 9), (15, 48, 6), (11, 96, 2)]
    by_hand = (9 + 6 * 48 / 96) / 3 + 2 * 2 / 9
    by_area = (14 * 96 * 9 + 15 * 48 * 6 + 11 * 96 * 2) / (48 * 96)
    assert by_area < by_hand - 0.4
    # These are some values; the best are not less.
    assert by_bars(wanted(pieces, (48, 96))) >= by_hand * (1 - ROUNDED)


def test_turning_can_halve_what_is_needed() -> None:
    # 51 x 49 in 100 x 100: one across, two along. Turned ones are 49 wide, and fit beside: four,
    # as around a mill's shaft, which no bound may exclude. Nor is one below the area.
    pieces = [(51, 49, 8)]
    assert by_bars(wanted(pieces, (100, 100))) == pytest.approx(4, rel=ROUNDED)
    turned = by_bars(wanted(pieces, (100, 100), turns=True))
    assert 8 * 51 * 49 / 100**2 * (1 - ROUNDED) <= turned <= 2
    # 51 x 51 gains nothing by it.
    square = by_bars(wanted([(51, 51, 8)], (100, 100), turns=True))
    assert square == pytest.approx(8, rel=ROUNDED)


def test_no_row_has_more_of_a_size_than_are_wanted() -> None:
    # Three of 30 would fit across; there is one of each length, the long one as long as the
    # sheet and the short ones with their rows full: 1 sheet, not (1 + 2 / 96) / 3.
    rectangles = wanted([(30, 96, 1), (30, 1, 2)], (96, 96))
    assert by_bars(rectangles) == pytest.approx(1, rel=ROUNDED)


def test_both_sides_count_at_once() -> None:
    # No 100 x 100 sheet holds two pieces of 51 x 51. With the small ones every row across is full,
    # and every row along: it takes values by width and by length, not by one and the area.
    rectangles = wanted([(51, 51, 6), (49, 49, 6)], (100, 100))
    assert by_bars(rectangles) == pytest.approx(6, rel=ROUNDED)


def test_gcut1_in_whole_sheets() -> None:
    # OR-Library gcut1 as bin packing, pieces not turned: 5 sheets. Martello and Vigo, Exact
    # solution of the two-dimensional finite bin packing problem, Management Science 44 (1998),
    # from memory. Their sheets may be packed in any way; from edge to edge it takes no more here.
    pieces = [(width, length, 1) for width, length in GCUT1]
    rectangles = wanted(pieces, (250, 250))
    assert by_bars(rectangles) <= 5
    layouts, least = fewest_sheets(rectangles, to_prove=True)
    assert (len(layouts), least) == (5, 5)


def test_fine_measures_are_rounded_so_that_bounds_hold() -> None:
    # Three thirds of a sheet in millionths of its width, and what is just over a half.
    third = wanted([(1_000_000, 2_000_000, 9)], (3_000_000, 2_000_001))
    assert by_bars(third) == pytest.approx(3, rel=ROUNDED)
    half = wanted([(1_501_000, 2_000_000, 9)], (3_000_000, 2_000_001))
    assert by_bars(half) == pytest.approx(9, rel=ROUNDED)

"""What a proof of a cut plan comes to where the answer is known before it is looked for."""

from __future__ import annotations

from math import inf

import pytest

from nested import assert_followed_at_the_saw, pieces_of
from pikepole_export.derive.cutting import sheet_search
from pikepole_export.derive.cutting.nesting import StockSheet, plan_sheets
from pikepole_export.derive.cutting.patterns import Job, Pattern
from pikepole_export.derive.cutting.programmes import choose

# Four pieces of 2 x 3 in a ring round one of 1 x 1 fill a square of 5 x 5; no cut from edge to edge
# leaves them all whole. Known of guillotine cutting since Gilmore and Gomory, Operations Research
# 13 (1965); the counts follow from the drawing:
#   a a a b b
#   a a a b b
#   d d e b b
#   d d c c c
#   d d c c c
PINWHEEL = [*pieces_of("arm", 2, 3, 4, may_turn=True), *pieces_of("hub", 1, 1, 1)]


def test_a_pinwheel_takes_two_sheets_at_the_saw_and_that_is_proven() -> None:
    plan = plan_sheets(PINWHEEL, StockSheet("sheet", 5, 5), 0, prove=True)
    assert_followed_at_the_saw(plan, PINWHEEL, 0)
    assert len(plan.sheets) == 2
    assert plan.bound == 2 * 5 * 5


# On sheets of 9 x 8, nothing turned. A plank of 9 x 1 and a plank of 4 x 8 never share a sheet, nor
# do 4 x 8 and 6 x 7, nor 6 x 7 and 5 x 3; beside three of 9 x 1 there is room for one of 5 x 3.
# Both of 4 x 8 on one sheet leave two of 5 x 3 and four of 9 x 1 with the 6 x 7: two sheets hold
# all of these but one of 5 x 3. Apart they take two sheets, and the rest two more. So four.
AWKWARD = [
    *pieces_of("upright", 4, 8, 2),
    *pieces_of("plank", 9, 1, 4),
    *pieces_of("panel", 6, 7, 1),
    *pieces_of("block", 5, 3, 2),
]


def test_four_sheets_where_area_asks_for_three_are_proven() -> None:
    plan = plan_sheets(AWKWARD, StockSheet("sheet", 9, 8), 0, prove=True)
    assert_followed_at_the_saw(plan, AWKWARD, 0)
    assert len(plan.sheets) == 4
    assert plan.bound == 4 * 9 * 8


def test_where_there_are_too_many_layouts_the_plan_stands_and_its_bound_is_lower(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sheet_search, "every_layout", _too_many)
    plan = plan_sheets(AWKWARD, StockSheet("sheet", 9, 8), 0, prove=True)
    assert_followed_at_the_saw(plan, AWKWARD, 0)
    assert len(plan.sheets) == 4
    assert plan.bound == 3 * 9 * 8  # what their area asks for, 172 of 72 a sheet


def _too_many(*_: object) -> None:
    """What the search says where there are more layouts than it lists."""


def test_pieces_that_no_pattern_has_cannot_be_chosen() -> None:
    # Two sizes are wanted, and the only pattern has one of them: a programme without a solution,
    # whose cost is by convention infinite.
    job = Job(sizes=(7, 3), demands=(1, 1), rooms=(10,), costs=(1,))
    assert choose(job, [Pattern(0, (0, 3))], 1, 100) == (None, inf)
    # With one for each there are two boards, and none does with fewer of these.
    patterns = [Pattern(0, (0, 3)), Pattern(0, (1, 0))]
    chosen, least = choose(job, patterns, 1, 100)
    assert chosen is not None
    assert sorted(chosen, key=lambda pattern: pattern.counts) == patterns
    assert least == 2

"""Linear and integer programmes whose answers come out by hand."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest

from pikepole_export.derive.cutting.solver import Programme

# Seven long and nine short pieces; a dear board gives two and one, a cheap one none and two. In
# parts of boards 3-1/2 dear ones give the long ones and 3-1/2 short ones, so 2-3/4 cheap ones the
# other 5-1/2: 3.5 x 5 + 2.75 x 3 = 25.75. A long piece more takes half a dear board, and gives half
# a short one: 2.5 - 0.5 x 1.5 = 1.75; a short one more half a cheap board, 1.5.
NEEDED, DEAR, CHEAP = (7.0, 9.0), (2.0, 1.0), (0.0, 2.0)


def boards() -> Programme:
    programme = Programme(NEEDED)
    programme.add_columns([5.0, 3.0], np.array([DEAR, CHEAP]))
    return programme


def test_parts_of_boards() -> None:
    answer = boards().solved()
    assert answer.cost == pytest.approx(25.75)
    assert answer.amounts == pytest.approx([3.5, 2.75])
    assert answer.prices == pytest.approx([1.75, 1.5])


def test_whole_boards() -> None:
    # Four dear ones give eight and four; the other five short ones take three cheap ones: 29. With
    # five dear ones two cheap ones do, 31.
    answer = boards().whole(gap=0.0, nodes=100)
    assert answer.cost == pytest.approx(29.0)
    assert list(map(round, answer.amounts)) == [4, 3]
    assert answer.bound == pytest.approx(29.0)


def test_what_comes_later_is_reckoned_with() -> None:
    # A board of one and two for 4: seven give all, 28, too dear; with 5/3 dear ones 11/3 of it do,
    # 23: 2 x 5/3 + 11/3 = 7 long, 5/3 + 2 x 11/3 = 9 short.
    programme = boards()
    assert programme.solved().cost == pytest.approx(25.75)
    programme.add_columns([4.0], np.array([(1.0, 2.0)]))
    assert programme.solved().cost == pytest.approx(23.0)
    # Eleven boards at least, 1/3 more than 16/3: the cheapest that fill up are those for 3.
    programme.add_rows(np.ones((1, 3)), [11.0])
    answer = programme.solved()
    assert sum(answer.amounts) == pytest.approx(11.0)
    # Every long piece takes half a dear board, 5 for 2, before the one of 4 for 1: 3.5 dear ones
    # and 7.5 cheap ones are 40; for each dear one less, two of 4 and one cheap one less: 40 + 0.
    assert answer.cost == pytest.approx(40.0)


def test_only_what_is_allowed_is_taken() -> None:
    programme = boards()
    programme.allow([True, False])
    assert programme.solved().cost == pytest.approx(45.0)  # nine short pieces, nine dear boards
    programme.allow([False, True])
    assert programme.solved().cost == inf  # no long piece comes out of a cheap one
    programme.allow([True, True])
    assert programme.solved().cost == pytest.approx(25.75)


def test_there_is_only_so_much_of_some() -> None:
    programme = Programme(NEEDED)
    programme.add_columns([5.0], np.array([DEAR]))
    programme.add_columns([3.0], np.array([CHEAP]), most=2.0)
    # Four short pieces from two cheap ones, the other five from as many dear ones: 31.
    assert programme.solved().cost == pytest.approx(31.0)

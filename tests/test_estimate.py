"""The honey house's list against an estimate by hand, from the sizes in its scene alone.

What is sold in which size is common practice, no source.
"""

from __future__ import annotations

import math

import pytest

from pikepole_export.derive.buying.purchase import Purchase
from test_buy_list import shipped


def bought(item: str) -> Purchase:
    (one,) = (one for one in shipped("honey-house")[1].purchases if one.item == item)
    return one


def test_footings() -> None:
    """Two, 12 in across, 2 ft deep and 3 in over the ground, 10 % more concrete.

    pi / 4 x 2.25 ft x 2 = 3.534 ft3, and a tenth 3.888; a bag of 60 lb gives 0.45 ft3 (0.15 each
    20 lb): 8.64, 9 bags. A tube of 4 ft gives one of 2.25 ft: 2 tubes. A base to each post: 2.
    """
    assert bought("concrete mix, 60 lb bag").ordered == math.ceil(
        math.pi / 4 * 2.25 * 2 * 1.1 / 0.45
    )
    assert bought("form tube 12 in x 4 ft").ordered == 2
    assert bought("post base for 6x6").ordered == 2


def test_deck() -> None:
    """14 x 9 ft. Two rows of sheets 4 ft wide, 8 + 6 ft each, take four; a foot is left to cover.

    Strips of 8 and 6 ft and a foot wide come out of one more: 5 sheets, 160 ft2 for 126.
    """
    deck = bought("23/32 plywood")
    assert deck.ordered == 5
    assert deck.used == pytest.approx(126 / 32, rel=0.01)


def test_roof_panels() -> None:
    """14 ft, a bay of 8 ft and 1 ft past both ends are 24 ft: eight panels that cover 3 ft.

    9 ft and 1 ft past both walls, at 3:12: 11 x sqrt(1 + 1 / 16) = 11.34 ft, and 1-1/2 in past the
    drip edge and the fascia's thickness: 11-1/2 to 11-3/4 ft each.
    """
    (panel,) = (one for one in shipped("honey-house")[1].purchases if one.item == "roof panel")
    assert panel.ordered == 8
    assert 11.5 < panel.size_mm[0] / 304.8 < 11.75


def test_gravel() -> None:
    """Under the store 16 x 11 ft x 4 in are 58.7 ft3; under steps and ramp a few more.

    A fifth more is delivered than lies there, a tenth more is bought: 58.7 x 1.32 / 27 = 2.87 yd3;
    the beds of steps and ramp are less than a quarter of that: by the half yard, 3 to 4 yd3.
    """
    gravel = bought("gravel")
    assert gravel.quantity in (3.0, 3.5, 4.0)
    assert gravel.quantity >= 58.7 * 1.32 / 27


def test_skids_and_posts() -> None:
    """Three skids of 14 ft, as they come.

    Posts: the back one stands from 3 in over the ground to the beam, over 7 ft; the front one 9 ft
    deep at 3:12 stands 2 ft 3 in higher: two boards of 6x6, of 10 and 12 ft or less.
    """
    skids = bought("4x6")
    assert (skids.ordered, round(skids.size_mm[0] / 304.8)) == (3, 14)
    posts = [one for one in shipped("honey-house")[1].purchases if one.item == "6x6"]
    assert sum(one.ordered for one in posts) <= 2
    assert all(8 <= one.size_mm[0] / 304.8 <= 20 for one in posts)

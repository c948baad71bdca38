"""Spare boards: how many, of which length, and never fewer boards for them.

5 % and a stud at the least: common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

from fodder import read, refused
from pikepole_export.derive.buying.order import buy_list
from pikepole_export.derive.buying.purchase import Purchase, Supplier
from pikepole_export.derive.buying.spare import spare_findings, with_spare
from pikepole_model.units import FOOT_MM
from planned import built
from test_buy_list import one_each


def boards(
    count: int, feet: float, section: str = "2x4", *, used: float = 1.0, treated: bool = False
) -> Purchase:
    made_of = "southern pine, treated" if treated else "spruce-pine-fir"
    size_mm = (feet * FOOT_MM,)
    return Purchase(
        Supplier.LUMBER,
        section,
        made_of,
        "",
        size_mm,
        "piece",
        count,
        count * used,
        "cut as planned",
        {"pieces": count, "length": count * size_mm[0]},
        {1: 1.0},
        treated=treated,
    )


def spares(*purchases: Purchase, **spare: Any) -> list[int]:
    return [one.spare for one in with_spare(read(spare=spare), purchases)]


def test_five_percent_to_the_nearest_board_and_a_stud_at_the_least() -> None:
    assert spares(boards(30, 16)) == [2]  # 1.5
    assert spares(boards(9, 16)) == [1]  # 0.45, and the least
    assert spares(boards(9, 16, "2x8")) == [0]
    assert spares(boards(9, 16, treated=True)) == [0]  # treated boards are no studs
    assert spares(boards(10, 16, "2x8")) == [1]  # 0.5


def test_they_are_of_the_length_that_most_boards_have() -> None:
    # 60 boards: 3. Braces are counted, and get none while something else is there to get them.
    assert spares(boards(10, 8), boards(25, 16), boards(25, 12, used=0.0)) == [0, 3, 0]
    assert spares(boards(25, 12, used=0.0)) == [1]


def test_a_section_can_have_its_own() -> None:
    of = [{"section": "2x8", "boards": 3}, {"section": "2x4", "percent": 0}]
    assert spares(boards(9, 16, "2x8"), boards(30, 16), of=of) == [3, 0]


def test_what_is_spare_is_paid_for() -> None:
    (one,) = with_spare(read(), [boards(30, 16)])
    assert (one.ordered, one.used) == (32, 30)
    assert one.sold_by["pieces"] == pytest.approx(32)
    assert one.sold_by["length"] == pytest.approx(32 * 16 * FOOT_MM)
    assert one.how.endswith("2 spare")


def test_a_section_that_nothing_is_bought_of_is_told() -> None:
    scene = read(spare={"of": [{"section": "2x12", "boards": 1}]})
    (finding,) = spare_findings(scene, [boards(30, 16)])
    assert (finding.key, finding.text) == ("spare.of[1]", 'no board of "2x12" is bought')
    assert '"2x4"' in finding.mend


@pytest.mark.parametrize("name", ["plain", "honey-house", "garden-classroom"])
def test_spare_never_lowers_a_count(name: str) -> None:
    building = built(name)
    plans = one_each(building)
    counts: list[Counter[tuple[str, str]]] = []
    for percent in (0, 5, 50):
        spare = building.scene.spare.model_copy(update={"percent": percent, "studs": 0})
        scene = building.scene.model_copy(update={"spare": spare})
        buying = buy_list(replace(building, scene=scene), *plans)
        counts.append(Counter())
        for one in buying.purchases:
            counts[-1][one.item, one.made_of] += round(1000 * one.ordered)
    none, some, many = counts
    assert none.keys() == some.keys() == many.keys()
    assert all(none[key] <= some[key] <= many[key] for key in none)
    assert sum(many.values()) > sum(none.values())


@pytest.mark.parametrize(
    ("of", "key", "wrong"),
    [
        ([{"section": "2x8"}], "spare.of[1]", "does not say how many"),
        ([{"section": "2x8", "boards": 1, "percent": 1}], "spare.of[1]", "does not say how many"),
        (
            [{"section": "2x8", "boards": 1}, {"section": "2x8", "percent": 1}],
            "spare.of[2].section",
            "is there already, in spare.of[1]",
        ),
    ],
)
def test_what_cannot_be_meant_is_refused(of: list[dict[str, Any]], key: str, wrong: str) -> None:
    problem = refused(spare={"of": of})
    assert (problem.key, problem.wrong) == (key, wrong)
    assert problem.mend

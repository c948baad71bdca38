"""Stock at hand is used first and never makes a plan dearer; what is built leaves the lists.

Plans are worked by hand; that own stock costs nothing is the builder's own reckoning, no source.
"""

from __future__ import annotations

import dataclasses
import math
from collections import Counter
from collections.abc import Sequence
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from fodder import read, refused, table
from mended import follow, ways
from pikepole_export.derive.buying.order import BuyList, buy_list
from pikepole_export.derive.buying.prices import price_findings
from pikepole_export.derive.buying.purchase import Purchase, Supplier
from pikepole_export.derive.cutting.at_hand import filled
from pikepole_export.derive.cutting.cuts import SectionPlan, cut_plans
from pikepole_export.derive.cutting.lengths import CutPiece, Saw, StockLength
from pikepole_export.derive.cutting.sheets import StockPlan, sheet_plans
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.building.remaining import done_stages, remaining
from pikepole_model.checks.done import done_findings
from pikepole_model.errors import Finding
from pikepole_model.reading.file import check_scene
from pikepole_model.scene.buying import Price
from pikepole_model.units import FOOT_MM, INCH_MM

LENGTHS = [f"{feet} ft" for feet in (1, 3, 5, 8, 10, 12, 16)]
PRICES = [
    *({"item": name, "price": 0.5, "per": "ft"} for name in ("2x4", "2x6", "2x8")),
    *({"item": name, "price": 3.0, "per": "ft", "treated": True} for name in ("4x6", "2x6")),
    *({"item": name, "price": 20.0} for name in ("7/16 OSB", "23/32 treated plywood")),
    {"item": "16d common nail", "price": 9.0},
]


@cache
def store() -> Building:
    return build(read(price=PRICES))


def saying(**tables: Any) -> Building:
    """The store with more said of the yard."""
    scene = read(price=PRICES, **tables)
    return dataclasses.replace(store(), scene=scene)


@cache
def plain() -> tuple[tuple[SectionPlan, ...], tuple[StockPlan, ...], BuyList]:
    return planned(store())


def planned(
    building: Building,
) -> tuple[tuple[SectionPlan, ...], tuple[StockPlan, ...], BuyList]:
    boards, sheets = cut_plans(building), sheet_plans(building)
    return boards, sheets, buy_list(building, boards, sheets)


def own(buying: BuyList) -> dict[str, list[Purchase]]:
    found: dict[str, list[Purchase]] = {}
    for one in buying.purchases:
        if one.supplier is Supplier.OWN:
            found.setdefault(one.item, []).append(one)
    return found


def bought(buying: BuyList, item: str) -> float:
    return sum(one.quantity for one in buying.bought if one.item == item)


def assert_each_once(
    building: Building, boards: Sequence[SectionPlan], sheets: Sequence[StockPlan]
) -> None:
    """Every part that is left to be built is cut once; `buy_list` sees that it is bought once."""
    cut = [piece.name for plan in boards for board in plan.plan.boards for piece in board.pieces]
    cut += [one.piece.name for plan in sheets for s in plan.plan.sheets for one in s.placed]
    left = remaining(building)
    kinds = {part.kind for part in store().parts if part.name in cut_at_all()}
    assert Counter(cut) == Counter(part.name for part in left.parts if part.kind in kinds)


@cache
def cut_at_all() -> frozenset[str]:
    boards, sheets, _ = plain()
    names = [piece.name for plan in boards for board in plan.plan.boards for piece in board.pieces]
    names += [one.piece.name for plan in sheets for s in plan.plan.sheets for one in s.placed]
    return frozenset(names)


def assert_none_overfull(boards: Sequence[SectionPlan], saw_mm: float) -> None:
    for plan in boards:
        for board in plan.plan.boards:
            taken_mm = math.fsum(piece.length_mm for piece in board.pieces) + board.trim_mm
            taken_mm += saw_mm * (len(board.pieces) - 1)
            assert taken_mm <= board.stock.length_mm + 1e-3


boards_lying = st.lists(
    st.fixed_dictionaries(
        {
            "item": st.sampled_from(["2x4", "2x6", "2x8"]),
            "length": st.sampled_from(LENGTHS),
            "count": st.integers(1, 6),
        }
    ),
    max_size=3,
)
sheets_lying = st.lists(
    st.fixed_dictionaries(
        {
            "item": st.sampled_from(["7/16 OSB", "23/32 treated plywood"]),
            "width": st.sampled_from(["9 in", "2 ft", "4 ft"]),
            "length": st.sampled_from(["3 ft", "5 ft", "8 ft"]),
            "count": st.integers(1, 4),
        }
    ),
    max_size=2,
)


@draws(4)
@given(boards_lying, sheets_lying, st.integers(0, 14))
def test_stock_at_hand_never_raises_the_cost(
    some: list[dict[str, Any]], more: list[dict[str, Any]], until: int
) -> None:
    done: dict[str, Any] = {"done": {"up_to": str(until)}} if until else {}
    without = planned(saying(**done))[2] if until else plain()[2]
    building = saying(have=[*some, *more], **done)
    boards, sheets, buying = planned(building)
    assert (buying.total or 0.0) <= (without.total or 0.0) + 0.005
    assert_each_once(building, boards, sheets)
    assert_none_overfull(boards, building.scene.cutting.kerf)
    for plan in (*boards, *sheets):
        counted = Counter(stock.name for stock, n in plan.at_hand for _ in range(n))
        lying = Counter[str]()
        for one in building.scene.have:
            lying[one.item] += round(one.count)
        name = plan.section.name if isinstance(plan, SectionPlan) else plan.stock.name
        assert sum(counted.values()) <= lying[name]


@draws(2)
@given(st.integers(1, 14), st.integers(1, 14))
def test_what_is_done_never_adds(fewer: int, more: int) -> None:
    fewer, more = sorted((fewer, more))
    totals: list[float] = []
    for until in (fewer, more):
        building = saying(done={"up_to": str(until)})
        boards, sheets, buying = planned(building)
        assert_each_once(building, boards, sheets)
        assert not any(set(one.stages) & set(range(1, until + 1)) for one in buying.purchases)
        assert next(stage.number for stage in buying.stages) == until + 1
        totals.append(buying.total or 0.0)
    whole = plain()[2].total
    assert whole is not None
    assert whole + 0.005 >= totals[0] >= totals[1] - 0.005


def test_boards_at_hand_are_filled_stage_after_stage_the_shortest_first() -> None:
    """Of 4, 6 and 12 ft: 50 in for stage 1 does not go into 4 ft, 46 in for stage 2 does.

    70 in for stage 2 do not go into 6 ft any more, of which 50 are cut off. 1/2 in off both ends.
    """
    lying = [StockLength(f"{ft} ft", ft * FOOT_MM, 0.0, is_own=True) for ft in (4, 6, 12)]
    pieces = [
        CutPiece("sill", 50 * INCH_MM, 1),
        CutPiece("block", 46 * INCH_MM, 2),
        CutPiece("plate", 70 * INCH_MM, 2),
        CutPiece("rafter", 150 * INCH_MM, 2),
    ]
    plan, left = filled(pieces, lying, Saw(3.175, 12.7, 12.7), mix=False)
    cut = {board.stock.name: [piece.name for piece in board.pieces] for board in plan.boards}
    assert cut == {"4 ft": ["block"], "6 ft": ["sill"], "12 ft": ["plate"]}
    assert [piece.name for piece in left] == ["rafter"]


def test_own_boards_and_sheets_take_the_place_of_what_is_bought() -> None:
    """Two of three skids, all sheets of the deck; the other skid is bought."""
    sheets = bought(plain()[2], "23/32 treated plywood")
    building = saying(
        have=[
            {"item": "4x6", "length": "12 ft", "count": 2, "treated": True},
            {"item": "23/32 treated plywood", "count": 40},
        ]
    )
    boards, plans, buying = planned(building)
    assert bought(plain()[2], "4x6") == 3
    assert bought(buying, "4x6") == 1
    assert [row.quantity for row in own(buying)["4x6"]] == [2]
    assert bought(buying, "23/32 treated plywood") == 0
    assert [row.quantity for row in own(buying)["23/32 treated plywood"]] == [sheets]
    (skids,) = (plan for plan in boards if plan.section.name == "4x6")
    assert skids.plan.cost == pytest.approx(12 * 3.0)
    (deck,) = (plan for plan in plans if plan.stock.name == "23/32 treated plywood")
    assert (deck.plan.cost, deck.bought) == (0, 0)
    assert buying.findings == ()


def test_what_goes_by_its_name_is_taken_off() -> None:
    """One box of nails less, of those that are not coated; nothing of it has a price."""
    before, nail = plain()[2], "16d common nail"
    (bright,) = (one for one in before.bought if (one.item, one.made_of) == (nail, "bright"))
    buying = planned(saying(have=[{"item": nail}]))[2]
    (row,) = own(buying)[nail]
    assert (row.made_of, row.quantity, row.total) == ("bright", 1, None)
    assert bought(buying, nail) == bought(before, nail) - 1
    left = [one for one in buying.bought if (one.item, one.made_of) == (nail, "bright")]
    assert sum(one.quantity for one in left) == bright.quantity - 1
    assert buying.unpriced <= before.unpriced
    assert buying.total == pytest.approx((before.total or 0.0) - 9.0)


HAVE: dict[str, tuple[dict[str, Any], str, str]] = {
    "no length": ({"item": "2x4"}, "have[1].length", "is missing, of a board"),
    "too long": ({"item": "2x4", "length": "40 ft"}, "have[1].length", "is longer than any 2x4"),
    "board with a width": (
        {"item": "2x4", "length": "8 ft", "width": "2 ft"},
        "have[1].width",
        "goes with a sheet, and 2x4 is a section of lumber",
    ),
    "half a board": (
        {"item": "2x4", "length": "8 ft", "count": 2.5},
        "have[1].count",
        "is no whole number",
    ),
    "too wide": (
        {"item": "7/16 OSB", "width": "5 ft"},
        "have[1].width",
        "is more than a 7/16 OSB has; its length is the way its grain runs",
    ),
    "treated sheet": (
        {"item": "7/16 OSB", "treated": True},
        "have[1].treated",
        'goes with a board, and "7/16 OSB" is none',
    ),
    "nail with a length": (
        {"item": "16d common nail", "length": "3 in"},
        "have[1].length",
        'goes with a board or a sheet, and "16d common nail" is neither',
    ),
}


@pytest.mark.parametrize("name", HAVE)
def test_sizes_that_there_are_none_of_are_refused_with_a_mend(name: str) -> None:
    one, key, wrong = HAVE[name]
    problem = refused(have=[one])
    assert (problem.key, problem.wrong) == (key, wrong)
    scene = table(have=[one])
    for place, value in ways(problem.mend, problem.key):
        assert not check_scene(follow(scene, place, value))[1]


def test_a_stage_of_another_name_is_refused_with_the_nearest() -> None:
    problem = refused(done={"up_to": "Rafter"})
    assert (problem.key, problem.wrong) == ("done.up_to", "the work has no such stage")
    assert '"Rafters"' in problem.mend


def found(building: Building) -> list[Finding]:
    return [*price_findings(building), *done_findings(building)]


def test_stock_that_nothing_is_cut_from_is_told() -> None:
    building = saying(have=[{"item": "2x12", "length": "8 ft"}, {"item": "4x6", "length": "2 ft"}])
    buying = planned(building)[2]
    unknown, treated = (str(one) for one in buying.findings)
    assert unknown.startswith('have[1]: the building takes nothing called "2x12"; the nearest')
    assert treated == 'have[2]: nothing is cut from "4x6" of this size; leave it out'
    assert [one.key for one in found(building)] == ["have[1]"]


def test_a_stage_done_before_what_it_goes_on_is_told_and_mended() -> None:
    (one,) = found(saying(done={"up_to": "Floor deck", "stages": ["Rafters"]}))
    assert one.key == "done.stages"
    assert one.text.startswith('"Rafters" is done before what it goes on, "')
    names = [name for name in one.mend.split('"')[1::2] if name != "Rafters"]
    assert names
    again = found(saying(done={"up_to": "Floor deck", "stages": [*names, "Rafters"]}))
    # What these go on is told then, until nothing hangs in the air.
    while again:
        names += [n for one in again for n in one.mend.split('"')[1::2] if n not in names]
        assert len(names) < 20
        again = found(saying(done={"up_to": "Floor deck", "stages": [*names, "Rafters"]}))


def test_a_stage_by_its_number_or_a_stage_with_nothing_to_put_up() -> None:
    deck = next(one.number for one in store().stages if one.name == "Floor deck")
    assert done_stages(saying(done={"up_to": deck})) == frozenset(range(1, deck + 1))
    # Without wrap nothing is put up in "House wrap": what comes before it is done.
    last = max(one.number for one in store().stages if one.name != "Steps and ramps")
    assert max(done_stages(saying(done={"up_to": "House wrap"}))) <= last
    (one,) = found(saying(done={"stages": [99]}))
    assert (one.key, one.text) == ("done.stages[1]", "there is no stage 99")


def test_a_price_of_what_is_built_is_no_finding() -> None:
    assert Price.model_validate(PRICES[3]) in store().scene.price
    buying = planned(saying(done={"up_to": "Floor deck"}))[2]
    assert buying.findings == ()

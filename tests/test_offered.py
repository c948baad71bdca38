"""Which stock lengths are bought: what yards stock, pre-cut studs for studs, and few of them.

Lengths, trims and what is worth a length are common practice, no source; plans are worked by hand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import pytest

from fodder import read
from pikepole_export.derive.cutting.cuts import SectionPlan, cut_plans
from pikepole_export.derive.cutting.few_lengths import few_lengths
from pikepole_export.derive.cutting.lengths import CutPiece, Saw, StockLength, least_spent
from pikepole_export.derive.cutting.offered import Offer, plan_boards
from pikepole_export.derive.cutting.rests import rests_filled
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.units import FOOT_MM, INCH_MM
from planned import built

STUD_MM = 92.625 * INCH_MM
SAW = Saw(INCH_MM / 8, INCH_MM / 2, INCH_MM / 2, INCH_MM / 16)


def even(*feet: int, price_ft: float | None = None) -> list[Offer]:
    return [
        Offer(StockLength(f"{ft} ft", ft * FOOT_MM, None if price_ft is None else price_ft * ft))
        for ft in feet
    ]


def pieces(*lengths_mm: float) -> list[CutPiece]:
    return [CutPiece(f"piece {n}", length) for n, length in enumerate(lengths_mm, start=1)]


def kept(lengths_mm: Sequence[float], offers: Sequence[Offer], worth: float) -> list[float]:
    chosen = few_lengths([(pieces(*lengths_mm), offers)], SAW, worth)
    return sorted(round(stock.length_mm / FOOT_MM, 3) for stock in chosen)


def test_lengths_that_come_to_the_same_are_one_length() -> None:
    # Of 7 ft 8 in two come out of 16 ft, 15' 11" and a cut; one out of 8 ft: 8 ft each either way.
    # Fewer boards are handled, and the longest is left.
    assert kept([92 * INCH_MM] * 10, even(8, 10, 12, 14, 16), 0.01) == [16.0]


@pytest.mark.parametrize(("worth", "lengths"), [(0.02, [8.0, 12.0]), (0.15, [12.0])])
def test_a_length_is_ordered_where_it_saves_more_than_it_is_worth(
    worth: float, lengths: list[float]
) -> None:
    # Eight of 11 ft take 12 ft each, four of 7 ft 8 ft each: 128 ft. All of 12 ft would be 144 ft,
    # an eighth more.
    sizes = [11 * FOOT_MM] * 8 + [7 * FOOT_MM] * 4
    assert kept(sizes, even(8, 12), worth) == lengths


def test_a_stud_as_long_as_a_pre_cut_one_is_not_cut() -> None:
    stud = Offer(StockLength("stud", STUD_MM, 3.65), is_square=True)
    plan = plan_boards(pieces(*[STUD_MM] * 3), [stud, *even(8, price_ft=0.5)], SAW)
    assert [board.stock.name for board in plan.boards] == ["stud"] * 3
    assert all(board.cuts == 0 and board.trim_mm == 0 for board in plan.boards)
    assert plan.cost == pytest.approx(3 * 3.65)
    assert plan.gap == 0


@pytest.mark.parametrize(("over", "boards"), [(1 / 16, 1), (1 / 32, 2)])
def test_a_board_that_is_not_trimmed_keeps_a_sixteenth(over: float, boards: int) -> None:
    # Two pieces and a cut of 1/8 in leave so much of a pre-cut stud.
    half = (STUD_MM - INCH_MM / 8 - over * INCH_MM) / 2
    stud = Offer(StockLength("stud", STUD_MM), is_square=True)
    saw = Saw(SAW.kerf_mm, SAW.first_trim_mm, SAW.last_trim_mm)
    assert len(plan_boards(pieces(half, half), [stud], saw).boards) == boards


def of(building: Building, section: str) -> list[SectionPlan]:
    return [plan for plan in cut_plans(building) if plan.section.name == section]


def test_what_studs_leave_is_cut_up_before_a_board_is_opened() -> None:
    # Two of 83-1/2 in, a cut and both trims leave 23-7/8 in of 16 ft, 23-3/4 behind another cut.
    studs = [CutPiece(f"stud {n}", 83.5 * INCH_MM, stage=2) for n in (1, 2)]
    plan = plan_boards(studs, even(16), SAW)

    def filled(inches: float, stage: int) -> tuple[list[int], int]:
        block = CutPiece("block", inches * INCH_MM, stage)
        done, left = rests_filled(plan, [block], SAW, but=())
        (board,) = done.boards
        return [len(use) for use in board.uses], len(left)

    # At one time with the studs; later, as what is left is a foot or more; not before them.
    assert filled(14.5, 2) == ([3], 0)
    assert filled(14.5, 3) == ([2, 1], 0)
    assert filled(14.5, 1) == ([2], 1)
    assert filled(23.75, 2) == ([3], 0)
    assert filled(23.8125, 2) == ([2], 1)
    # Nothing comes out of a pre-cut stud.
    _, left = rests_filled(plan, [CutPiece("block", 254.0, 2)], SAW, but={plan.boards[0].stock})
    assert len(left) == 1


def test_a_rest_under_a_foot_is_gone_at_the_next_stage() -> None:
    # 8 ft less both trims, 84 in and a cut: 10-7/8 in, less a cut 10-3/4.
    plan = plan_boards([CutPiece("stud", 84 * INCH_MM, stage=2)], even(8), SAW)
    for stage, left in ((2, 0), (3, 1)):
        block = CutPiece("block", 8 * INCH_MM, stage)
        assert len(rests_filled(plan, [block], SAW, but=())[1]) == left


def test_no_plan_of_studs_and_all_else_together_is_below_the_bound() -> None:
    # A board of 16 ft for 8.00 gives one piece of 96 in and, after a cut, 95-7/8 in for a stud of
    # 92-5/8. Two boards and a pre-cut stud are all there is to two pieces and three studs: 19.00.
    # By themselves the pieces take 16.00 and the studs 9.00.
    saw = Saw(INCH_MM / 8)
    board = StockLength("16 ft", 16 * FOOT_MM, 8.0)
    stud = StockLength("stud", STUD_MM, 3.0)
    studs = [CutPiece(f"stud {n}", STUD_MM) for n in range(3)]
    others = pieces(96 * INCH_MM, 96 * INCH_MM)
    assert least_spent(studs, others, [board], [stud], saw) == pytest.approx(19.0)
    # What is no stud comes out of no pre-cut one.
    (block,) = pieces(90 * INCH_MM)
    assert least_spent(studs, [block], [board], [stud], saw) == pytest.approx(8 + 2 * 3)
    assert least_spent([block, *studs], [], [board], [stud], saw) == pytest.approx(4 * 3)


def test_the_bound_of_a_section_is_one_for_other_ways_to_plan_it() -> None:
    building = built("kindling-store")
    (plan,) = (one for one in of(building, "2x4") if not one.treated)
    every = [piece for board in plan.plan.boards for piece in board.pieces]
    together = plan_boards(every, even(8, 10, 12, 14, 16), Saw(building.scene.cutting.kerf))
    assert plan.plan.bound <= together.bought_mm


def test_longer_boards_are_bought_for_what_needs_them_alone() -> None:
    """Plates of 19 ft are of two lengths, of boards up to 16 ft; rafters of 17 ft are of 18 ft.

    With slope 4:12, 13 ft deep and 1 ft past it on both sides: 15 ft x sqrt(1 + 1/9) = 15.81 ft and
    a tail's depth more; 14 ft deep, 16.87 ft.
    """
    scene = read(
        building={"length": "19 ft", "depth": "14 ft"},
        roof={"slope": "4:12", "rafter": "2x8", "eave_overhang": "12 in", "high_overhang": "12 in"},
    )
    building = build(scene)
    (studs,) = of(building, "2x4")
    assert max(board.stock.length_mm for board in studs.plan.boards) <= 16 * FOOT_MM
    (rafters,) = of(building, "2x8")
    longest = {round(board.stock.length_mm / FOOT_MM) for board in rafters.plan.boards}
    assert max(longest) == 18


def test_pre_cut_studs_are_untreated_studs_alone() -> None:
    building = built("honey-house")
    parts = {part.name: part for part in building.parts}
    found = Counter[str]()
    for plan in cut_plans(building):
        for board in plan.plan.boards:
            if board.stock.length_mm in plan.section.studs_mm:
                assert not plan.treated
                found += Counter(parts[piece.name].kind.value for piece in board.pieces)
    assert found
    assert all(kind.endswith("stud") for kind in found)


def test_what_is_as_long_as_a_board_is_put_in_as_it_comes() -> None:
    """Three skids of 12 ft are three boards; a rim of 12 ft needs 14: both its ends are trimmed.

    A skid 1 in shorter takes the same board, cut.
    """
    building = build(read())
    (skids,) = of(building, "4x6")
    assert len(skids.plan.boards) == 3
    for board in skids.plan.boards:
        assert board.stock.length_mm == pytest.approx(12 * FOOT_MM)
        assert (board.cuts, board.trim_mm, len(board.pieces)) == (0, 0.0, 1)
    (floor,) = (plan for plan in of(building, "2x6") if plan.treated)
    rims = [b for b in floor.plan.boards if any(p.name.startswith("rim") for p in b.pieces)]
    assert all(board.stock.length_mm > 12 * FOOT_MM for board in rims)
    (shorter,) = of(build(read(building={"length": "11 ft 11 in", "depth": "8 ft"})), "4x6")
    assert {round(b.stock.length_mm / FOOT_MM) for b in shorter.plan.boards} == {12}
    assert all(board.cuts == 2 for board in shorter.plan.boards)


def test_a_skid_as_long_as_the_longest_board_is_not_parted() -> None:
    scene = read(building={"length": "20 ft", "depth": "8 ft"}, cutting={"longest": "20 ft"})
    building = build(scene)
    skids = [part for part in building.parts if part.name.startswith("skid")]
    assert [part.length_mm for part in skids] == [pytest.approx(20 * FOOT_MM)] * 3
    (plan,) = of(building, "4x6")
    assert len(plan.plan.boards) == len(skids)

"""How far out hands are, and where feet stand, by rules that stand in this file.

NIOSH 94-110, Applications Manual for the Revised NIOSH Lifting Equation, p. 8: where H is not
measured, H = 20 + W/2 cm with the hands at 25 cm or higher, and 25 + W/2 with the hands below that;
W is the width of the load in front of the body.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from lifted import block, item_of
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.methods import Method, methods
from pikepole_export.derive.lifting.rests import HandSetup
from pikepole_export.derive.lifting.work_surface import WorkSurface
from pikepole_model.building.kinds import Kind

KNUCKLES = HandSetup((750.0,), (), Lifter.MAN)


def carried(item: Item, lies_mm: float = 750.0) -> Method:
    setup = HandSetup((lies_mm,), (), Lifter.MAN)
    return next(one for one in methods(item, setup) if one.name == "carried")


@pytest.mark.parametrize(
    ("thick_mm", "reach_mm", "one_kg"),
    [
        # W 10 cm: H = 25 cm, HM 1; W 20: H = 30, HM 25/30; W 40: H = 40, HM 25/40. With V 75 cm,
        # VM 1, D to 100 cm, 25 cm: DM 1; once in five minutes: FM 1; fair from 75 cm on: CM 1. At
        # the destination VM is 1 - 0.003 x 25 = 0.925. RWL = 23 kg x HM x 0.925.
        (100, 250, 23 * 1.0 * 0.925),
        (200, 300, 23 * 25 / 30 * 0.925),
        (400, 400, 23 * 25 / 40 * 0.925),
    ],
)
def test_half_of_what_is_held_is_between_its_holder_and_its_middle(
    thick_mm: float, reach_mm: float, one_kg: float
) -> None:
    stick = item_of(block("stick", (1200, 400, thick_mm), 5, at_mm=(0, 0, 1000)))
    (hold,) = carried(stick).assessments
    assert (hold.task.from_mm, hold.task.to_mm) == pytest.approx((750, 1000))
    assert hold.task.reach_mm == pytest.approx(reach_mm)
    assert hold.hand
    assert hold.hand.niosh.rwl == pytest.approx(one_kg)


@pytest.mark.parametrize(
    ("lies_mm", "reach_mm", "hm"), [(240, 350, 25 / 35), (250, 300, 25 / 30), (260, 300, 25 / 30)]
)
def test_hands_near_the_floor_are_further_out(lies_mm: float, reach_mm: float, hm: float) -> None:
    # W 20 cm. Below 25 cm the load has to pass the knees.
    stick = item_of(block("stick", (1200, 400, 200), 5, at_mm=(0, 0, 1000)))
    first = carried(stick, lies_mm).assessments[0]
    assert first.task.from_mm == lies_mm
    assert first.task.reach_mm == pytest.approx(reach_mm)
    assert first.hand
    assert first.hand.niosh.origin.horizontal == pytest.approx(hm)


def test_what_is_thick_is_at_arm_s_length() -> None:
    # HSE L23 and INDG143, men, from mid lower leg to knuckle (from memory): 20 kg close, 10 at
    # arm's length. With the upper arms hanging an adult reaches about 35 cm: common practice, no
    # source. A load 40 cm thick is held 40 cm out, H = 20 + 40/2, one of 20 cm 30 cm out: 5 cm on
    # either side of that, where no figure in between is taken any more.
    figures: list[float] = []
    for thick_mm in (199.0, 401.0):
        stick = item_of(block("stick", (1200, 400, thick_mm), 5, at_mm=(0, 0, 800)))
        (hold,) = carried(stick, 600.0).assessments[:1]
        assert hold.hand
        figures.append(hold.hand.hse_one_kg)
    assert figures == [20, 10]


@pytest.mark.parametrize(("inside_mm", "floor_mm"), [(190.0, 0.0), (210.0, 300.0)])
def test_nobody_stands_on_the_last_200_mm_of_a_deck(inside_mm: float, floor_mm: float) -> None:
    # The wall is there: 5-1/2 in of a 2x6 (PS 20), its sheet, and room for a foot, 200 mm in all;
    # common practice, no source. Hands hold 15 % of a beam's 6 m in from its ends, 900 mm.
    beam = block("ply", (6000, 184, 38), 20, kind=Kind.BEAM, at_mm=(0, 0, 1500))
    for low_y, high_y, at_y in ((900 - inside_mm, 9000, 900), (-9000, 5100 + inside_mm, 5100)):
        deck = WorkSurface((-3000.0, low_y), (3000.0, high_y), 300.0)
        item = replace(item_of(beam, floor_mm=300.0, handling=Handling.BEAM), work_surface=deck)
        method = next(one for one in methods(item, KNUCKLES) if one.name == "one end at a time")
        (floor,) = {
            one.task.floor_mm
            for one in method.assessments
            for _, y, _ in one.task.at_mm
            if abs(y - at_y) < 1000
        }
        assert floor == floor_mm

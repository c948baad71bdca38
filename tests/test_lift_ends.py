"""Beams raised by their ends: ledge by ledge, rocked on two cribs, pressed up by a lever post.

Forces are moments and equilibrium written out; distances of ledges are those of ledge posts, 2 ft
apart (Fine Homebuilding 29, 1985).
"""

from __future__ import annotations

from math import acos, asin, cos, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lifted import GRAVITY, block, item_of
from pikepole_export.derive.lifting.hand_tasks import Rest
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.ledges import ledge_heights_mm
from pikepole_export.derive.lifting.methods import Method, methods
from pikepole_export.derive.lifting.rests import HandSetup
from pikepole_export.derive.lifting.rocking import rocking, rocking_of
from pikepole_export.derive.lifting.statics import lever_post_n
from pikepole_model.building.kinds import Kind

FOOT_MM, INCH_MM, POUND_N = 304.8, 25.4, 4.4482216152605
TRESTLES_MM, PLATFORM_MM = 750.0, 900.0
SETUP = HandSetup((TRESTLES_MM,), (PLATFORM_MM,), Lifter.MAN)


def beam(mass_kg: float, seat_mm: float, length_mm: float = 4000.0) -> Item:
    part = block("beam", (length_mm, 200, 38), mass_kg, kind=Kind.BEAM, at_mm=(0, 0, seat_mm))
    return item_of(part, handling=Handling.BEAM)


def by(name: str, item: Item, setup: HandSetup = SETUP) -> Method:
    return next(one for one in methods(item, setup) if one.name == name)


def test_ledges_are_two_feet_apart() -> None:
    # Ledges at 2, 4 and 6 ft over the trestles; the seat 6 ft 8 in over them.
    seat_mm = TRESTLES_MM + 80 * INCH_MM
    heights = ledge_heights_mm(TRESTLES_MM, seat_mm)
    expected = [TRESTLES_MM + feet * FOOT_MM for feet in (0, 2, 4, 6)]
    assert heights == pytest.approx((*expected, seat_mm))
    # No ledge a finger's breadth under the seat.
    assert len(ledge_heights_mm(0.0, 4 * FOOT_MM + 20)) == 3


def test_an_end_is_lifted_by_a_ledge_while_the_other_turns_on_its_own() -> None:
    # L 4 m, 200 mm deep, hands 0.15 L in from the end: an arm of 3.4 m. Level, W x 2 / 3.4; the
    # second end hangs a ledge lower at first, its middle then 2000 cos a + 100 sin a from the
    # other one.
    weight, arm = 40 * GRAVITY, 3400
    method = by("a ledge at a time", beam(40, 2500))
    a = asin(2 * FOOT_MM / arm)
    second_n = weight * (2000 * cos(a) + 100 * sin(a)) / (arm * cos(a))
    forces = [one.task.force_n for one in method.assessments]
    assert forces[0::2] == pytest.approx([weight * 2000 / arm] * 3)
    assert forces[1::2] == pytest.approx([second_n] * 3)
    tops = [one.task.floor_mm + one.task.to_mm for one in method.assessments]
    assert tops[0::2] == tops[1::2] == pytest.approx([1359.6, 1969.2, 2500])
    assert [one.task.onto for one in method.assessments] == [Rest.LEDGE] * 4 + [Rest.SEAT] * 2


def test_each_ledge_is_served_from_where_it_is_within() -> None:
    # The hands end 1.97 m up, past the 175 cm of NIOSH 94-110, Table 2, from the ground.
    method = by("a ledge at a time", beam(20, 2300))
    assert method.people is not None
    for one in method.assessments:
        assert one.task.floor_mm in (0.0, PLATFORM_MM)
        assert one.task.from_mm >= 0
        assert max(one.task.from_mm, one.task.to_mm) <= 1750


@pytest.mark.parametrize(("seat_mm", "slope_deg"), [(1200.0, 0.0), (2500.0, 10.0)])
def test_what_rises_less_than_a_ledge_or_slopes_needs_no_posts(
    seat_mm: float, slope_deg: float
) -> None:
    part = block("beam", (4000, 200, 38), 20, slope_deg=slope_deg, at_mm=(0, 0, seat_mm))
    names = {one.name for one in methods(item_of(part), SETUP)}
    assert names.isdisjoint({"a ledge at a time", "rocked up on two cribs"})


def test_six_metres_on_cribs_a_fifth_of_its_length_apart() -> None:
    # 200 kg, cribs 0.6 m either side of the middle. Lifted at an end, moments about the far crib:
    # W x 0.6 / 3.6, a sixth; pressed down at the other end: W x 0.6 / 2.4, all of which and W is on
    # one crib then. A block of 38.1 mm (PS 20): slope 38.1 / 1200, the end rises 3.6 m of it.
    weight = 200 * GRAVITY
    found = rocking_of(beam(200, 1800, 6000).whole, 1050)
    assert found
    assert found.apart_mm == pytest.approx(1200)
    assert found.lifted_n == pytest.approx(weight / 6)
    assert found.pressed_n == pytest.approx(weight / 4)
    assert found.crib_n == pytest.approx(weight * 1.25)
    assert found.thrust_n == pytest.approx(weight * 1.25 * 38.1 / 1200)
    assert found.end_rises_mm == pytest.approx(38.1 * 3.0)
    assert found.end_sinks_mm == pytest.approx(38.1 * 2.0)
    # 1050 / 38.1 is 27.6: 28 blocks on either crib.
    assert found.rocks == 56


def test_a_builder_s_see_saw_by_its_numbers() -> None:
    # A beam of 432 lb and 32 ft (a builder's account, 2007) on cribs 1 ft either side of its
    # middle: pressed at an end with 432 / 15 = 28.8 lb; a block of 1-1/2 in lets the other end down
    # by 15 ft x 1.5 in / 2 ft = 11.25 in.
    found = rocking(
        432 * POUND_N,
        ends_mm=(16 * FOOT_MM, 16 * FOOT_MM),
        apart_mm=2 * FOOT_MM,
        base_mm=FOOT_MM,
        rise_mm=3 * FOOT_MM,
    )
    assert found.pressed_n == pytest.approx(28.8 * POUND_N)
    assert found.end_sinks_mm == pytest.approx(11.25 * INCH_MM)


def test_cribs_are_a_third_as_wide_as_high_and_clear_of_each_other() -> None:
    # FEMA, US&R Structure Specialist field guide: a box crib stands up to 3 to 1.
    for rise_mm, base_mm in ((900.0, 400.0), (1500.0, 500.0), (1800.0, 600.0)):
        found = rocking_of(beam(200, rise_mm, 6000).whole, rise_mm)
        assert found
        assert found.base_mm == pytest.approx(base_mm)
        assert found.apart_mm >= found.least_apart_mm > found.base_mm
    # 1.5 m between ends leaves no room for cribs that high; and none is higher than 6 ft, of 6x6.
    assert rocking_of(beam(20, 1800, 1500).whole, 1800) is None
    assert rocking_of(beam(200, 1900, 6000).whole, 1900) is None


@given(st.floats(10, 500), st.floats(2500, 9000), st.floats(620, 1800))
def test_a_beam_is_never_lifted_whole(mass_kg: float, length_mm: float, rise_mm: float) -> None:
    found = rocking_of(beam(mass_kg, rise_mm, length_mm).whole, rise_mm)
    weight = mass_kg * GRAVITY
    if found is not None:
        assert found.lifted_n <= weight / 3 * (1 + 1e-9)
        assert found.lifted_n < found.pressed_n
        assert found.crib_n > weight
        # Wood on wood is 0.5 (handbooks, dry, static): it does not slide.
        assert found.thrust_n <= 0.5 * found.crib_n


def test_what_hands_do_while_a_beam_is_rocked() -> None:
    # 9 kg at an end; over the shoulders HSE gives a man 10 (INDG143, Figure 1).
    method = by("rocked up on two cribs", beam(54, 1800, 6000))
    assert method.rocking
    assert method.people == 1
    for one in method.assessments:
        assert one.task.force_n == pytest.approx(54 * GRAVITY / 6)
        assert one.task.onto is Rest.CRIBS
        assert max(one.task.from_mm, one.task.to_mm) <= 1750
    start = method.assessments[0].task
    assert start.floor_mm + start.from_mm == pytest.approx(TRESTLES_MM)


def test_a_lever_post_by_its_lean() -> None:
    # Studs of 2025 mm together under 2000 mm: each leans by acos(2000 / 2025), 9.0 deg; under 1 kN
    # the joint is pushed with 2 x 1 kN x tan 9.0 deg = 317 N.
    assert lever_post_n(1000, height_mm=2000, lift_mm=25) == pytest.approx(
        2 * 1000 * tan(acos(2000 / 2025))
    )
    assert lever_post_n(1000, height_mm=2000, lift_mm=25) == pytest.approx(317, abs=1)


@given(st.floats(1, 5000), st.floats(500, 3000), st.floats(5, 100))
def test_a_lever_post_does_as_much_work_as_it_is_given(
    load_n: float, height_mm: float, lift_mm: float
) -> None:
    # Virtual work: the joint goes by dx as the load rises by dy, push x dx = load x dy.
    half, small = (height_mm + lift_mm) / 2, 1e-6
    lean = acos(height_mm / (2 * half))
    dx = half * (sin(lean) - sin(lean - small))
    dy = 2 * half * (cos(lean - small) - cos(lean))
    push_n = lever_post_n(load_n, height_mm=height_mm, lift_mm=lift_mm)
    assert push_n * dx == pytest.approx(load_n * dy, rel=1e-3)


def test_the_last_of_the_way_is_pressed_up_where_hands_would_be_too_high() -> None:
    # A seat at 1790 mm with nothing to stand on: NIOSH 94-110, Table 2, ends at 175 cm, and the
    # last ledge is 50 mm under the seat. The joint is at 895 mm, between knuckle and shoulder.
    bare = HandSetup((TRESTLES_MM,), (), Lifter.MAN)
    method = by("a ledge at a time", beam(15, 1790), bare)
    assert method.people == 1
    pushes = [one.task for one in method.assessments if one.task.pushed]
    assert len(pushes) == 2
    for push in pushes:
        assert "lever post" in push.action
        assert push.from_mm == pytest.approx(1790 / 2)
    lifts = [one.task for one in method.assessments if not one.task.pushed]
    assert max(task.to_mm for task in lifts) == pytest.approx(1740)
    # One end at a time, nobody may.
    assert by("one end at a time", beam(15, 1790), bare).people is None


def test_a_block_on_the_platform_saves_a_second_person() -> None:
    # A ply of 22 kg: W/2 and a little more at an end, 13 kg. From 10 cm over the
    # platform HSE gives a man 10 kg (INDG143, Figure 1), from 40 cm 20 kg.
    ply = beam(22, 2200)
    low = by("one end at a time", ply)
    high = by(
        "one end at a time", ply, HandSetup((TRESTLES_MM,), (PLATFORM_MM,), Lifter.MAN, (400,))
    )
    assert (low.people, high.people) == (2, 1)
    assert {one.task.onto for one in high.assessments} == {Rest.BLOCK, Rest.SEAT}


@given(st.floats(5, 60), st.floats(1500, 3200), st.floats(100, 1000))
def test_a_block_never_asks_for_more(mass_kg: float, seat_mm: float, block_mm: float) -> None:
    blocks = HandSetup((TRESTLES_MM,), (PLATFORM_MM,), Lifter.MAN, (block_mm,))
    for bare, more in zip(
        methods(beam(mass_kg, seat_mm), SETUP), methods(beam(mass_kg, seat_mm), blocks), strict=True
    ):
        assert (more.people or 4) <= (bare.people or 4)
        if bare.people is None and more.people is None:
            assert more.hardest.used <= bare.hardest.used + 1e-9


@given(st.floats(5, 60), st.floats(760, 1040), st.floats(0, 280))
def test_a_higher_rest_up_to_the_elbow_never_asks_for_more(
    mass_kg: float, rest_mm: float, more_mm: float
) -> None:
    # NIOSH 94-110: nearest to where it goes is the shortest way; its best height is 75 cm, HSE's
    # best zone (INDG143, Figure 1) is from there to the elbows, about 105 cm.
    low, high = (
        by("one end at a time", beam(mass_kg, 1340), HandSetup((mm,), (), Lifter.MAN))
        for mm in (rest_mm, min(rest_mm + more_mm, 1040))
    )
    assert (high.people or 4) <= (low.people or 4)

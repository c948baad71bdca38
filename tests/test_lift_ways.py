"""The ways of raising something, against moments and guideline figures worked by hand."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import asin, atan, cos, degrees, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lifted import GRAVITY, block, item_of
from pikepole_export.derive.lifting.hand_tasks import TaskAssessment, assess_task
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.items import Handling, Item, items
from pikepole_export.derive.lifting.methods import Method, methods
from pikepole_export.derive.lifting.rests import HandSetup
from pikepole_export.derive.lifting.sentences import step_text
from pikepole_export.derive.lifting.statics import raise_wall
from pikepole_export.derive.lifting.techniques import Technique, task_steps
from pikepole_export.derive.lifting.work_surface import WorkSurface
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building

# Trestles at knuckle height, where the NIOSH equation is at its best: 75 cm.
TRESTLES = HandSetup((750.0,), (), Lifter.MAN)

# How far in from its ends a long piece is held: common practice, no source.
GRIP = 0.15

# NIOSH 94-110, Table 2: no hands above 175 cm.
HIGHEST_MM = 1750.0

# HSE INDG143, guideline figure for men, close to the body: 20 kg from the middle of the lower leg
# to the knuckles and from the elbows to the shoulders, 25 kg between; above the shoulders 10 kg
# (Figure 1). At knuckle height, where two zones meet, a figure in between: the mean. HSE L23,
# paragraph 120: two people 2/3 of their sum, three 1/2.
KNUCKLE_KG = (20.0 + 25.0) / 2
TEAM_KG = {1: KNUCKLE_KG, 2: 2 / 3 * 2 * KNUCKLE_KG, 3: 1 / 2 * 3 * KNUCKLE_KG}


def method_of(item: Item, name: str, setup: HandSetup = TRESTLES) -> Method:
    return next(method for method in methods(item, setup) if method.name == name)


def task_of(method: Method, begins: str) -> TaskAssessment:
    """The last hold of a name: the one that ends in its place."""
    return [one for one in method.assessments if one.task.action.startswith(begins)][-1]


def joist(mass_kg: float) -> Item:
    return item_of(block("joist", (3000, 140, 38), mass_kg, at_mm=(0, 0, 400)))


@pytest.mark.parametrize(
    ("mass_kg", "people"), [(22.4, 1), (22.6, 2), (29.9, 2), (30.1, 3), (33.7, 3), (33.8, None)]
)
def test_a_joist_is_carried_by_the_fewest_whom_the_guideline_allows(
    mass_kg: float, people: int | None
) -> None:
    # The figures above; NIOSH allows 23 kg there to one, 2/3 x 46 and 1/2 x 69 to two and three,
    # and is not the smaller one. Setting it down at 40 cm, one end at a time, is half the weight.
    assert pytest.approx({1: 22.5, 2: 30, 3: 33.75}) == TEAM_KG
    assert method_of(joist(mass_kg), "carried").people == people


@pytest.mark.parametrize(("length_mm", "most"), [(300, 2), (500, 2), (520, 3), (3000, 3)])
def test_no_more_are_counted_on_than_find_room_round_a_piece(length_mm: float, most: int) -> None:
    # One at either end, and one beside it where it is as long as shoulders are broad: 20 in,
    # common practice, no source. Too heavy for anybody, so that it is held against the most.
    item = item_of(block("block", (length_mm, 140, 140), 200, at_mm=(0, 0, 400)))
    for method in methods(item, TRESTLES):
        assert method.people is None
        assert method.hands == most


def test_two_carry_half_each_and_three_a_third() -> None:
    for mass_kg, people in ((25, 2), (32, 3)):
        carried = task_of(method_of(joist(mass_kg), "carried"), "carry it")
        assert carried.task.force_n == pytest.approx(mass_kg * GRAVITY)
        assert carried.largest_share == pytest.approx(1 / people)
        assert carried.guideline_kg == pytest.approx(TEAM_KG[people])
        assert carried.hand
        assert carried.hand.share_kg == pytest.approx(mass_kg / people)


def test_one_end_of_a_joist_is_let_down_with_half_its_weight() -> None:
    # NIOSH 94-110 at the lower end: V 40 cm, D 35 cm, H 25 cm, fair coupling (p. 7):
    # 23 x 1 x (1 - 0.003 x 35) x (0.82 + 4.5 / 35) x 0.95.
    down = task_of(method_of(joist(20), "carried"), "let it down")
    assert down.task.force_n == pytest.approx(20 * GRAVITY / 2)
    assert (down.task.from_mm, down.task.to_mm) == pytest.approx((750, 400))
    assert down.hand
    rwl_kg = 23 * (1 - 0.003 * 35) * (0.82 + 4.5 / 35) * 0.95
    assert down.hand.niosh.destination.rwl == pytest.approx(rwl_kg)
    assert down.guideline_kg == pytest.approx(min(rwl_kg, 20))


def test_whoever_is_nearer_to_the_heavy_end_carries_more() -> None:
    # 2 m of 15 kg and 1 m of 15 kg end to end: the middle of it at (15 x 1 + 15 x 2.5) / 30 =
    # 1.75 m. Held 0.45 m in from either end of the 3 m, by moments: (1.75 - 0.45) / 2.1.
    near = block("pole", (2000, 90, 38), 15, at_mm=(0, 0, 400))
    far = block("pole 2", (1000, 90, 38), 15, at_mm=(0, 2000, 400))
    pole = item_of(near, far)
    carried = task_of(method_of(pole, "carried"), "carry it").task
    assert carried.shares[1] == pytest.approx(1.3 / 2.1)
    # Its heavy end alone, the other on the ground: 30 kg x 1.75 / 3.
    down = task_of(method_of(pole, "carried"), "let it down").task
    assert down.force_n == pytest.approx(30 * GRAVITY * 1.75 / 3)


@given(st.floats(5, 60), st.floats(1600, 6000), st.floats(60, 300))
def test_a_symmetric_level_piece_shares_equally(mass_kg: float, length: float, deep: float) -> None:
    item = item_of(block("beam", (length, deep, 38), mass_kg, at_mm=(0, 0, 300)))
    shares = task_of(method_of(item, "carried"), "carry it").task.shares
    assert shares == pytest.approx((1, 1 / 2, 1 / 3))


def test_the_lower_one_carries_more_of_a_steep_rafter() -> None:
    # Held at its underside, moments about the upper hands over level distances: the hands are
    # 0.7 L cos a apart, the middle of the rafter 0.35 L cos a + d/2 sin a from the upper ones.
    length, deep, a = 2000, 300, radians(40)
    item = item_of(
        block("rafter", (length, deep, 38), 12, at_mm=(0, 0, 500), slope_deg=degrees(a)),
    )
    share = (0.35 * length * cos(a) + deep / 2 * sin(a)) / (0.7 * length * cos(a))
    shares = task_of(method_of(item, "carried"), "carry it").task.shares
    assert share > 0.56
    assert shares == pytest.approx((1, share, share * 2 / 3))


def test_hands_under_a_rafter_by_plane_geometry() -> None:
    # The underside runs through (y, z) = (0, 1000) at the slope. Plumb below the point that is
    # 0.85 L up the middle line, it is at
    # y = 0.85 L cos a - d/2 sin a.
    length, deep, a = 3500, 184, atan(4 / 12)
    rafter = item_of(
        block("rafter", (length, deep, 38), 10, at_mm=(0, 0, 1000), slope_deg=degrees(a)),
        floor_mm=250,
    )
    method = method_of(rafter, "one end at a time")
    for begins, share in (("lift the back", 1 - GRIP), ("lift the front", GRIP)):
        y = share * length * cos(a) - deep / 2 * sin(a)
        hands_mm = 1000 + y * tan(a)
        assert task_of(method, begins).task.to_mm == pytest.approx(hands_mm - 250)
    carried = task_of(method_of(rafter, "carried"), "carry it").task
    assert carried.to_mm == pytest.approx(task_of(method, "lift the back").task.to_mm)


def test_a_beam_goes_up_one_end_at_a_time() -> None:
    # L = 4 m, 200 mm deep, 40 kg, bearers at 750, seat at 1650 mm. Held 0.6 m in: arm 3.4 m. At
    # the start, level, moments about the far end: W x 2 / 3.4. Rising by 0.9 m it has turned by
    # asin(0.9 / 3.4); the force falls on the way, since its middle is 100 mm above the underside.
    weight = 40 * GRAVITY
    method = method_of(
        item_of(block("beam", (4000, 200, 38), 40, at_mm=(0, 0, 1650))), "one end at a time"
    )
    first = task_of(method, "lift the back").task
    assert first.force_n == pytest.approx(weight * 2000 / 3400)
    assert (first.from_mm, first.to_mm) == pytest.approx((750, 1650))
    # The other end hangs lower at first: its middle is then 2000 cos a + 100 sin a from the seat,
    # the hands 3400 cos a.
    a = asin(900 / 3400)
    second = task_of(method, "lift the front").task
    assert second.force_n == pytest.approx(
        weight * (2000 * cos(a) + 100 * sin(a)) / (3400 * cos(a))
    )
    assert (second.from_mm, second.to_mm) == pytest.approx((750, 1650))


def test_the_far_end_of_an_uneven_beam() -> None:
    # 3 m of 30 kg and 1 m of 2 kg: its middle is (30 x 1.5 + 2 x 3.5) / 32 = 1.625 m from the end
    # that stays down, whichever end goes first one of the two lifts is the heavier.
    near = block("beam", (3000, 60, 38), 30, at_mm=(0, 0, 1000))
    far = block("beam 2", (1000, 60, 38), 2, at_mm=(0, 3000, 1000))
    method = method_of(item_of(near, far, handling=Handling.BEAM), "one end at a time")
    a = asin(250 / 3400)
    weight = 32 * GRAVITY
    at_start = {weight * x / 3400 for x in (1625, 2375)}
    forces = sorted(one.task.force_n for one in method.assessments)
    # What is turned while it hangs adds h tan a / g, h = 30 mm.
    for force, level in zip(forces, sorted(at_start), strict=True):
        assert level <= force * (1 + 1e-9)
        assert force <= (level + weight * 30 * tan(a) / 3400) * (1 + 1e-9)


@pytest.mark.parametrize("platforms", [(900.0,), (900.0, 1800.0), (600.0, 1200.0, 2400.0)])
def test_platforms_take_a_beam_up_step_by_step(platforms: tuple[float, ...]) -> None:
    seat_mm, floor_mm = 3000.0, 250.0
    beam = item_of(
        block("beam", (5000, 140, 38), 20, at_mm=(0, 0, seat_mm)),
        handling=Handling.BEAM,
        floor_mm=floor_mm,
    )
    method = method_of(beam, "one end at a time", HandSetup((750.0,), platforms, Lifter.MAN))
    if method.people is None:
        # From 900 it is 3000 - 250 - 900 = 1850, higher than hands hold anything.
        assert platforms == (900.0,)
    for begins in ("lift the back", "lift the front"):
        row = [one.task for one in method.assessments if one.task.action.startswith(begins)]
        assert row[0].from_mm == 750
        for now, then in pairwise(row):
            # Down on bearers of 100 on the next platform, and taken up there by who stands on it.
            platform = then.floor_mm - floor_mm
            assert platform in platforms
            assert now.floor_mm + now.to_mm == pytest.approx(then.floor_mm + 100)
            assert then.from_mm == 100
            assert now.to_mm <= HIGHEST_MM
        assert row[-1].floor_mm + row[-1].to_mm == pytest.approx(seat_mm)


def test_a_platform_above_a_floor_of_any_height() -> None:
    # (256.4 + 900) - 256.4 is a hair off 900: one platform is stepped on to once all the same.
    for tenths in range(2000, 3000, 7):
        post = block("plate", (1000, 140, 38), 5, at_mm=(0, 0, 2600))
        item = item_of(post, floor_mm=tenths / 10)
        method = method_of(item, "carried", HandSetup((750.0,), (900.0, 1800.0), Lifter.MAN))
        assert (
            len({one.task.floor_mm for one in method.assessments}) == len(method.assessments) <= 3
        )


def nobody_lifts_too_high(building: Building) -> None:
    setup = HandSetup((762.0,), (900.0, 1800.0, 2700.0), Lifter.MAN)
    for item in items(building):
        for method in methods(item, setup):
            for one in method.assessments:
                if method.people is not None and not one.task.pushed:
                    assert max(one.task.from_mm, one.task.to_mm) <= HIGHEST_MM, item.name


def test_nobody_lifts_above_the_highest_hands(honey_house: Building) -> None:
    nobody_lifts_too_high(honey_house)


def test_nobody_lifts_above_the_highest_hands_under_a_gable(drying_loft: Building) -> None:
    nobody_lifts_too_high(drying_loft)


def test_fewer_people_are_never_enough(honey_house: Building) -> None:
    setup = HandSetup((762.0,), (914.4, 1828.8), Lifter.WOMAN)
    seen = set[int | None]()
    for item in items(honey_house):
        for method in methods(item, setup):
            # What goes on for less than an hour, at one lift in five minutes.
            if method.loads * item.times > 12:
                continue
            seen.add(method.people)
            people = method.people or 4
            for one in method.assessments:
                again = assess_task(one.task, one.people, setup.lifter)
                assert again.within or method.people is None
            is_limp = method.load.size_mm[0] > 3000 and item.handling == Handling.ROOF_SHEET
            if people > (2 if is_limp else 1):
                fewer = [
                    assess_task(one.task, people - 1, setup.lifter) for one in method.assessments
                ]
                assert any(one.task.mass_kg > one.guideline_kg for one in fewer), item.name
    assert {1, 2, 3} <= seen


def test_many_lifts_take_longer_and_less_each() -> None:
    # NIOSH 94-110, Table 5, at 0.2 lifts a minute: 1.00 up to an hour, 0.95 up to two, 0.85 up to
    # eight; 12 lifts at one in five minutes are an hour.
    for times, share in ((12, 1.0), (13, 0.95), (24, 0.95), (25, 0.85)):
        names = tuple(f"joist {number}" for number in range(times))
        part = block("joist", (3000, 140, 38), 10, at_mm=(0, 0, 400))
        carried = task_of(method_of(item_of(part, same=names), "carried"), "carry it")
        assert carried.hand
        assert carried.hand.niosh_kg == pytest.approx(23 * share)


def test_plies_one_after_the_other_take_as_long_as_so_many_joists() -> None:
    # Thirteen plies: more than an hour at one in five minutes, whose multiplier is 0.95 (as above).
    plies = [
        block(f"beam ply {n}", (1400, 140, 38), 10, kind=Kind.BEAM, at_mm=(38.0 * n, 0, 750))
        for n in range(13)
    ]
    beam = item_of(*plies, handling=Handling.BEAM, pieces=True)
    method = method_of(beam, "ply by ply, carried")
    assert method.loads == 13
    placed = task_of(method, "carry it")
    assert placed.hand
    assert placed.hand.niosh_kg == pytest.approx(23 * 0.95)
    assert placed.task.force_n == pytest.approx(10 * GRAVITY)


def wall(height: float, mass_kg: float) -> Item:
    # A slab stands for the wall: its middle half-way up, 44.5 mm from its face.
    slab = block("wall", (height, 2000, 89), mass_kg, slope_deg=90)
    assert slab.vertices_mm[:, 2].max() == pytest.approx(height)
    return item_of(slab, handling=Handling.POST)


def square_n(high_mm: float, thick_mm: float, mass_kg: float, hands_mm: float) -> float:
    """What raises a slab by its top edge, its foot stopped, square to it: all that hands give.

    Moments about its foot: F h = W (h/2 cos a - t/2 sin a).
    """
    a = asin(hands_mm / high_mm)
    arm_mm = high_mm / 2 * cos(a) - thick_mm / 2 * sin(a)
    return mass_kg * GRAVITY * arm_mm / high_mm


def test_a_wall_is_lifted_at_its_top_edge_square_to_it() -> None:
    # Lying, half of it: W h/2 = F h. From trestles at 750 mm it has less, at the shoulders least.
    method = method_of(wall(2400, 60), "tilted up")
    assert method.tilt
    assert method.tilt.vertical_n == pytest.approx(60 * GRAVITY / 2)
    first = task_of(method, "lift its top").task
    assert first.force_n == pytest.approx(square_n(2400, 89, 60, 750))
    assert first.to_mm == 1300  # not above the shoulders
    assert first.force_n * first.left == pytest.approx(square_n(2400, 89, 60, 1300))


def test_two_walk_up_a_post_of_50_kg_off_a_trestle() -> None:
    # 110 lb, 2459 mm of 6x6. Off trestles at 750 mm to 1300 mm, 27 cm out (20 + 14/2): by NIOSH
    # 94-110 23 x 25/27 x (0.82 + 4.5/55) at the start, there x (1 - 0.003 x 55) too; by HSE 20 kg
    # (INDG143, Figure 1). Two lift 2/3 of their sum (L23, paragraph 120).
    stick = block("post", (2459, 140, 140), 50, kind=Kind.POST, slope_deg=90)
    post = item_of(stick, handling=Handling.POST)
    method = method_of(post, "tilted up")
    assert method.people == 2
    lifted = task_of(method, "lift its top")
    one_kg = 23 * 25 / 27 * (0.82 + 4.5 / 55)
    start_kg, end_kg = (square_n(2459, 140, 50, mm) / GRAVITY for mm in (750, 1300))
    at_start_kg = min(one_kg, one_kg * (1 - 0.003 * 55) * start_kg / end_kg)
    assert lifted.task.mass_kg == pytest.approx(start_kg)
    assert lifted.guideline_kg == pytest.approx(4 / 3 * min(20, at_start_kg))
    # Walked up with hands at 1300 mm: no way to go, which the equation takes as 25 cm.
    walked = task_of(method, "walk it up, hands under it")
    assert walked.guideline_kg == pytest.approx(4 / 3 * 23 * 25 / 27 * (1 - 0.003 * 55))


def test_nothing_is_left_to_walk_up_of_what_is_past_its_balance_at_the_shoulders() -> None:
    # 1302 mm of 6x6: its top is at 1300 mm where asin(1300 / 1302) = 86.8 deg, and its middle over
    # the edge it turns on at atan(651 / 70) = 83.9 deg already.
    stick = block("post", (1302, 140, 140), 18, kind=Kind.POST, slope_deg=90)
    method = method_of(item_of(stick, handling=Handling.POST), "tilted up")
    assert method.people == 1
    assert task_of(method, "walk it up, hands under it").task.force_n == 0.0


def test_a_foot_over_the_floor_brings_the_hands_nearer_to_it() -> None:
    # Uniform, thin: W h / (4 r) sin 2a is greatest at 45 deg; on a base of 100 mm r is 1200 mm.
    for base_mm in (0.0, 100.0):
        stick = block(
            "post", (3900, 1, 140), 40, kind=Kind.POST, slope_deg=90, at_mm=(0, 0, base_mm)
        )
        method = method_of(item_of(stick, handling=Handling.POST), "tilted up")
        assert method.tilt
        assert method.tilt.peak_n == pytest.approx(
            40 * GRAVITY * 3900 / (4 * (1300 - base_mm)), rel=1e-3
        )


@given(st.floats(800, 4500), st.floats(10, 300), st.sampled_from([Handling.POST, Handling.WALL]))
def test_more_people_never_have_more_each(high: float, mass_kg: float, handling: Handling) -> None:
    slab = block("slab", (high, 1500, 89), mass_kg, slope_deg=90)
    for method in methods(item_of(slab, handling=handling), TRESTLES):
        for one in method.assessments:
            each = [assess_task(one.task, people, Lifter.MAN) for people in (1, 2, 3)]
            loads_n = [again.largest_share * again.task.force_n for again in each]
            assert loads_n == sorted(loads_n, reverse=True)
            assert [again.guideline_kg for again in each] == sorted(
                again.guideline_kg for again in each
            )


@pytest.mark.parametrize(("height", "mass_kg"), [(2400.0, 60.0), (3100.0, 80.0)])
def test_a_wall_is_walked_up_with_what_moments_ask_for(height: float, mass_kg: float) -> None:
    method = method_of(wall(height, mass_kg), "tilted up")
    weight, reach = mass_kg * GRAVITY, 1300.0
    # Past the angle where its edge passes out of reach, hands are at reach / sin a on it, and the
    # force square to it has the arm of the middle: W (h/2 cos a - 44.5 sin a).
    a = np.radians(np.arange(degrees(asin(reach / height)), 90.001, 0.01))
    square = weight * (height / 2 * np.cos(a) - 44.5 * np.sin(a)) * np.sin(a) / reach
    up, pushed = (one.task for one in method.assessments[1:])
    # The program looks every five degrees: that misses a flat peak by less than 3 in a thousand.
    assert up.force_n == pytest.approx(max(square), rel=3e-3)
    assert pushed.force_n == pytest.approx(max(square * np.sin(a)), rel=3e-3)
    assert pushed.pushed
    assert method.tilt
    assert method.tilt.peak_n == pytest.approx(max(square.max(), weight / 2), rel=1e-4)
    # The stop at its foot holds what is level of it (equilibrium).
    assert method.tilt.foot_n == pytest.approx(max(abs(square) * np.sin(a)), rel=1e-2)


def test_a_high_wall_peaks_on_the_way() -> None:
    # Uniform and thin, walked up at reach r: W h / (4 r) sin 2a, greatest at 45 deg: W h / (4 r),
    # more than W/2 once h is over 2 r.
    tilt = raise_wall(100, height_mm=3900, centre_mm=(1950, 1e-6), reach_mm=1300)
    assert tilt.peak_deg == pytest.approx(45)
    assert tilt.peak_n == pytest.approx(100 * 3900 / (4 * 1300))


def test_a_post_stands_up_on_its_foot() -> None:
    post = item_of(
        block("post", (2600, 90, 90), 24, kind=Kind.POST, slope_deg=90), handling=Handling.POST
    )
    (method,) = methods(post, TRESTLES)
    assert method.name == "tilted up"
    lifted = task_of(method, "lift its top").task
    assert lifted.force_n == pytest.approx(square_n(2600, 90, 24, 750))
    assert task_of(method, "lift its top").task.from_mm == 750


def test_a_sheet_goes_over_the_eave() -> None:
    # 2 m long, over an eave at 1.7 m. Stood against it, its middle is over the eave once hands at
    # its foot are 1 m under that; from there on the eave takes half of its weight and more.
    part = block("sheet", (2000, 1200, 12), 12, kind=Kind.ROOF_SHEET, slope_deg=15, flat=True)
    sheet = item_of(part, handling=Handling.ROOF_SHEET, pass_height_mm=1700)
    method = method_of(sheet, "carried")
    along, over = (task_of(method, what).task for what in ("slide it up at", "push it over"))
    assert along.force_n == pytest.approx(12 * GRAVITY)
    assert (along.from_mm, along.to_mm) == pytest.approx((750, 750))  # 1700 - 1000, in the arms
    assert over.force_n == pytest.approx(12 * GRAVITY / 2)
    assert (over.from_mm, over.to_mm) == pytest.approx((750, 1700))


def test_a_loft_sheet_goes_over_a_joist_and_is_taken_from_above() -> None:
    # 2 m long, joists 2.5 m over the floor inside, which is 0.3 m up. Its middle is at the joist
    # once hands at its foot are 1 m under that: so far they carry all of it.
    part = block("sheet", (2000, 1200, 18), 29, kind=Kind.LOFT_SHEET, flat=True, at_mm=(0, 0, 2800))
    sheet = item_of(part, handling=Handling.LOFT_SHEET, floor_mm=300)
    ((along,),), ((bare,), (strap,)) = task_steps(Technique.CARRIED, sheet, TRESTLES, 750.0)
    assert along.action.startswith("slide it up over the joist")
    assert along.force_n == pytest.approx(29 * GRAVITY)
    assert (along.from_mm, along.to_mm, along.floor_mm) == pytest.approx((750, 1500, 300))
    # Those above hold it by its upper edge, 2 m from the lower one. Moments about that when it is
    # at the joist, the middle 1 m behind it: F x 2 m = 29 kg x g x 1 m.
    assert bare.force_n == pytest.approx(29 * GRAVITY * 1 / 2)
    assert bare.floor_mm == pytest.approx(2800)
    assert not bare.is_on_platform
    # Down to under the lower leg a man may hold 10 kg, two 2/3 and three 1/2 of their sum (HSE
    # INDG143 and L23): 13.3 kg and 15 kg for 14.5 kg. By a strap hands stay higher: 20 kg each.
    for task, people, is_within in ((bare, 2, False), (bare, 3, True), (strap, 2, True)):
        assert assess_task(task, people, Lifter.MAN).within == is_within


def test_a_long_sheet_takes_two_however_light() -> None:
    part = block("panel", (3600, 900, 20), 5, kind=Kind.PANEL, slope_deg=15, flat=True)
    panel = item_of(part, handling=Handling.ROOF_SHEET, pass_height_mm=1200)
    assert method_of(panel, "carried").people == 2


@given(st.floats(4, 60), st.floats(1.01, 2), st.floats(600, 2600))
def test_more_mass_never_takes_fewer(mass_kg: float, more: float, at_mm: float) -> None:
    setup = HandSetup((762.0,), (914.4, 1828.8), Lifter.WOMAN)
    light, heavy = (
        methods(item_of(block("beam", (3000, 184, 38), kg, at_mm=(0, 0, at_mm))), setup)
        for kg in (mass_kg, mass_kg * more)
    )
    for one, other in zip(light, heavy, strict=True):
        assert (one.people or 4) <= (other.people or 4)


@given(st.floats(5, 120), st.floats(1.01, 2), st.floats(1500, 3600))
def test_a_heavier_wall_never_takes_fewer(mass_kg: float, more: float, height: float) -> None:
    light = method_of(wall(height, mass_kg), "tilted up")
    heavy = method_of(wall(height, mass_kg * more), "tilted up")
    assert (light.people or 4) <= (heavy.people or 4)


def test_what_lies_low_is_let_down_end_after_end() -> None:
    # 50 kg, 4 m long, level: each end carries half. Down from 750 mm to 100 mm with bare hands,
    # or with the hands 400 mm higher on a strap, where three men may hold half as much again.
    skid = item_of(block("skid", (4000, 140, 90), 50, at_mm=(0, 0, 100)))
    method = method_of(skid, "one end at a time")
    assert [one.task.force_n for one in method.assessments] == pytest.approx([25 * GRAVITY] * 2)
    assert method.people == 3
    for one in method.assessments:
        assert (one.task.from_mm, one.task.to_mm) == pytest.approx((1150.0, 500.0))


@pytest.mark.parametrize(("flat", "is_slid"), [(True, True), (False, False)])
def test_only_a_sheet_that_will_lie_flat_is_slid_off_its_stack(flat: bool, is_slid: bool) -> None:
    # Onto joists, or on edge against studs.
    sheet = block("sheet", (2400, 1200, 18), 25, at_mm=(1200, 0, 240), flat=flat)
    found = methods(item_of(sheet, handling=Handling.SHEET), TRESTLES)
    assert (Technique.SLID in {method.technique for method in found}) is is_slid
    # Where there is no platform, none is spoken of.
    said = [
        step_text(method, number, "metric")
        for method in found
        for number in range(len(method.assessments))
    ]
    assert not any("platform" in what for what in said)


def test_each_end_of_what_slopes_is_let_down_to_where_it_is_held() -> None:
    # 4 m at 3 deg, 140 deep, its lower corner 100 mm up. Its middle line begins 70 cos 3 over that,
    # rises 600 sin 3 or 3400 sin 3 to the hands, and its underside is 70 / cos 3 plumb below it.
    a = radians(3)
    pole = item_of(block("pole", (4000, 140, 90), 50, slope_deg=3, at_mm=(0, 0, 100)))
    held = [100 + 70 * cos(a) + at * 4000 * sin(a) - 70 / cos(a) for at in (GRIP, 1 - GRIP)]
    ends = method_of(pole, "one end at a time").assessments
    down = sorted(one.task.to_mm - one.task.from_mm for one in ends)
    assert down == pytest.approx([mm - 750 for mm in held])


@pytest.mark.parametrize(
    ("mass_kg", "place_mm", "rest_height_mm"), [(9, 400, 100), (15, 400, 750), (9, 1000, 750)]
)
def test_what_goes_low_waits_on_bearers_unless_that_takes_more(
    mass_kg: float, place_mm: float, rest_height_mm: float
) -> None:
    # Too short to be taken by one end. From bearers of 100 mm a man has 10 kg, from the knuckles 20
    # (HSE INDG143, Figure 1): 15 kg takes more than one from there. What goes higher than the
    # trestles waits on them.
    stick = item_of(block("stick", (1200, 90, 38), mass_kg, at_mm=(0, 0, place_mm)))
    method = method_of(stick, "carried", HandSetup((750.0, 100.0), (), Lifter.MAN))
    assert (method.people, method.rest_height_mm) == (1, rest_height_mm)


def test_an_end_beside_the_deck_is_raised_from_the_ground() -> None:
    # A deck 300 mm up under the first half of a beam 6 m long; its seats are 1500 mm up.
    beam = block("ply", (6000, 184, 38), 20, kind=Kind.BEAM, at_mm=(0, 0, 1500))
    deck = WorkSurface((-1000.0, -1000.0), (1000.0, 3000.0), 300.0)
    item = replace(item_of(beam, floor_mm=300.0), work_surface=deck)
    ends = {
        one.task.floor_mm: one.task.to_mm
        for one in method_of(item, "one end at a time").assessments
    }
    assert ends == {0.0: pytest.approx(1500.0), 300.0: pytest.approx(1200.0)}

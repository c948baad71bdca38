"""Forces on pieces that are held, raised, tilted up and braced, against statics by hand."""

from __future__ import annotations

from collections.abc import Callable
from math import atan2, cos, degrees, hypot, inf, nan, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pikepole_export.derive.lifting.brace_places import largest_share
from pikepole_export.derive.lifting.bracing import (
    brace,
    braces_needed,
    lean_moment_n_mm,
    wind_moment_n_mm,
)
from pikepole_export.derive.lifting.statics import (
    lower_share,
    one_end_lift,
    push_n,
    raise_wall,
    reactions,
    tilt_deg,
    weight_n,
)
from pikepole_export.derive.lifting.validation import LiftError, below_90

FOOT_MM = 304.8

# Of a force, as a part of the weight: the same force by two ways of writing it.
ROUNDING = 1e-9

weights = st.floats(1, 1e5)
lengths = st.floats(100, 1e4)
depths = st.floats(0, 400)


def test_weight_is_mass_in_standard_gravity() -> None:
    # 3rd CGPM, 1901: 9.80665 m/s2; one kilogram-force is 9.80665 N.
    assert weight_n(1) == 9.80665
    assert weight_n(100) == pytest.approx(980.665)


def test_reactions_by_moments() -> None:
    # 100 N at 1 m of a 4 m span: 75 and 25 N.
    held = reactions(100, centre_mm=1500, left_mm=500, right_mm=4500)
    assert (held.left_n, held.right_n) == pytest.approx((75, 25))


def test_an_overhang_must_be_held_down() -> None:
    # 100 N half a span past the right support: 150 N there, and 50 N down at the left.
    held = reactions(100, centre_mm=3000, left_mm=0, right_mm=2000)
    assert (held.left_n, held.right_n) == pytest.approx((-50, 150))


@given(weights, lengths, st.floats(-1e4, 2e4))
def test_reactions_sum_to_the_weight(weight: float, span_mm: float, centre_mm: float) -> None:
    held = reactions(weight, centre_mm=centre_mm, left_mm=0, right_mm=span_mm)
    largest = abs(held.left_n) + abs(held.right_n)
    assert held.left_n + held.right_n == pytest.approx(weight, abs=1e-12 * largest)
    # and their moments about any place to that of the weight
    assert held.right_n * span_mm == pytest.approx(weight * centre_mm, abs=1e-9 * weight * span_mm)


@given(weights, lengths, lengths)
def test_a_symmetric_piece_shares_equally(weight: float, left_mm: float, span_mm: float) -> None:
    right_mm = left_mm + span_mm
    centre_mm = (left_mm + right_mm) / 2
    held = reactions(weight, centre_mm=centre_mm, left_mm=left_mm, right_mm=right_mm)
    assert held.left_n == pytest.approx(weight / 2, rel=1e-9)
    assert held.right_n == pytest.approx(weight / 2, rel=1e-9)


def test_the_lower_person_carries_more_of_a_deep_piece() -> None:
    # Moments about the upper grip, in level distances: the grips are L cos a apart, the centre
    # L/2 cos a + d/2 sin a from the upper one. L = 2000, d = 500, a = 30 deg:
    # (866.03 + 125) / 1732.05 = 0.5722
    share = lower_share(angle_deg=30, span_mm=2000, centre_mm=(1000, 250))
    assert share == pytest.approx((1000 * cos(radians(30)) + 250 * 0.5) / (2000 * cos(radians(30))))
    assert share == pytest.approx(0.5722, abs=5e-5)


@given(st.floats(0, 80), lengths, depths)
def test_share_of_a_uniform_piece_by_its_formula(
    angle_deg: float, span_mm: float, depth_mm: float
) -> None:
    share = lower_share(angle_deg=angle_deg, span_mm=span_mm, centre_mm=(span_mm / 2, depth_mm / 2))
    expected = 1 / 2 + depth_mm / (2 * span_mm) * tan(radians(angle_deg))
    assert share == pytest.approx(expected)
    assert share >= 1 / 2


def test_a_level_piece_is_shared_by_its_reactions() -> None:
    held = reactions(1, centre_mm=700, left_mm=0, right_mm=3000)
    share = lower_share(angle_deg=0, span_mm=3000, centre_mm=(700, 90))
    assert share == pytest.approx(held.left_n)


def test_one_end_of_a_uniform_beam_is_half_its_weight_all_the_way() -> None:
    # Statics: W/2 at the lifted end, constant until upright, of a piece without depth.
    lift = one_end_lift(1000, centre_mm=(2000, 0), grip_mm=(4000, 0), start_deg=0, end_deg=85)
    assert (lift.start_n, lift.end_n, lift.peak_n) == pytest.approx((500, 500, 500))


def test_a_first_end_raised_gets_lighter_and_a_second_one_starts_heavier() -> None:
    # 3 m, 0.3 m deep, gripped underneath at its end, 1000 N: 500 N (1 - 0.15/1.5 tan a).
    up_deg = degrees(atan2(3, 4))
    first = one_end_lift(
        1000, centre_mm=(1500, 150), grip_mm=(3000, 0), start_deg=0, end_deg=up_deg
    )
    assert (first.start_n, first.end_n) == pytest.approx((500, 500 - 50 * 0.75))
    assert (first.peak_n, first.peak_deg) == (first.start_n, 0)
    # Its other end lies on its seat already: this one hangs lower and comes up to level.
    second = one_end_lift(
        1000, centre_mm=(1500, 150), grip_mm=(3000, 0), start_deg=-up_deg, end_deg=0
    )
    assert (second.start_n, second.end_n) == pytest.approx((500 + 50 * 0.75, 500))
    assert (second.peak_n, second.peak_deg) == (second.start_n, -up_deg)


def test_a_grip_above_the_centre_gets_heavier_on_the_way() -> None:
    # W (x - h t) / (g - k t) with t = tan 30 deg, centre (1500, 50), grip (3000, 200).
    t = tan(radians(30))
    lift = one_end_lift(1000, centre_mm=(1500, 50), grip_mm=(3000, 200), start_deg=0, end_deg=30)
    assert lift.start_n == pytest.approx(500)
    assert lift.peak_n == pytest.approx(1000 * (1500 - 50 * t) / (3000 - 200 * t))
    assert lift.peak_deg == 30
    assert lift.peak_n > lift.start_n


@given(lengths, depths, st.floats(0.2, 1), depths, st.floats(-60, 60), st.floats(-60, 60))
def test_no_moment_of_raising_an_end_is_worse_than_its_peak(
    length_mm: float, above_mm: float, part: float, grip_above_mm: float, one: float, other: float
) -> None:
    grip = (length_mm * part, min(grip_above_mm, length_mm * part / 2))
    centre = (length_mm / 2, above_mm)
    lift = one_end_lift(1000, centre_mm=centre, grip_mm=grip, start_deg=one, end_deg=other)
    for step in range(21):
        a = radians(one + (other - one) * step / 20)
        force = (
            1000 * (centre[0] * cos(a) - centre[1] * sin(a)) / (grip[0] * cos(a) - grip[1] * sin(a))
        )
        assert force <= lift.peak_n + 1e-6 * abs(force)


def test_tilt_from_rise() -> None:
    # 3-4-5 triangle
    assert tilt_deg(rise_mm=3000, length_mm=5000) == pytest.approx(degrees(atan2(3, 4)))
    assert tilt_deg(rise_mm=-3000, length_mm=5000) == pytest.approx(-degrees(atan2(3, 4)))


def test_pushing_a_400_lb_wall_on_its_studs() -> None:
    # Worked by statics: 400 lb, 8 ft tall, hands 6 ft up the studs: 400 x 8 / (2 x 6) = 266.7 lb
    # flat, and 188.6 lb at 45 degrees.
    def pounds(angle_deg: float) -> float:
        return push_n(400, centre_mm=(4 * FOOT_MM, 0), grip_mm=6 * FOOT_MM, angle_deg=angle_deg)

    assert pounds(0) == pytest.approx(266.7, abs=0.05)
    assert pounds(45) == pytest.approx(188.6, abs=0.05)


def test_a_low_wall_is_heaviest_at_the_start() -> None:
    # Hands stay at its top edge: W/2 cos a, and W/2 straight up.
    wall = raise_wall(1000, height_mm=1800, centre_mm=(900, 0), reach_mm=1900)
    assert wall.handover_deg is None
    assert (wall.start_n, wall.vertical_n, wall.peak_n) == pytest.approx((500, 500, 500))
    assert wall.peak_deg == 0
    assert wall.balance_deg == pytest.approx(90)
    assert wall.hold_back_n == pytest.approx(0, abs=1e-9)
    for row in wall.samples:
        assert row.grip_mm == 1800
        assert row.force_n == pytest.approx(500 * cos(radians(row.angle_deg)), abs=1e-9)


def test_a_tall_wall_is_heaviest_at_half_right_angle_on_its_studs() -> None:
    # x = 2.5 m of 5 m, reach 1.9 m: W x sin(2a) / (2 reach) is greatest at 45 deg: 657.9 N, more
    # than the 500 N of the start. The top edge passes reach at sin a = 1.9 / 5.
    wall = raise_wall(1000, height_mm=5000, centre_mm=(2500, 0), reach_mm=1900)
    assert wall.handover_deg is not None
    assert sin(radians(wall.handover_deg)) == pytest.approx(1.9 / 5)
    assert wall.start_n == pytest.approx(500)
    assert wall.peak_n == pytest.approx(1000 * 2.5 / (2 * 1.9))
    assert wall.peak_deg == pytest.approx(45)


def test_a_middling_wall_is_heaviest_at_the_start_although_hands_come_down() -> None:
    # 2.4 m: on its studs 1.2 / (2 x 1.9) = 0.316 W at most, less than half.
    wall = raise_wall(1000, height_mm=2400, centre_mm=(1200, 0), reach_mm=1900)
    assert (wall.peak_n, wall.peak_deg) == pytest.approx((500, 0))


def test_sheathing_on_top_makes_the_wall_go_by_itself_before_it_is_plumb() -> None:
    # x = 2500, t = 300 above the edge it turns on. By moments: peak W (hypot(x, t) - t) / (2 reach)
    # at tan 2a = x / t; over the plate where tan a = x / t; plumb, W t / reach has to hold it back.
    wall = raise_wall(1000, height_mm=5000, centre_mm=(2500, 300), reach_mm=1900)
    assert wall.peak_n == pytest.approx(1000 * (hypot(2500, 300) - 300) / (2 * 1900))
    assert tan(radians(2 * wall.peak_deg)) == pytest.approx(2500 / 300)
    assert tan(radians(wall.balance_deg)) == pytest.approx(2500 / 300)
    assert wall.hold_back_n == pytest.approx(1000 * 300 / 1900)


def test_a_wall_whose_weight_hangs_below_its_edge_peaks_on_the_way() -> None:
    # W/H (x cos a + t sin a): greatest at tan a = t/x, W hypot(x, t) / H.
    wall = raise_wall(1000, height_mm=1800, centre_mm=(900, -100), reach_mm=1900)
    assert tan(radians(wall.peak_deg)) == pytest.approx(100 / 900)
    assert wall.peak_n == pytest.approx(1000 * hypot(900, 100) / 1800)
    assert wall.balance_deg > 90


def test_a_wall_that_starts_on_blocks() -> None:
    # Straight up: W (x - t tan a) / H.
    wall = raise_wall(1000, height_mm=2400, centre_mm=(1300, 60), reach_mm=1900, start_deg=20)
    assert wall.vertical_n == pytest.approx(1000 * (1300 - 60 * tan(radians(20))) / 2400)
    assert wall.start_n == pytest.approx(wall.vertical_n * cos(radians(20)))
    assert wall.samples[0].angle_deg == 20


walls = st.fixed_dictionaries(
    {
        "height_mm": st.floats(500, 6000),
        "part": st.floats(0.2, 0.8),
        "above_mm": st.floats(-200, 200),
        "reach_mm": st.floats(1000, 2500),
        "start_deg": st.floats(0, 60),
    }
)


@given(walls, weights)
def test_no_sample_of_a_raising_is_worse_than_its_peak(wall: dict[str, float], w: float) -> None:
    height = wall["height_mm"]
    x, t = height * wall["part"], wall["above_mm"]
    reach, start = wall["reach_mm"], wall["start_deg"]
    made = raise_wall(
        w, height_mm=height, centre_mm=(x, t), reach_mm=reach, start_deg=start, step_deg=3
    )
    angles = [row.angle_deg for row in made.samples]
    assert angles == sorted(angles)
    assert (angles[0], angles[-1]) == (start, 90)
    assert made.peak_deg in angles
    for row in made.samples:
        assert row.force_n <= made.peak_n + ROUNDING * w
        # moments about the plate, and no hand higher than it reaches
        a = radians(row.angle_deg)
        moment = w * (x * cos(a) - t * sin(a))
        assert row.force_n * row.grip_mm == pytest.approx(moment, abs=1e-9 * w * height)
        assert row.grip_mm <= height
        assert row.grip_mm * sin(a) <= reach + 1e-6
    # between samples too
    for step in range(200):
        a = radians(start + (90 - start) * step / 199)
        s = min(height, reach / sin(a)) if a else height
        assert w * (x * cos(a) - t * sin(a)) / s <= made.peak_n + ROUNDING * w


@given(walls, weights, st.floats(1, 2))
def test_more_mass_is_never_less_force(wall: dict[str, float], w: float, more: float) -> None:
    centre = (wall["height_mm"] * wall["part"], wall["above_mm"])

    def peak_n(weight: float) -> float:
        return raise_wall(
            weight,
            height_mm=wall["height_mm"],
            centre_mm=centre,
            reach_mm=wall["reach_mm"],
            start_deg=wall["start_deg"],
        ).peak_n

    light, heavy = peak_n(w), peak_n(w * more)
    assert heavy >= light or light < 0


def test_wind_and_lean_overturn() -> None:
    # 100 Pa on 4 x 2.4 m is 960 N at 1.2 m: 1152 N m.
    assert wind_moment_n_mm(pressure_pa=100, length_mm=4000, height_mm=2400) == pytest.approx(
        1.152e6
    )
    # 1000 N at 1.2 m, leaning 30 deg: 0.6 m out.
    assert lean_moment_n_mm(1000, along_mm=1200, lean_deg=30) == pytest.approx(6e5)


def test_a_brace_by_moments_about_the_foot() -> None:
    # 1152 N m held 1.8 m up: 640 N level; at 60 deg from level 1280 N along the brace, and
    # 640 tan 60 = 1108.5 N up or down.
    held = brace(1.152e6, fixed_at_mm=1800, angle_deg=60)
    got = (held.horizontal_n, held.brace_n, held.vertical_n)
    assert got == pytest.approx((640, 1280, 1108.5), abs=0.05)
    assert hypot(held.horizontal_n, held.vertical_n) == pytest.approx(held.brace_n)


@pytest.mark.parametrize(
    ("braces", "part"), [(1, 1), (2, 1 / 2), (3, 1 / 2), (4, 1 / 3), (5, 1 / 4)]
)
def test_an_inner_brace_holds_halfway_to_its_neighbours(braces: int, part: float) -> None:
    even = [4000 * number / max(1, braces - 1) for number in range(braces)]
    held = brace(1e6, fixed_at_mm=1000, angle_deg=45, share=largest_share(even, 4000))
    assert held.horizontal_n == pytest.approx(1000 * part)


# Both ends, and none further apart than the spacing. Common practice, no source.
@pytest.mark.parametrize(
    ("length_mm", "braces"), [(800, 2), (2400, 2), (2401, 3), (4800, 3), (7300, 5)]
)
def test_number_of_braces(length_mm: float, braces: int) -> None:
    assert braces_needed(length_mm=length_mm, spacing_mm=2400) == braces


@pytest.mark.parametrize(
    ("call", "place"),
    [
        (lambda: weight_n(-1), "mass_kg"),
        (lambda: weight_n(nan), "mass_kg"),
        (lambda: reactions(1, centre_mm=0, left_mm=5, right_mm=5), "right_mm"),
        (lambda: lower_share(angle_deg=90, span_mm=1, centre_mm=(0, 0)), "angle_deg"),
        (lambda: lower_share(angle_deg=10, span_mm=0, centre_mm=(0, 0)), "span_mm"),
        (lambda: tilt_deg(rise_mm=2000, length_mm=1900), "rise_mm"),
        (
            lambda: one_end_lift(1, centre_mm=(1, 0), grip_mm=(0, 0), start_deg=0, end_deg=9),
            "grip_mm",
        ),
        (
            lambda: one_end_lift(1, centre_mm=(1, 0), grip_mm=(2, 0), start_deg=0, end_deg=90),
            "angle_deg",
        ),
        (lambda: push_n(1, centre_mm=(1, 0), grip_mm=0, angle_deg=0), "grip_mm"),
        (lambda: raise_wall(0, height_mm=2, centre_mm=(1, 0), reach_mm=1), "weight_n"),
        (lambda: raise_wall(1, height_mm=inf, centre_mm=(1, 0), reach_mm=1), "height_mm"),
        (lambda: raise_wall(1, height_mm=2, centre_mm=(3, 0), reach_mm=1), "centre_mm"),
        (lambda: raise_wall(1, height_mm=2, centre_mm=(1, 0), reach_mm=0), "reach_mm"),
        (
            lambda: raise_wall(1, height_mm=2, centre_mm=(1, 0), reach_mm=1, start_deg=90),
            "start_deg",
        ),
        (lambda: brace(1, fixed_at_mm=0, angle_deg=45), "fixed_at_mm"),
        (lambda: brace(1, fixed_at_mm=1, angle_deg=90), "angle_deg"),
        (lambda: brace(1, fixed_at_mm=1, angle_deg=45, share=0), "share"),
        (lambda: braces_needed(length_mm=1, spacing_mm=0), "spacing_mm"),
    ],
)
def test_what_cannot_be_is_refused(call: Callable[[], object], place: str) -> None:
    with pytest.raises(LiftError) as caught:
        call()
    assert caught.value.problem.key == place


def test_an_angle_from_level_goes_down_only_where_it_may() -> None:
    below_90("slope", 0.0)
    below_90("slope", -5.0, signed=True)
    for angle, signed in ((-5.0, False), (-90.0, True), (90.0, False), (nan, True)):
        with pytest.raises(LiftError):
            below_90("slope", angle, signed=signed)
    with pytest.raises(LiftError):
        below_90("slope", -5.0)

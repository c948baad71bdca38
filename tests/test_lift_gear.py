"""Slings, levers, cribbing and pulling, against charts and statics by hand."""

from __future__ import annotations

from collections.abc import Callable
from math import asin, degrees, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pikepole_export.derive.lifting.gear import (
    cribbing,
    pull,
    sling,
    sling_factor,
)
from pikepole_export.derive.lifting.validation import LiftError

INCH_MM = 25.4

# The chart cuts off after three decimals and does not round.
CUT_OFF = 1e-3


# A rigging firm's chart, angle from the horizontal, factor 1 / sin. At 35 and 40 degrees it prints
# 1.742 and 1.555; the exact values are 1.7434 and 1.5557.
@pytest.mark.parametrize(
    ("angle_deg", "factor"),
    [
        (90, 1.000),
        (75, 1.035),
        (60, 1.155),
        (55, 1.221),
        (50, 1.305),
        (45, 1.414),
        (40, 1.5557),
        (35, 1.7434),
        (30, 2.000),
    ],
)
def test_sling_factors(angle_deg: float, factor: float) -> None:
    assert sling_factor(angle_deg) == pytest.approx(factor, abs=CUT_OFF)


# A university's table (Michigan State) gives the tension per 1000 by the angle to the hook, from
# the vertical: 1154 at 30 and 2000 at 60 degrees.
@pytest.mark.parametrize(("vertical_deg", "tension"), [(30, 1154), (60, 2000)])
def test_an_angle_from_the_vertical_gives_the_same_number(
    vertical_deg: float, tension: float
) -> None:
    factor = sling_factor(90 - vertical_deg)
    assert 1000 * factor == pytest.approx(tension, abs=1)


def test_a_worked_sling() -> None:
    # The same chart: sling 120 in long, hook 96 in up, 1,200 lb on each leg: 120/96 x 1,200 =
    # 1,500 lb.
    angle_deg = degrees(asin(96 / 120))
    made = sling(2400, legs=2, angle_deg=angle_deg)
    assert made.factor == pytest.approx(1.25)
    assert made.tension_n == pytest.approx(1500)


def test_a_sling_twice_as_long_as_high() -> None:
    # The same chart: 10 ft sling, 5 ft height: 30 degrees, factor 2.0. As flat as may be.
    assert sling_factor(degrees(asin(60 / 120))) == pytest.approx(2.0)


# Half the load on each at 90 degrees, all of it at 30. Source: US Navy, Equipment Operator
# (NAVEDTRA 14080), 1,000 lb on a two-leg bridle.
@pytest.mark.parametrize(("angle_deg", "pounds"), [(90, 500), (30, 1000)])
def test_a_two_leg_bridle(angle_deg: float, pounds: float) -> None:
    assert sling(1000, legs=2, angle_deg=angle_deg).tension_n == pytest.approx(pounds)


def test_three_or_four_legs_count_as_two() -> None:
    # The same manual: two legs of four can take practically the whole of a rigid load.
    two = sling(1000, legs=2, angle_deg=60).tension_n
    for legs in (3, 4):
        made = sling(1000, legs=legs, angle_deg=60)
        assert (made.sharing_legs, made.tension_n) == (2, two)


def test_a_single_leg_hangs_plumb() -> None:
    assert sling(1000, legs=1, angle_deg=90).tension_n == pytest.approx(1000)


@given(st.integers(2, 4), st.floats(30, 90), st.floats(0, 1e5), st.floats(1, 2))
def test_more_mass_or_a_flatter_leg_is_never_less_force(
    legs: int, angle_deg: float, weight: float, more: float
) -> None:
    made = sling(weight, legs=legs, angle_deg=angle_deg).tension_n
    assert sling(weight * more, legs=legs, angle_deg=angle_deg).tension_n >= made
    assert sling(weight, legs=legs, angle_deg=90).tension_n <= made


def test_cribbing_counted_by_hand() -> None:
    # 300 mm in layers of 38: seven make 266, shims 34. A setting lifts 100: two layers, 76. So
    # 76, 152, 228, and then 72 in one: four settings; strokes of 10: 8 each.
    made = cribbing(rise_mm=300, layer_mm=38, base_mm=600, lift_mm=100, stroke_mm=10)
    assert (made.layers, made.shim_mm) == (7, pytest.approx(34))
    assert made.heights_mm == pytest.approx((76, 152, 228, 300))
    assert (made.settings, made.strokes) == (4, 32)


def test_whole_layers_need_no_shim() -> None:
    made = cribbing(rise_mm=266.7, layer_mm=88.9, base_mm=600, lift_mm=100, stroke_mm=88.9)
    assert (made.layers, made.settings, made.strokes) == (3, 3, 3)
    assert made.shim_mm == pytest.approx(0, abs=1e-6)


def test_a_rise_under_one_layer_is_shims_alone() -> None:
    made = cribbing(rise_mm=20, layer_mm=38, base_mm=600, lift_mm=50, stroke_mm=6)
    assert (made.layers, made.shim_mm, made.heights_mm, made.strokes) == (0, 20, (20,), 4)


@given(st.floats(1, 900), st.floats(10, 100), st.floats(1, 4), st.floats(1, 50))
def test_cribbing_never_lifts_more_than_a_setting_can(
    rise_mm: float, layer_mm: float, layers_lifted: float, stroke_mm: float
) -> None:
    lift_mm = layer_mm * layers_lifted
    made = cribbing(
        rise_mm=rise_mm, layer_mm=layer_mm, base_mm=300, lift_mm=lift_mm, stroke_mm=stroke_mm
    )
    steps = [b - a for a, b in zip((0.0, *made.heights_mm), made.heights_mm, strict=False)]
    assert all(0 < step <= lift_mm + 1e-6 for step in steps)
    assert made.heights_mm[-1] == pytest.approx(rise_mm)
    assert made.layers * layer_mm + made.shim_mm == pytest.approx(rise_mm)
    assert made.strokes * stroke_mm >= rise_mm - 1e-6


def test_cribs_stand_up_to_three_times_their_width() -> None:
    # FEMA, US&R Structure Specialist field guide: 3 to 1.
    cribbing(rise_mm=900, layer_mm=90, base_mm=300, lift_mm=100, stroke_mm=10)
    with pytest.raises(LiftError) as caught:
        cribbing(rise_mm=901, layer_mm=90, base_mm=300, lift_mm=100, stroke_mm=10)
    assert caught.value.problem.key == "rise_mm"


def test_pulling_up_and_letting_down() -> None:
    # Statics, 3-4-5 slope: W (0.6 + 0.25 x 0.8) = 0.8 W up, W (-0.6 + 0.2) = -0.4 W down.
    slope = degrees(asin(0.6))
    up = pull(1000, slope_deg=slope, friction=0.25, parts=4, efficiency=0.8)
    assert up.force_n == pytest.approx(800)
    assert up.line_n == pytest.approx(800 / (4 * 0.8))
    down = pull(1000, slope_deg=-slope, friction=0.25, parts=4, efficiency=0.8)
    assert down.force_n == pytest.approx(-400)
    assert down.line_n == pytest.approx(100)


def test_on_the_level_only_friction_holds() -> None:
    assert pull(1000, slope_deg=0, friction=0.05).line_n == pytest.approx(50)


@given(st.floats(-60, 60), st.floats(0, 1), st.floats(0, 1e5), st.floats(1, 2), st.integers(1, 6))
def test_more_mass_is_never_less_pull(
    slope_deg: float, friction: float, weight: float, more: float, parts: int
) -> None:
    light = pull(weight, slope_deg=slope_deg, friction=friction, parts=parts)
    heavy = pull(weight * more, slope_deg=slope_deg, friction=friction, parts=parts)
    assert heavy.line_n >= light.line_n * (1 - 1e-12)
    up = pull(weight, slope_deg=abs(slope_deg), friction=friction, parts=parts)
    assert up.force_n >= light.force_n


@pytest.mark.parametrize(
    ("call", "place"),
    [
        (lambda: sling_factor(29.9), "sling angle_deg"),
        (lambda: sling_factor(91), "sling angle_deg"),
        (lambda: sling_factor(nan), "sling angle_deg"),
        (lambda: sling(1, legs=0, angle_deg=60), "legs"),
        (lambda: sling(1, legs=5, angle_deg=60), "legs"),
        (lambda: sling(1, legs=1, angle_deg=60), "angle_deg"),
        (
            lambda: cribbing(rise_mm=1, layer_mm=50, base_mm=90, lift_mm=49, stroke_mm=1),
            "lift_mm",
        ),
        (
            lambda: cribbing(rise_mm=1, layer_mm=0, base_mm=90, lift_mm=49, stroke_mm=1),
            "layer_mm",
        ),
        (lambda: pull(1, slope_deg=90, friction=0), "slope_deg"),
        (lambda: pull(1, slope_deg=0, friction=-1), "friction"),
        (lambda: pull(1, slope_deg=0, friction=0, parts=0), "parts"),
        (lambda: pull(1, slope_deg=0, friction=0, efficiency=1.1), "efficiency"),
    ],
)
def test_what_cannot_be_is_refused(call: Callable[[], object], place: str) -> None:
    with pytest.raises(LiftError) as caught:
        call()
    assert caught.value.problem.key == place

"""Ratings, forks and the floor across them, against the rule's example and beam formulas."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pikepole_export.derive.lifting.validation import LiftError
from pikepole_export.derive.moving.bending import LineLoad, bend
from pikepole_export.derive.moving.truck import (
    Forks,
    most_at_kg,
    on_plate,
    other_standard_mm,
    place_forks,
    rating_needed_kg,
)

INCH_MM = 25.4
POUND_KG = 0.45359237
GRAVITY = 9.80665  # 3rd CGPM, 1901


def forks(
    *,
    mass_kg: float = 1000,
    width_mm: float = 3000,
    across_mm: float = 1400,
    load_centre_mm: float = 900,
    spread_mm: float = 1000,
    fork_mm: float = 1800,
) -> Forks:
    return place_forks(
        mass_kg=mass_kg,
        width_mm=width_mm,
        across_mm=across_mm,
        load_centre_mm=load_centre_mm,
        spread_mm=spread_mm,
        fork_mm=fork_mm,
    )


def test_the_rule_s_example_of_a_load_moment() -> None:
    # 29 CFR 1910.178, appendix A, A-5: 3,000 lb at 24 in is 72,000 in-lb; a load 60 in long has
    # its centre at 30 in, and may weigh 72,000 / 30 = 2,400 lb.
    most_kg = most_at_kg(
        rated_kg=3000 * POUND_KG, standard_mm=24 * INCH_MM, load_centre_mm=30 * INCH_MM
    )
    assert most_kg / POUND_KG == pytest.approx(2400)
    # and the other way: these 2,400 lb ask for the 3,000 lb truck
    rating_kg = rating_needed_kg(
        mass_kg=2400 * POUND_KG, standard_mm=24 * INCH_MM, load_centre_mm=30 * INCH_MM
    )
    assert rating_kg / POUND_KG == pytest.approx(3000)


def test_a_load_near_the_fork_face_earns_nothing() -> None:
    assert rating_needed_kg(mass_kg=800, load_centre_mm=300) == 800
    assert most_at_kg(rated_kg=800, standard_mm=500, load_centre_mm=300) == 800


@given(st.floats(1, 1e4), st.floats(100, 5000), st.floats(1, 2))
def test_more_mass_or_reach_never_asks_for_less(mass: float, centre: float, more: float) -> None:
    needed = rating_needed_kg(mass_kg=mass, load_centre_mm=centre)
    assert needed >= mass
    assert rating_needed_kg(mass_kg=mass * more, load_centre_mm=centre) >= needed
    assert rating_needed_kg(mass_kg=mass, load_centre_mm=centre * more) >= needed
    most = most_at_kg(rated_kg=needed, standard_mm=500, load_centre_mm=centre)
    assert most == pytest.approx(mass)


def test_forks_go_about_the_centre_of_gravity() -> None:
    row = forks()
    assert (row.left_mm, row.right_mm) == (900, 1900)
    assert (row.left_share, row.right_share) == pytest.approx((0.5, 0.5))
    assert (row.offset_mm, row.off_middle_mm) == (0, -100)
    # 1000 kg at 900 mm is 900,000 kg mm, and 1,800 kg at 500 mm.
    assert row.load_moment_kg_mm == pytest.approx(900_000)
    assert row.rating_needed_kg == pytest.approx(1800)
    assert "data plate decides" in row.plate


def test_forks_stay_under_the_building() -> None:
    # Centre 300 mm from the left end, forks 1000 apart: one at the end, 70 and 30 parts in 100.
    row = forks(across_mm=300)
    assert (row.left_mm, row.right_mm, row.offset_mm) == (0, 1000, -200)
    assert (row.left_share, row.right_share) == pytest.approx((0.7, 0.3))
    mirrored = forks(across_mm=2700)
    assert (mirrored.left_mm, mirrored.right_mm, mirrored.offset_mm) == (2000, 3000, 200)


@given(st.floats(500, 6000), st.floats(0.01, 0.99), st.floats(0.05, 1))
def test_the_centre_lies_between_the_forks(width: float, across: float, spread: float) -> None:
    row = forks(width_mm=width, across_mm=width * across, spread_mm=width * spread)
    close = 1e-6
    assert -close <= row.left_mm <= width * across + close
    assert width * across - close <= row.right_mm <= width + close
    assert row.left_share + row.right_share == pytest.approx(1)
    assert min(row.left_share, row.right_share) >= -close


def uniform(length_mm: float, n_per_mm: float) -> LineLoad:
    return LineLoad(0, length_mm, n_per_mm * length_mm / GRAVITY)


def test_an_evenly_loaded_beam_past_both_supports() -> None:
    # Any text on mechanics of materials: w a2 / 2 over the supports, w L2 / 8 - w a2 / 2 between.
    # w = 2 N/mm, a = 600, L = 1800: 360,000 and 450,000 N mm; 1,800 N of shear within.
    bent = bend([uniform(3000, 2)], length_mm=3000, left_mm=600, right_mm=2400)
    assert (bent.left_n, bent.right_n) == pytest.approx((3000, 3000))
    assert bent.hogging_n_mm == pytest.approx(2 * 600**2 / 2)
    assert bent.hogging_at_mm in (600, 2400)
    assert bent.sagging_n_mm == pytest.approx(2 * 1800**2 / 8 - 2 * 600**2 / 2)
    assert bent.sagging_at_mm == pytest.approx(1500)
    assert bent.shear_n == pytest.approx(1800)


def test_forks_close_together_leave_no_sagging() -> None:
    # a = 1000, L = 1000: w L2 / 8 is less than w a2 / 2.
    bent = bend([uniform(3000, 2)], length_mm=3000, left_mm=1000, right_mm=2000)
    assert bent.sagging_n_mm == 0
    assert bent.hogging_n_mm == pytest.approx(2 * 1000**2 / 2)


def test_a_beam_past_one_support() -> None:
    # The same texts, span L = 2000, overhang a = 500, w = 2: reaction w (L2 - a2) / (2 L) = 1875,
    # sagging w (L + a)2 (L - a)2 / (8 L2) = 878,906 at L/2 (1 - a2/L2) = 937.5.
    bent = bend([uniform(2500, 2)], length_mm=2500, left_mm=0, right_mm=2000)
    assert bent.left_n == pytest.approx(1875)
    assert bent.sagging_n_mm == pytest.approx(2 * 2500**2 * 1500**2 / (8 * 2000**2))
    assert bent.sagging_at_mm == pytest.approx(937.5)
    assert (bent.hogging_n_mm, bent.hogging_at_mm) == pytest.approx((250_000, 2000))


def test_a_weight_in_one_place() -> None:
    # P a b / L: 900 N at 600 of 1800 mm.
    bent = bend([LineLoad(600, 600, 900 / GRAVITY)], length_mm=1800, left_mm=0, right_mm=1800)
    assert bent.sagging_n_mm == pytest.approx(900 * 600 * 1200 / 1800)
    assert (bent.sagging_at_mm, bent.shear_n) == pytest.approx((600, 600))
    assert bent.hogging_n_mm == pytest.approx(0, abs=1e-6)


def test_walls_at_the_ends_of_the_frame() -> None:
    # P at each end, a past the forks: P a all the way between.
    walls = [LineLoad(at, at, 500 / GRAVITY) for at in (0, 3000)]
    bent = bend(walls, length_mm=3000, left_mm=800, right_mm=2200)
    assert bent.hogging_n_mm == pytest.approx(500 * 800)
    assert bent.sagging_n_mm == 0
    assert bent.shear_n == pytest.approx(500)


def test_a_weight_over_a_fork_bends_nothing() -> None:
    bent = bend([LineLoad(500, 500, 100)], length_mm=2000, left_mm=500, right_mm=1500)
    assert (bent.left_n, bent.right_n) == pytest.approx((100 * GRAVITY, 0))
    assert (bent.sagging_n_mm, bent.hogging_n_mm) == pytest.approx((0, 0), abs=1e-6)


def bracket(x: float, at: float) -> float:
    return max(0.0, x - at)


line_loads = st.lists(
    st.tuples(st.floats(0, 3000), st.floats(0, 3000), st.floats(1, 500)), max_size=5
)


@given(line_loads)
def test_no_place_is_bent_more_than_the_greatest(drawn: list[tuple[float, float, float]]) -> None:
    loads = [LineLoad(min(a, b), max(a, b), kg) for a, b, kg in drawn]
    # Heavy and even, so that nothing tips.
    loads.append(LineLoad(0, 3000, 6000))
    bent = bend(loads, length_mm=3000, left_mm=700, right_mm=2100)
    total = sum(load.mass_kg for load in loads) * GRAVITY
    assert bent.left_n + bent.right_n == pytest.approx(total)

    # Macaulay's brackets: a load w from a to b is w <x - a>2 / 2 - w <x - b>2 / 2.
    def moment(x: float) -> float:
        got = bent.left_n * bracket(x, 700) + bent.right_n * bracket(x, 2100)
        for load in loads:
            force, spread = load.mass_kg * GRAVITY, load.to_mm - load.from_mm
            if spread > 1e-3:
                a, b = bracket(x, load.from_mm), bracket(x, load.to_mm)
                got -= force / spread * (a * a - b * b) / 2
            else:
                got -= force * bracket(x, load.from_mm)
        return got

    close = 1e-6 * total * 3000
    assert moment(3000) == pytest.approx(0, abs=close)
    for step in range(101):
        assert -bent.hogging_n_mm - close <= moment(30 * step) <= bent.sagging_n_mm + close
    assert max(0.0, moment(bent.sagging_at_mm)) == pytest.approx(bent.sagging_n_mm, abs=close)
    assert -moment(bent.hogging_at_mm) == pytest.approx(bent.hogging_n_mm, abs=close)


@pytest.mark.parametrize(
    ("call", "place"),
    [
        (lambda: forks(spread_mm=3100), "spread_mm"),
        (lambda: forks(spread_mm=0), "spread_mm"),
        (lambda: forks(across_mm=3000), "across_mm"),
        (lambda: forks(fork_mm=900), "fork_mm"),
        (lambda: forks(mass_kg=0), "mass_kg"),
        (lambda: rating_needed_kg(mass_kg=1, load_centre_mm=0), "load_centre_mm"),
        (lambda: most_at_kg(rated_kg=0, standard_mm=500, load_centre_mm=500), "rated_kg"),
        (lambda: most_at_kg(rated_kg=1, standard_mm=0, load_centre_mm=500), "standard_mm"),
        (lambda: bend([], length_mm=9, left_mm=1, right_mm=2), "loads"),
        (lambda: bend([uniform(9, 1)], length_mm=9, left_mm=2, right_mm=2), "left_mm, right_mm"),
        (lambda: bend([uniform(10, 1)], length_mm=9, left_mm=1, right_mm=2), "load"),
        (lambda: bend([uniform(9, 1)], length_mm=9, left_mm=5, right_mm=8), "centre of gravity mm"),
    ],
)
def test_what_cannot_be_is_refused(call: Callable[[], object], place: str) -> None:
    with pytest.raises(LiftError) as caught:
        call()
    assert caught.value.problem.key == place


def test_load_centres_are_told_as_on_plates() -> None:
    assert on_plate(24 * INCH_MM) == "24 in"
    assert on_plate(500) == "500 mm"
    assert other_standard_mm(24 * INCH_MM) == 500
    assert other_standard_mm(500) == pytest.approx(24 * INCH_MM)

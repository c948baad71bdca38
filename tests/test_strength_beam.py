"""Beams against closed forms.

Sources: the beam tables of any textbook of statics (AISC Steel Construction Manual Table 3-23, by
case, from memory); three-moment equation for spans of two lengths.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from pikepole_export.derive.strength.beam import Analysis, Force, analyse

EI = 7e10
L = 3600.0
W = 2.4  # N/mm
# What is left of the sums of forces and moments, as shares of their sizes.
EQUILIBRIUM = 1e-9


def even(length_mm: float, *supports_mm: float, hinges_mm: tuple[float, ...] = ()) -> Analysis:
    return analyse(
        [Force(0, length_mm, W * length_mm)],
        length_mm=length_mm,
        supports_mm=supports_mm,
        stiffness_n_mm2=EI,
        hinges_mm=hinges_mm,
    )


def test_one_span() -> None:
    # Case 1: w L^2 / 8, w L / 2, 5 w L^4 / 384 E I.
    found = even(L, 0, L)
    assert found.peaks.sagging_n_mm == pytest.approx(W * L**2 / 8)
    assert found.peaks.sagging_at_mm == pytest.approx(L / 2)
    assert found.peaks.shear_n == pytest.approx(W * L / 2)
    (sag,) = found.sags
    assert sag.deflection_mm == pytest.approx(5 * W * L**4 / (384 * EI))
    assert sag.at_mm == pytest.approx(L / 2)


def test_a_force_out_of_the_middle() -> None:
    # Case 8: P a b / L under it; P a b (a + 2 b) sqrt(3 a (a + 2 b)) / 27 E I L for a > b.
    a, b, force = 2200.0, 1400.0, 900.0
    found = analyse([Force(a, a, force)], length_mm=L, supports_mm=(0, L), stiffness_n_mm2=EI)
    assert found.reactions_n == pytest.approx((force * b / L, force * a / L))
    assert found.peaks.sagging_n_mm == pytest.approx(force * a * b / L)
    most = force * a * b * (a + 2 * b) * math.sqrt(3 * a * (a + 2 * b)) / (27 * EI * L)
    assert found.sags[0].deflection_mm == pytest.approx(most, rel=1e-5)
    # The place by a parabola through three that are L / 64 apart, 56 mm: to a hundredth of that.
    assert found.sags[0].at_mm == pytest.approx(math.sqrt(a * (a + 2 * b) / 3), abs=0.56)


def test_an_overhang() -> None:
    # Case 24: R1 = w (L^2 - a^2) / 2 L, M = w a^2 / 2 over the support, tip
    # w a (4 a^2 L - L^3 + 3 a^3) / 24 E I.
    a = 1300.0
    found = even(L + a, 0, L)
    assert found.reactions_n[0] == pytest.approx(W * (L**2 - a**2) / (2 * L))
    assert found.reactions_n[1] == pytest.approx(W * (L + a) ** 2 / (2 * L))
    assert found.peaks.hogging_n_mm == pytest.approx(W * a**2 / 2)
    assert found.peaks.hogging_at_mm == pytest.approx(L)
    first = W * (L**2 - a**2) / (2 * L)
    assert found.peaks.sagging_n_mm == pytest.approx(first**2 / (2 * W))
    tip = W * a * (4 * a**2 * L - L**3 + 3 * a**3) / (24 * EI)
    assert found.sags[1].overhangs
    assert found.sags[1].deflection_mm == pytest.approx(abs(tip))


def test_three_supports() -> None:
    # Two equal spans: 3/8, 10/8, 3/8 of w L; w L^2 / 8 over the middle, 9 w L^2 / 128 in the
    # spans at 3 L / 8; w L^4 / 185 E I (0.0054 w L^4 / E I, of 184.6).
    found = even(2 * L, 0, L, 2 * L)
    assert found.reactions_n == pytest.approx([k * W * L for k in (3 / 8, 10 / 8, 3 / 8)])
    assert found.peaks.hogging_n_mm == pytest.approx(W * L**2 / 8)
    assert found.peaks.sagging_n_mm == pytest.approx(9 * W * L**2 / 128)
    assert found.peaks.sagging_at_mm == pytest.approx(3 * L / 8)
    assert found.peaks.shear_n == pytest.approx(5 * W * L / 8)
    for sag in found.sags:
        assert sag.deflection_mm == pytest.approx(W * L**4 / (184.6 * EI), rel=1e-3)


def test_three_supports_at_two_distances() -> None:
    # Three-moment equation with even load: M = w (L1^3 + L2^3) / 8 (L1 + L2).
    one, other = 2100.0, 3300.0
    found = even(one + other, 0, one, one + other)
    moment = W * (one**3 + other**3) / (8 * (one + other))
    assert found.peaks.hogging_n_mm == pytest.approx(moment)
    assert found.reactions_n[0] == pytest.approx(W * one / 2 - moment / one)
    assert found.reactions_n[2] == pytest.approx(W * other / 2 - moment / other)


def test_load_on_one_of_two_spans() -> None:
    # 49 w L^2 / 512 in the loaded one, w L^2 / 16 over the middle; 7/16, 5/8 and -1/16 of w L.
    found = analyse(
        [Force(0, L, W * L)], length_mm=2 * L, supports_mm=(0, L, 2 * L), stiffness_n_mm2=EI
    )
    assert found.reactions_n == pytest.approx([k * W * L for k in (7 / 16, 5 / 8, -1 / 16)])
    assert found.peaks.sagging_n_mm == pytest.approx(49 * W * L**2 / 512)
    assert found.peaks.hogging_n_mm == pytest.approx(W * L**2 / 16)


def test_four_supports() -> None:
    # Three equal spans: 0.4, 1.1, 1.1, 0.4 of w L; w L^2 / 10 over the inner supports.
    found = even(3 * L, 0, L, 2 * L, 3 * L)
    assert found.reactions_n == pytest.approx([k * W * L for k in (0.4, 1.1, 1.1, 0.4)])
    assert found.peaks.hogging_n_mm == pytest.approx(W * L**2 / 10)


def test_a_joint_on_a_support_makes_two_beams() -> None:
    found = even(2 * L, 0, L, 2 * L, hinges_mm=(L,))
    assert found.reactions_n == pytest.approx([W * L / 2, W * L, W * L / 2])
    assert found.peaks.hogging_n_mm == 0
    assert found.peaks.sagging_n_mm == pytest.approx(W * L**2 / 8)
    for sag in found.sags:
        assert sag.deflection_mm == pytest.approx(5 * W * L**4 / (384 * EI))


def test_a_joint_between_supports_takes_no_moment() -> None:
    # The middle of a beam that hangs out a past both supports of the ends: statically determinate.
    # Left of the joint a beam on 0 and L with an overhang to it; right of it a simple span.
    joint = L + 500.0
    found = even(2 * L, 0, L, 2 * L, hinges_mm=(joint,))
    right = W * (2 * L - joint) / 2
    assert found.reactions_n[2] == pytest.approx(right)
    assert found.forces.moment(np.array([joint]))[0] == pytest.approx(0, abs=1e-6 * W * L**2)
    over = right * 500 + W * 500**2 / 2
    assert found.peaks.hogging_n_mm == pytest.approx(over)


def test_what_is_not_held_is_refused() -> None:
    with pytest.raises(ValueError, match="not held"):
        even(2 * L, 0, L, hinges_mm=(L,))


places = st.lists(st.integers(0, 60), min_size=2, max_size=5, unique=True)
pressed = st.lists(
    st.tuples(st.integers(0, 6000), st.integers(0, 6000), st.integers(-900, 4000)),
    min_size=1,
    max_size=6,
)


def drawn(spots: list[int], rows: list[tuple[int, int, int]]) -> Analysis:
    return analyse(
        [Force(min(a, b), max(a, b), force) for a, b, force in rows],
        length_mm=6000,
        supports_mm=[100.0 * spot for spot in sorted(spots)],
        stiffness_n_mm2=EI,
    )


@draws(60)
@given(places, pressed)
def test_every_beam_is_in_equilibrium(spots: list[int], rows: list[tuple[int, int, int]]) -> None:
    found = drawn(spots, rows)
    size = sum(abs(force) for *_, force in rows) + 1.0
    left = sum(found.reactions_n) - sum(force for *_, force in rows)
    assert abs(left) <= EQUILIBRIUM * max(size, max(map(abs, found.reactions_n)))
    ends = found.forces.moment(np.array([6000.0]))
    largest = max(map(abs, found.reactions_n)) * 6000 + size * 6000
    assert abs(float(ends[0])) <= EQUILIBRIUM * largest


@draws(60)
@given(places, pressed)
def test_deflection_is_none_on_supports_and_bends_as_the_moment(
    spots: list[int], rows: list[tuple[int, int, int]]
) -> None:
    # On each support none; between, E I y'' = -M, by differences of closely spaced places.
    found = drawn(spots, rows)
    across = np.array(sorted(spots)) * 100.0
    size = sum(abs(force) for *_, force in rows) * 6000.0**3 / EI + 1e-9
    assert np.abs(found.deflection(across)).max() <= 1e-9 * size
    at = np.array([1234.5, 2716.3, 4051.7])
    step = 4.0
    curve = (
        found.deflection(at - step) - 2 * found.deflection(at) + found.deflection(at + step)
    ) / step**2
    mean = (
        found.forces.moment(at - step)
        + 10 * found.forces.moment(at)
        + found.forces.moment(at + step)
    ) / 12
    near = [a for *pair, _ in rows for a in pair] + [100 * spot for spot in spots]
    for place, one, other in zip(at, curve, mean, strict=True):
        if min(abs(place - a) for a in near) > 2 * step:
            assert EI * one == pytest.approx(-other, rel=1e-3, abs=1e-5 * size * EI / 6000**2)


@draws(40)
@given(places, pressed, st.floats(0.1, 9))
def test_twice_the_load_does_twice_as_much(
    spots: list[int], rows: list[tuple[int, int, int]], factor: float
) -> None:
    found = drawn(spots, rows)
    more = analyse(
        [one.times(factor) for one in found.loads],
        length_mm=6000,
        supports_mm=found.supports_mm,
        stiffness_n_mm2=EI,
    )
    size = sum(abs(force) for *_, force in rows) * 60
    assert more.reactions_n == pytest.approx(
        [factor * force for force in found.reactions_n], rel=1e-9, abs=1e-9 * size
    )

"""Loads against the published worked examples.

Where the example is of an older edition the formula is the same in ASCE 7-16.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conftest import SCENES
from draws import draws
from pikepole_export.derive.strength import snow, wind
from pikepole_export.derive.strength.climate import IMPORTANCE
from pikepole_export.derive.strength.combinations import Load
from pikepole_export.derive.strength.descent import paths_of
from pikepole_export.derive.strength.live import roof_live
from pikepole_export.derive.strength.roofs import free_wind
from pikepole_export.derive.strength.snow import PCF_KN_M3, PSF_KN_M2
from pikepole_model.build import build
from pikepole_model.reading.file import load_scene
from pikepole_model.units import FOOT_MM, MPH_M_S

PSF = PSF_KN_M2
FOOT = FOOT_MM


def slope(rise: float) -> float:
    return math.degrees(math.atan(rise / 12))


def test_flat_roofs() -> None:
    plain = {"exposure": 1.0, "thermal": 1.0, "importance": 1.0}
    # ASCE 7-05 7.3: 30 psf on the ground are 21.0, with Is 1.15 24.15; 40 are 28, 50 are 35.
    for ground, flat in ((30, 21.0), (40, 28.0), (50, 35.0)):
        assert snow.flat_roof(ground * PSF, **plain) / PSF == pytest.approx(flat)
    found = snow.flat_roof(30 * PSF, **{**plain, "importance": 1.15})
    assert found / PSF == pytest.approx(24.15)
    # Hibbeler, Structural Analysis, example 1.4: unheated storage in flat open terrain, 15 psf:
    # 0.7 x 0.8 x 1.2 x 0.8 x 15 = 8.06. With one Is of 0.8 the least is 12 psf.
    found = snow.flat_roof(15 * PSF, exposure=0.8, thermal=1.2, importance=0.8)
    assert found / PSF == pytest.approx(8.06, abs=0.005)
    assert snow.low_slope_least(15 * PSF, importance=0.8) / PSF == pytest.approx(12)
    assert snow.EXPOSURE["D"]["full"] == 0.8


def test_snow_slides_off_steep_roofs() -> None:
    # ASCE 7-05 commentary, snow example 1: 8:12, Ct 1.0: 0.91. Figure 7.4-1: slippery, 37.5 degrees
    # Ct 1.0 and 42.5 degrees Ct 1.2: 0.5. Worked out from it: slippery, Ct 1.2, 4:12 and 6:12.
    assert snow.slope_factor(slope(8), thermal=1.0, slippery=False) == pytest.approx(0.91, abs=5e-3)
    assert snow.slope_factor(37.5, thermal=1.0, slippery=True) == pytest.approx(0.5)
    assert snow.slope_factor(42.5, thermal=1.2, slippery=True) == pytest.approx(0.5)
    assert snow.slope_factor(slope(4), thermal=1.2, slippery=True) == pytest.approx(
        0.9375, abs=5e-4
    )
    assert snow.slope_factor(slope(6), thermal=1.2, slippery=True) == pytest.approx(0.790, abs=5e-4)
    assert snow.slope_factor(70, thermal=1.0, slippery=False) == 0


def test_factors_of_snow_as_their_tables_have_them() -> None:
    # ASCE 7-16 Tables 7.3-1, 7.3-2 and 1.5-2 (the last from memory): Ce of fully and partly exposed
    # and sheltered roofs; Ct heated and not; Is of categories I and II.
    for terrain, row in {"B": (0.9, 1.0, 1.2), "C": (0.9, 1.0, 1.1), "D": (0.8, 0.9, 1.0)}.items():
        found = snow.EXPOSURE[terrain]  # pyright: ignore[reportArgumentType]
        assert (found["full"], found["partial"], found["sheltered"]) == row
    assert (snow.HEATED, snow.UNHEATED) == (1.0, 1.2)
    assert IMPORTANCE == {"I": 0.8, "II": 1.0}
    # Figure 7.4-1: where roofs begin to shed, by Ct.
    for slippery, starts in ((False, (30, 37.5, 45)), (True, (5, 10, 15))):
        for thermal, start in zip((1.0, 1.1, 1.2), starts, strict=True):
            assert snow.slope_factor(start, thermal=thermal, slippery=slippery) == 1
            assert snow.slope_factor(start + 1, thermal=thermal, slippery=slippery) < 1
            middle = (start + 70) / 2
            half = snow.slope_factor(middle, thermal=thermal, slippery=slippery)
            assert half == pytest.approx(0.5)


def test_density_of_snow() -> None:
    # ASCE 7-16 7.7.1: 30 psf on the ground: 17.9 pcf; never over 30.
    assert snow.density(30 * PSF) / PCF_KN_M3 == pytest.approx(17.9)
    assert snow.density(500 * PSF) / PCF_KN_M3 == 30


def test_drift_off_a_higher_roof() -> None:
    # A comparison of ASCE 7-16 with 7-22: 25 psf, 40 ft, factors 1.0: pf 17.5, gamma 17.25, hd
    # 2.08 ft, pd 35.8, 53.3 psf at the wall.
    found = snow.step_drift(
        25 * PSF, 17.5 * PSF, upper_mm=40 * FOOT, lower_mm=1 * FOOT, step_mm=12 * FOOT
    )
    assert found
    assert found.height_mm / FOOT == pytest.approx(2.08, abs=5e-3)
    assert found.peak / PSF == pytest.approx(35.8, abs=0.05)
    assert found.peak / PSF + 17.5 == pytest.approx(53.3, abs=0.05)


def test_drift_against_a_wall() -> None:
    # A worksheet of ASCE 7-05: 20 psf (even load 20, the least), 35 ft of lower roof, a step of
    # 4 ft: hb 1.205, hd 0.75 x 1.792 = 1.344 ft, pd 22.3 psf, 5.376 ft wide.
    found = snow.step_drift(
        20 * PSF, 20 * PSF, upper_mm=1 * FOOT, lower_mm=35 * FOOT, step_mm=4 * FOOT
    )
    assert found
    assert found.height_mm / FOOT == pytest.approx(1.344, abs=5e-4)
    assert found.peak / PSF == pytest.approx(22.3, abs=0.05)
    assert found.width_mm / FOOT == pytest.approx(5.376, abs=2e-3)


def test_a_low_step_catches_no_drift_or_a_cut_off_one() -> None:
    even = 20 * PSF
    deep_mm = 20 / 16.6 * FOOT
    lower = {"upper_mm": 40 * FOOT, "lower_mm": 10 * FOOT}
    assert snow.step_drift(20 * PSF, even, step_mm=deep_mm * 1.19, **lower) is None
    # hc 0.5 ft under hd: as high as that, 4 hd^2 / hc wide, 8 hc at most.
    found = snow.step_drift(20 * PSF, even, step_mm=deep_mm + 0.5 * FOOT, **lower)
    assert found
    assert found.height_mm / FOOT == pytest.approx(0.5)
    assert found.width_mm / FOOT == pytest.approx(8 * 0.5)


def test_unbalanced_snow_on_a_gable() -> None:
    # ASCE 7-16 7.6.1 worked out for 4:12, 25 ft from eave to ridge, 30 psf: hd 1.662 ft, 17.18 psf
    # more over 7.68 ft; 0.3 of the even load to windward.
    found = snow.unbalanced_gable(
        30 * PSF, 21 * PSF, importance=1.0, slope_deg=slope(4), run_mm=25 * FOOT
    )
    assert found
    assert found.surcharge / PSF == pytest.approx(17.18, abs=0.01)
    assert found.width_mm / FOOT == pytest.approx(7.68, abs=0.005)
    assert found.windward / PSF == pytest.approx(6.3)
    # To 20 ft: all that lies on the ground, and none to windward. Under 1/2:12 and over 7:12 none.
    words = {"importance": 0.8, "run_mm": 20 * FOOT}
    near = snow.unbalanced_gable(30 * PSF, 21 * PSF, slope_deg=slope(4), **words)
    assert near
    assert (near.windward, near.leeward / PSF) == pytest.approx((0, 24))
    for rise in (0.49, 7.01):
        assert snow.unbalanced_gable(30 * PSF, 21 * PSF, slope_deg=slope(rise), **words) is None


def test_live_load_on_roofs() -> None:
    # ASCE 7-16 4.8.2: 16 x 12 ft at 2:12 20 psf; 6, 8 and 10 in 12 18, 16 and 14; 400 ft2 16; both
    # together never under 12.
    def psf(rise: float, feet2: float) -> float:
        return roof_live(slope(rise), feet2 * FOOT**2) / PSF

    assert psf(2, 192) == pytest.approx(20)
    assert [psf(rise, 100) for rise in (6, 8, 10)] == pytest.approx([18, 16, 14])
    assert psf(3, 400) == pytest.approx(16)
    assert psf(12, 700) == pytest.approx(12)


def test_exposure_by_height() -> None:
    # ASCE 7-16 Table 26.10-1, whose cells are cut to two decimals.
    for terrain, feet, factor in (
        *(("B", 15, 0.57), ("B", 20, 0.62), ("B", 25, 0.66), ("B", 30, 0.70), ("C", 15, 0.85)),
        *(("C", 20, 0.90), ("C", 25, 0.94), ("C", 30, 0.98), ("D", 15, 1.03), ("D", 20, 1.08)),
        *(("D", 30, 1.16), ("B", 3, 0.57)),
    ):
        found = wind.exposure_factor(terrain, feet * FOOT)  # pyright: ignore[reportArgumentType]
        assert factor - 0.002 <= found <= factor + 0.0099


def test_velocity_pressure() -> None:
    # Unit checks of a public library: 90 mph at 40 ft with the table's Kz, C 1.04 18.33 psf, B
    # 0.76 13.4; ASCE 7-22 leaves Kd out: 115 mph, 0.98: 33.18.
    for mph, factor, kd, psf in (
        *((90, 1.04, 0.85, 18.33), (90, 0.76, 0.85, 13.4), (115, 0.98, 1.0, 33.18)),
        # A calculation sheet, exposure C, 33.75 ft, the table's Kh interpolated.
        (136, 1.0025, 0.85, 40.35),
    ):
        q = wind.velocity_pressure(mph * MPH_M_S, factor, directionality=kd)
        assert q / PSF == pytest.approx(psf, rel=2e-3)
    # An L-shaped building in metric: 52 m/s, exposure C, 6.5 and 5 m, Ke 0.987: 1271.2 and
    # 1202.9 Pa, Kz 0.91415 and 0.86503. It has 0.613 Pa for 0.00256 psf, 0.05 % less.
    for metres, factor, pascal in ((6.5, 0.91415, 1271.2), (5.0, 0.86503, 1202.9)):
        found = wind.exposure_factor("C", metres * 1000)
        assert found == pytest.approx(factor, rel=1e-4)
        q = wind.velocity_pressure(52, found, elevation=0.98700)
        assert q * 1000 == pytest.approx(pascal, rel=1e-3)


def test_a_carport() -> None:
    # A calculation record, ASCE 7-16 chapter 27 part 1: 100 mph, exposure B, 8 ft, monoslope of 5
    # degrees, clear flow; 0.6 inside: 0.6 qh 7.50 psf; case A +7.65 and +1.91, case B -7.02 and
    # -0.64 psf. On 438.67 ft2, halves alike, +2.09 and -1.67 kip.
    q = wind.velocity_pressure(100 * MPH_M_S, 0.575)
    assert 0.6 * q / PSF == pytest.approx(7.50, abs=0.02)
    case_a, case_b, *_ = wind.free_roof(q, 5, pitched=False)
    assert [0.6 * p / PSF for p in case_a] == pytest.approx([7.65, 1.91], abs=0.02)
    assert [0.6 * p / PSF for p in case_b] == pytest.approx([-7.02, -0.64], abs=0.02)
    for case, kips in ((case_a, 2.09), (case_b, -1.67)):
        assert sum(0.6 * p / PSF for p in case) / 2 * 438.67 / 1000 == pytest.approx(kips, abs=0.01)
    # Least of all level: 0.6 x 16 psf on 38.23 ft2 of its edge, 0.37 kip.
    least_psf = 0.6 * wind.LEAST / PSF
    assert least_psf * 38.23 / 1000 == pytest.approx(0.37, abs=0.005)


# ASCE 7-16 Figures 27.3-4, 27.3-5 and 27.3-7, clear wind flow: CN of windward and leeward half,
# case A then B; of a monoslope with the wind onto its low edge, then onto its high one.
FREE = """
mono 0 1.2 0.3 -1.1 -0.1
mono 7.5 -0.6 -1.0 -1.4 0 0.9 1.5 1.6 0.3
mono 15 -0.9 -1.3 -1.9 0 1.3 1.6 1.8 0.6
mono 30 -1.8 -1.8 -2.5 -0.5 2.1 2.1 2.6 1.0
pitched 7.5 1.1 -0.3 0.2 -1.2
pitched 22.5 1.1 0.1 -0.1 -0.8
pitched 30 1.3 0.3 -0.1 -0.9
"""


@pytest.mark.parametrize("row", FREE.strip().splitlines())
def test_free_roofs_as_their_figures_have_them(row: str) -> None:
    kind, angle, *values = row.split()
    found = wind.free_cases(float(angle), pitched=kind == "pitched")
    # And along the roof, to h from its edge and from there to 2 h.
    along = [-0.8, -0.6, 0.8, 0.5]
    assert [half for case in found for half in case] == [*map(float, values), *along]


def test_a_free_roof_by_the_case_that_does_most_to_a_bearing() -> None:
    # Of a simple span with -1.9 on one half and none on the other the nearer bearing has 3/8 of
    # 1.9, as of 0.75 x 1.9 all along; -0.9 and -1.3, more in all, give it 3/8 x 1.3 + 1/8 x 0.9.
    building = build(load_scene(SCENES["boat-rack"]))
    climate = paths_of(building).climate
    q = climate.open_q * wind.GUST
    onto, off = free_wind(climate, 15, gable=False)
    assert off == pytest.approx(-0.75 * 1.9 * q)
    assert onto == pytest.approx((0.75 * 1.6 + 0.25 * 1.3) * q)
    # On one side of a ridge the worse half: at 22.5 degrees 1.1 of case A, 0.8 along the roof.
    assert free_wind(climate, 22.5, gable=True) == pytest.approx((1.1 * q, -0.8 * q))


@pytest.mark.parametrize(
    ("slope_deg", "gable", "onto", "field", "edge"),
    [
        # ASCE 7-16 Figures 30.3-2A to D: zones 1 and 2n, 2r and 3e, 10 ft2; the most onto them.
        (5, True, 0.3, -1.7, None),
        (14, True, 0.7, -2.0, -3.0),
        (25, True, 0.7, None, -2.5),
        (35, True, 0.9, -1.8, -2.0),
        # Figure 30.3-5 (from memory): monoslopes, zones 1 and 2 (2' to 10 degrees).
        (8, False, 0.3, -1.1, -1.6),
        (14, False, 0.4, -1.3, -1.6),
    ],
)
def test_enclosed_roofs_as_their_figures_have_them(
    slope_deg: float, gable: bool, onto: float, field: float | None, edge: float | None
) -> None:
    for expected, at_edge in ((field, False), (edge, True)):
        found = wind.roof_coefficients(slope_deg, gable=gable, edge=at_edge)
        assert found[0] == onto
        assert expected in (None, found[1])


def test_a_shed_by_its_parts() -> None:
    # ASCE 7-16 worked out: 115 mph, exposure C, 10 ft: qh 24.43 psf; wall zone 5, 10 ft2, 0.6 W:
    # -23.2 and +17.3 psf. Figure 30.3-1 at 500 ft2: -0.8 and +0.7.
    q = wind.velocity_pressure(115 * MPH_M_S, wind.part_exposure("C", 10 * FOOT))
    assert q / PSF == pytest.approx(24.43, abs=0.02)
    onto, off = wind.wall_pressure(q, 10 * FOOT**2, edge=True)
    assert 0.6 * off / PSF == pytest.approx(-23.2, abs=0.05)
    assert 0.6 * onto / PSF == pytest.approx(17.3, abs=0.05)
    onto, off = wind.wall_pressure(q, 500 * FOOT**2, edge=True)
    assert (onto / q - 0.18, off / q + 0.18) == pytest.approx((0.7, -0.8))


@draws(60)
@given(st.floats(0, 89), st.floats(0, 80), st.booleans())
def test_a_steeper_roof_never_has_more(slope_deg: float, ground_psf: float, slippery: bool) -> None:
    more = slope_deg + 1
    here, there = (
        snow.slope_factor(at, thermal=1.2, slippery=slippery) for at in (slope_deg, more)
    )
    assert there <= here
    assert roof_live(min(more, 89.5), 1e6) <= roof_live(slope_deg, 1e6)
    assert snow.drift_height(ground_psf * PSF, 9000) <= snow.drift_height(
        (ground_psf + 1) * PSF, 9000
    )


def test_wind_gets_under_the_overhangs_of_a_store() -> None:
    # ASCE 7-16 30.9 (from memory): under an overhang as on the wall below it, GCp +1.0 (Figure
    # 30.3-1, 10 ft2), beside what draws at the top. A lookout carries a fly rafter, which hangs out
    # all along.
    paths = paths_of(build(load_scene(SCENES["honey-house"])))
    q = paths.climate.part_q
    assert wind.overhang_lift(q) == pytest.approx(-q)
    by_name = {one.name: one for one in paths.members.every}
    rafter = by_name["rafter 5"]
    low, high = (one.bearing for one in paths.held(rafter))
    under = [one for one in paths.loads(rafter)[Load.UPLIFT] if "under" in one.by]
    ends = [end for one in under for end in (one.from_mm, one.to_mm)]
    assert ends == pytest.approx([0, low.from_mm, high.to_mm, rafter.length_mm])
    # 16 in apart.
    for one in under:
        area = (one.to_mm - one.from_mm) * 16 * 25.4
        assert one.force_n == pytest.approx(-q * 1e-3 * area)
    (fly,) = (one for one in paths.loads(by_name["fly rafter 1"])[Load.UPLIFT] if "under" in one.by)
    assert fly.to_mm - fly.from_mm == pytest.approx(by_name["fly rafter 1"].length_mm)

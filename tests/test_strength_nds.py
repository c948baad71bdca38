"""Adjusted values, columns and combinations against published examples."""

from __future__ import annotations

import itertools
import math
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from measuring import INCH
from pikepole_export.derive.strength import nds
from pikepole_export.derive.strength.beam import Force
from pikepole_export.derive.strength.beam_checks import beam_checks
from pikepole_export.derive.strength.cases import Beam, Sags, Splice, Support
from pikepole_export.derive.strength.check import Rule
from pikepole_export.derive.strength.column import interaction, slenderness
from pikepole_export.derive.strength.combinations import COMBINATIONS, Load, acting
from pikepole_export.derive.strength.nds import Adjusted, Duration, Lumber
from pikepole_export.derive.strength.section import Section
from pikepole_model.scene.timber import Grade
from pikepole_model.stock.design_values import SizeClass, Wood, load_design_values
from pikepole_model.units import PSI_N_MM2
from spans import Table, section_of, simple_span, wood_of


def psi(value: Adjusted) -> float:
    return value.value_n_mm2 / PSI_N_MM2


def inches(breadth: float, depth: float) -> Section:
    return Section(breadth * INCH, depth * INCH)


def timber(species: str, grade: str, breadth: float, depth: float) -> Wood:
    found = load_design_values().find(
        species, grade, breadth_mm=breadth * INCH, depth_mm=depth * INCH
    )
    assert found
    return found


def test_a_wet_joist_under_snow() -> None:
    # CE 479, Fall 2006, wood design example, NDS 2001: 2x8 No. 1 DF-L: Fb' = 1000 x 1.15 x 0.85 x
    # 1.2 = 1173 psi; Fv' = 180 x 1.15 x 0.97 = 201 psi.
    joist = Lumber(wood_of("DF-L", "#1", "2x8"), section_of("2x8"), wet=True)
    assert psi(nds.bending(joist, Duration.SNOW)) == pytest.approx(1173, abs=0.5)
    assert psi(nds.shear(joist, Duration.SNOW)) == pytest.approx(200.8, abs=0.05)


def test_roof_joists_under_snow() -> None:
    # Missouri S&T, wood design problem 4.30: 2x10 No. 2 hem-fir at 16 in, dry: 850 x 1.15 x 1.1 x
    # 1.15 = 1237 psi.
    joist = Lumber(wood_of("HF", "#2", "2x10"), section_of("2x10"), repetitive=True)
    assert psi(nds.bending(joist, Duration.SNOW)) == pytest.approx(1237, abs=0.5)


def test_a_deep_timber_under_lasting_load() -> None:
    # The same: 6x14 No. 2 hem-fir beam, CF = (12 / 13.5)^(1/9) = 0.9870, CD 0.9: 599.6 psi.
    wood = timber("hem-fir", "No. 2", 5.5, 13.5)
    assert wood.size_class is SizeClass.BEAM
    found = nds.bending(Lumber(wood, inches(5.5, 13.5)), Duration.PERMANENT)
    assert psi(found) == pytest.approx(599.6, abs=0.05)
    assert {one.symbol: one.value for one in found.factors}["CF"] == pytest.approx(0.9870, abs=5e-5)


def test_classes_of_timber() -> None:
    # NDS Supplement Table 4D as WWPA prints it: 6x10 and 8x12 are beams, 6x6, 6x8 and 8x10 posts.
    for breadth, depth, kind in (
        *((5.5, 9.5, SizeClass.BEAM), (7.5, 11.5, SizeClass.BEAM), (5.5, 5.5, SizeClass.POST)),
        *((5.5, 7.5, SizeClass.POST), (7.5, 9.5, SizeClass.POST), (3.5, 9.25, SizeClass.DIMENSION)),
    ):
        assert timber("douglas fir-larch", "No. 2", breadth, depth).size_class is kind


def test_a_beam_held_only_at_its_ends() -> None:
    # 4x12 No. 2 DF-L, 12 ft between braces, by the formulas of NDS 3.3.3 in another program: le
    # 268.5 in, RB 15.70, FbE 2822.9, Fb* 990, CL 0.9747.
    beam = Lumber(timber("douglas fir-larch", "No. 2", 3.5, 11.25), inches(3.5, 11.25))
    assert nds.beam_slenderness(beam.section, 144 * INCH) == pytest.approx(15.70, abs=0.005)
    found = nds.bending(beam, Duration.OCCUPANCY, unbraced_mm=144 * INCH)
    assert psi(found) == pytest.approx(990 * 0.9747, abs=0.1)


def test_a_floor_joist_as_a_table_of_moduli_has_it() -> None:
    # AWC Span Tables, table F-2, as quoted by Fisette: 2x12 at 16 in, 40 + 10 psf, L/360, E 0.8
    # million psi: 15-10, and then 790 psi of bending.
    from spans import longest_in, printed

    wood = wood_of("HF", "#2", "2x12", (1e5, 0.8e6))
    table = Table(Load.LIVE, 40, 10, 360)
    span = longest_in(wood, "2x12", 16, table)
    assert printed(span) == "15-10"
    checks = beam_checks(simple_span(Lumber(wood, section_of("2x12")), table, 16, span * INCH))
    bent = next(one for one in checks if one.rule is Rule.BENDING)
    assert bent.demand / PSI_N_MM2 == pytest.approx(790, abs=0.5)


@pytest.mark.parametrize(
    ("least_in", "length_in", "modulus", "crushing", "slender", "ratio", "stable"),
    [
        # 4x4 stud grade southern pine of 10 ft: le/d 34.3, FcE 357.3 psi, CP 0.333 (an example in
        # the way of the HUD Residential Structural Design Guide).
        (3.5, 120, 1.4e6, 975, 34.3, 357.3 / 975, 0.333),
        # Gere, Mechanics of Materials, problem 11.9-31: 3.5 x 7.25 in, of 6 ft and of 10 ft.
        (3.5, 72, 1.3e6, 1000, 20.57, 0.9216, 0.6621),
        (3.5, 120, 1.3e6, 1000, 34.29, 0.3318, 0.3050),
    ],
)
def test_columns_by_the_older_form(
    least_in: float,
    length_in: float,
    modulus: float,
    crushing: float,
    slender: float,
    ratio: float,
    stable: float,
) -> None:
    # All with FcE = 0.3 E' / (le/d)^2, as NDS 1991 to 2001 have it.
    found = slenderness(
        inches(least_in, 2 * least_in), unbraced_mm=(length_in * INCH, length_in * INCH)
    )
    assert found == pytest.approx(slender, abs=0.02)
    critical = 0.3 * modulus / found**2
    assert critical / crushing == pytest.approx(ratio, rel=2e-3)
    assert nds.column_stability(critical, crushing) == pytest.approx(stable, abs=5e-4)


def test_a_post_by_the_present_form() -> None:
    # 6x6 No. 1 DF-L of 8 ft, by NDS 3.7.1 in another program: FcE 1564.9, CP 0.8197, Fc' 819.7 psi,
    # 24,795 lb.
    post = Lumber(timber("douglas fir-larch", "No. 1", 5.5, 5.5), inches(5.5, 5.5))
    slender = slenderness(post.section, unbraced_mm=(96 * INCH, 96 * INCH))
    assert nds.critical_n_mm2(post, Duration.OCCUPANCY, slender) / PSI_N_MM2 == pytest.approx(
        1564.9, abs=0.1
    )
    found = nds.compression(post, Duration.OCCUPANCY, slenderness=slender)
    assert psi(found) == pytest.approx(819.7, abs=0.05)
    assert psi(found) * 5.5**2 == pytest.approx(24795, abs=2)


def test_short_bearings_away_from_the_end() -> None:
    # NDS Table 3.10.4: Cb 1.75, 1.38, 1.25, 1.19, 1.13, 1.10 and 1.00, rounded up: (4 + 3/8) / 4 is
    # 1.094.
    joist = Lumber(wood_of("DF-L", "#2", "2x8"), section_of("2x8"))
    for length, factor in (
        *(
            (0.5, 1.75),
            (1.0, 1.38),
            (1.5, 1.25),
            (2.0, 1.19),
            (3.0, 1.13),
            (4.0, 1.10),
            (6.0, 1.00),
        ),
    ):
        found = nds.bearing(joist, length_mm=length * INCH, from_end_mm=3 * INCH)
        assert psi(found) / 625 == pytest.approx(factor, abs=0.0063)
        assert psi(nds.bearing(joist, length_mm=length * INCH)) == pytest.approx(625)


def test_live_load_lies_where_it_does_most() -> None:
    # A joist over two spans: 49 w L^2 / 512 with one of them loaded, not 9 w L^2 / 128; over the
    # middle w L^2 / 8 with both.
    span, w = 3000.0, 2.0
    joist = Beam(
        name="joist",
        lumber=Lumber(wood_of("SPF", "#2", "2x8"), section_of("2x8"), repetitive=True),
        length_mm=2 * span,
        supports=tuple(Support(at, 0, "girder") for at in (0, span, 2 * span)),
        loads={Load.LIVE: [Force(0, 2 * span, 2 * span * w)]},
        sags=Sags(360, 240, ""),
    )
    most = max(one.peaks.sagging_n_mm for one in joist.live_ways)
    assert most == pytest.approx(49 * w * span**2 / 512)
    assert max(one.peaks.hogging_n_mm for one in joist.live_ways) == pytest.approx(w * span**2 / 8)
    bent = next(one for one in beam_checks(joist) if one.rule is Rule.BENDING)
    assert bent.demand * section_of("2x8").modulus_mm3 == pytest.approx(w * span**2 / 8)


def test_shear_at_a_notched_end() -> None:
    # NDS 3.4.3.2, equation 3.4-3: V' = (2/3 Fv' b dn) (dn / d)^2. A 2x8 of SPF cut by a quarter of
    # its depth over one support, 10 kN spread evenly: 5 kN there; by hand 2/3 x 135 psi x 1-1/2 x
    # 5.4375 in x 0.75^2 is what may be. The other end is whole.
    span, depth = 3000.0, 7.25 * INCH
    rafter = Beam(
        name="rafter",
        lumber=Lumber(wood_of("SPF", "#2", "2x8"), section_of("2x8")),
        length_mm=span,
        supports=(Support(0, 0, "beam", notch_mm=depth / 4), Support(span, 0, "plate")),
        loads={Load.LIVE: [Force(0, span, 10_000.0)]},
        sags=Sags(360, 240, ""),
    )
    (notched,) = (one for one in beam_checks(rafter) if one.rule is Rule.NOTCH)
    allowed = 2 / 3 * 135 * PSI_N_MM2 * 1.5 * INCH * 0.75 * depth * 0.75**2
    assert notched.ratio == pytest.approx(5000 / allowed)


def test_tension_of_a_tie() -> None:
    # NDS Supplement Table 4A: SPF No. 2 Ft 450, CF 1.5 of a 2x4 for Ft as for Fb, snow 1.15.
    tie = Lumber(wood_of("SPF", "#2", "2x4"), section_of("2x4"))
    assert psi(nds.tension(tie, Duration.SNOW)) == pytest.approx(450 * 1.5 * 1.15)


def test_flat_and_on_edge() -> None:
    # NDS Supplement Table 4A: Cfu 1.1 of a 2x4 and 1.15 of a 2x6 and a 2x8, 1.2 from a 2x10.
    for size, factor in (("2x4", 1.1), ("2x6", 1.15), ("2x8", 1.15), ("2x10", 1.2)):
        edge = section_of(size)
        flat = Section(edge.depth_mm, edge.breadth_mm)
        wood = wood_of("SPF", "#2", size)
        laid, stood = (nds.bending(Lumber(wood, one), Duration.SNOW) for one in (flat, edge))
        assert psi(laid) / psi(stood) == pytest.approx(factor)


def test_wet_service_of_every_value() -> None:
    # NDS Supplement Tables 4A and 4D (from memory): CM 0.67 across the grain, 0.8 in compression
    # (1.0 where Fc CF is no more than 750 psi), 0.9 of E and Emin; of timbers 0.67, 0.91 and 1.
    wet, dry = (
        Lumber(wood_of("DF-L", "#2", "2x8"), section_of("2x8"), wet=is_wet)
        for is_wet in (True, False)
    )
    post = timber("douglas fir-larch", "No. 2", 5.5, 5.5)
    post_wet, post_dry = (Lumber(post, inches(5.5, 5.5), wet=is_wet) for is_wet in (True, False))
    for one, other, across, along, stiff in (
        (wet, dry, 0.67, 0.8, 0.9),
        (post_wet, post_dry, 0.67, 0.91, 1.0),
    ):
        pressed = [psi(nds.bearing(lumber, length_mm=150)) for lumber in (one, other)]
        assert pressed[0] / pressed[1] == pytest.approx(across)
        pushed = [
            psi(nds.compression(lumber, Duration.SNOW, slenderness=0)) for lumber in (one, other)
        ]
        assert pushed[0] / pushed[1] == pytest.approx(along)
        assert psi(nds.modulus(one)) / psi(nds.modulus(other)) == pytest.approx(stiff)
        least = [psi(nds.least_modulus(lumber, Duration.SNOW)) for lumber in (one, other)]
        assert least[0] / least[1] == pytest.approx(stiff)
    weak = Lumber(wood_of("SPF", "#3", "2x8"), section_of("2x8"), wet=True)
    assert psi(nds.compression(weak, Duration.OCCUPANCY, slenderness=0)) == pytest.approx(
        650 * 1.05
    )


def test_incising_of_every_value() -> None:
    # NDS 4.3.8: Fb, Ft, Fc and Fv 0.80, E and Emin 0.95, across the grain 1.0.
    cut, whole = (
        Lumber(wood_of("HF", "#2", "2x6"), section_of("2x6"), incised=is_cut)
        for is_cut in (True, False)
    )

    def values(one: Lumber) -> list[float]:
        found = (
            nds.bending(one, Duration.SNOW),
            nds.tension(one, Duration.SNOW),
            nds.compression(one, Duration.SNOW, slenderness=0),
            nds.shear(one, Duration.SNOW),
            nds.modulus(one),
            nds.least_modulus(one, Duration.SNOW),
            nds.bearing(one, length_mm=150),
        )
        return [psi(value) for value in found]

    shares = [less / all_of_it for less, all_of_it in zip(values(cut), values(whole), strict=True)]
    assert shares == pytest.approx([0.80, 0.80, 0.80, 0.80, 0.95, 0.95, 1.0])


@pytest.mark.parametrize(
    ("length_ft", "kip"),
    # Gere, Mechanics of Materials, problem 11.9-31: 16.8 kip of 6 ft, 7.7 kip of 10 ft.
    [(6, 16.8), (10, 7.7)],
)
def test_what_a_column_bears_by_the_older_form(length_ft: float, kip: float) -> None:
    long_mm = length_ft * 12 * INCH
    slender = slenderness(inches(3.5, 7.25), unbraced_mm=(long_mm, long_mm))
    stable = nds.column_stability(0.3 * 1.3e6 / slender**2, 1000)
    assert 1000 * stable * 3.5 * 7.25 / 1000 == pytest.approx(kip, abs=0.05)


def test_shear_is_that_its_depth_from_supports() -> None:
    # NDS 3.4.3.1: w (L / 2 - d) under an even load.
    lumber = Lumber(wood_of("SPF", "#2", "2x8"), section_of("2x8"))
    span = 3000.0
    beam = Beam(
        name="joist",
        lumber=lumber,
        length_mm=span,
        supports=(Support(0, 0, "plate"), Support(span, 0, "plate")),
        loads={Load.LIVE: [Force(0, span, 2.0 * span)]},
        sags=Sags(360, 240, ""),
    )
    (shear,) = (one for one in beam_checks(beam) if one.rule is Rule.SHEAR)
    depth = 7.25 * INCH
    assert shear.demand == pytest.approx(1.5 * 2.0 * (span / 2 - depth) / (1.5 * INCH * depth))


def test_a_joint_of_plies_is_told_by_the_post_it_is_over() -> None:
    # Over the middle of two equal spans: w L2 / 8 (AISC Manual Table 3-23), by one ply of three.
    span, w = 3000.0, 4.0
    beam = Beam(
        name="front beam",
        lumber=Lumber(wood_of("SPF", "#2", "2x10"), section_of("2x10", 3)),
        length_mm=2 * span,
        supports=tuple(Support(n * span, 90, f"post {n + 1}") for n in range(3)),
        loads={Load.LIVE: [Force(0, 2 * span, w * 2 * span)]},
        sags=Sags(360, 240, ""),
        splices=(Splice(span, 1),),
    )
    (bent,) = (one for one in beam_checks(beam) if one.rule is Rule.BENDING)
    assert bent.place == "at post 2, where only 1 of 3 plies is in one piece"
    modulus = 1.5 * 9.25**2 / 6 * INCH**3
    assert bent.demand == pytest.approx(w * span**2 / 8 / modulus, rel=1e-3)


def test_uplift_is_held_by_six_tenths_of_the_weight() -> None:
    # A discussion of combination 7: against 6,000 lb of uplift, of allowable stress, 10,000 lb.
    (held,) = (one for one in COMBINATIONS if one.name == "0.6D + 0.6Wu")
    assert held.of({Load.DEAD: 10_000, Load.UPLIFT: -6_000 / 0.6}) == pytest.approx(0)


def test_combinations_add_up() -> None:
    # ASCE 7-16 2.4.1 with D 10, Lr 20, W +12 and -30 psf: 30; 10 + 5.4 + 15; 6 - 18.
    values = {Load.DEAD: 10.0, Load.ROOF_LIVE: 20.0, Load.WIND: 12.0, Load.UPLIFT: -30.0}
    by_name = {one.name: one for one in COMBINATIONS}
    assert by_name["D + Lr"].of(values) == pytest.approx(30)
    assert by_name["D + 0.75L + 0.45W + 0.75Lr"].of(values) == pytest.approx(30.4)
    assert by_name["0.6D + 0.6Wu"].of(values) == pytest.approx(-12)
    assert min(one.of(values) for one in COMBINATIONS) == pytest.approx(-12)


def test_what_is_not_there_takes_no_part_and_lends_no_duration() -> None:
    # Without live load, D + 0.75L + 0.75S is D + 0.75S; snow lets it stand 1.15, a lone dead load
    # 0.9 (NDS Table 2.3.2).
    found = {one.name: one.duration for one in acting(frozenset({Load.DEAD, Load.SNOW}))}
    assert found == {
        "D": Duration.PERMANENT,
        "D + S": Duration.SNOW,
        "D + 0.75S": Duration.SNOW,
        "0.6D": Duration.PERMANENT,
    }


def test_pressed_and_bent_together() -> None:
    # NDS 3.9.2 with half of what may press, and of buckling: 0.25 + fb / (Fb' / 2).
    found = interaction(
        pressed_n_mm2=3,
        may_be_pressed_n_mm2=6,
        bent_n_mm2=2,
        may_be_bent_n_mm2=8,
        critical_n_mm2=6,
    )
    assert found == pytest.approx(0.25 + 2 / 4)
    buckled = interaction(
        pressed_n_mm2=6, may_be_pressed_n_mm2=6, bent_n_mm2=1, may_be_bent_n_mm2=8, critical_n_mm2=6
    )
    assert buckled == math.inf


ROOF = Table(Load.SNOW, 30, 10, 180)


def ratios(
    size: str, span_mm: float, spacing_in: float, species: str, *, wet: bool = False
) -> dict[Rule, float]:
    lumber = Lumber(
        wood_of(species, "#2", size), section_of(size), wet=wet, incised=wet, repetitive=True
    )
    beam = simple_span(lumber, ROOF, spacing_in, span_mm)
    return {one.rule: one.ratio for one in beam_checks(beam)}


@draws(40)
@given(st.floats(600, 6000), st.floats(1.0, 1.5), st.sampled_from(["SPF", "HF", "SP", "DF-L"]))
def test_a_longer_span_never_lowers_a_ratio(span_mm: float, longer: float, species: str) -> None:
    short, long = (ratios("2x8", span_mm * factor, 16, species) for factor in (1, longer))
    assert all(long[rule] >= short[rule] * (1 - 1e-9) for rule in short)
    # As much as its power: an even load bends by the square and sags by the cube over its length.
    assert long[Rule.BENDING] == pytest.approx(short[Rule.BENDING] * longer**2)
    assert long[Rule.LIVE_SAG] == pytest.approx(short[Rule.LIVE_SAG] * longer**3)


@draws(20)
@given(st.floats(800, 3000), st.floats(0.4, 2.5), st.floats(0.05, 0.3), st.floats(1.0, 1.4))
def test_longer_spans_of_a_beam_on_three_bearings_never_lower_a_ratio(
    span_mm: float, beside: float, out: float, longer: float
) -> None:
    # With two spans and an end that hangs out, all grown alike.
    lumber = Lumber(wood_of("HF", "#2", "2x10"), section_of("2x10", 2))

    def found(size: float) -> dict[Rule, float]:
        places = [0.0, size, size * (1 + beside)]
        length = places[-1] + size * out
        beam = Beam(
            name="beam",
            lumber=lumber,
            length_mm=length,
            supports=tuple(Support(at, 90, "post") for at in places),
            loads={
                load: [Force(0, length, n_mm * length)]
                for load, n_mm in ((Load.DEAD, 1.0), (Load.LIVE, 3.0), (Load.SNOW, 2.0))
            },
            sags=Sags(360, 240, ""),
        )
        return {one.rule: one.ratio for one in beam_checks(beam)}

    short, long = found(span_mm), found(span_mm * longer)
    assert all(long[rule] >= short[rule] * (1 - 1e-9) for rule in short)


@draws(40)
@given(
    st.floats(600, 6000),
    st.sampled_from([12.0, 16.0, 24.0]),
    st.sampled_from(["SPF", "SP", "HF", "DF-L"]),
    st.booleans(),
)
def test_a_deeper_section_never_raises_a_ratio(
    span_mm: float, spacing_in: float, species: str, wet: bool
) -> None:
    # Size factors and values by size fall with depth, but slower than the section modulus grows.
    sizes = ("2x4", "2x6", "2x8", "2x10", "2x12")
    found = [ratios(size, span_mm, spacing_in, species, wet=wet) for size in sizes]
    for shallow, deep in itertools.pairwise(found):
        assert all(deep[rule] <= shallow[rule] * (1 + 1e-9) for rule in shallow)


@draws(40)
@given(st.floats(0.05, 60), st.floats(1.01, 2))
def test_a_more_slender_column_bears_less(slender: float, more: float) -> None:
    post = Lumber(wood_of("SPF", "#2", "2x4"), section_of("2x4"))
    one, other = (
        psi(nds.compression(post, Duration.SNOW, slenderness=value))
        for value in (slender, slender * more)
    )
    assert 0 < other < one


def test_every_grade_that_a_scene_may_name_has_values() -> None:
    # Of each species that has any in 2 in lumber, but northern species, of which No. 2 alone is in.
    for species in ("douglas fir-larch", "hem-fir", "spruce-pine-fir", "southern pine"):
        for grade in get_args(Grade):
            assert timber(species, grade, 1.5, 7.25).bending_n_mm2 > 0

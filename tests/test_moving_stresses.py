"""Shear and crushing of what is moved and what carries it, worked out by hand.

Sources: NDS 3.4.2 (fv = 3 V / 2 b d), 3.10.2 (fc-perp = R / A), 4.2.6 (Fc-perp at a dent of 0.04
in), 4.3.3 and 4.3.8 (wet, incised); reference values by NDS Supplement 2015 to 2024, Tables 4A, 4B
and 4D. All from memory but where a published example is named.
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks import lumber
from draws import draws
from pikepole_export.derive.moving.design_values import Stress, wood_values
from pikepole_export.derive.moving.rollers import on_pipe_mm, pipe_for_mm
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.scene.crew import Crew, Jack
from pikepole_model.units import parse_length
from test_moving_against import PIPES, at, figure, keys, rolled
from test_moving_against import plan_of as honey_plan
from test_moving_statics import GRAVITY, PSI, SKID_KG, TRAILER, plan_of, standing


@pytest.mark.parametrize(
    ("species", "breadth", "treated", "wet", "shear", "bearing"),
    [
        # Tables 4A and 4B, dry; wet 0.97 on Fv, 0.67 on Fc-perp; incised 0.80 on Fv alone.
        ("douglas fir-larch", 1.5, False, False, 180, 625),
        # A course's worked example of a wet joist (CE 479, Fall 2006, on NDS 2001): 180 x 0.97 x
        # 1.15 for snow, 200.8, printed 201 psi; what is wet and not treated is not incised.
        ("douglas fir-larch", 1.5, False, True, 180 * 0.97, 625 * 0.67),
        ("spruce-pine-fir", 3.5, True, True, 135 * 0.97 * 0.80, 425 * 0.67),
        ("hem-fir", 1.5, True, True, 150 * 0.97 * 0.80, 405 * 0.67),
        ("southern pine", 3.5, True, True, 175 * 0.97, 565 * 0.67),
        # Table 4D: timbers are not sheared worse for being wet, and southern pine's are wet as
        # they stand there.
        ("spruce-pine-fir", 5.5, False, True, 125, 425 * 0.67),
        ("southern pine", 5.5, True, True, 165, 375),
    ],
)
def test_values_of_shear_and_bearing(
    species: str, breadth: float, treated: bool, wet: bool, shear: float, bearing: float
) -> None:
    found = wood_values(
        species, "No. 2", breadth_mm=breadth * 25.4, depth_mm=7.25 * 25.4, treated=treated, wet=wet
    )
    assert found
    assert found.shear.value_n_mm2 == pytest.approx(shear * PSI, rel=1e-3)
    assert found.bearing.value_n_mm2 == pytest.approx(bearing * PSI, rel=1e-3)


def test_skids_on_forks_are_sheared_and_crushed() -> None:
    # 40 kg evenly over 4 m, on forks 2 m apart about the middle: half on each. Over 1 m past a fork
    # 1/4 hangs out, and 1/4 is between it and the middle: V = 40 g / 4. 100 x 200 mm, forks of 120.
    found = plan_of(standing(fork_spacing="2 m", fork_width="120 mm")).on_forks
    assert found
    w = SKID_KG * GRAVITY
    for one in found.frame.members:
        assert one.shear_n_mm2 == pytest.approx(1.5 * w / 4 / (100 * 200))
        assert one.bearing_n_mm2 == pytest.approx(w / 2 / (100 * 120))
        assert one.jerked_n_mm2(Stress.BEARING) == pytest.approx(1.4 * w / 2 / (100 * 120))


def test_carrying_beams_are_sheared_and_crushed() -> None:
    # Forks 1500 long: a beam of 2200, 88.9 x 139.7, on heel and tip. Each skid's 40 kg lie half on
    # each beam at 50, 1050 and 2050. Moments about the heel, the tip has
    # ((50 + 1050 + 2050) F + 2200 / 2 B) / 1500; past it F and 700 / 2200 of the beam hang out.
    beams = {"section": "4x6", "length": "2200 mm"}
    words: dict[str, Any] = {"fork": "1500 mm", "fork_spacing": "2 m", "fork_width": "150 mm"}
    found = plan_of(standing(beams=beams, **words)).on_forks
    assert found
    assert found.beam
    own, half = found.beam.mass.high_kg * GRAVITY, SKID_KG * GRAVITY / 2
    tip = (3150 * half + 1100 * own) / 1500
    out = half + own * 700 / 2200
    shear = max(out, tip - out)
    assert found.beam.shear_n_mm2 == pytest.approx(1.5 * shear / (88.9 * 139.7))
    # A skid 100 broad presses on a beam of 88.9; the beam on a fork of 150, square to it.
    pressed = half / (100 * 88.9)
    assert found.frame.members[0].bearing_n_mm2 == pytest.approx(pressed)
    assert found.beam.bearing_n_mm2 == pytest.approx(max(pressed, tip / (88.9 * 150)))


def test_a_bearer_on_one_jack_has_all_of_its_end() -> None:
    # 120 kg on four jacks, half at each end, and where it rocks all of that on one; a block of
    # 88.9 mm, as high as a layer of cribbing, on a skid of 100.
    jack = Jack.model_validate({"kind": "jack", "rating": "2 t", "stroke": "120 mm"})
    found = plan_of(standing(way="jacks", crew=Crew(gear=(jack,)))).on_jacks
    for one in found.frame.members:
        assert one.bearing_n_mm2 == pytest.approx(60 * GRAVITY / (100 * 88.9))


def test_a_pipe_lies_as_broad_as_its_dent() -> None:
    # A chord 0.04 in up a pipe of 2 in: 2 sqrt(1^2 - 0.96^2) = 0.56 in.
    assert on_pipe_mm(2 * 25.4) == pytest.approx(0.56 * 25.4)
    assert pipe_for_mm(0.56 * 25.4) == pytest.approx(2 * 25.4)
    pipes = {"count": 8, "diameter": "2 in", "length": "4 m", "rating": "2 t"}
    found = plan_of(standing(way="rollers", side="left", pipes=pipes)).on_pipes
    assert found
    for one in found.frame.members:
        assert one.bearing_n_mm2 == pytest.approx(SKID_KG * GRAVITY / 2 / (100 * 0.56 * 25.4))


def test_skids_across_a_deck_lie_on_its_edges() -> None:
    # Half of each skid on each edge of the deck, over 2 in of steel.
    found = plan_of(standing(way="trailer", trailer=TRAILER)).on_trailer
    assert found
    for one in found.frame.members:
        assert one.bearing_n_mm2 == pytest.approx(SKID_KG * GRAVITY / 2 / (100 * 2 * 25.4))


def test_what_is_crushed_is_told_how_broad_it_has_to_lie(honey_house: Building) -> None:
    # Forks of 2 in under skids of 3-1/2: skid 1's half of 1022 lb and 1.4 for jerks are 102 psi of
    # southern pine's 565 x 0.67 = 379. So narrow ones as a scene may have crush none of it; pipes
    # of an inch do, which two of six have to bear.
    forks: dict[str, Any] = {"fork": "9 ft 6 in", "fork_spacing": "6 ft"}
    assert keys(honey_plan(honey_house, fork_width="2 in", **forks)) == []
    thin = {**PIPES, "diameter": "1 in"}
    plan = rolled(honey_house, pipes=thin)
    problem = at(plan, "move.pipes.diameter")
    assert "be crushed past" in problem.wrong
    mended = {**thin, "diameter": figure(problem)}
    assert keys(rolled(honey_house, pipes=mended)) == []


def test_forks_and_blocks_that_crush_are_told_how_broad_they_have_to_be() -> None:
    # 10.5 t on three skids: the middle one has half of what lies between the others' middles, so
    # that of 1 m, 5 t, less what hangs out past these, 250 kg at each end 25 mm past, and 40 kg of
    # its own. On forks 50 broad, half of it on each, with 1.4 for jerks: 425 psi ask for so much.
    stack = lumber("stack", Kind.STUD, (0, 0, 200), (4000, 2100, 2700))
    plan = plan_of(standing(stack, fork_width="50 mm"))
    middle_kg = 4.0 * 1.0 * 2.5 * 500 - 2 * 250 * 25 / 1000 + SKID_KG
    assert plan.on_forks
    assert plan.on_forks.frame.members[1].carries.high_kg == pytest.approx(middle_kg)
    needed_mm = 1.4 * middle_kg / 2 * GRAVITY / (425 * PSI * 100)
    problem = at(plan, "move.fork_width")
    assert problem.wrong.startswith("lets skid 2 be crushed")
    told = re.fullmatch(r"give at least (\d+ mm)", problem.mend)
    assert told
    assert parse_length(told[1]) == pytest.approx(needed_mm, abs=1.0)
    assert "move.fork_width" not in keys(plan_of(standing(stack, fork_width=told[1])))
    # On blocks of 45 mm; one jack has all of an end where it rocks: half of 10,620 kg, 1.2 for
    # jerks, on a skid of 100.
    words = {"kind": "jack", "rating": "20 t", "stroke": "300 mm"}
    jack = Jack.model_validate({**words, "layer": "45 mm"})
    raised = plan_of(standing(stack, way="jacks", crew=Crew(gear=(jack,))))
    needed_mm = 1.2 * (10500 + 3 * SKID_KG) / 2 * GRAVITY / (425 * PSI * 100)
    told = re.fullmatch(r"give at least (\d+ mm)", at(raised, "crew.gear[1].layer").mend)
    assert told
    assert parse_length(told[1]) == pytest.approx(needed_mm, abs=1.0)
    broad = Crew(gear=(Jack.model_validate({**words, "layer": told[1]}),))
    assert "crew.gear[1].layer" not in keys(plan_of(standing(stack, way="jacks", crew=broad)))


@draws(10)
@given(st.integers(50, 390), st.integers(1, 10))
def test_a_broader_fork_never_crushes_more(width_mm: int, more_mm: int) -> None:
    def crushed(mm: int) -> list[float]:
        found = plan_of(standing(fork_width=f"{mm} mm")).on_forks
        assert found
        return [one.bearing_n_mm2 for one in found.frame.members]

    narrow, broad = crushed(width_mm), crushed(width_mm + more_mm)
    assert all(less < more for less, more in zip(broad, narrow, strict=True))

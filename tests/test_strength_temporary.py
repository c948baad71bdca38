"""What stands on braces and what hangs on forks and jacks is held against rules too."""

from __future__ import annotations

import math

import pytest

from conftest import FORMS
from measuring import INCH
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.derive.moving.design_values import Stress
from pikepole_export.derive.moving.plan import plan_moves
from pikepole_export.derive.moving.temporary import temporary_checks
from pikepole_export.derive.strength.check import Check, Rule
from pikepole_export.derive.strengths import every_strength
from pikepole_model.build import build
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.units import POUND_FORCE_N, PSI_N_MM2


@pytest.fixture
def checks(honey_house: Building) -> dict[tuple[str, Rule], Check]:
    return {(one.sort, one.rule): one for one in every_strength(honey_house).checks}


def test_every_wall_and_post_has_the_braces_of_the_lift_plan(
    honey_house: Building, checks: dict[tuple[str, Rule], Check]
) -> None:
    braced = [lift for lift in lift_plan(honey_house).lifts if lift.bracing]
    assert braced
    for lift in braced:
        joint = checks[f"braces of {lift.item.name}", Rule.JOINT]
        assert lift.bracing
        if lift.in_halves:  # each half has braces of its own; here all of it stands
            assert joint.demand > lift.bracing.brace_n
            continue
        assert joint.demand == pytest.approx(lift.bracing.brace_n)
        # 120 lb a 16d common nail in spruce-pine-fir, NDS Table 12N.
        assert joint.capacity == pytest.approx(lift.bracing.nails * 120 * POUND_FORCE_N)
        assert not joint.is_over


def test_a_brace_as_a_column_by_hand(checks: dict[tuple[str, Rule], Check]) -> None:
    # 2x4 of SPF No. 2 over its 1-1/2 in: FcE 0.822 x 510,000 / (le/d)^2; Fc* 1150 x 1.6 x 1.15
    # (NDS 3.7.1, Supplement Table 4A); le/d up to 75 while building (3.7.1.4).
    slender = checks["braces of front wall", Rule.SLENDERNESS]
    assert slender.capacity == pytest.approx(75)
    ratio = 0.822 * 510e3 / slender.demand**2 / (1150 * 1.6 * 1.15)
    half = (1 + ratio) / 1.6
    stable = half - math.sqrt(half**2 - ratio / 0.8)
    pushed = checks["braces of front wall", Rule.COMPRESSION]
    assert pushed.capacity / PSI_N_MM2 == pytest.approx(1150 * 1.6 * 1.15 * stable, rel=1e-6)
    of_it = {one.symbol: one.value for one in pushed.numbers}
    assert pushed.demand == pytest.approx(of_it["P"] / (1.5 * 3.5 * INCH**2))


def test_a_brace_in_millimetres_is_no_longer_either() -> None:
    # Braces of 38 x 89 mm; le/d up to 75 while building (NDS 3.7.1.4), so 2850 mm.
    building = build(load_scene(FORMS["garden-classroom"]))
    rows = [one for one in temporary_checks(building) if one.check.rule is Rule.SLENDERNESS]
    assert {one.check.capacity for one in rows} == {75.0}
    # The back wall's would be longer, two thirds up its 2.8 m and more at 45 degrees.
    longest = max(rows, key=lambda one: one.check.demand)
    assert longest.check.demand == pytest.approx(75)
    assert not longest.check.is_over
    assert all(one.check.numbers[0].value <= 75 * 38 + 1e-6 for one in rows)


def test_the_frame_on_its_way_is_what_the_move_says(
    honey_house: Building, checks: dict[tuple[str, Rule], Check]
) -> None:
    plan = plan_moves(honey_house).plan
    assert plan
    assert plan.on_forks
    forks = plan.on_forks
    for stress, rule in (
        (Stress.BENDING, Rule.BENDING),
        (Stress.SHEAR, Rule.SHEAR),
        (Stress.BEARING, Rule.BEARING),
    ):
        skid = checks["skid on forks", rule]
        worst = max(one.share_of_value(stress) for one in forks.frame.members)
        assert skid.ratio == pytest.approx(worst)
        # 1.4 for jerks on a mobile machine (guidance for precast concrete, by analogy).
        of_it = {one.symbol: one.value for one in skid.numbers}
        assert skid.demand == pytest.approx(1.4 * of_it["at rest"])
    beam = checks["carrying beam on forks", Rule.BENDING]
    assert forks.beam
    assert beam.ratio == pytest.approx(forks.beam.share_of_value(Stress.BENDING))
    assert checks["floor joist on jacks", Rule.BENDING].of > 1

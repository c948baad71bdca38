"""What draws a building on rollers: winch, strap, anchor, and the ramp that it goes up; by hand.

Sources: pull W (sin a + mu cos a) and beams on two supports, any textbook of statics; a sheave
takes a tenth, and up to twice the friction of the rollers: common practice, no source.
"""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conftest import SCENES
from draws import draws
from pikepole_export.derive.lifting.cautions import cautions_of
from pikepole_export.derive.lifting.plan import lift_plan
from pikepole_export.derive.moving.plan import MovePlan
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.crew import Crew, Winch
from pikepole_model.units import parse_mass
from test_moving_against import ROLLED, WINCH, at, figure, keys, rolled
from test_moving_against import plan_of as honey_plan
from test_moving_statics import GRAVITY, SKID_KG, plan_of, standing

RAMP = {"height": "300 mm", "length": "2 m", "plank": "4x12"}


def drawn(rating: str = "4 t", parts: int = 1, **words: Any) -> MovePlan:
    """The skids on pipes behind a winch."""
    winch = Winch.model_validate({"kind": "winch", "rating": rating, "parts": parts})
    rolls = {**ROLLED, "pipes": {**ROLLED["pipes"], "length": "4 m"}}
    return plan_of(standing(crew=Crew(gear=(winch,)), **{**rolls, **words}))


def test_winch_strap_and_anchor_hold_the_hardest_pull() -> None:
    # 120 kg up 300 in 2000, sin a = 0.15, with friction 0.2, twice that of the rollers; two parts
    # of line over one sheave. The anchor has both of them.
    found = drawn(parts=2, ramp=RAMP).on_rollers
    force_kg = 3 * SKID_KG * (0.15 + 0.2 * math.sqrt(1 - 0.15**2))
    assert found.rise_deg == pytest.approx(math.degrees(math.asin(0.15)))
    assert found.strap_kg == pytest.approx(force_kg)
    assert found.winch_kg == pytest.approx(force_kg / 2 * 1.1)
    assert found.anchor_kg == pytest.approx(force_kg * 1.1)
    # It is held by W sin a, friction left out.
    assert found.holding_n == pytest.approx(3 * SKID_KG * 0.15 * GRAVITY)


def test_runners_are_drawn_too() -> None:
    beams = {"section": "4x6", "length": "2200 mm"}
    plan = drawn(side="front", beams=beams, fork_spacing="2 m")
    assert plan.on_pipes
    assert plan.on_pipes.beam
    mass_kg = 3 * SKID_KG + 2 * plan.on_pipes.beam.mass.high_kg
    assert plan.on_rollers.strap_kg == pytest.approx(0.2 * mass_kg)


def test_a_row_of_planks_has_half_of_it_in_one_place() -> None:
    # Planks of 4x12, 88.9 thick and 285.75 broad, two in a row, propped every 600 mm; spruce dry.
    found = drawn(ramp={**RAMP, "props": "600 mm"}).on_ramp
    assert found
    load, broad = 3 * SKID_KG * GRAVITY / 2, 2 * 285.75
    assert found.pieces == 4
    assert found.stress_n_mm2 == pytest.approx(load * 600 / 4 / (broad * 88.9**2 / 6))
    assert found.shear_n_mm2 == pytest.approx(1.5 * load / (broad * 88.9))
    assert found.bearing_n_mm2 == pytest.approx(load / (broad * 88.9))
    assert found.impact == 1.2


def test_what_has_no_rating_or_too_little_is_told_what_it_takes(honey_house: Building) -> None:
    bare = {key: value for key, value in ROLLED.items() if key != "pull"}
    plan = honey_plan(honey_house, (), **bare)
    assert keys(plan) == ["move.way", "move.pull"]
    assert "and the crew has none" in at(plan, "move.way").wrong
    needed = re.findall(r"at least (\d+ lb)", at(plan, "move.pull").mend)
    # On the level with friction 0.2: a fifth of what it weighs, on each of the three.
    fifth = 0.2 * plan.row.mass.high_kg
    assert [parse_mass(one) for one in needed] == pytest.approx([fifth, fifth], rel=2e-3)
    pull = dict(zip(("strap", "anchor"), needed, strict=True))
    rating = re.search(r"rated at least (\d+ lb)", at(plan, "move.way").mend)
    assert rating
    winch = Winch.model_validate({"kind": "winch", "rating": rating[1]})
    assert keys(honey_plan(honey_house, (winch,), **bare, pull=pull)) == []
    for key in pull:
        weak = rolled(honey_house, pull={**pull, key: "200 lb"})
        assert keys(weak) == [f"move.pull.{key}"]
        assert parse_mass(figure(weak.problems[0])) == pytest.approx(fifth, rel=2e-3)
    light = WINCH.model_copy(update={"rating": 50.0})
    (problem,) = honey_plan(honey_house, (light,), **ROLLED).problems
    assert problem.key == "crew.gear[1].rating"


def test_planks_that_bend_too_far_are_told_where_to_prop_them(honey_house: Building) -> None:
    ramp = {"height": "1 ft", "length": "10 ft", "plank": "4x12"}
    props = figure(at(rolled(honey_house, ramp=ramp), "move.ramp.props"))
    assert keys(rolled(honey_house, ramp={**ramp, "props": props})) == []
    thin = {**ramp, "plank": "2x12", "props": "12 in", "planks": 1}
    more = at(rolled(honey_house, ramp=thin), "move.ramp.props").mend
    planks = re.fullmatch(r"give move.ramp.planks (\d)", more)
    assert planks, more
    assert keys(rolled(honey_house, ramp={**thin, "planks": int(planks[1])})) == []


def test_planks_of_a_ramp_are_bought_and_lifted() -> None:
    scene = load_scene(SCENES["honey-house"])
    assert scene.move
    move = scene.move.model_validate(
        {"after": scene.move.after, **ROLLED, "ramp": {**RAMP, "planks": 3}}
    )
    building = build(scene.model_copy(update={"move": move}))
    planks = [part for part in building.temporary if part.kind is Kind.RAMP_PLANK]
    # Two rows of three, 2 m long, flat on the ground and clear of the building.
    assert [part.length_mm for part in planks] == pytest.approx([2000.0] * 6)
    for part in planks:
        low, high = part.bounds_mm
        assert (low[2], high[2]) == pytest.approx((0, 88.9))
        assert high[0] < 0


@draws(10)
@given(st.floats(0.01, 0.5), st.floats(0, 0.4), st.integers(0, 10), st.integers(0, 5))
def test_a_harder_way_never_asks_for_a_weaker_winch(
    friction: float, more: float, rise: int, steeper: int
) -> None:
    def asks(mu: float, deg: int) -> float:
        return drawn(friction=mu, rise=f"{deg} deg").on_rollers.winch_kg

    assert asks(friction + more, rise + steeper) >= asks(friction, rise) * (1 - 1e-9)


def test_a_carrying_beam_is_told_what_it_goes_on(honey_house: Building) -> None:
    # Two of 4x8, 9 ft 6 in, after all else of the stage, where they would lie in the way.
    plan = lift_plan(honey_house)
    (lift,) = (one for one in plan.lifts if one.item.kind is Kind.CARRYING_BEAM)
    assert lift.item.times == 2
    assert any("brake set" in text for text in cautions_of(lift, "imperial"))
    assert plan.calendar.order[lift.item.stage][-1] == lift.number

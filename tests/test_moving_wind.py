"""The wind in which a building is set down, worked out by hand, and what else is told on the way.

Sources: velocity pressure 0.613 v2 (ASCE 7-16, equation 26.10-1); 0.8 on the windward wall and 0.5
off the other (figure 27.3-1, from memory); 20 mph as trade articles on cranes have it; 35 mph gusts
at a mean of 23 mph (NFRC guidance, as quoted).
"""

from __future__ import annotations

import math
import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks import lumber
from conftest import SCENES
from draws import draws
from pikepole_export.derive.moving.plan import plan_moves
from pikepole_export.derive.moving.tipping import move_wind, tipping_gust_m_s
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from strategies import scene_of
from test_moving_against import ROLLED
from test_moving_against import plan_of as honey_plan
from test_moving_statics import GRAVITY, LOW, plan_of, standing

MPH = 0.44704
FORKS: dict[str, Any] = {"fork": "9 ft 6 in", "fork_spacing": "5 ft 6 in"}


def test_the_gust_that_tips_a_tall_rack() -> None:
    # On the skids, 4 x 2.1 m, stands a wall of 50 mm all along at y = 1025 to 1075, 2.8 m high; all
    # balances over the middle of the side and at 1050 into it. Forks 1 m apart: 500 to each side;
    # it leans by one in ten of how high it balances, and must hold one and a half times over.
    wall = lumber("wall", Kind.STUD, (0, 1025, 200), (4000, 1075, 3000))
    plan = plan_of(standing(wall, fork_spacing="1 m"))
    assert plan.on_forks
    margins = plan.on_forks.frame.margins
    skids, rack = 3 * 4.0 * 0.1 * 0.2, 4.0 * 0.05 * 2.8
    height = (skids * 100 + rack * 1600) / (skids + rack)
    assert margins.height_mm == pytest.approx(height)
    weight = (skids + rack) * LOW * GRAVITY
    gusts: list[float] = []
    # Over the near or far skid, 1 m off, wind on 4 x 3 m; over a fork, half as far, on 2.1 x 3 m.
    for off, wide in ((1.0, 4.0), (0.5, 2.1)):
        force = weight * (off - 0.1 * height / 1000) / 1.5 / 1.5
        gusts.append(math.sqrt(force / (0.613 * 1.3 * wide * 3.0)))
    assert margins.tips_in_m_s == pytest.approx(min(gusts))


def test_it_is_set_down_by_the_rule_or_before_it_tips() -> None:
    assert move_wind(40.0).stop_m_s == pytest.approx(20 * MPH)
    assert move_wind(40.0).is_by_rule
    low = move_wind(10.0)
    assert low.stop_m_s == pytest.approx(10 * 23 / 35)
    assert not low.is_by_rule


@draws(25)
@given(st.floats(0, 1e7), st.floats(0, 1e7), st.floats(500, 9000), st.floats(500, 5000))
def test_what_holds_more_tips_in_no_weaker_gust(
    holds: float, more: float, wide: float, high: float
) -> None:
    def gust(n_mm: float) -> float:
        return tipping_gust_m_s(holds_n_mm=n_mm, wide_mm=wide, high_mm=high, safety=1.5)

    assert gust(holds + more) >= gust(holds)
    assert gust(-1.0) == 0.0


def test_footings_beside_its_bed_are_told(honey_house: Building) -> None:
    # The bay has a post in each wall line; its footings stand 3 in over the ground where a scene
    # does not say. Cast when it stands there they are in nobody's way; here they are cast before.
    plan = plan_moves(honey_house).plan
    assert plan
    assert not [one for one in plan.conduct.down if "footing" in one.text]
    order = {
        stage.name: list(dict.fromkeys(part.group for part in stage.parts))
        for stage in honey_house.stages
    }
    order["Foundation"] += order.pop("Bay footings")
    table = tomllib.loads(SCENES["honey-house"].read_text(encoding="utf-8"))
    table["stage"] = [{"name": name, "groups": groups} for name, groups in order.items()]
    plan = plan_moves(build(scene_of(table))).plan
    assert plan
    told = [one for one in plan.conduct.down if "footing" in one.text]
    assert [one.count for one in told] == [2]
    assert '3"' in told[0].text


def test_cribbing_is_counted_for_four_corners(honey_house: Building) -> None:
    # Two pieces to a layer of a box crib, at each of the four corners.
    plan = plan_moves(honey_house).plan
    assert plan
    assert plan.on_jacks.cribs
    told = [one for one in plan.conduct.raising if "cribbing" in one.text and one.count]
    assert [one.count for one in told] == [2 * 4 * plan.on_jacks.cribs.layers]


@pytest.mark.parametrize(("spacing", "asked"), [("68 in", False), ("69 in", True)])
def test_forks_wider_than_a_carriage_are_told(
    honey_house: Building, spacing: str, asked: bool
) -> None:
    # Forks of 4 in: 72 in from out to out, and 73. Common practice, no source.
    words: dict[str, Any] = {**FORKS, "fork_spacing": spacing}
    plan = honey_plan(honey_house, **words)
    assert any("carriage that takes" in one.text for one in plan.conduct.there) is asked


def test_the_truck_of_the_move_is_booked_beside_the_visits(honey_house: Building) -> None:
    for words, asked in ((FORKS, True), (ROLLED, False)):
        plan = honey_plan(honey_house, **words)
        booked = [one for one in plan.first if "Book a truck" in one.text]
        assert bool(booked) is asked
        # What the table says of that stage, on a plate of the scene's country.
        for one in booked:
            assert one.mass_kg == pytest.approx(plan.row.rating_at_kg(24 * 25.4))
            assert "at 24 in, with forks" in one.text

"""The lift plan as a whole: who helps, with which gear, and what stands before what."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from math import sqrt
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conftest import SCENES
from lifted import block, thing_of
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.machines import machines
from pikepole_export.derive.lifting.plan import LiftPlan, lift_plan, rig_of
from pikepole_export.derive.lifting.things import Handling, things
from pikepole_export.derive.lifting.ways import BEARERS_MM, Rig, ways
from pikepole_model.build import build
from pikepole_model.part import Building, Kind
from pikepole_model.scene.crew import Crew
from pikepole_model.scene.file import load_scene
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.timber import Range
from strategies import scenes

GEAR: dict[str, dict[str, Any]] = {
    "platform": {"kind": "platform", "height": "900 mm"},
    "hoist": {"kind": "chain hoist", "rating": "500 kg", "reach": "5 m"},
    "truck": {"kind": "telehandler", "rating": "2500 kg", "reach": "6 m"},
    "wall jacks": {"kind": "wall jack", "rating": "200 kg", "reach": "4 m", "count": 2},
    "jack": {"kind": "jack", "rating": "1000 kg", "stroke": "100 mm"},
}

crews = st.fixed_dictionaries(
    {
        "people": st.integers(1, 4),
        "helpers": st.integers(0, 3),
        "guideline": st.sampled_from(["women", "men"]),
        "gear": st.lists(st.sampled_from(list(GEAR.values())), unique_by=id),
    }
).map(Crew.model_validate)


def crew_of(**words: Any) -> Crew:
    return Crew.model_validate(words)


HUT = build(load_scene(SCENES["lopsided"]))


def with_crew(building: Building, crew: Crew) -> Building:
    return replace(building, scene=building.scene.model_copy(update={"crew": crew}))


def help_by_part(plan: LiftPlan) -> dict[str, Help]:
    """What the lift of each thing asks for, by every name in it."""
    return {name: lift.help for lift in plan.lifts for name in lift.thing.same}


def help_is_the_least(plan: LiftPlan) -> None:
    crew = plan.crew
    there = min(crew.people + crew.helpers, 3)
    for lift in plan.lifts:
        fewest = min((way.people or 4) for way in lift.ways)
        if fewest <= there:
            assert lift.machine is None
            assert lift.platform_mm is None
            assert lift.people == lift.chosen.people == fewest
            assert lift.help == (Help.ALONE if fewest <= crew.people else Help.HELPER)
        else:
            assert lift.help >= Help.GEAR
            found = machines(lift.thing, crew, rig_of(crew).lies_mm)
            able = [machine for machine in found if machine.at_hand]
            assert (lift.help == Help.GEAR) == bool(able)
            assert lift.machine == able[0] if able else not (lift.machine and lift.machine.at_hand)


def marks_fit(plan: LiftPlan) -> None:
    of_stage: dict[int, list[Lift]] = defaultdict(list)
    for lift in plan.lifts:
        of_stage[lift.thing.stage].append(lift)
    assert [stage.number for stage in plan.stages] == sorted(of_stage)
    for stage in plan.stages:
        lifts = of_stage[stage.number]
        assert stage.help == max(lift.help for lift in lifts)
        assert sorted(stage.lifts) == [lift.number for lift in lifts]
        helped = {
            lift.number
            for lift in lifts
            if lift.people > plan.crew.people and not lift.thing.inside_of
        }
        assert set(stage.with_helpers) == helped
    called = [number for call in plan.days.calls for number in call.lifts]
    assert called == [number for stage in plan.stages for number in stage.with_helpers]


def words_fit(plan: LiftPlan) -> None:
    for lift in plan.lifts:
        words = lift.verdict.lower()
        assert "safe" not in words
        assert "ok" not in words.split()
        beyond = lift.machine is not None
        assert words.startswith("beyond hand lifting: use" if beyond else "within the guideline")


def carriers_come_first(plan: LiftPlan, building: Building) -> None:
    """Of two lifts joined piece to piece, what was placed first is there first."""
    own: dict[str, int] = {}
    for lift in plan.lifts:
        if not lift.thing.inside_of:
            own |= dict.fromkeys([part.name for part in lift.thing.whole.parts], lift.number)
            own |= dict.fromkeys(lift.thing.same, lift.number)
    stage_of = {part.name: part.stage for part in building.parts}
    before: dict[int, set[int]] = defaultdict(set)
    for joint in building.joints:
        first, then = own.get(joint.a), own.get(joint.b)
        if stage_of[joint.a] == stage_of[joint.b] and first and then and first != then:
            before[then].add(first)
    place = {
        number: place
        for stage in plan.stages
        for place, number in enumerate(plan.days.order[stage.number])
    }
    for then, firsts in before.items():
        for first in firsts:
            # Equal pieces are one lift: where some go before and some after, neither order is.
            if then not in _all_before(first, before):
                assert place[first] < place[then], (first, then)


def _all_before(number: int, before: dict[int, set[int]]) -> set[int]:
    found, ahead = set[int](), [number]
    while ahead:
        new = before.get(ahead.pop(), set()) - found
        found |= new
        ahead += new
    return found


def everything_fits(building: Building) -> None:
    plan = lift_plan(building)
    help_is_the_least(plan)
    marks_fit(plan)
    words_fit(plan)
    carriers_come_first(plan, building)


def test_the_plan_of_each_scene(building: Building) -> None:
    everything_fits(building)


def test_the_plan_of_other_forms(form: Building) -> None:
    everything_fits(form)


@settings(max_examples=4, deadline=None)
@given(scenes(), crews)
def test_the_plan_of_any_scene(scene: Scene, crew: Crew) -> None:
    everything_fits(with_crew(build(scene), crew))


@settings(max_examples=6, deadline=None)
@given(crews, st.integers(0, 3), st.integers(0, 3))
def test_a_bigger_crew_never_asks_more_help(crew: Crew, more: int, helpers: int) -> None:
    bigger = crew.model_copy(
        update={"people": crew.people + more, "helpers": crew.helpers + helpers}
    )
    small, big = (help_by_part(lift_plan(with_crew(HUT, who))) for who in (crew, bigger))
    assert small.keys() == big.keys()
    assert all(big[name] <= small[name] for name in small)


def drier(scene: Scene, untreated: float, treated: float) -> Scene:
    """The same with less of a high moisture; low and likely stay, and so does every middle."""
    moisture = scene.moisture
    ranges = {
        "untreated": Range(
            low=moisture.untreated.low, likely=moisture.untreated.likely, high=untreated
        ),
        "treated": Range(low=moisture.treated.low, likely=moisture.treated.likely, high=treated),
    }
    return scene.model_copy(update={"moisture": moisture.model_copy(update=ranges)})


@settings(max_examples=5, deadline=None)
@given(st.sampled_from([15.0, 17.0]), st.floats(60, 109), crews)
def test_drier_wood_never_makes_a_heavier_plan(
    untreated: float, treated: float, crew: Crew
) -> None:
    wet = with_crew(HUT, crew)
    dry = with_crew(build(drier(wet.scene, untreated, treated)), crew)
    rig = Rig((762.0,), (900.0, 1800.0), Lifter.WOMAN)
    for one, other in zip(things(dry), things(wet), strict=True):
        assert one.name == other.name
        assert one.whole.mass.high_kg <= other.whole.mass.high_kg
        for less, more in zip(ways(one, rig), ways(other, rig), strict=True):
            assert (less.people or 4) <= (more.people or 4), one.name
    before, after = help_by_part(lift_plan(wet)), help_by_part(lift_plan(dry))
    assert all(after[name] <= before[name] for name in before)


BEAM_KG = 200.0


def heavy_beam(stage: int = 1) -> Any:
    """More than three lift: 4 m long, up to 2.2 m."""
    return thing_of(
        block("beam", (4000, 200, 90), BEAM_KG, kind=Kind.BEAM, stage=stage, at_mm=(0, 0, 2000)),
        handling=Handling.BEAM,
    )


def kinds_of(*gear: dict[str, Any]) -> list[str]:
    return [
        machine.kind for machine in machines(heavy_beam(), crew_of(gear=list(gear)), BEARERS_MM)
    ]


def test_the_hook_is_above_the_sling() -> None:
    # Two legs at 60 deg from the horizontal (ASME B30.9 allows no flatter than 30), 1.2 m apart:
    # the hook 0.6 x tan 60 above the beam; each leg has half the weight over sin 60, factor 1.155.
    (bring,) = machines(heavy_beam(), crew_of(), BEARERS_MM)
    assert bring.reach_mm == pytest.approx(2200 + 600 * sqrt(3))
    assert bring.sling
    assert bring.sling.factor == pytest.approx(1.155, abs=5e-4)
    assert bring.sling.tension_n == pytest.approx(BEAM_KG * 9.80665 / 2 * 2 / sqrt(3))
    assert not bring.at_hand


@pytest.mark.parametrize(
    ("rating", "reach", "does"),
    [("205 kg", "3.24 m", True), ("195 kg", "3.24 m", False), ("205 kg", "3.23 m", False)],
)
def test_a_hoist_has_the_rating_and_the_reach(rating: str, reach: str, does: bool) -> None:
    # 200 kg; 2200 + 600 x 1.7321 = 3239 mm.
    hoist = {"kind": "chain hoist", "rating": rating, "reach": reach}
    assert ("chain hoist" in kinds_of(hoist)) is does


def test_one_hoist_does_not_borrow_the_reach_of_another() -> None:
    strong = {"kind": "chain hoist", "rating": "500 kg", "reach": "2 m"}
    tall = {"kind": "chain hoist", "rating": "100 kg", "reach": "6 m"}
    assert kinds_of(strong, tall) == ["lifting machine"]
    assert kinds_of(tall, strong) == ["lifting machine"]


def test_wall_jacks_share_half_of_a_uniform_wall() -> None:
    # Straight up at the top edge: W/2 in all, W/4 at each of two.
    slab = block("wall", (2400, 3000, 89), 160, slope_deg=90)
    wall = thing_of(slab, handling=Handling.WALL)
    crew = crew_of(gear=[{"kind": "wall jack", "rating": "50 kg", "reach": "3 m", "count": 2}])
    jacks = machines(wall, crew, BEARERS_MM)[0]
    assert jacks.kind == "wall jack"
    assert jacks.needed_kg == pytest.approx(40)


def test_a_jack_raises_one_end_of_what_cribbing_reaches() -> None:
    # Half of a uniform skid at each end; a crib of 400 mm goes up to 3 times that, FEMA US&R
    # (from memory), from the bearers that the skid lies on. What goes down needs no jack.
    jack = crew_of(gear=[GEAR["jack"]])
    for rise_mm, does in ((1190.0, True), (1210.0, False), (-10.0, False)):
        at_mm = BEARERS_MM + rise_mm
        skid = thing_of(block("skid", (4000, 140, 90), 150, kind=Kind.SKID, at_mm=(0, 0, at_mm)))
        found = machines(skid, jack, BEARERS_MM)[0]
        assert (found.kind == "jack") is does
        if does:
            assert found.needed_kg == pytest.approx(75)


def test_a_door_comes_after_the_track_it_hangs_on(honey_house: Building) -> None:
    # The track's board goes up before the track, the track before the door that rolls on it,
    # though spacers lie between board and track.
    plan = lift_plan(honey_house)
    names = {lift.number: lift.thing.name for lift in plan.lifts}
    stage = next(stage for stage in plan.stages if "Doors" in stage.name)
    order = [names[number] for number in stage.lifts]
    doors = [order.index(f"person door{what}") for what in (" track board", " track", "")]
    assert doors == sorted(doors)

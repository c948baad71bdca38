"""The lift plan as a whole: who helps, with which gear, and what stands before what."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from math import sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conftest import SCENES
from draws import draws
from lifted import block, item_of, plain_of, rank
from pikepole_export.derive.lifting.approach import OPEN_GROUND, site_of
from pikepole_export.derive.lifting.hand_lift import Grade
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.items import BuiltUp, Handling, items
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.machines import machines, unfit
from pikepole_export.derive.lifting.methods import Split, methods
from pikepole_export.derive.lifting.plan import LiftPlan, lift_plan, people_at_likely
from pikepole_export.derive.lifting.rests import BEARERS_MM, HandSetup
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.reading.file import load_scene
from pikepole_model.scene.crew import Crew
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.timber import Range
from strategies import scenes

GEAR: dict[str, dict[str, Any]] = {
    "trestles": {"kind": "trestles", "height": "760 mm"},
    "high trestles": {"kind": "trestles", "height": "1100 mm"},
    "platform": {"kind": "platform", "height": "900 mm"},
    "scaffold": {"kind": "platform", "height": "1800 mm"},
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


def help_by_part(plan: LiftPlan) -> dict[str, tuple[float, Help]]:
    """What the lift of each item asks for, by every name in it."""
    return {name: (rank(lift), lift.help) for lift in plan.lifts for name in lift.item.same}


def help_is_the_least(plan: LiftPlan, building: Building) -> None:
    crew = plan.crew
    there = min(crew.people + crew.helpers, 3)
    for lift in plan.lifts:
        fewest = min(plain_of(lift), default=4)
        assert lift.people <= crew.people + crew.helpers
        assert (lift.grade is Grade.WITHIN) == (lift.chosen.people is not None)
        assert lift.machine or lift.grade is not Grade.NOT_BY_HAND
        if fewest <= there:
            assert lift.grade is Grade.WITHIN
            assert lift.machine is None
            assert lift.platform_mm is None
            assert lift.people == lift.chosen.people
            if lift.item.handling is Handling.WALL:
                least_apart(lift, crew)
            else:
                assert lift.people == fewest
            assert lift.help == (Help.ALONE if fewest <= crew.people else Help.HELPER)
            continue
        assert rank(lift) > 1
        if lift.is_above:
            assert lift.mends
        able = [
            machine
            for machine in machines(lift.item, crew, site_of(building, lift.item.stage))
            if machine.at_hand and machine.people <= crew.people + crew.helpers
        ]
        if able:
            assert rank(lift) <= (6 if all(one.has_driver for one in able) else 3)
        if lift.machine and lift.machine.at_hand:
            assert lift.machine in able
        assert (lift.help == Help.PLATFORM) == (lift.platform_mm is not None)
    assert plan.beyond == tuple(lift for lift in plan.lifts if lift.help >= Help.PLATFORM)


def least_apart(lift: Lift, crew: Crew) -> None:
    """A wall is parted no further than those ask for who are there, the crew before helpers."""
    splits = (Split.WHOLE, Split.LIGHTENED, Split.HALVES)
    there = crew.people if min(plain_of(lift)) <= crew.people else crew.people + crew.helpers
    able = [one.split for one in lift.methods if one.tilt and (one.people or 9) <= there]
    assert lift.chosen.split is min(able, key=splits.index)


def marks_fit(plan: LiftPlan) -> None:
    of_stage: dict[int, list[Lift]] = defaultdict(list)
    for lift in plan.lifts:
        of_stage[lift.item.stage].append(lift)
    assert [stage.number for stage in plan.stages] == sorted(of_stage)
    for stage in plan.stages:
        lifts = of_stage[stage.number]
        assert stage.help == max(lift.help for lift in lifts)
        most = max(lift.people for lift in lifts if not lift.item.inside_of)
        assert stage.helpers == max(0, most - plan.crew.people)
        assert sorted(stage.lifts) == [lift.number for lift in lifts]
        helped = {
            lift.number
            for lift in lifts
            if lift.people > plan.crew.people and not lift.item.inside_of
        }
        hired = {lift.number for lift in lifts if lift.machine and lift.machine.has_driver}
        assert set(stage.in_visits) - hired == helped - hired
    called = [number for visit in plan.calendar.visits for number in visit.lifts]
    assert called == [number for stage in plan.stages for number in stage.in_visits]


def words_fit(plan: LiftPlan) -> None:
    begins = {
        Grade.WITHIN: "within the guideline for",
        Grade.ABOVE: "above the guideline for",
        Grade.NOT_BY_HAND: "not by hand: above the guideline for",
    }
    for lift in plan.lifts:
        words = lift.verdict("metric").lower()
        assert "safe" not in words
        assert "ok" not in words.split()
        assert words.startswith(begins[lift.grade])
        assert ("use " in words) == (lift.machine is not None)


def carriers_come_first(plan: LiftPlan, building: Building) -> None:
    """Of two lifts joined piece to piece, what was placed first is there first."""
    own: dict[str, int] = {}
    for lift in plan.lifts:
        if not lift.item.inside_of:
            own |= dict.fromkeys([part.name for part in lift.item.whole.parts], lift.number)
            own |= dict.fromkeys(lift.item.same, lift.number)
    stage_of = {part.name: part.stage for part in building.parts}
    before: dict[int, set[int]] = defaultdict(set)
    for joint in building.joints:
        first, then = own.get(joint.a), own.get(joint.b)
        if stage_of[joint.a] == stage_of[joint.b] and first and then and first != then:
            before[then].add(first)
    place = {
        number: place
        for stage in plan.stages
        for place, number in enumerate(plan.calendar.order[stage.number])
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
    help_is_the_least(plan, building)
    marks_fit(plan)
    words_fit(plan)
    carriers_come_first(plan, building)


def test_the_plan_of_each_scene(building: Building) -> None:
    everything_fits(building)


def test_the_plan_of_other_forms(form: Building) -> None:
    everything_fits(form)


@draws(2)
@given(scenes(), crews)
def test_the_plan_of_any_scene(scene: Scene, crew: Crew) -> None:
    everything_fits(with_crew(build(scene), crew))


@draws(3)
@given(crews, st.integers(0, 3), st.integers(0, 3))
def test_a_bigger_crew_never_asks_more_help(crew: Crew, more: int, helpers: int) -> None:
    bigger = crew.model_copy(
        update={"people": crew.people + more, "helpers": crew.helpers + helpers}
    )
    small, big = (help_by_part(lift_plan(with_crew(HUT, who))) for who in (crew, bigger))
    assert small.keys() == big.keys()
    assert all(big[name] <= small[name] for name in small)


def asked_by_part(plan: LiftPlan) -> dict[str, tuple[float, Help, int]]:
    """What the lift of each item asks for, and for how many, by every name in it."""
    return {
        name: (rank(lift), lift.help, lift.people) for lift in plan.lifts for name in lift.item.same
    }


@draws(4)
@given(crews, st.sampled_from(sorted(GEAR)))
def test_more_gear_never_asks_more(crew: Crew, kind: str) -> None:
    gear = (*crew.gear, *crew_of(gear=[GEAR[kind]]).gear)
    more = crew.model_copy(update={"gear": gear})
    less, rich = (asked_by_part(lift_plan(with_crew(HUT, who))) for who in (crew, more))
    assert less.keys() == rich.keys()
    for name, before in less.items():
        assert rich[name] <= before, name


def test_what_goes_low_waits_on_bearers() -> None:
    # Everything of a floor frame ends lower than trestles of 760 mm.
    plan = lift_plan(with_crew(HUT, crew_of(gear=[GEAR["trestles"]])))
    bare = asked_by_part(lift_plan(with_crew(HUT, crew_of())))
    low = [lift for lift in plan.lifts if lift.item.kind in (Kind.SKID, Kind.RIM, Kind.JOIST)]
    assert low
    for lift in low:
        if lift.rest_height_mm > BEARERS_MM:
            assert (rank(lift), lift.help, lift.people) < bare[lift.item.name]
    assert any(lift.rest_height_mm == BEARERS_MM for lift in low)


def test_nobody_is_counted_who_is_not_there(honey_house: Building) -> None:
    crew = honey_house.scene.crew.model_copy(update={"helpers": 0})
    plan = lift_plan(with_crew(honey_house, crew))
    assert {lift.people for lift in plan.lifts} == {1}
    assert plan.calendar.helper_days == 0
    assert plan.beyond
    # What is hired comes with who drives it.
    for lift in plan.beyond:
        assert lift.platform_mm or (lift.machine and lift.machine.has_driver)


def test_a_hoist_that_nobody_is_left_to_work_is_said() -> None:
    beam = build_alone(heavy_beam().whole.parts[0], gear=[GEAR["hoist"]], people=1, helpers=0)
    (lift,) = lift_plan(beam).lifts
    assert lift.help == Help.HIRE
    # One at the chain, one at the tag line, one at each end where it is set.
    assert lift.unfit == ("the chain hoist at hand is work for 4 people",)


def test_gear_at_hand_that_falls_short_is_said() -> None:
    # 200 kg; the hook has to go up to 4646.54 mm, as worked below: 1447 more, rounded up.
    hoist = {"kind": "chain hoist", "rating": "180 kg", "reach": "3200 mm"}
    crew = crew_of(gear=[hoist], people=4)
    (why,) = unfit(heavy_beam(), crew, OPEN_GROUND, "metric")
    assert why == (
        "the chain hoist at hand is 1447 mm too low to swing it onto its seat without upsetting "
        "the tripod and rated 20.0 kg too little"
    )
    assert unfit(heavy_beam(), crew_of(gear=[GEAR["hoist"]], people=4), OPEN_GROUND, "metric") == ()


def test_a_jack_that_cribbing_does_not_take_high_enough_is_said() -> None:
    # The beam is 2000 mm up, its bearers 100: 1900 mm to rise, and cribbing goes up to 1200.
    (why,) = unfit(heavy_beam(), crew_of(gear=[GEAR["jack"]]), OPEN_GROUND, "metric")
    assert "1200 mm" in why
    assert "1900 mm" in why


def test_light_pieces_are_only_too_high() -> None:
    # 10 kg, 4.2 m up: no hands go over 175 cm (NIOSH 94-110, Table 2), from a floor that stands
    # no higher than hands reach to put a piece there. Two platforms do it, one after the other.
    stick = block("stick", (2400, 90, 40), 6, at_mm=(0, 0, 4200))
    (lift,) = lift_plan(build_alone(stick)).lifts
    assert lift.help == Help.PLATFORM
    assert lift.machine is None
    assert lift.people == 1
    assert lift.platform_mm
    assert lift.step_mm
    assert lift.step_mm < lift.platform_mm
    for one in lift.chosen.assessments:
        assert one.task.to_mm <= 1750
        assert one.within


def test_headers_and_fly_rafters_ask_for_no_machine(honey_house: Building) -> None:
    plan = lift_plan(with_crew(honey_house, crew_of(guideline="men")))
    for lift in plan.lifts:
        if lift.item.kind in (BuiltUp.HEADER, Kind.FLY_RAFTER, Kind.FASCIA, Kind.BARGE):
            assert lift.machine is None, lift.item.name


def test_fewer_are_asked_at_the_likely_weight(honey_house: Building) -> None:
    plan = lift_plan(honey_house)
    for lift in plan.lifts:
        fewest = lift.chosen.people or 4
        assert (people_at_likely(honey_house, lift) or 4) <= fewest
    # 19 kg likely, 29 at the most, a little over knuckle height for a man: 20 to 25 kg alone (HSE
    # INDG143, Figure 1), half as much again for three. Too short to be taken by one end.
    density = (19.0, 19.0, 29.0)
    stick = block("stick", (1200, 90, 40), 1, at_mm=(0, 0, 760))
    per_kg = stick.material.density_kg_m3[0]
    wet = replace(
        stick, material=replace(stick.material, density_kg_m3=tuple(kg * per_kg for kg in density))
    )
    hut = build_alone(wet, gear=[GEAR["trestles"]], guideline="men")
    (lift,) = lift_plan(hut).lifts
    assert lift.people > 1
    assert people_at_likely(hut, lift) == 1


def test_what_is_not_planned_is_named_with_its_reason(honey_house: Building) -> None:
    rows = {row.name: row for row in lift_plan(honey_house).left_out}
    assert rows["House wrap"].why == "comes off a roll"
    assert rows["Trim"].why == "is light"
    planned = {lift.stage_name for lift in lift_plan(honey_house).lifts}
    assert planned.isdisjoint(rows)
    assert planned | set(rows) == {stage.name for stage in honey_house.stages}
    # A roll of No. 30 felt is 36 in wide; by its own row in the catalogue.
    (force_as_mass,) = rows["Roof underlayment"].rolls
    row = honey_house.scene.catalogue.rolls[force_as_mass.name]
    assert force_as_mass.mass_kg == pytest.approx(
        row.mass_kg_m2 * row.width_mm / 1000 * row.length_mm / 1000
    )


def build_alone(*parts: Part, **crew: Any) -> Building:
    """Parts and who raises them, and nothing else."""
    scene = Scene.model_construct(
        title="Blocks", units="metric", crew=crew_of(**crew), catalogue=HUT.scene.catalogue
    )
    return Building(scene, parts, (), (Stage(1, "stage 1", parts),))


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


@draws(3)
@given(st.sampled_from([15.0, 17.0]), st.floats(88, 143), crews)
def test_drier_wood_never_makes_a_heavier_plan(
    untreated: float, treated: float, crew: Crew
) -> None:
    wet = with_crew(HUT, crew)
    dry = with_crew(build(drier(wet.scene, untreated, treated)), crew)
    setup = HandSetup((762.0,), (900.0, 1800.0), Lifter.WOMAN)
    for one, other in zip(items(dry), items(wet), strict=True):
        assert one.name == other.name
        assert one.whole.mass.high_kg <= other.whole.mass.high_kg
        for less, more in zip(methods(one, setup), methods(other, setup), strict=True):
            assert (less.people or 4) <= (more.people or 4), one.name
    before, after = help_by_part(lift_plan(wet)), help_by_part(lift_plan(dry))
    assert all(after[name] <= before[name] for name in before)


BEAM_KG = 200.0


def heavy_beam(stage: int = 1) -> Any:
    """More than three lift: 4 m long, up to 2.2 m."""
    return item_of(
        block("beam", (4000, 200, 90), BEAM_KG, kind=Kind.BEAM, stage=stage, at_mm=(0, 0, 2000)),
        handling=Handling.BEAM,
    )


def kinds_of(*gear: dict[str, Any]) -> list[str]:
    return [machine.kind for machine in machines(heavy_beam(), crew_of(gear=list(gear)))]


def test_the_hook_is_above_the_sling() -> None:
    # Two legs at 60 deg from the horizontal (ASME B30.9 allows no flatter than 30), 1.2 m apart:
    # the hook 0.6 x tan 60 above the beam; each leg has half the weight over sin 60, factor 1.155.
    (bring,) = machines(heavy_beam(), crew_of())
    assert bring.reach_mm == pytest.approx(2200 + 600 * sqrt(3))
    assert bring.sling
    assert bring.sling.factor == pytest.approx(1.155, abs=5e-4)
    assert bring.sling.tension_n == pytest.approx(BEAM_KG * 9.80665 / 2 * 2 / sqrt(3))
    assert not bring.at_hand


@pytest.mark.parametrize(
    ("rating", "reach", "does"),
    [("205 kg", "4.65 m", True), ("195 kg", "4.65 m", False), ("205 kg", "4.64 m", False)],
)
def test_a_hoist_has_the_rating_and_the_reach(rating: str, reach: str, does: bool) -> None:
    # 200 kg; the hook 2200 + 600 x 1.7321 = 3239 mm up. Held 90 + 50 mm clear of its seat, on a
    # chain that has twice that over 0.1508, which a tripod bears whose feet are half a leg apart:
    # 1857 mm of it, 450 of them the hoist and its hook pulled right up: 3239 + 1857 - 450 = 4646.
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
    wall = item_of(slab, handling=Handling.WALL)
    crew = crew_of(gear=[{"kind": "wall jack", "rating": "50 kg", "reach": "3 m", "count": 2}])
    jacks = machines(wall, crew)[0]
    assert jacks.kind is MachineKind.WALL_JACK
    assert jacks.needed_kg == pytest.approx(40)


def test_a_jack_raises_one_end_of_what_cribbing_reaches() -> None:
    # Half of a uniform skid at each end; a crib of 400 mm goes up to 3 times that, FEMA US&R
    # (Structure Specialist field guide), from the bearers that the skid lies on. What goes down
    # needs no jack.
    jack = crew_of(gear=[GEAR["jack"]])
    for rise_mm, does in ((1190.0, True), (1210.0, False), (-10.0, False)):
        at_mm = BEARERS_MM + rise_mm
        skid = item_of(block("skid", (4000, 140, 90), 150, kind=Kind.SKID, at_mm=(0, 0, at_mm)))
        found = machines(skid, jack)[0]
        assert (found.kind is MachineKind.JACK) is does
        if does:
            assert found.needed_kg == pytest.approx(75)


def test_a_door_comes_after_the_track_it_hangs_on(honey_house: Building) -> None:
    # The track's board goes up before the track, the track before the door that rolls on it,
    # though spacers lie between board and track.
    plan = lift_plan(honey_house)
    names = {lift.number: lift.item.name for lift in plan.lifts}
    stage = next(stage for stage in plan.stages if "Doors" in stage.name)
    order = [names[number] for number in stage.lifts]
    doors = [order.index(f"person door{what}") for what in (" track board", " track", "")]
    assert doors == sorted(doors)

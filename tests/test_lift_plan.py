"""The lift plan as a whole: who helps, which gear, in which order, and on how many days."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from itertools import groupby, permutations, product
from math import sqrt
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conftest import FORMS, SCENES
from lifted import block, thing_of
from pikepole_export.derive.lifting.days import Days, days
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.machines import machines
from pikepole_export.derive.lifting.plan import LiftPlan, lift_plan
from pikepole_export.derive.lifting.things import Handling, things
from pikepole_export.derive.lifting.ways import Rig, ways
from pikepole_model.build import build
from pikepole_model.part import Building, Joint, Kind, Part, Stage
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


@cache
def built(name: str) -> Building:
    return build(load_scene({**SCENES, **FORMS}[name]))


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
            able = [machine for machine in machines(lift.thing, crew) if machine.at_hand]
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
    small, big = (
        help_by_part(lift_plan(with_crew(built("lopsided"), who))) for who in (crew, bigger)
    )
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
    wet = with_crew(built("lopsided"), crew)
    dry = with_crew(build(drier(wet.scene, untreated, treated)), crew)
    rig = Rig(762.0, (900.0, 1800.0), Lifter.WOMAN)
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
    jacks = machines(wall, crew)[0]
    assert jacks.kind == "wall jack"
    assert jacks.needed_kg == pytest.approx(40)


def test_a_jack_raises_one_end_of_what_cribbing_reaches() -> None:
    # Half of a uniform skid at each end; a crib of 400 mm goes up to 3 times that, FEMA US&R
    # (from memory).
    jack = crew_of(gear=[GEAR["jack"]])
    for at_mm, does in ((1190.0, True), (1210.0, False)):
        skid = thing_of(block("skid", (4000, 140, 90), 150, kind=Kind.SKID, at_mm=(0, 0, at_mm)))
        found = machines(skid, jack)[0]
        assert (found.kind == "jack") is does
        if does:
            assert found.needed_kg == pytest.approx(75)


def site(
    people: Sequence[Sequence[int]], needs: Sequence[tuple[int, int]], inside: Sequence[int] = ()
) -> tuple[Building, list[Lift]]:
    """Lifts by stage, each with how many people it takes; and which rests on which, by number."""
    lifts: list[Lift] = []
    for stage, row in enumerate(people, start=1):
        for count in row:
            number = len(lifts) + 1
            part = block(f"block {number}", (2000, 90, 40), 10, stage=stage, at_mm=(0, 0, 400))
            thing = thing_of(part, inside_of="wall" if number in inside else "")
            found = ways(thing, Rig(750.0, (), Lifter.MAN))
            lifts.append(
                Lift(
                    number,
                    f"stage {stage}",
                    thing,
                    found,
                    found[0],
                    Help.ALONE,
                    count,
                    None,
                    None,
                    None,
                )
            )
    parts = tuple(lift.thing.whole.parts[0] for lift in lifts)
    joints = tuple(
        Joint(parts[under - 1].name, parts[over - 1].name, "nailed", (0.0, 0.0, 0.0))
        for under, over in needs
    )
    return _building(parts, joints), lifts


def _building(parts: tuple[Part, ...], joints: tuple[Joint, ...]) -> Building:
    stages = tuple(
        Stage(number, f"stage {number}", tuple(part for part in parts if part.stage == number))
        for number in sorted({part.stage for part in parts})
    )
    return Building(Scene.model_construct(title="Blocks"), parts, joints, stages)


def fewest_calls(people: Sequence[Sequence[int]], needs: Sequence[tuple[int, int]]) -> int:
    """Every order of every stage is tried."""
    numbered: list[list[int]] = []
    for row in people:
        start = sum(map(len, numbered))
        numbered.append([start + k for k in range(1, len(row) + 1)])
    who = [count for row in people for count in row]

    def valid(row: Sequence[int]) -> Iterator[tuple[int, ...]]:
        for order in permutations(row):
            if all(order.index(a) < order.index(b) for a, b in needs if a in order and b in order):
                yield order

    # All that counts of an order is who is there, lift by lift.
    rows = [{tuple(who[n - 1] > 1 for n in order) for order in valid(row)} for row in numbered]
    return min(
        sum(is_helped for is_helped, _ in groupby(helped for row in rows for helped in row))
        for rows in product(*rows)
    )


@st.composite
def small_sites(draw: st.DrawFn) -> tuple[list[list[int]], list[tuple[int, int]]]:
    people = draw(
        st.lists(st.lists(st.integers(1, 2), min_size=1, max_size=6), min_size=1, max_size=3)
    )
    needs: list[tuple[int, int]] = []
    first = 1
    for row in people:
        pairs = [(a, b) for b in range(first, first + len(row)) for a in range(first, b)]
        if pairs:
            needs += draw(st.lists(st.sampled_from(pairs), unique=True, max_size=8))
        first += len(row)
    return people, needs


@settings(max_examples=150, deadline=None)
@given(small_sites())
def test_no_order_calls_helpers_less_often(
    drawn: tuple[list[list[int]], list[tuple[int, int]]],
) -> None:
    people, needs = drawn
    building, lifts = site(people, needs)
    found = days(building, lifts, crew_of())
    assert len(found.calls) == fewest_calls(people, needs)
    order_is_possible(found, lifts, needs)


def order_is_possible(found: Days, lifts: list[Lift], needs: Sequence[tuple[int, int]]) -> None:
    order = [number for stage in sorted(found.order) for number in found.order[stage]]
    assert sorted(order) == [lift.number for lift in lifts]
    assert all(order.index(under) < order.index(over) for under, over in needs)
    called = [number for call in found.calls for number in call.lifts]
    assert called == [number for number in order if lifts[number - 1].people > 1]


def test_a_stage_between_two_with_helpers_begins_and_ends_with_them() -> None:
    # Stage 1 ends with helpers, stage 3 begins with them. In stage 2, lift 3 needs 2 and 4 needs 3:
    # helpers, alone, helpers. Two calls, not three; the second goes on into stage 3.
    building, lifts = site([[1, 2], [2, 1, 2], [2]], [(3, 4), (4, 5)])
    found = days(building, lifts, crew_of())
    assert [call.lifts for call in found.calls] == [(2, 3), (5, 6)]
    assert [call.stages for call in found.calls] == [(1, 2), (2, 3)]


def test_what_is_free_goes_where_the_helpers_are() -> None:
    # 1 2 1 2 with nothing in between: the ones alone first, then both with helpers, once.
    building, lifts = site([[1, 2, 1, 2], [2, 1]], [])
    found = days(building, lifts, crew_of())
    assert found.order == {1: (1, 3, 2, 4), 2: (5, 6)}
    assert [call.lifts for call in found.calls] == [(2, 4, 5)]


def test_helper_days_by_hand() -> None:
    # Two hours a lift, three hours a day. Stage 1: one with helpers. Stage 2: one with helpers
    # between two that must be before and after it. Stage 3: two with helpers.
    # Stage 2 can neither begin nor end with them: three calls, of 2, 2 and 4 hours: 1 + 1 + 2.
    crew = crew_of(minutes_per_lift=120, hours_per_day=3)
    building, lifts = site([[2], [1, 2, 1], [2, 3]], [(2, 3), (3, 4)])
    found = days(building, lifts, crew)
    assert found.order == {1: (1,), 2: (2, 3, 4), 3: (5, 6)}
    assert [(call.hours, call.days, call.helpers) for call in found.calls] == [
        (2, 1, 1),
        (2, 1, 1),
        (4, 2, 2),
    ]
    assert found.helper_days == 4


def test_of_equally_few_calls_those_with_fewest_days() -> None:
    # A lift of half a day in stages 1 and 2, two of them in stage 3. Stage 2 has one alone that may
    # come before or after: with stage 1 it is (1/2 + 1/2) + 1 = 2 days, with stage 3 it is
    # 1/2, begun, and 1/2 + 1: 1 + 2 = 3 days.
    crew = crew_of(minutes_per_lift=90, hours_per_day=3)
    building, lifts = site([[2], [1, 2], [2, 2]], [])
    found = days(building, lifts, crew)
    assert [call.lifts for call in found.calls] == [(1, 3), (4, 5)]
    assert found.helper_days == 2
    # The other way round: 1 + 1/2 and 1/2 against 1 and 1/2 + 1/2.
    building, lifts = site([[2, 2], [1, 2], [2]], [])
    found = days(building, lifts, crew)
    assert [call.lifts for call in found.calls] == [(1, 2), (4, 5)]
    assert found.helper_days == 2


def test_a_header_calls_nobody_of_its_own() -> None:
    building, lifts = site([[2, 2]], [])
    wall = replace(lifts[0], thing=replace(lifts[0].thing, name="wall"))
    header = replace(lifts[1], thing=replace(wall.thing, name="header", inside_of="wall"))
    found = days(building, [wall, header], crew_of())
    assert [call.lifts for call in found.calls] == [(1,)]
    # a lift takes ten minutes where the crew says nothing
    assert found.calls[0].hours == pytest.approx(10 / 60)


def test_what_is_too_light_to_count_still_holds_what_comes_after() -> None:
    # Block 3 hangs on a hook that is screwed to block 1: not before it, though no joint joins them.
    building, lifts = site([[1, 2, 2]], [])
    hook = block("hook", (100, 20, 20), 0.5)
    one, two, three = building.parts
    joints = tuple(
        Joint(under.name, over.name, "screwed", (0.0, 0.0, 0.0))
        for under, over in ((two, hook), (hook, one), (one, three))
    )
    hung = _building((two, hook, one, three), joints)
    assert days(hung, lifts, crew_of()).order == {1: (2, 1, 3)}


def test_a_stage_of_the_honey_house_worked_by_hand() -> None:
    # The track's board goes up before the track, the track before the door that rolls on it,
    # though spacers lie between board and track.
    plan = lift_plan(built("honey-house"))
    names = {lift.number: lift.thing.name for lift in plan.lifts}
    stage = next(stage for stage in plan.stages if "Doors" in stage.name)
    order = [names[number] for number in stage.lifts]
    doors = [order.index(f"person door{what}") for what in (" track board", " track", "")]
    assert doors == sorted(doors)

"""When helpers come, against every possible order tried, and days counted by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lifted import block, thing_of
from pikepole_export.derive.lifting.days import Days, days
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.ways import Rig, ways
from pikepole_model.part import Building, Joint, Part, Stage
from pikepole_model.scene.crew import Crew
from pikepole_model.scene.schema import Scene


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
            found = ways(thing, Rig((750.0,), (), Lifter.MAN))
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
    found = days(building, lifts, Crew())
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
    found = days(building, lifts, Crew())
    assert [call.lifts for call in found.calls] == [(2, 3), (5, 6)]
    assert [call.stages for call in found.calls] == [(1, 2), (2, 3)]


def test_what_is_free_goes_where_the_helpers_are() -> None:
    # 1 2 1 2 with nothing in between: the ones alone first, then both with helpers, once.
    building, lifts = site([[1, 2, 1, 2], [2, 1]], [])
    found = days(building, lifts, Crew())
    assert found.order == {1: (1, 3, 2, 4), 2: (5, 6)}
    assert [call.lifts for call in found.calls] == [(2, 4, 5)]


def test_helper_days_by_hand() -> None:
    # Two hours a lift, three hours a day. Stage 1: one with helpers. Stage 2: one with helpers
    # between two that must be before and after it. Stage 3: two with helpers.
    # Stage 2 can neither begin nor end with them: three calls, of 2, 2 and 4 hours: 1 + 1 + 2.
    crew = Crew(minutes_per_lift=120, hours_per_day=3)
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
    crew = Crew(minutes_per_lift=90, hours_per_day=3)
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
    found = days(building, [wall, header], Crew())
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
    assert days(hung, lifts, Crew()).order == {1: (2, 1, 3)}

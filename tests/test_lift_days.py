"""When helpers come, against every order and parting tried, and days counted by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import permutations, product
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from lifted import block, item_of, lift_of
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.schedule import HelperSchedule, schedule_helpers
from pikepole_model.building.part import Building, Joint, Part, Stage
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
            item = item_of(part, inside_of="wall" if number in inside else "")
            lifts.append(lift_of(item, number=number, people=count))
    parts = tuple(lift.item.whole.parts[0] for lift in lifts)
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


def cost(helped: Sequence[bool], per_day: int) -> tuple[int, int]:
    """Days and calls of one order, every way to part it into calls tried; lifts take as long each.

    A call takes the days from the start of its first lift to the end of its last.
    """
    at = [place for place, is_helped in enumerate(helped) if is_helped]
    best = [(0, 0)]  # of the first so many
    for end in range(1, len(at) + 1):
        best.append(
            min(
                (
                    best[start][0] + ceil((at[end - 1] - at[start] + 1) / per_day),
                    best[start][1] + 1,
                )
                for start in range(end)
            )
        )
    return best[-1]


def fewest(
    people: Sequence[Sequence[int]], needs: Sequence[tuple[int, int]], per_day: int
) -> tuple[int, int]:
    """Days and calls of the best order: every order of every stage is tried."""
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
    return min(cost([one for row in chosen for one in row], per_day) for chosen in product(*rows))


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


@draws(40)
@given(small_sites(), st.integers(1, 6))
def test_no_order_takes_fewer_days_or_as_many_with_fewer_calls(
    drawn: tuple[list[list[int]], list[tuple[int, int]]], per_day: int
) -> None:
    people, needs = drawn
    building, lifts = site(people, needs)
    found = schedule_helpers(building, lifts, Crew(minutes_per_lift=60, hours_per_day=per_day))
    assert (found.helper_days, len(found.calls)) == fewest(people, needs, per_day)
    order_is_possible(found, lifts, needs)


def order_is_possible(
    found: HelperSchedule, lifts: list[Lift], needs: Sequence[tuple[int, int]]
) -> None:
    order = [number for stage in sorted(found.order) for number in found.order[stage]]
    assert sorted(order) == [lift.number for lift in lifts]
    assert all(order.index(under) < order.index(over) for under, over in needs)
    called = [number for call in found.calls for number in call.lifts]
    assert called == [number for number in order if lifts[number - 1].people > 1]


def test_who_has_come_stays_for_the_day() -> None:
    # Helpers for ten minutes, ten minutes alone, helpers again, and that once more: one day of six
    # hours, though nothing can change places.
    building, lifts = site([[2, 1, 2, 1, 2]], [(1, 2), (2, 3), (3, 4), (4, 5)])
    found = schedule_helpers(building, lifts, Crew())
    (call,) = found.calls
    assert (call.lifts, call.days) == ((1, 3, 5), 1)
    assert call.hours == pytest.approx(0.5)
    assert call.waiting_hours == pytest.approx(2 / 6)


def test_a_stage_between_two_with_helpers_begins_and_ends_with_them() -> None:
    # Lifts of an hour, two to a day. Stage 1 ends with helpers, stage 3 begins with them; in stage
    # 2 lift 4 is between 3 and 5. A day for 2 and 3, one for 5 and 6: with all of it, five hours,
    # there would be three.
    building, lifts = site([[1, 2], [2, 1, 2], [2]], [(3, 4), (4, 5)])
    found = schedule_helpers(building, lifts, Crew(minutes_per_lift=60, hours_per_day=2))
    assert [call.lifts for call in found.calls] == [(2, 3), (5, 6)]
    assert [call.stages for call in found.calls] == [(1, 2), (2, 3)]
    assert [call.waiting_hours for call in found.calls] == [0, 0]


def test_what_is_free_goes_where_nobody_waits_for_it() -> None:
    # All of it fits into a day: the ones alone go first and last, so that nobody waits.
    building, lifts = site([[1, 2, 1, 2], [2, 1]], [])
    found = schedule_helpers(building, lifts, Crew())
    assert found.order == {1: (1, 3, 2, 4), 2: (5, 6)}
    assert [(call.lifts, call.waiting_hours) for call in found.calls] == [((2, 4, 5), 0)]


def test_helper_days_by_hand() -> None:
    # Two hours a lift, three hours a day. Stage 1: one with helpers. Stage 2: one with helpers
    # between two that must be before and after it. Stage 3: two with helpers. In order H A H A H H:
    # from the first to the second H are 6 hours, two days, as many as apart; from the second on are
    # 2 + 2 + 4 = 8 hours, three days, as many as 1 + 2 apart. All of it is 12 hours, four days, and
    # no way to part it takes fewer: one call.
    crew = Crew(minutes_per_lift=120, hours_per_day=3)
    building, lifts = site([[2], [1, 2, 1], [2, 3]], [(2, 3), (3, 4)])
    found = schedule_helpers(building, lifts, crew)
    assert found.order == {1: (1,), 2: (2, 3, 4), 3: (5, 6)}
    (call,) = found.calls
    assert (call.hours, call.waiting_hours, call.days, call.helpers) == (8, 4, 4, 2)
    assert found.helper_days == 4


def test_an_item_that_goes_up_in_parts_takes_the_time_of_each() -> None:
    # A wall put together in its place: 7 loads of 30 minutes with helpers, 3.5 hours; at 3 hours a
    # day they come for two. Three equal ones: 10.5 hours, four days.
    building, (lift,) = site([[2]], [])
    crew = Crew(minutes_per_lift=30, hours_per_day=3)
    method = replace(lift.chosen, loads=7)
    for times, hours, of_days in ((1, 3.5, 2), (3, 10.5, 4)):
        same = tuple(f"wall {number}" for number in range(times))
        item = replace(lift.item, same=same)
        (call,) = schedule_helpers(building, [replace(lift, item=item, chosen=method)], crew).calls
        assert (call.hours, call.days) == (pytest.approx(hours), of_days)


def test_helpers_go_where_to_stay_would_take_a_day_more() -> None:
    # An hour a lift, one hour a day: helpers, two hours alone, helpers. Two days in two calls;
    # to stay would be four.
    crew = Crew(minutes_per_lift=60, hours_per_day=1)
    building, lifts = site([[2, 1, 1, 2]], [(1, 2), (2, 3), (3, 4)])
    found = schedule_helpers(building, lifts, crew)
    assert [call.lifts for call in found.calls] == [(1,), (4,)]
    assert found.helper_days == 2


def test_what_is_done_alone_goes_where_it_costs_no_day() -> None:
    # A lift of half a day each: one with helpers in stages 1 and 2, two in stage 3, one alone in
    # stage 2. After the one with helpers there: 1 and 3 are a day, 4 and 5 another. Before it, 1
    # would have a day to itself, or wait, and 3 to 5 come to three halves: three days.
    crew = Crew(minutes_per_lift=90, hours_per_day=3)
    building, lifts = site([[2], [1, 2], [2, 2]], [])
    found = schedule_helpers(building, lifts, crew)
    assert [call.lifts for call in found.calls] == [(1, 3), (4, 5)]
    assert found.helper_days == 2
    # The other way round: 1 and 2 are a day, then the one alone, and 4 and 5 another.
    building, lifts = site([[2, 2], [1, 2], [2]], [])
    found = schedule_helpers(building, lifts, crew)
    assert [call.lifts for call in found.calls] == [(1, 2), (4, 5)]
    assert found.helper_days == 2


def test_a_stage_of_very_many_kinds_is_still_ordered() -> None:
    # Twelve with helpers and twelve without, free: six hours together, then nobody waits.
    building, lifts = site([[2, 1] * 12], [])
    found = schedule_helpers(building, lifts, Crew(minutes_per_lift=30))
    (call,) = found.calls
    assert (call.days, call.waiting_hours) == (1, 0)


def test_a_header_calls_nobody_of_its_own() -> None:
    building, lifts = site([[2, 2]], [])
    wall = replace(lifts[0], item=replace(lifts[0].item, name="wall"))
    header = replace(lifts[1], item=replace(wall.item, name="header", inside_of="wall"))
    found = schedule_helpers(building, [wall, header], Crew())
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
    assert schedule_helpers(hung, lifts, Crew()).order == {1: (2, 1, 3)}

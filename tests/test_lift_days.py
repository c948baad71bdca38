"""The calendar: order of lifts, visits and days, counted by hand and for any small site."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from lifted import block, item_of, lift_of
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.machines import machines
from pikepole_export.derive.lifting.schedule import MOST_WAITING_H, Calendar, plan_days
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.scene.crew import Crew, Rate
from pikepole_model.scene.moving import Move
from pikepole_model.scene.schema import Scene

POST_H = 2.0  # what a post takes one person here


def site(
    people: Sequence[Sequence[int]],
    needs: Sequence[tuple[int, int]] = (),
    *,
    post_h: float = POST_H,
    moved_after: int = 0,
) -> tuple[Building, list[Lift]]:
    """Posts to raise by stage, each with how many people it takes; and which rests on which.

    Args:
        people: For each stage, for each of its lifts.
        needs: Numbers of two lifts, the first under the second.
        post_h: Hours of one person that a post takes.
        moved_after: Number of the stage after which the building is moved; 0 for none.
    """
    lifts: list[Lift] = []
    for stage, row in enumerate(people, start=1):
        for count in row:
            number = len(lifts) + 1
            size_mm = (2000, 90, 40)
            part = block(f"post {number}", size_mm, 10, kind=Kind.POST, stage=stage)
            lifts.append(lift_of(item_of(part), number=number, people=count))
    parts = tuple(lift.item.whole.parts[0] for lift in lifts)
    joints = tuple(
        Joint(parts[under - 1].name, parts[over - 1].name, "nailed", (0.0, 0.0, 0.0))
        for under, over in needs
    )
    return _building(parts, joints, post_h, moved_after), lifts


def _building(
    parts: tuple[Part, ...], joints: tuple[Joint, ...], post_h: float, moved_after: int = 0
) -> Building:
    stages = tuple(
        Stage(number, f"stage {number}", tuple(part for part in parts if part.stage == number))
        for number in sorted({part.stage for part in parts})
    )
    scene = Scene.model_construct(
        title="Posts",
        rate=(Rate(work="posts", low=post_h / 2, high=post_h),),
        move=Move(after=f"stage {moved_after}") if moved_after else None,
    )
    return Building(scene, parts, joints, stages)


def planned(
    people: Sequence[Sequence[int]],
    needs: Sequence[tuple[int, int]] = (),
    *,
    hours: float = 6,
    post_h: float = POST_H,
    moved_after: int = 0,
) -> Calendar:
    """The calendar of a site for a crew of one."""
    building, lifts = site(people, needs, post_h=post_h, moved_after=moved_after)
    return plan_days(building, lifts, Crew(hours_per_day=hours), {})


Drawn = tuple[list[list[int]], list[tuple[int, int]], int]


@st.composite
def small_sites(draw: st.DrawFn) -> Drawn:
    people = draw(
        st.lists(st.lists(st.integers(1, 3), min_size=1, max_size=6), min_size=1, max_size=4)
    )
    needs: list[tuple[int, int]] = []
    first = 1
    for row in people:
        pairs = [(a, b) for b in range(first, first + len(row)) for a in range(first, b)]
        if pairs:
            needs += draw(st.lists(st.sampled_from(pairs), unique=True, max_size=8))
        first += len(row)
    return people, needs, draw(st.integers(0, len(people)))


@draws(40)
@given(small_sites(), st.floats(1, 16), st.floats(0, 5))
def test_every_lift_with_helpers_falls_in_a_visit_and_order_is_kept(
    drawn: Drawn, hours: float, post_h: float
) -> None:
    people, needs, moved_after = drawn
    found = planned(people, needs, hours=hours, post_h=post_h, moved_after=moved_after)
    who = [count for row in people for count in row]
    order = [number for stage in sorted(found.order) for number in found.order[stage]]
    assert sorted(order) == list(range(1, len(who) + 1))
    assert all(order.index(under) < order.index(over) for under, over in needs)
    visited = [number for visit in found.visits for number in visit.lifts]
    assert visited == [number for number in order if who[number - 1] > 1]
    for visit in found.visits:
        assert visit.helpers == max(who[number - 1] for number in visit.lifts) - 1
    days = [(stage.first_day, stage.last_day) for stage in found.stages]
    assert all(first <= last for first, last in days)
    assert all(last <= first for (_, last), (first, _) in itertools.pairwise(days))
    assert found.days >= days[-1][1]


@draws(40)
@given(small_sites(), st.floats(1, 16), st.floats(0, 5))
def test_nothing_runs_across_the_day_of_the_move(drawn: Drawn, hours: float, post_h: float) -> None:
    people, needs, moved_after = drawn
    found = planned(people, needs, hours=hours, post_h=post_h, moved_after=moved_after)
    assert (found.move_day is None) == (moved_after == 0)
    if found.move_day is None:
        return
    for stage in found.stages:
        if stage.number <= moved_after:
            assert stage.last_day < found.move_day
        else:
            assert stage.first_day > found.move_day
    for visit in found.visits:
        last_half = 2 * (visit.day - 1) + visit.at_noon + visit.half_days - 1
        before = {stage <= moved_after for stage in visit.stages}
        assert len(before) == 1
        assert last_half // 2 + 1 < found.move_day or visit.day > found.move_day


@draws(40)
@given(small_sites(), st.floats(1, 16), st.floats(1, 16), st.floats(0, 5))
def test_more_hours_a_day_never_give_more_days(
    drawn: Drawn, one: float, other: float, post_h: float
) -> None:
    people, needs, moved_after = drawn
    short, long = (
        planned(people, needs, hours=hours, post_h=post_h, moved_after=moved_after)
        for hours in sorted((one, other))
    )
    assert long.days <= short.days
    assert long.helper_days <= short.helper_days
    assert len(long.visits) == len(short.visits)


def test_what_is_done_alone_comes_first() -> None:
    # Two posts alone, 2 h each: 4 h. Two with a helper, an hour each for two. Half a day is 3 h:
    # the helper comes with the third half day, which is day 2.
    found = planned([[1, 2, 1, 2]])
    assert found.order == {1: (1, 3, 2, 4)}
    (visit,) = found.visits
    assert (visit.day, visit.at_noon, visit.half_days) == (2, False, 1)
    assert (visit.hours, visit.waiting_hours, visit.lifts) == (2, 0, (2, 4))
    assert (found.days, found.helper_days) == (2, 0.5)


def test_a_visit_covers_the_end_of_one_stage_and_the_beginning_of_the_next() -> None:
    # 2 h alone; from noon of day 1 an hour for lift 2 and one for lift 3; then 2 h alone, 1 of them
    # before the day is over.
    found = planned([[1, 2], [1, 2]])
    assert found.order == {1: (1, 2), 2: (4, 3)}
    (visit,) = found.visits
    assert (visit.stages, visit.lifts) == ((1, 2), (2, 4))
    assert (visit.day, visit.at_noon, visit.half_days, visit.hours) == (1, True, 1, 2)
    assert [(stage.first_day, stage.last_day) for stage in found.stages] == [(1, 1), (1, 2)]


def test_helpers_wait_an_hour_and_no_longer() -> None:
    # With a helper, alone, with a helper, and nothing can change places.
    needs = [(1, 2), (2, 3)]
    together = planned([[2, 1, 2]], needs, post_h=MOST_WAITING_H)
    (visit,) = together.visits
    assert (visit.lifts, visit.hours, visit.waiting_hours) == ((1, 3), 1, 1)
    apart = planned([[2, 1, 2]], needs, post_h=MOST_WAITING_H + 0.5)
    assert [visit.lifts for visit in apart.visits] == [(1,), (3,)]


def test_a_move_is_a_day_between_two_stages() -> None:
    found = planned([[2], [2]], moved_after=1)
    assert [visit.day for visit in found.visits] == [1, 3]
    assert (found.move_day, found.days) == (2, 3)
    (visit,) = planned([[2], [2]]).visits
    assert (visit.lifts, visit.hours) == ((1, 2), 2)


def test_what_is_put_together_first_is_no_helper_s_work() -> None:
    # Two pieces that are raised as one: 4 h of work before that, alone, then ten minutes.
    building, _ = site([[2], [1, 1]])
    first, *parts = building.parts
    lifts = [
        lift_of(item_of(first), number=1, people=2),
        lift_of(item_of(*parts), number=2, people=2),
    ]
    found = plan_days(building, lifts, Crew(), {})
    assert [visit.lifts for visit in found.visits] == [(1,), (2,)]
    assert found.visits[1].hours == pytest.approx(10 / 60)
    # An hour with help and 4 h alone end in the second half day: the next begins day 2.
    assert (found.visits[1].day, found.visits[1].at_noon) == (2, False)


def test_a_lift_takes_its_minutes_at_the_least() -> None:
    # Three equal posts that are next to no work: 3 lifts of 30 minutes.
    building, (lift,) = site([[2]], post_h=0)
    item = replace(lift.item, same=("post 1", "post 2", "post 3"))
    found = plan_days(building, [replace(lift, item=item)], Crew(minutes_per_lift=30), {})
    assert found.visits[0].hours == 1.5


def test_carrying_comes_before_the_work_of_its_stage() -> None:
    building, lifts = site([[1], [1]])
    found = plan_days(building, lifts, Crew(), {2: 6.0})
    # 2 h; 6 h of carrying and 2 h of work: 10 h, of 6 h a day.
    assert [(stage.first_day, stage.last_day) for stage in found.stages] == [(1, 1), (1, 2)]
    assert plan_days(building, lifts, Crew(), {}).days == 1


def test_a_machine_that_is_hired_is_asked_for_in_days() -> None:
    building, (lift,) = site([[1]])
    machine = machines(lift.item, Crew())[-1]
    found = plan_days(building, [replace(lift, machine=machine)], Crew(), {})
    (visit,) = found.visits
    assert (visit.helpers, visit.machines, visit.half_days) == (0, ("lifting machine",), 1)
    # It sets the post and goes; what else the post takes is the crew's.
    assert visit.hours == pytest.approx(10 / 60)
    assert (found.helper_days, found.machine_days) == (0, 1)


def test_a_header_calls_nobody_of_its_own() -> None:
    building, lifts = site([[2, 2]])
    wall = replace(lifts[0], item=replace(lifts[0].item, name="wall"))
    header = replace(lifts[1], item=replace(wall.item, name="header", inside_of="wall"))
    found = plan_days(building, [wall, header], Crew(), {})
    assert [visit.lifts for visit in found.visits] == [(1,)]


def test_what_is_too_light_to_count_still_holds_what_comes_after() -> None:
    # Post 3 hangs on a hook that is screwed to post 1: not before it, though no joint joins them.
    building, lifts = site([[1, 2, 2]])
    hook = block("hook", (100, 20, 20), 0.5)
    one, two, three = building.parts
    joints = tuple(
        Joint(under.name, over.name, "screwed", (0.0, 0.0, 0.0))
        for under, over in ((two, hook), (hook, one), (one, three))
    )
    hung = _building((two, hook, one, three), joints, POST_H)
    assert plan_days(hung, lifts, Crew(), {}).order == {1: (2, 1, 3)}

"""When helpers are needed: the order of lifts within each stage that calls them least often.

    days(building, lifts, crew) -> Days

A call is a row of lifts, one after the other, for which helpers are there. Within a stage lifts may
change places as long as nothing goes up before what it is fixed to. So the lifts that take helpers
are put together, at the beginning of the stage or at its end where the stage before or after it has
helpers there too. Of orders with equally few calls, the one with the fewest days is taken.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, groupby, product
from typing import TypeAlias

from pikepole_export.derive.lifting.lift import Lift
from pikepole_model.part import Building
from pikepole_model.scene.crew import Crew

# Numbers of the lifts of a stage, in order.
Order: TypeAlias = tuple[int, ...]

# For each lift, those of its stage that have to be done before it.
Needs: TypeAlias = Mapping[int, set[int]]


@dataclass(frozen=True, slots=True)
class Call:
    """Helpers are there.

    Attributes:
        stages: Numbers of the stages it falls into.
        lifts: Numbers of the lifts they help with, in order.
        helpers: How many at the most.
        hours: What the lifts take, at the crew's minutes for each.
        days: The same in days, begun ones whole.
    """

    stages: tuple[int, ...]
    lifts: tuple[int, ...]
    helpers: int
    hours: float
    days: int


@dataclass(frozen=True)
class Days:
    """When helpers come.

    Attributes:
        calls: In order.
        order: For each stage by its number, its lifts in the order that is proposed.
    """

    calls: tuple[Call, ...]
    order: dict[int, Order]

    @property
    def helper_days(self) -> int:
        """Days on which helpers are there, all calls together."""
        return sum(call.days for call in self.calls)


def days(building: Building, lifts: Sequence[Lift], crew: Crew) -> Days:
    """Order the lifts of every stage and count the days on which helpers come."""
    by_number = {lift.number: lift for lift in lifts}
    needs = _needs(building, lifts)
    by_stage: dict[int, list[int]] = defaultdict(list)
    for lift in lifts:
        by_stage[lift.thing.stage].append(lift.number)

    def helped(number: int) -> bool:
        # A header is raised as a part of its wall.
        lift = by_number[number]
        return lift.people > crew.people and not lift.thing.inside_of

    def call_of(numbers: Sequence[int]) -> Call:
        rows = [by_number[number] for number in numbers]
        hours = sum(lift.thing.times * lift.chosen.loads for lift in rows)
        hours *= crew.minutes_per_lift / 60
        return Call(
            stages=tuple(dict.fromkeys(lift.thing.stage for lift in rows)),
            lifts=tuple(numbers),
            helpers=max(lift.people for lift in rows) - crew.people,
            hours=hours,
            days=math.ceil(hours / crew.hours_per_day - 1e-9),
        )

    stages = sorted(by_stage)
    choices = [_orders(by_stage[stage], needs, helped) for stage in stages]
    chosen = _fewest(choices, helped, lambda numbers: call_of(numbers).days)
    rows = groupby(chain.from_iterable(chosen), key=helped)
    calls = tuple(call_of(tuple(row)) for is_helped, row in rows if is_helped)
    return Days(calls, dict(zip(stages, chosen, strict=True)))


def _fewest(
    choices: Sequence[Sequence[Order]],
    helped: Callable[[int], bool],
    days_of: Callable[[Order], int],
) -> tuple[Order, ...]:
    """One order for each stage, so that all of them together have the fewest calls, then days.

    All that the stages so far hand on to the next is the call that is not over. So for each such
    call only the best way to come to it is kept.
    """
    best: dict[Order, tuple[int, int, tuple[Order, ...]]] = {(): (0, 0, ())}
    for orders in choices:
        after: dict[Order, tuple[int, int, tuple[Order, ...]]] = {}
        for (running, (calls, done, chosen)), order in product(best.items(), orders):
            now, begun, ended = running, calls, done
            for number in order:
                if helped(number):
                    begun += not now
                    now = (*now, number)
                elif now:
                    ended += days_of(now)
                    now = ()
            found = (begun, ended, (*chosen, order))
            if now not in after or found[:2] < after[now][:2]:
                after[now] = found
        best = after
    totals = [
        (calls, done + (days_of(now) if now else 0), chosen)
        for now, (calls, done, chosen) in best.items()
    ]
    return min(totals, key=lambda total: total[:2])[2]


def _orders(numbers: Sequence[int], needs: Needs, helped: Callable[[int], bool]) -> list[Order]:
    """The orders of a stage that are worth a look: at most one for each way to begin and to end.

    Each has helpers come as seldom as can be for a stage that begins and ends like this.
    """
    found: list[Order] = []
    for begins, ends in product((True, False), repeat=2):
        last = [
            number
            for number in numbers
            if helped(number) == ends
            and all(helped(other) == ends for other in _resting_on(number, numbers, needs))
        ]
        first = [number for number in numbers if number not in last]
        # Where only the last ones could be the first as well, one of them is.
        can_begin = any(helped(number) == begins and not needs[number] for number in first)
        if first and begins == ends and not can_begin:
            spare = [number for number in last if not needs[number]][:1]
            last = [number for number in last if number not in spare]
            first = [*spare, *first]
        order = (*_in_turns(first, needs, helped, begins), *_in_turns(last, needs, helped, ends))
        if (helped(order[0]), helped(order[-1])) == (begins, ends):
            found.append(order)
    return found


def _in_turns(
    numbers: Sequence[int], needs: Needs, helped: Callable[[int], bool], begins: bool
) -> list[int]:
    """All that can be done with helpers, then all that can be done without, and so on."""
    placed: list[int] = []
    left, with_helpers = list(numbers), begins
    while left:
        free = [n for n in left if helped(n) == with_helpers and not needs[n] & set(left)]
        if free:
            placed.append(free[0])
            left.remove(free[0])
        else:
            with_helpers = not with_helpers
    return placed


def _resting_on(number: int, numbers: Sequence[int], needs: Needs) -> set[int]:
    """All that can only be done after a lift."""
    found, ahead = set[int](), [number]
    while ahead:
        under = ahead.pop()
        above = {other for other in numbers if under in needs[other]} - found
        found |= above
        ahead += above
    return found


def _needs(building: Building, lifts: Sequence[Lift]) -> Needs:
    """For each lift the lifts of its stage that it is fixed to and that are built before it.

    The model places what carries before what is carried, so of two pieces that are joined the one
    that was placed first has to be there; pieces too light to be lifts pass this on.
    """
    stage_of = {part.name: part.stage for part in building.parts}
    fixed_to: dict[str, list[str]] = defaultdict(list)
    for joint in building.joints:
        if stage_of[joint.a] == stage_of[joint.b]:
            fixed_to[joint.b].append(joint.a)
    own: dict[str, int] = {}
    for lift in lifts:
        if not lift.thing.inside_of:
            own |= dict.fromkeys((part.name for part in lift.thing.whole.parts), lift.number)
            own |= dict.fromkeys(lift.thing.same, lift.number)
    needs: dict[int, set[int]] = {lift.number: set() for lift in lifts}
    for name, number in own.items():
        seen, ahead = {name}, [name]
        while ahead:
            under = [other for other in fixed_to[ahead.pop()] if other not in seen]
            seen |= set(under)
            needs[number] |= {own[other] for other in under if other in own}
            ahead += [other for other in under if other not in own]
    for lift in lifts:
        if lift.thing.inside_of:
            needs[lift.number] = {own[part.name] for part in lift.thing.whole.parts}
    return _without_circles(needs)


def _without_circles(needs: Needs) -> Needs:
    """Without what cannot be kept: equal pieces are one lift, though some need others in between.

    Where each of two lifts has pieces that need the other's, the one that is built first is first.
    """
    left, done = sorted(needs), set[int]()
    kept: dict[int, set[int]] = {}
    while left:
        number = next((n for n in left if needs[n] - {n} <= done), left[0])
        kept[number] = needs[number] & done
        done.add(number)
        left.remove(number)
    return kept

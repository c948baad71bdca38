"""When helpers are needed: the order of lifts within each stage that calls them least often.

    days(building, lifts, crew) -> Days

A call is a row of lifts, one after the other, for which helpers are there. Within a stage lifts may
change places as long as nothing goes up before what it is fixed to. So the lifts that take helpers
are put together: first what the crew must have done before them, then they, then the rest; or as
late in the stage as can be, where the next stage begins with helpers too and one call does both.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pikepole_export.derive.lifting.lift import Lift
from pikepole_model.part import Building
from pikepole_model.scene.crew import Crew


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
    order: dict[int, tuple[int, ...]]

    @property
    def helper_days(self) -> int:
        """Days on which helpers are there, all calls together."""
        return sum(call.days for call in self.calls)


def days(building: Building, lifts: Sequence[Lift], crew: Crew) -> Days:
    """Order the lifts of every stage and count the days on which helpers come."""
    by_stage: dict[int, list[Lift]] = defaultdict(list)
    for lift in lifts:
        by_stage[lift.thing.stage].append(lift)
    needs = _needs(building, lifts)
    order: dict[int, tuple[int, ...]] = {}
    runs: list[tuple[int, list[int]]] = []  # stage, the lifts of one run of helpers
    open_run = False  # whether the last thing done was done with helpers
    people = {lift.number: lift.people for lift in lifts}

    def helped(number: int) -> bool:
        return people[number] > crew.people

    stages = sorted(by_stage)
    for place, stage in enumerate(stages):
        numbers = [lift.number for lift in by_stage[stage]]
        early = _ordered(numbers, needs, helped, helpers_first=True)
        late = _ordered(numbers, needs, helped, helpers_first=False)
        following = stages[place + 1 : place + 2]
        joins_next = any(
            helped(_ordered([lift.number for lift in by_stage[after]], needs, helped, True)[0])
            for after in following
        )
        joins_last = open_run and helped(early[0])
        chosen = late if joins_next and not joins_last and helped(late[-1]) else early
        order[stage] = tuple(chosen)
        for number in chosen:
            if helped(number):
                if not open_run:
                    runs.append((stage, []))
                runs[-1][1].append(number)
            open_run = helped(number)
    return Days(tuple(_call(run, lifts, crew) for _, run in runs), order)


def _call(run: Sequence[int], lifts: Sequence[Lift], crew: Crew) -> Call:
    rows = [lift for lift in lifts if lift.number in set(run)]
    hours = (
        sum(lift.thing.times * lift.chosen.loads for lift in rows if not lift.thing.inside_of)
        * crew.minutes_per_lift
        / 60
    )
    return Call(
        stages=tuple(sorted({lift.thing.stage for lift in rows})),
        lifts=tuple(run),
        helpers=max(lift.people for lift in rows) - crew.people,
        hours=hours,
        days=math.ceil(hours / crew.hours_per_day - 1e-9),
    )


def _ordered(
    numbers: Sequence[int],
    needs: dict[int, set[int]],
    helped: Callable[[int], bool],
    helpers_first: bool,
) -> list[int]:
    """The lifts of a stage, those with helpers as early or as late as can be."""
    wanted = [number for number in numbers if helped(number)]
    before = _with_needs(wanted, needs, numbers)
    after = [n for n in numbers if n not in before]
    if helpers_first:
        alone = [n for n in numbers if n in before and not helped(n)]
        return _sorted([*alone, *wanted, *after], needs)
    dependents = [n for n in numbers if not helped(n) and _leans_on(n, wanted, needs)]
    alone = [n for n in numbers if not helped(n) and n not in dependents]
    return _sorted([*alone, *wanted, *dependents], needs)


def _with_needs(
    wanted: Sequence[int], needs: dict[int, set[int]], numbers: Sequence[int]
) -> set[int]:
    """These and all they rest on, as far as it is in the same stage."""
    found, ahead = set(wanted), list(wanted)
    while ahead:
        for need in needs[ahead.pop()] & set(numbers) - found:
            found.add(need)
            ahead.append(need)
    return found


def _leans_on(number: int, wanted: Sequence[int], needs: dict[int, set[int]]) -> bool:
    ahead, seen = [number], {number}
    while ahead:
        for need in needs[ahead.pop()] - seen:
            if need in wanted:
                return True
            seen.add(need)
            ahead.append(need)
    return False


def _sorted(numbers: Sequence[int], needs: dict[int, set[int]]) -> list[int]:
    """The same order, with what a lift rests on moved in front of it where it is not."""
    placed: list[int] = []
    left = list(numbers)
    while left:
        free = next((n for n in left if not (needs[n] & set(left) - {n})), left[0])
        placed.append(free)
        left.remove(free)
    return placed


def _needs(building: Building, lifts: Sequence[Lift]) -> dict[int, set[int]]:
    """For each lift the lifts of its stage that it is fixed to and that are built before it.

    The model places what carries before what is carried, so of two pieces that are joined the one
    that was placed first is the one that has to be there.
    """
    own: dict[str, int] = {}
    names = {name: lift.number for lift in lifts for name in lift.thing.same}
    for lift in lifts:
        for part in lift.thing.whole.parts:
            own[part.name] = lift.number
    own |= {name: number for name, number in names.items() if name not in own}
    stage = {lift.number: lift.thing.stage for lift in lifts}
    needs: dict[int, set[int]] = {lift.number: set() for lift in lifts}
    for joint in building.joints:
        first, second = own.get(joint.a), own.get(joint.b)
        if first is None or second is None or first == second or stage[first] != stage[second]:
            continue
        low, high = sorted((first, second))
        needs[high].add(low)
    return needs

"""When helpers come: the order of lifts that needs them on the fewest days.

    schedule_helpers(building, lifts, crew) -> Days

A call is a row of lifts that take helpers, and what the crew lifts alone in between. Who has come
stays: a call takes the days from the start of its first lift to the end of its last, begun ones
whole. Within a stage lifts may change places as long as nothing goes up before what it is fixed to.
Of all orders, and of all ways to part one into calls, the fewest days are looked for; of these the
fewest calls; of these those in which helpers wait least.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeAlias

from pikepole_export.derive.lifting.access import after_the_truck
from pikepole_export.derive.lifting.lift import Lift
from pikepole_model.building.part import Building
from pikepole_model.scene.crew import Crew

# Numbers of the lifts of a stage, in order.
Order: TypeAlias = tuple[int, ...]

# For each lift, those of its stage that have to be done before it.
Needs: TypeAlias = Mapping[int, set[int]]

# So many blocks of a stage are tried in every order; of more, like ones are kept together.
MOST_BLOCKS = 10


@dataclass(frozen=True, slots=True)
class Call:
    """Helpers are there.

    Attributes:
        stages: Numbers of the stages it falls into.
        lifts: Numbers of the lifts they help with, in order.
        helpers: How many at the most.
        hours: What these lifts take, at the crew's minutes for each.
        waiting_hours: What the crew lifts alone in between takes.
        days: Both in days, begun ones whole.
    """

    stages: tuple[int, ...]
    lifts: tuple[int, ...]
    helpers: int
    hours: float
    waiting_hours: float
    days: int


@dataclass(frozen=True)
class HelperSchedule:
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


@dataclass(frozen=True, slots=True)
class _Block:
    """Lifts of a stage that are done one after the other.

    Attributes:
        lifts: Their numbers.
        helped: Whether they take helpers: all of them or none.
        days: What they take.
    """

    lifts: Order
    helped: bool
    days: Fraction


@dataclass(frozen=True, slots=True)
class _Calls:
    """Calls up to some lift.

    Attributes:
        days: Days on which helpers are there, that of the last call to its end.
        calls: How many.
        left: What is left of the last day of the last call; None where it is over.
        waited: Days that helpers have waited between lifts.
        since: Days since the last lift with helpers of a call that is not over.
        starts: Of the lifts with helpers, those that a call begins with.
        order: The lifts that are done.
    """

    days: int = 0
    calls: int = 0
    left: Fraction | None = None
    waited: Fraction = Fraction(0)
    since: Fraction = Fraction(0)
    starts: Order = ()
    order: Order = ()

    @property
    def rank(self) -> tuple[int, int, Fraction, Order]:
        """The least is the best."""
        return (self.days, self.calls, self.waited, self.order)

    def dominates(self, other: _Calls) -> bool:
        """Whether nothing that may come makes the other one come out better than this."""
        mine, its = (Fraction(-1) if one.left is None else one.left for one in (self, other))
        if (self.days, self.calls, mine) == (other.days, other.calls, its):
            waits = self.waited, self.since, self.order
            return waits <= (other.waited, other.since, other.order)
        return self.days <= other.days and self.calls <= other.calls and mine >= its


def schedule_helpers(building: Building, lifts: Sequence[Lift], crew: Crew) -> HelperSchedule:
    """Order the lifts of every stage and count the days on which helpers come.

    Args:
        building: Whose joints say what has to be there before what.
        lifts: Its lifts, in order of building.
        crew: How many are there and can be called, and what they get done in a day.
    """
    by_number = {lift.number: lift for lift in lifts}
    needs = _needs(building, lifts)
    by_stage: dict[int, list[int]] = defaultdict(list)
    for lift in lifts:
        by_stage[lift.item.stage].append(lift.number)
    blocks = {lift.number: _block(lift, crew) for lift in lifts}
    stages = sorted(by_stage)
    reached = [_Calls()]
    for stage in stages:
        reached = _through([blocks[number] for number in by_stage[stage]], needs, reached)
    best = min(reached, key=lambda calls: calls.rank)
    order = {
        stage: tuple(number for number in best.order if by_number[number].item.stage == stage)
        for stage in stages
    }
    calls = _parted(best, blocks)
    return HelperSchedule(tuple(_call(row, by_number, blocks, crew) for row in calls), order)


def _block(lift: Lift, crew: Crew) -> _Block:
    # A header is raised as a part of its wall.
    if lift.item.inside_of:
        return _Block((lift.number,), False, Fraction(0))
    minutes = lift.item.times * lift.loads * Fraction(crew.minutes_per_lift)
    return _Block(
        (lift.number,), lift.people > crew.people, minutes / (60 * Fraction(crew.hours_per_day))
    )


def _parted(best: _Calls, blocks: Mapping[int, _Block]) -> list[Order]:
    """The order as rows of lifts, each from the first one with helpers to the last of a call."""
    rows: list[list[int]] = []
    for number in best.order:
        if number in best.starts:
            rows.append([])
        if rows:
            rows[-1].append(number)
    for row in rows:
        while not blocks[row[-1]].helped:
            row.pop()
    return [tuple(row) for row in rows]


def _call(
    numbers: Order, by_number: Mapping[int, Lift], blocks: Mapping[int, _Block], crew: Crew
) -> Call:
    helped = tuple(number for number in numbers if blocks[number].helped)
    rows = [by_number[number] for number in helped]
    in_all = sum(blocks[number].days for number in numbers)
    lifting = sum(blocks[number].days for number in helped)
    return Call(
        stages=tuple(dict.fromkeys(lift.item.stage for lift in rows)),
        lifts=helped,
        helpers=max(lift.people for lift in rows) - crew.people,
        hours=float(lifting * Fraction(crew.hours_per_day)),
        waiting_hours=float((in_all - lifting) * Fraction(crew.hours_per_day)),
        days=math.ceil(in_all),
    )


def _through(singles: Sequence[_Block], needs: Needs, reached: Sequence[_Calls]) -> list[_Calls]:
    """A stage's lifts in every order that is possible, after every way to come to it.

    What has been done is all that what is to come depends on, with what the calls so far hand on.
    So for each set of lifts that are done, only those calls are kept that no other beats.
    """
    blocks = _joined(singles, needs)
    before = [
        sum(
            1 << other
            for other, block in enumerate(blocks)
            if other != place and any(needs[n] & set(block.lifts) for n in mine.lifts)
        )
        for place, mine in enumerate(blocks)
    ]
    best: dict[int, list[_Calls]] = {0: _undominated(reached)}
    for _ in blocks:
        after: dict[int, list[_Calls]] = defaultdict(list)
        for done, rows in best.items():
            for place, block in enumerate(blocks):
                if not done >> place & 1 and before[place] & done == before[place]:
                    after[done | 1 << place] += [one for row in rows for one in _then(row, block)]
        best = {done: _undominated(rows) for done, rows in after.items()}
    (found,) = best.values()
    return found


def _then(calls: _Calls, block: _Block) -> list[_Calls]:
    """The calls, after some more lifts."""
    order = (*calls.order, *block.lifts)
    left = calls.left
    if block.helped:
        rest = left or Fraction(0)
        more = max(0, math.ceil(block.days - rest))
        return [
            _Calls(
                days=calls.days + more,
                calls=calls.calls + (left is None),
                left=rest + more - block.days,
                waited=calls.waited + calls.since,
                starts=(*calls.starts, block.lifts[0]) if left is None else calls.starts,
                order=order,
            )
        ]
    over = replace(calls, left=None, since=Fraction(0), order=order)
    if left is None:
        return [over]
    # Or they stay, and where the day is over before that, for one more.
    more = max(0, math.ceil(block.days - left))
    stay = replace(
        over,
        days=calls.days + more,
        left=left + more - block.days,
        since=calls.since + block.days,
    )
    return [over, stay]


def _undominated(rows: Iterable[_Calls]) -> list[_Calls]:
    kept: list[_Calls] = []
    for row in sorted(rows, key=lambda calls: calls.rank):
        if not any(other.dominates(row) for other in kept):
            kept = [*(other for other in kept if not row.dominates(other)), row]
    return kept


def _joined(singles: Sequence[_Block], needs: Needs) -> list[_Block]:
    """Lifts without helpers that stand alike to all with helpers, as one: they need no parting.

    Where there are very many blocks, those with helpers that stand alike to the others too.
    """
    numbers = [block.lifts[0] for block in singles]
    place = {number: place for place, number in enumerate(_in_turn(numbers, needs))}
    singles = sorted(singles, key=lambda block: place[block.lifts[0]])
    under = {number: _before(number, needs) for number in numbers}

    def stands(block: _Block) -> tuple[object, ...]:
        others = {other.lifts[0] for other in singles if other.helped != block.helped}
        (number,) = block.lifts
        over = frozenset(other for other in others if number in under[other])
        return (block.helped, frozenset(under[number] & others), over)

    piles: dict[tuple[object, ...], list[_Block]] = defaultdict(list)
    for block in singles:
        piles[stands(block)].append(block)
    alone = [_as_one(pile) for (helped, *_), pile in piles.items() if not helped]
    helped_piles = [pile for (helped, *_), pile in piles.items() if helped]
    while len(alone) + sum(map(len, helped_piles)) > MOST_BLOCKS:
        largest = max(helped_piles, key=len, default=[])
        if len(largest) < 2:
            break
        largest[-2:] = [_as_one(largest[-2:])]
    return sorted(
        (*alone, *(block for pile in helped_piles for block in pile)), key=lambda one: one.lifts
    )


def _as_one(blocks: Sequence[_Block]) -> _Block:
    return _Block(
        tuple(number for block in blocks for number in block.lifts),
        blocks[0].helped,
        sum((block.days for block in blocks), Fraction(0)),
    )


def _in_turn(numbers: Sequence[int], needs: Needs) -> list[int]:
    """In order, but each after those that it needs."""
    left, placed = sorted(numbers), list[int]()
    while left:
        number = next(n for n in left if not needs[n] & set(left))
        placed.append(number)
        left.remove(number)
    return placed


def _before(number: int, needs: Needs) -> set[int]:
    """All that has to be done before a lift."""
    found, ahead = set[int](), [number]
    while ahead:
        new = needs[ahead.pop()] - found
        found |= new
        ahead += new
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
        if not lift.item.inside_of:
            own |= dict.fromkeys((part.name for part in lift.item.whole.parts), lift.number)
            own |= dict.fromkeys(lift.item.same, lift.number)
    needs: dict[int, set[int]] = {lift.number: set() for lift in lifts}
    for name, number in own.items():
        seen, ahead = {name}, [name]
        while ahead:
            under = [other for other in fixed_to[ahead.pop()] if other not in seen]
            seen |= set(under)
            needs[number] |= {own[other] for other in under if other in own}
            ahead += [other for other in under if other not in own]
    for lift in lifts:
        if lift.item.inside_of:
            needs[lift.number] = {own[part.name] for part in lift.item.whole.parts}
    for number, trucks in after_the_truck(lifts, needs).items():
        needs[number] |= trucks
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

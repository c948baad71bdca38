"""In which order the lifts of a stage are done, and how long they take.

    needs_of(building, lifts) -> Needs          what has to be done before what
    stage_runs(...) -> Iterator[Run]            a stage, in turns alone and with those who come

All that the crew can do alone is done first, then all that then can be done with helpers or a hired
machine, and so on in turns. Where these are there from the stage before and nothing has to be put
together first, they begin.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from pikepole_export.derive.lifting.access import after_the_truck
from pikepole_export.derive.lifting.labour import Hours, total
from pikepole_export.derive.lifting.lift import Lift
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.part import Building, Stage
from pikepole_model.scene.crew import Crew

# Numbers of the lifts of a stage, in order.
Order: TypeAlias = tuple[int, ...]

# For each lift, those of its stage that have to be done before it.
Needs: TypeAlias = Mapping[int, set[int]]


@dataclass(frozen=True, slots=True)
class Run:
    """What is done in one go, alone or with those who have come.

    Attributes:
        stage: Number of its stage.
        lifts: Numbers of its lifts.
        with_visit: Whether they take helpers or a hired machine.
        hours: What goes by, to the second.
    """

    stage: int
    lifts: Order
    with_visit: bool
    hours: Fraction


def takes_visit(lift: Lift, crew: Crew) -> bool:
    """Whether somebody has to come for a lift: helpers, or a machine with its driver."""
    hired = lift.machine is not None and lift.machine.has_driver
    # A header is raised as a part of its wall.
    return not lift.item.inside_of and (lift.people > crew.people or hired)


def stage_runs(
    stage: Stage,
    lifts: Sequence[Lift],
    needs: Needs,
    crew: Crew,
    labour: Mapping[str, Hours],
    *,
    carrying_h: float,
    there: bool,
) -> Iterator[Run]:
    """What is done in a stage, one run after the other; there is always one that is done alone.

    The working hours are those at the most. Whoever comes raises, helpers fix too what they raise
    piece by piece; all else is the crew's, in its first run alone.

    Args:
        stage: The stage.
        lifts: All lifts of the building.
        needs: What has to be done before what.
        crew: How many are there.
        labour: What each part takes.
        carrying_h: Hours that go by until all is carried to where it is worked on.
        there: Whether helpers or a machine are there already.
    """
    here = {lift.number: lift for lift in lifts if lift.item.stage == stage.number}
    coming = {number for number, lift in here.items() if takes_visit(lift, crew)}
    apart = {n for n, lift in here.items() if lift.loads == len(lift.item.whole.parts)}
    fixed_too = {n for n in coming & apart if here[n].machine is None}
    spent = {number: _labour(lift, labour) for number, lift in here.items()}
    phases = list(_phases(list(here), needs, coming, visit_first=there and coming <= apart))
    alone = total(labour[part.name] for part in stage.parts).high
    alone = max(0.0, alone - sum(spent[number] for number in fixed_too))
    rest_h = carrying_h + alone / crew.people
    first = next(order for with_visit, order in phases if not with_visit)
    for with_visit, order in phases:
        if with_visit:
            hours = sum(
                max(_raising_h(here[n], crew), spent[n] / here[n].people if n in fixed_too else 0.0)
                for n in order
            )
        elif order is first:
            later = {n for also, row in phases if not also and row is not first for n in row}
            hours = rest_h - sum(spent[number] for number in later) / crew.people
        else:
            hours = sum(spent[number] for number in order) / crew.people
        yield Run(stage.number, order, with_visit, Fraction(round(hours * 3600), 3600))


def _raising_h(lift: Lift, crew: Crew) -> float:
    return crew.minutes_per_lift / 60 * lift.loads * lift.item.times


def _labour(lift: Lift, labour: Mapping[str, Hours]) -> float:
    """What the pieces of a lift take one person; a header is counted with its wall."""
    if lift.item.inside_of:
        return 0.0
    return sum(labour[name].high for name in _pieces(lift) if name in labour)


def _pieces(lift: Lift) -> dict[str, None]:
    """Names of all its pieces, those of equal ones too."""
    return dict.fromkeys((*(part.name for part in lift.item.whole.parts), *lift.item.same))


def _phases(
    numbers: Sequence[int], needs: Needs, coming: Collection[int], *, visit_first: bool
) -> Iterator[tuple[bool, Order]]:
    """The lifts in turns, each as long as it can be; one alone even where nothing is in it."""
    left, turn, alone = list(numbers), visit_first, False
    while left or not alone:
        row: list[int] = []
        while ready := [
            n for n in left if (n in coming) == turn and not needs[n] & set(left) - {n}
        ]:
            row.append(ready[0])
            left.remove(ready[0])
        if row or not (turn or alone):
            yield turn, tuple(row)
            alone = alone or not turn
        turn = not turn


def needs_of(building: Building, lifts: Sequence[Lift]) -> Needs:
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
            own |= dict.fromkeys(_pieces(lift), lift.number)
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
    for lift in lifts:
        # What the building is moved by lies where people work until all else of the stage is done.
        if lift.item.whole.parts[0].kind.family is Family.TEMPORARY:
            needs[lift.number] = {
                one.number for one in lifts if one.item.stage == lift.item.stage and one != lift
            }
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

"""On which days what is done, and when helpers and hired machines come.

    plan_days(building, lifts, crew, carrying_h) -> Calendar
    when_text(stage) -> "day 5 to 7"
    visit_text(visit, names) -> "day 3, half a day, stage 1: 2 helpers, for about 0.6 h; ..."

Stage after stage, each as long as its working hours at their most, shared among the crew, in the
order that `runs` says. Who comes, comes for half days: a visit begins with one, takes all lifts
that it can serve before the crew has work alone for more than an hour, and ends. A move takes a day
of its own, between two stages.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from pikepole_export.derive.lifting.labour import Hours, part_hours, total
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.runs import Order, Run, needs_of, stage_runs
from pikepole_model.building.part import Building
from pikepole_model.scene.crew import Crew
from pikepole_model.units import plural

# So long somebody who has come is kept waiting. Common practice, no source.
MOST_WAITING_H = 1


@dataclass(frozen=True, slots=True)
class Visit:
    """Helpers or a hired machine are there.

    Attributes:
        day: On which they come, from 1.
        at_noon: Whether they come for the second half of it.
        half_days: How many they are there for.
        stages: Numbers of the stages it falls into.
        lifts: Numbers of the lifts they come for, in order.
        helpers: How many at the most.
        machines: What is hired for it, its driver with it.
        hours: What these lifts take.
        waiting_hours: What the crew does alone in between takes.
    """

    day: int
    at_noon: bool
    half_days: int
    stages: tuple[int, ...]
    lifts: Order
    helpers: int
    machines: tuple[str, ...]
    hours: float
    waiting_hours: float

    @property
    def days(self) -> float:
        """In days, half ones too."""
        return self.half_days / 2


@dataclass(frozen=True, slots=True)
class StageDays:
    """When a stage is worked on.

    Attributes:
        number: Of the stage.
        name: Of the stage.
        hours: What it takes, in hours of one person.
        first_day: On which it begins, from 1.
        last_day: On which it ends.
    """

    number: int
    name: str
    hours: Hours
    first_day: int
    last_day: int


@dataclass(frozen=True)
class Calendar:
    """The work in days.

    Attributes:
        days: How many there are, that of a move among them.
        move_day: On which the building is moved; None where it stays.
        stages: Every stage.
        visits: In order.
        order: For each stage by its number, its lifts in the order that is proposed.
    """

    days: int
    move_day: int | None
    stages: tuple[StageDays, ...]
    visits: tuple[Visit, ...]
    order: dict[int, Order]

    @property
    def helper_days(self) -> float:
        """Days on which helpers are there, half ones too."""
        return sum(visit.days for visit in self.visits if visit.helpers)

    @property
    def machine_days(self) -> int:
        """Days for which machines are hired, begun ones whole."""
        return sum(math.ceil(visit.days) for visit in self.visits if visit.machines)


@dataclass(slots=True)
class _Clock:
    """Where the work has come to, in half days from the first.

    Attributes:
        half_day_h: Hours of half a day.
        now: The end of what is done.
        visits: When each begins, and what is done meanwhile.
        alone: What the crew has done alone since the last lift of a visit; None where none goes on.
    """

    half_day_h: Fraction
    now: Fraction = Fraction(0)
    visits: list[tuple[int, list[Run]]] = field(default_factory=list[tuple[int, list[Run]]])
    alone: list[Run] | None = None

    @property
    def visit_goes_on(self) -> bool:
        """Whether those who came last are still there."""
        return self.alone is not None and sum(run.hours for run in self.alone) <= MOST_WAITING_H

    def work(self, run: Run) -> Fraction:
        """Do something; when it is begun."""
        if not run.with_visit:
            if self.alone is not None:
                self.alone.append(run)
        else:
            if not self.visit_goes_on or self.alone is None:
                self.now = Fraction(math.ceil(self.now))
                self.visits.append((int(self.now), []))
                self.alone = []
            self.visits[-1][1].extend((*self.alone, run))
            self.alone = []
        begun = self.now
        self.now += run.hours / self.half_day_h
        return begun

    def move(self, last_day: int) -> int:
        """Spend the day after this one on a move; its number."""
        day = last_day + 1
        self.now, self.alone = Fraction(2 * day), None
        return day


def plan_days(
    building: Building, lifts: Sequence[Lift], crew: Crew, carrying_h: Mapping[int, float]
) -> Calendar:
    """Order the lifts of every stage and put the work into days.

    Args:
        building: Whose joints say what has to be there before what.
        lifts: Its lifts, in order of building.
        crew: How many are there, and how long a day is.
        carrying_h: For each stage by its number, hours that go by until its things are carried to
            where they are worked on.
    """
    labour, needs, move = part_hours(building), needs_of(building, lifts), building.scene.move
    clock = _Clock(Fraction(crew.hours_per_day) / 2)
    order: dict[int, Order] = {}
    stages: list[StageDays] = []
    move_day = None
    for standing in building.stages:
        stage = replace(standing, parts=building.handled_in(standing))
        runs = tuple(
            stage_runs(
                stage,
                lifts,
                needs,
                crew,
                labour,
                carrying_h=carrying_h.get(stage.number, 0.0),
                there=clock.alone == [],
            )
        )
        order[stage.number] = tuple(number for run in runs for number in run.lifts)
        first_day = int(min([clock.work(run) for run in runs]) / 2) + 1
        last_day = max(first_day, _day_of_end(clock.now))
        hours = total(labour[part.name] for part in stage.parts)
        stages.append(StageDays(stage.number, stage.name, hours, first_day, last_day))
        if move is not None and stage.name == move.after:
            move_day = clock.move(last_day)
    by_number = {lift.number: lift for lift in lifts}
    visits = tuple(_visit(*booked, by_number, crew) for booked in clock.visits)
    days = max(stages[-1].last_day, move_day or 0)
    return Calendar(days, move_day, tuple(stages), visits, order)


def renumbered(calendar: Calendar, numbers: Mapping[int, int]) -> Calendar:
    """A calendar whose lifts go by other numbers."""

    def anew(lifts: Order) -> Order:
        return tuple(numbers[number] for number in lifts)

    return replace(
        calendar,
        visits=tuple(replace(visit, lifts=anew(visit.lifts)) for visit in calendar.visits),
        order={stage: anew(order) for stage, order in calendar.order.items()},
    )


def _day_of_end(half_days: Fraction) -> int:
    """The day on which what ends then ends."""
    return math.ceil(half_days / 2)


def _visit(start: int, runs: Sequence[Run], by_number: Mapping[int, Lift], crew: Crew) -> Visit:
    served = [run for run in runs if run.with_visit]
    lifts = [by_number[number] for run in served for number in run.lifts]
    hours, in_all = (sum((run.hours for run in some), Fraction(0)) for some in (served, runs))
    hired = [lift.machine for lift in lifts if lift.machine and lift.machine.has_driver]
    return Visit(
        day=start // 2 + 1,
        at_noon=start % 2 == 1,
        half_days=max(1, math.ceil(in_all / (Fraction(crew.hours_per_day) / 2))),
        stages=tuple(dict.fromkeys(run.stage for run in served)),
        lifts=tuple(lift.number for lift in lifts),
        helpers=max(0, max(lift.people for lift in lifts) - crew.people),
        machines=tuple(dict.fromkeys(machine.kind.value for machine in hired)),
        hours=float(hours),
        waiting_hours=float(in_all - hours),
    )


def when_text(stage: StageDays) -> str:
    """The days of a stage: "day 5", "day 5 to 7"."""
    last = f" to {stage.last_day}" if stage.last_day > stage.first_day else ""
    return f"day {stage.first_day}{last}"


def days_text(days: float) -> str:
    """Whole and half days: "half a day", "1 day", "2-1/2 days"."""
    whole, half = divmod(days, 1)
    if not whole and half:
        return "half a day"
    return f"{whole:.0f}-1/2 days" if half else plural(int(whole), "day")


def visit_text(visit: Visit, names: Mapping[int, str]) -> str:
    """When others come, who, and for which lifts, these by number and name."""
    who = (plural(visit.helpers, "helper"),) if visit.helpers else ()
    machines = tuple(f"a {machine} with its driver" for machine in visit.machines)
    lifts = ", ".join(f"{number} {names[number]}" for number in visit.lifts)
    stages = f"stage{'' if len(visit.stages) == 1 else 's'} {numbers_text(visit.stages)}"
    begins = f"day {visit.day}{' at noon' if visit.at_noon else ''}, {days_text(visit.days)}"
    waits = visit.waiting_hours
    between = f" and {waits:.1f} h in between that you work alone" if waits >= 0.05 else ""
    return (
        f"{begins}, {stages}: {' and '.join((*who, *machines))}, for about "
        f"{visit.hours:.1f} h{between}; lift{'s' if len(visit.lifts) > 1 else ''} {lifts}"
    )


def numbers_text(numbers: Sequence[int]) -> str:
    """Numbers with commas between."""
    return ", ".join(map(str, numbers))

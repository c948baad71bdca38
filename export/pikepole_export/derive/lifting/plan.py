"""The lift plan: for each thing the way that takes the least help, and how the work is ordered.

    lift_plan(building) -> LiftPlan
    lift_alone(building, part) -> Lift, or None

The least is: the crew alone; then with helpers; then the gear that is at hand; then what must be
brought. A way that takes fewer people comes first; of equal ones, the one that stays furthest
below its guideline. Every mass is the high one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pikepole_export.derive.lifting.braced import braces
from pikepole_export.derive.lifting.days import Days, days
from pikepole_export.derive.lifting.hands import Lifter, push_guideline, team_factor
from pikepole_export.derive.lifting.holds import MOST_PEOPLE
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.machines import Machine, machines
from pikepole_export.derive.lifting.things import Handling, Thing, alone, things
from pikepole_export.derive.lifting.ways import BEARERS_MM, Rig, Way, ways
from pikepole_export.derive.lifting.wind import SheetWind, Work, sheet_wind
from pikepole_model.part import Building, Part
from pikepole_model.scene.crew import Crew, Platform, Trestles

# What is tried where no platform at hand is high enough.
PLATFORM_STEP_MM = 300.0
HIGHEST_PLATFORM_MM = 3600.0


@dataclass(frozen=True)
class StageHelp:
    """What a stage asks for.

    Attributes:
        number: The stage.
        name: Its name.
        help: The most that any of its lifts asks for.
        lifts: Numbers of its lifts in the order that is proposed.
        with_helpers: Those of them that take helpers.
    """

    number: int
    name: str
    help: Help
    lifts: tuple[int, ...]
    with_helpers: tuple[int, ...]


@dataclass(frozen=True)
class LiftPlan:
    """Everything that has to be raised.

    Attributes:
        crew: Who is there, and what is at hand.
        lifts: In order of building.
        stages: What each stage asks for.
        days: On which days helpers come, and for what.
    """

    crew: Crew
    lifts: tuple[Lift, ...]
    stages: tuple[StageHelp, ...]
    days: Days


def lift_plan(building: Building) -> LiftPlan:
    """Plan every lift of a building with the scene's crew."""
    crew = building.scene.crew
    rig = rig_of(crew)
    names = {stage.number: stage.name for stage in building.stages}
    planned = _merged(
        [_planned(thing, names[thing.stage], crew, rig) for thing in things(building)]
    )
    lifts = tuple(replace(lift, number=number) for number, lift in enumerate(planned, start=1))
    helped = days(building, lifts, crew)
    called = {number for call in helped.calls for number in call.lifts}
    by_stage: dict[int, list[Lift]] = defaultdict(list)
    for lift in lifts:
        by_stage[lift.thing.stage].append(lift)
    stages = tuple(
        StageHelp(
            number,
            names[number],
            max(lift.help for lift in rows),
            helped.order[number],
            tuple(number for number in helped.order[number] if number in called),
        )
        for number, rows in by_stage.items()
    )
    return LiftPlan(crew, lifts, stages, helped)


def lift_alone(building: Building, part: Part) -> Lift | None:
    """The lift of one part by itself, whatever it is fixed to before or after; its number is 0.

    None where nobody lifts it: it is made where it is, or under the least that counts.
    """
    crew = building.scene.crew
    names = {stage.number: stage.name for stage in building.stages}
    thing = alone(building, part)
    return _planned(thing, names[part.stage], crew, rig_of(crew)) if thing else None


def rig_of(crew: Crew) -> Rig:
    """What a crew lifts with by hand."""
    trestles = [gear.height for gear in crew.gear if isinstance(gear, Trestles)]
    platforms = sorted(gear.height for gear in crew.gear if isinstance(gear, Platform))
    lifter = Lifter.MAN if crew.guideline == "men" else Lifter.WOMAN
    return Rig(max(trestles, default=BEARERS_MM), tuple(platforms), lifter)


def _planned(thing: Thing, stage_name: str, crew: Crew, rig: Rig) -> Lift:
    hands = min(crew.people + crew.helpers, MOST_PEOPLE)
    looked_at = ways(thing, rig)
    best = min(looked_at, key=_effort)
    if best.people is not None and best.people <= hands:
        return _lift(thing, stage_name, looked_at, best, crew)
    able = machines(thing, crew, rig.lies_mm)
    there = crew.people + crew.helpers
    at_hand = next((one for one in able if one.at_hand and one.people <= there), None)
    if at_hand is not None:
        return _lift(thing, stage_name, looked_at, best, crew, machine=at_hand)
    higher = _with_platform(thing, rig, hands)
    if higher is not None:
        platform_mm, way = higher
        return _lift(thing, stage_name, looked_at, way, crew, platform_mm=platform_mm)
    return _lift(thing, stage_name, looked_at, best, crew, machine=able[-1])


def _lift(
    thing: Thing,
    stage_name: str,
    looked_at: tuple[Way, ...],
    way: Way,
    crew: Crew,
    *,
    machine: Machine | None = None,
    platform_mm: float | None = None,
) -> Lift:
    people = machine.people if machine else way.people or MOST_PEOPLE
    if machine:
        asked = Help.GEAR if machine.at_hand else Help.HIRE
    elif platform_mm is not None:
        asked = Help.HIRE
    else:
        asked = Help.ALONE if people <= crew.people else Help.HELPER
    return Lift(
        0,
        stage_name,
        thing,
        looked_at,
        way,
        asked,
        people,
        machine,
        platform_mm,
        _wind(thing, way, min(people, MOST_PEOPLE), crew),
        braces(thing),
    )


def _effort(way: Way) -> tuple[int, float]:
    return (way.people or MOST_PEOPLE + 1, way.hardest.used)


def _with_platform(thing: Thing, rig: Rig, hands: int) -> tuple[float, Way] | None:
    """The lowest further platform from which those who are there can raise it."""
    steps = int(min(HIGHEST_PLATFORM_MM, thing.whole.top_mm - thing.floor_mm) / PLATFORM_STEP_MM)
    for height in (PLATFORM_STEP_MM * step for step in range(1, steps + 1)):
        platforms = tuple(sorted({*rig.platforms_mm, height}))
        best = min(ways(thing, replace(rig, platforms_mm=platforms)), key=_effort)
        if best.people is not None and best.people <= hands:
            return height, best
    return None


def _wind(thing: Thing, way: Way, people: int, crew: Crew) -> SheetWind | None:
    """When a sheet or a wall is put down: by the rule, or by what the people can push against."""
    works = {
        Handling.SHEET: Work.SHEET,
        Handling.ROOF_SHEET: Work.ROOFING_SHEET,
        Handling.UNIT: Work.SHEET,
        Handling.WALL: Work.WALL,
    }
    if thing.handling not in works or (thing.handling == Handling.WALL and way.tilt is None):
        return None
    lifter = Lifter.MAN if crew.guideline == "men" else Lifter.WOMAN
    push_n = push_guideline(lifter).keep_n * people * float(team_factor(people))
    length, width, thickness = thing.whole.size_mm
    if thing.handling == Handling.WALL:
        # Wind goes between the studs of a bare frame: all its pieces are as deep as it is thick.
        area_mm2 = sum(part.volume_mm3 for part in thing.whole.parts) / thickness
    else:
        area_mm2 = length * width
    return sheet_wind(works[thing.handling], area_mm2=area_mm2, push_n=push_n)


def _merged(lifts: Iterable[Lift]) -> list[Lift]:
    """Pieces of one kind that go up in the same way are one lift, so many times.

    The heaviest stands for all of them; of equally heavy ones, the one that asks for most.
    """
    piles: dict[tuple[object, ...], list[Lift]] = defaultdict(list)
    for lift in lifts:
        thing = lift.thing
        key = (
            (thing.stage, thing.kind, thing.whole.parts[0].group)
            if len(thing.whole.parts) == 1
            else (thing.stage, thing.name)
        )
        machine = lift.machine.kind if lift.machine else ""
        how = (lift.chosen.name, lift.people, lift.help, machine, lift.platform_mm)
        piles[(*key, *how)].append(lift)
    return [_heaviest(pile) for pile in piles.values()]


def _heaviest(pile: Sequence[Lift]) -> Lift:
    first = max(pile, key=lambda lift: (lift.thing.whole.mass.high_kg, lift.chosen.hardest.used))
    others = [name for lift in pile if lift is not first for name in lift.thing.same]
    return replace(first, thing=replace(first.thing, same=(*first.thing.same, *others)))

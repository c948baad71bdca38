"""The lift plan: for each item the method that takes the least help, and the order of the work.

    lift_plan(building) -> LiftPlan
    lift_alone(building, part) -> Lift, or None

The least is: the crew alone; then with helpers; then the gear that is at hand; then what must be
brought: a platform, or else a machine. A method that takes fewer people comes first; of equal ones,
the one that stays furthest below its guideline. Every mass is the high one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import assert_never

from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting.approach import Site, site_of
from pikepole_export.derive.lifting.bracing import braces, landings
from pikepole_export.derive.lifting.hand_tasks import MOST_PEOPLE
from pikepole_export.derive.lifting.hands import Lifter, push_guideline, team_factor
from pikepole_export.derive.lifting.items import Handling, Item, items, single_item
from pikepole_export.derive.lifting.left_out import LeftOut, left_out
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.machines import Machine, machines, unfit
from pikepole_export.derive.lifting.methods import Method, effort, methods
from pikepole_export.derive.lifting.schedule import HelperSchedule, schedule_helpers
from pikepole_export.derive.lifting.techniques import BEARERS_MM, HandSetup
from pikepole_export.derive.lifting.wind import SheetWind, Work, sheet_wind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.crew import Crew, Platform, Trestles
from pikepole_model.units import FOOT_MM, Units, plural

# What is tried where no platform at hand is high enough.
PLATFORM_STEPS_MM: Mapping[Units, float] = {"imperial": FOOT_MM, "metric": 300.0}
HIGHEST_PLATFORM_MM = 3600.0


@dataclass(frozen=True)
class StageHelp:
    """What a stage asks for.

    Attributes:
        number: The stage.
        name: Its name.
        help: The most that any of its lifts asks for.
        bring: All that its lifts ask for beyond hands: "gear", "bring a platform".
        helpers: How many at the most are called.
        lifts: Numbers of its lifts in the order that is proposed.
        with_helpers: Those of them that take helpers.
    """

    number: int
    name: str
    help: Help
    bring: tuple[str, ...]
    helpers: int
    lifts: tuple[int, ...]
    with_helpers: tuple[int, ...]

    @property
    def mark(self) -> str:
        """In a heading: "alone", "2 helpers", "gear + 1 helper"."""
        called = plural(self.helpers, "helper") if self.helpers else ""
        return " + ".join(word for word in (*self.bring, called) if word) or Help.ALONE.label


@dataclass(frozen=True)
class LiftPlan:
    """Everything that has to be raised.

    Attributes:
        crew: Who is there, and what is at hand.
        lifts: In order of building.
        stages: What each stage asks for.
        schedule: On which days helpers come, and for what.
        left_out: What is not planned, and why.
    """

    crew: Crew
    lifts: tuple[Lift, ...]
    stages: tuple[StageHelp, ...]
    schedule: HelperSchedule
    left_out: tuple[LeftOut, ...]

    @property
    def beyond(self) -> tuple[Lift, ...]:
        """What this crew cannot do with what is at hand."""
        return tuple(lift for lift in self.lifts if lift.help >= Help.PLATFORM)


def lift_plan(building: Building) -> LiftPlan:
    """Plan every lift of a building with the scene's crew."""
    crew, units = building.scene.crew, building.scene.units
    setup = hand_setup(crew)
    names = {stage.number: stage.name for stage in building.stages}
    found = items(building)
    lands = landings(building, found)
    sites = {stage.number: site_of(building, stage.number) for stage in building.stages}
    planned = _merged(
        [
            _planned(item, names[item.stage], crew, setup, units, lands, sites[item.stage])
            for item in found
        ]
    )
    lifts = tuple(replace(lift, number=number) for number, lift in enumerate(planned, start=1))
    helped = schedule_helpers(building, lifts, crew)
    called = {number for call in helped.calls for number in call.lifts}
    by_stage: dict[int, list[Lift]] = defaultdict(list)
    for lift in lifts:
        by_stage[lift.item.stage].append(lift)
    stages = tuple(
        StageHelp(
            number=number,
            name=names[number],
            help=max(lift.help for lift in rows),
            bring=_brought(rows),
            helpers=max(
                (lift.people - crew.people for lift in rows if lift.number in called), default=0
            ),
            lifts=helped.order[number],
            with_helpers=tuple(number for number in helped.order[number] if number in called),
        )
        for number, rows in by_stage.items()
    )
    return LiftPlan(crew, lifts, stages, helped, left_out(building))


def _brought(lifts: Sequence[Lift]) -> tuple[str, ...]:
    return tuple(help.label for help in sorted({lift.help for lift in lifts}) if help >= Help.GEAR)


def single_lift(building: Building, part: Part) -> Lift | None:
    """The lift of one part by itself, whatever it is fixed to before or after; its number is 0.

    None where nobody lifts it: it is made where it is, or under the least that counts.
    """
    crew = building.scene.crew
    names = {stage.number: stage.name for stage in building.stages}
    item = single_item(building, part)
    if item is None:
        return None
    lands = landings(building, items(building)) if item.handling.stands_up else {}
    setup, units = hand_setup(crew), building.scene.units
    site = site_of(building, part.stage)
    return _planned(item, names[part.stage], crew, setup, units, lands, site)


def people_at_likely(building: Building, item: Item) -> int | None:
    """The fewest who raise an item by hand if it weighs what is likely; None beyond hands."""
    found = methods(_at_likely(item), hand_setup(building.scene.crew))
    return min(found, key=effort).people


def _at_likely(item: Item) -> Item:
    """The same, its likely mass for certain."""

    def sure(load: Load) -> Load:
        likely_kg = load.mass.likely_kg
        return replace(load, mass=Mass(likely_kg, likely_kg, likely_kg))

    return replace(
        item,
        whole=sure(item.whole),
        pieces=tuple(map(sure, item.pieces)),
        lightened=tuple(map(sure, item.lightened)),
        halves=tuple(map(sure, item.halves)),
    )


def hand_setup(crew: Crew) -> HandSetup:
    """What a crew lifts with by hand."""
    trestles = [gear.height for gear in crew.gear if isinstance(gear, Trestles)]
    platforms = sorted(gear.height for gear in crew.gear if isinstance(gear, Platform))
    lifter = Lifter.MAN if crew.guideline == "men" else Lifter.WOMAN
    return HandSetup((*sorted(trestles, reverse=True), BEARERS_MM), tuple(platforms), lifter)


def _planned(
    item: Item,
    stage_name: str,
    crew: Crew,
    setup: HandSetup,
    units: Units,
    lands: Mapping[str, float],
    site: Site,
) -> Lift:
    there = crew.people + crew.helpers
    hands = min(there, MOST_PEOPLE)
    methods_considered = methods(item, setup)
    best = min(methods_considered, key=effort)
    method, machine, platforms, cannot = best, None, (), ()
    if best.people is None or best.people > hands:
        able = machines(item, crew, site)
        cannot = unfit(item, crew, site, units)
        worked = [one for one in able if one.at_hand and one.people <= there]
        higher = None if worked else _with_platforms(item, setup, hands, PLATFORM_STEPS_MM[units])
        if higher is not None:
            platforms, method = higher
        else:
            # The first of those that take the fewest people.
            machine = min(worked, key=lambda one: one.people, default=able[-1])
    # Who is not there and takes part in a lift by machine has to be hired with it.
    people = min(machine.people, there) if machine else method.people or MOST_PEOPLE
    return Lift(
        number=0,
        stage_name=stage_name,
        item=item,
        methods=methods_considered,
        chosen=method,
        help=_help(machine, platforms, people, crew),
        people=people,
        machine=machine,
        unfit=cannot,
        platform_mm=max(platforms, default=None),
        step_mm=platforms[0] if len(platforms) > 1 else None,
        wind=_wind(item, method, min(people, MOST_PEOPLE), setup.lifter),
        bracing=braces(item, lands),
        jacks=_jacks(item, crew, site),
    )


def _jacks(item: Item, crew: Crew, site: Site) -> Machine | None:
    """The wall jacks at hand that raise an item, worked by the crew alone."""
    jacks = (one for one in machines(item, crew, site) if one.kind is MachineKind.WALL_JACK)
    return next((one for one in jacks if one.people <= crew.people), None)


def _help(machine: Machine | None, platforms: Sequence[float], people: int, crew: Crew) -> Help:
    if machine is not None:
        return Help.GEAR if machine.at_hand else Help.HIRE
    if platforms:
        return Help.PLATFORM
    return Help.ALONE if people <= crew.people else Help.HELPER


def _with_platforms(
    item: Item, setup: HandSetup, hands: int, step_mm: float
) -> tuple[tuple[float, ...], Method] | None:
    """The further platforms from which the fewest of those who are there can raise it.

    One where one will do, the lowest that will; else two, one above the other.
    """
    best: tuple[tuple[float, ...], Method] | None = None
    for further in _further(item, step_mm):
        platforms = tuple(sorted({*setup.platforms_mm, *further}))
        method = min(methods(item, replace(setup, platforms_mm=platforms)), key=effort)
        people = method.people or MOST_PEOPLE + 1
        if people <= (hands if best is None else (best[1].people or MOST_PEOPLE) - 1):
            best = further, method
            if people == 1:
                break
    return best


def _further(item: Item, step_mm: float) -> Iterator[tuple[float, ...]]:
    """Heights of platforms that might be brought for an item, the least of them first."""
    top_mm = min(HIGHEST_PLATFORM_MM, item.whole.top_mm - item.floor_mm)
    heights = [step_mm * step for step in range(1, int(top_mm / step_mm) + 1)]
    yield from ((height,) for height in heights)
    yield from sorted(combinations(heights, 2), key=lambda pair: (pair[1], pair[0]))


def _wind(item: Item, method: Method, people: int, lifter: Lifter) -> SheetWind | None:
    """When a sheet or a wall is put down: by the rule, or by what the people can push against."""
    length, width, thickness = item.whole.size_mm
    work, area_mm2 = Work.SHEET, length * width
    match item.handling:
        case Handling.STICK | Handling.POST | Handling.BEAM:
            return None
        case Handling.SHEET | Handling.UNIT:
            pass
        case Handling.ROOF_SHEET:
            work = Work.ROOFING_SHEET
        case Handling.WALL:
            if method.tilt is None:
                return None
            # Wind goes between the studs of a bare frame: all its pieces are as deep as it is
            # thick.
            area_mm2 = sum(part.volume_mm3 for part in item.whole.parts) / thickness
            work = Work.WALL
        case _:
            assert_never(item.handling)
    push_n = push_guideline(lifter).keep_n * people * float(team_factor(people))
    return sheet_wind(work, area_mm2=area_mm2, push_n=push_n)


def _merged(lifts: Iterable[Lift]) -> list[Lift]:
    """Pieces of one kind that go up by the same method are one lift, so many times.

    The heaviest stands for all of them; of equally heavy ones, the one that asks for most.
    """
    piles: dict[tuple[object, ...], list[Lift]] = defaultdict(list)
    for lift in lifts:
        item = lift.item
        key = (
            (item.stage, item.kind, item.whole.parts[0].group)
            if len(item.whole.parts) == 1
            else (item.stage, item.name)
        )
        machine = lift.machine and lift.machine.kind
        how = (lift.people, lift.help, machine, lift.platform_mm, lift.step_mm)
        piles[(*key, *lift.chosen.how, *how)].append(lift)
    return [_heaviest(pile) for pile in piles.values()]


def _heaviest(pile: Sequence[Lift]) -> Lift:
    first = max(pile, key=lambda lift: (lift.item.whole.mass.high_kg, lift.chosen.hardest.used))
    others = [name for lift in pile if lift is not first for name in lift.item.same]
    return replace(first, item=replace(first.item, same=(*first.item.same, *others)))

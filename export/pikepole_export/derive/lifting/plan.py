"""The lift plan: for each item the method that takes the least help, and the order of the work.

    lift_plan(building) -> LiftPlan
    single_lift(building, part) -> Lift, or None

The order in which ways are looked for stands in `choice`. Every mass is the high one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting.approach import Site, site_of
from pikepole_export.derive.lifting.brace_places import tape_of
from pikepole_export.derive.lifting.brace_stock import off_after
from pikepole_export.derive.lifting.bracing import Bracing, brace_lumber, braces, landings
from pikepole_export.derive.lifting.carrying import StageCarrying, carrying
from pikepole_export.derive.lifting.cautions import cautions
from pikepole_export.derive.lifting.choice import Choice, choose, other_choices
from pikepole_export.derive.lifting.hand_tasks import MOST_PEOPLE
from pikepole_export.derive.lifting.hands import lifter_of
from pikepole_export.derive.lifting.items import Handling, Item, items, single_item
from pikepole_export.derive.lifting.left_out import LeftOut, left_out
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.machines import Machine, machines, unfit
from pikepole_export.derive.lifting.methods import Split, effort, methods
from pikepole_export.derive.lifting.rests import BEARERS_MM, HandSetup
from pikepole_export.derive.lifting.schedule import Calendar, plan_days, renumbered
from pikepole_export.derive.lifting.wind_limits import wind_of
from pikepole_export.derive.measures.layouts import seen_from_outside
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.part import Building, Part, Stage
from pikepole_model.building.weighing import weighed_texts
from pikepole_model.scene.crew import Crew, Platform, Trestles
from pikepole_model.units import Units, plural

# What holds something that stands, and the stage after which that comes off.
_Braced: TypeAlias = tuple[Bracing | None, Stage | None]


@dataclass(frozen=True)
class StageHelp:
    """What a stage asks for.

    Attributes:
        number: The stage.
        name: Its name.
        help: The most that any of its lifts asks for.
        bring: All that its lifts ask for beyond hands: "gear", "bring a platform".
        people: How many at the most any of its lifts takes.
        helpers: How many at the most are called.
        lifts: Numbers of its lifts in the order that is proposed.
        in_visits: Those of them that take helpers or a hired machine.
    """

    number: int
    name: str
    help: Help
    bring: tuple[str, ...]
    people: int
    helpers: int
    lifts: tuple[int, ...]
    in_visits: tuple[int, ...]

    @property
    def mark(self) -> str:
        """In a heading: "alone", "your crew", "2 helpers", "gear + 1 helper"."""
        called = plural(self.helpers, "helper") if self.helpers else ""
        asked = " + ".join(word for word in (*self.bring, called) if word)
        return asked or ("your crew" if self.people > 1 else Help.ALONE.label)


@dataclass(frozen=True)
class LiftPlan:
    """Everything that has to be raised.

    Attributes:
        crew: Who is there, and what is at hand.
        lifts: In the order that is proposed.
        stages: What each stage asks for.
        calendar: On which days what is done, and when helpers and hired machines come.
        carried: What is carried from the truck to the pile, stage by stage.
        left_out: What is not planned, and why.
        weighed: What the scale said of some of it.
        units: Of the scene.
    """

    crew: Crew
    lifts: tuple[Lift, ...]
    stages: tuple[StageHelp, ...]
    calendar: Calendar
    carried: tuple[StageCarrying, ...]
    left_out: tuple[LeftOut, ...]
    weighed: tuple[str, ...]
    units: Units

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to bear in mind with every lift."""
        return cautions(self.crew, self.units, self.weighed)

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
    braced = _braced(building, found)
    sites = {stage.number: site_of(building, stage.number) for stage in building.stages}
    planned = _merged(
        _without_what_goes_along(
            [
                _planned(item, names[item.stage], crew, setup, units, braced, sites[item.stage])
                for item in found
            ]
        )
    )
    lifts = tuple(replace(lift, number=number) for number, lift in enumerate(planned, start=1))
    carried = carrying(building)
    calendar = plan_days(building, lifts, crew, {row.stage: row.elapsed_h for row in carried})
    # They go by the order in which they are done.
    ordered = enumerate((n for order in calendar.order.values() for n in order), start=1)
    numbers = {number: placed for placed, number in ordered}
    lifts = tuple(
        sorted(
            (replace(lift, number=numbers[lift.number]) for lift in lifts),
            key=lambda lift: lift.number,
        )
    )
    calendar = renumbered(calendar, numbers)
    called = {number for visit in calendar.visits for number in visit.lifts}
    by_stage: dict[int, list[Lift]] = defaultdict(list)
    for lift in lifts:
        by_stage[lift.item.stage].append(lift)
    stages = tuple(
        StageHelp(
            number=number,
            name=names[number],
            help=max(lift.help for lift in rows),
            bring=_brought(rows),
            people=max(lift.people for lift in rows),
            helpers=max(
                [0, *(lift.people - crew.people for lift in rows if lift.number in called)]
            ),
            lifts=calendar.order[number],
            in_visits=tuple(number for number in calendar.order[number] if number in called),
        )
        for number, rows in by_stage.items()
    )
    return LiftPlan(
        crew, lifts, stages, calendar, carried, left_out(building), weighed_texts(building), units
    )


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
    braced = _braced(building, items(building) if item.handling.stands_up else ())
    setup, units = hand_setup(crew), building.scene.units
    site = site_of(building, part.stage)
    return _planned(item, names[part.stage], crew, setup, units, braced, site)


def _braced(building: Building, found: Iterable[Item]) -> Callable[[Item, Sequence[Load]], _Braced]:
    """How the walls and posts of a building are braced, and until when."""
    on_frame = any(part.kind.family is Family.FLOOR_FRAME for part in building.parts)
    lands, lumber = landings(building, found), brace_lumber(building)

    def held(item: Item, frames: Sequence[Load]) -> _Braced:
        tape = None
        if item.handling is Handling.WALL:
            right, _ = seen_from_outside(item.whole.parts, building.parts)
            tape = tape_of(item.whole, frames, right.tolist())
        # Halves are braced alike, as the one that takes most.
        alone = replace(item, whole=max(frames, key=lambda one: one.size_mm[0]), same=item.names)
        bracing = braces(alone, lands, on_frame=on_frame, lumber=lumber, tape=tape)
        return bracing, off_after(building, item) if bracing else None

    return held


def people_at_likely(building: Building, lift: Lift) -> int | None:
    """The fewest who raise a lift's item by hand if it weighs what is likely; None beyond hands.

    A wall as far apart as it is planned.
    """
    found = methods(_at_likely(lift.item), hand_setup(building.scene.crew))
    if lift.item.handling == Handling.WALL:
        found = tuple(one for one in found if one.split is lift.chosen.split)
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
    lifter = lifter_of(crew)
    rests = (*sorted(trestles, reverse=True), BEARERS_MM)
    blocks = (crew.platform_rest / 2, crew.platform_rest)
    return HandSetup(rests, tuple(platforms), lifter, blocks)


def _planned(
    item: Item,
    stage_name: str,
    crew: Crew,
    setup: HandSetup,
    units: Units,
    braced: Callable[[Item, Sequence[Load]], _Braced],
    site: Site,
) -> Lift:
    methods_considered, able = methods(item, setup), machines(item, crew, site)
    choice = choose(item, methods_considered, crew, setup, units, able)

    def lift(choice: Choice) -> Lift:
        bracing, until = braced(item, _standing(item, choice))
        method, machine, platforms = choice.method, choice.machine, choice.platforms_mm
        # Who is not there and takes part in a lift by machine has to be hired with it.
        people = min(machine.people, crew.people + crew.helpers) if machine else method.hands
        return Lift(
            number=0,
            stage_name=stage_name,
            item=item,
            methods=methods_considered,
            chosen=method,
            help=_help(machine, platforms, people, crew),
            grade=method.grade,
            mends=choice.mends,
            people=people,
            crew=crew.people,
            machine=machine,
            unfit=unfit(item, crew, site, units) if machine or platforms else (),
            platform_mm=max(platforms, default=None),
            step_mm=platforms[0] if len(platforms) > 1 else None,
            wind=wind_of(item, method, machine, min(people, MOST_PEOPLE), setup.lifter),
            bracing=bracing,
            braced_until=until,
        )

    others = other_choices(item, choice, methods_considered, able, crew)
    return replace(lift(choice), others=tuple(map(lift, others)))


def _standing(item: Item, choice: Choice) -> Sequence[Load]:
    """What has to stand by itself: of a wall in half lengths each of them."""
    if choice.machine is not None or choice.method.split is not Split.HALVES:
        return (item.whole,)
    return item.halves


def _help(machine: Machine | None, platforms: Sequence[float], people: int, crew: Crew) -> Help:
    if machine is not None:
        return Help.GEAR if machine.at_hand else Help.HIRE
    if platforms:
        return Help.PLATFORM
    return Help.ALONE if people <= crew.people else Help.HELPER


def _without_what_goes_along(lifts: Sequence[Lift]) -> list[Lift]:
    """Headers and upper plates that go up with their wall, or as pieces of it, are no lifts."""
    afterwards = {
        lift.item.name
        for lift in lifts
        if lift.machine is None and lift.chosen.split in (Split.LIGHTENED, Split.HALVES)
    }
    walls = {lift.item.name for lift in lifts if lift.item.handling == Handling.WALL}
    along = walls - afterwards
    return [lift for lift in lifts if lift.item.inside_of not in along]


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
        how = (lift.people, lift.help, lift.grade, machine, lift.platform_mm, lift.step_mm)
        piles[(*key, *lift.chosen.how, *how)].append(lift)
    return [_heaviest(pile) for pile in piles.values()]


def _heaviest(pile: Sequence[Lift]) -> Lift:
    first = max(pile, key=lambda lift: (lift.item.whole.mass.high_kg, lift.chosen.hardest.used))
    others = [name for lift in pile if lift is not first for name in lift.item.same]
    return replace(first, item=replace(first.item, same=(*first.item.same, *others)))

"""The lift plan: for each item the method that takes the least help, and the order of the work.

    lift_plan(building) -> LiftPlan
    lift_alone(building, part) -> Lift, or None

The first of these that can be is taken:

1. by hand within the guidelines, with nothing to put up: by the crew alone, or else with helpers;
   a wall framed flat and tilted up, whole, or without headers and upper plates, or in half lengths;
2. so, but a little above them, no more than A_LITTLE times;
3. with gear at hand that needs no driver; a wall piece by piece where there is none for it;
4. by hand within the guidelines from a platform that must be brought, with nothing else to put up;
5. by hand within them between ledge posts, or on cribs; or so from a platform that must be brought;
6. with gear at hand that comes with its driver;
7. by hand above them, where something is known that brings it within;
8. with a machine that must be brought.

What is above the guidelines is always said, with both numbers and with what brings it within.
Nothing that is graded as not by hand is lifted so. A method that takes fewer people comes first,
but for a wall the one that parts it less; of equal ones, the one that stays furthest below its
guideline. Every mass is the high one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations

from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting.approach import Site, site_of
from pikepole_export.derive.lifting.bracing import Bracing, braces, landings
from pikepole_export.derive.lifting.carrying import StageCarrying, carrying
from pikepole_export.derive.lifting.cautions import cautions
from pikepole_export.derive.lifting.hand_lift import Grade
from pikepole_export.derive.lifting.hand_tasks import MOST_PEOPLE
from pikepole_export.derive.lifting.hands import lifter_of
from pikepole_export.derive.lifting.items import Handling, Item, items, single_item
from pikepole_export.derive.lifting.left_out import LeftOut, left_out
from pikepole_export.derive.lifting.lift import Help, Lift
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.machines import Machine, machines, smallest_to_bring, unfit
from pikepole_export.derive.lifting.mends import A_LITTLE, Mend, mends
from pikepole_export.derive.lifting.methods import Method, Split, effort, methods
from pikepole_export.derive.lifting.rests import BEARERS_MM, HandSetup
from pikepole_export.derive.lifting.schedule import Calendar, plan_days
from pikepole_export.derive.lifting.techniques import Rig
from pikepole_export.derive.lifting.wind_limits import wind_of
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.weighing import weighed_texts
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
        lifts: In order of building.
        stages: What each stage asks for.
        calendar: On which days what is done, and when helpers and hired machines come.
        carried: What is carried from the truck to the pile, stage by stage.
        left_out: What is not planned, and why.
        weighed: What the scale said of some of it.
    """

    crew: Crew
    lifts: tuple[Lift, ...]
    stages: tuple[StageHelp, ...]
    calendar: Calendar
    carried: tuple[StageCarrying, ...]
    left_out: tuple[LeftOut, ...]
    weighed: tuple[str, ...]

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to bear in mind with every lift."""
        return cautions(self.crew, self.weighed)

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
        [
            _planned(item, names[item.stage], crew, setup, units, braced, sites[item.stage])
            for item in found
        ]
    )
    lifts = tuple(replace(lift, number=number) for number, lift in enumerate(planned, start=1))
    carried = carrying(building)
    calendar = plan_days(building, lifts, crew, {row.stage: row.elapsed_h for row in carried})
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
        crew, lifts, stages, calendar, carried, left_out(building), weighed_texts(building)
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


def _braced(building: Building, found: Iterable[Item]) -> Callable[[Item], Bracing | None]:
    """How the walls and posts of a building are braced."""
    on_frame = any(part.kind is Kind.FLOOR_SHEET for part in building.parts)
    return partial(braces, lands=landings(building, found), on_frame=on_frame)


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


@dataclass(frozen=True)
class _Choice:
    """How one item is raised.

    Attributes:
        method: By hand; where a machine lifts, the one that came nearest.
        mends: What brings it within where it is above the guidelines.
        machine: None by hand.
        platforms_mm: Heights of what must be brought to stand on.
    """

    method: Method
    mends: tuple[Mend, ...] = ()
    machine: Machine | None = None
    platforms_mm: tuple[float, ...] = ()

    @property
    def people(self) -> int:
        """How many it takes."""
        return self.machine.people if self.machine else self.method.hands


def _planned(
    item: Item,
    stage_name: str,
    crew: Crew,
    setup: HandSetup,
    units: Units,
    braced: Callable[[Item], Bracing | None],
    site: Site,
) -> Lift:
    methods_considered, able = methods(item, setup), machines(item, crew, site)
    choice = _choice(item, methods_considered, crew, setup, PLATFORM_STEPS_MM[units], able)

    def lift(choice: _Choice) -> Lift:
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
            bracing=braced(item),
        )

    others = _others(item, choice, methods_considered, able, crew)
    return replace(lift(choice), others=tuple(map(lift, others)))


def _others(
    item: Item,
    choice: _Choice,
    considered: Sequence[Method],
    able: Sequence[Machine],
    crew: Crew,
) -> Iterator[_Choice]:
    """Other ways to raise a wall, in the same order, each for fewer people than those before.

    Where it goes up piece by piece, what would raise its frame with the fewest.
    """
    if item.handling != Handling.WALL:
        return
    by_hand = [
        one
        for one in sorted(considered, key=lambda method: effort(method, crew.people))
        if one.people is not None and _puts_up_nothing(one)
    ]
    whole = _nearest_by_machine(item, considered)
    frames = [
        *(_Choice(one) for one in by_hand if one.split is not Split.PIECES),
        *(_Choice(whole, machine=one) for one in able if one.kind is MachineKind.WALL_JACK),
    ]
    if choice.machine is None and choice.method.split is Split.PIECES:
        yield from sorted(frames, key=lambda way: way.people)[:1]
        return
    fewest = choice.people
    for way in (*frames, *(_Choice(one) for one in by_hand if one.split is Split.PIECES)):
        if way.people < fewest:
            fewest = way.people
            yield way


def _nearest_by_machine(item: Item, considered: Sequence[Method]) -> Method:
    """The method by hand that gear comes nearest to: a wall is tilted up in one piece."""
    if item.handling == Handling.WALL:
        return next(one for one in considered if one.split is Split.WHOLE)
    return min(filter(_puts_up_nothing, considered), key=effort)


def _choice(
    item: Item,
    considered: Sequence[Method],
    crew: Crew,
    setup: HandSetup,
    step_mm: float,
    able: Sequence[Machine],
) -> _Choice:
    """The first of the ways in the order that stands at the head of this module."""
    there = crew.people + crew.helpers
    hands = min(there, MOST_PEOPLE)
    ways = considered if hands == MOST_PEOPLE else methods(item, setup, hands)
    best, plain = (
        min(some, key=lambda method: effort(method, crew.people))
        for some in (ways, filter(_puts_up_nothing, ways))
    )
    if plain.people is not None and plain.split is not Split.PIECES:
        return _Choice(plain)
    little = _above(item, setup, plain)
    if little and 1 < plain.hardest.used <= A_LITTLE:
        return little
    # The first of those that take the fewest people.
    at_hand = sorted(
        (one for one in able if one.at_hand and one.people <= there), key=lambda one: one.people
    )
    by_crew = next((one for one in at_hand if not one.has_driver), None)
    if by_crew is not None:
        return _Choice(_nearest_by_machine(item, ways), machine=by_crew)
    if plain.people is not None:
        return _Choice(plain)
    higher = _with_platforms(item, setup, hands, step_mm, (Rig.NONE,))
    if higher is not None:
        return higher
    if best.people is not None:
        return _Choice(best)
    higher = _with_platforms(item, setup, hands, step_mm, tuple(Rig))
    if higher is not None:
        return higher
    if at_hand:
        return _Choice(best, machine=at_hand[0])
    return _above(item, setup, best) or _Choice(best, machine=smallest_to_bring(item, there, able))


def _puts_up_nothing(method: Method) -> bool:
    return method.technique.rig is Rig.NONE


def _above(item: Item, setup: HandSetup, method: Method) -> _Choice | None:
    """A method above the guidelines, where something brings it within them."""
    known = mends(item, setup, method) if method.grade is Grade.ABOVE else ()
    return _Choice(method, known) if known else None


def _help(machine: Machine | None, platforms: Sequence[float], people: int, crew: Crew) -> Help:
    if machine is not None:
        return Help.GEAR if machine.at_hand else Help.HIRE
    if platforms:
        return Help.PLATFORM
    return Help.ALONE if people <= crew.people else Help.HELPER


def _with_platforms(
    item: Item, setup: HandSetup, hands: int, step_mm: float, rigs: tuple[Rig, ...]
) -> _Choice | None:
    """The further platforms from which the fewest of those who are there can raise it.

    One where one will do, the lowest that will; else two, one above the other.
    """
    best: _Choice | None = None
    for further in _further(item, step_mm):
        platforms = tuple(sorted({*setup.platforms_mm, *further}))
        if best is not None and len(further) > 1:
            break
        found = methods(item, replace(setup, platforms_mm=platforms), hands)
        method = min((one for one in found if one.technique.rig in rigs), key=effort)
        people = method.people or MOST_PEOPLE + 1
        if people <= (hands if best is None else (best.method.people or MOST_PEOPLE) - 1):
            best = _Choice(method, platforms_mm=further)
            if people == 1:
                break
    return best


def _further(item: Item, step_mm: float) -> Iterator[tuple[float, ...]]:
    """Heights of platforms that might be brought for an item, the least of them first."""
    top_mm = min(HIGHEST_PLATFORM_MM, item.whole.top_mm - item.floor_mm)
    heights = [step_mm * step for step in range(1, int(top_mm / step_mm) + 1)]
    yield from ((height,) for height in heights)
    yield from sorted(combinations(heights, 2), key=lambda pair: (pair[1], pair[0]))


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

"""Which way an item is raised, of all that are open to a crew.

    choose(item, considered, crew, setup, units, able) -> Choice
    other_choices(item, choice, considered, able, crew) -> Choice, ...      of a wall

The first of these that can be is taken:

1. by hand within the guidelines, with nothing to put up: by the crew alone, or else with helpers;
   a wall framed flat and tilted up, whole, or without headers and upper plates, or in half lengths;
2. so, but a little above them, no more than A_LITTLE times; a wall only where no gear is at hand;
3. with gear at hand that needs no driver; a wall piece by piece where there is none for it;
4. by hand within the guidelines from a platform that must be brought, with nothing else to put up;
5. by hand within them between ledge posts, or on cribs; or so from a platform that must be brought;
6. with gear at hand that comes with its driver;
7. by hand above them, where something is known that brings it within; or a little above them from a
   platform that must be brought;
8. with a machine that must be brought.

What is above the guidelines is always said, with both numbers and with what brings it within.
Nothing that is graded as not by hand is lifted so. A method that takes fewer people comes first,
but for a wall the one that parts it less; of equal ones, the one that stays furthest below its
guideline.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, tee
from typing import TypeAlias

from pikepole_export.derive.lifting.hand_lift import Grade
from pikepole_export.derive.lifting.hand_tasks import MOST_PEOPLE
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.machines import Machine, smallest_to_bring
from pikepole_export.derive.lifting.mends import A_LITTLE, Mend, mends
from pikepole_export.derive.lifting.methods import Method, Split, effort, methods
from pikepole_export.derive.lifting.rests import PLATFORM_STEPS_MM, HandSetup
from pikepole_export.derive.lifting.techniques import Rig
from pikepole_model.scene.crew import Crew
from pikepole_model.units import Units

# The highest that is tried where no platform at hand is high enough.
HIGHEST_PLATFORM_MM = 3600.0

# Heights of platforms that are brought, what there is with them, the easiest method from there.
_OnPlatforms: TypeAlias = tuple[tuple[float, ...], HandSetup, Method]


@dataclass(frozen=True)
class Choice:
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


def other_choices(
    item: Item,
    choice: Choice,
    considered: Sequence[Method],
    able: Sequence[Machine],
    crew: Crew,
) -> Iterator[Choice]:
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
        *(Choice(one) for one in by_hand if one.split is not Split.PIECES),
        *(Choice(whole, machine=one) for one in able if one.kind is MachineKind.WALL_JACK),
    ]
    if choice.machine is None and choice.method.split is Split.PIECES:
        yield from sorted(frames, key=lambda way: way.people)[:1]
        return
    fewest = choice.people
    for way in (*frames, *(Choice(one) for one in by_hand if one.split is Split.PIECES)):
        if way.people < fewest:
            fewest = way.people
            yield way


def _nearest_by_machine(item: Item, considered: Sequence[Method]) -> Method:
    """The method by hand that gear comes nearest to: a wall is tilted up in one piece."""
    if item.handling == Handling.WALL:
        return next(one for one in considered if one.split is Split.WHOLE)
    return min(filter(_puts_up_nothing, considered), key=effort)


def choose(
    item: Item,
    considered: Sequence[Method],
    crew: Crew,
    setup: HandSetup,
    units: Units,
    able: Sequence[Machine],
) -> Choice:
    """The first of the ways in the order that stands at the head of this module.

    Args:
        item: What is raised.
        considered: Every method by hand, for as many people as are ever counted on.
        crew: Who is there, and what is at hand.
        setup: What they lift with by hand.
        units: Of the scene: platforms are looked for in its steps.
        able: What `machines` found.
    """
    step_mm = PLATFORM_STEPS_MM[units]
    there = crew.people + crew.helpers
    hands = min(there, MOST_PEOPLE)
    ways = considered if hands == MOST_PEOPLE else methods(item, setup, hands)
    best, plain = (
        min(some, key=lambda method: effort(method, crew.people))
        for some in (ways, filter(_puts_up_nothing, ways))
    )
    if plain.people is not None and plain.split is not Split.PIECES:
        return Choice(plain)
    # The first of those that take the fewest people.
    at_hand = sorted(
        (one for one in able if one.at_hand and one.people <= there), key=lambda one: one.people
    )
    by_crew = next((one for one in at_hand if not one.has_driver), None)
    if by_crew is None or item.handling != Handling.WALL:
        # A wall goes up piece by piece only where its frame is more than a little too heavy.
        framed = [way for way in ways if _puts_up_nothing(way) and way.split is not Split.PIECES]
        nearest = min(framed, key=lambda method: effort(method, crew.people), default=plain)
        little = _above(item, setup, nearest)
        if little and 1 < nearest.hardest.used <= A_LITTLE:
            return little
    if by_crew is not None:
        return Choice(_nearest_by_machine(item, ways), machine=by_crew)
    if plain.people is not None:
        return Choice(plain)
    # What they bring within the guidelines is looked for first, what above them by the least last.
    on_platforms, again = tee(_on_platforms(item, setup, hands, step_mm, (Rig.NONE,)))
    higher = _fewest_on_them(on_platforms, hands)
    if higher is not None:
        return higher
    if best.people is not None:
        return Choice(best)
    rigged = _on_platforms(item, setup, hands, step_mm, (Rig.LEDGE_POSTS, Rig.CRIBS))
    higher = _fewest_on_them(rigged, hands)
    if higher is not None:
        return higher
    if at_hand:
        return Choice(best, machine=at_hand[0])
    return (
        _above(item, setup, best)
        or _above_on_platforms(item, again)
        or Choice(best, machine=smallest_to_bring(item, there, able, setup.lifter))
    )


def _puts_up_nothing(method: Method) -> bool:
    return method.technique.rig is Rig.NONE


def _above(item: Item, setup: HandSetup, method: Method) -> Choice | None:
    """A method above the guidelines, where something brings it within them."""
    known = mends(item, setup, method) if method.grade is Grade.ABOVE else ()
    return Choice(method, known) if known else None


def _fewest_on_them(on_platforms: Iterable[_OnPlatforms], hands: int) -> Choice | None:
    """The further platforms from which the fewest of those who are there can raise it.

    One where one will do, the lowest that will; else two, one above the other.
    """
    best: Choice | None = None
    for further, _, method in on_platforms:
        if best is not None and len(further) > 1:
            break
        people = method.people or MOST_PEOPLE + 1
        if people <= (hands if best is None else (best.method.people or MOST_PEOPLE) - 1):
            best = Choice(method, platforms_mm=further)
            if people == 1:
                break
    return best


def _above_on_platforms(item: Item, on_platforms: Iterable[_OnPlatforms]) -> Choice | None:
    """The further platforms from which it passes the guidelines by the least, and by a little."""
    least = min(on_platforms, key=lambda one: one[2].hardest.used, default=None)
    if least is None:
        return None
    further, setup, method = least
    above = _above(item, setup, method) if method.hardest.used <= A_LITTLE else None
    return above and replace(above, platforms_mm=further)


def _on_platforms(
    item: Item, setup: HandSetup, hands: int, step_mm: float, rigs: tuple[Rig, ...]
) -> Iterator[_OnPlatforms]:
    """Platforms that might be brought, the least of them first, and the easiest method from them.

    One, and then two, where all of them together would bring it near the guidelines.
    """

    def easiest_on(*further: float) -> Iterator[_OnPlatforms]:
        platforms = tuple(sorted({*setup.platforms_mm, *further}))
        on_them = replace(setup, platforms_mm=platforms)
        if found := methods(item, on_them, hands, rigs):
            yield further, on_them, min(found, key=effort)

    top_mm = min(HIGHEST_PLATFORM_MM, item.whole.top_mm - item.floor_mm)
    heights = [step_mm * step for step in range(1, int(top_mm / step_mm) + 1)]
    for height in heights:
        yield from easiest_on(height)
    for _, _, method in easiest_on(*heights):
        if method.people is not None or method.hardest.used <= A_LITTLE:
            for pair in sorted(combinations(heights, 2), key=lambda pair: (pair[1], pair[0])):
                yield from easiest_on(*pair)

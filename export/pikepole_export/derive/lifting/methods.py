"""The methods by which an item can be raised by hand, and how many people each one takes.

    methods(item, setup, most_people, rigs) -> tuple[Method, ...]

A method is a row of hand tasks for each load that goes up: every task has to be within the
guidelines for the people who are there. Where it is not, even for the most of them, the method has
no number of people, and a grade that says how far the guidelines are passed.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import TypeAlias

from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting import niosh
from pikepole_export.derive.lifting.ends import item_rocking
from pikepole_export.derive.lifting.hand_lift import Grade
from pikepole_export.derive.lifting.hand_tasks import (
    KNUCKLE_HEIGHT_MM,
    MOST_PEOPLE,
    HandTask,
    Options,
    TaskAssessment,
    assess_task,
)
from pikepole_export.derive.lifting.items import BuiltUp, Handling, Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.rests import HandSetup
from pikepole_export.derive.lifting.rocking import Rocking
from pikepole_export.derive.lifting.statics import WallRaise
from pikepole_export.derive.lifting.techniques import Rig, Technique, task_steps
from pikepole_export.derive.lifting.tilting import tilt_of
from pikepole_model.building.kinds import Kind
from pikepole_model.units import INCH_MM

# Wide sheets longer than this sag and twist in one person's hands: common practice, no source.
FLEXIBLE_MM = 3000.0

# So much of a piece is taken up by each who stands beside it: the breadth of shoulders, 20 in,
# common practice, no source.
SHOULDERS_MM = 20 * INCH_MM


class Split(Enum):
    """What an item goes up as."""

    WHOLE = "in one piece"
    LIGHTENED = "without headers and upper plates"
    HALVES = "in two half lengths"
    PIECES = "piece by piece"
    PLIES = "ply by ply"

    @property
    def parted(self) -> int:
        """How far a wall is taken apart that goes up so; nothing for what is no wall."""
        match self:
            case Split.WHOLE | Split.PLIES:
                return 0
            case Split.LIGHTENED:
                return 1
            case Split.HALVES:
                return 2
            case Split.PIECES:
                return 3


@dataclass(frozen=True, slots=True)
class LoadGroup:
    """Loads of one kind that go up one after the other.

    Attributes:
        kind: Of their pieces, or a frame.
        count: How many.
        mass: Of the heaviest of them.
    """

    kind: Kind | BuiltUp
    count: int
    mass: Mass


@dataclass(frozen=True, slots=True)
class Method:
    """One method of raising an item.

    Attributes:
        split: What it goes up as.
        technique: How the load that asks for most goes up.
        load: That load.
        loads: How many go up one after the other.
        people: The fewest for whom every task is within the guidelines; None where not even the
            most that were asked about are enough.
        assessments: Those of that load, for these people, or for the most.
        rest_height_mm: Height over the floor on which that load waits.
        tilt: Where the load is tilted up, the whole of it.
        rocking: Where it is rocked up, its cribs.
    """

    split: Split
    technique: Technique
    load: Load
    loads: int
    people: int | None
    assessments: tuple[TaskAssessment, ...]
    rest_height_mm: float
    tilt: WallRaise | None = None
    rocking: Rocking | None = None

    @property
    def grade(self) -> Grade:
        """How the hardest of its tasks stands to the guidelines.

        What takes two is above them for one, whatever it weighs.
        """
        if self.people is not None:
            return Grade.WITHIN
        return max(Grade.ABOVE, *(one.grade for one in self.assessments))

    @property
    def hands(self) -> int:
        """How many people its assessments are for."""
        return self.assessments[0].people

    @property
    def how(self) -> tuple[Split, Technique]:
        """What tells it from other methods of raising the same item."""
        return (self.split, self.technique)

    @property
    def name(self) -> str:
        """In a sentence: "one end at a time", "ply by ply, carried"."""
        how = self.technique.value
        return how if self.split is Split.WHOLE else f"{self.split.value}, {how}"

    @property
    def doing(self) -> str:
        """What to do, told to whoever does it: "tilt it up, in two half lengths"."""
        does = self.technique.doing
        return does if self.split is Split.WHOLE else f"{does}, {self.split.value}"

    @property
    def hardest(self) -> TaskAssessment:
        """The task that comes nearest to its guideline, or goes furthest past it."""
        # The first of equal ones, a float's last digits aside.
        return max(self.assessments, key=lambda one: round(one.used, 9))

    @property
    def floor_mm(self) -> float:
        """The highest floor that anybody stands on, above ground."""
        return max(one.task.floor_mm for one in self.assessments)


Effort: TypeAlias = tuple[bool, int, bool, bool, int, int, float]


def effort(method: Method, crew: int = MOST_PEOPLE) -> Effort:
    """What to compare methods by, the first that differs.

    What has to be put up, whether a wall goes up piece by piece, whether somebody has to be called,
    how far a wall is taken apart, people, how near to the guideline. What is within the guidelines
    for nobody comes last, by how far it passes them.

    Args:
        method: The method.
        crew: How many are there without being called.
    """
    used, people = method.hardest.used, method.people
    if people is None:
        return (True, 0, False, False, 0, MOST_PEOPLE + 1, used)
    split = method.split
    in_pieces = split is Split.PIECES
    return (False, method.technique.rig, in_pieces, people > crew, split.parted, people, used)


def methods(
    item: Item,
    setup: HandSetup,
    most_people: int = MOST_PEOPLE,
    rigs: Collection[Rig] = tuple(Rig),
) -> tuple[Method, ...]:
    """Every method that is open for an item, in the order in which a builder thinks of them.

    Args:
        item: What is raised.
        setup: What there is to raise it with.
        most_people: How many can be there, up to MOST_PEOPLE.
        rigs: What may be put up for it.
    """
    several = (split for split in Split if loads_of(item, split))
    return (
        *_whole(item, setup, most_people, rigs),
        *(one for split in several for one in _several(split, item, setup, most_people, rigs)),
    )


def load_groups(item: Item, split: Split) -> tuple[LoadGroup, ...]:
    """What an item is taken apart into, kind by kind; empty where it goes up whole."""
    piles: dict[Kind | BuiltUp, list[Mass]] = defaultdict(list)
    for load in loads_of(item, split):
        kind = load.parts[0].kind if len(load.parts) == 1 else BuiltUp.FRAME
        piles[kind].append(load.mass)
    return tuple(
        LoadGroup(kind, len(masses), max(masses, key=lambda mass: mass.high_kg))
        for kind, masses in piles.items()
    )


def people_round(load: Load) -> int:
    """How many find room to hold it: one at either end, and the others along one side of it."""
    return 2 + int(load.size_mm[0] / SHOULDERS_MM)


def loads_of(item: Item, split: Split) -> tuple[Load, ...]:
    """What goes up one after the other; nothing where it goes up whole or cannot go up so."""
    is_wall = item.handling == Handling.WALL
    match split:
        case Split.WHOLE:
            return ()
        case Split.LIGHTENED:
            return item.lightened
        case Split.HALVES:
            return item.halves
        case Split.PIECES:
            return item.pieces if is_wall else ()
        case Split.PLIES:
            return () if is_wall else item.pieces


def _whole(item: Item, setup: HandSetup, most_people: int, rigs: Collection[Rig]) -> list[Method]:
    """The methods to raise it in one piece, each from where it had best wait.

    What goes lower than the trestles is not put up there, unless that asks for fewer people.
    """
    found: dict[Technique, list[Method]] = defaultdict(list)
    techniques = [technique for technique in Technique if technique.rig in rigs]
    for rest_height_mm in setup.rest_heights_mm:
        for technique in techniques:
            steps = task_steps(technique, item, setup, rest_height_mm)
            if steps:
                found[technique].append(
                    _method(technique, item, steps, setup, rest_height_mm, most_people)
                )
    let_down_from = math.inf if item.whole.is_upright else item.whole.low_mm - item.floor_mm

    def asks(method: Method) -> tuple[int, float, float]:
        higher_mm = max(0.0, method.rest_height_mm - let_down_from)
        return (method.people or MOST_PEOPLE + 1, higher_mm, method.hardest.used)

    return [min(same, key=asks) for same in found.values()]


def _several(
    split: Split, item: Item, setup: HandSetup, most_people: int, rigs: Collection[Rig]
) -> Iterator[Method]:
    """One load after the other, each by its easiest method: the hardest of them tells.

    Once without putting up anything, and with posts or cribs where all of them go up so.
    """
    found: list[list[Method]] = []
    loads = loads_of(item, split)
    names = tuple(load.name for load in loads)  # all of them count for how long it goes on
    # The studs of a wall are one and the same to those who lift them.
    for load in {_as_lifted(load): load for load in reversed(loads)}.values():
        is_piece = item.handling == Handling.WALL and not item.is_frame(load)
        handling = Handling.STICK if is_piece else item.handling
        one = replace(item, whole=load, pass_height_mm=load.low_mm, same=names, handling=handling)
        found.append(_whole(one, setup, most_people, rigs))
    for rig in rigs:
        rigged = [[one for one in each if one.technique.rig is rig] for each in found]
        if all(rigged):
            hardest = max((min(each, key=effort) for each in rigged), key=effort)
            yield replace(hardest, split=split, loads=len(loads))


def _as_lifted(load: Load) -> tuple[object, ...]:
    """What two loads have in common that are lifted alike."""
    return tuple(
        (part.shape, part.material, part.placement.u, part.placement.v, part.placement.origin[2])
        for part in load.parts
    )


def _method(
    technique: Technique,
    item: Item,
    steps: Sequence[Options],
    setup: HandSetup,
    rest_height_mm: float,
    most_people: int,
) -> Method:
    """The fewest people for whom every step has a row of hand tasks within the guidelines."""
    ordered = [sorted(options, key=len) for options in steps]
    most_people = min(most_people, people_round(item.whole))
    rocking = item_rocking(item, rest_height_mm) if technique is Technique.ROCKED else None
    duration = duration_of(item.times * (rocking.rocks if rocking else 1))

    def assessed(row: Sequence[HandTask], people: int) -> Iterator[TaskAssessment]:
        return (assess_task(task, people, setup.lifter, duration) for task in row)

    def within(options: Options, people: int) -> list[HandTask] | None:
        """The first that will do: the one with the fewest platforms."""
        fit = (row for row in options if all(one.within for one in assessed(row, people)))
        return next(fit, None)

    def least(options: Options) -> list[HandTask]:
        """The one that comes nearest to the guidelines or passes them least."""
        return min(options, key=lambda row: max(one.used for one in assessed(row, most_people)))

    def method(people: int | None, rows: Sequence[Sequence[HandTask]]) -> Method:
        tilt = tilt_of(item) if technique is Technique.TILTED else None
        waits_mm = _waits_mm(technique, item, rest_height_mm)
        of_all = tuple(one for row in rows for one in assessed(row, people or most_people))
        return Method(
            Split.WHOLE, technique, item.whole, 1, people, of_all, waits_mm, tilt, rocking
        )

    def all_within(people: int) -> list[list[HandTask]] | None:
        """A row of each step; those after one that is too much are not looked at."""
        rows: list[list[HandTask]] = []
        for options in ordered:
            row = within(options, people)
            if row is None:
                return None
            rows.append(row)
        return rows

    for people in range(2 if takes_two(item) else 1, most_people + 1):
        if rows := all_within(people):
            return method(people, rows)
    return method(None, [least(options) for options in ordered])


def _waits_mm(technique: Technique, item: Item, rest_height_mm: float) -> float:
    """Height over the floor on which it waits: what is slid on its stack, a wall on the floor."""
    match technique:
        case Technique.SLID:
            return KNUCKLE_HEIGHT_MM
        case Technique.TILTED:
            return rest_height_mm if item.handling == Handling.POST else 0.0
        case Technique.CARRIED | Technique.ONE_END | Technique.LEDGES | Technique.ROCKED:
            return rest_height_mm


def duration_of(times: int) -> niosh.Duration:
    """For how long lifting goes on: one in five minutes, the least frequency that NIOSH rates."""
    hours = times * 5 / 60
    fits = (duration for duration in niosh.Duration if hours <= duration.value)
    return next(fits, niosh.Duration.LONG)


def takes_two(item: Item) -> bool:
    """Whether one alone never does it: common practice, no source.

    What is long and thin sags; a wall that has come up is held by one while another braces it.
    """
    is_wide = item.handling == Handling.SHEET or item.handling.over is not None
    return item.handling == Handling.WALL or (is_wide and item.whole.size_mm[0] > FLEXIBLE_MM)

"""The ways in which a thing can be raised by hand, and how many people each one takes.

    ways(thing, rig) -> tuple[Way, ...]

A way is a row of holds for each load that goes up: every hold has to be within the guidelines for
the people who are there.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from pikepole_export.derive.inventory.mass import Mass
from pikepole_export.derive.lifting import niosh
from pikepole_export.derive.lifting.holds import CARRIED_MM, MOST_PEOPLE, Held, Hold, held
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.statics import WallRaise
from pikepole_export.derive.lifting.techniques import Rig, Technique, hold_rows
from pikepole_export.derive.lifting.things import Assembly, Handling, Thing
from pikepole_export.derive.lifting.tilting import tilt_of
from pikepole_model.building.kinds import Kind

# Wide sheets longer than this sag and twist in one person's hands: common practice, no source.
LIMP_MM = 3000.0


class Split(Enum):
    """What a thing goes up as."""

    WHOLE = "in one piece"
    LIGHTENED = "without headers and upper plates"
    PIECES = "piece by piece"
    PLIES = "ply by ply"


@dataclass(frozen=True, slots=True)
class Alike:
    """Loads of one kind that go up one after the other.

    Attributes:
        kind: Of their pieces, or a frame.
        count: How many.
        mass: Of the heaviest of them.
    """

    kind: Kind | Assembly
    count: int
    mass: Mass


@dataclass(frozen=True, slots=True)
class Way:
    """One way of raising a thing.

    Attributes:
        split: What it goes up as.
        technique: How the load that asks for most goes up.
        load: That load.
        loads: How many go up one after the other.
        people: The fewest for whom every hold is within the guidelines; None where not even
            MOST_PEOPLE are enough.
        holds: Those of that load, for these people, or for MOST_PEOPLE.
        lies_mm: Height over the floor on which that load waits.
        tilt: Where the load is tilted up, the whole of it.
    """

    split: Split
    technique: Technique
    load: Load
    loads: int
    people: int | None
    holds: tuple[Held, ...]
    lies_mm: float
    tilt: WallRaise | None = None

    @property
    def how(self) -> tuple[Split, Technique]:
        """What tells it from other ways of raising the same thing."""
        return (self.split, self.technique)

    @property
    def name(self) -> str:
        """In a sentence: "one end at a time", "ply by ply, carried"."""
        how = self.technique.value
        return how if self.split is Split.WHOLE else f"{self.split.value}, {how}"

    @property
    def hardest(self) -> Held:
        """The hold that comes nearest to its guideline, or goes furthest past it."""
        # The first of equal ones, a float's last digits aside.
        return max(self.holds, key=lambda one: round(one.used, 9))

    @property
    def floor_mm(self) -> float:
        """The highest floor that anybody stands on, above ground."""
        return max(one.hold.floor_mm for one in self.holds)


def effort(way: Way) -> tuple[int, float]:
    """What to compare ways by: people first, then how near they come to the guideline."""
    return (way.people or MOST_PEOPLE + 1, way.hardest.used)


def ways(thing: Thing, rig: Rig) -> tuple[Way, ...]:
    """Every way that is open for a thing, in the order in which a builder would think of them."""
    several = (split for split in Split if _loads(thing, split))
    return (*_whole(thing, rig), *(_several(split, thing, rig) for split in several))


def goes_up_as(thing: Thing, split: Split) -> tuple[Alike, ...]:
    """What a thing is taken apart into, kind by kind; empty where it goes up whole."""
    piles: dict[Kind | Assembly, list[Mass]] = defaultdict(list)
    for load in _loads(thing, split):
        kind = load.parts[0].kind if len(load.parts) == 1 else Assembly.FRAME
        piles[kind].append(load.mass)
    return tuple(
        Alike(kind, len(masses), max(masses, key=lambda mass: mass.high_kg))
        for kind, masses in piles.items()
    )


def _loads(thing: Thing, split: Split) -> tuple[Load, ...]:
    """What goes up one after the other; nothing where it goes up whole or cannot go up so."""
    is_wall = thing.handling == Handling.WALL
    match split:
        case Split.WHOLE:
            return ()
        case Split.LIGHTENED:
            return thing.lightened
        case Split.PIECES:
            return thing.pieces if is_wall else ()
        case Split.PLIES:
            return () if is_wall else thing.pieces


def _whole(thing: Thing, rig: Rig) -> list[Way]:
    """The ways to raise it in one piece, each from where it had best wait.

    What goes lower than the trestles is not put up there, unless that asks for fewer people.
    """
    found: dict[Technique, list[Way]] = defaultdict(list)
    for lies_mm in rig.rests_mm:
        for technique in Technique:
            rows = hold_rows(technique, thing, rig, lies_mm)
            if rows:
                found[technique].append(_way(technique, thing, rows, rig, lies_mm))
    let_down_from = math.inf if thing.whole.is_upright else thing.whole.low_mm - thing.floor_mm

    def asks(way: Way) -> tuple[int, float, float]:
        people, used = effort(way)
        return (people, max(0.0, way.lies_mm - let_down_from), used)

    return [min(same, key=asks) for same in found.values()]


def _several(split: Split, thing: Thing, rig: Rig) -> Way:
    """One load after the other, each in its easiest way: the hardest of them tells."""
    best: list[Way] = []
    loads = _loads(thing, split)
    names = tuple(load.name for load in loads)  # all of them count for how long it goes on
    # The studs of a wall are one and the same to those who lift them.
    for load in {_as_lifted(load): load for load in reversed(loads)}.values():
        is_piece = thing.handling == Handling.WALL and not thing.is_frame(load)
        handling = Handling.STICK if is_piece else thing.handling
        one = replace(thing, whole=load, over_mm=load.low_mm, same=names, handling=handling)
        best.append(min(_whole(one, rig), key=effort))
    return replace(max(best, key=effort), split=split, loads=len(loads))


def _as_lifted(load: Load) -> tuple[object, ...]:
    """What two loads have in common that are lifted in the same way."""
    return tuple(
        (part.shape, part.material, part.placement.u, part.placement.v, part.placement.origin[2])
        for part in load.parts
    )


def _way(
    technique: Technique, thing: Thing, rows: Sequence[Sequence[Hold]], rig: Rig, lies_mm: float
) -> Way:
    """The fewest people for the easiest of several rows of holds that come to the same."""
    options = sorted(rows, key=len)
    least = 2 if _is_limp(thing) else 1
    duration = _duration(thing.times)

    def assessed(row: Sequence[Hold], people: int) -> Iterator[Held]:
        return (held(hold, people, rig.lifter, duration) for hold in row)

    def way(people: int | None, holds: tuple[Held, ...]) -> Way:
        tilt = tilt_of(thing.whole) if technique is Technique.TILTED else None
        waits_mm = _waits_mm(technique, thing, lies_mm)
        return Way(Split.WHOLE, technique, thing.whole, 1, people, holds, waits_mm, tilt)

    # The first that will do: the fewest people, and for them the fewest platforms.
    for people in range(least, MOST_PEOPLE + 1):
        for row in options:
            if all(one.within for one in assessed(row, people)):
                return way(people, tuple(assessed(row, people)))
    most = [tuple(assessed(row, MOST_PEOPLE)) for row in options]
    return way(None, min(most, key=lambda holds: max(one.used for one in holds)))


def _waits_mm(technique: Technique, thing: Thing, lies_mm: float) -> float:
    """Height over the floor on which it waits: what is slid on its stack, a wall on the floor."""
    match technique:
        case Technique.SLID:
            return CARRIED_MM
        case Technique.TILTED:
            return lies_mm if thing.handling == Handling.POST else 0.0
        case Technique.CARRIED | Technique.ONE_END:
            return lies_mm


def _duration(times: int) -> niosh.Duration:
    """For how long lifting goes on: one in five minutes, the least frequency that NIOSH rates."""
    hours = times * 5 / 60
    fits = (duration for duration in niosh.Duration if hours <= duration.value)
    return next(fits, niosh.Duration.LONG)


def _is_limp(thing: Thing) -> bool:
    is_wide = thing.handling in (Handling.SHEET, Handling.ROOF_SHEET)
    return is_wide and thing.whole.size_mm[0] > LIMP_MM

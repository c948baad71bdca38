"""What lifts an item where hands do not: the gear at hand, or what has to be brought.

    machines(item, crew) -> tuple[Machine, ...]    the gear at hand that can, then what to bring
    unfit(item, crew, units) -> tuple[str, ...]    why the rest of the gear at hand cannot
    smallest_to_bring(item, people) -> Machine      a hoist where it will do

A sling holds what lies at points beside its centre of gravity, with as many legs and at the angle
from the horizontal that the scene gives; what stands hangs by its head. What gear can hold, and at
which reach, is on its own plate. What a machine lifts waits on bearers. Every figure is for the
high mass.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import assert_never

from pikepole_export.derive.lifting.gear import (
    MOST_CRIB_SLENDERNESS,
    Cribbing,
    Sling,
    cribbing,
    sling,
)
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.rests import BEARERS_MM
from pikepole_export.derive.lifting.tilting import tilt_of
from pikepole_model.scene.crew import (
    ChainHoist,
    Crew,
    Jack,
    Platform,
    Slung,
    Telehandler,
    Trestles,
    WallJack,
    Winch,
)
from pikepole_model.units import (
    FOOT_MM,
    STANDARD_GRAVITY_M_S2,
    Units,
    format_height,
    format_length,
    format_mass,
)

# Between the two points that are slung, at most: common practice, no source.
SLUNG_MM = 1200.0

# From the head of what stands to the hook, round a choker: common practice, no source.
HITCH_MM = 300.0

# What a hoist on a tripod raises where it stands; sheets and light sticks have to travel.
HOISTED = frozenset({Handling.BEAM, Handling.POST, Handling.WALL})

# A hook under a tripod of poles goes no higher: common practice, no source.
TRIPOD_MM = 14 * FOOT_MM

# One at the gear and one at the tag line: common practice, no source. What is hired with its driver
# leaves the one at the tag line.
GUIDES = 2

# The least width of a crib of short timbers under one end: common practice, no source.
CRIB_BASE_MM = 400.0
MOST_CRIB_MM = MOST_CRIB_SLENDERNESS * CRIB_BASE_MM


class MachineKind(StrEnum):
    """What lifts instead of hands."""

    CHAIN_HOIST = "chain hoist"
    WALL_JACK = "wall jack"
    TELEHANDLER = "telehandler"
    JACK = "jack"
    HIRED = "lifting machine"  # to be found yet: whatever can

    @property
    def has_forks(self) -> bool:
        """Whether it carries on forks what a sling would harm."""
        match self:
            case MachineKind.TELEHANDLER | MachineKind.HIRED:
                return True
            case MachineKind.CHAIN_HOIST | MachineKind.WALL_JACK | MachineKind.JACK:
                return False


@dataclass(frozen=True, slots=True)
class Machine:
    """Something that lifts instead of hands.

    Attributes:
        kind: What it is.
        at_hand: Whether the crew has it.
        needed_kg: What it has to hold, kg, each.
        rating_kg: What its plate says, each; None for what is still to be found.
        count: How many of it work together.
        reach_mm: How high it has to reach above the ground, sling and all.
        sling: The forces in the legs; None where it carries or pushes from below.
        cribbing: Heights and settings of a jack; None for what lifts in one go.
        people: How many of the crew work it and guide the load.
        has_driver: Whether it comes with its own.
    """

    kind: MachineKind
    at_hand: bool
    needed_kg: float
    rating_kg: float | None
    count: int
    reach_mm: float
    sling: Sling | None
    cribbing: Cribbing | None = None
    people: int = GUIDES
    has_driver: bool = False

    @property
    def phrase(self) -> str:
        """In a sentence: "the chain hoist", "a lifting machine"."""
        several = f"{self.count} {self.kind}s" if self.count > 1 else self.kind
        return f"the {several}" if self.at_hand else f"a {self.kind}"


def machines(item: Item, crew: Crew) -> tuple[Machine, ...]:
    """What can lift an item: the crew's gear in the order of the scene, then what to bring.

    What to bring is always there, last.

    Args:
        item: What is lifted.
        crew: Whose gear it is; how many they are does not count here.
    """
    fit = [machine for machine, reach_mm in _able(item, crew) if not _too_little(machine, reach_mm)]
    return (*fit, _hook(item, MachineKind.HIRED, Slung(), None))


def smallest_to_bring(item: Item, people: int) -> Machine:
    """What to bring: a chain hoist under a tripod where it will do, else whatever can.

    Args:
        item: What is lifted.
        people: How many can be there; a hoist is work for GUIDES.
    """
    hoist = _hook(item, MachineKind.CHAIN_HOIST, Slung(), None)
    does = item.handling in HOISTED and hoist.reach_mm <= TRIPOD_MM and people >= hoist.people
    return hoist if does else _hook(item, MachineKind.HIRED, Slung(), None)


def unfit(item: Item, crew: Crew, units: Units) -> tuple[str, ...]:
    """Why gear at hand does not lift an item, a clause for each.

    Args:
        item: What is lifted.
        crew: Whose gear it is, and how many can be there.
        units: What the clauses are written in.
    """
    there = crew.people + crew.helpers
    found: list[str] = []
    for machine, reach_mm in _able(item, crew):
        why: list[str] = []
        if reach_mm < machine.reach_mm:
            why.append(f"{format_length(machine.reach_mm - reach_mm, units, 'up')} too low")
        short_kg = machine.needed_kg - (machine.rating_kg or 0.0)
        if short_kg > 0:
            why.append(f"rated {format_mass(short_kg, units, 'up')} too little")
        if machine.people > there:
            why.append(f"work for {machine.people} people")
        if why:
            verb = "are" if machine.count > 1 else "is"
            found.append(f"{machine.phrase} at hand {verb} {' and '.join(why)}")
    jacks = any(isinstance(gear, Jack) for gear in crew.gear)
    if jacks and item.is_slim and _rise_mm(item) > MOST_CRIB_MM:
        found.append(
            f"a jack on cribbing goes up {format_height(MOST_CRIB_MM, units)}, and it has to rise "
            f"{format_height(_rise_mm(item), units)}"
        )
    return tuple(found)


def _able(item: Item, crew: Crew) -> Iterator[tuple[Machine, float]]:
    """The gear at hand of a kind that lifts such an item, and how high its plate lets it reach."""
    for gear in crew.gear:
        match gear:
            case WallJack():
                if item.handling == Handling.WALL:
                    yield _wall_jacks(item, gear), gear.reach
            case ChainHoist():
                if item.handling in HOISTED:
                    yield _hook(item, MachineKind.CHAIN_HOIST, gear, gear.rating), gear.reach
            case Telehandler():
                yield _hook(item, MachineKind.TELEHANDLER, gear, gear.rating), gear.reach
            case Jack():
                if item.is_slim and 0 < _rise_mm(item) <= MOST_CRIB_MM:
                    yield _jack(item, gear), math.inf
            case Trestles() | Platform() | Winch():
                pass
            case _:
                assert_never(gear)


def _too_little(machine: Machine, reach_mm: float) -> bool:
    return machine.needed_kg > (machine.rating_kg or 0.0) or machine.reach_mm > reach_mm


def _hook(item: Item, kind: MachineKind, gear: Slung, rating_kg: float | None) -> Machine:
    """What lifts by a hook, or on its forks."""
    slung, hook_mm = _slung(item, gear)
    return Machine(
        kind,
        at_hand=rating_kg is not None,
        needed_kg=item.whole.mass.high_kg,
        rating_kg=rating_kg,
        count=1,
        reach_mm=hook_mm,
        sling=slung,
        people=1 if kind.has_forks else GUIDES,
        has_driver=kind.has_forks,
    )


def _slung(item: Item, gear: Slung) -> tuple[Sling | None, float]:
    """The sling, and the height of the hook above the ground; sheets lie on the forks."""
    whole = item.whole
    top = max(whole.top_mm, item.floor_mm + BEARERS_MM + whole.size_mm[2])
    if item.handling.is_panel:  # a sling would cut into its edges or tip it
        return None, top
    if whole.is_upright or gear.sling_legs == 1:
        return sling(whole.weight_n, legs=1, angle_deg=90.0), top + HITCH_MM
    above = sling_spread_mm(whole) / 2 * math.tan(math.radians(gear.sling_angle))
    legs = sling(whole.weight_n, legs=gear.sling_legs, angle_deg=gear.sling_angle)
    return legs, top + above


def sling_spread_mm(load: Load) -> float:
    """Between the two points at which a sling holds what lies, along its length."""
    return min(SLUNG_MM, load.size_mm[0] / 3)


def _jack(item: Item, gear: Jack) -> Machine:
    """One end after the other, onto a crib that grows as it goes."""
    whole = item.whole
    share = max(whole.end_shares)
    crib = None
    if gear.stroke >= gear.layer:
        crib = cribbing(
            rise_mm=_rise_mm(item),
            layer_mm=gear.layer,
            base_mm=CRIB_BASE_MM,
            lift_mm=gear.stroke,
            stroke_mm=gear.stroke,
        )
    needed = whole.mass.high_kg * share
    kind = MachineKind.JACK
    return Machine(kind, True, needed, gear.rating, 1, whole.low_mm, None, crib, people=1)


def _rise_mm(item: Item) -> float:
    """How far it goes up from its bearers."""
    return item.whole.low_mm - item.floor_mm - BEARERS_MM


def _wall_jacks(item: Item, gear: WallJack) -> Machine:
    """Wall jacks share the force at the top edge, straight up."""
    force_n = tilt_of(item.whole).vertical_n
    each_kg = force_n / STANDARD_GRAVITY_M_S2 / gear.count
    return Machine(
        MachineKind.WALL_JACK,
        True,
        each_kg,
        gear.rating,
        gear.count,
        item.whole.top_mm,
        None,
        people=gear.count,
    )

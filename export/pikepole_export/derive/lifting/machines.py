"""What lifts a thing where hands do not: the gear at hand, or what has to be brought.

    machines(thing, crew) -> tuple[Machine, ...]    the gear at hand that can, then what to bring

A sling holds the load at two points beside its centre of gravity, its legs at SLING_DEG from the
horizontal. What gear can hold, and at which reach, is on its own plate.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pikepole_export.derive.lifting.gear import Sling, sling
from pikepole_export.derive.lifting.statics import GRAVITY_M_S2, weight_n
from pikepole_export.derive.lifting.things import Handling, Thing
from pikepole_export.derive.lifting.ways import end_shares, tilt_of
from pikepole_model.scene.crew import ChainHoist, Crew, Jack, Telehandler, WallJack

# Of the sling's legs from the horizontal. Source: ASME B30.9 allows no less than 30; at 60 a leg
# carries 1.155 times half the load.
SLING_DEG = 60.0

# Between the two points that are slung, at most: common practice, no source.
SLUNG_MM = 1200.0

# From the head of what stands to the hook, round a choker: common practice, no source.
HITCH_MM = 300.0

# What a hoist on a tripod raises where it stands; sheets and light sticks have to travel.
HOISTED = frozenset({Handling.BEAM, Handling.POST, Handling.WALL})

# One at the gear and one at the tag line: common practice, no source.
GUIDES = 2

# A jack works from the ground up, as far as cribbing stands: three times its least width.
# Source: FEMA US&R field guide (from memory).
CRIB_BASE_MM = 400.0
CRIB_HEIGHTS = 3.0


@dataclass(frozen=True, slots=True)
class Machine:
    """Something that lifts instead of hands.

    Attributes:
        kind: "chain hoist", "wall jack", "telehandler", "jack", "lifting machine".
        at_hand: Whether the crew has it.
        needed_kg: What it has to hold, kg, each.
        rating_kg: What its plate says, each; None for what is still to be found.
        count: How many of it work together.
        reach_mm: How high it has to reach above the ground, sling and all.
        sling: The forces in the legs; None where it pushes from below.
        people: Who works it and guides the load.
    """

    kind: str
    at_hand: bool
    needed_kg: float
    rating_kg: float | None
    count: int
    reach_mm: float
    sling: Sling | None
    people: int = GUIDES

    @property
    def called(self) -> str:
        """In a sentence: "the chain hoist", "a lifting machine"."""
        several = f"{self.count} {self.kind}s" if self.count > 1 else self.kind
        if self.at_hand:
            return f"the {several}"
        return f"a {self.kind}"


def machines(thing: Thing, crew: Crew) -> tuple[Machine, ...]:
    """What can lift a thing: the crew's gear in the order of the scene, then what to bring.

    What to bring is always there, last.
    """
    mass = thing.whole.mass.high_kg
    weight = weight_n(mass)
    if thing.whole.is_upright:
        slung = sling(weight, legs=1, angle_deg=90.0)
        hook = thing.whole.top_mm + HITCH_MM
    else:
        slung = sling(weight, legs=2, angle_deg=SLING_DEG)
        apart = min(SLUNG_MM, thing.whole.size_mm[0] / 3)
        hook = thing.whole.top_mm + apart / 2 * math.tan(math.radians(SLING_DEG))
    able: list[tuple[Machine, float]] = []  # and how high its own plate lets it reach
    for gear in crew.gear:
        match gear:
            case WallJack() if thing.handling == Handling.WALL:
                able.append((_jacks(thing, gear), gear.reach))
            case ChainHoist() if thing.handling in HOISTED:
                able.append((_hook(gear, mass, hook, slung), gear.reach))
            case Telehandler():
                able.append((_hook(gear, mass, hook, slung), gear.reach))
            case Jack() if _is_low(thing):
                share = max(end_shares(thing.whole))
                low = thing.whole.low_mm
                jack = Machine(gear.kind, True, mass * share, gear.rating, 1, low, None, people=1)
                able.append((jack, math.inf))
            case _:
                pass
    fit = [
        machine
        for machine, reach_mm in able
        if machine.needed_kg <= (machine.rating_kg or 0.0) and machine.reach_mm <= reach_mm
    ]
    bring = Machine("lifting machine", False, mass, None, 1, hook, slung)
    return (*fit, bring)


def _hook(gear: ChainHoist | Telehandler, mass_kg: float, hook_mm: float, slung: Sling) -> Machine:
    return Machine(gear.kind, True, mass_kg, gear.rating, 1, hook_mm, slung)


def _is_low(thing: Thing) -> bool:
    """Whether cribbing reaches up to where it lies."""
    slim = thing.handling in (Handling.STICK, Handling.BEAM)
    return slim and not thing.whole.is_upright and thing.whole.low_mm <= CRIB_HEIGHTS * CRIB_BASE_MM


def _jacks(thing: Thing, gear: WallJack) -> Machine:
    """Wall jacks share the force at the top edge, straight up."""
    force_n = tilt_of(thing.whole).vertical_n
    each_kg = force_n / GRAVITY_M_S2 / gear.count
    return Machine(
        gear.kind,
        True,
        each_kg,
        gear.rating,
        gear.count,
        thing.whole.top_mm,
        None,
        people=gear.count,
    )

"""What lifts an item where hands do not: the gear at hand, or what has to be brought.

    machines(item, crew, site) -> tuple[Machine, ...]   the gear that can, then what to bring
    unfit(item, crew, site, units) -> tuple[str, ...]   why the rest of the gear cannot
    smallest_to_bring(item, people, able, lifter) -> Machine    a hoist, or wheels, where these do

What gear can hold, and at which reach, is on its own plate. What a machine lifts waits on bearers.
Every figure is for the high mass.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import assert_never

from pikepole_export.derive.lifting.approach import OPEN_GROUND, Approach, Site, approach
from pikepole_export.derive.lifting.gear import (
    MOST_CRIB_SLENDERNESS,
    Cribbing,
    Sling,
    cribbing,
)
from pikepole_export.derive.lifting.grips import END_FIRST_MM
from pikepole_export.derive.lifting.hands import Lifter, push_guideline
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.machine_kinds import MachineKind, MachineTeam, team_of
from pikepole_export.derive.lifting.rests import BEARERS_MM
from pikepole_export.derive.lifting.rolling import rolled_kg
from pikepole_export.derive.lifting.slung import slung, swing_mm
from pikepole_export.derive.lifting.tilting import jacked_foot_of, tilt_of
from pikepole_export.derive.lifting.tripod import HOIST_MM, Tripod, chain_mm, farthest_mm, tripod
from pikepole_model.scene.crew import (
    ChainHoist,
    Crew,
    Jack,
    MaterialLift,
    Platform,
    Slung,
    Telehandler,
    Trestles,
    TwoWheelTruck,
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
    headcount,
)

# What a hoist on a tripod raises where it stands: straight up. A wall's top edge comes from as far
# out as the wall is high, and would pull the tripod over.
HOISTED = frozenset({Handling.BEAM, Handling.POST})

# The hook under a tripod of poles that is brought: common practice, no source.
TRIPOD_MM = 14 * FOOT_MM

# The least width of a crib of short timbers under one end: common practice, no source.
CRIB_BASE_MM = 400.0
MOST_CRIB_MM = MOST_CRIB_SLENDERNESS * CRIB_BASE_MM

# What is set down from a two-wheel truck's toe plate goes no higher: common practice, no source.
TOE_MM = 150.0

# One that is brought: its handles over its wheels, and how many push and pull at it. Common
# practice, no source.
HANDLE_MM = 1100.0
MOST_AT_WHEELS = 2

# What is longer takes a material lift under each end: common practice, no source.
ONE_LIFT_MM = 2440.0


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
        team: Who of the crew works with it.
        cribbing: Heights and settings of a jack; None for what lifts in one go.
        tripod: What a hoist hangs from, as high as its plate says; None for anything else.
        hook_room_mm: How high a hoist has to be able to pull its hook, so that what hangs from it
            can be swung onto its seat and the tripod stands.
        swing_mm: How far what hangs from a hoist is swung at the top, from beside its seat.
        aside_mm: How far from under a tripod's head it may lie as it leaves the ground.
        handle_n: What tilts a two-wheel truck back, at its handles, N; nothing for anything else.
        approach: Where a truck comes from and how far it reaches out; None for anything else, and
            where no side is open.
        here_kg: What a truck may hold so far out, roughly; None for anything else.
        foot_n: What wall jacks thrust the wall's foot by, level, and their own feet, N.
    """

    kind: MachineKind
    at_hand: bool
    needed_kg: float
    rating_kg: float | None
    count: int
    reach_mm: float
    sling: Sling | None
    team: MachineTeam
    cribbing: Cribbing | None = None
    tripod: Tripod | None = None
    hook_room_mm: float = 0.0
    swing_mm: float = 0.0
    aside_mm: float = 0.0
    handle_n: float = 0.0
    approach: Approach | None = None
    here_kg: float | None = None
    foot_n: float = 0.0

    @property
    def people(self) -> int:
        """How many of the crew work with it."""
        return self.team.people

    @property
    def has_driver(self) -> bool:
        """Whether it comes with its own."""
        return self.kind.has_forks

    def worked_by(self, people: int) -> str:
        """Who works where: "3 people: 1 on the chain hoist, 1 on the tag line, 1 where it lands".

        Args:
            people: How many of those that it takes are there.
        """
        where = self.team.phrase(self.kind)
        if people == self.people == self.team.at_gear:
            return f"{headcount(people)} {where.removeprefix(f'{people} ')}"
        return f"{headcount(people)}: {where}"

    @property
    def phrase(self) -> str:
        """In a sentence: "the chain hoist", "a lifting machine"."""
        several = f"{self.count} {self.kind}s" if self.count > 1 else self.kind
        return f"the {several}" if self.at_hand else f"a {self.kind}"


@dataclass(frozen=True, slots=True)
class _Gear:
    """A machine for an item, and how far its plate lets it go.

    Attributes:
        machine: As it would be used.
        reach_mm: How high above the ground.
        outreach_mm: How far out.
        count: How many of it there are.
    """

    machine: Machine
    reach_mm: float
    outreach_mm: float = math.inf
    count: int = 1


def machines(item: Item, crew: Crew, site: Site = OPEN_GROUND) -> tuple[Machine, ...]:
    """What can lift an item: the crew's gear in the order of the scene, then what to bring.

    What to bring is always there, last.

    Args:
        item: What is lifted.
        crew: Whose gear it is; how many they are does not count here.
        site: What stands already.
    """
    fit = [gear.machine for gear in _able(item, crew, site) if not _shortfalls(gear, "metric")]
    return (*fit, _truck(item, MachineKind.HIRED, Slung(), None, site))


def smallest_to_bring(item: Item, people: int, able: Sequence[Machine], lifter: Lifter) -> Machine:
    """What to bring: a two-wheel truck or a hoist under a tripod where it will do, else what can.

    Args:
        item: What is lifted.
        people: How many can be there to work it.
        able: What `machines` found, what to bring last.
        lifter: Whose figures for pushing count.
    """
    if _is_wheeled(item):
        for pushing in range(1, min(people, MOST_AT_WHEELS) + 1):
            truck = _hand_truck(item, HANDLE_MM, None, pushing)
            tilts = truck.handle_n <= push_guideline(lifter).start_n
            if tilts and truck.needed_kg <= rolled_kg(pushing, lifter):
                return truck
    if item.handling not in HOISTED:
        return able[-1]
    hoist = _hoist(item, Slung(), TRIPOD_MM, None)
    does = max(hoist.reach_mm, hoist.hook_room_mm) <= TRIPOD_MM and hoist.people <= people
    return hoist if does else able[-1]


def unfit(item: Item, crew: Crew, site: Site, units: Units) -> tuple[str, ...]:
    """Why gear at hand does not lift an item, a clause for each.

    Args:
        item: What is lifted.
        crew: Whose gear it is, and how many can be there.
        site: What stands already.
        units: What the clauses are written in.
    """
    there = crew.people + crew.helpers
    found: list[str] = []
    for gear in _able(item, crew, site):
        machine = gear.machine
        why = _shortfalls(gear, units)
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


def _able(item: Item, crew: Crew, site: Site) -> Iterator[_Gear]:
    """The gear at hand of a kind that lifts such an item."""
    for gear in crew.gear:
        match gear:
            case WallJack():
                if item.handling == Handling.WALL:
                    yield _Gear(_wall_jacks(item, gear), gear.reach, count=gear.count)
            case ChainHoist():
                if item.handling in HOISTED:
                    yield _Gear(_hoist(item, gear, gear.reach, gear.rating), gear.reach)
            case Telehandler():
                truck = _truck(item, MachineKind.TELEHANDLER, gear, gear, site)
                yield _Gear(truck, gear.reach, gear.outreach)
            case MaterialLift():
                if (item.is_slim and _rise_mm(item) > 0) or item.handling == Handling.ROOF_SHEET:
                    yield _Gear(_material_lift(item, gear), gear.reach, count=gear.count)
            case TwoWheelTruck():
                if _is_wheeled(item):
                    yield _Gear(_hand_truck(item, gear.handle, gear.rating, 1), math.inf)
            case Jack():
                if item.is_slim and 0 < _rise_mm(item) <= MOST_CRIB_MM:
                    yield _Gear(_jack(item, gear), math.inf)
            case Trestles() | Platform() | Winch():
                pass
            case _:
                assert_never(gear)


def _shortfalls(gear: _Gear, units: Units) -> list[str]:
    """Why gear is not enough, a clause for each; none where it is."""
    machine = gear.machine
    holds_kg = (machine.rating_kg or 0.0) if machine.here_kg is None else machine.here_kg
    why: list[str] = []
    high_mm = max(machine.reach_mm, machine.hook_room_mm)
    if gear.reach_mm < high_mm:
        swung = " to swing it onto its seat without upsetting the tripod"
        why.append(
            f"{format_length(high_mm - gear.reach_mm, units, 'up')} too low"
            f"{swung if machine.hook_room_mm > machine.reach_mm else ''}"
        )
    if machine.has_driver and machine.approach is None:
        why.append("shut out: on every side something stands in its way, or a roof over it")
    elif machine.approach is not None and gear.outreach_mm < machine.approach.out_mm:
        more = format_length(machine.approach.out_mm - gear.outreach_mm, units, "up")
        why.append(f"{more} too short to reach out to it")
    if holds_kg < machine.needed_kg:
        more = format_mass(machine.needed_kg - holds_kg, units, "up")
        why.append(f"rated {more} too little{' so far out' if machine.approach else ''}")
    if gear.count < machine.count:
        why.append(f"{gear.count} where it takes {machine.count}, one under each end")
    return why


def _truck(
    item: Item, kind: MachineKind, gear: Slung, plate: Telehandler | None, site: Site
) -> Machine:
    """A truck with a boom, that lifts by a hook or on its forks."""
    sling, top_mm = slung(item, gear)
    way = approach(site, item.whole)
    here_kg = None
    if plate is not None:
        # Past the load centre of its plate it carries less, by the load moment. Source: 29 CFR
        # 1910.178, appendix A, A-5. An estimate: its own load chart decides.
        out_mm = way.out_mm if way else plate.load_centre
        here_kg = plate.rating * min(1.0, plate.load_centre / out_mm)
    return Machine(
        kind,
        at_hand=plate is not None,
        needed_kg=item.whole.mass.high_kg,
        rating_kg=plate.rating if plate else None,
        count=1,
        reach_mm=top_mm,
        sling=sling,
        team=team_of(item, kind, 1),
        approach=way,
        here_kg=here_kg,
    )


def _hoist(item: Item, gear: Slung, reach_mm: float, rating_kg: float | None) -> Machine:
    """A hoist under a tripod over the piece's place."""
    sling, hook_mm = slung(item, gear)
    kind = MachineKind.CHAIN_HOIST
    stand = tripod(item.whole.weight_n, head_mm=reach_mm + HOIST_MM)
    swing = swing_mm(item)
    waits_mm = item.floor_mm + BEARERS_MM + item.whole.size_mm[2]
    return Machine(
        kind,
        at_hand=rating_kg is not None,
        needed_kg=item.whole.mass.high_kg,
        rating_kg=rating_kg,
        count=1,
        reach_mm=hook_mm,
        sling=sling,
        team=team_of(item, kind, 1),
        tripod=stand,
        hook_room_mm=hook_mm + max(0.0, chain_mm(stand, out_mm=swing) - HOIST_MM),
        swing_mm=swing,
        aside_mm=farthest_mm(stand, chain_mm=max(HOIST_MM, stand.head_mm - waits_mm)),
    )


def _material_lift(item: Item, gear: MaterialLift) -> Machine:
    """Straight up on forks beside its place; two of them, one under each end, where it is long."""
    whole = item.whole
    count = 2 if item.is_slim and whole.size_mm[0] > ONE_LIFT_MM else 1
    kind = MachineKind.MATERIAL_LIFT
    return Machine(
        kind,
        at_hand=True,
        needed_kg=whole.mass.high_kg * (max(whole.end_shares) if count > 1 else 1.0),
        rating_kg=gear.rating,
        count=count,
        reach_mm=item.pass_height_mm - item.floor_mm,
        sling=None,
        team=team_of(item, kind, count),
    )


def _is_wheeled(item: Item) -> bool:
    """Whether it is short, stands on the ground and can be tilted off a toe plate there."""
    is_short = item.whole.size_mm[0] < END_FIRST_MM and not item.handling.is_panel
    return is_short and item.whole.low_mm - item.floor_mm <= TOE_MM


def _hand_truck(item: Item, handle_mm: float, rating_kg: float | None, pushing: int) -> Machine:
    """Wheeled to its place: the pull that tilts it back, by moments about the wheels."""
    whole = item.whole
    kind = MachineKind.TWO_WHEEL_TRUCK
    return Machine(
        kind,
        at_hand=rating_kg is not None,
        needed_kg=whole.mass.high_kg,
        rating_kg=rating_kg,
        count=1,
        reach_mm=whole.low_mm,
        sling=None,
        team=replace(team_of(item, kind, 1), at_gear=pushing),
        handle_n=whole.weight_n * whole.size_mm[1] / 2 / handle_mm,
    )


def _jack(item: Item, gear: Jack) -> Machine:
    """One end after the other, onto a crib that grows as it goes."""
    whole = item.whole
    crib = None
    if gear.stroke >= gear.layer:
        crib = cribbing(
            rise_mm=_rise_mm(item),
            layer_mm=gear.layer,
            base_mm=CRIB_BASE_MM,
            lift_mm=gear.stroke,
            stroke_mm=gear.stroke,
        )
    kind = MachineKind.JACK
    return Machine(
        kind,
        at_hand=True,
        needed_kg=whole.mass.high_kg * max(whole.end_shares),
        rating_kg=gear.rating,
        count=1,
        reach_mm=whole.low_mm,
        sling=None,
        team=team_of(item, kind, 1),
        cribbing=crib,
    )


def _rise_mm(item: Item) -> float:
    """How far it goes up from its bearers."""
    return item.whole.low_mm - item.floor_mm - BEARERS_MM


def _wall_jacks(item: Item, gear: WallJack) -> Machine:
    """Wall jacks share the force at the top edge, straight up."""
    force_n = tilt_of(item).vertical_n
    kind = MachineKind.WALL_JACK
    return Machine(
        kind,
        at_hand=True,
        needed_kg=force_n / STANDARD_GRAVITY_M_S2 / gear.count,
        rating_kg=gear.rating,
        count=gear.count,
        reach_mm=item.whole.top_mm,
        sling=None,
        team=team_of(item, kind, gear.count),
        foot_n=jacked_foot_of(item),
    )

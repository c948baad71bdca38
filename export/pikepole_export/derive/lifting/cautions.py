"""What to bear in mind: with every lift, and with one of its kind.

cautions(crew) -> tuple[str, ...]               with every lift of a crew
cautions_of(lift, units) -> tuple[str, ...]     with this one, beside those
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import assert_never

from pikepole_export.derive.lifting.bracing import Bracing
from pikepole_export.derive.lifting.gear import LEAST_ANGLE_DEG
from pikepole_export.derive.lifting.items import BuiltUp, Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import nearer_end
from pikepole_export.derive.lifting.machines import MachineKind
from pikepole_model.scene.crew import Crew
from pikepole_model.units import (
    FOOT_MM,
    STANDARD_GRAVITY_M_S2,
    Units,
    format_height,
    format_length,
    format_mass,
    in_units,
    unit_symbol,
)

# Unprotected sides and edges, in construction. Source: 29 CFR 1926.501(b)(1).
FALL_MM = 6 * FOOT_MM
# On a scaffold, which a platform at hand need not be. Source: 29 CFR 1926.451(g)(1).
SCAFFOLD_FALL_MM = 10 * FOOT_MM

_ALWAYS = (
    "These figures come from a model of the scene, not from a scale. Wet timber is heavier: weigh "
    "a piece when in doubt.",
    "Stop in wind: lower the load, lay it flat and weigh it down.",
    "Never stand, reach or walk under a load, and keep the way back clear.",
    "Brace a piece before anybody lets go of it.",
    "Fall protection: in construction from 6 ft (1.83 m) over what is below, 29 CFR "
    "1926.501(b)(1); on a scaffold from 10 ft (3.05 m), 29 CFR 1926.451(g)(1). Many places ask "
    "for it lower down.",
    "Your local rules, and the plate on a machine or on gear, count before anything said here.",
    "Before a lift by machine, and before anything is hung from a tripod, a beam or a tree, ask a "
    "licensed rigger or engineer.",
)


def cautions(crew: Crew) -> tuple[str, ...]:
    """What to bear in mind with every lift."""
    return (
        *_ALWAYS,
        "The guideline figures for hands are a filter, not a limit, and say nothing of one "
        f"person's back: NIOSH's equation, and HSE's column for {crew.guideline}, whichever is "
        "less. They are made for firm level ground and hands that have practice.",
    )


def cautions_of(lift: Lift, units: Units) -> tuple[str, ...]:
    """What to bear in mind with this lift, beside what goes for every one.

    Args:
        lift: A lift as it is planned.
        units: The scene's.
    """
    return (
        *_by_hand(lift, units),
        *_by_machine(lift, units),
        *_spliced(lift, units),
        *_while_fixed(lift),
        *_in_wind(lift, units),
        *_high(lift, units),
    )


def force_as_mass(force_n: float, units: Units) -> str:
    """A force for people: as the mass whose weight it is."""
    return format_mass(force_n / STANDARD_GRAVITY_M_S2, units)


def stop_wind_text(speed_m_s: float, units: Units) -> str:
    """A wind speed to stop at: rounded down."""
    number = math.floor(in_units(speed_m_s, "speed", units) + 1e-9)
    return f"{number} {unit_symbol('speed', units)}"


def bracing_text(bracing: Bracing, units: Units) -> str:
    """What holds a wall or a post that stands: how many, how long, where and how fixed."""
    long, fixed = (
        format_height(size_mm, units) for size_mm in (bracing.length_mm, bracing.fixed_at_mm)
    )
    if bracing.braces == 1:
        begins = f"2 braces square to each other, 2x4 {long} long"
    else:
        first, second = bracing.places_mm[:2]
        begins = (
            f"{bracing.braces} braces, 2x4 {long} long, {format_height(first, units)} from each "
            f"end and {format_height(second - first, units)} apart"
        )
    along, foot = (
        force_as_mass(force_n, units) for force_n in (bracing.brace_n, bracing.vertical_n)
    )
    return (
        f"{begins}, fixed {fixed} up, {bracing.nails}-16d each end: {along} along one, {foot} up "
        f"or down at its foot; for wind to {stop_wind_text(bracing.wind_m_s, units)}"
    )


def balance_angle_text(angle_deg: float) -> str:
    """The angle from which something falls on by itself: rounded down."""
    return f"{math.floor(angle_deg + 1e-9)} deg"


def _is_stood_up(lift: Lift) -> bool:
    """Whether a machine raises it by its head while its foot stays on the ground."""
    return lift.machine is not None and lift.chosen.tilt is not None and lift.chosen.load.is_upright


def _by_hand(lift: Lift, units: Units) -> Iterator[str]:
    tilt = lift.chosen.tilt
    by_hand = lift.machine is None or lift.machine.kind is MachineKind.WALL_JACK
    if tilt is not None and by_hand:
        yield (
            "Stop its foot from sliding, fix the braces at its top before it is raised, and let "
            "nobody stand where it would fall."
        )
        if tilt.hold_back_n > 0:
            yield (
                f"Past {balance_angle_text(tilt.balance_deg)} it falls on by itself: hold it back, "
                f"{force_as_mass(tilt.hold_back_n, units)} when it stands plumb."
            )
    if lift.machine is None and lift.people > 1:
        yield "One person gives the word; all lift, walk and set down on it."


def _by_machine(lift: Lift, units: Units) -> Iterator[str]:
    machine, tilt = lift.machine, lift.chosen.tilt
    if machine is None:
        return
    if machine.sling is not None and machine.sling.legs > 1:
        yield (
            f"No leg of the sling flatter than {LEAST_ANGLE_DEG:.0f} deg (ASME B30.9); the tension "
            f"given is for {machine.sling.angle_deg:.0f} deg."
        )
    if machine.sling is not None and _is_stood_up(lift) and tilt is not None:
        yield (
            "It hangs by its head and stands on its foot: stop its foot from sliding, fix the "
            "braces at its top before it is raised, and let nobody stand where it would fall."
        )
        back = force_as_mass(tilt.hold_back_n, units)
        yield f"Hold it back by the tag line as it comes upright: {back} when it stands plumb."
    elif machine.sling is not None:
        yield (
            "Slung level: hook up over the centre of gravity, lift a hand's breadth, look; use a "
            "tag line."
        )
    elif machine.kind.has_forks:
        yield "Strap it to the forks, and let nobody ride on them."
    match machine.kind:
        case MachineKind.HIRED:
            yield "Which machine, and where it may stand, is for its driver and a licensed rigger."
        case MachineKind.CHAIN_HOIST:
            yield (
                "Hang the hoist from a tripod, gin pole or beam that an engineer finds fit for the "
                "load and the hoist."
            )
        case MachineKind.JACK:
            yield "Crib as you go, never put a hand between load and cribbing, one end at a time."
        case MachineKind.WALL_JACK | MachineKind.TELEHANDLER:
            pass
        case _:
            assert_never(machine.kind)


def _spliced(lift: Lift, units: Units) -> Iterator[str]:
    """Where all plies of a beam end at one place, and what holds it there until it is joined."""
    load = lift.item.whole
    for splice in lift.item.splices:
        up = format_height(splice.at_mm[2], units)
        begins = f"Not one piece with the next length: all plies end {up} up"
        if not splice.needs_prop:
            bears = format_length(splice.bearing_mm, units, "down")
            yield (
                f"{begins}, over {splice.on[0]}. This end has {bears} to lie on there: nail it "
                "down before anybody lets go."
            )
            continue
        share = load.end_shares[nearer_end(load, splice.at_mm)]
        yield (
            f"{begins}, where nothing carries them both. Under the splice set a post, prop or "
            f"trestle, braced, for {force_as_mass(load.weight_n * share, units)} from this length, "
            "and leave it there until the plies are joined."
        )


def _while_fixed(lift: Lift) -> Iterator[str]:
    """How it is held until its fixings are in."""
    item = lift.item
    match item.handling:
        case Handling.SHEET:
            if item.whole.is_on_edge:
                yield "First nail a cleat or blocks to stand it on; one holds, one nails."
        case Handling.ROOF_SHEET:
            yield "First nail stops at the eave; fix its upper corners before anybody lets go."
        case Handling.UNIT:
            yield (
                "Stand it on blocks at its height; hinge pins or track hooks go in last."
                if item.kind is BuiltUp.DOOR_LEAF
                else "Stand it on its sill; one holds it until all its corners are fixed."
            )
        case Handling.WALL:
            yield (
                "Until it is sheathed nail a diagonal 2x4 flat across the studs: 2-16d in each "
                "plate, 1-16d in each stud."
            )
        case Handling.STICK | Handling.POST | Handling.BEAM:
            pass
        case _:
            assert_never(item.handling)


def _in_wind(lift: Lift, units: Units) -> Iterator[str]:
    if lift.wind is not None:
        stop = stop_wind_text(lift.wind.stop_m_s, units)
        yield f"Do not start, and put it down, in a mean wind of {stop} or more."


def _high(lift: Lift, units: Units) -> Iterator[str]:
    stands_mm = lift.chosen.floor_mm if lift.machine is None else 0.0
    if lift.platform_mm is not None:
        yield (
            f"Bring a platform {format_length(lift.platform_mm, units)} high that carries the "
            "people and the load, four times over."
        )
    if _reaches(stands_mm, FALL_MM):
        yield f"People stand {format_height(stands_mm, units)} above ground: rails, or a harness."
    elif _reaches(lift.item.whole.low_mm, FALL_MM) and lift.item.handling != Handling.WALL:
        yield (
            f"It ends {format_height(lift.item.whole.low_mm, units)} up: whoever fixes it there "
            "works at that height."
        )


def _reaches(height_mm: float, limit_mm: float) -> bool:
    """Whether a height is at a limit or over it, a float's last digits aside."""
    return height_mm > limit_mm - 0.5

"""What to bear in mind: with every lift, and with one of its kind.

cautions(crew, weighed) -> tuple[str, ...]      with every lift of a crew
cautions_of(lift, units) -> tuple[str, ...]     with this one, beside those
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import assert_never

from pikepole_export.derive.lifting.brace_places import BracePlace
from pikepole_export.derive.lifting.bracing import Bracing
from pikepole_export.derive.lifting.falls import RAIL_MM, FallGuard, fall_protection
from pikepole_export.derive.lifting.gear import LEAST_ANGLE_DEG
from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.ledges import LEDGE_MM
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.loads import nearer_end
from pikepole_export.derive.lifting.machine_kinds import MachineKind
from pikepole_export.derive.lifting.machines import Machine
from pikepole_export.derive.lifting.rocking import Rocking
from pikepole_export.derive.lifting.slung import sling_spread_mm
from pikepole_export.derive.lifting.techniques import Rig
from pikepole_export.derive.lifting.tripod import Tripod
from pikepole_export.derive.lifting.while_fixed import nails_text, while_fixed
from pikepole_export.derive.lifting.wind import Attitude
from pikepole_model.building.part import Stage
from pikepole_model.scene.crew import Crew
from pikepole_model.units import (
    STANDARD_GRAVITY_M_S2,
    Units,
    format_height,
    format_length,
    format_mass,
    headcount,
    in_units,
    listed,
    plural,
    unit_symbol,
)

# Picks nearer to each other than this share of a beam's length: common practice, no source.
NEAR_SHARE = 0.25

_ALWAYS = (
    "These figures come from a model of the scene, not from a scale. Wet wood is heavier: weigh "
    "a piece when in doubt.",
    "Stop in wind: lower the load, lay it flat and weigh it down.",
    "Never stand, reach or walk under a load, and keep the way back clear.",
    "Brace a piece before anybody lets go of it.",
    "Fall protection: in construction from {edge} over what is below, 29 CFR 1926.501(b)(1); on a "
    "scaffold from {scaffold}, 29 CFR 1926.451(g)(1). Many places ask for it lower down.",
    "Your local rules, and the plate on a machine or on gear, count before anything said here.",
    "Before a lift by machine, and before anything is hung from a tripod, a beam or a tree, ask a "
    "licensed rigger or engineer.",
)


# What a fall is kept from, as `falls` has it.
_FALLS: dict[Units, dict[str, str]] = {
    "imperial": {"edge": "6 ft (1.83 m)", "scaffold": "10 ft (3.05 m)"},
    "metric": {"edge": "1.83 m", "scaffold": "3.05 m"},
}


def cautions(crew: Crew, units: Units, weighed: Iterable[str] = ()) -> tuple[str, ...]:
    """What to bear in mind with every lift.

    Args:
        crew: Who lifts.
        units: Heights are given in.
        weighed: What the scale said, as `weighed_texts` has it.
    """
    return (
        *(f"Weighed: {text}." for text in weighed),
        *(text.format(**_FALLS[units]) for text in _ALWAYS),
        "A guideline for hands is no promise: backs get hurt under it too. It is the lower of "
        f"NIOSH's lifting equation and HSE's figures for {crew.guideline}, on firm level ground, "
        "for people who are used to lifting.",
    )


def cautions_of(lift: Lift, units: Units) -> tuple[str, ...]:
    """What to bear in mind with this lift, beside what goes for every one.

    Args:
        lift: A lift as it is planned.
        units: The scene's.
    """
    return (
        *_weighed(lift),
        *_by_hand(lift, units),
        *_put_up(lift, units),
        *_by_machine(lift, units),
        *_spliced(lift, units),
        *while_fixed(lift, units),
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


def bracing_text(bracing: Bracing, until: Stage | None, units: Units) -> str:
    """What holds a wall or a post that stands: how many, how long, where, how fixed, how long for.

    Args:
        bracing: What holds it.
        until: The stage after which it comes off.
        units: What lengths and forces are shown in.
    """
    along, foot = (
        force_as_mass(force_n, units) for force_n in (bracing.brace_n, bracing.vertical_n)
    )
    off = f"; off after stage {until.number}" if until else ""
    return (
        f"{braces_text(bracing, units)}{_feet(bracing)}: {along} along one, {foot} at its foot"
        f"{_stakes(bracing, units)}; for gusts to {stop_wind_text(bracing.wind_m_s, units)}{off}"
    )


def braces_text(bracing: Bracing, units: Units) -> str:
    """How many braces, how long, where and how fixed at their upper ends."""
    long, fixed = (
        format_height(size_mm, units) for size_mm in (bracing.length_mm, bracing.fixed_at_mm)
    )
    brace = f"2x4 {long} long" if units == "imperial" else f"38 x 89 x {long}"
    if not bracing.places:
        begins = f"2 braces a post, square to each other, {brace}"
    else:
        begins = f"{bracing.count} braces, {brace}, {_places(bracing.places, units)}"
    return f"{begins}, nailed {fixed} up, {nails_text(bracing.nails, units)} each end"


def _places(places: Sequence[BracePlace], units: Units) -> str:
    """Where along a wall they are, as its tape is read."""
    on = " and ".join(sorted({f"{place.on}s" for place in places if place.on}))
    at = listed([format_length(place.tape_mm, units) for place in places])
    if not on:
        return f"{at} from the left end, seen from outside"
    return f"on the {on} at {at} from the left end, seen from outside"


def feet_text(bracing: Bracing) -> str:
    """What their feet are nailed to, in a few words."""
    return _feet(bracing) or ", feet to stakes or to a cleat that is anchored"


def _feet(bracing: Bracing) -> str:
    if bracing.stakes:
        return ""
    return ", feet to the floor frame"


def _stakes(bracing: Bracing, units: Units) -> str:
    """To what a foot is nailed that has no floor frame under it."""
    if not bracing.stakes:
        return ""
    stakes = "a stake" if bracing.stakes == 1 else f"{bracing.stakes} stakes"
    thick, deep = (
        format_length(mm, units) for mm in (bracing.stake_thick_mm, bracing.stake_deep_mm)
    )
    holds = force_as_mass(bracing.stake_n, units)
    # Where there is a frame, walls have no stakes.
    frame = "" if bracing.places else "a floor frame, "
    return (
        f", nailed to {frame}an anchored cleat or {stakes} {thick} thick, {deep} in firm "
        f"loam ({holds} each, NAVEDTRA 14251)"
    )


def balance_angle_text(angle_deg: float) -> str:
    """The angle from which something falls on by itself: rounded down."""
    return f"{math.floor(angle_deg + 1e-9)} deg"


def _weighed(lift: Lift) -> Iterator[str]:
    """What the scale said of what it is cut from."""
    for text in dict.fromkeys(part.material.weighed for part in lift.item.whole.parts):
        if text:
            yield f"Weighed: {text}."


def _by_hand(lift: Lift, units: Units) -> Iterator[str]:
    tilt = lift.chosen.tilt
    by_hand = lift.machine is None or lift.machine.kind is MachineKind.WALL_JACK
    if tilt is not None and by_hand:
        is_wall = lift.item.handling == Handling.WALL
        stops = "Toe blocks or straps keep" if is_wall else "A block keeps"
        foot_n = lift.machine.foot_n if lift.machine else tilt.foot_n
        yield (
            f"{stops} its foot from sliding: {force_as_mass(foot_n, units)}. Nail braces to "
            "its top first; one holds it, one nails their feet. Stand clear of its fall."
        )
        if tilt.hold_back_n > 0:
            yield (
                f"Past {balance_angle_text(tilt.balance_deg)} it falls on by itself: hold back "
                f"{force_as_mass(tilt.hold_back_n, units)}."
            )
    if lift.machine is None and lift.people > 1:
        yield "One gives the word for every move."


def _put_up(lift: Lift, units: Units) -> Iterator[str]:
    """What has to be put up before it is raised by hand, and what that has to hold."""
    method = lift.chosen
    if lift.machine is not None:
        return
    match method.technique.rig:
        case Rig.NONE:
            pass
        case Rig.LEDGE_POSTS:
            yield (
                "Ledge posts first: at each end, which carries half, a stud on either side, "
                f"braced, a ledge nailed on every {format_length(LEDGE_MM, units)}. "
                "Tie it at every ledge."
            )
        case Rig.CRIBS:
            if method.rocking is not None:
                yield from _cribs(method.rocking, units)
        case _:
            assert_never(method.technique.rig)


def _cribs(rocking: Rocking, units: Units) -> Iterator[str]:
    apart, least, base = (
        format_length(mm, units, "up")
        for mm in (rocking.apart_mm, rocking.least_apart_mm, rocking.base_mm)
    )
    block = format_length(rocking.block_mm, units)
    yield (
        f"Two cribs, their middles {apart} apart, where it balances half-way between, never nearer "
        f"than {least}; each {base} wide or more, a guide post either side at both, stops at its "
        f"ends; {plural(rocking.rocks, 'block')} of {block}, nailed down as they go in."
    )
    yield (
        f"One crib carries up to {force_as_mass(rocking.crib_n, units)} and is thrust along it by "
        f"{force_as_mass(rocking.thrust_n, units)}. Prop the lifted end before anybody reaches "
        f"under it; the other one sinks {format_length(rocking.end_sinks_mm, units)}."
    )
    yield "Stacks near the middle tip as the load shifts: where one leans, stop and build it anew."


def _by_machine(lift: Lift, units: Units) -> Iterator[str]:
    machine = lift.machine
    if machine is None:
        return
    if machine.sling is not None and machine.sling.legs > 1:
        yield (
            f"No leg of the sling flatter than {LEAST_ANGLE_DEG:.0f} deg (ASME B30.9). Hook up "
            "over the centre of gravity, lift a hand's breadth, look; use a tag line."
        )
        yield from _picked_near(lift, units)
    elif machine.sling is not None and machine.tripod is None:
        yield (
            "It hangs by its head: who sets its foot holds the tag line too, and stands clear "
            "until it is down. Who signals does nothing else."
        )
    if machine.sling is not None and machine.kind.has_forks:
        yield "It hangs from a rated hook, not bare forks, by the chart for hanging loads."
    elif machine.sling is None and machine.kind.has_forks:
        yield "Strap it to the forks, and let nobody ride on them."
    if lift.people_short:
        yield (
            f"It takes {headcount(machine.people)} beside a driver, {lift.people_short} more than "
            "can be called: hire them with it."
        )
    match machine.kind:
        case MachineKind.HIRED | MachineKind.TELEHANDLER:
            yield _where_it_stands(machine, units)
        case MachineKind.CHAIN_HOIST:
            yield from _under_a_tripod(lift, machine, units)
        case MachineKind.MATERIAL_LIFT:
            yield (
                "On a firm level floor, its legs out, nobody under its forks; wind both ends up "
                "together, and slide it from the forks onto its seat."
            )
        case MachineKind.TWO_WHEEL_TRUCK:
            pull = force_as_mass(machine.handle_n, units)
            yield f"Strap it on; {pull} at the handles tilts it back. Planks on soft ground."
        case MachineKind.JACK:
            yield "Crib as you go, never put a hand between load and cribbing, one end at a time."
        case MachineKind.WALL_JACK:
            each = force_as_mass(machine.foot_n / machine.count, units)
            yield (
                "A cleat fixed to the floor where its top plate lies keeps each jack's foot from "
                f"sliding: {each}. Wind all together, and keep it level."
            )
        case _:
            assert_never(machine.kind)


def _picked_near(lift: Lift, units: Units) -> Iterator[str]:
    """Where a long beam hangs from points near its middle, and so tips at a small push."""
    load = lift.item.whole
    apart_mm, long_mm = sling_spread_mm(load), load.size_mm[0]
    if apart_mm < NEAR_SHARE * long_mm:
        apart, long = (format_height(mm, units) for mm in (apart_mm, long_mm))
        yield (
            f"Its picks are {apart} apart on {long}: a small push tips it. A tag line at both "
            "ends, or a spreader with its picks a fifth in from the ends."
        )


def _where_it_stands(machine: Machine, units: Units) -> str:
    if machine.approach is None:
        return (
            "No side is open to it: something stands in its way, or a roof is over it. Do this "
            "lift before that goes up, or clear a side."
        )
    out = format_height(machine.approach.out_mm, units)
    return (
        f"It comes from the {machine.approach.side}, stops behind the piece that waits, and "
        f"reaches {out} out. Never among braces; nobody between load and wall."
    )


def _under_a_tripod(lift: Lift, machine: Machine, units: Units) -> Iterator[str]:
    """Where it stands, how the piece comes under it, and how far aside it may be held."""
    stand = machine.tripod
    assert stand is not None
    aside = format_length(machine.aside_mm, units, "down")
    spread, leg = (format_height(mm, units) for mm in (stand.spread_mm, stand.leg_mm))
    thick = format_length(stand.leg_thick_mm, units, "up")
    yield (
        f"Tripod of legs {leg} long, {thick} thick at the least; its head right over its place, "
        f"feet {spread} apart and chained: "
        f"{_forces(stand, units)}."
    )
    if lift.item.whole.is_upright:
        yield (
            f"Bring its head under the hook by hand, {aside} aside at the most. Hoist it plumb; "
            "one rolls its foot in, one holds the tag line until the braces are on."
        )
    else:
        swing = format_length(machine.swing_mm, units, "up")
        yield (
            f"Bring it under the head by hand first, one end at a time, {aside} aside at the most: "
            f"the chain never drags it in. The tag line holds it {swing} clear of its seat."
        )


def _forces(stand: Tripod, units: Units) -> str:
    leg, out = (force_as_mass(force_n, units) for force_n in (stand.leg_n, stand.outward_n))
    return f"{leg} along each leg, {out} outward at each foot"


def _spliced(lift: Lift, units: Units) -> Iterator[str]:
    """Where all plies of a beam end at one place, and what holds it there until it is joined."""
    load = lift.item.whole
    for splice in lift.item.splices:
        if not splice.needs_prop:
            bears = format_length(splice.bearing_mm, units, "down")
            yield (
                f"All its plies end on {splice.on[0]}, with {bears} of bearing: nail them before "
                "letting go."
            )
            continue
        up = format_height(splice.at_mm[2], units)
        share = load.end_shares[nearer_end(load, splice.at_mm)]
        yield (
            f"All its plies end {up} up, where nothing carries them and the next length: set a "
            "post, prop or trestle under the splice, braced, for "
            f"{force_as_mass(load.weight_n * share, units)} from this length, and leave it there "
            "until the plies are joined."
        )


def _in_wind(lift: Lift, units: Units) -> Iterator[str]:
    wind = lift.wind
    gust = stop_wind_text(wind.gust_m_s, units)
    beyond = f"a gust of {gust} is more than they can hold, HSE INDG143"
    why = wind.rule.named if wind.is_by_rule else beyond
    yield f"Over a mean wind of {stop_wind_text(wind.stop_m_s, units)} leave it down ({why})."
    match wind.attitude:
        case Attitude.EDGE_ON if wind.face_mean_m_s < wind.stop_m_s:
            face = stop_wind_text(wind.face_mean_m_s, units)
            yield (
                f"From {face} on one more holds it, its edge to the wind, until it is nailed: face "
                "on they cannot hold it."
            )
        case Attitude.EDGE_ON:
            pass
        case Attitude.FACE_ON:
            pass
        case _:
            assert_never(wind.attitude)


def _high(lift: Lift, units: Units) -> Iterator[str]:
    if lift.platform_mm is not None:
        yield (
            f"Bring a platform {format_length(lift.platform_mm, units)} high that carries the "
            "people and the load, four times over."
        )
    fall = fall_protection(lift, units)
    if fall is None:
        return
    up = format_height(fall.stands_mm, units)
    match fall.guard:
        case FallGuard.RAILS:
            rail = format_height(RAIL_MM, units)
            yield f"People stand {up} up: guard rails {rail} high ({fall.source})."
        case FallGuard.HARNESS:
            yield f"Who works {up} up at the edge: harness and anchor ({fall.source})."
        case _:
            assert_never(fall.guard)

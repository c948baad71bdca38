"""How hands raise a load, technique by technique, each as rows of holds.

    hold_rows(technique, thing, rig, lies_mm) -> list[list[Hold]]

A row is what hands do one after the other, from one place where the load can rest to the next; rows
of one technique come to the same. Hands are taken as high as NIOSH rates them; what goes higher is
rested on a platform and raised from there by people who stand on it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import Enum

from pikepole_export.derive.lifting import niosh
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.holds import CARRIED_MM, HIGHEST_HANDS_MM, Hold
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.statics import lower_share, one_end_lift, tilt_deg
from pikepole_export.derive.lifting.things import Handling, Thing
from pikepole_export.derive.lifting.tilting import tilt_holds, tilt_of
from pikepole_model.geometry.placement import Vector

# Without trestles, loads lie on bearers: common practice, no source.
BEARERS_MM = 100.0

# Longer pieces are picked up one end first, and can be raised so: common practice, no source.
END_FIRST_MM = 1500.0

# From the hands down to what hangs in a strap: common practice, no source.
STRAP_MM = 400.0

# Friction of a sheet on the one below: common practice, no source (handbooks: 0.25 to 0.5).
WOOD_ON_WOOD = 0.5

# A sheet is let fall flat over the last hand's breadth: common practice, no source.
DROPPED_MM = 100.0

# Hands hold a long piece this far in from its ends: common practice, no source.
GRIP_SHARE = 0.15

# Two floors that differ by less are one: heights are sums, and sums are rounded.
LEAST_STEP_MM = 1.0


class Technique(Enum):
    """How one load is raised by hand, in the order in which a builder would think of it."""

    CARRIED = "carried"
    ONE_END = "one end at a time"
    SLID = "slid off the stack"
    TILTED = "tilted up"


@dataclass(frozen=True, slots=True)
class Rig:
    """What people lift with when they lift by hand.

    Attributes:
        rests_mm: Heights on which loads can wait: of bearers, of the trestles at hand.
        platforms_mm: Heights of the platforms at hand, lowest first.
        lifter: The column of HSE's figures.
    """

    rests_mm: tuple[float, ...]
    platforms_mm: tuple[float, ...]
    lifter: Lifter


def hold_rows(technique: Technique, thing: Thing, rig: Rig, lies_mm: float) -> list[list[Hold]]:
    """What hands do to raise a thing in one piece.

    Args:
        technique: How.
        thing: What is raised.
        rig: What platforms there are.
        lies_mm: Height over the floor on which it waits, mm; a wall lies on the floor, and what is
            slid on its stack.

    Returns:
        Rows of holds that come to the same, one of which is enough; none where the technique is
        not for such a thing.
    """
    if thing.handling.stands_up != (technique is Technique.TILTED):
        return []
    match technique:
        case Technique.CARRIED:
            return _carried(thing, rig, lies_mm)
        case Technique.ONE_END:
            return _end_by_end(thing, rig, lies_mm)
        case Technique.SLID:
            return _slid(thing)
        case Technique.TILTED:
            load = thing.whole
            # A wall lies on the floor, its top edge as high as it is thick.
            start_mm = lies_mm if thing.handling == Handling.POST else load.size_mm[2]
            return [tilt_holds(load, tilt_of(load), floor_mm=thing.floor_mm, start_mm=start_mm)]


def _hold(
    thing: Thing, action: str, force_n: float, hands_mm: tuple[float, float], at_mm: Vector
) -> Hold:
    """A hold from one height over the floor to another by people who stand on it."""
    from_mm, to_mm = hands_mm
    return Hold(
        action=action,
        force_n=force_n,
        from_mm=from_mm,
        to_mm=to_mm,
        floor_mm=thing.floor_mm,
        base_mm=thing.floor_mm,
        depth_mm=thing.whole.size_mm[2],
        at_mm=(at_mm,),
    )


def _carried(thing: Thing, rig: Rig, lies_mm: float) -> list[list[Hold]]:
    """Picked up, taken in the arms and set in its place."""
    load, is_panel = thing.whole, thing.handling.is_panel
    length, along = load.size_mm[0], load.centre_in_box_mm[0]
    heavier = max(load.end_shares)  # of one end alone, held at its very end
    start: list[Hold] = []
    if lies_mm < CARRIED_MM:
        action, force_n = "picked up", load.weight_n
        if length >= END_FIRST_MM:
            action, force_n = "one end up first", load.weight_n * heavier
        at = load.ends_mm[0 if along < length / 2 else 1]
        start.append(_hold(thing, action, force_n, (lies_mm, CARRIED_MM), at))
    waits_mm = max(lies_mm, CARRIED_MM)
    rise_mm = _hands_mm(thing) - thing.floor_mm
    hold = replace(
        _hold(thing, "carried to its place", load.weight_n, (waits_mm, rise_mm), load.centre_mm),
        # By its edges as it stands there, where a stick lies on bearers.
        taken_up_mm=CARRIED_MM if is_panel else BEARERS_MM,
        coupling=niosh.Coupling.POOR if is_panel else niosh.Coupling.FAIR,
        shares=_shares(load, is_panel=is_panel),
    )
    if thing.handling != Handling.ROOF_SHEET:
        if rise_mm < CARRIED_MM and (is_panel or length >= END_FIRST_MM):
            dropped = DROPPED_MM if thing.handling == Handling.SHEET else 0.0
            return [start + down for down in _let_down(hold, rise_mm + dropped, heavier)]
        return [start + risen for risen in _risen(hold, rig)]
    # Stood up against the eave and slid up: once its middle is over the eave, the roof carries
    # half of it and more.
    middle_mm = max(waits_mm, rise_mm - length / 2)
    up = replace(hold, action="slid up at the eave", to_mm=middle_mm)
    rows: list[list[Hold]] = []
    for risen in _risen(up, rig):
        then = replace(
            risen[-1],
            action="pushed over the eave",
            force_n=load.weight_n / 2,
            from_mm=risen[-1].to_mm,
            to_mm=risen[-1].to_mm + rise_mm - middle_mm,
            shares=(),
        )
        rows += [[*start, *risen, *over] for over in _risen(then, rig)]
    return rows


def _let_down(hold: Hold, rise_mm: float, heavier: float) -> list[list[Hold]]:
    """Carried to its place and let down there, one end or edge after the other.

    With bare hands, or by a strap under the end, which keeps hands and backs up.
    """
    carried = replace(hold, action="carried", to_mm=hold.from_mm)
    down = replace(
        hold,
        action="one end let down",
        force_n=hold.force_n * heavier,
        to_mm=rise_mm,
        shares=(),
    )
    return [[carried, down], [carried, _strapped(down)]]


def _hands_mm(thing: Thing) -> float:
    """Height of the hands when what is carried is in its place."""
    load, handling = thing.whole, thing.handling
    lies = handling == Handling.SHEET and load.lies_flat
    if load.is_upright or (handling.is_panel and not lies):
        return max(thing.over_mm, thing.floor_mm + CARRIED_MM)
    return max(_grips_mm(load))


def _grips_mm(load: Load) -> tuple[float, float]:
    """Heights of its underside where hands hold it, near its ends, lower first."""
    low, high = sorted(end[2] for end in load.ends_mm)
    inset = GRIP_SHARE * (high - low)
    plumb = _half_depth_mm(load) / _level(load)
    return low + inset - plumb, high - inset - plumb


def _shares(load: Load, *, is_panel: bool) -> tuple[float, ...]:
    """Largest share of one, two near the ends, and a third in the middle.

    A stick is set down inclined, held by its underside: the lower of two has more of it then.
    """
    length = load.size_mm[0]
    inset = 0.0 if is_panel else GRIP_SHARE * length
    low, high = sorted(load.ends_mm, key=lambda end: end[2])
    inclined = not is_panel and not load.is_upright
    lower = lower_share(
        angle_deg=tilt_deg(rise_mm=high[2] - low[2], length_mm=length) if inclined else 0.0,
        span_mm=length - 2 * inset,
        centre_mm=(_along(load, high) - inset, _half_depth_mm(load) if inclined else 0.0),
    )
    pair = min(max(lower, 1 - lower), 1.0)
    return (1.0, pair, max(pair * 2 / 3, 1 / 3))


def _end_by_end(thing: Thing, rig: Rig, lies_mm: float) -> list[list[Hold]]:
    """One end onto its seat while the other turns on the bearers; then the other.

    What goes low is let down so, end after end, off the trestles or the bearers.
    """
    load = thing.whole
    length = load.size_mm[0]
    if not thing.is_slim or length < END_FIRST_MM:
        return []
    seats = _grips_mm(load)
    lies = thing.floor_mm + lies_mm
    arm = (1 - GRIP_SHARE) * length  # from the end that rests to the hands
    if seats[1] - lies >= arm:
        return []
    if seats[0] <= lies:
        return _ends_let_down(thing, lies_mm) if seats[1] <= lies else []
    half = _half_depth_mm(load)
    lower, higher = sorted(load.ends_mm, key=lambda end: end[2])
    along = abs(_along(load, higher))  # centre of gravity from the lower end
    # The higher end first: it turns on the lower one. Then the lower one hangs from its seat.
    up_deg = tilt_deg(rise_mm=seats[1] - lies, length_mm=arm)
    lies_deg = tilt_deg(rise_mm=higher[2] - lower[2], length_mm=length)
    up = one_end_lift(
        load.weight_n, centre_mm=(along, half), grip_mm=(arm, 0.0), start_deg=0.0, end_deg=up_deg
    )
    down = one_end_lift(
        load.weight_n,
        centre_mm=(length - along, half),
        grip_mm=(arm, 0.0),
        start_deg=-max(up_deg, lies_deg),
        end_deg=-lies_deg,
    )
    rows: list[list[list[Hold]]] = []
    for action, lift, seat, end, other in (
        ("first end up to its seat", up, seats[1], higher, lower),
        ("second end up to its seat", down, seats[0], lower, higher),
    ):
        # An end may lie over the ground beside the deck.
        floor = thing.standing.under(_towards(end, other))
        hands_mm = max(lies - floor, 0.0), seat - floor
        hold = _hold(thing, action, lift.peak_n, hands_mm, end)
        rows.append(_risen(replace(hold, floor_mm=floor, base_mm=floor), rig))
    return [first + second for first in rows[0] for second in rows[1]]


def _slid(thing: Thing) -> list[list[Hold]]:
    """Pushed off a stack beside the floor until it tips, and let down over the joists."""
    load = thing.whole
    if thing.handling != Handling.SHEET or not load.lies_flat or thing.over_mm > CARRIED_MM:
        return []
    hands_mm, at = (CARRIED_MM, CARRIED_MM), load.ends_mm[0]
    push = _hold(thing, "pushed off the stack", load.weight_n * WOOD_ON_WOOD, hands_mm, at)
    down = replace(
        push,
        action="far edge let down",
        force_n=load.weight_n * max(load.end_shares),
        to_mm=thing.over_mm - thing.floor_mm + DROPPED_MM,
        coupling=niosh.Coupling.POOR,
    )
    return [[replace(push, pushed=True), down]]


def _ends_let_down(thing: Thing, lies_mm: float) -> list[list[Hold]]:
    """One end off the trestles and down to its place, then the other."""
    load = thing.whole
    hands_mm = lies_mm, _grips_mm(load)[0] - thing.floor_mm
    bare = [
        _hold(thing, f"{which} end let down", load.weight_n * share, hands_mm, end)
        for share, end, which in zip(
            load.end_shares, load.ends_mm, ("first", "second"), strict=True
        )
    ]
    return [bare, [_strapped(hold) for hold in bare]]


def _towards(end: Vector, other: Vector) -> Vector:
    """Where hands hold near an end."""
    x, y, z = (a + GRIP_SHARE * (b - a) for a, b in zip(end, other, strict=True))
    return (x, y, z)


def _strapped(hold: Hold) -> Hold:
    """The same by a strap under the end, which keeps hands and backs up."""
    return replace(
        hold,
        action=f"{hold.action} by a strap",
        from_mm=hold.from_mm + STRAP_MM,
        to_mm=hold.to_mm + STRAP_MM,
        coupling=niosh.Coupling.GOOD,
    )


def _risen(hold: Hold, rig: Rig) -> list[list[Hold]]:
    """A hold in one go from where people stand, or by way of platforms, one above the other.

    Where the hands would end higher than anybody is rated for, the hold stays in the list: nobody
    is within the guideline then.
    """
    found = [[hold]]
    for platform in rig.platforms_mm:
        step = platform - (hold.floor_mm - hold.base_mm)
        rest_mm = step + BEARERS_MM
        if step < LEAST_STEP_MM or rest_mm >= hold.to_mm or rest_mm > HIGHEST_HANDS_MM:
            continue
        onto = replace(hold, onto_platform=True, to_mm=rest_mm)
        then = replace(
            hold,
            from_mm=hold.taken_up_mm,
            to_mm=max(hold.to_mm - step, hold.taken_up_mm),
            floor_mm=hold.floor_mm + step,
        )
        found += [[onto, *rest] for rest in _risen(then, rig)]
    return found


def _along(load: Load, end: Vector) -> float:
    """Distance of the centre of gravity from the other end than this one, along the length."""
    along = load.centre_in_box_mm[0]
    return load.size_mm[0] - along if end == load.ends_mm[0] else along


def _half_depth_mm(load: Load) -> float:
    """From the middle line of a piece to its underside, square to it, as it lies in its place."""
    _, width, thickness = load.size_mm
    plumb = abs(load.box.v[2]) * width + abs(load.box.n[2]) * thickness
    return plumb / 2 / _level(load)


def _level(load: Load) -> float:
    """How much of its length is seen from above, as a share: the cosine of its slope."""
    return math.hypot(load.box.u[0], load.box.u[1])

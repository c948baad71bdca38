"""The ways in which a thing can be raised by hand, and how many people each one takes.

    ways(thing, rig) -> tuple[Way, ...]

A way is a row of holds for each load that goes up: every hold has to be within the guidelines for
the people who are there. Hands are taken as high as NIOSH rates them; what goes higher is rested on
a platform and raised from there by people who stand on it.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from pikepole_export.derive.lifting import niosh
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.holds import (
    CARRIED_MM,
    HIGHEST_HANDS_MM,
    MOST_PEOPLE,
    Held,
    Hold,
    held,
)
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.statics import (
    WallRaise,
    lower_share,
    one_end_lift,
    tilt_deg,
    weight_n,
)
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

# Wide sheets longer than this sag and twist in one person's hands: common practice, no source.
LIMP_MM = 3000.0

# What a hold is called, beyond its name, that ends on a platform.
ONTO = ", onto the platform"

# Two floors that differ by less are one: heights are sums, and sums are rounded.
LEAST_STEP_MM = 1.0


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


@dataclass(frozen=True, slots=True)
class Way:
    """One way of raising a thing.

    Attributes:
        name: "in one piece, one end at a time", "ply by ply, carried".
        load: The one of its loads that asks for most.
        loads: How many go up one after the other.
        people: The fewest for whom every hold is within the guidelines; None where not even
            MOST_PEOPLE are enough.
        holds: Those of that load, for these people, or for MOST_PEOPLE.
        lies_mm: Height over the floor on which that load waits.
        tilt: Where the load is tilted up, the whole of it.
    """

    name: str
    load: Load
    loads: int
    people: int | None
    holds: tuple[Held, ...]
    lies_mm: float
    tilt: WallRaise | None = None

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
    found = _whole(thing, rig)
    if thing.lightened:
        found.append(_several("without headers and upper plates", thing, thing.lightened, rig))
    if thing.pieces:
        word = "piece by piece" if thing.handling == Handling.WALL else "ply by ply"
        found.append(_several(word, thing, thing.pieces, rig))
    return tuple(found)


def _whole(thing: Thing, rig: Rig) -> list[Way]:
    """The ways to raise it in one piece, each from where it had best wait.

    What goes lower than the trestles is not put up there, unless that asks for fewer people.
    """
    found: dict[str, list[Way]] = defaultdict(list)
    for lies_mm in rig.rests_mm:
        for way in _from(thing, rig, lies_mm):
            found[way.name].append(way)
    let_down_from = math.inf if thing.whole.is_upright else thing.whole.low_mm - thing.floor_mm

    def asks(way: Way) -> tuple[int, float, float]:
        people, used = effort(way)
        return (people, max(0.0, way.lies_mm - let_down_from), used)

    return [min(same, key=asks) for same in found.values()]


def _from(thing: Thing, rig: Rig, lies_mm: float) -> list[Way]:
    """The ways to raise it in one piece from where it waits at a height over the floor."""
    load = thing.whole
    if thing.handling in (Handling.WALL, Handling.POST):
        return [_tilted(thing, load, rig, lies_mm)]
    least = 2 if _is_limp(thing) else 1
    plans = {
        "carried": _carried(thing, load, rig, lies_mm),
        "one end at a time": _end_by_end(thing, load, rig, lies_mm),
    }
    found = [
        _way(name, load, holds, rig, lies_mm, thing.times, least)
        for name, holds in plans.items()
        if holds
    ]
    slid = _slid(thing, load)
    if slid:
        found.append(_way("slid off the stack", load, slid, rig, CARRIED_MM, thing.times, least))
    return found


def _several(name: str, thing: Thing, loads: Sequence[Load], rig: Rig) -> Way:
    """One load after the other, each in its easiest way: the hardest of them tells."""
    best: list[Way] = []
    names = tuple(load.name for load in loads)  # all of them count for how long it goes on
    # The studs of a wall are one and the same to those who lift them.
    for load in {_as_lifted(load): load for load in reversed(loads)}.values():
        is_frame = thing.handling == Handling.WALL and len(load.parts) > 1
        one = replace(thing, whole=load, over_mm=load.low_mm, same=names)
        if is_frame:
            best.append(_tilted(one, load, rig, 0.0))
            continue
        if thing.handling == Handling.WALL:
            one = replace(one, handling=Handling.STICK)
        best.append(min(_whole(one, rig), key=effort))
    hardest = max(best, key=effort)
    return replace(hardest, name=f"{name}, {hardest.name}", loads=len(loads))


def _as_lifted(load: Load) -> tuple[object, ...]:
    """What two loads have in common that are lifted in the same way."""
    return tuple(
        (part.shape, part.material, part.placement.u, part.placement.v, part.placement.origin[2])
        for part in load.parts
    )


def _way(
    name: str,
    load: Load,
    plans: Iterable[Sequence[Hold]],
    rig: Rig,
    lies_mm: float,
    times: int,
    least: int,
    tilt: WallRaise | None = None,
) -> Way:
    """The fewest people for the easiest of several rows of holds that come to the same."""
    options = sorted(plans, key=len)
    duration = _duration(times)

    def assessed(plan: Sequence[Hold], people: int) -> Iterator[Held]:
        return (held(hold, people, rig.lifter, duration) for hold in plan)

    # The first that will do: the fewest people, and for them the fewest platforms.
    for people in range(least, MOST_PEOPLE + 1):
        for plan in options:
            if all(one.within for one in assessed(plan, people)):
                return Way(name, load, 1, people, tuple(assessed(plan, people)), lies_mm, tilt)
    rows = [tuple(assessed(plan, MOST_PEOPLE)) for plan in options]
    nearest = min(rows, key=lambda row: max(one.used for one in row))
    return Way(name, load, 1, None, nearest, lies_mm, tilt)


def _duration(times: int) -> niosh.Duration:
    """For how long lifting goes on: one in five minutes, the least frequency that NIOSH rates."""
    hours = times * 5 / 60
    if hours <= niosh.Duration.SHORT.value:
        return niosh.Duration.SHORT
    return (
        niosh.Duration.MODERATE if hours <= niosh.Duration.MODERATE.value else niosh.Duration.LONG
    )


def _is_limp(thing: Thing) -> bool:
    is_wide = thing.handling in (Handling.SHEET, Handling.ROOF_SHEET)
    return is_wide and thing.whole.size_mm[0] > LIMP_MM


def _carried(thing: Thing, load: Load, rig: Rig, lies_mm: float) -> list[list[Hold]]:
    """Picked up, taken in the arms and set in its place."""
    length = load.size_mm[0]
    along = load.centre_in_box_mm[0]
    weight = weight_n(load.mass.high_kg)
    first, last = load.ends_mm
    is_flat = thing.handling in (Handling.SHEET, Handling.ROOF_SHEET, Handling.UNIT)
    inset = 0.0 if is_flat else GRIP_SHARE * length
    heavier = max(along, length - along) / length  # of one end alone, held at its very end
    start: list[Hold] = []
    if lies_mm < CARRIED_MM:
        by_end = length >= END_FIRST_MM
        start.append(
            Hold(
                what="one end up first" if by_end else "picked up",
                force_n=weight * heavier if by_end else weight,
                from_mm=lies_mm,
                to_mm=CARRIED_MM,
                floor_mm=thing.floor_mm,
                base_mm=thing.floor_mm,
                depth_mm=load.size_mm[2],
                at_mm=(first if along < length / 2 else last,),
            )
        )
    waits_mm = max(lies_mm, CARRIED_MM)
    rise_mm = _hands_mm(thing, load) - thing.floor_mm
    hold = Hold(
        what="carried to its place",
        force_n=weight,
        from_mm=waits_mm,
        to_mm=rise_mm,
        floor_mm=thing.floor_mm,
        base_mm=thing.floor_mm,
        depth_mm=load.size_mm[2],
        # By its edges as it stands there, where a stick lies on bearers.
        taken_up_mm=CARRIED_MM if is_flat else BEARERS_MM,
        coupling=niosh.Coupling.POOR if is_flat else niosh.Coupling.FAIR,
        shares=_shares(load, inset, is_flat=is_flat),
        at_mm=(load.centre_mm,),
    )
    if thing.handling != Handling.ROOF_SHEET:
        if rise_mm < CARRIED_MM and (is_flat or length >= END_FIRST_MM):
            dropped = DROPPED_MM if thing.handling == Handling.SHEET else 0.0
            return [start + down for down in _let_down(hold, rise_mm + dropped, heavier)]
        return [start + risen for risen in _risen(hold, rig)]
    # Stood up against the eave and slid up: once its middle is over the eave, the roof carries
    # half of it and more.
    middle_mm = max(waits_mm, rise_mm - length / 2)
    up = replace(hold, what="slid up at the eave", to_mm=middle_mm)
    plans: list[list[Hold]] = []
    for risen in _risen(up, rig):
        then = replace(
            risen[-1],
            what="pushed over the eave",
            force_n=weight / 2,
            from_mm=risen[-1].to_mm,
            to_mm=risen[-1].to_mm + rise_mm - middle_mm,
            shares=(),
        )
        plans += [[*start, *risen, *over] for over in _risen(then, rig)]
    return plans


def _let_down(hold: Hold, rise_mm: float, heavier: float) -> list[list[Hold]]:
    """Carried to its place and let down there, one end or edge after the other.

    With bare hands, or by a strap under the end, which keeps hands and backs up.
    """
    carried = replace(hold, what="carried", to_mm=hold.from_mm)
    down = replace(
        hold,
        what="one end let down",
        force_n=hold.force_n * heavier,
        to_mm=rise_mm,
        shares=(),
    )
    return [[carried, down], [carried, _strapped(down)]]


def _hands_mm(thing: Thing, load: Load) -> float:
    """Height of the hands when a load that is carried is in its place."""
    if thing.handling in (Handling.ROOF_SHEET, Handling.UNIT) or load.is_upright:
        return max(thing.over_mm, thing.floor_mm + CARRIED_MM)
    if thing.handling == Handling.SHEET and not _lies_flat(load):
        return max(thing.over_mm, thing.floor_mm + CARRIED_MM)
    return max(_grips_mm(load))


def _grips_mm(load: Load) -> tuple[float, float]:
    """Heights of its underside where hands hold it, near its ends, lower first."""
    low, high = sorted(end[2] for end in load.ends_mm)
    inset = GRIP_SHARE * (high - low)
    plumb = _half_depth_mm(load) / _level(load)
    return low + inset - plumb, high - inset - plumb


def _shares(load: Load, inset: float, *, is_flat: bool) -> tuple[float, ...]:
    """Largest share of one, two near the ends, and a third in the middle.

    A stick is set down inclined, held by its underside: the lower of two has more of it then.
    """
    length = load.size_mm[0]
    low, high = sorted(load.ends_mm, key=lambda end: end[2])
    inclined = not is_flat and not load.is_upright
    lower = lower_share(
        angle_deg=tilt_deg(rise_mm=high[2] - low[2], length_mm=length) if inclined else 0.0,
        span_mm=length - 2 * inset,
        centre_mm=(_along(load, high) - inset, _half_depth_mm(load) if inclined else 0.0),
    )
    pair = min(max(lower, 1 - lower), 1.0)
    return (1.0, pair, max(pair * 2 / 3, 1 / 3))


def _end_by_end(thing: Thing, load: Load, rig: Rig, lies_mm: float) -> list[list[Hold]]:
    """One end onto its seat while the other turns on the bearers; then the other.

    What goes low is let down so, end after end, off the trestles or the bearers.
    """
    length = load.size_mm[0]
    slim = thing.handling in (Handling.STICK, Handling.BEAM)
    if not slim or load.is_upright or length < END_FIRST_MM:
        return []
    seats = _grips_mm(load)
    lies = thing.floor_mm + lies_mm
    arm = (1 - GRIP_SHARE) * length  # from the end that rests to the hands
    if seats[1] - lies >= arm:
        return []
    if seats[0] <= lies:
        return _ends_let_down(thing, load, lies_mm) if seats[1] <= lies else []
    half = _half_depth_mm(load)
    ends = sorted(load.ends_mm, key=lambda end: end[2])
    along = abs(_along(load, ends[1]))  # centre of gravity from the lower end
    weight = weight_n(load.mass.high_kg)
    # The higher end first: it turns on the lower one. Then the lower one hangs from its seat.
    up_deg = tilt_deg(rise_mm=seats[1] - lies, length_mm=arm)
    lies_deg = tilt_deg(rise_mm=ends[1][2] - ends[0][2], length_mm=length)
    up = one_end_lift(
        weight, centre_mm=(along, half), grip_mm=(arm, 0.0), start_deg=0.0, end_deg=up_deg
    )
    down = one_end_lift(
        weight,
        centre_mm=(length - along, half),
        grip_mm=(arm, 0.0),
        start_deg=-max(up_deg, lies_deg),
        end_deg=-lies_deg,
    )
    rows: list[list[list[Hold]]] = []
    for what, lift, seat, end, other in (
        ("first end up to its seat", up, seats[1], ends[1], ends[0]),
        ("second end up to its seat", down, seats[0], ends[0], ends[1]),
    ):
        # An end may lie over the ground beside the deck.
        floor = thing.standing.under(_towards(end, other))
        hold = Hold(
            what=what,
            force_n=lift.peak_n,
            from_mm=max(lies - floor, 0.0),
            to_mm=seat - floor,
            floor_mm=floor,
            base_mm=floor,
            depth_mm=load.size_mm[2],
            at_mm=(end,),
        )
        rows.append(_risen(hold, rig))
    return [first + second for first in rows[0] for second in rows[1]]


def _slid(thing: Thing, load: Load) -> list[list[Hold]]:
    """Pushed off a stack beside the floor until it tips, and let down over the joists."""
    if thing.handling != Handling.SHEET or not _lies_flat(load) or thing.over_mm > CARRIED_MM:
        return []
    weight = weight_n(load.mass.high_kg)
    push = Hold(
        what="pushed off the stack",
        force_n=weight * WOOD_ON_WOOD,
        from_mm=CARRIED_MM,
        to_mm=CARRIED_MM,
        floor_mm=thing.floor_mm,
        base_mm=thing.floor_mm,
        depth_mm=load.size_mm[2],
        pushed=True,
        at_mm=(load.ends_mm[0],),
    )
    down = replace(
        push,
        what="far edge let down",
        force_n=weight * max(load.end_shares),
        to_mm=thing.over_mm - thing.floor_mm + DROPPED_MM,
        pushed=False,
        coupling=niosh.Coupling.POOR,
    )
    return [[push, down]]


def _lies_flat(load: Load) -> bool:
    return abs(load.box.n[2]) > 0.9


def _ends_let_down(thing: Thing, load: Load, lies_mm: float) -> list[list[Hold]]:
    """One end off the trestles and down to its place, then the other."""
    weight = weight_n(load.mass.high_kg)
    plans: list[list[Hold]] = [[], []]
    for share, end, what in zip(load.end_shares, load.ends_mm, ("first", "second"), strict=True):
        hold = Hold(
            what=f"{what} end let down",
            force_n=weight * share,
            from_mm=lies_mm,
            to_mm=_grips_mm(load)[0] - thing.floor_mm,
            floor_mm=thing.floor_mm,
            base_mm=thing.floor_mm,
            depth_mm=load.size_mm[2],
            at_mm=(end,),
        )
        plans[0].append(hold)
        plans[1].append(_strapped(hold))
    return plans


def _towards(end: Vector, other: Vector) -> Vector:
    """Where hands hold near an end."""
    x, y, z = (a + GRIP_SHARE * (b - a) for a, b in zip(end, other, strict=True))
    return (x, y, z)


def _strapped(hold: Hold) -> Hold:
    """The same by a strap under the end, which keeps hands and backs up."""
    return replace(
        hold,
        what=f"{hold.what} by a strap",
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
        onto = replace(hold, what=hold.what + ONTO, to_mm=rest_mm)
        then = replace(
            hold,
            from_mm=hold.taken_up_mm,
            to_mm=max(hold.to_mm - step, hold.taken_up_mm),
            floor_mm=hold.floor_mm + step,
        )
        found += [[onto, *rest] for rest in _risen(then, rig)]
    return found


def _tilted(thing: Thing, load: Load, rig: Rig, lies_mm: float) -> Way:
    """Tilted up about its foot: a post off the trestles, a wall from where it was framed."""
    is_post = thing.handling == Handling.POST
    start_mm = lies_mm if is_post else load.size_mm[2]
    tilt = tilt_of(load)
    holds = tilt_holds(load, tilt, floor_mm=thing.floor_mm, start_mm=start_mm)
    waits_mm = lies_mm if is_post else 0.0  # a wall lies on the floor
    return _way("tilted up", load, [holds], rig, waits_mm, thing.times, 1, tilt)


def _along(load: Load, end: tuple[float, float, float]) -> float:
    """Distance of the centre of gravity from the other end than this one, along the length."""
    first, _ = load.ends_mm
    along = load.centre_in_box_mm[0]
    return load.size_mm[0] - along if end == first else along


def _half_depth_mm(load: Load) -> float:
    """From the middle line of a piece to its underside, square to it, as it lies in its place."""
    _, width, thickness = load.size_mm
    plumb = abs(load.box.v[2]) * width + abs(load.box.n[2]) * thickness
    return plumb / 2 / _level(load)


def _level(load: Load) -> float:
    """How much of its length is seen from above, as a share: the cosine of its slope."""
    return math.hypot(load.box.u[0], load.box.u[1])

"""How hands raise a load, technique by technique, each as steps of hand tasks.

    task_steps(technique, item, setup, rest_height_mm) -> list[Options]

A step is a part of the way, from one place where the load can stay to the next: an end onto its
seat. It has options, rows of hand tasks that come to the same, one of which is enough. Hands are
taken as high as NIOSH rates them; what goes higher is rested on a platform, or on a block or
trestle there, and raised from it by people who stand on the platform.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import Enum
from typing import TypeAlias

from pikepole_export.derive.lifting import niosh
from pikepole_export.derive.lifting.hand_tasks import (
    HIGHEST_HANDS_MM,
    KNUCKLE_HEIGHT_MM,
    HandTask,
    Rest,
)
from pikepole_export.derive.lifting.hands import Lifter
from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.statics import lower_share, one_end_lift, tilt_deg
from pikepole_export.derive.lifting.tilting import tilt_of, tilt_tasks
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

# On its way up a load is rested on so many platforms at the most.
MOST_RESTS = 2

# Rows of hand tasks that come to the same.
Options: TypeAlias = list[list[HandTask]]

# Two floors that differ by less are one: heights are sums, and sums are rounded.
LEAST_STEP_MM = 1.0


class Technique(Enum):
    """How one load is raised by hand, in the order in which a builder would think of it."""

    CARRIED = "carried"
    ONE_END = "one end at a time"
    SLID = "slid off the stack"
    TILTED = "tilted up"

    @property
    def is_rigged(self) -> bool:
        """Whether posts or cribs have to be put up for it first."""
        match self:
            case Technique.CARRIED | Technique.ONE_END | Technique.SLID | Technique.TILTED:
                return False


@dataclass(frozen=True, slots=True)
class HandSetup:
    """What people lift with when they lift by hand.

    Attributes:
        rest_heights_mm: Heights on which loads can wait: of bearers, of the trestles at hand.
        platforms_mm: Heights of the platforms at hand, lowest first.
        lifter: The column of HSE's figures.
        blocks_mm: Heights of the blocks or trestles that can stand on a platform.
    """

    rest_heights_mm: tuple[float, ...]
    platforms_mm: tuple[float, ...]
    lifter: Lifter
    blocks_mm: tuple[float, ...] = ()


def task_steps(
    technique: Technique, item: Item, setup: HandSetup, rest_height_mm: float
) -> list[Options]:
    """What hands do to raise an item in one piece.

    Args:
        technique: How.
        item: What is raised.
        setup: What platforms there are.
        rest_height_mm: Height over the floor on which it waits, mm; a wall lies on the floor, and
            what is slid on its stack.

    Returns:
        Its steps in order; none where the technique is not for such an item.
    """
    if item.handling.stands_up != (technique is Technique.TILTED):
        return []
    match technique:
        case Technique.CARRIED:
            return _carried(item, setup, rest_height_mm)
        case Technique.ONE_END:
            return _one_end_at_a_time(item, setup, rest_height_mm)
        case Technique.SLID:
            return _slid(item)
        case Technique.TILTED:
            load = item.whole
            # A wall lies on the floor, its top edge as high as it is thick.
            start_mm = rest_height_mm if item.handling == Handling.POST else load.size_mm[2]
            return [[tilt_tasks(load, tilt_of(load), floor_mm=item.floor_mm, start_mm=start_mm)]]


def _task(
    item: Item, action: str, force_n: float, hands_mm: tuple[float, float], at_mm: Vector
) -> HandTask:
    """A task from one height over the floor to another by people who stand on it."""
    from_mm, to_mm = hands_mm
    return HandTask(
        action=action,
        force_n=force_n,
        from_mm=from_mm,
        to_mm=to_mm,
        floor_mm=item.floor_mm,
        base_mm=item.floor_mm,
        depth_mm=item.whole.size_mm[2],
        at_mm=(at_mm,),
    )


def _carried(item: Item, setup: HandSetup, rest_height_mm: float) -> list[Options]:
    """Picked up, taken in the arms and set in its place."""
    load, is_panel = item.whole, item.handling.is_panel
    length, along = load.size_mm[0], load.centre_in_box_mm[0]
    heavier = max(load.end_shares)  # of one end alone, held at its very end
    start: list[Options] = []
    if rest_height_mm < KNUCKLE_HEIGHT_MM:
        action, force_n = "picked up", load.weight_n
        if length >= END_FIRST_MM:
            action, force_n = "one end up first", load.weight_n * heavier
        at = load.ends_mm[0 if along < length / 2 else 1]
        start.append([[_task(item, action, force_n, (rest_height_mm, KNUCKLE_HEIGHT_MM), at)]])
    waits_mm = max(rest_height_mm, KNUCKLE_HEIGHT_MM)
    rise_mm = _hands_mm(item) - item.floor_mm
    task = replace(
        _task(item, "carried to its place", load.weight_n, (waits_mm, rise_mm), load.centre_mm),
        coupling=niosh.Coupling.POOR if is_panel else niosh.Coupling.FAIR,
        shares=_shares(load, is_panel=is_panel),
    )
    if item.handling != Handling.ROOF_SHEET:
        if rise_mm < KNUCKLE_HEIGHT_MM and (is_panel or length >= END_FIRST_MM):
            dropped = DROPPED_MM if item.handling == Handling.SHEET else 0.0
            return [*start, *_let_down(task, rise_mm + dropped, heavier)]
        return [*start, _risen(task, setup, is_panel=is_panel)]
    # Stood up against the eave and slid up: once its middle is over the eave, the roof carries
    # half of it and more.
    middle_mm = max(waits_mm, rise_mm - length / 2)
    up = replace(task, action="slid up at the eave", to_mm=middle_mm)
    rows: Options = []
    for risen in _risen(up, setup, is_panel=True):
        then = replace(
            risen[-1],
            action="pushed over the eave",
            force_n=load.weight_n / 2,
            from_mm=risen[-1].to_mm,
            to_mm=risen[-1].to_mm + rise_mm - middle_mm,
            shares=(),
        )
        rows += [[*risen, *over] for over in _risen(then, setup, is_panel=True)]
    return [*start, rows]


def _let_down(task: HandTask, rise_mm: float, heavier: float) -> list[Options]:
    """Carried to its place and let down there, one end or edge after the other.

    With bare hands, or by a strap under the end, which keeps hands and backs up.
    """
    carried = replace(task, action="carried", to_mm=task.from_mm)
    down = replace(
        task,
        action="one end let down",
        force_n=task.force_n * heavier,
        to_mm=rise_mm,
        shares=(),
    )
    return [[[carried]], [[down], [_strapped(down)]]]


def _hands_mm(item: Item) -> float:
    """Height of the hands when what is carried is in its place."""
    load, handling = item.whole, item.handling
    lies = handling == Handling.SHEET and load.lies_flat
    if load.is_upright or (handling.is_panel and not lies):
        return max(item.pass_height_mm, item.floor_mm + KNUCKLE_HEIGHT_MM)
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


def _one_end_at_a_time(item: Item, setup: HandSetup, rest_height_mm: float) -> list[Options]:
    """One end onto its seat while the other turns on the bearers; then the other.

    What goes low is let down so, end after end, off the trestles or the bearers.
    """
    load = item.whole
    length = load.size_mm[0]
    if not item.is_slim or length < END_FIRST_MM:
        return []
    seats = _grips_mm(load)
    lies = item.floor_mm + rest_height_mm
    arm = (1 - GRIP_SHARE) * length  # from the end that rests to the hands
    if seats[1] - lies >= arm:
        return []
    if seats[0] <= lies:
        return _ends_let_down(item, rest_height_mm) if seats[1] <= lies else []
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
    steps: list[Options] = []
    for action, lift, seat, end, other in (
        ("first end up to its seat", up, seats[1], higher, lower),
        ("second end up to its seat", down, seats[0], lower, higher),
    ):
        # An end may lie over the ground beside the deck.
        floor = item.work_surface.under(_towards(end, other))
        hands_mm = max(lies - floor, 0.0), seat - floor
        task = _task(item, action, lift.peak_n, hands_mm, end)
        risen = _risen(replace(task, floor_mm=floor, base_mm=floor), setup, is_panel=False)
        steps.append(risen)
    return steps


def _slid(item: Item) -> list[Options]:
    """Pushed off a stack beside the floor until it tips, and let down over the joists."""
    load = item.whole
    if (
        item.handling != Handling.SHEET
        or not load.lies_flat
        or item.pass_height_mm > KNUCKLE_HEIGHT_MM
    ):
        return []
    hands_mm, at = (KNUCKLE_HEIGHT_MM, KNUCKLE_HEIGHT_MM), load.ends_mm[0]
    push = _task(item, "pushed off the stack", load.weight_n * WOOD_ON_WOOD, hands_mm, at)
    down = replace(
        push,
        action="far edge let down",
        force_n=load.weight_n * max(load.end_shares),
        to_mm=item.pass_height_mm - item.floor_mm + DROPPED_MM,
        coupling=niosh.Coupling.POOR,
    )
    return [[[replace(push, pushed=True)]], [[down]]]


def _ends_let_down(item: Item, rest_height_mm: float) -> list[Options]:
    """One end off the trestles and down to its place, then the other."""
    load = item.whole
    hands_mm = rest_height_mm, _grips_mm(load)[0] - item.floor_mm
    bare = [
        _task(item, f"{which} end let down", load.weight_n * share, hands_mm, end)
        for share, end, which in zip(
            load.end_shares, load.ends_mm, ("first", "second"), strict=True
        )
    ]
    return [[[task], [_strapped(task)]] for task in bare]


def _towards(end: Vector, other: Vector) -> Vector:
    """Where hands hold near an end."""
    x, y, z = (a + GRIP_SHARE * (b - a) for a, b in zip(end, other, strict=True))
    return (x, y, z)


def _strapped(task: HandTask) -> HandTask:
    """The same by a strap under the end, which keeps hands and backs up."""
    return replace(
        task,
        action=f"{task.action} by a strap",
        from_mm=task.from_mm + STRAP_MM,
        to_mm=task.to_mm + STRAP_MM,
        coupling=niosh.Coupling.GOOD,
    )


def _risen(task: HandTask, setup: HandSetup, *, is_panel: bool, rests: int = MOST_RESTS) -> Options:
    """A task in one go from where people stand, or by way of platforms, one above the other.

    A stick rests there on bearers, or higher on a block or trestle; what is wide stands on the
    platform and is taken up by its edges. Where the hands would end higher than anybody is rated
    for, the task stays in the list: nobody is within the guideline then.
    """
    found = [[task]]
    if rests == 0:
        return found
    for platform in setup.platforms_mm:
        step = platform - (task.floor_mm - task.base_mm)
        if step < LEAST_STEP_MM:
            continue
        blocks = () if is_panel else setup.blocks_mm
        for rest, on_mm in ((Rest.PLATFORM, BEARERS_MM), *((Rest.BLOCK, mm) for mm in blocks)):
            if step + on_mm >= task.to_mm or step + on_mm > HIGHEST_HANDS_MM:
                continue
            taken_up_mm = KNUCKLE_HEIGHT_MM if is_panel else on_mm
            then = replace(
                task,
                from_mm=taken_up_mm,
                to_mm=max(task.to_mm - step, taken_up_mm),
                floor_mm=task.floor_mm + step,
            )
            onto = replace(task, onto=rest, to_mm=step + on_mm)
            further = _risen(then, setup, is_panel=is_panel, rests=rests - 1)
            found += [[onto, *row] for row in further]
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

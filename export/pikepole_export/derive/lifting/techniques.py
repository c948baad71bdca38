"""How hands raise a load, technique by technique, each as steps of hand tasks.

    task_steps(technique, item, setup, rest_height_mm) -> list[Options]

A step is a part of the way, from one place where the load can stay to the next: an end onto its
seat. It has options, rows of hand tasks that come to the same, one of which is enough. Hands are
taken as high as NIOSH rates them; what goes higher is rested on a platform, or on a block or
trestle there, and raised from it by people who stand on the platform.
"""

from __future__ import annotations

from dataclasses import replace
from enum import Enum, IntEnum

from pikepole_export.derive.lifting import niosh
from pikepole_export.derive.lifting.ends import ledge_by_ledge, one_end_at_a_time, rocked
from pikepole_export.derive.lifting.grips import (
    END_FIRST_MM,
    GRIP_SHARE,
    along_mm,
    grips_mm,
    half_depth_mm,
    task_of,
)
from pikepole_export.derive.lifting.hand_tasks import (
    KNUCKLE_HEIGHT_MM,
    HandTask,
    Motion,
    Options,
    Rest,
)
from pikepole_export.derive.lifting.items import Edge, Handling, Item
from pikepole_export.derive.lifting.loads import Load, end_name
from pikepole_export.derive.lifting.rests import HandSetup, risen, strapped
from pikepole_export.derive.lifting.statics import lower_share, tilt_deg
from pikepole_export.derive.lifting.tilting import tilted

# Friction of a sheet on the one below: common practice, no source (handbooks: 0.25 to 0.5).
WOOD_ON_WOOD = 0.5

# A sheet is let fall flat over the last hand's breadth: common practice, no source.
DROPPED_MM = 100.0


class Rig(IntEnum):
    """What has to be put up before a load is raised, the least first."""

    NONE = 0
    LEDGE_POSTS = 1
    CRIBS = 2


class Technique(Enum):
    """How one load is raised by hand, in the order in which a builder would think of it."""

    CARRIED = "carried"
    ONE_END = "one end at a time"
    SLID = "slid off the stack"
    TILTED = "tilted up"
    LEDGES = "a ledge at a time"
    ROCKED = "rocked up on two cribs"

    @property
    def doing(self) -> str:
        """What to do, told to whoever does it."""
        match self:
            case Technique.CARRIED:
                return "carry it"
            case Technique.ONE_END:
                return "one end, then the other"
            case Technique.SLID:
                return "slide it off the stack"
            case Technique.TILTED:
                return "tilt it up"
            case Technique.LEDGES:
                return "lift it ledge by ledge"
            case Technique.ROCKED:
                return "rock it up on two cribs"

    @property
    def rig(self) -> Rig:
        """What has to be put up for it first."""
        match self:
            case Technique.CARRIED | Technique.ONE_END | Technique.SLID | Technique.TILTED:
                return Rig.NONE
            case Technique.LEDGES:
                return Rig.LEDGE_POSTS
            case Technique.ROCKED:
                return Rig.CRIBS


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
            return one_end_at_a_time(item, setup, rest_height_mm)
        case Technique.SLID:
            return _slid(item)
        case Technique.LEDGES:
            return ledge_by_ledge(item, setup, rest_height_mm)
        case Technique.ROCKED:
            return rocked(item, setup, rest_height_mm)
        case Technique.TILTED:
            return [tilted(item, setup, rest_height_mm)]


def _carried(item: Item, setup: HandSetup, rest_height_mm: float) -> list[Options]:
    """Picked up, taken in the arms and set in its place."""
    load, is_panel = item.whole, item.handling.is_panel
    length, along = load.size_mm[0], load.centre_in_box_mm[0]
    heavier = max(load.end_shares)  # of one end alone, held at its very end
    start: list[Options] = []
    if rest_height_mm < KNUCKLE_HEIGHT_MM:
        at = load.ends_mm[0 if along < length / 2 else 1]
        action, force_n, motion = "pick it up", load.weight_n, Motion.WHOLE
        if length >= END_FIRST_MM:
            end = "one end" if is_panel or load.is_upright else f"the {end_name(load, at)}"
            action, force_n = f"pick up {end} first", load.weight_n * heavier
            motion = Motion.END
        hands_mm = rest_height_mm, KNUCKLE_HEIGHT_MM
        start.append([[task_of(item, action, force_n, hands_mm, at, motion)]])
    waits_mm = max(rest_height_mm, KNUCKLE_HEIGHT_MM)
    # What lies on the floor lies no hair under it.
    rise_mm = round(_hands_mm(item) - item.floor_mm, 6) + 0.0
    hands_mm = waits_mm, rise_mm
    task = replace(
        task_of(item, "carry it", load.weight_n, hands_mm, load.centre_mm, Motion.WHOLE),
        onto=Rest.PLACE,
        coupling=niosh.Coupling.POOR if is_panel else niosh.Coupling.FAIR,
        shares=_shares(load, is_panel=is_panel),
    )
    if item.handling.over is None:
        if rise_mm < KNUCKLE_HEIGHT_MM and (is_panel or length >= END_FIRST_MM):
            dropped = DROPPED_MM if item.handling == Handling.SHEET else 0.0
            return [*start, *_let_down(task, rise_mm + dropped, heavier)]
        return [*start, risen(task, setup, is_panel=is_panel)]
    # Stood up against the edge and slid up: once its middle is over that, what is behind the edge
    # carries half of it and more.
    middle_mm = max(waits_mm, rise_mm - length / 2)
    where = "at the eave" if item.handling.over is Edge.EAVE else "over the joist"
    up = replace(
        task, action=f"slide it up {where}", onto=None, to_mm=middle_mm, motion=Motion.SLID
    )
    slid = risen(up, setup, is_panel=True)
    if item.handling.over is Edge.JOIST:
        return [*start, slid, _taken_over(item, task, heavier)]
    rows: Options = []
    for way in slid:
        then = replace(
            way[-1],
            action="push it over",
            force_n=load.weight_n / 2,
            from_mm=way[-1].to_mm,
            to_mm=way[-1].to_mm + rise_mm - middle_mm,
            shares=(),
            motion=Motion.OVER,
        )
        rows += [[*way, *over] for over in risen(then, setup, is_panel=True)]
    return [*start, rows]


def _taken_over(item: Item, task: HandTask, heavier: float) -> Options:
    """By those on the joists: held at its upper edge until its lower one is over the joist too.

    They hold nothing of it while its middle is at the joist, and half in the end; then they let it
    down, with bare hands or by a strap.
    """
    down = replace(
        task,
        action="take it from above and let it down",
        onto=None,
        force_n=task.force_n * heavier,
        from_mm=KNUCKLE_HEIGHT_MM,
        to_mm=DROPPED_MM,
        floor_mm=item.pass_height_mm,
        base_mm=item.pass_height_mm,
        shares=(),
        motion=Motion.TAKEN,
    )
    return [[down], [strapped(down)]]


def _let_down(task: HandTask, rise_mm: float, heavier: float) -> list[Options]:
    """Carried to its place and let down there, one end or edge after the other.

    With bare hands, or by a strap under the end, which keeps hands and backs up.
    """
    carried = replace(task, to_mm=task.from_mm)
    down = replace(
        task,
        action="let it down one end at a time",
        onto=None,
        force_n=task.force_n * heavier,
        to_mm=rise_mm,
        shares=(),
        motion=Motion.END,
    )
    return [[[carried]], [[down], [strapped(down)]]]


def _hands_mm(item: Item) -> float:
    """Height of the hands when what is carried is in its place."""
    load, handling = item.whole, item.handling
    lies = handling == Handling.SHEET and load.lies_flat
    if load.is_upright or (handling.is_panel and not lies):
        return max(item.pass_height_mm, item.floor_mm + KNUCKLE_HEIGHT_MM)
    return max(grips_mm(load))


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
        centre_mm=(along_mm(load, high) - inset, half_depth_mm(load) if inclined else 0.0),
    )
    pair = min(max(lower, 1 - lower), 1.0)
    return (1.0, pair, max(pair * 2 / 3, 1 / 3))


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
    force_n = load.weight_n * WOOD_ON_WOOD
    push = task_of(item, "push it off the stack", force_n, hands_mm, at, Motion.TIPPED)
    down = replace(
        push,
        action="let the far edge down",
        force_n=load.weight_n * max(load.end_shares),
        to_mm=item.pass_height_mm - item.floor_mm + DROPPED_MM,
        coupling=niosh.Coupling.POOR,
        motion=Motion.END,
    )
    return [[[replace(push, pushed=True)]], [[down]]]

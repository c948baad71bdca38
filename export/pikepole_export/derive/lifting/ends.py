"""What is long raised by its ends: one after the other, ledge by ledge, or rocked on two cribs.

one_end_at_a_time(item, setup, rest_height_mm) -> list[Options]
ledge_by_ledge(item, setup, rest_height_mm) -> list[Options]
rocked(item, setup, rest_height_mm) -> list[Options]
item_rocking(item, rest_height_mm) -> Rocking, or None
"""

from __future__ import annotations

from dataclasses import replace

from pikepole_export.derive.lifting.grips import (
    END_FIRST_MM,
    GRIP_SHARE,
    along_mm,
    grips_mm,
    half_depth_mm,
    task_of,
    towards,
)
from pikepole_export.derive.lifting.hand_tasks import HandTask, Motion, Options, Rest
from pikepole_export.derive.lifting.items import Item
from pikepole_export.derive.lifting.ledges import LEDGE_MM, ledge_steps
from pikepole_export.derive.lifting.loads import end_name
from pikepole_export.derive.lifting.rests import LEAST_STEP_MM, HandSetup, risen, strapped
from pikepole_export.derive.lifting.rocking import Rocking, rocking_of, rocking_steps
from pikepole_export.derive.lifting.statics import one_end_lift, tilt_deg
from pikepole_model.geometry.placement import Vector


def one_end_at_a_time(item: Item, setup: HandSetup, rest_height_mm: float) -> list[Options]:
    """One end onto its seat while the other turns on the bearers; then the other.

    What goes low is let down so, end after end, off the trestles or the bearers.
    """
    load = item.whole
    length = load.size_mm[0]
    if not item.is_slim or length < END_FIRST_MM:
        return []
    seats = grips_mm(load)
    lies = item.floor_mm + rest_height_mm
    arm = (1 - GRIP_SHARE) * length  # from the end that rests to the hands
    if seats[1] - lies >= arm:
        return []
    if seats[0] <= lies:
        return _ends_let_down(item, rest_height_mm) if seats[1] <= lies else []
    half = half_depth_mm(load)
    lower, higher = sorted(load.ends_mm, key=lambda end: end[2])
    along = abs(along_mm(load, higher))  # centre of gravity from the lower end
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
    for lift, seat, end, other in ((up, seats[1], higher, lower), (down, seats[0], lower, higher)):
        action = f"lift the {end_name(load, end)}"
        # An end may lie over the ground beside the deck.
        floor = item.work_surface.under(towards(end, other))
        hands_mm = max(lies - floor, 0.0), seat - floor
        task = task_of(item, action, lift.peak_n, hands_mm, end, Motion.END)
        task = replace(task, floor_mm=floor, base_mm=floor, onto=Rest.SEAT)
        step = risen(task, setup, is_panel=False)
        steps.append(step)
    return steps


def _ends_let_down(item: Item, rest_height_mm: float) -> list[Options]:
    """One end off the trestles and down to its place, then the other."""
    load = item.whole
    lower, higher = grips_mm(load)
    middle = sum(end[2] for end in load.ends_mm) / 2
    bare = [
        task_of(
            item,
            f"let the {end_name(load, end)} down",
            load.weight_n * share,
            (rest_height_mm, (higher if end[2] > middle else lower) - item.floor_mm),
            end,
            Motion.END,
        )
        for share, end in zip(load.end_shares, load.ends_mm, strict=True)
    ]
    return [[[task], [strapped(task)]] for task in bare]


def ledge_by_ledge(item: Item, setup: HandSetup, rest_height_mm: float) -> list[Options]:
    """One end onto the next ledge, then the other, and so on to their seats."""
    if not _rises_level(item, item.whole.low_mm - item.floor_mm - rest_height_mm):
        return []
    first, second = _end_tasks(item, rest_height_mm)
    return ledge_steps(first, second, setup.platforms_mm)


def rocked(item: Item, setup: HandSetup, rest_height_mm: float) -> list[Options]:
    """Its ends lifted in turn, with cribs under it that are packed."""
    rocking = item_rocking(item, rest_height_mm)
    if rocking is None:
        return []
    end, _ = _end_tasks(item, rest_height_mm)
    end = replace(end, action="lift the ends in turn", motion=Motion.ROCKED)
    return rocking_steps(rocking, end, setup.platforms_mm)


def item_rocking(item: Item, rest_height_mm: float) -> Rocking | None:
    """How a level beam is rocked up from where it waits; None where it cannot be.

    Args:
        item: What is raised.
        rest_height_mm: Height over the floor on which it waits.
    """
    rise_mm = item.whole.low_mm - item.floor_mm - rest_height_mm
    if not _rises_level(item, rise_mm):
        return None
    return rocking_of(item.whole, rise_mm, waits_mm=rest_height_mm)


def _rises_level(item: Item, rise_mm: float) -> bool:
    """Whether it is long, ends level, and higher than it waits by a ledge or more."""
    load = item.whole
    is_level = abs(load.box.u[2]) * load.size_mm[0] < LEAST_STEP_MM
    return item.is_slim and is_level and load.size_mm[0] >= END_FIRST_MM and rise_mm >= LEDGE_MM


def _end_tasks(item: Item, rest_height_mm: float) -> tuple[HandTask, HandTask]:
    """Either end of what rises level, from where it waits to its seat, a ledge above the other."""
    load = item.whole
    length, half = load.size_mm[0], half_depth_mm(load)
    arm = (1 - GRIP_SHARE) * length
    lies = item.floor_mm + rest_height_mm
    a_deg = tilt_deg(rise_mm=min(LEDGE_MM, arm / 2), length_mm=arm)

    def task(end: Vector, other: Vector, start_deg: float, end_deg: float) -> HandTask:
        centre_mm = (length - along_mm(load, other), half)
        lift = one_end_lift(
            load.weight_n,
            centre_mm=centre_mm,
            grip_mm=(arm, 0.0),
            start_deg=start_deg,
            end_deg=end_deg,
        )
        floor = item.work_surface.under(towards(end, other))
        hands_mm = max(lies - floor, 0.0), load.low_mm - floor
        action = f"lift the {end_name(load, end)}"
        plain = task_of(item, action, lift.peak_n, hands_mm, end, Motion.END)
        return replace(plain, floor_mm=floor, base_mm=floor, onto=Rest.SEAT)

    first, second = load.ends_mm
    return task(first, second, 0.0, a_deg), task(second, first, -a_deg, 0.0)

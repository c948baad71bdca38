"""Where hands hold what is long, and how high they are there.

task_of(item, action, force_n, hands_mm, at_mm) -> HandTask
grips_mm(load) -> heights of its underside under the hands
half_depth_mm(load), along_mm(load, end), towards(end, other)   of its middle line and its ends
"""

from __future__ import annotations

import math

from pikepole_export.derive.lifting.hand_tasks import HandTask, Motion
from pikepole_export.derive.lifting.items import Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_model.geometry.placement import Vector

# Hands hold a long piece this far in from its ends: common practice, no source.
GRIP_SHARE = 0.15

# Longer pieces are picked up one end first, and can be raised so: common practice, no source.
END_FIRST_MM = 1500.0


def task_of(
    item: Item,
    action: str,
    force_n: float,
    hands_mm: tuple[float, float],
    at_mm: Vector,
    motion: Motion,
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
        motion=motion,
    )


def grips_mm(load: Load) -> tuple[float, float]:
    """Heights of its underside where hands hold it, near its ends, lower first.

    The box of what tapers to the ground reaches down into that: no hand is lower than the piece.
    """
    low, high = sorted(end[2] for end in load.ends_mm)
    inset = GRIP_SHARE * (high - low)
    plumb = half_depth_mm(load) / _level(load)
    return max(load.low_mm, low + inset - plumb), max(load.low_mm, high - inset - plumb)


def half_depth_mm(load: Load) -> float:
    """From the middle line of a piece to its underside, square to it, as it lies in its place."""
    _, width, thickness = load.size_mm
    plumb = abs(load.box.v[2]) * width + abs(load.box.n[2]) * thickness
    return plumb / 2 / _level(load)


def along_mm(load: Load, end: Vector) -> float:
    """Distance of the centre of gravity from the other end than this one, along the length."""
    along = load.centre_in_box_mm[0]
    return load.size_mm[0] - along if end == load.ends_mm[0] else along


def towards(end: Vector, other: Vector) -> Vector:
    """Where hands hold near an end."""
    x, y, z = (a + GRIP_SHARE * (b - a) for a, b in zip(end, other, strict=True))
    return (x, y, z)


def _level(load: Load) -> float:
    """How much of its length is seen from above, as a share: the cosine of its slope."""
    return math.hypot(load.box.u[0], load.box.u[1])

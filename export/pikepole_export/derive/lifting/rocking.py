"""A beam rocked up on two cribs a little either side of its middle, packed in turn.

    rocking_of(load, rise_mm) -> Rocking, or None       its cribs, and the forces
    rocking(weight_n, ...) -> Rocking                   the forces between given cribs
    rocking_steps(...) -> list[Options]                 what hands do

                 c = distance of an end from the middle
        |<--------------- c -------------->|
        ===================================+===================================   beam, weight W
      hands up F                      |crib| |crib|
                                      |<a>|<a>|

One end is lifted a little: the beam turns on the far crib, and the near one is packed under it.
Then the other end. Moments about the far crib, which is a beyond the middle:

    lifted at an end            F = W a / (c + a)       the far crib carries W - F
    or the other end pressed    P = W a / (c - a)       the near crib carries W + P
    a block t goes in           the lifted end rises t (c + a) / (2 a),
                                the other one sinks t (c - a) / (2 a) under its crib
    lying so, at the slope t / (2 a), it thrusts along itself with (W + P) t / (2 a)

Source: equilibrium of forces and moments, any textbook of statics; the way of working is common
practice, no source. It was given up by a builder for a beam of 432 lb because stacks near the
middle tip as the load shifts (a builder's account, 2007): hence the least distance of the cribs,
the guides, and the crib's width by its height.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pikepole_export.derive.lifting.gear import MOST_CRIB_SLENDERNESS
from pikepole_export.derive.lifting.hand_tasks import HandTask, Options, Rest
from pikepole_export.derive.lifting.ledges import ledge_heights_mm
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.rests import standing
from pikepole_model.units import FOOT_MM

# Of the packing, a 2x as dressed. Source: PS 20-20.
BLOCK_MM = 38.1

# The least width of a crib, and of the gap between two: common practice, no source.
LEAST_BASE_MM = 400.0
GAP_MM = 200.0

# As high as a crib of 6x6 timbers goes. Source: FEMA, US&R Structure Specialist field guide.
MOST_HIGH_MM = 6 * FOOT_MM

# From crib to crib, as a part of the length: a sixth of the weight is lifted then. Chosen here.
APART_SHARE = 1 / 5

# The most that a slope may be of the friction of wood on wood, 0.5 dry, which keeps the beam from
# sliding: half of it, chosen here. Source of 0.5: handbooks, wood on wood, dry, static.
MOST_SLOPE = 0.25


@dataclass(frozen=True, slots=True)
class Rocking:
    """The cribs of a beam that is rocked up, and the forces.

    Attributes:
        apart_mm: From the middle of one crib to that of the other, as much to either side of where
            the beam balances.
        least_apart_mm: No nearer than this.
        base_mm: Least width of each crib, a third of its height and no less than LEAST_BASE_MM.
        rise_mm: From where it lies to where it goes.
        block_mm: Thickness of the packing.
        rocks: How often an end is lifted, both together.
        lifted_n: At an end, straight up, N: the shorter end, which asks for more.
        pressed_n: Or down at the other end, N.
        crib_n: On one crib, the most: all of the weight and what is pressed.
        thrust_n: Along the beam, which guides and cribs hold, the most.
        end_rises_mm: How far the lifted end goes up for a block.
        end_sinks_mm: How far the other one sinks under its crib's top.
    """

    apart_mm: float
    least_apart_mm: float
    base_mm: float
    rise_mm: float
    block_mm: float
    rocks: int
    lifted_n: float
    pressed_n: float
    crib_n: float
    thrust_n: float
    end_rises_mm: float
    end_sinks_mm: float


def rocking_of(load: Load, rise_mm: float, *, waits_mm: float = 0.0) -> Rocking | None:
    """How a level beam is rocked up, with its high mass.

    Args:
        load: What is raised.
        rise_mm: How far, above 0.
        waits_mm: Height over the floor from which it starts: the cribs stand on the floor.

    Returns:
        The cribs and forces; None where they would be too high, or do not stand within the middle
        half of it.
    """
    length, along = load.size_mm[0], load.centre_in_box_mm[0]
    base_mm = max(LEAST_BASE_MM, (waits_mm + rise_mm) / MOST_CRIB_SLENDERNESS)
    apart_mm = max(_least_apart_mm(base_mm), APART_SHARE * length)
    ends_mm = (along, length - along)
    if apart_mm > min(ends_mm) or waits_mm + rise_mm > MOST_HIGH_MM:
        return None
    return rocking(
        load.weight_n, ends_mm=ends_mm, apart_mm=apart_mm, base_mm=base_mm, rise_mm=rise_mm
    )


def rocking(
    weight_n: float,
    *,
    ends_mm: tuple[float, float],
    apart_mm: float,
    base_mm: float,
    rise_mm: float,
) -> Rocking:
    """The forces on a beam between two cribs.

    Args:
        weight_n: Of the beam, N.
        ends_mm: From where it balances to either end, each more than half of what cribs are apart.
        apart_mm: From the middle of one crib to that of the other, where it balances half-way.
        base_mm: Least width of each crib.
        rise_mm: How far it goes up.
    """
    short_mm, long_mm = sorted(ends_mm)
    a = apart_mm / 2
    pressed_n = weight_n * a / (short_mm - a)
    return Rocking(
        apart_mm=apart_mm,
        least_apart_mm=_least_apart_mm(base_mm),
        base_mm=base_mm,
        rise_mm=rise_mm,
        block_mm=BLOCK_MM,
        rocks=2 * math.ceil(rise_mm / BLOCK_MM),
        lifted_n=weight_n * a / (short_mm + a),
        pressed_n=pressed_n,
        crib_n=weight_n + pressed_n,
        thrust_n=(weight_n + pressed_n) * BLOCK_MM / apart_mm,
        end_rises_mm=BLOCK_MM * (long_mm + a) / apart_mm,
        end_sinks_mm=BLOCK_MM * (long_mm - a) / apart_mm,
    )


def _least_apart_mm(base_mm: float) -> float:
    """Cribs stand clear of each other, and the beam no steeper than it lies still."""
    return max(base_mm + GAP_MM, BLOCK_MM / MOST_SLOPE)


def rocking_steps(cribs: Rocking, end: HandTask, platforms_mm: Sequence[float]) -> list[Options]:
    """What hands do at the ends in turn, a few feet of the way at a time.

    Args:
        cribs: Its cribs and forces.
        end: From where the beam lies to its seat, at either end.
        platforms_mm: What people can stand on there.
    """
    steps: list[Options] = []
    heights = ledge_heights_mm(end.from_mm, end.to_mm)
    for low, high in pairwise(heights):
        # The last block of this part goes in when the end is that much higher than its crib.
        top_mm = max(high - cribs.block_mm, low) + cribs.end_rises_mm
        step = replace(end, force_n=cribs.lifted_n, from_mm=low, to_mm=top_mm, onto=Rest.CRIBS)
        steps.append(standing(step, platforms_mm))
    return steps

"""A hoist under a tripod: what its legs carry, and how far aside its chain may be drawn.

    tripod(load_n, head_mm) -> Tripod           for a load that hangs plumb
    chain_mm(tripod, out_mm) -> mm              how long the chain has to be to be drawn aside
    margin(tripod, out_mm, chain_mm) -> number  against turning over, its chain drawn aside

            head             A load hangs from the head, over the middle of the feet. A chain out
             /|              of plumb pulls the head sideways, by the weight times out / chain, and
       leg  / | chain        turns the tripod over the line between two of its feet, which is half
           /  |              as far from the middle as a foot is. None is to be pulled sideways:
      foot/  load  |other    USDA Forest Service, 0523-2341.
          <-r->|<-r/2->

Source of the formulas: equilibrium of forces and moments, any textbook of statics.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pikepole_export.derive.lifting.validation import at_least, positive

# Between two feet, by the length of a leg, the feet chained to each other: the least of the usual
# half to two thirds. Source: FM 5-125, from memory.
SPREAD = 0.5

# How long a leg may be by its least thickness. Source: FM 5-125, chapter 5, of gin poles.
MOST_SLENDER = 60.0

# From the hook, pulled right up, to the head: common practice, no source.
HOIST_MM = 450.0

# What would turn it over is at least this many times what comes: common practice, no source.
LEAST_MARGIN = 2.0


@dataclass(frozen=True, slots=True)
class Tripod:
    """Three equal legs, evenly round a load.

    Attributes:
        head_mm: Height of its head over its feet.
        leg_mm: Length of each.
        spread_mm: Between two feet.
        foot_mm: From the middle to a foot.
        leg_n: Along each, N.
        outward_n: What each foot pushes outward, N: the chain round the feet holds it.
    """

    head_mm: float
    leg_mm: float
    spread_mm: float
    foot_mm: float
    leg_n: float
    outward_n: float

    @property
    def leg_thick_mm(self) -> float:
        """The least thickness of a leg, mm."""
        return self.leg_mm / MOST_SLENDER


def tripod(load_n: float, *, head_mm: float, spread: float = SPREAD) -> Tripod:
    """The forces in a tripod of a height whose load hangs plumb.

    Args:
        load_n: What hangs from it, N.
        head_mm: Height of its head over its feet.
        spread: Between two feet, by the length of a leg.

    Raises:
        LiftError: a size is not above zero.
    """
    positive(head_mm=head_mm, spread=spread)
    leg_mm = head_mm / math.sqrt(1 - spread**2 / 3)
    foot_mm = spread * leg_mm / math.sqrt(3)
    return Tripod(
        head_mm=head_mm,
        leg_mm=leg_mm,
        spread_mm=spread * leg_mm,
        foot_mm=foot_mm,
        leg_n=load_n * leg_mm / (3 * head_mm),
        outward_n=load_n * foot_mm / (3 * head_mm),
    )


def margin(stand: Tripod, *, out_mm: float, chain_mm: float) -> float:
    """How many times over the load's own weight holds the tripod down, against its side pull.

    The tripod's own weight is not counted on.

    Args:
        stand: The tripod.
        out_mm: How far beside the head's plumb line the load is held, 0 or more.
        chain_mm: From the head down to the load.

    Returns:
        Below 1 it turns over; infinite where the chain hangs plumb.

    Raises:
        LiftError: a length is outside these.
    """
    at_least("out_mm", out_mm, 0.0, "give the distance from under the head")
    positive(chain_mm=chain_mm)
    if out_mm == 0:
        return math.inf
    return stand.foot_mm / 2 / stand.head_mm * chain_mm / out_mm


def farthest_mm(stand: Tripod, *, chain_mm: float) -> float:
    """How far aside the load may be held where the margin is the least that is asked for, mm."""
    return stand.foot_mm / 2 / stand.head_mm * chain_mm / LEAST_MARGIN


def chain_mm(stand: Tripod, *, out_mm: float) -> float:
    """The least chain on which the load may be held so far aside, mm."""
    return out_mm * LEAST_MARGIN / (stand.foot_mm / 2 / stand.head_mm)

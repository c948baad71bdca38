"""The HSE guideline figures: what one or several people may handle with their hands.

guideline_kg(lifter, from_mm, to_mm, reach_mm) -> kg, for one person
team_factor(people) -> what a team can do, as a part of the sum of its people
push_guideline(lifter) -> Push
pair_band(mass_kg) -> Band, how HSE's assessment charts grade a load for two

Sources: HSE L23, Manual handling, guidance on the Manual Handling Operations Regulations 1992;
HSE INDG143, Manual handling at work: a brief guide. The figures are a filter: below them a
detailed assessment is not usually needed. They are not limits, and they do not show what is
without risk to anybody.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, IntEnum
from fractions import Fraction
from itertools import pairwise
from math import inf
from types import MappingProxyType

from pikepole_export.derive.lifting.validation import LiftError, at_least
from pikepole_model.units import STANDARD_GRAVITY_M_S2


class Lifter(Enum):
    """Whose column of the figures counts."""

    MAN = "man"
    WOMAN = "woman"


class Zone(IntEnum):
    """Where the hands are, from the ground up."""

    BELOW_MID_LOWER_LEG = 0
    UP_TO_KNUCKLE = 1
    UP_TO_ELBOW = 2
    UP_TO_SHOULDER = 3
    ABOVE_SHOULDER = 4


# Tops of the zones but the last for a standing adult, mm above the floor: middle of the lower leg,
# knuckle, elbow, shoulder. Knuckle height is that of NIOSH 94-110 (75 cm); the others are common
# practice, no source: about the middle of adult men and women in shoes.
ZONE_TOPS_MM = (300.0, 750.0, 1050.0, 1400.0)

# Hands further out are at arm's length: about an adult's elbow to the middle of the fist, so that
# the upper arms hang and the elbows are at the sides. Common practice, no source; the HSE figure
# only shows it.
CLOSE_REACH_MM = 350.0

# kg, zone by zone from the ground up. INDG143, Figure 1, and the same in L23. Close to the body:
CLOSE_KG: Mapping[Lifter, tuple[float, ...]] = MappingProxyType(
    {
        Lifter.MAN: (10.0, 20.0, 25.0, 20.0, 10.0),
        Lifter.WOMAN: (7.0, 13.0, 16.0, 13.0, 7.0),
    }
)
# At arm's length:
FAR_KG: Mapping[Lifter, tuple[float, ...]] = MappingProxyType(
    {
        Lifter.MAN: (5.0, 10.0, 15.0, 10.0, 5.0),
        Lifter.WOMAN: (3.0, 7.0, 10.0, 7.0, 3.0),
    }
)

# What is left of the sum of what each could handle alone: L23, paragraph 120, for two and three.
# For four it gives no figure, and says that more are unlikely to work.
TEAM = MappingProxyType({1: Fraction(1), 2: Fraction(2, 3), 3: Fraction(1, 2)})


class Band(Enum):
    """HSE's Manual handling assessment charts (MAC), load weight of a team of two."""

    GREEN = 0.0
    AMBER = 35.0
    RED = 50.0
    PURPLE = 85.0

    @property
    def from_kg(self) -> float:
        """Where the band begins, kg."""
        return self.value


@dataclass(frozen=True, slots=True)
class Push:
    """Guideline forces for pushing and pulling by one person.

    They hold for hands between knuckle and shoulder and for no more than about 20 m.

    Attributes:
        start_n: To start or stop the load, N.
        keep_n: To keep it moving, N.
    """

    start_n: float
    keep_n: float


# INDG143, men 20 and 10 kgf, women 15 and 7 kgf.
PUSH = MappingProxyType(
    {
        Lifter.MAN: Push(20 * STANDARD_GRAVITY_M_S2, 10 * STANDARD_GRAVITY_M_S2),
        Lifter.WOMAN: Push(15 * STANDARD_GRAVITY_M_S2, 7 * STANDARD_GRAVITY_M_S2),
    }
)


def zones(from_mm: float, to_mm: float) -> tuple[Zone, ...]:
    """Every zone that hands pass between two heights, from the ground up.

    Hands at the height where two zones meet are in both.

    Args:
        from_mm: Hands at the start, mm above the floor the person stands on.
        to_mm: Hands at the end, mm.
    """
    for place, height_mm in (("from_mm", from_mm), ("to_mm", to_mm)):
        at_least(place, height_mm, -inf, "give the height of the hands above the floor in mm")
    lowest, highest = min(from_mm, to_mm), max(from_mm, to_mm)
    bounds = pairwise((-inf, *ZONE_TOPS_MM, inf))
    return tuple(
        zone
        for zone, (bottom, top) in zip(Zone, bounds, strict=True)
        if bottom <= highest and lowest <= top
    )


def guideline_kg(lifter: Lifter, from_mm: float, to_mm: float, reach_mm: float) -> float:
    """What the guideline gives one person for a lift: the least of the zones on its way, kg.

    It is for up to 30 lifts an hour straight ahead; INDG143 takes off it for more, and for turns.

    Args:
        lifter: Whose column counts.
        from_mm: Hands at the start, mm above the floor the person stands on.
        to_mm: Hands at the end, mm.
        reach_mm: From the ankles to the hands, mm, 0 or more.

    Raises:
        LiftError: One of these is out of its range.
    """
    at_least("reach_mm", reach_mm, 0.0, "give the reach from the ankles to the hands in mm")
    figures_kg = (CLOSE_KG if reach_mm <= CLOSE_REACH_MM else FAR_KG)[lifter]
    return min(figures_kg[zone] for zone in zones(from_mm, to_mm))


def team_factor(people: int) -> Fraction:
    """What a team may handle, as a part of the sum of what its people could handle alone.

    Raises:
        LiftError: `people` is not a whole number from 1 to 3; HSE rates no larger team.
    """
    whole = type(people) is int
    if not whole or people < 1:
        raise LiftError("people", people, "is not a whole number from 1 up", "say who lifts")
    if people not in TEAM:
        raise LiftError(
            "people",
            people,
            f"is a team that the guideline gives no figure for, it ends at {max(TEAM)}",
            "plan with gear",
        )
    return TEAM[people]


def pair_band(mass_kg: float) -> Band:
    """How the charts grade a load that two people lift; a load on a boundary is in the worse band.

    Args:
        mass_kg: What both lift, kg, 0 or more.

    Raises:
        LiftError: `mass_kg` is negative or no number.
    """
    at_least("mass_kg", mass_kg, 0.0, "give the mass of the load in kg")
    return next(band for band in reversed(tuple(Band)) if mass_kg >= band.from_kg)


def push_guideline(lifter: Lifter) -> Push:
    """What the guideline gives one person for pushing and pulling."""
    return PUSH[lifter]

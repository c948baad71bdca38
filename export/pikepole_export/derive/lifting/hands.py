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
from pikepole_model.scene.crew import Crew
from pikepole_model.units import STANDARD_GRAVITY_M_S2


class Lifter(Enum):
    """Whose column of the figures counts."""

    MAN = "man"
    WOMAN = "woman"


def lifter_of(crew: Crew) -> Lifter:
    """The column that a crew goes by."""
    return Lifter.MAN if crew.guideline == "men" else Lifter.WOMAN


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

# Hands this near to where two zones meet are close to the boundary: half a hand's breadth. HSE lets
# an in-between figure be taken there, and prints neither a width nor a formula: both are chosen
# here.
NEAR_MM = 50.0

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
    """Every zone that hands pass or come close to between two heights, from the ground up.

    Close is less than NEAR_MM: there the figure of the zone tells.

    Args:
        from_mm: Hands at the start, mm above the floor the person stands on.
        to_mm: Hands at the end, mm.
    """
    lowest, highest = _lowest_and_highest(from_mm, to_mm)
    bounds = pairwise((-inf, *ZONE_TOPS_MM, inf))
    return tuple(
        zone
        for zone, (bottom, top) in zip(Zone, bounds, strict=True)
        if bottom - NEAR_MM < highest and lowest < top + NEAR_MM
    )


def guideline_kg(lifter: Lifter, from_mm: float, to_mm: float, reach_mm: float) -> float:
    """What the guideline gives one person for a lift: the least figure on its way, kg.

    HSE says both (L23, appendix 3; INDG143, Figure 1): of the zones that the hands pass the
    smallest figure counts, and where they are close to a boundary an in-between one may be taken.
    No formula is printed. Here the figure goes in a straight line from one zone's to the next over
    NEAR_MM on either side of the height where they meet, and of CLOSE_REACH_MM, and the least of
    these figures on the way counts: so no rounding of a height ever decides.

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
    lowest, highest = _lowest_and_highest(from_mm, to_mm)
    bends_mm = [top + side for top in ZONE_TOPS_MM for side in (-NEAR_MM, NEAR_MM)]
    # In a straight line between the bends: the least is at one of them or at an end.
    on_the_way = (lowest, highest, *(bend for bend in bends_mm if lowest < bend < highest))
    far = _part_over(CLOSE_REACH_MM, reach_mm)
    return min(
        (1 - far) * _figure_kg(CLOSE_KG[lifter], height_mm)
        + far * _figure_kg(FAR_KG[lifter], height_mm)
        for height_mm in on_the_way
    )


def _figure_kg(figures_kg: tuple[float, ...], height_mm: float) -> float:
    """The figure at a height, from the zones' figures."""
    steps = zip(ZONE_TOPS_MM, pairwise(figures_kg), strict=True)
    rises = ((over - under) * _part_over(top, height_mm) for top, (under, over) in steps)
    return figures_kg[0] + sum(rises)


def _part_over(boundary_mm: float, at_mm: float) -> float:
    """0 well before a boundary, 1 well past it, and in between while close to it."""
    return min(max((at_mm - boundary_mm + NEAR_MM) / (2 * NEAR_MM), 0.0), 1.0)


def _lowest_and_highest(from_mm: float, to_mm: float) -> tuple[float, float]:
    for place, height_mm in (("from_mm", from_mm), ("to_mm", to_mm)):
        at_least(place, height_mm, -inf, "give the height of the hands above the floor in mm")
    return min(from_mm, to_mm), max(from_mm, to_mm)


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

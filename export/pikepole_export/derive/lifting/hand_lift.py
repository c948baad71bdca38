"""Whether people can lift a piece with their hands, by two methods, and which says less.

assess_hand_lift(mass_kg, ...) -> HandLift, with its Grade

The NIOSH equation is about one person, so it is held against the share of the one who carries
most. A team can do less than the sum of its people. The equation has no figure for that, so HSE's
team factor is taken from its limit too, as from HSE's own guideline. Of the two results the
smaller one governs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum, StrEnum
from functools import lru_cache

from pikepole_export.derive.lifting import hands, niosh
from pikepole_export.derive.lifting.validation import at_least, require

MM_PER_CM = 10.0


# Past this NIOSH index nearly all workers are at increased risk. Source: NIOSH 94-110, section
# 1.4.2, from memory.
MOST_INDEX = 3.0

# Past about so many times HSE's figure even fit and trained people are at serious risk. Source: HSE
# L23, appendix 3, from memory.
MOST_TIMES_HSE = 2.0


class Grade(IntEnum):
    """How what hands do stands to the guidelines.

    WITHIN: No figure is passed; no more detail is normally asked for.
    ABOVE: A figure is passed; something has to be changed that brings it within.
    NOT_BY_HAND: Passed so far that nobody should lift it so.
    """

    WITHIN = 0
    ABOVE = 1
    NOT_BY_HAND = 2


class Guideline(StrEnum):
    """Whose figures a guideline is made of."""

    NIOSH = "NIOSH"
    HSE = "HSE"
    HSE_PUSH = "HSE push"


@dataclass(frozen=True, slots=True)
class HandLift:
    """A piece against both guidelines, with every number that led there.

    Attributes:
        mass_kg: What is lifted, kg.
        people: How many lift it.
        share_kg: What the one who carries most has in their hands, kg.
        niosh: That share in the NIOSH equation: multipliers, RWL in kg and index, both ends.
        zones: The HSE zones the hands pass.
        hse_one_kg: HSE guideline of one person, kg.
        team_factor: What a team can do, as a part of the sum of its people.
        niosh_kg: What these people may lift so by NIOSH, kg; zero where it rates no such lift.
        hse_kg: What these people may lift so by HSE, kg.
    """

    mass_kg: float
    people: int
    share_kg: float
    niosh: niosh.Assessment
    zones: tuple[hands.Zone, ...]
    hse_one_kg: float
    team_factor: float
    niosh_kg: float
    hse_kg: float

    @property
    def lifting_index(self) -> float:
        """NIOSH index of the largest share, the larger of both ends. It has no team factor."""
        return self.niosh.lifting_index

    @property
    def guideline_kg(self) -> float:
        """The smaller of both guidelines, kg."""
        return min(self.niosh_kg, self.hse_kg)

    @property
    def governing(self) -> Guideline:
        """Whose guideline is the smaller one."""
        return Guideline.NIOSH if self.niosh_kg < self.hse_kg else Guideline.HSE

    @property
    def band(self) -> hands.Band | None:
        """HSE's grade of the load where two people lift it; None for any other number."""
        return hands.pair_band(self.mass_kg) if self.people == 2 else None

    @property
    def grade(self) -> Grade:
        """How it stands to both guidelines for these people, the team factor taken from both."""
        if self.mass_kg <= self.guideline_kg:
            return Grade.WITHIN
        most_kg = min(MOST_INDEX * self.niosh_kg, MOST_TIMES_HSE * self.hse_kg)
        return Grade.ABOVE if self.mass_kg <= most_kg else Grade.NOT_BY_HAND

    @property
    def within(self) -> bool:
        """Whether the piece is within both guidelines for these people."""
        return self.grade is Grade.WITHIN


def assess_hand_lift(
    mass_kg: float,
    *,
    from_mm: float,
    to_mm: float,
    reach_mm: float,
    people: int,
    coupling: niosh.Coupling,
    lifter: hands.Lifter = hands.Lifter.WOMAN,
    largest_share: float | None = None,
    duration: niosh.Duration = niosh.Duration.SHORT,
    left: float = 1.0,
) -> HandLift:
    """Hold a piece against both guidelines.

    Args:
        mass_kg: What is lifted, kg, 0 or more.
        from_mm: Hands at the start, mm above the floor the people stand on.
        to_mm: Hands at the end, mm.
        reach_mm: From the ankles to the hands, mm, 0 or more.
        people: How many lift it, 1 to 3.
        coupling: How well the hands hold.
        lifter: HSE's column; the more cautious one unless the crew says otherwise.
        largest_share: The part of the weight on the one who carries most, from an even share up
            to 1; None for an even share. Each of the others then carries no more.
        duration: For how long such lifting goes on.
        left: What is left of the load at the end of the lift, as a share, above 0 up to 1. HSE's
            figures are held against all of it on the whole way.

    Raises:
        LiftError: One of these is out of its range.
    """
    at_least("mass_kg", mass_kg, 0.0, "give the mass of the piece in kg")
    factor = float(hands.team_factor(people))
    share = _largest_share(largest_share, people)
    limits, hse_kg, zones = _of_one(lifter, from_mm, to_mm, reach_mm, coupling, duration)
    require(
        0 < left <= 1, "left", left, "is no share of the load", "give 1 where it stays the same"
    )
    assessment = replace(limits, load=mass_kg * share, left=left)
    return HandLift(
        mass_kg=mass_kg,
        people=people,
        share_kg=mass_kg * share,
        niosh=assessment,
        zones=zones,
        hse_one_kg=hse_kg,
        team_factor=factor,
        niosh_kg=factor * assessment.rwl / share,
        hse_kg=factor * hse_kg / share,
    )


@lru_cache(maxsize=4096)
def _of_one(
    lifter: hands.Lifter,
    from_mm: float,
    to_mm: float,
    reach_mm: float,
    coupling: niosh.Coupling,
    duration: niosh.Duration,
) -> tuple[niosh.Assessment, float, tuple[hands.Zone, ...]]:
    """NIOSH's limits for one person with nothing in their hands yet, HSE's figure in kg, its zones.

    They do not ask what is lifted, nor by how many: once for all who lift so.
    """
    hse_kg = hands.guideline_kg(lifter, from_mm, to_mm, reach_mm)
    origin, destination = (
        niosh.Grip(reach_mm / MM_PER_CM, height_mm / MM_PER_CM) for height_mm in (from_mm, to_mm)
    )
    task = niosh.Task(origin, destination, coupling, duration=duration)
    return niosh.assess(0.0, task), hse_kg, hands.zones(from_mm, to_mm)


def _largest_share(share: float | None, people: int) -> float:
    even = 1 / people
    if share is None:
        return even
    mend = f"give a fraction from {even:.3g}, an even share of {people}, to 1"
    # An even share that was computed may be a hair under it.
    at_least("largest_share", share, even * (1 - 1e-9), mend)
    require(share <= 1, "largest_share", share, "is more than the whole", mend)
    return share

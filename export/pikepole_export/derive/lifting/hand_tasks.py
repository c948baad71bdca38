"""What hands have to do in a lift: so much of the weight, from one height to another.

    HandTask                                            what is lifted by hand, or pushed
    assess_task(task, people, lifter) -> TaskAssessment against the guidelines, for so many people

A lift is taken apart into tasks, each between two places where the load can rest: one end off the
bearers, then the whole to its seat. Every task of it has to be within the guidelines.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from functools import lru_cache
from typing import TypeAlias

from pikepole_export.derive.lifting import hands, niosh
from pikepole_export.derive.lifting.hand_lift import (
    MOST_TIMES_HSE,
    Grade,
    Guideline,
    HandLift,
    assess_hand_lift,
)
from pikepole_model.geometry.placement import Vector
from pikepole_model.units import STANDARD_GRAVITY_M_S2

# The most people that either guideline has figures for. Source: HSE L23, paragraph 120 (team
# factors for two and three).
MOST_PEOPLE = max(hands.TEAM)

# Hands higher than this hold nothing. Source: NIOSH 94-110, Table 2, 175 cm.
HIGHEST_HANDS_MM = niosh.METRIC.height_most * 10.0

# Where a load rests in the arms between two tasks: knuckle height. Source: NIOSH 94-110, best
# vertical location, 75 cm (p. 9).
KNUCKLE_HEIGHT_MM = niosh.METRIC.height_best * 10.0

# How far the hands are in front of the ankles, by the width of the load in that direction.
# Source: NIOSH 94-110, H = 20 + W/2 cm, and 25 + W/2 where the hands start below 25 cm
# (p. 8).
LOW_HANDS_MM = 250.0


class Rest(Enum):
    """On what a load is set down at the end of a task."""

    PLACE = "to its place"
    SEAT = "onto its seat"
    PLATFORM = "onto the platform"  # on bearers, or a sheet on its edge
    BLOCK = "onto a block on the platform"  # or a trestle there
    TRESTLES = "onto trestles"  # under a wall's top plate
    LEDGE = "up a ledge"  # nailed to posts at its ends
    CRIBS = "onto the cribs"  # either side of its middle

    @property
    def is_on_platform(self) -> bool:
        """Whether a platform carries it, on which people stand for the next task."""
        return self in (Rest.PLATFORM, Rest.BLOCK)

    @property
    def is_on_the_way(self) -> bool:
        """Whether it is taken up again from there."""
        return self not in (Rest.PLACE, Rest.SEAT)


class Motion(Enum):
    """How a load moves meanwhile."""

    WHOLE = auto()  # all of it at once, as it lies in the hands
    END = auto()  # one end of it; the other stays where it is
    TIPPED = auto()  # off its stack, until its far edge goes down
    TILTED = auto()  # about its foot
    SLID = auto()  # up along the edge at which it leans
    OVER = auto()  # up the roof, most of it over the eave already
    TAKEN = auto()  # by those above the edge, its middle over that already, and laid down
    ROCKED = auto()  # on one of two cribs, and back onto the other


@dataclass(frozen=True, slots=True)
class HandTask:
    """A moment of a lift.

    Attributes:
        action: What is done, as it is told to whoever does it: "lift the left end".
        force_n: What all who hold there carry or push together, N; at the start, where it falls.
        from_mm: Hands at the start, above the floor that people stand on.
        to_mm: Hands at the end.
        floor_mm: That floor, above ground.
        base_mm: The floor that platforms stand on there, above ground.
        depth_mm: Of the load, from its near side to its far side, as it is held.
        pushed: Pushed away on a level rather than lifted.
        onto: On what it is set down at the end; None where that goes without saying.
        coupling: How well hands hold it.
        shares: Largest share of one person, by the number of people; even where it says nothing.
        at_mm: Where on the load hands hold, when it is in its place, building frame.
        strap_mm: From the hands down to what hangs in a strap; nothing without one.
        left: What is left of the force at the end, as a share.
        motion: How it moves.
    """

    action: str
    force_n: float
    from_mm: float
    to_mm: float
    floor_mm: float
    base_mm: float
    depth_mm: float
    pushed: bool = False
    onto: Rest | None = None
    coupling: niosh.Coupling = niosh.Coupling.FAIR
    shares: tuple[float, ...] = ()
    at_mm: tuple[Vector, ...] = ()
    strap_mm: float = 0.0
    left: float = 1.0
    motion: Motion = Motion.WHOLE

    @property
    def is_on_platform(self) -> bool:
        """Whether people stand on one."""
        return self.floor_mm - self.base_mm > 1.0

    @property
    def mass_kg(self) -> float:
        """What it feels like, kg."""
        return self.force_n / STANDARD_GRAVITY_M_S2

    @property
    def reach_mm(self) -> float:
        """From the ankles to the hands."""
        near_mm = 250.0 if self.from_mm < LOW_HANDS_MM else 200.0
        return near_mm + self.depth_mm / 2


# Rows of hand tasks that come to the same.
Options: TypeAlias = list[list[HandTask]]


@dataclass(frozen=True, slots=True)
class TaskAssessment:
    """A task against the guidelines, for a number of people.

    Attributes:
        task: The task.
        people: How many do it.
        largest_share: Of the force, on the one who has most.
        guideline_kg: The smaller of the guidelines for these people, kg.
        source: Whose it is.
        hand: Every number of the lift; None for a push.
    """

    task: HandTask
    people: int
    largest_share: float
    guideline_kg: float
    source: Guideline
    hand: HandLift | None

    @property
    def guideline_n(self) -> float:
        """The guideline as a force."""
        return self.guideline_kg * STANDARD_GRAVITY_M_S2

    @property
    def grade(self) -> Grade:
        """How the force stands to the guidelines; a push by HSE's bands for lifting."""
        if self.hand is not None:
            return self.hand.grade
        if self.within:
            return Grade.WITHIN
        return Grade.ABOVE if self.used <= MOST_TIMES_HSE else Grade.NOT_BY_HAND

    @property
    def within(self) -> bool:
        """Whether the force is within the guideline."""
        return self.task.mass_kg <= self.guideline_kg

    @property
    def used(self) -> float:
        """The force over the guideline; infinite where the guideline is nothing."""
        return self.task.mass_kg / self.guideline_kg if self.guideline_kg else float("inf")


@lru_cache(maxsize=4096)
def assess_task(
    task: HandTask,
    people: int,
    lifter: hands.Lifter,
    duration: niosh.Duration = niosh.Duration.SHORT,
) -> TaskAssessment:
    """A task against the guidelines.

    Args:
        task: What is done.
        people: How many do it, 1 to MOST_PEOPLE.
        lifter: HSE's column.
        duration: For how long such lifting goes on.

    Returns:
        The smaller of NIOSH's guideline and HSE's, or HSE's for pushing, beside the task.

    Raises:
        LiftError: there are more people than either guideline has figures for.
    """
    share = task.shares[people - 1] if task.shares else 1 / people
    if task.pushed:
        push_kg = hands.push_guideline(lifter).start_n / STANDARD_GRAVITY_M_S2
        team_kg = float(hands.team_factor(people)) * push_kg / share
        return TaskAssessment(task, people, share, team_kg, Guideline.HSE_PUSH, None)
    hand = assess_hand_lift(
        task.mass_kg,
        from_mm=task.from_mm,
        to_mm=task.to_mm,
        reach_mm=task.reach_mm,
        people=people,
        coupling=task.coupling,
        lifter=lifter,
        largest_share=share,
        duration=duration,
        left=task.left,
    )
    return TaskAssessment(task, people, share, hand.guideline_kg, hand.governing, hand)

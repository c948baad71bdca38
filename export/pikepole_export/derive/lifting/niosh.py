"""The Revised NIOSH Lifting Equation: what one person may lift with two hands, RWL.

    RWL = LC x HM x VM x DM x AM x FM x CM        LI = load / RWL

assess(load, task) -> Assessment, with every multiplier at both ends of the lift

Source, unless another is named: Applications Manual for the Revised NIOSH Lifting Equation,
DHHS (NIOSH) Publication No. 94-110, revised 9/2021: formulas p. 7, Tables 1 to 5 pp. 8 to 15,
Table 7 p. 18.

It is made for slow two-handed lifting by a standing person on an even, dry floor, and for nothing
else: not for one hand, kneeling, ladders, wheelbarrows, or a load that shifts.

Numbers here carry no unit suffix: the manual states the equation twice, in centimetres and
kilograms and in inches and pounds, with constants that are not conversions of each other.
`Constants` says which; lengths and masses are in its units throughout.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from enum import Enum
from itertools import pairwise
from math import inf, prod
from types import MappingProxyType

from pikepole_export.derive.lifting.validation import at_least


@dataclass(frozen=True, slots=True)
class Constants:
    """The numbers of the equation in one system of units.

    Attributes:
        length_unit: Unit of every length.
        mass_unit: Unit of every mass.
        load: LC, what may be lifted under ideal conditions.
        reach_least: A smaller H counts as this one, because the body is in the way; HM is its
            ratio to H.
        reach_most: Hands further out hold nothing.
        height_best: V at knuckle height, where lifting is easiest.
        height_slope: What VM loses for each unit of V off it.
        height_most: Hands higher up hold nothing.
        travel_least: A smaller D counts as this one.
        travel_share: DM is 0.82 and this over D.
        travel_most: The longest lift that is rated.
        printed_reach: H for which Table 1 prints another HM than the formula rounds to.
        printed_travel: D for which Table 3 prints another DM.
    """

    length_unit: str
    mass_unit: str
    load: float
    reach_least: float
    reach_most: float
    height_best: float
    height_slope: float
    height_most: float
    travel_least: float
    travel_share: float
    travel_most: float
    printed_reach: Mapping[float, float] = field(default_factory=lambda: MappingProxyType({}))
    printed_travel: Mapping[float, float] = field(default_factory=lambda: MappingProxyType({}))


METRIC = Constants(
    length_unit="cm",
    mass_unit="kg",
    load=23.0,
    reach_least=25.0,
    reach_most=63.0,
    height_best=75.0,
    height_slope=0.003,
    height_most=175.0,
    travel_least=25.0,
    travel_share=4.5,
    travel_most=175.0,
    # 0.82 + 4.5/130 is 0.8546.
    printed_travel=MappingProxyType({130.0: 0.86}),
)
US = Constants(
    length_unit="in",
    mass_unit="lb",
    load=51.0,
    reach_least=10.0,
    reach_most=25.0,
    height_best=30.0,
    height_slope=0.0075,
    height_most=70.0,
    travel_least=10.0,
    travel_share=1.8,
    travel_most=70.0,
    # 10/22 is 0.4545 and 10/23 is 0.4348; the worked examples go by what is printed.
    printed_reach=MappingProxyType({22.0: 0.46, 23.0: 0.44}),
)
MOST_ASYMMETRY_DEG = 135.0


class Rounding(Enum):
    """How multipliers are taken."""

    EXACT = "as the formulas give them"
    MANUAL = "to two decimals, as the tables and worksheets of the manual do"


class Coupling(Enum):
    """How well the hands hold; the value is CM below and from knuckle height, Table 7.

    GOOD: handles or cut-outs of the best design, or a loose part that the fingers wrap round.
    FAIR: poorer handles, or fingers flexed by 90 degrees under it.
    POOR: bulky, sagging, sharp or slippery, or no way to get the fingers under it.
    """

    GOOD = (1.00, 1.00)
    FAIR = (0.95, 1.00)
    POOR = (0.90, 0.90)


class Duration(Enum):
    """For how long such lifting goes on, each with enough rest after it; the value is in hours."""

    SHORT = 1
    MODERATE = 2
    LONG = 8


# Table 5. For each number of lifts per minute, and for each duration, FM with the hands below
# knuckle height and with the hands at it or above.
FREQUENCY: tuple[tuple[float, Mapping[Duration, tuple[float, float]]], ...] = tuple(
    (
        per_minute,
        MappingProxyType(
            {Duration.SHORT: short, Duration.MODERATE: moderate, Duration.LONG: long},
        ),
    )
    for per_minute, short, moderate, long in (
        (0.2, (1.00, 1.00), (0.95, 0.95), (0.85, 0.85)),
        (0.5, (0.97, 0.97), (0.92, 0.92), (0.81, 0.81)),
        (1.0, (0.94, 0.94), (0.88, 0.88), (0.75, 0.75)),
        (2.0, (0.91, 0.91), (0.84, 0.84), (0.65, 0.65)),
        (3.0, (0.88, 0.88), (0.79, 0.79), (0.55, 0.55)),
        (4.0, (0.84, 0.84), (0.72, 0.72), (0.45, 0.45)),
        (5.0, (0.80, 0.80), (0.60, 0.60), (0.35, 0.35)),
        (6.0, (0.75, 0.75), (0.50, 0.50), (0.27, 0.27)),
        (7.0, (0.70, 0.70), (0.42, 0.42), (0.22, 0.22)),
        (8.0, (0.60, 0.60), (0.35, 0.35), (0.18, 0.18)),
        (9.0, (0.52, 0.52), (0.30, 0.30), (0.00, 0.15)),
        (10.0, (0.45, 0.45), (0.26, 0.26), (0.00, 0.13)),
        (11.0, (0.41, 0.41), (0.00, 0.23), (0.00, 0.00)),
        (12.0, (0.37, 0.37), (0.00, 0.21), (0.00, 0.00)),
        (13.0, (0.00, 0.34), (0.00, 0.00), (0.00, 0.00)),
        (14.0, (0.00, 0.31), (0.00, 0.00), (0.00, 0.00)),
        (15.0, (0.00, 0.28), (0.00, 0.00), (0.00, 0.00)),
    )
)


@dataclass(frozen=True, slots=True)
class Grip:
    """Where the hands are at one end of the lift.

    Attributes:
        horizontal: H, from the middle between the ankles to the middle between the hands.
        vertical: V, hands above the floor the person stands on. Below it nothing is rated.
        asymmetry_deg: A, how far the load is to the side of straight ahead, degrees.
    """

    horizontal: float
    vertical: float
    asymmetry_deg: float = 0.0

    def __post_init__(self) -> None:
        at_least("horizontal", self.horizontal, 0.0, "give the reach from the ankles to the hands")
        at_least("vertical", self.vertical, -inf, "give the height of the hands above the floor")
        at_least("asymmetry_deg", self.asymmetry_deg, 0.0, "give the turn to either side, 0 or up")


@dataclass(frozen=True, slots=True)
class Task:
    """One lift, and how often it comes.

    Attributes:
        origin: Where the hands take the load.
        destination: Where they leave it, under control.
        per_minute: Lifts in a minute, averaged over 15 minutes.
        duration: For how long it goes on.
        coupling: How well the hands hold.
        constants: `METRIC` or `US`: the units of all of it.
        rounding: How multipliers are taken.
    """

    origin: Grip
    destination: Grip
    coupling: Coupling
    per_minute: float = FREQUENCY[0][0]
    duration: Duration = Duration.SHORT
    constants: Constants = METRIC
    rounding: Rounding = Rounding.EXACT

    def __post_init__(self) -> None:
        at_least("per_minute", self.per_minute, 0.0, "give how many lifts come in a minute")

    @property
    def travel(self) -> float:
        """D, the difference of the heights of the hands."""
        return abs(self.destination.vertical - self.origin.vertical)


@dataclass(frozen=True, slots=True)
class Limit:
    """The recommended weight limit at one end of a lift, and all that it comes from.

    Attributes:
        load: LC.
        horizontal: HM.
        vertical: VM.
        distance: DM.
        asymmetry: AM.
        frequency: FM.
        coupling: CM.
    """

    load: float
    horizontal: float
    vertical: float
    distance: float
    asymmetry: float
    frequency: float
    coupling: float

    @property
    def multipliers(self) -> tuple[float, ...]:
        """HM, VM, DM, AM, FM, CM, in this order."""
        return (
            self.horizontal,
            self.vertical,
            self.distance,
            self.asymmetry,
            self.frequency,
            self.coupling,
        )

    @property
    def rwl(self) -> float:
        """The recommended weight limit; zero where the equation does not reach."""
        return self.load * prod(self.multipliers)

    def lifting_index(self, load: float) -> float:
        """How many times the limit `load` is; infinite where the limit is zero."""
        return load / self.rwl if self.rwl > 0 else inf


@dataclass(frozen=True, slots=True)
class Assessment:
    """A load against the limits at both ends of its lift.

    Attributes:
        load: What is lifted.
        origin: The limit where it is taken.
        destination: The limit where it is left.
        left: What is left of the load there, as a share: less than 1 of what turns about its foot.
            The manual has none such; each end is asked with the load there.
    """

    load: float
    origin: Limit
    destination: Limit
    left: float = 1.0

    @property
    def rwl(self) -> float:
        """What may be taken at the origin: the lesser of both limits."""
        return min(self.origin.rwl, self.destination.rwl / self.left)

    @property
    def lifting_index(self) -> float:
        """The larger of both indices."""
        at_end = self.destination.lifting_index(self.load * self.left)
        return max(self.origin.lifting_index(self.load), at_end)


def horizontal_multiplier(horizontal: float, constants: Constants) -> float:
    """HM: how far out the hands are, Table 1."""
    if horizontal > constants.reach_most:
        return 0.0
    return constants.reach_least / max(horizontal, constants.reach_least)


def vertical_multiplier(vertical: float, constants: Constants) -> float:
    """VM: how far the hands are from knuckle height, Table 2."""
    if not 0 <= vertical <= constants.height_most:
        return 0.0
    return 1 - constants.height_slope * abs(vertical - constants.height_best)


def distance_multiplier(travel: float, constants: Constants) -> float:
    """DM: how far the load goes up or down, Table 3."""
    if travel > constants.travel_most:
        return 0.0
    return 0.82 + constants.travel_share / max(travel, constants.travel_least)


def asymmetry_multiplier(asymmetry_deg: float) -> float:
    """AM: how far the body turns, Table 4."""
    return 1 - 0.0032 * asymmetry_deg if asymmetry_deg <= MOST_ASYMMETRY_DEG else 0.0


def frequency_multiplier(
    per_minute: float, duration: Duration, vertical: float, constants: Constants
) -> float:
    """FM: how often and for how long, Table 5, in a straight line between its rows.

    The last row with a number is the highest frequency that is rated (section on frequency
    restrictions): what comes oftener has no limit above zero, it does not fade out.

    Args:
        per_minute: Lifts a minute.
        duration: For how long.
        vertical: Height of the hands at the origin, for the limit at the destination too (p. 15).
        constants: Of the system that `vertical` is given in.
    """
    high = vertical >= constants.height_best
    slowest, multipliers = FREQUENCY[0]
    if per_minute <= slowest:
        return multipliers[duration][high]
    column = [(row, multipliers[duration][high]) for row, multipliers in FREQUENCY]
    for (slower, before), (faster, after) in pairwise(column):
        if slower < per_minute <= faster:
            part = (per_minute - slower) / (faster - slower)
            return before + part * (after - before) if after > 0 else 0.0
    return 0.0


def coupling_multiplier(coupling: Coupling, vertical: float, constants: Constants) -> float:
    """CM: how well the hands hold, Table 7.

    Args:
        coupling: How well they do.
        vertical: V, in the constants' unit of length.
        constants: Say where knuckle height is.
    """
    return coupling.value[vertical >= constants.height_best]


def limit(grip: Grip, task: Task) -> Limit:
    """The recommended weight limit with the hands at `grip`, one of the ends of `task`."""
    constants = task.constants
    horizontal = horizontal_multiplier(grip.horizontal, constants)
    distance = distance_multiplier(task.travel, constants)
    if task.rounding is Rounding.MANUAL:
        horizontal = constants.printed_reach.get(grip.horizontal, horizontal)
        distance = constants.printed_travel.get(task.travel, distance)
    multipliers = (
        horizontal,
        vertical_multiplier(grip.vertical, constants),
        distance,
        asymmetry_multiplier(grip.asymmetry_deg),
        frequency_multiplier(task.per_minute, task.duration, task.origin.vertical, constants),
        coupling_multiplier(task.coupling, grip.vertical, constants),
    )
    if task.rounding is Rounding.MANUAL:
        multipliers = tuple(map(two_decimals, multipliers))
    return Limit(constants.load, *multipliers)


def two_decimals(value: float) -> float:
    """A half goes up, as in the printed tables: 0.775 is 0.78. Nine places take off binary dust."""
    exact = Decimal(f"{value:.9f}")
    return float(exact.quantize(Decimal("0.01"), ROUND_HALF_UP))


def assess(load: float, task: Task) -> Assessment:
    """Hold a load against the limits at both ends of its lift.

    Args:
        load: What one person lifts, in the task's unit of mass, 0 or more.
        task: The lift.

    Raises:
        LiftError: The load is negative or no number.
    """
    at_least("load", load, 0.0, f"give its mass in {task.constants.mass_unit}")
    return Assessment(load, limit(task.origin, task), limit(task.destination, task))

"""Wind on a sheet in somebody's hands, and the speed at which handling stops.

broadside_force_n(...) -> N             a sheet held square to the wind
speed_at_force_m_s(...) -> m/s          the gust that a push can just hold
stop_speed(work) -> StopSpeed           the least of the published speeds
sheet_wind(...) -> SheetWind            the lower of both
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from pikepole_export.derive.lifting.validation import at_least, positive
from pikepole_model.units import MPH_M_S

# Velocity pressure q = 0.613 V2 in Pa and m/s, q = 0.00256 V2 in psf and mph: half the density of
# air at 15 C and 1013 hPa. Source: ASCE 7-16, equation 26.10-1.
PRESSURE_PA_PER_M2_S2 = 0.613

# A flat plate square to the flow, up to five times as long as wide.
# Source: F. M. White, Fluid Mechanics, table 7.3 (from memory): 1.18 square, 1.20 at 5 to 1.
FLAT_PLATE_DRAG = 1.2

# A limit of 23 mph mean goes with gusts of 35 mph. Source: NFRC guidance, as quoted.
GUST_OVER_MEAN = 35 / 23


class Work(StrEnum):
    """What is handled in the wind."""

    ROOFING_SHEET = "roofing sheet"
    SHEET = "sheet material"
    WALL = "wall raise"
    CRANE = "crane"


@dataclass(frozen=True, slots=True)
class StopSpeed:
    """A published wind speed at which work stops.

    Attributes:
        speed_m_s: Mean speed, m/s.
        work: What it is taken to hold for here.
        source: Who says so, and of what.
    """

    speed_m_s: float
    work: frozenset[Work]
    source: str


STOP_SPEEDS = (
    StopSpeed(
        23 * MPH_M_S,
        frozenset({Work.ROOFING_SHEET}),
        "23 mph (gusts 35 mph): UK roof work, NFRC guidance as quoted; HSE as quoted: above 23 "
        "mph, force 5, wind affects balance",
    ),
    StopSpeed(
        25 * MPH_M_S,
        frozenset({Work.WALL, Work.CRANE}),
        "25 mph: tall framed walls by crane, a contractor's practice",
    ),
    StopSpeed(
        30 * MPH_M_S,
        frozenset(Work),
        "30 mph: material handling, note to 29 CFR 1910.269(x), high wind: a rule for electric "
        "power work; there is none for sheets on a building site",
    ),
)


@dataclass(frozen=True, slots=True)
class SheetWind:
    """When to put a sheet down.

    Attributes:
        rule: The least published speed for the work.
        gust_m_s: The gust in which the sheet takes the whole push, m/s.
        stop_m_s: Mean wind at which to stop, m/s: the lower of the rule, and the mean wind whose
            gusts are those.
    """

    rule: StopSpeed
    gust_m_s: float
    stop_m_s: float


def pressure_pa(speed_m_s: float) -> float:
    """Velocity pressure of wind, Pa.

    Source: ASCE 7-16, equation 26.10-1, all factors 1.

    Raises:
        LiftError: the speed is below zero or no number.
    """
    at_least("speed_m_s", speed_m_s, 0.0, "give the wind in m/s")
    return PRESSURE_PA_PER_M2_S2 * speed_m_s**2


def broadside_force_n(*, area_mm2: float, speed_m_s: float, drag: float = FLAT_PLATE_DRAG) -> float:
    """Force of wind on a sheet held square to it, N.

    Args:
        area_mm2: Of one face.
        speed_m_s: Of the gust.
        drag: Its drag coefficient; 1.2 for a sheet, 1.0 for the bare velocity pressure.

    Raises:
        LiftError: one of them is below zero, or the sheet or the drag is nothing.
    """
    return pressure_pa(speed_m_s) * drag * _area_m2(area_mm2, drag)


def speed_at_force_m_s(*, force_n: float, area_mm2: float, drag: float = FLAT_PLATE_DRAG) -> float:
    """The wind in which a sheet held square to it takes this force, m/s.

    Args:
        force_n: 0 or more.
        area_mm2: Of one face, above 0.
        drag: Its drag coefficient, above 0.

    Raises:
        LiftError: the force is below zero, or the sheet or the drag is nothing.
    """
    at_least("force_n", force_n, 0.0, "give a push in N")
    return math.sqrt(force_n / (PRESSURE_PA_PER_M2_S2 * drag * _area_m2(area_mm2, drag)))


def stop_speed(work: Work) -> StopSpeed:
    """The least of the published speeds at which this work stops."""
    return min((row for row in STOP_SPEEDS if work in row.work), key=lambda row: row.speed_m_s)


def sheet_wind(
    work: Work, *, area_mm2: float, push_n: float, drag: float = FLAT_PLATE_DRAG
) -> SheetWind:
    """When to put a sheet down: by the rule, or earlier where it is more than can be held.

    Args:
        work: What is done with it.
        area_mm2: Of one face.
        push_n: What those who hold it can push together, N.
        drag: Its drag coefficient.

    Raises:
        LiftError: the push is below zero, or the sheet or the drag is nothing.
    """
    rule = stop_speed(work)
    gust_m_s = speed_at_force_m_s(force_n=push_n, area_mm2=area_mm2, drag=drag)
    return SheetWind(rule, gust_m_s, min(rule.speed_m_s, gust_m_s / GUST_OVER_MEAN))


def _area_m2(area_mm2: float, drag: float) -> float:
    positive(area_mm2=area_mm2, drag=drag)
    return area_mm2 * 1e-6

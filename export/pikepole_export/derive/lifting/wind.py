"""Wind on what is lifted, and the speed at which handling stops.

broadside_force_n(...) -> N             a sheet held square to the wind
speed_at_force_m_s(...) -> m/s          the gust that a push can just hold
edge_drag(...) -> drag                  of a sheet whose edge is to the wind
stop_speed(work) -> StopSpeed           the least of the published speeds
wind_limit(...) -> WindLimit            the lower of both
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

# A long plate square to the flow: a stick, a beam, the studs of a bare frame. Source: Aeronautical
# Engineer's Data Book, figure 5.13.
LONG_PLATE_DRAG = 1.98

# A plate along the flow, turbulent, on the area of one face. Source: the same figure, at a Reynolds
# number of a million.
EDGE_ON_DRAG = 0.005

# A limit of 23 mph mean goes with gusts of 35 mph. Source: NFRC guidance, as quoted.
GUST_OVER_MEAN = 35 / 23


class Work(StrEnum):
    """What is handled in the wind."""

    ROOFING_SHEET = "roofing sheet"
    SHEET = "sheet material"
    STICK = "stick or beam"
    WALL = "wall raise"
    CRANE = "crane or hoist"


class Attitude(StrEnum):
    """How what is lifted meets the wind."""

    EDGE_ON = "edge to the wind"  # a sheet, as it is carried
    FACE_ON = "face to the wind"  # what cannot be turned out of it


@dataclass(frozen=True, slots=True)
class StopSpeed:
    """A published wind speed at which work stops.

    Attributes:
        speed_m_s: Mean speed, m/s.
        work: What it is taken to hold for here.
        source: Who says so, and of what.
        named: The same in few words.
    """

    speed_m_s: float
    work: frozenset[Work]
    source: str
    named: str


STOP_SPEEDS = (
    StopSpeed(
        20 * MPH_M_S,
        frozenset({Work.CRANE}),
        "20 mph: a stop is considered, trade articles on cranes; a maker's manual has the full "
        "chart up to gusts of 30 mph",
        "cranes, trade articles",
    ),
    StopSpeed(
        23 * MPH_M_S,
        frozenset({Work.ROOFING_SHEET, Work.SHEET}),
        "23 mph (gusts 35 mph): UK roof work, handling sheets, NFRC guidance as quoted, here of "
        "wall sheets too; HSE as quoted: above 23 mph, force 5, wind affects balance",
        "UK roof work, NFRC",
    ),
    StopSpeed(
        25 * MPH_M_S,
        frozenset({Work.WALL}),
        "25 mph: tall framed walls by crane, a contractor's practice",
        "tall walls, a contractor's practice",
    ),
    StopSpeed(
        30 * MPH_M_S,
        frozenset(Work),
        "30 mph: material handling, note to 29 CFR 1910.269(x), high wind: a rule for electric "
        "power work; there is none for sheets on a building site",
        "29 CFR 1910.269(x)",
    ),
)


@dataclass(frozen=True, slots=True)
class WindLimit:
    """When to put down what is lifted.

    Attributes:
        rule: The least published speed for the work.
        attitude: How it meets the wind while it is handled.
        area_mm2: Of its face.
        drag: Its drag coefficient as it is handled, on that area.
        gust_m_s: The gust in which it takes the whole push so, m/s.
        face_gust_m_s: The same were it turned face to the wind.
        stop_m_s: Mean wind at which to stop, m/s: the lower of the rule, and the mean wind whose
            gusts it takes the whole push in.
    """

    rule: StopSpeed
    attitude: Attitude
    area_mm2: float
    drag: float
    gust_m_s: float
    face_gust_m_s: float
    stop_m_s: float

    @property
    def face_mean_m_s(self) -> float:
        """The mean wind whose gusts would take it out of their hands, its face to the wind, m/s."""
        return self.face_gust_m_s / GUST_OVER_MEAN

    @property
    def is_by_rule(self) -> bool:
        """Whether the published speed is the lower one."""
        return self.stop_m_s == self.rule.speed_m_s


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


def edge_drag(*, area_mm2: float, edge_mm2: float) -> float:
    """Drag coefficient of a sheet whose edge is to the wind, on the area of its face.

    Both faces together rub as the published figure says, and the edge is a long plate.

    Args:
        area_mm2: Of one face, above 0.
        edge_mm2: Of the edge that meets the wind, its length times the thickness.
    """
    return EDGE_ON_DRAG + LONG_PLATE_DRAG * edge_mm2 / area_mm2


def wind_limit(
    work: Work,
    attitude: Attitude,
    *,
    area_mm2: float,
    push_n: float,
    drag: float,
    face_drag: float,
) -> WindLimit:
    """When to put it down: by the rule, or earlier where it is more than can be held.

    Args:
        work: What is done with it.
        attitude: How it meets the wind meanwhile.
        area_mm2: Of its face.
        push_n: What those who hold it can push together, N.
        drag: Its drag coefficient in that attitude.
        face_drag: The same with its face to the wind.

    Raises:
        LiftError: the push is below zero, or the area or a drag is nothing.
    """
    rule = stop_speed(work)
    gust_m_s, face_gust_m_s = (
        speed_at_force_m_s(force_n=push_n, area_mm2=area_mm2, drag=one) for one in (drag, face_drag)
    )
    stop_m_s = min(rule.speed_m_s, gust_m_s / GUST_OVER_MEAN)
    return WindLimit(rule, attitude, area_mm2, drag, gust_m_s, face_gust_m_s, stop_m_s)


def _area_m2(area_mm2: float, drag: float) -> float:
    positive(area_mm2=area_mm2, drag=drag)
    return area_mm2 * 1e-6

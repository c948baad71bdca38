"""Snow on roofs. All by ASCE 7-16, chapter 7; loads in kN/m2 on the level, lengths in mm.

flat_roof, slope_factor, low_slope_least        the even load
unbalanced_gable, drift, windward_drift         where it lies unevenly

The formulas are printed in psf and feet: what has no whole power of either is turned into these
inside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

from pikepole_model.units import FOOT_MM, POUND_FORCE_N

PSF_KN_M2 = POUND_FORCE_N / 0.3048**2 / 1000
PCF_KN_M3 = POUND_FORCE_N / 0.3048**3 / 1000

Terrain: TypeAlias = Literal["B", "C", "D"]
RoofExposure: TypeAlias = Literal["full", "partial", "sheltered"]

# Ce. Source: ASCE 7-16 Table 7.3-1.
EXPOSURE: dict[Terrain, dict[RoofExposure, float]] = {
    "B": {"full": 0.9, "partial": 1.0, "sheltered": 1.2},
    "C": {"full": 0.9, "partial": 1.0, "sheltered": 1.1},
    "D": {"full": 0.8, "partial": 0.9, "sheltered": 1.0},
}
# Ct. Source: ASCE 7-16 Table 7.3-2.
HEATED, UNHEATED = 1.0, 1.2

# From so many degrees a roof sheds, by Ct up to 1.0, 1.1 and 1.2, and bare at 70. Source: ASCE 7-16
# Figure 7.4-1.
_SHEDS_FROM = {True: (5.0, 10.0, 15.0), False: (30.0, 37.5, 45.0)}
_BARE_DEG = 70.0
# Source: ASCE 7-16 7.3.4, 7.6.1.
LOW_SLOPE_DEG = 15.0
_UNBALANCED_DEG = (2.38, 30.2)
_NARROW_MM = 20 * FOOT_MM


def flat_roof(ground: float, *, exposure: float, thermal: float, importance: float) -> float:
    """Even load pf = 0.7 Ce Ct Is pg. Source: ASCE 7-16 equation 7.3-1."""
    return 0.7 * exposure * thermal * importance * ground


def slope_factor(slope_deg: float, *, thermal: float, slippery: bool) -> float:
    """Cs. Source: ASCE 7-16 Figure 7.4-1.

    Args:
        slope_deg: From the level.
        thermal: Ct.
        slippery: Whether nothing holds snow on it: metal, with room for it below the eave.
    """
    warm, cold, coldest = _SHEDS_FROM[slippery]
    start = warm if thermal <= 1.0 else cold if thermal <= 1.1 else coldest
    return min(1.0, max(0.0, (_BARE_DEG - slope_deg) / (_BARE_DEG - start)))


def low_slope_least(ground: float, *, importance: float) -> float:
    """Least load pm = Is min(pg, 20 psf), for slopes under 15 degrees. Source: ASCE 7-16 7.3.4."""
    return importance * min(ground, 20 * PSF_KN_M2)


def density(ground: float) -> float:
    """Of snow, kN/m3: 0.13 pg + 14 pcf, 30 at most. Source: ASCE 7-16 equation 7.7-1."""
    return min(0.13 * ground / PSF_KN_M2 + 14, 30) * PCF_KN_M3


def drift_height(ground: float, fetch_mm: float) -> float:
    """hd, mm: 0.43 lu^(1/3) (pg + 10)^(1/4) - 1.5 ft. Source: ASCE 7-16 Figure 7.6-1.

    Args:
        ground: pg.
        fetch_mm: Length of roof that the snow is blown off.
    """
    if ground <= 0 or fetch_mm <= 0:
        return 0.0
    feet = 0.43 * (fetch_mm / FOOT_MM) ** (1 / 3) * (ground / PSF_KN_M2 + 10) ** 0.25 - 1.5
    return max(0.0, feet) * FOOT_MM


@dataclass(frozen=True, slots=True)
class Drift:
    """A wedge of snow against a wall, on top of the even load.

    Attributes:
        peak: Its load at the wall, kN/m2.
        width_mm: Out from there, where it ends.
        height_mm: At the wall.
    """

    peak: float
    width_mm: float
    height_mm: float


def step_drift(
    ground: float, even: float, *, upper_mm: float, lower_mm: float, step_mm: float
) -> Drift | None:
    """What drifts onto a lower roof beside a wall: the larger of what either wind brings.

    Source: ASCE 7-16 7.7.1.

    Args:
        ground: pg.
        even: Even load on the lower roof.
        upper_mm: Length of the upper roof, that the wall shelters from.
        lower_mm: Length of the lower one, square to the wall.
        step_mm: From the lower roof up to the upper one.
    """
    heavy = density(ground)
    clear_mm = step_mm - even / heavy * 1000
    if even <= 0 or clear_mm / (even / heavy * 1000) < 0.2:
        return None
    high_mm = max(drift_height(ground, upper_mm), 0.75 * drift_height(ground, lower_mm))
    if high_mm <= clear_mm:
        width_mm = 4 * high_mm
    else:
        width_mm = min(4 * high_mm**2 / clear_mm, 8 * clear_mm)
        high_mm = clear_mm
    return Drift(heavy * high_mm / 1000, width_mm, high_mm) if high_mm > 0 else None


@dataclass(frozen=True, slots=True)
class Unbalanced:
    """Snow on a gable that the wind has blown over its ridge.

    Attributes:
        windward: On the side it was blown off, kN/m2.
        leeward: All over the other side.
        surcharge: And as much more from the ridge down,
        width_mm: so far, on the level.
    """

    windward: float
    leeward: float
    surcharge: float
    width_mm: float


def unbalanced_gable(
    ground: float, sloped: float, *, importance: float, slope_deg: float, run_mm: float
) -> Unbalanced | None:
    """None where the slope is too low or too steep for it. Source: ASCE 7-16 7.6.1.

    Args:
        ground: pg.
        sloped: ps, the even load.
        importance: Is.
        slope_deg: Of the leeward side.
        run_mm: W, from eave to ridge on the level.
    """
    low, high = _UNBALANCED_DEG
    if ground <= 0 or not low <= slope_deg <= high:
        return None
    if run_mm <= _NARROW_MM:
        return Unbalanced(0.0, importance * ground, 0.0, 0.0)
    high_mm = drift_height(ground, run_mm)
    run_per_rise = 1 / math.tan(math.radians(slope_deg))
    return Unbalanced(
        0.3 * sloped,
        sloped,
        high_mm / 1000 * density(ground) / math.sqrt(run_per_rise),
        8 * high_mm * math.sqrt(run_per_rise) / 3,
    )

"""Wind on enclosed walls and roofs and on free roofs. All by ASCE 7-16; pressures in kN/m2.

velocity_pressure(...)          qh
wall_pressure, roof_suction     on parts of an enclosed building: components and cladding
free_roof(...)                  net, on the roof of an open bay: main wind force resisting system

Pressures are those of the strength level: combinations take 0.6 of them.
"""

from __future__ import annotations

import math

import numpy as np

from pikepole_export.derive.strength.snow import PSF_KN_M2, Terrain
from pikepole_model.units import FOOT_MM, MPH_M_S

# alpha and zg, ft. Source: ASCE 7-16 Table 26.11-1.
_TERRAINS: dict[Terrain, tuple[float, float]] = {
    "B": (7.0, 1200.0),
    "C": (9.5, 900.0),
    "D": (11.5, 700.0),
}
# Source: ASCE 7-16 Table 26.6-1, 26.11, Table 26.13-1 (enclosed), 30.2.2 (least, psf).
DIRECTIONALITY, GUST, ENCLOSED, LEAST_PSF = 0.85, 0.85, 0.18, 16.0
LEAST = LEAST_PSF * PSF_KN_M2
# Chapter 30 takes no less in terrain B below 30 ft. Source: ASCE 7-16 Table 26.10-1 note (from
# memory).
_LEAST_EXPOSURE_B = 0.70


def exposure_factor(terrain: Terrain, height_mm: float) -> float:
    """Kz = 2.01 (z / zg)^(2 / alpha), z 15 ft at least. Source: ASCE 7-16 Table 26.10-1."""
    alpha, gradient = _TERRAINS[terrain]
    return 2.01 * (max(height_mm / FOOT_MM, 15.0) / gradient) ** (2 / alpha)


def velocity_pressure(
    speed_m_s: float,
    exposure: float,
    *,
    elevation: float = 1.0,
    directionality: float = DIRECTIONALITY,
) -> float:
    """The wind's q = 0.00256 Kz Kzt Kd Ke V^2, psf by mph, as kN/m2, on flat ground.

    Source: ASCE 7-16 equation 26.10-1.

    Args:
        speed_m_s: V, gust of 3 s in 10 m.
        exposure: Kz.
        elevation: Ke.
        directionality: Kd.
    """
    pressure_psf = 0.00256 * exposure * directionality * elevation * (speed_m_s / MPH_M_S) ** 2
    return pressure_psf * PSF_KN_M2


def part_exposure(terrain: Terrain, height_mm: float) -> float:
    """Kh for components and cladding."""
    factor = exposure_factor(terrain, height_mm)
    return max(factor, _LEAST_EXPOSURE_B) if terrain == "B" else factor


def wall_coefficients(area_mm2: float, *, edge: bool) -> tuple[float, float]:
    """GCp onto a wall's part, and off it.

    From 10 to 500 ft2 by the logarithm of the area: +1.0 to +0.7, -1.1 to -0.8, near a corner -1.4
    to -0.8. Source: ASCE 7-16 Figure 30.3-1.

    Args:
        area_mm2: Effective wind area.
        edge: Whether it is near a corner (zone 5).
    """
    share = _log_share(area_mm2, 10.0, 500.0)
    return 1.0 - 0.3 * share, -1.4 + 0.6 * share if edge else -1.1 + 0.3 * share


def wall_pressure(q: float, area_mm2: float, *, edge: bool) -> tuple[float, float]:
    """On a wall's part: inwards, and outwards as a negative number; GCpi 0.18, 16 psf at least.

    Args:
        q: qh.
        area_mm2: Effective wind area.
        edge: Whether it is near a corner (zone 5).
    """
    onto, off = wall_coefficients(area_mm2, edge=edge)
    return max(q * (onto + ENCLOSED), LEAST), min(q * (off - ENCLOSED), -LEAST)


def _log_share(area_mm2: float, low_ft2: float, high_ft2: float) -> float:
    """0 at the smaller area and under, 1 at the larger and over, by logarithm between."""
    feet2 = max(area_mm2 / FOOT_MM**2, 1e-9)
    return min(1.0, max(0.0, math.log(feet2 / low_ft2) / math.log(high_ft2 / low_ft2)))


# GCp for 10 ft2 by slope up to so many degrees: onto, off in the field, off along edges. What
# covers more area has less, which is not counted. Source: ASCE 7-16 Figures 30.3-2A to D (gables;
# to 7 degrees off along edges from memory), 30.3-5A and B (monoslopes, from memory).
_GABLE = ((7.0, 0.3, -1.7, -2.3), (20.0, 0.7, -2.0, -3.0), (27.0, 0.7, -2.0, -2.5))
_STEEP_GABLE = (0.9, -1.8, -2.0)
_MONOSLOPE = ((3.0, 0.3, -1.7, -2.3), (10.0, 0.3, -1.1, -1.6), (30.0, 0.4, -1.3, -1.6))


def roof_coefficients(slope_deg: float, *, gable: bool, edge: bool) -> tuple[float, float]:
    """GCp onto a part of an enclosed roof, and off it.

    Args:
        slope_deg: From the level.
        gable: Or a monoslope; one over 30 degrees is taken as a gable.
        edge: Whether it is along an eave, a rake or a ridge; corners (zone 3) are not told apart.
    """
    rows = _GABLE if gable else _MONOSLOPE
    onto, field, along = next((row[1:] for row in rows if slope_deg <= row[0]), _STEEP_GABLE)
    return onto, along if edge else field


def roof_pressure(q: float, slope_deg: float, *, gable: bool, edge: bool) -> tuple[float, float]:
    """On a part of an enclosed roof: onto it, and off it as a negative number, 16 psf at least.

    Args:
        q: qh.
        slope_deg: From the level.
        gable: As roof_coefficients has it.
        edge: As it has that.
    """
    onto, off = roof_coefficients(slope_deg, gable=gable, edge=edge)
    return max(q * (onto + ENCLOSED), LEAST), min(q * (off - ENCLOSED), -LEAST)


def overhang_lift(q: float) -> float:
    """Up under a roof that hangs out past a wall, a negative number: as on that wall.

    Beside what it has off the roof's upper side. Source: ASCE 7-16 30.9, Figure 30.10-1 (from
    memory).
    """
    onto, _ = wall_coefficients(0.0, edge=True)
    return -q * onto


# Cp of the windward and the leeward wall. Source: ASCE 7-16 Figure 27.3-1, L/B up to 1.
WALLS_CP = 0.8 + 0.5
WINDWARD_SHARE = 0.8 / WALLS_CP
# Cp of a roof along the wind's way, by height over length of the building, next to its edge; taken
# all over. Source: the same, wind parallel to the ridge and any slope under 10 degrees; no steeper
# one has more.
_ROOF_CP = ((0.5, 1.0), (-0.9, -1.3))


def wall_push(q: float) -> float:
    """On the walls of an enclosed building, both together, 16 psf at least. Source: 27.3.1, 27.1.5.

    Args:
        q: qh, for the main wind force resisting system.
    """
    return max(q * GUST * WALLS_CP, LEAST)


def roof_lift(q: float, height_per_length: float) -> float:
    """Off all of an enclosed building's roof, a negative number. Source: 27.3.1, GCpi 0.18."""
    return q * (GUST * roof_lift_cp(height_per_length) - ENCLOSED)


def roof_lift_cp(height_per_length: float) -> float:
    """Cp of that."""
    return float(np.interp(height_per_length, *_ROOF_CP))


# CN, clear wind flow, windward and leeward half, cases A and B, by angle. Source: ASCE 7-16 Figure
# 27.3-4 (monoslope, wind onto the low edge and onto the high edge), 27.3-5 (pitched).
_ANGLES = (7.5, 15.0, 30.0)
_ONTO_LOW = (
    ((-0.6, -1.0), (-1.4, 0.0)),
    ((-0.9, -1.3), (-1.9, 0.0)),
    ((-1.8, -1.8), (-2.5, -0.5)),
)
_ONTO_HIGH = (((0.9, 1.5), (1.6, 0.3)), ((1.3, 1.6), (1.8, 0.6)), ((2.1, 2.1), (2.6, 1.0)))
_LEVEL = ((1.2, 0.3), (-1.1, -0.1))
_PITCHED_ANGLES = (7.5, 22.5, 30.0)
_PITCHED = (
    ((1.1, -0.3), (0.2, -1.2)),
    ((1.1, 0.1), (-0.1, -0.8)),
    ((1.3, 0.3), (-0.1, -0.9)),
)
_ALONG = ((-0.8, -0.6), (0.8, 0.5))  # Figure 27.3-7, to 2 h from the edge


def free_cases(slope_deg: float, *, pitched: bool) -> list[tuple[float, float]]:
    """CN of both halves, every case; between two angles by a straight line.

    Args:
        slope_deg: From the level; over 30 degrees as 30.
        pitched: Two slopes, or a monoslope.
    """
    if pitched:
        tables, angles = (_PITCHED,), _PITCHED_ANGLES
    elif slope_deg < _ANGLES[0]:
        return [*_LEVEL, *_ALONG]
    else:
        tables, angles = (_ONTO_LOW, _ONTO_HIGH), _ANGLES
    found = [
        (
            float(np.interp(slope_deg, angles, [row[case][0] for row in table])),
            float(np.interp(slope_deg, angles, [row[case][1] for row in table])),
        )
        for table in tables
        for case in (0, 1)
    ]
    return [*found, *_ALONG]


def free_roof(q: float, slope_deg: float, *, pitched: bool) -> list[tuple[float, float]]:
    """Net pressures p = q G CN on both halves of an open bay's roof under clear wind flow.

    Every case, kN/m2, what draws below zero. Source: ASCE 7-16 27.3.2.
    """
    return [
        (q * GUST * first, q * GUST * second)
        for first, second in free_cases(slope_deg, pitched=pitched)
    ]

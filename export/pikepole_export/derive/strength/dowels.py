"""What nails, screws and bolts hold: across them by the yield of wood and steel, and drawn out.

yield_modes(dowel, side=, main=)    single shear, every mode; the least counts
withdrawal_n_mm(gravity, ...)       of a nail, for each mm in the wood

Source: NDS 2018 chapter 12; all for ten years of load (CD 1) and dry wood.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pikepole_model.units import INCH_MM, POUND_FORCE_N, PSI_N_MM2

# Toe-nails. Source: NDS 12.5.4; started a third of their length from the end, at 30 degrees to it
# (12.1.6.2, from memory; with that the cells of AWC Design Aid No. 2 come out).
TOE_LATERAL, TOE_WITHDRAWAL = 0.83, 0.67
_TOE_RAD = math.radians(30)
# From this diameter on dowels are reckoned as bolts, mm.
_THICK_MM = INCH_MM / 4
# Fyb of nails up to so thick, in, psi. Source: NDS Table I1; bolts as in its note.
_YIELDS = ((0.142, 100e3), (0.177, 90e3), (0.236, 80e3), (0.273, 70e3))
_BOLT_YIELDS = 45e3
# Concrete as it bears a bolt, of 2,500 psi and more. Source: NDS 2018 Table 12E, heading (from
# memory; its cells come out with it).
_CONCRETE_N_MM2 = 7500 * PSI_N_MM2
# Dowels in wood that is wet in use, pushed aside; nails in wood that dries after it is nailed hold
# a quarter against being drawn out; no factor for toe-nails drawn out. Source: NDS Table 11.3.3.
WET, DRIES = 0.7, 0.25


@dataclass(frozen=True, slots=True)
class Dowel:
    """A nail, screw or bolt.

    Attributes:
        diameter_mm: D.
        yields_n_mm2: Fyb.
    """

    diameter_mm: float
    yields_n_mm2: float


@dataclass(frozen=True, slots=True)
class Bed:
    """What a dowel bears in.

    Attributes:
        bears_n_mm2: Fe.
        thick_mm: How much of the dowel is in it.
        angle_deg: Of load to grain.
    """

    bears_n_mm2: float
    thick_mm: float
    angle_deg: float = 0.0


def nail(diameter_mm: float) -> Dowel:
    """A common nail. Source: NDS Table I1."""
    inches = diameter_mm / INCH_MM
    yields = next((psi for most, psi in _YIELDS if inches <= most), _BOLT_YIELDS)
    return Dowel(diameter_mm, yields * PSI_N_MM2)


def bolt(diameter_mm: float) -> Dowel:
    """A bolt or lag screw of 3/8 in and thicker. Source: NDS Table I1."""
    return Dowel(diameter_mm, _BOLT_YIELDS * PSI_N_MM2)


def wood(gravity: float, dowel: Dowel, *, thick_mm: float, across: bool = False) -> Bed:
    """Wood as it bears a dowel.

    Fe = 16600 G^1.84 for thin ones whatever the grain; for thick ones 11200 G along it and
    6100 G^1.45 / sqrt(D) across. Source: NDS Table 12.3.3 note.

    Args:
        gravity: G, oven-dry.
        dowel: In it.
        thick_mm: How much of the dowel is in it.
        across: Whether it is pressed across the grain.
    """
    if dowel.diameter_mm < _THICK_MM:
        bears = 16600 * gravity**1.84
    elif across:
        bears = 6100 * gravity**1.45 / math.sqrt(dowel.diameter_mm / INCH_MM)
    else:
        bears = 11200 * gravity
    return Bed(bears * PSI_N_MM2, thick_mm, 90.0 if across else 0.0)


def concrete(embedded_mm: float) -> Bed:
    """Concrete as it bears a bolt that is cast or drilled in so deep."""
    return Bed(_CONCRETE_N_MM2, embedded_mm)


def least(dowel: Dowel, *, side: Bed, main: Bed) -> tuple[float, str]:
    """Z, N, and the mode of yield that it is of."""
    modes = yield_modes(dowel, side=side, main=main)
    mode = min(modes, key=modes.__getitem__)
    return modes[mode], mode


def yield_modes(dowel: Dowel, *, side: Bed, main: Bed) -> dict[str, float]:
    """What a dowel carries in single shear before each mode of yield, N; the least is Z.

    Source: NDS Table 12.3.1A, Rd by Table 12.3.1B.

    Args:
        dowel: Of what.
        side: The piece at its head.
        main: The piece at its point.
    """
    d, f, ls, lm = dowel.diameter_mm, dowel.yields_n_mm2, side.thick_mm, main.thick_mm
    re, rt = main.bears_n_mm2 / side.bears_n_mm2, lm / ls
    fm, fs = main.bears_n_mm2, side.bears_n_mm2
    k1 = math.sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3) - re * (1 + rt)
    k1 /= 1 + re
    k2 = -1 + math.sqrt(2 * (1 + re) + 2 * f * (1 + 2 * re) * d**2 / (3 * fm * lm**2))
    k3 = -1 + math.sqrt(2 * (1 + re) / re + 2 * f * (2 + re) * d**2 / (3 * fm * ls**2))
    crushed, turned, bent = _reductions(dowel, max(side.angle_deg, main.angle_deg))
    return {
        "Im": d * lm * fm / crushed,
        "Is": d * ls * fs / crushed,
        "II": k1 * d * ls * fs / turned,
        "IIIm": k2 * d * lm * fm / ((1 + 2 * re) * bent),
        "IIIs": k3 * d * ls * fm / ((2 + re) * bent),
        "IV": d**2 / bent * math.sqrt(2 * fm * f / (3 * (1 + re))),
    }


def reduction(dowel: Dowel, mode: str, *, side: Bed, main: Bed) -> float:
    """Rd of a mode of yield. Source: NDS Table 12.3.1B."""
    crushed, turned, bent = _reductions(dowel, max(side.angle_deg, main.angle_deg))
    return {"Im": crushed, "Is": crushed, "II": turned}.get(mode, bent)


def _reductions(dowel: Dowel, angle_deg: float) -> tuple[float, float, float]:
    """Rd for modes I, II, and III and IV."""
    inches = dowel.diameter_mm / INCH_MM
    if dowel.diameter_mm < _THICK_MM:
        kd = 2.2 if inches <= 0.17 else 10 * inches + 0.5
        return kd, kd, kd
    kt = 1 + 0.25 * angle_deg / 90
    return 4 * kt, 3.6 * kt, 3.2 * kt


def penetration_factor(depth_mm: float, diameter_mm: float) -> float:
    """Of Z of a table: p / 10 D, none under 6 D. Source: NDS 12.1.6.5, Table 12N note."""
    share = depth_mm / (10 * diameter_mm)
    return 0.0 if share < 0.6 - 1e-9 else min(1.0, share)


def withdrawal_n_mm(gravity: float, diameter_mm: float) -> float:
    """W = 1380 G^2.5 D, lb/in with D in inches, as N for each mm of a nail in side grain.

    Source: NDS 12.2.3.
    """
    return 1380 * gravity**2.5 * diameter_mm / INCH_MM * POUND_FORCE_N / INCH_MM


def toe_depth_mm(length_mm: float) -> float:
    """How deep a toe-nail goes into what it is driven to, along it."""
    return length_mm - length_mm / 3 / math.cos(_TOE_RAD)


def toe_beds_mm(length_mm: float) -> tuple[float, float]:
    """How much of a toe-nail bears in the piece at its head and in the other, ls and lm."""
    return length_mm / 3, length_mm * math.cos(_TOE_RAD) - length_mm / 3


def toe_nail_drawn_n(gravity: float, length_mm: float, diameter_mm: float) -> float:
    """What a toe-nail holds against being drawn out, CD 1, N."""
    return TOE_WITHDRAWAL * toe_depth_mm(length_mm) * withdrawal_n_mm(gravity, diameter_mm)

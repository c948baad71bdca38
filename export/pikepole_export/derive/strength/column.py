"""What stands: compression with buckling about both axes, and bending beside it.

slenderness(section, ...)      le / d, the greater of both axes
interaction(...)               compression and bending together
least_modulus(...)             Emin', as a sheet has it
"""

from __future__ import annotations

import math

from pikepole_export.derive.strength import nds
from pikepole_export.derive.strength.check import Measured, Number
from pikepole_export.derive.strength.nds import Duration, Lumber
from pikepole_export.derive.strength.section import Section


def slenderness(section: Section, *, unbraced_mm: tuple[float, float], ends: float = 1.0) -> float:
    """The greater le / d. Source: NDS 3.7.1.2 and 3.7.1.3.

    Plies are taken to buckle each by itself about the axis between them: nailed together they have
    more (NDS 15.3), which is not counted.

    Args:
        section: As it is bent: its depth is the side in the plane of bending.
        unbraced_mm: How far apart it is held in the plane of its depth and in that of its breadth,
            mm; 0 where all along.
        ends: Ke; 1 for ends that are held in place and may turn.
    """
    deep, broad = unbraced_mm
    return max(ends * deep / section.depth_mm, ends * broad / section.breadth_mm)


def least_modulus(lumber: Lumber, duration: Duration) -> Number:
    """What CP, CL and FcE come from beside slenderness."""
    return Number("Emin'", nds.least_modulus(lumber, duration).value_n_mm2, Measured.STRESS)


def interaction(
    *,
    pressed_n_mm2: float,
    may_be_pressed_n_mm2: float,
    bent_n_mm2: float,
    may_be_bent_n_mm2: float,
    critical_n_mm2: float,
) -> float:
    """Compression and bending about the strong axis together, as a share of what is allowed.

    (fc / Fc')^2 + fb / (Fb' (1 - fc / FcE)). Source: NDS 3.9.2, equation 3.9-3.

    Args:
        pressed_n_mm2: fc.
        may_be_pressed_n_mm2: Fc', by the greater slenderness.
        bent_n_mm2: fb.
        may_be_bent_n_mm2: Fb'.
        critical_n_mm2: FcE in the plane of bending.

    Returns:
        1 at the limit; infinite where it would buckle as it is bent.
    """
    left = 1 - pressed_n_mm2 / critical_n_mm2
    if left <= 0:
        return math.inf
    return (pressed_n_mm2 / may_be_pressed_n_mm2) ** 2 + bent_n_mm2 / (may_be_bent_n_mm2 * left)

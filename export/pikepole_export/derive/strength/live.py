"""Live load on roofs."""

from __future__ import annotations

import math

from pikepole_export.derive.strength.snow import PSF_KN_M2
from pikepole_model.units import FOOT_MM


def roof_live(slope_deg: float, tributary_mm2: float) -> float:
    """Lr = 20 R1 R2 psf, 12 at least, kN/m2 on the level. Source: ASCE 7-16 4.8.2.

    Args:
        slope_deg: From the level.
        tributary_mm2: What of the roof the member carries, on the level.
    """
    feet2 = tributary_mm2 / FOOT_MM**2
    rise = 12 * math.tan(math.radians(slope_deg))
    by_area = min(1.0, max(0.6, 1.2 - 0.001 * feet2))
    by_slope = min(1.0, max(0.6, 1.2 - 0.05 * rise))
    return max(12.0, 20 * by_area * by_slope) * PSF_KN_M2

"""What can be built but should not be: limits of the materials that no overlap would show."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.errors import Finding
from pikepole_model.levels import Levels
from pikepole_model.part import Building
from pikepole_model.roof_plan import RoofPlan

# Least rise in 12 of metal panels whose seams are lapped and not soldered, without sealant in the
# laps and with it. Source: IBC 1507.4.2, IRC R905.10.2.
LEAST_RISE = {False: 3.0, True: 0.5}


def practice_findings(building: Building) -> tuple[Finding, ...]:
    """All that goes against common practice or a material's limits."""
    return tuple(_panels_too_low(building))


def _panels_too_low(building: Building) -> Iterator[Finding]:
    """Slopes that fall less than their panels' seams allow."""
    scene = building.scene
    if not scene.roofing or not scene.roofing.panel:
        return
    sealed = scene.roofing.sealed
    least = LEAST_RISE[sealed]
    for slope in RoofPlan(Levels(scene)).all_slopes:
        rise = 12 * math.tan(slope.slope_rad)
        if rise < least - 1e-6:
            laps = "with sealed laps" if sealed else "whose laps are not sealed"
            text = (
                f"the {slope.name} falls {rise:.2g} in 12, and panels {laps} need {least:g} in 12 "
                "(IBC 1507.4.2)"
            )
            yield Finding("other", text, ())

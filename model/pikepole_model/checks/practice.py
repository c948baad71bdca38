"""What can be built but should not be: limits of the materials that no overlap would show."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_model.building.kinds import CLADDING
from pikepole_model.building.part import Building, PanelRecord
from pikepole_model.errors import Finding
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.units import format_length

# Least rise in 12 of metal panels whose seams are lapped and not soldered, without sealant in the
# laps and with it. Source: IBC 1507.4.2, IRC R905.10.2.
LEAST_RISE = {False: 3.0, True: 0.5}


# Least height of wood cladding over the ground: 6 in. Source: IRC R317.1, item 5.
LEAST_OVER_GROUND_MM = 152.4


def practice_findings(building: Building) -> tuple[Finding, ...]:
    """All that goes against common practice or a material's limits."""
    return (
        *_panels_too_low(building),
        *_cladding_too_low(building),
        *_bright_in_treated(building),
    )


def _panels_too_low(building: Building) -> Iterator[Finding]:
    """Slopes that fall less than their panels' seams allow."""
    roofing = building.scene.roofing
    sealed = roofing is not None and roofing.sealed
    least = LEAST_RISE[sealed]
    records = (part.record for part in building.parts)
    slopes = {one.slope: one.slope_rad for one in records if isinstance(one, PanelRecord)}
    for name, slope_rad in slopes.items():
        rise = 12 * math.tan(slope_rad)
        if rise < least - 1e-6:
            laps = "with sealed laps" if sealed else "whose laps are not sealed"
            text = (
                f"the {name} falls {rise:.3g} in 12, and panels {laps} need {least:g} in 12 "
                "(IBC 1507.4.2)"
            )
            yield Finding("other", text, ())


def _cladding_too_low(building: Building) -> Iterator[Finding]:
    """Cladding that rain splashes on from the ground."""
    low = {
        part.name: float(part.vertices_mm[:, 2].min())
        for part in building.parts
        if part.kind in CLADDING
    }
    splashed = [name for name, z in low.items() if z < LEAST_OVER_GROUND_MM - TOLERANCE_MM]
    if splashed:
        units = building.scene.units
        lowest = format_length(min(low.values()), units)
        least = format_length(LEAST_OVER_GROUND_MM, units)
        more = f" and {len(splashed) - 1} more" if len(splashed) > 1 else ""
        text = (
            f"{splashed[0]}{more}: cladding {lowest} over finished ground, and wood cladding "
            f"needs {least} (IRC R317.1)"
        )
        yield Finding("other", text, tuple(splashed))


def _bright_in_treated(building: Building) -> Iterator[Finding]:
    """Fasteners without a coating, asked for where the preservative eats them.

    Source: IRC R317.3.1, IBC 2304.9.5.1: hot-dip galvanised to ASTM A153, stainless, silicon
        bronze or copper; connectors galvanised to ASTM A653 G185 where their maker says nothing.
    """
    if building.scene.fasteners.finish != "bright":
        return
    treated = [part.name for part in building.parts if part.material.treated]
    if treated:
        more = f" and {len(treated) - 1} more" if len(treated) > 1 else ""
        text = (
            f'[fasteners] finish = "bright" and treated timber, {treated[0]}{more}, which needs '
            "fasteners hot-dip galvanised (ASTM A153; connectors ASTM A653 G185) or stainless (IRC "
            'R317.3): set finish = "hot-dip galvanised" or "stainless"'
        )
        yield Finding("other", text, tuple(treated))

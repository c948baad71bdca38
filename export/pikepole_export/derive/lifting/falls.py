"""What keeps people from falling where they stand high at a lift.

fall_protection(lift, units) -> FallProtection | None
seats_mm(lift, units) -> mm | None              what those stand on who set what a machine lifts
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from pikepole_export.derive.lifting.items import Handling
from pikepole_export.derive.lifting.lift import Lift
from pikepole_export.derive.lifting.rests import PLATFORM_STEPS_MM
from pikepole_model.units import FOOT_MM, INCH_MM, Units

# Unprotected sides and edges, in construction: from 6 ft. Source: 29 CFR 1926.501(b)(1).
FALL_MM = 6 * FOOT_MM
# On a scaffold, which a platform at hand need not be: above 10 ft. Source: 29 CFR 1926.451(g)(1).
SCAFFOLD_FALL_MM = 10 * FOOT_MM

# A guard rail's top, 42 in give or take 3; its middle rail half-way. Source: 29 CFR 1926.502(b).
RAIL_MM = 42 * INCH_MM
RAIL_GIVE_MM = 3 * INCH_MM

# Who sets or fixes a piece stands so far below it: common practice, no source.
BELOW_MM = 1050.0


class FallGuard(StrEnum):
    """What holds them."""

    RAILS = "guard rails"  # round the platform that they stand on
    HARNESS = "harness and anchor"  # at an edge: of a roof, of a floor


@dataclass(frozen=True, slots=True)
class FallProtection:
    """What is needed where people stand high.

    Attributes:
        guard: Which.
        stands_mm: How high they stand above the ground.
        source: Which rule asks for it.
    """

    guard: FallGuard
    stands_mm: float
    source: str


def fall_protection(lift: Lift, units: Units) -> FallProtection | None:
    """What a lift needs against falls; None where nobody stands 6 ft up or more.

    On a platform rails are asked for from 6 ft here, where the rule for scaffolds asks from 10.
    """
    item = lift.item
    if item.handling == Handling.ROOF_SHEET:
        return _found(FallGuard.HARNESS, item.whole.low_mm)
    if lift.machine is None:
        stands_mm = lift.chosen.floor_mm
        on_platform = any(
            one.task.floor_mm > one.task.base_mm + 1.0 and one.task.floor_mm == stands_mm
            for one in lift.chosen.assessments
        )
        found = _found(FallGuard.RAILS if on_platform else FallGuard.HARNESS, stands_mm)
        if found is not None:
            return found
    if item.handling.stands_up:
        return None
    seats = seats_mm(lift, units)
    stands_mm = item.whole.low_mm - BELOW_MM if seats is None else item.floor_mm + seats
    return _found(FallGuard.RAILS, stands_mm)


def seats_mm(lift: Lift, units: Units) -> float | None:
    """How high over the floor they stand who set what a machine lifts; None where they reach it.

    A height that scaffolds have, no higher than they need. Who sets sheets on a roof is on it.
    """
    item = lift.item
    if lift.machine is None or item.handling.stands_up or item.handling == Handling.ROOF_SHEET:
        return None
    over_mm = item.whole.low_mm - BELOW_MM - item.floor_mm
    step_mm = PLATFORM_STEPS_MM[units]
    seats = step_mm * math.floor(over_mm / step_mm + 1e-6)
    return seats if seats >= step_mm else None


def _found(guard: FallGuard, stands_mm: float) -> FallProtection | None:
    # At a limit or over it, a float's last digits aside.
    if stands_mm < FALL_MM - 0.5:
        return None
    is_scaffold = guard is FallGuard.RAILS and stands_mm > SCAFFOLD_FALL_MM
    return FallProtection(
        guard, stands_mm, f"29 CFR 1926.{'451(g)(1)' if is_scaffold else '501(b)(1)'}"
    )

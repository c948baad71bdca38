"""Working hours of a building: what its pieces take by the scene's rates.

part_hours(building) -> dict[str, Hours]        by the part's name
hours_text(hours) -> "6.2 to 14.0 h"
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import assert_never

from pikepole_model.building.labour import Per, board_feet, load_rates
from pikepole_model.building.part import Building, Part
from pikepole_model.units import FOOT_MM


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours of one person, at the least and at the most."""

    low: float
    high: float

    def __mul__(self, times: float) -> Hours:
        return Hours(self.low * times, self.high * times)


def total(hours: Iterable[Hours]) -> Hours:
    """All of them together."""
    each = tuple(hours)
    return Hours(sum(one.low for one in each), sum(one.high for one in each))


def hours_text(hours: Hours) -> str:
    """How long it takes, at the least and at the most; nothing where it takes no time.

    What is under an hour is said in minutes.
    """
    if hours.high >= 1:
        return f"{hours.low:.1f} to {hours.high:.1f} h"
    low, high = round(hours.low * 60), round(hours.high * 60)
    if not low:
        return f"up to {high} min" if high else ""
    return f"{low} to {high} min"


def part_hours(building: Building) -> dict[str, Hours]:
    """What each part takes to put in its place and fix, by its name."""
    own = {rate.work: Hours(rate.low, rate.high) for rate in building.scene.rate}
    rates = {
        kind: (rate.per, own.get(rate.name, Hours(rate.low_h, rate.high_h)))
        for rate in load_rates()
        for kind in rate.kinds
    }
    # Of two pieces that are joined, the one that was placed later is put to the other.
    joints = Counter(joint.b for joint in building.joints)
    found: dict[str, Hours] = {}
    for part in building.handled:
        per, hours = rates[part.kind]
        found[part.name] = hours * _amount(part, per, joints[part.name])
    return found


def _amount(part: Part, per: Per, joints: int) -> float:
    """How much of it there is, counted so."""
    _, width_mm = part.across_mm
    match per:
        case Per.BOARD_FEET:
            return board_feet(part.section_mm or part.across_mm, part.length_mm) / 1000
        case Per.LENGTH:
            return part.length_mm / FOOT_MM / 100
        case Per.AREA:
            return part.length_mm * width_mm / FOOT_MM**2 / 100
        case Per.VOLUME:
            return part.volume_mm3 / (3 * FOOT_MM) ** 3
        case Per.PIECE:
            return 1.0
        case Per.JOINT:
            return float(joints)
        case _:
            assert_never(per)

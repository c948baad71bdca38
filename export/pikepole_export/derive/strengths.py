"""All that is checked of a building's strength: as it stands in the end, and on the way there.

every_strength(building) -> Strength
"""

from __future__ import annotations

from dataclasses import replace

from pikepole_export.derive.moving.temporary import temporary_checks
from pikepole_export.derive.strength.plan import Strength, strength_of, worst_of
from pikepole_model.building.part import Building


def every_strength(building: Building) -> Strength:
    """What stands, and what is braced, lifted and moved on the way, the worst first."""
    stands = strength_of(building)
    checks = [*stands.checks, *worst_of(temporary_checks(building))]
    return replace(stands, checks=tuple(sorted(checks, key=lambda one: -one.ratio)))

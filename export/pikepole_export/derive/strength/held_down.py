"""Where the checks count on hold-downs, which are set with the slab, or with the sheets, or never.

held_down(building) -> {wall: the studs or posts that it stands beside}
"""

from __future__ import annotations

from pikepole_export.derive.strength.descent import paths_of
from pikepole_export.derive.strength.fixings import Joints
from pikepole_export.derive.strength.hold_downs import BY_RATING, hold_down_checks
from pikepole_export.derive.strength.members import Woods
from pikepole_model.building.part import Building, Part


def held_down(building: Building) -> dict[str, list[Part]]:
    """Of each wall with such ends: what stands there, in the order of the checks.

    Args:
        building: Its scene says what a hold-down is rated for; none is counted on where it does
            not.
    """
    if building.scene.ties.hold_down_rating is None:
        return {}
    fitted = building.fitted
    parts = {part.name: part for part in fitted.parts}
    held: dict[str, list[Part]] = {}
    for found in hold_down_checks(paths_of(fitted), Woods(fitted), Joints(fitted)):
        if found.check.limit == BY_RATING:
            held.setdefault(found.check.member, []).append(parts[found.check.piece])
    return held

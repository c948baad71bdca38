"""Plates that come off the cut list in one piece and are sawn in two: their wall goes up in halves.

sawn_plates(building) -> {"front wall lower top plate 1": (mm, mm)}
"""

from __future__ import annotations

from pikepole_export.derive.lifting.halves import plates_sawn
from pikepole_export.derive.lifting.methods import Split
from pikepole_export.derive.lifting.wall_ways import wall_ways
from pikepole_model.building.part import Building


def sawn_plates(building: Building) -> dict[str, tuple[float, float]]:
    """Each plate by its name, and how long its two lengths are, mm.

    Args:
        building: Its crew and gear decide how a wall goes up.
    """
    sawn: dict[str, tuple[float, float]] = {}
    for item, choice in wall_ways(building):
        if choice.machine is None and choice.method.split is Split.HALVES:
            sawn |= plates_sawn(item.halves)
    return sawn

"""Plates that come off the cut list in one piece and are sawn in two: their wall goes up in halves.

sawn_plates(building) -> {"front wall lower top plate 1": (mm, mm)}
put_up(building) -> PutUp     these, and walls put up piece by piece, for the list of nails
"""

from __future__ import annotations

from pikepole_export.derive.buying.put_up import PutUp
from pikepole_export.derive.lifting.halves import plates_sawn
from pikepole_export.derive.lifting.methods import Split
from pikepole_export.derive.lifting.wall_ways import in_place_walls, wall_ways
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


def put_up(building: Building) -> PutUp:
    """How the walls are put up, as far as it decides what they are nailed with.

    Args:
        building: Its crew and gear decide how a wall goes up.
    """
    return PutUp(in_place_walls(building), frozenset(sawn_plates(building)))

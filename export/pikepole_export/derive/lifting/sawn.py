"""Plates that come off the cut list in one piece and are sawn in two: their wall goes up in halves.

sawn_plates(building) -> {"front wall lower top plate 1": (mm, mm)}
"""

from __future__ import annotations

from pikepole_export.derive.lifting.approach import site_of
from pikepole_export.derive.lifting.choice import choose
from pikepole_export.derive.lifting.halves import plates_sawn
from pikepole_export.derive.lifting.items import Handling, items
from pikepole_export.derive.lifting.machines import machines
from pikepole_export.derive.lifting.methods import Split, methods
from pikepole_export.derive.lifting.plan import hand_setup
from pikepole_model.building.part import Building


def sawn_plates(building: Building) -> dict[str, tuple[float, float]]:
    """Each plate by its name, and how long its two lengths are, mm.

    Args:
        building: Its crew and gear decide how a wall goes up.
    """
    crew, units = building.scene.crew, building.scene.units
    setup = hand_setup(crew)
    sawn: dict[str, tuple[float, float]] = {}
    for item in items(building):
        if item.handling is Handling.WALL and item.halves:
            site = site_of(building, item.stage)
            ways, able = methods(item, setup), machines(item, crew, site)
            choice = choose(item, ways, crew, setup, units, able)
            if choice.machine is None and choice.method.split is Split.HALVES:
                sawn |= plates_sawn(item.halves)
    return sawn

"""How each wall goes up, before the lifts of all else are planned.

wall_ways(building) -> (wall, the way that is chosen) of each
in_place_walls(building) -> names of those put up piece by piece
"""

from __future__ import annotations

from functools import lru_cache

from pikepole_export.derive.lifting.approach import site_of
from pikepole_export.derive.lifting.choice import Choice, choose
from pikepole_export.derive.lifting.items import Handling, Item, items
from pikepole_export.derive.lifting.machines import machines
from pikepole_export.derive.lifting.methods import Split, methods
from pikepole_export.derive.lifting.plan import hand_setup
from pikepole_model.building.part import Building


@lru_cache(maxsize=4)  # cut plans, lists, pictures and sheets of one building ask for them
def wall_ways(building: Building) -> tuple[tuple[Item, Choice], ...]:
    """Each wall, and how it goes up.

    Args:
        building: Its crew and gear decide that.
    """
    crew, units = building.scene.crew, building.scene.units
    setup = hand_setup(crew)
    return tuple(
        (item, choose(item, methods(item, setup), crew, setup, units, machines(item, crew, site)))
        for item in items(building)
        if item.handling is Handling.WALL
        for site in (site_of(building, item.stage),)
    )


def in_place_walls(building: Building) -> frozenset[str]:
    """The walls that are put up piece by piece."""
    return frozenset(
        item.name
        for item, choice in wall_ways(building)
        if choice.machine is None and choice.method.split is Split.PIECES
    )

"""Whether the end of a joist has something under it, or hangs on what it is fixed to.

is_hung(part, other, building) -> bool
"""

from __future__ import annotations

from pikepole_model.building.part import Building, Part

# Wood bears on wood over this length at least, mm. Source: IRC R502.6.
LEAST_BEARING_MM = 38.1

# Solids are cut this truly, mm.
_CLOSE_MM = 0.05


def is_hung(part: Part, other: Part, building: Building) -> bool:
    """Whether nothing lies under a level piece where its end meets the side of another.

    Args:
        part: The piece, along the building or square to it.
        other: What its end meets.
        building: What may lie under it.
    """
    low, high = part.bounds_mm
    along = 0 if high[0] - low[0] > high[1] - low[1] else 1
    across = 1 - along
    if part.centre_mm[along] > other.centre_mm[along]:
        start, end = low[along], low[along] + LEAST_BEARING_MM
    else:
        start, end = high[along] - LEAST_BEARING_MM, high[along]
    mates = building.mates[part.name]
    for under in (one for one in building.parts if one.name in mates and one.name != other.name):
        least, most = under.bounds_mm
        carries = (
            abs(most[2] - low[2]) < _CLOSE_MM
            and least[along] < start + _CLOSE_MM
            and most[along] > end - _CLOSE_MM
            and least[across] < high[across]
            and most[across] > low[across]
        )
        if carries:
            return False
    return True

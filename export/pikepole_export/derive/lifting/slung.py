"""How a load hangs: its sling, how high its hook has to be, and how far it is swung at the top.

    slung(item, gear) -> tuple[Sling | None, float]     the sling, and the height of the hook
    swing_mm(item) -> float

A sling holds what lies at points beside its centre of gravity, with as many legs and at the angle
from the horizontal that the scene gives; what stands hangs by its head; sheets lie on forks.
"""

from __future__ import annotations

import math

from pikepole_export.derive.lifting.gear import Sling, sling
from pikepole_export.derive.lifting.items import Item
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.rests import BEARERS_MM
from pikepole_model.scene.crew import Slung

# Between the two points that are slung, at most: common practice, no source.
SLUNG_MM = 1200.0

# From the head of what stands to the hook, round a choker: common practice, no source.
HITCH_MM = 300.0

# What goes up beside a wall or a post stays clear of it so far: common practice, no source.
CLEAR_OF_SEAT_MM = 50.0


def slung(item: Item, gear: Slung) -> tuple[Sling | None, float]:
    """The sling, and the height of the hook above the ground, or of the top of what lies on forks.

    Args:
        item: What is lifted.
        gear: Whose sling it is.
    """
    whole = item.whole
    top = max(whole.top_mm, item.floor_mm + BEARERS_MM + whole.size_mm[2])
    if item.handling.is_panel:  # a sling would cut into its edges or tip it
        return None, top
    if whole.is_upright or gear.sling_legs == 1:
        return sling(whole.weight_n, legs=1, angle_deg=90.0), top + HITCH_MM
    above = sling_spread_mm(whole) / 2 * math.tan(math.radians(gear.sling_angle))
    legs = sling(whole.weight_n, legs=gear.sling_legs, angle_deg=gear.sling_angle)
    return legs, top + above


def swing_mm(item: Item) -> float:
    """How far it is swung sideways at the top, from beside what it is set on.

    What it is set on is taken as thick as it is. A post stands under its hook already.
    """
    return 0.0 if item.whole.is_upright else item.whole.size_mm[2] + CLEAR_OF_SEAT_MM


def sling_spread_mm(load: Load) -> float:
    """Between the two points at which a sling holds what lies, along its length."""
    return min(SLUNG_MM, load.size_mm[0] / 3)

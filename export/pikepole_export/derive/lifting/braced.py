"""What holds a wall or a post once it stands, until the building does.

braces(thing) -> Bracing | None
"""

from __future__ import annotations

from pikepole_export.derive.lifting.bracing import (
    Bracing,
    brace,
    braces_needed,
    lean_moment_n_mm,
    wind_moment_n_mm,
)
from pikepole_export.derive.lifting.statics import weight_n
from pikepole_export.derive.lifting.things import Handling, Thing
from pikepole_export.derive.lifting.wind import FLAT_PLATE_DRAG, Work, pressure_pa, stop_speed

# Braces along a wall, the angle they stand at, where they are fixed and how far out of plumb the
# wall may stand: common practice, no source.
SPACING_MM = 2400.0
BRACE_DEG = 45.0
FIXED_AT = 2 / 3  # of its height
LEAN_DEG = 2.0


def braces(thing: Thing) -> Bracing | None:
    """The braces of a wall or a post, in the wind at which raising stops; None for other things.

    The whole face is taken to catch the wind, as it does once it is sheathed.
    """
    if thing.handling not in (Handling.WALL, Handling.POST):
        return None
    whole = thing.whole
    height = whole.top_mm - whole.low_mm
    is_wall = thing.handling == Handling.WALL
    length = whole.size_mm[0] if is_wall else whole.size_mm[1]
    moment = wind_moment_n_mm(
        pressure_pa=pressure_pa(stop_speed(Work.WALL).speed_m_s) * FLAT_PLATE_DRAG,
        length_mm=length,
        height_mm=height,
    ) + lean_moment_n_mm(
        weight_n(whole.mass.high_kg),
        along_mm=whole.centre_mm[2] - whole.low_mm,
        lean_deg=LEAN_DEG,
    )
    count = braces_needed(length_mm=length, spacing_mm=SPACING_MM) if is_wall else 1
    return brace(moment, fixed_at_mm=FIXED_AT * height, angle_deg=BRACE_DEG, braces=count)

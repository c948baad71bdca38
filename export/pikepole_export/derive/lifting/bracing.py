"""What holds a wall or a post once it stands, until the rest of the building does.

    braces(item) -> Bracing | None
    wind_moment_n_mm, lean_moment_n_mm      what would throw it over, about its foot
    braces_needed(...) -> number
    brace(...) -> Bracing

Source of the formulas: equilibrium of moments about the foot, any textbook of statics.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pikepole_export.derive.lifting.items import Handling, Item
from pikepole_export.derive.lifting.validation import below_90, positive, require
from pikepole_export.derive.lifting.wind import FLAT_PLATE_DRAG, Work, pressure_pa, stop_speed

# A wall is braced at both ends, and between them.
END_BRACES = 2

# Braces along a wall, the angle they stand at, where they are fixed and how far out of plumb the
# wall may stand: common practice, no source.
SPACING_MM = 2400.0
BRACE_DEG = 45.0
FIXED_AT = 2 / 3  # of its height
LEAN_DEG = 2.0


@dataclass(frozen=True, slots=True)
class Bracing:
    """What holds a standing wall or post.

    Attributes:
        braces: How many.
        horizontal_n: Level force at the one that takes most, N.
        brace_n: Along that brace, pushed or pulled, N.
        vertical_n: Up or down where it is fixed, N: its foot must be held down against it.
    """

    braces: int
    horizontal_n: float
    brace_n: float
    vertical_n: float


def braces(item: Item) -> Bracing | None:
    """The braces of a wall or a post, in the wind at which raising stops; None for anything else.

    The whole face is taken to catch the wind, as it does once it is sheathed.
    """
    if item.handling not in (Handling.WALL, Handling.POST):
        return None
    whole = item.whole
    height = whole.top_mm - whole.low_mm
    is_wall = item.handling == Handling.WALL
    length = whole.size_mm[0] if is_wall else whole.size_mm[1]
    moment = wind_moment_n_mm(
        pressure_pa=pressure_pa(stop_speed(Work.WALL).speed_m_s) * FLAT_PLATE_DRAG,
        length_mm=length,
        height_mm=height,
    ) + lean_moment_n_mm(
        whole.weight_n,
        along_mm=whole.centre_mm[2] - whole.low_mm,
        lean_deg=LEAN_DEG,
    )
    count = braces_needed(length_mm=length, spacing_mm=SPACING_MM) if is_wall else 1
    return brace(moment, fixed_at_mm=FIXED_AT * height, angle_deg=BRACE_DEG, braces=count)


def wind_moment_n_mm(*, pressure_pa: float, length_mm: float, height_mm: float) -> float:
    """Overturning moment about the foot of what stands in an even wind, N mm: p L H x H / 2.

    Args:
        pressure_pa: On the face, drag included, Pa.
        length_mm: Of the face; of a post its width.
        height_mm: Of the face.
    """
    return pressure_pa * 1e-6 * length_mm * height_mm**2 / 2


def lean_moment_n_mm(weight_n: float, *, along_mm: float, lean_deg: float) -> float:
    """Overturning moment about the foot of what stands out of plumb, N mm.

    Args:
        weight_n: Its weight, N.
        along_mm: Centre of gravity over the foot, along the piece, mm.
        lean_deg: Out of plumb.
    """
    return weight_n * along_mm * math.sin(math.radians(lean_deg))


def braces_needed(*, length_mm: float, spacing_mm: float) -> int:
    """Braces for a wall: one at each end and more between, none further apart than the spacing.

    Source: common practice, no source.

    Raises:
        LiftError: a length is not above zero.
    """
    positive(length_mm=length_mm, spacing_mm=spacing_mm)
    # A wall a whole number of spacings long needs no brace more for the float's last digit.
    return max(END_BRACES, math.ceil(length_mm / spacing_mm - 1e-9) + 1)


def brace(moment_n_mm: float, *, fixed_at_mm: float, angle_deg: float, braces: int = 1) -> Bracing:
    """The force in the brace that takes most.

    The foot is taken as a hinge: its nails, and the weight on the plate's breadth, are not counted
    on. Each brace holds the wall halfway to its neighbours; the two of a pair hold half each.

    Args:
        moment_n_mm: About the foot, of the whole wall or post, N mm.
        fixed_at_mm: Height of the brace's upper end over the foot.
        angle_deg: Of the brace from level, 0 to less than 90.
        braces: Evenly spaced along the wall; one for a post, in each direction that it can fall.

    Raises:
        LiftError: a height, angle or number is outside these.
    """
    positive(fixed_at_mm=fixed_at_mm)
    below_90("angle_deg", angle_deg)
    require(braces >= 1, "braces", braces, "expected at least 1", "give a number of braces")
    share = 1.0 if braces == 1 else 1 / max(END_BRACES, braces - 1)
    horizontal_n = moment_n_mm / fixed_at_mm * share
    angle = math.radians(angle_deg)
    return Bracing(
        braces, horizontal_n, horizontal_n / math.cos(angle), horizontal_n * math.tan(angle)
    )

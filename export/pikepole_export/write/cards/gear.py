"""Gear as it is drawn on a lift card: a tripod, forks on a boom, braces.

tripod(hook, outward, floor) -> solids
forks(tip, outward, out_mm, floor) -> solids
braces(load, bracing, outward, aside, floor) -> solids
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from pikepole_export.derive.lifting.bracing import BRACE_DEG, Bracing
from pikepole_export.derive.lifting.loads import Load
from pikepole_export.graphics.colours import Colour
from pikepole_export.write.cards.solids import UP, Solid, bar
from pikepole_model.geometry.placement import Points

Heights: TypeAlias = Callable[[Points], float]  # of what one stands on under a point, mm

GEAR: Colour = (0.66, 0.73, 0.78)
BRACES: Colour = (0.60, 0.51, 0.41)

# Sizes and places are those of a drawing, not of gear that could be built.
CHAIN_MM = 20.0
HOIST_MM = 170.0
OVER_HOOK_MM = 650.0
SPREAD = 0.3  # of a tripod's feet from its middle, by its height
FORK_MM = 70.0
FORKS_MM = 700.0
BETWEEN_FORKS_MM = 500.0
RAIL_MM = 110.0
BOOM_MM = 180.0
BODY_MM = 800.0
LEAST_OUT_MM = 1600.0
BRACE_MM = 70.0


def tripod(hook: Points, outward: Points, floor: Heights) -> list[Solid]:
    """A hoist over its hook, under the head of three legs.

    Args:
        hook: (3,) float: where the hook is, building frame, mm.
        outward: (3,) float: level unit vector between two of its legs.
        floor: What its feet stand on.
    """
    head = hook + UP * OVER_HOOK_MM
    found = [
        bar(hook, head, CHAIN_MM, GEAR),
        bar(hook + UP * 180.0, hook + UP * 420.0, HOIST_MM, GEAR),
    ]
    across = np.cross(UP, outward)
    reach = SPREAD * (float(head[2]) - floor(head))
    for turn in (45.0, 135.0, 270.0):
        angle = math.radians(turn)
        foot = head + (across * math.cos(angle) + outward * math.sin(angle)) * reach
        found.append(bar(head, foot * [1, 1, 0] + UP * floor(foot), RAIL_MM * 0.7, GEAR))
    return found


def forks(tip: Points, outward: Points, out_mm: float, floor: Heights) -> list[Solid]:
    """Two forks at the end of a boom, and what carries the boom.

    Args:
        tip: Middle between the forks, near their ends: a load lies on it, or hangs from it.
        outward: Where the machine stands, seen from there.
        out_mm: How far, at least.
        floor: What it stands on.
    """
    across = np.cross(UP, outward)
    far = tip + outward * max(out_mm, LEAST_OUT_MM)
    ground = far * [1, 1, 0] + UP * floor(far)
    back = tip + outward * FORKS_MM
    aside = across * BETWEEN_FORKS_MM / 2
    rail = across * BETWEEN_FORKS_MM * 0.7
    found = [
        bar(back - rail, back + rail, RAIL_MM, GEAR),
        bar(ground + UP * BODY_MM, back, BOOM_MM, GEAR),
        bar(
            ground + UP * (BODY_MM / 2 + 150.0) - across * BODY_MM * 0.7,
            ground + UP * (BODY_MM / 2 + 150.0) + across * BODY_MM * 0.7,
            BODY_MM - 200.0,
            GEAR,
        ),
    ]
    for side in (-1, 1):
        under = tip + aside * side - UP * FORK_MM / 2
        found.append(bar(under - outward * 250.0, under + outward * FORKS_MM, FORK_MM, GEAR))
        wheel = ground + across * BODY_MM * 0.55 * side + UP * 225.0
        found.append(bar(wheel - across * 110.0, wheel + across * 110.0, 450.0, GEAR))
    return found


def braces(
    load: Load, bracing: Bracing, outward: Points, away: Points, floor: Heights
) -> list[Solid]:
    """What holds a wall or a post that stands, where the plan has it fixed.

    Args:
        load: As it stands.
        bracing: Where along a wall they are; a post has one each way.
        outward: Level unit vector: a wall is braced from the other side.
        away: Level unit vector, for the second brace of a post.
        floor: What their feet stand on.
    """
    fixed = load.low_mm + bracing.fixed_at_mm
    middle = np.array(load.centre_mm) * [1, 1, 0]
    if bracing.braces == 1:
        return [_brace(middle, fixed, way, floor) for way in (outward, away)]
    across = np.cross(UP, outward)
    first = float(((load.vertices_mm - middle) @ across).min())
    return [
        _brace(middle + across * (first + place), fixed, -outward, floor)
        for place in bracing.places_mm
    ]


def _brace(at: Points, fixed_mm: float, way: Points, floor: Heights) -> Solid:
    """From a height down to the floor, at the plan's angle."""
    steep = math.tan(math.radians(BRACE_DEG))
    foot = at + way * (fixed_mm - floor(at + way * fixed_mm / steep)) / steep
    return bar(at + UP * fixed_mm, foot * [1, 1, 0] + UP * floor(foot), BRACE_MM, BRACES)

"""Gear as it is drawn on a lift card: a tripod, forks on a boom, braces, ledge posts, cribs.

tripod(hook, outward, floor) -> solids
forks(tip, outward, out_mm, floor) -> solids
braces(load, bracing, outward, aside, floor) -> solids
ledge_posts(under, along, heights_mm, ground_mm) -> solids
crib(top, along, base_mm, ground_mm) -> solids
lanyard(anchor, back) -> solids
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
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
STUD_MM = 60.0
BETWEEN_STUDS_MM = 260.0
OVER_LEDGE_MM = 350.0
LAYER_MM = 140.0  # of a crib
ANCHOR_MM = 130.0
ROPE_MM = 26.0


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
    if not bracing.places:
        return [_brace(middle, fixed, way, floor) for way in (outward, away)]
    across = np.cross(UP, outward)
    along = load.vertices_mm @ across
    uppers = (np.array(place.upper_mm) for place in bracing.places)
    return [
        _brace(upper * [1, 1, 0], fixed, -outward, floor)
        for upper in uppers
        if along.min() < float(upper @ across) < along.max()
    ]


def _brace(at: Points, fixed_mm: float, way: Points, floor: Heights) -> Solid:
    """From a height down to the floor, at the plan's angle."""
    steep = math.tan(math.radians(BRACE_DEG))
    foot = at + way * (fixed_mm - floor(at + way * fixed_mm / steep)) / steep
    return bar(at + UP * fixed_mm, foot * [1, 1, 0] + UP * floor(foot), BRACE_MM, BRACES)


def ledge_posts(
    under: Points, along: Points, heights_mm: Sequence[float], ground_mm: float
) -> list[Solid]:
    """Two studs, one either side of an end of a beam, with a ledge across them at every height.

    Args:
        under: (3,) float: under the beam's middle line, where its end goes up.
        along: Level unit vector along the beam.
        heights_mm: Of the ledges' tops above ground, lowest first.
        ground_mm: Height of what the studs stand on.
    """
    level = under * [1, 1, 0]
    aside = np.cross(UP, along) * BETWEEN_STUDS_MM / 2
    top = UP * (heights_mm[-1] + OVER_LEDGE_MM)
    found = [
        bar(level + aside * side + UP * ground_mm, level + aside * side + top, STUD_MM, GEAR)
        for side in (-1, 1)
    ]
    for height in heights_mm:
        at = level + UP * (height - STUD_MM / 2)
        found.append(bar(at - aside * 1.4, at + aside * 1.4, STUD_MM, GEAR))
    return found


def crib(
    top: Points,
    along: Points,
    base_mm: float,
    ground_mm: float,
    layer_mm: float = LAYER_MM,
) -> list[Solid]:
    """Timbers crossed layer on layer.

    Args:
        top: (3,) float: the middle of what lies on it.
        along: Level unit vector along that.
        base_mm: Its width, each way.
        ground_mm: Height of what it stands on.
        layer_mm: How high one of its layers is, about.
    """
    height = float(top[2]) - ground_mm
    layers = max(round(height / layer_mm), 1)
    thick = height / layers
    across = np.cross(UP, along)
    found: list[Solid] = []
    for layer in range(layers):
        # The uppermost across what it carries.
        way, aside = (across, along) if (layers - layer) % 2 else (along, across)
        middle = top * [1, 1, 0] + UP * (ground_mm + thick * (layer + 0.5))
        for side in (-1, 1):
            at = middle + aside * side * (base_mm - thick) / 2
            found.append(bar(at - way * base_mm / 2, at + way * base_mm / 2, thick, GEAR))
    return found


def lanyard(anchor: Points, back: Points) -> list[Solid]:
    """A line from an anchor to the back of somebody at an edge.

    Args:
        anchor: (3,) float: where it is made fast.
        back: (3,) float: where it ends.
    """
    return [
        bar(anchor, back, ROPE_MM, GEAR),
        bar(anchor - UP * ANCHOR_MM / 2, anchor + UP * ANCHOR_MM / 2, ANCHOR_MM, GEAR),
    ]

"""How the foot of a plumb tail is cut off level."""

from __future__ import annotations

import math

from shapely import Polygon as Area
from shapely import box

from pikepole_model.geometry.outline import largest
from pikepole_model.plan.slope import Slope
from pikepole_model.scene.schema import Scene

# Where a plumb cut makes a tail longer than the rafter is deep by more than this, what is longer is
# cut off level. Common practice, no source.
LEAST_LEVEL_CUT_MM = 25.4

# So is what would hang out under a fascia by more than 1/4 in: its end grain takes up the water
# that runs down the board. Common practice, no source.
LEAST_BARE_MM = 6.35


def level_tailed(scene: Scene, slope: Slope, board: Area) -> Area:
    """A rafter or a barge board less the spike of a plumb tail, which is cut off level.

    Args:
        scene: Says how deep rafters are and what is before and under their tails.
        slope: The plane it lies in.
        board: Its outline in (h, z), mm.
    """
    cut = level_cut(scene, slope)
    if cut is None:
        return board
    starts, low = cut
    return largest(board.difference(box(starts, 0.0, board.bounds[2], low)))


def level_cut(scene: Scene, slope: Slope) -> tuple[float, float] | None:
    """Where a slope's plumb tails are cut off level; None where they are not.

    Under a soffit they stay whole; so do those too short for a level cut beside the wall.

    Returns:
        From where on down the slope, level, and how high above ground, mm.
    """
    end, fascia = slope.lower, scene.fascia
    low = slope.roof_mm(end.h) - slope.rafter_mm
    spike = low - slope.rafter_underside_mm(end.h)
    starts = end.h - spike / math.tan(slope.slope_rad)
    is_bare = end.edge_mm and fascia and fascia.depth_mm < slope.rafter_mm + spike - LEAST_BARE_MM
    if (
        end.cut != "plumb"
        or spike <= (LEAST_BARE_MM if is_bare else LEAST_LEVEL_CUT_MM)
        or starts < slope.bearings[-1].h[1]
        or (scene.edges and scene.edges.soffit)
    ):
        return None
    return starts, low

"""A slope in section: how what lies along it or across it is drawn."""

from __future__ import annotations

import math

from shapely import Polygon as Area
from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.outline import largest
from pikepole_model.geometry.placement import Placement
from pikepole_model.plan.faces import roof_plane
from pikepole_model.plan.slope import Slope
from pikepole_model.scene.schema import Scene

# Where a plumb cut makes a tail longer than the rafter is deep by more than this, what is longer is
# cut off level. Common practice, no source.
LEAST_LEVEL_CUT_MM = 25.4


def across(slope: Slope, x: float, thickness: float) -> Placement:
    """The plane (h, z) for something that reaches from x to x + thickness, mm.

    Args:
        slope: The plane of the roof.
        x: Its left face, mm.
        thickness: Along X, mm.
    """
    # With h against Y, u x v points to smaller X: start at the far face.
    start = x if slope.way > 0 else x + thickness
    return Placement((start, slope.start_y, 0.0), (0.0, float(slope.way), 0.0), (0.0, 0.0, 1.0))


def along(slope: Slope, x: float, outward: int, d: tuple[float, float]) -> Placement:
    """The plane (w, n) for something that runs up the slope.

    Args:
        slope: The plane of the roof.
        x: Where w is 0, mm.
        outward: +1 where w grows with X, -1 where it grows against it.
        d: From and to, mm down the slope from its starting line.

    Returns:
        w along X, n out from the rafters' top; extruded by the difference of the two in d.
    """
    plane = roof_plane(slope)
    low = slope.sheeted_h[1] / math.cos(slope.slope_rad)
    w = (float(outward), 0.0, 0.0)
    up = outward * slope.way > 0
    end = plane.point(0.0, low - (d[1] if up else d[0]))
    return Placement((x, end[1], end[2]), w, plane.n)


def label(slope: Slope, kind: Kind) -> str:
    """The name of a piece of a slope: the roof's own where there is only one."""
    return f"{slope.prefix}{kind}"


def level_tailed(scene: Scene, slope: Slope, board: Area) -> Area:
    """A rafter or a barge board less the spike of a plumb tail, which is cut off level.

    Under a soffit the tails stay whole; so do those too short for a level cut beside the wall.

    Args:
        scene: Says how deep rafters are and what is under their tails.
        slope: The plane it lies in.
        board: Its outline in (h, z), mm.
    """
    end = slope.lower
    low = slope.roof_mm(end.h) - slope.rafter_mm
    spike = low - slope.rafter_underside_mm(end.h)
    starts = end.h - spike / math.tan(slope.slope_rad)
    soffit = scene.edges and scene.edges.soffit
    if (
        end.cut != "plumb"
        or spike <= LEAST_LEVEL_CUT_MM
        or starts < slope.bearings[-1].h[1]
        or soffit
    ):
        return board
    return largest(board.difference(box(starts, 0.0, board.bounds[2], low)))

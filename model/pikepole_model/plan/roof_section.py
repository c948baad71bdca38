"""A slope in section: how what lies along it or across it is drawn."""

from __future__ import annotations

import math

from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.placement import Placement
from pikepole_model.plan.faces import roof_plane
from pikepole_model.plan.slope import Slope


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

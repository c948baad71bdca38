"""A drip edge in section: on the sheets at a slope's lower edge, and down over the fascia."""

from __future__ import annotations

import math

from pikepole_model.plan.slope import Slope, at
from pikepole_model.scene.schema import Scene

# It lies at least 2 in back on the sheets and reaches at least 1/4 in below them: IRC R905.2.8.5.
# These are the usual 2-1/2 in and 1-1/2 in.
DRIP_FLANGE_MM = 63.5
DRIP_LEG_MM = 38.1
KICK_MM = 6.35

# Rake trims and peak caps reach 2-1/2 in down over the board: common practice, no source.
LEG_MM = 63.5


def drip_line(scene: Scene, slope: Slope) -> tuple[tuple[float, float], ...]:
    """Where it lies in (h, z), from up on the sheets to its foot, mm.

    On a fascia its leg goes on down to the foot of the rake trims' legs, so that both end in one
    line at the corner: common practice, no source.
    """
    n = scene.sheet_stock(scene.roof.sheet).thickness_mm
    d = slope.sheeted_h[1] / math.cos(slope.slope_rad)
    square = slope.lower.cut == "square"
    leg = DRIP_LEG_MM
    if fascia := scene.fascia:
        to_trim = (n + LEG_MM) / (1.0 if square else math.cos(slope.slope_rad))
        leg = min(to_trim, fascia.depth_mm - KICK_MM)
    corner = at(slope, d, n)
    if square:
        foot, kick = at(slope, d, n - leg), at(slope, d + KICK_MM, n - leg - KICK_MM)
    else:
        foot = (corner[0], corner[1] - leg)
        kick = (foot[0] + KICK_MM, foot[1] - KICK_MM)
    return at(slope, d - DRIP_FLANGE_MM, n), corner, foot, kick

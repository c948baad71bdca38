"""Gussets: pieces of sheet on a face of each pair of rafters that meet at a knee."""

from __future__ import annotations

import math

from shapely import Polygon as Area
from shapely import box

from pikepole_model.geometry.outline import largest, ring
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.slope import RafterEnd, Slope, Support

# How far a gusset reaches along each rafter, where there is room: 12 in, common practice, no
# source.
REACH_MM = 304.8


def gusset_mm(roof: RoofPlan) -> float:
    """Thickness of the gussets; 0 without any."""
    knee = roof.datums.scene.roof.knee
    if not roof.purlins or not knee or not knee.gusset:
        return 0.0
    return roof.datums.scene.sheet_stock(knee.gusset).thickness_mm


def gusset_starts(roof: RoofPlan) -> dict[float, float | None]:
    """Left face of the gussets beside each pair of rafters by its centre, mm; None: no room.

    On the face towards the middle of the building, so that end pairs have theirs inside and
    lookouts run into the pairs beside those from the other side, but where there are only three.
    """
    thick, slope = gusset_mm(roof), roof.slopes[0]
    if not thick:
        return {}
    half, centres = slope.breadth_mm / 2, slope.centres_mm
    middle = sum(slope.ends_x) / 2
    starts: dict[float, float | None] = {}
    for k, centre in enumerate(centres):
        rightwards = centre < middle
        beside = centres[min(k + 1, len(centres) - 1)] if rightwards else centres[max(k - 1, 0)]
        # In the middle two pairs may have theirs in one gap.
        room = abs(beside - centre) - 2 * half >= 2 * thick - TOLERANCE_MM
        start = centre + half if rightwards else centre - half - thick
        starts[centre] = start if room else None
    return starts


def _outline(roof: RoofPlan, lower: Slope, centre: float, start: float) -> Polygon:
    """The gusset of a pair of rafters seen from the right end, in (y, z), mm.

    As deep as both rafters, less what the purlin and lookouts take of them.

    Args:
        roof: The roof.
        lower: The slope under the knee.
        centre: X of the middle of the pair, mm.
        start: X of its left face, mm.
    """
    upper = roof.beside(lower, lower.upper)
    assert upper
    at_end, beside = lower.is_end(centre), lower.centres_mm[-2 if start > centre else 1]
    top = lower.lookout_mm if at_end or centre == beside else 0.0
    bottom = lower.lookout_mm + lower.end_rafter_mm if at_end else lower.rafter_mm
    knee_h = upper.lower.h
    # Clear of the blocks over the ridge and over the wall; its square end leans up the slope.
    ridge = next(bearing for bearing in upper.bearings if bearing.on == Support.RIDGE)
    room = knee_h - ridge.h[1] - bottom * math.sin(upper.slope_rad)
    up = min(REACH_MM * math.cos(upper.slope_rad), room)
    above = RafterEnd(knee_h - up, "square", Meets.FREE)
    below = _lower_end(lower)
    corners = [
        *((upper, above, top), (upper, upper.lower, top), (lower, below, top)),
        *((lower, below, bottom), (upper, upper.lower, bottom), (upper, above, bottom)),
    ]
    places = [(slope, slope.corner(end, square)) for slope, end, square in corners]
    whole = Area([(slope.y_of(h), z) for slope, (h, z) in places])
    purlin = next(one for one in roof.purlins if one.name.startswith(lower.falls))
    y0, y1 = purlin.span_y
    left = whole.difference(box(y0, 0.0, y1, purlin.top_mm))
    return ring(largest(left))


def _lower_end(lower: Slope) -> RafterEnd:
    """Where the gussets of a slope under a knee end, clear of the blocks over the wall."""
    wall = next(bearing for bearing in lower.bearings if bearing.on == Support.WALL)
    room = wall.h[1] - lower.breadth_mm
    return RafterEnd(min(REACH_MM * math.cos(lower.slope_rad), room), "square", Meets.FREE)


def gussets_low_mm(roof: RoofPlan) -> float:
    """Underside of the lowest gusset over the store above ground, mm; infinite without any."""
    ends = (
        slope.corner(_lower_end(slope), slope.rafter_mm)
        for slope in roof.slopes
        if gusset_mm(roof) and slope.upper.meets == Meets.KNEE
    )
    return min((z for _, z in ends), default=math.inf)


def gusset_outlines(roof: RoofPlan) -> list[tuple[tuple[float, float], Polygon]]:
    """From and to in X, and outline of each gusset seen from the right end, in (y, z), mm."""
    thick, starts = gusset_mm(roof), gusset_starts(roof)
    return [
        ((start, start + thick), _outline(roof, slope, centre, start))
        for slope in roof.slopes
        if slope.upper.meets == Meets.KNEE
        for centre, start in starts.items()
        if start is not None
    ]

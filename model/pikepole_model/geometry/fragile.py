"""How much is left of a flat piece where it is narrowest: its width, a neck, an arm.

    +-----------+     +-----------+    +-----------+
    |   +-------+     |           |    |           |
    |   |             +--+     +--+    |       +---+
    |   +-------+        |     |       |       |
    +-----------+        +-----+       +-------+

Left, its arms and the neck between them; right, what is narrower but no arm: it is short.
"""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.shape import Circle, Prism, Shape

# A tip that tapers to nothing is half of its box: what fills more of it is an arm.
_FILLED = 0.75

# What juts out less than this times its own width is a corner, and no arm.
_LONG = 1.5

# An arm hangs on by its own width and a neck by twice that: what does by more is a step.
_HELD = 2.5

# What hangs on by nearly all of its longer side is a step too, however short that is.
_ALONG = 0.9

_SHARP = 100.0  # a mitre that keeps its point


@dataclass(frozen=True, slots=True)
class Narrow:
    """The narrowest place of a piece: how wide, mm, and where in its face, as `face_of` has it."""

    width: float
    at: tuple[float, float]


def face_of(shape: Shape) -> Area | None:
    """The outline of a flat piece with what is cut out of it, mm: along its length, and across.

    None where it is no extrusion of straight lines.
    """
    body = shape.body
    if not isinstance(body, Prism) or isinstance(body.outline, Circle):
        return None
    axes = (2, 0) if body.length_along == "n" else (0, 1)
    area: BaseGeometry = Area(body.outline, [h for h in body.holes if not isinstance(h, Circle)])
    if body.length_along == "n":
        area = shapely.box(0.0, area.bounds[0], body.thickness, area.bounds[2])
    for cut, place in shape.cuts:
        if isinstance(cut, Prism) and not isinstance(cut.outline, Circle):
            corners = [place.point(u, v) for u, v in cut.outline]
            area = area.difference(Area([(p[axes[0]], p[axes[1]]) for p in corners]))
    return max(shapely.get_parts(area), key=lambda part: part.area)


def narrowest(area: Area, least: float) -> Narrow | None:
    """Where a piece is narrower than a least width over some length; None where it nowhere is.

    Args:
        area: The piece, mm.
        least: Width, mm.
    """
    low, high = 0.0, least
    if not _too_narrow(area, least - 0.01):
        return None
    while high - low > 0.1:
        middle = (low + high) / 2
        low, high = (low, middle) if _too_narrow(area, middle) else (middle, high)
    found = _too_narrow(area, high)
    assert found
    at = found.centroid
    return Narrow(high, (at.x, at.y))


def _too_narrow(area: Area, least: float) -> BaseGeometry | None:
    """What of a piece has no room for a disc of a width, as far as it is no tip nor corner."""
    half = least / 2
    left = area.buffer(-half, join_style="mitre", mitre_limit=_SHARP)
    if left.is_empty:
        return area
    wide = left.buffer(half + 0.001, join_style="mitre", mitre_limit=_SHARP)
    for part in sorted(shapely.get_parts(area.difference(wide)), key=lambda part: -part.area):
        if part.area < 1.0:
            break
        box = shapely.minimum_rotated_rectangle(part)
        sides = sorted(a.length for a in _sides(box))
        held = shapely.intersection(wide.boundary, part.buffer(0.1)).length
        joins = len(shapely.get_parts(shapely.intersection(part.buffer(0.1), wide))) > 1
        is_long = sides[-1] > _LONG * sides[0] and held < _ALONG * sides[-1]
        is_arm = is_long and part.area > _FILLED * box.area
        if (joins or is_arm) and held < _HELD * sides[0]:
            return part
    return None


def _sides(box: BaseGeometry) -> list[BaseGeometry]:
    points = shapely.get_coordinates(box)
    return [shapely.LineString(points[k : k + 2]) for k in range(len(points) - 1)]

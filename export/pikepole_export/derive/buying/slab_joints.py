"""Control joints: the cuts that decide where a slab cracks.

    control_joints(building) -> tuple[ControlJoint, ...]     none where there is no slab

A slab shrinks as it dries, and cracks where that is held back. Cuts a quarter of it deep, into
panels as square as can be, lead the cracks along straight lines, clear of what is anchored in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from pikepole_export.derive.buying.amounts import whole
from pikepole_model.building.kinds import ANCHORS, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.foundation import Pad

# 24 to 36 times the slab's thickness from joint to joint and not over 15 ft; a quarter of the slab
# deep. Source: NRMCA CIP 6; the same of thickness in ACI 302.1R, which goes up to 18 ft. 30 is the
# middle of what they allow.
THICKNESSES_APART, MOST_THICKNESSES = 30, 36
FARTHEST_APART_MM = 15 * 304.8
SHARE_DEEP = 1 / 4
SOURCE = "NRMCA CIP 6, ACI 302.1R"

# A crack is an edge, from which an anchor that is tightened stands 6 diameters away.
# Source: ACI 318-19 17.9.2, from memory.
DIAMETERS_FROM_ANCHORS = 6


@dataclass(frozen=True, slots=True)
class ControlJoint:
    """A straight cut from edge to edge of a slab.

    Attributes:
        across: "x" where it is measured along the building and runs from front to back, "y" where
            it is measured from the front and runs along the building.
        at_mm: How far from the slab's left or front edge, mm.
        length_mm: How long, mm.
        depth_mm: How deep, mm.
    """

    across: Literal["x", "y"]
    at_mm: float
    length_mm: float
    depth_mm: float


def control_joints(building: Building) -> tuple[ControlJoint, ...]:
    """The cuts of the slab: those measured along the building first."""
    pad = building.scene.foundation
    clear_mm = DIAMETERS_FROM_ANCHORS * pad.bolt_diameter if isinstance(pad, Pad) else 0.0
    anchors = [part for part in building.parts if part.kind in ANCHORS]
    found: list[ControlJoint] = []
    for slab in (part for part in building.parts if part.kind == Kind.SLAB):
        low, high = slab.bounds_mm
        held = (
            (x - low[0], y - low[1])
            for x, y, _ in (anchor.centre_mm for anchor in anchors)
            if low[0] < x < high[0] and low[1] < y < high[1]
        )
        found += joints(
            high[0] - low[0], high[1] - low[1], _thickness_mm(slab, building), [*held], clear_mm
        )
    return tuple(found)


def _thickness_mm(slab: Part, building: Building) -> float:
    """Of a slab between its edges, mm: a pad may be deeper there."""
    pad = building.scene.foundation
    own = slab.bounds_mm[1][2] - slab.bounds_mm[0][2]
    return pad.thickness if isinstance(pad, Pad) and slab.group == "foundation" else own


def joints(
    length_mm: float,
    depth_mm: float,
    thickness_mm: float,
    anchors_mm: Sequence[tuple[float, float]] = (),
    clear_mm: float = 0.0,
) -> tuple[ControlJoint, ...]:
    """The cuts of a rectangular slab.

    Args:
        length_mm: Along x, mm.
        depth_mm: Along y, mm.
        thickness_mm: Of the slab between its edges, mm.
        anchors_mm: Where anchors stand in it, from its left and its front edge, mm.
        clear_mm: How far cuts stay from them, mm.

    Source: NRMCA CIP 6, ACI 302.1R: see the constants of this module.
    """
    most_mm = min(THICKNESSES_APART * thickness_mm, FARTHEST_APART_MM)
    if length_mm >= depth_mm:
        across_y = whole(depth_mm / most_mm)
        across_x = _squarest(length_mm, most_mm, depth_mm / across_y)
    else:
        across_x = whole(length_mm / most_mm)
        across_y = _squarest(depth_mm, most_mm, length_mm / across_x)
    deep_mm = SHARE_DEEP * thickness_mm
    apart_mm = min(MOST_THICKNESSES * thickness_mm, FARTHEST_APART_MM)
    xs, ys = ([anchor[axis] for anchor in anchors_mm] for axis in (0, 1))
    return (
        *(
            ControlJoint("x", at_mm, depth_mm, deep_mm)
            for at_mm in _places(length_mm, across_x, apart_mm, xs, clear_mm)
        ),
        *(
            ControlJoint("y", at_mm, length_mm, deep_mm)
            for at_mm in _places(depth_mm, across_y, apart_mm, ys, clear_mm)
        ),
    )


def _places(
    side_mm: float, panels: int, apart_mm: float, anchors_mm: Sequence[float], clear_mm: float
) -> list[float]:
    """Where a side is cut: evenly, but that each cut steps aside for the anchors in its way.

    Into more panels where they become too long by that.
    """
    near = [(at_mm - clear_mm, at_mm + clear_mm) for at_mm in anchors_mm]
    beside = sorted(edge for pair in near for edge in pair)

    def is_clear(place_mm: float) -> bool:
        return 0.0 < place_mm < side_mm and not any(
            low + TOLERANCE_MM < place_mm < high - TOLERANCE_MM for low, high in near
        )

    def cut(count: int) -> list[float]:
        places_mm: list[float] = []
        for k in range(1, count):
            even_mm = side_mm * k / count
            clear = [mm for mm in (even_mm, *beside) if is_clear(mm)]
            places_mm.append(min(clear, key=lambda mm: abs(mm - even_mm), default=even_mm))
        return places_mm

    for count in range(panels, 2 * panels):
        places_mm = cut(count)
        edges_mm = [0.0, *places_mm, side_mm]
        if max(b - a for a, b in pairwise(edges_mm)) <= apart_mm + TOLERANCE_MM:
            return places_mm
    return cut(panels)


def _squarest(side_mm: float, most_mm: float, other_mm: float) -> int:
    """Into how many panels to part a long side, so that each is nearest to square."""
    least = whole(side_mm / most_mm)
    counts = {least, *(max(least, int(side_mm / other_mm) + more) for more in (0, 1))}

    def longer_by(count: int) -> float:
        panel_mm = side_mm / count
        return max(panel_mm / other_mm, other_mm / panel_mm)

    return min(sorted(counts), key=longer_by)

"""Control joints: the cuts that decide where a slab cracks.

    control_joints(building) -> tuple[ControlJoint, ...]     none where there is no slab

A slab shrinks as it dries, and cracks where that is held back. Cuts a quarter of it deep, into
panels as square as can be, lead the cracks along straight lines.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pikepole_export.derive.buying.amounts import whole
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.foundation import Pad

# 24 to 36 times the slab's thickness from joint to joint and not over 15 ft; a quarter of the slab
# deep. Source: NRMCA CIP 6; the same of thickness in ACI 302.1R, which goes up to 18 ft. 30 is the
# middle of what they allow.
THICKNESSES_APART = 30
FARTHEST_APART_MM = 15 * 304.8
SHARE_DEEP = 1 / 4
SOURCE = "NRMCA CIP 6, ACI 302.1R"


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
    slabs = [part for part in building.parts if part.kind == Kind.SLAB]
    return tuple(
        joint
        for slab in slabs
        for joint in joints(
            slab.bounds_mm[1][0] - slab.bounds_mm[0][0],
            slab.bounds_mm[1][1] - slab.bounds_mm[0][1],
            _thickness_mm(slab, building),
        )
    )


def _thickness_mm(slab: Part, building: Building) -> float:
    """Of a slab between its edges, mm: a pad may be deeper there."""
    pad = building.scene.foundation
    own = slab.bounds_mm[1][2] - slab.bounds_mm[0][2]
    return pad.thickness if isinstance(pad, Pad) and slab.group == "foundation" else own


def joints(length_mm: float, depth_mm: float, thickness_mm: float) -> tuple[ControlJoint, ...]:
    """The cuts of a rectangular slab.

    Args:
        length_mm: Along x, mm.
        depth_mm: Along y, mm.
        thickness_mm: Of the slab between its edges, mm.

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
    return (
        *(
            ControlJoint("x", length_mm * k / across_x, depth_mm, deep_mm)
            for k in range(1, across_x)
        ),
        *(
            ControlJoint("y", depth_mm * k / across_y, length_mm, deep_mm)
            for k in range(1, across_y)
        ),
    )


def _squarest(side_mm: float, most_mm: float, other_mm: float) -> int:
    """Into how many panels to part a long side, so that each is nearest to square."""
    least = whole(side_mm / most_mm)
    counts = {least, *(max(least, int(side_mm / other_mm) + more) for more in (0, 1))}

    def longer_by(count: int) -> float:
        panel_mm = side_mm / count
        return max(panel_mm / other_mm, other_mm / panel_mm)

    return min(sorted(counts), key=longer_by)

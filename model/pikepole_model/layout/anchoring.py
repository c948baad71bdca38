"""What holds a building to the pad that it was moved onto: angles, and anchors drilled in.

A threaded rod in adhesive: its hole is drilled while there is room over it, before the building
comes, and it is let in by hand when it stands there.
"""

from __future__ import annotations

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, anchor_steel, bulk, let_in, profile
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Circle
from pikepole_model.plan.anchor_bolts import over_plate_mm
from pikepole_model.plan.bearers import (
    ANGLE_LEG_MM,
    ANGLE_LONG_MM,
    ANGLE_MM,
    DrilledAnchor,
    drilled_anchors,
)
from pikepole_model.plan.datums import Datums
from pikepole_model.scene.foundation import Pad, Piers, Skids

GROUP = "anchors"


def anchor_bearers(datums: Datums, bearers: Skids | Piers, pad: Pad) -> list[Piece]:
    """An angle on the bearer and an anchor through it, at each place."""
    return [
        piece
        for place in drilled_anchors(datums, bearers, pad)
        for anchor in (drilled(datums, pad, place),)
        for piece in (let_in(_angle(datums, pad, place), anchor), anchor)
    ]


def drilled(datums: Datums, pad: Pad, place: DrilledAnchor) -> Piece:
    """An anchor that goes down through the angle, long enough for washer and nut on it."""
    low = pad.above_ground - pad.bolt_embedment
    return profile(
        str(Kind.DRILLED_ANCHOR),
        Kind.DRILLED_ANCHOR,
        GROUP,
        anchor_steel(datums.scene, pad, "adhesive anchor"),
        Circle(0.0, 0.0, pad.bolt_diameter / 2),
        Placement((place.x, place.y, low)),
        pad.bolt_embedment + ANGLE_MM + over_plate_mm(pad.bolt_diameter),
        length_along="n",
    )


def _angle(datums: Datums, pad: Pad, place: DrilledAnchor) -> Piece:
    """A length of angle, its heel where the bearer meets the pad; drawn seen along the bearer."""
    leg, thick, half = ANGLE_LEG_MM, ANGLE_MM, ANGLE_LONG_MM / 2
    outline = ((0.0, 0.0), (leg, 0.0), (leg, thick), (thick, thick), (thick, leg), (0.0, leg))
    out = float(place.out)
    size = f"{leg:.0f} x {leg:.0f} x {thick:.0f} mm, {ANGLE_LONG_MM:.0f} mm"
    if datums.scene.units == "imperial":
        size = "3-1/2 x 3-1/2 x 1/4 in, 3 in"
    return profile(
        str(Kind.ANCHOR_ANGLE),
        Kind.ANCHOR_ANGLE,
        GROUP,
        bulk(datums.scene, "steel", f"angle {size} long"),
        outline,
        Placement(
            (place.x - out * half, place.heel_y, pad.above_ground), (0.0, out, 0.0), (0.0, 0.0, 1.0)
        ),
        ANGLE_LONG_MM,
    )

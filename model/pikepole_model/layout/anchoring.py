"""What holds skids and girders down: angles, and anchors through them in a pad or in the ground.

Anchors in a pad are those of a building that was moved onto it. In the ground, one stands beside
each end of the two outer bearers and between:

        |_______|
        |      ||
        |      ||_____  <- angle on the bearer's outer face
     ___|______|L_#___|   ground; # is the anchor, a rod down into firm soil
                  #
"""

from __future__ import annotations

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, anchor_steel, bulk, let_in, profile
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Circle
from pikepole_model.geometry.spacing import evenly
from pikepole_model.layout.room import Room
from pikepole_model.plan.anchor_bolts import over_plate_mm
from pikepole_model.plan.bearers import (
    ANGLE_LEG_MM,
    ANGLE_LONG_MM,
    ANGLE_MM,
    DrilledAnchor,
    drilled_anchors,
)
from pikepole_model.plan.datums import Datums, support_mm
from pikepole_model.scene.foundation import Pad, Piers, Skids
from pikepole_model.units import FOOT_MM, INCH_MM

GROUP = "anchors"
IN_GROUND = "ground anchors"

# A rod 5/8 in thick, 30 in in the ground, 12 in from the ends of a bearer and 8 ft apart at most;
# moved by a hand's breadth at a time where something is in its way. Common practice, no source:
# what an anchor carries is for its maker and the soil to say (24 CFR 3285.402, manufactured homes).
ROD_MM, DEEP_MM = 0.625 * INCH_MM, 30 * INCH_MM
FROM_END_MM, APART_MM = FOOT_MM, 8 * FOOT_MM
_ASIDE_MM, _TRIES = 4 * INCH_MM, 6


def anchor_bearers(datums: Datums, bearers: Skids | Piers, pad: Pad) -> list[Piece]:
    """An angle on the bearer and an anchor through it, at each place."""
    return [
        piece
        for place in drilled_anchors(datums, bearers, pad)
        for anchor in (drilled(datums, pad, place),)
        for piece in (let_in(_angle(datums, GROUP, pad.above_ground, place), anchor), anchor)
    ]


def anchor_in_ground(datums: Datums, room: Room) -> list[Piece]:
    """The same along the outer bearers of a building that stays on skids or girders.

    Args:
        datums: Of the building.
        room: What is there but gravel, through which an anchor is driven.
    """
    scene, bearers = datums.scene, datums.scene.foundation
    if scene.ties.ground == "none" or not isinstance(bearers, Skids | Piers):
        return []
    fronts, low = datums.bearer_fronts_mm(bearers), support_mm(bearers)
    deep = scene.lumber_stock(bearers.bearer).breadth_mm
    first, last = FROM_END_MM, datums.length_mm - FROM_END_MM
    wishes = evenly(first, last, APART_MM) if last - first > FROM_END_MM else [(first + last) / 2]
    pieces: list[Piece] = []
    for heel_y, out in ((fronts[0], -1), (fronts[-1] + deep, 1)):
        for wish in wishes:
            aside = [_ASIDE_MM * k * way for k in range(_TRIES) for way in (1, -1)]
            tried = (DrilledAnchor(wish + step, heel_y, out) for step in aside)
            place = next((place for place in tried if _is_free(room, place, low)), None)
            if place:
                rod = _driven(datums, place, low)
                pieces += [let_in(_angle(datums, IN_GROUND, low, place), rod), rod]
    return pieces


def _is_free(room: Room, place: DrilledAnchor, low: float) -> bool:
    half, thick, out = ANGLE_LONG_MM / 2, ANGLE_MM, place.out
    legs = [(0.0, ANGLE_LEG_MM, thick), (0.0, thick, ANGLE_LEG_MM)]
    boxes = [
        (
            place.x - half,
            place.heel_y + out * near,
            low,
            place.x + half,
            place.heel_y + out * far,
            low + up,
        )
        for near, far, up in legs
    ]
    boxes.append(
        (
            *(place.x - ROD_MM / 2, place.y - ROD_MM / 2, -DEEP_MM),
            *(place.x + ROD_MM / 2, place.y + ROD_MM / 2, low + thick + over_plate_mm(ROD_MM)),
        )
    )
    return all(
        room.is_free((x0, min(y0, y1), z0), (x1, max(y0, y1), z1))
        for x0, y0, z0, x1, y1, z1 in boxes
    )


def _driven(datums: Datums, place: DrilledAnchor, low: float) -> Piece:
    """A rod with room for washer and nut over the angle."""
    long = DEEP_MM + low + ANGLE_MM + over_plate_mm(ROD_MM)
    return profile(
        str(Kind.GROUND_ANCHOR),
        Kind.GROUND_ANCHOR,
        IN_GROUND,
        bulk(datums.scene, "steel", f"5/8 in {Kind.GROUND_ANCHOR}"),
        Circle(0.0, 0.0, ROD_MM / 2),
        Placement((place.x, place.y, -DEEP_MM)),
        long,
        length_along="n",
    )


def drilled(datums: Datums, pad: Pad, place: DrilledAnchor) -> Piece:
    """An anchor that is drilled in through the angle, long enough for washer and nut on it."""
    low = pad.above_ground - pad.bolt_embedment
    return profile(
        str(Kind.DRILLED_ANCHOR),
        Kind.DRILLED_ANCHOR,
        GROUP,
        anchor_steel(datums.scene, pad, "drilled anchor"),
        Circle(0.0, 0.0, pad.bolt_diameter / 2),
        Placement((place.x, place.y, low)),
        pad.bolt_embedment + ANGLE_MM + over_plate_mm(pad.bolt_diameter),
        length_along="n",
    )


def _angle(datums: Datums, group: str, low: float, place: DrilledAnchor) -> Piece:
    """A length of angle, its heel at the foot of the bearer; drawn seen along the bearer."""
    leg, thick, half = ANGLE_LEG_MM, ANGLE_MM, ANGLE_LONG_MM / 2
    outline = ((0.0, 0.0), (leg, 0.0), (leg, thick), (thick, thick), (thick, leg), (0.0, leg))
    out = float(place.out)
    return profile(
        str(Kind.ANCHOR_ANGLE),
        Kind.ANCHOR_ANGLE,
        group,
        bulk(datums.scene, "steel", "angle 3-1/2 x 3-1/2 x 1/4 in, 3 in long"),
        outline,
        Placement((place.x - out * half, place.heel_y, low), (0.0, out, 0.0), (0.0, 0.0, 1.0)),
        ANGLE_LONG_MM,
    )

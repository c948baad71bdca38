"""Bent steel that holds the joists of a floor down on the skids or girders that they cross.

Seen from above, where a joist crosses the inner face of a skid, and from the end of the skid:

            | joist |                             ______________________
            |       |_ <- leg on its side          |  joist    |  |
    ========|=======|=|=======  face of the skid  _|___________|__|_____  <- seat
                      `- leg on that face            |  skid   |__|  <- foot of the legs
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import TypeAlias

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece
from pikepole_model.geometry.placement import Vector
from pikepole_model.layout.floor import FRAME
from pikepole_model.layout.room import Room, box_round
from pikepole_model.layout.straps import spread
from pikepole_model.layout.tie_downs import LEG_MM, bent_tie, legs_of
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.framed import within
from pikepole_model.stock.metric import usual_mm
from pikepole_model.units import INCH_MM

# 3 in up the joist and as much down the skid or girder; at its ends, and no farther apart than
# straps down a wall. Common practice, no source.
LAP_MM = 3 * INCH_MM

Box: TypeAlias = tuple[Vector, Vector]
# X and Y of the heel, and which way along either the legs stand out.
Place: TypeAlias = tuple[tuple[float, float], tuple[int, int]]


def tie_floor(datums: Datums, laid: Sequence[Piece], room: Room) -> list[Piece]:
    """Ties along every skid or girder, from the first joist that it has room beside to the last.

    Args:
        datums: Of the building.
        laid: What is laid out.
        room: What is there already, or comes later.
    """
    if datums.scene.ties.floor == "none":
        return []
    lap, kind = usual_mm(LAP_MM, datums.scene.units), Kind.FLOOR_TIE
    joists = [box_round(piece) for piece in laid if piece.kind is Kind.JOIST]
    bearers = [piece for piece in laid if piece.kind in (Kind.SKID, Kind.GIRDER)]
    ties: list[Piece] = []
    for low, high in map(box_round, bearers):
        z = (max(low[2], high[2] - lap), high[2] + lap)
        over = [joist for joist in joists if joist[1][0] > low[0] and joist[0][0] < high[0]]
        tied = {
            (joist[0][0] + joist[1][0]) / 2: joist
            for joist in sorted(over)
            if _place(datums, (low, high), joist, z, room)
        }
        for x in spread(list(tied)):
            # Between joists side by side there is room for that of one.
            if place := _place(datums, (low, high), tied[x], z, room):
                for leg in legs_of(*place, z):
                    room.take(*leg)
                ties.append(bent_tie(datums.scene, (str(kind), kind, FRAME), *place, z))
    return ties


def _place(
    datums: Datums, bearer: Box, joist: Box, z: tuple[float, float], room: Room
) -> Place | None:
    """Where there is room for one beside a joist: rather inside than outside."""
    (x0, y0, _), (x1, y1, _) = bearer
    faces = sorted(((y0, -1), (y1, 1)), key=lambda face: face[1] * (face[0] - datums.depth_mm / 2))
    sides = sorted(
        ((joist[0][0], -1), (joist[1][0], 1)),
        key=lambda side: side[1] * (side[0] - datums.length_mm / 2),
    )
    for (y, out), (x, side) in itertools.product(faces, sides):
        (u0, u1), (v0, v1) = sorted((x, x + side * LEG_MM)), sorted((y, y + out * LEG_MM))
        on_both = within((u0, u1), (x0, x1)) and within((v0, v1), (joist[0][1], joist[1][1]))
        if on_both and all(room.is_free(*leg) for leg in legs_of((x, y), (side, out), z)):
            return (x, y), (side, out)
    return None

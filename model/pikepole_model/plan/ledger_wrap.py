"""The strip of wrap that is put up before a ledger, and comes out under it over the wall's wrap."""

from __future__ import annotations

import math

from pikepole_model.plan.faces import CLEAR_OF_RAFTERS_MM, WallFace
from pikepole_model.plan.heads import heads
from pikepole_model.plan.wall_metal import RISE_MM
from pikepole_model.stock.rows import Roll
from pikepole_model.stock.sheet_metal import DAM_MM

# It comes out this far under the ledger: common practice, no source.
CLEAR_OF_LEDGER_MM = 1.0

# A layer laps the one below it by 2 in at least. Source: IRC R703.2, of felt (from memory).
LEAST_LAP_MM = 50.8


def ledger_wrap_foot_mm(face: WallFace, roll: Roll) -> float:
    """How far down it hangs over the wall's wrap, mm above the floor.

    As courses lap; less over an opening or the flashing over a head, but no less than it must.

    Args:
        face: The wall that a ledger hangs on.
        roll: What it is cut from.
    """
    top = face.ledger_mm[0] - CLEAR_OF_RAFTERS_MM
    below = [
        *(framed.head for framed in face.openings),
        *(head.outer[3] + RISE_MM + DAM_MM for head in heads(face)),
    ]
    over = max((v for v in below if v < top), default=-math.inf)
    return min(max(top - max(roll.lap_mm, LEAST_LAP_MM), over), top - LEAST_LAP_MM)

"""The two beams that carry a building on its move: bought and lifted, and no part of it.

They lie as they are laid on lowered forks, or on pipes, in front of the side that is worked from,
before they go under.
"""

from __future__ import annotations

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, block, timber
from pikepole_model.geometry.placement import Vector
from pikepole_model.plan.datums import Datums
from pikepole_model.scene.moving import CarryingBeams, Move
from pikepole_model.units import FOOT_MM

GROUP = "carrying beams"

# Clear of whatever sticks out on that side. Common practice, no source.
IN_FRONT_MM = 3 * FOOT_MM


def lay_carrying_beams(datums: Datums, move: Move, beams: CarryingBeams) -> list[Piece]:
    """Two of them, about the middle of the side.

    Args:
        datums: Sizes of the store.
        move: Which side, and how far apart they are.
        beams: What they are cut from.
    """
    source = timber(datums.scene, beams.section, treated=beams.treated)
    stock = datums.scene.lumber_stock(beams.section)
    low, high = move.lies_at_mm, move.lies_at_mm + stock.depth_mm
    from_end = move.side in ("left", "right")
    middle = (datums.depth_mm if from_end else datums.length_mm) / 2
    away = -IN_FRONT_MM - beams.length, -IN_FRONT_MM
    if move.side in ("back", "right"):
        far = datums.length_mm if from_end else datums.depth_mm
        away = far + IN_FRONT_MM, far + IN_FRONT_MM + beams.length
    pieces: list[Piece] = []
    for sign in (-1, 1):
        at = middle + sign * move.fork_spacing / 2
        across = at - stock.breadth_mm / 2, at + stock.breadth_mm / 2
        x, y = (away, across) if from_end else (across, away)
        corners: tuple[Vector, Vector] = (x[0], y[0], low), (x[1], y[1], high)
        axis = "x" if from_end else "y"
        pieces.append(block("carrying beam", Kind.CARRYING_BEAM, GROUP, source, *corners, axis))
    return pieces

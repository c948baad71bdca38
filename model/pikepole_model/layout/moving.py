"""What a building is moved by: bought and lifted, and no part of it.

It lies in front of the side that is worked from, before it goes under: carrying beams as they are
laid on lowered forks, or on pipes; the planks of a ramp on the ground beside them.
"""

from __future__ import annotations

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, block, timber
from pikepole_model.plan.datums import Datums
from pikepole_model.scene.moving import CarryingBeams, Move, Ramp
from pikepole_model.units import FOOT_MM

GROUP = "for the move"

# Clear of whatever sticks out on that side, and of each other. Common practice, no source.
IN_FRONT_MM, BESIDE_MM = 3 * FOOT_MM, 1 * FOOT_MM


def lay_out_move(datums: Datums, move: Move) -> list[Piece]:
    """All of it; nothing where the scene has neither."""
    beams = _beams(datums, move, move.beams) if move.beams else []
    return beams + (_planks(datums, move, move.ramp) if move.ramp else [])


def _beams(datums: Datums, move: Move, beams: CarryingBeams) -> list[Piece]:
    """Two of them, on edge about the middle of the side."""
    source = timber(datums.scene, beams.section, treated=beams.treated)
    stock = datums.scene.lumber_stock(beams.section)
    return [
        _in_front(
            datums,
            move,
            Kind.CARRYING_BEAM,
            source,
            at_mm=sign * move.fork_spacing / 2,
            low_mm=move.lies_at_mm,
            size_mm=(beams.length, stock.breadth_mm, stock.depth_mm),
        )
        for sign in (-1, 1)
    ]


def _planks(datums: Datums, move: Move, ramp: Ramp) -> list[Piece]:
    """Two rows, flat on the ground outside of the beams."""
    source = timber(datums.scene, ramp.plank, treated=ramp.treated)
    stock = datums.scene.lumber_stock(ramp.plank)
    first = move.fork_spacing / 2 + BESIDE_MM
    return [
        _in_front(
            datums,
            move,
            Kind.RAMP_PLANK,
            source,
            at_mm=sign * (first + (k + 0.5) * stock.depth_mm),
            low_mm=0.0,
            size_mm=(ramp.length, stock.depth_mm, stock.breadth_mm),
        )
        for sign in (-1, 1)
        for k in range(ramp.planks)
    ]


def _in_front(
    datums: Datums,
    move: Move,
    kind: Kind,
    source: Source,
    *,
    at_mm: float,
    low_mm: float,
    size_mm: tuple[float, float, float],
) -> Piece:
    """A piece that points at the side.

    Args:
        datums: Sizes of the store.
        move: Which side.
        kind: What it is.
        source: What it is cut from.
        at_mm: Its middle, from the middle of the side.
        low_mm: Its underside over the ground.
        size_mm: Length, breadth and height as it lies.
    """
    long, broad, high = size_mm
    from_end = move.side in ("left", "right")
    middle = (datums.depth_mm if from_end else datums.length_mm) / 2 + at_mm
    near = -IN_FRONT_MM - long
    if move.side in ("back", "right"):
        near = (datums.length_mm if from_end else datums.depth_mm) + IN_FRONT_MM
    into, along = (near, near + long), (middle - broad / 2, middle + broad / 2)
    x, y = (into, along) if from_end else (along, into)
    corners = (x[0], y[0], low_mm), (x[1], y[1], low_mm + high)
    return block(kind.value, kind, GROUP, source, *corners, "x" if from_end else "y")

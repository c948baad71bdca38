"""Single shaped pieces, cut by closed formulas, in a building of nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, hypot
from typing import Literal

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.piece import Piece, Source, profile
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Polygon
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.materials import Material
from pikepole_model.units import Units

INCH = 25.4
FOOT = 12 * INCH
WOOD = Material("spruce", (400.0, 450.0, 500.0), "round number for the tests")
# Seen from the left end of the building: u from front to back, v up.
UPRIGHT = Placement((0.0, 0.0, 3000.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def only(*pieces: Piece, units: Units = "imperial") -> Building:
    """A building of these pieces, named and numbered as they come."""
    parts = tuple(
        Part(
            f"{piece.label} {number}",
            piece.kind,
            piece.group,
            1,
            piece.source.stock,
            piece.source.material,
            piece.source.section_mm,
            piece.shape,
            piece.placement,
        )
        for number, piece in enumerate(pieces, start=1)
    )
    # Nothing under test reads more of a scene than its units.
    scene = Scene.model_construct(title="Pieces", units=units)
    return Building(scene, parts, (), ())


def stick(
    kind: Kind,
    outline: Polygon,
    section: tuple[float, float],
    *,
    grain_rad: float = 0.0,
    thickness: float = 1.5 * INCH,
    place: Placement = UPRIGHT,
    length_along: Literal["u", "n"] = "u",
) -> Piece:
    """A piece of lumber drawn where it stands."""
    source = Source("2x", WOOD, section)
    return profile(
        kind.value,
        kind,
        "frame",
        source,
        outline,
        place,
        thickness,
        grain_rad=grain_rad,
        length_along=length_along,
    )


def rafter(
    rise: float,
    run: float,
    deep: float,
    *,
    seats: Sequence[tuple[float, float]] = (),
    falls: Literal["back", "front"] = "back",
) -> Piece:
    """A rafter with plumb ends, rise to 12, so much of level run.

    Args:
        rise: To 12 of run.
        run: From its upper end to its lower one, mm.
        deep: Square to its edges, mm.
        seats: Level distance of each heel from the upper end, and length of its seat up the slope
            from there, mm.
        falls: Which way.
    """
    tan = rise / 12
    plumb = deep * hypot(12, rise) / 12  # d / cos

    def low(h: float) -> float:
        return -plumb - tan * h

    under: list[tuple[float, float]] = [(0.0, low(0.0))]
    for heel, seat in seats:
        under += [(heel - seat, low(heel - seat)), (heel, low(heel - seat)), (heel, low(heel))]
    corners = [*under, (run, low(run)), (run, -tan * run), (0.0, 0.0)]
    grain = -atan2(rise, 12)
    if falls == "front":
        corners, grain = [(-a, b) for a, b in reversed(corners)], -grain
    return stick(Kind.RAFTER, tuple(corners), (1.5 * INCH, deep), grain_rad=grain)


def sloped(run: float, rise: float) -> float:
    """The length along a slope that goes with a level run: run / cos."""
    return run / cos(atan2(rise, 12))

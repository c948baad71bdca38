"""Sills of windows and thresholds of doors: boards between the jambs that slope out and drip."""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, profile, timber
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Polygon
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.sills import Sill
from pikepole_model.plan.windows_doors import FittedOpening


def lay_sill(face: WallFace, fitted: FittedOpening, group: str) -> Iterator[Piece]:
    """A window's sill, or a door's threshold where it has one: between the jambs.

    Args:
        face: The wall.
        fitted: The opening.
        group: What it belongs to.
    """
    door = fitted.door
    if door and not door.threshold:
        return
    sill, name = Sill(face, fitted), fitted.framed.opening.name
    what, kind = ("threshold", Kind.THRESHOLD) if door else ("frame sill", Kind.FRAME_BOARD)
    source = timber(fitted.scene, sill.stock, treated=bool(door))
    yield across(face, f"{name} {what}", kind, group, source, sill.section, fitted.clear)


def across(
    face: WallFace,
    label: str,
    kind: Kind,
    group: str,
    source: Source,
    section: Polygon,
    clear: tuple[float, float, float, float],
) -> Piece:
    """A piece from jamb to jamb, drawn as its end section in n and v, mm.

    Args:
        face: The wall.
        label: Its name without a number.
        kind: What it is.
        group: What it belongs to.
        source: What it is made from.
        section: Its end section, n out from the sheathing and v above the floor, mm.
        clear: What is open between the jambs, mm.
    """
    place = Placement(face.place.point(clear[2], 0.0), face.place.n, face.place.v)
    long = clear[2] - clear[0]
    return profile(label, kind, group, source, section, place, long, length_along="n")

"""Boards on and in a sheathed wall: what windows, doors and trims are put together from."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, profile, timber
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Circle, Loop, rectangle
from pikepole_model.geometry.spacing import TOLERANCE_MM, evenly
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.sills import frame_stock, lined_n
from pikepole_model.plan.windows_doors import FittedOpening
from pikepole_model.scene.windows_doors import FixedLight, Vent
from pikepole_model.stock.metric import usual
from pikepole_model.stock.rows import Lumber, Roll


def board(
    face: WallFace,
    label: str,
    kind: Kind,
    group: str,
    source: Source,
    rect: Rect,
    n: tuple[float, float],
) -> Piece:
    """A square-cut piece in a wall, its length the longer side of what is seen from outside.

    Args:
        face: The wall.
        label: Its name without a number.
        kind: What it is.
        group: What it belongs to.
        source: What it is made from.
        rect: (u0, v0, u1, v1) in the wall's plane, mm.
        n: From and to across the wall, mm from the sheathing's outer face, outwards positive.
    """
    upright = rect[3] - rect[1] > rect[2] - rect[0]
    return outlined(
        face, label, kind, group, source, rectangle(*rect), n, math.pi / 2 if upright else 0.0
    )


def outlined(
    face: WallFace,
    label: str,
    kind: Kind,
    group: str,
    source: Source,
    outline: Loop,
    n: tuple[float, float],
    grain_rad: float = 0.0,
) -> Piece:
    """The same for a piece of any outline in the wall's plane.

    Args:
        face: The wall.
        label: Its name without a number.
        kind: What it is.
        group: What it belongs to.
        source: What it is made from.
        outline: Its outline in the wall's plane, mm.
        n: From and to across the wall, mm from the sheathing's outer face, outwards positive.
        grain_rad: Direction of its length, from u towards v.
    """
    along_n = isinstance(outline, Circle)
    return profile(
        label,
        kind,
        group,
        source,
        outline,
        face.place.at_depth(n[0]),
        n[1] - n[0],
        grain_rad=grain_rad,
        length_along="n" if along_n else "u",
    )


def line_opening(face: WallFace, fitted: FittedOpening, group: str) -> Iterator[Piece]:
    """Frame boards round an opening: the head across, jambs under it; a sill comes between them.

    Args:
        face: The wall.
        fitted: The opening.
        group: What the boards belong to.
    """
    stock = frame_stock(face, fitted)
    if not stock:
        return
    source = timber(fitted.scene, stock)
    n, name = lined_n(face, fitted), fitted.framed.opening.name
    (u0, v0, u1, v1), (low_u, _, high_u, high_v) = fitted.lined, fitted.clear
    for what, rect in (
        ("head", (u0, high_v, u1, v1)),
        ("jamb", (u0, v0, low_u, high_v)),
        ("jamb", (high_u, v0, u1, high_v)),
    ):
        yield board(face, f"{name} frame {what}", Kind.FRAME_BOARD, group, source, rect, n)


def stop_round(
    face: WallFace,
    label: str,
    kind: Kind,
    group: str,
    source: Source,
    inner: Rect,
    n: tuple[float, float],
    sill: Callable[[float], float] | None = None,
) -> Iterator[Piece]:
    """Stops inside a frame: the head across, the sides under it, and one along a sloping sill.

    That one lies on the sill and slopes as it does, and so the sides' feet are cut.

    Args:
        face: The wall.
        label: Their name without a number.
        kind: What they are.
        group: What they belong to.
        source: A section laid flat on the frame.
        inner: Clear opening that they stand in, mm.
        n: From and to across the wall, mm.
        sill: Height of the sill there, mm; None at a door, where the sides stand on what is level.
    """
    assert source.section_mm
    t, (u0, v0, u1, v1) = source.section_mm[0], inner
    yield board(face, label, kind, group, source, (u0, v1 - t, u1, v1), n)
    if sill is None:
        for rect in ((u0, v0, u0 + t, v1 - t), (u1 - t, v0, u1, v1 - t)):
            yield board(face, label, kind, group, source, rect, n)
        return
    low, out = sill(n[0]), sill(n[1])
    side = ((n[0], low + t), (n[1], out + t), (n[1], v1 - t), (n[0], v1 - t))
    foot = ((n[0], low), (n[1], out), (n[1], out + t), (n[0], low + t))
    # n outwards and v up make the plane; what is extruded from it runs to the left.
    for right in (u0 + t, u1):
        place = Placement(face.place.point(right, 0.0), face.place.n, face.place.v)
        yield profile(label, kind, group, source, side, place, t, grain_rad=math.pi / 2)
    yield profile(label, kind, group, source, foot, place, u1 - u0, length_along="n")


# A vent's slats stay this clear of its sill and head, so that water runs off: 1/4 in, common
# practice, no source.
SLAT_GAP_MM = 6.35


# Air passes between two slats through this much at least. Assumed.
LEAST_AIR_MM = 3.175


def slat_reach_mm(stock: Lumber) -> float:
    """How far a slat at 45 degrees reaches across the wall, and as far up, mm."""
    return (stock.breadth_mm + stock.depth_mm) / math.sqrt(2)


def slat_feet_v(fitted: FittedOpening, stock: Lumber) -> list[float]:
    """Heights of the slats' lower edges above the floor: each foot as low as the next one's top."""
    _, v0, _, v1 = fitted.clear
    first, last = v0 + SLAT_GAP_MM, v1 - SLAT_GAP_MM - slat_reach_mm(stock)
    return evenly(first, last, stock.depth_mm / math.sqrt(2))


# A vent's mesh lies on its frame so far, for staples: common practice, no source.
MESH_LAP_MM = 12.7

# What it is cut from, the narrowest that covers it in one piece.
MESHES = ("vent mesh 24 in", "vent mesh 36 in", "vent mesh 48 in")


def mesh_rect(fitted: FittedOpening) -> Rect:
    """What the mesh of a vent covers: what is open, and its lap on the frame's edges, mm."""
    (u0, v0, u1, v1), (left, foot, right, top) = fitted.clear, fitted.lined
    lap = MESH_LAP_MM
    return max(u0 - lap, left), max(v0 - lap, foot), min(u1 + lap, right), min(v1 + lap, top)


def mesh_roll(fitted: FittedOpening, vent: Vent) -> Roll:
    """What the mesh of a vent is cut from."""
    scene, (u0, v0, u1, v1) = fitted.scene, mesh_rect(fitted)
    names = [vent.mesh] if vent.mesh else [usual(name, scene.units) for name in MESHES]
    rolls = [scene.roll_stock(name) for name in names]
    across = min(u1 - u0, v1 - v0) - TOLERANCE_MM
    return next((roll for roll in rolls if roll.width_mm > across), rolls[-1])


def light_n(
    face: WallFace, fitted: FittedOpening, window: FixedLight
) -> tuple[tuple[float, float], tuple[float, float]]:
    """From and to across the wall of the stops before and behind the pane, mm.

    Args:
        face: The wall.
        fitted: The opening.
        window: What is in it.

    Returns:
        (outer stops, inner stops), mm from the sheathing's outer face, outwards positive.
    """
    wide = fitted.scene.lumber_stock(window.stop).depth_mm
    thick = fitted.scene.catalogue.find_pane(window.pane).thickness_mm
    outer = lined_n(face, fitted)[1]
    return (outer - wide, outer), (outer - 2 * wide - thick, outer - wide - thick)

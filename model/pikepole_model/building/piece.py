"""A piece as it is laid out: geometry and name, before the work has an order."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Record
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import DECIMALS, Body, Loop, Prism, Shape, canonical, rectangle
from pikepole_model.scene.foundation import Pad
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.materials import Material
from pikepole_model.units import INCH_MM, format_length

Axis = Literal["x", "y", "z"]

_UNIT: dict[Axis, Vector] = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}


@dataclass(frozen=True, slots=True)
class Source:
    """What a piece is made from.

    Attributes:
        stock: Catalogue name.
        material: What it weighs.
        section_mm: Breadth and depth of lumber, mm; None for anything else.
    """

    stock: str
    material: Material
    section_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of the building.

    Attributes:
        label: What it is called; a number is added where several share it.
        kind: What it is.
        group: What it is raised or counted with.
        source: What it is made from.
        shape: Its geometry.
        placement: Where it is.
        record: What else was decided of it, where anything was.
    """

    label: str
    kind: Kind
    group: str
    source: Source
    shape: Shape
    placement: Placement
    record: Record | None = None


def timber(scene: Scene, stock: str, *, treated: bool = False) -> Source:
    """A lumber section in the scene's species, or in the species it takes for treated work.

    Args:
        scene: For its species and its own stock.
        stock: Catalogue name: "2x4".
        treated: Whether it is pressure-treated.
    """
    section = scene.lumber_stock(stock)
    return Source(stock, scene.wood(treated, stock), (section.breadth_mm, section.depth_mm))


def sheeting(scene: Scene, stock: str) -> Source:
    """A sheet of the catalogue."""
    return Source(stock, scene.sheet_material(stock))


def bulk(
    scene: Scene, name: Literal["concrete", "gravel", "steel"], stock: str | None = None
) -> Source:
    """Concrete, gravel or steel, under the name it is ordered by.

    Args:
        scene: For its densities.
        name: Which of them.
        stock: What it is ordered as, where that differs.
    """
    return Source(stock or name, scene.bulk_material(name))


def anchor_steel(scene: Scene, pad: Pad, what: Literal["anchor bolt", "adhesive anchor"]) -> Source:
    """What an anchor, its washer and its nut are ordered as."""
    # Where sizes are in millimetres, threads are M12 and the like.
    thick = f"M{pad.bolt_diameter:g}" if scene.units == "metric" else f"{pad.bolt_diameter:g} mm"
    sixteenths = pad.bolt_diameter / INCH_MM * 16
    if scene.units == "imperial" and math.isclose(sixteenths, round(sixteenths), abs_tol=1e-6):
        thick = format_length(pad.bolt_diameter, "imperial").replace('"', " in")
    return bulk(scene, "steel", f"{thick} {what}")


def block(
    label: str, kind: Kind, group: str, source: Source, low: Vector, high: Vector, along: Axis
) -> Piece:
    """A square-cut piece between two corners of the building's frame, its length along one axis.

    Args:
        label: Its name without a number.
        kind: What it is.
        group: What it belongs to.
        source: What it is made from.
        low: Its corner of least X, Y and Z, mm.
        high: Its corner of greatest X, Y and Z, mm.
        along: The axis that its length runs along.

    Returns:
        The piece, its shape shared with every equal one.

    Raises:
        ValueError: it has no thickness.
    """
    u = _UNIT[along]
    v = _UNIT["y" if along == "x" else "z" if along == "y" else "x"]
    a, b, c = {
        "x": (0, 1, 2),
        "y": (1, 2, 0),
        "z": (2, 0, 1),
    }[along]
    outline = rectangle(0.0, 0.0, high[a] - low[a], high[b] - low[b])
    place = Placement(low, u, v)
    return profile(label, kind, group, source, outline, place, high[c] - low[c])


def profile(
    label: str,
    kind: Kind,
    group: str,
    source: Source,
    outline: Loop,
    place: Placement,
    thickness: float,
    *,
    grain_rad: float = 0.0,
    holes: Iterable[Loop] = (),
    length_along: Literal["u", "n"] = "u",
) -> Piece:
    """A piece drawn as its outline in a plane.

    Args:
        label: Its name without a number.
        kind: What it is.
        group: What it belongs to.
        source: What it is made from.
        outline: Its outer loop in the plane's (u, v), mm.
        place: The plane; the outline is extruded along its n.
        thickness: How thick, mm.
        grain_rad: Direction of the piece's length in that plane, from u towards v.
        holes: Inner loops, mm.
        length_along: "n" for a piece drawn as its end section.

    Returns:
        The piece, its shape shared with every equal one.
    """
    cos, sin = math.cos(grain_rad), math.sin(grain_rad)
    if grain_rad:
        outline, *holes = (_rotated(loop, cos, sin) for loop in (outline, *holes))
        u, v = place.u, place.v
        place = Placement(
            place.origin,
            (cos * u[0] + sin * v[0], cos * u[1] + sin * v[1], cos * u[2] + sin * v[2]),
            (cos * v[0] - sin * u[0], cos * v[1] - sin * u[1], cos * v[2] - sin * u[2]),
        )
    body = Prism(outline, thickness, tuple(holes), length_along)
    return Piece(label, kind, group, source, *canonical(body, place))


def let_in(piece: Piece, insert: Piece) -> Piece:
    """A piece with another one's solid taken out of it: a bolt cast in, a stem in a footing."""
    at = piece.placement
    tool: Body = insert.shape.body
    local = Placement(
        _into(at, insert.placement.origin, point=True),
        _into(at, insert.placement.u),
        _into(at, insert.placement.v),
    )
    return replace(piece, shape=Shape(piece.shape.body, (*piece.shape.cuts, (tool, local))))


def _rotated(loop: Loop, cos: float, sin: float) -> Loop:
    if not isinstance(loop, tuple):
        raise ValueError("only straight-sided outlines are drawn at an angle")
    return tuple((cos * u + sin * v, cos * v - sin * u) for u, v in loop)


def _into(frame: Placement, vector: Vector, *, point: bool = False) -> Vector:
    """A vector (or point, as exact as recipes are) of the building in a frame's own coordinates."""
    if point:
        o = frame.origin
        vector = (vector[0] - o[0], vector[1] - o[1], vector[2] - o[2])
    a, b, c = (
        sum(p * q for p, q in zip(vector, axis, strict=True))
        for axis in (frame.u, frame.v, frame.n)
    )
    return (round(a, DECIMALS), round(b, DECIMALS), round(c, DECIMALS)) if point else (a, b, c)

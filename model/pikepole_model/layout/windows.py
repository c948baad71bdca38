"""Windows: a membrane on the rough sill, then a bought unit, or a pane or slats in a frame."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import assert_never

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, profile, timber
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import rectangle
from pikepole_model.layout.joinery import (
    board,
    light_n,
    line_opening,
    mesh_rect,
    mesh_roll,
    slat_feet_v,
    slat_reach_mm,
    stop_round,
)
from pikepole_model.layout.membranes import of_roll, seal
from pikepole_model.layout.sills import lay_sill
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.sills import Sill, lined_n
from pikepole_model.plan.windows_doors import FittedOpening, fitted_openings
from pikepole_model.scene.windows_doors import FixedLight, UnitWindow, Vent
from pikepole_model.stock.materials import Material, by_area_material, pane_material

GROUP = "windows"
FRAMES = "door frames"

# Packers of 1-1/2 in, this far from the unit's corners or a quarter of its side: common practice,
# no source.
PACKER_MM = 38.1
PACKER_IN_MM = 101.6


def set_windows(face: WallFace) -> list[Piece]:
    """What goes into the windows of one wall, and the frames of its doors, from left to right."""
    return [piece for fitted in fitted_openings(face.plan) for piece in _fit_out(face, fitted)]


def _fit_out(face: WallFace, fitted: FittedOpening) -> Iterator[Piece]:
    window = fitted.framed.opening.window
    if fitted.door:
        yield from seal(face, fitted, FRAMES)
        yield from line_opening(face, fitted, FRAMES)
        yield from lay_sill(face, fitted, FRAMES)
    if not window:
        return
    yield from seal(face, fitted, GROUP)
    match window:
        case UnitWindow():
            yield from _unit(face, fitted, window)
        case FixedLight():
            yield from line_opening(face, fitted, GROUP)
            yield from lay_sill(face, fitted, GROUP)
            yield from _light(face, fitted, window)
        case Vent():
            yield from line_opening(face, fitted, GROUP)
            yield from lay_sill(face, fitted, GROUP)
            yield from _slats(face, fitted, window)
            yield _mesh(face, fitted, window)
        case _:
            assert_never(window)


def _unit(face: WallFace, fitted: FittedOpening, window: UnitWindow) -> Iterator[Piece]:
    """A box with the window's mass, packed out from the studs and the sill.

    Its outer face is flush with the cladding, so that casing lies flat on both.
    """
    scene, name = fitted.scene, fitted.framed.opening.name
    u0, v0, u1, v1 = fitted.framed.rough
    gap = window.clearance
    unit: Rect = (u0 + gap, v0 + gap, u1 - gap, v1 - gap)
    outer = lined_n(face, fitted)[1]
    n = (outer - window.thickness, outer)
    source = Source("window unit", _unit_material(fitted, window, unit))
    yield board(face, name, Kind.WINDOW_UNIT, GROUP, source, unit, n)
    (left, low, right, _), half = fitted.lined, PACKER_MM / 2
    wood = Source("packer", scene.wood(False))
    across, up = _packed_at(unit[0], unit[2]), _packed_at(unit[1], unit[3])
    places: list[Rect] = [
        *((u - half, low, u + half, unit[1]) for u in across),
        *((left, v - half, unit[0], v + half) for v in up),
        *((unit[2], v - half, right, v + half) for v in up),
    ]
    inside = (max(n[0], -face.sheet_mm - face.plan.datums.wall_mm), 0.0)
    for rect in places:
        yield board(face, f"{name} packer", Kind.PACKER, GROUP, wood, rect, inside)


def _packed_at(start: float, end: float) -> list[float]:
    """Middles of the packers along one side of a unit: two, or one where two have no room, mm."""
    inwards = min(PACKER_IN_MM, (end - start) / 4)
    first, last = start + inwards, end - inwards
    return [first, last] if last - first > PACKER_MM else [(start + end) / 2]


def _unit_material(fitted: FittedOpening, window: UnitWindow, unit: Rect) -> Material:
    """The window's mass spread over its box."""
    width, height = unit[2] - unit[0], unit[3] - unit[1]
    volume_m3 = width * height * window.thickness * 1e-9
    if window.glazing is None:
        assert window.mass_kg
        density = window.mass_kg / volume_m3
        return Material("window unit", (density, density, density), "the mass that the scene gives")
    row = fitted.scene.catalogue.find_window(window.glazing)
    low, likely, high = (mass / (window.thickness / 1000) for mass in row.mass_kg_m2)
    return Material(f"window unit, {row.name}", (low, likely, high), row.source)


def _light(face: WallFace, fitted: FittedOpening, window: FixedLight) -> Iterator[Piece]:
    """Stops, pane, stops, from the inside out; the outer stops flush with the cladding's face."""
    scene, name = fitted.scene, fitted.framed.opening.name
    stops = timber(scene, window.stop)
    pane = scene.catalogue.find_pane(window.pane)
    front, back = light_n(face, fitted, window)
    sill = Sill(face, fitted)
    u0, _, u1, v1 = fitted.clear
    gap = window.clearance
    for what, n in (("inner", back), ("outer", front)):
        yield from stop_round(
            face, f"{name} {what} stop", Kind.GLAZING_STOP, GROUP, stops, fitted.clear, n, sill.at
        )
    yield board(
        face,
        f"{name} pane",
        Kind.PANE,
        GROUP,
        Source(window.pane, pane_material(pane)),
        (u0 + gap, sill.at(back[1]) + gap, u1 - gap, v1 - gap),
        (back[1], front[0]),
    )


def _slats(face: WallFace, fitted: FittedOpening, vent: Vent) -> Iterator[Piece]:
    r"""Slats from jamb to jamb, down and out at 45 degrees, each over the upper edge of the next.

    Drawn in a slat's own section, its width down and out, its thickness up and out:

      inside  \\  outside
               \\
    """
    scene = fitted.scene
    stock, source = scene.lumber_stock(vent.slat), timber(scene, vent.slat)
    (u0, _, u1, _), side = fitted.clear, math.sqrt(0.5)
    down = stock.depth_mm * side
    inner = lined_n(face, fitted)[1] - slat_reach_mm(stock)
    n, up = face.place.n, face.place.v
    out_down = (side * (n[0] - up[0]), side * (n[1] - up[1]), side * (n[2] - up[2]))
    out_up = (side * (n[0] + up[0]), side * (n[1] + up[1]), side * (n[2] + up[2]))
    for low in slat_feet_v(fitted, stock):
        place = Placement(face.place.point(u1, low + down, inner), out_down, out_up)
        yield profile(
            f"{fitted.framed.opening.name} slat",
            Kind.SLAT,
            GROUP,
            source,
            rectangle(0.0, 0.0, stock.depth_mm, stock.breadth_mm),
            place,
            u1 - u0,
            length_along="n",
        )


def _mesh(face: WallFace, fitted: FittedOpening, vent: Vent) -> Piece:
    """A piece of mesh behind the slats, on the inner edges of the frame: as IRC R806.1 asks."""
    roll, rect = mesh_roll(fitted, vent), mesh_rect(fitted)
    inner = lined_n(face, fitted)[0]
    name, source = fitted.framed.opening.name, Source(roll.name, by_area_material(roll))
    n = (inner - roll.thickness_mm, inner)
    short, long = sorted((rect[2] - rect[0], rect[3] - rect[1]))
    piece = board(face, f"{name} {Kind.VENT_MESH}", Kind.VENT_MESH, GROUP, source, rect, n)
    return of_roll(piece, short if long <= roll.width_mm else long)

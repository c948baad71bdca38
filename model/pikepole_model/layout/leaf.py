"""One leaf of a door: a sheet or boards on ledges, a sheet on stiles and rails, or bought."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, assert_never

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, sheeting, timber
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import SHEET_GAP_MM, TOLERANCE_MM
from pikepole_model.layout.joinery import board, outlined
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.windows_doors import leaf_layers
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.windows_doors import Door, FramedDoor, LedgedDoor, SteelDoor
from pikepole_model.stock.materials import Material

# The outer ledges lie 6 in from the ends of a leaf on hinges: common practice, no source.
LEDGE_IN_MM = 152.4

# Boards of a leaf stand 1/8 in apart, for their swelling: common practice, no source.
BOARD_GAP_MM = 3.175


@dataclass(frozen=True)
class Leaf:
    """A leaf before it is put together.

    Attributes:
        name: What its pieces are called by.
        scene: The scene.
        door: What it is made of.
        rect: (u0, v0, u1, v1) in the wall's plane, mm.
        outer_n: Its outer face, mm from the sheathing's.
        hinges: The side its braces rise from.
        held_back: How far what is behind its face stays clear of its left and right edge, where
            stops stand, mm; framed leaves close with their stiles on the stops.
    """

    name: str
    scene: Scene
    door: Door
    rect: Rect
    outer_n: float
    hinges: Literal["left", "right"]
    held_back: tuple[float, float]

    @property
    def boards(self) -> str | None:
        """Stock of the boards of its face; None where that is of sheets."""
        return self.door.boards if isinstance(self.door, LedgedDoor) else None

    @cached_property
    def face_mm(self) -> float:
        """Thickness of its sheet or boards."""
        return leaf_layers(self.scene, self.door)[0]

    @cached_property
    def stick(self) -> str | None:
        """Stock of its ledges and braces, or stiles and rails; a bought leaf has none."""
        return leaf_layers(self.scene, self.door)[1]

    @cached_property
    def stick_mm(self) -> tuple[float, float]:
        """Their thickness and width; 0 without."""
        if self.stick is None:
            return 0.0, 0.0
        stock = self.scene.lumber_stock(self.stick)
        return stock.breadth_mm, stock.depth_mm

    @property
    def thickness_mm(self) -> float:
        """Over all."""
        return self.face_mm + self.stick_mm[0]

    @property
    def seat_n(self) -> float:
        """What closes against stops: the back of the sheet, or of the stiles, mm."""
        ledged = isinstance(self.door, LedgedDoor)
        return self.outer_n - (self.face_mm if ledged else self.thickness_mm)

    @cached_property
    def cross_v(self) -> tuple[float, ...]:
        """Middles of its three ledges, rails or hinges, of half a dutch door's two, mm up.

        Rails, and the ledges of a leaf that slides, end with the leaf at its head and foot.
        """
        _, v0, _, v1 = self.rect
        edge = 0.0 if isinstance(self.door, FramedDoor) or self.door.track else LEDGE_IN_MM
        half = self.stick_mm[1] / 2
        ends = (v0 + edge + half, v1 - edge - half)
        return ends if self.door.cut_mm is not None else (ends[0], (v0 + v1) / 2, ends[1])

    @property
    def between_mm(self) -> float:
        """What is left between two ledges or rails, mm."""
        return self.cross_v[1] - self.cross_v[0] - self.stick_mm[1]

    @cached_property
    def sheets_u(self) -> tuple[tuple[float, float], ...]:
        """From and to of each sheet or board of its face, mm along the wall, equally wide."""
        u0, _, u1, _ = self.rect
        if isinstance(self.door, SteelDoor):
            return ((u0, u1),)
        if self.boards:
            wide, gap = self.scene.lumber_stock(self.boards).depth_mm, BOARD_GAP_MM
        else:
            wide, gap = self.scene.sheet_stock(self.door.sheet).width_mm, SHEET_GAP_MM
        count = max(1, math.ceil((u1 - u0 + gap - TOLERANCE_MM) / (wide + gap)))
        each = (u1 - u0 - (count - 1) * gap) / count
        return tuple((u0 + k * (each + gap), u0 + k * (each + gap) + each) for k in range(count))


def build_leaf(face: WallFace, leaf: Leaf, group: str) -> Iterator[Piece]:
    """The sticks and the face of a leaf, from the outside in.

    Args:
        face: The wall that its door is in.
        leaf: The leaf.
        group: What its pieces belong to.
    """
    scene, (_, v0, _, v1) = leaf.scene, leaf.rect
    kind, label, source = _face(scene, leaf)
    n = (leaf.outer_n - leaf.face_mm, leaf.outer_n)
    for start, end in leaf.sheets_u:
        rect = (start, v0, end, v1)
        yield board(face, label, kind, group, source, rect, n)
    behind = (n[0] - leaf.stick_mm[0], n[0])
    match leaf.door:
        case LedgedDoor():
            yield from _ledges(face, leaf, leaf.door, group, behind)
        case FramedDoor():
            yield from _stiles_and_rails(face, leaf, leaf.door, group, behind)
        case SteelDoor():
            return
        case _:
            assert_never(leaf.door)


def _face(scene: Scene, leaf: Leaf) -> tuple[Kind, str, Source]:
    """What its face is, what that is called, and what it is made of."""
    match leaf.door:
        case LedgedDoor(boards=str() as boards):
            return Kind.DOOR_BOARD, f"{leaf.name} board", timber(scene, boards)
        case LedgedDoor(sheet=sheet) | FramedDoor(sheet=sheet):
            return Kind.DOOR_SHEET, f"{leaf.name} sheet", sheeting(scene, sheet)
        case SteelDoor() as door:
            u0, v0, u1, v1 = leaf.rect
            density = door.mass_kg / ((u1 - u0) * (v1 - v0) * door.thickness * 1e-9)
            steel = Material(
                "steel leaf", (density, density, density), "the mass that the scene gives"
            )
            label = f"{leaf.name.removesuffix(' leaf')} steel leaf"
            return Kind.STEEL_LEAF, label, Source("steel leaf", steel)
        case _:
            assert_never(leaf.door)


def _stiles_and_rails(
    face: WallFace, leaf: Leaf, door: FramedDoor, group: str, n: tuple[float, float]
) -> Iterator[Piece]:
    """Stiles the full height, one more behind each joint of the sheets; rails between them."""
    (u0, v0, u1, v1), wide = leaf.rect, leaf.stick_mm[1]
    source = timber(leaf.scene, door.stile)
    joints = [end + SHEET_GAP_MM / 2 for _, end in leaf.sheets_u[:-1]]
    stiles = [u0, *(joint - wide / 2 for joint in joints), u1 - wide]
    for u in stiles:
        rect = (u, v0, u + wide, v1)
        yield board(face, f"{leaf.name} stile", Kind.STILE, group, source, rect, n)
    for v in leaf.cross_v:
        for left, right in itertools.pairwise(stiles):
            rect = (left + wide, v - wide / 2, right, v + wide / 2)
            yield board(face, f"{leaf.name} rail", Kind.DOOR_RAIL, group, source, rect, n)


def _ledges(
    face: WallFace, leaf: Leaf, door: LedgedDoor, group: str, n: tuple[float, float]
) -> Iterator[Piece]:
    """The ledges, and a brace up from the hinges in each field between them.

    What closes against stops is the face; a leaf that slides runs before its casing, so that stiles
    between its ledges fill what would stand open there.
    """
    wide, source = leaf.stick_mm[1], timber(leaf.scene, door.ledge)
    u0, u1 = leaf.rect[0] + leaf.held_back[0], leaf.rect[2] - leaf.held_back[1]
    for v in leaf.cross_v:
        rect = (u0, v - wide / 2, u1, v + wide / 2)
        yield board(face, f"{leaf.name} ledge", Kind.LEDGE, group, source, rect, n)
    fields = [(v + wide / 2, v + wide / 2 + leaf.between_mm) for v in leaf.cross_v[:-1]]
    if door.track:
        for v0, v1 in fields:
            for u in (u0, u1 - wide):
                rect = (u, v0, u + wide, v1)
                yield board(face, f"{leaf.name} stile", Kind.STILE, group, source, rect, n)
        u0, u1 = u0 + wide, u1 - wide
    for v0, v1 in fields if door.brace else ():
        outline, rad = brace(u0, v0, u1, v1, wide)
        if leaf.hinges == "right":
            outline = tuple((u0 + u1 - u, v) for u, v in reversed(outline))
            rad = math.pi - rad
        yield outlined(face, f"{leaf.name} brace", Kind.BRACE, group, source, outline, n, rad)


def brace(u0: float, v0: float, u1: float, v1: float, wide: float) -> tuple[Polygon, float]:
    """A stick from the lower left to the upper right of a field, cut level at both ends.

    Its level cut is c long. Its edge climbs h over w - c, so that c h = wide sqrt((w - c)^2 + h^2);
    the one root between 0 and w of (h^2 - wide^2) c^2 + 2 wide^2 w c - wide^2 (w^2 + h^2) = 0 is c.

    Args:
        u0: Left of the field, mm.
        v0: Its bottom, mm.
        u1: Its right, mm.
        v1: Its top, mm; the field is higher than the stick is wide.
        wide: Width of the stick, mm.

    Returns:
        Its outline, and its slope from the level in radians.
    """
    w, h, sq = u1 - u0, v1 - v0, wide * wide
    a, b, c = h * h - sq, 2 * sq * w, -sq * (w * w + h * h)
    cut = (-b + math.sqrt(b * b - 4 * a * c)) / (2 * a)
    outline = ((u0, v0), (u0 + cut, v0), (u1, v1), (u1 - cut, v1))
    return outline, math.atan2(h, w - cut)

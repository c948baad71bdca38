"""Hardware on the leaves of doors beside what they hang from: latch, pull, bolts.

Simple solids, as large as what is bought; keepers and plates that come with them are not drawn.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source
from pikepole_model.layout.joinery import board
from pikepole_model.layout.leaf import Leaf
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.windows_doors import ASTRAGAL, LEAF_GAP_MM, FittedOpening
from pikepole_model.scene.windows_doors import LedgedDoor
from pikepole_model.stock.metric import usual_mm

Size: TypeAlias = tuple[float, float, float]

# Along the leaf, up and out. A latch of 3 x 1-1/2 x 3/8 in, its middle 36 in over the floor where
# the leaf reaches that; a pull of 1 x 6 x 3/8 in, 1 in over it; bolts of 1 x 5 x 1/2 in, 1/2 in in
# from the leaf's edge. Common practice, no source.
LATCH_MM = (76.2, 38.1, 9.525)
LATCH_UP_MM = 914.4
PULL_MM = (25.4, 152.4, 9.525)
PULL_OVER_MM = 25.4
BOLT_MM = (25.4, 127.0, 12.7)
BOLT_IN_MM = 12.7

# What is left of the leaf under a latch and over a pull: 1 in, common practice, no source.
SPARE_MM = 25.4

# Hangers' straps reach 6 in down the leaf: common practice, no source.
HANGER_DOWN_MM = 152.4


def fit_hardware(
    face: WallFace, fitted: FittedOpening, leaves: tuple[Leaf, ...], k: int, steel: Source
) -> Iterator[Piece]:
    """What one leaf of a door has of it.

    Latch and pull are on a leaf that opens first, and pulls on both that slide. The other leaf of a
    pair stands, and is bolted at head and foot; the upper half of a dutch door is bolted to the
    lower one.

    Args:
        face: The wall.
        fitted: The opening.
        leaves: The leaves of its door.
        k: Which of them, from 0.
        steel: What it is made of.
    """
    door, leaf = fitted.door, leaves[k]
    assert door
    is_pair, is_cut = door.leaves == 2, door.cut_mm is not None
    at_right = leaf.hinges == "left"
    if door.track and not is_pair:
        at_right = door.track.to == "left"
    astragal = fitted.scene.lumber_stock(ASTRAGAL).depth_mm / 2
    if is_pair and k == 1 and not door.track:
        yield from _bolts(face, fitted, leaf, steel, at_right=at_right)
        return
    latch, pull = (_sized(size, fitted) for size in (LATCH_MM, PULL_MM))
    u0, v0, u1, v1 = leaf.rect
    # Clear of the astragal, which stands upright on a pair and lies across a dutch door.
    inset, lapped = (astragal if one else 0.0 for one in (is_pair, is_cut))
    low = v0 + lapped * k + SPARE_MM + latch[1] / 2
    over = latch[1] / 2 + PULL_OVER_MM + pull[1] + SPARE_MM + lapped * (1 - k)
    over += HANGER_DOWN_MM if door.track else 0.0
    middle = max(min(LATCH_UP_MM, v1 - over), low)

    def on_face(what: str, kind: Kind, size: Size, v: float) -> Piece:
        wide, high, thick = size
        start = u1 - inset - wide if at_right else u0 + inset
        rect: Rect = (start, v, start + wide, v + high)
        n = (leaf.outer_n, leaf.outer_n + thick)
        return board(face, f"{leaf.name} {what}", kind, fitted.framed.opening.name, steel, rect, n)

    yield on_face("latch", Kind.LATCH, latch, middle - latch[1] / 2)
    yield on_face("pull", Kind.PULL, pull, middle + latch[1] / 2 + PULL_OVER_MM)
    if is_cut and k:
        yield _bolt(face, fitted, leaf, steel, v0, at_right=at_right)


def _sized(size_mm: Size, fitted: FittedOpening) -> Size:
    """As large as it is sold where the scene is built."""
    a, b, c = (usual_mm(mm, fitted.scene.units) for mm in size_mm)
    return a, b, c


def _bolts(
    face: WallFace, fitted: FittedOpening, leaf: Leaf, steel: Source, *, at_right: bool
) -> Iterator[Piece]:
    """One at the foot, one under the head's stop, into which it is shot."""
    assert fitted.door
    stop = fitted.scene.lumber_stock(fitted.door.stop).breadth_mm
    top = fitted.clear[3] - stop - LEAF_GAP_MM
    for v in (leaf.rect[1], top - _sized(BOLT_MM, fitted)[1]):
        yield _bolt(face, fitted, leaf, steel, v, at_right=at_right)


def _bolt(
    face: WallFace,
    fitted: FittedOpening,
    leaf: Leaf,
    steel: Source,
    v: float,
    *,
    at_right: bool,
) -> Piece:
    """On the inside: on the back of the boards or the sheet of a ledged leaf, else on all of it."""
    wide, high, thick = _sized(BOLT_MM, fitted)
    (u0, _, u1, _), (left, right) = leaf.rect, leaf.held_back
    start = u1 - right - BOLT_IN_MM - wide if at_right else u0 + left + BOLT_IN_MM
    behind = leaf.face_mm if isinstance(leaf.door, LedgedDoor) else leaf.thickness_mm
    n = (leaf.outer_n - behind - thick, leaf.outer_n - behind)
    rect: Rect = (start, v, start + wide, v + high)
    name = fitted.framed.opening.name
    return board(face, f"{leaf.name} bolt", Kind.DOOR_BOLT, name, steel, rect, n)

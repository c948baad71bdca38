"""Floors of sheets, the store's and a loft's: what the long edges of their sheets are held by."""

from __future__ import annotations

from typing import Literal

from pikepole_model.building.kinds import Kind
from pikepole_model.scene.loft import Loft
from pikepole_model.scene.schema import Floor, Scene
from pikepole_model.scene.types import SheetEdge

TONGUED: SheetEdge = "tongue-and-groove"
SQUARE: SheetEdge = "square"

# The tables of the floors that sheets of a kind make.
DECKS: dict[Kind, Literal["floor", "loft"]] = {Kind.FLOOR_SHEET: "floor", Kind.LOFT_SHEET: "loft"}


def deck_of(scene: Scene, kind: Kind) -> Floor | Loft | None:
    """What a person wrote of the floor whose sheets are of a kind; None: of no floor's."""
    table = DECKS.get(kind)
    return getattr(scene, table) if table else None


def edge_of(scene: Scene, kind: Kind) -> SheetEdge | None:
    """What long edges the sheets of a floor have; None for sheets of no floor.

    Thin ones come with square edges only.
    """
    deck = deck_of(scene, kind)
    if not deck or not deck.sheet:
        return None
    comes_tongued = scene.sheet_stock(deck.sheet).cover_mm is not None
    return deck.edge if comes_tongued else SQUARE


def is_tongued(scene: Scene, kind: Kind) -> bool:
    """Whether sheets of a kind have tongue and groove."""
    return edge_of(scene, kind) == TONGUED


def has_edge_blocks(scene: Scene, kind: Kind) -> bool:
    """Whether blocks lie under the long edges of sheets of a kind.

    Source: IRC Table R503.2.1.1(1), note on edges: tongue-and-groove, or on blocks.
    """
    deck = deck_of(scene, kind)
    return edge_of(scene, kind) == SQUARE and deck is not None and deck.edge_blocks

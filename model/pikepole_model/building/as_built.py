"""What is built, as it was cut and where it stands, among what is laid out for it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from pikepole_model.building.piece import Piece
from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.shape import bounds

# Group and label of a piece, and which of those it is.
Key: TypeAlias = tuple[str, str, int]
# Pieces in order, each with the table of the scene that places it.
Layout: TypeAlias = Mapping[Key, tuple[str, Piece]]


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """One piece of a building of which some stands.

    Attributes:
        table: The table of the scene that places it.
        piece: As it is cut.
        fitted: As it would be cut to fit what stands.
        is_built: Whether it is cut already.
    """

    table: str
    piece: Piece
    fitted: Piece
    is_built: bool


def keyed(laid: Sequence[tuple[str, Piece]]) -> Layout:
    """A layout by the keys of its pieces."""
    count: Counter[tuple[str, str]] = Counter()
    found: dict[Key, tuple[str, Piece]] = {}
    for table, piece in laid:
        of_its_sort = (piece.group, piece.label)
        count[of_its_sort] += 1
        found[(*of_its_sort, count[of_its_sort])] = (table, piece)
    return found


def along(layouts: Mapping[float, Layout], length_mm: float) -> Layout:
    """Each piece as it is laid out for what stands where its own middle is.

    Args:
        layouts: What is laid out for what stands at a place, from 0 at the left end of the building
            to 1 at its right end; the first says which pieces there are.
        length_mm: Of the building.
    """
    first = next(iter(layouts.values()))
    found: dict[Key, tuple[str, Piece]] = {}
    for key, there in first.items():
        place = _middle(there[1])[0] / length_mm
        nearest = min(layouts, key=lambda at: abs(at - place))
        found[key] = layouts[nearest].get(key, there)
    return found


def as_built(
    built: Sequence[tuple[frozenset[str], Layout]], rest: Layout, fits: Layout, most_mm: float
) -> Iterator[AsBuilt]:
    """All pieces: those that are cut where they stand, the others as they are laid out now.

    Args:
        built: Groups that are built, with the layout that each was cut to, first what came first.
        rest: What the others are cut to.
        fits: The layout of a building that stands all along as this one does in its middle, in
            which all fits.
        most_mm: How far what is built is off at most, mm.
    """
    cut_to = {group: layout for groups, layout in reversed(built) for group in groups}
    for key, (table, piece) in rest.items():
        if key[0] not in cut_to:
            yield AsBuilt(table, piece, fits[key][1], is_built=False)
        elif key in cut_to[key[0]]:
            table, cut = cut_to[key[0]][key]
            there = replace(cut, placement=fits[key][1].placement)
            # Of another number or division of pieces each stays where it was planned.
            matches = _apart_mm(there, fits[key][1]) <= most_mm
            yield AsBuilt(table, there if matches else cut, fits[key][1], is_built=True)
    for group, layout in cut_to.items():
        for key, (table, piece) in layout.items():
            if key[0] == group and key not in rest:
                yield AsBuilt(table, piece, piece, is_built=True)


def _apart_mm(one: Piece, other: Piece) -> float:
    """How far the boxes round two pieces are apart at a corner, at most, mm."""
    return max(math.dist(a, b) for a, b in zip(_corners(one), _corners(other), strict=True))


def _corners(piece: Piece) -> list[Vector]:
    return [piece.placement.point(*corner) for corner in bounds(piece.shape.body)]


def _middle(piece: Piece) -> Vector:
    low, high = _corners(piece)
    return ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2)

"""Pieces' own boxes (their extent along u, v and n), and how pairs of them stand to one another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.shape import Shape, bounds

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

# Axes are square to one another, or parallel, whose cosine is this near to 0 or to 1.
SQUARE = 1e-9

# Pairs looked at in one numpy pass of the sweep: keeps 20,000 pieces within some 100 MB.
SWEEP_PAIRS = 1_000_000


@dataclass(frozen=True, slots=True)
class Boxes:
    """Each part's own box, mm.

    Attributes:
        centre: (n, 3) in the building.
        axes: (n, 3, 3) its unit axes, each a row.
        half: (n, 3) half of its extents.
        middle: (n, 3) its centre in the part's own frame.
    """

    centre: Floats
    axes: Floats
    half: Floats
    middle: Floats


@dataclass(frozen=True, slots=True)
class Pairs:
    """Pairs of boxes seen from a's frame; every array has one row per pair.

    Attributes:
        a: Index of the first part.
        b: Index of the second.
        turn: (n, 3, 3) b's axes, each a column, along a's axes.
        away: (n, 3) from the centre of a to that of b along a's axes, mm.
        square: Whether the axes of both run along the same three directions.
        low: (n, 3) low corner of the region both boxes share, along a's axes, mm from the
            centre of a. Where a gap parts them it lies above `high`.
        high: (n, 3) its high corner.
    """

    a: Indices
    b: Indices
    turn: Floats
    away: Floats
    square: NDArray[np.bool_]
    low: Floats
    high: Floats

    def only(self, rows: NDArray[np.bool_]) -> Pairs:
        """The pairs whose row is true."""
        return Pairs(*(getattr(self, field.name)[rows] for field in fields(self)))


def boxes_of(parts: Sequence[Part]) -> Boxes:
    """The own box of every part."""
    corners: dict[Shape, tuple[Vector, Vector]] = {}
    for part in parts:
        if part.shape not in corners:
            corners[part.shape] = bounds(part.shape.body)
    box = np.array([corners[part.shape] for part in parts])
    axes = np.array([(p.placement.u, p.placement.v, p.placement.n) for p in parts])
    origin = np.array([part.placement.origin for part in parts])
    middle = box.mean(axis=1)
    centre = origin + np.einsum("ni,nij->nj", middle, axes)
    return Boxes(centre, axes, (box[:, 1] - box[:, 0]) / 2, middle)


def near_pairs(boxes: Boxes, reach_mm: float) -> Iterator[tuple[Indices, Indices]]:
    """Pairs (a < b) whose boxes along the building's axes come within reach of each other."""
    reach = np.einsum("nij,ni->nj", np.abs(boxes.axes), boxes.half)
    low, high = boxes.centre - reach, boxes.centre + reach + reach_mm
    longest = int(np.argmax(np.ptp(boxes.centre, axis=0)))
    order = np.argsort(low[:, longest], kind="stable")
    low, high = low[order], high[order]
    first = np.arange(len(order)) + 1
    # In order of their low ends, those that a piece reaches are the ones just after it.
    counts = np.searchsorted(low[:, longest], high[:, longest], side="right") - first
    total = np.concatenate(([0], np.cumsum(counts)))
    start = 0
    while start < len(order):
        stop = int(np.searchsorted(total, total[start] + SWEEP_PAIRS, side="right")) - 1
        stop = max(stop, start + 1)
        here = counts[start:stop]
        i = np.repeat(np.arange(start, stop), here)
        j = np.arange(len(i)) - np.repeat(total[start:stop] - total[start], here) + i + 1
        meet = ((low[i] <= high[j]) & (low[j] <= high[i])).all(axis=1)
        a, b = order[i[meet]], order[j[meet]]
        yield np.minimum(a, b), np.maximum(a, b)
        start = stop


def pairs_of(boxes: Boxes, a: Indices, b: Indices) -> Pairs:
    """How the boxes of each pair stand to one another, seen from a's frame.

    Args:
        boxes: Each part's own box.
        a: (n,) index of the first part of each pair.
        b: (n,) index of the second.
    """
    axes, half = boxes.axes[a], boxes.half[a]
    turn = axes @ boxes.axes[b].swapaxes(1, 2)
    away = np.einsum("nij,nj->ni", axes, boxes.centre[b] - boxes.centre[a])
    size = np.abs(turn)
    square = np.all((size < SQUARE) | (size > 1 - SQUARE), axis=(1, 2))
    reach = np.einsum("nij,nj->ni", size, boxes.half[b])
    low, high = np.maximum(-half, away - reach), np.minimum(half, away + reach)
    return Pairs(a, b, turn, away, square, low, high)


def separation(boxes: Boxes, pairs: Pairs) -> Floats:
    """(n,) the largest clear distance along any axis that could part two boxes, mm.

    A pair of bodies is at least this far apart, and overlaps at most by its negative.
    """
    turn, away, half_a, half_b = pairs.turn, pairs.away, boxes.half[pairs.a], boxes.half[pairs.b]
    size = np.abs(turn)
    along_a = np.abs(away) - half_a - np.einsum("nij,nj->ni", size, half_b)
    along_b = (
        np.abs(np.einsum("nij,ni->nj", turn, away)) - half_b - np.einsum("nij,ni->nj", size, half_a)
    )
    separation = np.maximum(along_a.max(axis=1), along_b.max(axis=1))
    skew = ~pairs.square
    separation[skew] = np.maximum(
        separation[skew], _edge_separation(turn[skew], away[skew], half_a[skew], half_b[skew])
    )
    return separation


def middles(boxes: Boxes, pairs: Pairs) -> Floats:
    """(n, 3) the middle of the region both boxes share, building frame, mm."""
    shared = (pairs.low + pairs.high) / 2
    return boxes.centre[pairs.a] + np.einsum("ni,nij->nj", shared, boxes.axes[pairs.a])


def _edge_separation(turn: Floats, away: Floats, half_a: Floats, half_b: Floats) -> Floats:
    """Largest clear distance along a line square to an edge of each box, mm.

    Together with the face normals these are all the directions that can part two boxes (the
    separating axis theorem).
    """
    lines = np.cross(np.eye(3)[None, :, None, :], turn.swapaxes(1, 2)[:, None, :, :])
    length = np.linalg.norm(lines, axis=3)
    distance = np.abs(np.einsum("nijk,nk->nij", lines, away))
    reach_a = np.einsum("nijk,nk->nij", np.abs(lines), half_a)
    reach_b = np.einsum("nijm,nm->nij", np.abs(np.einsum("nijk,nkm->nijm", lines, turn)), half_b)
    parallel = length < 1e-6
    clear = (distance - reach_a - reach_b) / np.where(parallel, 1.0, length)
    return np.where(parallel, -np.inf, clear).max(axis=(1, 2), initial=-np.inf)

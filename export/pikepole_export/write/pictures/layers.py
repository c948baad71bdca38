"""Layers of a picture: each drawn alone, laid one on the other by how near each pixel is.

Every layer is drawn once in a view, alone, at twice the size, as numbers: which triangle or which
edge is seen in each pixel, and how far away. From these come its colours, and which pieces are
seen. What a stage adds keeps its colours; what stood before is washed out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pikepole_export.graphics.window import LINE_PX, Depths, Pixels

Mask: TypeAlias = NDArray[np.bool_]
Places: TypeAlias = NDArray[np.intp]

PAPER = 255
INK = np.uint32(30 | 28 << 8 | 26 << 16)
EDGE = np.uint32(0x800000)  # set in the number of an edge
NUMBER = np.uint32(0x7FFFFF)

# What is laid on something hides its edges too, however thin it is: they are drawn a little nearer
# to the camera than the faces they bound.
COVERS_MM = 15.0
KEPT = 0.38  # of the darkness of what stood before
GLASS = 0.35  # of a pane's own colour in what is seen through it
# What is dug in, through the ground: its faces and its edges.
FACE_SHOWS_THROUGH, EDGE_SHOWS_THROUGH = 0.12, 0.40


@dataclass(frozen=True, slots=True)
class Drawn:
    """One layer alone in one view: of each pixel where something is, n of them.

    Attributes:
        at: (n,) its place in the picture, counted row by row.
        colour: (n,) as it is lit.
        muted: (n,) that washed out, as what stands is shown.
        depth: (n,) from 0, which is nearest, to 1.
        rows: (n,) where that is in `field`.
        columns: (n,) the same.
        field: (h, w) depths of all pixels that the layer reaches, 1 where nothing is.
        is_edge: (n,) whether an edge is drawn there.
        owner: (n,) the part that is seen there, by its number in the building.
        is_glass: Whether what is behind it is seen through it.
    """

    at: Places
    colour: Pixels
    muted: Pixels
    depth: Depths
    rows: Places
    columns: Places
    field: Depths
    is_edge: Mask
    owner: NDArray[np.int32]
    is_glass: bool


class Stack:
    """What stands, as it is seen so far: washed out, and in its own colours.

    Args:
        ground: (n,) the picture before anything is built, row by row; it is kept.
        nearest: How far away the ground is.
        covers: COVERS_MM as a depth.

    Attributes:
        layers: Names of the layers that stand.
        muted: What stands, washed out.
        plain: The same in its own colours.
    """

    def __init__(self, ground: Pixels, nearest: Depths, covers: float) -> None:
        self.layers: list[str] = []
        self.muted, self.plain = ground.copy(), ground.copy()
        self._nearest = nearest.copy()
        self._is_edge = np.zeros(nearest.shape, dtype=bool)
        self._is_ground = np.ones(nearest.shape, dtype=bool)
        self._covers = np.float32(covers)

    def lay(self, name: str, drawn: Drawn, picture: Pixels | None = None) -> Mask:
        """Let a layer stand.

        Args:
            name: Of the layer.
            drawn: It alone.
            picture: Where it is shown in its own colours, as it is added.

        Returns:
            (n,) where it is in front of what stood.
        """
        self.layers.append(name)
        nearest = self._nearest[drawn.at]
        front = drawn.depth < nearest
        on_edge = np.flatnonzero(self._is_edge[drawn.at] & ~front)
        # A line has its width in the sheet, and so stands off a face that is seen nearly edge on.
        slant = _slant(drawn.field, drawn.rows[on_edge], drawn.columns[on_edge])
        covers = self._covers + np.float32(LINE_PX) * slant
        front[on_edge] = drawn.depth[on_edge] < nearest[on_edge] + covers
        if picture is not None:
            buried = self._is_ground[drawn.at] & ~front
            at, faint = drawn.at[buried], np.array([FACE_SHOWS_THROUGH, EDGE_SHOWS_THROUGH])
            share = faint[drawn.is_edge[buried].astype(int)]
            picture[at] = mixed(drawn.colour[buried], picture[at], share)
        at, own, is_edge = drawn.at[front], drawn.colour[front], drawn.is_edge[front]
        for image, ink in ((picture, own), (self.plain, own), (self.muted, drawn.muted[front])):
            if image is not None:
                if drawn.is_glass:
                    ink = np.where(is_edge, ink, mixed(ink, image[at], GLASS))
                image[at] = ink
        if not drawn.is_glass:
            self._is_edge[at] = is_edge
            self._nearest[at] = drawn.depth[front]
            self._is_ground[at] = False
        return front


def _slant(depth: Depths, rows: Places, columns: Places) -> Depths:
    """How much the depth changes to the next pixel on the same face, at some pixels.

    Args:
        depth: (h, w), 1 where nothing is.
        rows: (n,).
        columns: (n,).
    """
    height, width = depth.shape
    here = depth[rows, columns]
    found = np.zeros_like(here)
    for down, across in ((1, 0), (0, 1)):
        # The lesser of both sides: the other may be beyond the face's edge.
        found += np.minimum(
            *(
                np.abs(
                    here
                    - depth[
                        np.clip(rows + sign * down, 0, height - 1),
                        np.clip(columns + sign * across, 0, width - 1),
                    ]
                )
                for sign in (1, -1)
            )
        )
    return found


# Shares of a channel are taken in 256ths, in 16 bits: half the memory of floating point.


def washed_out(colour: Pixels) -> Pixels:
    """What stood before: nearly grey, and far nearer to white, lines and all."""
    parts = _channels(colour).astype(np.uint16)
    grey = (77 * parts[:, 0] + 150 * parts[:, 1] + 29 * parts[:, 2]) // 256
    parts *= round(256 * 0.35 * KEPT)
    parts += (round(256 * 0.65 * KEPT) * grey + round(256 * (1.0 - KEPT)) * PAPER)[:, None]
    return _packed(parts // 256)


def mixed(colour: Pixels, over: Pixels, share: Any) -> Pixels:
    """A share of one colour over another; (n,) each, and the share too or the same for all."""
    own = np.broadcast_to(np.round(256 * np.asarray(share)), colour.shape).astype(np.uint16)
    own = own[:, None]
    return _packed((own * _channels(colour) + (256 - own) * _channels(over)) // 256)


def _channels(colour: Pixels) -> NDArray[np.uint8]:
    """(n, 4) red, green, blue and one unused, of (n,) pixels."""
    return colour[:, None].view(np.uint8)


def _packed(channels: NDArray[Any]) -> Pixels:
    return channels.astype(np.uint8).view(np.uint32)[:, 0]

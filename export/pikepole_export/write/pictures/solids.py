"""The building in the graphics library, in the child process: layers that are drawn as numbers.

A layer's faces and edges have their own numbers in place of colours, so that one drawing tells both
what is seen in a pixel and of which piece it is.
"""

from __future__ import annotations

from collections.abc import Generator, Sequence, Set
from contextlib import contextmanager
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pikepole_export.graphics.window import HiddenWindow
from pikepole_export.write.pictures.layers import EDGE, PAPER

Array: TypeAlias = NDArray[Any]
Arrays: TypeAlias = dict[str, Array]

FIGURE = "figure"


class Solids:
    """The layers of the building in the graphics library, once for all views.

    Args:
        arrays: Of the job.
        size: Of the largest view, px.
    """

    def __init__(self, arrays: Arrays, size: tuple[int, int]) -> None:
        self.window = HiddenWindow(size, (PAPER, PAPER, PAPER))
        self.arrays = arrays
        names = [key.removesuffix("_points") for key in arrays if key.endswith("_points")]
        self.actors = {name: self._actors(name) for name in names}
        heights = [arrays[f"{name}_points"] for name in names if len(arrays[f"{name}_points"])]
        self.corners = np.array(
            [
                [x, y, z]
                for x in _ends(heights, 0)
                for y in _ends(heights, 1)
                for z in _ends(heights, 2)
            ]
        )

    def owners(self, name: str) -> set[int]:
        """Numbers of the parts of a layer."""
        return set(np.unique(self.arrays[f"{name}_owners"]).tolist())

    @contextmanager
    def less(self, name: str, without: Set[int]) -> Generator[list[Any]]:
        """What a layer is drawn by without some of its parts."""
        if not without or self.owners(name).isdisjoint(without):
            yield self.actors[name]
            return
        actors = self._actors(name, without)
        yield actors
        self.window.remove(actors)

    @contextmanager
    def at_once(self, names: Sequence[str], without: Set[int]) -> Generator[list[Any]]:
        """What several layers are drawn by at once: each face has its part's number."""
        left_out = np.array(sorted(without), dtype=np.int32)
        points, triangles, owners = (
            [self.arrays[f"{name}_{what}"] for name in names]
            for what in ("points", "triangles", "owners")
        )
        starts = np.cumsum([0, *map(len, points)]).tolist()
        faces = np.concatenate([own + at for own, at in zip(triangles, starts, strict=False)])
        owner = np.concatenate(owners)
        shown = ~np.isin(owner, left_out)
        colours = _numbers(owner[shown], np.uint32(0))
        none = np.empty((0, 3))
        actors = self.window.solid(np.concatenate(points), faces[shown], colours, none, (0, 0, 0))
        yield actors
        self.window.remove(actors)

    def points_of(self, names: Sequence[str], parts: Set[int]) -> Array:
        """(n, 3) float: corners of some parts, each as often as a triangle has it."""
        found = [np.empty((0, 3))]
        for name in names:
            own = np.isin(self.arrays[f"{name}_owners"], sorted(parts))
            corners = self.arrays[f"{name}_triangles"][own].ravel()
            found.append(self.arrays[f"{name}_points"][corners])
        return np.concatenate(found)

    def _actors(self, name: str, without: Set[int] = frozenset()) -> list[Any]:
        triangles, edges = self.arrays[f"{name}_triangles"], self.arrays[f"{name}_edges"]
        points = self.arrays[f"{name}_points"]
        if FIGURE in name:
            colours = self.arrays[f"{name}_colours"]
            return self.window.solid(points, triangles, colours, np.empty((0, 3)), (0, 0, 0))
        left_out = np.array(sorted(without), dtype=np.int32)
        faces, lines = (
            np.flatnonzero(~np.isin(self.arrays[f"{name}_{owners}"], left_out))
            for owners in ("owners", "edge_owners")
        )
        return self.window.solid(
            points,
            triangles[faces],
            _numbers(faces, np.uint32(0)),
            points[edges[lines].ravel()],
            _numbers(lines, EDGE),
        )


def _ends(points: Sequence[Array], axis: int) -> tuple[float, float]:
    columns = [one[:, axis] for one in points]
    return min(float(c.min()) for c in columns), max(float(c.max()) for c in columns)


def _numbers(places: Array, flag: np.uint32) -> Array:
    """(n, 3) uint8: numbers as colours, red the lowest byte."""
    numbers = places.astype(np.uint32) | flag
    return np.stack([numbers & 255, numbers >> 8 & 255, numbers >> 16 & 255], axis=1).astype(
        np.uint8
    )

"""A view of the building in the child process: its camera, its ground, and what stands in it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence, Set
from functools import partial
from typing import Any, TypedDict

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from pikepole_export.graphics.lettering import font_of
from pikepole_export.graphics.shading import as_bytes, shade
from pikepole_export.graphics.window import (
    FINE,
    LINE_LIFT_MM,
    Box,
    Depths,
    Pixels,
    reached,
)
from pikepole_export.write.pictures.layers import (
    COVERS_MM,
    EDGE,
    INK,
    NUMBER,
    PAPER,
    Drawn,
    Stack,
    washed_out,
)
from pikepole_export.write.pictures.solids import FIGURE, Array, Solids

GROUND = 243
GRID = 222
GRID_PX = 1.2  # from a line's middle to where it ends
WORD = 150  # how dark the words on the ground are
GROUND_FADES_MM = 2200.0
FRAME_FADES_PX = 90
SHADOW = 60  # under the figure's feet
SHADOW_MM = 320.0
OUTLINE = np.uint32(0x8C8C8C)  # of a roof that is left out
OUTLINE_PX = 2  # at the fine size
PASSES = 12  # of looking for what hides a piece behind what hides it


class ViewWords(TypedDict):
    """What is said of a view."""

    size: tuple[int, int]
    words: list[str]
    label: list[str]


class View:
    """The building from one side.

    Args:
        name: Of the view, in the job.
        solids: What is drawn.
        words: What is said of it.
        grid_mm: From line to line on the ground.
    """

    def __init__(self, name: str, solids: Solids, words: ViewWords, grid_mm: float) -> None:
        self._name, self._solids, self._words = name, solids, words
        arrays = solids.arrays
        self.size = words["size"]
        self._axes = arrays[f"{name}_axes"]
        self._scale = float(arrays[f"{name}_scale"])
        self._shift = arrays[f"{name}_shift"]
        depths = self._placed(solids.corners)[:, 2]
        self._near, self._far = float(depths.max()) + 400.0, float(depths.min()) - 400.0
        ground, nearest = self._ground(grid_mm)
        covers = COVERS_MM * self._scale / (self._near - self._far)
        # With the roof and without it.
        self._new = partial(Stack, ground.ravel(), nearest.ravel(), covers)
        self._stacks = (self._new(), self._new())
        self._roof = np.zeros(ground.size, dtype=bool)
        self._lights: dict[str, tuple[Pixels, Pixels, NDArray[np.int32]]] = {}

    def picture(
        self, standing: Sequence[str], added: Sequence[str], roof: frozenset[str], *, opened: bool
    ) -> tuple[Pixels, Counter[int]]:
        """What stands washed out, and what is added in its own colours.

        Args:
            standing: Names of the layers that stand, in order.
            added: Names of those that are added.
            roof: Names of all layers that are roof.
            opened: Whether the roof that stands is left out but for its outline.

        Returns:
            (h, w) pixels, and in how many of them each added part is seen, by its number.
        """
        self._let_stand(standing, roof)
        whole, bare = self._stacks
        shown = bare if opened else whole
        picture = shown.muted.copy()
        roof_above = self._roof.copy()
        seen: Counter[int] = Counter()
        for name in added:
            drawn = self._drawn(name)
            for stack in self._of(name, roof):
                front = stack.lay(name, drawn, picture if stack is shown else None)
                if stack is shown:
                    seen.update(_counted(drawn, front))
                    roof_above[drawn.at[front]] = False
            self._note_roof(name, drawn, roof)
        if opened:
            picture[self._outline() & roof_above] = OUTLINE
        return self._rows(picture), seen

    def laid_open(
        self,
        picture: Pixels,
        standing: Sequence[str],
        added: Sequence[str],
        wanted: set[int],
    ) -> tuple[Pixels, Counter[int], set[int]]:
        """A picture again, without the pieces in it that hide some of those that are added.

        Args:
            picture: It as it is with them.
            standing: Names of the layers that stand in it, in order.
            added: Names of those that are added.
            wanted: Numbers of the parts that are to be seen.

        Returns:
            (h, w) pixels, in how many of them each added part is seen anew, by its number, and what
            is left out.
        """
        shown = (*standing, *added)
        hiding = self._hiding(shown, added, wanted)
        # Elsewhere nothing changes.
        where = self._reached(self._solids.points_of(shown, hiding | wanted))
        stack, counts = self._new(), Counter[int]()
        for name in standing:
            stack.lay(name, self._drawn(name, hiding, where))
        anew = stack.muted.copy()
        for name in added:
            drawn = self._drawn(name, hiding, where)
            counts.update(_counted(drawn, stack.lay(name, drawn, anew)))
        opened = picture.copy()
        opened[where] = self._rows(anew)[where]
        return opened, counts, hiding

    def _hiding(self, shown: Sequence[str], added: Sequence[str], wanted: set[int]) -> set[int]:
        """Numbers of the parts that hide others, and of those that hide these behind the first."""
        where = self._reached(self._solids.points_of(added, wanted))
        rest = set().union(*map(self._solids.owners, added)) - wanted
        with self._solids.at_once(added, rest) as actors:
            _, nearest = self._seen(actors, where)
        hiding: set[int] = set()
        for _ in range(PASSES):
            with self._solids.at_once(shown, hiding) as actors:
                numbers, depths = self._seen(actors, where)
            before = numbers[(nearest < 1.0) & (depths < nearest)] & NUMBER
            found = set(np.unique(before).tolist()) - wanted
            if not found:
                break
            hiding |= found
        return hiding

    def finished(self, standing: Sequence[str], roof: frozenset[str]) -> Pixels:
        """(h, w) pixels of all that stands, in its own colours."""
        self._let_stand(standing, roof)
        return self._rows(self._stacks[0].plain)

    def _rows(self, picture: Array) -> Array:
        """(h, w) pixels of a picture that is one row after the other."""
        return picture.reshape(FINE * self.size[1], FINE * self.size[0])

    def _outline(self) -> Array:
        """Where the rim of the roof is seen, OUTLINE_PX wide."""
        roof = self._rows(self._roof)
        inside = roof.copy()
        for _ in range(OUTLINE_PX):
            around = inside[:-2, 1:-1] & inside[2:, 1:-1] & inside[1:-1, :-2] & inside[1:-1, 2:]
            inside[1:-1, 1:-1] &= around
        return (roof & ~inside).ravel()

    def _let_stand(self, standing: Sequence[str], roof: frozenset[str]) -> None:
        if self._stacks[0].layers != list(standing[: len(self._stacks[0].layers)]):
            self._stacks = (self._new(), self._new())
            self._roof[:] = False
        for name in standing[len(self._stacks[0].layers) :]:
            drawn = self._drawn(name)
            for stack in self._of(name, roof):
                stack.lay(name, drawn)
            self._note_roof(name, drawn, roof)

    def _of(self, name: str, roof: frozenset[str]) -> tuple[Stack, ...]:
        """The stacks that a layer is laid on."""
        return self._stacks[:1] if name in roof else self._stacks

    def _note_roof(self, name: str, drawn: Drawn, roof: frozenset[str]) -> None:
        if name in roof:
            self._roof[drawn.at] = True

    def _placed(self, points: Array) -> Array:
        """(n, 3) points of the building, mm, as (n, 3) points of the sheet, px."""
        return points @ self._axes.T * self._scale + np.array([*self._shift, 0.0])

    def _reached(self, points: Array) -> Box:
        """Rows and columns of the picture that points of the building reach."""
        return reached(self._placed(points), *(FINE * side for side in self.size))

    def _drawn(
        self, name: str, without: Set[int] = frozenset(), within: Box | None = None
    ) -> Drawn:
        """One layer alone, without some of its parts, in all of the picture or a part of it."""
        arrays, width = self._solids.arrays, FINE * self.size[0]
        box = self._reached(arrays[f"{name}_points"])
        if within:
            box = _both(box[0], within[0]), _both(box[1], within[1])
        with self._solids.less(name, without) as actors:
            numbers, depths = self._seen(actors, box)
        field = np.ascontiguousarray(depths)
        filled = np.flatnonzero(field < 1.0)
        number = np.ascontiguousarray(numbers).ravel()[filled]
        is_edge = (number & EDGE) > 0
        # Edges come after the faces.
        faces = len(arrays[f"{name}_owners"])
        which = (number & NUMBER) + is_edge * np.uint32(faces)
        colours, muted, owners = self._lit(name)
        wide = max(field.shape[1], 1)
        rows, columns = filled // wide, filled % wide
        return Drawn(
            at=(rows + box[0].start) * width + (columns + box[1].start),
            colour=colours[which],
            muted=muted[which],
            depth=field.ravel()[filled],
            rows=rows,
            columns=columns,
            field=field,
            is_edge=is_edge,
            owner=owners[which],
            is_glass=name.endswith("glass"),
        )

    def _seen(self, actors: Sequence[Any], box: Box) -> tuple[Pixels, Depths]:
        """The numbers and depths of faces, and of their lines, in a part of the picture."""
        window = self._solids.window
        depths = (self._near / self._scale, self._far / self._scale)
        window.look(self._axes, self._scale, self._shift, self.size[1], depths, box)
        for lines in actors[1:]:
            lines.position = self._axes[2] * LINE_LIFT_MM
        return window.drawn(actors)

    def _lit(self, name: str) -> tuple[Pixels, Pixels, NDArray[np.int32]]:
        """Of each triangle of a layer, then of each edge: its colour, that washed out, its part.

        All (m,), the colours as they are lit in this view.
        """
        if name in self._lights:
            return self._lights[name]
        arrays = self._solids.arrays
        points, triangles = arrays[f"{name}_points"], arrays[f"{name}_triangles"]
        a, b, c = (points[triangles[:, i]].astype(float) for i in range(3))
        normals = np.cross(b - a, c - a)
        normals /= np.linalg.norm(normals, axis=1, keepdims=True)
        light = shade(normals, arrays[f"{self._name}_light"])
        rgb = as_bytes(arrays[f"{name}_colours"] * light[:, None]).astype(np.uint32)
        faces: Pixels = rgb[:, 0] | rgb[:, 1] << np.uint32(8) | rgb[:, 2] << np.uint32(16)
        edge_owners = arrays[f"{name}_edge_owners"]
        colours = np.concatenate([faces, np.full(len(edge_owners), INK, np.uint32)])
        owners = np.concatenate([arrays[f"{name}_owners"], edge_owners])
        return self._lights.setdefault(name, (colours, washed_out(colours), owners))

    def _ground(self, grid_mm: float) -> tuple[Pixels, Depths]:
        """The ground with its grid and its words, and the figure on it, before all is built."""
        arrays, scale, shift, axes = self._solids.arrays, self._scale, self._shift, self._axes
        width, height = self.size
        # Sheet (x, y) of a pixel's middle, and from there the point of the ground it looks at.
        x = np.arange(width, dtype=np.float32) + np.float32(0.5 - shift[0])
        y = (np.float32(height - 0.5 - shift[1]) - np.arange(height, dtype=np.float32))[:, None]
        inverse = (np.linalg.inv(axes[:2, :2]) / scale).astype(np.float32)
        ground_x = inverse[0, 0] * x + inverse[0, 1] * y
        ground_y = inverse[1, 0] * x + inverse[1, 1] * y
        x0, y0, x1, y1 = (float(value) for value in arrays["footprint"])
        from_building = np.hypot(
            np.maximum(np.maximum(x0 - ground_x, ground_x - x1), 0.0),
            np.maximum(np.maximum(y0 - ground_y, ground_y - y1), 0.0),
        )
        figure_x, figure_y = (float(value) for value in arrays[f"{self._name}_standing"])
        from_figure = np.hypot(ground_x - figure_x, ground_y - figure_y)
        near = np.minimum(from_building, from_figure)
        strength = np.clip(1.0 - near / GROUND_FADES_MM, 0.0, 1.0) ** 1.5
        # Gone before the frame, where the building is small and the ground shown with it is too.
        inside_x = np.minimum(np.arange(width), np.arange(width)[::-1])
        inside_y = np.minimum(np.arange(height), np.arange(height)[::-1])[:, None]
        strength *= np.clip(np.minimum(inside_x, inside_y) / FRAME_FADES_PX, 0.0, 1.0)
        grid = np.zeros_like(near)
        for along, mm_per_px in (
            (ground_x, np.hypot(*inverse[0])),
            (ground_y, np.hypot(*inverse[1])),
        ):
            off = np.abs((along + grid_mm / 2) % grid_mm - grid_mm / 2)
            grid = np.maximum(grid, np.clip(GRID_PX - off / mm_per_px, 0.0, 1.0))
        grey = PAPER - strength * ((PAPER - GROUND) + grid * (GROUND - GRID))
        grey -= SHADOW * np.clip(1.0 - from_figure / SHADOW_MM, 0.0, 1.0)

        ground_z = scale * (axes[2, 0] * ground_x + axes[2, 1] * ground_y)
        # Deeper than it is by its step from pixel to pixel, or what lies flush is half sunk.
        step_px = np.hypot(axes[2, 0], axes[2, 1]) / axes[2, 2]
        depth = np.minimum((self._near - ground_z + step_px) / (self._near - self._far), 1.0)
        fine, nearest = (
            rows.repeat(FINE, axis=0).repeat(FINE, axis=1)
            for rows in (grey.astype(np.float32), depth.astype(np.float32))
        )
        for number, word in enumerate(self._words["words"]):
            fine -= self._lying(word, arrays[f"{self._name}_word{number}"]) * (fine - WORD)
        ground = fine.astype(np.uint32) * np.uint32(0x01010101)
        name = f"{self._name}_{FIGURE}"
        box = self._reached(arrays[f"{name}_points"])
        colour, figure = self._seen(self._solids.actors[name], box)
        front = figure < 1.0
        ground[box][front] = colour[front]
        nearest[box][front] = figure[front]
        return ground, nearest

    def _lying(self, word: str, corners: Array) -> Array:
        """(h, w) how much of each fine pixel a word on the ground covers, 0 to 1.

        Args:
            word: What is written.
            corners: (4, 3) float: from its lower left corner round to its upper left one.
        """
        width, height = (FINE * side for side in self.size)
        font = font_of(120, bold=True)
        left, top, right, bottom = font.getbbox(word)
        letters = Image.new("L", (round(right - left), round(bottom - top)))
        ImageDraw.Draw(letters).text((-left, -top), word, fill=255, font=font)
        x, y, _ = (self._placed(corners) * FINE).T
        y = height - y
        # From a pixel of the picture to one of the letters.
        along = np.array([[x[1] - x[0], x[3] - x[0]], [y[1] - y[0], y[3] - y[0]]])
        inverse = np.linalg.inv(along) * [[letters.width], [-letters.height]]
        start = inverse @ [-x[0], -y[0]] + [0.0, letters.height]
        turned = letters.transform(
            (width, height),
            Image.Transform.AFFINE,
            (*inverse[0], start[0], *inverse[1], start[1]),
            Image.Resampling.BILINEAR,
        )
        return np.asarray(turned, dtype=np.float32) / 255


def _both(one: slice, other: slice) -> slice:
    """What two runs of rows or columns share."""
    start = max(one.start, other.start)
    return slice(start, max(start, min(one.stop, other.stop)))


def _counted(drawn: Drawn, front: NDArray[np.bool_]) -> Counter[int]:
    """In how many pixels each part of a layer is seen, by its number."""
    counts = np.bincount(drawn.owner[front])
    return Counter({int(one): int(counts[one]) for one in np.flatnonzero(counts)})

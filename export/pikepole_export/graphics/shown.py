"""What the window shows of a layer: its faces and its edges, as the pictures have them.

alike(parts) -> parts that are left out, covered or seen through together
ShownLayer(plotter, parts)
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from typing import Any

import numpy as np

from pikepole_export.graphics.colours import part_colour
from pikepole_export.graphics.layers import ROOF
from pikepole_export.graphics.meshes import merge
from pikepole_model.building.kind_rows import Appearance, Family
from pikepole_model.building.kinds import CLADDING, Kind, of
from pikepole_model.building.part import Part

INK = (30, 28, 26)
PICKED = (235, 92, 20)
PANE_OPACITY = 0.35

# Once one of these lies on it, nobody sees the edges of what is below; the faces lie so close that
# these would shine through.
ROOFED = of(Family.PANELS)
CLAD = of(Family.SIDING, Family.UPRIGHTS, Family.SLATS)
COVERED: dict[Kind, frozenset[Kind]] = {
    Kind.ROOF_SHEET: ROOFED | of(Family.UNDERLAYMENT),
    **dict.fromkeys(of(Family.UNDERLAYMENT), ROOFED),
    Kind.WALL_SHEET: CLAD | of(Family.WRAP),
    **dict.fromkeys(of(Family.WRAP), CLAD),
}


class Hidden(Enum):
    """What can be left out at a key."""

    ROOF = "r"
    SIDING = "s"
    GROUND = "g"

    @property
    def kinds(self) -> frozenset[Kind]:
        """Of the pieces that are left out."""
        match self:
            case Hidden.ROOF:
                return ROOF
            case Hidden.SIDING:
                return CLADDING | of(Family.WRAP, Family.CASING)
            case Hidden.GROUND:
                return of(Family.GRAVEL)


class ShownLayer:
    """Parts that are shown together, as they are in the window."""

    def __init__(self, plotter: Any, parts: Sequence[Part]) -> None:
        import pyvista as pv

        self.parts = parts
        merged = merge(parts)
        self.owners = merged.owners
        colours = np.array([part_colour(part) for part in parts]).reshape(-1, 3)
        self._true = np.round(colours[merged.owners] * 255).astype(np.uint8)
        self.faces: Any = None
        self.lines: Any = None
        self._mesh = pv.PolyData()
        if not len(merged.triangles):
            return
        self._mesh = pv.PolyData.from_regular_faces(merged.vertices, merged.triangles)
        self._mesh.cell_data["colours"] = self._true.copy()
        glass = {part.kind.row.look for part in parts} == {Appearance.GLASS}
        self.faces = plotter.add_mesh(
            self._mesh,
            scalars="colours",
            rgb=True,
            ambient=0.35,
            diffuse=0.75,
            opacity=PANE_OPACITY if glass else 1.0,
            reset_camera=False,
        )
        # Faces are set back a little, so that the lines on them stay whole.
        self.faces.mapper.resolve = "polygon_offset"
        if len(merged.edges):
            lines = pv.line_segments_from_points(merged.vertices[merged.edges.ravel()])
            self.lines = plotter.add_mesh(
                lines,
                color=INK,
                line_width=1.2,
                lighting=False,
                pickable=False,
                reset_camera=False,
            )

    @property
    def actors(self) -> tuple[Any, ...]:
        """What there is of it in the window."""
        return tuple(actor for actor in (self.faces, self.lines) if actor is not None)

    def show(self, kinds: frozenset[Kind], *, shown: bool) -> None:
        """Let it be seen or not.

        Args:
            kinds: Of all pieces that are seen with it.
            shown: Whether its faces are.
        """
        covers = frozenset[Kind]().union(*(COVERED.get(p.kind, frozenset()) for p in self.parts))
        for actor in self.actors:
            actor.visibility = shown and (actor is self.faces or kinds.isdisjoint(covers))

    def paint(self, part: Part | None) -> None:
        """Every piece in its own colour, but one, if it is among these."""
        if self.faces is None:
            return
        colours = self._true.copy()
        if part in self.parts:
            colours[self.owners == self.parts.index(part)] = PICKED
        self._mesh.cell_data["colours"] = colours

    def part_at(self, actor: object, triangle: int) -> Part | None:
        """The part whose triangle this is, if what was hit is this layer."""
        hit = self.faces is not None and actor is self.faces
        return self.parts[int(self.owners[triangle])] if hit else None


def alike(parts: Sequence[Part]) -> Iterator[tuple[Part, ...]]:
    """Parts that are left out, covered or seen through together."""
    found: dict[object, list[Part]] = {}
    for part in parts:
        kind = part.kind
        key = (
            tuple(kind in one.kinds for one in Hidden),
            COVERED.get(kind),
            kind.row.look is Appearance.GLASS,
        )
        found.setdefault(key, []).append(part)
    yield from map(tuple, found.values())

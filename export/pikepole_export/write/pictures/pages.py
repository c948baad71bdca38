"""Which page shows what: the layers that stand and are added, and how large they are drawn.

    layers_shown(building) -> {layer: its parts}
    pages_of(building, layers) -> pages
    fits_of(pages, layers, axes, ...) -> fits

A stage is drawn as large as what stands after it allows. So that the picture does not jump from one
stage to the next, stages share a fit until one would come out JUMP times as large by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.graphics.layers import ROOF, ROOF_COVER, layers_of, standing_layers
from pikepole_export.write.pictures.sheet import MARGIN_PX
from pikepole_model.building.kind_rows import Appearance
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points

Layers = Mapping[str, tuple[Part, ...]]
JUMP = 1.2


@dataclass(frozen=True, slots=True)
class Page:
    """What one page shows.

    Attributes:
        standing: Names of the layers that stand, in order of building.
        added: Names of those that its stage adds; none on the page of the finished building.
        opened: Whether the roof is left out but for its outline.
    """

    standing: tuple[str, ...]
    added: tuple[str, ...]
    opened: bool

    @property
    def shown(self) -> tuple[str, ...]:
        """All its layers."""
        return (*self.standing, *self.added)


def layers_shown(building: Building) -> dict[str, tuple[Part, ...]]:
    """Each stage's layer, its roof and its panes apart; only those that have parts."""
    found: dict[str, tuple[Part, ...]] = {}
    for name, parts in layers_of(building).items():
        roof = tuple(part for part in parts if part.kind in ROOF)
        glass = tuple(part for part in parts if part.kind.row.look is Appearance.GLASS)
        rest = tuple(part for part in parts if part not in {*roof, *glass})
        split = {f"{name} rest": rest, f"{name} roof": roof, f"{name} glass": glass}
        found |= {layer: own for layer, own in split.items() if own}
    return found


def pages_of(building: Building, layers: Layers) -> tuple[Page, ...]:
    """A page for each stage, and one of the finished building."""
    pages: list[Page] = []
    for place, stage in enumerate(building.stages):
        standing = _split(standing_layers(building, stage.number), layers)
        added = _split([f"stage{place}"], layers)
        covered = any(part.kind in ROOF_COVER for name in standing for part in layers[name])
        under = any(part.kind not in ROOF for part in stage.parts)
        pages.append(Page(standing, added, covered and under))
    return (*pages, Page(pages[-1].shown, (), False))


def _split(names: Iterable[str], layers: Layers) -> tuple[str, ...]:
    return tuple(
        layer
        for name in names
        for layer in (f"{name} rest", f"{name} roof", f"{name} glass")
        if layer in layers
    )


def fits_of(
    pages: Sequence[Page], points: Mapping[str, Points], axes: Points, size_px: tuple[int, int]
) -> tuple[int, ...]:
    """For each page the last of those that are drawn as large as it.

    Args:
        pages: In order.
        points: (n, 3) float: the vertices of each layer, mm.
        axes: (3, 3) float: unit vectors right, up and towards the camera.
        size_px: Width and height of the frame.
    """
    flat = {name: own @ axes[:2].T for name, own in points.items()}
    lows = {name: own.min(axis=0) for name, own in flat.items()}
    highs = {name: own.max(axis=0) for name, own in flat.items()}
    room = np.array(size_px) - 2 * MARGIN_PX
    own = [
        float(
            (
                room
                / (
                    np.max([highs[name] for name in page.shown], axis=0)
                    - np.min([lows[name] for name in page.shown], axis=0)
                )
            ).min()
        )
        for page in pages
    ]
    shared = [len(pages) - 1]
    for place in range(len(pages) - 2, -1, -1):
        with_next = shared[-1]
        shared.append(with_next if own[place] < JUMP * own[with_next] else place)
    return tuple(reversed(shared))

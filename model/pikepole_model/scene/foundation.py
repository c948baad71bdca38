"""What a person writes about what the building stands on."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from pikepole_model.scene.quantity import Measure, Metric
from pikepole_model.scene.types import Bolt, Layer, LumberName, Overhang, Section, Spacing


class Skids(Section):
    """Treated runners on gravel; [foundation] of kind "skids"."""

    kind: Literal["skids"]
    skid: LumberName = "4x6"  # laid on edge, treated
    count: Annotated[int, Field(ge=2, le=20)] = 3
    inset: Overhang = 0.0  # outer skids' faces in from the front and back edge
    toe: Overhang = 38.1  # length and height of the sled cut at each skid's end; 0 for square
    gravel: Layer = 101.6
    gravel_margin: Overhang = 304.8

    @property
    def bearer(self) -> LumberName:
        """The section that the floor lies on."""
        return self.skid


class Piers(Section):
    """Precast blocks on gravel under treated girders; [foundation] of kind "piers"."""

    kind: Literal["piers"]
    girder: LumberName = "4x6"  # on edge, along the store
    count: Annotated[int, Field(ge=2, le=20)] = 3  # rows
    inset: Overhang = 0.0  # outer girders' faces in from the front and back edge
    spacing: Spacing = 1828.8  # between blocks of a row, at most
    block_height: Layer = 203.2
    block_top: Layer = 203.2  # side of the square the girder sits on
    block_bottom: Layer = 304.8  # side of the square on the gravel
    gravel: Layer = 101.6
    gravel_margin: Overhang = 101.6  # round each block

    @property
    def bearer(self) -> LumberName:
        """The section that the floor lies on."""
        return self.girder


# Footings go at least 12 in into the ground. Source: IRC R403.1.4 (from memory).
LEAST_BELOW_GROUND_MM = 304.8


# Slope of a thickened edge's inner side: 45 degrees, common practice, no source.
EDGE_SLOPE = 1.0


class Pad(Section):
    """A concrete slab on gravel; [foundation] of kind "pad"."""

    kind: Literal["pad"]
    thickness: Layer = 101.6
    # Top of slab over finished ground: 6 in at least.
    above_ground: Annotated[float, Measure("length", 0.0, 1_000.0), Metric(155.0)] = 152.4
    gravel: Layer = 101.6
    gravel_margin: Overhang = 152.4
    # Past the framing, for the bolts of a building that is moved onto it.
    margin: Overhang = 0.0
    edge_depth: Layer | None = None  # thickened edge, from the top of the slab; see deep_mm
    edge_width: Layer = 304.8  # its width at the bottom; the inner side slopes at 45 degrees
    bolt_diameter: Annotated[Bolt, Metric(12.0)] = 12.7
    bolt_embedment: Layer = 177.8
    bolt_spacing: Spacing = 1828.8

    @property
    def deep_mm(self) -> float:
        """Depth of its edge from its top, mm; by default as deep as a footing must be."""
        return self.edge_depth or max(self.thickness, self.least_deep_mm)

    @property
    def edge_in_mm(self) -> float:
        """From its side in to where it is as thick as in its middle, mm."""
        rise = self.deep_mm - self.thickness
        return self.edge_width + rise / EDGE_SLOPE if rise > 0 else 0.0

    @property
    def least_deep_mm(self) -> float:
        """Depth of an edge from its top that is as far in the ground as a footing must be, mm."""
        return self.above_ground + LEAST_BELOW_GROUND_MM

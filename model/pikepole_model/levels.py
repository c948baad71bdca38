"""The heights and widths everything is laid out to, worked out once from the scene."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from pikepole_model.scene import Bay, Beam, BuiltUp, Scene, Skids


@dataclass(frozen=True)
class Levels:
    """Heights and widths of one scene, mm; heights are above finished ground."""

    scene: Scene

    @property
    def length_mm(self) -> float:
        """Length of the enclosed store over its framing."""
        return self.scene.building.length

    @property
    def depth_mm(self) -> float:
        """Depth of the store over its framing, front to back."""
        return self.scene.building.depth

    @cached_property
    def wall_mm(self) -> float:
        """Thickness of the walls' framing."""
        return self.scene.lumber_stock(self.scene.walls.stud).depth_mm

    @cached_property
    def breadth_mm(self) -> float:
        """Thickness of a stud or plate."""
        return self.scene.lumber_stock(self.scene.walls.stud).breadth_mm

    @cached_property
    def skid_mm(self) -> float:
        """Height of the skids; 0 on a pad."""
        foundation = self.scene.foundation
        return (
            self.scene.lumber_stock(foundation.skid).depth_mm
            if isinstance(foundation, Skids)
            else 0.0
        )

    @cached_property
    def joist_mm(self) -> float:
        """Depth of the floor joists; 0 without a deck floor."""
        floor = self.scene.floor
        return self.scene.lumber_stock(floor.joist).depth_mm if floor else 0.0

    @cached_property
    def floor_sheet_mm(self) -> float:
        """Thickness of the floor sheets; 0 without a deck floor."""
        floor = self.scene.floor
        return self.scene.sheet_stock(floor.sheet).thickness_mm if floor else 0.0

    @cached_property
    def floor_mm(self) -> float:
        """Top of the floor the walls stand on."""
        foundation = self.scene.foundation
        if isinstance(foundation, Skids):
            return self.skid_mm + self.joist_mm + self.floor_sheet_mm
        return foundation.above_ground

    @property
    def beam(self) -> Beam | None:
        """The beam on the front and back walls: where an end bay or the scene asks for it."""
        beam = self.scene.beam
        ends = self.bay_at("left") or self.bay_at("right")
        return beam if beam and (ends or beam.on_walls) else None

    @cached_property
    def beam_depth_mm(self) -> float:
        """Depth of the wall-line beams; 0 where the rafters sit on the plates."""
        return self.scene.lumber_stock(self.beam.ply).depth_mm if self.beam else 0.0

    @cached_property
    def bearing_mm(self) -> float:
        """Level width of what the rafters sit on: beam or plates."""
        return self.width_of(self.beam) if self.beam else self.wall_mm

    def width_of(self, beam: BuiltUp) -> float:
        """Thickness of a built-up beam over its plies and spacers."""
        ply = self.scene.lumber_stock(beam.ply).breadth_mm
        spacer = self.scene.sheet_stock(beam.spacer).thickness_mm if beam.spacer else 0.0
        return beam.plies * ply + (beam.plies - 1) * spacer

    def bay_at(self, side: str) -> Bay | None:
        """The open bay at one side of the store, if there is one."""
        return next((bay for bay in self.scene.bay if bay.side == side), None)

    @cached_property
    def roof_ends_mm(self) -> tuple[float, float]:
        """X of the outer faces of the two end rafters."""
        left, right = self.bay_at("left"), self.bay_at("right")
        return (
            -left.reach if left else 0.0,
            self.length_mm + (right.reach if right else 0.0),
        )

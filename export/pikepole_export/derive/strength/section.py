"""The rectangle of a member as it is bent: area, section modulus, second moment."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Section:
    """Equal plies side by side, bent in the plane of their depth.

    Attributes:
        breadth_mm: Of one ply, square to the bending, mm.
        depth_mm: In the plane of bending, mm; less than the breadth where it is laid flat.
        plies: How many share the load.
    """

    breadth_mm: float
    depth_mm: float
    plies: int = 1

    @property
    def area_mm2(self) -> float:
        """All plies together, mm2."""
        return self.plies * self.breadth_mm * self.depth_mm

    @property
    def modulus_mm3(self) -> float:
        """S = b d^2 / 6, mm3."""
        return self.area_mm2 * self.depth_mm / 6

    @property
    def inertia_mm4(self) -> float:
        """I = b d^3 / 12, mm4."""
        return self.area_mm2 * self.depth_mm**2 / 12

    @property
    def is_flat(self) -> bool:
        """Whether a ply is bent over its smaller side."""
        return self.depth_mm < self.breadth_mm

    @property
    def sides_mm(self) -> tuple[float, float]:
        """The smaller and the larger side of a ply, mm."""
        return min(self.breadth_mm, self.depth_mm), max(self.breadth_mm, self.depth_mm)

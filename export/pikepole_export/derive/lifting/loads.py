"""What hangs in the hands at once: one piece, or several that are fixed together already.

load_of(name, parts) -> Load

        width
    +---------+ . . . . . . . . +       A load is seen as the box round it, which has the
   /  A       /                /        way of its longest piece. Its ends A and B are the
  +---------+ . . . . . . . . + |       middles of the box's end faces; its centre of gravity
  |         |     length      | +       is its own, wherever that lies in the box.
  +---------+ . . . . . . . . +
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pikepole_export.derive.inventory.mass import Mass, balance, part_mass
from pikepole_export.derive.lifting.statics import weight_n
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Placement, Points, Vector, cross


@dataclass(frozen=True)
class Load:
    """One body, as it lies when it is in its place.

    Attributes:
        name: What it is called: "front beam", "front beam ply 2".
        parts: What it is made of.
        mass: What it weighs.
        centre_mm: Its centre of gravity, building frame.
        box: The frame of its box: the origin at one corner, u along its length, v its width.
        size_mm: Length, width and thickness of the box, along u, v and n.
    """

    name: str
    parts: tuple[Part, ...]
    mass: Mass
    centre_mm: Vector
    box: Placement
    size_mm: Vector

    @property
    def ends_mm(self) -> tuple[Vector, Vector]:
        """Middles of its two end faces, building frame, mm."""
        length, width, thickness = self.size_mm
        return (
            self.box.point(0.0, width / 2, thickness / 2),
            self.box.point(length, width / 2, thickness / 2),
        )

    @property
    def centre_in_box_mm(self) -> Vector:
        """Its centre of gravity along its length, width and thickness, from the box's corner."""
        away = np.subtract(self.centre_mm, self.box.origin)
        u, v, n = (float(away @ np.array(axis)) for axis in (self.box.u, self.box.v, self.box.n))
        return (u, v, n)

    @property
    def weight_n(self) -> float:
        """Its weight at its high mass, N."""
        return weight_n(self.mass.high_kg)

    @property
    def end_shares(self) -> tuple[float, float]:
        """What each end carries of it, held level at both, as shares of its weight: moments."""
        along = self.centre_in_box_mm[0] / self.size_mm[0]
        return 1.0 - along, along

    @property
    def is_upright(self) -> bool:
        """Whether its length stands: steeper than any rafter."""
        return abs(self.box.u[2]) > 0.9

    @property
    def is_on_edge(self) -> bool:
        """Whether its width stands: steeper than any roof."""
        return abs(self.box.n[2]) < 0.5

    @property
    def lies_flat(self) -> bool:
        """Whether its width and its length are level, or nearly."""
        return abs(self.box.n[2]) > 0.9

    @cached_property
    def vertices_mm(self) -> Points:
        """(n, 3) float: every vertex of its parts, building frame, mm."""
        return np.concatenate([part.vertices_mm for part in self.parts])

    @cached_property
    def low_mm(self) -> float:
        """Height of its lowest point above ground."""
        return min(part.bounds_mm[0][2] for part in self.parts)

    @cached_property
    def top_mm(self) -> float:
        """Height of its highest point above ground."""
        return max(part.bounds_mm[1][2] for part in self.parts)


def load_of(name: str, parts: Sequence[Part], axes: tuple[Vector, Vector] | None = None) -> Load:
    """Several parts as one body.

    Args:
        name: What to call it.
        parts: At least one.
        axes: The ways of its length and width, unit vectors; those of its longest part without.
    """
    masses = [part_mass(part) for part in parts]
    mass, centre = balance(masses, [part.centre_mm for part in parts])
    vertices = np.concatenate([part.vertices_mm for part in parts])
    longest = max(parts, key=lambda part: part.length_mm).placement
    ways = (*axes, cross(*axes)) if axes else (longest.u, longest.v, longest.n)
    along = vertices @ np.array(ways).T
    spans = list(zip(along.min(axis=0).tolist(), along.max(axis=0).tolist(), ways, strict=True))
    if axes is None:
        spans.sort(key=lambda span: span[0] - span[1])
    (u_low, u_high, u), (v_low, v_high, v), (n_low, n_high, n) = spans
    turned = Placement(u=u, v=v)
    # The third way of the box is u x v, which may look against the one it was measured along.
    against = sum(a * b for a, b in zip(turned.n, n, strict=True)) < 0
    box = replace(turned, origin=turned.point(u_low, v_low, -n_high if against else n_low))
    length, width, thickness = u_high - u_low, v_high - v_low, n_high - n_low
    return Load(name, tuple(parts), mass, centre, box, (length, width, thickness))


def nearer_end(load: Load, at_mm: Vector) -> int:
    """Which of a load's two ends is nearer to a point: 0 or 1."""
    first, last = (math.dist(end, at_mm) for end in load.ends_mm)
    return 0 if first <= last else 1


def end_name(load: Load, end_mm: Vector) -> str:
    """Which end of what lies is at a point, as seen from the front: "left end", "back end"."""
    x_mm, y_mm, _ = (a - b for a, b in zip(end_mm, load.centre_mm, strict=True))
    if abs(x_mm) >= abs(y_mm):
        return "left end" if x_mm < 0 else "right end"
    return "front end" if y_mm < 0 else "back end"

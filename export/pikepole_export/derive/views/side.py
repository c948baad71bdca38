"""Sides that a building is looked at from, square to it: where a point of it falls in that view."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pikepole_model.geometry.placement import Points, Vector, cross
from pikepole_model.scene.types import Wall

UP: Vector = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Side:
    """A view without perspective.

    Attributes:
        towards: Unit vector from the building to whoever looks.
        up: Unit vector that points up in the view, square to that.
    """

    towards: Vector
    up: Vector = UP

    @property
    def right(self) -> Vector:
        """Unit vector that points to the right in the view."""
        return cross(self.up, self.towards)

    @property
    def axes(self) -> Points:
        """(3, 3) float: right, up and towards, one below the other."""
        return np.array([self.right, self.up, self.towards])

    def seen(self, points: Points) -> Points:
        """(n, 3) points of the building as (n, 3): to the right, up and nearer, mm."""
        return points @ self.axes.T


ABOVE = Side(UP, (0.0, 1.0, 0.0))
SIDES: dict[Wall, Side] = {
    "front": Side((0.0, -1.0, 0.0)),
    "back": Side((0.0, 1.0, 0.0)),
    "left": Side((-1.0, 0.0, 0.0)),
    "right": Side((1.0, 0.0, 0.0)),
}

"""Where a piece is: a right-handed frame in the building.

The building's frame: X along its length, Y from front to back, Z up, millimetres,
origin at the front left corner of the framed floor on top of the finished ground.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Vector: TypeAlias = tuple[float, float, float]
Points: TypeAlias = NDArray[np.float64]


def cross(a: Vector, b: Vector) -> Vector:
    """The vector product a x b."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


@dataclass(frozen=True, slots=True)
class Placement:
    """A piece's own frame seen from the building.

    Attributes:
        origin: The piece's local origin, mm.
        u: Unit vector of its first local axis (along the grain of most pieces).
        v: Unit vector of its second local axis, square to u.
    """

    origin: Vector = (0.0, 0.0, 0.0)
    u: Vector = (1.0, 0.0, 0.0)
    v: Vector = (0.0, 1.0, 0.0)

    @property
    def n(self) -> Vector:
        """The third local axis, u x v: the way an outline is extruded."""
        return cross(self.u, self.v)

    def point(self, a: float, b: float, c: float = 0.0) -> Vector:
        """Local coordinates (a, b, c), mm, as a point of the building."""
        o, u, v, n = self.origin, self.u, self.v, self.n
        return (
            o[0] + a * u[0] + b * v[0] + c * n[0],
            o[1] + a * u[1] + b * v[1] + c * n[1],
            o[2] + a * u[2] + b * v[2] + c * n[2],
        )

    def at_depth(self, n: float) -> Placement:
        """The same frame moved along its n, mm."""
        return Placement(self.point(0.0, 0.0, n), self.u, self.v)

    @property
    def matrix(self) -> Points:
        """(4, 4) float: local to building, column vectors, mm."""
        matrix = np.eye(4)
        matrix[:3, 0], matrix[:3, 1], matrix[:3, 2], matrix[:3, 3] = (
            self.u,
            self.v,
            self.n,
            self.origin,
        )
        return matrix

    def apply(self, points: Points) -> Points:
        """(n, 3) local points, mm, as (n, 3) points of the building."""
        return points @ np.array([self.u, self.v, self.n]) + np.array(self.origin)

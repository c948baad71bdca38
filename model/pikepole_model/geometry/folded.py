"""A thin sheet folded more ways than one: a pan with its ends turned up, a corner of flashing.

Its two faces are told corner by corner, each fold mitred as that of a sheet is, so that its solid
and its triangles follow without a cut.

    folded(corners, fields) -> Folded
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from pikepole_model.geometry.placement import Vector

# The numbers of its corners in order round a flat field; none of the others that follow one another
# are in line with the first.
Field: TypeAlias = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Folded:
    """A sheet of one thickness in flat fields.

    Attributes:
        back: The corners of the face that lies on what is under it, mm.
        front: The same corners on the other face, mm.
        fields: Its flat fields, counter-clockwise seen from the front.
    """

    back: tuple[Vector, ...]
    front: tuple[Vector, ...]
    fields: tuple[Field, ...]

    @property
    def corners(self) -> tuple[Vector, ...]:
        """Those of the back, then those of the front, mm."""
        return (*self.back, *self.front)

    @property
    def faces(self) -> tuple[Field, ...]:
        """Every flat face by the numbers of its corners, counter-clockwise seen from outside."""
        over = len(self.back)
        edges = [edge for field in self.fields for edge in _round(field)]
        shared = Counter(frozenset(edge) for edge in edges)
        return (
            *(tuple(corner + over for corner in field) for field in self.fields),
            *(_turned(field) for field in self.fields),
            *((a, b, b + over, a + over) for a, b in edges if shared[frozenset((a, b))] == 1),
        )


def folded(corners: Sequence[tuple[Vector, Vector]], fields: Sequence[Field]) -> Folded:
    """A folded sheet, its fields turned to be seen from the front.

    Args:
        corners: Each corner on the back and on the front, mm.
        fields: Its flat fields, round either way.
    """
    back, front = (tuple(pair[side] for pair in corners) for side in (0, 1))
    return Folded(back, front, tuple(_seen_from(front, back, field) for field in fields))


def _seen_from(front: Sequence[Vector], back: Sequence[Vector], field: Field) -> Field:
    points = np.array([front[k] for k in field])
    out = (points - np.array([back[k] for k in field])).sum(axis=0)
    area = np.cross(points, np.roll(points, -1, axis=0)).sum(axis=0)
    return field if float(area @ out) > 0 else _turned(field)


def _turned(field: Field) -> Field:
    """The other way round, from the same corner."""
    return (field[0], *field[:0:-1])


def _round(field: Field) -> list[tuple[int, int]]:
    return list(zip(field, (*field[1:], field[0]), strict=True))

"""Is a shape one sound body, and do its triangles hold what the CAD kernel's solid of it holds?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from pikepole_model.geometry.kernel import bodies_of, volume_and_centre
from pikepole_model.geometry.mesh import Mesh
from pikepole_model.geometry.shape import Shape

if TYPE_CHECKING:
    import cadquery as cq

# A mesh holds its solid's volume to this part of it.
VOLUME_PART = 1e-4


def wrong_with(shape: Shape) -> tuple[str, ...]:
    """What is wrong with a shape's solid or mesh; empty where it is one sound body."""
    try:
        solid, mesh = shape.solid, shape.mesh
        volume_mm3, _ = volume_and_centre(solid)
        wrong = list(_wrong_with_body(solid, known=shape.is_straight or bool(shape.cuts)))
    except Exception as error:  # the kernel's own errors share no narrower class
        return (f"cannot be made: {str(error) or type(error).__name__}",)
    if not volume_mm3 > 0:
        wrong.append(f"has a volume of {volume_mm3:.6g} mm3")
    if not watertight(mesh):
        wrong.append("has a mesh that is not watertight")
    else:
        off_mm3 = abs(mesh.volume_and_centre[0] - volume_mm3)
        if not off_mm3 <= VOLUME_PART * abs(volume_mm3):
            wrong.append(f"has a mesh whose volume is {off_mm3:.6g} mm3 off its solid's")
    return tuple(wrong)


def _wrong_with_body(solid: cq.Solid, *, known: bool) -> Iterator[str]:
    """What the kernel finds wrong with a solid.

    It takes no second long look at faces that are known to be sound: by their making those of a
    straight one, and those of a cut one because `cut_away` has looked at them.
    """
    bodies, closed = bodies_of(solid)
    if bodies != 1 or len(closed) != 1:
        yield f"is {bodies} solids of {len(closed)} shells, not one body"
    if not known and not solid.isValid():
        yield "is not a valid solid: an outline crosses itself, or a face does"
    if not all(closed):
        yield "is not closed"


def watertight(mesh: Mesh) -> bool:
    """Whether each edge is shared by exactly two facets that run along it in opposite ways."""
    if not len(mesh.triangles):
        return False
    start = mesh.triangles.astype(np.int64).ravel()
    end = np.roll(mesh.triangles, -1, axis=1).astype(np.int64).ravel()
    count = len(mesh.vertices)
    there, back = np.sort(start * count + end), np.sort(end * count + start)
    return bool((start != end).all() and (np.diff(there) > 0).all() and (there == back).all())

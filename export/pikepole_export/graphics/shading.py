"""How light a face is drawn, by the way it looks."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]


# From the long side, from the end, from above: three steps that stay apart in grey.
SIDE, END, TOP = 0.50, 0.20, 0.84


def shade(normals: Floats, light: Floats) -> Floats:
    """(m,) float, 0 to 1: how light each face is drawn.

    Args:
        normals: (m, 3) float: unit vectors out of the faces.
        light: (3,) float: SIDE, END and TOP along the directions that these are seen from.
    """
    return np.clip(0.66 + 0.41 * normals @ light, 0.5, 1.0)


def as_bytes(colours: Floats) -> NDArray[np.uint8]:
    """Colours from 0 to 1 as bytes, of the same shape."""
    return np.clip(np.round(colours * 255), 0, 255).astype(np.uint8)

"""Where a building is looked at from: the front, the end with the longer open bay, and above."""

from __future__ import annotations

import math

import numpy as np

from pikepole_model.part import Building
from pikepole_model.placement import Points

ABOVE_DEG = 30.0
ASIDE_DEG = 35.0  # from square on to the front


def eye_axes(building: Building) -> Points:
    """(3, 3) float: unit vectors right, up and towards the eye, in the building's frame."""
    reach = {bay.side: bay.reach for bay in building.scene.bay}
    above = math.radians(ABOVE_DEG)
    leftwards = reach.get("left", 0.0) > reach.get("right", 0.0)
    aside = math.radians(-ASIDE_DEG if leftwards else ASIDE_DEG)
    right = np.array([math.cos(aside), math.sin(aside), 0.0])
    ahead = np.array([math.sin(aside), -math.cos(aside), 0.0]) * math.cos(above)
    towards = np.array([ahead[0], ahead[1], math.sin(above)])
    return np.array([right, np.cross(towards, right), towards])

"""Where a building is looked at from.

From the front, the end with the longer open bay, and above; and once it is finished from the
opposite corner too, lower down.
"""

from __future__ import annotations

import math

import numpy as np

from pikepole_model.building.part import Building
from pikepole_model.geometry.placement import Points

ABOVE_DEG = 30.0
ABOVE_BEHIND_DEG = 18.0  # low enough to look in under the eaves
ASIDE_DEG = 35.0  # from square on to the front


def camera_axes(building: Building) -> Points:
    """(3, 3) float: unit vectors right, up and towards the camera, in the building's frame."""
    return _axes(_aside_deg(building), ABOVE_DEG)


def camera_axes_behind(building: Building) -> Points:
    """The same of the camera at the opposite corner."""
    return _axes(_aside_deg(building) + 180.0, ABOVE_BEHIND_DEG)


def _aside_deg(building: Building) -> float:
    reach = {bay.side: bay.reach for bay in building.scene.bay}
    leftwards = reach.get("left", 0.0) > reach.get("right", 0.0)
    return -ASIDE_DEG if leftwards else ASIDE_DEG


def _axes(aside_deg: float, above_deg: float) -> Points:
    aside, above = math.radians(aside_deg), math.radians(above_deg)
    right = np.array([math.cos(aside), math.sin(aside), 0.0])
    ahead = np.array([math.sin(aside), -math.cos(aside), 0.0]) * math.cos(above)
    towards = np.array([ahead[0], ahead[1], math.sin(above)])
    return np.array([right, np.cross(towards, right), towards])

"""Where the building stands: on its lot, and the loads that its members are held against."""

from __future__ import annotations

from typing import Annotated, Literal

from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.types import Offset, Section, Wall
from pikepole_model.units import parse_load, parse_speed


class Distances(Section):
    """Straight out from each wall, or from posts before it; [site.lot] and [site.setback]."""

    front: Offset | None = None
    back: Offset | None = None
    left: Offset | None = None
    right: Offset | None = None

    def at(self, wall: Wall) -> float | None:
        """The distance before a wall, mm; None where nobody says."""
        match wall:
            case "front":
                return self.front
            case "back":
                return self.back
            case "left":
                return self.left
            case "right":
                return self.right


class Site(Section):
    """North, the lot, snow, wind, live load and soil; [site].

    What is left out is taken as it stands here and said to be an assumption: the building
    department has the place's own figures.
    """

    ground_snow: Annotated[float, Measure("load", 0.0, 15.0)] = parse_load("30 psf")
    roof_exposure: Literal["full", "partial", "sheltered"] = "partial"
    heated: bool = False
    wind: Annotated[float, Measure("speed", 20.0, 90.0)] = parse_speed("115 mph")  # gust of 3 s
    terrain: Literal["B", "C", "D"] = "C"
    risk: Literal["I", "II"] = "II"
    floor_live: Annotated[float, Measure("load", 0.5, 20.0)] = parse_load("40 psf")
    soil: Annotated[float, Measure("load", 20.0, 600.0)] = parse_load("1500 psf")
    north: Annotated[float, Measure("bearing", 0.0, 360.0)] | None = None  # left to be drawn
    lot: Distances = Distances()  # how far off its lines are
    setback: Distances = Distances()  # the least that the rules of the place ask for
    frost: Annotated[float, Measure("length", 0.0, 3_000.0)] | None = None  # not looked at without

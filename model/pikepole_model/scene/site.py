"""Where the building stands: the loads that its members are held against."""

from __future__ import annotations

from typing import Annotated, Literal

from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.types import Section
from pikepole_model.units import parse_load, parse_speed


class Site(Section):
    """Snow, wind, live load and soil; [site].

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
    frost: Annotated[float, Measure("length", 0.0, 3_000.0)] | None = None  # not looked at without

"""How high the ends of a load are before it is raised, and after.

ends(thing, load, lies_mm) -> Ends
"""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_export.derive.lifting.loads import Load
from pikepole_export.derive.lifting.things import Handling, Thing


@dataclass(frozen=True, slots=True)
class Ends:
    """Heights of a load's two ends above the ground, mm.

    Of what lies, they are those of its underside; of what stands up, its foot and its head.

    Attributes:
        start_mm: Where it waits: on trestles or bearers, a framed wall on the floor.
        end_mm: In its place.
    """

    start_mm: tuple[float, float]
    end_mm: tuple[float, float]


def ends(thing: Thing, load: Load, lies_mm: float) -> Ends:
    """The ends of a thing, or of one of the loads that it is taken apart into.

    Args:
        thing: What it is.
        load: All of it, or one of its loads.
        lies_mm: Height over the floor on which it waits.
    """
    is_frame = thing.handling == Handling.WALL and len(load.parts) > 1
    waits_mm = thing.floor_mm + (0.0 if is_frame else lies_mm)
    if is_frame or load.is_upright:
        return Ends((waits_mm, waits_mm), (load.low_mm, load.top_mm))
    _, width, thickness = load.size_mm
    # The lowest corner of an end face under its middle.
    half = (abs(load.box.v[2]) * width + abs(load.box.n[2]) * thickness) / 2
    first, last = (end[2] - half for end in load.ends_mm)
    return Ends((waits_mm, waits_mm), (first, last))

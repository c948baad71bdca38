"""What lies on floors, walls and roofs in pieces that have to be told apart."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pikepole_export.derive.views.side import ABOVE, SIDES
from pikepole_export.write.plans.seen import Seen, SeenSheet
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import FLOORING, Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points
from pikepole_model.scene.types import Wall

SIDING = of(Family.SIDING, Family.UPRIGHTS, Family.BATTENS, Family.CORNER_BOARDS)
NARROW = SIDING | {Kind.JOINT_FLASHING}
_ENDS: tuple[tuple[Wall, Wall], ...] = (("left", "right"), ("front", "back"))


def covers(building: Building) -> Iterator[SeenSheet]:
    """A sheet for each layer of it, in the order of the work.

    Args:
        building: As it stands in the end.
    """
    parts = building.parts
    middle = np.mean([np.mean(part.bounds_mm, axis=0) for part in parts], axis=0)
    for file, name, kinds, is_wall in (
        ("floor-sheets", "Floor, from above", FLOORING, False),
        ("loft-sheets", "Loft floor, from above", {Kind.LOFT_SHEET}, False),
        ("wall-sheets", "Wall sheets, from outside", {Kind.WALL_SHEET}, True),
        ("roof-sheets", "Roof sheets, from above", {Kind.ROOF_SHEET}, False),
        ("roof-panels", "Roof panels, from above", {Kind.PANEL}, False),
        ("siding", "Siding, from outside", NARROW, True),
    ):
        own = [part for part in parts if part.kind in kinds]
        if len(own) < 2:
            continue
        if not is_wall:
            yield SeenSheet(file, name, (Seen("", ABOVE, own),))
            continue
        walls: dict[Wall, list[Part]] = {wall: [] for wall in SIDES}
        for part in own:
            walls[_facing(part, middle)].append(part)
        views = {
            wall: Seen(wall.capitalize(), SIDES[wall], some, f"{wall} wall")
            for wall, some in walls.items()
            if some
        }
        if kinds is not NARROW:
            yield SeenSheet(file, name, tuple(views.values()))
            continue
        # Numbers on narrow boards take a sheet for each wall.
        for wall, view in views.items():
            title = f"{wall.capitalize()} wall {name.lower()}"
            yield SeenSheet(f"{wall}-wall-{file}", title, (view,))


def _facing(part: Part, middle: Points) -> Wall:
    """The side that a piece lies on: it is thin across that, or goes by its wall's name."""
    for wall in SIDES:
        if part.group.startswith(f"{wall} wall"):
            return wall
    low, high = (np.array(end) for end in part.bounds_mm)
    across = int(np.argmin((high - low)[:2]))
    beyond = bool(((low + high) / 2 > middle)[across])
    return _ENDS[across][beyond]

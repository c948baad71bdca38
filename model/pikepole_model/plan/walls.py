"""Which walls a scene has, and where each stands."""

from __future__ import annotations

from dataclasses import replace

from pikepole_model.plan.roof import LevelMember, RoofPlan
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_sheets import sheet_layers
from pikepole_model.scene.types import Wall

WALLS: tuple[Wall, ...] = ("front", "back", "left", "right")


def plan_walls(roof: RoofPlan) -> tuple[WallPlan, ...]:
    """The walls of a scene: front, back, left, right, and a clerestory's; none on posts."""
    if roof.datums.scene.posts:
        return ()
    walls = [_plan(name, roof) for name in WALLS]
    walls += [_strip(roof, roof.strip_beam)] if roof.strip_beam else []
    return tuple(replace(wall, joints_of=_joints) for wall in walls)


def _joints(wall: WallPlan) -> frozenset[float]:
    """Where the sheets of a wall meet, mm along u: what else stands there is there for them."""
    return frozenset(u for layer in sheet_layers(wall) for u in layer.columns[1:-1])


def _plan(name: Wall, roof: RoofPlan) -> WallPlan:
    datums = roof.datums
    place, slopes = datums.wall_place(name), roof.slopes
    if name == "front" or name == "back":
        length, top = datums.length_mm, roof.plate_top_mm(name) - datums.floor_mm
        return WallPlan(name, roof, place, length, (0.0, length), name, slopes, top)
    length, wall = datums.depth_mm, datums.wall_mm
    return WallPlan(name, roof, place, length, (wall, length - wall), name, slopes)


def _strip(roof: RoofPlan, beam: LevelMember) -> WallPlan:
    """A clerestory's strip, which runs on the beam over it from end to end of the building."""
    datums, strip = roof.datums, roof.section.strip
    assert strip
    over = tuple(slope for slope in roof.slopes if slope.falls == strip.upper.falls)
    faces, length = strip.lower.falls, datums.length_mm
    beside = datums.wall_place(faces)
    place = replace(beside, origin=(beside.origin[0], strip.y, datums.floor_mm))
    foot, top = beam.top_mm - datums.floor_mm, beam.up_to_mm - datums.floor_mm
    return WallPlan("clerestory", roof, place, length, (0.0, length), faces, over, top, foot)

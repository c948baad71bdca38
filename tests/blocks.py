"""Plain blocks between two corners, and buildings of a few that are fixed to one another."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from pikepole_model.building.joints import NAILED
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import Prism, Shape, rectangle
from pikepole_model.scene.crew import Crew
from pikepole_model.scene.schema import Scene, Walls
from pikepole_model.scene.timber import Fasteners
from samples import SPRUCE

AXES: tuple[Vector, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def lumber(
    name: str, kind: Kind, low: Vector, high: Vector, *, group: str = "frame", stage: int = 1
) -> Part:
    """A piece that fills the room between two corners, its grain along the longest side."""
    size = [b - a for a, b in zip(low, high, strict=True)]
    along = size.index(max(size))
    across, deep = (along + 1) % 3, (along + 2) % 3
    shape = Shape(Prism(rectangle(0, 0, size[along], size[across]), size[deep]))
    section = min(size[across], size[deep]), max(size[across], size[deep])
    place = Placement(low, AXES[along], AXES[across])
    return Part(name, kind, group, stage, "lumber", SPRUCE, section, shape, place)


def joined(
    parts: Iterable[Part],
    pairs: Iterable[tuple[str, str]],
    fixing: str = NAILED,
    units: Literal["imperial", "metric"] = "metric",
) -> Building:
    """A building of these, fixed in pairs by their names."""
    parts = tuple(parts)
    joints = tuple(Joint(a, b, fixing, (0.0, 0.0, 0.0)) for a, b in pairs)
    scene = Scene.model_construct(
        title="Blocks", units=units, walls=Walls(), fasteners=Fasteners(), crew=Crew()
    )
    return Building(scene, parts, joints, (Stage(1, "Blocks", parts),))

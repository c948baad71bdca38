"""Weights added up: the whole building, and by kind, group and stage.

weights(building, rows) -> Weights
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from pikepole_export.derive.inventory.mass import Mass, balance
from pikepole_export.derive.inventory.parts import PartRow
from pikepole_model.building.kind_rows import Counted
from pikepole_model.building.part import Building
from pikepole_model.geometry.placement import Vector

Key = TypeVar("Key", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Weight:
    """Several parts on the scales together.

    Attributes:
        name: What they have in common.
        parts: How many.
        parts_weighed: How many of these go by what a scale said.
        weighed: What it said; empty where it said nothing of them.
        mass: What they weigh together.
        centre_of_gravity_mm: Of the likely masses, mm, building frame.
    """

    name: str
    parts: int
    parts_weighed: int
    weighed: str
    mass: Mass
    centre_of_gravity_mm: Vector


@dataclass(frozen=True, slots=True)
class Weights:
    """The whole, and three ways to part it.

    Each of the three adds up to the whole, with what is left where the building was moved from.
    What stands there already weighs nothing here, and is named only where it has a stage.

    Attributes:
        building: Everything that stands in the end.
        kinds: By what a part is, in order of first use.
        groups: By what a part is raised with, in order of first use.
        stages: By the stage that adds it: its number, and its weight alone.
    """

    building: Weight
    kinds: tuple[Weight, ...]
    groups: tuple[Weight, ...]
    stages: tuple[tuple[int, Weight], ...]


def weigh(name: str, rows: Sequence[PartRow]) -> Weight:
    """Parts on the scales together, at least one."""
    mass, centre = balance([row.mass for row in rows], [row.centre_of_gravity_mm for row in rows])
    said = [row.weighed for row in rows if row.weighed]
    return Weight(name, len(rows), len(said), "; ".join(dict.fromkeys(said)), mass, centre)


def weights(building: Building, rows: Sequence[PartRow]) -> Weights:
    """The building's weights, from its part rows."""
    stage_names = {stage.number: stage.name for stage in building.stages}
    by_stage = sorted(_sorted_out(rows, lambda row: row.stage).items())
    built = [row for row in rows if row.kind.row.counted is not Counted.NOT]
    return Weights(
        building=weigh(
            building.scene.title, [row for row in built if row.name not in building.left]
        ),
        kinds=_weighed(_sorted_out(built, lambda row: row.kind)),
        groups=_weighed(_sorted_out(built, lambda row: row.group)),
        stages=tuple((number, weigh(stage_names[number], found)) for number, found in by_stage),
    )


def _weighed(piles: dict[str, list[PartRow]]) -> tuple[Weight, ...]:
    return tuple(weigh(name, rows) for name, rows in piles.items())


def _sorted_out(rows: Sequence[PartRow], key: Callable[[PartRow], Key]) -> dict[Key, list[PartRow]]:
    piles: dict[Key, list[PartRow]] = {}
    for row in rows:
        piles.setdefault(key(row), []).append(row)
    return piles

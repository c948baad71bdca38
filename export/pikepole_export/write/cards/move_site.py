"""Where a move is drawn: the building on its way, and places along and into the side it goes by.

move_site(building, plan) -> MoveSite
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pikepole_export.derive.moving.conduct import beds
from pikepole_export.derive.moving.plan import MovePlan
from pikepole_export.derive.moving.structure import SIDES, MovedStructure, SideAxes, moved_after
from pikepole_export.graphics.colours import part_colour
from pikepole_export.write.cards.solids import Solid, joined, pieces, raised
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Points
from pikepole_model.scene.moving import Move
from pikepole_model.units import Units

KEPT = 0.55  # of the darkness of what is moved


@dataclass(frozen=True)
class MoveSite:
    """A building that is moved, with its plan.

    Attributes:
        building: All of it.
        plan: Of its move.
        move: As its scene has it.
        moved: What goes and what stays.
        side: How the side lies that it goes by.
    """

    building: Building
    plan: MovePlan
    move: Move
    moved: MovedStructure
    side: SideAxes

    @property
    def units(self) -> Units:
        """Of what is written."""
        return self.building.scene.units

    @property
    def jacked_mm(self) -> float:
        """How far it goes up on jacks."""
        return self.plan.on_jacks.rise_mm

    @property
    def gear_mm(self) -> float:
        """How much higher than before the move it is on what carries it, that on the ground."""
        return self.plan.conduct.up_mm - self.plan.conduct.carry_mm

    @cached_property
    def along(self) -> tuple[float, float]:
        """From the left end of what goes to the right one, mm."""
        return self.side.span_along(self.moved.parts)

    @cached_property
    def into(self) -> tuple[float, float]:
        """From the near side of what goes to the far one, mm."""
        return self.side.span_into(self.moved.parts)

    @cached_property
    def top_mm(self) -> float:
        """The highest of it before the move."""
        return self.moved.underside_mm + self.moved.size_mm[2]

    @cached_property
    def _goes(self) -> Solid:
        return _pale(self.moved.parts)

    @cached_property
    def _stays(self) -> Solid:
        return _pale(self.moved.staying)

    def standing(self, up_mm: float) -> Solid:
        """It where it is built, with what stays there."""
        return joined([raised(self._goes, up_mm), self._stays])

    @cached_property
    def rests_mm(self) -> float:
        """How much higher it is set down than it stood."""
        first = self.moved.parts[0]
        there = next(part for part in self.building.parts if part.name == first.name)
        return there.placement.origin[2] - first.placement.origin[2]

    @cached_property
    def bed(self) -> tuple[Part, ...]:
        """What it is set down on, and what stays beside that."""
        return beds(self.building, self.moved)

    def set_down(self, up_mm: float) -> Solid:
        """It over its bed."""
        return joined([raised(self._goes, self.rests_mm + up_mm), _pale(self.bed)])

    def carried(self, up_mm: float) -> Solid:
        """It alone."""
        return raised(self._goes, up_mm)

    def at(self, along_mm: float, into_mm: float, up_mm: float) -> Points:
        """(3,) float: a place in the building's frame, mm, from one in that of the side."""
        return self.side_way(along_mm, into_mm) + np.array([0.0, 0.0, up_mm])

    def side_way(self, along_mm: float, into_mm: float) -> Points:
        """(3,) float: a level way in the building's frame, from one in that of the side."""
        return level(self.side, along_mm, into_mm)


def _pale(parts: Sequence[Part]) -> Solid:
    """Parts in their own colours, nearer to white."""
    colours = np.array([part_colour(part) for part in parts]).reshape(-1, 3)
    return pieces(parts, 1.0 - KEPT * (1.0 - colours))


def level(side: SideAxes, along_mm: float, into_mm: float) -> Points:
    """(3,) float: a level place in the building's frame, mm, from one in that of a side."""
    found = np.zeros(3)
    found[side.along] = side.along_sign * along_mm
    found[side.into] = side.into_sign * into_mm
    return found


def move_site(building: Building, plan: MovePlan) -> MoveSite:
    """What is drawn of a move.

    Args:
        building: Its scene has a move.
        plan: Of that.
    """
    move = building.scene.move
    assert move, "a plan is of a scene with a move"
    stage = next(one for one in building.built.stages if one.number == plan.row.stage)
    return MoveSite(building, plan, move, moved_after(building, stage), SIDES[move.side])

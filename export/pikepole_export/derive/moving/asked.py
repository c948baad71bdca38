"""Whose move is looked at, and how what speaks against it is put into words."""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_export.derive.moving.design_values import Stress, Stressed
from pikepole_export.derive.moving.structure import SIDES, MovedStructure, SideAxes
from pikepole_model.building.part import Building
from pikepole_model.errors import Problem, key_text
from pikepole_model.scene.moving import Move
from pikepole_model.units import Units, format_length, format_number


@dataclass(frozen=True, slots=True)
class Asked:
    """Whose move is looked at.

    Attributes:
        building: All of it.
        moved: What is moved of it.
        move: As the scene has it.
    """

    building: Building
    moved: MovedStructure
    move: Move

    @property
    def units(self) -> Units:
        """Of the scene."""
        return self.building.scene.units

    def length(self, length_mm: float) -> str:
        """As it is."""
        return format_length(length_mm, self.units)

    def least(self, length_mm: float) -> str:
        """As the least to give."""
        return f"at least {format_length(length_mm, self.units, 'up')}"

    def most(self, length_mm: float) -> str:
        """As the most to give."""
        return f"at most {format_length(length_mm, self.units, 'down')}"

    def at(self, key: tuple[str | int, ...], value: str, wrong: str, mend: str) -> Problem:
        """A problem at a key."""
        return Problem(key_text(key), value, wrong, mend, key)

    @property
    def side(self) -> SideAxes:
        """How the side lies that is worked from."""
        return SIDES[self.move.side]

    @property
    def across_mm(self) -> float:
        """How long the floor is on the side that is worked from."""
        left, right = self.side.span_along(self.moved.floor)
        return right - left


def past_by(who: str, one: Stressed, units: Units, *stresses: Stress) -> str:
    """How far something is stressed past its value, by the worst of some stresses."""
    value = one.value
    assert value is not None, "no value to be past"
    worst = max(stresses, key=one.share_of_value)
    at, most = (
        format_number(n_mm2, "stress", units)
        for n_mm2 in (one.jerked_n_mm2(worst), value.of(worst))
    )
    return (
        f"lets {who} be {worst.value} past the value of the wood: {at} with jerks counted "
        f"{one.impact:g} times, and {most} is its reference value"
    )

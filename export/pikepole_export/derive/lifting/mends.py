"""What brings a lift by hand that passes a guideline within it.

    mends(item, setup, method) -> tuple[Mend, ...]

Looked at are: one more person, and another; a rest at knuckle height; handles; and a lighter load,
where a little less will do. A shorter reach is none: a load is held with its thinnest side towards
the body already.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias, assert_never

from pikepole_export.derive.lifting.hand_tasks import (
    KNUCKLE_HEIGHT_MM,
    HandTask,
    assess_task,
)
from pikepole_export.derive.lifting.items import Item
from pikepole_export.derive.lifting.methods import Method, duration_of, methods
from pikepole_export.derive.lifting.niosh import Coupling
from pikepole_export.derive.lifting.rests import HandSetup
from pikepole_model.units import Units, format_length, format_mass, headcount

# A load that passes its guideline by no more can be made that much lighter: a board left off, dry
# timber. It is also what counts as a little; both are chosen here.
A_LITTLE = 1.1


# Trestles whose height is no further from the knuckles are as good: common practice, no source.
AT_KNUCKLES_MM = 100.0


@dataclass(frozen=True, slots=True)
class MorePeople:
    """So many people in all."""

    people: int


@dataclass(frozen=True, slots=True)
class OnTrestles:
    """It waits on trestles of this height, mm, and not lower."""

    height_mm: float


@dataclass(frozen=True, slots=True)
class Handles:
    """Handles, or straps that the fingers go round."""


@dataclass(frozen=True, slots=True)
class Lighter:
    """So much less of it, kg."""

    less_kg: float


Mend: TypeAlias = MorePeople | OnTrestles | Handles | Lighter


def mend_text(mend: Mend, units: Units) -> str:
    """In a sentence: "with 3 people"."""
    match mend:
        case MorePeople(people):
            return f"with {headcount(people)}"
        case OnTrestles(height_mm):
            return f"off trestles {format_length(height_mm, units)} high"
        case Handles():
            return "with handles or straps to hold it by"
        case Lighter(less_kg):
            return f"if the piece is {format_mass(less_kg, units, 'up')} lighter"
        case _:
            assert_never(mend)


def mends(item: Item, setup: HandSetup, method: Method) -> tuple[Mend, ...]:
    """What brings a method that passes a guideline within it, each by itself.

    Args:
        item: What is raised.
        setup: What there is to raise it with.
        method: How, by as many as are there.
    """
    return tuple(_mends(item, setup, method))


def _mends(item: Item, setup: HandSetup, method: Method) -> Iterator[Mend]:
    hands = method.hands
    more = [one.people for one in methods(item, setup) if one.people is not None]
    if more and min(more) > hands:
        yield MorePeople(min(more))
    if all(abs(mm - KNUCKLE_HEIGHT_MM) > AT_KNUCKLES_MM for mm in setup.rest_heights_mm):
        rests = replace(setup, rest_heights_mm=(KNUCKLE_HEIGHT_MM, *setup.rest_heights_mm))
        if any(one.people is not None for one in methods(item, rests, hands)):
            yield OnTrestles(KNUCKLE_HEIGHT_MM)
    if method.hardest.used <= 1:
        return  # it is not the weight that asks for more hands
    duration = duration_of(item.times)

    def handled(task: HandTask) -> bool:
        task = replace(task, coupling=Coupling.GOOD)
        return assess_task(task, hands, setup.lifter, duration).within

    if all(handled(one.task) for one in method.assessments):
        yield Handles()
    if method.hardest.used <= A_LITTLE:
        yield Lighter(method.load.mass.high_kg * (1 - 1 / method.hardest.used))

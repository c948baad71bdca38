"""The work: its order, what stands there before it, what lies in the yard and what is done."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import BeforeValidator, Field

from pikepole_model.scene.quantity import Measure
from pikepole_model.scene.types import Length, Name, Offset, Section

Place: TypeAlias = Annotated[float, Measure("length", -100_000.0, 100_000.0)]


class Existing(Section):
    """A post, a beam or a cross member that is there already; [[existing]]."""

    name: Name
    x: Place  # left face from the left end of the floor; to the left of that below zero
    y: Place  # front face from the front of the floor; before that below zero
    width: Length  # along x
    depth: Length  # along y
    height: Length  # of its top above finished ground
    foot: Offset = 0.0  # of its underside
    # Stage after which it is taken away; it stays where it is left out.
    until: Name = ""


class Stage(Section):
    """A step of the work, where the scene sets its own order; [[stage]]."""

    name: Name
    groups: Annotated[tuple[Name, ...], Field(strict=False, min_length=1)]
    notes: Annotated[str, Field(max_length=300)] = ""


class Have(Section):
    """Stock at hand, used before any is bought; [[have]]."""

    item: Name
    count: Annotated[float, Field(ge=0.01, le=100_000)] = 1.0  # in what the list counts it by
    length: Length | None = None  # of boards, and of a cut sheet along its grain
    width: Length | None = None  # of a cut sheet; a whole one without
    treated: bool = False  # of boards only


def _named(value: object) -> object:
    """A stage by its number as text, as its name is."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


# Its name, or its number in this building.
StageName: TypeAlias = Annotated[Name, BeforeValidator(_named)]


class Done(Section):
    """Stages that are built; [done]."""

    up_to: StageName = ""  # this one and all before it
    stages: Annotated[tuple[StageName, ...], Field(strict=False)] = ()

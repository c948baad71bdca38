"""What a piece looks like in every picture and file: one look for each kind of material.

Untreated lumber, treated lumber, sheets, concrete, gravel and steel look like themselves, and stay
apart when printed in grey: their lightness L* goes down in steps of about ten.

    part_colour(part)   sRGB, three floats from 0 to 1, for pictures and STEP
    part_look(part)     the same with its linear colour, roughness and metalness, for GLB
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias, assert_never

from pikepole_model.building.kind_rows import Appearance, Family
from pikepole_model.building.part import Part

Colour: TypeAlias = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Look:
    """How one kind of material is drawn.

    Attributes:
        name: What it is, for people: "treated lumber".
        colour: sRGB, 0 to 1.
        roughness: 0 a mirror, 1 chalk. Nothing is drawn as bare metal: where a viewer has nothing
            that it could mirror, it would be black.
        alpha: 1 where nothing is seen through it.
    """

    name: str
    colour: Colour
    roughness: float
    alpha: float = 1.0

    @property
    def linear(self) -> Colour:
        """The colour in linear light, 0 to 1.

        Source: IEC 61966-2-1 (sRGB), transfer function.
        """
        r, g, b = (
            value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
            for value in self.colour
        )
        return r, g, b


PANE = Look("pane", (0.90, 0.97, 1.00), 0.1, 0.35)
LUMBER = Look("lumber", (0.92, 0.82, 0.63), 0.8)
CONCRETE = Look("concrete", (0.71, 0.71, 0.69), 0.95)
SHEET = Look("sheet", (0.77, 0.55, 0.34), 0.85)
TREATED = Look("treated lumber", (0.47, 0.50, 0.30), 0.8)
GRAVEL = Look("gravel", (0.42, 0.38, 0.35), 1.0)
STEEL = Look("steel", (0.21, 0.26, 0.32), 0.4)
STEPS = (PANE, LUMBER, CONCRETE, SHEET, TREATED, GRAVEL, STEEL)
# Light enough for the edges drawn on it; never beside gravel, whose lightness it shares.
FELT = Look("felt", (0.39, 0.39, 0.40), 0.9)
# Roofs and door hardware of it never lie beside concrete, whose lightness it shares.
GALVANISED = Look("galvanised steel", (0.64, 0.70, 0.75), 0.45)
# What is there already: a warm grey, lighter than concrete, that nothing else has.
THERE = Look("there already", (0.80, 0.77, 0.74), 0.9)
# The lightest, as panes are; never beside them without a frame between.
WRAP = Look("house wrap", (0.90, 0.97, 1.00), 0.9)
# Sheets that stay in sight: a step lighter and a step darker than those that are covered.
SIDING_SHEET = Look("siding sheet", (0.88, 0.71, 0.52), 0.85)
DOOR_SHEET = Look("door sheet", (0.62, 0.41, 0.27), 0.8)
PLYWOOD = Look("plywood", (0.80, 0.62, 0.45), 0.85)
OSB = Look("OSB", (0.74, 0.52, 0.28), 0.85)
# What lies on and beside each other where a wall, a floor or a roof is sheathed.
SHEATHED = (LUMBER, SIDING_SHEET, PLYWOOD, OSB, TREATED)
LOOKS = (*STEPS, FELT, GALVANISED, THERE, WRAP, SIDING_SHEET, DOOR_SHEET, PLYWOOD, OSB)


def part_look(part: Part) -> Look:
    """The look of a part, from what it is and what it is made of."""
    match part.kind.row.look:
        case Appearance.WOOD:
            return TREATED if part.material.treated else LUMBER
        case Appearance.SHEET:
            return _sheet_look(part)
        case Appearance.CONCRETE:
            return CONCRETE
        case Appearance.GRAVEL | Appearance.MEMBRANE:
            return GRAVEL
        case Appearance.STEEL:
            return STEEL
        case Appearance.GALVANISED:
            return GALVANISED
        case Appearance.FELT:
            return FELT
        case Appearance.THERE:
            return THERE
        case Appearance.GLASS:
            return PANE
        case Appearance.WRAP:
            return WRAP
        case _:
            assert_never(part.kind.row.look)


def _sheet_look(part: Part) -> Look:
    if part.kind.family is Family.LEAF_FACE:
        return DOOR_SHEET
    if part.kind.family in (Family.UPRIGHTS, Family.BATTENS):
        return SIDING_SHEET
    match part.material.made:
        case "OSB":
            return OSB
        case "plywood":
            return PLYWOOD
        case "other" | None:
            return SHEET
        case _:
            assert_never(part.material.made)


def part_colour(part: Part) -> Colour:
    """The colour of a part: sRGB, 0 to 1."""
    return part_look(part).colour

"""What the lumber is sold as, and how wet it is."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field, model_validator

from pikepole_model.scene.quantity import Measure, refuse
from pikepole_model.scene.types import (
    PLAIN,
    Length,
    LumberName,
    Percent,
    Section,
    SpeciesName,
)
from pikepole_model.stock import rows

# As `data/design_values.toml` has them.
Grade: TypeAlias = Literal["Select Structural", "No. 1", "No. 2", "No. 3"]


class Range(Section):
    """A moisture, percent of oven-dry mass."""

    low: Percent
    likely: Percent
    high: Percent

    @model_validator(mode="after")
    def _in_order(self) -> Range:
        if not self.low <= self.likely <= self.high:
            refuse("is out of order", "give low at most likely, and likely at most high")
        return self

    @property
    def percent(self) -> rows.Range:
        """Low, likely and high together."""
        return (self.low, self.likely, self.high)


class Moisture(Section):
    """How wet the wood is when it is lifted; [moisture]."""

    untreated: Range = Range(low=12, likely=15, high=19)
    # Southern pine so weighs 37 lb/ft3 dried after treatment, 56 as common charts of treated
    # lumber have it, and 73 just treated, as a chart of longleaf pine has it: charts of the trade,
    # no standard. It holds no more: its pores are full (USDA Wood Handbook ch. 4, equation 4-3).
    treated: Range = Range(low=19, likely=88, high=144)


class Weighed(Section):
    """A piece that was on the scale; [[weighed]]."""

    # Of the building, cut as it is there; empty for a board as it came.
    part: Annotated[str, Field(max_length=60, pattern=PLAIN)] = ""
    section: LumberName | None = None
    length: Length | None = None
    treated: bool = False
    mass: Annotated[float, Measure("mass", 0.1, 2_000.0)]

    @model_validator(mode="after")
    def _one_piece(self) -> Weighed:
        board = self.section is not None and self.length is not None
        other = self.section is not None or self.length is not None or self.treated
        if other if self.part else not board:
            refuse(
                "does not say which piece it is",
                'give part = "front beam ply 1", or section = "2x8" and length = "12 ft"',
            )
        return self


class Timber(Section):
    """What the lumber is sold as; [lumber]."""

    species: SpeciesName = "spruce-pine-fir"
    treated_species: SpeciesName = "southern pine"
    grade: Grade = "No. 2"  # as it is stamped; what is known of its strength goes by it
    treated_grade: Grade = "No. 2"
    # Of untreated boards: as the yard has it, and weighed as `species`, where it is not given.
    board_species: SpeciesName | None = None
    board_grade: Annotated[str, Field(max_length=60, pattern=PLAIN)] = ""


class Fasteners(Section):
    """What fasteners are coated with; [fasteners]."""

    # Of those that touch treated timber or are rained on; the others are bright.
    finish: Literal["hot-dip galvanised", "stainless", "bright"] = "hot-dip galvanised"

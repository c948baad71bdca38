"""What the lumber is sold as, how wet it is, and what the scene adds to the catalogue."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from pikepole_model.scene.quantity import Measure, refuse
from pikepole_model.scene.types import (
    PLAIN,
    Length,
    LumberName,
    Name,
    Percent,
    Section,
    SpeciesName,
)
from pikepole_model.stock import rows
from pikepole_model.stock.catalogue import Catalogue

_OWN_SOURCE = "the scene's own [stock]"


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


class Fasteners(Section):
    """What fasteners are coated with; [fasteners]."""

    # Of those that touch treated timber or are rained on; the others are bright.
    finish: Literal["hot-dip galvanised", "stainless", "bright"] = "hot-dip galvanised"


class OwnLumber(Section):
    """A section that the catalogue lacks; [[stock.lumber]]."""

    name: Name
    breadth: Length
    depth: Length
    lengths: Annotated[tuple[Length, ...], Field(strict=False, min_length=1)]

    @model_validator(mode="after")
    def _smaller_first(self) -> OwnLumber:
        if self.breadth > self.depth:
            refuse("has a breadth above its depth", "give the smaller side as breadth")
        return self


class OwnSheet(Section):
    """A panel that the catalogue lacks; [[stock.sheet]]."""

    name: Name
    thickness: Length
    width: Length
    length: Length
    density_kg_m3: Annotated[float, Field(ge=50, le=3000)]

    @model_validator(mode="after")
    def _smaller_first(self) -> OwnSheet:
        if not self.thickness < self.width <= self.length:
            refuse(
                "has its sizes out of order",
                "give the shorter side as width, the longer as length, and a thickness below both",
            )
        return self


class OwnSpecies(Section):
    """A species that the catalogue lacks; [[stock.species]]."""

    name: Name
    specific_gravity: Annotated[float, Field(ge=0.1, le=1.3)]


class OwnPane(Section):
    """A pane that the catalogue lacks; [[stock.pane]]."""

    name: Name
    thickness: Length
    density_kg_m3: Annotated[float, Field(ge=500, le=5000)]
    # Of the sheet it is cut from; ordered cut to size without.
    width: Length | None = None
    length: Length | None = None
    cut: Literal["sawn", "scored"] = "sawn"

    @model_validator(mode="after")
    def _both_sides(self) -> OwnPane:
        if (self.width is None) != (self.length is None):
            refuse(
                "gives one side of its sheet only",
                "give width and length, or neither where it is ordered cut to size",
            )
        if self.width and self.length and not self.thickness < self.width <= self.length:
            refuse(
                "has its sizes out of order",
                "give the shorter side as width, the longer as length, and a thickness below both",
            )
        return self

    @property
    def sheet_mm(self) -> tuple[float, float] | None:
        """Width and length of the sheet, mm; None where it is ordered cut to size."""
        if self.width is None or self.length is None:
            return None
        return self.width, self.length


class Stock(Section):
    """What the scene adds to the catalogue; [stock]."""

    lumber: Annotated[tuple[OwnLumber, ...], Field(strict=False)] = ()
    sheet: Annotated[tuple[OwnSheet, ...], Field(strict=False)] = ()
    species: Annotated[tuple[OwnSpecies, ...], Field(strict=False)] = ()
    pane: Annotated[tuple[OwnPane, ...], Field(strict=False)] = ()

    def added_to(self, catalogue: Catalogue) -> Catalogue:
        """The catalogue with these rows.

        Raises:
            CatalogueError: a name is there already, or a row is wrong.
        """
        return catalogue.extended(
            lumber=tuple(
                rows.Lumber(
                    own.name, own.breadth, own.depth, tuple(sorted(own.lengths)), _OWN_SOURCE
                )
                for own in self.lumber
            ),
            sheets=tuple(
                rows.Sheet(
                    own.name, own.thickness, own.width, own.length, own.density_kg_m3, _OWN_SOURCE
                )
                for own in self.sheet
            ),
            species=tuple(
                rows.Species(own.name, own.specific_gravity, _OWN_SOURCE) for own in self.species
            ),
            panes=tuple(
                rows.Pane(
                    own.name,
                    own.thickness,
                    own.density_kg_m3,
                    _OWN_SOURCE,
                    own.sheet_mm,
                    own.cut == "scored",
                )
                for own in self.pane
            ),
        )

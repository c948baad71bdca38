"""What a person adds to the catalogue: rows of their own, each a table of [stock]."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field, model_validator

from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.quantity import Measure, refuse
from pikepole_model.scene.types import Length, Name, Section
from pikepole_model.stock import rows
from pikepole_model.stock.catalogue import Catalogue

_SOURCE = "the scene's own [stock]"

# What is rolled, bent or corrugated is thinner than a board.
Thin: TypeAlias = Annotated[float, Measure("length", 0.05, 10.0)]
Lap: TypeAlias = Annotated[float, Measure("length", 10.0, 1_000.0)]
Mass: TypeAlias = Annotated[float, Field(ge=0.01, le=100)]


class Own(Section):
    """A thing that the catalogue lacks."""

    name: Name


class OwnLumber(Own):
    """A section; [[stock.lumber]]."""

    breadth: Length
    depth: Length
    lengths: Annotated[tuple[Length, ...], Field(strict=False, min_length=1)]

    @model_validator(mode="after")
    def _smaller_first(self) -> OwnLumber:
        if self.breadth > self.depth:
            refuse("has a breadth above its depth", "give the smaller side as breadth")
        return self

    def row(self) -> rows.Lumber:
        """Its row of the catalogue."""
        lengths = tuple(sorted(self.lengths))
        return rows.Lumber(self.name, self.breadth, self.depth, lengths, _SOURCE)


class OwnSheet(Own):
    """A panel of wood; [[stock.sheet]]."""

    thickness: Length
    width: Length
    length: Length
    density_kg_m3: Annotated[float, Field(ge=50, le=3000)]
    made: rows.Made = "other"
    treated: bool = False
    covers: Length | None = None  # with tongue and groove: its face, without the tongue

    @model_validator(mode="after")
    def _smaller_first(self) -> OwnSheet:
        _in_order(self.thickness, self.width, self.length)
        _in_order(self.thickness, self.covers or self.width, self.width)
        return self

    def row(self) -> rows.Sheet:
        """Its row of the catalogue."""
        size = (self.thickness, self.width, self.length)
        return rows.Sheet(
            self.name,
            *size,
            self.density_kg_m3,
            _SOURCE,
            made=self.made,
            cover_mm=self.covers,
            treated=self.treated,
        )


class OwnSpecies(Own):
    """A species; [[stock.species]]."""

    specific_gravity: Annotated[float, Field(ge=0.1, le=1.3)]

    def row(self) -> rows.Species:
        """Its row of the catalogue."""
        return rows.Species(self.name, self.specific_gravity, _SOURCE)


class OwnRoll(Own):
    """What is unrolled over walls or roofs; [[stock.roll]]."""

    uses: Annotated[tuple[rows.RollUse, ...], Field(strict=False, min_length=1)]
    width: Length
    length: Length
    lap: Lap  # of a course over the one below it
    end_lap: Lap  # of a length over the one before it
    thickness: Thin = 0.2  # as drawn
    mass_g_m2: Annotated[float, Field(ge=10, le=10_000)]

    @model_validator(mode="after")
    def _laps_on_the_roll(self) -> OwnRoll:
        if not self.lap < self.width <= self.length:
            refuse(
                "has its sizes out of order",
                "give a lap below the width, and a width at most the length on the roll",
            )
        if self.end_lap >= self.length:
            refuse("laps by more than is on it", "give an end_lap below the length")
        return self

    def row(self) -> rows.Roll:
        """Its row of the catalogue."""
        sizes = (self.width, self.length, self.lap, self.end_lap, self.thickness)
        return rows.Roll(self.name, *sizes, self.mass_g_m2 / 1000, self.uses, _SOURCE)


class OwnPanel(Own):
    """A ribbed or corrugated sheet for roofs; [[stock.panel]]."""

    cover: Length  # from the middle of its first rib to the middle of its last
    pitch: Length  # from rib to rib
    rib_height: Length
    rib_top: Length
    rib_bottom: Length
    thickness: Thin
    mass_kg_m2: Mass  # spread flat
    screwed: Annotated[int, Field(ge=1, le=10)] = 1  # one rib of so many

    @model_validator(mode="after")
    def _ribs_fit(self) -> OwnPanel:
        if not self.rib_top < self.rib_bottom < self.pitch <= self.cover:
            refuse(
                "has its sizes out of order",
                "give rib_top below rib_bottom, that below pitch, and pitch at most cover",
            )
        if self.rib_height < 3 * self.thickness:
            refuse(
                "has ribs that are no higher than where sheets lap",
                "give a rib_height of at least three times the thickness",
            )
        gaps = round(self.cover / self.pitch)
        if abs(self.cover - gaps * self.pitch) > TOLERANCE_MM:
            refuse(
                "covers no whole number of ribs",
                f"give a cover of {gaps} times the pitch, such as {gaps * self.pitch:g} mm",
            )
        return self

    def row(self) -> rows.Panel:
        """Its row of the catalogue."""
        rib = (self.rib_height, self.rib_top, self.rib_bottom)
        sheet = (self.thickness, self.mass_kg_m2, _SOURCE, self.screwed)
        return rows.Panel(self.name, self.cover, self.pitch, rib, *sheet)


class OwnFlat(Own):
    """Flat metal that edges and flashings are bent from; [[stock.flat]]."""

    thickness: Thin
    mass_kg_m2: Mass
    length: Length  # of one bent piece
    lap: Lap

    @model_validator(mode="after")
    def _laps_on_a_length(self) -> OwnFlat:
        if self.lap >= self.length:
            refuse("laps by more than a length", "give a lap below the length")
        return self

    def row(self) -> rows.Flat:
        """Its row of the catalogue."""
        sizes = (self.thickness, self.mass_kg_m2, self.length, self.lap)
        return rows.Flat(self.name, *sizes, _SOURCE)


class OwnPane(Own):
    """A pane; [[stock.pane]]."""

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
        if self.width and self.length:
            _in_order(self.thickness, self.width, self.length)
        return self

    def row(self) -> rows.Pane:
        """Its row of the catalogue."""
        sheet = (self.width, self.length) if self.width and self.length else None
        cut = (sheet, self.cut == "scored")
        return rows.Pane(self.name, self.thickness, self.density_kg_m3, _SOURCE, *cut)


class OwnWindow(Own):
    """A sort of bought window; [[stock.window]]."""

    mass_kg_m2: Mass  # with its frame

    def row(self) -> rows.Glazed:
        """Its row of the catalogue."""
        mass = (self.mass_kg_m2, self.mass_kg_m2, self.mass_kg_m2)
        return rows.Glazed(self.name, mass, _SOURCE)


class OwnMesh(Own):
    """A sheet of welded wire; [[stock.mesh]]."""

    square: Length  # from wire to wire
    wire: Length  # its diameter
    width: Length
    length: Length

    @model_validator(mode="after")
    def _smaller_first(self) -> OwnMesh:
        if not self.wire < self.square < self.width <= self.length:
            refuse(
                "has its sizes out of order",
                "give the wire below the square, that below the width, and the longer side as "
                "length",
            )
        return self

    def row(self) -> rows.Mesh:
        """Its row of the catalogue."""
        return rows.Mesh(self.name, self.square, self.wire, self.width, self.length, _SOURCE)


class OwnBar(Own):
    """A steel bar for a slab; [[stock.bar]]."""

    diameter: Length
    length: Length

    @model_validator(mode="after")
    def _long(self) -> OwnBar:
        if self.diameter >= self.length:
            refuse("is thicker than long", "give the length of a bar as it is sold")
        return self

    def row(self) -> rows.Bar:
        """Its row of the catalogue."""
        return rows.Bar(self.name, self.diameter, self.length, _SOURCE)


def _in_order(thickness: float, width: float, length: float) -> None:
    """Refuse a sheet whose sizes are not given thickness, width, length."""
    if not thickness < width <= length:
        refuse(
            "has its sizes out of order",
            "give the shorter side as width, the longer as length, and a thickness below both",
        )


class Stock(Section):
    """What the scene adds to the catalogue; [stock]."""

    lumber: Annotated[tuple[OwnLumber, ...], Field(strict=False)] = ()
    sheet: Annotated[tuple[OwnSheet, ...], Field(strict=False)] = ()
    species: Annotated[tuple[OwnSpecies, ...], Field(strict=False)] = ()
    roll: Annotated[tuple[OwnRoll, ...], Field(strict=False)] = ()
    panel: Annotated[tuple[OwnPanel, ...], Field(strict=False)] = ()
    flat: Annotated[tuple[OwnFlat, ...], Field(strict=False)] = ()
    pane: Annotated[tuple[OwnPane, ...], Field(strict=False)] = ()
    window: Annotated[tuple[OwnWindow, ...], Field(strict=False)] = ()
    mesh: Annotated[tuple[OwnMesh, ...], Field(strict=False)] = ()
    bar: Annotated[tuple[OwnBar, ...], Field(strict=False)] = ()

    @property
    def tables(self) -> dict[str, tuple[Own, ...]]:
        """Its rows by the key they stand under."""
        return {key: getattr(self, key) for key in type(self).model_fields}

    def added_to(self, catalogue: Catalogue) -> Catalogue:
        """The catalogue with these rows.

        Raises:
            CatalogueError: a name is there already, or a row is wrong.
        """
        return catalogue.extended(
            lumber=tuple(own.row() for own in self.lumber),
            sheets=tuple(own.row() for own in self.sheet),
            species=tuple(own.row() for own in self.species),
            rolls=tuple(own.row() for own in self.roll),
            panels=tuple(own.row() for own in self.panel),
            flats=tuple(own.row() for own in self.flat),
            panes=tuple(own.row() for own in self.pane),
            windows=tuple(own.row() for own in self.window),
            meshes=tuple(own.row() for own in self.mesh),
            bars=tuple(own.row() for own in self.bar),
        )

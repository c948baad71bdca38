"""What can be bought: sections, sheets, and what they are made of.

The rows are in `data/*.toml`, each with its source. Lengths there are text with a unit, as in a
scene, so that a size can be checked against the published one by eye.
"""

from __future__ import annotations

import difflib
import math
import tomllib
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any, TypeAlias, TypeVar

from pikepole_model.errors import CatalogueError
from pikepole_model.units import LB_FT3_IN_KG_M3, PSF_IN_KG_M2, parse_length

Range: TypeAlias = tuple[float, float, float]

# Wood takes up water and swells only until its cell walls are full.
# Source: USDA Wood Handbook (FPL-GTR-282) ch. 4, fibre saturation about 30 % (from memory).
FIBRE_SATURATION_PERCENT = 30.0

# Assumed: the printed weights of panels are those of a dry store, 10 % moisture.
PANEL_MOISTURE_PERCENT = 10.0

# Source: 3rd General Conference on Weights and Measures, 1901; exact.
STANDARD_GRAVITY_M_S2 = 9.80665


@dataclass(frozen=True, slots=True)
class Material:
    """What a piece is made of, as far as its weight goes.

    Attributes:
        name: "spruce-pine-fir", "southern pine, treated", "concrete".
        density_kg_m3: Density low, likely and high, kg/m3, at the scene's moisture.
        source: Where the density comes from.
    """

    name: str
    density_kg_m3: tuple[float, float, float]
    source: str


@dataclass(frozen=True, slots=True)
class Lumber:
    """A section of sawn lumber at its dressed size.

    Attributes:
        name: "2x4".
        breadth_mm: The smaller side, mm.
        depth_mm: The larger side, mm.
        lengths_mm: Stock lengths, mm, shortest first.
        source: Where the size and the lengths come from.
    """

    name: str
    breadth_mm: float
    depth_mm: float
    lengths_mm: tuple[float, ...]
    source: str

    @property
    def longest_mm(self) -> float:
        """The longest stock length, mm."""
        return self.lengths_mm[-1]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A panel.

    Attributes:
        name: "7/16 OSB".
        thickness_mm: Thickness, mm.
        width_mm: The shorter side, mm.
        length_mm: The longer side, mm: the way its strength axis runs.
        density_kg_m3: Its printed weight over its thickness, kg/m3.
        source: Where the size and the weight come from.
    """

    name: str
    thickness_mm: float
    width_mm: float
    length_mm: float
    density_kg_m3: float
    source: str


@dataclass(frozen=True, slots=True)
class Species:
    """A species or group of species that lumber is sold as.

    Attributes:
        name: "spruce-pine-fir".
        specific_gravity: Oven-dry weight over oven-dry volume, as a multiple of water.
        source: Where it comes from.
    """

    name: str
    specific_gravity: float
    source: str


@dataclass(frozen=True, slots=True)
class Bulk:
    """What is bought by volume or weight: concrete, gravel, steel.

    Attributes:
        name: "concrete".
        density_kg_m3: Density low, likely and high, kg/m3.
        source: Where it comes from.
    """

    name: str
    density_kg_m3: Range
    source: str


@dataclass(frozen=True, slots=True)
class Roll:
    """What is unrolled over a wall or a roof in courses: house wrap, underlayment.

    Attributes:
        name: "house wrap 9 ft".
        width_mm: Of the roll, mm.
        length_mm: On the roll, mm.
        lap_mm: How far a course laps the one below it, mm.
        end_lap_mm: How far a length laps the one before it, mm.
        thickness_mm: How thick it is drawn, mm.
        mass_kg_m2: Of one layer, kg/m2.
        source: Where all of this comes from.
    """

    name: str
    width_mm: float
    length_mm: float
    lap_mm: float
    end_lap_mm: float
    thickness_mm: float
    mass_kg_m2: float
    source: str


@dataclass(frozen=True, slots=True)
class Panel:
    """A sheet of steel with trapezoidal ribs that run up the slope.

    Attributes:
        name: "ribbed steel 9 in 29 ga".
        cover_mm: From the middle of its first rib to the middle of its last, mm.
        pitch_mm: From rib to rib, mm.
        rib_mm: Height, width at the top, width at the bottom of a rib, mm; of its middle plane.
        thickness_mm: Thickness, mm.
        mass_kg_m2: Of the sheet before it is ribbed, kg/m2.
        source: Where all of this comes from.
    """

    name: str
    cover_mm: float
    pitch_mm: float
    rib_mm: tuple[float, float, float]
    thickness_mm: float
    mass_kg_m2: float
    source: str


@dataclass(frozen=True, slots=True)
class Flat:
    """Flat steel that edges and flashings are bent from.

    Attributes:
        name: "flat steel 29 ga".
        thickness_mm: Thickness, mm.
        mass_kg_m2: kg/m2.
        length_mm: Length of one bent piece, mm.
        lap_mm: How far a piece laps the one before it, mm.
        source: Where all of this comes from.
    """

    name: str
    thickness_mm: float
    mass_kg_m2: float
    length_mm: float
    lap_mm: float
    source: str


@dataclass(frozen=True, slots=True)
class Pane:
    """A pane that a fixed light is cut from.

    Attributes:
        name: "6 mm polycarbonate".
        thickness_mm: Thickness, mm.
        density_kg_m3: Density, kg/m3.
        source: Where it comes from.
    """

    name: str
    thickness_mm: float
    density_kg_m3: float
    source: str


@dataclass(frozen=True, slots=True)
class Glazed:
    """A sort of bought window.

    Attributes:
        name: "double glazed".
        mass_kg_m2: What a square metre of it weighs with its frame, low, likely and high, kg/m2.
        source: Where it comes from.
    """

    name: str
    mass_kg_m2: Range
    source: str


_Row = TypeVar("_Row", Lumber, Sheet, Species, Bulk, Roll, Panel, Flat, Pane, Glazed)


@dataclass(frozen=True, slots=True)
class Catalogue:
    """All that can be named in a scene. The mappings cannot be written to."""

    lumber: Mapping[str, Lumber]
    sheets: Mapping[str, Sheet]
    species: Mapping[str, Species]
    bulk: Mapping[str, Bulk]
    rolls: Mapping[str, Roll]
    panels: Mapping[str, Panel]
    flats: Mapping[str, Flat]
    panes: Mapping[str, Pane]
    windows: Mapping[str, Glazed]

    def find_lumber(self, name: str) -> Lumber:
        """The section of this name, or CatalogueError with the nearest names."""
        return _find(name, self.lumber, "lumber section")

    def find_sheet(self, name: str) -> Sheet:
        """The sheet of this name, or CatalogueError with the nearest names."""
        return _find(name, self.sheets, "sheet")

    def find_species(self, name: str) -> Species:
        """The species of this name, or CatalogueError with the nearest names."""
        return _find(name, self.species, "species")

    def find_bulk(self, name: str) -> Bulk:
        """The bulk material of this name, or CatalogueError with the nearest names."""
        return _find(name, self.bulk, "bulk material")

    def find_roll(self, name: str) -> Roll:
        """The roll of this name, or CatalogueError with the nearest names."""
        return _find(name, self.rolls, "roll")

    def find_panel(self, name: str) -> Panel:
        """The ribbed panel of this name, or CatalogueError with the nearest names."""
        return _find(name, self.panels, "panel")

    def find_flat(self, name: str) -> Flat:
        """The flat steel of this name, or CatalogueError with the nearest names."""
        return _find(name, self.flats, "flat steel")

    def find_pane(self, name: str) -> Pane:
        """The pane of this name, or CatalogueError with the nearest names."""
        return _find(name, self.panes, "pane")

    def find_window(self, name: str) -> Glazed:
        """The sort of bought window of this name, or CatalogueError with the nearest names."""
        return _find(name, self.windows, "window")

    def extended(
        self,
        *,
        lumber: tuple[Lumber, ...] = (),
        sheets: tuple[Sheet, ...] = (),
        species: tuple[Species, ...] = (),
    ) -> Catalogue:
        """This catalogue and a scene's own rows.

        Raises:
            CatalogueError: a name is there already, or a row is wrong.
        """
        return Catalogue(
            _indexed([*self.lumber.values(), *lumber]),
            _indexed([*self.sheets.values(), *sheets]),
            _indexed([*self.species.values(), *species]),
            self.bulk,
            self.rolls,
            self.panels,
            self.flats,
            self.panes,
            self.windows,
        )


@cache
def load_catalogue() -> Catalogue:
    """The catalogue that comes with the program, read once and every row checked.

    Raises:
        CatalogueError: a row is wrong; says which.
    """
    return Catalogue(
        _indexed(list(_rows("lumber.toml", _lumber))),
        _indexed(list(_rows("sheets.toml", _sheet))),
        _indexed(list(_rows("species.toml", _species))),
        _indexed(list(_rows("bulk.toml", _bulk))),
        _indexed(list(_rows("rolls.toml", _roll))),
        _indexed(list(_rows("profiles.toml", _panel, "panel"))),
        _indexed(list(_rows("profiles.toml", _flat, "flat"))),
        _indexed(list(_rows("panes.toml", _pane, "pane"))),
        _indexed(list(_rows("panes.toml", _glazed, "window"))),
    )


def close_names(name: str, names: Collection[str]) -> tuple[str, ...]:
    """Up to five names that look most like this one, the likest first; none where none does."""
    folded = {known.casefold(): known for known in names}
    close = difflib.get_close_matches(name.casefold().strip(), folded, n=5, cutoff=0.5)
    return tuple(folded[known] for known in close)


def nearest_names(name: str, names: Collection[str]) -> str:
    """Names that look most like this one, quoted for a message; the first few where none does."""
    return ", ".join(f'"{known}"' for known in close_names(name, names) or tuple(names)[:5])


def wood_density_kg_m3(specific_gravity: float, moisture_percent: float) -> float:
    """Density of wood with the water that is in it, kg/m3.

    62.4 x G / (1 + 0.009 G MC) x (1 + MC / 100) lb/ft3, where the first bracket is the swelling
    of the wood and the second the weight of the water. Wood stops swelling at fibre saturation,
    so the swelling counts at most 30 % while the weight counts all of the water: without that
    limit, freshly treated timber at 100 % would come out some 20 % lighter than it is sold.

    Args:
        specific_gravity: Oven-dry weight over oven-dry volume.
        moisture_percent: Weight of water over oven-dry weight, percent.

    Source: NDS Supplement section 3.1.3 (number from memory); the limit from the USDA Wood
        Handbook ch. 4 (from memory).
    """
    swelling_percent = min(moisture_percent, FIBRE_SATURATION_PERCENT)
    dry_lb_ft3 = 62.4 * specific_gravity / (1 + 0.009 * specific_gravity * swelling_percent)
    return dry_lb_ft3 * (1 + moisture_percent / 100) * LB_FT3_IN_KG_M3


def wood(species: Species, moisture_percent: Range, *, treated: bool) -> Material:
    """Lumber of a species as a material, at moisture low, likely and high, percent."""
    low, likely, high = (
        wood_density_kg_m3(species.specific_gravity, moisture) for moisture in moisture_percent
    )
    name = f"{species.name}, treated" if treated else species.name
    source = f"{species.source}; weight at moisture by NDS Supplement 3.1.3"
    return Material(name, (low, likely, high), source)


def sheet_material(sheet: Sheet, moisture_percent: Range) -> Material:
    """A sheet as a material, its printed weight taken to moisture low, likely and high, percent.

    Assumes that a sheet is printed at 10 % moisture and keeps its size.
    """
    low, likely, high = (
        sheet.density_kg_m3 * (1 + moisture / 100) / (1 + PANEL_MOISTURE_PERCENT / 100)
        for moisture in moisture_percent
    )
    return Material(sheet.name, (low, likely, high), sheet.source)


def bulk_material(bulk: Bulk) -> Material:
    """Concrete, gravel or steel as a material."""
    return Material(bulk.name, bulk.density_kg_m3, bulk.source)


def by_area_material(row: Roll | Panel | Flat) -> Material:
    """What is sold by the square metre, as a material of the thickness that it is drawn with."""
    density_kg_m3 = row.mass_kg_m2 / (row.thickness_mm / 1000)
    return Material(row.name, (density_kg_m3, density_kg_m3, density_kg_m3), row.source)


def roll_material(roll: Roll) -> Material:
    """A roll as a material."""
    return by_area_material(roll)


def pane_material(pane: Pane) -> Material:
    """A pane as a material."""
    density_kg_m3 = pane.density_kg_m3
    return Material(pane.name, (density_kg_m3, density_kg_m3, density_kg_m3), pane.source)


def _find(name: str, rows: Mapping[str, _Row], what: str) -> _Row:
    if name in rows:
        return rows[name]
    raise CatalogueError(
        f'no {what} is called "{name}"; the nearest are {nearest_names(name, rows)}'
    )


def _indexed(rows: list[_Row]) -> Mapping[str, _Row]:
    """Checked rows by name, in order."""
    indexed: dict[str, _Row] = {}
    for row in rows:
        _check(row)
        if row.name in indexed:
            raise CatalogueError(f'"{row.name}" is in the catalogue already; take another name')
        indexed[row.name] = row
    return MappingProxyType(indexed)


def _check(row: Lumber | Sheet | Species | Bulk | Roll | Panel | Flat | Pane | Glazed) -> None:
    match row:
        case Lumber():
            numbers = (row.breadth_mm, row.depth_mm, *row.lengths_mm)
            ordered = row.breadth_mm <= row.depth_mm and _rising(row.lengths_mm)
        case Sheet():
            numbers = (row.thickness_mm, row.width_mm, row.length_mm, row.density_kg_m3)
            ordered = row.thickness_mm < row.width_mm <= row.length_mm
        case Species():
            numbers, ordered = (row.specific_gravity,), row.specific_gravity < 1.5
        case Bulk():
            numbers, ordered = row.density_kg_m3, _rising(row.density_kg_m3)
        case Roll():
            numbers = (row.lap_mm, row.end_lap_mm, row.thickness_mm, row.mass_kg_m2)
            ordered = row.lap_mm < row.width_mm <= row.length_mm
        case Panel():
            numbers = (*row.rib_mm, row.thickness_mm, row.mass_kg_m2)
            ordered = row.rib_mm[1] < row.rib_mm[2] < row.pitch_mm <= row.cover_mm
        case Flat():
            numbers = (row.thickness_mm, row.mass_kg_m2, row.lap_mm)
            ordered = row.lap_mm < row.length_mm
        case Pane():
            numbers, ordered = (row.thickness_mm, row.density_kg_m3), True
        case Glazed():
            numbers, ordered = row.mass_kg_m2, _rising(row.mass_kg_m2)
    if not row.name.strip() or not row.source.strip():
        raise CatalogueError(f'the row "{row.name}" lacks its name or its source')
    if not all(math.isfinite(number) and number > 0 for number in numbers):
        raise CatalogueError(f'"{row.name}": every size and weight must be above zero')
    if len(numbers) < 3 and isinstance(row, Lumber):
        raise CatalogueError(f'"{row.name}": at least one stock length is needed')
    if not ordered:
        raise CatalogueError(f'"{row.name}": give the smaller size first')


def _rising(numbers: tuple[float, ...]) -> bool:
    return list(numbers) == sorted(numbers)


def _rows(
    file: str, read: Callable[[str, Any, dict[str, Any]], _Row], table: str = "group"
) -> Iterator[_Row]:
    """The rows of a data file: groups that share a source, each a table of name to values."""
    text = resources.files("pikepole_model").joinpath("data", file).read_text(encoding="utf-8")
    for group in tomllib.loads(text)[table]:
        for name, values in group["rows"].items():
            try:
                yield read(name, values, group)
            except (KeyError, TypeError, ValueError) as error:
                raise CatalogueError(f'data/{file}: "{name}": {error}') from error


def _lumber(name: str, values: Any, group: dict[str, Any]) -> Lumber:
    breadth, depth = values
    lengths = sorted(parse_length(length) for length in group["lengths"])
    return Lumber(name, parse_length(breadth), parse_length(depth), tuple(lengths), group["source"])


def _sheet(name: str, values: Any, group: dict[str, Any]) -> Sheet:
    thickness_mm = parse_length(values["thickness"])
    if "weight_psf" in values:
        density_kg_m3 = values["weight_psf"] * PSF_IN_KG_M2 / (thickness_mm / 1000)
    else:
        density_kg_m3 = group["weight_kn_m3"] * 1000 / STANDARD_GRAVITY_M_S2
    width, length = group["size"]
    return Sheet(
        name,
        thickness_mm,
        parse_length(width),
        parse_length(length),
        density_kg_m3,
        group["source"],
    )


def _species(name: str, values: Any, group: dict[str, Any]) -> Species:
    return Species(name, float(values), group["source"])


def _bulk(name: str, values: Any, group: dict[str, Any]) -> Bulk:
    low, likely, high = (float(value) * LB_FT3_IN_KG_M3 for value in values["lb_ft3"])
    return Bulk(name, (low, likely, high), values["source"])


def _roll(name: str, values: Any, group: dict[str, Any]) -> Roll:
    return Roll(
        name,
        parse_length(values["width"]),
        parse_length(values["length"]),
        parse_length(group["lap"]),
        parse_length(group["end_lap"]),
        parse_length(group["thickness"]),
        group["mass_g_m2"] / 1000,
        group["source"],
    )


def _panel(name: str, values: Any, group: dict[str, Any]) -> Panel:
    height, top, bottom = (parse_length(size) for size in group["rib"])
    return Panel(
        name,
        parse_length(group["cover"]),
        parse_length(values["pitch"]),
        (height, top, bottom),
        parse_length(group["thickness"]),
        group["weight_psf"] * PSF_IN_KG_M2,
        group["source"],
    )


def _flat(name: str, values: Any, group: dict[str, Any]) -> Flat:
    return Flat(
        name,
        parse_length(values["thickness"]),
        values["weight_psf"] * PSF_IN_KG_M2,
        parse_length(group["length"]),
        parse_length(group["lap"]),
        group["source"],
    )


def _pane(name: str, values: Any, group: dict[str, Any]) -> Pane:
    return Pane(name, parse_length(values["thickness"]), float(group["kg_m3"]), group["source"])


def _glazed(name: str, values: Any, group: dict[str, Any]) -> Glazed:
    low, likely, high = (float(value) for value in values["kg_m2"])
    return Glazed(name, (low, likely, high), group["source"])

"""The catalogue of what can be named in a scene, read from `data/*.toml`.

Lengths there are text with a unit, as in a scene, so that a size can be checked against the
published one by eye.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any

from pikepole_model.errors import CatalogueError, any_of
from pikepole_model.stock.rows import (
    Bar,
    Bulk,
    Flat,
    Glazed,
    Lumber,
    Mesh,
    Pane,
    Panel,
    Roll,
    RollUse,
    Row,
    Sheet,
    Species,
    check_row,
)
from pikepole_model.units import (
    LB_FT3_IN_KG_M3,
    PSF_IN_KG_M2,
    STANDARD_GRAVITY_M_S2,
    parse_length,
)


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
    meshes: Mapping[str, Mesh]
    bars: Mapping[str, Bar]

    def find_lumber(self, name: str) -> Lumber:
        """The section of this name, or CatalogueError with the nearest names."""
        return _find(name, self.lumber, "lumber section")

    def strength_of(self, name: str) -> str:
        """The strength class that a section is sorted into; empty for what is not."""
        return self.lumber[name].strength if name in self.lumber else ""

    def find_sheet(self, name: str) -> Sheet:
        """The sheet of this name, or CatalogueError with the nearest names."""
        return _find(name, self.sheets, "sheet")

    def treated_sheet(self, name: str) -> Sheet | None:
        """The sheet of this name as it is had treated; None where it is not."""
        found = self.sheets.get(_treated_name(name))
        return found if found and found.treated else None

    def find_species(self, name: str) -> Species:
        """The species of this name, or CatalogueError with the nearest names."""
        return _find(name, self.species, "species")

    def find_bulk(self, name: str) -> Bulk:
        """The bulk material of this name, or CatalogueError with the nearest names."""
        return _find(name, self.bulk, "bulk material")

    def find_roll(self, name: str) -> Roll:
        """The roll of this name, or CatalogueError with the nearest names."""
        return _find(name, self.rolls, "roll")

    def rolls_for(self, use: RollUse) -> list[str]:
        """Names of the rolls that serve as this."""
        return [name for name, roll in self.rolls.items() if use in roll.uses]

    def find_panel(self, name: str) -> Panel:
        """The ribbed panel of this name, or CatalogueError with the nearest names."""
        return _find(name, self.panels, "panel")

    def find_flat(self, name: str) -> Flat:
        """The flat steel of this name, or CatalogueError with the nearest names."""
        return _find(name, self.flats, "flat steel")

    def find_pane(self, name: str) -> Pane:
        """The pane of this name, or CatalogueError with the nearest names."""
        return _find(name, self.panes, "pane")

    def sheet_named(self, name: str) -> Sheet | None:
        """The sheet of this name, of wood or that panes are cut from; None where there is none."""
        return self.panes[name].sheet if name in self.panes else self.sheets.get(name)

    def find_window(self, name: str) -> Glazed:
        """The sort of bought window of this name, or CatalogueError with the nearest names."""
        return _find(name, self.windows, "window")

    def find_mesh(self, name: str) -> Mesh:
        """The wire mesh of this name, or CatalogueError with the nearest names."""
        return _find(name, self.meshes, "wire mesh")

    def find_bar(self, name: str) -> Bar:
        """The steel bar of this name, or CatalogueError with the nearest names."""
        return _find(name, self.bars, "bar")

    def extended(
        self,
        *,
        lumber: tuple[Lumber, ...] = (),
        sheets: tuple[Sheet, ...] = (),
        species: tuple[Species, ...] = (),
        rolls: tuple[Roll, ...] = (),
        panels: tuple[Panel, ...] = (),
        flats: tuple[Flat, ...] = (),
        panes: tuple[Pane, ...] = (),
        windows: tuple[Glazed, ...] = (),
        meshes: tuple[Mesh, ...] = (),
        bars: tuple[Bar, ...] = (),
    ) -> Catalogue:
        """This catalogue and a scene's own rows, each under the table that it joins.

        Raises:
            CatalogueError: a name is there already, or a row is wrong.
        """
        return Catalogue(
            _indexed([*self.lumber.values(), *lumber]),
            _indexed([*self.sheets.values(), *sheets]),
            _indexed([*self.species.values(), *species]),
            self.bulk,
            _indexed([*self.rolls.values(), *rolls]),
            _indexed([*self.panels.values(), *panels]),
            _indexed([*self.flats.values(), *flats]),
            _indexed([*self.panes.values(), *panes]),
            _indexed([*self.windows.values(), *windows]),
            _indexed([*self.meshes.values(), *meshes]),
            _indexed([*self.bars.values(), *bars]),
        )


@cache
def load_catalogue() -> Catalogue:
    """The catalogue that comes with the program, read once and every row checked.

    Raises:
        CatalogueError: a row is wrong; says which.
    """
    return Catalogue(
        _indexed(list(_rows("lumber.toml", _lumber))),
        _indexed([one for row in _rows("sheets.toml", _sheet) for one in _also_treated(row)]),
        _indexed(list(_rows("species.toml", _species))),
        _indexed(list(_rows("bulk.toml", _bulk))),
        _indexed(list(_rows("rolls.toml", _roll))),
        _indexed(list(_rows("profiles.toml", _panel, "panel"))),
        _indexed(list(_rows("profiles.toml", _flat, "flat"))),
        _indexed(list(_rows("panes.toml", _pane, "pane"))),
        _indexed(list(_rows("panes.toml", _glazed, "window"))),
        _indexed(list(_rows("reinforcement.toml", _mesh, "mesh"))),
        _indexed(list(_rows("reinforcement.toml", _bar, "bar"))),
    )


def close_names(name: str, names: Collection[str]) -> tuple[str, ...]:
    """Up to five names that look most like this one, the likest first; none where none does."""
    folded = {known.casefold(): known for known in names}
    close = difflib.get_close_matches(name.casefold().strip(), folded, n=5, cutoff=0.5)
    return tuple(folded[known] for known in close)


# So many names are read at a glance.
MOST_NAMED = 10


def nearest_names(name: str, names: Collection[str]) -> str:
    """All names where they are few, else those most like this one, quoted for a message."""
    few = len(names) <= MOST_NAMED
    return any_of(names if few else close_names(name, names) or tuple(names)[:5])


def _find(name: str, rows: Mapping[str, Row], what: str) -> Row:
    if name in rows:
        return rows[name]
    raise CatalogueError(
        f'no {what} is called "{name}"; the nearest are {nearest_names(name, rows)}'
    )


def _indexed(rows: list[Row]) -> Mapping[str, Row]:
    """Checked rows by name, in order."""
    indexed: dict[str, Row] = {}
    for row in rows:
        check_row(row)
        if row.name in indexed:
            raise CatalogueError(f'"{row.name}" is in the catalogue already; take another name')
        indexed[row.name] = row
    return MappingProxyType(indexed)


def _rows(
    file: str, read: Callable[[str, Any, dict[str, Any]], Row], table: str = "group"
) -> Iterator[Row]:
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
    usual = [parse_length(length) for length in group.get("usual", ())]
    return Lumber(
        name,
        parse_length(breadth),
        parse_length(depth),
        tuple(sorted(parse_length(length) for length in group["lengths"])),
        group["source"],
        usual_mm=(usual[0], usual[1]) if usual else None,
        studs_mm=tuple(parse_length(length) for length in group.get("studs", ())),
        grade=group["grade"],
        strength=group.get("strength", ""),
    )


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
        (group["bond"][0], group["bond"][1]),
        {**group, **values}["made"],
        parse_length(values["covers"]) if "covers" in values else None,
    )


def _also_treated(sheet: Sheet) -> Iterator[Sheet]:
    """A sheet, and of plywood the same with preservative in it, dried again to weigh no more.

    OSB is not had so: AWPA U1, commodity specification F, from memory.
    """
    yield sheet
    if sheet.made == "plywood":
        yield replace(sheet, name=_treated_name(sheet.name), treated=True)


def _treated_name(name: str) -> str:
    """Of a sheet: "23/32 treated plywood" of "23/32 plywood"."""
    return name if "treated" in name else name.replace("plywood", "treated plywood")


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
        tuple(group["uses"]),
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
        _kg_m2(group),
        group["source"],
        group.get("screwed", 1),
    )


def _kg_m2(row: dict[str, Any]) -> float:
    """What a square metre of sheet weighs, kg, printed in either system."""
    return row["weight_kg_m2"] if "weight_kg_m2" in row else row["weight_psf"] * PSF_IN_KG_M2


def _flat(name: str, values: Any, group: dict[str, Any]) -> Flat:
    return Flat(
        name,
        parse_length(values["thickness"]),
        _kg_m2(values),
        parse_length(group["length"]),
        parse_length(group["lap"]),
        group["source"],
    )


def _pane(name: str, values: Any, group: dict[str, Any]) -> Pane:
    sheet_mm = None
    if "size" in group:
        width, length = group["size"]
        sheet_mm = parse_length(width), parse_length(length)
    return Pane(
        name,
        parse_length(values["thickness"]),
        float(group["kg_m3"]),
        group["source"],
        sheet_mm,
        group.get("scored", False),
    )


def _glazed(name: str, values: Any, group: dict[str, Any]) -> Glazed:
    low, likely, high = (float(value) for value in values["kg_m2"])
    return Glazed(name, (low, likely, high), group["source"])


def _mesh(name: str, values: Any, group: dict[str, Any]) -> Mesh:
    width, length = group["size"]
    return Mesh(
        name,
        parse_length(values["square"]),
        parse_length(values["wire"]),
        parse_length(width),
        parse_length(length),
        group["source"],
    )


def _bar(name: str, diameter: Any, group: dict[str, Any]) -> Bar:
    return Bar(name, parse_length(diameter), parse_length(group["length"]), group["source"])

"""Fasteners as they are bought, and the schedule of what holds what, from `data/fasteners.toml`.

load_fastenings() -> Fastenings
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.errors import CatalogueError
from pikepole_model.units import parse_length, parse_mass

# Source: AISC Steel Construction Manual: 490 lb/ft3, as in data/bulk.toml.
_STEEL_KG_MM3 = 7.85e-6

ANY = "any"
STUDS = "studs"

_FAMILIES = {family.value for family in Family}
_WAYS_TO_COUNT = {"each", "spacing", "edge", "grid", "ribs", "hanger", "none"}


@dataclass(frozen=True, slots=True)
class Bought:
    """A fastener as it is bought.

    Attributes:
        name: "16d common nail".
        box_pieces: How many are in a box; 1 for what is sold singly.
        box_kg: What a box weighs, kg; None for what is sold by number.
        source: Where size and box come from.
    """

    name: str
    box_pieces: int
    box_kg: float | None
    source: str


@dataclass(frozen=True, slots=True)
class Fastening:
    """A row of the schedule: what holds one sort of joint. The data file says how to read it.

    Attributes:
        name: The joint.
        of: Kinds of the piece that is fixed.
        to: Kinds of what it is fixed to.
        ways: How the one lies on the other; empty for any way.
        fastener: What is bought; None where nothing is.
        none: Why nothing is bought; empty where something is.
        each: So many at a time.
        per: What is counted at a time: each "joint", "place" or "piece".
        spacing_mm: Greatest distance in a row, mm; NaN for that of the studs.
        rows: How many rows.
        wide_mm: From this width of the piece on there are twice as many rows, mm.
        edge_mm: At the edges of a sheet, mm.
        field_mm: Between the edges, mm.
        grid_mm: Side of the square that each holds, mm.
        ribs: Whether they go by the ribs of a roof panel.
        hanger: Whether they fill a joist hanger.
        hung: Whether it is only for an end that nothing lies under.
        through: Whether they go on into what lies behind.
        outside: Whether they are rained on.
        source: Where the row comes from.
    """

    name: str
    of: frozenset[Kind]
    to: frozenset[Kind]
    ways: frozenset[str]
    fastener: str | None
    none: str
    each: int | None
    per: str
    spacing_mm: float | None
    rows: int
    wide_mm: float | None
    edge_mm: float | None
    field_mm: float | None
    grid_mm: float | None
    ribs: bool
    hanger: bool
    hung: bool
    through: bool
    outside: bool
    source: str

    def rows_on(self, width_mm: float) -> int:
        """How many rows there are on a piece.

        Args:
            width_mm: Its width, mm.
        """
        twice = self.wide_mm is not None and width_mm >= self.wide_mm
        return self.rows * (2 if twice else 1)

    def fits(self, one: str, other: str, way: str, *, hung: bool = False) -> bool:
        """Whether it holds a piece of one kind that lies so on one of another kind.

        Args:
            one: Kind of the piece.
            other: Kind of what it lies on.
            way: How it lies on it.
            hung: Whether nothing else lies under its end.
        """
        return (
            (hung or not self.hung)
            and one in self.of
            and other in self.to
            and (not self.ways or way in self.ways)
        )


@dataclass(frozen=True, slots=True)
class Fastenings:
    """What can be bought, by name, and the schedule; its first row that fits decides.

    Attributes:
        bought: What can be bought, by name.
        schedule: What holds what.
        holes: How many holes a joist hanger has from a depth of joist on, mm, shallowest first.
        holes_source: Where these numbers come from.
    """

    bought: Mapping[str, Bought]
    schedule: tuple[Fastening, ...]
    holes: tuple[tuple[float, int], ...]
    holes_source: str

    def holes_for(self, depth_mm: float) -> int:
        """How many nails fill the hanger of a joist.

        Args:
            depth_mm: Depth of the joist, mm.
        """
        fitting = [holes for from_mm, holes in self.holes if from_mm <= depth_mm]
        return (fitting or [self.holes[0][1]])[-1]


@cache
def load_fastenings() -> Fastenings:
    """The fasteners and the schedule that come with the program, every row checked.

    Raises:
        CatalogueError: a row is wrong; says which.
    """
    data = resources.files("pikepole_model").joinpath("data", "fasteners.toml")
    return read_fastenings(data.read_text(encoding="utf-8"))


def read_fastenings(text: str) -> Fastenings:
    """Fasteners and a schedule from the text of such a file.

    Raises:
        CatalogueError: a row is wrong; says which.
    """
    table = tomllib.loads(text)
    bought = {row.name: row for row in (*_nails(table), *_counted(table))}
    schedule: list[Fastening] = []
    for row in table["joint"]:
        try:
            schedule.append(_fastening(row, table["families"], bought))
        except (KeyError, TypeError, ValueError) as error:
            name = row.get("name", row)
            raise CatalogueError(f'data/fasteners.toml: "{name}": {error}') from error
    hanger = table.get("hanger", {"holes": {}, "source": ""})
    holes = sorted((parse_length(depth), number) for depth, number in hanger["holes"].items())
    if not holes and any(row.hanger for row in schedule):
        raise CatalogueError("data/fasteners.toml: say how many holes a hanger has")
    return Fastenings(MappingProxyType(bought), tuple(schedule), tuple(holes), hanger["source"])


def nail_mass_kg(length_mm: float, diameter_mm: float) -> float:
    """Mass of a nail as a steel wire of its size; the head makes up for the point."""
    return math.pi / 4 * diameter_mm**2 * length_mm * _STEEL_KG_MM3


def _nails(table: dict[str, Any]) -> Iterator[Bought]:
    for group in table["nail"]:
        box_kg = parse_mass(group["box"])
        for name, (length, diameter) in group["rows"].items():
            mass_kg = nail_mass_kg(parse_length(length), parse_length(diameter))
            yield Bought(name, int(box_kg / mass_kg), box_kg, group["source"])


def _counted(table: dict[str, Any]) -> Iterator[Bought]:
    for group in table["counted"]:
        for name, pieces in group["rows"].items():
            yield Bought(name, pieces, None, group["source"])


def _fastening(
    row: dict[str, Any], families: dict[str, list[str]], bought: Mapping[str, Bought]
) -> Fastening:
    fastener, none = row.get("fastener"), row.get("none", "")
    ways_to_count = _WAYS_TO_COUNT & row.keys()
    if len(ways_to_count) != 1:
        raise ValueError(f"give one of {', '.join(sorted(_WAYS_TO_COUNT))}")
    if (fastener is None) != bool(none) or (fastener and fastener not in bought):
        raise ValueError("name a fastener of the list, or say why there is none")
    if not row["source"].strip():
        raise ValueError("a source is needed")
    per = row.get("per", "joint")
    if per not in ("joint", "place", "piece"):
        raise ValueError('per is "joint", "place" or "piece"')

    def length(key: str) -> float | None:
        return parse_length(row[key]) if key in row else None

    studs = row.get("spacing") == STUDS
    return Fastening(
        name=row["name"],
        of=_kinds(row["of"], families),
        to=_kinds(row["to"], families),
        ways=frozenset(row.get("ways", ())),
        fastener=fastener,
        none=none,
        each=row.get("each"),
        per=per,
        spacing_mm=math.nan if studs else length("spacing"),
        rows=row.get("rows", 1),
        wide_mm=length("wide"),
        edge_mm=length("edge"),
        field_mm=length("field"),
        grid_mm=length("grid"),
        ribs=row.get("ribs", False),
        hanger=row.get("hanger", False),
        hung=row.get("hung", False),
        through=row.get("through", False),
        outside=row.get("outside", False),
        source=row["source"],
    )


def _kinds(names: list[str], families: dict[str, list[str]]) -> frozenset[Kind]:
    """Kinds of piece, families taken apart: those of the file, and those of the table of kinds."""
    kinds: set[Kind] = set()
    for name in names:
        if name == ANY:
            kinds |= set(Kind)
        elif name in families:
            kinds |= _kinds(families[name], families)
        elif name in _FAMILIES:
            kinds |= of(Family(name))
        else:
            kinds.add(Kind(name))
    return frozenset(kinds)

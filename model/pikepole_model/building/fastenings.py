"""Fasteners as they are bought, and the schedule of what holds what, from `data/fasteners.toml`.

load_fastenings(units) -> Fastenings

In a scene in millimetres the schedule has metric fasteners, no farther apart than it says.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any, Literal, TypeAlias, assert_never

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.building.quoted import in_millimetres
from pikepole_model.errors import CatalogueError
from pikepole_model.units import Units, parse_length, parse_mass

# Source: AISC Steel Construction Manual: 490 lb/ft3, as in data/bulk.toml.
_STEEL_KG_MM3 = 7.85e-6

# Distances in a metric scene are whole so many, mm.
_METRIC_STEP_MM = 10.0

ANY = "any"
STUDS = "studs"

_FAMILIES = {family.value for family in Family}
_WAYS_TO_COUNT = {"each", "spacing", "edge", "grid", "ribs", "hanger", "none"}


# Of what smaller boxes would come to: common practice, no source.
MOST_OVER = 1.25
# Nobody carries more small boxes to the counter than there are in so many large ones: likewise.
MOST_SMALL = 2


@dataclass(frozen=True, slots=True)
class Pack:
    """A box of fasteners.

    Attributes:
        pieces: How many are in it; 1 for what is sold singly.
        mass_kg: What it weighs, kg; None for what is sold by number.
    """

    pieces: int
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Bought:
    """A fastener as it is bought.

    Attributes:
        name: "16d common nail".
        packs: The boxes that it comes in, the smallest first.
        size: Its length and thickness as a shop has them; empty where its name says enough.
        source: Where size and box come from.
        by_length: Its name with a place for its length, "bolt 1/2 in x {} with nut"; empty for what
            is bought without.
        nail_mm: Length and diameter of a nail, mm; None for what is none.
        bolt_mm: Diameter of a bolt that is bought by its length, mm; None for what is none.
    """

    name: str
    packs: tuple[Pack, ...]
    size: str
    source: str
    by_length: str = ""
    nail_mm: tuple[float, float] | None = None
    bolt_mm: float | None = None

    def pack_for(self, pieces: int) -> Pack:
        """The box to buy so many in: a larger one where as many smaller would be that are in it.

        But none of which so many more would be bought than of the smallest, until there would be
        more than two large ones of these.
        """
        smallest = self.packs[0].pieces
        least = math.ceil(pieces / smallest)

        def fits(pack: Pack) -> bool:
            bought = math.ceil(pieces / pack.pieces) * pack.pieces
            ratio = round(pack.pieces / smallest)
            return ratio <= least and (
                bought <= MOST_OVER * least * smallest or least > MOST_SMALL * ratio
            )

        return [one for one in self.packs if fits(one)][-1]


@dataclass(frozen=True, slots=True)
class Each:
    """So many at a time."""

    number: int


@dataclass(frozen=True, slots=True)
class InRows:
    """In rows from end to end.

    Attributes:
        spacing_mm: Greatest distance in a row, mm; None for that of the studs.
        rows: How many rows.
        wide_mm: From this width of the piece on there are twice as many rows, mm; None for never.
    """

    spacing_mm: float | None
    rows: int
    wide_mm: float | None

    def rows_on(self, width_mm: float) -> int:
        """How many rows there are on a piece.

        Args:
            width_mm: Its width, mm.
        """
        twice = self.wide_mm is not None and width_mm >= self.wide_mm
        return self.rows * (2 if twice else 1)


@dataclass(frozen=True, slots=True)
class OnSheet:
    """Over a sheet: greatest distances at its edges and between them, mm."""

    edge_mm: float
    field_mm: float


@dataclass(frozen=True, slots=True)
class OnGrid:
    """Over a sheet: one for each square of this side, mm."""

    side_mm: float


@dataclass(frozen=True, slots=True)
class ByRib:
    """By the ribs of a roof panel."""


@dataclass(frozen=True, slots=True)
class ByHole:
    """One in every hole of a joist hanger, which is bought too."""


Count: TypeAlias = Each | InRows | OnSheet | OnGrid | ByRib | ByHole


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
        count: How many are bought; None where nothing is.
        per: What is counted at a time.
        each_length: Whether each of the lengths that meet there end to end takes as many.
        on_hanger: Whether it is only for an end that nothing lies under.
        through: Whether they go on into what lies behind.
        outside: Whether they are rained on.
        driven: How nails go in: "toe", "end" or "face"; empty where that goes without saying.
        ends: Of how many ends of the piece they are the nails, as many at each.
        carries: Whether loads come down by it, or it holds the building square.
        told: How many go where, where the number they are reckoned by is none to nail by; empty
            where it is.
        source: Where the row comes from.
    """

    name: str
    of: frozenset[Kind]
    to: frozenset[Kind]
    ways: frozenset[str]
    fastener: str | None
    none: str
    count: Count | None
    per: Literal["joint", "place", "piece"]
    each_length: bool
    on_hanger: bool
    through: bool
    outside: bool
    driven: Literal["toe", "end", "face", ""]
    ends: int
    carries: bool
    told: str
    source: str

    def fits(self, one: str, other: str, way: str, *, on_hanger: bool = False) -> bool:
        """Whether it holds a piece of one kind that lies so on one of another kind.

        Args:
            one: Kind of the piece.
            other: Kind of what it lies on.
            way: How it lies on it.
            on_hanger: Whether nothing else lies under its end.
        """
        return (
            (on_hanger or not self.on_hanger)
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
        metric_names: What a scene in millimetres takes in place of what can be bought.
    """

    bought: Mapping[str, Bought]
    schedule: tuple[Fastening, ...]
    holes: tuple[tuple[float, int], ...]
    holes_source: str
    metric_names: Mapping[str, str]

    def metric(self) -> Fastenings:
        """The same for a scene in millimetres."""
        return replace(self, schedule=tuple(map(self._metric, self.schedule)))

    def _metric(self, row: Fastening) -> Fastening:
        fastener = row.fastener and self.metric_names.get(row.fastener, row.fastener)
        count, source = _metric_count(row.count), in_millimetres(row.source)
        return replace(row, fastener=fastener, count=count, source=source)

    def holes_for(self, depth_mm: float) -> int:
        """How many nails fill the hanger of a joist.

        Args:
            depth_mm: Depth of the joist, mm.
        """
        fitting = [holes for from_mm, holes in self.holes if from_mm <= depth_mm]
        return (fitting or [self.holes[0][1]])[-1]


@cache
def load_fastenings(units: Units = "imperial") -> Fastenings:
    """The fasteners and the schedule that come with the program, every row checked.

    Args:
        units: Of the scene.

    Raises:
        CatalogueError: a row is wrong; says which.
    """
    return _as_written().metric() if units == "metric" else _as_written()


@cache
def _as_written() -> Fastenings:
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
    if not holes and any(isinstance(row.count, ByHole) for row in schedule):
        raise CatalogueError("data/fasteners.toml: say how many holes a hanger has")
    metric: dict[str, str] = table.get("metric", {})
    if unknown := (metric.keys() | set(metric.values())) - bought.keys():
        raise CatalogueError(f'data/fasteners.toml: "{min(unknown)}" in [metric] is not sold')
    return Fastenings(
        MappingProxyType(bought),
        tuple(schedule),
        tuple(holes),
        hanger["source"],
        MappingProxyType(metric),
    )


def nail_mass_kg(length_mm: float, diameter_mm: float) -> float:
    """Mass of a nail as a steel wire of its size; the head makes up for the point."""
    return math.pi / 4 * diameter_mm**2 * length_mm * _STEEL_KG_MM3


def _nails(table: dict[str, Any]) -> Iterator[Bought]:
    for group in table["nail"]:
        boxes_kg = [parse_mass(box) for box in group["boxes"]]
        for name, (length, diameter) in group["rows"].items():
            size_mm = parse_length(length), parse_length(diameter)
            packs = tuple(Pack(int(box_kg / nail_mass_kg(*size_mm)), box_kg) for box_kg in boxes_kg)
            # A metric nail goes by its size.
            size = "" if length.endswith("mm") else f"{length.removesuffix(' in')} x {diameter}"
            yield Bought(name, packs, size, group["source"], nail_mm=size_mm)


def _counted(table: dict[str, Any]) -> Iterator[Bought]:
    for group in table["counted"]:
        for name, pieces in group["rows"].items():
            by_length = group.get("by_length", {}).get(name, "")
            size = group.get("sizes", {}).get(name, "")
            bolt_mm = parse_length(group["thick"][name]) if by_length else None
            yield Bought(name, (Pack(pieces),), size, group["source"], by_length, bolt_mm=bolt_mm)


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
    driven = row.get("driven", "")
    if driven not in ("toe", "end", "face", ""):
        raise ValueError('driven is "toe", "end" or "face"')
    ends = row.get("ends", 1)
    if row.get("each", ends) % ends:
        raise ValueError(f"each is {row['each']}: give as many at each of {ends} ends")
    return Fastening(
        name=row["name"],
        of=_kinds(row["of"], families),
        to=_kinds(row["to"], families),
        ways=frozenset(row.get("ways", ())),
        fastener=fastener,
        none=none,
        count=_count(row),
        per=per,
        each_length=row.get("each_length", False),
        on_hanger=row.get("on_hanger", False),
        through=row.get("through", False),
        outside=row.get("outside", False),
        driven=driven,
        ends=ends,
        carries=row.get("carries", False),
        told=row.get("told", ""),
        source=row["source"],
    )


def _count(row: dict[str, Any]) -> Count | None:
    if "each" in row:
        return Each(row["each"])
    if "spacing" in row:
        spacing_mm = None if row["spacing"] == STUDS else parse_length(row["spacing"])
        wide_mm = parse_length(row["wide"]) if "wide" in row else None
        return InRows(spacing_mm, row.get("rows", 1), wide_mm)
    if "edge" in row:
        return OnSheet(parse_length(row["edge"]), parse_length(row["field"]))
    if "grid" in row:
        return OnGrid(parse_length(row["grid"]))
    if "ribs" in row:
        return ByRib()
    return ByHole() if "hanger" in row else None


def _metric_count(count: Count | None) -> Count | None:
    """Distances down to a whole step."""

    def down(mm: float) -> float:
        return math.floor(mm / _METRIC_STEP_MM) * _METRIC_STEP_MM

    match count:
        case InRows(spacing_mm):
            return replace(count, spacing_mm=None if spacing_mm is None else down(spacing_mm))
        case OnSheet(edge_mm, field_mm):
            return OnSheet(down(edge_mm), down(field_mm))
        case OnGrid(side_mm):
            return OnGrid(down(side_mm))
        case Each() | ByRib() | ByHole() | None:
            return count
        case _:
            assert_never(count)


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

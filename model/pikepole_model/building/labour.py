"""What pieces take to put in their place, from `data/labour.toml`.

load_rates() -> tuple[Rate, ...]
board_feet(section_mm, length_mm) -> float
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib import resources

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind, of
from pikepole_model.errors import CatalogueError
from pikepole_model.units import FOOT_MM, INCH_MM


class Per(StrEnum):
    """What hours are counted by."""

    BOARD_FEET = "1000 board ft"
    LENGTH = "100 ft"
    AREA = "100 ft2"
    VOLUME = "yd3"
    PIECE = "piece"
    JOINT = "joint"


@dataclass(frozen=True, slots=True)
class Rate:
    """What one sort of work takes.

    Attributes:
        name: By which a scene changes it: "wall frame".
        kinds: The pieces that it goes for.
        per: What it is counted by.
        low_h: Hours of one person for one of that, at the least.
        high_h: At the most.
        source: Where the hours come from.
    """

    name: str
    kinds: frozenset[Kind]
    per: Per
    low_h: float
    high_h: float
    source: str


def board_feet(section_mm: tuple[float, float], length_mm: float) -> float:
    """Board feet of a piece, by the size it is sold as: the next whole inches over what it has.

    Source: American Softwood Lumber Standard PS 20: 1 in by 12 in by 1 ft, nominal.

    Args:
        section_mm: Dressed breadth and depth, mm.
        length_mm: Its length, mm.
    """
    # A hundredth of an inch: what a metric size that is the same one may be over it.
    breadth, depth = (math.ceil(side / INCH_MM - 0.01) for side in section_mm)
    return breadth * depth * length_mm / FOOT_MM / 12


@cache
def load_rates() -> tuple[Rate, ...]:
    """Every rate; each kind of piece is in one of them.

    Raises:
        CatalogueError: a kind is in none or in two, or a row is wrong.
    """
    data = resources.files("pikepole_model") / "data" / "labour.toml"
    rates = tuple(_rates(data.read_text(encoding="utf-8")))
    for kind in Kind:
        times = sum(kind in rate.kinds for rate in rates)
        if times != 1:
            raise CatalogueError(f"data/labour.toml: {kind} is in {times} rows, not in one")
    return rates


def _rates(text: str) -> Iterator[Rate]:
    rows = tomllib.loads(text)["rate"]
    families = {family.value: of(family) for family in Family}
    # A kind may be called as its family is: then the family is meant.
    single = {kind for row in rows for kind in Kind if kind in {*row["of"]} - {*families}}
    for row in rows:
        kinds = frozenset(
            kind
            for name in row["of"]
            for kind in (families[name] - single if name in families else {Kind(name)})
        )
        low, high = map(float, row["hours"])
        if not 0 <= low <= high:
            raise CatalogueError(f"data/labour.toml: {row['name']}: hours are out of order")
        yield Rate(row["name"], kinds, Per(row["per"]), low, high, row["source"])

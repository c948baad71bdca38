"""How far headers span in walls that carry a roof, from `data/headers.toml`.

load_headers() -> Headers
load_headers().rows_of(plies, across_mm) -> what is listed, the shallowest first
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from itertools import pairwise

from pikepole_model.units import parse_length


@dataclass(frozen=True, slots=True)
class Header:
    """A header of some plies, and its longest clear span, mm."""

    section: str
    span_mm: float


@dataclass(frozen=True, slots=True)
class Headers:
    """Every row of the table.

    Attributes:
        widths_mm: Of the building across its ridge, mm, in rising order.
        spans_mm: For each number of plies and section, the spans under these widths, mm.
        source: Where they come from.
    """

    widths_mm: tuple[float, ...]
    spans_mm: dict[int, dict[str, tuple[float, ...]]]
    source: str

    def rows_of(self, plies: int, across_mm: float) -> list[Header]:
        """What is listed of so many plies; none under a building wider than the table goes to.

        Args:
            plies: Of the header.
            across_mm: Width of the building, mm; between two widths spans lie between theirs
                (footnote of the table), and a narrower one is taken as the narrowest.
        """
        across_mm = max(across_mm, self.widths_mm[0])
        columns = enumerate(pairwise(self.widths_mm))
        found = next((column for column in columns if across_mm <= column[1][1]), None)
        if found is None:
            return []
        k, (low, high) = found
        share = (across_mm - low) / (high - low)
        return [
            Header(section, spans[k] + share * (spans[k + 1] - spans[k]))
            for section, spans in self.spans_mm.get(plies, {}).items()
        ]


@cache
def load_headers() -> Headers:
    """The table."""
    data = resources.files("pikepole_model") / "data" / "headers.toml"
    table = tomllib.loads(data.read_text(encoding="utf-8"))
    return Headers(
        tuple(map(parse_length, table["widths"])),
        {
            int(plies): {
                section: tuple(map(parse_length, spans)) for section, spans in rows.items()
            }
            for plies, rows in table["plies"].items()
        },
        table["source"],
    )

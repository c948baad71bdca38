"""Where the roof panels are screwed down, counted by rib and row.

    panel_screws(building) -> tuple[PanelScrews, ...]     a row for each panel, in order of building

Post-frame practice, no code behind it: rows at both ends and every 24 in up the slope between; in
the end rows a screw at each side of every rib, in the others one beside each rib. The rib that two
panels share is screwed once, through both.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pikepole_model.building.part import Building, PanelRecord
from pikepole_model.geometry.spacing import TOLERANCE_MM

ROW_MM = 609.6

# An end row lies this far in from the panel's end: 2 in, common practice, no source.
END_MM = 50.8


@dataclass(frozen=True, slots=True)
class PanelScrews:
    """The screws of one panel.

    Attributes:
        name: The panel.
        ribs_mm: Its whole ribs from the end of the roof where the first panel is set, mm; the one
            under the next panel's first is that panel's.
        rows_mm: Each row from the panel's low end, mm.
        screws: How many.
    """

    name: str
    ribs_mm: tuple[float, ...]
    rows_mm: tuple[float, ...]
    screws: int


def panel_screws(building: Building) -> tuple[PanelScrews, ...]:
    """The screws of every roof panel; none where the roof has no panels."""
    found: list[PanelScrews] = []
    for part in building.parts:
        if isinstance(part.record, PanelRecord):
            ribs, rows = part.record.ribs_mm, screw_rows(part.length_mm)
            found.append(PanelScrews(part.name, ribs, rows, len(ribs) * (2 * 2 + len(rows) - 2)))
    return tuple(found)


def screw_rows(length_mm: float) -> tuple[float, ...]:
    """Where the rows lie along a panel, evenly and at most 24 in apart, mm."""
    between = length_mm - 2 * END_MM
    count = max(1, math.ceil((between - TOLERANCE_MM) / ROW_MM))
    return tuple(END_MM + between * k / count for k in range(count + 1))

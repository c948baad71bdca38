"""Where the roof panels are screwed down, counted by rib and row.

    panel_screws(building) -> tuple[PanelScrews, ...]     a row for each panel, in order of building

Post-frame practice, no code behind it: rows at both ends and every 24 in up the slope between; in
the end rows a screw at each side of every rib, in the others one beside each rib. The rib that two
panels share is screwed once, through both.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building
from pikepole_model.geometry.spacing import CLOSE_MM
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_cover import RoofCover

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
    roof = RoofPlan(Datums(building.scene))
    ribs = [ribs for slope in roof.all_slopes for ribs in _ribs(RoofCover(roof, slope))]
    panels = [part for part in building.parts if part.kind == Kind.PANEL]
    found: list[PanelScrews] = []
    for part, own in zip(panels, ribs, strict=True):
        rows = screw_rows(part.length_mm)
        found.append(PanelScrews(part.name, own, rows, len(own) * (2 * 2 + len(rows) - 2)))
    return tuple(found)


def _ribs(cover: RoofCover) -> list[tuple[float, ...]]:
    """The ribs of each panel of a slope."""
    return [
        tuple(rib for rib in cover.ribs() if first - CLOSE_MM <= rib < end - CLOSE_MM)
        for first, end in pairwise([*cover.first_ribs(), math.inf])
    ]


def screw_rows(length_mm: float) -> tuple[float, ...]:
    """Where the rows lie along a panel, evenly and at most 24 in apart, mm."""
    between = length_mm - 2 * END_MM
    count = max(1, math.ceil((between - CLOSE_MM) / ROW_MM))
    return tuple(END_MM + between * k / count for k in range(count + 1))

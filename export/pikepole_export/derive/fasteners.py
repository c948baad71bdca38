"""What holds the pieces together, to be bought by the piece.

    fasteners(building) -> tuple[Fastener, ...]     in order of building

So far the screws of the roof panels, a row for each panel.
"""

from __future__ import annotations

from dataclasses import dataclass

from pikepole_export.derive.screws import PanelScrews, panel_screws
from pikepole_model.part import Building, Kind


@dataclass(frozen=True, slots=True)
class Fastener:
    """Fasteners of one kind in one place.

    Attributes:
        fastener: What they are.
        joint: What they join.
        where: The piece they go through.
        counted: How they were counted.
        pieces: How many.
    """

    fastener: str
    joint: str
    where: str
    counted: str
    pieces: int


def fasteners(building: Building) -> tuple[Fastener, ...]:
    """The fasteners that are counted; none where the roof has no panels."""
    return tuple(_roofing_screws(screws) for screws in panel_screws(building))


def _roofing_screws(screws: PanelScrews) -> Fastener:
    return Fastener(
        fastener="roofing screw with washer",
        joint=f"{Kind.PANEL.value} to {Kind.ROOF_SHEET.value}",
        where=screws.name,
        counted=f"ribs {len(screws.ribs_mm)}, rows {len(screws.rows_mm)}; "
        "two screws at each rib in the end rows, one in the rows between",
        pieces=screws.screws,
    )

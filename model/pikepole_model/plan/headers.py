"""Which header lies over an opening, by the table of what headers span."""

from __future__ import annotations

from dataclasses import replace

from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.datums import Datums
from pikepole_model.stock.headers import Header, load_headers
from pikepole_model.stock.metric import usual

# An opening wider than this gets two jack studs a side where the scene does not say, and a header
# by the table: 6 ft, common practice, no source. No row of the table asks for more than two.
WIDE_FROM_MM = 1828.8


def plies_of(datums: Datums, header: str) -> int:
    """How many plies of a section the walls are thick enough for, one at least."""
    breadth = datums.scene.lumber_stock(header).breadth_mm
    return max(1, int((datums.wall_mm + TOLERANCE_MM) // breadth))


def tabled_plies(datums: Datums, header: str) -> int:
    """How many plies of 2x stock a header of some section is as thick as."""
    scene = datums.scene
    thick = plies_of(datums, header) * scene.lumber_stock(header).breadth_mm
    return int((thick + TOLERANCE_MM) // scene.lumber_stock("2x4").breadth_mm)


def rows_of(datums: Datums, header: str) -> list[Header]:
    """What the table lists of headers that are as thick as one of this section in these walls."""
    rows = load_headers().rows_of(tabled_plies(datums, header), datums.depth_mm)
    units = datums.scene.units
    return [replace(row, section=usual(row.section, units)) for row in rows]


def usual_header(datums: Datums, width: float, *, under_rafters: bool) -> str:
    """The walls' header, or over a wide opening the first deeper one that spans it.

    Args:
        datums: Of the building.
        width: Of the opening, mm.
        under_rafters: Whether the header carries the roof.
    """
    scene = datums.scene
    usual = scene.lumber_stock(scene.walls.header)
    if not under_rafters or not width > WIDE_FROM_MM:
        return usual.name
    enough = (
        row.section
        for row in rows_of(datums, usual.name)
        if row.span_mm >= width - TOLERANCE_MM
        and scene.lumber_stock(row.section).depth_mm > usual.depth_mm
    )
    return next(enough, usual.name)

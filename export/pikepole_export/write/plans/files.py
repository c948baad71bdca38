"""Every sheet of a building, and its files.

plan_sheets(building) -> list[PlanSheet]             svg: sheet.to_bytes(), size: sheet.size, mm
write_plans(building, folder) -> list[Path]          plans/*.svg, plans/*.dxf
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from pathlib import Path

from pikepole_export.files.whole import put
from pikepole_export.write.plans.covers import covers
from pikepole_export.write.plans.dxf import dxf_bytes
from pikepole_export.write.plans.elevations import elevations
from pikepole_export.write.plans.fitted import fitted
from pikepole_export.write.plans.floor_plan import floor_plan
from pikepole_export.write.plans.framing import frames, framing
from pikepole_export.write.plans.sections import sections
from pikepole_export.write.plans.seen import seen_sheet
from pikepole_export.write.plans.sheet import PlanSheet, number_sheet
from pikepole_export.write.plans.site_plan import site_plan
from pikepole_export.write.plans.structure import structure
from pikepole_model.building.part import Building

FOLDER = "plans"


def plan_sheets(building: Building) -> list[PlanSheet]:
    """The sheets of a building as it stands in the end, in the order they are read."""
    finished = building.finished
    sheets = [
        *(site_plan(finished), floor_plan(finished)),
        *(*elevations(finished), *sections(finished), structure(finished)),
        *framing(building),
        *(seen_sheet(finished, one) for one in (*covers(finished), *fitted(finished))),
    ]
    for number, sheet in enumerate(sheets, start=1):
        number_sheet(sheet, number, len(sheets))
    return sheets


@lru_cache(2)  # asked for by the book and by the page
def stages_of_sheets(building: Building) -> Mapping[str, Sequence[int]]:
    """The sheets on which pieces are numbered, by their files, each with the stages of these."""
    finished = building.finished
    shown = (*frames(building), *covers(finished), *fitted(finished))
    return {one.file: sorted({part.stage for part in one.parts}) for one in shown}


def write_plans(building: Building, folder: Path, *, dxf: bool = True) -> list[Path]:
    """Write each sheet as SVG, and as DXF.

    Args:
        building: What is drawn.
        folder: Where its output goes; the plans come into a folder inside.
        dxf: Whether that is wanted too.

    Raises:
        OutputError: a file could not be written whole.
    """
    within = folder / FOLDER
    within.mkdir(exist_ok=True)
    paths: list[Path] = []
    for sheet in plan_sheets(building):
        paths.append(put(within / f"{sheet.name}.svg", sheet.to_bytes()))
        if dxf:
            paths.append(put(within / f"{sheet.name}.dxf", dxf_bytes(sheet)))
    return paths

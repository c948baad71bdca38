"""How boards and sheets are planned and their drawings written, alike for every command.

plan_cuts(building, step, prove=False) -> CutPlans
lay_out_and_plan(path, scene, step, prove=False) -> (Building, CutPlans)
list_to_buy(building, plans) -> BuyList
list_fasteners(building) -> tuple[Fastener, ...]
plan_tables(plans, building) -> list[Table]               cuts, stops, sheets, as_measured
write_drawings(building, plans, folder) -> Drawings       drawings/*.svg
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeAlias

import typer

from pikepole_export.cli.words import ExitCode, refuse
from pikepole_export.cli.work import Step, lay_out

if TYPE_CHECKING:
    from pikepole_export.derive.buying.fasteners import Fastener
    from pikepole_export.derive.buying.order import BuyList
    from pikepole_export.derive.cutting.cuts import SectionPlan
    from pikepole_export.derive.cutting.sheets import StockPlan
    from pikepole_export.derive.lifting.plan import LiftPlan
    from pikepole_export.write.tables.csv_json import Table
    from pikepole_model.building.part import Building
    from pikepole_model.scene.schema import Scene

PLAN_STEPS = 2

Prove: TypeAlias = Annotated[
    bool,
    typer.Option(
        "--prove",
        help="Go on until no plan can be better, or so many are looked at that it is given up; "
        "that may take minutes.",
    ),
]


@dataclass(frozen=True, slots=True)
class CutPlans:
    """What to cut a building from.

    Attributes:
        boards: A plan for each section and material.
        sheets: A plan for each sheet stock.
    """

    boards: tuple[SectionPlan, ...]
    sheets: tuple[StockPlan, ...]


@dataclass(frozen=True, slots=True)
class Drawings:
    """What the drawings to work from show.

    Attributes:
        files: Of patterns, boards, sheets, and their index.
        marks: For each piece that is cut, by its name, its drawing and what it is called there.
        patterns: For each shaped piece the drawing of its pattern, and that pattern.
    """

    files: Sequence[Path] = ()
    marks: Mapping[str, tuple[str, str]] = field(default_factory=dict[str, tuple[str, str]])
    patterns: Mapping[str, tuple[str, str]] = field(default_factory=dict[str, tuple[str, str]])


def plan_cuts(building: Building, step: Step, *, prove: bool = False) -> CutPlans:
    """Plan every board and every sheet, in PLAN_STEPS steps.

    Raises:
        CutPlanError: a piece comes out of no board or sheet; names it.
        SolverError: the solver gave no answer.
    """
    from pikepole_export.derive.cutting.cuts import cut_plans
    from pikepole_export.derive.cutting.sheets import sheet_plans
    from pikepole_export.derive.lifting.sawn import sawn_plates

    step("Planning the boards")
    sawn = sawn_plates(building)
    boards = tuple(replace(plan, sawn_mm=sawn) for plan in cut_plans(building, prove=prove))
    step("Planning the sheets")
    return CutPlans(boards, sheet_plans(building, prove=prove))


def lay_out_and_plan(
    path: Path, scene: Scene, step: Step, *, prove: bool
) -> tuple[Building, CutPlans]:
    """The building of a scene that was read, and its plans, in PLAN_STEPS + 1 steps.

    Ends the command where a piece comes out of no board or sheet.

    Raises:
        SceneError: the scene is too large to be built.
        SolverError: the solver gave no answer.
    """
    from pikepole_export.derive.cutting.faults import CutPlanError

    building, _ = lay_out(path, scene, step)
    try:
        return building, plan_cuts(building, step, prove=prove)
    except CutPlanError as error:
        refuse(error)
        raise typer.Exit(ExitCode.BAD_INPUT) from None


def list_to_buy(building: Building, plans: CutPlans, lifts: LiftPlan | None = None) -> BuyList:
    """All that is ordered for a building whose boards and sheets are planned, and for its lifts.

    Args:
        building: The building.
        plans: How its boards and sheets are cut.
        lifts: Its lift plan, where that is there.

    Raises:
        LayoutError: a part is in no purchase, or in two.
    """
    from pikepole_export.derive.buying.order import buy_list
    from pikepole_export.derive.lifting.brace_stock import braces_bought
    from pikepole_export.derive.lifting.plan import lift_plan
    from pikepole_export.derive.lifting.sawn import put_up

    lifts = lifts or lift_plan(building)
    braces, walls = braces_bought(building, lifts.lifts), put_up(building)
    return buy_list(building, plans.boards, plans.sheets, braces, walls)


def list_fasteners(building: Building) -> tuple[Fastener, ...]:
    """The fasteners of a building, as they are driven with the way its walls go up."""
    from pikepole_export.derive.buying.fasteners import fasteners
    from pikepole_export.derive.lifting.sawn import put_up

    return fasteners(building, put_up(building))


def plan_tables(plans: CutPlans, building: Building) -> list[Table]:
    """The tables of all boards and all sheets, and of what is cut otherwise than planned."""
    from pikepole_export.derive.measures.as_measured import changes
    from pikepole_export.write.tables.as_measured import as_measured_table
    from pikepole_export.write.tables.cutting import cuts_table, stops_table
    from pikepole_export.write.tables.sheets import sheets_table

    boards, sheets = plans.boards, plans.sheets
    return [
        cuts_table(boards, building),
        stops_table(boards, building),
        sheets_table(sheets, building),
        *(
            [as_measured_table(changes(building), building.scene.units)]
            if building.measured
            else ()
        ),
    ]


def write_drawings(building: Building, plans: CutPlans | None, folder: Path) -> Drawings:
    """A drawing of each shape that is not cut square, of boards and sheets, and their index.

    Args:
        building: What is drawn.
        plans: How its boards and sheets are cut; None leaves their drawings out.
        folder: Where its output goes; the drawings come into a folder inside.

    Raises:
        OutputError: a file could not be written whole.
    """
    from pikepole_export.write.drawings.cutting import cut_pages, write_cut_drawings, write_index
    from pikepole_export.write.drawings.shaped import pattern_pages, shaped_pages, write_templates

    shaped = shaped_pages(building)
    patterns = pattern_pages(shaped, building)
    files = write_templates(shaped, folder)
    if plans is None:
        return Drawings(files, patterns=patterns)
    pages = cut_pages(plans.boards, plans.sheets, building)
    files += write_cut_drawings(pages, building.scene, folder)
    files += write_index(pages, patterns, building.scene, folder)
    return Drawings(files, pages.marks, patterns)

"""What is cut from sheets, as a table.

    sheets_table(plans, building)    sheets

People have a row for each sheet with its pieces, in the order of the work, one more where a later
stage cuts a panel that was kept of it. Programs know besides what to buy, and every place in mm.

Sizes are the width before the length; "left" and "lower" are said of the panel in hand as it lies
in the drawing, its length from left to right.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pikepole_export.derive.cutting.marks import letters, place_words, sheet_marks, sides_words
from pikepole_export.derive.cutting.nesting import CutSheet
from pikepole_export.derive.cutting.sheet_work import SheetUse, holds, kept_words, sheet_work
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_export.write.tables.columns import Column, lines, record, rounded
from pikepole_export.write.tables.csv_json import Table
from pikepole_export.write.tables.how_good import HOW_GOOD, HowGood, for_programs, how_good
from pikepole_model.building.part import Building
from pikepole_model.units import Units, format_length

_STOCKS = (
    Column("stock"),
    Column("edge"),
    Column("kerf", "length", tape=True),
    Column("pieces"),
    Column("sheets"),
    Column("bought", "area"),
    Column("used", "area"),
    Column("bound", "area"),
    *HOW_GOOD,
)
_SHEETS = (
    Column("stock"),
    Column("edge"),
    Column("sheet"),
    Column("width", "length"),
    Column("length", "length"),
)
_SHEET_USES = (
    Column("stage"),
    Column("stage name"),
    Column("stock"),
    Column("edge"),
    Column("sheet"),
    Column("cut from"),
    Column("width", "length"),
    Column("length", "length"),
    Column("cut"),
    Column("saw cuts"),
    Column("shave"),
    Column("left"),
    Column("keep"),
)


# What a sheet is called by whether it is at hand.
_OWN = {False: "sheet", True: "own sheet"}


@dataclass(frozen=True, slots=True)
class _Stock(HowGood):
    stock: str
    edge: str
    kerf_mm: float
    pieces: int
    sheets: int
    bought_mm2: float
    used_mm2: float
    bound_mm2: float | None


@dataclass(frozen=True, slots=True)
class _Sheet:
    stock: str
    edge: str
    sheet: int
    width_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class _SheetUse:
    stage: int
    stage_name: str
    stock: str
    edge: str
    sheet: int
    cut_from: str
    width_mm: float
    length_mm: float
    cut: str
    saw_cuts: str
    shave: str
    left: str
    keep: str


def sheets_table(plans: Sequence[StockPlan], building: Building) -> Table:
    """The sheets of every stock.

    Args:
        plans: One for each stock.
        building: For the units of the CSV.
    """
    units = building.scene.units
    names = {stage.number: stage.name for stage in building.stages}
    uses = [(plan, use) for plan in plans for use in sheet_work(plan)]
    uses.sort(key=lambda row: row[1].stage)
    rows = [_sheet_use(plan, use, names, units) for plan, use in uses]
    programs = {
        "stocks": [for_programs(record(_STOCKS, _stock(plan))) for plan in plans],
        "sheets": [
            {
                **record(_SHEETS, _Sheet(plan.stock.name, plan.edge, number, *_sides(sheet))),
                **_work(sheet),
                "kept": [
                    {"name": kept.name, "panel": kept.panel, "stage": kept.stage}
                    for use_plan, use in uses
                    if use_plan is plan and use.number == number
                    for kept in use.kept
                ],
            }
            for plan in plans
            for number, sheet in enumerate(plan.plan.sheets, start=1)
        ],
    }
    return Table("sheets", {"sheets to cut": lines(_SHEET_USES, rows, units)}, programs)


def _stock(plan: StockPlan) -> _Stock:
    return _Stock(
        *how_good(plan.plan),
        stock=plan.stock.name,
        edge=plan.edge,
        kerf_mm=plan.kerf_mm,
        pieces=plan.pieces,
        sheets=len(plan.plan.sheets),
        bought_mm2=plan.plan.bought_mm2,
        used_mm2=plan.plan.pieces_mm2,
        bound_mm2=plan.plan.bound if plan.plan.cost is None else None,
    )


def _sides(sheet: CutSheet) -> tuple[float, float]:
    return sheet.stock.width_mm, sheet.stock.length_mm


def _sheet_use(plan: StockPlan, use: SheetUse, names: Mapping[int, str], units: Units) -> _SheetUse:
    marks, held = sheet_marks(use.sheet, plan.kerf_mm, units), holds(use.sheet)
    cut = (
        f"{letters(held[placed.panel])}: {sides_words(*sides_mm, units)} {placed.piece.name}"
        + (", turned" if placed.turned else "")
        for placed, sides_mm in zip(use.sheet.placed, marks.pieces_mm, strict=True)
        if placed in use.placed
    )
    saw_cuts = (
        f"{cut.number}: {place_words(cut.divides, at_mm, units)}: {letters(held[cut.panel])}"
        for cut, at_mm in zip(use.sheet.cuts, marks.cuts_mm, strict=True)
        if cut in use.cuts
    )
    shave = (
        f"{format_length(one.off_mm, units)} of the {one.divides} of {letters(held[one.panel])}"
        for one in use.shavings
    )
    left = (
        f"{letters(held[one.panel])}: {sides_words(one.width_mm, one.length_mm, units, 'down')}"
        for one in use.left
    )
    return _SheetUse(
        stage=use.stage,
        stage_name=names[use.stage],
        stock=plan.stock.name,
        edge=plan.edge,
        sheet=use.number,
        cut_from=f"off-cut {use.name}" if use.name else _OWN[use.sheet.stock.is_own],
        width_mm=use.width_mm,
        length_mm=use.length_mm,
        cut="; ".join(cut),
        saw_cuts="; ".join(saw_cuts),
        shave="; ".join(shave),
        left="; ".join(left),
        keep="; ".join(kept_words(one, units) for one in use.kept),
    )


def _work(sheet: CutSheet) -> dict[str, Any]:
    return {
        "pieces": [
            {
                "part": placed.piece.name,
                "stage": placed.piece.stage,
                "panel": placed.panel,
                "x_mm": rounded(placed.x_mm),
                "y_mm": rounded(placed.y_mm),
                "width_mm": rounded(placed.width_mm),
                "length_mm": rounded(placed.length_mm),
                "turned": placed.turned,
            }
            for placed in sheet.placed
        ],
        "cuts": [
            {
                "number": cut.number,
                "stage": cut.stage,
                "panel": cut.panel,
                "divides": cut.divides,
                "at_mm": rounded(cut.at_mm),
                "first": cut.first,
                "second": cut.second,
            }
            for cut in sheet.cuts
        ],
        "shavings": [
            {
                "panel": one.panel,
                "divides": one.divides,
                "at_mm": rounded(one.at_mm),
                "off_mm": rounded(one.off_mm),
            }
            for one in sheet.shavings
        ],
        "offcuts": [
            {
                "panel": offcut.panel,
                "x_mm": rounded(offcut.x_mm),
                "y_mm": rounded(offcut.y_mm),
                "width_mm": rounded(offcut.width_mm),
                "length_mm": rounded(offcut.length_mm),
            }
            for offcut in sheet.offcuts
        ],
    }

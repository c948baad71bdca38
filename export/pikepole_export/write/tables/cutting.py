"""What is cut from boards and sheets, as tables.

    cuts_table(plans, building)      cuts
    stops_table(plans, building)     stops
    sheets_table(plans, building)    sheets

People have a row for each board or sheet with its pieces, in the order of the work, one more where
a later stage cuts what is left of it. Programs know besides what to buy, and have every place and
length in mm.

On a sheet, sizes are the width before the length; "left" and "lower" are said of the panel in hand
as it lies in the drawing, its length from left to right.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pikepole_export.derive.cutting.board_work import (
    BoardUse,
    board_work,
    in_order,
    piece_words,
    sorted_names,
    stops,
)
from pikepole_export.derive.cutting.cuts import CENTS, SectionPlan
from pikepole_export.derive.cutting.lengths import Board, LengthPlan
from pikepole_export.derive.cutting.marks import (
    place_words,
    sheet_marks,
    sides_words,
    sliver_mm,
    together,
)
from pikepole_export.derive.cutting.nesting import CutSheet, SheetPlan
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_export.write.tables.columns import Column, lines, record, rounded
from pikepole_export.write.tables.csv_json import Table, plain_table
from pikepole_model.building.part import Building
from pikepole_model.scene.buying import Cutting
from pikepole_model.units import Units, format_length

_HOW_GOOD = (
    Column("cost"),
    Column("bound cost"),
    Column("gap percent"),
    Column("proven"),
)
_SECTIONS = (
    Column("section"),
    Column("material"),
    Column("pieces"),
    Column("boards"),
    Column("bought", "length"),
    Column("used", "length"),
    Column("bound", "length"),
    *_HOW_GOOD,
)
_BOARDS = (
    Column("section"),
    Column("material"),
    Column("board"),
    Column("stock", "length"),
    Column("cuts"),
    Column("sawdust", "length"),
    Column("trim", "length"),
    Column("offcut", "length"),
)
_USES = (
    Column("stage"),
    Column("stage name"),
    Column("section"),
    Column("material"),
    Column("board"),
    Column("cut from"),
    Column("length", "length", tape=True),
    Column("cut"),
    Column("cuts"),
    Column("left", "length", tape=True),
    Column("keep"),
)
_STOPS = (
    Column("stage"),
    Column("stage name"),
    Column("section"),
    Column("material"),
    Column("length", "length", tape=True),
    Column("pieces"),
    Column("parts"),
)
_STOCKS = (
    Column("stock"),
    Column("kerf", "length", tape=True),
    Column("pieces"),
    Column("sheets"),
    Column("bought", "area"),
    Column("used", "area"),
    Column("bound", "area"),
    *_HOW_GOOD,
)
_SHEETS = (
    Column("stock"),
    Column("sheet"),
    Column("width", "length"),
    Column("length", "length"),
    Column("cut", to="people"),
    Column("saw cuts", to="people"),
    Column("shave", to="people"),
    Column("left", to="people"),
)


@dataclass(frozen=True, slots=True)
class _HowGood:
    """What is said of every plan."""

    cost: float | None
    bound_cost: float | None
    gap_percent: float
    proven: str


@dataclass(frozen=True, slots=True)
class _Section(_HowGood):
    section: str
    material: str
    pieces: int
    boards: int
    bought_mm: float
    used_mm: float
    bound_mm: float | None


@dataclass(frozen=True, slots=True)
class _Board:
    section: str
    material: str
    board: int
    stock_mm: float
    cuts: int
    sawdust_mm: float
    trim_mm: float
    offcut_mm: float


@dataclass(frozen=True, slots=True)
class _Use:
    stage: int
    stage_name: str
    section: str
    material: str
    board: int
    cut_from: str
    length_mm: float
    cut: str
    cuts: int
    left_mm: float
    keep: str


@dataclass(frozen=True, slots=True)
class _Stop:
    stage: int
    stage_name: str
    section: str
    material: str
    length_mm: float
    pieces: int
    parts: str


@dataclass(frozen=True, slots=True)
class _Stock(_HowGood):
    stock: str
    kerf_mm: float
    pieces: int
    sheets: int
    bought_mm2: float
    used_mm2: float
    bound_mm2: float | None


@dataclass(frozen=True, slots=True)
class _Sheet:
    stock: str
    sheet: int
    width_mm: float
    length_mm: float
    cut: str
    saw_cuts: str
    shave: str
    left: str


def cuts_table(plans: Sequence[SectionPlan], building: Building) -> Table:
    """The boards of every section.

    Args:
        plans: One for each section.
        building: For its saw, its stages and the units of the CSV.
    """
    saw, units = building.scene.cutting, building.scene.units
    names = {stage.number: stage.name for stage in building.stages}
    uses = [(plan, use) for plan in plans for use in board_work(plan, saw.kerf)]
    rows = [_use(plan, use, names, units) for plan, use in in_order(uses)]
    programs = {
        "kerf_mm": rounded(saw.kerf),
        "end_trim_mm": rounded(saw.end_trim),
        "sections": [
            _for_programs(
                {
                    **record(_SECTIONS, _section(plan)),
                    "treated": plan.treated,
                    "buy": [
                        {"length_mm": rounded(s.length_mm), "boards": boards, "price": s.price}
                        for s, boards in plan.bought
                    ],
                }
            )
            for plan in plans
        ],
        "boards": [
            {**record(_BOARDS, _board(plan, number, board, saw)), "pieces": _pieces(plan, board)}
            for plan in plans
            for number, board in enumerate(plan.plan.boards, start=1)
        ],
    }
    return Table("cuts", {"boards to cut": lines(_USES, rows, units)}, programs)


def stops_table(plans: Sequence[SectionPlan], building: Building) -> Table:
    """How many pieces of each length every stage needs: what the saw's stop is set to.

    Args:
        plans: One for each section.
        building: For its stages and the units of the CSV.
    """
    names = {stage.number: stage.name for stage in building.stages}
    units = building.scene.units
    each = [(plan, stop) for plan in plans for stop in stops(plan, units)]
    rows = [
        _Stop(
            stage=stop.stage,
            stage_name=names[stop.stage],
            section=plan.section.name,
            material=plan.material,
            length_mm=stop.length_mm,
            pieces=len(stop.pieces),
            parts="; ".join(together(sorted_names(stop.pieces))),
        )
        for plan, stop in in_order(each)
    ]
    return plain_table("stops", _STOPS, rows, units)


def sheets_table(plans: Sequence[StockPlan], building: Building) -> Table:
    """The sheets of every stock.

    Args:
        plans: One for each stock.
        building: For the units of the CSV.
    """
    units = building.scene.units
    stocks = [_stock(plan) for plan in plans]
    numbered = [(plan, *one) for plan in plans for one in enumerate(plan.plan.sheets, start=1)]
    rows = [_sheet(*one, units) for one in numbered]
    programs = {
        "stocks": [_for_programs(record(_STOCKS, row)) for row in stocks],
        "sheets": [
            {**record(_SHEETS, row), **_work(sheet)}
            for row, (_, _, sheet) in zip(rows, numbered, strict=True)
        ],
    }
    return Table("sheets", {"sheets to cut": lines(_SHEETS, rows, units)}, programs)


def _section(plan: SectionPlan) -> _Section:
    return _Section(
        *_how_good(plan.plan),
        section=plan.section.name,
        material=plan.material,
        pieces=plan.pieces,
        boards=len(plan.plan.boards),
        bought_mm=plan.plan.bought_mm,
        used_mm=plan.used_mm,
        bound_mm=plan.plan.bound if plan.plan.cost is None else None,
    )


def _board(plan: SectionPlan, number: int, board: Board, saw: Cutting) -> _Board:
    return _Board(
        section=plan.section.name,
        material=plan.material,
        board=number,
        stock_mm=board.stock.length_mm,
        cuts=board.cuts - (sliver_mm(board, saw.kerf) > 0),
        sawdust_mm=board.sawdust_mm,
        trim_mm=board.trim_mm,
        offcut_mm=board.offcut_mm,
    )


def _use(plan: SectionPlan, use: BoardUse, names: Mapping[int, str], units: Units) -> _Use:
    return _Use(
        stage=use.stage,
        stage_name=names[use.stage],
        section=plan.section.name,
        material=plan.material,
        board=use.number,
        cut_from="off-cut" if use.is_offcut else "board",
        length_mm=use.length_mm,
        cut="; ".join(_cut(plan, use, units)),
        cuts=use.cuts,
        left_mm=use.left_mm,
        keep="yes" if use.is_kept else "",
    )


def _cut(plan: SectionPlan, use: BoardUse, units: Units) -> Iterable[str]:
    for piece in use.pieces:
        yield f"{format_length(piece.length_mm, units)} {piece_words(piece, use, plan, units)}"


def _pieces(plan: SectionPlan, board: Board) -> list[dict[str, Any]]:
    """In order of cutting; `ripped_mm` is None where a piece is as wide as its stock."""
    return [
        {
            "part": piece.name,
            "stage": piece.stage,
            "length_mm": rounded(piece.length_mm),
            "ripped_mm": plan.ripped_mm.get(piece.name),
        }
        for piece in board.pieces
    ]


def _stock(plan: StockPlan) -> _Stock:
    return _Stock(
        *_how_good(plan.plan),
        stock=plan.stock.name,
        kerf_mm=plan.kerf_mm,
        pieces=plan.pieces,
        sheets=len(plan.plan.sheets),
        bought_mm2=plan.plan.bought_mm2,
        used_mm2=plan.plan.pieces_mm2,
        bound_mm2=plan.plan.bound if plan.plan.cost is None else None,
    )


def _sheet(plan: StockPlan, number: int, sheet: CutSheet, units: Units) -> _Sheet:
    marks = sheet_marks(sheet, plan.kerf_mm, units)
    cut = (
        f"{placed.panel}: {sides_words(*sides_mm, units)} {placed.piece.name}"
        + (", turned" if placed.turned else "")
        for placed, sides_mm in zip(sheet.placed, marks.pieces_mm, strict=True)
    )
    saw_cuts = (
        f"{cut.number}: panel {cut.panel}, {place_words(cut.divides, at_mm, units)}"
        for cut, at_mm in zip(sheet.cuts, marks.cuts_mm, strict=True)
    )
    shave = (
        f"{format_length(one.off_mm, units)} of the {one.divides} of panel {one.panel}"
        for one in sheet.shavings
    )
    left = (
        f"{one.panel}: {sides_words(one.width_mm, one.length_mm, units, 'down')}"
        for one in sheet.offcuts
    )
    return _Sheet(
        stock=plan.stock.name,
        sheet=number,
        width_mm=plan.stock.width_mm,
        length_mm=plan.stock.length_mm,
        cut="; ".join(cut),
        saw_cuts="; ".join(saw_cuts),
        shave="; ".join(shave),
        left="; ".join(left),
    )


def _work(sheet: CutSheet) -> dict[str, Any]:
    return {
        "pieces": [
            {
                "part": placed.piece.name,
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


def _how_good(plan: LengthPlan | SheetPlan) -> tuple[float | None, float | None, float, str]:
    """Cost, its bound, the gap and whether it is proven: of money only where there are prices."""
    return (
        None if plan.cost is None else rounded(plan.cost, CENTS),
        None if plan.cost is None else rounded(plan.bound, CENTS),
        rounded(100 * plan.gap, 2),
        "no" if plan.gap else "yes",
    )


def _for_programs(record: dict[str, Any]) -> dict[str, Any]:
    return {**record, "proven": record["proven"] == "yes"}

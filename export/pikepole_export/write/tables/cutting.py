"""What is cut from boards, as tables.

    cuts_table(plans, building)      cuts
    stops_table(plans, building)     stops

People have a row for each board with its pieces, in the order of the work, one more where a later
stage cuts what is left of it. Programs know besides what to buy, and have every length in mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pikepole_export.derive.cutting.board_work import (
    BoardUse,
    board_work,
    in_order,
    run_words,
    stops,
)
from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.lengths import Board
from pikepole_export.derive.cutting.marks import (
    natural,
    sliver_mm,
    together,
)
from pikepole_export.write.tables.columns import Column, lines, record, rounded
from pikepole_export.write.tables.csv_json import Table, plain_table
from pikepole_export.write.tables.how_good import HOW_GOOD, HowGood, for_programs, how_good
from pikepole_model.building.part import Building
from pikepole_model.scene.buying import Cutting
from pikepole_model.units import Units

_SECTIONS = (
    Column("section"),
    Column("material"),
    Column("pieces"),
    Column("boards"),
    Column("bought", "length"),
    Column("used", "length"),
    Column("bound", "length"),
    *HOW_GOOD,
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


# What a board is called by whether it is at hand.
_OWN = {False: "board", True: "own board"}


@dataclass(frozen=True, slots=True)
class _Section(HowGood):
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
            for_programs(
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
            parts="; ".join(together(sorted((p.name for p in stop.pieces), key=natural))),
        )
        for plan, stop in in_order(each)
    ]
    return plain_table("stops", _STOPS, rows, units)


def _section(plan: SectionPlan) -> _Section:
    return _Section(
        *how_good(plan.plan),
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
        cut_from="off-cut" if use.is_offcut else _OWN[use.board.stock.is_own],
        length_mm=use.length_mm,
        cut="; ".join(text for _, text in run_words([use], plan, units, {})),
        cuts=use.cuts,
        left_mm=use.left_mm,
        keep="yes" if use.is_kept else "",
    )


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

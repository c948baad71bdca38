"""Which sheets to buy for a building, and what is cut from each.

    sheet_plans(building) -> tuple[StockPlan, ...]     in order of first use

Sheets on a floor, a wall, a roof or a soffit are cut to the sizes that the model has laid them out
in. Strips, spacers and door skins of the same stock are nested together with them, so that what is
left of a laid sheet is used before a new one is bought. A piece is planned as the box round it,
notches and openings cut afterwards. Grain shows or carries in all of them but spacers and panes:
only these may be turned.

A sheet with tongue and groove gives one piece of its width: what is ripped off has lost the edge
that meets the row before. It is cut up by itself where the same stock is wanted wider than its
face.

Panes are nested where their stock comes in sheets: sawn, or scored and snapped, which loses
nothing. Those that come in none are ordered cut to size, and are not planned here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import assert_never

from pikepole_export.derive.cutting.nesting import (
    SheetPiece,
    SheetPlan,
    StockSheet,
    plan_sheets,
)
from pikepole_export.derive.cutting.sheets_at_hand import sheets_at_hand, with_own
from pikepole_model.building.decks import TONGUED, is_tongued
from pikepole_model.building.kind_rows import Cut
from pikepole_model.building.part import Building, Part
from pikepole_model.building.remaining import done_stages
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.buying import CENTS, find_price
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Sheet
from pikepole_model.units import MARK_MM


@dataclass(frozen=True, slots=True)
class StockPlan:
    """The sheets of one stock.

    Attributes:
        stock: The sheet, as it is in the catalogue.
        plan: Sheets and pieces, and how good the plan is.
        kerf_mm: What a cut takes, mm; 0 where it is scored and snapped.
        is_pane: Whether panes are cut from it.
        is_tongued: Whether it comes with tongue and groove: then its plan has its face alone.
    """

    stock: Sheet
    plan: SheetPlan
    kerf_mm: float
    is_pane: bool = False
    is_tongued: bool = False

    @property
    def edge(self) -> str:
        """What its long edges are where that is not plain: "tongue-and-groove"."""
        return TONGUED if self.is_tongued else ""

    @property
    def called(self) -> str:
        """What it is called in lists of what is cut."""
        return f"{self.stock.name} T&G" if self.is_tongued else self.stock.name

    @property
    def pieces(self) -> int:
        """How many pieces are cut."""
        return sum(len(sheet.placed) for sheet in self.plan.sheets)

    @property
    def cut_up_mm2(self) -> float:
        """Area of all the sheets, those at hand too."""
        return sum(sheet.stock.area_mm2 for sheet in self.plan.sheets)

    @property
    def bought(self) -> int:
        """How many sheets to buy."""
        return sum(not sheet.stock.is_own for sheet in self.plan.sheets)

    @property
    def at_hand(self) -> tuple[tuple[StockSheet, int], ...]:
        """How many sheets of each size come from the yard, the smallest first."""
        counted = Counter(sheet.stock for sheet in self.plan.sheets if sheet.stock.is_own)
        return tuple(sorted(counted.items(), key=lambda one: one[0].area_mm2))


def sheet_plans(building: Building, *, prove: bool = False) -> tuple[StockPlan, ...]:
    """A plan for each sheet stock, with the fewest sheets.

    Args:
        building: What is cut.
        prove: Whether to go on, for better plans or the proof that there are none.

    Raises:
        CutPlanError: A piece is larger than its sheet, or narrower than the saw blade; names it.
        SolverError: The solver gave no answer.
    """
    scene, done = building.scene, done_stages(building)
    alike: dict[Sheet, list[Part]] = {}
    for part in building.parts:
        sheet = sheet_of(scene, part)
        if sheet is not None:
            alike.setdefault(sheet, []).append(part)
    found: list[StockPlan | None] = []
    for sheet, parts in alike.items():
        *apart, rest = _by_edge(scene, sheet, parts)
        # What edges the sheets at hand have is not said: with others they are taken to be square.
        found += [_stock_plan(scene, sheet, some, done, prove, is_own=False) for some in apart]
        found.append(_stock_plan(scene, sheet, rest, done, prove, is_own=True))
    return tuple(plan for plan in found if plan)


def sheet_of(scene: Scene, part: Part) -> Sheet | None:
    """The sheet that a part is cut from; None where it is cut from none."""
    match part.kind.row.cut:
        case Cut.SHEET:
            return scene.sheet_stock(part.stock)
        case Cut.PANE:
            return scene.catalogue.find_pane(part.stock).sheet
        case Cut.BOARD | Cut.NOT:
            return None
        case _:
            assert_never(part.kind.row.cut)


def sheet_price(scene: Scene, sheet: Sheet) -> float | None:
    """What a sheet costs by the prices of the scene, in whole cents; None without one."""
    price = find_price(scene.price, sheet.name)
    if price is None:
        return None
    return round(price.cost({"pieces": 1, "area": sheet.width_mm * sheet.length_mm}), CENTS)


def _by_edge(scene: Scene, sheet: Sheet, parts: Sequence[Part]) -> list[list[Part]]:
    """The parts of a stock, those of sheets with tongue and groove apart where others are wider."""
    face_mm = sheet.row_mm(tongued=True) + TOLERANCE_MM
    tongued = [part for part in parts if is_tongued(scene, part.kind)]
    rest = [part for part in parts if not is_tongued(scene, part.kind)]
    if tongued and all(part.across_mm[1] <= face_mm for part in rest):
        return [[*parts]]
    return [some for some in (tongued, rest) if some]


def _stock_plan(
    scene: Scene,
    sheet: Sheet,
    parts: Sequence[Part],
    done: frozenset[int],
    prove: bool,
    *,
    is_own: bool,
) -> StockPlan | None:
    """A plan for what of some parts is not done, of sheets at hand too; None where all of it is."""
    tongued = {part.name for part in parts if is_tongued(scene, part.kind)}
    face_mm = sheet.row_mm(tongued=bool(tongued))
    is_pane = parts[0].kind.row.cut is Cut.PANE
    scored = is_pane and scene.catalogue.find_pane(sheet.name).scored
    kerf_mm = 0.0 if scored else scene.cutting.kerf
    # A sheet that costs nothing is planned by its area: it still has to be got.
    price = sheet_price(scene, sheet) or None
    pieces = [
        SheetPiece(
            part.name,
            part.across_mm[1],
            part.length_mm,
            part.kind.row.may_turn,
            part.stage,
            face_mm if part.name in tongued else None,
        )
        for part in parts
    ]
    stock = StockSheet(sheet.name, face_mm, sheet.length_mm, price)
    left = [piece for piece in pieces if piece.stage not in done]
    if not left:
        return None
    own = sheets_at_hand(scene, sheet, face_mm) if is_own else []

    def plan(some: Sequence[SheetPiece], of: StockSheet) -> SheetPlan:
        return plan_sheets(some, of, kerf_mm, MARK_MM[scene.units], prove=prove)

    best = plan(left, stock)
    if own:
        best = with_own(best, left, stock, own, plan)
    return StockPlan(sheet, best, kerf_mm, is_pane, bool(tongued))

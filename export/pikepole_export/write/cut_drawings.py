"""A drawing for each board and each sheet of the cut plans, to stand beside the saw.

    write_cut_drawings(boards, sheets, scene, folder) -> list[Path]

Boards that are cut alike share a drawing, which names them all, and so do sheets.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.lengths import Board
from pikepole_export.derive.cutting.nesting import CutSheet
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_export.files import make_folder, put
from pikepole_export.write._captions import slug
from pikepole_export.write._cut_plans import (
    CutPlan,
    Placed,
    SawCut,
    board_drawing,
    sheet_drawing,
)
from pikepole_model.scene.buying import Cutting
from pikepole_model.scene.schema import Scene

FOLDER = "drawings"
LEFT_OVER = "off-cut"

# Less is nothing to put aside: dust, and a rest thinner than the blade.
LEAST_LEFT_MM = 1.0


def write_cut_drawings(
    boards: Sequence[SectionPlan], sheets: Sequence[StockPlan], scene: Scene, folder: Path
) -> list[Path]:
    """Draw what comes out of every board and every sheet.

    Args:
        boards: A plan for each section and material.
        sheets: A plan for each stock.
        scene: For its units and its saw.
        folder: Where its output goes; the drawings come into a folder inside.

    Raises:
        OutputError: a file could not be written whole.
    """
    files: dict[str, bytes] = {}
    for plan in boards:
        for drawn in _boards(plan, scene):
            files[_name(drawn)] = board_drawing(drawn, scene.units)
    for stock in sheets:
        for drawn in _sheets(stock):
            files[_name(drawn)] = sheet_drawing(drawn, scene.units)
    if not files:
        return []
    place = make_folder(folder / FOLDER)
    return [put(place / f"{name}.svg", data) for name, data in files.items()]


def _name(drawn: CutPlan) -> str:
    return slug(f"{drawn.stock} {drawn.alike[0]}")


def _boards(plan: SectionPlan, scene: Scene) -> Iterator[CutPlan]:
    """The boards of a section, each way of cutting once, under the number of its first board."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for number, board in enumerate(plan.plan.boards, start=1):
        lengths = tuple(piece.length_mm for piece in board.pieces)
        alike.setdefault((board.stock, lengths), []).append(number)
    for numbers in alike.values():
        board = plan.plan.boards[numbers[0] - 1]
        placed, cuts = board_layout(board, plan.section.depth_mm, scene.cutting)
        yield CutPlan(
            stock=f"{plan.section.name}, {plan.material}",
            alike=tuple(f"board {number}" for number in numbers),
            size_mm=(board.stock.length_mm, plan.section.depth_mm),
            kerf_mm=scene.cutting.kerf,
            placed=placed,
            cuts=cuts,
        )


def board_layout(
    board: Board, width_mm: float, saw: Cutting
) -> tuple[tuple[Placed, ...], tuple[SawCut, ...]]:
    """Pieces one after the other from the left end, and the cuts between them."""
    placed: list[Placed] = []
    cuts: list[SawCut] = []

    def cut(at_mm: float) -> None:
        middle = at_mm + saw.kerf / 2
        cuts.append(SawCut(len(cuts) + 1, (middle, 0.0), (middle, width_mm)))

    if saw.end_trim:
        cut(saw.end_trim - saw.kerf)
    at_mm = saw.end_trim
    end_mm = board.stock.length_mm - saw.end_trim
    for piece in board.pieces:
        placed.append(Placed(piece.name, (at_mm, 0.0), (piece.length_mm, width_mm)))
        at_mm += piece.length_mm
        if board.stock.length_mm - at_mm > LEAST_LEFT_MM:
            cut(at_mm)
            at_mm += saw.kerf
    if end_mm - at_mm > LEAST_LEFT_MM:
        placed.append(Placed(LEFT_OVER, (at_mm, 0.0), (end_mm - at_mm, width_mm), is_offcut=True))
    return tuple(placed), tuple(cuts)


def _sheets(plan: StockPlan) -> Iterator[CutPlan]:
    """The sheets of a stock, each layout once, under the number of its first sheet."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for number, sheet in enumerate(plan.plan.sheets, start=1):
        sizes = tuple((p.x_mm, p.y_mm, p.width_mm, p.length_mm) for p in sheet.placed)
        alike.setdefault((sheet.stock, sizes), []).append(number)
    for numbers in alike.values():
        sheet = plan.plan.sheets[numbers[0] - 1]
        yield CutPlan(
            stock=plan.stock.name,
            alike=tuple(f"sheet {number}" for number in numbers),
            size_mm=(sheet.stock.length_mm, sheet.stock.width_mm),
            kerf_mm=plan.kerf_mm,
            placed=(
                *(
                    Placed(one.piece.name, (one.y_mm, one.x_mm), (one.length_mm, one.width_mm))
                    for one in sheet.placed
                ),
                *(
                    Placed(
                        LEFT_OVER,
                        (one.y_mm, one.x_mm),
                        (one.length_mm, one.width_mm),
                        is_offcut=True,
                    )
                    for one in sheet.offcuts
                ),
            ),
            cuts=tuple(sheet_cuts(sheet, plan.kerf_mm)),
            grain_along=None if plan.is_pane else True,
        )


def sheet_cuts(sheet: CutSheet, kerf_mm: float) -> Iterator[SawCut]:
    """The cuts of a sheet in their order, each through the panel that it parts.

    A panel is known by its corner and its sides, along the sheet's length and its width.
    """
    whole = (0.0, 0.0, sheet.stock.length_mm, sheet.stock.width_mm)
    panels: dict[int, tuple[float, float, float, float]] = {1: whole}
    for cut in sheet.cuts:
        x, y, a, b = panels[cut.panel]
        beyond = cut.at_mm + kerf_mm
        middle = cut.at_mm + kerf_mm / 2
        if cut.divides == "length":
            first, second = (x, y, cut.at_mm, b), (x + beyond, y, a - beyond, b)
            yield SawCut(cut.number, (x + middle, y), (x + middle, y + b))
        else:
            first, second = (x, y, a, cut.at_mm), (x, y + beyond, a, b - beyond)
            yield SawCut(cut.number, (x, y + middle), (x + a, y + middle))
        panels[cut.first] = first
        if cut.second is not None:
            panels[cut.second] = second

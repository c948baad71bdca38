"""A drawing for each board and each sheet of the cut plans, to stand beside the saw.

    write_cut_drawings(boards, sheets, building, folder) -> list[Path]
    cut_marks(boards, sheets, building) -> {"front wall stud 5": ("2x4-...-board-3", "board 3, b")}

Boards that are cut alike share a drawing, which names the pieces of each, and so do sheets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.lengths import Board
from pikepole_export.derive.cutting.marks import board_marks, rest_mm, sliver_mm
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_export.files.whole import distinct_slugs, make_folder, put, slug
from pikepole_export.write.drawings.cut_lists import letter
from pikepole_export.write.drawings.cut_plans import (
    CutPlan,
    Placed,
    SawCut,
    board_drawing,
    sheet_drawing,
)
from pikepole_export.write.drawings.nested import sheet_layout, sheet_notes
from pikepole_export.write.drawings.pattern_names import pattern_names
from pikepole_model.building.part import Building
from pikepole_model.scene.schema import Scene
from pikepole_model.units import MARK_MM, Units, format_length

FOLDER = "drawings"
LEFT_OVER = "off-cut"
LONG_POINTS = (
    "Lengths are long point to long point; ends, notches and profiles by the drawing named."
)
RIP_LAST = "Cut to length first, then rip to width."
NOT_SQUARED = (
    "Nothing is left to square an end: take a board whose ends are square, or a longer one."
)


def write_cut_drawings(
    boards: Sequence[SectionPlan], sheets: Sequence[StockPlan], building: Building, folder: Path
) -> list[Path]:
    """Draw what comes out of every board and every sheet.

    Args:
        boards: A plan for each section and material.
        sheets: A plan for each stock.
        building: For its shaped pieces, its units and its saw.
        folder: Where its output goes; the drawings come into a folder inside.

    Raises:
        OutputError: a file could not be written whole.
    """
    drawn = list(_drawn(boards, sheets, building))
    if not drawn:
        return []
    place = make_folder(folder / FOLDER)
    return [
        put(place / f"{stem}.svg", draw(one, building.scene.units)) for stem, one, draw in drawn
    ]


def cut_marks(
    boards: Sequence[SectionPlan], sheets: Sequence[StockPlan], building: Building
) -> dict[str, tuple[str, str]]:
    """For each piece by its name the drawing that it is on, and what it is called there.

    Args:
        boards: A plan for each section and material.
        sheets: A plan for each stock.
        building: For its shaped pieces, its units and its saw.
    """
    return {
        name: (stem, f"{label}, {letter(k)}")
        for stem, one, _ in _drawn(boards, sheets, building)
        for label, names in zip(one.alike, one.names, strict=True)
        for k, name in enumerate(names, start=1)
    }


def _drawn(
    boards: Sequence[SectionPlan], sheets: Sequence[StockPlan], building: Building
) -> Iterator[tuple[str, CutPlan, Callable[[CutPlan, Units], bytes]]]:
    """Every drawing: its name, what it shows, what draws it."""
    scene, shaped = building.scene, pattern_names(building)
    drawn = [
        *((one, board_drawing) for plan in boards for one in _boards(plan, scene, shaped)),
        *((one, sheet_drawing) for stock in sheets for one in _sheets(stock, scene, shaped)),
    ]
    stocks = dict.fromkeys(one.stock for one, _ in drawn)
    called = dict(zip(stocks, distinct_slugs(stocks), strict=True))
    for one, draw in drawn:
        yield f"{called[one.stock]}-{slug(one.alike[0])}", one, draw


def _boards(plan: SectionPlan, scene: Scene, shaped: Mapping[str, str]) -> Iterator[CutPlan]:
    """The boards of a section, each way of cutting once, under the number of its first board."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for number, board in enumerate(plan.plan.boards, start=1):
        work = tuple(
            (piece.length_mm, plan.ripped_mm.get(piece.name), shaped.get(piece.name))
            for piece in board.pieces
        )
        alike.setdefault((board.stock, work), []).append(number)
    for numbers in alike.values():
        boards = [plan.plan.boards[number - 1] for number in numbers]
        placed, cuts = board_layout(boards[0], plan, scene, shaped)
        yield CutPlan(
            job=scene.title,
            stock=f"{plan.section.name}, {plan.material}",
            thickness_mm=plan.section.breadth_mm,
            alike=tuple(f"board {number}" for number in numbers),
            names=tuple(tuple(piece.name for piece in board.pieces) for board in boards),
            size_mm=(boards[0].stock.length_mm, plan.section.depth_mm),
            kerf_mm=scene.cutting.kerf,
            placed=placed,
            cuts=cuts,
            notes=tuple(_board_notes(boards[0], plan, scene, shaped)),
        )


def board_layout(
    board: Board, plan: SectionPlan, scene: Scene, shaped: Mapping[str, str]
) -> tuple[tuple[Placed, ...], tuple[SawCut, ...]]:
    """Pieces one after the other from the left end, and the cuts between them.

    Args:
        board: A board of the plan.
        plan: What it belongs to.
        scene: For its units and its saw.
        shaped: The drawing that a piece is shaped by, by its name; of shaped pieces only.
    """
    saw, units, width_mm = scene.cutting, scene.units, plan.section.depth_mm
    placed: list[Placed] = []
    cuts: list[SawCut] = []

    def cut(at_mm: float, mark_mm: float) -> None:
        middle = at_mm + saw.kerf / 2
        place = format_length(mark_mm, units)
        cuts.append(SawCut(len(cuts) + 1, (middle, 0.0), (middle, width_mm), place))

    at_mm = trim_mm = board.trim_mm / 2
    if trim_mm:
        cut(trim_mm - saw.kerf, trim_mm - saw.kerf)
    is_cut_off = bool(rest_mm(board, saw.kerf)) and not sliver_mm(board, saw.kerf)
    lengths_mm = [piece.length_mm for piece in board.pieces]
    marks = board_marks(lengths_mm, trim_mm, saw.kerf, units)
    for piece, mark_mm in zip(board.pieces, marks, strict=True):
        note = ", ".join(_also(piece.name, plan, units, shaped))
        printed = format_length(piece.length_mm, units)
        size_mm = (piece.length_mm, width_mm)
        placed.append(Placed(piece.name, (at_mm, 0.0), size_mm, printed, note=note))
        at_mm += piece.length_mm
        if piece is not board.pieces[-1] or trim_mm or is_cut_off:
            cut(at_mm, mark_mm)
            at_mm += saw.kerf
    if board.offcut_mm >= MARK_MM[units] / 2:
        printed = format_length(board.offcut_mm, units, "down")
        size_mm = (board.offcut_mm, width_mm)
        placed.append(Placed(LEFT_OVER, (at_mm, 0.0), size_mm, printed, is_offcut=True))
    return tuple(placed), tuple(cuts)


def _also(name: str, plan: SectionPlan, units: Units, shaped: Mapping[str, str]) -> Iterator[str]:
    """What is done to a piece that is cut to its length."""
    if width_mm := plan.ripped_mm.get(name):
        yield f"rip to {format_length(width_mm, units)}"
    if drawing := shaped.get(name):
        yield f"by {drawing}"


def _board_notes(
    board: Board, plan: SectionPlan, scene: Scene, shaped: Mapping[str, str]
) -> Iterator[str]:
    """What is to be known before a board is cut."""
    if any(piece.name in plan.ripped_mm for piece in board.pieces):
        yield RIP_LAST
    if any(piece.name in shaped for piece in board.pieces):
        yield LONG_POINTS
    sliver = sliver_mm(board, scene.cutting.kerf)
    if sliver >= MARK_MM[scene.units] / 2:
        yield (
            f"Behind the last piece {format_length(sliver, scene.units)} is left, less than the "
            "saw takes: plane it off, or leave it where the gap at the joint allows."
        )
    if not board.trim_mm and not board.offcut_mm:
        yield NOT_SQUARED


def _sheets(plan: StockPlan, scene: Scene, shaped: Mapping[str, str]) -> Iterator[CutPlan]:
    """The sheets of a stock, each layout once, under the number of its first sheet."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for number, sheet in enumerate(plan.plan.sheets, start=1):
        work = tuple(
            (p.x_mm, p.y_mm, p.width_mm, p.length_mm, shaped.get(p.piece.name))
            for p in sheet.placed
        )
        alike.setdefault((sheet.stock, work), []).append(number)
    for numbers in alike.values():
        sheets = [plan.plan.sheets[number - 1] for number in numbers]
        placed, cuts = sheet_layout(sheets[0], plan.kerf_mm, scene.units, shaped)
        yield CutPlan(
            job=scene.title,
            stock=plan.stock.name,
            thickness_mm=plan.stock.thickness_mm,
            alike=tuple(f"sheet {number}" for number in numbers),
            names=tuple(tuple(one.piece.name for one in sheet.placed) for sheet in sheets),
            size_mm=(sheets[0].stock.length_mm, sheets[0].stock.width_mm),
            kerf_mm=plan.kerf_mm,
            placed=placed,
            cuts=cuts,
            notes=tuple(sheet_notes(sheets[0], plan, scene.units)),
            grain_along=None if plan.is_pane else True,
        )

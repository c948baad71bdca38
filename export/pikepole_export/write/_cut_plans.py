"""Drawings of what comes out of one board or one sheet, to stand beside the saw.

    board_drawing(plan, units) -> bytes     an SVG file
    sheet_drawing(plan, units) -> bytes     an SVG file

What is cut first is numbered 1. Places are measured from the left end and the lower edge of the
stock as it lies in the drawing, saw cuts included.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from pikepole_export.write._drafting import (
    GAP_MM,
    MARGIN_MM,
    PAPER,
    TEXT_MM,
    Draft,
    View,
    scale_to_fit,
)
from pikepole_export.write._svg import DOWN, UP, Point, Sheet, width_of, wrapped
from pikepole_export.write._title import BLOCK_MM, LINE_MM, SMALL_MM, Title, framed, together
from pikepole_model.units import Units, format_length

IN_ORDER = "Cut in the order of the numbers. Each cut takes its kerf out of what is left over."
SCORED = "Score and snap in the order of the numbers, each from edge to edge."
KEEP_RIGHT = "Marks from the left end: the saw keeps right of each."
# Where a board lies, and from there on down its list; where a sheet starts.
BOARD_MM, LIST_MM, SHEET_MM = 55.0, 84.0, 30.0
# Rows of the list that a page has room for, in each of its columns.
ROWS, COLUMNS = 18, 2


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece, or what is left over, on its stock.

    Attributes:
        name: What it is for; of what is left over: "off-cut".
        at_mm: Its lower left corner.
        size_mm: Along the stock, and across it.
        is_offcut: Whether it is left over.
    """

    name: str
    at_mm: Point
    size_mm: Point
    is_offcut: bool = False


@dataclass(frozen=True, slots=True)
class SawCut:
    """One straight cut of the saw, by the middle of its kerf.

    Attributes:
        order: From 1.
        start_mm: From.
        end_mm: To.
    """

    order: int
    start_mm: Point
    end_mm: Point


@dataclass(frozen=True, slots=True)
class CutPlan:
    """What comes out of one board or sheet.

    Attributes:
        stock: What it is called where it is bought.
        alike: All that are cut like this, by their numbers: "board 3", "board 5".
        size_mm: Length and width.
        kerf_mm: What a cut takes; 0 where the stock is scored and snapped.
        placed: Pieces and off-cuts.
        cuts: All cuts.
        grain_along: Whether the grain that matters runs along its length; None if none does.
    """

    stock: str
    alike: tuple[str, ...]
    size_mm: Point
    kerf_mm: float
    placed: tuple[Placed, ...]
    cuts: tuple[SawCut, ...]
    grain_along: bool | None = None


def board_drawing(plan: CutPlan, units: Units) -> bytes:
    """A board lying along the page, its cuts above it, its pieces listed below."""
    width, height = PAPER[units]
    scale = scale_to_fit(plan.size_mm, (width - 2 * MARGIN_MM - 24, 20.0))
    sheet = framed(units, _title(plan, scale, units))
    left, deep = (width - plan.size_mm[0] / scale) / 2, plan.size_mm[1] / scale
    view = View(scale, (left, BOARD_MM + deep))
    draft = Draft(sheet, (MARGIN_MM + 1, MARGIN_MM + 1, width - MARGIN_MM - 1, height - MARGIN_MM))
    _stock(draft, view, plan)
    sheet.text(KEEP_RIGHT, (MARGIN_MM + 3, MARGIN_MM + 5), TEXT_MM)
    cuts = sorted(plan.cuts, key=lambda cut: cut.start_mm[0])
    top = plan.size_mm[1]
    marks = [(view.at((0.0, top)), "0")]
    for cut in cuts:
        mark = cut.start_mm[0] - plan.kerf_mm / 2
        words = f"({cut.order})  {format_length(mark, units)}"
        marks.append((view.at((mark, top)), words))
    draft.running(marks, BOARD_MM - 7.0, up=True)
    for k, piece in enumerate(plan.placed, start=1):
        x, _ = view.at((piece.at_mm[0] + piece.size_mm[0] / 2, 0.0))
        y = BOARD_MM + deep + 5
        draft.note(_key(k), [(x, y), (x, y + 4), (x, y + 8)], bold=True)
    column = (width - 2 * MARGIN_MM) / COLUMNS
    spots = [
        (MARGIN_MM + 4 + column * (k // ROWS), LIST_MM + LINE_MM * (k % ROWS))
        for k in range(ROWS * COLUMNS)
    ]
    _list(sheet, plan, spots, column - 8, "cuts.csv", units)
    return sheet.to_bytes()


def sheet_drawing(plan: CutPlan, units: Units) -> bytes:
    """A sheet as it lies, the pieces named on it, the cuts numbered along them."""
    width, height = PAPER[units]
    list_mm = 86.0
    room = (
        width - 2 * MARGIN_MM - list_mm - 14,
        height - MARGIN_MM - BLOCK_MM - SHEET_MM - 8,
    )
    scale = scale_to_fit(plan.size_mm, room)
    sheet = framed(units, _title(plan, scale, units))
    origin = (MARGIN_MM + 8, SHEET_MM + plan.size_mm[1] / scale)
    view = View(scale, origin)
    draft = Draft(
        sheet,
        (MARGIN_MM + 1, MARGIN_MM + 1, width - MARGIN_MM - list_mm, height - MARGIN_MM - BLOCK_MM),
    )
    _stock(draft, view, plan)
    length, wide = (format_length(mm, units) for mm in plan.size_mm)
    corner = view.at(plan.size_mm)
    draft.dimension(view.at((0.0, plan.size_mm[1])), corner, (0.0, -1.0), length, start_mm=8.0)
    draft.dimension(view.at((plan.size_mm[0], 0.0)), corner, (1.0, 0.0), wide, start_mm=6.0)
    for cut in sorted(plan.cuts, key=lambda cut: cut.order):
        _number(draft, view, cut)
    for k, piece in enumerate(plan.placed, start=1):
        _name(draft, view, _key(k), piece, units)
    rows = int((height - 2 * MARGIN_MM - BLOCK_MM - 12) / LINE_MM)
    at = (width - MARGIN_MM - list_mm + 4, MARGIN_MM + 8)
    spots = [(at[0], at[1] + LINE_MM * k) for k in range(rows)]
    _list(sheet, plan, spots, list_mm - 8, "sheets.csv", units, both=True)
    if plan.grain_along is not None:
        way = "along the length" if plan.grain_along else "across the length"
        sheet.text(f"Grain runs {way}.", (MARGIN_MM + 3, MARGIN_MM + 5), TEXT_MM)
    return sheet.to_bytes()


def _title(plan: CutPlan, scale: int, units: Units) -> Title:
    size = " x ".join(format_length(mm, units) for mm in plan.size_mm)
    metric = units == "metric"
    kerf = f"kerf {f'{plan.kerf_mm:.1f} mm' if metric else format_length(plan.kerf_mm, units)}"
    names = tuple(piece.name for piece in plan.placed if not piece.is_offcut)
    how = IN_ORDER
    if not plan.kerf_mm:
        how, kerf = SCORED, "scored: no kerf"
    first, *others = plan.alike
    lines = (size, kerf, "; ".join(together(plan.alike))) if others else (size, kerf)
    name, count = f"{plan.stock}, {first}", f"{len(plan.alike)} cut like this"
    return Title(name, count, lines, "Out of it come", names, how, f"1:{scale}", scale)


def _stock(draft: Draft, view: View, plan: CutPlan) -> None:
    """The stock, what comes out of it, and the cuts as wide as the saw, where that can be seen."""
    length, width = plan.size_mm
    draft.sheet.area(view.all([(0, 0), (length, 0), (length, width), (0, width)]), "void", "stock")
    for piece in plan.placed:
        (x, y), (a, b) = piece.at_mm, piece.size_mm
        corners = view.all([(x, y), (x + a, y), (x + a, y + b), (x, y + b)])
        draft.sheet.area(corners, "void" if piece.is_offcut else "piece", piece.name)
    for cut in plan.cuts:
        line = view.all([cut.start_mm, cut.end_mm])
        draft.sheet.line(line, "dashed")
        draft.keep_off(line)


def _number(draft: Draft, view: View, cut: SawCut) -> None:
    """Its number on a cut, at an end of it or wherever along it there is room."""
    (a, b), (c, d) = view.at(cut.start_mm), view.at(cut.end_mm)
    down = TEXT_MM * (UP - DOWN) / 2
    places = [
        (a + (c - a) * part, b + (d - b) * part + down)
        for part in (0.04, 0.96, 0.5, 0.25, 0.75, *(k / 20 for k in range(1, 20)))
    ]
    draft.note(f"({cut.order})", places, bold=True)


def _name(draft: Draft, view: View, key: str, piece: Placed, units: Units) -> None:
    """A piece's name and size on it where they have room; its letter alone where not."""
    (x, y), (a, b) = piece.at_mm, piece.size_mm
    left, top = view.at((x, y + b))
    wide, high = a / view.scale - 2 * GAP_MM, b / view.scale - 2 * GAP_MM
    size = " x ".join(format_length(mm, units) for mm in piece.size_mm)
    for lines in ([f"{key}: {piece.name}", size], [f"{key}: {piece.name}"], [key]):
        rows = [row for line in lines for row in wrapped(line, SMALL_MM, wide)]
        for turned in (False, True):
            room = (high, wide) if turned else (wide, high)
            if turned:
                rows = [row for line in lines for row in wrapped(line, SMALL_MM, room[0])]
            fits = max(width_of(row, SMALL_MM) for row in rows) <= room[0]
            if (
                fits
                and LINE_MM * len(rows) <= room[1]
                and _write(
                    draft, rows, (left + a / view.scale / 2, top + b / view.scale / 2), turned
                )
            ):
                return
    # In the middle, or where else along a narrow one there is room.
    parts = [0.5, *(k / 20 for k in range(1, 20))]
    along = [(part, 0.5) if a > b else (0.5, part) for part in parts]
    places = [(left + u * a / view.scale, top + v * b / view.scale + 1) for u, v in along]
    draft.note(key, places, bold=True)


def _write(draft: Draft, rows: list[str], middle: Point, turned: bool) -> bool:
    """Rows about a place, if no lettering is there yet; whether they were written."""
    half = LINE_MM * (len(rows) - 1) / 2
    wide = max(width_of(row, SMALL_MM) for row in rows) / 2
    across, down = (half + 2.0, wide) if turned else (wide, half + 2.0)
    box = shapely.box(middle[0] - across, middle[1] - down, middle[0] + across, middle[1] + down)
    if any(box.intersects(other) for other in draft.sheet.boxes):
        return False
    for k, row in enumerate(rows):
        off = LINE_MM * k - half + SMALL_MM * (UP - DOWN) / 2
        at = (middle[0] + off, middle[1]) if turned else (middle[0], middle[1] + off)
        draft.sheet.text(row, at, SMALL_MM, anchor="middle", angle_deg=-90 if turned else 0)
    return True


def _list(
    sheet: Sheet,
    plan: CutPlan,
    spots: Sequence[Point],
    room: float,
    table: str,
    units: Units,
    *,
    both: bool = False,
) -> None:
    """All pieces by their letters, and where there are too many, which table has the rest."""
    many = len(plan.placed)
    shown = many if many <= len(spots) else len(spots) - 1
    for k, piece in enumerate(plan.placed[:shown]):
        _row(sheet, _key(k + 1), piece, spots[k], room, units, both=both)
    if shown < many:
        sheet.text(f"and {many - shown} more: see {table}", spots[shown], SMALL_MM)


def _row(
    sheet: Sheet,
    key: str,
    piece: Placed,
    at: Point,
    room: float,
    units: Units,
    *,
    both: bool = False,
) -> None:
    """A line of the list: letter, size, name, cut short where it is too long."""
    sizes = piece.size_mm if both else piece.size_mm[:1]
    size = " x ".join(format_length(mm, units) for mm in sizes)
    words = f"{size}  {piece.name}"
    while width_of(words, SMALL_MM) > room - 8 and " " in words:
        words = words.rpartition(" ")[0]
    sheet.text(key, at, SMALL_MM, bold=True)
    sheet.text(words, (at[0] + 8, at[1]), SMALL_MM)


def _key(number: int) -> str:
    """Letters in order: a to z, then aa, ab and so on."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("a") + rest) + letters
    return letters

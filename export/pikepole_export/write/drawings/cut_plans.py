"""Drawings of what comes out of one sheet, to stand beside the saw.

    sheet_item(plan, units) -> Item     a cell of a page
    foot_words(plans, units) -> what goes for all on a page

What is cut first is numbered 1. A sheet is cut from edge to edge of the panel in hand, and each cut
is measured from the left or the lower edge of that. Sizes are printed as a tape reads them, the
width before the length.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from math import dist

import shapely

from pikepole_export.derive.cutting.marks import kerf_words, letter, letters, numbered
from pikepole_export.derive.cutting.sheet_work import SHAVE
from pikepole_export.write.drawings.cells import (
    PAD_MM,
    ROW_MM,
    Item,
    celled,
    drawn_item,
    drawn_mm,
    room_of,
)
from pikepole_export.write.drawings.cut_lists import (
    Column,
    Row,
    left_out,
    put_rows,
)
from pikepole_export.write.drawings.drafting import GAP_MM, SCALES, TEXT_MM, Draft, View
from pikepole_export.write.drawings.svg import DOWN, UP, Point, Sheet, Size, width_of, wrapped
from pikepole_export.write.drawings.title import LINE_MM, SMALL_MM, Title, unbroken
from pikepole_model.units import INCH_MM, Units, format_length

IN_ORDER = (
    "Cut in the order of the numbers, each cut from edge to edge of the panel in hand and measured "
    "in it; the blade runs on the far side of the mark."
)
SCORED = "Score and snap in the order of the numbers, each from edge to edge: no kerf."
SHAVED = f"Chain lines: too much by no more than the saw takes; {SHAVE}."
# Where a sheet starts, and the room its dimensions take over it, right of it and above its list.
LEFT_MM, SHEET_MM, BESIDE_MM, BELOW_MM = 4.0, 9.0, 10.0, 5.0
COLUMN_MM, TOP_MM = 62.0, 5.0
LEAST_MM = 20.0  # for the figures over it and beside it
# On a page that is shared no sheet is drawn smaller, and what gives so few pieces no smaller than
# the other.
SMALLEST, SMALLEST_OF_FEW, FEW = 30, 40, 4


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece, or what is left over, on its stock.

    Attributes:
        name: What it is for; of what is left over: "off-cut".
        at_mm: Its lower left corner.
        size_mm: Along the stock, and across it.
        printed: Its size as people read it.
        is_offcut: Whether it is left over.
        note: What else is done to it: 'rip to 4-5/8"'.
    """

    name: str
    at_mm: Point
    size_mm: Point
    printed: str
    is_offcut: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class SawCut:
    """One straight cut of the saw, by the middle of its kerf.

    Attributes:
        order: From 1; None where less comes off than the blade takes: that is shaved.
        start_mm: From.
        end_mm: To.
        place: Where it is marked, as people read it.
        holds: Which of the placed are in the panel that it parts, from 1; of a sheet only.
    """

    order: int | None
    start_mm: Point
    end_mm: Point
    place: str
    holds: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class CutPlan:
    """What comes out of one sheet.

    Attributes:
        stock: What it is called where it is bought.
        thickness_mm: How thick it is.
        alike: All that are cut like this, by their numbers: "sheet 3", "sheet 5".
        names: What comes out of each of these, in the order of the pieces placed.
        size_mm: Length and width.
        kerf_mm: What a cut takes; 0 where the stock is scored and snapped.
        placed: Pieces and off-cuts; pieces come first.
        cuts: All cuts, and what is shaved.
        notes: What else to know of it.
        caution: What is to be minded with all of its stock.
        grain_along: Whether the grain that matters runs along its length; None if none does.
    """

    stock: str
    thickness_mm: float
    alike: tuple[str, ...]
    names: tuple[tuple[str, ...], ...]
    size_mm: Point
    kerf_mm: float
    placed: tuple[Placed, ...]
    cuts: tuple[SawCut, ...]
    notes: tuple[str, ...] = ()
    caution: str = ""
    grain_along: bool | None = None


def sheet_item(plan: CutPlan, units: Units) -> Item:
    """A sheet as it lies, in the smallest cell that has room for all that is said of it.

    Args:
        plan: What is cut of it.
        units: Measures are printed in.
    """
    across, down = room_of(units)
    sizes = [(across / 2, down / 2), (across, down / 2), (across, down)]
    if len(plan.placed) <= FEW:
        sizes.insert(0, (across / 3, down / 2))
    for size in sizes:
        # It holds all that is said of a sheet, no lettering over other lettering.
        if not _best(plan, size, units)[0] and (sheet := _drawn(plan, size, units)).is_clear:
            return drawn_item(_named(plan), sheet)
    return drawn_item(_named(plan), _drawn(plan, sizes[-1], units))


def _named(plan: CutPlan) -> str:
    return f"{plan.stock}, {plan.alike[0]}"


def _best(plan: CutPlan, size: Size, units: Units) -> tuple[int, int]:
    """How many rows have no place in a cell, at the largest scale that leaves out the fewest."""
    title, rows = _title(plan, 1, units), _rows(plan)
    width, down = size[0], drawn_mm(size, title)
    room = (width - 2 * LEFT_MM - BESIDE_MM, down - SHEET_MM)

    def missing(scale: int) -> int:
        return left_out(rows, *_columns(plan, scale, width, down))

    smallest = SMALLEST_OF_FEW if len(plan.placed) <= FEW else SMALLEST
    shared = size != room_of(units)
    scales = (
        scale
        for scale in SCALES
        if _fits(plan.size_mm, scale, room) and not (shared and scale > smallest)
    )
    found = ((missing(scale), scale) for scale in scales)
    return min(found, default=(len(rows) + 1, SCALES[-1]))


def _rows(plan: CutPlan) -> list[Row]:
    return [*_notes(plan), *_pieces(plan), *_cut_rows(plan)]


def _drawn(plan: CutPlan, size: Size, units: Units) -> Sheet:
    _, scale = _best(plan, size, units)
    sheet, down = celled(size, _title(plan, scale, units), units)
    view = View(scale, (LEFT_MM, SHEET_MM + plan.size_mm[1] / scale))
    right = view.at(plan.size_mm)[0] + BESIDE_MM
    draft = Draft(sheet, (1.0, 1.0, right, down))
    _stock(draft, view, plan)
    length, wide = (format_length(mm, units) for mm in plan.size_mm)
    corner = view.at(plan.size_mm)
    draft.dimension(view.at((0.0, plan.size_mm[1])), corner, (0.0, -1.0), length, start_mm=3.5)
    draft.dimension(view.at((plan.size_mm[0], 0.0)), corner, (1.0, 0.0), wide, start_mm=5.0)
    # A piece has less room for its letter than a cut for its number.
    for k, piece in enumerate(plan.placed, start=1):
        _name(draft, view, letter(k), piece)
    # So has a short cut than a long one.
    for cut in sorted(plan.cuts, key=lambda cut: dist(cut.start_mm, cut.end_mm)):
        _number(draft, view, cut)
    put_rows(sheet, _rows(plan), *_columns(plan, scale, size[0], down), "sheets.csv")
    return sheet


def _fits(size_mm: Point, scale: int, room: Point) -> bool:
    return size_mm[0] / scale <= room[0] and size_mm[1] / scale <= room[1]


def _columns(plan: CutPlan, scale: int, width: float, down: float) -> tuple[list[Column], float]:
    """Columns for lists beside a sheet of that scale, then under it; how wide their rows are."""
    drawn = max(plan.size_mm[0] / scale, LEAST_MM)
    all_columns = max(1, int((width - 2 * PAD_MM) / COLUMN_MM))
    wide = (width - 2 * PAD_MM) / all_columns
    beside = max(0, int((width - PAD_MM - (LEFT_MM + drawn + BESIDE_MM)) / wide))
    under = SHEET_MM + max(plan.size_mm[1] / scale, LEAST_MM) + BELOW_MM

    def lines(top: float) -> int:
        return max(0, int((down - top) / ROW_MM) + 1)

    def column(k: int, top: float) -> Column:
        return Column(PAD_MM + wide * k, top, lines(top))

    first = all_columns - beside
    columns = [
        *(column(k, TOP_MM) for k in range(first, all_columns)),
        *(column(k, under) for k in range(first)),
    ]
    return columns, wide - 3.0


def _title(plan: CutPlan, scale: int, units: Units) -> Title:
    length, width = (format_length(mm, units) for mm in plan.size_mm)
    size = f"{thickness(plan.thickness_mm, units)} x {width} x {length}"
    return Title(
        name=_named(plan),
        count=f"Make {len(plan.alike)}",
        lines=(size,),
        heading="",
        names=plan.alike if len(plan.alike) > 1 else (),
        practice="",
        scales=f"1:{scale}",
        scale=scale,
    )


def foot_words(plans: Sequence[CutPlan], units: Units) -> str:
    """What goes for all sheets on a page."""
    kerf_mm = plans[0].kerf_mm
    words = [SCORED]
    if kerf_mm:
        words = [f"{IN_ORDER} Kerf {kerf_words(kerf_mm, units)}."]
    if any(cut.order is None for plan in plans for cut in plan.cuts):
        words.append(SHAVED)
    grain = next((plan.grain_along for plan in plans if plan.grain_along is not None), None)
    if grain is not None:
        way = "along the length" if grain else "across the length"
        words.append(f"Grain runs {way}.")
    cautions = dict.fromkeys(plan.caution for plan in plans)
    return " ".join(filter(None, (*words, *cautions)))


def thickness(thickness_mm: float, units: Units) -> str:
    """A thickness, in inches to a thirty-second where it comes to one: `19/32"`."""
    thirty_seconds = round(thickness_mm / INCH_MM * 32)
    if units == "metric" or abs(thirty_seconds * INCH_MM / 32 - thickness_mm) > 0.05:
        return f"{thickness_mm:.1f}".removesuffix(".0") + " mm"
    whole, rest = divmod(Fraction(thirty_seconds, 32), 1)
    return "-".join(str(n) for n in (whole, rest) if n) + '"'


def _notes(plan: CutPlan) -> list[Row]:
    return [Row("", note) for note in plan.notes]


def _pieces(plan: CutPlan) -> list[Row]:
    """A row for each run of pieces alike; of several sheets alike, another for what each gives."""
    several = len(plan.alike) > 1
    rows = [Row("", "Pieces", bold=True)]

    def sort(one: tuple[int, Placed]) -> tuple[str, str, str]:
        stem = "" if several and not one[1].is_offcut else re.sub(r" \d+$", "", one[1].name)
        return one[1].printed, one[1].note, stem

    for (printed, note, stem), some in groupby(enumerate(plan.placed, start=1), key=sort):
        own = list(some)
        names = numbered(dict.fromkeys(one.name for _, one in own)) if stem else ""
        what = ", ".join(filter(None, (names, note)))
        rows.append(Row(letters(k for k, _ in own), f"{printed} {what}"))
    if several:
        for label, names in zip(plan.alike, plan.names, strict=True):
            each = (f"{letter(k)} {name}" for k, name in enumerate(names, start=1))
            rows.append(Row("", f"{label}: {', '.join(each)}"))
    return rows


def _cut_rows(plan: CutPlan) -> list[Row]:
    """A row for each cut of a sheet: its number, its place, and what its panel holds."""
    numbered = [cut for cut in plan.cuts if cut.order is not None]
    rows = [Row("", "Cuts", bold=True)] if numbered else []
    return [
        *rows,
        *(Row(str(cut.order), f"{cut.place}: {letters(cut.holds)}") for cut in numbered),
    ]


def _stock(draft: Draft, view: View, plan: CutPlan) -> None:
    """The stock, what comes out of it, and its cuts; what is shaved is a chain line."""
    length, width = plan.size_mm
    draft.sheet.area(view.all([(0, 0), (length, 0), (length, width), (0, width)]), "void", "stock")
    for piece in plan.placed:
        (x, y), (a, b) = piece.at_mm, piece.size_mm
        corners = view.all([(x, y), (x + a, y), (x + a, y + b), (x, y + b)])
        draft.sheet.area(corners, "void" if piece.is_offcut else "piece", piece.name)
    for cut in plan.cuts:
        line = view.all([cut.start_mm, cut.end_mm])
        draft.sheet.line(line, "chain" if cut.order is None else "dashed")
        draft.keep_off(line)


def _number(draft: Draft, view: View, cut: SawCut) -> None:
    """Its number on a cut, in its middle or wherever along it there is room."""
    if cut.order is None:
        return
    (a, b), (c, d) = view.at(cut.start_mm), view.at(cut.end_mm)
    down = TEXT_MM * (UP - DOWN) / 2
    places = [
        (a + (c - a) * part, b + (d - b) * part + down)
        for part in (0.5, 0.25, 0.75, 0.04, 0.96, *(k / 40 for k in range(1, 40)))
    ]
    draft.note(str(cut.order), places, bold=True)


def _name(draft: Draft, view: View, key: str, piece: Placed) -> None:
    """A piece's name and size on it where they have room; its letter alone where not."""
    (x, y), (a, b) = piece.at_mm, piece.size_mm
    left, top = view.at((x, y + b))
    size = a / view.scale, b / view.scale
    middle = (left + size[0] / 2, top + size[1] / 2)
    for lines in ([f"{key}: {piece.name}", piece.printed], [f"{key}: {piece.name}"]):
        for turned in (False, True):
            wide, high = (side - 2 * GAP_MM for side in (size[::-1] if turned else size))
            rows = [row for line in lines for row in wrapped(unbroken(line), SMALL_MM, wide)]
            fits = max(width_of(row, SMALL_MM) for row in rows) <= wide
            if fits and LINE_MM * len(rows) <= high and _write(draft, rows, middle, turned):
                return
    # In the middle, or where else on it there is room.
    down = TEXT_MM * (UP - DOWN) / 2
    parts = [0.5, *(k / 20 for k in range(1, 20))]
    across = [0.5, 0.25, 0.75]
    along = [(u, v) if a > b else (v, u) for v in across for u in parts]
    places = [(left + u * size[0], top + v * size[1] + down) for u, v in along]
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

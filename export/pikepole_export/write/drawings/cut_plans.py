"""Drawings of what comes out of one sheet, to stand beside the saw.

    sheet_drawing(plan, units) -> bytes     an SVG file

What is cut first is numbered 1. A sheet is cut from edge to edge of the panel in hand, and each cut
is measured from the left or the lower edge of that. Sizes are printed as a tape reads them, the
width before the length.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import dist

import shapely

from pikepole_export.write.drawings.cut_lists import (
    Column,
    Row,
    left_out,
    letter,
    letters,
    put_rows,
)
from pikepole_export.write.drawings.drafting import GAP_MM, MARGIN_MM, PAPER, TEXT_MM, Draft, View
from pikepole_export.write.drawings.svg import DOWN, UP, Point, width_of, wrapped
from pikepole_export.write.drawings.title import (
    BLOCK_MM,
    LINE_MM,
    SMALL_MM,
    Title,
    framed,
    unbroken,
)
from pikepole_model.units import INCH_MM, Units, format_length

IN_ORDER = (
    "Cut in the order of the numbers. The blade runs on the far side of each mark and takes its "
    "kerf out of what is left over."
)
WHOLE = "It is used whole: no cut is made to size."
SCORED = "Score and snap in the order of the numbers, each from edge to edge."
EDGE_TO_EDGE = "Every cut runs from edge to edge of the panel in hand and is measured in it."
# Where a sheet starts, and the room its dimensions take right of it and above its list.
SHEET_MM, BESIDE_MM, BELOW_MM = 30.0, 14.0, 9.0
COLUMN_MM = 64.0
# Those of ISO 5455:1979, an inch to the foot, 1:12, and some between: a board of
# 24 ft fills the page at 1:30.
SCALES = (1, 2, 5, 10, 12, 15, 20, 25, 30, 40, 50, 100, 200)


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
        job: What is built of it.
        stock: What it is called where it is bought.
        thickness_mm: How thick it is.
        alike: All that are cut like this, by their numbers: "sheet 3", "sheet 5".
        names: What comes out of each of these, in the order of the pieces placed.
        size_mm: Length and width.
        kerf_mm: What a cut takes; 0 where the stock is scored and snapped.
        placed: Pieces and off-cuts; pieces come first.
        cuts: All cuts, and what is shaved.
        notes: What else to know of it.
        grain_along: Whether the grain that matters runs along its length; None if none does.
    """

    job: str
    stock: str
    thickness_mm: float
    alike: tuple[str, ...]
    names: tuple[tuple[str, ...], ...]
    size_mm: Point
    kerf_mm: float
    placed: tuple[Placed, ...]
    cuts: tuple[SawCut, ...]
    notes: tuple[str, ...] = ()
    grain_along: bool | None = None


def sheet_drawing(plan: CutPlan, units: Units) -> bytes:
    """A sheet as it lies, the pieces named on it, the cuts numbered along them.

    It is drawn as large as leaves room for the lists beside and under it.
    """
    width, height = PAPER[units]
    rows = [*_notes(plan), *_pieces(plan), *_cut_rows(plan)]
    room = (width - 2 * MARGIN_MM - 8 - BESIDE_MM, height - MARGIN_MM - BLOCK_MM - SHEET_MM - 8)

    def missing(scale: int) -> int:
        return left_out(rows, _columns(plan.size_mm, scale, units), COLUMN_MM - 4)

    scales = [scale for scale in SCALES if _fits(plan.size_mm, scale, room)] or [SCALES[-1]]
    scale = min(scales, key=lambda scale: (missing(scale), scale))
    sheet = framed(units, _title(plan, scale, units))
    view = View(scale, (MARGIN_MM + 8, SHEET_MM + plan.size_mm[1] / scale))
    right = view.at(plan.size_mm)[0] + BESIDE_MM
    draft = Draft(sheet, (MARGIN_MM + 1, MARGIN_MM + 1, right, height - MARGIN_MM - BLOCK_MM))
    _stock(draft, view, plan)
    length, wide = (format_length(mm, units) for mm in plan.size_mm)
    corner = view.at(plan.size_mm)
    draft.dimension(view.at((0.0, plan.size_mm[1])), corner, (0.0, -1.0), length, start_mm=8.0)
    draft.dimension(view.at((plan.size_mm[0], 0.0)), corner, (1.0, 0.0), wide, start_mm=6.0)
    # A piece has less room for its letter than a cut for its number.
    for k, piece in enumerate(plan.placed, start=1):
        _name(draft, view, letter(k), piece)
    # So has a short cut than a long one.
    for cut in sorted(plan.cuts, key=lambda cut: dist(cut.start_mm, cut.end_mm)):
        _number(draft, view, cut)
    put_rows(sheet, rows, _columns(plan.size_mm, scale, units), COLUMN_MM - 4, "sheets.csv")
    if plan.grain_along is not None:
        way = "along the length" if plan.grain_along else "across the length"
        sheet.text(f"Grain runs {way}.", (MARGIN_MM + 3, MARGIN_MM + 5), TEXT_MM)
    return sheet.to_bytes()


def _fits(size_mm: Point, scale: int, room: Point) -> bool:
    return size_mm[0] / scale <= room[0] and size_mm[1] / scale <= room[1]


def _lines(start: float, height: float) -> int:
    """Lines of a list from a place on the page down to the title block."""
    return max(0, int((height - MARGIN_MM - BLOCK_MM - 2.0 - start) / LINE_MM) + 1)


def _columns(size_mm: Point, scale: int, units: Units) -> list[Column]:
    """Room for lists beside a sheet of that scale, then under it."""
    width, height = PAPER[units]
    end = width - MARGIN_MM - 1
    free = end - (MARGIN_MM + 8 + size_mm[0] / scale + BESIDE_MM)
    beside = int(free / COLUMN_MM)
    top, under = MARGIN_MM + 6, SHEET_MM + size_mm[1] / scale + BELOW_MM
    count = int((end - beside * COLUMN_MM - MARGIN_MM) / COLUMN_MM)
    return [
        *(Column(end - COLUMN_MM * k, top, _lines(top, height)) for k in range(beside, 0, -1)),
        *(
            Column(MARGIN_MM + 4 + COLUMN_MM * k, under, _lines(under, height))
            for k in range(count)
        ),
    ]


def _title(plan: CutPlan, scale: int, units: Units) -> Title:
    length, width = (format_length(mm, units) for mm in plan.size_mm)
    size = f"{thickness(plan.thickness_mm, units)} x {width} x {length}"
    metric = units == "metric"
    kerf = f"kerf {f'{plan.kerf_mm:.1f} mm' if metric else format_length(plan.kerf_mm, units)}"
    how = IN_ORDER if any(cut.order for cut in plan.cuts) else WHOLE
    if not plan.kerf_mm:
        how, kerf = SCORED, "scored: no kerf"
    first = plan.alike[0]
    heading, names = "Pieces", plan.names[0]
    if len(plan.alike) > 1:
        heading, names = f"{first.split(' ')[0].capitalize()}s cut like this", plan.alike
    return Title(
        name=f"{plan.stock}, {first}",
        count=f"Make {len(plan.alike)}",
        lines=(plan.job, size, kerf),
        heading=heading,
        names=names,
        practice=how,
        scales=f"1:{scale}",
        scale=scale,
    )


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
    """A row for each piece by its letter; of several alike, another for what each gives."""
    several = len(plan.alike) > 1
    rows = [Row("", "Pieces", bold=True)]
    for k, piece in enumerate(plan.placed, start=1):
        name = "" if several and not piece.is_offcut else piece.name
        what = ", ".join(filter(None, (name, piece.note)))
        rows.append(Row(letter(k), f"{piece.printed} {what}"))
    if several:
        for label, names in zip(plan.alike, plan.names, strict=True):
            each = (f"{letter(k)} {name}" for k, name in enumerate(names, start=1))
            rows.append(Row("", f"{label}: {', '.join(each)}"))
    return rows


def _cut_rows(plan: CutPlan) -> list[Row]:
    """A row for each cut of a sheet: its number, its place, and what its panel holds."""
    numbered = [cut for cut in plan.cuts if cut.order is not None]
    rows = [Row("", "Cuts", bold=True), Row("", EDGE_TO_EDGE)] if numbered else []
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

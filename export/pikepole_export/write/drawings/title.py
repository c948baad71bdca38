"""The words on a drawing: its frame and title block, and a scale bar."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from pikepole_export.derive.cutting.marks import together
from pikepole_export.graphics.lettering import NO_BREAK, shortened
from pikepole_export.write.drawings.drafting import MARGIN_MM, PAPER, PAPER_NAMES, TEXT_MM
from pikepole_export.write.drawings.svg import Point, Sheet, Size, width_of, wrapped
from pikepole_model.units import FOOT_MM, INCH_MM, Units, format_length

Framed = TypeVar("Framed", bound=Sheet)

BLOCK_MM = 32.0
LINE_MM = 4.2
SMALL_MM = 2.6
NAME_MM = 5.0

ONE_PATTERN = (
    "Mark every piece from this drawing, or from one pattern cut by it; never from the piece "
    "before: each would carry on the error of the last. Check against what stands before you cut."
)

# Lengths of scale bars, in mm of the real thing; one comes out 20 to 50 mm long on the sheet.
_BARS: dict[Units, tuple[float, ...]] = {
    "imperial": tuple(INCH_MM * n for n in (1, 2, 3, 6, 12, 24, 48, 96, 192, 480, 1200, 2400)),
    "metric": (20.0, 50.0, *(10.0**k * n for k in (2, 3, 4) for n in (1, 2, 5))),
}


@dataclass(frozen=True, slots=True)
class Title:
    """What the block says.

    Attributes:
        name: What the piece is called.
        count: How many: "Make 17".
        lines: The job, what it is made of, and what else there is to say in short.
        heading: Of the names: "Pieces".
        names: The parts that come of it.
        practice: How to work from it.
        scales: "1:20; details 1:5"; empty where nothing is drawn.
        scale: That of the scale bar.
    """

    name: str
    count: str
    lines: tuple[str, ...]
    heading: str
    names: tuple[str, ...]
    practice: str
    scales: str
    scale: float


def framed(units: Units, title: Title, make: Callable[[Size, str], Framed] = Sheet) -> Framed:
    """An empty sheet of the paper that goes with the units, with its frame and title block.

    Args:
        units: Of the paper.
        title: What the block says.
        make: Makes the sheet, of a size, mm, with a title.
    """
    width, height = PAPER[units]
    sheet = make((width, height), f"{title.name}, {title.count}")
    left, top, right, bottom = MARGIN_MM, MARGIN_MM, width - MARGIN_MM, height - MARGIN_MM
    over = bottom - BLOCK_MM
    columns = (left + 82.0, left + 172.0)
    sheet.line([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)], "wide")
    sheet.line([(left, over), (right, over)], "wide")
    for x in columns:
        sheet.line([(x, over), (x, bottom)])
    name_mm = min(NAME_MM, NAME_MM * 76.0 / width_of(title.name, NAME_MM, bold=True))
    sheet.text(title.name, (left + 3, over + 7), name_mm, bold=True)
    sheet.text(title.count, (left + 3, over + 13), 4.0, bold=True)
    _write(sheet, title.lines, (left + 3, over + 18.2), 76.0, 4)
    sheet.text(title.heading, (columns[0] + 3, over + 5), SMALL_MM)
    _write(sheet, ["; ".join(together(title.names))], (columns[0] + 3, over + 9.4), 84.0, 6)
    if title.scales:
        words = f"Scale {title.scales} on {PAPER_NAMES[units]}"
        sheet.text(words, (columns[1] + 3, over + 5), TEXT_MM)
        scale_bar(sheet, (columns[1] + 3, over + 9.5), title.scale, units)
    room = right - columns[1] - 6
    _write(sheet, [title.practice], (columns[1] + 3, over + 18.2), room, 4)
    return sheet


def _write(sheet: Sheet, lines: Iterable[str], at: Point, room: float, most: int) -> None:
    """Lines in a room, wrapped; one too many stands closer, more are cut short."""
    rows = [row for line in lines for row in wrapped(unbroken(line), SMALL_MM, room)]
    if len(rows) > most + 1:
        rest = " ".join(rows[most:])
        rows = [*rows[:most], shortened(rest, room, partial(width_of, size=SMALL_MM))]
    apart = 4.0 if len(rows) <= most else 4.0 * (most - 1) / most
    for k, row in enumerate(rows):
        sheet.text(row, (at[0], at[1] + apart * k), SMALL_MM)


def scale_bar(
    sheet: Sheet,
    at: Point,
    scale: float,
    units: Units,
    *,
    least_mm: float = 20.0,
    upright: bool = False,
) -> None:
    """A bar to check the print against, its left end at a place, at least so long on it, mm.

    Args:
        sheet: Where it goes.
        at: Its left end, mm.
        scale: How many mm of the piece to 1 mm on the sheet.
        units: It is divided in.
        least_mm: It is at least so long on the sheet.
        upright: Whether it runs up from there: a printer may stretch one way alone.
    """
    bars = _BARS[units]
    bar = next((mm for mm in bars if mm / scale >= least_mm), bars[-1])
    long, high = bar / scale, 1.6
    for k in range(2):
        a, b = long * k / 2, long * (k + 1) / 2
        corners = [(a, 0.0), (b, 0.0), (b, high), (a, high)]
        sheet.area(
            [(at[0] + v, at[1] - u) if upright else (at[0] + u, at[1] + v) for u, v in corners],
            "void" if k else "fill",
        )
    words = format_length(bar, units)
    if units == "imperial" and bar >= 12 * INCH_MM:
        words = f"{bar / FOOT_MM:.0f} ft"
    if upright:
        end = (at[0] + high, at[1] - long - 1.5)
        sheet.text(words, end, SMALL_MM, angle_deg=-90)
    else:
        sheet.text(words, (at[0] + long + 1.5, at[1] + high), SMALL_MM)


def unbroken(words: str) -> str:
    """Words that are wrapped neither inside a measure nor between a name and its first number."""
    return re.sub(r"(?<!,) (?=\d|mm\b)", NO_BREAK, words)

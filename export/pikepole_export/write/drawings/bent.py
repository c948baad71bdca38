"""The drawing of a bend: the profile, its legs and angles, its girth, how many of each length.

bent_profile(bend, called, lap_mm, units) -> bytes     an SVG file
"""

from __future__ import annotations

import math

from pikepole_export.derive.measures.bends import Bend
from pikepole_export.write.drawings.drafting import (
    MARGIN_MM,
    PAPER,
    TEXT_MM,
    Draft,
    View,
    scale_to_fit,
)
from pikepole_export.write.drawings.svg import UP, Point, width_of, wrapped
from pikepole_export.write.drawings.title import BLOCK_MM, LINE_MM, SMALL_MM, Title, framed
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.stock.sheet_metal import parallel
from pikepole_model.units import Units, format_length

TABLE_MM = 92.0
AROUND_MM = 26.0
# How far off the metal the line that marks its weather side is drawn.
DASHED_MM = 1.3

FROM_THE_GIRTH = (
    "Bends are drawn sharp and the girth is the sum of the legs as printed: whoever bends it "
    "allows for the radius of the brake."
)

# Common practice, no source.
SHELF_FALLS = (
    "The shelf is drawn level: bend it to fall outwards, about 5°, with 95° at both bends."
)
TURNED_UP = (
    "Turn the shelf up at both ends, so that water leaves at the front: what is turned up is in "
    "the lengths."
)


def bent_profile(bend: Bend, called: str, lap_mm: float, units: Units) -> bytes:
    """A profile to scale on one sheet of paper.

    Args:
        bend: What is bent.
        called: The name of the drawing.
        lap_mm: How far a length laps the one before it in a run, mm.
        units: Of the building, which decide the paper.
    """
    width, height = PAPER[units]
    points = [*bend.weather, *bend.back]
    low = (min(a for a, _ in points), min(b for _, b in points))
    size = (max(a for a, _ in points) - low[0], max(b for _, b in points) - low[1])
    room = (
        width - 2 * MARGIN_MM - TABLE_MM - 2 * AROUND_MM,
        height - 2 * MARGIN_MM - BLOCK_MM - 2 * AROUND_MM,
    )
    scale = scale_to_fit(size, room)
    girth = format_length(bend.girth_mm(units), units)
    lines = (f"{bend.stock}, {bend.thickness_mm:.2f} mm thick", f"girth {girth}")
    count = f"Make {len(bend.names)}"
    title = Title(
        called, count, lines, "Profile of", bend.names, FROM_THE_GIRTH, f"1:{scale}", scale
    )
    sheet = framed(units, title)
    across, down = width - MARGIN_MM - TABLE_MM, height - MARGIN_MM - BLOCK_MM
    middle = ((MARGIN_MM + across) / 2, (MARGIN_MM + down) / 2)
    origin = (
        middle[0] - (low[0] + size[0] / 2) / scale,
        middle[1] + (low[1] + size[1] / 2) / scale,
    )
    view = View(scale, origin)
    draft = Draft(sheet, (MARGIN_MM + 1, MARGIN_MM + 1, across, down))
    sheet.area(view.all([*bend.weather, *reversed(bend.back)]), "fill", bend.kind)
    draft.keep_off(view.all(bend.weather))
    dashed = parallel(view.all(bend.weather), -DASHED_MM * _left(view, bend))
    sheet.line(dashed, "dashed")
    draft.keep_off(dashed)
    for k in range(len(bend.legs_mm)):
        a, b = view.at(bend.weather[k]), view.at(bend.weather[k + 1])
        out = _outwards(view.at(bend.back[k]), a)
        name = f"{'abcdefgh'[k]} {format_length(bend.legs_mm[k], units)}"
        if any(angle > 180 for angle in bend.angles_deg[max(0, k - 1) : k + 1]):
            # Extension lines out of an inner corner would run through its other leg's.
            draft.note(name, _beside(a, b, out, name))
        else:
            draft.dimension(a, b, out, name, start_mm=7.0)
    for k, angle in enumerate(bend.angles_deg, start=1):
        draft.note(
            f"{min(angle, 360 - angle):.0f}°", _between(view.all(bend.weather[k - 1 : k + 2]))
        )
    _table(draft, bend, (across + 2, MARGIN_MM + 8), lap_mm, units)
    return sheet.to_bytes()


def _between(corner: list[Point]) -> list[Point]:
    """Places for the angle between two legs, the likeliest first, on the sheet, mm."""
    (a, b), (x, y), (c, d) = corner
    one, other = math.hypot(a - x, b - y), math.hypot(c - x, d - y)
    middle = math.atan2((b - y) / one + (d - y) / other, (a - x) / one + (c - x) / other)
    return [
        (x + out * math.cos(middle + turn), y + out * math.sin(middle + turn) + TEXT_MM * UP / 2)
        for out in (7.0, 9.0, 12.0, 16.0, 20.0)
        for turn in (0.0, -0.3, 0.3, -0.5, 0.5)
    ]


def _beside(a: Point, b: Point, out: Point, words: str) -> list[Point]:
    """Places for lettering beside a leg on its weather side, the likeliest first, on the sheet."""
    length = math.hypot(*out)
    x, y = out[0] / length, out[1] / length
    half = width_of(words, TEXT_MM) / 2
    return [
        (a[0] + (b[0] - a[0]) * t + x * off, a[1] + (b[1] - a[1]) * t + y * off + TEXT_MM * UP / 2)
        for clear in (DASHED_MM + 2.5, DASHED_MM + 5.0, DASHED_MM + 8.0)
        for t in (0.5, 0.4, 0.6, 0.3, 0.7)
        for off in [clear + abs(x) * half]
    ]


def _left(view: View, bend: Bend) -> int:
    """+1 where the metal lies on the left of the weather face's line on the sheet, else -1."""
    (a, b), (c, d), (e, f) = view.all([*bend.weather[:2], bend.back[0]])
    return 1 if (c - a) * (f - b) - (d - b) * (e - a) > 0 else -1


def _outwards(back: Point, weather: Point) -> Point:
    return (weather[0] - back[0], weather[1] - back[1])


def _table(draft: Draft, bend: Bend, at: Point, lap_mm: float, units: Units) -> None:
    sheet = draft.sheet
    columns = (at[0], at[0] + 16.0, at[0] + 36.0)
    y = at[1]

    def row(*words: str, bold: bool = False) -> None:
        nonlocal y
        for x, word in zip(columns, words, strict=False):
            sheet.text(word, (x, y), TEXT_MM, bold=bold)
        y += LINE_MM * 1.1

    row("leg", "length", "lies", bold=True)
    for name, leg, lies in zip("abcdefgh", bend.legs_mm, bend.lies, strict=False):
        first, *rest = wrapped(lies, TEXT_MM, at[0] + TABLE_MM - 4 - columns[2])
        row(name, format_length(leg, units), first)
        for more in rest:
            row("", "", more)
    row("girth", format_length(bend.girth_mm(units), units), bold=True)
    row()
    row("pieces", "length", bold=True)
    for length, many in bend.lengths:
        row(str(many), format_length(length, units))
    row()
    for note in _notes(bend, lap_mm, units):
        for words in wrapped(note, SMALL_MM, TABLE_MM - 4):
            sheet.text(words, (at[0], y), SMALL_MM)
            y += LINE_MM
        y += LINE_MM * 0.3


def _notes(bend: Bend, lap_mm: float, units: Units) -> list[str]:
    notes = [
        "Dashed: the weather side, painted or coated. Legs are measured on it.",
        "Angles are between the legs.",
        "Edges are raw: no hem is drawn, and none is in the girth.",
    ]
    if bend.kind.family is Family.WALL_METAL:
        notes.append(SHELF_FALLS)
    if bend.kind is Kind.HEAD_FLASHING:
        notes.append(TURNED_UP)
    else:
        lap = format_length(lap_mm, units)
        notes.append(f"Where lengths meet, one laps the other by {lap}: that is in the lengths.")
    if bend.trimmed:
        notes.append(f"{bend.trimmed} of them are cut to fit at one end when put up.")
    return notes

"""The drawing of a bend: the profile, its legs and angles, its girth, how many of each length.

bent_item(bend, called, lap_mm, units) -> Item     a cell of a page
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pikepole_export.derive.measures.bends import Bend
from pikepole_export.write.drawings.cells import (
    PAD_MM,
    ROW_MM,
    Item,
    celled,
    drawn_mm,
    room_of,
)
from pikepole_export.write.drawings.drafting import TEXT_MM, Draft, View, scale_to_fit
from pikepole_export.write.drawings.svg import UP, Point, Sheet, Size, width_of, wrapped
from pikepole_export.write.drawings.title import LINE_MM, SMALL_MM, Title
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.stock.sheet_metal import parallel
from pikepole_model.units import Units, format_length

# What is said stands beside the profile.
_COLUMNS = (0.0, 12.0, 28.0, 33.0, 45.0)
PROFILE_MM, AROUND_MM = 62.0, 15.0
# How far off the metal the line that marks its weather side is drawn.
DASHED_MM = 1.3

OF_ALL_BENDS = (
    "Dashed: the weather side, painted or coated; legs are measured on it, angles are between the "
    "legs. Bends are drawn sharp and the girth is the sum of the legs: whoever bends it allows for "
    "the radius of the brake. Edges are raw: no hem is drawn, and none is in the girth."
)

SHELF_FALLS = "The shelf falls outwards: bend {angles}, from leg a on."
TURNED_UP = (
    "Turn the shelf up at both ends, so that water leaves at the front: what is turned up is in "
    "the lengths."
)


def bent_item(bend: Bend, called: str, lap_mm: float, units: Units) -> Item:
    """A profile to scale in a cell of a page.

    Args:
        bend: What is bent.
        called: The name of the drawing.
        lap_mm: How far a length laps the one before it in a run, mm.
        units: Of the building, which decide the paper.
    """
    across, down = room_of(units)
    sizes = [(across / 2, down / 2), (across / 2, down)]
    rows = list(_rows(bend, lap_mm, across / 2 - PROFILE_MM - PAD_MM, units))
    high = sum(row.high_mm for row in rows) + 6.0
    title = _title(bend, called, 1, units)
    size = next((one for one in sizes if high <= drawn_mm(one, title)), sizes[-1])
    return Item(called, size, lambda: _drawn(bend, called, rows, size, units))


def _drawn(bend: Bend, called: str, rows: Sequence[_Row], size: Size, units: Units) -> Sheet:
    points = [*bend.weather, *bend.back]
    low = (min(a for a, _ in points), min(b for _, b in points))
    extent = (max(a for a, _ in points) - low[0], max(b for _, b in points) - low[1])
    under = drawn_mm(size, _title(bend, called, 1, units))
    scale = scale_to_fit(extent, (PROFILE_MM - 2 * AROUND_MM, under - 2 * AROUND_MM))
    sheet, _ = celled(size, _title(bend, called, scale, units), units)
    origin = (
        PROFILE_MM / 2 - (low[0] + extent[0] / 2) / scale,
        under / 2 + (low[1] + extent[1] / 2) / scale,
    )
    view = View(scale, origin)
    draft = Draft(sheet, (1.0, 1.0, PROFILE_MM, under))
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
        draft.note(f"{_inside(angle)}°", _between(view.all(bend.weather[k - 1 : k + 2])))
    y = 6.0
    for row in rows:
        for left, words in zip(_COLUMNS, row.words, strict=False):
            sheet.text(words, (PROFILE_MM + left, y), row.size, bold=row.bold)
        y += row.high_mm
    return sheet


def _inside(angle_deg: float) -> int:
    """An angle between two legs as it is drawn: the lesser of the two."""
    return round(min(angle_deg, 360 - angle_deg))


def _title(bend: Bend, called: str, scale: float, units: Units) -> Title:
    stock = f"{bend.stock}, {bend.thickness_mm:.2f} mm thick"
    girth = f"girth {format_length(bend.girth_mm(units), units)}"
    lines, scales = (f"{stock}, {girth}",), f"1:{scale:g}"
    return Title(called, f"Make {len(bend.names)}", lines, "", bend.names, "", scales, scale)


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
        for clear in (DASHED_MM + more for more in (2.5, 5.0, 8.0, 12.0, 16.0))
        for t in (0.5, 0.4, 0.6, 0.3, 0.7)
        for off in [clear + abs(x) * half]
    ]


def _left(view: View, bend: Bend) -> int:
    """+1 where the metal lies on the left of the weather face's line on the sheet, else -1."""
    (a, b), (c, d), (e, f) = view.all([*bend.weather[:2], bend.back[0]])
    return 1 if (c - a) * (f - b) - (d - b) * (e - a) > 0 else -1


def _outwards(back: Point, weather: Point) -> Point:
    return (weather[0] - back[0], weather[1] - back[1])


@dataclass(frozen=True, slots=True)
class _Row:
    """A line under a profile."""

    words: tuple[str, ...]
    size: float = TEXT_MM
    bold: bool = False

    @property
    def high_mm(self) -> float:
        return ROW_MM if self.size == SMALL_MM else LINE_MM


def _rows(bend: Bend, lap_mm: float, room: float, units: Units) -> Iterator[_Row]:
    """Its legs, its lengths, and what else there is to say."""
    yield _Row(("leg", "length", "lies"), bold=True)
    for name, leg, lies in zip("abcdefgh", bend.legs_mm, bend.lies, strict=False):
        first, *rest = wrapped(lies, TEXT_MM, room - _COLUMNS[2])
        yield _Row((name, format_length(leg, units), first))
        for more in rest:
            yield _Row(("", "", more))
    yield _Row(("girth", format_length(bend.girth_mm(units), units)), bold=True)
    # Two to a row where there are several.
    lengths = [(str(many), format_length(length, units)) for length, many in bend.lengths]
    beside = 1 if len(lengths) <= 2 else 2
    heads = [("pieces", "length")] * beside
    for k in range(-beside, len(lengths), beside):
        row = lengths[k : k + beside] if k >= 0 else heads
        yield _Row(tuple(words for one in row for words in (*one, ""))[:5], bold=k < 0)
    for note in _notes(bend, lap_mm, units):
        for words in wrapped(note, SMALL_MM, room):
            yield _Row((words,), SMALL_MM)


def _notes(bend: Bend, lap_mm: float, units: Units) -> list[str]:
    notes: list[str] = []
    if bend.kind.family is Family.WALL_METAL:
        angles = " and ".join(f"{_inside(angle)}°" for angle in bend.angles_deg)
        notes.append(SHELF_FALLS.format(angles=angles))
    if bend.kind is Kind.HEAD_FLASHING:
        notes.append(TURNED_UP)
    else:
        lap = format_length(lap_mm, units)
        notes.append(f"Where lengths meet, one laps the other by {lap}: that is in the lengths.")
    if bend.trimmed:
        notes.append(f"{bend.trimmed} of them are cut to fit at one end when put up.")
    return notes

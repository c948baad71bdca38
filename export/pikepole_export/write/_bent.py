"""The drawing of a bend: the profile, its legs and angles, its girth, how many of each length.

bent_profile(bend, units) -> bytes     an SVG file
"""

from __future__ import annotations

import math

from pikepole_export.derive.bends import Bend
from pikepole_export.write._drafting import MARGIN_MM, PAPER, TEXT_MM, Draft, View, scale_to_fit
from pikepole_export.write._svg import UP, Point
from pikepole_export.write._title import BLOCK_MM, LINE_MM, SMALL_MM, Title, framed
from pikepole_model.sheet_metal import parallel
from pikepole_model.units import Units, format_length

TABLE_MM = 92.0
AROUND_MM = 26.0
# How far off the metal the line that marks its weather side is drawn.
DASHED_MM = 1.3

FROM_THE_GIRTH = (
    "Bends are drawn sharp and the girth is that of the middle of the metal: whoever bends it "
    "allows for the radius of the brake."
)


def bent_profile(bend: Bend, units: Units) -> bytes:
    """A profile to scale on one sheet of paper."""
    width, height = PAPER[units]
    points = [*bend.weather, *bend.back]
    low = (min(a for a, _ in points), min(b for _, b in points))
    size = (max(a for a, _ in points) - low[0], max(b for _, b in points) - low[1])
    room = (
        width - 2 * MARGIN_MM - TABLE_MM - 2 * AROUND_MM,
        height - 2 * MARGIN_MM - BLOCK_MM - 2 * AROUND_MM,
    )
    scale = scale_to_fit(size, room)
    girth = format_length(bend.girth_mm, units)
    lines = (f"{bend.stock}, {bend.thickness_mm:.2f} mm thick", f"girth {girth}")
    count = f"bend {len(bend.names)}"
    title = Title(
        bend.kind, count, lines, "Profile of", bend.names, FROM_THE_GIRTH, f"1:{scale}", scale
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
    for k in range(len(bend.legs_mm)):
        a, b = view.at(bend.weather[k]), view.at(bend.weather[k + 1])
        out = _outwards(view.at(bend.back[k]), a)
        name = f"{'abcdefgh'[k]} {format_length(bend.legs_mm[k], units)}"
        draft.dimension(a, b, out, name, start_mm=7.0, either_side=True)
    for k, angle in enumerate(bend.angles_deg, start=1):
        draft.note(
            f"{min(angle, 360 - angle):.0f}°", _between(view.all(bend.weather[k - 1 : k + 2]))
        )
    _table(draft, bend, (across + 2, MARGIN_MM + 8), units)
    return sheet.to_bytes()


def _between(corner: list[Point]) -> list[Point]:
    """Places for the angle between two legs, the likeliest first, on the sheet, mm."""
    (a, b), (x, y), (c, d) = corner
    one, other = math.hypot(a - x, b - y), math.hypot(c - x, d - y)
    middle = math.atan2((b - y) / one + (d - y) / other, (a - x) / one + (c - x) / other)
    return [
        (x + out * math.cos(middle + turn), y + out * math.sin(middle + turn) + TEXT_MM * UP / 2)
        for out in (7.0, 9.0, 12.0, 16.0)
        for turn in (0.0, -0.3, 0.3, -0.5, 0.5)
    ]


def _left(view: View, bend: Bend) -> int:
    """+1 where the metal lies on the left of the weather face's line on the sheet, else -1."""
    (a, b), (c, d), (e, f) = view.all([*bend.weather[:2], bend.back[0]])
    return 1 if (c - a) * (f - b) - (d - b) * (e - a) > 0 else -1


def _outwards(back: Point, weather: Point) -> Point:
    return (weather[0] - back[0], weather[1] - back[1])


def _table(draft: Draft, bend: Bend, at: Point, units: Units) -> None:
    sheet = draft.sheet
    columns = (at[0], at[0] + 24.0, at[0] + 56.0)
    rows: list[tuple[str, ...]] = [("leg", "weather face", "other face")]
    for name, one, other in zip("abcdefgh", bend.legs_mm, bend.back_legs_mm, strict=False):
        rows.append((name, format_length(one, units), format_length(other, units)))
    rows += [
        ("girth", format_length(bend.girth_mm, units)),
        (),
        ("pieces", "length"),
        *((str(many), format_length(length, units)) for length, many in bend.lengths),
        (),
    ]
    for k, row in enumerate(rows):
        for x, words in zip(columns, row, strict=False):
            y, bold = at[1] + LINE_MM * 1.1 * k, row[0] in ("leg", "pieces", "girth")
            sheet.text(words, (x, y), TEXT_MM, bold=bold)
    y = at[1] + LINE_MM * 1.1 * len(rows)
    notes = ["Dashed: the weather side, for paint or coating.", "Legs are measured on that face."]
    if bend.trimmed:
        notes.append(f"{bend.trimmed} of them are cut to fit at one end when put up.")
    notes += ["Angles are between the legs."]
    for k, words in enumerate(notes):
        sheet.text(words, (at[0], y + LINE_MM * k), SMALL_MM)

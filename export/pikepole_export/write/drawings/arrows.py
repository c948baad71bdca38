"""Arrows on the drawing of a flat piece: how its grain runs, and which way is up.

grain(draft, along)
which_way_up(draft, corner, words)
up_mm(words) -> the room that takes
"""

from __future__ import annotations

import math
from typing import Literal

from pikepole_export.write.drawings.drafting import TEXT_MM, Draft
from pikepole_export.write.drawings.svg import Point, width_of

# An arrow: how long it is, its head, and half the width of that.
ARROW_MM, HEAD_MM, HALF_MM = 10.0, 3.0, 1.1
APART_MM, CLEAR_MM = 2.5, 1.5  # words: from its middle, and of a border


def grain(draft: Draft, along: Literal["x", "y"]) -> None:
    """In the upper left corner an arrow both ways, as the grain runs."""
    half = ARROW_MM / 2
    step = (half, 0.0) if along == "x" else (0.0, half)
    middle = (2.0 + max(HALF_MM, step[0]), 2.0 + max(HALF_MM, step[1]))
    for way in (-1, 1):
        _arrow(draft, middle, (middle[0] + way * step[0], middle[1] + way * step[1]))
    draft.sheet.text("grain", (middle[0] + step[0] + 2.5, middle[1] + 1.0), TEXT_MM)


def which_way_up(draft: Draft, corner: Point, words: str) -> None:
    """An arrow over the blank's upper right corner, and what it points to."""
    x, y = corner[0] - HALF_MM, corner[1] - 3.0
    _arrow(draft, (x, y), (x, y - 6.0))
    draft.keep_off([(x, y), (x, y - 6.0)])
    draft.sheet.text(words, (x - APART_MM, y - 2.0), TEXT_MM, anchor="end", bold=True)


def up_mm(words: str | None) -> float:
    """What an arrow up and its words take left of the corner that they are over, mm."""
    if not words:
        return 0.0
    return HALF_MM + APART_MM + width_of(words, TEXT_MM, bold=True) + CLEAR_MM


def _arrow(draft: Draft, tail: Point, head: Point) -> None:
    """From tail to head, on the sheet, mm."""
    length = math.dist(tail, head)
    along = ((head[0] - tail[0]) / length, (head[1] - tail[1]) / length)
    neck = (head[0] - along[0] * HEAD_MM, head[1] - along[1] * HEAD_MM)
    side = (-along[1] * HALF_MM, along[0] * HALF_MM)
    draft.sheet.line([tail, neck], "wide")
    barbs = [(neck[0] + s * side[0], neck[1] + s * side[1]) for s in (1, -1)]
    draft.sheet.area([head, *barbs], "fill")

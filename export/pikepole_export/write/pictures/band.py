"""The caption of a stage picture, in a band below it."""

from __future__ import annotations

from typing import Any

from PIL import ImageDraw

from pikepole_export.graphics.lettering import font_of, shortened

# Printed 6.5 in wide, 1600 pixels make 28 of them about 8 points.
SMALL_PX = 28
BODY_PX = 31
NAME_PX = 50
SIDE_PX = 40
COLUMNS_PX = (930, 1270)
TEXT = (20, 20, 20)
RULE = (150, 150, 150)
QUIET = (95, 95, 95)


def write_caption(
    write: ImageDraw.ImageDraw, caption: dict[str, Any], band: tuple[int, int, int, int]
) -> None:
    """Write a caption into its band.

    Args:
        write: What it is written on.
        caption: Its words, as `captions` gives them.
        band: Left, top, right and bottom of the band, px.
    """
    left, top, right, _ = band[0] + SIDE_PX, band[1], band[2] - SIDE_PX, band[3]
    write.line([(left, top), (right, top)], fill=RULE, width=2)
    starts = [left, *COLUMNS_PX]
    rooms = [b - a - 24 for a, b in zip(starts, [*COLUMNS_PX, right + 24], strict=True)]
    _line(write, (left, top + 42), caption["over"], SMALL_PX, rooms[0], QUIET)
    _line(write, (left, top + 105), caption["name"], NAME_PX, rooms[0], TEXT, bold=True)
    _line(write, (left, top + 154), caption["under"], SMALL_PX, rooms[0], QUIET)
    for start, room, column in zip(starts[1:], rooms[1:], caption["columns"], strict=True):
        _line(write, (start, top + 42), column["head"], SMALL_PX, room, QUIET)
        for row, line in enumerate(column["bold"] + column["plain"]):
            at = (start, top + 80 + 37 * row)
            _line(write, at, line, BODY_PX, room, TEXT, bold=row < len(column["bold"]))


def _line(
    write: ImageDraw.ImageDraw,
    at: tuple[int, int],
    text: str,
    size: int,
    room: int,
    ink: tuple[int, int, int],
    *,
    bold: bool = False,
) -> None:
    """One line of text, its base line at `at`, smaller or cut short where it has no room."""
    font = font_of(size, bold)
    while font.getlength(text) > room and size > SMALL_PX:
        size -= 1
        font = font_of(size, bold)
    write.text(at, shortened(text, room, font.getlength), fill=ink, font=font, anchor="ls")

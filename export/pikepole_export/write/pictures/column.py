"""The words of a page, in a column on its right."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeAlias

from PIL import ImageDraw

from pikepole_export.graphics.lettering import font_of, shortened, width_px, wrapped

# A page printed 10 in wide has 160 pixels to the inch: 22 of them are about 10 points.
BODY_PX = 22
SMALL_PX = 18  # where there is no room else for all that is to be said: about 8 points
BOLD_PX = 26
NAME_PX = 42
LINE_PX = 29
INDENT_PX = 22
UNDER_NAME_PX = 10  # so that letters with tails stand clear of what is noted under them
RULE_PX = 16  # a rule with the room round it
SIDE_PX = 26
MOST = 2  # lines of most words
MOST_OF_PIECES = 4
MOST_OF_NOTES = 6
MOST_OF_BLOCK = 9
MOST_OF_HEAD = 4
INSIDE = "(inside)"  # of pieces that others of their own stage cover
TEXT = (20, 20, 20)
RULE = (150, 150, 150)
QUIET = (95, 95, 95)

Line: TypeAlias = tuple[str, bool]  # words, and whether they stand out


class Column:
    """A column that is written from top to bottom.

    Args:
        write: What it is written on.
        frame: Left, top, width and height, px of the page.
        times: Pixels drawn to a pixel of the page.
    """

    def __init__(
        self, write: ImageDraw.ImageDraw, frame: tuple[int, int, int, int], times: int
    ) -> None:
        left, top, width, height = frame
        self._write, self._times = write, times
        self._left, self._room = left + SIDE_PX // 2, width - SIDE_PX * 3 // 2
        self._under = 0
        self._y, self._bottom = top + SIDE_PX, top + height - SIDE_PX
        self._body = BODY_PX

    @property
    def ends(self) -> int:
        """Where the words end so far, px of the page."""
        return self._y

    def caption(self, caption: Mapping[str, Any], seen: frozenset[int]) -> None:
        """Write what is to be said of a picture, but for its last line.

        Args:
            caption: As `captions` gives it.
            seen: Numbers of the pieces that are seen in it.
        """
        blocks: list[Mapping[str, Any]] = caption["blocks"]
        self._text(caption["over"], BODY_PX, QUIET)
        self._text(caption["name"], NAME_PX, TEXT, bold=True, most=3)
        self._y += UNDER_NAME_PX
        self._text(caption["notes"], BODY_PX, QUIET, most=MOST_OF_NOTES)
        lines = [
            line["text"] if seen.intersection(line["parts"]) else f"{line['text']} {INSIDE}"
            for line in caption["pieces"]
        ]
        under: Mapping[str, Any] = {"head": caption["under"], "bold": [], "plain": []}
        pieces: Mapping[str, Any] = {"head": "", "bold": [], "plain": lines}
        if sum(map(self._height, (pieces, *blocks, under))) > self._bottom - self._y:
            self._body = SMALL_PX
        self._under = self._height(under)
        self._bottom -= self._under
        ranks = [line["rank"] for line in caption["pieces"]]
        self._pieces(lines, ranks, self._bottom - sum(map(self._height, blocks)))
        for block in blocks:
            self._rule()
            self._text(block["head"], self._body, QUIET, most=MOST_OF_HEAD)
            for words in block["bold"]:
                self._text(words, BOLD_PX, TEXT, bold=True)
            for words in block["plain"]:
                self._text(words, self._body, TEXT, indent=INDENT_PX, most=MOST_OF_BLOCK)

    def nailing(self, nailing: Mapping[str, Any], above: int | None, least: int) -> bool:
        """Write what a stage is nailed with, as much of it as there is room for.

        Args:
            nailing: As `nailing` gives it.
            above: From where on something else stands under the words, px; None for nothing.
            least: Of fewer lines of joints none is written.

        Returns:
            Whether any is.
        """
        bottom = self._bottom if above is None else above - self._under
        room = (bottom - self._y - RULE_PX) // _line_px(self._body) - 1

        def fits(lines: Sequence[Line]) -> bool:
            rows = (self._wrapped(words, self._body, INDENT_PX, bold) for words, bold in lines)
            return sum(map(len, rows)) <= room

        lines, joints = fitting(nailing, fits)
        if joints < least:
            return False
        self._rule()
        self._text(nailing["head"], self._body, QUIET)
        for words, bold in lines:
            self._text(words, self._body, TEXT, bold=bold, indent=INDENT_PX, most=MOST_OF_BLOCK)
        return True

    def under(self, words: str) -> None:
        """Write the last line."""
        self._rule()
        self._text(words, self._body, QUIET)

    def _pieces(self, lines: list[str], ranks: list[int], bottom: int) -> None:
        """A line for each kind of piece, as many as there is room for above `bottom`."""
        if lines:
            self._rule()
        rows = [
            min(len(self._wrapped(words, self._body, INDENT_PX)), MOST_OF_PIECES) for words in lines
        ]
        kept = lines_kept(rows, ranks, (bottom - self._y) // _line_px(self._body))
        for number in kept:
            self._text(lines[number], self._body, TEXT, indent=INDENT_PX, most=MOST_OF_PIECES)
        if more := len(lines) - len(kept):
            kinds = "kind" if more == 1 else "kinds"
            self._text(f"and {more} more {kinds}, in parts.csv", self._body, QUIET)

    def _height(self, block: Mapping[str, Any]) -> int:
        """What a block takes, px."""
        head = [self._wrapped(block["head"], self._body)]
        bold = [self._wrapped(words, BOLD_PX, bold=True) for words in block["bold"]]
        plain = [self._wrapped(words, self._body, INDENT_PX) for words in block["plain"]]
        return RULE_PX + sum(
            _line_px(size) * min(len(rows), most)
            for size, most, texts in (
                *((self._body, MOST_OF_HEAD, head), (BOLD_PX, MOST, bold)),
                (self._body, MOST_OF_BLOCK, plain),
            )
            for rows in texts
        )

    def _rule(self) -> None:
        self._y += RULE_PX // 2
        ends = [(self._left, self._y), (self._left + self._room, self._y)]
        self._write.line([(x * self._times, y * self._times) for x, y in ends], fill=RULE, width=2)
        self._y += RULE_PX // 2

    def _wrapped(self, words: str, size: int, indent: int = 0, bold: bool = False) -> list[str]:
        return wrapped(words, self._room - indent, lambda said: width_px(said, size, bold))

    def _text(
        self,
        words: str,
        size: int,
        ink: tuple[int, int, int],
        *,
        bold: bool = False,
        indent: int = 0,
        most: int = MOST,
    ) -> None:
        """Words in lines; those after the first are set in, and those after `most` left out."""
        font = font_of(size * self._times, bold)
        lines = self._wrapped(words, size, indent, bold)
        if len(lines) > most:
            lines = [*lines[: most - 1], " ".join(lines[most - 1 :])]
        for number, line in enumerate(lines):
            left = self._left + (indent if number else 0)
            self._y += _line_px(size)
            room = (self._room - indent) * self._times
            self._write.text(
                (left * self._times, (self._y - 7) * self._times),
                shortened(line, room, font.getlength),
                fill=ink,
                font=font,
                anchor="ls",
            )


def _line_px(size: int) -> int:
    return round(size * LINE_PX / BODY_PX)


def lines_kept(rows: Sequence[int], ranks: Sequence[int], room: int) -> list[int]:
    """Which lines have room, in their order; where not all have, one row says how many have none.

    Args:
        rows: How many each takes.
        ranks: What decides most has the lowest, and stays the longest.
        room: Rows.
    """
    kept = list(range(len(rows)))
    while kept and sum(rows[n] for n in kept) + (len(kept) < len(rows)) > room:
        kept.remove(max(kept, key=lambda number: ranks[number]))
    return kept


def fitting(
    nailing: Mapping[str, Any], fits: Callable[[Sequence[Line]], bool]
) -> tuple[list[Line], int]:
    """What a stage is nailed with, as much of it as there is room for.

    Where there is no room for all, what decides least is left out first, and the last line says how
    many joints are.

    Args:
        nailing: As `nailing` gives it.
        fits: Whether there is room for lines.

    Returns:
        The lines, and how many of them tell joints.
    """
    lines = list(nailing["lines"])
    more = 0
    while lines:
        left_out = [(f"and {more} more, in fasteners.csv", False)] * bool(more)
        told = [*((line["text"], line["bold"]) for line in lines), *left_out]
        if fits(told):
            return told, sum(not line["bold"] for line in lines)
        last = max(range(len(lines)), key=lambda number: lines[number]["rank"])
        more += lines.pop(last)["joints"]
        # A fastener with no joint below it.
        if lines[last - 1]["bold"] and (last == len(lines) or lines[last]["bold"]):
            lines.pop(last - 1)
    return [], 0

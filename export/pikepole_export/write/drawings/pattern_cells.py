"""Where the parts of a pattern come in a cell of a page: the whole piece, its details, its table.

    Shown(family, template, details, lengths)     what is drawn
    Cell(shown, size, split)                      where, and to which scales

The details lie under the whole piece or, in a low cell, right of it; the table under them or
beside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from pikepole_export.derive.measures.families import Family
from pikepole_export.derive.measures.templates import Template
from pikepole_export.write.drawings.cells import PAD_MM, ROW_MM, drawn_mm, room_of, shared_stem
from pikepole_export.write.drawings.cut_words import (
    ENDS,
    along,
    feature_name,
    feature_words,
    marked_edge,
    notes,
    wide_face_words,
)
from pikepole_export.write.drawings.details import BEYOND, Detail, details_of, window
from pikepole_export.write.drawings.drafting import TEXT_MM, scale_to_fit
from pikepole_export.write.drawings.lengths import Lengths, LengthTable, below
from pikepole_export.write.drawings.svg import Size, width_of, wrapped
from pikepole_export.write.drawings.title import LINE_MM, SMALL_MM, Title
from pikepole_model.units import Units, format_length

TABLE_MM = 125.0  # beside the details
# Under what is said at the top: the running dimensions' lettering, and from their line the piece.
LETTERING_MM, PIECE_MM = 7.5, 6.0
# Beside the lengths of a ripped piece, for what is said of it.
LENGTHS_MM = 55.0
# From the piece to the first dimension under it, from that to the next, and from there on down.
UNDER_MM, NEXT_MM, CLEAR_MM = 8.5, 6.0, 1.5
# Room beside the whole piece for its ends' letters, and its greatest depth on the sheet.
SIDE_MM, DEEPEST_MM = 12.0, 22.0
# Round a detail, for its dimensions.
ROUND_MM = (15.0, 8.5)
# However many details there are, each is at least so wide on the sheet.
LEAST_MM = 8.0
# Large enough to be marked from, on the sheet: a piece so long or so deep; a detail so deep, or so
# long and no slimmer, or at half its size, if its shortest cut is so long. So much of a piece one
# mark along it takes.
LONG_MM, HIGH_MM, DEEP_MM, DETAIL_MM, SLIM_MM, HALF = 30.0, 9.0, 16.0, 24.0, 5.0, 2
SEEN_MM, MARK_MM = 1.5, 4.0


class Shown:
    """What is drawn: patterns that differ in length alone, the longest of them to scale.

    Args:
        family: By their names on the drawing.
        units: The measures are printed in.
    """

    def __init__(self, family: Family, units: Units) -> None:
        self.family: Family = family
        self.units: Units = units
        self.template: Template = max(family.values(), key=lambda one: one.length_mm)
        self.details: tuple[Detail, ...] = details_of(self.template)
        self.lengths: Lengths = Lengths(family, self.template, units)
        self.table: LengthTable | None = self.lengths.table()
        self.called: str = shared_stem(list(family))

    @cached_property
    def is_shown_twice(self) -> bool:
        """Whether it is a stick raked across its narrow edge at the head, and nothing more."""
        template = self.template
        places = [feature.place for detail in self.details for feature in detail.features]
        plainly = template.seen_on == "narrow edge" and template.lies == "upright"
        return plainly and places == ["right end"] and len(template.slants) == 1

    @cached_property
    def running_mm(self) -> float:
        """What the lettering of the marks along it takes over their line."""
        start = self.template.marked_from
        told = (self.lengths.told(start, start + mark) for mark in self.template.marks_mm[1:])
        return LETTERING_MM + max(width_of(words, TEXT_MM) for words in ("0", *told))

    def said(self, room: float) -> list[str]:
        """What stands at the top, line by line, in a room so wide, mm."""
        template = self.template
        head = f"Marks along {marked_edge(template)}, from the {ENDS[template.lies]['left end']}"
        if template.lies == "ripped":
            head = "End section"
        room -= LENGTHS_MM if template.lengths else 0.0
        words = notes(template, self.units, alone=not self.table)
        return [head, *wrapped(words, SMALL_MM, room)]

    def texts(self, room: float) -> list[list[str]]:
        """What stands under each detail, in a room so wide, mm."""
        texts = [self._words(detail, room) for detail in self.details]
        if self.is_shown_twice:
            edges = (self.template.top_edge, self.template.lower_edge)
            long, short = (self.lengths.told(*edge) for edge in edges)
            rows = [wrapped(line, SMALL_MM, room) for line in wide_face_words(long, short)]
            texts.append(["The wide face", *(row for lines in rows for row in lines)])
        return texts

    def _words(self, detail: Detail, room: float) -> list[str]:
        feature, many = detail.features[0], len(detail.features)
        what = feature_name(self.template, feature)
        mouths = [other for other in self.details if other.features[0].birdsmouth]
        if feature.birdsmouth and len(mouths) > 1 and detail in (mouths[0], mouths[-1]):
            what = f"{'upper' if detail is mouths[0] else 'lower'} {what}"
        head = f"{detail.letter}: {what}" + (f", {many} places" if many > 1 else "")
        lines = feature_words(self.template, feature, self.units)
        heads = wrapped(head, TEXT_MM, room, bold=True)
        return [*heads, *(row for line in lines for row in wrapped(line, SMALL_MM, room))]

    def title(self, scale: float, finer: float) -> Title:
        """What stands at the foot of the cell."""
        template, units = self.template, self.units
        breadth, depth = (format_length(side, units) for side in template.section_mm)
        stock = f"{template.stock}, dressed {breadth} x {depth}, {template.material}"
        long = along(template, 0.0, template.length_mm, units)
        alone = len(self.family) == 1
        cut = "" if template.lies == "ripped" or not alone else f"from stock {long} or longer"
        scales = f"1:{scale:g}" + (f", details 1:{finer:g}" if finer != scale else "")
        return Title(
            name=self.called,
            count=f"Make {sum(len(one.names) for one in self.family.values())}",
            lines=(stock, cut),
            heading="",
            names=template.names if alone else (),
            practice="",
            scales=scales,
            scale=scale,
        )


@dataclass(frozen=True)
class Cell:
    """A cell, and where what is drawn comes in it.

    Attributes:
        shown: What is drawn.
        size: Of the cell, mm.
        split: How much of its width the whole piece has, the details the rest; 1 where they lie
            under it.
    """

    shown: Shown
    size: Size
    split: float = 1.0

    @property
    def is_wide(self) -> bool:
        """Whether the whole piece has more than half a page."""
        return self.whole_mm > room_of(self.shown.units)[0] / 2 + 1.0

    @property
    def beside_mm(self) -> float:
        """What a table beside the details takes."""
        return TABLE_MM if self.shown.table and self.is_wide else 0.0

    @property
    def under_mm(self) -> float:
        """What a table under them takes."""
        table = self.shown.table
        return table.high_mm(self.size[0] - 2 * PAD_MM) if table and not self.beside_mm else 0.0

    @property
    def whole_mm(self) -> float:
        """How wide the room of the whole piece is."""
        return self.size[0] * self.split

    @cached_property
    def scale(self) -> int:
        """That of the whole piece."""
        template = self.shown.template
        room = self.whole_mm - 2 * SIDE_MM, DEEPEST_MM if self.is_wide else DEEPEST_MM * 0.6
        return scale_to_fit((template.length_mm, template.depth_mm), room)

    @cached_property
    def said(self) -> list[str]:
        """What stands at the top, line by line."""
        return self.shown.said(self.size[0] - 2 * PAD_MM)

    @property
    def head_mm(self) -> float:
        """The base line of the last of what stands at the top."""
        return 5 + LINE_MM * (max(len(self.said), len(self.shown.template.lengths)) - 1)

    @property
    def running_mm(self) -> float:
        """Where the line of the running dimensions comes, from the top."""
        return self.head_mm + self.shown.running_mm

    @property
    def clear_mm(self) -> float:
        """From where down the room under the whole piece is free, from the top."""
        template = self.shown.template
        under = UNDER_MM + NEXT_MM * len(below(template)) + CLEAR_MM
        return self.running_mm + PIECE_MM + template.depth_mm / self.scale + under

    @cached_property
    def foot_mm(self) -> float:
        """Where table and title begin, from the top."""
        return drawn_mm(self.size, self.shown.title(1.0, 2.0)) - self.under_mm

    @property
    def cells(self) -> int:
        """How many details lie side by side."""
        return len(self.shown.details) + self.shown.is_shown_twice

    @property
    def cell_mm(self) -> float:
        """How wide each detail's room is."""
        room = self.size[0] - self.beside_mm - (self.whole_mm if self.split < 1.0 else 0.0)
        return room / max(1, self.cells)

    @cached_property
    def texts(self) -> list[list[str]]:
        """What stands under each detail."""
        return self.shown.texts(self.cell_mm - 6)

    @property
    def words_mm(self) -> float:
        """Where what stands under the details begins, from the top."""
        return self.foot_mm - 4.0 - LINE_MM * max([0, *map(len, self.texts)])

    def detail_room(self, k: int) -> tuple[float, float, float, float]:
        """The room of a detail: left, top, right, bottom, mm.

        Args:
            k: Which of them.
        """
        is_right = self.split < 1.0
        left = self.cell_mm * k + (self.whole_mm if is_right else 0.0)
        top = self.head_mm + ROW_MM / 2 if is_right else self.clear_mm
        return left + 1, top, left + self.cell_mm - 1, self.words_mm

    @cached_property
    def finer(self) -> int:
        """The scale of the details."""
        shown, template = self.shown, self.shown.template
        tall = max(template.section_mm) if shown.is_shown_twice else template.depth_mm
        wide, high = (max(LEAST_MM, side) for side in self._detail_mm())
        return scale_to_fit((self.longest_mm, tall), (wide, high))

    @property
    def shortest_mm(self) -> float:
        """The shortest cut that a detail shows."""
        features = (detail.features[0] for detail in self.shown.details)
        return min((cut.length_mm for one in features for cut in one.cuts), default=math.inf)

    @cached_property
    def longest_mm(self) -> float:
        """How much along the piece the longest of the details shows."""
        template = self.shown.template
        features = (detail.features[0] for detail in self.shown.details)
        shown = (window(template, one, BEYOND * template.depth_mm) for one in features)
        return max((b - a for a, b in shown), default=1.0)

    def _detail_mm(self) -> Size:
        """What a detail has for itself beside its dimensions."""
        left, top, right, bottom = self.detail_room(0)
        return right - left + 2.0 - 2 * ROUND_MM[0], bottom - top - 2 * ROUND_MM[1]

    @property
    def is_roomy(self) -> bool:
        """Whether the whole piece, its marks and its details have room."""
        template = self.shown.template
        return (
            (self.split == 1.0 or self.clear_mm <= self.foot_mm)
            and (not self.cells or min(self._detail_mm()) >= LEAST_MM)
            and template.length_mm / self.scale >= MARK_MM * (len(template.marks_mm) - 1)
        )

    def is_as_good_as(self, large: Cell) -> bool:
        """Whether everything is as large as in a large cell, or large enough.

        Args:
            large: That cell.
        """
        template = self.shown.template
        long, high = template.length_mm / self.scale, template.depth_mm / self.scale
        deep = template.depth_mm / self.finer
        is_long = self.longest_mm / self.finer >= DETAIL_MM and deep >= SLIM_MM
        is_seen = self.shortest_mm / self.finer >= SEEN_MM
        return (self.scale <= large.scale or long >= LONG_MM or high >= HIGH_MM) and (
            self.finer <= large.finer
            or (is_seen and (self.finer <= HALF or deep >= DEEP_MM or is_long))
        )

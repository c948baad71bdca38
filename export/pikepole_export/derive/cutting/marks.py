"""Sizes and places as they are read off a tape, so that what is printed can be cut.

    tape_mm(length_mm, units) -> the length that is printed
    board_marks(lengths_mm, first_mm, kerf_mm, units) -> where each piece on a board ends
    rest_mm(board, kerf_mm) -> what is left behind the last piece of a board
    sliver_mm(board, kerf_mm) -> what is left at a board's end and no saw takes off
    sheet_marks(sheet, kerf_mm, units) -> SheetMarks
    sides_words(width_mm, length_mm, units) -> 4' 0" x 8' 0"
    kerf_words(kerf_mm, units) -> 1/8"
    place_words(divides, at_mm, units) -> across, 2' 4-11/16" from left edge
    together(names) -> rafter 1 to 17, rafter 19
    numbered(names) -> rafter 1 to 17, 19
    letter(number), letters(numbers) -> a; a to d, f
    natural(name) -> a key to sort names by

Pieces are rounded first and added up then, with the kerfs between them: whoever adds up what is
printed finds the marks that are printed. Each size is the nearest on the tape, as in the table of
parts. Where sizes so rounded, with their kerfs, come to more than a sheet has, all pieces on it are
printed that way to the mark below: three thirds of a sheet still fit it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from pikepole_export.derive.cutting.lengths import Board
from pikepole_export.derive.cutting.nesting import CutSheet
from pikepole_export.derive.cutting.saw_order import SawCut, Side
from pikepole_model.units import MARK_MM, Rounding, Units, format_length, parse_length

NOISE_MM = 1e-6


@dataclass(frozen=True, slots=True)
class SheetMarks:
    """What is printed of a sheet.

    Attributes:
        pieces_mm: Width and length of each piece placed, as it lies.
        cuts_mm: What each cut leaves to the first of its panels.
    """

    pieces_mm: tuple[tuple[float, float], ...]
    cuts_mm: tuple[float, ...]


def tape_mm(length_mm: float, units: Units, rounded: Rounding = "nearest") -> float:
    """A length as it is printed.

    Args:
        length_mm: As it is.
        units: Of the tape.
        rounded: To which side.
    """
    return parse_length(format_length(length_mm, units, rounded))


def board_marks(
    lengths_mm: Sequence[float], first_mm: float, kerf_mm: float, units: Units
) -> Iterator[float]:
    """Where pieces one after the other end, from the end of their board, mm.

    Args:
        lengths_mm: Of the pieces.
        first_mm: Where the first begins.
        kerf_mm: Between neighbours.
        units: Of the tape.
    """
    at_mm = first_mm
    for length_mm in lengths_mm:
        at_mm += tape_mm(length_mm, units)
        yield at_mm
        at_mm += kerf_mm


def rest_mm(board: Board, kerf_mm: float) -> float:
    """What is left behind the last piece before a cut is made there, trim not counted, mm."""
    rest = board.sawdust_mm + board.offcut_mm - kerf_mm * (len(board.pieces) - 1)
    return rest if rest > NOISE_MM else 0.0


def sliver_mm(board: Board, kerf_mm: float) -> float:
    """What is left at the end of a board that no saw takes off: 0, or less than a kerf, mm."""
    rest = rest_mm(board, kerf_mm)
    return rest if not board.trim_mm and rest < kerf_mm - NOISE_MM else 0.0


def sheet_marks(sheet: CutSheet, kerf_mm: float, units: Units) -> SheetMarks:
    """The sizes of the pieces of a sheet, and the place of its cuts, as they are printed.

    Args:
        sheet: Of a cut plan.
        kerf_mm: What the saw takes.
        units: Of the tape.
    """
    widths, wide = _one_way(sheet, "width", kerf_mm, units)
    lengths, long = _one_way(sheet, "length", kerf_mm, units)
    cuts = (wide[n] if n in wide else long[n] for n in range(len(sheet.cuts)))
    return SheetMarks(tuple(zip(widths, lengths, strict=True)), tuple(cuts))


def sides_words(
    width_mm: float, length_mm: float, units: Units, rounded: Rounding = "nearest"
) -> str:
    """Width and length as people read them; what is left over is rounded down.

    Args:
        width_mm: As it is.
        length_mm: As it is.
        units: Of the tape.
        rounded: To which side.
    """
    return " x ".join(format_length(mm, units, rounded) for mm in (width_mm, length_mm))


def kerf_words(kerf_mm: float, units: Units) -> str:
    """How much a cut takes, to a tenth of a millimetre where that is what it is told in."""
    return format_length(kerf_mm, units) if units == "imperial" else f"{round(kerf_mm, 1):g} mm"


def place_words(divides: Side, at_mm: float, units: Units) -> str:
    """Which way a cut runs through the panel in hand, and from which edge it is measured.

    Args:
        divides: Which side of the panel the cut divides.
        at_mm: From the edge.
        units: Of the tape.
    """
    way, edge = ("along", "lower") if divides == "width" else ("across", "left")
    return f"{way}, {format_length(at_mm, units)} from {edge} edge"


def together(names: Iterable[str]) -> list[str]:
    """Names with the numbers of a run drawn together: "rafter 1 to 17".

    Args:
        names: In order.
    """
    runs: list[tuple[str, int | None, int | None]] = []
    for name in names:
        found = re.fullmatch(r"(.*) (\d+)", name)
        stem, number = (found[1], int(found[2])) if found else (name, None)
        if runs and number is not None and runs[-1][0] == stem and runs[-1][2] == number - 1:
            runs[-1] = (stem, runs[-1][1], number)
        else:
            runs.append((stem, number, number))
    return [
        stem if first is None else f"{stem} {first}" + (f" to {last}" if last != first else "")
        for stem, first, last in runs
    ]


def numbered(names: Iterable[str]) -> str:
    """Names with all numbers after what they share: "rafter 1 to 17, 19, end rafter 2".

    Args:
        names: In order.
    """
    found: dict[str, list[str]] = {}
    for name in together(names):
        run = re.fullmatch(r"(.*?) (\d+(?: to \d+)?)", name)
        stem, own = (run[1], [run[2]]) if run else (name, [])
        found.setdefault(stem, []).extend(own)
    return ", ".join(f"{stem} {', '.join(own)}".rstrip() for stem, own in found.items())


def letter(number: int) -> str:
    """Letters in order: a to z, then aa, ab and so on."""
    found = ""
    while number:
        number, rest = divmod(number - 1, 26)
        found = chr(ord("a") + rest) + found
    return found


def letters(numbers: Iterable[int]) -> str:
    """Several of them, those in a row drawn together: "a to d, f"."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{letter(run[0])} to {letter(run[-1])}" if len(run) > 2 else ", ".join(map(letter, run))
        for run in runs
    )


def natural(name: str) -> list[str]:
    """A key to sort names by, numbers in them counted: stud 9 before stud 10.

    Args:
        name: Of a piece.
    """
    return [word.zfill(6) if word.isdigit() else word for word in re.split(r"(\d+)", name)]


def _one_way(
    sheet: CutSheet, way: Side, kerf_mm: float, units: Units
) -> tuple[list[float], dict[int, float]]:
    """Sizes of all pieces that way, and of the cuts that divide it where they are."""
    cuts = {cut.panel: cut for cut in sheet.cuts}
    true: dict[int, float] = {}
    for one in sheet.placed:
        # The piece itself: what lies on the sheet was counted in ticks and may be a hair less.
        width_mm, length_mm = one.piece.width_mm, one.piece.length_mm
        true[one.panel] = length_mm if (way == "width") == one.turned else width_mm
    side_mm = sheet.stock.width_mm if way == "width" else sheet.stock.length_mm
    printed = {panel: tape_mm(mm, units) for panel, mm in true.items()}
    if _reach(1, way, printed, cuts, kerf_mm) > side_mm + NOISE_MM:
        printed = {panel: tape_mm(mm, units, "down") for panel, mm in true.items()}
    places: dict[int, float] = {}
    for n, cut in enumerate(sheet.cuts):
        if cut.divides == way:
            filled = _reach(cut.first, way, true, cuts, kerf_mm)
            # What holds more than its pieces is as wide as the plan made it.
            full = abs(filled - cut.at_mm) < MARK_MM[units] / 2
            places[n] = (
                _reach(cut.first, way, printed, cuts, kerf_mm)
                if full
                else tape_mm(cut.at_mm, units)
            )
    return [printed[one.panel] for one in sheet.placed], places


def _reach(
    panel: int,
    way: Side,
    sizes_mm: Mapping[int, float],
    cuts: Mapping[int, SawCut],
    kerf_mm: float,
) -> float:
    """How far the pieces in a panel reach from its near edge, kerfs between them counted, mm."""
    cut = cuts.get(panel)
    if cut is None:
        return sizes_mm.get(panel, 0.0)
    first = _reach(cut.first, way, sizes_mm, cuts, kerf_mm)
    second = _reach(cut.second, way, sizes_mm, cuts, kerf_mm) if cut.second else 0.0
    if cut.divides != way:
        return max(first, second)
    return first + kerf_mm + second if second else first

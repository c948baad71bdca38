"""A sheet of a plan as it is drawn: its length along the page, its pieces, its cuts, its notes.

sheet_layout(sheet, kerf_mm, units) -> placed, cuts
sheet_notes(sheet, plan, units) -> what to know before it is cut
caution_of(plan) -> what to mind with its stock
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeAlias

from pikepole_export.derive.cutting.marks import letters, place_words, sheet_marks, sides_words
from pikepole_export.derive.cutting.nesting import CutSheet
from pikepole_export.derive.cutting.saw_order import Shaving, Side
from pikepole_export.derive.cutting.sheet_work import holds, listed
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_export.write.drawings.cut_plans import Placed, SawCut
from pikepole_model.units import Units, format_length

LEFT_OVER = "off-cut"
# Cautions that a seller of plastic panes and a joiner give: common practice, no source.
PLASTIC = (
    "Leave the film on, keep the weather side marked: it goes outside. Use a fine-toothed blade, "
    "and hold the sheet down on both sides of the cut."
)
GOOD_FACE = (
    "Where a face shows: good face up at a table saw or with a handsaw, down under a portable "
    "circular saw."
)
TONGUED = "Measured on the face, without the tongue."
RIPPED = "Rip off the edge at the wall: the tongue or groove to the next row stays."

_FAR_EDGE: dict[Side, str] = {"width": "upper", "length": "right"}
# Of a panel: its corner and its sides, along the sheet's length and its width, mm.
_Panel: TypeAlias = tuple[float, float, float, float]


def sheet_layout(
    sheet: CutSheet, kerf_mm: float, units: Units, shaped: Mapping[str, str]
) -> tuple[tuple[Placed, ...], tuple[SawCut, ...]]:
    """Pieces and off-cuts where they lie, and the cuts in their order, each through its panel.

    Args:
        sheet: Of a cut plan.
        kerf_mm: What the saw takes.
        units: The measures are printed in.
        shaped: The name of the drawing of each piece that is not the whole of its blank.
    """
    marks = sheet_marks(sheet, kerf_mm, units)
    placed = [
        Placed(
            one.piece.name,
            (one.y_mm, one.x_mm),
            (one.length_mm, one.width_mm),
            sides_words(*sides_mm, units),
            note=f"blank, by {shaped[one.piece.name]}" if one.piece.name in shaped else "",
        )
        for one, sides_mm in zip(sheet.placed, marks.pieces_mm, strict=True)
    ]
    placed += [
        Placed(
            LEFT_OVER,
            (one.y_mm, one.x_mm),
            (one.length_mm, one.width_mm),
            sides_words(one.width_mm, one.length_mm, units, "down"),
            is_offcut=True,
        )
        for one in listed(sheet.offcuts)
    ]
    places = (
        place_words(cut.divides, at_mm, units)
        for cut, at_mm in zip(sheet.cuts, marks.cuts_mm, strict=True)
    )
    return tuple(placed), tuple(_saw_cuts(sheet, kerf_mm, list(places)))


def caution_of(plan: StockPlan) -> str:
    """What is to be minded with all sheets of a stock."""
    if plan.is_pane and plan.kerf_mm:
        return PLASTIC
    return GOOD_FACE if "plywood" in plan.stock.name and not plan.is_tongued else ""


def sheet_notes(sheet: CutSheet, plan: StockPlan, units: Units) -> Iterator[str]:
    """What is to be known of a sheet before it is cut.

    Args:
        sheet: Of a cut plan.
        plan: Of its stock.
        units: The measures are printed in.
    """
    if sheet.stock.is_own:
        yield "From your own."
    if plan.is_tongued:
        yield TONGUED
        if any(cut.divides == "width" for cut in sheet.cuts):
            yield RIPPED
    if sheet.shavings:
        held_in = holds(sheet)
        alike: dict[str, set[int]] = {}
        for one in sheet.shavings:
            off = f"{format_length(one.off_mm, units)} at the {_FAR_EDGE[one.divides]} edge"
            alike.setdefault(off, set()).update(held_in[one.panel])
        each = (f"{off} of {letters(own)}" for off, own in alike.items())
        yield f"Chain lines: {'; '.join(each)}."


def _saw_cuts(sheet: CutSheet, kerf_mm: float, places: list[str]) -> Iterator[SawCut]:
    held_in = holds(sheet)
    shavings: dict[int, list[Shaving]] = {}
    for shaving in sheet.shavings:
        shavings.setdefault(shaving.panel, []).append(shaving)
    panels: dict[int, _Panel] = {}

    def shaved(number: int, panel: _Panel) -> Iterator[SawCut]:
        """The panel without what is shaved off it, before it is cut further."""
        x, y, a, b = panel
        for one in shavings.get(number, ()):
            if one.divides == "length":
                a = one.at_mm
                yield SawCut(None, (x + a, y), (x + a, y + b), "")
            else:
                b = one.at_mm
                yield SawCut(None, (x, y + b), (x + a, y + b), "")
        panels[number] = (x, y, a, b)

    yield from shaved(1, (0.0, 0.0, sheet.stock.length_mm, sheet.stock.width_mm))
    for cut, place in zip(sheet.cuts, places, strict=True):
        x, y, a, b = panels[cut.panel]
        beyond, middle = cut.at_mm + kerf_mm, cut.at_mm + kerf_mm / 2
        held = held_in[cut.panel]
        if cut.divides == "length":
            first, second = (x, y, cut.at_mm, b), (x + beyond, y, a - beyond, b)
            yield SawCut(cut.number, (x + middle, y), (x + middle, y + b), place, held)
        else:
            first, second = (x, y, a, cut.at_mm), (x, y + beyond, a, b - beyond)
            yield SawCut(cut.number, (x, y + middle), (x + a, y + middle), place, held)
        yield from shaved(cut.first, first)
        if cut.second is not None:
            yield from shaved(cut.second, second)

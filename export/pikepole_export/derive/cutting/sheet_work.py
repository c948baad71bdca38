"""Sheets as they are cut up in the course of the work, and what is kept of them.

    sheet_work(plan) -> tuple[SheetUse, ...]     stage by stage
    listed(offcuts) -> those that are worth listing
    holds(sheet) -> {panel: its pieces and off-cuts, counted from 1}
    kept_words(kept, units) -> off-cut 20a, 1' 4" x 8' 0", for stage 12

What a later stage needs stays in one panel until then, and goes by the number of its sheet and a
letter: 20a. So does what is left over and a foot wide or more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from string import ascii_lowercase

from pikepole_export.derive.cutting.lengths import KEPT_MM
from pikepole_export.derive.cutting.marks import NOISE_MM, sides_words
from pikepole_export.derive.cutting.nesting import CutSheet, SheetPiece
from pikepole_export.derive.cutting.saw_order import Offcut, Placed, SawCut, Shaving
from pikepole_export.derive.cutting.sheets import StockPlan
from pikepole_model.units import INCH_MM, Units

# What a sheet is too large by where no saw takes that off.
SHAVE = "plane it off, leave it where the gap at the joint allows, or buy panels sized for spacing"
LISTED_MM = INCH_MM / 2  # narrower ones are slivers
_KEPT_MM = KEPT_MM - NOISE_MM  # a foot is a foot, whatever it was the difference of


@dataclass(frozen=True, slots=True)
class Kept:
    """A panel that is kept.

    Attributes:
        name: "20a".
        panel: Its number on the sheet.
        width_mm: As it lies, along the sheet's width.
        length_mm: Along the sheet's length.
        stage: Number of the stage that needs it; None of what is left over.
    """

    name: str
    panel: int
    width_mm: float
    length_mm: float
    stage: int | None


@dataclass(frozen=True, slots=True)
class SheetUse:
    """What is cut at one time from a sheet, or from a panel that was kept of it.

    Attributes:
        sheet: What it belongs to.
        number: Its number among those of its stock, from 1.
        stage: Number of the stage that needs it.
        name: Of the panel, "20a"; empty for the whole sheet.
        width_mm: Of the sheet or panel.
        length_mm: Likewise.
        cuts: In order.
        placed: What comes out of it.
        shavings: What is planed off it.
        left: What is left over and not kept, slivers left out.
        kept: What is kept of it, for a later stage or for whatever comes.
    """

    sheet: CutSheet
    number: int
    stage: int
    name: str
    width_mm: float
    length_mm: float
    cuts: tuple[SawCut, ...]
    placed: tuple[Placed[SheetPiece], ...]
    shavings: tuple[Shaving, ...]
    left: tuple[Offcut, ...]
    kept: tuple[Kept, ...]


def sheet_work(plan: StockPlan) -> tuple[SheetUse, ...]:
    """Every sheet as often as it, or a panel of it, is taken in hand.

    Args:
        plan: The sheets of a stock.
    """
    uses = (
        use
        for number, sheet in enumerate(plan.plan.sheets, start=1)
        for use in _uses(sheet, number, plan.kerf_mm)
    )
    return tuple(sorted(uses, key=lambda use: (use.stage, use.number, use.name)))


def listed(offcuts: Iterable[Offcut]) -> tuple[Offcut, ...]:
    """Those that are a foot long or more, and no slivers.

    Args:
        offcuts: Of a sheet.
    """
    sides = ((one, sorted((one.width_mm, one.length_mm))) for one in offcuts)
    return tuple(one for one, (a, b) in sides if a >= LISTED_MM and b >= _KEPT_MM)


def holds(sheet: CutSheet) -> dict[int, tuple[int, ...]]:
    """What of the pieces and then of the listed off-cuts, counted from 1, each panel holds.

    Args:
        sheet: Of a cut plan.
    """
    ends = [one.panel for one in (*sheet.placed, *listed(sheet.offcuts))]
    found: dict[int, tuple[int, ...]] = {one.panel: () for one in sheet.offcuts}
    found |= {panel: (k,) for k, panel in enumerate(ends, start=1)}
    for cut in reversed(sheet.cuts):
        behind = found[cut.second] if cut.second is not None else ()
        found[cut.panel] = found[cut.first] + behind
    return found


def kept_words(kept: Kept, units: Units) -> str:
    """What a panel is called that is kept, how large it is, and for which stage it is.

    Args:
        kept: The panel.
        units: Of the tape.
    """
    sides = sides_words(kept.width_mm, kept.length_mm, units, "down")
    words = f"off-cut {kept.name}, {sides}"
    return words if kept.stage is None else f"{words}, for stage {kept.stage}"


def _uses(sheet: CutSheet, number: int, kerf_mm: float) -> Iterator[SheetUse]:
    cuts = {cut.panel: cut for cut in sheet.cuts}
    pieces = {one.panel: one for one in sheet.placed}
    offcuts = {one.panel: one for one in sheet.offcuts}
    sides = _sides(sheet, kerf_mm)
    stages: dict[int, int | None] = {panel: one.piece.stage for panel, one in pieces.items()}
    for cut in reversed(sheet.cuts):
        stages[cut.panel] = cut.stage

    def below(panel: int, stage: int) -> Iterator[int]:
        """The panel, and those it is parted in for the same stage."""
        yield panel
        cut = cuts.get(panel)
        if cut is None or stages.get(panel) != stage:
            return
        for part in (cut.first, cut.second):
            if part is not None:
                yield from below(part, stage)

    roots: list[tuple[int, str]] = [(1, "")]
    letters = iter(ascii_lowercase)
    for root, name in roots:
        stage = stages[root]
        assert stage is not None
        panels = [*below(root, stage)]
        kept: list[Kept] = []
        for panel in panels:
            own = stages.get(panel)
            is_large = panel in offcuts and min(sides[panel]) >= _KEPT_MM
            if is_large or (own is not None and own != stage):
                called = f"{number}{next(letters)}"
                kept.append(Kept(called, panel, *sides[panel], None if is_large else own))
                if not is_large:
                    roots.append((panel, called))
        here = {panel for panel in panels if stages.get(panel, stage) == stage}
        yield SheetUse(
            sheet=sheet,
            number=number,
            stage=stage,
            name=name,
            width_mm=sides[root][0],
            length_mm=sides[root][1],
            cuts=tuple(cut for cut in sheet.cuts if cut.panel in here),
            placed=tuple(one for one in sheet.placed if one.panel in here),
            shavings=tuple(one for one in sheet.shavings if one.panel in here),
            left=listed(
                offcuts[panel]
                for panel in panels
                if panel in offcuts and min(sides[panel]) < _KEPT_MM
            ),
            kept=tuple(kept),
        )


def _sides(sheet: CutSheet, kerf_mm: float) -> dict[int, tuple[float, float]]:
    """Width and length of every panel before it is shaved, mm."""
    sides = {1: (sheet.stock.width_mm, sheet.stock.length_mm)}
    shaved = {(one.panel, one.divides): one.at_mm for one in sheet.shavings}
    for cut in sheet.cuts:
        width, length = sides[cut.panel]
        width = shaved.get((cut.panel, "width"), width)
        length = shaved.get((cut.panel, "length"), length)
        beyond = cut.at_mm + kerf_mm
        is_rip = cut.divides == "width"
        sides[cut.first] = (cut.at_mm, length) if is_rip else (width, cut.at_mm)
        if cut.second is not None:
            sides[cut.second] = (width - beyond, length) if is_rip else (width, length - beyond)
    return sides

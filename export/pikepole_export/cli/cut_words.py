"""What `pikepole cut` says: what to buy, and what is cut from each board and sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from math import fsum
from typing import TYPE_CHECKING

from pikepole_export.cli.words import built_already, plural, wrapped
from pikepole_export.derive.buying.order import at_most, proof_of
from pikepole_export.derive.cutting.board_work import (
    alike,
    board_work,
    left_words,
    length_words,
    run_words,
    stops,
)
from pikepole_export.derive.cutting.marks import (
    kerf_words,
    natural,
    numbered,
    sheet_marks,
    sides_words,
)
from pikepole_export.derive.cutting.sheet_work import SHAVE, kept_words, sheet_work
from pikepole_model.units import Units, format_length, format_number

if TYPE_CHECKING:
    from pikepole_export.derive.cutting.board_work import BoardUse
    from pikepole_export.derive.cutting.cuts import SectionPlan
    from pikepole_export.derive.cutting.lengths import LengthPlan
    from pikepole_export.derive.cutting.nesting import SheetPlan
    from pikepole_export.derive.cutting.sheet_work import SheetUse
    from pikepole_export.derive.cutting.sheets import StockPlan
    from pikepole_model.building.part import Building
    from pikepole_model.scene.schema import Scene

# Common practice, no source.
AT_THE_SAW = (
    "At the saw: guard on, eyes and ears protected. A narrow rip kicks back where it binds: use a "
    "riving knife and a push stick, and stand beside the line of the blade."
)

_PROVED = " (no plan can be better, but where it is said by how much):"


def opening(building: Building) -> list[str]:
    """What the plans reckon with."""
    scene = building.scene
    kerf = kerf_words(scene.cutting.kerf, scene.units)
    trim_mm = scene.cutting.end_trim
    trim = f"{format_length(trim_mm, scene.units)} off each end" if trim_mm else "ends not trimmed"
    order = (
        "Boards are cut up at once, for several stages: write the stage on what is set aside."
        if scene.cutting.mix
        else "Open a board when its stage comes; write its number on what is kept of it."
    )
    text = (
        f"{scene.title}: boards and sheets. Kerf {kerf}, {trim}. Measure a board before you cut "
        "it. Mark pieces that are alike from one pattern, never from the piece before. Cut to "
        f"length first, then rip. {order}"
    )
    text = " ".join((text, *built_already(building)))
    return [*wrapped(text), *wrapped(AT_THE_SAW)]


def boards_list(plans: Sequence[SectionPlan], building: Building) -> list[str]:
    """What to buy of every section, then stage by stage what is cut from which board."""
    scene = building.scene
    lines = ["", *wrapped(f"Boards to buy{_PROVED}")] if plans else []
    for plan in plans:
        buy = ", ".join(
            f"{boards} of {format_length(stock.length_mm, scene.units)}"
            for stock, boards in plan.bought
        )
        how_good = _how_good(
            plan.plan, "length", plan.plan.bought_mm, scene, has_own=bool(plan.at_hand)
        )
        from_where = " and ".join([*([buy] if buy else []), *_own_boards(plan, scene.units)])
        what = f"{plan.section.name}, {plan.material}"
        text = f"{what}: {from_where} for {plural(plan.pieces, 'piece')}; {how_good}"
        lines += wrapped(text, "      ", "  ")
    for stage in building.stages:
        head = ["", f"Stage {stage.number}, {stage.name}: boards"]
        for plan in plans:
            uses = [
                use for use in board_work(plan, scene.cutting.kerf) if use.stage == stage.number
            ]
            if uses:
                section = f"{plan.section.name}, {plan.material}"
                lines += [*head, *wrapped(section, "  ", "  ")]
                lines += wrapped(_stops(plan, stage.number, scene.units), "    ", "    ")
                head = []
            for same in alike(uses, plan, {}):
                lines += _item([use.number for use in same], _use(plan, same, scene.units))
    return lines


def sheets_list(plans: Sequence[StockPlan], building: Building) -> list[str]:
    """How many sheets of every stock, then stage by stage what is cut from which."""
    scene = building.scene
    lines = ["", *wrapped(f"Sheets to buy{_PROVED}")] if plans else []
    for plan in plans:
        size = sides_words(plan.stock.width_mm, plan.stock.length_mm, scene.units)
        if plan.is_tongued:
            face_mm = plan.stock.row_mm(tongued=True)
            size += f" ({format_length(face_mm, scene.units)} without the tongue)"
        scored = "" if plan.kerf_mm else "; scored and snapped"
        how_good = _how_good(
            plan.plan, "area", plan.plan.bought_mm2, scene, has_own=bool(plan.at_hand)
        )
        buy = [f"{plan.bought} of {size}"] if plan.bought else []
        from_where = " and ".join([*buy, *_own_sheets(plan, scene.units)])
        for_what = f"{from_where} for {plural(plan.pieces, 'piece')}"
        text = f"{plan.called}: {for_what}{scored}; {how_good}"
        lines += wrapped(text, "      ", "  ")
    if any(use.shavings for plan in plans for use in sheet_work(plan)):
        lines += wrapped(f"Shave: too much by no more than the saw takes; {SHAVE}.")
    for stage in building.stages:
        head = ["", f"Stage {stage.number}, {stage.name}: sheets"]
        for plan in plans:
            uses = [use for use in sheet_work(plan) if use.stage == stage.number]
            if uses:
                lines += [*head, *wrapped(plan.called, "  ", "  ")]
                head = []
            for use in uses:
                lines += _item([use.number], _sheet(use, plan.kerf_mm, scene.units))
    return lines


def in_short(boards: Sequence[SectionPlan], sheets: Sequence[StockPlan]) -> list[tuple[str, str]]:
    """What share is left over and, where a better plan can exist, by how much."""
    amounts = [
        ("boards' length", [(plan.used_mm, plan.cut_up_mm) for plan in boards]),
        ("sheets' area", [(plan.plan.pieces_mm2, plan.cut_up_mm2) for plan in sheets]),
    ]
    wastes = [
        f"{1 - fsum(used for used, _ in both) / fsum(bought for _, bought in both):.1%} of the {of}"
        for of, both in amounts
        if both
    ]
    rows = [("Left over", " and ".join(wastes) + ": off-cuts and sawdust")] if wastes else []
    if unproven := proof_of(boards, sheets).text:
        rows.append(("Cut plans", unproven))
    return rows


def _item(numbers: Sequence[int], text: str) -> list[str]:
    first = numbered(f"board {number}" for number in numbers).removeprefix("board ")
    return wrapped(f"{first}: {text}", "        ", "    ")


def _own_boards(plan: SectionPlan, units: Units) -> Iterator[str]:
    if plan.at_hand:
        each = (f"{n} of {format_length(stock.length_mm, units)}" for stock, n in plan.at_hand)
        yield f"{', '.join(each)} of your own"


def _own_sheets(plan: StockPlan, units: Units) -> Iterator[str]:
    if plan.at_hand:
        each = (
            f"{n} of {sides_words(stock.width_mm, stock.length_mm, units)}"
            for stock, n in plan.at_hand
        )
        yield f"{', '.join(each)} of your own"


def _stops(plan: SectionPlan, stage: int, units: Units) -> str:
    """How many pieces there are of each length."""
    counts = (
        f"{len(stop.pieces)} at {format_length(stop.length_mm, units)}"
        for stop in stops(plan, units)
        if stop.stage == stage
    )
    return f"Stop: {', '.join(counts)}."


def _use(plan: SectionPlan, same: Sequence[BoardUse], units: Units) -> str:
    use = same[0]
    length = length_words(use, units)
    pieces = (text for _, text in run_words(same, plan, units, {}))
    what = f"your own {length}" if use.board.stock.is_own else length
    if use.is_offcut:
        what = f"off-cut of {length}"
    each = " each" if len(same) > 1 else ""
    return f"{what}{each}, " + "; ".join(filter(None, [*pieces, left_words(use, units)]))


def _sheet(use: SheetUse, kerf_mm: float, units: Units) -> str:
    pieces = _sheet_pieces(use, kerf_mm, units)
    off = [
        f"shave {format_length(one.off_mm, units)} off the {one.divides}" for one in use.shavings
    ]
    left = [f"{sides_words(one.width_mm, one.length_mm, units, 'down')} left" for one in use.left]
    kept = [f"keep {kept_words(one, units)}" for one in use.kept]
    what = f"off-cut {use.name}, " if use.name else ""
    if use.sheet.stock.is_own and not use.name:
        what = f"your own {sides_words(use.width_mm, use.length_mm, units)}, "
    return what + "; ".join([*pieces, *off, *left, *kept])


def _sheet_pieces(use: SheetUse, kerf_mm: float, units: Units) -> Iterator[str]:
    """Pieces of a sheet in its order, neighbours of one sort told together."""
    marks = sheet_marks(use.sheet, kerf_mm, units)
    pieces = [
        (sides_words(*sides_mm, units), ", turned" if placed.turned else "", placed.piece.name)
        for placed, sides_mm in zip(use.sheet.placed, marks.pieces_mm, strict=True)
        if placed in use.placed
    ]
    for (sides, turned, _), some in groupby(
        pieces, key=lambda one: (*one[:2], re.sub(r" \d+$", "", one[2]))
    ):
        names = sorted((name for _, _, name in some), key=natural)
        each = f"{len(names)} at {sides}:" if len(names) > 1 else sides
        yield f"{each} {numbered(names)}{turned}"


def _how_good(
    plan: LengthPlan | SheetPlan, what: str, bought: float, scene: Scene, *, has_own: bool
) -> str:
    """What it comes to, and how much better a plan may be where one may and that is known."""
    if plan.cost is None:
        quantity = "run" if what == "length" else "area"
        amount = format_number(bought, quantity, scene.units)
    else:
        amount = _money(plan.cost, scene)
    if plan.gap == 0 or has_own:
        return amount
    return f"{amount}, {at_most(plan.gap)} above the least"


def _money(amount: float, scene: Scene) -> str:
    return f"{amount:,.2f} {scene.currency}".strip()

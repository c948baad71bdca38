"""What `pikepole cut` says: what to buy, and what is cut from each board and sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import fsum
from typing import TYPE_CHECKING

from pikepole_export.cli.words import built_already, plural, wrapped
from pikepole_export.derive.buying.order import at_most, proof_of
from pikepole_export.derive.cutting.board_work import board_work, piece_words, stops
from pikepole_export.derive.cutting.marks import sheet_marks, sides_words
from pikepole_export.derive.cutting.sheet_work import kept_words, sheet_work
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


def opening(building: Building) -> list[str]:
    """What the plans reckon with."""
    scene = building.scene
    kerf = format_length(scene.cutting.kerf, scene.units)
    trim_mm = scene.cutting.end_trim
    trim = f"{format_length(trim_mm, scene.units)} off each end" if trim_mm else "ends not trimmed"
    order = (
        "Boards are cut up at once, for several stages: write the stage on what is set aside."
        if scene.cutting.mix
        else "Cut as you build: open a board when its stage comes. Write its number on what is to "
        "be kept of it for a later stage."
    )
    text = (
        f"{scene.title}: boards and sheets. Saw kerf {kerf}, {trim}. Measure a board before you "
        "cut it, and mark pieces that are alike from one pattern, never from the piece before. Cut "
        f"a piece to length first, then rip it where that is said. {order}"
    )
    text = " ".join((text, *built_already(building)))
    return [*wrapped(text), *wrapped(AT_THE_SAW)]


def boards_list(plans: Sequence[SectionPlan], building: Building) -> list[str]:
    """What to buy of every section, then stage by stage what is cut from which board."""
    scene = building.scene
    lines: list[str] = []
    for plan in plans:
        head = f"{plan.section.name}, {plan.material}: {plural(plan.pieces, 'piece')}"
        buy = ", ".join(
            f"{boards} of {format_length(stock.length_mm, scene.units)}"
            for stock, boards in plan.bought
        )
        told = [*([f"Buy {buy}."] if buy else []), *_own_boards(plan, scene.units)]
        lines += ["", *wrapped(head), *wrapped(" ".join(told), "  ", "  ")]
        how_good = _how_good(
            plan.plan, "length", plan.plan.bought_mm, scene, has_own=bool(plan.at_hand)
        )
        lines += wrapped(how_good, "  ", "  ")
    for stage in building.stages:
        head = ["", f"Stage {stage.number}, {stage.name}"]
        for plan in plans:
            uses = [
                use for use in board_work(plan, scene.cutting.kerf) if use.stage == stage.number
            ]
            if uses:
                section = f"{plan.section.name}, {plan.material}"
                lines += [*head, *wrapped(section, "  ", "  ")]
                lines += wrapped(_stops(plan, stage.number, scene.units), "    ", "    ")
                head = []
            for use in uses:
                lines += _item(use.number, _use(plan, use, scene.units))
    return lines


def sheets_list(plans: Sequence[StockPlan], building: Building) -> list[str]:
    """How many sheets of every stock, then stage by stage what is cut from which."""
    scene = building.scene
    lines: list[str] = []
    for plan in plans:
        head = f"{plan.stock.name}: {plural(plan.pieces, 'piece')}"
        size = sides_words(plan.stock.width_mm, plan.stock.length_mm, scene.units)
        lines += ["", *wrapped(head)]
        scored = "" if plan.kerf_mm else " Scored and snapped: no kerf."
        told = [*([f"Buy {plan.bought} of {size}."] if plan.bought else [])]
        told += _own_sheets(plan, scene.units)
        lines += wrapped(f"{' '.join(told)}{scored}", "  ", "  ")
        how_good = _how_good(
            plan.plan, "area", plan.plan.bought_mm2, scene, has_own=bool(plan.at_hand)
        )
        lines += wrapped(how_good, "  ", "  ")
    for stage in building.stages:
        head = ["", f"Stage {stage.number}, {stage.name}"]
        for plan in plans:
            uses = [use for use in sheet_work(plan) if use.stage == stage.number]
            if uses:
                lines += [*head, *wrapped(plan.stock.name, "  ", "  ")]
                head = []
            for use in uses:
                lines += _item(use.number, _sheet(use, plan.kerf_mm, scene.units))
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


def _item(number: int, text: str) -> list[str]:
    return wrapped(text, "        ", f"  {number:>4}  ")


def _own_boards(plan: SectionPlan, units: Units) -> Iterator[str]:
    if plan.at_hand:
        each = (f"{n} of {format_length(stock.length_mm, units)}" for stock, n in plan.at_hand)
        yield f"From your own: {', '.join(each)}."


def _own_sheets(plan: StockPlan, units: Units) -> Iterator[str]:
    if plan.at_hand:
        each = (
            f"{n} of {sides_words(stock.width_mm, stock.length_mm, units)}"
            for stock, n in plan.at_hand
        )
        yield f"From your own: {', '.join(each)}."


def _stops(plan: SectionPlan, stage: int, units: Units) -> str:
    """How many pieces there are of each length."""
    counts = (
        f"{format_length(stop.length_mm, units)}: {plural(len(stop.pieces), 'piece')}"
        for stop in stops(plan, units)
        if stop.stage == stage
    )
    return f"Stop at {'; '.join(counts)}."


def _use(plan: SectionPlan, use: BoardUse, units: Units) -> str:
    length = format_length(use.length_mm, units)
    pieces = (
        f"{format_length(piece.length_mm, units)} {piece_words(piece, use, plan, units)}"
        for piece in use.pieces
    )
    what = f"your own {length}" if use.board.stock.is_own else length
    if use.is_offcut:
        what = f"off-cut of {length}"
    return f"{what}: " + "; ".join([*pieces, *_rest(use, units)])


def _rest(use: BoardUse, units: Units) -> Iterator[str]:
    left = format_length(use.left_mm, units, "down")
    if use.is_kept:
        yield f"keep {left}"
    elif left != format_length(0.0, units):
        yield f"{left} left"


def _sheet(use: SheetUse, kerf_mm: float, units: Units) -> str:
    marks = sheet_marks(use.sheet, kerf_mm, units)
    pieces = [
        f"{sides_words(*sides_mm, units)} {placed.piece.name}"
        + (", turned" if placed.turned else "")
        for placed, sides_mm in zip(use.sheet.placed, marks.pieces_mm, strict=True)
        if placed in use.placed
    ]
    left = [f"{sides_words(one.width_mm, one.length_mm, units, 'down')} left" for one in use.left]
    kept = [f"keep {kept_words(one, units)}" for one in use.kept]
    what = f"off-cut {use.name}: " if use.name else ""
    if use.sheet.stock.is_own and not use.name:
        what = f"your own {sides_words(use.width_mm, use.length_mm, units)}: "
    return what + "; ".join([*pieces, *left, *kept])


def _how_good(
    plan: LengthPlan | SheetPlan, what: str, bought: float, scene: Scene, *, has_own: bool
) -> str:
    """What it comes to, and how much better a plan can be; how much with one's own is not known."""
    if plan.cost is None:
        quantity = "run" if what == "length" else "area"
        amount = f"{format_number(bought, quantity, scene.units)} in all"
        better = f"buys less {what}"
    else:
        amount = f"{_money(plan.cost, scene)} in all"
        better, what = "costs less", "cost"
    if plan.gap == 0:
        return f"{amount}. No plan {better}."
    if has_own:
        return f"{amount}."
    return f"{amount}, {at_most(plan.gap)} above the least possible {what}."


def _money(amount: float, scene: Scene) -> str:
    return f"{scene.currency} {amount:,.2f}".strip()

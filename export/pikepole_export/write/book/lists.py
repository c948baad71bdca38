"""What stands after the stages: what to buy, how it compares with the rules, drawings, the index.

buying_chapter(buying, building, told) -> Chapter
checks_chapter(strength, units) -> Chapter
drawings_chapter(title, label, words, drawings, folder) -> Chapter
index_chapter(building, told) -> Chapter
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from pathlib import Path

from pikepole_export.derive.buying.order import BuyList
from pikepole_export.derive.buying.purchase import Purchase, counted
from pikepole_export.derive.buying.wording import asked_for, count_text, in_words
from pikepole_export.derive.strength.check import Check
from pikepole_export.derive.strength.plan import DEFERS, Strength
from pikepole_export.derive.strength.words import (
    capacity_text,
    clause_text,
    demand_text,
    formula_text,
    limit_text,
    says,
)
from pikepole_export.write.book.blocks import (
    TICK,
    Block,
    Cell,
    Chapter,
    Column,
    Drawing,
    Head,
    Points,
    Table,
    Words,
)
from pikepole_export.write.book.names import runs
from pikepole_export.write.book.setting import page_size, title_of
from pikepole_export.write.book.told import (
    BUYING,
    Told,
    drawing_label,
    pieces_label,
    stage_label,
)
from pikepole_model.building.part import Building
from pikepole_model.scene.schema import Scene
from pikepole_model.units import Units, plural

_INDEX = (
    Column("Piece", wraps=True),
    Column("Stage", right=True),
    Column("Cut"),
    Column("Pattern"),
    Column("Card"),
)
_CHECKS = (
    Column("Member and rule", wraps=True),
    Column("Asked, and may be", wraps=True),
    Column("Says", wraps=True),
    Column("How, and by which rule", wraps=True),
)
_DRAWINGS = (Column("Drawing", wraps=True), Column("Page", right=True))
_TOLD = 0.5  # of what may be: checks of less are in the table of all of them alone
_SHORT = 8  # lines that stand under each other
_NARROW = 36  # letters in a third of the page


def buying_chapter(buying: BuyList, building: Building, told: Told) -> Chapter:
    """All that is ordered, supplier by supplier."""
    units: Units = building.scene.units
    money = f" Prices in {buying.currency}." if buying.currency else ""
    columns = (
        Column(""),
        Column("Quantity", right=True),
        Column("What", wraps=True),
        Column("For", wraps=True),
        Column("Stage", right=True),
        Column("Each", right=True),
        Column("Total", right=True),
    )
    blocks: list[Block] = [Words(f"{told.general[1]}{money}")]
    for supplier, own in groupby(buying.purchases, key=lambda one: one.supplier):
        cost = buying.total_of(supplier)
        seller = in_words(supplier.value, building.scene.english)
        blocks.append(Head(f"{seller[:1].upper()}{seller[1:]}"))
        rows = [_purchase(one, building.scene) for one in own]
        if cost is not None:
            whole = Cell("Together, of what has a price", bold=True)
            rows.append(
                (Cell(), Cell(), whole, Cell(), Cell(), Cell(), Cell(f"{cost:,.2f}", bold=True))
            )
        blocks.append(Table(columns, tuple(rows)))
    if buying.not_ordered:
        blocks.append(Head("Not ordered: work to do, or yours to decide"))
        items: list[Cell] = []
        for amount in buying.not_ordered:
            count = counted(amount, units)
            much = f"{count[0]:,.2f} {count[1]}; " if count else ""
            items.append(Cell(f"{amount.item}, {amount.where}: {much}{amount.how}"))
        blocks.append(Points(tuple(items), boxes=True))
    return Chapter("What to buy", BUYING, tuple(blocks))


def _purchase(one: Purchase, scene: Scene) -> tuple[Cell, ...]:
    asked = asked_for(one, scene.units)
    spare = f"; {one.spare} spare" if one.spare else ""
    return (
        TICK,
        Cell(count_text(one)),
        Cell(in_words(f"{asked}{spare}", scene.english), bold=True),
        Cell(in_words(one.where, scene.english)),
        Cell(str(one.stages[0]), to=stage_label(one.stages[0])),
        Cell("" if one.unit_price is None else f"{one.unit_price:,.2f}"),
        Cell("" if one.total is None else f"{one.total:,.2f}"),
    )


def checks_chapter(strength: Strength, units: Units) -> Chapter:
    """How members compare with the rules, what was taken for granted, what was not looked at."""
    told = [one for one in strength.checks if one.ratio >= _TOLD]
    rest = len(strength.checks) - len(told)
    return Chapter(
        "How it compares with rules of strength",
        "checks",
        (
            Words(DEFERS),
            Head("Taken for granted"),
            Points(tuple(Cell(one.told) for one in strength.assumed)),
            Head("Not looked at"),
            Points(tuple(map(Cell, strength.left_out))),
            Head("The worst of each sort of member, the worst first"),
            Table(_CHECKS, tuple(_check(one, units) for one in told)),
            *(
                [Words(f"{plural(rest, 'check')} more under half of what may be: checks.csv.")]
                * (rest > 0)
            ),
        ),
    )


def _check(one: Check, units: Units) -> tuple[Cell, ...]:
    of = f", the worst of {one.of}" if one.of > 1 else ""
    loads = f", {one.combination.name}" if one.combination else ""
    place = f", {one.place}" if one.place else ""
    return (
        Cell(f"{one.member}{of}: {one.rule.value}{loads}{place}", bold=one.is_over),
        Cell(f"{demand_text(one, units)} of {capacity_text(one, units)}"),
        Cell(says(one), bold=one.is_over),
        Cell(f"{formula_text(one, units)}; {limit_text(one, units)} ({clause_text(one)})"),
    )


def drawings_chapter(
    title: str,
    label: str,
    words: str,
    drawings: Sequence[Path],
    folder: Path,
    job: str,
    built: Mapping[str, Sequence[int]] | None = None,
) -> Chapter:
    """Drawings at true size, each on a page of its own, after a list of them.

    Args:
        title: Of the chapter.
        label: By which others lead to it.
        words: What is said of them.
        drawings: In order; at least one.
        folder: They are in.
        job: Whose they are, which is not said again.
        built: By their names the stages that build what is drawn, where that is known.

    Raises:
        OutputError: one does not say its size.
    """
    rows = tuple(
        (Cell(title_of(one, job)), Cell(pages=(drawing_label(one.stem),))) for one in drawings
    )
    return Chapter(
        title,
        label,
        (
            Words(words),
            Table(_DRAWINGS, rows, folded=_strips(rows)),
            *(_drawing(one, folder, (built or {}).get(one.stem, ())) for one in drawings),
        ),
        runs_on=True,
    )


def _strips(rows: Sequence[tuple[Cell, ...]]) -> int:
    """In how many strips a list of drawings has room."""
    if len(rows) <= _SHORT:
        return 1
    return 3 if max(len(row[0].text) for row in rows) <= _NARROW else 2


def _drawing(one: Path, folder: Path, stages: Sequence[int]) -> Drawing:
    wide_mm, high_mm = page_size(one)
    back = tuple(Cell(f"stage {stage}, page", pages=(stage_label(stage),)) for stage in stages)
    file = one.relative_to(folder).as_posix()
    return Drawing(file, drawing_label(one.stem), wide_mm, high_mm, back)


def index_chapter(building: Building, told: Told) -> Chapter:
    """For each piece by its name the pages that it is on."""
    cards: dict[str, list[int]] = {}
    for lift in told.plan.lifts if told.plan else ():
        for name in dict.fromkeys((*lift.item.same, *(p.name for p in lift.item.whole.parts))):
            if lift.number in told.cards:
                cards.setdefault(name, []).append(lift.number)

    def leads(name: str, stage: int) -> tuple[tuple[str, ...], ...]:
        (cut, _), (pattern, _) = (
            found.get(name, ("", "")) for found in (told.marks, told.patterns)
        )
        lifts = tuple(label for lift in cards.get(name, ()) for label in told.card_of(lift))
        return (pieces_label(stage),), told.leads(cut), told.leads(pattern), lifts

    found = sorted(
        ((part.name, leads(part.name, part.stage)) for part in building.handled),
        key=lambda one: _in_order(one[0]),
    )
    return Chapter(
        "Index: from part to page",
        "index",
        (Table(_INDEX, tuple(_entries(found)), folded=2),),
        runs_on=True,
    )


def _entries(
    found: Sequence[tuple[str, tuple[tuple[str, ...], ...]]],
) -> Iterator[tuple[Cell, ...]]:
    """Neighbours that are on the same pages stand in one line."""
    for pages, own in groupby(found, key=lambda one: one[1]):
        for name in runs(name for name, _ in own):
            yield Cell(name), *(Cell(pages=labels) for labels in pages)


def _in_order(name: str) -> tuple[tuple[bool, int, str], ...]:
    """By the alphabet, and numbers in a name by their size."""
    return tuple(
        (not piece.isdecimal(), int(piece) if piece.isdecimal() else 0, piece)
        for piece in re.split(r"(\d+)", name.casefold())
        if piece
    )

"""The pieces of a stage as they are laid out before the work, a row for all that are alike.

pieces_table(parts, told, units) -> Table
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from pikepole_export.derive.inventory.described import round_words
from pikepole_export.write.book.blocks import TICK, Cell, Column, Table
from pikepole_export.write.book.names import listed
from pikepole_export.write.book.told import Told
from pikepole_model.building.kind_rows import Bought, Counted, Cut, Handled
from pikepole_model.building.part import Part
from pikepole_model.units import Units, format_length

_COLUMNS = (
    Column(""),
    Column("Piece", wraps=True),
    Column("No.", right=True),
    Column("Stock", wraps=True),
    Column("Length", wraps=True),
    Column("Cuts", wraps=True),
    Column("Cut from, page", wraps=True),
)
# What comes by the piece has no size to lay out.
_BY_COUNT = {Bought.BOLT, Bought.CONNECTOR, Bought.IRON, Bought.FITTING, Bought.NOT}


def pieces_table(parts: Iterable[Part], told: Told, units: Units) -> Table:
    """A row for each sort of piece, in order of building.

    Args:
        parts: Of a stage.
        told: Where they are cut from, and by which drawings.
        units: Of the tape.
    """
    alike: dict[tuple[str, ...], list[Part]] = defaultdict(list)
    for part in parts:
        cuts = _cuts(part, told, units)
        key = (part.kind, part.stock, part.material.told, _size(part, units), cuts.text)
        alike[key].append(part)
    return Table(_COLUMNS, tuple(_row(own, told, units) for own in alike.values()))


def _row(parts: Sequence[Part], told: Told, units: Units) -> tuple[Cell, ...]:
    first = parts[0]
    return (
        TICK,
        Cell("; ".join(listed(part.name for part in parts)), bold=True),
        Cell(str(len(parts))),
        Cell(_stock(first)),
        Cell(_size(first, units)),
        _cuts(first, told, units),
        _marks(parts, told),
    )


def _stock(part: Part) -> str:
    """What it is of; a board without its species, one for all that are treated alike."""
    material = part.material
    told = [material.told]
    if part.kind.row.cut is Cut.BOARD:
        told = ["treated"] * material.treated + ["weighed"] * bool(material.weighed)
    return ", ".join(dict.fromkeys((part.stock, *told)))


def _size(part: Part, units: Units) -> str:
    """Its length, or its width and length; nothing of what is no piece to cut."""
    row = part.kind.row
    if row.bought in _BY_COUNT:
        return ""
    if row.handled is Handled.IN_PLACE:
        return round_words(part, units)
    sizes = (part.length_mm,)
    if row.counted is Counted.AREA:
        sizes = (part.across_mm[1], part.length_mm)
    return " x ".join(format_length(mm, units) for mm in sizes)


def _cuts(part: Part, told: Told, units: Units) -> Cell:
    """How it is cut beside its length: by a drawing, or ripped, or square."""
    if part.kind.row.cut is Cut.NOT and part.name not in told.patterns:
        return Cell()
    width_mm = told.ripped_mm.get(part.name)
    rip = f"rip to {format_length(width_mm, units)}" if width_mm else ""
    drawing, pattern = told.patterns.get(part.name, ("", ""))
    if pattern:
        text = ", ".join(filter(None, (rip, f"by {pattern}")))
        pages = told.leads(drawing)
        return Cell(f"{text}, p." if pages else text, pages=pages)
    return Cell(rip or "square")


def _marks(parts: Sequence[Part], told: Told) -> Cell:
    """What the cut plan calls them: "board 3, a to c; board 5, a", and on which pages."""
    letters: dict[str, list[str]] = defaultdict(list)
    pages: dict[str, None] = {}
    for part in parts:
        if part.name in told.marks:
            drawing, mark = told.marks[part.name]
            board, _, letter = mark.removeprefix(f"{part.stock} ").rpartition(", ")
            letters[board].append(letter)
            pages |= dict.fromkeys(told.leads(drawing))
    by_letters: dict[str, list[str]] = defaultdict(list)
    for board, own in letters.items():
        by_letters[" ".join(own)].append(board)
    text = "; ".join(
        ", ".join(filter(None, ("; ".join(listed(boards)), own)))
        for own, boards in by_letters.items()
    )
    return Cell(f"{text}, p." if pages else text, pages=tuple(pages))

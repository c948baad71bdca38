"""What is at hand, taken off what would be bought, and what of it is used for nothing.

    from_own(scene, purchases) -> tuple[Purchase, ...]
    own_findings(scene, purchases) -> Iterator[Finding]     purchases with what is from the yard
    unknown_findings(scene, names) -> Iterator[Finding]     what nothing in the list is called

Boards and sheets are taken off where cuts are planned: their rows are among the purchases already.
All else goes by its name.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from pikepole_export.derive.buying.fasteners import BRIGHT
from pikepole_export.derive.buying.purchase import Purchase, Supplier
from pikepole_model.errors import Finding
from pikepole_model.scene.buying import PER
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.work import Have
from pikepole_model.stock.catalogue import close_names

_OFFERED = 3  # nearest names that a finding tells


def from_own(scene: Scene, purchases: Iterable[Purchase]) -> tuple[Purchase, ...]:
    """The same purchases, each less what is at hand of it, and a row for that.

    Args:
        scene: Says what is at hand.
        purchases: All of a building.
    """
    found = [*purchases]
    for one in scene.have:
        if not _is_cut(scene, one) and not _why_not(found, one):
            found = [*_less(found, one)]
    return tuple(found)


def own_findings(scene: Scene, purchases: Sequence[Purchase]) -> Iterator[Finding]:
    """Stock at hand that nothing is cut from or taken of.

    Args:
        scene: Says what is at hand.
        purchases: All of a building, what is from the yard among them.
    """
    own = [one for one in purchases if one.supplier is Supplier.OWN]
    names = dict.fromkeys(name for one in purchases for name in one.names)
    unknown = {finding.key: finding for finding in unknown_findings(scene, names)}
    for number, one in enumerate(scene.have, start=1):
        key = f"have[{number}]"
        if key in unknown:
            yield unknown[key]
        elif not any(_is_of(row, one) for row in own):
            text = f'nothing is cut from "{one.item}" of this size'
            if not _is_cut(scene, one):
                why = _why_not(purchases, one) or "there is less than one whole piece of it"
                text = f'"{one.item}": {why}'
            yield Finding("other", text, (), key=key, mend="leave it out")


def unknown_findings(scene: Scene, names: Iterable[str]) -> Iterator[Finding]:
    """Stock at hand that the building takes nothing of.

    Args:
        scene: Says what is at hand.
        names: All that is bought or cut is called.
    """
    known = [*names]
    for number, one in enumerate(scene.have, start=1):
        if one.item not in known:
            near = ", ".join(f'"{name}"' for name in close_names(one.item, known)[:_OFFERED])
            mend = f"the nearest there is: {near}" if near else "leave it out"
            text = f'the building takes nothing called "{one.item}"'
            yield Finding("other", text, (), key=f"have[{number}]", mend=mend)


def _less(purchases: Sequence[Purchase], one: Have) -> Iterator[Purchase]:
    left, rows = one.count, _rows(purchases, one)
    for row in purchases:
        much = _taken(row, left) if row in rows else 0.0
        left -= much
        share = much / row.quantity
        if share < 1:
            yield _part(row, 1 - share, of_rest=True)
        if share > 0:
            yield replace(_part(row, share, of_rest=False), supplier=Supplier.OWN)


def _rows(purchases: Sequence[Purchase], one: Have) -> list[Purchase]:
    """What stock at hand may be taken off; fasteners that are not said to be coated are bright."""
    rows = [
        row
        for row in purchases
        if one.item in row.names and row.supplier is not Supplier.OWN and not row.treated
    ]
    bright = [row for row in rows if row.made_of == BRIGHT]
    return bright or rows


def _why_not(purchases: Sequence[Purchase], one: Have) -> str:
    """Why stock at hand is not taken off anything; empty where it is."""
    rows = _rows(purchases, one)
    if any(row.supplier is Supplier.METAL for row in rows):
        return "it is cut or bent to order"
    if len({(row.made_of, row.size_mm) for row in rows}) > 1:
        return "the building takes it in several sizes or makes"
    return ""


def _taken(row: Purchase, count: float) -> float:
    """How much of a row is at hand, in its unit: whole pieces."""
    much = min(count, row.quantity)
    return float(math.floor(much)) if row.unit in ("piece", "box") else much


def _part(row: Purchase, share: float, *, of_rest: bool) -> Purchase:
    """A share of a row: the first of it is at hand, the rest is bought."""
    if share == 1:
        return row
    ordered = row.ordered * share
    if row.unit in ("piece", "box"):
        ordered = float(round(ordered)) * PER[row.unit][1]
    own_first = 1 - share if of_rest else share
    split = round(len(row.parts) * own_first)
    used_first = min(row.used, row.ordered * own_first)
    return replace(
        row,
        ordered=ordered,
        used=max(0.0, row.used - used_first) if of_rest else used_first,
        sold_by={by: much * share for by, much in row.sold_by.items()},
        parts=row.parts[split:] if of_rest else row.parts[:split],
        how=f"{row.how}; the rest is your own" if of_rest else row.how,
    )


def _is_cut(scene: Scene, one: Have) -> bool:
    return one.item in scene.catalogue.lumber or scene.catalogue.sheet_named(one.item) is not None


def _is_of(row: Purchase, one: Have) -> bool:
    """Whether a row from the yard is of some stock at hand."""
    if one.item not in row.names or one.treated != row.treated:
        return False
    sizes = [size for size in (one.width, one.length) if size is not None]
    return all(any(abs(size - mm) < 1e-6 for mm in row.size_mm) for size in sizes)

"""Boards over what the cut plan takes: for the one that is twisted, split or cut too short.

    with_spare(scene, purchases) -> tuple[Purchase, ...]
    spare_findings(scene, purchases) -> Iterator[Finding]     sections that nothing is bought of

A share of the boards of each section and material, those of the braces counted too, to the nearest
board; of untreated studs at least as many as the scene says. They are of the length that most of
the section's boards have, the longest of several.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pikepole_export.derive.buying.purchase import Purchase, Supplier
from pikepole_model.errors import Finding
from pikepole_model.scene.schema import Scene


def with_spare(scene: Scene, purchases: Sequence[Purchase]) -> tuple[Purchase, ...]:
    """The same purchases, with the spare boards of each section on one of its rows.

    Args:
        scene: Says how many.
        purchases: All of a building, boards for braces among them.
    """
    piles: dict[tuple[str, str], list[Purchase]] = {}
    for one in purchases:
        if one.item in scene.catalogue.lumber and one.supplier is not Supplier.OWN:
            piles.setdefault((one.item, one.made_of), []).append(one)
    more = {
        id(max(pile, key=lambda one: (bool(one.used), one.ordered, one.size_mm))): boards
        for pile in piles.values()
        if (boards := _boards(scene, pile))
    }
    return tuple(_with(one, more[id(one)]) if id(one) in more else one for one in purchases)


def spare_findings(scene: Scene, purchases: Sequence[Purchase]) -> Iterator[Finding]:
    """Sections of [[spare.of]] that nothing is bought of."""
    bought = dict.fromkeys(one.item for one in purchases if one.item in scene.catalogue.lumber)
    for number, one in enumerate(scene.spare.of, start=1):
        if one.section not in bought:
            sections = ", ".join(f'"{name}"' for name in bought)
            yield Finding(
                "other",
                f'no board of "{one.section}" is bought',
                (),
                key=f"spare.of[{number}]",
                mend=f"leave it out; bought are {sections}" if bought else "leave it out",
            )


def _boards(scene: Scene, pile: Sequence[Purchase]) -> int:
    """How many spare boards there are of one section and material."""
    count = sum(one.ordered for one in pile)
    own = next((one for one in scene.spare.of if one.section == pile[0].item), None)
    if own and own.boards is not None:
        return own.boards
    percent = own.percent if own and own.percent is not None else scene.spare.percent
    share = math.floor(count * percent / 100 + 0.5)
    is_stud = pile[0].item == scene.walls.stud and not pile[0].treated
    return max(share, scene.spare.studs) if is_stud and own is None else share


def _with(purchase: Purchase, boards: int) -> Purchase:
    ordered = purchase.ordered + boards
    sold_by = {by: much * ordered / purchase.ordered for by, much in purchase.sold_by.items()}
    return replace(
        purchase,
        ordered=ordered,
        sold_by=sold_by,
        spare=boards,
        how=f"{purchase.how}; {boards} spare",
    )

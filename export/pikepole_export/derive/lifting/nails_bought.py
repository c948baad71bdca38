"""Nails that the lifts of a building ask for beside those of its joints, as they are bought."""

from __future__ import annotations

from collections.abc import Mapping

from pikepole_export.derive.buying.amounts import whole
from pikepole_export.derive.buying.fasteners import BRIGHT
from pikepole_export.derive.buying.purchase import Purchase, Supplier
from pikepole_export.derive.buying.wording import box_text
from pikepole_model.building.fastenings import load_fastenings
from pikepole_model.building.part import Building


def nails_bought(
    building: Building,
    name: str,
    use: Mapping[int, float],
    where: str,
    how: str,
    finish: str = BRIGHT,
) -> Purchase:
    """Boxes of nails; none is driven twice.

    Args:
        building: Its scene says how many are lost.
        name: Of the nail.
        use: How many each stage takes, by its number.
        where: What they are for.
        how: Where each goes: "at both ends".
        finish: What they are coated with.
    """
    scene = building.scene
    nail, pieces = load_fastenings().bought[name], whole(sum(use.values()))
    needed = pieces * (1 + scene.waste.fasteners / 100)
    pack = nail.pack_for(whole(needed))
    boxes = whole(needed / pack.pieces)
    return Purchase(
        Supplier.IRONMONGER,
        name,
        finish,
        where,
        (),
        "box",
        boxes,
        0.0,
        f"{pieces:,} and {scene.waste.fasteners:g} %, {how}, in boxes of {pack.pieces:,}",
        {"boxes": boxes, "pieces": boxes * pack.pieces},
        use,
        asked=box_text(name, nail.size, finish, pack, scene.units),
    )

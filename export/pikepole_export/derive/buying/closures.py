"""Strips of foam that close the ribs of roof panels at both ends: under them and over them.

    closures(building, 0.1) -> the strips of each profile

They keep insects, birds, snow and driven rain out: common practice, no source. They are squeezed
flat between steel and steel or steel and sheet, so that the model leaves no room for them.
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.buying.amounts import PRACTICE, Amount, Thing, percent, whole
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.sequence import OVER_RIBS
from pikepole_model.units import format_length, plural


def closures(building: Building, waste: float) -> Iterator[Amount]:
    """The strips: one under each panel's lower end, and one over its upper end under the metal.

    Args:
        building: The building.
        waste: Share to buy beyond what is laid, from 0.
    """
    scene = building.scene
    if not scene.roofing or not scene.roofing.closures:
        return
    piles: dict[str, list[Part]] = {}
    for part in building.parts:
        if part.kind == Kind.PANEL:
            piles.setdefault(part.stock, []).append(part)
    metal = tuple(part for part in building.parts if part.kind in OVER_RIBS)
    for stock, parts in piles.items():
        long = format_length(scene.catalogue.find_panel(stock).cover_mm, scene.units)
        # Each goes on with what lies over it.
        ends = [("under", "lower ends", tuple(parts))]
        ends += [("over", "upper ends", metal)] if metal else []
        for side, end, with_them in ends:
            yield Amount(
                Thing.CLOSURE,
                f"closure strip {side} {stock}",
                f"{end} of the roof panels",
                with_them,
                "pieces",
                float(len(parts)),
                whole(len(parts) * (1 + waste)),
                f"{plural(len(parts), 'panel')}, a strip of {long} for each, and {percent(waste)}",
                PRACTICE,
            )

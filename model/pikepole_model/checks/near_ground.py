"""Wood that is not treated, and too near to the ground or to concrete that rain falls on."""

from __future__ import annotations

from collections.abc import Container, Iterator

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import CLADDING, SLATS, Kind, of
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding, and_more
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.envelope import FLOOR_OVER_GROUND_MM, LEAST_OVER_GROUND_MM
from pikepole_model.scene.foundation import Pad, Piers
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.rows import Sheet
from pikepole_model.units import format_length

# What stands in the walls' outside and what covers it.
_WALLS = of(Family.WALL_FRAME) | SLATS | CLADDING | {Kind.WALL_SHEET}
_JOISTS = frozenset({Kind.RIM, Kind.JOIST, Kind.FLOOR_LEDGER, Kind.FLOOR_HEADER, Kind.FLOOR_BLOCK})
_DECK = frozenset({Kind.FLOOR_SHEET, Kind.FLOOR_BOARD})


def wood_findings(building: Building) -> Iterator[Finding]:
    """Siding, sheathing, wall framing and floors that the code wants higher or treated."""
    if building.scene.foundation:  # that could be higher
        yield from _walls_too_low(building)
        yield from _floor_too_low(building)


def _lows(building: Building, kinds: Container[Kind]) -> dict[str, float]:
    """How high parts that are not treated start over finished ground, mm, by name."""
    return {
        part.name: float(part.vertices_mm[:, 2].min())
        for part in building.parts
        if part.kind in kinds and not part.material.treated
    }


def _walls_too_low(building: Building) -> Iterator[Finding]:
    """Studs, plates, sheathing, siding and slats: what the walls stand on has to be higher."""
    scene, least_mm = building.scene, LEAST_OVER_GROUND_MM
    low = _lows(building, _WALLS)
    splashed = tuple(name for name, z in low.items() if z < least_mm - TOLERANCE_MM)
    if not splashed:
        return
    lowest_mm = min(low.values())
    lowest, least = (format_length(mm, scene.units) for mm in (lowest_mm, least_mm))
    key, mend = _higher(scene, least_mm - lowest_mm)
    text = (
        f"brings {and_more(splashed)} down to {lowest} over finished ground, and siding, "
        f"sheathing and wall framing need {least} (IRC R317.1, item 5)"
    )
    yield Finding("other", text, splashed, key=key, mend=mend)


def _higher(scene: Scene, by_mm: float) -> tuple[str, str]:
    """The key that lifts the walls, and how far it has to."""
    foundation = scene.foundation
    if isinstance(foundation, Pad | Piers):
        key = "above_ground" if isinstance(foundation, Pad) else "block_height"
        now_mm: float = getattr(foundation, key)
        return (
            f"foundation.{key}",
            f"give at least {format_length(now_mm + by_mm, scene.units, 'up')}",
        )
    assert foundation
    skid = scene.lumber_stock(foundation.skid)
    deeper = [
        stock
        for stock in scene.catalogue.lumber.values()
        if stock.depth_mm > skid.depth_mm + by_mm - TOLERANCE_MM
        and abs(stock.breadth_mm - skid.breadth_mm) < TOLERANCE_MM
    ]
    mend = f"give a section at least {format_length(skid.depth_mm + by_mm, scene.units, 'up')} deep"
    if deeper:
        mend = f'give "{min(deeper, key=lambda stock: stock.depth_mm).name}"'
    return "foundation.skid", mend


def _floor_too_low(building: Building) -> Iterator[Finding]:
    """Joists, and the sheets or boards on them, over the ground that are not treated."""
    scene, least_mm = building.scene, FLOOR_OVER_GROUND_MM - TOLERANCE_MM
    low = _lows(building, _JOISTS | _DECK)
    damp = tuple(name for name, z in low.items() if z < least_mm)
    floor = scene.floor
    if not damp or not floor:
        return
    lowest = format_length(min(low.values()), scene.units)
    least = format_length(FLOOR_OVER_GROUND_MM, scene.units, "up")
    if not floor.treated:
        text = (
            f"is false, and {and_more(damp)} lies {lowest} over the ground: floors under {least} "
            "are treated (IRC R317.1, item 1)"
        )
        yield Finding("other", text, damp, key="floor.treated", mend="give true")
        return
    assert floor.sheet
    stock = scene.sheet_stock(floor.sheet)
    text = (
        f"is untreated, and {and_more(damp)} lies {lowest} over the ground: floors under "
        f"{least} are treated (IRC R317.1, item 1)"
    )

    def unlike(sheet: Sheet) -> tuple[float, float]:
        sides = abs(sheet.width_mm - stock.width_mm) + abs(sheet.length_mm - stock.length_mm)
        return sides, abs(sheet.thickness_mm - stock.thickness_mm)

    likest = min((one for one in scene.catalogue.sheets.values() if one.treated), key=unlike)
    yield Finding("other", text, damp, key="floor.sheet", mend=f'give "{likest.name}"')

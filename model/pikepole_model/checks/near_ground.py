"""Wood that is not treated, and too near to the ground or to concrete that rain falls on."""

from __future__ import annotations

from collections.abc import Container, Iterator

from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import CLADDING, SLATS, Kind, of
from pikepole_model.building.part import Building
from pikepole_model.errors import Finding, and_more
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.scene.envelope import LEAST_OVER_GROUND_MM
from pikepole_model.scene.foundation import Pad, Piers
from pikepole_model.scene.schema import Scene
from pikepole_model.units import format_length

# Least height of untreated joists over the ground under them: 18 in. Source: IRC R317.1, item 1.
JOISTS_OVER_GROUND_MM = 457.2

# What stands in the walls' outside and what covers it.
_WALLS = of(Family.WALL_FRAME) | SLATS | CLADDING | {Kind.WALL_SHEET}
_JOISTS = frozenset({Kind.RIM, Kind.JOIST, Kind.FLOOR_LEDGER, Kind.FLOOR_HEADER, Kind.FLOOR_BLOCK})


def wood_findings(building: Building) -> Iterator[Finding]:
    """Siding, sheathing, wall framing and floor joists that the code wants higher or treated."""
    if building.scene.foundation:  # that could be higher
        yield from _walls_too_low(building)
        yield from _joists_too_low(building)


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


def _joists_too_low(building: Building) -> Iterator[Finding]:
    """Floor frames over the ground that are not treated."""
    scene = building.scene
    low = _lows(building, _JOISTS)
    damp = tuple(name for name, z in low.items() if z < JOISTS_OVER_GROUND_MM - TOLERANCE_MM)
    if damp:
        lowest = format_length(min(low.values()), scene.units)
        least = format_length(JOISTS_OVER_GROUND_MM, scene.units, "up")
        text = (
            f"is false, and {and_more(damp)} lies {lowest} over the ground: joists under {least} "
            "are treated (IRC R317.1, item 1)"
        )
        yield Finding("other", text, damp, key="floor.treated", mend="give true")

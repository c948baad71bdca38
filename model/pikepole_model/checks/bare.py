"""What a scene leaves to the weather: it may do so on purpose, and is told of it all the same.

left_bare(building) -> (Bare, ...)      no findings: a roof may be chosen when the frame stands
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_model.building.kinds import CLADDING, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import and_more
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.walls import OpenWall


@dataclass(frozen=True, slots=True)
class Bare:
    """One layer that is not there.

    Attributes:
        layer: What would lie there.
        where: On what.
        parts: The pieces that are bare.
        mend: What to give.
        source: What asks for it.
    """

    layer: str
    where: str
    parts: tuple[Part, ...]
    mend: str
    source: str


def left_bare(building: Building) -> tuple[Bare, ...]:
    """The layers that sheets want outside and that the scene does not give, from the roof down.

    Source: IRC R903.1, roof decks are covered; R905.2.8.5, drip edges, there of shingles; R703.1.1
        and R703.2, walls have a covering, and what keeps water off their sheets behind it; R703.4,
        doors and windows are flashed (from memory).
    """
    return tuple(_bare(building))


def _bare(building: Building) -> Iterator[Bare]:
    scene = building.scene
    roof = tuple(part for part in building.parts if part.kind is Kind.ROOF_SHEET)
    walls = tuple(part for part in building.parts if part.kind is Kind.WALL_SHEET)
    kinds = {part.kind for part in building.parts}
    if roof and Kind.PANEL not in kinds:
        mend = "give roofing.panel" if scene.roofing else "give [roofing]"
        yield Bare("roofing", "roof sheets", roof, mend, "IRC R903.1")
    if roof and Kind.DRIP_EDGE not in kinds:
        mend = "give edges.metal" if scene.edges else "give [edges]"
        yield Bare("drip edges and trims", "edges of the roof", roof, mend, "IRC R905.2.8.5")
    if walls and kinds.isdisjoint(CLADDING):
        yield Bare("cladding", "wall sheets", walls, "give [[cladding]]", "IRC R703.1.1")
    if walls and Kind.WRAP not in kinds:
        yield Bare("house wrap", "wall sheets", walls, "give [wrap]", "IRC R703.2")
    empty = [one for one in scene.opening if not (one.door or one.window or _is_gap(one, scene))]
    if empty:
        names = and_more(tuple(f'"{one.name}"' for one in empty))
        mend = "give opening.door or opening.window"
        yield Bare(f"door or window: {names}", "rough openings", (), mend, "IRC R703.4")


def _is_gap(opening: Opening, scene: Scene) -> bool:
    """Whether it is a way through a half wall, which is open above as well."""
    kind = scene.walls.kind_of(opening.wall)
    return isinstance(kind, OpenWall) or kind.height is not None

"""What has to be raised into its place, found from the building.

    items(building) -> tuple[Item, ...]        in order of building
    single_item(building, part) -> Item        one piece by itself, or None

A wall is one item, and so is a beam of several plies or a door leaf: their pieces are fixed
together before they go up, or go up one after the other, as is easier. Everything else is raised
piece by piece; equal pieces that go to the same height are one item, so many times. A beam whose
plies all end at one place is as many items as it has lengths there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum, StrEnum, auto
from functools import lru_cache
from typing import assert_never

import numpy as np

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.bodies import named_bodies
from pikepole_export.derive.lifting.halves import halves_of
from pikepole_export.derive.lifting.lengths import Splice, lengths_of, splices_of
from pikepole_export.derive.lifting.loads import Load, load_of
from pikepole_export.derive.lifting.work_surface import (
    GROUND,
    WorkSurface,
    level_surface,
    work_surface,
)
from pikepole_model.building.kind_rows import Assembly, Handled
from pikepole_model.building.kinds import FLOORING, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.sequence import CLOSED_GAPS
from pikepole_model.errors import LayoutError
from pikepole_model.geometry.placement import Vector

# Lighter ones are no lifts. Source: ISO 11228-1:2021, clause 1: it applies from 3 kg.
LEAST_KG = 3.0

# Heights that differ by less are one height to those who lift.
SAME_HEIGHT_MM = 150.0

# Walls whose lengths have at least this cosine between them run the same way.
PARALLEL = 0.9


class Edge(Enum):
    """What a sheet is slid up over on its way, leant at it."""

    EAVE = auto()
    JOIST = auto()  # beside an opening, an open end or a bay that has no sheet yet


class Handling(StrEnum):
    """How an item can be taken hold of."""

    STICK = "stick"  # long and slim
    POST = "post"  # a stick that stands, and is stood up on its foot
    BEAM = "beam"  # plies nailed together, or to be
    SHEET = "sheet"  # wide and thin
    ROOF_SHEET = "roof sheet"  # pushed up over the eave
    LOFT_SHEET = "loft sheet"  # slid up over a joist, from the floor inside
    UNIT = "unit"  # whole and delicate: a door leaf, a window, a pane
    WALL = "wall"  # framed flat and tilted up, or put together standing

    @property
    def is_panel(self) -> bool:
        """Whether it is wide and thin, and held by its edges."""
        match self:
            case Handling.SHEET | Handling.ROOF_SHEET | Handling.LOFT_SHEET | Handling.UNIT:
                return True
            case Handling.STICK | Handling.POST | Handling.BEAM | Handling.WALL:
                return False

    @property
    def over(self) -> Edge | None:
        """What it is slid up over; None where it is lifted free."""
        match self:
            case Handling.ROOF_SHEET:
                return Edge.EAVE
            case Handling.LOFT_SHEET:
                return Edge.JOIST
            case _:
                return None

    @property
    def stands_up(self) -> bool:
        """Whether it is tilted up about its foot."""
        return self in (Handling.POST, Handling.WALL)


class BuiltUp(StrEnum):
    """What several pieces are once they are fixed together."""

    WALL = "wall"
    BEAM = "beam"
    HEADER = "header"
    DOOR_LEAF = "door leaf"
    FRAME = "frame"  # of a wall, without what is put on it later


HEADERS = frozenset({Kind.HEADER, Kind.HEADER_SPACER})


@dataclass(frozen=True)
class Item:
    """Something to be raised, whole or in parts.

    Attributes:
        name: "front wall", "front beam", "rafter 3".
        kind: What it is on site, by its only piece or by what its pieces make.
        handling: How it can be taken hold of.
        stage: Number of the stage that adds it.
        whole: All of it at once.
        pieces: One at a time, where it can be put together in its place; empty otherwise.
        lightened: A wall without its headers and upper plates, which have lifts of their own then.
        same: Names of all the equal ones, its own first.
        work_surface: What there is to stand on.
        floor_mm: Height of what people stand on where they raise it, above ground.
        pass_height_mm: Height that it has to pass on its way, above ground: an edge that
            it is slid up over; else its own.
        inside_of: Name of the wall that a header or an upper plate is a piece of, which has a lift
            of its own only where the wall's frame goes up without it; empty for anything else.
        splices: Where it meets the other lengths of its beam.
        halves: A long wall so, as two frames.
        deck_mm: How long a wall may be, foot to head, to lie on the deck on which it is framed,
            beside what stands there; None where it has no deck.
    """

    name: str
    kind: Kind | BuiltUp
    handling: Handling
    stage: int
    whole: Load
    pieces: tuple[Load, ...]
    lightened: tuple[Load, ...]
    same: tuple[str, ...]
    work_surface: WorkSurface
    floor_mm: float
    pass_height_mm: float
    inside_of: str = ""
    splices: tuple[Splice, ...] = ()
    halves: tuple[Load, ...] = ()
    deck_mm: float | None = None

    @property
    def times(self) -> int:
        """How many equal ones there are."""
        return len(self.same)

    @property
    def names(self) -> tuple[str, ...]:
        """Of all the parts in it and in its equals."""
        return self.same if self.times > 1 else tuple(part.name for part in self.whole.parts)

    @property
    def is_slim(self) -> bool:
        """Whether it is a stick or a beam that does not stand: one end can go up at a time."""
        return self.handling in (Handling.STICK, Handling.BEAM) and not self.whole.is_upright

    def is_frame(self, load: Load) -> bool:
        """Whether a load of it is a framed wall, which lies on the floor until it is tilted up."""
        return self.handling == Handling.WALL and len(load.parts) > 1


@lru_cache(2)  # asked for by the cut plan, by the order and by the plan of lifts
def items(building: Building) -> tuple[Item, ...]:
    """Everything that is raised, in order of building; what is under LEAST_KG is left out."""
    found: list[Item] = []
    for stage in building.stages:
        surface = work_surface(building, stage.number)
        lifted = [part for part in building.handled_in(stage) if _is_lifted(part)]
        groups: dict[str, list[Part]] = defaultdict(list)
        for part in lifted:
            groups[part.group].append(part)
        for group, parts in groups.items():
            found += _in_group(building, group, parts, surface)
    return tuple(found)


def single_item(building: Building, part: Part) -> Item | None:
    """One part by itself, as if it were fixed to nothing; None where it is no lift."""
    group = [one for one in building.handled if one.group == part.group]
    found = _alike([part], group, work_surface(building, part.stage)) if _is_lifted(part) else []
    return found[0] if found else None


def _is_lifted(part: Part) -> bool:
    match part.kind.row.handled:
        case Handled.ROLL | Handled.IN_PLACE | Handled.THERE:
            return False
        case _:
            return True


def _in_group(
    building: Building, group: str, parts: Sequence[Part], surface: WorkSurface
) -> list[Item]:
    """What is raised of the pieces of one group in one stage."""
    mates = building.mates
    wall, plies, leaf = (
        [part for part in parts if part.kind.row.assembly is assembly]
        for assembly in (Assembly.WALL, Assembly.BEAM, Assembly.LEAF)
    )
    # What closes a gap in a wall goes in stick by stick.
    is_wall = group != CLOSED_GAPS and any(part.kind == Kind.BOTTOM_PLATE for part in wall)
    made: list[Item] = []
    taken: set[str] = set()
    if is_wall:
        made.append(replace(_wall(mates, group, wall), deck_mm=_deck_mm(building, wall)))
        later = _afterwards(mates, wall)
        made += [
            _put_together(name, BuiltUp.HEADER, header, surface, inside_of=group)
            for name, header in named_bodies(
                mates, [p for p in later if p.kind in HEADERS], "header"
            )
        ]
        plates = _alike([p for p in later if p.kind not in HEADERS], wall, surface)
        made += [replace(plate, inside_of=group) for plate in plates]
        taken |= {part.name for part in wall}
    for name, beam in named_bodies(mates, plies, "beam"):
        called = group if len(beam) == len(plies) else name
        made += _beam(building, called, beam, surface)
        taken |= {part.name for part in beam}
    for name, whole in named_bodies(mates, leaf, "leaf"):
        made.append(_put_together(name, BuiltUp.DOOR_LEAF, whole, surface))
        taken |= {part.name for part in whole}
    singles = [part for part in parts if part.name not in taken]
    return [item for item in made if _counts(item.whole)] + _alike(singles, parts, surface)


def _counts(load: Load) -> bool:
    return load.mass.high_kg >= LEAST_KG


def _wall(mates: dict[str, set[str]], group: str, parts: Sequence[Part]) -> Item:
    plate = max((p for p in parts if p.kind == Kind.BOTTOM_PLATE), key=lambda p: p.length_mm)
    up: Vector = (0.0, 0.0, 1.0)
    along = plate.placement.u
    whole = load_of(group, parts, (along, up))
    later = _afterwards(mates, parts)
    first = [part for part in parts if part not in later]
    frame = load_of(f"{group} without headers and upper plates", first, (along, up))
    return Item(
        name=group,
        kind=BuiltUp.WALL,
        handling=Handling.WALL,
        stage=parts[0].stage,
        whole=whole,
        pieces=tuple(load_of(part.name, [part]) for part in parts),
        lightened=(frame,) if later else (),
        halves=halves_of(group, first, along) or (),
        same=(group,),
        work_surface=level_surface(whole.low_mm),
        floor_mm=whole.low_mm,
        pass_height_mm=whole.top_mm,
    )


def _deck_mm(building: Building, wall: Sequence[Part]) -> float | None:
    """The deck's size square to a wall, less the walls across from it that stand already, mm."""
    deck = [part for part in building.parts if part.kind in FLOORING]
    if not deck:
        return None
    plate = next(part for part in wall if part.kind == Kind.BOTTOM_PLATE)
    along = np.array(plate.placement.u)
    across = np.cross(along, (0.0, 0.0, 1.0))
    reach = np.concatenate([part.vertices_mm @ across for part in deck])
    standing = {
        part.group: float(np.ptp(part.vertices_mm @ across))
        for part in building.parts
        if part.kind == Kind.BOTTOM_PLATE
        and part.stage < plate.stage
        and abs(float(np.array(part.placement.u) @ along)) > PARALLEL
    }
    return float(np.ptp(reach)) - sum(standing.values())


def _afterwards(mates: dict[str, set[str]], parts: Sequence[Part]) -> list[Part]:
    """The headers and upper plates of a wall, which can be put on when its frame stands."""
    studs = {part.name for part in parts if part.kind in (Kind.STUD, Kind.CORNER_STUD)}
    return [
        part
        for part in parts
        if part.kind in HEADERS or (part.kind == Kind.TOP_PLATE and not mates[part.name] & studs)
    ]


def _beam(building: Building, name: str, parts: Sequence[Part], surface: WorkSurface) -> list[Item]:
    """A beam, or the lengths that it goes up in."""
    lengths = lengths_of(parts)
    if len(lengths) == 1:
        return [_put_together(name, BuiltUp.BEAM, parts, surface)]
    splices = splices_of(building, lengths)
    return [
        replace(
            _put_together(f"{name} length {number}", BuiltUp.BEAM, length, surface),
            splices=tuple(splices[max(number - 2, 0) : number]),
        )
        for number, length in enumerate(lengths, start=1)
    ]


def _put_together(
    name: str, kind: BuiltUp, parts: Sequence[Part], surface: WorkSurface, inside_of: str = ""
) -> Item:
    """A beam or a header, which can go up ply by ply, or a door leaf, which cannot.

    Args:
        name: What to call it.
        kind: What it is.
        parts: At least one.
        surface: What there is to stand on.
        inside_of: The wall that a header is a piece of.
    """
    whole = load_of(name, parts)
    is_leaf = kind == BuiltUp.DOOR_LEAF
    apart = len(parts) > 1 and not is_leaf
    return Item(
        name=name,
        kind=kind,
        handling=Handling.UNIT if is_leaf else Handling.BEAM,
        stage=parts[0].stage,
        whole=whole,
        pieces=tuple(load_of(part.name, [part]) for part in parts) if apart else (),
        lightened=(),
        same=(name,),
        work_surface=surface,
        floor_mm=surface.under(whole.centre_mm),
        pass_height_mm=whole.low_mm,
        inside_of=inside_of,
    )


def _alike(parts: Sequence[Part], group: Sequence[Part], surface: WorkSurface) -> list[Item]:
    """Pieces that are raised one at a time; equal ones at one height together."""
    eaves_mm = [p.bounds_mm[0][2] for p in group if p.kind.row.handled is Handled.ROOFING]
    piles: dict[tuple[object, ...], list[tuple[Part, Load]]] = defaultdict(list)
    for part in parts:
        if part_mass(part).high_kg < LEAST_KG:
            continue
        load = load_of(part.name, [part])
        height = round(load.low_mm / SAME_HEIGHT_MM)
        stands_mm = _floor_mm(_handling(part, load), load, surface)
        piles[part.kind, part.shape, part.material, load.is_upright, height, stands_mm].append(
            (part, load)
        )
    found: list[Item] = []
    for pile in piles.values():
        part, load = max(pile, key=lambda one: one[1].low_mm)
        handling = _handling(part, load)
        is_outside = handling.over is Edge.EAVE
        found.append(
            Item(
                name=part.name,
                kind=part.kind,
                handling=handling,
                stage=part.stage,
                whole=load,
                pieces=(),
                lightened=(),
                same=(part.name, *(other.name for other, _ in pile if other is not part)),
                work_surface=GROUND if is_outside else surface,
                floor_mm=_floor_mm(handling, load, surface),
                pass_height_mm=min(eaves_mm) if is_outside else load.low_mm,
            )
        )
    return found


def _floor_mm(handling: Handling, load: Load, surface: WorkSurface) -> float:
    """Height of what people stand on who raise a piece: over an eave outside, over a joist inside.

    Anything else from what is under it.
    """
    match handling.over:
        case Edge.EAVE:
            return 0.0
        case Edge.JOIST:
            return surface.deck_mm
        case None:
            return surface.under(load.centre_mm)


def _handling(part: Part, load: Load) -> Handling:
    match part.kind.row.handled:
        case Handled.ROOFING:
            return Handling.ROOF_SHEET
        case Handled.LOFT_DECK:
            return Handling.LOFT_SHEET
        case Handled.SHEET:
            return Handling.SHEET
        case Handled.UNIT:
            return Handling.UNIT
        case Handled.POST:
            return Handling.POST if load.is_upright else Handling.STICK
        case Handled.STICK:
            return Handling.STICK
        case Handled.ROLL | Handled.IN_PLACE | Handled.THERE:
            raise LayoutError(f"{part.name} is never raised")
        case _:
            assert_never(part.kind.row.handled)

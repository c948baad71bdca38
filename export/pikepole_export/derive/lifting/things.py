"""What has to be raised into its place, found from the building.

    things(building) -> tuple[Thing, ...]     in order of building

A wall is one thing, and so is a beam of several plies or a door leaf: their pieces are fixed
together before they go up, or go up one after the other, as is easier. Everything else is raised
piece by piece; equal pieces that go to the same height are one thing, so many times.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from pikepole_export.derive.lifting.loads import Load, load_of
from pikepole_export.derive.mass import MADE_IN_PLACE, part_mass
from pikepole_model.joints import WALL_FRAME
from pikepole_model.part import Building, Kind, Part
from pikepole_model.placement import Vector

# Lighter ones are no lifts. Source: ISO 11228-1:2021, clause 1: it applies from 3 kg.
LEAST_KG = 3.0

# Heights that differ by less are one height to those who lift.
SAME_HEIGHT_MM = 150.0

# Unrolled where they stay, from a roll that stands beside: no piece that is raised whole.
FROM_A_ROLL = frozenset({Kind.WRAP, Kind.UNDERLAYMENT, Kind.RIDGE_STRIP, Kind.SILL_MEMBRANE})


class Handling(StrEnum):
    """How a thing can be taken hold of."""

    STICK = "stick"  # long and slim
    POST = "post"  # a stick that stands, and is stood up on its foot
    BEAM = "beam"  # plies nailed together, or to be
    SHEET = "sheet"  # wide and thin
    ROOF_SHEET = "roof sheet"  # pushed up over the eave
    UNIT = "unit"  # whole and delicate: a door leaf, a window, a pane
    WALL = "wall"  # framed flat and tilted up, or put together standing


ROOFING = frozenset({Kind.ROOF_SHEET, Kind.PANEL})
SHEETS = frozenset({Kind.FLOOR_SHEET, Kind.WALL_SHEET, Kind.SOFFIT, Kind.STRIP, Kind.DOOR_SHEET})
UNITS = frozenset({Kind.WINDOW_UNIT, Kind.PANE})
PLIES = frozenset({Kind.BEAM, Kind.BEAM_SPACER})
HEADERS = frozenset({Kind.HEADER, Kind.HEADER_SPACER})
LEAF = frozenset(
    {
        Kind.DOOR_SHEET,
        Kind.DOOR_BOARD,
        Kind.LEDGE,
        Kind.BRACE,
        Kind.STILE,
        Kind.DOOR_RAIL,
        Kind.ASTRAGAL,
        Kind.HANGER,
        Kind.WHEEL,
        Kind.HINGE,
    }
)


@dataclass(frozen=True)
class Thing:
    """Something to be raised, whole or in parts.

    Attributes:
        name: "front wall", "front beam", "rafter 3".
        kind: What it is on site: "wall", "beam", "door leaf", or the kind of its piece.
        handling: How it can be taken hold of.
        stage: Number of the stage that adds it.
        whole: All of it at once.
        pieces: One at a time, where it can be put together in its place; empty otherwise.
        lightened: A wall without its headers and upper plates, and those after it one by one.
        same: Names of all the equal ones, its own first.
        floor_mm: Height of what people stand on where they raise it, above ground.
        over_mm: Height that it has to pass on its way, above ground: an eave; its own otherwise.
        inside_of: Name of the wall that a header is a piece of; empty for anything else.
    """

    name: str
    kind: str
    handling: Handling
    stage: int
    whole: Load
    pieces: tuple[Load, ...]
    lightened: tuple[Load, ...]
    same: tuple[str, ...]
    floor_mm: float
    over_mm: float
    inside_of: str = ""

    @property
    def times(self) -> int:
        """How many equal ones there are."""
        return len(self.same)


def things(building: Building) -> tuple[Thing, ...]:
    """Everything that is raised, in order of building; what is under LEAST_KG is left out."""
    floor = _Floor(building)
    found: list[Thing] = []
    for stage in building.stages:
        lifted = [part for part in stage.parts if _is_lifted(part)]
        groups: dict[str, list[Part]] = defaultdict(list)
        for part in lifted:
            groups[part.group].append(part)
        for group, parts in groups.items():
            found += _in_group(building, group, parts, floor)
    return tuple(found)


def _is_lifted(part: Part) -> bool:
    return part.kind not in MADE_IN_PLACE | FROM_A_ROLL | {Kind.EXISTING}


def _in_group(building: Building, group: str, parts: Sequence[Part], floor: _Floor) -> list[Thing]:
    """What is raised of the pieces of one group in one stage."""
    wall = [part for part in parts if part.kind in WALL_FRAME]
    is_wall = any(part.kind == Kind.BOTTOM_PLATE for part in wall)
    plies = [part for part in parts if part.kind in PLIES]
    leaf = [part for part in parts if part.kind in LEAF]
    made: list[Thing] = []
    taken: set[str] = set()
    if is_wall:
        made.append(_wall(building, group, wall, floor))
        made += [
            _put_together(name, "header", header, floor, inside_of=group)
            for name, header in _named(building, [p for p in wall if p.kind in HEADERS], "header")
        ]
        taken |= {part.name for part in wall}
    for name, beam in _named(building, plies, "beam"):
        made.append(_put_together(group if len(beam) == len(plies) else name, "beam", beam, floor))
        taken |= {part.name for part in beam}
    for name, whole in _named(building, leaf, "leaf"):
        made.append(_leaf(name, whole, floor))
        taken |= {part.name for part in whole}
    singles = [part for part in parts if part.name not in taken]
    return [thing for thing in made if _counts(thing.whole)] + _alike(singles, parts, floor)


def _counts(load: Load) -> bool:
    return load.mass.high_kg >= LEAST_KG


def _wall(building: Building, group: str, parts: Sequence[Part], floor: _Floor) -> Thing:
    plate = max((p for p in parts if p.kind == Kind.BOTTOM_PLATE), key=lambda p: p.length_mm)
    up: Vector = (0.0, 0.0, 1.0)
    along = plate.placement.u
    whole = load_of(group, parts, (along, up))
    kinds = {part.name: part.kind for part in parts}
    on_studs = {
        name
        for joint in building.joints
        for name, other in ((joint.a, joint.b), (joint.b, joint.a))
        if kinds.get(name) == Kind.TOP_PLATE and kinds.get(other) in (Kind.STUD, Kind.CORNER_STUD)
    }
    later = [
        part
        for part in parts
        if part.kind in HEADERS or (part.kind == Kind.TOP_PLATE and part.name not in on_studs)
    ]
    first = [part for part in parts if part not in later]
    lightened = (
        load_of(f"{group} without headers and upper plates", first, (along, up)),
        *(load_of(part.name, [part]) for part in later),
    )
    return Thing(
        name=group,
        kind="wall",
        handling=Handling.WALL,
        stage=parts[0].stage,
        whole=whole,
        pieces=tuple(load_of(part.name, [part]) for part in parts),
        lightened=lightened if later else (),
        same=(group,),
        floor_mm=whole.low_mm,
        over_mm=whole.top_mm,
    )


def _put_together(
    name: str, kind: str, parts: Sequence[Part], floor: _Floor, inside_of: str = ""
) -> Thing:
    whole = load_of(name, parts)
    return Thing(
        name=name,
        kind=kind,
        handling=Handling.BEAM,
        stage=parts[0].stage,
        whole=whole,
        pieces=tuple(load_of(part.name, [part]) for part in parts) if len(parts) > 1 else (),
        lightened=(),
        same=(name,),
        floor_mm=floor.under(whole.centre_mm, parts[0].stage),
        over_mm=whole.low_mm,
        inside_of=inside_of,
    )


def _leaf(name: str, parts: Sequence[Part], floor: _Floor) -> Thing:
    whole = load_of(name, parts)
    return Thing(
        name=name,
        kind="door leaf",
        handling=Handling.UNIT,
        stage=parts[0].stage,
        whole=whole,
        pieces=(),
        lightened=(),
        same=(name,),
        floor_mm=floor.under(whole.centre_mm, parts[0].stage),
        over_mm=whole.low_mm,
    )


def _alike(parts: Sequence[Part], group: Sequence[Part], floor: _Floor) -> list[Thing]:
    """Pieces that are raised one at a time; equal ones at one height together."""
    roofing = [float(part.vertices_mm[:, 2].min()) for part in group if part.kind in ROOFING]
    piles: dict[tuple[object, ...], list[tuple[Part, Load]]] = defaultdict(list)
    for part in parts:
        if part_mass(part).high_kg < LEAST_KG:
            continue
        load = load_of(part.name, [part])
        height = round(load.low_mm / SAME_HEIGHT_MM)
        stands_mm = floor.under(load.centre_mm, part.stage)
        piles[part.kind, part.shape, part.material, load.is_upright, height, stands_mm].append(
            (part, load)
        )
    found: list[Thing] = []
    for pile in piles.values():
        part, load = max(pile, key=lambda one: one[1].low_mm)
        is_roofing = part.kind in ROOFING
        found.append(
            Thing(
                name=part.name,
                kind=part.kind.value,
                handling=_handling(part, load),
                stage=part.stage,
                whole=load,
                pieces=(),
                lightened=(),
                same=(part.name, *(other.name for other, _ in pile if other is not part)),
                floor_mm=0.0 if is_roofing else floor.under(load.centre_mm, part.stage),
                over_mm=min(roofing) if is_roofing else load.low_mm,
            )
        )
    return found


def _handling(part: Part, load: Load) -> Handling:
    if part.kind in ROOFING:
        return Handling.ROOF_SHEET
    if part.kind in SHEETS:
        return Handling.SHEET
    if part.kind in UNITS:
        return Handling.UNIT
    if part.kind == Kind.POST and load.is_upright:
        return Handling.POST
    return Handling.STICK


def _named(
    building: Building, parts: Sequence[Part], what: str
) -> Iterable[tuple[str, list[Part]]]:
    """Pieces sorted into bodies by their joints, each body named after its first piece."""
    for body in _bodies(building, parts):
        first = body[0].name
        kind = body[0].kind.value
        if what == "leaf":
            name = _common(body)
        else:
            name = f"{first.split(f' {kind}')[0]} {what}" if len(body) > 1 else first
        yield name, body


def _common(parts: Sequence[Part]) -> str:
    """The words that the names of a leaf's pieces begin with."""
    names = [part.name.split() for part in parts if part.kind != Kind.ASTRAGAL]
    words: list[str] = []
    for several in zip(*names, strict=False):
        if len(set(several)) > 1:
            break
        words.append(several[0])
    return " ".join(words) or parts[0].name


def _bodies(building: Building, parts: Sequence[Part]) -> list[list[Part]]:
    """Pieces that hang together through joints among themselves, in order of their first."""
    own = {part.name: part for part in parts}
    mates: dict[str, set[str]] = {name: set() for name in own}
    for joint in building.joints:
        if joint.a in own and joint.b in own:
            mates[joint.a].add(joint.b)
            mates[joint.b].add(joint.a)
    bodies: list[list[Part]] = []
    seen: set[str] = set()
    for name in own:
        if name in seen:
            continue
        body, ahead = {name}, [name]
        while ahead:
            for mate in mates[ahead.pop()] - body:
                body.add(mate)
                ahead.append(mate)
        seen |= body
        bodies.append([part for part in parts if part.name in body])
    return bodies


class _Floor:
    """Where people stand: on the deck over it once it is there, on the ground beside it."""

    def __init__(self, building: Building) -> None:
        decks = [part for part in building.parts if part.kind in (Kind.FLOOR_SHEET, Kind.SLAB)]
        self._stage = max((part.stage for part in decks), default=0)
        if decks:
            points = np.concatenate([part.vertices_mm for part in decks])
            self._low, self._high = points.min(axis=0), points.max(axis=0)

    def under(self, point: Vector, stage: int) -> float:
        """Height of what one stands on under a point, mm above ground."""
        if not self._stage or stage <= self._stage:
            return 0.0
        inside = all(self._low[i] < point[i] < self._high[i] for i in range(2))
        return float(self._high[2]) if inside else 0.0

"""What goes along when a building is moved, what stays in the ground, and what ties the two.

first_stage(building) -> Stage | None     from which on there is something to move
moved_after(building, stage) -> Moved
SIDES[name] -> SideAxes                        along and away from the side that is worked from

              side            As seen from outside: "along" runs to the right, from the left
    +----------------------+  end of the floor; "into" runs away from who stands there, under
    |                      |  the building.
    +----------------------+
    left   along ->   ^ into
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from pikepole_export.derive.inventory.mass import Mass, balance, part_mass
from pikepole_export.derive.lifting.validation import LiftError
from pikepole_model.building.joints import BEARS_ON
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.building.sequence import CLOSED_GAPS, IN_PLACE
from pikepole_model.geometry.placement import Vector

# What a floor frame lies on.
BEARERS = frozenset({Kind.SKID, Kind.GIRDER})

# A joist ends at the rims, and a skid may stand back: no part of the floor's length to speak of.
THROUGH_SHARE = 0.9

SideName: TypeAlias = Literal["front", "back", "left", "right"]


@dataclass(frozen=True, slots=True)
class SideAxes:
    """How a side of the building lies in its frame.

    Attributes:
        along: Axis along the side, 0 for X, 1 for Y.
        along_sign: 1 where the left end has the smaller coordinate, -1 where the greater.
        into: Axis away from the side.
        into_sign: 1 where it runs to greater coordinates, -1 to smaller.
    """

    along: int
    along_sign: int
    into: int
    into_sign: int

    def span_along(self, parts: Sequence[Part]) -> tuple[float, float]:
        """From the leftmost to the rightmost of some parts, mm."""
        return _span(parts, self.along, self.along_sign)

    def span_into(self, parts: Sequence[Part]) -> tuple[float, float]:
        """From the nearest to the furthest of some parts, mm."""
        return _span(parts, self.into, self.into_sign)

    def runs_along(self, part: Part) -> bool:
        """Whether a part lies along the side rather than away from it."""
        return _length(self.span_along([part])) > _length(self.span_into([part]))

    def place(self, point_mm: Vector) -> tuple[float, float]:
        """A point along and into, mm."""
        return self.along_sign * point_mm[self.along], self.into_sign * point_mm[self.into]


SIDES: Mapping[SideName, SideAxes] = {
    "front": SideAxes(0, 1, 1, 1),
    "back": SideAxes(0, -1, 1, -1),
    "left": SideAxes(1, -1, 0, 1),
    "right": SideAxes(1, 1, 0, -1),
}


@dataclass(frozen=True, slots=True)
class Tie:
    """Pieces that stay, and hold on to what is moved until they are undone.

    Attributes:
        kind: What stays: "post".
        holders: Their names.
        held: Groups of what is moved and hangs on them: "front beam".
        joints: How many joints there are to undo.
    """

    kind: str
    holders: tuple[str, ...]
    held: tuple[str, ...]
    joints: int


@dataclass(frozen=True, slots=True)
class MovedStructure:
    """What stands after a stage, parted into what goes and what stays.

    Attributes:
        stage: The last stage that is done.
        parts: What goes, in order of building.
        floor: Those of them that are the floor frame.
        staying: What stays.
        mass: Of what goes.
        centre_mm: Its centre of gravity, building frame.
        size_mm: Of the box round it: along X, along Y and up.
        ties: What has to be undone first.
    """

    stage: Stage
    parts: tuple[Part, ...]
    floor: tuple[Part, ...]
    staying: tuple[Part, ...]
    mass: Mass
    centre_mm: Vector
    size_mm: Vector
    ties: tuple[Tie, ...]

    @property
    def centres_mm(self) -> tuple[Vector, Vector, Vector]:
        """The centre of gravity with everything as dry as may be, as is likely, as wet as may be.

        Where some pieces are wet and others dry it lies elsewhere again; that is not followed.
        """
        places = [part.centre_mm for part in self.parts]
        low, likely, high = zip(*(_three(part) for part in self.parts), strict=True)
        return _centre(low, places), _centre(likely, places), _centre(high, places)

    @property
    def bearers(self) -> tuple[Part, ...]:
        """The skids or girders that it lies on."""
        return tuple(part for part in self.floor if part.kind in BEARERS)

    @property
    def underside_mm(self) -> float:
        """The lowest of the floor frame over the ground."""
        return min(part.bounds_mm[0][2] for part in self.floor)

    def crossing(self, side: SideAxes) -> tuple[Part, ...]:
        """What lies across whatever comes in at a side: skids, or the joists that run through."""
        across = [part for part in self.bearers if side.runs_along(part)]
        if not across:
            across = [
                part
                for part in self.floor
                if part.kind is Kind.JOIST and self.runs_through(part, side)
            ]
        return tuple(sorted(across, key=lambda part: side.span_into([part])))

    def runs_through(self, part: Part, side: SideAxes) -> bool:
        """Whether a part is as long as the floor on a side."""
        whole = _length(side.span_along(self.floor))
        return _length(side.span_along([part])) >= THROUGH_SHARE * whole


def _span(parts: Sequence[Part], axis: int, sign: int) -> tuple[float, float]:
    ends = [sign * corner[axis] for part in parts for corner in part.bounds_mm]
    return min(ends), max(ends)


def first_stage(building: Building) -> Stage | None:
    """The stage after which the whole floor frame stands; None on a slab, which has none.

    And after which nothing that it was built round stands in it: what closes the gaps is there.
    """
    framed = [
        stage
        for stage in building.built.stages
        if _floor_frame(stage.parts) or any(part.group == CLOSED_GAPS for part in stage.parts)
    ]
    if not any(_floor_frame(stage.parts) for stage in framed):
        return None
    return framed[-1] if framed else None


def _three(part: Part) -> tuple[float, float, float]:
    mass = part_mass(part)
    return mass.low_kg, mass.likely_kg, mass.high_kg


def _centre(masses_kg: Sequence[float], places_mm: Sequence[Vector]) -> Vector:
    x, y, z = (
        math.fsum(mass * place[axis] for mass, place in zip(masses_kg, places_mm, strict=True))
        / math.fsum(masses_kg)
        for axis in range(3)
    )
    return x, y, z


def _length(span_mm: tuple[float, float]) -> float:
    return span_mm[1] - span_mm[0]


def _floor_frame(parts: Iterable[Part]) -> tuple[Part, ...]:
    return tuple(part for part in parts if part.kind.family is Family.FLOOR_FRAME)


def moved_after(building: Building, stage: Stage) -> MovedStructure:
    """What goes and what stays, when a building is moved after one of its stages.

    Posts on footings stay, and their caps; so does what hangs on these alone. What also hangs on
    the floor frame goes along, once it is undone from them.

    Raises:
        LiftError: no floor frame stands by then.
    """
    there = building.at(stage.number)
    parts = building.left_by(stage.number + 1, there.parts)
    # Anchors in the ground come once it is there, whatever the stage after which it is moved.
    parts = tuple(part for part in parts if part.group not in IN_PLACE.groups)
    standing = [part for part in parts if part.stage <= stage.number]
    if not _floor_frame(standing):
        raise LiftError(
            "move after",
            stage.name,
            "no floor frame stands by then that it could be moved on",
            "take a later stage of a building on skids or piers",
        )
    kinds = {part.name: part.kind for part in standing}
    fixed = {name: name for name, kind in kinds.items() if kind.row.stays}
    grounded = fixed | _posts(kinds, there.mates, fixed)
    joints = [one for one in there.joints if one.a in grounded or one.b in grounded]
    rest = [part for part in standing if part.name not in grounded]
    stays = set(grounded) | _hanging_on(grounded, rest, there.mates)
    parts = tuple(part for part in rest if part.name not in stays)
    mass, centre_mm = balance([part_mass(part) for part in parts], [p.centre_mm for p in parts])
    spans = [_span(parts, axis, 1) for axis in range(3)]
    x, y, z = (high - low for low, high in spans)
    return MovedStructure(
        stage=stage,
        parts=parts,
        floor=_floor_frame(parts),
        staying=tuple(part for part in standing if part.name in stays),
        mass=mass,
        centre_mm=centre_mm,
        size_mm=(x, y, z),
        ties=tuple(_ties(parts, joints, grounded, kinds)),
    )


def _pairs(joints: Iterable[Joint]) -> Iterator[tuple[str, str, Joint]]:
    """Each joint from both of its ends."""
    for joint in joints:
        yield joint.a, joint.b, joint
        yield joint.b, joint.a, joint


def _posts(
    kinds: dict[str, Kind], mates: dict[str, set[str]], fixed: dict[str, str]
) -> dict[str, str]:
    """Posts that stand on what stays, and the caps on them, each with the post's name."""
    posts = {
        name: name
        for name, kind in kinds.items()
        if kind == Kind.POST and not mates[name].isdisjoint(fixed)
    }
    caps = {
        mate: post for post in posts for mate in mates[post] if kinds.get(mate) == Kind.POST_CAP
    }
    return posts | caps


def _hanging_on(
    grounded: dict[str, str], rest: Sequence[Part], mates: dict[str, set[str]]
) -> set[str]:
    """What hangs together, touches what is grounded, and has no part of the floor frame in it."""
    kinds = {part.name: part.kind for part in rest}
    found: set[str] = set()
    seen: set[str] = set()
    for name in {mate for one in grounded for mate in mates[one] if mate in kinds}:
        if name in seen:
            continue
        body, ahead = {name}, [name]
        while ahead:
            more = {mate for mate in mates[ahead.pop()] if mate in kinds} - body
            body |= more
            ahead += more
        seen |= body
        if not any(kinds[one].family is Family.FLOOR_FRAME for one in body):
            found |= body
    return found


def _ties(
    parts: Sequence[Part],
    joints: Sequence[Joint],
    grounded: dict[str, str],
    kinds: dict[str, Kind],
) -> Iterator[Tie]:
    groups = {part.name: part.group for part in parts}
    held: dict[Kind, list[tuple[str, str]]] = defaultdict(list)
    for a, b, joint in _pairs(joints):
        # What only lies on something comes off by being lifted.
        if a in grounded and b in groups and joint.fixing != BEARS_ON:
            holder = grounded[a]
            held[kinds[holder]].append((holder, groups[b]))
    for kind, found in held.items():
        holders, carried = (tuple(dict.fromkeys(names)) for names in zip(*found, strict=True))
        yield Tie(kind.value, holders, carried, len(found))

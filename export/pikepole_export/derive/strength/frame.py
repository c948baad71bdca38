"""The members of a frame, read off its parts: which plies are one beam, and where each lies.

members_of(building) -> Members
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from pikepole_export.derive.strength.section import Section
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part
from pikepole_model.building.sequence import CLOSED_GAPS
from pikepole_model.geometry.placement import Vector

# Plies of one beam or header, with what is between them.
SPACERS = frozenset({Kind.BEAM_SPACER, Kind.HEADER_SPACER})
# What is nailed side by side carries as one: plies with what is between them, doubled joists.
PLIES = {
    Kind.BEAM: Kind.BEAM_SPACER,
    Kind.HEADER: Kind.HEADER_SPACER,
    Kind.JOIST: Kind.JOIST,
    Kind.LOFT_JOIST: Kind.LOFT_JOIST,
}
# What lies and carries along its length.
LYING = (
    *(Kind.FLY_RAFTER, Kind.LOOKOUT, Kind.RAFTER, Kind.END_RAFTER, Kind.BEAM, Kind.LEDGER),
    *(Kind.LOFT_JOIST, Kind.LOFT_HEADER, Kind.LOFT_LEDGER, Kind.HEADER),
    *(Kind.JOIST, Kind.FLOOR_HEADER, Kind.FLOOR_LEDGER, Kind.RIM, Kind.GIRDER, Kind.SKID),
)
# What stands in a wall from plate to plate, or on a header.
UPRIGHT = frozenset(
    {
        Kind.STUD,
        Kind.CORNER_STUD,
        Kind.KING,
        Kind.JACK,
        Kind.CRIPPLE,
        Kind.POST_STUD,
        Kind.WALL_POST,
    }
)
# What closes the gaps that are left in walls. Their names begin with the wall's.
_CLOSE_WALLS = frozenset({Kind.BOTTOM_PLATE, Kind.STUD, Kind.TOP_PLATE})
_LEVEL = 1e-6


@dataclass(frozen=True)
class Member:
    """One piece, or the plies of a built-up beam, as it carries.

    Attributes:
        name: Of the piece, or of its plies together.
        kind: What it is.
        parts: Its plies, and what is between them.
        origin: Where it begins, on its axis as drawn, mm, building's frame.
        along: Unit vector to its other end, as it goes on the level.
        steepness: Length along it for each length on the level; 1 where it is level.
        length_mm: From end to end along it.
        section: As it is bent under what weighs.
    """

    name: str
    kind: Kind
    parts: tuple[Part, ...]
    origin: Vector
    along: tuple[float, float]
    steepness: float
    length_mm: float
    section: Section

    @property
    def wooden(self) -> tuple[Part, ...]:
        """Without what is between plies."""
        return tuple(part for part in self.parts if part.kind not in SPACERS)

    @property
    def first(self) -> Part:
        """The ply that stands for it."""
        return self.wooden[0]

    @property
    def way(self) -> tuple[float, float]:
        """Its direction on the level or the opposite: one of both for all that are parallel."""
        x, y = self.along
        return (x, y) if x > _LEVEL or (abs(x) <= _LEVEL and y > 0) else (-x, -y)

    @property
    def slope_deg(self) -> float:
        """From the level."""
        return math.degrees(math.acos(min(1.0, 1 / self.steepness)))

    def at(self, point: Sequence[float]) -> float:
        """How far along it a point is, as it goes on the level, mm."""
        x, y = point[0] - self.origin[0], point[1] - self.origin[1]
        return (x * self.along[0] + y * self.along[1]) * self.steepness

    def point(self, at_mm: float) -> tuple[float, float]:
        """Where on the level a place along it is."""
        level = at_mm / self.steepness
        return self.origin[0] + level * self.along[0], self.origin[1] + level * self.along[1]

    def extent(self, part: Part) -> tuple[float, float]:
        """From where to where along it a part lies, mm, not past its own ends."""
        vertices = part.vertices_mm
        level = (vertices[:, 0] - self.origin[0]) * self.along[0]
        level = (level + (vertices[:, 1] - self.origin[1]) * self.along[1]) * self.steepness
        return max(0.0, float(level.min())), min(self.length_mm, float(level.max()))

    @cached_property
    def plies(self) -> tuple[tuple[float, float], ...]:
        """Of each wooden piece, from where to where along it."""
        return tuple(self.extent(part) for part in self.wooden)

    def plies_at(self, at_mm: float) -> int:
        """How many go on through a place."""
        return sum(low + 1 < at_mm < high - 1 for low, high in self.plies)


@dataclass(frozen=True)
class Members:
    """Every member of a building, and what it touches.

    Attributes:
        building: Whose.
        by_part: The member that a part is of, by the part's name.
        parts: Each part by its name.
        joints: Of each part, with whom.
    """

    building: Building
    by_part: dict[str, Member]
    parts: dict[str, Part]
    joints: dict[str, tuple[Joint, ...]]

    @cached_property
    def every(self) -> tuple[Member, ...]:
        """Each member once, in order of building."""
        return tuple({id(one): one for one in self.by_part.values()}.values())

    def of(self, *kinds: Kind) -> tuple[Member, ...]:
        """Those of some kinds."""
        return tuple(one for one in self.every if one.kind in kinds)

    def called(self, part: Part) -> str:
        """What it is called where something bears on it: a ply by its beam's name."""
        return self.by_part[part.name].name if part.name in self.by_part else part.name

    def mates(self, part: Part) -> list[Part]:
        """What a part is joined to."""
        rows = self.joints.get(part.name, ())
        return [self.parts[row.b if row.a == part.name else row.a] for row in rows]

    def touching(self, member: Member) -> Iterator[tuple[Joint, Part]]:
        """What a member is joined to, with the joint."""
        own = {part.name for part in member.parts}
        for part in member.parts:
            for joint in self.joints.get(part.name, ()):
                other = joint.b if joint.a == part.name else joint.a
                if other not in own:
                    yield joint, self.parts[other]


def members_of(building: Building) -> Members:
    """The members of what stands in the end."""
    finished = building.finished
    parts = {part.name: _in_its_wall(part) for part in finished.parts}
    joints: dict[str, list[Joint]] = {name: [] for name in parts}
    for joint in finished.joints:
        joints[joint.a].append(joint)
        joints[joint.b].append(joint)
    by_part: dict[str, Member] = {}
    for part in parts.values():
        if part.name in by_part:
            continue
        if part.kind in PLIES:
            plies = tuple(_together(part, parts, joints))
            member = _built_up(plies)
        elif part.kind in LYING:
            plies, member = (part,), _member((part,), part.name, 1)
        else:
            continue
        by_part |= {one.name: member for one in plies}
    return Members(finished, by_part, parts, {name: tuple(rows) for name, rows in joints.items()})


def _in_its_wall(part: Part) -> Part:
    """A part as one of its wall, also where that was closed last: loads ask not when it came."""
    if part.group != CLOSED_GAPS or part.kind not in _CLOSE_WALLS:
        return part
    return replace(part, group=" ".join(part.label.split()[:2]))


def _together(
    first: Part, parts: dict[str, Part], joints: dict[str, list[Joint]]
) -> Iterator[Part]:
    """A ply and all that is one beam with it: joined, alongside, and what is between."""
    kinds = {first.kind, PLIES[first.kind]}
    found, waiting = {first.name}, [first]
    while waiting:
        part = waiting.pop()
        yield part
        for joint in joints[part.name]:
            other = parts[joint.b if joint.a == part.name else joint.a]
            alongside = abs(_dot(_axes(other)[0][0], _axes(first)[0][0])) > 1 - _LEVEL
            same = other.kind in kinds and other.group == first.group and alongside
            if same and other.name not in found:
                found.add(other.name)
                waiting.append(other)


def _built_up(parts: tuple[Part, ...]) -> Member:
    wooden = [part for part in parts if part.kind not in SPACERS]
    first = wooden[0]
    # All together go by the name of the beam: its plies alone are numbered.
    header = first.label.removesuffix(" ply")
    name = {Kind.BEAM: first.group, Kind.HEADER: header}.get(first.kind, first.name)
    longest = max(wooden, key=lambda part: part.length_mm)
    once = _member((longest,), name, 1)
    # Where most lie side by side, so many plies it has.
    spans = [_span(part, once) for part in wooden]
    middles = [(low + high) / 2 for low, high in spans]
    plies = max(sum(low < at < high for low, high in spans) for at in middles)
    return _member(parts, name, plies)


def _span(part: Part, member: Member) -> tuple[float, float]:
    vertices = part.vertices_mm
    level = (vertices[:, 0] - member.origin[0]) * member.along[0]
    level = (level + (vertices[:, 1] - member.origin[1]) * member.along[1]) * member.steepness
    return float(level.min()), float(level.max())


def _member(parts: tuple[Part, ...], name: str, plies: int) -> Member:
    wooden = [part for part in parts if part.kind not in SPACERS]
    first = max(wooden, key=lambda part: part.length_mm)
    u = _axes(first)[0][0]
    level = math.hypot(u[0], u[1])
    along = (u[0] / level, u[1] / level)
    vertices = np.concatenate([part.vertices_mm for part in wooden])
    run = vertices[:, 0] * along[0] + vertices[:, 1] * along[1]
    low, high = float(run.min()), float(run.max())
    centre = (vertices.min(axis=0) + vertices.max(axis=0)) / 2
    # Its axis goes level through the middle of it.
    aside = float(centre[0]) * along[0] + float(centre[1]) * along[1]
    origin = (
        float(centre[0]) + (low - aside) * along[0],
        float(centre[1]) + (low - aside) * along[1],
        float(centre[2]),
    )
    assert first.section_mm, f"{first.name} has no section"
    return Member(
        name,
        first.kind,
        parts,
        origin,
        along,
        1 / level,
        (high - low) / level,
        _section(first, plies),
    )


def _axes(part: Part) -> tuple[tuple[Vector, float], ...]:
    """Its three axes with its size along each, that of its length first."""
    placement = part.placement
    axes = zip((placement.u, placement.v, placement.n), part.shape.size_mm, strict=True)
    return tuple(sorted(axes, key=lambda one: -one[1] if one[1] == part.length_mm else 0.0))


def _section(part: Part, plies: int) -> Section:
    """As it lies: its depth is the side that stands upright."""
    assert part.section_mm
    low, high = sorted(part.section_mm)
    (_, one), (_, other) = sorted(_axes(part)[1:], key=lambda axis: -abs(axis[0][2]))
    return Section(low, high, plies) if one >= other else Section(high, low, plies)


def _dot(one: Iterable[float], other: Iterable[float]) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))

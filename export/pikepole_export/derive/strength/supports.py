"""Where each member is held, as it is reckoned: places along it, what bears it there, its hinges.

Supports(members)
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from pikepole_export.derive.strength.bearings import Bearing, bearings_of
from pikepole_export.derive.strength.frame import UPRIGHT, Member, Members
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part

POST_METAL = frozenset({Kind.POST_CAP, Kind.POST_BASE})
# Where nothing is known to stand under a plate, it is taken to be held so far apart.
_HELD_EVERY_MM = 400.0
# Two supports nearer to one another would pry at each other, which nailed studs do not.
_APART_MM = 250.0
# A lone seat so wide holds a member at both its ends.
_WIDE_MM = 100.0
# An upright so near to a beam's line stands under it.
_UNDER_MM = 80.0
# A joint of plies so near to an end is none.
_NEAR_END_MM = 60.0


@dataclass(frozen=True, slots=True)
class Held:
    """One support of a member as it is reckoned.

    Attributes:
        at_mm: Along the member.
        bearing: The place where it lies.
        part: What bears it there.
    """

    at_mm: float
    bearing: Bearing
    part: Part


@dataclass(frozen=True)
class Supports:
    """The supports of a frame's members.

    Attributes:
        members: Of a building.
    """

    members: Members

    @cached_property
    def bearings(self) -> dict[str, tuple[Bearing, ...]]:
        """Where each member lies, by its name."""
        return {one.name: bearings_of(self.members, one) for one in self.members.every}

    @cached_property
    def uprights(self) -> tuple[Part, ...]:
        """What stands under the plates of a wall, or under a beam in it."""
        return tuple(
            part
            for part in self.members.parts.values()
            if part.kind in UPRIGHT and self._is_under(part)
        )

    @cached_property
    def by_member(self) -> dict[str, tuple[Held, ...]]:
        """The supports of each member, rising, by its name."""
        return {one.name: self._hold(one) for one in self.members.every}

    def hinges(self, member: Member) -> tuple[float, ...]:
        """Where all its plies are jointed, on the nearest support, and where it leaves a wall.

        What spans from a wall to a post is taken as resting on the wall's end and not held level
        by it.
        """
        held = self.by_member[member.name]
        leaves = {
            one.at_mm
            for pair in pairwise(held)
            for one, other in (pair, pair[::-1])
            if one.bearing.lies_along and other.bearing is not one.bearing
        }
        joints = {
            min((one.at_mm for one in held), key=lambda at: abs(at - end))
            for span in member.plies
            for end in span
            if _NEAR_END_MM < end < member.length_mm - _NEAR_END_MM and not member.plies_at(end)
        }
        return tuple(sorted(at for at in joints | leaves if 1 < at < member.length_mm - 1))

    def _is_under(self, part: Part) -> bool:
        return any(
            mate.kind in (Kind.TOP_PLATE, Kind.BEAM)
            for mate in self.members.mates(part)
            if mate.bounds_mm[0][2] > part.bounds_mm[0][2] + 100
        )

    def _hold(self, member: Member) -> tuple[Held, ...]:
        found: list[Held] = []
        bearings = self.bearings[member.name]
        for bearing in bearings:
            if bearing.lies_along:
                found += self._along(member, bearing)
                continue
            places = [bearing.middle_mm]
            if len(bearings) == 1 and bearing.to_mm - bearing.from_mm > _WIDE_MM:
                places = [bearing.from_mm, bearing.to_mm]
            part = _bearer(member, bearing)
            found += [Held(min(max(at, 0.0), member.length_mm), bearing, part) for at in places]
        rows = sorted(found, key=lambda one: one.at_mm)
        return tuple(
            one
            for number, one in enumerate(rows)
            if number == 0 or one.at_mm > rows[number - 1].at_mm + 1.0
        )

    def _along(self, member: Member, bearing: Bearing) -> list[Held]:
        """Where something stands under what it lies along."""
        under = {
            round(member.at(part.centre_mm), 1): part
            for part in self.uprights
            if abs(beside(member, part.centre_mm)) < _UNDER_MM
        }
        places = sorted(at for at in under if bearing.from_mm - 20 <= at <= bearing.to_mm + 20)
        if len(places) < 2:
            count = max(1, math.ceil((bearing.to_mm - bearing.from_mm) / _HELD_EVERY_MM))
            step = (bearing.to_mm - bearing.from_mm) / count
            longest = max(bearing.parts, key=lambda part: part.length_mm)
            return [Held(bearing.from_mm + k * step, bearing, longest) for k in range(count + 1)]
        rows: list[Held] = []
        for at in places:
            if not rows or at - rows[-1].at_mm > _APART_MM:
                rows.append(Held(min(max(at, 0.0), member.length_mm), bearing, under[at]))
        return rows


def beside(member: Member, point: tuple[float, ...]) -> float:
    """How far a point is beside a member's line, mm, to the left of those that go up X or Y."""
    x, y = member.way
    return x * (point[1] - member.origin[1]) - y * (point[0] - member.origin[0])


def _bearer(member: Member, bearing: Bearing) -> Part:
    """What bears there: wood under it before what stands beside it, and before a cap's steel."""
    under_mm = min(part.bounds_mm[0][2] for part in member.wooden) + 5

    def rank(part: Part) -> tuple[bool, bool]:
        return part.kind not in POST_METAL, part.bounds_mm[1][2] <= under_mm

    return max(bearing.parts, key=rank)

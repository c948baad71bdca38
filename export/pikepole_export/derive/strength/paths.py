"""The way of every load down through a frame: what presses on each member, and where.

paths_of(building) -> Paths
paths.beam(member)          a member with its supports and all its loads
paths.upright(part)         what stands, with what it carries
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.strength.beam import Force, analyse
from pikepole_export.derive.strength.bearings import Bearing, bearings_of
from pikepole_export.derive.strength.climate import Climate, climate_of
from pikepole_export.derive.strength.combinations import Load
from pikepole_export.derive.strength.frame import UPRIGHT, Member, Members, members_of
from pikepole_export.derive.strength.lever import shares_of
from pikepole_export.derive.strength.roofs import KN_M2, RAFTERS, roof_loads, strips
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.units import STANDARD_GRAVITY_M_S2

Loads = dict[Load, float]

# Where nothing is known to stand under a plate, it is taken to be held so far apart.
_HELD_EVERY_MM = 400.0
# Two supports nearer to one another would pry at each other, which nailed studs do not.
_APART_MM = 250.0
_WIDE_MM = 100.0
# In so many forces what a wall weighs is put on a header right under its plates.
_WALL_ON_HEADER = 5
# An upright so near to a beam's line stands under it.
_UNDER_MM = 80.0
# Studs so near to a ledger's line are behind it.
_BEHIND_MM = 160.0
WALL_PLATES = frozenset({Kind.TOP_PLATE})
POST_METAL = frozenset({Kind.POST_CAP, Kind.POST_BASE})


@dataclass(frozen=True, slots=True)
class Held:
    """One support of a member as it is reckoned.

    Attributes:
        at_mm: Along the member.
        bearing: The place where it lies.
        part: What bears it there; None where only the bearing is known.
    """

    at_mm: float
    bearing: Bearing
    part: Part | None


@dataclass(frozen=True, slots=True)
class Push:
    """A force that a member puts on what bears it, down above zero, N, by what brings it."""

    point: tuple[float, float]
    loads: Mapping[Load, float]

    def times(self, share: float) -> Push:
        """A share of it."""
        return Push(self.point, {load: force * share for load, force in self.loads.items()})


@dataclass
class Paths:
    """What presses where, worked out from the top down and kept.

    Attributes:
        members: Of the building.
        climate: Of its site.
        on_member: What was put on each member, by its name.
        on_part: What was put on each upright and post, by its name.
        on_wall: What was put on each wall's plates, by its group.
        lost: What bears on nothing that is known, with the reason.
    """

    members: Members
    climate: Climate
    on_member: dict[str, list[Push]] = field(default_factory=lambda: defaultdict(list))
    on_part: dict[str, list[Push]] = field(default_factory=lambda: defaultdict(list))
    on_wall: dict[str, list[Push]] = field(default_factory=lambda: defaultdict(list))
    lost: dict[str, str] = field(default_factory=dict)
    _held: dict[str, tuple[Held, ...]] = field(default_factory=dict)

    @cached_property
    def widths(self) -> dict[str, float]:
        """What each rafter and joist carries across it, mm."""
        rafters = strips(self.members.of(*RAFTERS))
        joists = strips(self.members.of(Kind.JOIST))
        return rafters | joists | strips(self.members.of(Kind.LOFT_JOIST))

    @cached_property
    def bearings(self) -> dict[str, tuple[Bearing, ...]]:
        """Where each member lies, by its name."""
        return {one.name: bearings_of(self.members, one) for one in self.members.every}

    def held(self, member: Member) -> tuple[Held, ...]:
        """Its supports, rising."""
        if member.name not in self._held:
            self._held[member.name] = self._hold(member)
        return self._held[member.name]

    def _hold(self, member: Member) -> tuple[Held, ...]:
        found: list[Held] = []
        bearings = self.bearings[member.name]
        for bearing in bearings:
            if bearing.lies_along:
                found += self._along(member, bearing)
            elif len(bearings) == 1 and bearing.to_mm - bearing.from_mm > _WIDE_MM:
                # So wide a seat holds it at both its ends.
                part = _bearer(member, bearing)
                found += (Held(at, bearing, part) for at in (bearing.from_mm, bearing.to_mm))
            else:
                at = min(max(bearing.middle_mm, 0.0), member.length_mm)
                found.append(Held(at, bearing, _bearer(member, bearing)))
        rows = sorted(found, key=lambda one: one.at_mm)
        return tuple(
            one
            for number, one in enumerate(rows)
            if number == 0 or one.at_mm > rows[number - 1].at_mm + 1.0
        )

    def _along(self, member: Member, bearing: Bearing) -> list[Held]:
        """Where something stands under what it lies along."""
        places = {
            round(member.at(part.centre_mm), 1): part
            for part in self.uprights
            if abs(_off(member, part)) < _UNDER_MM
        }
        within = [at for at in places if bearing.from_mm - 20 <= at <= bearing.to_mm + 20]
        if len(within) < 2:
            count = max(1, math.ceil((bearing.to_mm - bearing.from_mm) / _HELD_EVERY_MM))
            step = (bearing.to_mm - bearing.from_mm) / count
            longest = max(bearing.parts, key=lambda part: _length(*member.extent(part)))
            return [Held(bearing.from_mm + k * step, bearing, longest) for k in range(count + 1)]
        rows: list[Held] = []
        for at in sorted(within):
            if not rows or at - rows[-1].at_mm > _APART_MM:
                inside = min(max(at, 0.0), member.length_mm)
                rows.append(Held(inside, bearing, places[at]))
        return rows

    @cached_property
    def uprights(self) -> tuple[Part, ...]:
        """What stands under the plates of a wall."""
        return tuple(
            part
            for part in self.members.parts.values()
            if part.kind in UPRIGHT and self._under_plate(part)
        )

    def _under_plate(self, part: Part) -> bool:
        return any(
            other.kind is Kind.TOP_PLATE or (other.kind is Kind.BEAM)
            for other in self._mates(part)
            if other.bounds_mm[0][2] > part.bounds_mm[0][2] + 100
        )

    def _mates(self, part: Part) -> list[Part]:
        rows = self.members.joints.get(part.name, ())
        return [self.members.parts[row.b if row.a == part.name else row.a] for row in rows]

    def loads(self, member: Member) -> dict[Load, list[Force]]:
        """All on a member, square to it, N."""
        found: defaultdict[Load, list[Force]] = defaultdict(list)
        length = member.length_mm
        own = sum(part_mass(part).likely_kg for part in member.parts) * STANDARD_GRAVITY_M_S2
        found[Load.DEAD].append(Force(0, length, own / member.steepness))
        width = self.widths.get(member.name, 0.0)
        area = KN_M2 * width * length
        climate = self.climate
        if member.kind in RAFTERS:
            for load, forces in roof_loads(self.members, member, width, climate).items():
                found[load] += forces
        elif member.kind is Kind.JOIST:
            found[Load.DEAD].append(Force(0, length, climate.floor_dead * area))
            found[Load.LIVE].append(Force(0, length, climate.site.floor_live * area))
        elif member.kind is Kind.LOFT_JOIST:
            found[Load.DEAD].append(Force(0, length, climate.loft_dead * area))
            found[Load.LIVE].append(Force(0, length, climate.loft_live * area))
        for push in self.on_member[member.name]:
            at = min(max(member.at((*push.point, 0.0)), 0.0), length)
            for load, force in push.loads.items():
                found[load].append(Force(at, at, force / member.steepness))
        return dict(found)

    def reactions(self, member: Member) -> dict[Load, tuple[float, ...]]:
        """What each of its supports bears of each load, plumb, N, down above zero."""
        held = self.held(member)
        supports = [one.at_mm for one in held]
        found: dict[Load, tuple[float, ...]] = {}
        for load, forces in self.loads(member).items():
            square = analyse(
                forces,
                length_mm=member.length_mm,
                supports_mm=supports,
                stiffness_n_mm2=1e9,
                hinges_mm=self.hinges(member),
            ).reactions_n
            found[load] = plumb(member, load, square)
        return found

    def settle(self, member: Member) -> None:
        """Put what a member carries on what bears it."""
        held = self.held(member)
        if len(held) < 2:
            self.lost[member.name] = "it has no two bearings that are known"
            return
        pushes: list[Loads] = [{} for _ in held]
        for load, forces in self.reactions(member).items():
            for push, force in zip(pushes, forces, strict=True):
                push[load] = force
        _lean(held, pushes)
        for one, push in zip(held, pushes, strict=True):
            self._put(one, Push(member.point(one.at_mm), push))

    def hinges(self, member: Member) -> tuple[float, ...]:
        """Where all its plies are jointed, on the nearest support, and where it leaves a wall.

        What spans from a wall to a post is taken as resting on the wall's end and not held level
        by it.
        """
        held = self.held(member)
        supports = [one.at_mm for one in held]
        leaves = {
            one.at_mm
            for one, other in pairwise(held)
            if one.bearing.lies_along and other.bearing is not one.bearing
        } | {
            other.at_mm
            for one, other in pairwise(held)
            if other.bearing.lies_along and other.bearing is not one.bearing
        }
        joints = {
            min(supports, key=lambda at: abs(at - end))
            for low, high in member.plies
            for end in (low, high)
            if 60 < end < member.length_mm - 60 and not member.plies_at(end)
        }
        return tuple(sorted(at for at in joints | leaves if 1 < at < member.length_mm - 1))

    def _put(self, held: Held, push: Push) -> None:
        part = held.part
        for one in held.bearing.parts:
            below = self.members.by_part.get(one.name)
            if below is not None and (part is None or part.kind not in UPRIGHT):
                self.on_member[below.name].append(push)
                return
        if part is None:
            return
        side_by_side = [one for one in held.bearing.parts if one.kind is part.kind]
        if part.kind in POST_METAL:
            part = next((one for one in self._mates(part) if one.kind is Kind.POST), part)
        if part.kind in WALL_PLATES:
            self.on_wall[part.group].append(push)
        elif part.kind not in UPRIGHT:
            self.on_part[part.name].append(push)
        elif part not in side_by_side:
            self._stand(part, push)
        else:
            for one in side_by_side:
                self._stand(one, push.times(1 / len(side_by_side)))

    def spread_wall(self, group: str) -> None:
        """Put what presses on a wall's plates, and the wall itself, on what stands under them."""
        plates = [
            part
            for part in self.members.parts.values()
            if part.group == group and part.kind is Kind.TOP_PLATE
        ]
        uprights = [part for part in self.uprights if part.group == group]
        pushes = self._on_headers(plates, self.on_wall[group])
        if not uprights:
            if pushes:
                self.lost[group] = "nothing was found under its plates"
            return
        (x0, y0, _), (x1, y1, _) = plates[0].bounds_mm
        axis = 0 if x1 - x0 >= y1 - y0 else 1
        by_place = {round(part.centre_mm[axis], 1): part for part in uprights}
        places = sorted(by_place)
        for push in pushes:
            at = min(max(push.point[axis], places[0]), places[-1])
            for place, share in zip(places, shares_of(places, at, at), strict=True):
                if share:
                    self._stand(by_place[place], push.times(share))
        own = self.climate.wall_n_mm * (places[-1] - places[0])
        for place, share in zip(places, shares_of(places, places[0], places[-1]), strict=True):
            self._stand(by_place[place], Push((0.0, 0.0), {Load.DEAD: own * share}))

    def _on_headers(self, plates: Sequence[Part], pushes: Sequence[Push]) -> list[Push]:
        """Put on headers what presses on plates that lie on them; the rest is left."""
        headers = {
            self.members.by_part[mate.name].name: self.members.by_part[mate.name]
            for plate in plates
            for mate in self._mates(plate)
            if mate.kind is Kind.HEADER
        }
        left: list[Push] = []
        for push in pushes:
            for header in headers.values():
                if -1 < header.at((*push.point, 0.0)) < header.length_mm + 1:
                    self.on_member[header.name].append(push)
                    break
            else:
                left.append(push)
        for header in headers.values():
            # The wall on it, over its length.
            own = self.climate.wall_n_mm * header.length_mm / _WALL_ON_HEADER
            for k in range(_WALL_ON_HEADER):
                place = header.point((k + 0.5) / _WALL_ON_HEADER * header.length_mm)
                self.on_member[header.name].append(Push(place, {Load.DEAD: own}))
        return left

    def _stand(self, part: Part, push: Push) -> None:
        """On an upright; where that stands on a header, on the header."""
        x, y, _ = part.centre_mm
        for other in self._mates(part):
            on_top = part.bounds_mm[0][2] > other.bounds_mm[1][2] - 5
            if other.kind is Kind.HEADER and on_top:
                header = self.members.by_part[other.name]
                self.on_member[header.name].append(Push((x, y), push.loads))
                return
        self.on_part[part.name].append(Push((x, y), push.loads))

    def settle_ledger(self, ledger: Member) -> None:
        """Put what hangs on a ledger on what stands behind it in the wall."""
        behind = {
            ledger.at(part.centre_mm): part
            for part in self.uprights
            if abs(_off(ledger, part)) < _BEHIND_MM
        }
        places = sorted(behind)
        if len(places) < 2:
            self.lost[ledger.name] = "no studs were found behind it"
            return
        for push in self.on_member[ledger.name]:
            at = min(max(ledger.at((*push.point, 0.0)), places[0]), places[-1])
            for place, share in zip(places, shares_of(places, at, at), strict=True):
                if share:
                    self._stand(behind[place], push.times(share))

    def settle_foot(self, group: str, joists: Sequence[Member]) -> None:
        """Put what the uprights of a wall carry on the beam or the floor that they stand on."""
        plates = [
            part
            for part in self.members.parts.values()
            if part.group == group and part.kind is Kind.BOTTOM_PLATE
        ]
        beams = {
            self.members.by_part[other.name].name
            for plate in plates
            for other in self._mates(plate)
            if other.kind is Kind.BEAM
        }
        feet = [
            part
            for part in self.members.parts.values()
            if part.group == group and part.kind in UPRIGHT and self.on_part.get(part.name)
        ]
        for part in feet:
            x, y, _ = part.centre_mm
            push = Push((x, y), self.carried(part))
            if beams:
                self.on_member[min(beams)].append(push)
            else:
                self._on_floor(push, joists)

    def _on_floor(self, push: Push, joists: Sequence[Member]) -> None:
        near = sorted(
            (
                (_beside(joist, push.point), joist)
                for joist in joists
                if -150 < joist.at((*push.point, 0.0)) < joist.length_mm + 150
            ),
            key=lambda one: one[0],
        )
        if not near:
            return
        places = [at for at, _ in near]
        at = min(max(0.0, places[0]), places[-1])
        for (_, joist), share in zip(near, shares_of(places, at, at), strict=True):
            if share:
                self.on_member[joist.name].append(push.times(share))

    def carried(self, part: Part) -> Loads:
        """What an upright or a post carries, N, without itself."""
        found: Loads = {}
        for push in self.on_part[part.name]:
            for load, force in push.loads.items():
                found[load] = found.get(load, 0.0) + force
        return found


def paths_of(building: Building) -> Paths:
    """Every load on its way down to what stands on the ground."""
    members = members_of(building)
    paths = Paths(members, climate_of(building))
    for kinds in ((Kind.FLY_RAFTER,), (Kind.LOOKOUT,), (Kind.RAFTER, Kind.END_RAFTER)):
        for member in members.of(*kinds):
            paths.settle(member)
    # Tail joists before the headers that they hang on, and those before their trimmers.
    _settle_framed(paths, Kind.LOFT_JOIST, Kind.LOFT_HEADER)
    for ledger in members.of(Kind.LEDGER):
        paths.settle_ledger(ledger)
    plates: dict[str, float] = {}
    for part in members.parts.values():
        if part.kind is Kind.TOP_PLATE:
            plates[part.group] = max(part.bounds_mm[1][2], plates.get(part.group, 0.0))
    # Beams and walls from the highest down: each bears on lower ones alone.
    falling: list[tuple[float, Member | str]] = [
        *((beam.origin[2], beam) for beam in members.of(Kind.BEAM)),
        *((high_mm, group) for group, high_mm in plates.items()),
    ]
    on_beams = _walls_on_beams(members)
    for _, one in sorted(falling, key=lambda row: -row[0]):
        if isinstance(one, Member):
            paths.settle(one)
            continue
        paths.spread_wall(one)
        if one in on_beams:
            _settle_headers(paths, one)
            paths.settle_foot(one, ())
    joists = members.of(Kind.JOIST)
    for group in plates:
        if group not in on_beams:
            _settle_headers(paths, group)
            paths.settle_foot(group, joists)
    _settle_framed(paths, Kind.JOIST, Kind.FLOOR_HEADER)
    for girder in members.of(Kind.GIRDER):
        paths.settle(girder)
    return paths


def _settle_headers(paths: Paths, group: str) -> None:
    for header in paths.members.of(Kind.HEADER):
        if header.first.group == group:
            paths.settle(header)


def _settle_framed(paths: Paths, joist: Kind, header: Kind) -> None:
    """Joists of a floor with openings: those that hang, their headers, and those that carry."""
    members, bearings = paths.members, paths.bearings

    def hangs(member: Member) -> bool:
        return any(part.kind is header for one in bearings[member.name] for part in one.parts)

    joists = members.of(joist)
    for member in joists:
        if hangs(member):
            paths.settle(member)
    for member in members.of(header):
        paths.settle(member)
    for member in joists:
        if not hangs(member):
            paths.settle(member)


def _walls_on_beams(members: Members) -> frozenset[str]:
    """Groups of walls whose bottom plates lie on a beam."""
    found: set[str] = set()
    for part in members.parts.values():
        if part.kind is Kind.BOTTOM_PLATE:
            mates = members.joints.get(part.name, ())
            names = (row.b if row.a == part.name else row.a for row in mates)
            if any(members.parts[name].kind is Kind.BEAM for name in names):
                found.add(part.group)
    return frozenset(found)


def plumb(member: Member, load: Load, square_n: Sequence[float]) -> tuple[float, ...]:
    """Reactions square to a member as they press plumb on what bears it, N.

    What weighs hangs plumb; wind goes square to the slope, of which the rest goes along.
    """
    wind = load in (Load.WIND, Load.UPLIFT)
    factor = 1 / member.steepness if wind else member.steepness
    return tuple(force * factor for force in square_n)


def _lean(held: Sequence[Held], pushes: list[Loads]) -> None:
    """Rafters against a ridge board hold each other up: each has all of itself at its foot.

    Two that lean on each other push level there alone. Source: statics of a pair of rafters under
    even loads on both.
    """
    for number, one in enumerate(held):
        if one.part is not None and one.part.kind is Kind.RIDGE_BOARD:
            feet = [k for k in range(len(held)) if k != number]
            foot = min(feet, key=lambda k: abs(k - number))
            for load, force in pushes[number].items():
                pushes[foot][load] = pushes[foot].get(load, 0.0) + force
            pushes[number].clear()


def _beside(member: Member, point: tuple[float, float]) -> float:
    """How far to the left of a point a member's line passes, mm."""
    dx, dy = point[0] - member.origin[0], point[1] - member.origin[1]
    x, y = member.along
    flip = 1 if x > 1e-6 or (abs(x) <= 1e-6 and y > 0) else -1
    return -flip * (dy * x - dx * y)


def _bearer(member: Member, bearing: Bearing) -> Part | None:
    """What bears there: wood under it before what stands beside it, and before a cap's steel."""
    under_mm = min(part.bounds_mm[0][2] for part in member.wooden) + 5

    def rank(part: Part) -> tuple[bool, bool]:
        return part.kind not in POST_METAL, part.bounds_mm[1][2] <= under_mm

    return max(bearing.parts, key=rank, default=None)


def _length(low_mm: float, high_mm: float) -> float:
    return high_mm - low_mm


def _off(member: Member, part: Part) -> float:
    """How far a part's middle is beside a member's line, mm."""
    x, y, _ = part.centre_mm
    dx, dy = x - member.origin[0], y - member.origin[1]
    return dy * member.along[0] - dx * member.along[1]

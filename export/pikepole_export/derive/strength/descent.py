"""The way of every load down through a frame, from the roof to what stands on the ground.

paths_of(building) -> Paths
"""

from __future__ import annotations

from collections.abc import Sequence

from pikepole_export.derive.strength.climate import climate_of
from pikepole_export.derive.strength.combinations import Load
from pikepole_export.derive.strength.frame import UPRIGHT, Member, Members, members_of
from pikepole_export.derive.strength.lever import shares_of
from pikepole_export.derive.strength.paths import NO_SHARE, Paths, Push
from pikepole_export.derive.strength.supports import beside
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part

# In so many forces what a wall weighs is put on a header right under its plates.
_WALL_ON_HEADER = 5
# Studs so near to a ledger's line are behind it.
_BEHIND_MM = 160.0
# A floor's joist that ends so near to an upright bears it.
_PAST_END_MM = 150.0
_WALL = "its wall"


def paths_of(building: Building) -> Paths:
    """Every load on its way down to what stands on the ground."""
    members = members_of(building)
    paths = Paths(members, climate_of(building))
    for kinds in ((Kind.FLY_RAFTER,), (Kind.LOOKOUT,), (Kind.RAFTER, Kind.END_RAFTER)):
        for member in members.of(*kinds):
            paths.settle(member)
    _settle_framed(paths, Kind.LOFT_JOIST, Kind.LOFT_HEADER)
    for ledger in members.of(Kind.LEDGER, Kind.LOFT_LEDGER):
        _settle_ledger(paths, ledger)
    plates: dict[str, float] = {}
    for part in members.parts.values():
        if part.kind is Kind.TOP_PLATE:
            plates[part.group] = max(part.bounds_mm[1][2], plates.get(part.group, 0.0))
    on_beams = _walls_on_beams(members)
    # Beams and walls from the highest down: each bears on lower ones alone.
    falling: list[tuple[float, Member | str]] = [
        *((beam.origin[2], beam) for beam in members.of(Kind.BEAM)),
        *((high_mm, group) for group, high_mm in plates.items()),
    ]
    for _, one in sorted(falling, key=lambda row: -row[0]):
        if isinstance(one, Member):
            paths.settle(one)
            continue
        _spread_wall(paths, one)
        if one in on_beams:
            _settle_headers(paths, one)
            for push in _feet(paths, one):
                paths.on_member[on_beams[one]].append(push)
    joists = members.of(Kind.JOIST)
    for group in plates:
        if group not in on_beams:
            _settle_headers(paths, group)
            for push in _feet(paths, group):
                _on_floor(paths, push, joists)
    _settle_framed(paths, Kind.JOIST, Kind.FLOOR_HEADER)
    for girder in members.of(Kind.GIRDER):
        paths.settle(girder)
    return paths


def _settle_framed(paths: Paths, joist: Kind, header: Kind) -> None:
    """Joists of a floor with openings: those that hang, their headers, and those that carry."""
    members, bearings = paths.members, paths.supports.bearings

    def hangs(member: Member) -> bool:
        return any(part.kind is header for one in bearings[member.name] for part in one.parts)

    joists = members.of(joist)
    tails = [member for member in joists if hangs(member)]
    for member in (*tails, *members.of(header), *(one for one in joists if one not in tails)):
        paths.settle(member)


def _settle_headers(paths: Paths, group: str) -> None:
    for header in paths.members.of(Kind.HEADER):
        if header.first.group == group:
            paths.settle(header)


def _settle_ledger(paths: Paths, ledger: Member) -> None:
    """Put what hangs on a ledger on what stands behind it in the wall."""
    behind = {
        ledger.at(part.centre_mm): part
        for part in paths.supports.uprights
        if abs(beside(ledger, part.centre_mm)) < _BEHIND_MM
    }
    if len(behind) < 2:
        paths.lost[ledger.name] = "no studs were found behind it"
        return
    for push in paths.on_member[ledger.name]:
        paths.stand_between(behind, ledger.at(push.point), push)


def _walls_on_beams(members: Members) -> dict[str, str]:
    """The beam under each wall whose bottom plate lies on one, by the wall's group."""
    return {
        part.group: members.by_part[mate.name].name
        for part in members.parts.values()
        if part.kind is Kind.BOTTOM_PLATE
        for mate in members.mates(part)
        if mate.kind is Kind.BEAM
    }


def _spread_wall(paths: Paths, group: str) -> None:
    """Put what presses on a wall's plates, and the wall itself, on what stands under them."""
    members = paths.members
    plates = [
        part
        for part in members.parts.values()
        if part.group == group and part.kind is Kind.TOP_PLATE
    ]
    pushes = _on_headers(paths, plates, paths.on_wall[group])
    (x0, y0, _), (x1, y1, _) = plates[0].bounds_mm
    axis = 0 if x1 - x0 >= y1 - y0 else 1
    uprights = {
        round(part.centre_mm[axis], 1): part
        for part in paths.supports.uprights
        if part.group == group
    }
    if not uprights:
        if pushes:
            paths.lost[group] = "nothing was found under its plates"
        return
    for push in pushes:
        paths.stand_between(uprights, push.point[axis], push)
    places = sorted(uprights)
    own = paths.climate.wall_n_mm * (places[-1] - places[0])
    for place, share in zip(places, shares_of(places, places[0], places[-1]), strict=True):
        paths.stand(uprights[place], Push((0.0, 0.0), {Load.DEAD: own * share}, _WALL))


def _on_headers(paths: Paths, plates: Sequence[Part], pushes: Sequence[Push]) -> list[Push]:
    """Put on headers what presses on plates that lie on them; the rest is left."""
    members = paths.members
    headers = {
        members.by_part[mate.name].name: members.by_part[mate.name]
        for plate in plates
        for mate in members.mates(plate)
        if mate.kind is Kind.HEADER
    }
    left: list[Push] = []
    for push in pushes:
        over = (one for one in headers.values() if -1 < one.at(push.point) < one.length_mm + 1)
        header = next(over, None)
        if header is None:
            left.append(push)
        else:
            paths.on_member[header.name].append(push)
    for header in headers.values():
        own = paths.climate.wall_n_mm * header.length_mm / _WALL_ON_HEADER
        for k in range(_WALL_ON_HEADER):
            place = header.point((k + 0.5) / _WALL_ON_HEADER * header.length_mm)
            paths.on_member[header.name].append(Push(place, {Load.DEAD: own}, _WALL))
    return left


def _feet(paths: Paths, group: str) -> list[Push]:
    """What the uprights of a wall carry, where they stand."""
    return [
        Push((part.centre_mm[0], part.centre_mm[1]), paths.carried(part), part.name)
        for part in paths.members.parts.values()
        if part.group == group and part.kind in UPRIGHT and paths.on_part.get(part.name)
    ]


def _on_floor(paths: Paths, push: Push, joists: Sequence[Member]) -> None:
    """On the two joists that it is between; a wall along them on the nearest."""
    near = sorted(
        (
            (-beside(joist, push.point), joist)
            for joist in joists
            if -_PAST_END_MM < joist.at(push.point) < joist.length_mm + _PAST_END_MM
        ),
        key=lambda one: one[0],
    )
    if not near:
        return
    places = [at for at, _ in near]
    at = min(max(0.0, places[0]), places[-1])
    for (_, joist), share in zip(near, shares_of(places, at, at), strict=True):
        if share > NO_SHARE:
            paths.on_member[joist.name].append(push.times(share))

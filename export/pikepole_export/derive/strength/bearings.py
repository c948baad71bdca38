"""What bears a member, and where: read off its joints.

bearings_of(members, member) -> bearings        rising along it
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pikepole_export.derive.strength.frame import SPACERS, UPRIGHT, Member, Members
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part

_RAFTERS = (Kind.RAFTER, Kind.END_RAFTER)
_LOFT = frozenset({Kind.LOFT_LEDGER, Kind.TOP_PLATE, Kind.LOFT_HEADER, Kind.BEAM})
# What bears each kind: the first group that gives it two places or more.
BORNE_BY: dict[Kind, tuple[frozenset[Kind], ...]] = {
    Kind.FLY_RAFTER: (frozenset({Kind.LOOKOUT}),),
    Kind.LOOKOUT: (frozenset(_RAFTERS),),
    **dict.fromkeys(
        _RAFTERS,
        (
            frozenset({Kind.BEAM, Kind.TOP_PLATE, Kind.LEDGER}),
            frozenset({Kind.BEAM, Kind.TOP_PLATE, Kind.LEDGER, Kind.RIDGE_BOARD}),
        ),
    ),
    Kind.BEAM: (
        frozenset({Kind.POST, Kind.POST_CAP, Kind.POST_STUD, Kind.WALL_POST, Kind.TOP_PLATE}),
    ),
    Kind.LOFT_JOIST: (_LOFT, _LOFT | UPRIGHT),
    Kind.LOFT_HEADER: (frozenset({Kind.LOFT_JOIST}),),
    Kind.HEADER: (frozenset({Kind.JACK}), frozenset({Kind.JACK, Kind.KING}), UPRIGHT),
    Kind.JOIST: (
        frozenset({Kind.SKID, Kind.GIRDER, Kind.FLOOR_LEDGER, Kind.FLOOR_HEADER}),
        frozenset({Kind.SKID, Kind.GIRDER, Kind.FLOOR_LEDGER, Kind.FLOOR_HEADER, Kind.RIM}),
    ),
    Kind.FLOOR_HEADER: (frozenset({Kind.JOIST}),),
    Kind.RIM: (frozenset({Kind.GIRDER, Kind.SKID}),),
    Kind.GIRDER: (frozenset({Kind.PIER}),),
}
# Plates that lie along a member carry it wherever something stands under them.
ALONG_MM = 600.0
# Bearers this near to one another are one: plies of a beam with their spacer.
_ONE_MM = 30.0


@dataclass(frozen=True, slots=True)
class Bearing:
    """One place where a member lies on something.

    Attributes:
        from_mm: Where it begins, mm along the member.
        to_mm: Where it ends.
        wood_mm: How much of that is wood or steel that bears.
        parts: What bears there.
    """

    from_mm: float
    to_mm: float
    wood_mm: float
    parts: tuple[Part, ...]

    @property
    def middle_mm(self) -> float:
        """Of it."""
        return (self.from_mm + self.to_mm) / 2

    @property
    def lies_along(self) -> bool:
        """Whether the member lies lengthwise on it."""
        return self.to_mm - self.from_mm > ALONG_MM


def bearings_of(members: Members, member: Member) -> tuple[Bearing, ...]:
    """Where it lies on what bears it; none for a kind that lies on the ground or is not known."""
    touching = [part for _, part in members.touching(member)]
    found: tuple[Bearing, ...] = ()
    for kinds in BORNE_BY.get(member.kind, ()):
        spacers = SPACERS if Kind.BEAM in kinds else frozenset[Kind]()
        parts = {
            part.name: part
            for part in touching
            if part.kind in kinds | spacers and _bears(members, member, part)
        }
        found = _merged(members, member, list(parts.values()))
        if len(found) >= 2 or any(one.lies_along for one in found):
            break
    return found


def _bears(members: Members, member: Member, part: Part) -> bool:
    """Not what a member bears itself: a header its tail joists, a beam what stands on it."""
    above = part.bounds_mm[0][2] > member.parts[0].bounds_mm[1][2] - 1
    other = members.by_part.get(part.name)
    if other is None:
        return not above
    if member.kind in (Kind.FLOOR_HEADER, Kind.LOFT_HEADER):
        # Its trimmers pass its ends; what ends on it hangs on it.
        place = other.at(member.point(member.length_mm / 2))
        return 1 < place < other.length_mm - 1
    if other.kind in (Kind.FLOOR_HEADER, Kind.LOFT_HEADER):
        place = member.at(other.point(other.length_mm / 2))
        return not 1 < place < member.length_mm - 1
    return not above


def _post_under(members: Members, part: Part) -> Part:
    """Where a post's cap bears: over the post, even where plies meet and it reaches past that."""
    if part.kind is not Kind.POST_CAP:
        return part
    return next((mate for mate in members.mates(part) if mate.kind is Kind.POST), part)


def _merged(members: Members, member: Member, parts: Sequence[Part]) -> tuple[Bearing, ...]:
    spans = sorted(
        ((*member.extent(_post_under(members, part)), part) for part in parts),
        key=lambda row: row[:2],
    )
    found: list[Bearing] = []
    for low, high, part in spans:
        wood = 0.0 if part.kind in SPACERS else max(0.0, high - low)
        if found and low <= found[-1].to_mm + _ONE_MM:
            last = found[-1]
            # Two in the same place, side by side across it, bear no more of its length.
            beside = max(0.0, min(last.to_mm, high) - low)
            found[-1] = Bearing(
                last.from_mm,
                max(last.to_mm, high),
                last.wood_mm + max(0.0, wood - beside),
                (*last.parts, part),
            )
        elif high >= low - 1:
            found.append(Bearing(min(low, high), max(low, high), wood, (part,)))
    return tuple(found)

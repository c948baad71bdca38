"""The checks of what lies: rafters, joists, headers, beams, lookouts, girders.

lying_checks(paths, woods) -> checks
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from pikepole_export.derive.strength.beam import Force
from pikepole_export.derive.strength.beam_checks import beam_checks
from pikepole_export.derive.strength.bearings import Bearing
from pikepole_export.derive.strength.cases import FLOOR, RAFTERS, Beam, Sags, Splice, Support
from pikepole_export.derive.strength.check import Basis, Check, Measured, Number, Rule
from pikepole_export.derive.strength.combinations import Load
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.nds import Lumber
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.section import Section
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.stock.design_values import load_design_values

SOUTHERN = "southern pine"
# Three or more of these share a load, 24 in apart at most. Source: NDS 4.3.9.
_REPETITIVE = frozenset({Kind.RAFTER, Kind.JOIST, Kind.LOFT_JOIST})
# What is more than four fifths carried by what it lies along is not bent.
_CARRIED_SHARE = 0.8
# A rafter's sheets hold its upper edge, what lies on a beam its.
_ROOF_BEAM = Sags(
    240, 180, "IRC Table R301.7, all other members; IBC Table 1604.3, roof members with a ceiling"
)
_SAGS = {
    **dict.fromkeys((Kind.RAFTER, Kind.END_RAFTER, Kind.FLY_RAFTER, Kind.LOOKOUT), RAFTERS),
    **dict.fromkeys((Kind.BEAM, Kind.HEADER), _ROOF_BEAM),
}
# Joists and beams of decks go on past their last bearing by no more than this share of the span
# beside it. Source: IRC R507.5, R507.6; AWC DCA 6.
_PAST_SHARE = 1 / 4
_BEARING_MM = 38.0  # 1-1/2 in (38 mm). Source: IRC R502.6, R802.6
_LEFT_OUT = frozenset({Kind.RIM, Kind.SKID, Kind.LEDGER, Kind.LOFT_LEDGER, Kind.FLOOR_LEDGER})


@dataclass(frozen=True, slots=True)
class Found:
    """A check of one member, the same for all that are loaded alike.

    Attributes:
        label: What is like it: "rafter".
        member: Whose it is.
        check: Of the first of those.
    """

    label: str
    member: str
    check: Check


@dataclass(frozen=True)
class Woods:
    """The wood of a building's members.

    Attributes:
        building: Whose.
    """

    building: Building

    def lumber(self, part: Part, section: Section, *, repetitive: bool = False) -> Lumber | None:
        """A piece as it is used; None for a species or grade without design values."""
        timber, treated = self.building.scene.lumber, part.material.treated
        species = self.building.scene.species(treated, part.stock).name
        grade = timber.treated_grade if treated else timber.grade
        low, high = section.sides_mm
        strength = self.building.scene.catalogue.strength_of(part.stock)
        wood = load_design_values().find(
            species, grade, breadth_mm=low, depth_mm=high, strength=strength
        )
        if wood is None:
            return None
        incised = treated and species != SOUTHERN
        return Lumber(wood, section, wet=treated, incised=incised, repetitive=repetitive)

    def gravity(self, part: Part) -> float:
        """Its specific gravity, oven-dry."""
        return self.building.scene.species(part.material.treated, part.stock).specific_gravity


def beam_of(paths: Paths, member: Member, woods: Woods) -> Beam | None:
    """A member with its supports and loads; None without design values or two supports."""
    held = paths.held(member)
    repetitive = member.kind in _REPETITIVE or member.section.plies >= 3
    lumber = woods.lumber(member.first, member.section, repetitive=repetitive)
    if lumber is None or len(held) < 2:
        return None
    ends = [one.at_mm for one in held]
    gaps = [high - low for low, high in pairwise(ends)]
    return Beam(
        name=member.name,
        lumber=lumber,
        length_mm=member.length_mm,
        supports=tuple(
            Support(
                one.at_mm,
                0.0 if one.bearing.lies_along else one.bearing.wood_mm,
                paths.members.called(one.part),
                max(0.0, min(one.bearing.from_mm, member.length_mm - one.bearing.to_mm)),
                _notch_mm(member, one.bearing),
            )
            for one in held
        ),
        loads=loads_of(paths, member),
        sags=_SAGS.get(member.kind, FLOOR),
        unbraced_below_mm=max(gaps),
        hinges_mm=paths.supports.hinges(member),
        splices=tuple(_splices(member)),
    )


def loads_of(paths: Paths, member: Member) -> dict[Load, list[Force]]:
    """What is on a member by itself: wind off the roof as a whole is not."""
    return {load: forces for load, forces in paths.loads(member).items() if load is not Load.LIFT}


def _notch_mm(member: Member, bearing: Bearing) -> float:
    """How deep a rafter's level seat is cut into it, square to it: the seat by the slope's sine."""
    if member.kind not in (Kind.RAFTER, Kind.END_RAFTER) or bearing.lies_along:
        return 0.0
    return bearing.wood_mm / member.steepness * math.sin(math.radians(member.slope_deg))


def _splices(member: Member) -> Iterator[Splice]:
    if len(member.wooden) == 1:
        return
    ends = {round(end, 1) for span in member.plies for end in span}
    for end in sorted(ends):
        left = member.plies_at(end)
        if 2 < end < member.length_mm - 2 and 0 < left < member.section.plies:
            yield Splice(end, left)


def lying_checks(paths: Paths, woods: Woods) -> Iterator[Found]:
    """Every check of every member."""
    done: dict[tuple[object, ...], list[Check]] = {}
    for member in paths.members.every:
        if member.kind in _LEFT_OUT or _is_carried(paths, member):
            continue
        beam = beam_of(paths, member, woods)
        if beam is None:
            continue
        label = _label(member)
        key = (label, *_signature(beam))
        if key not in done:
            basis = basis_of(paths, member, woods)
            done[key] = [
                *(replace(check, basis=basis) for check in beam_checks(beam)),
                *_bearing_lengths(paths, member),
                *_overhangs(paths, member),
            ]
        for check in done[key]:
            yield Found(label, member.name, check)


def basis_of(paths: Paths, member: Member, woods: Woods) -> Basis:
    """What a member that lies is checked with."""
    return Basis(
        loads_of(paths, member),
        woods.lumber(member.first, member.section),
        member.length_mm,
        tuple((one.at_mm, paths.members.called(one.part)) for one in paths.held(member)),
        paths.supports.hinges(member) if paths.held(member) else (),
        paths.widths.get(member.name, 0.0),
        member.slope_deg,
    )


def _label(member: Member) -> str:
    return member.name if len(member.parts) > 1 else member.first.label or member.name


def _is_carried(paths: Paths, member: Member) -> bool:
    along = sum(
        one.to_mm - one.from_mm for one in paths.supports.bearings[member.name] if one.lies_along
    )
    return along > _CARRIED_SHARE * member.length_mm


def _signature(beam: Beam) -> tuple[object, ...]:
    """What makes two members the same to reckon, to a tenth of a millimetre and a newton."""
    return (
        beam.lumber,
        round(beam.length_mm, 1),
        tuple((round(one.at_mm, 1), round(one.length_mm, 1)) for one in beam.supports),
        tuple(round(one.notch_mm, 1) for one in beam.supports),
        beam.sags,
        beam.hinges_mm,
        beam.splices,
        tuple(
            (load, round(one.from_mm, 1), round(one.to_mm, 1), round(one.force_n))
            for load, forces in beam.loads.items()
            for one in forces
        ),
    )


def _bearing_lengths(paths: Paths, member: Member) -> Iterator[Check]:
    for bearing in paths.supports.bearings[member.name]:
        if bearing.wood_mm > 1 and not bearing.lies_along:
            level = bearing.wood_mm / member.steepness
            yield Check(
                member=member.name,
                rule=Rule.BEARING_LENGTH,
                combination=None,
                demand=_BEARING_MM,
                capacity=level,
                measured=Measured.LENGTH,
                formula="least length on wood or metal",
                numbers=(Number("l", level, Measured.LENGTH),),
                clause="IRC R502.6, R802.6",
                limit="l, as it lies",
                at_mm=bearing.middle_mm,
                place=f"on {paths.members.called(bearing.parts[0])}",
            )


def _overhangs(paths: Paths, member: Member) -> Iterator[Check]:
    """How far a floor's joist or a beam goes on past a bearing at its end; not along a wall."""
    held = paths.held(member)
    if member.kind not in (Kind.JOIST, Kind.BEAM) or len(held) < 2:
        return
    for last, beside, end_mm in ((held[0], held[1], 0.0), (held[-1], held[-2], member.length_mm)):
        past_mm, span_mm = abs(end_mm - last.at_mm), abs(beside.at_mm - last.at_mm)
        if last.bearing.lies_along or past_mm < member.section.depth_mm:
            continue
        yield Check(
            member=member.name,
            rule=Rule.OVERHANG,
            combination=None,
            demand=past_mm,
            capacity=span_mm * _PAST_SHARE,
            measured=Measured.LENGTH,
            formula="a, from the middle of its last bearing",
            numbers=(Number("L, its span beside that", span_mm, Measured.LENGTH),),
            clause="IRC R507.5, R507.6, for decks",
            limit="L / 4",
            at_mm=last.at_mm,
            place=f"on {paths.members.called(last.part)}",
        )

"""What holds the frame together where wind draws it up: joint by joint down from the roof.

holding_checks(paths, woods) -> checks      rafters on bearings, beams on posts, walls on their feet

Each joint's net force is held against its nails or bolts by the NDS. Steel that is bought counts
by the rating that the scene gives it, alone and not beside nails.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

from pikepole_export.derive.buying.schedule import Fixed, fixed
from pikepole_export.derive.strength import dowels, nds
from pikepole_export.derive.strength.check import Check, Measured, Number, Rule
from pikepole_export.derive.strength.combinations import LIFTED, UPLIFT, Combination, Load
from pikepole_export.derive.strength.frame import UPRIGHT, Member
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.nds import Duration
from pikepole_export.derive.strength.paths import Loads, Paths
from pikepole_export.derive.strength.section import Section
from pikepole_export.derive.strength.supports import Held
from pikepole_model.building.fastenings import Bought, load_fastenings
from pikepole_model.building.kinds import Kind
from pikepole_model.building.load_path import ties_between
from pikepole_model.building.part import Building, Part
from pikepole_model.plan.anchor_bolts import WASHER_MM
from pikepole_model.units import (
    INCH_MM,
    POUND_FORCE_N,
    PSI_N_MM2,
    STANDARD_GRAVITY_M_S2,
)

# Toe-nails of the schedule alone at a rafter. Source: IRC R802.11, exception 1.
TOE_NAILED_N = 200 * POUND_FORCE_N
WIND = Duration.WIND.value
# Nails and bolts in wood that is wet in use; no factor for toe-nails that are drawn out. Source:
# NDS Table 11.3.3; what dries after it is nailed holds a quarter against being drawn out.
WET, DRIES = 0.7, 0.25
# Dowel bearing of structural panels. Source: NDS Table 12.3.3B, OSB and plywood of G 0.50.
PANEL_N_MM2 = 4650 * PSI_N_MM2
BOLT = dowels.bolt(INCH_MM / 2)


@dataclass(frozen=True)
class Joints:
    """The fastenings of a building, found by the names of the two pieces.

    Attributes:
        building: Whose.
    """

    building: Building

    @cached_property
    def _rows(self) -> dict[str, list[Fixed]]:
        found: defaultdict[str, list[Fixed]] = defaultdict(list)
        for one in fixed(self.building):
            for part in (one.part, *one.others):
                found[part.name].append(one)
        return dict(found)

    @cached_property
    def _ties(self) -> dict[tuple[str, str], list[Part]]:
        return ties_between(self.building)

    def of(self, parts: Iterable[Part]) -> list[Fixed]:
        """All that is fixed to some pieces, or they to it, each once."""
        rows = (row for part in parts for row in self._rows.get(part.name, ()))
        return list({id(row): row for row in rows if row.row.fastener}.values())

    def between(self, one: Sequence[Part], other: Iterable[Part]) -> Iterator[Fixed]:
        """What fixes some pieces to some others, each once."""
        these, those = {part.name for part in one}, {part.name for part in other}
        for row in self.of(one):
            fixed_to = {beside.name for beside in row.others}
            if (row.part.name in these and fixed_to & those) or (
                row.part.name in those and fixed_to & these
            ):
                yield row

    def ties(self, one: Part, other: Part) -> list[Part]:
        """The bent steel between two."""
        pairs = ((one.name, other.name), (other.name, one.name))
        return [tie for pair in pairs for tie in self._ties.get(pair, ())]

    def gravity(self, part: Part) -> float:
        """Its wood's specific gravity, oven-dry."""
        timber, catalogue = self.building.scene.lumber, self.building.scene.catalogue
        name = timber.treated_species if part.material.treated else timber.species
        return catalogue.find_species(name).specific_gravity


def holding_checks(paths: Paths, woods: Woods) -> Iterator[Found]:
    """Every joint that wind draws at."""
    joints = Joints(paths.members.building)
    for member in paths.members.of(Kind.RAFTER, Kind.END_RAFTER):
        label = member.first.label or member.name
        for check in _rafter(paths, joints, member):
            yield Found(label, member.name, check)
    for member in paths.members.of(Kind.BEAM):
        for check in _on_posts(paths, joints, member):
            yield Found(member.name, member.name, check)
    yield from _feet(paths, joints, woods)


def _lifted(paths: Paths, member: Member) -> Iterator[tuple[Held, Loads]]:
    """Each place where a member is drawn up, with what dead load and wind bring there, N, plumb."""
    borne = paths.borne.get(member.name, {})
    for number, one in enumerate(paths.held(member)):
        loads = {load: row[number] for load, row in borne.items()}
        if UPLIFT.of(loads) < 0:
            yield one, loads


def _rafter(paths: Paths, joints: Joints, member: Member) -> Iterator[Check]:
    rating_kg = paths.members.building.scene.ties.rafter_rating
    for held, loads in _lifted(paths, member):
        nails = list(joints.between([member.first], held.bearing.parts))
        if held.part.kind is Kind.RIDGE_BOARD or held.bearing.lies_along:
            continue
        drawn_n = sum(_toe_nailed_n(joints, held.part, one) for one in nails)
        ties = {tie.name for part in held.bearing.parts for tie in joints.ties(member.first, part)}
        rated_n = len(ties) * (rating_kg or 0.0) * STANDARD_GRAVITY_M_S2
        allowed = {
            "what the schedule's toe-nails alone may hold (R802.11 exception 1)": TOE_NAILED_N
            if nails
            else 0.0,
            "toe-nails, n W p x Ctn 0.67 x CD 1.6 (NDS 12.2.3, 12.5.4)": drawn_n,
            "ties.rafter_rating, the nails beside it not counted": rated_n,
        }
        best = max(allowed, key=lambda limit: allowed[limit])
        yield _up(
            member.name,
            loads,
            UPLIFT,
            allowed[best],
            numbers=(Number("toe-nails by the NDS", drawn_n, Measured.FORCE),),
            clause="IRC R802.11",
            limit=best,
            at_mm=held.at_mm,
            place=f"on {held.part.name}",
        )


def _toe_nailed_n(joints: Joints, into: Part, one: Fixed) -> float:
    size = _bought(one).nail_mm
    drawn = dowels.toe_nail_drawn_n(joints.gravity(into), *size) if size else 0.0
    return one.pieces * WIND * drawn


def _bought(one: Fixed) -> Bought:
    assert one.row.fastener
    return load_fastenings().bought[one.row.fastener]


def _on_posts(paths: Paths, joints: Joints, beam: Member) -> Iterator[Check]:
    """A beam on posts that are notched for it, by the bolts through their tongues."""
    for held, loads in _lifted(paths, beam):
        posts = [part for part in held.bearing.parts if part.kind is Kind.POST]
        bolts = [one for one in joints.between(posts, beam.parts) if _bought(one).by_length]
        if not bolts:
            continue
        post, count = posts[0], sum(one.pieces for one in bolts)
        wide_mm = sum(
            {round(part.centre_mm[1]): min(part.across_mm) for part in beam.parts}.values()
        )
        tongue_mm = max(max(post.across_mm) - wide_mm, INCH_MM / 2)
        plies_mm = beam.section.breadth_mm * beam.section.plies
        side = dowels.wood(joints.gravity(beam.first), BOLT, thick_mm=plies_mm, across=True)
        main = dowels.wood(joints.gravity(post), BOLT, thick_mm=tongue_mm)
        z = min(dowels.yield_modes(BOLT, side=side, main=main).values())
        yield _up(
            beam.name,
            loads,
            UPLIFT,
            count * z * WIND * WET,
            numbers=(
                Number("n", count, Measured.NUMBER),
                Number("Z", z, Measured.FORCE),
                Number("tongue", tongue_mm, Measured.LENGTH),
            ),
            clause="NDS 12.3.1, Table 11.3.3",
            limit=f"bolts through the post's tongue, n Z x CD {WIND:g} x CM {WET:g}",
            at_mm=held.at_mm,
            place=f"on {post.name}",
        )


def _feet(paths: Paths, joints: Joints, woods: Woods) -> Iterator[Found]:
    """Walls on what they stand on."""
    groups: defaultdict[str, list[Part]] = defaultdict(list)
    for part in paths.members.parts.values():
        groups[part.group].append(part)
    frame = [part for part in groups["floor frame"] if part.kind in (Kind.RIM, Kind.JOIST)]
    for group, parts in list(groups.items()):
        plates = [part for part in parts if part.kind is Kind.BOTTOM_PLATE]
        loads: Loads = {}
        for part in parts:
            for load, force in paths.carried(part).items() if part.kind in UPRIGHT else ():
                loads[load] = loads.get(load, 0.0) + force
        if not plates or LIFTED.of(loads) >= 0:
            continue
        washers = sum(part.kind is Kind.WASHER for part in parts)
        if washers:
            capacity, numbers, clause, limit = _bolted_n(plates[0], washers, woods)
        elif frame:
            sheets = groups[f"{group} sheathing"]
            capacity, numbers, clause, limit = _nailed_n(joints, plates, sheets, frame)
        else:
            continue
        check = _up(
            group,
            loads,
            LIFTED,
            capacity,
            numbers=numbers,
            clause=clause,
            limit=limit,
            place="at its foot",
        )
        yield Found(group, group, check)


_Allowed: TypeAlias = tuple[float, tuple[Number, ...], str, str]


def _bolted_n(plate: Part, washers: int, woods: Woods) -> _Allowed:
    """By what washers press into a plate."""
    low, high = sorted(plate.section_mm or (0.0, 0.0))
    lumber = woods.lumber(plate, Section(high, low))
    may = nds.bearing(lumber, length_mm=WASHER_MM).value_n_mm2 if lumber else 0.0
    area_mm2 = WASHER_MM**2 - math.pi * BOLT.diameter_mm**2 / 4
    numbers = (
        Number("n", washers, Measured.NUMBER),
        Number("A", area_mm2, Measured.AREA),
        Number("Fc-perp'", may, Measured.STRESS),
    )
    limit = "anchor bolts, n A Fc-perp' under their washers; their hold in the pad is not looked at"
    return washers * area_mm2 * may, numbers, "NDS 3.10.2", limit


def _nailed_n(
    joints: Joints, plates: Sequence[Part], sheets: Sequence[Part], frame: Sequence[Part]
) -> _Allowed:
    """By sheets that reach down over the frame, or by nails down through the plates."""
    down = [
        one
        for one in joints.of(plates)
        if one.part in plates and one.others[0].bounds_mm[1][2] < one.part.bounds_mm[0][2] + 1
    ]
    drawn_n = 0.0
    for one in down:
        size, wood = _bought(one).nail_mm, frame[0]
        if size:
            deep_mm = (
                size[0] - min(one.part.across_mm) - max(min(part.across_mm) for part in one.others)
            )
            held = max(deep_mm, 0.0) * dowels.withdrawal_n_mm(joints.gravity(wood), size[1])
            drawn_n += one.pieces * WIND * held * (DRIES if wood.material.treated else 1.0)
    across_n = 0.0
    for one in joints.between(sheets, frame):
        size, wood = _bought(one).nail_mm, frame[0]
        if size and one.part in sheets:
            nail, panel_mm = dowels.nail(size[1]), min(one.part.across_mm)
            side = dowels.Bed(PANEL_N_MM2, panel_mm)
            deep_mm = min(size[0] - panel_mm, min(wood.across_mm))
            main = dowels.wood(joints.gravity(wood), nail, thick_mm=deep_mm)
            z = min(dowels.yield_modes(nail, side=side, main=main).values())
            across_n += one.pieces * z * WIND * (WET if wood.material.treated else 1.0)
    numbers = (
        Number("nails through the plates", drawn_n, Measured.FORCE),
        Number("nails of the sheets in the floor frame", across_n, Measured.FORCE),
    )
    limit = "the more of nails drawn out and of sheets' nails pushed aside, CD 1.6, CM"
    return max(drawn_n, across_n), numbers, "NDS 12.2.3, 12.3.1, Table 11.3.3", limit


def _up(
    member: str,
    loads: Loads,
    combination: Combination,
    capacity: float,
    *,
    numbers: tuple[Number, ...],
    clause: str,
    limit: str,
    at_mm: float | None = None,
    place: str = "",
) -> Check:
    wind = Load.LIFT if combination is LIFTED else Load.UPLIFT
    return Check(
        member=member,
        rule=Rule.UPLIFT,
        combination=combination,
        demand=-combination.of(loads),
        capacity=capacity,
        measured=Measured.FORCE,
        formula=f"0.6 {wind.value} - 0.6 D",
        numbers=(
            Number(wind.value, -loads.get(wind, 0.0), Measured.FORCE),
            Number("D", loads.get(Load.DEAD, 0.0), Measured.FORCE),
            *numbers,
        ),
        clause=clause,
        limit=limit,
        at_mm=at_mm,
        place=place,
    )

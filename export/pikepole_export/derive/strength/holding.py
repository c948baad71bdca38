"""What holds the frame together where wind draws it up: joint by joint down from the roof.

holding_checks(paths, woods) -> checks      rafters on bearings, walls on their feet

Each joint's net force is held against its nails or bolts by the NDS. Steel that is bought counts
by the rating that the scene gives it, alone and not beside nails.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TypeAlias

from pikepole_export.derive.strength import dowels
from pikepole_export.derive.strength.anchors import under_washer
from pikepole_export.derive.strength.check import Basis, Check, Measured, Number
from pikepole_export.derive.strength.combinations import LIFTED, UPLIFT, Load
from pikepole_export.derive.strength.fixings import (
    WIND,
    Joints,
    bought,
    drawn_up,
    lifted,
    sheet_nail,
)
from pikepole_export.derive.strength.frame import Member
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.paths import Loads, Paths
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.units import POUND_FORCE_N, STANDARD_GRAVITY_M_S2

# Toe-nails of the schedule alone at a rafter. Source: IRC R802.11, exception 1.
TOE_NAILED_N = 200 * POUND_FORCE_N
_BY_TIES = "the rating of each tie x ties, the nails beside them not counted"


def holding_checks(paths: Paths, woods: Woods, joints: Joints) -> Iterator[Found]:
    """Every rafter and every wall that wind draws at."""
    for member in paths.members.of(Kind.RAFTER, Kind.END_RAFTER):
        label = member.first.label or member.name
        for check in _rafter(paths, woods, joints, member):
            yield Found(label, member.name, check)
    yield from _feet(paths, joints, woods)


def _rafter(paths: Paths, woods: Woods, joints: Joints, member: Member) -> Iterator[Check]:
    rating_kg = paths.members.building.scene.ties.rafter_rating
    for held, loads in lifted(paths, member):
        if held.part.kind is Kind.RIDGE_BOARD or held.bearing.lies_along:
            continue
        nails = [
            (one.pieces, *size)
            for one in joints.between([member.first], held.bearing.parts)
            if (size := bought(one).nail_mm)
        ]
        gravity = woods.gravity(held.part)
        drawn_n = sum(
            pieces * WIND * dowels.toe_nail_drawn_n(gravity, length, diameter)
            for pieces, length, diameter in nails
        )
        ties = {tie.name for part in held.bearing.parts for tie in joints.ties(member.first, part)}
        rated_n = len(ties) * (rating_kg or 0.0) * STANDARD_GRAVITY_M_S2
        allowed = {
            "what the schedule's toe-nails alone may hold (R802.11 exception 1)": TOE_NAILED_N
            if nails
            else 0.0,
            "toe-nails, n W p x Ctn 0.67 x CD 1.6 (NDS 12.2.3, 12.5.4)": drawn_n,
            _BY_TIES: rated_n,
        }
        best = max(allowed, key=lambda limit: allowed[limit])
        yield drawn_up(
            member.name,
            loads,
            UPLIFT,
            allowed[best],
            numbers=(
                Number("n", sum(pieces for pieces, *_ in nails), Measured.COUNT),
                *(
                    number
                    for _, length, diameter in nails[:1]
                    for number in (
                        Number("p", dowels.toe_depth_mm(length), Measured.LENGTH),
                        Number("G", gravity, Measured.NUMBER),
                        Number("its D", diameter, Measured.LENGTH),
                    )
                ),
                Number("toe-nails by the NDS", drawn_n, Measured.FORCE),
                Number("ties", len(ties), Measured.COUNT),
            ),
            clause="IRC R802.11",
            limit=best,
            key="ties.rafter_rating" if best == _BY_TIES else "",
            rated=("ties.rafter_rating", len(ties)),
            at_mm=held.at_mm,
            place=f"on {paths.members.called(held.part)}",
        )


def _feet(paths: Paths, joints: Joints, woods: Woods) -> Iterator[Found]:
    """Walls on what they stand on."""
    groups: defaultdict[str, list[Part]] = defaultdict(list)
    for part in paths.members.parts.values():
        groups[part.group].append(part)
    frame = [part for part in groups["floor frame"] if part.kind in (Kind.RIM, Kind.JOIST)]
    for group, parts in list(groups.items()):
        plates = [part for part in parts if part.kind is Kind.BOTTOM_PLATE]
        stands = paths.standing_in(group)
        loads: Loads = {load: sum(one.force_n for one in forces) for load, forces in stands.items()}
        if not plates or LIFTED.of(loads) >= 0:
            continue
        washers = sum(part.kind is Kind.WASHER for part in parts)
        if washers:
            capacity, numbers, clause, limit = _bolted_n(paths, woods, plates[0], washers)
        elif frame:
            sheets = groups[f"{group} sheathing"]
            capacity, numbers, clause, limit = _nailed_n(
                joints, woods.gravity(frame[0]), plates, sheets, frame
            )
        else:
            continue
        check = drawn_up(
            group,
            loads,
            LIFTED,
            capacity,
            numbers=numbers,
            clause=clause,
            limit=limit,
            place="at its foot",
        )
        both = {load: stands[load] for load in (Load.DEAD, Load.LIFT)}
        yield Found(group, group, replace(check, basis=Basis(both)))


_Allowed: TypeAlias = tuple[float, tuple[Number, ...], str, str]


def _bolted_n(paths: Paths, woods: Woods, plate: Part, washers: int) -> _Allowed:
    """By what washers press into a plate."""
    each_n, numbers = under_washer(paths, woods, plate)
    limit = "anchor bolts, n A Fc-perp' under their washers; their hold in the pad is not looked at"
    return washers * each_n, (Number("n", washers, Measured.COUNT), *numbers), "NDS 3.10.2", limit


def _nailed_n(
    joints: Joints,
    gravity: float,
    plates: Sequence[Part],
    sheets: Sequence[Part],
    frame: Sequence[Part],
) -> _Allowed:
    """By sheets that reach down over the frame, or by nails down through the plates."""
    down = [
        one
        for one in joints.of(plates)
        if one.part in plates and one.others[0].bounds_mm[1][2] < one.part.bounds_mm[0][2] + 1
    ]
    drawn_n = 0.0
    for one in down:
        size, wood = bought(one).nail_mm, frame[0]
        if size:
            deep_mm = (
                size[0] - min(one.part.across_mm) - max(min(part.across_mm) for part in one.others)
            )
            held = max(deep_mm, 0.0) * dowels.withdrawal_n_mm(gravity, size[1])
            drawn_n += one.pieces * WIND * held * (dowels.DRIES if wood.material.treated else 1.0)
    across_n, count, of_one = 0.0, 0, ()
    for one in joints.between(sheets, frame):
        if one.part in sheets:
            each_n, of_one = sheet_nail(one, frame[0], gravity)
            across_n += one.pieces * each_n
            count += one.pieces
    numbers = (
        Number("nails through the plates", drawn_n, Measured.FORCE),
        Number("nails of the sheets in the floor frame", across_n, Measured.FORCE),
        Number("n of these", count, Measured.COUNT),
        *of_one,
    )
    limit = "the more of nails drawn out and of sheets' nails pushed aside, CD 1.6, CM"
    return max(drawn_n, across_n), numbers, "NDS 12.2.3, 12.3.1, Table 11.3.3", limit

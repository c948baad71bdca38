"""Ends of braced walls: what wind along a wall pulls up there, and what keeps it down.

hold_down_checks(paths, woods, joints) -> checks

A wall that is sheeted all over shares the wind along it evenly over its pieces that reach from
floor to plates; T = v h pulls at its end. Source: SDPWS 2015 4.3.6.1.1 (from memory).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from pikepole_export.derive.strength.anchors import under_washer
from pikepole_export.derive.strength.bays import WAYS
from pikepole_export.derive.strength.check import Basis, Check, Measured, Number, Rating, Rule
from pikepole_export.derive.strength.combinations import LIFTED, Load
from pikepole_export.derive.strength.fixings import Joints, sheet_nail
from pikepole_export.derive.strength.frame import UPRIGHT
from pikepole_export.derive.strength.members import Found, Woods
from pikepole_export.derive.strength.paths import Paths
from pikepole_export.derive.strength.pushes import Push, pushes_of
from pikepole_export.derive.strength.roofs import KN_M2
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.checks.panels import ALONE_MM, Line, braced_lines, sheeted_lines
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.types import ROUND, Wall, neighbours
from pikepole_model.units import INCH_MM, POUND_FORCE_N, STANDARD_GRAVITY_M_S2

# At a corner a sheeted return of 24 in round it, or a piece of 48 in, stands in place of a
# hold-down of 800 lb. Source: IRC R602.10.7, end conditions of continuous sheathing (from memory;
# 800 lb in place of a return is in the figures of R602.10.4.4 of 2009 too).
_RETURN_MM, _IN_PLACE_OF_N = 24 * INCH_MM, 800 * POUND_FORCE_N
_BY_RETURN = "a sheeted return of 24 in, in place of a hold-down of 800 lb (IRC R602.10.7)"
_BY_LENGTH = "a piece of 48 in at the corner, in place of a hold-down of 800 lb (IRC R602.10.7)"
_BY_NAILS = (
    "nails of the sheets at its foot, n sqrt(Z'^2 - (0.6 V / N)^2) + nr Z', Z' = Z x CD 1.6 x CM "
    "(NDS 12.3.1, Table 11.3.3)"
)
_BY_WASHERS = (
    "bolts x A Fc-perp' under their washers (NDS 3.10.2); their hold in the pad is not looked at"
)
_ALL_THE_WAY_UP = {Kind.STUD, Kind.CORNER_STUD, Kind.KING, Kind.WALL_POST}
BY_RATING = "rating of the hold-down, by its maker; nothing else is counted beside it"
# What holds at its foot is counted so far from an end, and as far round the corner.
_NEAR_MM = _RETURN_MM


@dataclass(frozen=True, slots=True)
class _Foot:
    """A stretch of a wall's foot, and what holds it to what it stands on.

    Attributes:
        nails: Of its sheets in floor frame or plate.
        all_nails: The same along all of the wall.
        each_n: What one holds, pushed aside in wind, N.
        of_one: Where that comes from.
        washers: Of anchor bolts.
        plate: One of its bottom plates, where that is bolted to concrete.
    """

    nails: int = 0
    all_nails: int = 0
    each_n: float = 0.0
    of_one: tuple[Number, ...] = ()
    washers: int = 0
    plate: Part | None = None


@dataclass(frozen=True)
class _Feet:
    """The sheeted walls of a building, and what holds them at their feet.

    Attributes:
        paths: Of its loads.
        woods: Of its members.
        joints: Its fastenings.
        lines: The walls by their names, each with its openings.
    """

    paths: Paths
    woods: Woods
    joints: Joints
    lines: dict[Wall, tuple[Line, list[Opening]]] = field(default_factory=dict)

    @cached_property
    def groups(self) -> dict[str, list[Part]]:
        """Its parts by their groups."""
        found: defaultdict[str, list[Part]] = defaultdict(list)
        for part in self.paths.members.parts.values():
            found[part.group].append(part)
        return found

    def along(self, line: Line, at_mm: float) -> float:
        """A place along a wall, from its left end seen from outside, by x or y."""
        sheets, axis = self.groups[f"{line.group} sheathing"], _axis(line)
        if line.name in ("front", "right"):  # the way that x and y go
            return min(part.bounds_mm[0][axis] for part in sheets) + at_mm
        return max(part.bounds_mm[1][axis] for part in sheets) - at_mm

    def place(self, line: Line) -> float:
        """Where a wall stands, across it, mm."""
        sheets = self.groups[f"{line.group} sheathing"]
        return sheets[0].centre_mm[1 - _axis(line)]

    def upright(self, line: Line, at_mm: float) -> Part:
        """What stands nearest to such a place, all the way up where anything does."""
        axis, place = _axis(line), self.along(line, at_mm)
        stand = [part for part in self.groups[line.group] if part.kind in UPRIGHT]
        stand = [part for part in stand if part.kind in _ALL_THE_WAY_UP] or stand
        return min(stand, key=lambda part: abs(part.centre_mm[axis] - place))

    def foot(self, line: Line, from_mm: float, to_mm: float) -> _Foot:
        """Between two places along it, from its left end seen from outside."""
        sheets = self.groups[f"{line.group} sheathing"]
        plates = [part for part in self.groups[line.group] if part.kind is Kind.BOTTOM_PLATE]
        frame = [part for part in self.groups["floor frame"] if part.kind in (Kind.RIM, Kind.JOIST)]
        axis = _axis(line)
        low, high = sorted(self.along(line, at) for at in (from_mm, to_mm))
        near, every, each_n, of_one = 0.0, 0, 0.0, ()
        for one in self.joints.between(sheets, frame or plates):
            if one.part.group != f"{line.group} sheathing":
                continue
            first, last = (bound[axis] for bound in one.part.bounds_mm)
            share = max(0.0, min(high, last) - max(low, first)) / (last - first)
            near += one.pieces * share
            every += one.pieces
            wood = next(beside for beside in one.others if beside in (frame or plates))
            each_n, of_one = sheet_nail(one, wood, self.woods.gravity(wood))
        washers = [part for part in self.groups[line.group] if part.kind is Kind.WASHER]
        within = sum(low <= part.centre_mm[axis] <= high for part in washers)
        plate = plates[0] if washers else None
        return _Foot(math.floor(near + 1e-6), every, each_n, of_one, within, plate)


def _axis(line: Line) -> int:
    """That it stands along: 0 for X."""
    return 0 if line.name in ("front", "back") else 1


@dataclass(frozen=True, slots=True)
class _End:
    """An end of what braces a wall: the outer end of its first or last whole piece.

    Attributes:
        line: The wall.
        piece_mm: From where to where that goes, from the wall's left end.
        at_right: Which end of it.
        shear_n: Wind along the whole wall as it is reckoned, 0.6 V.
    """

    line: Line
    piece_mm: tuple[float, float]
    at_right: bool
    shear_n: float

    @property
    def long_mm(self) -> float:
        """Of the piece."""
        return self.piece_mm[1] - self.piece_mm[0]

    @property
    def at_corner(self) -> bool:
        """Whether the wall ends there too."""
        start, end = self.piece_mm
        return end > self.line.long_mm - 1 if self.at_right else start < 1

    @property
    def near_mm(self) -> tuple[float, float]:
        """What of it is counted."""
        start, end = self.piece_mm
        near = min(_NEAR_MM, end - start)
        return (end - near, end) if self.at_right else (start, start + near)


def hold_down_checks(paths: Paths, woods: Woods, joints: Joints) -> Iterator[Found]:
    """Both ends of every wall that is held square by its sheets alone."""
    building = paths.members.building
    feet = _Feet(paths, woods, joints)
    for line, openings in sheeted_lines(building):
        feet.lines[line.name] = line, openings
    braced = list(braced_lines(building))
    pushes = pushes_of(paths) if braced else ()
    for line, openings in braced:
        axis, whole = _axis(line), line.whole(openings)
        # What has no piece that braces it is over its braced length already.
        for at_right in (False, True) if whole else ():
            check = _pulled(feet, line, whole, pushes[axis], at_right=at_right, way=WAYS[axis])
            if check is not None:
                yield Found(f"{line.group} ends", check.piece, check)


def _pulled(
    feet: _Feet,
    line: Line,
    whole: Sequence[tuple[float, float]],
    push: Push,
    *,
    at_right: bool,
    way: str,
) -> Check | None:
    """What wind pulls up at an end beside what holds it; None where weight alone does."""
    stands = feet.paths.standing_in(line.group)
    dead_n, lift_n = (
        sum(one.force_n for one in stands.get(load, ())) for load in (Load.DEAD, Load.LIFT)
    )
    braced_mm = sum(end - start for start, end in whole)
    high_mm = sum(line.heights_mm) / 2
    opposite = feet.lines.get(ROUND[ROUND.index(line.name) - 2])
    walls = 1 if opposite is None else 2
    push_n = push.pressure * KN_M2 * push.upper_mm2
    places = [feet.place(one) for one in (line, *(opposite or ())[:1])]
    bays_n = push.from_bays_n(places[0], places)
    shear_n = push_n / walls + bays_n
    demand = 0.6 * (shear_n * high_mm / braced_mm - (dead_n + lift_n) / 2)
    if demand <= 0:
        return None
    end = _End(line, whole[-1 if at_right else 0], at_right, 0.6 * shear_n)
    limit, capacity, held = _held(feet, end)
    rating_kg = feet.paths.members.building.scene.ties.hold_down_rating or 0.0
    rated_n = rating_kg * STANDARD_GRAVITY_M_S2
    by_rating = capacity < demand and rated_n > capacity
    return Check(
        member=line.group,
        rule=Rule.WALL_END,
        combination=LIFTED,
        demand=demand,
        capacity=rated_n if by_rating else capacity,
        measured=Measured.FORCE,
        formula=(
            "0.6 V h / b - (0.6 D - 0.6 Wm) / 2, V = H / walls that way"
            + (" + B" if bays_n else "")
            + ", H above half their height"
        ),
        numbers=(
            Number("H", push_n, Measured.FORCE),
            Number("wall pressure", push.pressure, Measured.LOAD),
            Number("its area", push.upper_mm2, Measured.FACE),
            Number("walls that way", walls, Measured.COUNT),
            *([Number("B, of bays that lean on it", bays_n, Measured.FORCE)] if bays_n else []),
            Number("h, its mean height", high_mm, Measured.LENGTH),
            Number("b, of its whole pieces", braced_mm, Measured.LENGTH),
            Number("D", dead_n, Measured.FORCE),
            Number("Wm", -lift_n, Measured.FORCE),
            *held,
        ),
        clause="SDPWS 4.3.6.1.1, 4.3.6.4.2; ASCE 7-16 27.3.1",
        limit=BY_RATING if by_rating else limit,
        key="ties.hold_down_rating" if by_rating else "",
        rating=Rating("ties.hold_down_rating", demand),
        basis=Basis({load: stands[load] for load in (Load.DEAD, Load.LIFT) if load in stands}),
        piece=feet.upright(line, end.piece_mm[at_right]).name,
        place=f"at its {'right' if at_right else 'left'} end, {way}",
    )


def _held(feet: _Feet, end: _End) -> tuple[str, float, tuple[Number, ...]]:
    """What of the model holds an end down, how hard, N, and where that comes from."""
    own = feet.foot(end.line, *end.near_mm)
    turn_mm, turn = _return(feet, end)
    each_n = math.sqrt(max(own.each_n**2 - (end.shear_n / max(own.all_nails, 1)) ** 2, 0.0))
    nailed_n = own.nails * each_n + turn.nails * turn.each_n
    allowed = {_BY_NAILS: nailed_n}
    numbers = (
        Number("n, nails in its last 24 in", own.nails, Measured.COUNT),
        Number("N, along the wall", own.all_nails, Measured.COUNT),
        Number("nr, in 24 in of the return", turn.nails, Measured.COUNT),
        *own.of_one,
        Number("all these nails", nailed_n, Measured.FORCE),
    )
    if own.plate is not None:
        under_n, of_bolt = under_washer(feet.paths, feet.woods, own.plate)
        bolts = own.washers + turn.washers
        numbers = (*numbers, Number("bolts", bolts, Measured.COUNT), *of_bolt)
        if bolts * under_n < nailed_n:
            allowed = {_BY_WASHERS: bolts * under_n}
    if min(end.long_mm, turn_mm) >= _RETURN_MM - 1:
        allowed[_BY_RETURN] = _IN_PLACE_OF_N
    elif end.at_corner and end.long_mm >= ALONE_MM - 1:
        allowed[_BY_LENGTH] = _IN_PLACE_OF_N
    best = max(allowed, key=lambda limit: allowed[limit])
    return best, allowed[best], numbers


def _return(feet: _Feet, end: _End) -> tuple[float, _Foot]:
    """How long the wall round the corner is whole there, mm, and the foot of that."""
    other = feet.lines.get(neighbours(end.line.name)[end.at_right]) if end.at_corner else None
    if other is None:
        return 0.0, _Foot()
    line, openings = other
    # The wall at its right begins there with its own left end.
    start, stop, _ = line.stretches(openings)[0 if end.at_right else -1]
    turned = _End(line, (start, stop), not end.at_right, 0.0)
    return turned.long_mm, feet.foot(line, *turned.near_mm)

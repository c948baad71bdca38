"""The floor frame on two forks: how it bends across them, and where it stands out past their tips.

frame_bending(moved, side, ...) -> FrameBending      the frame of a building
bend(loads, ...) -> Bending                         any beam on two supports
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.statics import reactions, weight_n
from pikepole_export.derive.lifting.validation import require
from pikepole_export.derive.moving.structure import MovedStructure, SideAxes
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.units import STANDARD_GRAVITY_M_S2

# What may run through from end to end; blocks and headers never do.
RUNNERS = frozenset({Kind.SKID, Kind.GIRDER, Kind.RIM, Kind.JOIST})

# A joist ends at the rims, and a skid may stand back: no part of the floor's length to speak of.
THROUGH_SHARE = 0.9

NO_VERDICT = (
    "Moments, shear and stress as they come; whether the members bear them is not worked out here."
)


@dataclass(frozen=True, slots=True)
class LineLoad:
    """Mass spread evenly along a part of a beam; of no length, in one place.

    Attributes:
        from_mm: Where it begins, mm from the beam's left end.
        to_mm: Where it ends.
        mass_kg: In all, kg.
    """

    from_mm: float
    to_mm: float
    mass_kg: float


@dataclass(frozen=True, slots=True)
class Bending:
    """A beam on two supports, with ends that may stand past them.

    Attributes:
        left_n: On the left support, N.
        right_n: On the right support.
        sagging_n_mm: The greatest moment that stretches the underside, N mm; 0 where none does.
        sagging_at_mm: Where, mm from the left end.
        hogging_n_mm: The greatest that stretches the top, as a positive number.
        hogging_at_mm: Where.
        shear_n: The greatest shear either side, N.
        shear_at_mm: Where.
    """

    left_n: float
    right_n: float
    sagging_n_mm: float
    sagging_at_mm: float
    hogging_n_mm: float
    hogging_at_mm: float
    shear_n: float
    shear_at_mm: float


@dataclass(frozen=True, slots=True)
class FrameMember:
    """A member that lies across both forks.

    Attributes:
        name: Its name.
        breadth_mm: Level, across it, mm.
        depth_mm: Upright, mm.
        share: Of the frame's moment, 0 to 1.
        sagging_n_mm: Its part of the greatest sagging moment, N mm.
        hogging_n_mm: Its part of the greatest hogging moment, N mm.
        stress_n_mm2: Bending stress at the greater of the two, N/mm2: M / (b d^2 / 6).
    """

    name: str
    breadth_mm: float
    depth_mm: float
    share: float
    sagging_n_mm: float
    hogging_n_mm: float
    stress_n_mm2: float


@dataclass(frozen=True, slots=True)
class FrameBending:
    """What the floor frame is asked for, at the high mass.

    Attributes:
        bending: Across the forks; places from the left end of the floor, below zero where
            something sticks out past it, mm.
        loads: What bends it, each part spread along it; places likewise.
        members: Those that lie across both forks and run through.
        past_tips_mm: From the forks' tips to the furthest of what is moved, mm; 0 where they reach.
        past_tips_kg: What is out there, kg.
        past_tips_n_mm: Its moment about the tips, that the members along the forks take, N mm.
        says: What these numbers do not say.
    """

    bending: Bending
    loads: tuple[LineLoad, ...]
    members: tuple[FrameMember, ...]
    past_tips_mm: float
    past_tips_kg: float
    past_tips_n_mm: float
    says: str = NO_VERDICT


def frame_bending(
    moved: MovedStructure,
    side: SideAxes,
    *,
    left_mm: float,
    right_mm: float,
    face_mm: float,
    fork_mm: float,
) -> FrameBending:
    """Bend the floor frame across the forks by the weight of everything that is moved.

    Each part's high mass is spread evenly over its own length along the frame. What hangs out past
    the floor, such as a rake, is taken as if the frame ran on to it: its moment over the forks is
    the same. Walls stiffen the frame; that is not counted on. The members that lie over the forks
    share the moment as they are stiff, b d^3: assumes that they bend alike, each for itself.
    Source: beam formulas of any textbook of statics.

    Args:
        moved: What is moved.
        side: How the side lies that the forks come in at.
        left_mm: Middle of the left fork, mm from the left end of the floor.
        right_mm: Middle of the right fork.
        face_mm: The fork face, into the building from its frame's origin, mm.
        fork_mm: Length of the forks.

    Raises:
        LiftError: a fork is not under the building, or the frame would tip over one.
    """
    floor_mm = side.span_along(moved.floor)[0]
    low_mm, high_mm = side.span_along(moved.parts)
    loads = [_spread(part, side, low_mm) for part in moved.parts]
    # The beam begins at what sticks out furthest; people measure from the floor's end.
    off_mm = floor_mm - low_mm
    bending = bend(
        loads, length_mm=high_mm - low_mm, left_mm=left_mm + off_mm, right_mm=right_mm + off_mm
    )
    bending = replace(
        bending,
        sagging_at_mm=bending.sagging_at_mm - off_mm,
        hogging_at_mm=bending.hogging_at_mm - off_mm,
        shear_at_mm=bending.shear_at_mm - off_mm,
    )
    tips_mm = face_mm + fork_mm
    under = (floor_mm + left_mm, floor_mm + right_mm), (face_mm, tips_mm)
    past = list(_past(moved, side, tips_mm))
    return FrameBending(
        bending=bending,
        loads=tuple(
            replace(load, from_mm=load.from_mm - off_mm, to_mm=load.to_mm - off_mm)
            for load in loads
        ),
        members=tuple(_members(moved, side, bending, *under)),
        past_tips_mm=max(0.0, side.span_into(moved.parts)[1] - tips_mm),
        past_tips_kg=math.fsum(mass for mass, _ in past),
        past_tips_n_mm=math.fsum(weight_n(mass) * arm for mass, arm in past),
    )


def _spread(part: Part, side: SideAxes, origin_mm: float) -> LineLoad:
    low, high = side.span_along([part])
    return LineLoad(low - origin_mm, high - origin_mm, part_mass(part).high_kg)


def _past(moved: MovedStructure, side: SideAxes, tips_mm: float) -> Iterator[tuple[float, float]]:
    """Mass of what each part has past the forks' tips, kg, and its arm about them, mm."""
    for part in moved.parts:
        low, high = side.span_into([part])
        if high > tips_mm:
            beyond = max(low, tips_mm)
            share = (high - beyond) / (high - low)
            yield part_mass(part).high_kg * share, (beyond + high) / 2 - tips_mm


def _members(
    moved: MovedStructure,
    side: SideAxes,
    bending: Bending,
    forks_mm: tuple[float, float],
    over_mm: tuple[float, float],
) -> Iterator[FrameMember]:
    low, high = side.span_along(moved.floor)
    found: list[tuple[Part, float, float]] = []
    for part in moved.floor:
        start, end = side.span_along([part])
        near, far = side.span_into([part])
        runs = part.kind in RUNNERS and end - start >= THROUGH_SHARE * (high - low)
        across = start <= forks_mm[0] and end >= forks_mm[1]
        if runs and across and over_mm[0] <= (near + far) / 2 <= over_mm[1]:
            upright = part.vertices_mm[:, 2]
            found.append((part, far - near, float(upright.max() - upright.min())))
    stiff = [breadth * depth**3 for _, breadth, depth in found]
    for (part, breadth, depth), stiffness in zip(found, stiff, strict=True):
        share = stiffness / sum(stiff)
        worst = max(bending.sagging_n_mm, bending.hogging_n_mm) * share
        yield FrameMember(
            part.name,
            breadth,
            depth,
            share,
            bending.sagging_n_mm * share,
            bending.hogging_n_mm * share,
            worst / (breadth * depth**2 / 6),
        )


def bend(
    loads: Sequence[LineLoad], *, length_mm: float, left_mm: float, right_mm: float
) -> Bending:
    """Moments and shear of a floor frame that lies across two forks.

    Exact: between two places where something begins, ends or stands, the shear is a straight line
    and the moment a parabola, whose peak is where the shear is zero.

    Args:
        loads: What the frame carries, itself included; masses in kg, turned into weight here.
        length_mm: Of the frame.
        left_mm: The left support, mm from the left end.
        right_mm: The right support.

    Raises:
        LiftError: a load or support is not on the frame, nothing weighs anything, or the frame
            would tip over a support.
    """
    require(
        0 <= left_mm < right_mm <= length_mm,
        "left_mm, right_mm",
        (left_mm, right_mm),
        f"expected in order within {length_mm:g} mm",
        "set the supports under the frame",
    )
    for load in loads:
        require(
            0 <= load.from_mm <= load.to_mm <= length_mm and 0 <= load.mass_kg < math.inf,
            "load",
            load,
            f"expected in order within {length_mm:g} mm, 0 kg or more",
            "put it on the frame",
        )
    total_kg = sum(load.mass_kg for load in loads)
    require(
        total_kg > 0,
        "loads",
        total_kg,
        "nothing weighs anything",
        "give the frame's own weight at least",
    )
    centre_mm = sum(load.mass_kg * (load.from_mm + load.to_mm) / 2 for load in loads) / total_kg
    held = reactions(weight_n(total_kg), centre_mm=centre_mm, left_mm=left_mm, right_mm=right_mm)
    # Rounding may put a centre over a support a hair beyond it.
    require(
        min(held.left_n, held.right_n) > -1e-9 * weight_n(total_kg),
        "centre of gravity mm",
        centre_mm,
        f"not between the supports at {left_mm:g} and {right_mm:g}, the frame would tip",
        "set them about it",
    )
    supports = ((left_mm, held.left_n), (right_mm, held.right_n))
    ends = {0.0, left_mm, right_mm, length_mm}
    ends |= {at for load in loads for at in (load.from_mm, load.to_mm)}
    places = sorted(ends)
    moments: list[tuple[float, float]] = []
    shears: list[tuple[float, float]] = []
    for low, high in pairwise(places):
        at_low, at_high = (_inside(loads, supports, low, high, x) for x in (low, high))
        found = [(low, *at_low), (high, *at_high)]
        if at_low[0] * at_high[0] < 0:
            zero = low + (high - low) * at_low[0] / (at_low[0] - at_high[0])
            found.append((zero, *_inside(loads, supports, low, high, zero)))
        shears += [(abs(shear), x) for x, shear, _ in found]
        moments += [(moment, x) for x, _, moment in found]
    # The first of equals, so that the leftmost place is named.
    sagging, sagging_at = max(moments, key=lambda row: row[0])
    hogging, hogging_at = min(moments, key=lambda row: row[0])
    shear, shear_at = max(shears, key=lambda row: row[0])
    return Bending(
        held.left_n,
        held.right_n,
        max(0.0, sagging),
        sagging_at,
        max(0.0, -hogging),
        hogging_at,
        shear,
        shear_at,
    )


def _inside(
    loads: Sequence[LineLoad],
    supports: Sequence[tuple[float, float]],
    low_mm: float,
    high_mm: float,
    at_mm: float,
) -> tuple[float, float]:
    """Shear and moment of what stands left of a place between two neighbouring ones, N and N mm."""
    middle = (low_mm + high_mm) / 2
    shear = moment = 0.0
    for x, force in supports:
        if x < middle:
            shear += force
            moment += force * (at_mm - x)
    for load in loads:
        if load.from_mm < middle:
            spread = load.to_mm - load.from_mm
            covered = min(at_mm, load.to_mm) - load.from_mm
            part_n = load.mass_kg * STANDARD_GRAVITY_M_S2 * (covered / spread if spread else 1.0)
            shear -= part_n
            moment -= part_n * (at_mm - load.from_mm - (covered / 2 if spread else 0.0))
    return shear, moment

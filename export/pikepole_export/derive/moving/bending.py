"""Beams on two supports, and the members of a floor frame as such beams: bent, sheared, crushed.

bend(loads, ...) -> Bending             any beam on two supports
shares_of(places, ...) -> shares        what of a piece each of several members carries
bend_members(parts, ...)                the members of a frame, each with what lies on it
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pikepole_export.derive.inventory.mass import NOTHING, Mass, part_mass
from pikepole_export.derive.lifting.statics import weight_n
from pikepole_export.derive.lifting.validation import require
from pikepole_export.derive.moving.design_values import Stressed, WoodValues, shear_stress_n_mm2
from pikepole_export.derive.moving.structure import SideAxes
from pikepole_model.building.part import Part
from pikepole_model.units import STANDARD_GRAVITY_M_S2

# Under this share of all forces times all length a moment is none.
SLIGHT = 1e-12


@dataclass(frozen=True, slots=True)
class LineLoad:
    """Mass spread evenly along a part of a beam; of no length, in one place.

    Attributes:
        from_mm: Where it begins, mm from the beam's left end.
        to_mm: Where it ends.
        mass_kg: In all, kg; below zero where it draws the beam up.
    """

    from_mm: float
    to_mm: float
    mass_kg: float


@dataclass(frozen=True, slots=True)
class Bending:
    """A beam on two supports, with ends that may stand past them.

    Attributes:
        left_n: On the left support, N; below zero where it is drawn up off it.
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

    @property
    def most_n_mm(self) -> float:
        """The greatest moment either way, N mm."""
        return max(self.sagging_n_mm, self.hogging_n_mm)


@dataclass(frozen=True, slots=True)
class MemberBending(Stressed):
    """A member across its two supports, at the high mass.

    Attributes:
        name: Its name.
        at_mm: Its middle, away from the side that is worked from, mm in that side's frame.
        carries: What it carries to its supports.
        bending: At rest; places from the left end of the frame, mm.
        breadth_mm: Level, across it, mm.
        depth_mm: Upright, mm.
        stress_n_mm2: Bending stress at rest: M / (b d^2 / 6).
        shear_n_mm2: Shear stress at rest. Loads near a support are not left out.
        bearing_n_mm2: What presses on it at rest, square to the grain, where it bears more.
        bearing_mm: How much of its length lies there on what bears it.
        impact: Factor on it for jerks.
        value: What wood of its sort is reckoned to bear; None where no value is known.
    """

    name: str
    at_mm: float
    carries: Mass
    bending: Bending
    breadth_mm: float
    depth_mm: float
    stress_n_mm2: float
    shear_n_mm2: float
    bearing_n_mm2: float
    bearing_mm: float
    impact: float
    value: WoodValues | None


def bend(
    loads: Sequence[LineLoad], *, length_mm: float, left_mm: float, right_mm: float
) -> Bending:
    """Moments and shear of a beam on two supports that stands by its own weight.

    Args:
        loads: What it carries, itself included; masses in kg, turned into weight here.
        length_mm: Of the beam.
        left_mm: The left support, mm from the left end.
        right_mm: The right support.

    Raises:
        LiftError: a load or support is not on the beam, nothing weighs anything, or it would tip
            over a support.
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
    found = bent(loads, left_mm=left_mm, right_mm=right_mm)
    # Rounding may put a centre over a support a hair beyond it.
    require(
        min(found.left_n, found.right_n) > -1e-9 * weight_n(total_kg),
        "centre of gravity mm",
        sum(load.mass_kg * (load.from_mm + load.to_mm) / 2 for load in loads) / total_kg,
        f"not between the supports at {left_mm:g} and {right_mm:g}, the frame would tip",
        "set them about it",
    )
    return found


def bent(loads: Sequence[LineLoad], *, left_mm: float, right_mm: float) -> Bending:
    """The same of a beam that others hold down where it would tip: its supports may draw too.

    Exact: between two places where something begins, ends or stands, the shear is a straight line
    and the moment a parabola, whose peak is where the shear is zero. Source: beam formulas of any
    textbook of statics.

    Args:
        loads: What it carries, itself included; at least one.
        left_mm: The left support, in the same frame as the loads.
        right_mm: The right support, right of it.
    """
    total_kg = math.fsum(load.mass_kg for load in loads)
    moment_kg_mm = math.fsum(load.mass_kg * (load.from_mm + load.to_mm) / 2 for load in loads)
    right_n = (moment_kg_mm - total_kg * left_mm) / (right_mm - left_mm) * STANDARD_GRAVITY_M_S2
    left_n = total_kg * STANDARD_GRAVITY_M_S2 - right_n
    beam = _Beam(loads, ((left_mm, left_n), (right_mm, right_n)))
    ends = {left_mm, right_mm, *(at for load in loads for at in (load.from_mm, load.to_mm))}
    places = np.array(sorted(ends))
    after, before = beam.shear(places, after=True)[:-1], beam.shear(places, after=False)[1:]
    crossing = after * before < 0
    low, high = places[:-1][crossing], places[1:][crossing]
    zeros = low + (high - low) * after[crossing] / (after[crossing] - before[crossing])
    turning = np.sort(np.concatenate([places, zeros]))
    moments = beam.moment(turning)
    # Of forces that cancel, the last digits of the float are no moment.
    moments[np.abs(moments) < SLIGHT * (abs(left_n) + abs(right_n)) * np.ptp(places)] = 0.0
    shears = np.abs(np.concatenate([after, before]))
    shear_at = np.concatenate([places[:-1], places[1:]])
    # The first of equals, so that the leftmost place is named.
    sagging, hogging = int(moments.argmax()), int(moments.argmin())
    steepest = int(np.lexsort((shear_at, -shears))[0])
    return Bending(
        left_n,
        right_n,
        max(0.0, float(moments[sagging])),
        float(turning[sagging]),
        max(0.0, -float(moments[hogging])),
        float(turning[hogging]),
        float(shears[steepest]),
        float(shear_at[steepest]),
    )


class _Beam:
    """Shear and moment of what stands left of a place, N and N mm."""

    def __init__(self, loads: Sequence[LineLoad], supports: Sequence[tuple[float, float]]) -> None:
        rows = [(one.from_mm, one.to_mm, one.mass_kg * STANDARD_GRAVITY_M_S2) for one in loads]
        rows += [(at, at, -force) for at, force in supports]
        self._from, self._to, self._n = np.array(rows).T
        self._spread = self._to - self._from

    def shear(self, at_mm: NDArray[np.float64], *, after: bool) -> NDArray[np.float64]:
        """N, after what stands in the place itself or before it."""
        at = at_mm[:, None]
        reached = at >= self._from if after else at > self._from
        spread = np.where(self._spread > 0, self._spread, 1.0)
        part = np.clip((at - self._from) / spread, 0, 1)
        share = np.where(self._spread > 0, part, 1.0) * reached
        return -(share * self._n).sum(axis=1)

    def moment(self, at_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """N mm, below zero where the top is stretched."""
        at = at_mm[:, None]
        covered = np.clip(at - self._from, 0, self._spread)
        spread = np.where(self._spread > 0, self._spread, 1.0)
        force = self._n * np.where(self._spread > 0, covered / spread, at >= self._from)
        return -(force * (at - self._from - covered / 2)).sum(axis=1)


def shares_of(places_mm: Sequence[float], low_mm: float, high_mm: float) -> list[float]:
    """What of an even piece each of several members carries, by the lever rule.

    Between two members each carries the more the nearer it is; past the last one the piece is a
    lever over it, and draws the last but one up. Whatever they are, the shares have the sum and
    the moment of the piece. Source: the lever rule of bridge decks, AASHTO LRFD 4.6.2.2.1 (clause
    from memory): a floor as simple spans from member to member.

    Args:
        places_mm: Middles of the members, rising; at least one.
        low_mm: Where the piece begins, mm in the same frame.
        high_mm: Where it ends, no less.
    """
    shares = [0.0] * len(places_mm)
    if len(places_mm) == 1:
        return [1.0]
    within = [at for at in places_mm if low_mm < at < high_mm]
    for start, end in pairwise((low_mm, *within, high_mm)):
        weight = (end - start) / (high_mm - low_mm) if high_mm > low_mm else 1.0
        middle = (start + end) / 2
        first = max(0, min(sum(at <= middle for at in places_mm) - 1, len(places_mm) - 2))
        near, far = places_mm[first], places_mm[first + 1]
        lever = (middle - near) / (far - near)
        shares[first] += weight * (1 - lever)
        shares[first + 1] += weight * lever
    return shares


def bend_members(
    parts: Sequence[Part],
    axes: SideAxes,
    members: Sequence[tuple[Part, WoodValues | None]],
    *,
    supports_mm: tuple[float, float],
    bearing_mm: float,
    impact: float,
) -> Iterator[MemberBending]:
    """Bend the members of a frame that lie across two supports, each with its share of it all.

    Each part's mass is shared out over the members by the lever rule and spread evenly over the
    part's own length along them. What hangs out past a member is taken as if it ran on to it: its
    moment over the supports is the same. Walls stiffen the frame; that is not counted on.

    Args:
        parts: All that is carried, the members among them.
        axes: The members run along, and stand side by side into.
        members: With the value of each; at least one.
        supports_mm: Along, in the building's frame.
        bearing_mm: How much of a member's length lies on each.
        impact: Factor for jerks.
    """
    ordered = sorted(members, key=lambda one: _middle(one[0], axes))
    places = [_middle(member, axes) for member, _ in ordered]
    masses = [part_mass(part) for part in parts]
    names = [member.name for member, _ in ordered]
    shared = [
        # A member has itself, whatever its breadth.
        [float(part.name == name) for name in names]
        if part.name in names
        else shares_of(places, *axes.span_into([part]))
        for part in parts
    ]
    spans = [axes.span_along([part]) for part in parts]
    left_mm, right_mm = supports_mm
    for number, (member, value) in enumerate(ordered):
        loads = [
            LineLoad(*span, mass.high_kg * shares[number])
            for span, mass, shares in zip(spans, masses, shared, strict=True)
            if shares[number]
        ]
        carries = sum(
            (mass.times(shares[number]) for mass, shares in zip(masses, shared, strict=True)),
            NOTHING,
        )
        bending = bent(loads, left_mm=left_mm, right_mm=right_mm)
        near, far = axes.span_into([member])
        low, high = (member.bounds_mm[end][2] for end in (0, 1))
        breadth, depth = far - near, high - low
        yield MemberBending(
            name=member.name,
            at_mm=places[number],
            carries=carries,
            bending=bending,
            breadth_mm=breadth,
            depth_mm=depth,
            stress_n_mm2=bending.most_n_mm / (breadth * depth**2 / 6),
            shear_n_mm2=shear_stress_n_mm2(bending.shear_n, breadth_mm=breadth, depth_mm=depth),
            bearing_n_mm2=max(bending.left_n, bending.right_n) / (breadth * bearing_mm),
            bearing_mm=bearing_mm,
            impact=impact,
            value=value,
        )


def _middle(part: Part, axes: SideAxes) -> float:
    return sum(axes.span_into([part])) / 2

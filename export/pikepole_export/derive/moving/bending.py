"""Beams on two supports, and the members of a floor frame as such beams: bent, sheared, crushed.

bend(loads, ...) -> Bending             any beam on two supports
bend_members(parts, ...)                the members of a frame, each with what lies on it
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pikepole_export.derive.inventory.mass import NOTHING, Mass, part_mass
from pikepole_export.derive.lifting.statics import weight_n
from pikepole_export.derive.lifting.validation import require
from pikepole_export.derive.moving.design_values import Stressed, WoodValues, shear_stress_n_mm2
from pikepole_export.derive.moving.structure import SideAxes
from pikepole_export.derive.strength.forces import Extremes, Forces, extremes
from pikepole_export.derive.strength.lever import shares_of
from pikepole_model.building.part import Part
from pikepole_model.units import STANDARD_GRAVITY_M_S2


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Bending(Extremes):
    """A beam on two supports, with ends that may stand past them; places from its left end.

    Attributes:
        left_n: On the left support, N; below zero where it is drawn up off it.
        right_n: On the right support.
    """

    left_n: float
    right_n: float

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

    Args:
        loads: What it carries, itself included; at least one.
        left_mm: The left support, in the same frame as the loads.
        right_mm: The right support, right of it.
    """
    total_kg = math.fsum(load.mass_kg for load in loads)
    moment_kg_mm = math.fsum(load.mass_kg * (load.from_mm + load.to_mm) / 2 for load in loads)
    right_n = (moment_kg_mm - total_kg * left_mm) / (right_mm - left_mm) * STANDARD_GRAVITY_M_S2
    left_n = total_kg * STANDARD_GRAVITY_M_S2 - right_n
    rows = [(one.from_mm, one.to_mm, one.mass_kg * STANDARD_GRAVITY_M_S2) for one in loads]
    supports = ((left_mm, left_mm, -left_n), (right_mm, right_mm, -right_n))
    most = extremes(Forces([*rows, *supports]), size_n=abs(left_n) + abs(right_n))
    return Bending(
        sagging_n_mm=most.sagging_n_mm,
        sagging_at_mm=most.sagging_at_mm,
        hogging_n_mm=most.hogging_n_mm,
        hogging_at_mm=most.hogging_at_mm,
        shear_n=most.shear_n,
        shear_at_mm=most.shear_at_mm,
        left_n=left_n,
        right_n=right_n,
    )


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

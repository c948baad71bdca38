"""A building on the forks of a truck: what rating that asks for, and what its floor bears.

    rating_needed_kg(...), most_at_kg(...)  rated mass and load centre
    place_forks(...) -> Forks               forks about the centre of gravity
    bend(...) -> Bending                    the floor frame across the forks and past them

The load centre is the level distance from the fork face to the line of action of the load's centre
of gravity. Source: 29 CFR 1910.178, appendix A, A-2 and A-5.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pikepole_export.derive.lifting.asked import need, positive
from pikepole_export.derive.lifting.statics import reactions, weight_n
from pikepole_model.units import INCH_MM, STANDARD_GRAVITY_M_S2, Units

# Load centres that ratings are stated at, with the plate saying which: 24 in where inches are used,
# 500 mm elsewhere. Source: common practice, no source.
STANDARD_LOAD_CENTRE_MM = 500.0
STANDARDS_MM: Mapping[Units, float] = {
    "imperial": 24 * INCH_MM,
    "metric": STANDARD_LOAD_CENTRE_MM,
}

EXTENSIONS = (
    "Fork extensions are part of what the truck carries, and have a rating of their own: the least "
    "counts."
)

PLATE = (
    "The truck's own data plate decides: its rating falls with reach, height and attachments, and "
    "holds on firm level ground only."
)


@dataclass(frozen=True, slots=True)
class Forks:
    """A building on two forks that come in under one of its sides.

    Attributes:
        left_mm: Middle of the left fork, mm from the left end of that side.
        right_mm: Middle of the right fork.
        offset_mm: The centre of gravity's distance right of the middle between the forks, mm.
        off_middle_mm: Its distance right of the middle of the side.
        left_share: Share of the weight on the left fork, 0 to 1.
        right_share: Share on the right one.
        load_centre_mm: From the fork face to the centre of gravity, mm.
        load_moment_kg_mm: Mass times load centre, kg mm.
        rating_needed_kg: At the standard load centre, kg.
        standard_mm: That load centre.
        plate: What overrules all of these.
    """

    left_mm: float
    right_mm: float
    offset_mm: float
    off_middle_mm: float
    left_share: float
    right_share: float
    load_centre_mm: float
    load_moment_kg_mm: float
    rating_needed_kg: float
    standard_mm: float
    plate: str = PLATE


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
        shear_n: The greatest shear either way, N.
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


def other_standard_mm(standard_mm: float) -> float:
    """The usual load centre that a rating may be stated at instead of this one."""
    inches_mm, metric_mm = STANDARDS_MM["imperial"], STANDARDS_MM["metric"]
    return metric_mm if math.isclose(standard_mm, inches_mm) else inches_mm


def on_plate(standard_mm: float) -> str:
    """A load centre as plates give it: "24 in", "500 mm"."""
    inches = standard_mm / INCH_MM
    is_whole = math.isclose(inches, round(inches), rel_tol=1e-6)
    return f"{round(inches)} in" if is_whole else f"{standard_mm:.0f} mm"


def rating_needed_kg(
    *, mass_kg: float, load_centre_mm: float, standard_mm: float = STANDARD_LOAD_CENTRE_MM
) -> float:
    """The rated capacity at the standard load centre that a load asks for, kg.

    Never less than the mass: a load nearer to the fork face earns nothing.

    Raises:
        LiftError: the mass or a load centre is not above zero.
    """
    positive(mass_kg=mass_kg, load_centre_mm=load_centre_mm, standard_mm=standard_mm)
    return mass_kg * max(1.0, load_centre_mm / standard_mm)


def most_at_kg(*, rated_kg: float, standard_mm: float, load_centre_mm: float) -> float:
    """The most that a rating allows at another load centre, by the same load moment, kg.

    Source: 29 CFR 1910.178, appendix A, A-5.

    Raises:
        LiftError: the rating or a load centre is not above zero.
    """
    positive(rated_kg=rated_kg, load_centre_mm=load_centre_mm, standard_mm=standard_mm)
    return rated_kg * min(1.0, standard_mm / load_centre_mm)


def place_forks(
    *,
    mass_kg: float,
    width_mm: float,
    across_mm: float,
    load_centre_mm: float,
    spread_mm: float,
    fork_mm: float,
    standard_mm: float = STANDARD_LOAD_CENTRE_MM,
) -> Forks:
    """Set two forks so that the centre of gravity lies midway, or as near as the building allows.

    Args:
        mass_kg: Of the building, kg.
        width_mm: Of its floor along the side that the forks come in at.
        across_mm: Its centre of gravity, from the left end of that side.
        load_centre_mm: From the fork face to the centre of gravity: add what keeps the fork face
            away from the floor, such as an eave.
        spread_mm: Between the middles of the forks.
        fork_mm: Length of the forks.
        standard_mm: Load centre that the rating is stated at.

    Raises:
        LiftError: the forks are wider than the building or do not reach past the centre of
            gravity, that is outside the building, or a size is not above zero.
    """
    positive(spread_mm=spread_mm)
    need(
        spread_mm <= width_mm,
        "spread_mm",
        spread_mm,
        f"the floor is only {width_mm:g} mm wide there",
        "set the forks closer or come in from another side",
    )
    need(
        0 < across_mm < width_mm,
        "across_mm",
        across_mm,
        f"not within the floor's {width_mm:g} mm",
        "measure the centre of gravity from the left end of that side",
    )
    rating_kg = rating_needed_kg(
        mass_kg=mass_kg, load_centre_mm=load_centre_mm, standard_mm=standard_mm
    )
    need(
        fork_mm > load_centre_mm,
        "fork_mm",
        fork_mm,
        f"the centre of gravity is {load_centre_mm:g} mm from their face: it would tip off",
        "use longer forks or come in from another side",
    )
    left_mm = min(max(0.0, across_mm - spread_mm / 2), width_mm - spread_mm)
    right_mm = left_mm + spread_mm
    shares = reactions(1.0, centre_mm=across_mm, left_mm=left_mm, right_mm=right_mm)
    return Forks(
        left_mm=left_mm,
        right_mm=right_mm,
        offset_mm=across_mm - (left_mm + right_mm) / 2,
        off_middle_mm=across_mm - width_mm / 2,
        left_share=shares.left_n,
        right_share=shares.right_n,
        load_centre_mm=load_centre_mm,
        load_moment_kg_mm=mass_kg * load_centre_mm,
        rating_needed_kg=rating_kg,
        standard_mm=standard_mm,
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
    need(
        0 <= left_mm < right_mm <= length_mm,
        "left_mm, right_mm",
        (left_mm, right_mm),
        f"expected in order within {length_mm:g} mm",
        "set the supports under the frame",
    )
    for load in loads:
        need(
            0 <= load.from_mm <= load.to_mm <= length_mm and 0 <= load.mass_kg < math.inf,
            "load",
            load,
            f"expected in order within {length_mm:g} mm, 0 kg or more",
            "put it on the frame",
        )
    total_kg = sum(load.mass_kg for load in loads)
    need(
        total_kg > 0,
        "loads",
        total_kg,
        "nothing weighs anything",
        "give the frame's own weight at least",
    )
    centre_mm = sum(load.mass_kg * (load.from_mm + load.to_mm) / 2 for load in loads) / total_kg
    held = reactions(weight_n(total_kg), centre_mm=centre_mm, left_mm=left_mm, right_mm=right_mm)
    # Rounding may put a centre over a support a hair beyond it.
    need(
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

"""A building on the forks of a truck: what rating that asks for, and where the forks go.

    rating_needed_kg(...), most_at_kg(...)  rated mass and load centre
    place_forks(...) -> Forks               forks about the centre of gravity

The load centre is the level distance from the fork face to the line of action of the load's centre
of gravity. Source: 29 CFR 1910.178, appendix A, A-2 and A-5.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from pikepole_export.derive.lifting.statics import reactions
from pikepole_export.derive.lifting.validation import positive, require
from pikepole_model.units import INCH_MM, Units

# Load centres that ratings are stated at, with the plate saying which: 24 in where inches are used,
# 500 mm elsewhere. Source: common practice, no source.
STANDARD_LOAD_CENTRE_MM = 500.0
STANDARDS_MM: Mapping[Units, float] = {
    "imperial": 24 * INCH_MM,
    "metric": STANDARD_LOAD_CENTRE_MM,
}

EXTENSIONS = (
    "Fork extensions count as load, and have a rating of their own: the lowest rating decides."
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

    Args:
        mass_kg: Of the load, kg, above 0.
        load_centre_mm: From the fork face to its centre of gravity, mm, above 0.
        standard_mm: Load centre that the rating is stated at, mm, above 0.

    Raises:
        LiftError: the mass or a load centre is not above zero.
    """
    positive(mass_kg=mass_kg, load_centre_mm=load_centre_mm, standard_mm=standard_mm)
    return mass_kg * max(1.0, load_centre_mm / standard_mm)


def most_at_kg(*, rated_kg: float, standard_mm: float, load_centre_mm: float) -> float:
    """The most that a rating allows at another load centre, by the same load moment, kg.

    Source: 29 CFR 1910.178, appendix A, A-5.

    Args:
        rated_kg: The rating, kg, above 0.
        standard_mm: Load centre that it is stated at, mm, above 0.
        load_centre_mm: The load centre that is asked about, mm, above 0.

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
    require(
        spread_mm <= width_mm,
        "spread_mm",
        spread_mm,
        f"the floor is only {width_mm:g} mm wide there",
        "set the forks closer or come in from another side",
    )
    require(
        0 < across_mm < width_mm,
        "across_mm",
        across_mm,
        f"not within the floor's {width_mm:g} mm",
        "measure the centre of gravity from the left end of that side",
    )
    rating_kg = rating_needed_kg(
        mass_kg=mass_kg, load_centre_mm=load_centre_mm, standard_mm=standard_mm
    )
    require(
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

"""What the wood of a floor frame or a carrying beam is reckoned to bear, as a reference.

wood_values(species, grade, breadth_mm=, ...) -> WoodValues | None
Stressed                                what is bent, sheared and crushed on the way
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import assert_never

from pikepole_export.derive.strength import nds
from pikepole_export.derive.strength.nds import Adjusted, Duration, Lumber
from pikepole_export.derive.strength.section import Section
from pikepole_model.stock.design_values import load_design_values

SOURCE = (
    "values for the grade in [lumber], NDS Supplement Table 4A, 4B or 4D (from memory), by size, "
    "or 0.35 of those of EN 338 for what is sorted into a strength class; incised where treated "
    "and wet where treated or over 19 % water (NDS 4.1.4, 4.3.8); nothing added for a short load "
    "or a short bearing"
)
# Southern pine takes treatment without incisions: common practice, no source.
SOUTHERN = "southern pine"


class Stress(Enum):
    """How wood is stressed."""

    BENDING = "bent"
    SHEAR = "sheared"
    BEARING = "crushed"


@dataclass(frozen=True, slots=True)
class WoodValues:
    """What a section is reckoned to bear, each value with all that adjusts it.

    Attributes:
        bending: Fb'.
        shear: Fv', along the grain.
        bearing: Fc-perp', where it lies on something: a limit of how deep it is dented.
    """

    bending: Adjusted
    shear: Adjusted
    bearing: Adjusted

    def adjusted(self, stress: Stress) -> Adjusted:
        """One of them."""
        match stress:
            case Stress.BENDING:
                return self.bending
            case Stress.SHEAR:
                return self.shear
            case Stress.BEARING:
                return self.bearing
            case _:
                assert_never(stress)

    def of(self, stress: Stress) -> float:
        """Its value, N/mm2."""
        return self.adjusted(stress).value_n_mm2


class Stressed:
    """What is bent, sheared and crushed at rest, and more by jerks."""

    __slots__ = ()

    stress_n_mm2: float
    shear_n_mm2: float
    bearing_n_mm2: float
    impact: float
    value: WoodValues | None

    def jerked_n_mm2(self, stress: Stress) -> float:
        """A stress with the factor for jerks."""
        match stress:
            case Stress.BENDING:
                return self.stress_n_mm2 * self.impact
            case Stress.SHEAR:
                return self.shear_n_mm2 * self.impact
            case Stress.BEARING:
                return self.bearing_n_mm2 * self.impact
            case _:
                assert_never(stress)

    def share_of_value(self, stress: Stress) -> float:
        """A stress with jerks as a share of its value; 0 where no value is known."""
        return self.jerked_n_mm2(stress) / self.value.of(stress) if self.value else 0.0

    @property
    def past_value(self) -> tuple[Stress, ...]:
        """What of it is past its value; none where no value is known."""
        return tuple(stress for stress in Stress if self.share_of_value(stress) > 1)


def shear_stress_n_mm2(shear_n: float, *, breadth_mm: float, depth_mm: float) -> float:
    """The greatest shear stress in a rectangle, 3 V / 2 b d. Source: NDS 3.4.2."""
    return 1.5 * shear_n / (breadth_mm * depth_mm)


def wood_values(
    species: str,
    grade: str,
    *,
    breadth_mm: float,
    depth_mm: float,
    treated: bool,
    wet: bool,
    strength: str = "",
) -> WoodValues | None:
    """The reference values of a section on edge; None for a species or grade without them here.

    Args:
        species: Catalogue name.
        grade: As it is stamped: "No. 2".
        breadth_mm: The smaller side, mm.
        depth_mm: The upright side, mm.
        treated: Whether it is pressure-treated, so wet, and incised unless of southern pine.
        wet: Whether it holds more than 19 % water, treated or not.
        strength: The class of EN 338 that it is sorted into; empty for none.
    """
    wood = load_design_values().find(
        species, grade, breadth_mm=breadth_mm, depth_mm=depth_mm, strength=strength
    )
    if wood is None:
        return None
    lumber = Lumber(
        wood,
        Section(breadth_mm, depth_mm),
        wet=treated or wet,
        incised=treated and species != SOUTHERN,
    )
    # As for a load of ten years, and for a long bearing: nothing added for less.
    return WoodValues(
        nds.bending(lumber, Duration.OCCUPANCY),
        nds.shear(lumber, Duration.OCCUPANCY),
        nds.bearing(lumber, length_mm=math.inf),
    )

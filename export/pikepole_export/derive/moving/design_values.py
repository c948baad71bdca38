"""What the wood of a floor frame or a carrying beam is reckoned to bear, as a reference.

wood_values(species, breadth_mm, depth_mm, treated, wet) -> WoodValues | None
Stressed                                what is bent, sheared and crushed on the way
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType
from typing import assert_never

from pikepole_model.units import INCH_MM

PSI_N_MM2 = 0.45359237 * 9.80665 / INCH_MM**2

SOURCE = (
    "values for No. 2, NDS Supplement Table 4A, 4B or 4D (from memory), by size, incised where "
    "treated and wet where treated or over 19 % water (NDS 4.1.4, 4.3.8); nothing added for a "
    "short load or a short bearing"
)

# Fb of No. 2, psi, by species: dimension lumber, then timbers of 5 in and more as posts and as
# beams. Source: NDS Supplement 2015 to 2024, Tables 4A and 4D. Beams of spruce-pine-fir are not in
# the tables read: taken as posts, which are the less.
_DIMENSION_PSI: Mapping[str, float] = MappingProxyType(
    {"douglas fir-larch": 900.0, "hem-fir": 850.0, "spruce-pine-fir": 875.0}
)
_TIMBER_PSI: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "douglas fir-larch": (750.0, 875.0),
        "hem-fir": (575.0, 675.0),
        "spruce-pine-fir": (500.0, 500.0),
        "southern pine": (850.0, 850.0),
    }
)
# Fv and Fc-perp, psi: dimension lumber, then timbers. Source: as above; hem-fir's from memory, and
# of southern pine timbers both are given for wet service already.
_SHEAR_PSI: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "douglas fir-larch": (180.0, 170.0),
        "hem-fir": (150.0, 140.0),
        "spruce-pine-fir": (135.0, 125.0),
        "southern pine": (175.0, 165.0),
    }
)
_BEARING_PSI: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "douglas fir-larch": (625.0, 625.0),
        "hem-fir": (405.0, 405.0),
        "spruce-pine-fir": (425.0, 425.0),
        "southern pine": (565.0, 375.0),
    }
)
# Of southern pine No. 2, by depth up to so many inches, dressed: the size is in the value. Source:
# NDS Supplement Table 4B.
_SOUTHERN_PSI = ((3.5, 1100.0), (5.5, 1000.0), (7.25, 925.0), (9.25, 800.0), (11.25, 750.0))
# CF of the others. Source: NDS Supplement Table 4A, for 2 in thick; 4 in thick has more from 8 in.
_SIZE_FACTOR = ((3.5, 1.5), (5.5, 1.3), (7.25, 1.2), (9.25, 1.1), (11.25, 1.0))
_DEEPER_FACTOR = 0.9

# From so thick dressed it is a timber; a beam where it is more than 2 in deeper than thick.
# Source: NDS Supplement Table 4D.
_TIMBER_IN, _BEAM_MORE_IN = 4.5, 2.0

# Source: NDS Supplement Table 4A and 4B, CM; Table 4D, CM; NDS 4.3.8, Ci, which leaves Fc-perp as
# it is. Southern pine takes treatment without incisions: common practice, no source.
_WET, _WET_OVER_PSI, _INCISED = 0.85, 1150.0, 0.80
_WET_SHEAR, _WET_BEARING = 0.97, 0.67

_SOUTHERN = "southern pine"


class Stress(Enum):
    """How wood is stressed."""

    BENDING = "bent"
    SHEAR = "sheared"
    BEARING = "crushed"


@dataclass(frozen=True, slots=True)
class WoodValues:
    """What a section is reckoned to bear.

    Attributes:
        bending_n_mm2: Fb, N/mm2.
        shear_n_mm2: Fv, along the grain.
        bearing_n_mm2: Fc-perp, where it lies on something: a limit of how deep it is dented.
        source: Where they come from.
    """

    bending_n_mm2: float
    shear_n_mm2: float
    bearing_n_mm2: float
    source: str = SOURCE

    def of(self, stress: Stress) -> float:
        """The value of one of them, N/mm2."""
        match stress:
            case Stress.BENDING:
                return self.bending_n_mm2
            case Stress.SHEAR:
                return self.shear_n_mm2
            case Stress.BEARING:
                return self.bearing_n_mm2
            case _:
                assert_never(stress)


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
    species: str, *, breadth_mm: float, depth_mm: float, treated: bool, wet: bool
) -> WoodValues | None:
    """The reference values of a section on edge, of No. 2; None for a species without them here.

    Args:
        species: Catalogue name.
        breadth_mm: The smaller side, mm.
        depth_mm: The upright side, mm.
        treated: Whether it is pressure-treated, so wet, and incised unless of southern pine.
        wet: Whether it holds more than 19 % water, treated or not.
    """
    is_timber = breadth_mm / INCH_MM > _TIMBER_IN
    bending = _bending_psi(species, breadth_mm / INCH_MM, depth_mm / INCH_MM)
    if bending is None:
        return None
    shear, bearing = (table[species][is_timber] for table in (_SHEAR_PSI, _BEARING_PSI))
    is_southern = species == _SOUTHERN
    if treated or wet:
        bending *= _WET if bending > _WET_OVER_PSI and not is_timber else 1.0
        shear *= 1.0 if is_timber else _WET_SHEAR
        bearing *= 1.0 if is_timber and is_southern else _WET_BEARING
    incised = _INCISED if treated and not is_southern else 1.0
    return WoodValues(
        bending * incised * PSI_N_MM2, shear * incised * PSI_N_MM2, bearing * PSI_N_MM2
    )


def _bending_psi(species: str, breadth_in: float, depth_in: float) -> float | None:
    """Fb by size, dry and not incised; None for a species without one."""
    if breadth_in > _TIMBER_IN:
        if species not in _TIMBER_PSI:
            return None
        post, beam = _TIMBER_PSI[species]
        return beam if depth_in - breadth_in > _BEAM_MORE_IN + 1e-9 else post
    if species == _SOUTHERN:
        return _by_depth(_SOUTHERN_PSI, depth_in, _SOUTHERN_PSI[-1][1] * _DEEPER_FACTOR)
    if species in _DIMENSION_PSI:
        return _DIMENSION_PSI[species] * _by_depth(_SIZE_FACTOR, depth_in, _DEEPER_FACTOR)
    return None


def _by_depth(rows: tuple[tuple[float, float], ...], depth_in: float, deeper: float) -> float:
    return next((value for most, value in rows if depth_in <= most + 0.05), deeper)

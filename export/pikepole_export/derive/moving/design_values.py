"""What the wood of a floor frame or a carrying beam is reckoned to bear in bending, as a reference.

bending_value(species, breadth_mm, depth_mm, treated) -> BendingValue | None
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from pikepole_model.units import INCH_MM

PSI_N_MM2 = 0.45359237 * 9.80665 / INCH_MM**2

SOURCE = (
    "reference value for No. 2, NDS Supplement Table 4A, 4B or 4D (from memory), by size, wet and "
    "incised where it is treated; nothing added for a short load"
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
# Of southern pine No. 2, by depth up to so many inches, dressed: the size is in the value. Source:
# NDS Supplement Table 4B.
_SOUTHERN_PSI = ((3.5, 1100.0), (5.5, 1000.0), (7.25, 925.0), (9.25, 800.0), (11.25, 750.0))
# CF of the others. Source: NDS Supplement Table 4A, for 2 in thick; 4 in thick has more from 8 in.
_SIZE_FACTOR = ((3.5, 1.5), (5.5, 1.3), (7.25, 1.2), (9.25, 1.1), (11.25, 1.0))
_DEEPER_FACTOR = 0.9

# From so thick dressed it is a timber; a beam where it is more than 2 in deeper than thick.
# Source: NDS Supplement Table 4D.
_TIMBER_IN, _BEAM_MORE_IN = 4.5, 2.0

# Source: NDS Supplement Table 4A and 4B, CM; NDS 4.3.8, Ci. Southern pine takes treatment without
# incisions: common practice, no source.
_WET, _WET_OVER_PSI, _INCISED = 0.85, 1150.0, 0.80

_SOUTHERN = "southern pine"


@dataclass(frozen=True, slots=True)
class BendingValue:
    """What a section is reckoned to bear in bending.

    Attributes:
        stress_n_mm2: N/mm2.
        source: Where it comes from.
    """

    stress_n_mm2: float
    source: str = SOURCE


class Jerked:
    """What is bent at rest, and more by jerks."""

    __slots__ = ()

    stress_n_mm2: float
    impact: float
    value: BendingValue | None

    @property
    def jerked_n_mm2(self) -> float:
        """Bending stress with the factor for jerks."""
        return self.stress_n_mm2 * self.impact

    @property
    def past_value(self) -> bool:
        """Whether it is bent past its reference value; not where none is known."""
        return self.value is not None and self.jerked_n_mm2 > self.value.stress_n_mm2


def bending_value(
    species: str, *, breadth_mm: float, depth_mm: float, treated: bool
) -> BendingValue | None:
    """The reference value of a section on edge, of No. 2; None for a species without one here.

    Args:
        species: Catalogue name.
        breadth_mm: The smaller side, mm.
        depth_mm: The upright side, mm.
        treated: Whether it is pressure-treated, so wet, and incised unless of southern pine.
    """
    breadth, depth = breadth_mm / INCH_MM, depth_mm / INCH_MM
    is_timber = breadth > _TIMBER_IN
    if is_timber:
        if species not in _TIMBER_PSI:
            return None
        post, beam = _TIMBER_PSI[species]
        psi = beam if depth - breadth > _BEAM_MORE_IN + 1e-9 else post
    elif species == _SOUTHERN:
        psi = _by_depth(_SOUTHERN_PSI, depth, _SOUTHERN_PSI[-1][1] * _DEEPER_FACTOR)
    elif species in _DIMENSION_PSI:
        psi = _DIMENSION_PSI[species] * _by_depth(_SIZE_FACTOR, depth, _DEEPER_FACTOR)
    else:
        return None
    if treated:
        psi *= _WET if psi > _WET_OVER_PSI and not is_timber else 1.0
        psi *= 1.0 if species == _SOUTHERN else _INCISED
    return BendingValue(psi * PSI_N_MM2)


def _by_depth(rows: tuple[tuple[float, float], ...], depth_in: float, deeper: float) -> float:
    return next((value for most, value in rows if depth_in <= most + 0.05), deeper)

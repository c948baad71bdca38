"""Allowable stresses of sawn lumber by the National Design Specification, every factor kept.

bending, shear, bearing, compression, tension      Fb', Fv', Fc-perp', Fc', Ft'
modulus, least_modulus                             E', Emin'

Numbering and factors: NDS 2018, allowable stress design (from memory where no published example is
named in the tests). Loads of a connection are in no function here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from functools import cached_property, lru_cache

from pikepole_export.derive.strength.section import Section
from pikepole_model.stock.design_values import SizeClass, Wood
from pikepole_model.units import INCH_MM, PSI_N_MM2


class Duration(Enum):
    """How long a load stays, and CD by it. Source: NDS Table 2.3.2."""

    PERMANENT = 0.9
    OCCUPANCY = 1.0
    SNOW = 1.15
    ROOF_LIVE = 1.25
    WIND = 1.6


@dataclass(frozen=True, slots=True)
class Factor:
    """One factor on a reference value.

    Attributes:
        symbol: "CD".
        value: What it multiplies by.
        clause: Where it comes from, and why it is so much.
    """

    symbol: str
    value: float
    clause: str


@dataclass(frozen=True)
class Adjusted:
    """A reference value and all that adjusts it.

    Attributes:
        symbol: Of the result: "Fb'".
        reference_n_mm2: As the tables have it.
        factors: Each, those of 1 too.
        source: Of the reference value.
    """

    symbol: str
    reference_n_mm2: float
    factors: tuple[Factor, ...]
    source: str

    @cached_property
    def value_n_mm2(self) -> float:
        """Reference times every factor, N/mm2."""
        return self.reference_n_mm2 * math.prod(factor.value for factor in self.factors)


@dataclass(frozen=True, slots=True)
class Lumber:
    """A member's wood as it is used.

    Attributes:
        wood: Its reference values.
        section: As it is bent.
        wet: Whether it holds more than 19 % water in use.
        incised: Whether it is slit for its treatment.
        repetitive: Whether three or more share the load, 24 in apart at most.
    """

    wood: Wood
    section: Section
    wet: bool = False
    incised: bool = False
    repetitive: bool = False

    def __hash__(self) -> int:
        """By little of it: values are asked for a thousand times, of few woods."""
        return hash((self.section.depth_mm, self.section.breadth_mm, self.wet))


# Source: NDS Supplement Table 4A, CF by dressed depth of 2 and 3 in lumber, in: Fb and Ft, Fc.
_SIZE = (
    (3.5, 1.5, 1.15),
    (4.5, 1.4, 1.1),
    (5.5, 1.3, 1.1),
    (7.25, 1.2, 1.05),
    (9.25, 1.1, 1.0),
    (11.25, 1.0, 1.0),
)
_DEEPER = 0.9
# Source: the same, Fb of 4 in lumber, which has more from 8 in.
_SIZE_THICK = ((7.25, 1.3), (9.25, 1.2), (11.25, 1.1))
# Source: the same, Stud grade to 6 in.
_SIZE_STUD = ((4.5, 1.1, 1.05), (5.5, 1.0, 1.0))
# Source: the same, Cfu of 2 and 3 in lumber by width, and of 4 in.
_FLAT = ((3.5, 1.1, 1.0), (4.5, 1.1, 1.05), (7.25, 1.15, 1.05), (math.inf, 1.2, 1.1))
_SLACK_IN = 0.06  # metric sections are a little off those that inches make
_THICK_MM = 3.4 * INCH_MM
# Source: NDS Table 3.10.4, length of bearing in inches and Cb, for bearings under 6 in that are 3
# in and more from the member's end: (lb + 3/8) / lb.
_LONG_BEARING_MM, _FROM_END_MM, _BEARING_MORE_MM = 6 * INCH_MM, 3 * INCH_MM, 0.375 * INCH_MM
SLENDEREST_COLUMN = 50.0  # le/d. Source: NDS 3.7.1.4


@lru_cache(1024)
def bending(lumber: Lumber, duration: Duration, *, unbraced_mm: float = 0.0) -> Adjusted:
    """Fb' = Fb CD CM CL CF Cfu Ci Cr.

    Args:
        lumber: What is bent.
        duration: Of the shortest load of the combination.
        unbraced_mm: How far apart its compression edge is held, mm; 0 where all along. Loads are
            taken as uniform for it.
    """
    wood = lumber.wood
    size = _size_factor(lumber, "Fb")
    factors = (
        _duration(duration),
        _wet_bending(lumber, size.value),
        size,
        _flat(lumber),
        _incised(lumber, 0.80),
        _repetitive(lumber),
    )
    braced = Adjusted("Fb'", wood.bending_n_mm2, factors, wood.source)
    return Adjusted(
        "Fb'",
        wood.bending_n_mm2,
        (*factors, _stability(lumber, duration, braced, unbraced_mm)),
        wood.source,
    )


@lru_cache(1024)
def shear(lumber: Lumber, duration: Duration) -> Adjusted:
    """Fv' = Fv CD CM Ci."""
    wet = 1.0 if lumber.wood.size_class.is_timber else 0.97
    factors = (
        _duration(duration),
        _wet(lumber, wet),
        _incised(lumber, 0.80),
    )
    return Adjusted("Fv'", lumber.wood.shear_n_mm2, factors, lumber.wood.source)


@lru_cache(1024)
def bearing(lumber: Lumber, *, length_mm: float, from_end_mm: float = 0.0) -> Adjusted:
    """Fc-perp' = Fc-perp CM Ci Cb; load duration does not count (NDS Table 4.3.1).

    Args:
        lumber: What is pressed on, square to its grain.
        length_mm: How much of its length lies on what bears it, mm.
        from_end_mm: From there to the member's nearer end, mm.
    """
    wet = 1.0 if _wet_as_listed(lumber.wood) else 0.67
    short = length_mm < _LONG_BEARING_MM and from_end_mm >= _FROM_END_MM
    more = (length_mm + _BEARING_MORE_MM) / length_mm if short else 1.0
    factors = (
        _wet(lumber, wet),
        _incised(lumber, 1.0),
        Factor("Cb", more, "NDS 3.10.4, by length of bearing and distance from the end"),
    )
    return Adjusted("Fc-perp'", lumber.wood.bearing_n_mm2, factors, lumber.wood.source)


@lru_cache(1024)
def compression(lumber: Lumber, duration: Duration, *, slenderness: float) -> Adjusted:
    """Fc' = Fc CD CM CF Ci CP.

    Args:
        lumber: What stands.
        duration: Of the shortest load of the combination.
        slenderness: le / d about the axis that buckles first; 0 where it is held all along.
    """
    wood = lumber.wood
    size = _size_factor(lumber, "Fc")
    factors = (
        _duration(duration),
        _wet_compression(lumber, size.value),
        size,
        _incised(lumber, 0.80),
    )
    crushed = Adjusted("Fc'", wood.compression_n_mm2, factors, wood.source)
    buckling = critical_n_mm2(lumber, duration, slenderness)
    stability = Factor(
        "CP",
        column_stability(buckling, crushed.value_n_mm2),
        f"NDS 3.7.1, le/d {slenderness:.1f}, c 0.8, FcE = 0.822 Emin' / (le/d)^2",
    )
    return Adjusted("Fc'", wood.compression_n_mm2, (*factors, stability), wood.source)


@lru_cache(1024)
def tension(lumber: Lumber, duration: Duration) -> Adjusted:
    """Ft' = Ft CD CM CF Ci."""
    factors = (
        _duration(duration),
        _wet(lumber, 1.0),
        _size_factor(lumber, "Ft"),
        _incised(lumber, 0.80),
    )
    return Adjusted("Ft'", lumber.wood.tension_n_mm2, factors, lumber.wood.source)


@lru_cache(1024)
def modulus(lumber: Lumber) -> Adjusted:
    """E' = E CM Ci, for deflection."""
    return Adjusted("E'", lumber.wood.modulus_n_mm2, _of_modulus(lumber), lumber.wood.source)


@lru_cache(1024)
def least_modulus(lumber: Lumber, duration: Duration) -> Adjusted:
    """Emin' = Emin CM Ci, for buckling; of strength classes with CD, as EN 1995-1-1 has it."""
    wood, factors = lumber.wood, _of_modulus(lumber)
    if wood.buckles_by_duration:
        factors = (*factors, _duration(duration))
    return Adjusted("Emin'", wood.least_modulus_n_mm2, factors, wood.source)


def critical_n_mm2(lumber: Lumber, duration: Duration, slenderness: float) -> float:
    """FcE = 0.822 Emin' / (le/d)^2, N/mm2; infinite where it cannot buckle. Source: NDS 3.7.1.5."""
    if slenderness <= 0:
        return math.inf
    return 0.822 * least_modulus(lumber, duration).value_n_mm2 / slenderness**2


def column_stability(critical_n_mm2: float, crushing_n_mm2: float, c: float = 0.8) -> float:
    """CP by FcE and Fc*, both N/mm2. Source: NDS 3.7.1.5; c is 0.8 for sawn lumber."""
    return _stable(critical_n_mm2 / crushing_n_mm2, c)


def beam_slenderness(section: Section, unbraced_mm: float) -> float:
    """RB of a beam under uniform load that is held so far apart. Source: NDS 3.3.3, Table 3.3.3."""
    depth, breadth = section.depth_mm, section.breadth_mm * section.plies
    effective = 2.06 * unbraced_mm if unbraced_mm < 7 * depth else 1.63 * unbraced_mm + 3 * depth
    return math.sqrt(effective * depth / breadth**2)


def _stable(ratio: float, c: float) -> float:
    if math.isinf(ratio):
        return 1.0
    half = (1 + ratio) / (2 * c)
    return half - math.sqrt(half**2 - ratio / c)


def _stability(lumber: Lumber, duration: Duration, braced: Adjusted, unbraced_mm: float) -> Factor:
    section = lumber.section
    if unbraced_mm <= 0 or section.depth_mm <= section.breadth_mm * section.plies:
        return Factor(
            "CL", 1.0, "NDS 3.3.3, held along its compression edge or no deeper than wide"
        )
    slenderness = beam_slenderness(section, unbraced_mm)
    critical = 1.20 * least_modulus(lumber, duration).value_n_mm2 / slenderness**2
    flat = next(factor.value for factor in braced.factors if factor.symbol == "Cfu")
    value = _stable(critical / (braced.value_n_mm2 / flat), 0.95)
    return Factor("CL", value, f"NDS 3.3.3, RB {slenderness:.1f}, FbE = 1.20 Emin' / RB^2")


def _duration(duration: Duration) -> Factor:
    return Factor(
        "CD", duration.value, f"NDS Table 2.3.2, {duration.name.lower().replace('_', ' ')}"
    )


def _wet_as_listed(wood: Wood) -> bool:
    """Southern pine timbers are listed for wet service. Source: NDS Supplement Table 4D."""
    return wood.size_class.is_timber and wood.species == "southern pine"


def _wet(lumber: Lumber, value: float) -> Factor:
    table = "4D" if lumber.wood.size_class.is_timber else "4A and 4B"
    wet = lumber.wet
    return Factor(
        "CM", value if wet else 1.0, f"NDS Supplement Table {table}, {'wet' if wet else 'dry'}"
    )


def _wet_bending(lumber: Lumber, size: float) -> Factor:
    low = lumber.wood.bending_n_mm2 * size <= 1150 * PSI_N_MM2 * (1 + 1e-9)
    return _wet(lumber, 1.0 if lumber.wood.size_class.is_timber or low else 0.85)


def _wet_compression(lumber: Lumber, size: float) -> Factor:
    if lumber.wood.size_class.is_timber:
        return _wet(lumber, 1.0 if _wet_as_listed(lumber.wood) else 0.91)
    low = lumber.wood.compression_n_mm2 * size <= 750 * PSI_N_MM2 * (1 + 1e-9)
    return _wet(lumber, 1.0 if low else 0.8)


def _incised(lumber: Lumber, value: float) -> Factor:
    # The clause is for dimension lumber; timbers are taken to lose as much.
    return Factor("Ci", value if lumber.incised else 1.0, "NDS 4.3.8, incised for treatment")


def _repetitive(lumber: Lumber) -> Factor:
    used = lumber.repetitive and lumber.wood.size_class is SizeClass.DIMENSION
    return Factor("Cr", 1.15 if used else 1.0, "NDS 4.3.9, three or more within 24 in")


def _of_modulus(lumber: Lumber) -> tuple[Factor, ...]:
    return _wet(lumber, 1.0 if lumber.wood.size_class.is_timber else 0.9), _incised(lumber, 0.95)


def _flat(lumber: Lumber) -> Factor:
    thickness, width = lumber.section.sides_mm
    if not lumber.section.is_flat or lumber.wood.size_class.is_timber:
        return Factor("Cfu", 1.0, "NDS 4.3.7, on edge")
    thick = thickness > _THICK_MM
    row = next(row for row in _FLAT if width / INCH_MM <= row[0] + _SLACK_IN)
    return Factor("Cfu", row[2] if thick else row[1], "NDS Supplement Table 4A, laid flat")


def _size_factor(lumber: Lumber, what: str) -> Factor:
    """CF of Fb, Ft or Fc by the larger side."""
    wood = lumber.wood
    thickness, depth = lumber.section.sides_mm
    deep_in = depth / INCH_MM
    if wood.size_class.is_timber:
        deep = what == "Fb" and deep_in > 12
        return Factor("CF", (12 / deep_in) ** (1 / 9) if deep else 1.0, "NDS 4.3.6.2, over 12 in")
    clause = f"NDS Supplement Table 4A, {what} by depth"
    if wood.deepest_mm is not None:
        beyond = deep_in > 11.25 + _SLACK_IN
        return Factor(
            "CF",
            _DEEPER if beyond else 1.0,
            "NDS Supplement Table 4B, EN 338: the size is in the value",
        )
    rows = _SIZE_STUD if wood.grade == "Stud" else _SIZE
    if what == "Fb" and thickness > _THICK_MM and deep_in > 5.5 + _SLACK_IN:
        value = next((cf for most, cf in _SIZE_THICK if deep_in <= most + _SLACK_IN), 1.0)
        return Factor("CF", value, clause)
    row = next((row for row in rows if deep_in <= row[0] + _SLACK_IN), None)
    if row is None:
        return Factor("CF", _DEEPER, clause)
    return Factor("CF", row[2] if what == "Fc" else row[1], clause)

"""What graded lumber is reckoned to bear, from `data/design_values.toml`.

load_design_values() -> DesignValues
load_design_values().find(species, grade, breadth_mm, depth_mm, strength) -> Wood | None

Strength classes of EN 338 are characteristic: the fifth percentile, to be set against loads with
partial factors. Here they become allowable stresses by one factor, so small that for no duration
of load more comes out than by EN 1995-1-1.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from enum import Enum
from functools import cache
from importlib import resources
from typing import Any

from pikepole_model.units import INCH_MM, PSI_N_MM2, parse_length

# From so thick dressed it is a timber; a beam where it is more than 2 in deeper than thick.
# Source: NDS Supplement Table 4D.
_TIMBER_MM, _BEAM_MORE_MM = 4.5 * INCH_MM, 2 * INCH_MM
# Metric sections are a little off those that inches make.
_SLACK_MM = 1.5


# kmod / (1.3 x 1.5) / CD is least for wind: 1.1 / 1.95 / 1.6 = 0.353; on a roof it is 0.9 / 1.95 /
# 1.25 = 0.369, for dead load 0.6 / (1.3 x 1.35) / 0.9 = 0.380. Source: EN 1995-1-1 Tables 2.3 and
# 3.1, EN 1990 Table A1.2(B) (from memory); CD: NDS Table 2.3.2.
ALLOWED = 0.35
# Cracks leave so much of a section in shear; on a short support so much more is borne. Source: EN
# 1995-1-1 6.1.7 and 6.1.5 (the latter from memory).
_CRACKED, _SHORT_SUPPORT = 0.67, 1.5
# Pressing across the grain knows no duration here, so that dead load alone counts: 0.6 / (1.3 x
# 1.35) = 0.342. Of the modulus for buckling a little less than of strength, for the curve of NDS
# 3.7.1.5 lies up to 6 % over that of EN 1995-1-1 6.3.2.
_LASTING, _BUCKLING = 0.34, 0.33
# Classes are for all depths: less depth than 150 mm, which has more, is not counted (EN 384).
_ANY_DEPTH_MM = 300.0


class SizeClass(Enum):
    """How sawn lumber is graded by its size."""

    DIMENSION = "dimension"
    BEAM = "beams and stringers"
    POST = "posts and timbers"

    @property
    def is_timber(self) -> bool:
        """Whether it is 5 in and thicker."""
        return self is not SizeClass.DIMENSION


@dataclass(frozen=True, slots=True)
class Wood:
    """The reference values of a species and grade in one class of sizes.

    Attributes:
        species: Catalogue name.
        grade: "No. 2".
        size_class: What they are for.
        deepest_mm: Where the size is in the values, the deepest section they are for, mm.
        bending_n_mm2: Fb.
        tension_n_mm2: Ft, along the grain.
        shear_n_mm2: Fv, along the grain.
        bearing_n_mm2: Fc-perp, square to the grain.
        compression_n_mm2: Fc, along the grain.
        modulus_n_mm2: E, for deflection.
        least_modulus_n_mm2: Emin, for buckling.
        source: Where they come from.
        buckles_by_duration: Whether against buckling too more is allowed for a short load.
    """

    species: str
    grade: str
    size_class: SizeClass
    deepest_mm: float | None
    bending_n_mm2: float
    tension_n_mm2: float
    shear_n_mm2: float
    bearing_n_mm2: float
    compression_n_mm2: float
    modulus_n_mm2: float
    least_modulus_n_mm2: float
    source: str
    buckles_by_duration: bool = False


@dataclass(frozen=True, slots=True)
class DesignValues:
    """Every row of the file, in its order."""

    rows: tuple[Wood, ...]

    def find(
        self,
        species: str,
        grade: str,
        *,
        breadth_mm: float,
        depth_mm: float,
        strength: str = "",
    ) -> Wood | None:
        """The row for a section; None for a species or grade without one.

        Args:
            species: Catalogue name.
            grade: As the rows have it.
            breadth_mm: One side, mm.
            depth_mm: The other, mm. Deeper than any row goes, the deepest row's.
            strength: Its class of EN 338, which then counts for species and grade.
        """
        if strength:
            return next((row for row in self.rows if row.grade == strength), None)
        breadth_mm, depth_mm = sorted((breadth_mm, depth_mm))
        size_class = size_class_of(breadth_mm, depth_mm)
        found = [
            row
            for row in self.rows
            if (row.species, row.grade, row.size_class) == (species, grade, size_class)
        ]
        fits = (
            row for row in found if row.deepest_mm is None or depth_mm <= row.deepest_mm + _SLACK_MM
        )
        return next(fits, found[-1] if found else None)


def size_class_of(breadth_mm: float, depth_mm: float) -> SizeClass:
    """What a dressed section is graded as. Source: NDS Supplement Table 4D."""
    if breadth_mm <= _TIMBER_MM:
        return SizeClass.DIMENSION
    return SizeClass.BEAM if depth_mm - breadth_mm > _BEAM_MORE_MM + 1e-6 else SizeClass.POST


@cache
def load_design_values() -> DesignValues:
    """The values that come with the program, read once."""
    file = resources.files("pikepole_model").joinpath("data", "design_values.toml")
    table = tomllib.loads(file.read_text(encoding="utf-8"))
    return DesignValues(
        tuple(
            read(group, grade, values)
            for name, read in (("group", _row), ("strength_class", _sorted_row))
            for group in table[name]
            for grade, values in group["rows"].items()
        )
    )


def _row(group: dict[str, Any], grade: str, values: list[float]) -> Wood:
    *stresses, modulus, least = values
    bending, tension, shear, bearing, compression = (value * PSI_N_MM2 for value in stresses)
    return Wood(
        group["species"],
        grade,
        SizeClass(group["class"]),
        parse_length(group["depth"]) if "depth" in group else None,
        bending,
        tension,
        shear,
        bearing,
        compression,
        modulus * 1e6 * PSI_N_MM2,
        least * 1e6 * PSI_N_MM2,
        group["source"],
    )


def _sorted_row(group: dict[str, Any], name: str, values: list[float]) -> Wood:
    """A strength class as allowable stresses, for any section; `least` is its fifth percentile."""
    bending, tension, shear, bearing, compression, modulus, least = values
    return Wood(
        "EN 338",
        name,
        SizeClass.DIMENSION,
        _ANY_DEPTH_MM,
        ALLOWED * bending,
        ALLOWED * tension,
        ALLOWED * _CRACKED * shear,
        _LASTING * _SHORT_SUPPORT * bearing,
        ALLOWED * compression,
        modulus,
        _BUCKLING * least,
        f"{ALLOWED} x {group['source']}; in shear x {_CRACKED} for cracks; across the grain "
        f"{_LASTING} x {_SHORT_SUPPORT}; against buckling {_BUCKLING} of E0,05",
        buckles_by_duration=True,
    )

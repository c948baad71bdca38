"""What graded lumber is reckoned to bear, from `data/design_values.toml`.

load_design_values() -> DesignValues
load_design_values().find(species, grade, breadth_mm, depth_mm) -> Wood | None
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


@dataclass(frozen=True, slots=True)
class DesignValues:
    """Every row of the file, in its order."""

    rows: tuple[Wood, ...]

    def find(self, species: str, grade: str, *, breadth_mm: float, depth_mm: float) -> Wood | None:
        """The row for a section; None for a species or grade without one.

        Args:
            species: Catalogue name.
            grade: As the rows have it.
            breadth_mm: One side, mm.
            depth_mm: The other, mm. Deeper than any row goes, the deepest row's.
        """
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
    groups = tomllib.loads(file.read_text(encoding="utf-8"))["group"]
    return DesignValues(
        tuple(
            _row(group, grade, values)
            for group in groups
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

r"""One piece as it is spoken of wherever somebody points at it: in the window, on the page.

described(part, units) -> ("Kind", "stud"), ("Length", "7' 8-5/8\""), ...
round_words(part, units) -> "round, 1' 0\" across, 2' 3\" high"
box_words(units, part) -> "3-1/2\" x 3-1/2\" x 9' 0\" high"
"""

from __future__ import annotations

from pikepole_export.derive.inventory.mass import part_mass
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.part import Part
from pikepole_model.units import Units, format_length, format_mass


def described(part: Part, units: Units) -> tuple[tuple[str, str], ...]:
    """What a piece is: each thing that is said of it by what that is called.

    Args:
        part: The piece.
        units: Lengths and masses are given in.
    """
    mass = part_mass(part)
    low, likely, high = (
        format_mass(mass_kg, units) for mass_kg in (mass.low_kg, mass.likely_kg, mass.high_kg)
    )
    across = ("Width", format_length(part.across_mm[1], units))
    if is_round(part):
        across = ("Diameter", format_length(part.shape.diameter_mm or 0.0, units))
    elif part.section_mm is not None:
        across = ("Section", " x ".join(format_length(side, units) for side in part.section_mm))
    return (
        ("Kind", part.kind.value),
        ("Belongs to", f"{part.group}, stage {part.stage}"),
        ("Cut from", ", ".join(dict.fromkeys((part.stock, part.material.told)))),
        across,
        ("Height" if is_round(part) else "Length", format_length(part.length_mm, units)),
        ("Mass", f"{likely} likely ({low} to {high})"),
    )


def is_round(part: Part) -> bool:
    """Whether it is cast in a tube that stands."""
    return part.shape.diameter_mm is not None and part.kind.family is Family.CONCRETE


def round_words(part: Part, units: Units) -> str:
    """The sizes of what is cast in a tube that stands; nothing of any other piece."""
    if not is_round(part):
        return ""
    sizes_mm = (part.shape.diameter_mm or 0.0, part.length_mm)
    across, high = (format_length(mm, units) for mm in sizes_mm)
    return f"round, {across} across, {high} high"


def box_words(units: Units, *parts: Part) -> str:
    r"""How long, deep and high pieces are that lie or stand along the building's lines.

    Each size once: "3-1/2\" x 3-1/2\" x 9' 0\" high", "550 x 550 and 900 x 1200, 100 mm high".

    Args:
        units: Lengths are given in.
        parts: The pieces, one at least.
    """
    by_height: dict[str, dict[str, None]] = {}
    for part in parts:
        low, high = part.bounds_mm
        sizes = [format_length(b - a, units) for a, b in zip(low, high, strict=True)]
        level = " x ".join(size.removesuffix(" mm") for size in sizes[:2])
        by_height.setdefault(sizes[2], {})[level] = None
    return "; ".join(
        f"{' and '.join(levels)}{' x' if len(levels) == 1 else ','} {height} high"
        for height, levels in by_height.items()
    )

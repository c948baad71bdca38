r"""Pieces as they are spoken of wherever somebody points at them: in the window, on the page.

described(part, units) -> ("Kind", "stud"), ("Length", "7' 8-5/8\""), ...
together(names) -> "rafter 1 to 17", "end rafter 1", ...
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from pikepole_export.derive.inventory.mass import part_mass
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
    if part.section_mm is not None:
        across = ("Section", " x ".join(format_length(side, units) for side in part.section_mm))
    return (
        ("Kind", part.kind.value),
        ("Belongs to", f"{part.group}, stage {part.stage}"),
        ("Cut from", ", ".join(dict.fromkeys((part.stock, part.material.told)))),
        across,
        ("Length", format_length(part.length_mm, units)),
        ("Mass", f"{likely} likely ({low} to {high})"),
    )


def together(names: Iterable[str]) -> list[str]:
    """Names with the numbers of a run drawn together: "rafter 1 to 17", "bay 1 to 3 post 2"."""
    runs: list[tuple[str, int | None, int | None]] = []
    for name in names:
        found = re.fullmatch(r"(.*) (\d+)", name)
        stem, number = (found[1], int(found[2])) if found else (name, None)
        if runs and number is not None and runs[-1][0] == stem and runs[-1][2] == number - 1:
            runs[-1] = (stem, runs[-1][1], number)
        else:
            runs.append((stem, number, number))
    return _alike_inside(stem + _numbers(first, last) for stem, first, last in runs)


def _alike_inside(names: Iterable[str]) -> list[str]:
    """Those drawn together that differ in a number inside, wherever they stand."""
    alike: dict[tuple[str, str], list[int]] = {}
    for name in names:
        found = re.fullmatch(r"(.*?) (\d+)( (?!to \d+$)\D.*)", name)
        start, end = (found[1], found[3]) if found else (name, "")
        numbers = alike.setdefault((start, end), [])
        if found:
            numbers.append(int(found[2]))
    return [
        f"{start}{run}{end}"
        for (start, end), numbers in alike.items()
        for run in _runs(numbers) or [""]
    ]


def _runs(numbers: Iterable[int]) -> list[str]:
    runs: list[tuple[int, int]] = []
    for number in sorted(numbers):
        if runs and runs[-1][1] == number - 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    return [_numbers(first, last) for first, last in runs]


def _numbers(first: int | None, last: int | None) -> str:
    if first is None:
        return ""
    return f" {first}" if last == first else f" {first} to {last}"

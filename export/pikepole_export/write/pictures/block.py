"""What is written beside a picture: a heading, what stands out below it, and what else there is."""

from __future__ import annotations

from typing import TypedDict

from pikepole_model.units import Units, format_mass


class Block(TypedDict):
    """A heading, what stands out below it, and what else there is to say."""

    head: str
    bold: list[str]
    plain: list[str]


def mass_text(mass_kg: float, units: Units) -> str:
    """A mass with its thousands set apart: "47,721 lb"."""
    number, unit = format_mass(mass_kg, units).split()
    return f"{int(number):,} {unit}" if number.isdigit() else f"{number} {unit}"

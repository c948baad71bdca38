"""What is written under each picture: what a stage adds and what stands by then, and their mass."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypedDict

import numpy as np

from pikepole_export.derive.inventory.mass import NOTHING, Mass, part_mass
from pikepole_export.files.whole import slug
from pikepole_model.building.kind_rows import Counted, Handled
from pikepole_model.building.part import Building, Part
from pikepole_model.units import FOOT_MM, INCH_MM, Units, format_length, format_mass

GRID: dict[Units, tuple[float, str]] = {
    "metric": (1000.0, "1 m"),
    "imperial": (4 * FOOT_MM, "4 ft"),
}


class Column(TypedDict):
    """A heading and the lines below it."""

    head: str
    bold: list[str]
    plain: list[str]


class Caption(TypedDict):
    """What is written under one picture, and the file it goes to."""

    file: str
    over: str
    name: str
    under: str
    columns: list[Column]


def captions(building: Building) -> list[Caption]:
    """One for each stage, then the finished building's, from the front and from behind."""
    units: Units = building.scene.units
    title = building.scene.title
    count = len(building.stages)
    written: list[Caption] = []
    for stage in building.stages:
        standing = (*building.stands(stage.number), *stage.parts)
        written.append(
            {
                "file": f"{stage.number:02}-{slug(stage.name)}.png",
                "over": f"{title}, stage {stage.number} of {count}",
                "name": f"{stage.number}  {stage.name}",
                "under": _in_place(standing, units),
                "columns": [
                    _totals(stage.parts, "added", units),
                    _totals(standing, "so far", units),
                ],
            }
        )
    standing = building.finished.parts
    for file, seen in (("finished.png", ""), ("finished-behind.png", ", seen from behind")):
        written.append(
            {
                "file": file,
                "over": f"{count} stages{seen}",
                "name": title,
                "under": _in_place(standing, units),
                "columns": [_size(standing, units), _totals(standing, "in all", units)],
            }
        )
    return written


def _in_place(parts: Sequence[Part], units: Units) -> str:
    """The grid's size, how much of the mass so far cannot be moved, and whether any was weighed."""
    there = [part for part in parts if part.kind.row.handled is Handled.IN_PLACE]
    grid = f"Ground grid {GRID[units][1]}"
    told = [grid]
    if there:
        what = {part.kind.row.bought.value for part in there}
        mass = _mass(_together(there).likely_kg, units)
        told.append(f"{mass} of it {' and '.join(sorted(what, reverse=True))}")
    if any(part.material.weighed for part in parts):
        told.append("some of it weighed")
    return "; ".join(told)


def _totals(parts: Sequence[Part], when: str, units: Units) -> Column:
    """How many parts and what they weigh: likely, and between what."""
    count = f"{len(parts):,} part{'s' if len(parts) != 1 else ''}"
    if parts and all(part.kind.row.counted is Counted.NOT for part in parts):
        return {"head": count, "bold": ["already there"], "plain": ["weight not counted"]}
    mass = _together(parts)
    dry, wet = _mass(mass.low_kg, units), _mass(mass.high_kg, units)
    return {
        "head": f"{count} {when}",
        "bold": [_mass(mass.likely_kg, units)],
        "plain": [f"dry {dry}", f"wet {wet}"] if dry != wet else [],
    }


def _together(parts: Sequence[Part]) -> Mass:
    return sum((part_mass(part) for part in parts), NOTHING)


def _mass(mass_kg: float, units: Units) -> str:
    """A mass with its thousands set apart: "47,721 lb"."""
    number, unit = format_mass(mass_kg, units).split()
    return f"{int(number):,} {unit}" if number.isdigit() else f"{number} {unit}"


def _size(parts: Sequence[Part], units: Units) -> Column:
    """How much room the building takes above the ground, over everything."""
    built = (part for part in parts if part.kind.row.counted is not Counted.NOT)
    points = np.concatenate([part.vertices_mm for part in built])
    sizes = np.ptp(np.maximum(points, [-np.inf, -np.inf, 0.0]), axis=0)
    ways = ("long", "deep", "high")
    texts = [f"{_over_all(float(mm), units)} {way}" for mm, way in zip(sizes, ways, strict=True)]
    return {"head": "Over all", "bold": texts, "plain": []}


def _over_all(length_mm: float, units: Units) -> str:
    """To the nearest inch or centimetre: nothing is cut to it."""
    if units == "metric":
        return f"{math.floor(length_mm / 10 + 0.5) / 100:.2f} m"
    return format_length(math.floor(length_mm / INCH_MM + 0.5) * INCH_MM, units)

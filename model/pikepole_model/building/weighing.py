"""What the scale said: pieces that were weighed, and what is cut from the same delivery.

    calibrated(parts, scene) -> tuple[Part, ...]
    weighed_texts(building) -> tuple[str, ...]

A delivery is all of one section or sheet, of one material. Its likely density is that of what was
weighed; its low and high ones are as far off as pieces of one species differ, within what the scene
says of its moisture.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from pikepole_model.building.kind_rows import Cut
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Problem, SceneError
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.timber import Weighed
from pikepole_model.stock.catalogue import nearest_names
from pikepole_model.stock.materials import (
    Material,
    panel_moisture_percent,
    wood_moisture_percent,
)
from pikepole_model.units import format_length, format_mass

# How far pieces of one species at one moisture are off their mean: coefficient of variation of
# specific gravity, USDA Wood Handbook ch. 5, from memory.
SCATTER = 0.10

# A scale's last digit, as a share of what it says.
_NOISE = 1e-3

Delivery: TypeAlias = tuple[str, Material]


@dataclass(frozen=True, slots=True)
class _Reading:
    """A piece that was weighed.

    Attributes:
        delivery: Stock and material that it is of.
        said: What it is and what the scale said, for people.
        density_kg_m3: What it so weighs.
    """

    delivery: Delivery
    said: str
    density_kg_m3: float


def calibrated(parts: Sequence[Part], scene: Scene) -> tuple[Part, ...]:
    """The parts, those of a delivery that was weighed as heavy as the scale says.

    Raises:
        SceneError: a piece that was weighed is not there or is no wood, or no moisture that the
            scene allows explains its mass.
    """
    found = [_reading(k, one, parts, scene) for k, one in enumerate(scene.weighed)]
    problems = tuple(one for one in found if isinstance(one, Problem))
    if problems:
        raise SceneError(scene.title, problems)
    by_delivery: dict[Delivery, list[_Reading]] = defaultdict(list)
    for one in found:
        if isinstance(one, _Reading):
            by_delivery[one.delivery].append(one)
    weighed = {
        delivery: _weighed(delivery, readings, scene) for delivery, readings in by_delivery.items()
    }
    return tuple(
        replace(part, material=weighed.get((part.stock, part.material), part.material))
        for part in parts
    )


def weighed_texts(building: Building) -> tuple[str, ...]:
    """What was weighed and what that says of the others, a sentence for each delivery."""
    texts = dict.fromkeys(part.material.weighed for part in building.parts)
    return tuple(text for text in texts if text)


def _reading(k: int, one: Weighed, parts: Sequence[Part], scene: Scene) -> _Reading | Problem:
    wood = [part for part in parts if part.kind.row.cut in (Cut.BOARD, Cut.SHEET)]
    if one.part:
        part = next((part for part in parts if part.name == one.part), None)
        if part is None or part not in wood:
            wrong = "there is no such piece" if part is None else "is no wood, so no moisture tells"
            mend = f"take one of {nearest_names(one.part, [part.name for part in wood])}"
            return replace(Problem.at(("weighed", k, "part"), wrong, mend), value=f'"{one.part}"')
        delivery, volume_mm3, what = (part.stock, part.material), part.volume_mm3, part.name
    else:
        boards = {
            (part.stock, part.material.treated): part.material for part in wood if part.section_mm
        }
        section, length_mm = one.section or "", one.length or 0.0
        kind = "treated" if one.treated else "untreated"
        material = boards.get((section, one.treated))
        if material is None:
            there = dict.fromkeys(
                f"{stock}, {'treated' if treated else 'untreated'}" for stock, treated in boards
            )
            wrong = f"no piece is cut from {kind} {section}"
            mend = f"take one of {nearest_names(f'{section}, {kind}', tuple(there))}"
            return replace(Problem.at(("weighed", k, "section"), wrong, mend), value=f'"{section}"')
        volume_mm3 = math.prod((scene.lumber_stock(section).breadth_mm, length_mm)) * (
            scene.lumber_stock(section).depth_mm
        )
        delivery, what = (section, material), f"a {section} {format_length(length_mm, scene.units)}"
    density = one.mass / (volume_mm3 / 1e9)
    low, _, high = delivery[1].density_kg_m3
    if not low * (1 - _NOISE) <= density <= high * (1 + _NOISE):
        return _unexplained(k, one, what, delivery, volume_mm3, scene)
    return _Reading(
        delivery,
        f"{what} at {format_mass(one.mass, scene.units)}",
        min(max(density, low), high),
    )


def _unexplained(
    k: int, one: Weighed, what: str, delivery: Delivery, volume_mm3: float, scene: Scene
) -> Problem:
    stock, material = delivery
    low_kg, _, high_kg = (density * volume_mm3 / 1e9 for density in material.density_kg_m3)
    kind = "treated" if material.treated else "untreated"
    moisture = scene.moisture.treated if material.treated else scene.moisture.untreated
    low, high = (format_mass(kg, scene.units) for kg in (low_kg, high_kg))
    wrong = (
        f"no moisture from {moisture.low:g} to {moisture.high:g} % explains it: {what} weighs "
        f"{low} to {high}"
    )
    percent = _moisture_percent(stock, material, one.mass / (volume_mm3 / 1e9), scene)
    mend = "weigh it again"
    if 0 <= percent <= 250:
        end = "high" if percent > moisture.high else "low"
        whole = math.ceil(percent) if end == "high" else math.floor(percent)
        mend += f", or give moisture.{kind} a {end} of {whole}"
    else:
        mend += ", or look whether it is that piece"
    value = format_mass(one.mass, scene.units)
    return replace(Problem.at(("weighed", k, "mass"), wrong, mend), value=value)


def _weighed(delivery: Delivery, readings: Sequence[_Reading], scene: Scene) -> Material:
    stock, material = delivery
    densities = [one.density_kg_m3 for one in readings]
    low, _, high = material.density_kg_m3
    likely = sum(densities) / len(densities)
    said = ", ".join(one.said for one in readings)
    moisture = _moisture_percent(stock, material, likely, scene)
    return replace(
        material,
        density_kg_m3=(
            max(low, min(densities) * (1 - SCATTER)),
            likely,
            min(high, max(densities) * (1 + SCATTER)),
        ),
        weighed=(
            f"{said}; so all {stock}{' treated' if material.treated else ''} is taken at "
            f"{moisture:.0f} % moisture, and a tenth up or down"
        ),
    )


def _moisture_percent(stock: str, material: Material, density_kg_m3: float, scene: Scene) -> float:
    if stock in scene.catalogue.sheets:
        return panel_moisture_percent(scene.sheet_stock(stock), density_kg_m3)
    species = scene.species(material.treated, stock)
    return wood_moisture_percent(species.specific_gravity, density_kg_m3)

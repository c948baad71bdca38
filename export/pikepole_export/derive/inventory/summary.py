"""The building on one page: how much, how heavy, how big, stage by stage.

summary(building, rows, weights, findings) -> Summary
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from pikepole_export.derive.inventory.mass import NOTHING, Mass, balance, part_mass
from pikepole_export.derive.inventory.parts import PartRow
from pikepole_export.derive.inventory.weights import Weights
from pikepole_model.building.kind_rows import Counted, Family, Handled
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.weighing import weighed_texts
from pikepole_model.errors import Finding
from pikepole_model.geometry.placement import Vector

FLUSH_MM = 1.0  # gravel that reaches less high over the ground lies in it


@dataclass(frozen=True, slots=True)
class StageRow:
    """A stage, and what stands when it is done.

    Attributes:
        number: From 1.
        name: "Front wall".
        parts: How many parts it adds.
        mass: What it adds.
        running_mass: What stands then, where it is worked on.
        centre_of_gravity_mm: Of all that stands then, from the likely masses, mm.
    """

    number: int
    name: str
    parts: int
    mass: Mass
    running_mass: Mass
    centre_of_gravity_mm: Vector


@dataclass(frozen=True, slots=True)
class FindingCounts:
    """How many findings of each kind."""

    overlaps: int
    loose: int
    other: int


@dataclass(frozen=True, slots=True)
class LoftLoad:
    """What a loft is to carry.

    Attributes:
        live_load_kn_m2: As the scene has it, kN/m2.
        floor_mm2: On its sheets, mm2.
    """

    live_load_kn_m2: float
    floor_mm2: float


@dataclass(frozen=True, slots=True)
class Summary:
    """The building in a few numbers.

    Attributes:
        title: The scene's title.
        units: What the scene's tables for people are in.
        parts: How many parts.
        shapes: How many distinct shapes among them.
        mass: What stands in the end weighs.
        made_in_place: What of that is gravel and cast concrete.
        centre_of_gravity_mm: Of the likely masses, mm.
        size_mm: Sides of the box round every part, what is in the ground included, mm.
        heaviest_part: Name of the piece with the greatest likely mass, the first of equals. What is
            spread or cast where it stays is no piece that anybody lifts, and is left out.
        heaviest_mass: What that part weighs.
        loft: What its loft is to carry, None without one.
        stages: In order of building.
        findings: How many the checks made.
        weighed: What the scale said of some of it, a sentence for each delivery.
    """

    title: str
    units: str
    parts: int
    shapes: int
    mass: Mass
    made_in_place: Mass
    centre_of_gravity_mm: Vector
    size_mm: Vector
    heaviest_part: str
    heaviest_mass: Mass
    loft: LoftLoad | None
    stages: tuple[StageRow, ...]
    findings: FindingCounts
    weighed: tuple[str, ...]


def summary(
    building: Building, rows: Sequence[PartRow], weights: Weights, findings: Iterable[Finding]
) -> Summary:
    """The building in a few numbers.

    Args:
        building: The building.
        rows: A row for each of its parts.
        weights: What they weigh together.
        findings: What the checks found in it.
    """
    remains = [row for row in rows if row.name not in building.left]
    in_place = [row for row in remains if row.kind.row.handled is Handled.IN_PLACE]
    pieces = [row for row in rows if row.kind.row.handled is not Handled.IN_PLACE] or rows
    heaviest = max(pieces, key=lambda row: row.mass.likely_kg)
    return Summary(
        title=building.scene.title,
        units=building.scene.units,
        parts=len(rows),
        shapes=len(building.shapes),
        mass=weights.building.mass,
        made_in_place=sum((row.mass for row in in_place), NOTHING),
        centre_of_gravity_mm=weights.building.centre_of_gravity_mm,
        size_mm=size_mm(building),
        heaviest_part=heaviest.name,
        heaviest_mass=heaviest.mass,
        loft=loft_load(building),
        stages=stage_rows(building, weights),
        findings=count_findings(findings),
        weighed=weighed_texts(building),
    )


def loft_load(building: Building) -> LoftLoad | None:
    """What the loft of a building is to carry, None without one."""
    scene, loft = building.scene, building.scene.loft
    if not loft:
        return None
    sheets = sum(part.volume_mm3 for part in building.parts if part.kind == Kind.LOFT_SHEET)
    return LoftLoad(loft.live_load, sheets / scene.sheet_stock(loft.sheet).thickness_mm)


def stage_rows(building: Building, weights: Weights) -> tuple[StageRow, ...]:
    """Each stage with what stands, where it is worked on, when it is done."""
    stages = {stage.number: stage for stage in building.stages}
    rows: list[StageRow] = []
    for number, weight in weights.stages:
        standing = (*building.stands(number), *stages[number].parts)
        running, centre = balance(
            [part_mass(part) for part in standing], [part.centre_mm for part in standing]
        )
        rows.append(StageRow(number, weight.name, weight.parts, weight.mass, running, centre))
    return tuple(rows)


def count_findings(findings: Iterable[Finding]) -> FindingCounts:
    """How many findings of each kind."""
    found = Counter(finding.kind for finding in findings)
    overlaps, loose = found["overlap"], found["loose"]
    return FindingCounts(overlaps, loose, found.total() - overlaps - loose)


def size_mm(building: Building) -> Vector:
    """Sides of the box round all that is built, mm: along it, front to back, and height."""
    return _box_mm(building.finished.parts, -np.inf)


def size_above_ground_mm(parts: Iterable[Part]) -> Vector:
    """The same of what stands above the ground, mm; gravel that lies flush with it is ground."""
    return _box_mm((part for part in parts if not _is_ground(part)), 0.0)


def _is_ground(part: Part) -> bool:
    return part.kind.family is Family.GRAVEL and part.bounds_mm[1][2] < FLUSH_MM


def _box_mm(parts: Iterable[Part], ground_mm: float) -> Vector:
    built = (part for part in parts if part.kind.row.counted is not Counted.NOT)
    points = np.concatenate([part.vertices_mm for part in built])
    x, y, z = np.ptp(np.maximum(points, [-np.inf, -np.inf, ground_mm]), axis=0)
    return float(x), float(y), float(z)

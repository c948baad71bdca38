"""What goes into the ground, and what is poured: digging, gravel, concrete, forms, steel, joints.

    ground(building, bag_kg=36.3, waste=0.1) -> tuple[Amount, ...]     in order of the work

Volumes are those of the solids. Whether a slab needs mesh, bars or a vapour retarder is for the
local code and the soil to say: they are in the list without an amount to buy unless the scene asks
for them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise

import shapely

from pikepole_export.derive.buying.amounts import (
    PRACTICE,
    Amount,
    Thing,
    check_above_zero,
    check_share,
    percent,
    shown,
)
from pikepole_export.derive.buying.concrete import curing, pours, slabs, under_and_round
from pikepole_export.derive.buying.reinforcement import reinforcement
from pikepole_export.derive.buying.slab_joints import SOURCE as JOINT_RULE
from pikepole_export.derive.buying.slab_joints import control_joints
from pikepole_export.derive.measures.projection import projection
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.units import POUND_KG, format_length

# What dug soil fills, loose, for each unit that it filled in the ground; what gravel fills as it
# is delivered for each unit that it fills once compacted.
SOIL_SWELLS = 1.25
GRAVEL_SETTLES = 1.2


def ground(
    building: Building,
    *,
    bag_kg: float = 80 * POUND_KG,
    ready_mix_from_mm3: float = math.inf,
    waste: float = 0.1,
    gravel_waste: float = 0.0,
) -> tuple[Amount, ...]:
    """Everything to dig, spread, form and pour.

    Args:
        building: The building.
        bag_kg: Dry mix in a bag, kg.
        ready_mix_from_mm3: From this much concrete on in one pour, waste included, it comes by
            truck, mm3.
        waste: Share of concrete and of form boards to buy beyond what is drawn, from 0.
        gravel_waste: Share of gravel to buy beyond what is drawn, from 0.

    Raises:
        ValueError: a share is below 0, or the bag is empty.
    """
    check_share("concrete.waste", waste)
    check_share("waste.gravel", gravel_waste)
    check_above_zero("concrete.bag", bag_kg)
    return (
        *_digging(building),
        *_gravel(building, gravel_waste),
        *under_and_round(building, waste),
        *reinforcement(building),
        *pours(building, bag_kg, ready_mix_from_mm3, waste),
        *curing(building),
        *_joints(building),
    )


def dug_mm3(parts: Iterable[Part]) -> float:
    """The hole that parts in the ground need, its sides upright, mm3.

    Whatever lies above a part is dug away with it, up to the ground; where two stand over one
    another it is dug once, as deep as the deeper.
    """
    found = [(part.bounds_mm[0][2], projection(part)) for part in parts if part.bounds_mm[0][2] < 0]
    depths = sorted({low for low, _ in found})
    return sum(
        shapely.union_all([covered for bottom, covered in found if bottom <= low]).area
        * (high - low)
        for low, high in pairwise([*depths, 0.0])
    )


def _digging(building: Building) -> Iterator[Amount]:
    units = building.scene.units
    parts = tuple(
        part for part in building.parts if part.kind.family in (Family.GRAVEL, Family.CONCRETE)
    )
    volume = dug_mm3(parts)
    if not volume:
        return
    yield Amount(
        Thing.EXCAVATION,
        "excavation",
        "gravel and concrete below the ground",
        parts,
        "volume",
        volume,
        None,
        "as deep as what stands there, upright sides, each spot dug once; the strip beside the "
        "concrete over the gravel's margin is filled back; room to work in is not in it",
        "the solids of the model",
    )
    yield Amount(
        Thing.SOIL,
        "soil to move, loose",
        "from the excavation",
        parts,
        "volume",
        SOIL_SWELLS * volume,
        None,
        f"{shown(volume, 'volume', units)} x {SOIL_SWELLS:g}, as soil swells when it is dug",
        PRACTICE,
    )


def _gravel(building: Building, waste: float) -> Iterator[Amount]:
    """Each sort of bed, as it is delivered."""
    units = building.scene.units
    beds: dict[str, list[Part]] = {}
    for part in building.parts:
        if part.kind == Kind.GRAVEL:
            beds.setdefault(part.label, []).append(part)
    for label, parts in beds.items():
        volume = sum(part.volume_mm3 for part in parts)
        spare = f", and {percent(waste)}" if waste else ""
        yield Amount(
            Thing.GRAVEL,
            "gravel",
            label,
            tuple(parts),
            "volume",
            GRAVEL_SETTLES * volume,
            GRAVEL_SETTLES * volume * (1 + waste),
            f"{shown(volume, 'volume', units)} compacted x {GRAVEL_SETTLES:g} as delivered{spare}",
            PRACTICE,
        )


def _joints(building: Building) -> Iterator[Amount]:
    units = building.scene.units
    for joint in control_joints(building):
        start, runs = (
            ("left", "front to back") if joint.across == "x" else ("front", "left to right")
        )
        yield Amount(
            Thing.CONTROL_JOINT,
            "control joint",
            f"{format_length(joint.at_mm, units)} from the {start} edge of the slab",
            tuple(slabs(building)),
            "length",
            joint.length_mm,
            None,
            f"cut {format_length(joint.depth_mm, units, 'up')} deep, {runs}, "
            "a quarter of the slab, as soon as the edge of the cut holds",
            JOINT_RULE,
        )

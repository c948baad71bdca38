"""What goes into the ground, and what is poured: digging, gravel, concrete, forms, bolts.

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
    check_above_zero,
    check_share,
    percent,
    plural,
    shown,
)
from pikepole_export.derive.buying.anchor_bolts import SOURCE as BOLT_RULE
from pikepole_export.derive.buying.anchor_bolts import plate_bolts
from pikepole_export.derive.buying.concrete import curing, pours, under_and_round
from pikepole_export.derive.buying.reinforcement import reinforcement
from pikepole_export.derive.buying.slab_joints import SOURCE as JOINT_RULE
from pikepole_export.derive.buying.slab_joints import control_joints
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.measures.projection import shadow
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.units import LB_FT3_IN_KG_M3, POUND_KG, Units, format_length

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
        *_bolts(building),
        *_piers(building),
    )


def dug_mm3(parts: Iterable[Part]) -> float:
    """The hole that parts in the ground need, its sides upright, mm3.

    Whatever lies above a part is dug away with it, up to the ground; where two stand over one
    another it is dug once, as deep as the deeper.
    """
    found = [(part.bounds_mm[0][2], shadow(part)) for part in parts if part.bounds_mm[0][2] < 0]
    depths = sorted({low for low, _ in found})
    return sum(
        shapely.union_all([covered for bottom, covered in found if bottom <= low]).area
        * (high - low)
        for low, high in pairwise([*depths, 0.0])
    )


def _digging(building: Building) -> Iterator[Amount]:
    units = building.scene.units
    volume = dug_mm3(
        part for part in building.parts if part.kind.family in (Family.GRAVEL, Family.CONCRETE)
    )
    if not volume:
        return
    yield Amount(
        "excavation",
        "gravel and concrete below the ground",
        "volume",
        volume,
        None,
        "as deep as what stands there, upright sides, each spot dug once; the strip beside the "
        "concrete over the gravel's margin is filled back; room to work in is not in it",
        "the solids of the model",
    )
    yield Amount(
        "soil to move, loose",
        "from the excavation",
        "volume",
        SOIL_SWELLS * volume,
        None,
        f"{shown(volume, 'volume', units)} x {SOIL_SWELLS:g}, as soil swells when it is dug",
        PRACTICE,
    )


def _gravel(building: Building, waste: float) -> Iterator[Amount]:
    units = building.scene.units
    beds = [part for part in building.parts if part.kind == Kind.GRAVEL]
    names = dict.fromkeys(part.name.rstrip(" 0123456789") for part in beds)
    for name in names:
        parts = [part for part in beds if part.name.rstrip(" 0123456789") == name]
        volume = sum(part.volume_mm3 for part in parts)
        loose = GRAVEL_SETTLES * volume * (1 + waste)
        spare = f", and {percent(waste)}" if waste else ""
        likely_kg = sum(part_mass(part).likely_kg for part in parts)
        loose_kg_m3 = parts[0].material.density_kg_m3[0]
        yield Amount(
            "gravel",
            name,
            "volume",
            volume,
            loose,
            f"{shown(volume, 'volume', units)} compacted x {GRAVEL_SETTLES:g} as delivered{spare}",
            PRACTICE,
        )
        yield Amount(
            "gravel by weight",
            name,
            "mass",
            likely_kg,
            loose * 1e-9 * loose_kg_m3,
            f"{shown(loose, 'volume', units)} x {_density(loose_kg_m3, units)} loose; instead of "
            "the volume, not beside it",
            parts[0].material.source,
            is_another_way=True,
        )


def _density(density_kg_m3: float, units: Units) -> str:
    """A density for people, "95 lb/ft3"."""
    if units == "imperial":
        return f"{density_kg_m3 / LB_FT3_IN_KG_M3:.0f} lb/ft3"
    return f"{density_kg_m3:.0f} kg/m3"


def _joints(building: Building) -> Iterator[Amount]:
    units = building.scene.units
    for joint in control_joints(building):
        start, runs = (
            ("left", "front to back") if joint.across == "x" else ("front", "left to right")
        )
        yield Amount(
            "control joint",
            f"{format_length(joint.at_mm, units)} from the {start} edge of the slab",
            "run",
            joint.length_mm,
            None,
            f"cut {format_length(joint.depth_mm, units, 'up')} deep, {runs}, "
            "a quarter of the slab, as soon as the edge of the cut holds",
            JOINT_RULE,
        )


def _bolts(building: Building) -> Iterator[Amount]:
    rows = plate_bolts(building)
    if not rows:
        return
    least = sum(row.least for row in rows)
    units = building.scene.units
    how = (
        f"as drawn in {plural(len(rows), 'plate')}, which need {least} at least; at most 6 ft "
        "apart, two to a plate, not more than 12 in and not less than 7 diameters from its ends"
    )
    for kind in (Kind.ANCHOR_BOLT, Kind.WASHER, Kind.NUT):
        drawn = [part for part in building.parts if part.kind == kind]
        if not drawn:
            continue
        item, told = kind.value, "one to each anchor bolt"
        if kind == Kind.ANCHOR_BOLT:
            thick, long = (
                format_length(size, units) for size in (rows[0].diameter_mm, drawn[0].length_mm)
            )
            item, told = f"{kind.value} {thick} x {long}", how
        yield Amount(item, "bottom plates", "count", len(drawn), len(drawn), told, BOLT_RULE)


def _piers(building: Building) -> Iterator[Amount]:
    piers = [part for part in building.parts if part.kind == Kind.PIER]
    if piers:
        yield Amount(
            piers[0].stock,
            "girders",
            "count",
            len(piers),
            len(piers),
            "as drawn",
            "the solids of the model",
        )

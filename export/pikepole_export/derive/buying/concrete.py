"""What is poured and what it takes: forms, vapour retarder, curing, and the concrete itself.

    under_and_round(building, waste) -> Iterator[Amount]     before pouring
    pours(building, bag_kg, ready_mix_from_mm3, waste) -> Iterator[Amount]     one for each stage
    curing(building) -> Iterator[Amount]                     after it

Called by `ground`, which checks what it is given.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pikepole_export.derive.buying.amounts import (
    PRACTICE,
    Amount,
    Thing,
    courses,
    pack_text,
    percent,
    shown,
    whole,
)
from pikepole_export.derive.buying.wording import short_length, sold_length
from pikepole_model.building.kind_rows import Bought
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.buying import MIX_YIELD_MM3_PER_KG
from pikepole_model.units import (
    FOOT_MM,
    GALLON_L,
    INCH_MM,
    Units,
    format_length,
    format_mass,
    format_number,
    in_units,
    plural,
)

BAG_RULE = "0.15 ft3 for each 20 lb of mix, as printed on bags"

# Ready-mixed concrete is ordered in these steps.
READY_MIX_STEP_MM3: dict[Units, float] = {"imperial": 27 * FOOT_MM**3 / 4, "metric": 0.25e9}
READY_MIX_STEPS: dict[Units, str] = {"imperial": "1/4 yd3", "metric": "0.25 m3"}

# Curing compound comes in gallons, or in litres.
CURING_CAN_MM3: dict[Units, float] = {"imperial": GALLON_L * 1e6, "metric": 1e6}

# Form tubes come in these lengths: common practice, no source.
TUBES_MM: dict[Units, tuple[float, ...]] = {
    "imperial": (4 * FOOT_MM, 8 * FOOT_MM, 12 * FOOT_MM),
    "metric": (1000.0, 2000.0, 3000.0, 4000.0),
}

RETARDER_THICK: dict[Units, str] = {"imperial": "6 mil", "metric": "0.15 mm"}
RETARDER_MM, RETARDER_LAP_MM = 10 * FOOT_MM, 6 * INCH_MM


def under_and_round(building: Building, waste: float) -> Iterator[Amount]:
    """The vapour retarder under each slab, and the forms round slabs and footings."""
    for slab in slabs(building):
        yield _retarder(building, slab)
    yield from _forms(building, waste)


def slabs(building: Building) -> list[Part]:
    """The slabs of a building."""
    return [part for part in building.parts if part.kind == Kind.SLAB]


def sides_mm(slab: Part) -> tuple[float, float]:
    """Of a slab: along the building and from front to back, mm."""
    low, high = slab.bounds_mm
    return high[0] - low[0], high[1] - low[1]


def _retarder(building: Building, slab: Part) -> Amount:
    asked = building.scene.concrete.vapour_retarder
    units, (length, depth) = building.scene.units, sides_mm(slab)
    long, short = max(length, depth), min(length, depth)
    count = courses(short, RETARDER_MM, RETARDER_LAP_MM)
    how = (
        f"lengths of {format_length(long, units)}, {count} side by side, from a roll "
        f"{format_length(RETARDER_MM, units)} wide, lapped {format_length(RETARDER_LAP_MM, units)}"
    )
    return Amount(
        Thing.VAPOUR_RETARDER,
        f"vapour retarder, {RETARDER_THICK[units]}",
        slab.name,
        (slab,),
        "area",
        length * depth,
        count * long * RETARDER_MM if asked else None,
        how
        if asked
        else "as your code asks: not required under a detached, unheated accessory building; "
        f"{how}",
        "IRC R506.2.3 for thickness, laps and exception, 10 mil from 2021 on; roll: " + PRACTICE,
    )


def _forms(building: Building, waste: float) -> Iterator[Amount]:
    units = building.scene.units
    for slab in slabs(building):
        length, depth = sides_mm(slab)
        low, high = slab.bounds_mm
        round_mm, height = 2 * (length + depth), high[2] - low[2]
        yield Amount(
            Thing.FORM_BOARDS,
            "form boards",
            slab.name,
            (slab,),
            "length",
            round_mm,
            round_mm * (1 + waste),
            f"2 x ({format_length(length, units)} + {format_length(depth, units)}), "
            f"{format_length(height, units)} high from the gravel to the slab's top, "
            f"and {percent(waste)} for corners and cuts; stakes and braces beside",
            PRACTICE,
        )
    tubes: dict[float, list[tuple[Part, float]]] = {}
    for footing in (part for part in building.parts if part.kind == Kind.FOOTING):
        if diameter_mm := footing.shape.diameter_mm:
            tubes.setdefault(diameter_mm, []).append((footing, footing.length_mm))
    for diameter, footings in tubes.items():
        heights = [height for _, height in footings]
        tubes_mm = TUBES_MM[units]
        tube_mm = min((mm for mm in tubes_mm if mm >= max(heights)), default=tubes_mm[-1])
        yield Amount(
            Thing.FORM_TUBE,
            f"form tube {short_length(diameter, units)} x {sold_length(tube_mm, units)}",
            "footings",
            tuple(footing for footing, _ in footings),
            "pieces",
            sum(heights) / tube_mm,
            _tubes(heights, tube_mm),
            f"{plural(len(footings), 'footing')}, each of one piece where a tube is long enough",
            PRACTICE,
        )


def _tubes(heights_mm: Sequence[float], tube_mm: float) -> int:
    """How many tubes give all heights, what is left of one used for the next that it gives."""
    left_mm: list[float] = []
    for height_mm in sorted(heights_mm, reverse=True):
        more, rest_mm = divmod(height_mm, tube_mm)
        left_mm += [0.0] * int(more)
        if rest_mm:
            fits = next((n for n, mm in enumerate(left_mm) if mm >= rest_mm), None)
            if fits is None:
                left_mm.append(tube_mm - rest_mm)
            else:
                left_mm[fits] -= rest_mm
    return len(left_mm)


def pours(
    building: Building, bag_kg: float, ready_mix_from_mm3: float, waste: float
) -> Iterator[Amount]:
    """What to order for each stage that casts some.

    What is left over of a bag or a load does not keep.

    Args:
        building: The building.
        bag_kg: Dry mix in a bag, kg.
        ready_mix_from_mm3: From this much on in one pour, waste included, it comes by truck, mm3.
        waste: Share to buy beyond what is drawn, from 0.
    """
    units = building.scene.units
    for stage in building.stages:
        cast = tuple(part for part in stage.parts if part.kind.row.bought is Bought.CONCRETE)
        if not cast:
            continue
        volume = sum(part.volume_mm3 for part in cast)
        needed = volume * (1 + waste)
        sum_ = f"{shown(volume, 'volume', units)} and {percent(waste)} = "
        sum_ += shown(needed, "volume", units)
        if needed >= ready_mix_from_mm3:
            step = READY_MIX_STEP_MM3[units]
            steps = whole(needed / step)
            # Concrete is ordered in cubic yards where the tables have cubic feet.
            ordered = f"{steps / 4:g} {'yd3' if units == 'imperial' else 'm3'}"
            yield Amount(
                Thing.READY_MIX,
                "concrete",
                stage.name,
                cast,
                "volume",
                volume,
                steps * step,
                f"{sum_}, up to a whole {READY_MIX_STEPS[units]}: {ordered}",
                PRACTICE,
            )
        else:
            yield_mm3 = bag_kg * MIX_YIELD_MM3_PER_KG
            bags = whole(needed / yield_mm3)
            yield Amount(
                Thing.BAGGED_MIX,
                f"concrete mix, {pack_text(bag_kg, units)} bag",
                stage.name,
                cast,
                "pieces",
                volume / yield_mm3,
                bags,
                f"{sum_}; / {in_units(yield_mm3, 'volume', units):.4g} a bag = {bags}, "
                f"{format_mass(bags * bag_kg, units)} to carry and mix",
                BAG_RULE,
            )


def curing(building: Building) -> Iterator[Amount]:
    """Curing compound for the top of each slab, where the scene says what it covers."""
    units, spread_m2_l = building.scene.units, building.scene.concrete.curing
    if spread_m2_l is None:
        return
    for slab in slabs(building):
        length, depth = sides_mm(slab)
        # A litre is 1e6 mm3 and covers so many m2 of 1e6 mm2: mm2 over m2/l are mm3.
        needed = length * depth / spread_m2_l
        cans = whole(needed / CURING_CAN_MM3[units])
        yield Amount(
            Thing.CURING_COMPOUND,
            "curing compound",
            f"top of the {slab.name}",
            (slab,),
            "volume",
            needed,
            cans * CURING_CAN_MM3[units],
            f"{shown(length * depth, 'area', units)} / "
            f"{format_number(spread_m2_l, 'spread', units)}; on the day it is poured, as soon as "
            "the water on it is gone",
            PRACTICE,
        )

"""Paint and primer for the walls and the woodwork outside, by coats and spread rate.

    paints(building, coats=2, primer_coats=1, spread_m2_l=8.6, waste=0.1) -> tuple[Amount, ...]

One paint for all of it. Fascias, barge boards, soffits, casings, door frames and leaves are painted
on the faces that are seen, and primed all round; bought windows and steel leaves are not.
"""

from __future__ import annotations

from pikepole_export.derive.buying.amounts import (
    PRACTICE,
    Amount,
    Thing,
    check_above_zero,
    check_share,
    percent,
    shown,
    whole,
)
from pikepole_export.derive.inventory.areas import outside
from pikepole_model.building.kinds import CLADDING, LEAF, SLATS, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.units import FOOT_MM, INCH_MM, Units

LITRE_MM3 = 1e6
WOODWORK = "fascias, barge boards, casings and doors"
_WOODWORK = (LEAF - {Kind.STEEL_LEAF}) | {
    Kind.FASCIA,
    Kind.BARGE,
    Kind.SOFFIT,
    Kind.CASING,
    Kind.WALL_CAP,
    Kind.TRACK_BOARD,
    Kind.FRAME_BOARD,
}

# A US gallon is 231 cubic inches; paint is sold in quarts of it, or in litres.
GALLON_MM3 = 231 * INCH_MM**3
CAN_MM3: dict[Units, float] = {"imperial": GALLON_MM3 / 4, "metric": LITRE_MM3}

# 350 ft2 to the US gallon, the low end of what cans promise on smooth wood.
SPREAD_M2_L = 8.6


def paints(
    building: Building,
    *,
    coats: int = 2,
    primer_coats: int = 1,
    spread_m2_l: float = SPREAD_M2_L,
    waste: float = 0.1,
) -> tuple[Amount, ...]:
    """What to buy of each primer and paint.

    Args:
        building: The building.
        coats: Coats of paint, from 0.
        primer_coats: Coats of primer, from 0.
        spread_m2_l: What a litre covers once, m2.
        waste: Share to buy beyond that, from 0.

    Raises:
        ValueError: a number is below 0, or the spread is 0.
    """
    check_share("paint.waste", waste)
    check_above_zero("paint.spread", spread_m2_l)
    for name, number in (("paint.coats", coats), ("paint.primer_coats", primer_coats)):
        if number < 0:
            raise ValueError(f"{name} = {number}: give a whole number from 0")
    walls = [*outside(building)]
    parts = tuple(part for part in building.parts if part.kind in CLADDING | SLATS) or tuple(
        part for part in building.parts if part.kind == Kind.WALL_SHEET
    )
    units = building.scene.units
    if units == "imperial":
        spread = f"{spread_m2_l * 1e6 / LITRE_MM3 * GALLON_MM3 / FOOT_MM**2:.0f} ft2 a gallon"
    else:
        spread = f"{spread_m2_l:g} m2 a litre"

    def amount(
        thing: Thing, item: str, where: str, own: tuple[Part, ...], area_mm2: float, times: int
    ) -> Amount:
        net_mm3 = area_mm2 * times / (spread_m2_l * 1e6) * LITRE_MM3
        cans = whole(net_mm3 * (1 + waste) / CAN_MM3[units])
        if units == "imperial":
            bought = f"{net_mm3 / GALLON_MM3:.2f} gal; and {percent(waste)}: {cans / 4:g} gal"
        else:
            bought = f"{net_mm3 / LITRE_MM3:.2f} l; and {percent(waste)}: {cans} l"
        return Amount(
            thing,
            item,
            where,
            own,
            "volume",
            net_mm3,
            cans * CAN_MM3[units],
            f"{shown(area_mm2, 'area', units)} x {times} coat{'s' if times > 1 else ''} / "
            f"{spread} = {bought}",
            f"spread as the can says, waste: {PRACTICE}",
        )

    primed_mm2 = sum(surface.primer_area_mm2 for surface in walls)
    painted_mm2 = sum(surface.area_mm2 for surface in walls)
    wood = tuple(part for part in building.parts if part.kind in _WOODWORK)
    seen_mm2 = sum(_seen_mm2(part) for part in wood)
    round_mm2 = sum(_round_mm2(part) for part in wood)
    return tuple(
        amount(thing, item, where, own, area_mm2, times)
        for thing, item, where, own, area_mm2, times in (
            (Thing.PRIMER, "primer", "walls outside", parts, primed_mm2, primer_coats),
            (Thing.PAINT, "paint", "walls outside", parts, painted_mm2, coats),
            (Thing.PRIMER, "primer", WOODWORK, wood, round_mm2, primer_coats),
            (Thing.PAINT, "paint", WOODWORK, wood, seen_mm2, coats),
        )
        if area_mm2 and times
    )


def _seen_mm2(part: Part) -> float:
    """The face that is seen; both of a door's leaf."""
    sides = 2 if part.kind in LEAF else 1
    return sides * part.length_mm * part.across_mm[1]


def _round_mm2(part: Part) -> float:
    thick_mm, wide_mm = part.across_mm
    long_mm = part.length_mm
    return 2 * (long_mm * wide_mm + long_mm * thick_mm + wide_mm * thick_mm)

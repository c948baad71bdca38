"""The anchor bolts of each bottom plate, held against the rule.

    plate_bolts(building) -> tuple[PlateBolts, ...]     a row for each plate on a slab
    bolt_findings(rows, units) -> tuple[Finding, ...]   where a plate does not keep to the rule

A bolt near a plate's end stands within 12 in of it: NOT MORE than 12 in, and not less than seven
diameters. A widely read summary of the rule has it the other way round.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from pikepole_export.derive.buying.amounts import whole
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.errors import Finding, and_more
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.plan.anchor_bolts import (
    DIAMETERS_FROM_END,
    FARTHEST_FROM_END_MM,
    LEAST_EMBEDMENT_MM,
    ONE_BOLT_UP_TO_MM,
)
from pikepole_model.scene.foundation import Pad
from pikepole_model.units import INCH_MM, Units, format_length

FARTHEST_APART_MM = 72 * INCH_MM
# M12 is taken for 1/2 in where bolts are sold by the millimetre: common practice, no source.
LEAST_DIAMETER_MM: dict[Units, float] = {"imperial": INCH_MM / 2, "metric": 12.0}

SOURCE = "IRC R403.1.6"


@dataclass(frozen=True, slots=True)
class PlateBolts:
    """The bolts of one length of bottom plate.

    Attributes:
        plate: Its name.
        length_mm: Its length, mm.
        places_mm: Each bolt from the plate's left or front end, in rising order, mm.
        off_middle_mm: How far the one farthest from the plate's middle line is off it, mm.
        width_mm: Of the plate, mm.
        diameter_mm: Of the bolts, mm.
        embedment_mm: Of the bolt that reaches down least, mm.
    """

    plate: str
    length_mm: float
    places_mm: tuple[float, ...]
    off_middle_mm: float
    width_mm: float
    diameter_mm: float
    embedment_mm: float

    @property
    def least(self) -> int:
        """Fewest bolts that the rule lets a plate of this length have."""
        return least_bolts(self.length_mm)


def least_bolts(length_mm: float) -> int:
    """Fewest bolts in a length of plate: the end ones 12 in from its ends, 6 ft between them.

    Source: arithmetic on IRC R403.1.6.
    """
    if length_mm <= ONE_BOLT_UP_TO_MM:
        return 1
    return max(2, 1 + whole((length_mm - 2 * FARTHEST_FROM_END_MM) / FARTHEST_APART_MM))


def plate_bolts(building: Building) -> tuple[PlateBolts, ...]:
    """Every bottom plate that stands on a slab, with its bolts; none where there is no slab."""
    pad = building.scene.foundation
    if not isinstance(pad, Pad):
        return ()
    slabs = {part.name for part in building.parts if part.kind == Kind.SLAB}
    bolts = {part.name: part for part in building.parts if part.kind == Kind.ANCHOR_BOLT}
    rows: list[PlateBolts] = []
    for plate in building.parts:
        mates = building.mates[plate.name]
        if plate.kind == Kind.BOTTOM_PLATE and mates & slabs:
            own = [bolt for name, bolt in bolts.items() if name in mates]
            rows.append(_row(plate, own, pad.bolt_diameter))
    return tuple(rows)


def _row(plate: Part, bolts: list[Part], diameter_mm: float) -> PlateBolts:
    low, high = plate.bounds_mm
    size = [b - a for a, b in zip(low, high, strict=True)]
    along = 0 if size[0] >= size[1] else 1
    across = 1 - along
    middle = (low[across] + high[across]) / 2
    return PlateBolts(
        plate=plate.name,
        length_mm=size[along],
        places_mm=tuple(sorted(bolt.centre_mm[along] - low[along] for bolt in bolts)),
        off_middle_mm=max((abs(bolt.centre_mm[across] - middle) for bolt in bolts), default=0.0),
        width_mm=size[across],
        diameter_mm=diameter_mm,
        embedment_mm=min((low[2] - bolt.bounds_mm[0][2] for bolt in bolts), default=0.0),
    )


def bolt_findings(rows: Iterable[PlateBolts], units: Units) -> tuple[Finding, ...]:
    """One for each thing in which plates do not keep to IRC R403.1.6, however many they are."""
    plates: dict[tuple[str, str, str], list[str]] = {}
    for row in rows:
        for found in _wrong(row, units):
            plates.setdefault(found, []).append(row.plate)
    return tuple(
        Finding(
            "other",
            f"{and_more(names)}: {wrong} ({SOURCE})",
            tuple(names),
            key=f"foundation{key}",
            mend=mend,
        )
        for (key, wrong, mend), names in plates.items()
    )


def _wrong(row: PlateBolts, units: Units) -> Iterator[tuple[str, str, str]]:
    """The key in the foundation, what is wrong, and how to put it right."""

    def up(length_mm: float) -> str:
        return format_length(length_mm, units, "up")

    def down(length_mm: float) -> str:
        return format_length(length_mm, units, "down")

    nearest_mm = DIAMETERS_FROM_END * row.diameter_mm
    closer = f"give at most {down(FARTHEST_APART_MM)}"
    by_hand = f"set one by hand, {up(nearest_mm)} to {down(FARTHEST_FROM_END_MM)} from the end"
    missing = row.least - len(row.places_mm)
    if missing > 0:
        wrong = f"{len(row.places_mm)} anchor bolts, at least {row.least} are asked for"
        yield "", wrong, f"set {missing} more by hand"
    if not row.places_mm:
        return
    ends = (row.places_mm[0], row.length_mm - row.places_mm[-1])
    # A plate that one bolt may hold has it in its middle.
    if len(row.places_mm) > 1 and max(ends) > FARTHEST_FROM_END_MM + TOLERANCE_MM:
        wrong = (
            f"the end bolt is {up(max(ends))} from the end, "
            f"at most {down(FARTHEST_FROM_END_MM)} is asked for"
        )
        yield "", wrong, by_hand
    if min(ends) < nearest_mm - TOLERANCE_MM:
        wrong = (
            f"a bolt is {down(min(ends))} from the end, "
            f"at least 7 diameters, {up(nearest_mm)}, is asked for"
        )
        yield "", wrong, by_hand
    widest = max((b - a for a, b in itertools.pairwise(row.places_mm)), default=0.0)
    if widest > FARTHEST_APART_MM + TOLERANCE_MM:
        wrong = f"bolts {up(widest)} apart, at most {down(FARTHEST_APART_MM)} is asked for"
        yield ".bolt_spacing", wrong, closer
    if row.off_middle_mm > row.width_mm / 6 + TOLERANCE_MM:
        wrong = "a bolt is outside the middle third of the plate's width"
        yield "", wrong, "set it by hand in the middle third"
    if row.diameter_mm < LEAST_DIAMETER_MM[units] - TOLERANCE_MM:
        least = f"at least {up(LEAST_DIAMETER_MM[units])}"
        wrong = f"bolts {down(row.diameter_mm)} thick, {least} is asked for"
        yield ".bolt_diameter", wrong, f"give {least}"
    if row.embedment_mm < LEAST_EMBEDMENT_MM - TOLERANCE_MM:
        least = f"at least {up(LEAST_EMBEDMENT_MM)}"
        wrong = f"a bolt is {down(row.embedment_mm)} deep in the concrete, {least} is asked for"
        yield ".bolt_embedment", wrong, f"give {least}"

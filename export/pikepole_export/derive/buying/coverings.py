"""What is unrolled, taped and sealed over the building, and its paint.

    coverings(building, roll_waste=0.05, ...) -> tuple[Amount, ...]

Lengths are those of the pieces as laid, their laps included. Wrap and underlayment may go on from
one roll to the next in the middle of a course, lapped as lengths of a roll are; a piece over a sill
is whole. A course narrower than its roll still takes the roll's full width.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import shapely

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
from pikepole_export.derive.buying.closures import closures
from pikepole_export.derive.buying.paint import SPREAD_M2_L, paints
from pikepole_export.derive.inventory.areas import UP, kinds_of, walls_of
from pikepole_export.derive.measures.bends import bends
from pikepole_export.derive.measures.projection import projection
from pikepole_model.building.kind_rows import Bought
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, PanelRecord, Part, RollRecord
from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.spacing import TOLERANCE_MM
from pikepole_model.stock.rows import Roll
from pikepole_model.units import INCH_MM, Units, format_length, plural

# A roll of seam tape is 50 m (164 ft) long; a cartridge of sealant holds 300 ml, its bead is 1/4 in
# thick.
TAPE_MM = 50_000.0
CARTRIDGE_MM3, BEAD_MM = 300_000.0, INCH_MM / 4


def coverings(
    building: Building,
    *,
    roll_waste: float = 0.05,
    run_waste: float = 0.05,
    coats: int = 2,
    primer_coats: int = 1,
    spread_m2_l: float = SPREAD_M2_L,
    paint_waste: float = 0.1,
    bead_mm: float = BEAD_MM,
) -> tuple[Amount, ...]:
    """Rolls, tape, sealant, closures and paint.

    Args:
        building: The building.
        roll_waste: Share of rolls to buy beyond what is laid, from 0.
        run_waste: Share of tape, sealant and closures to buy beyond what is laid, from 0.
        coats: Coats of paint, from 0.
        primer_coats: Coats of primer, from 0.
        spread_m2_l: What a litre of either covers once, m2.
        paint_waste: Share of paint to buy beyond what is laid on, from 0.
        bead_mm: Thickness of a bead of sealant, mm.

    Raises:
        ValueError: a share or a number of coats is below 0, or a size is not above 0.
    """
    check_share("waste.rolls", roll_waste)
    check_share("waste.runs", run_waste)
    check_above_zero("sealant.bead", bead_mm)
    return (
        *_rolls(building, roll_waste),
        *_membranes(building, roll_waste),
        *_tape(building, run_waste),
        *_sealant(building, run_waste, bead_mm),
        *closures(building, run_waste),
        *paints(
            building,
            coats=coats,
            primer_coats=primer_coats,
            spread_m2_l=spread_m2_l,
            waste=paint_waste,
        ),
    )


def rolls_unbroken(total_mm: float, roll: Roll, waste: float) -> int:
    """How many rolls a length takes that goes on from one roll to the next with an end lap.

    n rolls hold n x length less n - 1 laps.

    Args:
        total_mm: The length, mm.
        roll: What it is rolled off.
        waste: Share to add to the length, from 0.
    """
    needed_mm = total_mm * (1 + waste)
    return max(1, whole((needed_mm - roll.end_lap_mm) / (roll.length_mm - roll.end_lap_mm)))


def rolls_whole(pieces_mm: Sequence[float], roll: Roll, waste: float) -> int:
    """How many rolls give pieces that are each whole, cut one after another as they are needed.

    A roll whose rest is too short for the next piece is laid aside. A piece longer than a roll is
    joined from whole rolls and what is cut from the last.

    Args:
        pieces_mm: Their lengths in order, mm.
        roll: What they are cut from.
        waste: Share to add to each length, from 0.
    """
    count, left_mm = 0, 0.0
    for piece_mm in pieces_mm:
        needed_mm = piece_mm * (1 + waste)
        if needed_mm > left_mm + TOLERANCE_MM:
            more = whole(needed_mm / roll.length_mm)
            count, left_mm = count + more, more * roll.length_mm
        left_mm -= needed_mm
    return count


def _by_stock(building: Building, bought: Bought) -> dict[str, list[Part]]:
    piles: dict[str, list[Part]] = {}
    for part in building.parts:
        if part.kind.row.bought is bought:
            piles.setdefault(part.stock, []).append(part)
    return piles


def _rolls(building: Building, waste: float) -> Iterator[Amount]:
    units = building.scene.units
    for stock, parts in _by_stock(building, Bought.ROLL).items():
        roll = building.scene.catalogue.find_roll(stock)
        total_mm = sum(part.length_mm for part in parts)
        yield Amount(
            Thing.ROLL,
            stock,
            kinds_of(parts),
            tuple(parts),
            "pieces",
            total_mm / roll.length_mm,
            rolls_unbroken(total_mm, roll, waste),
            f"{plural(len(parts), 'piece')}, {shown(total_mm, 'run', units)} together, and "
            f"{percent(waste)}, from rolls of {shown(roll.length_mm, 'run', units)} that lap "
            f"{format_length(roll.end_lap_mm, units)} where one follows another",
            f"{roll.source}; waste: {PRACTICE}",
        )


def _membranes(building: Building, waste: float) -> Iterator[Amount]:
    units = building.scene.units
    for stock, parts in _by_stock(building, Bought.ROLL_PIECES).items():
        roll = building.scene.catalogue.find_roll(stock)
        pieces_mm = [_roll_mm(part) for part in parts]
        yield Amount(
            Thing.ROLL,
            stock,
            kinds_of(parts),
            tuple(parts),
            "pieces",
            sum(pieces_mm) / roll.length_mm,
            rolls_whole(pieces_mm, roll, waste),
            f"{pieces_text(pieces_mm, units)} and {percent(waste)}, each "
            f"whole, from rolls of {shown(roll.length_mm, 'run', units)}",
            f"{roll.source}; waste: {PRACTICE}",
        )


def _roll_mm(part: Part) -> float:
    """How long the piece of a roll is that it is folded from, mm."""
    assert isinstance(part.record, RollRecord)
    return part.record.length_mm


def pieces_text(lengths_mm: Sequence[float], units: Units) -> str:
    """Lengths for people, equal ones counted, longest first."""
    found = Counter(format_length(length_mm, units, "up") for length_mm in sorted(lengths_mm)[::-1])
    return ", ".join(f"{count} x {text}" for text, count in found.items())


def seams_mm(parts: Sequence[Part], along: Vector) -> float:
    """How long the edges are that lie on another piece of the same wall's wrap, mm.

    Where two pieces lap, the lap is a strip: its area over its width is the seam's length. A square
    patch, where four pieces meet, has its seams in the strips that cross there.

    Args:
        parts: The pieces on one wall.
        along: The way along that wall.
    """
    seen = [projection(part, along, UP) for part in parts]
    total_mm = 0.0
    for one, other in combinations(seen, 2):
        lapped = shapely.intersection(one, other)
        if lapped.is_empty or lapped.area == 0:
            continue
        u0, v0, u1, v1 = lapped.bounds
        wide, long = sorted((u1 - u0, v1 - v0))
        if not math.isclose(wide, long, rel_tol=1e-6):
            total_mm += lapped.area / wide
    return total_mm


def _tape(building: Building, waste: float) -> Iterator[Amount]:
    units = building.scene.units
    wrap = [
        (
            along,
            [
                part
                for part in building.parts
                if part.kind == Kind.WRAP and part.group == f"{wall} wall wrap"
            ],
        )
        for wall, (_, along) in walls_of(building.scene).items()
    ]
    total_mm = sum(seams_mm(parts, along) for along, parts in wrap)
    if total_mm:
        yield Amount(
            Thing.SEAM_TAPE,
            "seam tape",
            "house wrap",
            tuple(part for _, parts in wrap for part in parts),
            "pieces",
            total_mm / TAPE_MM,
            whole(total_mm * (1 + waste) / TAPE_MM),
            f"{shown(total_mm, 'run', units)} of seams and {percent(waste)}, from rolls of "
            f"{shown(TAPE_MM, 'run', units)}; openings not counted; felt is lapped without tape",
            PRACTICE,
        )


@dataclass(frozen=True, slots=True)
class Trim:
    """All pieces of one kind that are bent from flat steel of one width, to whatever profile.

    Attributes:
        stock: Flat steel that they are bent from.
        kind: What they are.
        girth_mm: Width of flat steel that goes into the profile.
        parts: The pieces.
    """

    stock: str
    kind: Kind
    girth_mm: float
    parts: tuple[Part, ...]


def trims(building: Building) -> tuple[Trim, ...]:
    """What is bent to order; not the corner pieces."""
    units = building.scene.units
    named = {part.name: part for part in building.parts}
    piles: dict[tuple[str, Kind, float], list[Part]] = {}
    for bend in bends(building):
        key = (bend.stock, bend.kind, bend.girth_mm(units))
        piles.setdefault(key, []).extend(named[name] for name in bend.names)
    return tuple(Trim(*key, tuple(parts)) for key, parts in piles.items())


def _sealant(building: Building, waste: float, bead_mm: float) -> Iterator[Amount]:
    roofing = building.scene.roofing
    if not roofing or not roofing.sealed:
        return
    units = building.scene.units
    total_mm = sum(
        part.length_mm
        for part in building.parts
        if isinstance(part.record, PanelRecord) and part.record.laps
    )
    per_mm = CARTRIDGE_MM3 / (math.pi / 4 * bead_mm**2)
    if total_mm:
        yield Amount(
            Thing.SEALANT,
            "sealant, 300 ml cartridge",
            "side laps of the roof panels",
            tuple(part for part in building.parts if part.kind == Kind.PANEL),
            "pieces",
            total_mm / per_mm,
            whole(total_mm * (1 + waste) / per_mm),
            f"{shown(total_mm, 'run', units)} of laps and {percent(waste)}; a round bead "
            f"{format_length(bead_mm, units)} thick is {shown(per_mm, 'run', units)} a cartridge",
            f"300 ml over the bead's section; bead, waste: {PRACTICE}",
        )

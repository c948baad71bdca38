"""What is ordered by amounts counted elsewhere: ground, concrete, rolls, tape, paint, fasteners.

supplies(building, put_up) -> Iterator[Purchase]
bought_by_amount(building) -> Iterator[Purchase]    those that are no fasteners
ordered(building) -> Iterator[Amount]           what of it is no fastener
not_ordered(building) -> tuple[Amount, ...]     work, and what the reader has to decide
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import assert_never

from pikepole_export.derive.buying.amounts import Amount, Thing, whole
from pikepole_export.derive.buying.coverings import TAPE_MM, coverings
from pikepole_export.derive.buying.fasteners import Box, bought_as, boxes, fasteners
from pikepole_export.derive.buying.ground import ground
from pikepole_export.derive.buying.paint import CAN_MM3
from pikepole_export.derive.buying.purchase import (
    BULK,
    RUN,
    Purchase,
    Supplier,
    names_of,
    unit_of,
    used_by,
)
from pikepole_export.derive.buying.put_up import AS_DRAWN, PutUp
from pikepole_export.derive.buying.sundries import choices, sundries
from pikepole_export.derive.buying.wording import (
    box_text,
    in_words,
    rating_text,
    short_length,
    sold_length,
    sold_size,
)
from pikepole_model.building.fastenings import Pack
from pikepole_model.building.kinds import ANCHORS, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.remaining import remaining
from pikepole_model.scene.buying import PER, Paint, Per
from pikepole_model.scene.buying import Amount as SoldBy
from pikepole_model.scene.schema import Scene
from pikepole_model.units import FOOT_MM, INCH_MM, Units, in_units

# Common practice, no source: gravel under a floor has no fines in it, and comes by the half yard or
# half cubic metre; anchor bolts come in steps of 2 in or 20 mm.
GRAVEL_SORT = {"imperial": "clean, 3/4 in", "metric": "clean, 20 mm"}
GRAVEL_STEP_MM3 = {"imperial": (3 * FOOT_MM) ** 3 / 2, "metric": 1e9 / 2}
ANCHOR_STEP_MM = {"imperial": 2 * INCH_MM, "metric": 20.0}
# What IRC R402.2 asks of footings and slabs at the least, and the next class above in EN 206; both
# from memory.
LEAST_MIX = {"imperial": "2500 psi or more", "metric": "C20/25 or more"}
CANS: dict[Units, Per] = {"imperial": "gal", "metric": "l"}


def supplies(building: Building, put_up: PutUp = AS_DRAWN) -> Iterator[Purchase]:
    """Ground, concrete, coverings and fasteners.

    Args:
        building: The building.
        put_up: How its walls are put up.
    """
    yield from bought_by_amount(building)
    yield from _fasteners(building, put_up)


def bought_by_amount(building: Building) -> Iterator[Purchase]:
    """Ground, concrete and coverings, for what is still to be built."""
    for amount in ordered(remaining(building)):
        yield _purchase(amount, building)


def ordered(building: Building) -> Iterator[Amount]:
    """Ground, concrete, coverings and what is easily forgotten, a thing in one row."""
    small = sundries(building, building.scene.waste.runs / 100)
    return _together((*_in_the_ground(building), *_over_it(building), *small))


def not_ordered(building: Building) -> tuple[Amount, ...]:
    """What the ground takes and nobody orders: work, and what the reader has to choose."""
    left, words = remaining(building), building.scene.english
    work = (amount for amount in _in_the_ground(left) if amount.buy is None)
    return tuple(
        replace(
            one,
            item=in_words(one.item, words),
            where=in_words(one.where, words),
            how=in_words(one.how, words),
        )
        for one in (*work, *choices(left))
    )


def _in_the_ground(building: Building) -> tuple[Amount, ...]:
    scene = building.scene
    return ground(
        building,
        bag_kg=scene.concrete.bag,
        ready_mix_from_mm3=scene.concrete.ready_mix_from,
        waste=scene.concrete.waste / 100,
        gravel_waste=scene.waste.gravel / 100,
    )


def _over_it(building: Building) -> tuple[Amount, ...]:
    """Rolls, tape, sealant; paint where the scene asks for it."""
    scene, paint = building.scene, building.scene.paint or Paint()
    coats, primer_coats = (paint.coats, paint.primer_coats) if scene.paint else (0, 0)
    return coverings(
        building,
        roll_waste=scene.waste.rolls / 100,
        run_waste=scene.waste.runs / 100,
        coats=coats,
        primer_coats=primer_coats,
        spread_m2_l=paint.spread,
        paint_waste=paint.waste / 100,
    )


def _together(amounts: Iterable[Amount]) -> Iterator[Amount]:
    """What is ordered, a thing in one row; concrete has a row for each stage that casts some."""
    rows: dict[tuple[Thing, str, int], list[Amount]] = {}
    order = list(Thing)
    for amount in sorted(amounts, key=lambda one: order.index(one.thing)):
        if amount.buy is not None:
            cast = amount.thing in (Thing.READY_MIX, Thing.BAGGED_MIX)
            stage = amount.parts[0].stage if cast else 0
            rows.setdefault((amount.thing, amount.item, stage), []).append(amount)
    for row in rows.values():
        yield replace(
            row[0],
            where=", ".join(amount.where for amount in row),
            parts=tuple({part.name: part for amount in row for part in amount.parts}.values()),
            net=sum(amount.net or 0.0 for amount in row),
            buy=sum(amount.buy or 0.0 for amount in row),
            how="; ".join(amount.how for amount in row),
        )


def _purchase(amount: Amount, building: Building) -> Purchase:
    """Who sells an amount, and how it is asked for.

    Raises:
        ValueError: it is work, which nobody sells.
    """
    units, catalogue, buy = building.scene.units, building.scene.catalogue, amount.buy or 0.0
    match amount.thing:
        case Thing.GRAVEL:
            loads = replace(
                amount, buy=GRAVEL_STEP_MM3[units] * whole(buy / GRAVEL_STEP_MM3[units])
            )
            density_kg_m3 = amount.parts[0].material.density_kg_m3[0]  # loose
            return _sold(
                loads,
                Supplier.GROUND,
                units,
                is_in=True,
                also={"mass": (loads.buy or 0.0) * 1e-9 * density_kg_m3},
                asked=f"{amount.item}, {GRAVEL_SORT[units]}, "
                f"{buy / PER[BULK[units]][1]:.2f} {BULK[units]} needed",
            )
        case Thing.FORM_TUBE:
            return _sold(amount, Supplier.GROUND, units, pack="tube")
        case Thing.FORM_BOARDS:
            high_mm = max(high[2] - low[2] for low, high in (one.bounds_mm for one in amount.parts))
            asked = f"{amount.item}, {short_length(high_mm, units)} high"
            return _sold(amount, Supplier.GROUND, units, asked=asked)
        case Thing.VAPOUR_RETARDER:
            return _sold(amount, Supplier.GROUND, units)
        case Thing.READY_MIX:
            mix = building.scene.concrete.mix or LEAST_MIX[units]
            mass_kg = buy * 1e-9 * amount.parts[0].material.density_kg_m3[1]
            return _sold(
                amount,
                Supplier.GROUND,
                units,
                is_in=True,
                made_of="ready-mix",
                also={"mass": mass_kg},
                asked=f"{amount.item}, ready-mix, {mix}",
            )
        case Thing.BAGGED_MIX:
            asked = amount.item.removesuffix(" bag")
            return _sold(amount, Supplier.GROUND, units, is_in=True, asked=asked, pack="bag")
        case Thing.MESH:
            mesh = catalogue.find_mesh(amount.item)
            size_mm = (mesh.width_mm, mesh.length_mm)
            asked = f"{amount.item}, {sold_size(size_mm, units)}"
            return _sold(amount, Supplier.GROUND, units, size_mm=size_mm, asked=asked, pack="sheet")
        case Thing.CURING_COMPOUND:
            return _sold(amount, Supplier.GROUND, units, unit=CANS[units])
        case Thing.BAR:
            bar_mm = catalogue.find_bar(amount.item).length_mm
            bars = replace(
                amount,
                quantity="pieces",
                net=(amount.net or 0.0) / bar_mm,
                buy=whole(buy / bar_mm),
            )
            return _sold(
                bars,
                Supplier.GROUND,
                units,
                size_mm=(bar_mm,),
                also={"length": buy},
                asked=f"{amount.item} x {sold_length(bar_mm, units)}",
            )
        case Thing.ROLL:
            roll = catalogue.find_roll(amount.item)
            size_mm = (roll.width_mm, roll.length_mm)
            asked = f"{amount.item}, {sold_size(size_mm, units)}"
            return _sold(
                amount,
                Supplier.LUMBER,
                units,
                is_in=True,
                size_mm=size_mm,
                asked=asked,
                pack="roll",
            )
        case Thing.SEAM_TAPE:
            asked = f"{amount.item}, {in_units(TAPE_MM, 'run', units):.0f} {RUN[units]}"
            return _sold(amount, Supplier.LUMBER, units, asked=asked, pack="roll")
        case Thing.SEALANT | Thing.ADHESIVE:
            size = "10 fl oz" if units == "imperial" else "300 ml"
            asked = amount.item.replace("300 ml cartridge", size)
            return _sold(amount, Supplier.IRONMONGER, units, asked=asked, pack="cartridge")
        case Thing.CLOSURE:
            return _sold(amount, Supplier.IRONMONGER, units, pack="strip")
        case Thing.SHIMS:
            return _sold(amount, Supplier.LUMBER, units, pack="bundle")
        case Thing.CHALK:
            return _sold(amount, Supplier.IRONMONGER, units, pack="bottle")
        case Thing.PRESERVATIVE:
            return _sold(amount, Supplier.PAINT, units, pack="can")
        case Thing.PRIMER | Thing.PAINT:
            cans = buy / CAN_MM3[units]
            return _sold(
                amount,
                Supplier.PAINT,
                units,
                unit=CANS[units],
                also={"pieces": cans},
                asked=f"exterior {amount.item} for wood",
            )
        case Thing.EXCAVATION | Thing.SOIL | Thing.CONTROL_JOINT | Thing.CHOICE:
            raise ValueError(f"{amount.item} is work: nobody sells it")
        case _:
            assert_never(amount.thing)


def _sold(
    amount: Amount,
    supplier: Supplier,
    units: Units,
    *,
    unit: Per | None = None,
    made_of: str = "",
    size_mm: tuple[float, ...] = (),
    also: Mapping[SoldBy, float] | None = None,
    is_in: bool = False,
    asked: str = "",
    pack: str = "",
) -> Purchase:
    """An amount as it is bought.

    Args:
        amount: What is bought.
        supplier: Who sells it.
        units: What it is counted by for people, where it has no unit of its own.
        unit: Its own.
        made_of: What it is made of.
        size_mm: Length, or width and length, of each, mm; what has both is sold by the area too.
        also: The same order in other ways that it may be priced, mm, mm2, mm3, kg.
        is_in: Whether its parts come out of it; else they only need it.
        asked: How it is asked for; its name, size and make without.
        pack: What it comes in, one of them; a piece without.
    """
    assert amount.buy is not None
    assert amount.net is not None
    area: dict[SoldBy, float] = {"area": amount.buy * math.prod(size_mm)} if size_mm[1:] else {}
    return Purchase(
        supplier,
        amount.item,
        made_of,
        amount.where,
        size_mm,
        unit or unit_of(amount.quantity, units),
        amount.buy,
        amount.net,
        amount.how,
        {amount.quantity: amount.buy, **area, **(also or {})},
        used_by(amount.parts),
        names_of(amount.parts) if is_in else (),
        asked=asked,
        pack=pack,
    )


def _fasteners(building: Building, put_up: PutUp) -> Iterator[Purchase]:
    rows = fasteners(building, put_up)
    drawn: dict[str, list[Part]] = {}
    for part in remaining(building).parts:
        if name := bought_as(part):
            drawn.setdefault(name, []).append(part)
    for box in boxes(rows, building.scene.waste.fasteners):
        here = [row for row in rows if (row.fastener, row.finish) == (box.fastener, box.finish)]
        parts = drawn.pop(box.fastener, [])
        use: dict[int, float] = {}
        for row in here:
            use[row.stage] = use.get(row.stage, 0.0) + row.pieces
        in_boxes = box.box_pieces > 1
        pieces = box.boxes * box.box_pieces
        counted = "; ".join(dict.fromkeys(row.counted for row in here))
        yield Purchase(
            Supplier.IRONMONGER,
            box.fastener,
            box.finish,
            ", ".join(dict.fromkeys(row.joint for row in here)),
            tuple({part.length_mm: None for part in parts if part.kind in ANCHORS}),
            "box" if in_boxes else "piece",
            box.boxes,
            box.pieces / box.box_pieces,
            f"{box.pieces:,} and {box.waste_percent:g} %, in boxes of {box.box_pieces:,}"
            if in_boxes
            else ("as drawn" if parts else counted),
            {"boxes": box.boxes, "pieces": pieces} if in_boxes else {"pieces": pieces},
            use,
            names_of(parts),
            stock="" if box.sort == box.fastener else box.sort,
            asked=_asked(box, parts, building.scene),
        )


def _asked(box: Box, parts: Sequence[Part], scene: Scene) -> str:
    """A box, or what is sold singly by the lengths that it is sold in and what it is rated for."""
    units, step_mm = scene.units, ANCHOR_STEP_MM[scene.units]
    anchors_mm = {
        step_mm * whole(part.length_mm / step_mm) for part in parts if part.kind in ANCHORS
    }
    bars_mm = {part.length_mm for part in parts if part.kind is Kind.GROUND_ANCHOR}
    sold = [
        *(short_length(mm, units) for mm in sorted(anchors_mm)),
        *(sold_length(mm, units) for mm in sorted(bars_mm)),
    ]
    long = " and ".join(f"{length} long" for length in sold) or box.size
    size = ", ".join(filter(None, (long, rating_text(parts, scene))))
    pack = Pack(box.box_pieces, box.box_kg)
    return box_text(box.fastener, size, box.finish, pack, units)

"""What is ordered by amounts counted elsewhere: ground, concrete, rolls, tape, paint, fasteners.

supplies(building) -> Iterator[Purchase]
not_ordered(building) -> tuple[Amount, ...]     work, and what the reader has to decide
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from pikepole_export.derive.buying.amounts import Amount, pack_text, whole
from pikepole_export.derive.buying.coverings import coverings
from pikepole_export.derive.buying.fasteners import Box, boxes, fasteners
from pikepole_export.derive.buying.ground import ground
from pikepole_export.derive.buying.paint import CAN_MM3
from pikepole_export.derive.buying.purchase import (
    AREA,
    BULK,
    RUN,
    Purchase,
    Supplier,
    names_of,
    parts_of,
    used_by,
)
from pikepole_model.building.kind_rows import Bought
from pikepole_model.building.kinds import CLADDING, Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.buying import Amount as SoldBy
from pikepole_model.scene.buying import Paint, Per
from pikepole_model.units import Units

CANS: dict[Units, Per] = {"imperial": "gal", "metric": "l"}

_MEASURED: dict[str, SoldBy] = {
    "count": "pieces",
    "run": "length",
    "area": "area",
    "volume": "volume",
}


def supplies(building: Building) -> Iterator[Purchase]:
    """Ground, concrete, coverings and fasteners."""
    yield from _ground(building)
    yield from _coverings(building)
    yield from _fasteners(building)


def not_ordered(building: Building) -> tuple[Amount, ...]:
    """What the ground takes and nobody orders: work, and what the reader has to decide."""
    return tuple(amount for amount in _in_the_ground(building) if amount.buy is None)


def _in_the_ground(building: Building) -> tuple[Amount, ...]:
    scene = building.scene
    return ground(
        building,
        bag_kg=scene.concrete.bag,
        ready_mix_from_mm3=scene.concrete.ready_mix_from,
        waste=scene.concrete.waste / 100,
        gravel_waste=scene.waste.gravel / 100,
    )


def _ground(building: Building) -> Iterator[Purchase]:
    units = building.scene.units
    amounts = [a for a in _in_the_ground(building) if a.buy is not None and not a.is_another_way]
    beds = [amount for amount in amounts if amount.item == "gravel"]
    if beds:
        laid = parts_of(building, Kind.GRAVEL)
        loose_mm3 = sum(bed.buy or 0.0 for bed in beds)
        # What settles is not lost: all but the waste lies in the building.
        used_mm3 = loose_mm3 / (1 + building.scene.waste.gravel / 100)
        yield Purchase(
            Supplier.GROUND,
            "gravel",
            "",
            ", ".join(bed.where for bed in beds),
            (),
            BULK[units],
            loose_mm3,
            used_mm3,
            "; ".join(bed.how for bed in beds),
            {
                "volume": loose_mm3,
                "mass": loose_mm3 * 1e-9 * laid[0].material.density_kg_m3[0],
            },
            used_by(laid),
            names_of(laid),
        )
    stages = {stage.name: stage.parts for stage in building.stages}
    for amount in amounts:
        if "concrete" in amount.item and amount.where in stages:
            cast = [
                part for part in stages[amount.where] if part.kind.row.bought is Bought.CONCRETE
            ]
            if amount.quantity == "volume":
                amount = replace(amount, item="concrete")
                mass_kg = (amount.buy or 0.0) * 1e-9 * cast[0].material.density_kg_m3[1]
                yield _ordered(
                    amount,
                    Supplier.GROUND,
                    cast,
                    made_of="ready-mix",
                    names=names_of(cast),
                    unit=BULK[units],
                    sold_by={"mass": mass_kg},
                )
            else:
                yield _ordered(amount, Supplier.GROUND, cast, names=names_of(cast))
        elif amount.item.startswith("form"):
            formed = parts_of(building, Kind.FOOTING if amount.where == "footings" else Kind.SLAB)
            yield _ordered(amount, Supplier.GROUND, formed, unit=RUN[units])
    yield from _slab(building, amounts)


def _slab(building: Building, amounts: Sequence[Amount]) -> Iterator[Purchase]:
    """What lies in, under and on a slab; bars of one size together, by the length they come in."""
    units, catalogue = building.scene.units, building.scene.catalogue
    slabs = parts_of(building, Kind.SLAB)
    bars: dict[str, list[Amount]] = {}
    for amount in amounts:
        if amount.item in catalogue.bars:
            bars.setdefault(amount.item, []).append(amount)
        elif amount.item in catalogue.meshes:
            mesh = catalogue.find_mesh(amount.item)
            area_mm2 = (amount.buy or 0.0) * mesh.width_mm * mesh.length_mm
            yield _ordered(
                amount,
                Supplier.GROUND,
                slabs,
                size_mm=(mesh.width_mm, mesh.length_mm),
                sold_by={"area": area_mm2},
            )
        elif amount.item.startswith("vapour retarder"):
            yield _ordered(amount, Supplier.GROUND, slabs, unit=AREA[units])
        elif amount.item == "curing compound":
            yield _ordered(amount, Supplier.GROUND, slabs, unit=CANS[units])
    for name, rows in bars.items():
        bar = catalogue.find_bar(name)
        run_mm = sum(row.buy or 0.0 for row in rows)
        pieces = whole(run_mm / bar.length_mm)
        yield Purchase(
            Supplier.GROUND,
            name,
            "",
            ", ".join(row.where for row in rows),
            (bar.length_mm,),
            "piece",
            pieces,
            sum(row.net or 0.0 for row in rows) / bar.length_mm,
            "; ".join(row.how for row in rows),
            {"pieces": pieces, "length": run_mm},
            used_by(slabs),
        )


def _coverings(building: Building) -> Iterator[Purchase]:
    """Rolls, tape, sealant; paint where the scene asks for it: on the walls outside."""
    scene, rolls = building.scene, building.scene.catalogue.rolls
    paint = scene.paint or Paint()
    coats, primer_coats = (paint.coats, paint.primer_coats) if scene.paint else (0, 0)
    amounts = coverings(
        building,
        roll_waste=scene.waste.rolls / 100,
        run_waste=scene.waste.runs / 100,
        coats=coats,
        primer_coats=primer_coats,
        spread_m2_l=paint.spread,
        paint_waste=paint.waste / 100,
    )
    for amount in amounts:
        if amount.is_another_way:
            continue
        if amount.item in rolls:
            roll = rolls[amount.item]
            kinds = amount.where.split(", ")
            laid = [p for p in building.parts if p.stock == roll.name and p.kind in kinds]
            yield _ordered(
                amount,
                Supplier.LUMBER,
                laid,
                size_mm=(roll.width_mm, roll.length_mm),
                names=names_of(laid),
                sold_by={"area": (amount.buy or 0.0) * roll.width_mm * roll.length_mm},
            )
        elif amount.item == "seam tape":
            yield _ordered(amount, Supplier.LUMBER, parts_of(building, Kind.WRAP))
        elif amount.item.startswith("sealant"):
            yield _ordered(amount, Supplier.IRONMONGER, parts_of(building, Kind.PANEL))
        elif amount.where == "walls outside":
            clad = parts_of(building, *CLADDING) or parts_of(building, Kind.WALL_SHEET)
            cans = (amount.buy or 0.0) / CAN_MM3[scene.units]
            sold_by: dict[SoldBy, float] = {"pieces": cans}
            unit = CANS[scene.units]
            yield _ordered(amount, Supplier.PAINT, clad, unit=unit, sold_by=sold_by)


def _ordered(
    amount: Amount,
    supplier: Supplier,
    users: Sequence[Part],
    *,
    unit: Per = "piece",
    size_mm: tuple[float, ...] = (),
    names: tuple[str, ...] = (),
    made_of: str = "",
    sold_by: Mapping[SoldBy, float] | None = None,
) -> Purchase:
    """An amount as an order; `users` say which stages use it, `names` which parts it becomes."""
    assert amount.buy is not None
    assert amount.net is not None
    return Purchase(
        supplier,
        amount.item,
        made_of,
        amount.where,
        size_mm,
        unit,
        amount.buy,
        amount.net,
        amount.how,
        {_MEASURED[amount.quantity]: amount.buy, **(sold_by or {})},
        used_by(users),
        names,
    )


def _fasteners(building: Building) -> Iterator[Purchase]:
    rows = fasteners(building)
    drawn: dict[str, list[Part]] = {}
    for part in building.parts:
        if part.kind.row.bought is Bought.CONNECTOR:
            drawn.setdefault(part.stock, []).append(part)
        elif part.kind.row.bought is Bought.BOLT:
            drawn.setdefault(f"{part.stock} with nut and washer", []).append(part)
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
            tuple({part.length_mm: None for part in parts if part.kind == Kind.ANCHOR_BOLT}),
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
            size_as=_box_text(box, building.scene.units) if in_boxes else "",
        )


def _box_text(box: Box, units: Units) -> str:
    """A box as it is asked for."""
    if box.box_kg is None:
        return f"box of {box.box_pieces:,}"
    return f"box of {pack_text(box.box_kg, units)}, {box.box_pieces:,} nails"

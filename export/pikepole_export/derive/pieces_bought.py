"""What is ordered as the pieces of the building are drawn: boards, sheets, panels, trims, hardware.

pieces_bought(building, boards, sheets) -> Iterator[Purchase]
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pikepole_export.derive.coverings import pieces_text, trims
from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.sheets import StockPlan, sheet_of
from pikepole_export.derive.purchase import (
    RUN,
    Purchase,
    Supplier,
    kinds_of,
    names_of,
    parts_of,
    used_by,
)
from pikepole_model.part import Building, Kind, Part
from pikepole_model.scene.buying import Amount as SoldBy
from pikepole_model.units import format_length

# What is bought piece by piece as it is drawn, and where.
_SINGLY = {
    Kind.PIER: Supplier.GROUND,
    Kind.PACKER: Supplier.LUMBER,
    Kind.FLASHING_CORNER: Supplier.METAL,
    Kind.WINDOW_UNIT: Supplier.GLAZING,
    Kind.PANE: Supplier.GLAZING,
    Kind.HINGE: Supplier.IRONMONGER,
    Kind.TRACK: Supplier.IRONMONGER,
    Kind.TRACK_SPACER: Supplier.IRONMONGER,
    Kind.TRACK_STOP: Supplier.IRONMONGER,
    Kind.HANGER: Supplier.IRONMONGER,
    Kind.WHEEL: Supplier.IRONMONGER,
    Kind.GUIDE: Supplier.IRONMONGER,
}


def pieces_bought(
    building: Building, boards: Sequence[SectionPlan], sheets: Sequence[StockPlan]
) -> Iterator[Purchase]:
    """What parts are cut from, bent from, or bought as.

    Args:
        building: The building.
        boards: How its lumber is cut.
        sheets: How its sheets are cut.
    """
    yield from _lumber(building, boards)
    yield from _sheets(building, sheets)
    yield from _trims(building)
    yield from _panels(building)
    yield from _singly(building)


def _lumber(building: Building, plans: Sequence[SectionPlan]) -> Iterator[Purchase]:
    units = building.scene.units
    parts = {part.name: part for part in building.parts}
    for plan in plans:
        section = plan.section
        for stock in dict.fromkeys(board.stock for board in plan.plan.boards):
            boards = [board for board in plan.plan.boards if board.stock == stock]
            cut = [parts[piece.name] for board in boards for piece in board.pieces]
            length_mm = stock.length_mm * len(boards)
            used_mm = sum(part.length_mm for part in cut)
            yield Purchase(
                Supplier.LUMBER,
                section.name,
                plan.material,
                kinds_of(cut),
                (stock.length_mm,),
                "piece",
                len(boards),
                used_mm / stock.length_mm,
                f"{len(cut)} pieces of {format_length(used_mm, units)} together, cut as planned",
                {
                    "pieces": len(boards),
                    "length": length_mm,
                    "volume": length_mm * section.breadth_mm * section.depth_mm,
                },
                used_by(cut),
                names_of(cut),
                treated=plan.treated,
            )


def _sheets(building: Building, plans: Sequence[StockPlan]) -> Iterator[Purchase]:
    parts = {part.name: part for part in building.parts}
    for plan in plans:
        stock, sheets = plan.stock, plan.plan.sheets
        cut = [parts[placed.piece.name] for sheet in sheets for placed in sheet.placed]
        area_mm2 = stock.width_mm * stock.length_mm
        yield Purchase(
            Supplier.GLAZING if plan.is_pane else Supplier.LUMBER,
            stock.name,
            "",
            kinds_of(cut),
            (stock.width_mm, stock.length_mm),
            "piece",
            len(sheets),
            sum(part.volume_mm3 for part in cut) / stock.thickness_mm / area_mm2,
            f"{len(cut)} pieces, cut as planned",
            {"pieces": len(sheets), "area": len(sheets) * area_mm2},
            used_by(cut),
            names_of(cut),
        )


def _trims(building: Building) -> Iterator[Purchase]:
    units = building.scene.units
    for trim in trims(building):
        lengths_mm = [part.length_mm for part in trim.parts]
        run_mm = sum(lengths_mm)
        yield Purchase(
            Supplier.METAL,
            trim.stock,
            "",
            trim.kind.value,
            (trim.girth_mm,),
            RUN[units],
            run_mm,
            run_mm,
            f"bent from this width to lengths of {pieces_text(lengths_mm, units)}",
            {"length": run_mm, "area": run_mm * trim.girth_mm},
            used_by(trim.parts),
            names_of(trim.parts),
        )


def _panels(building: Building) -> Iterator[Purchase]:
    """Panels to length; one that is ripped is bought as wide as the widest."""
    found: dict[tuple[str, float], list[Part]] = {}
    widest_mm2: dict[str, float] = {}
    for part in parts_of(building, Kind.PANEL):
        found.setdefault((part.stock, round(part.length_mm, 3)), []).append(part)
        section_mm2 = part.volume_mm3 / part.length_mm
        widest_mm2[part.stock] = max(widest_mm2.get(part.stock, 0.0), section_mm2)
    for (stock, length_mm), parts in found.items():
        panel = building.scene.catalogue.find_panel(stock)
        run_mm = length_mm * len(parts)
        yield Purchase(
            Supplier.METAL,
            stock,
            "",
            Kind.PANEL.value,
            (length_mm,),
            "piece",
            len(parts),
            sum(part.volume_mm3 for part in parts) / length_mm / widest_mm2[stock],
            "each to length; a ripped one is bought whole; priced by area, as much as it covers",
            {"length": run_mm, "area": run_mm * panel.cover_mm},
            used_by(parts),
            names_of(parts),
        )


def _singly(building: Building) -> Iterator[Purchase]:
    found: dict[tuple[Kind, str, tuple[float, ...]], list[Part]] = {}
    for part in parts_of(building, *_SINGLY):
        if sheet_of(building.scene, part):
            continue
        found.setdefault((part.kind, _item(part), _size_mm(part)), []).append(part)
    for (kind, item, size_mm), parts in found.items():
        sold_by: dict[SoldBy, float] = {"pieces": len(parts)}
        if kind in (Kind.PANE, Kind.WINDOW_UNIT):
            sold_by["area"] = len(parts) * size_mm[0] * size_mm[1]
        if kind == Kind.FLASHING_CORNER:
            flat = building.scene.catalogue.find_flat(parts[0].stock)
            sold_by["area"] = sum(part.volume_mm3 for part in parts) / flat.thickness_mm
        yield Purchase(
            _SINGLY[kind],
            item,
            "",
            kind.value,
            size_mm,
            "piece",
            len(parts),
            len(parts),
            "cut to size" if kind == Kind.PANE else "as drawn",
            sold_by,
            used_by(parts),
            names_of(parts),
        )


def _item(part: Part) -> str:
    """What a piece is asked for by; hardware is drawn as steel and named by what it does."""
    if part.kind == Kind.WINDOW_UNIT:
        return part.material.name.removeprefix("window unit, ")
    return part.kind.value if part.stock == "steel" else part.stock


def _size_mm(part: Part) -> tuple[float, ...]:
    sides = sorted(round(side, 3) for side in part.shape.size_mm)
    if part.kind in (Kind.PANE, Kind.WINDOW_UNIT):
        return sides[1], sides[2]
    return (sides[2],) if part.kind == Kind.TRACK else ()

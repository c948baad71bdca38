"""What is ordered as the pieces of the building are drawn: boards, sheets, panels, trims, hardware.

pieces_bought(building, boards, sheets) -> Iterator[Purchase]
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import assert_never

from pikepole_export.derive.buying.amounts import whole
from pikepole_export.derive.buying.coverings import pieces_text, trims
from pikepole_export.derive.buying.door_sets import door_sets
from pikepole_export.derive.buying.purchase import (
    RUN,
    Purchase,
    Supplier,
    names_of,
    parts_of,
    used_by,
)
from pikepole_export.derive.buying.wording import (
    edge_asked,
    is_near_ground,
    lumber_text,
    sheet_text,
)
from pikepole_export.derive.cutting.cuts import SectionPlan
from pikepole_export.derive.cutting.nesting import StockSheet
from pikepole_export.derive.cutting.sheets import StockPlan, sheet_of
from pikepole_export.derive.inventory.areas import kinds_of
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.measures.bends import bent_mm
from pikepole_model.building.kind_rows import Bought
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.remaining import remaining
from pikepole_model.scene.buying import Amount as SoldBy
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.windows_doors import UnitWindow
from pikepole_model.units import MARK_MM, Units, format_length, format_mass, plural

_GLAZED = (Bought.PANE, Bought.WINDOW)
_BY_SIZE = (*_GLAZED, Bought.LEAF)
_WIDE_HIGH = "{} wide x {} high"

# Less than this of a sheet that is cut out again is no opening.
_CUT_OUT = 0.005


def pieces_bought(
    building: Building, boards: Sequence[SectionPlan], sheets: Sequence[StockPlan]
) -> Iterator[Purchase]:
    """What parts are cut from, bent from, or bought as.

    Args:
        building: The building.
        boards: How its lumber is cut.
        sheets: How its sheets are cut.
    """
    left = remaining(building)
    yield from _lumber(left, boards)
    yield from _sheets(left, sheets)
    yield from _trims(left)
    yield from _panels(left)
    yield from _singly(left)
    yield from door_sets(left)


def _lumber(building: Building, plans: Sequence[SectionPlan]) -> Iterator[Purchase]:
    units = building.scene.units
    parts = {part.name: part for part in building.handled}
    for plan in plans:
        section = plan.section
        near = is_near_ground(
            parts[piece.name] for board in plan.plan.boards for piece in board.pieces
        )
        for stock in dict.fromkeys(board.stock for board in plan.plan.boards):
            boards = [board for board in plan.plan.boards if board.stock == stock]
            cut = [parts[piece.name] for board in boards for piece in board.pieces]
            length_mm = stock.length_mm * len(boards)
            used_mm = sum(part.length_mm for part in cut)
            yield Purchase(
                Supplier.OWN if stock.is_own else Supplier.LUMBER,
                section.name,
                plan.material,
                kinds_of(cut),
                (stock.length_mm,),
                "piece",
                len(boards),
                used_mm / stock.length_mm,
                f"{plural(len(cut), 'piece')} of {format_length(used_mm, units)} together, "
                "cut as planned",
                {
                    "pieces": len(boards),
                    "length": length_mm,
                    "volume": length_mm * section.breadth_mm * section.depth_mm,
                },
                used_by(cut),
                names_of(cut),
                treated=plan.treated,
                asked=""
                if stock.is_own
                else lumber_text(
                    building.scene,
                    section,
                    stock.length_mm,
                    treated=plan.treated,
                    is_near_ground=near,
                ),
            )


def _sheets(building: Building, plans: Sequence[StockPlan]) -> Iterator[Purchase]:
    parts = {part.name: part for part in building.handled}
    alike = ((plan, size) for plan in plans for size in _sizes(plan))
    for plan, size in alike:
        stock, sheets = plan.stock, [one for one in plan.plan.sheets if one.stock == size]
        cut = [parts[placed.piece.name] for sheet in sheets for placed in sheet.placed]
        # As it is sold, its tongue with it.
        sides_mm = (size if size.is_own else stock).width_mm, size.length_mm
        area_mm2 = math.prod(sides_mm)
        used = sum(part.volume_mm3 for part in cut) / stock.thickness_mm / area_mm2
        boxes_mm2 = math.fsum(
            placed.piece.width_mm * placed.piece.length_mm
            for sheet in sheets
            for placed in sheet.placed
        )
        out = boxes_mm2 / area_mm2 - used
        how = f"{plural(len(cut), 'piece')}, cut as planned"
        if out > _CUT_OUT:
            how += f"; of them {out:.2f} sheets are cut out again, for openings and slopes"
        seller = Supplier.GLAZING if plan.is_pane else Supplier.LUMBER
        yield Purchase(
            Supplier.OWN if size.is_own else seller,
            stock.name,
            edge_asked(building.scene, cut),
            kinds_of(cut),
            sides_mm,
            "piece",
            len(sheets),
            used,
            how,
            {"pieces": len(sheets), "area": len(sheets) * area_mm2},
            used_by(cut),
            names_of(cut),
            asked="" if size.is_own else sheet_text(building.scene, stock, cut),
            pack="sheet",
        )


def _sizes(plan: StockPlan) -> Iterable[StockSheet]:
    """The sizes of sheets that a plan cuts up, each once."""
    return dict.fromkeys(sheet.stock for sheet in plan.plan.sheets)


def _trims(building: Building) -> Iterator[Purchase]:
    units = building.scene.units
    for trim in trims(building):
        lengths_mm = [bent_mm(part, units) for part in trim.parts]
        run_mm = sum(lengths_mm)
        yield Purchase(
            Supplier.METAL,
            trim.kind.value,
            trim.stock,
            trim.kind.value,
            (trim.girth_mm,),
            RUN[units],
            run_mm,
            # A piece may lack half a mark of what is drawn.
            min(run_mm, sum(part.length_mm for part in trim.parts)),
            f"bent from this width to lengths of {pieces_text(lengths_mm, units)}",
            {"length": run_mm, "area": run_mm * trim.girth_mm},
            used_by(trim.parts),
            names_of(trim.parts),
            stock=trim.stock,
            size_as="girth {}",
            asked=f"{trim.kind}, {trim.stock}, {format_length(trim.girth_mm, units, 'up')} girth: "
            + pieces_text(lengths_mm, units),
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
        # Ordered, and so paid for, up to a whole mark of the tape: what is over can be cut off.
        mark_mm = MARK_MM[building.scene.units]
        ordered_mm = mark_mm * whole(length_mm / mark_mm)
        run_mm = ordered_mm * len(parts)
        yield Purchase(
            Supplier.METAL,
            Kind.PANEL.value,
            stock,
            Kind.PANEL.value,
            (ordered_mm,),
            "piece",
            len(parts),
            sum(part.volume_mm3 for part in parts) / length_mm / widest_mm2[stock],
            "each to length; a ripped one is bought whole",
            {"length": run_mm, "area": run_mm * panel.cover_mm},
            used_by(parts),
            names_of(parts),
            stock=stock,
            pack="panel",
        )


def _singly(building: Building) -> Iterator[Purchase]:
    units = building.scene.units
    found: dict[tuple[Kind, str, tuple[float, ...]], list[Part]] = {}
    for part in building.parts:
        if _seller(part.kind.row.bought) and not sheet_of(building.scene, part):
            key = part.kind, _made_of(part, building.scene), _size_mm(part, units)
            found.setdefault(key, []).append(part)
    for (kind, made_of, size_mm), parts in found.items():
        bought = kind.row.bought
        seller = _seller(bought)
        assert seller
        sold_by: dict[SoldBy, float] = {"pieces": len(parts)}
        if bought in _GLAZED:
            sold_by["area"] = len(parts) * size_mm[0] * size_mm[1]
        if bought is Bought.FOLDED:
            flat = building.scene.catalogue.find_flat(parts[0].stock)
            sold_by["area"] = sum(part.volume_mm3 for part in parts) / flat.thickness_mm
        yield Purchase(
            seller,
            # A block goes by its stock; all else is named by what it is.
            parts[0].stock if bought is Bought.BLOCK else kind.value,
            made_of,
            kind.value,
            size_mm,
            "piece",
            len(parts),
            len(parts),
            _how(bought, made_of, parts, building),
            sold_by,
            used_by(parts),
            names_of(parts),
            stock=made_of,
            size_as=_WIDE_HIGH if bought in _BY_SIZE else "",
            asked=_window_text(made_of, size_mm, units) if bought is Bought.WINDOW else "",
        )


def _window_text(glazing: str, size_mm: Sequence[float], units: Units) -> str:
    """A bought window as it is asked for, with what the scene leaves to whoever orders it."""
    size = _WIDE_HIGH.format(*(format_length(mm, units) for mm in size_mm))
    choose = "say how it opens" if glazing else "say its glazing and how it opens"
    told = (Kind.WINDOW_UNIT.value, f"{size} over its frame", glazing)
    return f"{', '.join(text for text in told if text)}; {choose}"


def _seller(bought: Bought) -> Supplier | None:
    """Who sells what is bought piece by piece; None for what is bought in another way."""
    match bought:
        case Bought.BLOCK:
            return Supplier.GROUND
        case Bought.PACKER:
            return Supplier.LUMBER
        case Bought.FOLDED:
            return Supplier.METAL
        case Bought.PANE | Bought.WINDOW:
            return Supplier.GLAZING
        case Bought.LEAF:
            return Supplier.IRONMONGER
        case Bought.IRON | Bought.FITTING:
            return None  # in sets
        case Bought.PLANNED | Bought.BENT | Bought.PANEL:
            return None  # each in its own way, above
        case Bought.GRAVEL | Bought.CONCRETE | Bought.BOLT | Bought.CONNECTOR:
            return None  # among the supplies
        case Bought.ROLL | Bought.ROLL_PIECES:
            return None  # among the supplies
        case Bought.NOT | Bought.CUT_OUT:
            return None
        case _:
            assert_never(bought)


def _made_of(part: Part, scene: Scene) -> str:
    """What a piece is made of where that is asked for: glass, flat steel; hardware as it comes."""
    if part.kind.row.bought is not Bought.WINDOW:
        return part.stock if part.kind.row.bought in (Bought.PANE, Bought.FOLDED) else ""
    windows = {one.name: one.window for opening in scene.opening for one in opening.row()}
    window = windows[part.label]
    return window.glazing or "" if isinstance(window, UnitWindow) else ""


def _how(bought: Bought, made_of: str, parts: Sequence[Part], building: Building) -> str:
    match bought:
        case Bought.PANE:
            return "fixed light, cut to size"
        case Bought.WINDOW:
            mass = "" if made_of else "the scene gives its mass and not its glazing; "
            return f"{mass}size over its frame; opening or fixed as you choose"
        case Bought.LEAF:
            mass_kg = sum(part_mass(part).likely_kg for part in parts) / len(parts)
            mass = format_mass(mass_kg, building.scene.units)
            return f"{mass} each, as the scene gives it; prepared for the hinges that are drawn"
        case _:
            return "as drawn"


def _size_mm(part: Part, units: Units) -> tuple[float, ...]:
    """Width and height of what is bought by its size, as it stands; a packer's sides to a mark."""
    low, high = part.bounds_mm
    if part.kind.row.bought is Bought.PACKER:
        return tuple(
            sorted(
                MARK_MM[units] * round((b - a) / MARK_MM[units])
                for a, b in zip(low, high, strict=True)
            )
        )
    if part.kind.row.bought not in _BY_SIZE:
        return ()
    x_mm, y_mm, height_mm = (round(b - a, 3) for a, b in zip(low, high, strict=True))
    return max(x_mm, y_mm), height_mm

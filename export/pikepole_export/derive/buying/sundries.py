"""What is small and easily forgotten, and what the builder has to choose.

    sundries(building, waste) -> Iterator[Amount]     preservative, sealant, shims, chalk
    choices(building) -> Iterator[Amount]             told, not ordered

All amounts are common practice without a source, but that what is cut of treated wood is brushed
again: AWPA M4.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pikepole_export.derive.buying.amounts import PRACTICE, Amount, Thing, percent, shown, whole
from pikepole_export.derive.buying.coverings import BEAD_MM, CARTRIDGE_MM3
from pikepole_export.derive.buying.paint import CAN_MM3
from pikepole_export.derive.measures.bends import bends
from pikepole_model.building.kinds import CLADDING, LEAF, Kind
from pikepole_model.building.laps import OVER_RIBS
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.bare import left_bare
from pikepole_model.geometry.spacing import CLEAR_OF_MM, TOLERANCE_MM
from pikepole_model.scene.foundation import Pad
from pikepole_model.units import INCH_MM, format_length, plural

# A litre of preservative covers 3.7 m2, 150 ft2 to the gallon, once; two coats on end grain.
PRESERVATIVE_M2_L, COATS = 3.7, 2
# A hole is so much wider than its rod, and so many times what fills it is squeezed out.
HOLE_OVER_MM, ADHESIVE_LAID = INCH_MM / 8, 2
SHIMS_AN_OPENING, SHIMS_IN_A_BUNDLE = 12, 42


def sundries(building: Building, waste: float) -> Iterator[Amount]:
    """What is brushed, squeezed out, wedged in and snapped.

    Args:
        building: The building.
        waste: Share of sealant to buy beyond what is laid, from 0.
    """
    yield from _preservative(building)
    yield from _sealant(building, waste)
    yield from _adhesive(building)
    yield from _shims(building)
    boards = tuple(part for part in building.handled if part.section_mm)
    if boards:
        yield Amount(
            Thing.CHALK,
            "chalk for the line",
            "marking out",
            boards,
            "pieces",
            1.0,
            1,
            "one",
            PRACTICE,
        )


def choices(building: Building) -> Iterator[Amount]:
    """What the model has nothing of and most buildings get."""
    scene = building.scene

    def choice(item: str, where: str, how: str, *parts: Part) -> Amount:
        return Amount(Thing.CHOICE, item, where, parts, "pieces", None, None, how, PRACTICE)

    if any(part.kind in LEAF for part in building.parts):
        yield choice("locks", "doors", "the latches that are listed do not lock")
    if not scene.paint:
        yield choice("paint or stain", "outside woodwork", "give [paint], and it is counted")
    for bare in left_bare(building):
        yield choice(bare.layer, bare.where, f"{bare.mend}, and it is counted", *bare.parts)
    if any(part.kind is Kind.PANEL for part in building.parts):
        yield choice("gutters", "eaves", "with what carries the water away")
        steel = "colour and coating of the steel"
        yield choice(steel, "roof and bent metal", "say them with the order, one for all of it")
    if scene.ties.hold_down_rating:
        yield choice(
            "hold-downs with their bolts and screws",
            "ends of sheeted walls",
            "of the rating in [ties]; where the checks of strength count on it",
        )
    posts = tuple(part for part in building.finished.parts if part.kind is Kind.EXISTING)
    clad = [part for part in building.parts if part.kind in CLADDING] if posts else []
    cut_round = tuple(post for post in posts if any(_goes_through(post, one) for one in clad))
    if cut_round:
        how = f"{format_length(CLEAR_OF_MM, scene.units)} of room is left round it"
        yield choice("sealant over backer rod", "what was there, in siding", how, *cut_round)
    yield choice("gloves, glasses, dust masks", "the work", "as your tools and materials ask")


def _goes_through(post: Part, board: Part) -> bool:
    """Whether a piece of cladding was cut to leave room round what is there already."""
    gaps = [
        max(low - other_high, other_low - high)
        for low, high, other_low, other_high in zip(*post.bounds_mm, *board.bounds_mm, strict=True)
    ]
    low, high = board.bounds_mm
    across = min((0, 1), key=lambda axis: high[axis] - low[axis])  # the wall
    return gaps[across] < 0.0 and max(gaps) < CLEAR_OF_MM + TOLERANCE_MM


def _preservative(building: Building) -> Iterator[Amount]:
    units = building.scene.units
    treated = tuple(part for part in building.handled if part.material.treated)
    if not treated:
        return
    boards = [part for part in treated if part.section_mm]
    sheets = [part for part in treated if not part.section_mm]
    ends_mm2 = sum(2 * math.prod(part.across_mm) for part in boards)
    edges_mm2 = sum(min(part.shape.size_mm) * part.shape.area.length for part in sheets)
    brushed = [f"both ends of {plural(len(boards), 'piece')}"] if boards else []
    brushed += [f"all edges of {plural(len(sheets), 'sheet')}"] if sheets else []
    can_mm3 = CAN_MM3[units]
    net = (ends_mm2 + edges_mm2) * COATS / PRESERVATIVE_M2_L / can_mm3
    yield Amount(
        Thing.PRESERVATIVE,
        f"preservative for cut ends, {'1 qt' if units == 'imperial' else '1 l'}",
        "cut ends of treated wood",
        treated,
        "pieces",
        net,
        whole(net),
        f"{' and '.join(brushed)}, {shown(ends_mm2 + edges_mm2, 'area', units)}, {COATS} coats",
        "AWPA M4 (from memory); spread: " + PRACTICE,
    )


def _sealant(building: Building, waste: float) -> Iterator[Amount]:
    """A bead round each pane, one along each flashing over an opening or under siding.

    And two across each lap of what lies over the roof panels' ribs.
    """
    units = building.scene.units
    panes = tuple(part for part in building.parts if part.kind is Kind.PANE)
    flashings = tuple(
        part for part in building.parts if part.kind in (Kind.HEAD_FLASHING, Kind.WALL_FLASHING)
    )
    laps = tuple(_lapping(building))
    run_mm = sum(part.length_mm for part in flashings) + sum(
        2 * (part.length_mm + part.across_mm[1]) for part in panes
    )
    girths_mm = {name: one.girth_mm(units) for one in bends(building) for name in one.names}
    run_mm += sum(2 * girths_mm[part.name] for part in laps)
    if not run_mm:
        return
    per_mm = CARTRIDGE_MM3 / (math.pi / 4 * BEAD_MM**2)
    yield Amount(
        Thing.SEALANT,
        "sealant for panes and flashings, 300 ml cartridge",
        "panes and flashings",
        tuple(dict.fromkeys((*panes, *flashings, *laps))),
        "pieces",
        run_mm / per_mm,
        whole(run_mm * (1 + waste) / per_mm),
        f"{shown(run_mm, 'run', units)} round panes, along flashings, in laps and "
        f"{percent(waste)}; a bead {format_length(BEAD_MM, units)} thick is "
        f"{shown(per_mm, 'run', units)} a cartridge",
        PRACTICE,
    )


def _lapping(building: Building) -> Iterator[Part]:
    """Lengths of caps and flashings over ribs, but for the first of each run."""
    runs: dict[str, list[Part]] = {}
    for part in building.parts:
        if part.kind in OVER_RIBS:
            runs.setdefault(part.label, []).append(part)
    for run in runs.values():
        yield from run[1:]


def _adhesive(building: Building) -> Iterator[Amount]:
    """What fills the holes round the anchors that are drilled into a pad, twice over."""
    anchors = tuple(part for part in building.parts if part.kind is Kind.DRILLED_ANCHOR)
    pad = building.scene.foundation
    if not anchors or not isinstance(pad, Pad):
        return
    thick = pad.bolt_diameter
    ring_mm2 = math.pi / 4 * ((thick + HOLE_OVER_MM) ** 2 - thick**2)
    net = len(anchors) * ring_mm2 * pad.bolt_embedment * ADHESIVE_LAID / CARTRIDGE_MM3
    yield Amount(
        Thing.ADHESIVE,
        "adhesive for anchors, 300 ml cartridge",
        "holes of drilled anchors",
        anchors,
        "pieces",
        net,
        whole(net),
        f"round {plural(len(anchors), 'rod')} in holes "
        f"{format_length(HOLE_OVER_MM, building.scene.units)} wider, {ADHESIVE_LAID} times what "
        "they hold: its nozzle and the first strokes are lost",
        PRACTICE,
    )


def _shims(building: Building) -> Iterator[Amount]:
    """Pairs of wedges behind the frame of each door and window."""
    frames = tuple(part for part in building.parts if part.kind is Kind.FRAME_BOARD)
    names = [one.name for opening in building.scene.opening for one in opening.row()]
    openings = [name for name in names if any(part.label.startswith(f"{name} ") for part in frames)]
    if not openings:
        return
    count = SHIMS_AN_OPENING * len(openings)
    yield Amount(
        Thing.SHIMS,
        "shims",
        "frames of doors and windows",
        frames,
        "pieces",
        count / SHIMS_IN_A_BUNDLE,
        whole(count / SHIMS_IN_A_BUNDLE),
        f"{SHIMS_AN_OPENING} for each of {plural(len(openings), 'opening')}, in bundles of "
        f"{SHIMS_IN_A_BUNDLE}",
        PRACTICE,
    )

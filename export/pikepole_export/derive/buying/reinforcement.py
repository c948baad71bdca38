"""Steel in a slab: wire mesh, bars both ways, bars round the edge.

    reinforcement(building) -> Iterator[Amount]

What the scene asks for is ordered; where it is silent a code and the soil decide, and mesh and edge
bars are in the list without an amount to buy. Pieces are counted as they lie over the whole slab,
control joints left out.
"""

from __future__ import annotations

from collections.abc import Iterator

from pikepole_export.derive.buying.amounts import (
    PRACTICE,
    Amount,
    Thing,
    courses,
    shown,
    whole,
)
from pikepole_export.derive.buying.concrete import sides_mm, slabs
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.buying import Bars
from pikepole_model.stock.rows import Bar
from pikepole_model.units import INCH_MM, format_length, plural

# Sheets of mesh lap by one of their squares and 2 in. Source: ACI 318, from memory.
MESH_LAP_OVER_SQUARE_MM = 2 * INCH_MM

# Concrete beside and under steel that is cast against the ground.
COVER_MM = 3 * INCH_MM
COVER = "ACI 318-19 Table 20.5.1.3.1, IRC R403.1.3.5.3"

# Bars lap by 40 of their diameters. Source: common practice, no source.
LAP_DIAMETERS = 40

SUPPORTED = (
    "on supports that keep it between the middle and the upper third of the slab (IRC R506.2.4)"
)


def reinforcement(building: Building) -> Iterator[Amount]:
    """What lies in each slab."""
    bars = building.scene.concrete.bars
    for slab in slabs(building):
        yield _mesh(building, slab)
        if bars:
            yield _both_ways(building, slab, bars)
        yield _edge(building, slab)


def _mesh(building: Building, slab: Part) -> Amount:
    scene = building.scene
    along, across = (side - 2 * COVER_MM for side in sides_mm(slab))
    if scene.concrete.mesh is None:
        return Amount(
            Thing.MESH,
            "welded wire mesh",
            slab.name,
            (slab,),
            "area",
            along * across,
            None,
            "as your code and your soil ask, or bars both ways in its place",
            PRACTICE,
        )
    mesh = scene.catalogue.find_mesh(scene.concrete.mesh)
    lap_mm = mesh.square_mm + MESH_LAP_OVER_SQUARE_MM
    sheet = (mesh.width_mm, mesh.length_mm)
    # Both ways to lay the sheets, in rows along and in rows across; fewest are taken.
    count = min(
        _sheets(run_mm, over_mm, laid, lap_mm)
        for run_mm, over_mm in ((along, across), (across, along))
        for laid in (sheet, (sheet[1], sheet[0]))
    )
    size, lap = (
        " x ".join(format_length(side, scene.units) for side in sheet),
        format_length(lap_mm, scene.units),
    )
    return Amount(
        Thing.MESH,
        mesh.name,
        slab.name,
        (slab,),
        "pieces",
        along * across / (sheet[0] * sheet[1]),
        count,
        f"{plural(count, 'sheet')} of {size}, lapped {lap}, "
        f"{format_length(COVER_MM, scene.units)} in from the slab's sides, {SUPPORTED}",
        f"lap of one square and 2 in: ACI 318 (from memory); cover: {COVER}; sheet: {mesh.source}",
    )


def _sheets(
    run_mm: float, rows_over_mm: float, sheet_mm: tuple[float, float], lap_mm: float
) -> int:
    """How many sheets cover a rectangle in rows, what ends several rows cut from one sheet.

    Args:
        run_mm: Length of a row, mm.
        rows_over_mm: What the rows lie side by side over, mm.
        sheet_mm: Of a sheet: along a row and across it, mm.
        lap_mm: Of a sheet on the next, both ways, mm.
    """
    long_mm, wide_mm = sheet_mm
    rows = courses(rows_over_mm, wide_mm, lap_mm)
    whole_ones = int((run_mm - lap_mm) / (long_mm - lap_mm) + 1e-9)
    end_mm = run_mm - whole_ones * (long_mm - lap_mm)
    if whole_ones and end_mm <= lap_mm + 1e-6:
        return rows * whole_ones
    return rows * whole_ones + whole(rows / int(long_mm / end_mm + 1e-9))


def _both_ways(building: Building, slab: Part, bars: Bars) -> Amount:
    scene = building.scene
    bar = scene.catalogue.find_bar(bars.bar)
    length, depth = (side - 2 * COVER_MM for side in sides_mm(slab))
    laid = [
        (whole(across / bars.spacing) + 1, along)
        for along, across in ((length, depth), (depth, length))
    ]
    each = [f"{count} of {format_length(along, scene.units)}" for count, along in laid]
    pieces = sum(_pieces(count, along, bar) for count, along in laid)
    return Amount(
        Thing.BAR,
        bar.name,
        slab.name,
        (slab,),
        "length",
        sum(count * _with_laps_mm(along, bar) for count, along in laid),
        pieces * bar.length_mm,
        f"{each[0]} along and {each[1]} across, at most "
        f"{format_length(bars.spacing, scene.units)} apart, from {pieces} lengths of "
        f"{format_length(bar.length_mm, scene.units)}; {_rules(bar, building)}; {SUPPORTED}",
        f"cover: {COVER}; lap: {PRACTICE}; {bar.source}",
    )


def _edge(building: Building, slab: Part) -> Amount:
    scene = building.scene
    bar, count = scene.catalogue.find_bar(scene.concrete.edge_bar), scene.concrete.edge_bars
    length, depth = sides_mm(slab)
    ring_mm = 2 * (length + depth) - 8 * COVER_MM
    # A closed ring has as many laps as lengths.
    pieces = whole(ring_mm / (bar.length_mm - _lap_mm(bar)))
    each = (
        f"a bar round the edge is {shown(ring_mm, 'run', scene.units)} and {pieces} laps; "
        f"{_rules(bar, building)}"
    )
    how = (
        f"{count} x {pieces} lengths of {format_length(bar.length_mm, scene.units)}; {each}"
        if count
        else "as your code asks: IRC R403.1.3 asks for one at the top and one at the bottom of a "
        f"thickened edge in seismic design categories D0 to D2; {each}"
    )
    return Amount(
        Thing.BAR,
        bar.name,
        f"edge of the {slab.name}",
        (slab,),
        "length",
        count * (ring_mm + pieces * _lap_mm(bar)) if count else None,
        count * pieces * bar.length_mm if count else None,
        how,
        f"IRC R403.1.3; cover: {COVER}; lap: {PRACTICE}; {bar.source}",
    )


def _lap_mm(bar: Bar) -> float:
    return LAP_DIAMETERS * bar.diameter_mm


def _with_laps_mm(along_mm: float, bar: Bar) -> float:
    """What a straight run of bars takes, laps included, mm."""
    return along_mm + (_lengths(along_mm, bar) - 1) * _lap_mm(bar)


def _lengths(along_mm: float, bar: Bar) -> int:
    """How many bars follow one another in a straight run."""
    return courses(along_mm, bar.length_mm, _lap_mm(bar))


def _pieces(count: int, along_mm: float, bar: Bar) -> int:
    """How many bars are bought for so many straight runs: whole ones, or several runs from one."""
    if along_mm > bar.length_mm:
        return count * _lengths(along_mm, bar)
    return whole(count / int(bar.length_mm / along_mm + 1e-9))


def _rules(bar: Bar, building: Building) -> str:
    lap, cover = (format_length(mm, building.scene.units) for mm in (_lap_mm(bar), COVER_MM))
    return f"laps of {lap}, {cover} of concrete beside it"

"""Board and batten: upright boards with a gap to swell into, and a batten over every gap."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, sheeting, timber
from pikepole_model.geometry.courses import across, arms, columns_of, edges_within, stretches, up
from pikepole_model.geometry.least import BATTEN, BOARD, SHEET, of_width
from pikepole_model.geometry.outline import NO_AREA_MM2
from pikepole_model.geometry.shape import rectangle
from pikepole_model.geometry.spacing import (
    LEAST_LENGTH_MM,
    SHEET_GAP_MM,
    TOLERANCE_MM,
    overlap,
    splice,
)
from pikepole_model.layout.cladding import round_openings, upright
from pikepole_model.layout.joinery import outlined
from pikepole_model.plan.backing import backed_centres
from pikepole_model.plan.cladding import CladdingPlan, Patch
from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.faces import round_lean_to
from pikepole_model.plan.facings import batten_size, longest_mm, on_others, strip_mm
from pikepole_model.plan.wall_legs import dam_slots, storeys
from pikepole_model.plan.wall_metal import DRIP_MM, flat_of
from pikepole_model.scene.envelope import Battens

# Battens end 1/8 in over what they stop at.
OVER_DRIP_MM = DRIP_MM + SHEET_GAP_MM

# What of a gap is seen beside a casing or a corner board that covers the rest is sealed, up to 1/8
# in: common practice, no source.
SEALED_MM = 3.175

# Past any wall, mm.
_FAR_MM = 1e6


def hang_battens(plan: CladdingPlan) -> list[Piece]:
    """All upright boards of a scene with their battens, wall by wall."""
    return [
        piece
        for patch in plan.patches
        if isinstance(patch.table, Battens)
        for piece in _patch(plan, patch, patch.table)
    ]


def _patch(plan: CladdingPlan, patch: Patch, table: Battens) -> Iterator[Piece]:
    """One wall's boards, then its battens.

    |#####| |#####| |#####   boards, or strips of a sheet; between them the gap
       |=====| |=====|       battens, each centred on its gap
    """
    scene, thick = plan.scene, facing_mm(plan.scene, table)
    left, low, right, high = patch.area.bounds
    if table.sheet:
        sheet = scene.sheet_stock(table.sheet)
        width = strip_mm(scene, table, sheet, table.strips)
        kind, source = Kind.STRIP, sheeting(scene, table.sheet)
    else:
        board = scene.lumber_stock(table.board)
        width = board.depth_mm
        kind, source = Kind.UPRIGHT_BOARD, timber(scene, table.board)
    batten = batten_size(scene, table)

    least = of_width(SHEET if table.sheet else BOARD, width).width

    how_bad = _how_bad(patch, least, batten.width)
    columns = columns_of(left, right, width, table.gap, table.start, least, how_bad)
    heights, open_ = storeys(scene, patch, table), (*patch.open, *dam_slots(plan, patch.face))
    areas = [
        shapely.intersection(patch.area, box(u0, v0, u1, v1))
        for (u0, u1), (v0, v1) in itertools.product(columns, heights)
    ]
    packed = _packed(patch, areas, open_, table.gap, width)
    for area in areas:
        yield from upright(patch.face, kind, source, area, BEHIND_MM, thick, [*open_, *packed])
    name, n = f"{patch.face.plan.group} {kind}", (BEHIND_MM, BEHIND_MM + thick)
    studs, longest = backed_centres(patch.face.plan), longest_mm(scene, table)
    for u0, v0, u1, v1 in (strip.bounds for strip in packed):
        for start, end in splice(u0, u1, longest, studs):
            strip = rectangle(start, v0, end, v1)
            yield outlined(patch.face, name, kind, patch.group, source, strip, n)
    batten_kind, batten_source = (
        (Kind.BATTEN_STRIP, sheeting(scene, table.batten_sheet))
        if table.batten_sheet
        else (Kind.BATTEN, timber(scene, table.batten))
    )
    # A batten over the drip leg of a flashing would stand off the boards.
    ends = heights if flat_of(scene) else round_lean_to(patch.face, (low, high))
    flashed = on_others(ends) if flat_of(scene) else []
    heights = [
        run
        for v0, v1 in ends
        for run in stretches(v0, v1 - OVER_DRIP_MM if v1 in flashed else v1, batten.longest, 0.0)
    ]
    seen = patch.area.difference(patch.taken)
    half = batten.width / 2
    middles = [(u0 + u1) / 2 for (_, u0), (u1, _) in itertools.pairwise(columns)]
    # On boards narrower than a batten two of them meet in the middle.
    meeting = [-math.inf, *((a + b) / 2 for a, b in itertools.pairwise(middles)), math.inf]
    for k, middle in enumerate(middles):
        u0, u1 = columns[k][1], columns[k + 1][0]
        start, end = max(middle - half, meeting[k]), min(middle + half, meeting[k + 1])
        for v0, v1 in _where_seen(patch, (u0, u1), heights):
            area = shapely.intersection(seen, box(start, v0, end, v1))
            yield from upright(
                patch.face,
                batten_kind,
                batten_source,
                area,
                BEHIND_MM + thick,
                batten.thickness,
                patch.open,
            )


def _where_seen(
    patch: Patch, gap: tuple[float, float], heights: Sequence[tuple[float, float]]
) -> Iterator[tuple[float, float]]:
    """From and to of each length of a batten, mm: what covers its gap does its work there.

    That is a casing or a corner board. Where a hand would break the length that is left, the batten
    runs on beside it.

    Args:
        patch: What the boards cover.
        gap: From and to of the gap, mm.
        heights: From and to of each length where nothing covers it, mm.
    """
    whole = shapely.intersection(patch.area, box(gap[0], -_FAR_MM, gap[1], _FAR_MM))
    sealed = (translate(patch.taken, xoff=way * SEALED_MM) for way in (-1, 1))
    seen = whole.difference(shapely.union_all([patch.taken, *sealed, *patch.open]))
    runs = [up(part) for part in shapely.get_parts(seen) if part.area > NO_AREA_MM2]
    if not runs:
        return
    ends = up(whole)
    # Under a rake a batten's upper corner is higher than its gap.
    runs = [
        (
            -_FAR_MM if v0 < ends[0] + TOLERANCE_MM else v0,
            _FAR_MM if v1 > ends[1] - TOLERANCE_MM else v1,
        )
        for v0, v1 in runs
    ]
    for low, high in heights:
        cut = [(max(v0, low), min(v1, high)) for v0, v1 in runs if overlap((v0, v1), (low, high))]
        yield from [(low, high)] if any(v1 - v0 < LEAST_LENGTH_MM for v0, v1 in cut) else cut


def _packed(
    patch: Patch,
    areas: Sequence[BaseGeometry],
    open_: Sequence[BaseGeometry],
    gap: float,
    width: float,
) -> list[BaseGeometry]:
    """Where one level strip lies behind casing over a head in place of the ends of boards, mm.

        |   | | | | |   |      |   +-------+   |
        |   |_|_|_|_|   |      |   |_______|   |     ends shorter than 6 in would split at their
        |   |       |   |      |   |       |   |     nails

    Args:
        patch: What is covered.
        areas: The boards, openings not taken out.
        open_: What is left open.
        gap: Between two boards, mm.
        width: Of a board, mm: a strip is ripped from one.
    """
    behind, strips = patch.taken.buffer(TOLERANCE_MM), list[BaseGeometry]()
    near = [area for area in areas if area.intersects(behind)]
    ends = [Area(outline) for area in near for outline, _ in round_openings(area, open_)]
    short = [
        end
        for end in ends
        if end.bounds[3] - end.bounds[1] < min(LEAST_LENGTH_MM, width)
        and box(*end.bounds).difference(end).area < NO_AREA_MM2
        and behind.covers(end)
    ]
    for end in sorted(short, key=lambda end: (round(end.bounds[1], 2), end.bounds[0])):
        u0, v0, u1, v1 = end.bounds
        last = strips[-1].bounds if strips else (-math.inf,) * 4
        is_beside = abs(u0 - gap - last[2]) < TOLERANCE_MM
        if is_beside and abs(v0 - last[1]) < TOLERANCE_MM and abs(v1 - last[3]) < TOLERANCE_MM:
            strips[-1] = box(last[0], v0, u1, v1)
        else:
            strips.append(end)
    return [one for one in strips if one.bounds[2] - one.bounds[0] > one.bounds[3] - one.bounds[1]]


def _rows(patch: Patch) -> list[BaseGeometry]:
    """What is left open, openings of a row in one where casing holds all that is between them."""
    rows: list[BaseGeometry] = []
    for hole in sorted(patch.open, key=lambda hole: hole.bounds):
        row = shapely.envelope(shapely.union(rows[-1], hole)) if rows else hole
        if rows and patch.taken.buffer(TOLERANCE_MM).covers(row.difference(rows[-1])):
            rows[-1] = row
        else:
            rows.append(hole)
    return rows


def _how_bad(
    patch: Patch, least: float, batten: float
) -> Callable[[Sequence[tuple[float, float]]], float]:
    """How bad the arms are that openings leave of boards, and casings and corner boards of battens.

    Args:
        patch: What they cover.
        least: What of a board is left at least, mm.
        batten: Width of a batten, mm.

    Returns:
        Tells it of columns, each from and to of a board, mm.
    """
    beams = [(u0, u1) for u0, _, u1, _ in patch.face.plan.through]
    open_ = [*map(across, _rows(patch)), *beams, *((u, u) for u in edges_within(patch.area, 0))]
    taken = [*map(across, shapely.get_parts(patch.taken)), *beams]
    least_batten = of_width(BATTEN, batten).width

    def how_bad(columns: Sequence[tuple[float, float]]) -> float:
        middles = [(u0 + u1) / 2 for (_, u0), (u1, _) in itertools.pairwise(columns)]
        battens = [(middle - batten / 2, middle + batten / 2) for middle in middles]
        return arms(columns, open_, least) + arms(battens, taken, least_batten)

    return how_bad

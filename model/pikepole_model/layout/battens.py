"""Board and batten: upright boards with a gap to swell into, and a batten over every gap."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence

import shapely
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, sheeting, timber
from pikepole_model.geometry.courses import across, arms, columns_of, edges_within, stretches
from pikepole_model.geometry.least import BATTEN, BOARD, SHEET, of_width
from pikepole_model.geometry.outline import NO_AREA_MM2
from pikepole_model.geometry.spacing import SHEET_GAP_MM, TOLERANCE_MM
from pikepole_model.layout.cladding import upright
from pikepole_model.plan.cladding import CladdingPlan, Patch
from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.faces import round_lean_to
from pikepole_model.plan.facings import batten_size, on_others, strip_mm
from pikepole_model.plan.wall_legs import dam_slots, storeys
from pikepole_model.plan.wall_metal import DRIP_MM, flat_of
from pikepole_model.scene.envelope import Battens

# Battens end 1/8 in over what they stop at.
OVER_DRIP_MM = DRIP_MM + SHEET_GAP_MM


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
    for (u0, u1), (v0, v1) in itertools.product(columns, heights):
        area = shapely.intersection(patch.area, box(u0, v0, u1, v1))
        yield from upright(patch.face, kind, source, area, BEHIND_MM, thick, open_)
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
        # A corner board does the work of a batten whose gap it covers.
        if shapely.intersection(seen, box(u0, low, u1, high)).area < NO_AREA_MM2:
            continue
        for v0, v1 in heights:
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

    def how_bad(columns: Sequence[tuple[float, float]]) -> float:
        middles = [(u0 + u1) / 2 for (_, u0), (u1, _) in itertools.pairwise(columns)]
        battens = [(middle - batten / 2, middle + batten / 2) for middle in middles]
        return arms(columns, open_, least) + arms(battens, taken, BATTEN.width)

    return how_bad

"""The deck floor: rim joists, joists, blocking between them, sheets over them."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from shapely import box

from pikepole_model.levels import Levels
from pikepole_model.outline import cut_out
from pikepole_model.part import Kind
from pikepole_model.piece import Piece, block, profile, sheeting, timber
from pikepole_model.placement import Placement
from pikepole_model.scene import Floor
from pikepole_model.spacing import LEAST_STICK_MM, joints_of, on_centre, sheet_rows, splice

FRAME = "floor frame"
DECK = "floor deck"

# A sheet is cut this much clear of what comes up through it: room for it to move.
CLEAR_OF_MM = 6.0


def frame_floor(levels: Levels, floor: Floor) -> list[Piece]:
    """Rims along the front and back, joists between them, rows of blocking."""
    scene = levels.scene
    stock = scene.lumber_stock(floor.joist)
    source = timber(scene, floor.joist, treated=floor.treated)
    breadth, low = stock.breadth_mm, levels.skid_mm
    high = low + stock.depth_mm
    length, depth = levels.length_mm, levels.depth_mm
    centres = joist_centres(levels, floor)
    pieces: list[Piece] = []
    earlier: list[float] = []
    for front in (0.0, depth - breadth):
        runs = splice(0.0, length, stock.longest_mm, centres, earlier)
        earlier = joints_of(runs)
        pieces += [
            block(
                "rim joist",
                Kind.RIM,
                FRAME,
                source,
                (left, front, low),
                (right, front + breadth, high),
                "x",
            )
            for left, right in runs
        ]
    pieces += [
        block(
            "floor joist",
            Kind.JOIST,
            FRAME,
            source,
            (x - breadth / 2, breadth, low),
            (x + breadth / 2, depth - breadth, high),
            "y",
        )
        for x in centres
    ]
    for row in range(floor.blocking_rows):
        y = breadth + (depth - 2 * breadth) * (row + 1) / (floor.blocking_rows + 1)
        for k, (left, right) in enumerate(itertools.pairwise(centres)):
            if right - left - breadth < LEAST_STICK_MM:
                continue
            # Every other block steps aside by its own thickness, so that each can be end-nailed.
            front = y - breadth if k % 2 else y
            pieces.append(
                block(
                    "floor block",
                    Kind.FLOOR_BLOCK,
                    FRAME,
                    source,
                    (left + breadth / 2, front, low),
                    (right - breadth / 2, front + breadth, high),
                    "x",
                )
            )
    return pieces


def joist_centres(levels: Levels, floor: Floor) -> list[float]:
    """X of each joist's centre, on centre from the left end, mm."""
    breadth = levels.scene.lumber_stock(floor.joist).breadth_mm
    return on_centre(0.0, levels.length_mm, floor.spacing, breadth)


def deck_floor(levels: Levels, floor: Floor) -> list[Piece]:
    """Sheets across the joists in staggered rows from the front, cut round what passes through."""
    return list(_sheets(levels, floor))


def _sheets(levels: Levels, floor: Floor) -> Iterator[Piece]:
    scene = levels.scene
    stock = scene.sheet_stock(floor.sheet)
    holes = [
        box(
            thing.x - CLEAR_OF_MM,
            thing.y - CLEAR_OF_MM,
            thing.x + thing.width + CLEAR_OF_MM,
            thing.y + thing.depth + CLEAR_OF_MM,
        )
        for thing in floor.through
    ]
    place = Placement((0.0, 0.0, levels.floor_mm - stock.thickness_mm))
    area = (0.0, 0.0, levels.length_mm, levels.depth_mm)
    for sheet in sheet_rows(area, stock.length_mm, stock.width_mm, joist_centres(levels, floor)):
        for outline, inner in cut_out(box(*sheet), holes):
            yield profile(
                "floor sheet",
                Kind.FLOOR_SHEET,
                DECK,
                sheeting(scene, floor.sheet),
                outline,
                place,
                stock.thickness_mm,
                holes=inner,
            )

"""What goes with any cladding: strips that bring beams out to the sheets, and corner boards."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely import box

from pikepole_model.cladding_plan import CladdingPlan, stretches
from pikepole_model.faces import WallFace
from pikepole_model.outline import LEAST_PIECE_MM, ring
from pikepole_model.part import Kind
from pikepole_model.piece import Piece, profile, sheeting, timber
from pikepole_model.placement import Placement
from pikepole_model.shape import rectangle
from pikepole_model.spacing import SHEET_GAP_MM, anywhere, splice


def pad_beams(plan: CladdingPlan) -> list[Piece]:
    """Strips of the wall's sheet on the beams that lie on walls.

    The sheets end at the plates, under the beam; with a strip as thick as they are on its face,
    what covers the wall lies in one plane up to the rafters.
    """
    return [piece for face in plan.faces for piece in _strips(plan, face)]


def _strips(plan: CladdingPlan, face: WallFace) -> Iterator[Piece]:
    levels, wall = face.plan.levels, face.plan
    low, high = wall.top(0.0) + SHEET_GAP_MM / 2, face.area.bounds[3]
    if not wall.runs_through or not levels.beam or high - low < LEAST_PIECE_MM:
        return
    name, length = plan.scene.walls.sheet, wall.length_mm
    longest = plan.scene.sheet_stock(name).length_mm
    for u0, u1 in splice(0.0, length, longest, anywhere(0.0, length)):
        yield profile(
            f"{wall.name} beam sheet strip",
            Kind.WALL_SHEET,
            f"{wall.name} beam",
            sheeting(plan.scene, name),
            rectangle(u0, low, u1, high),
            wall.place,
            face.sheet_mm,
        )


def board_corners(plan: CladdingPlan) -> list[Piece]:
    """The corner boards: over upright boards, which they hold as battens do; beside level ones."""
    return list(_corner_boards(plan))


def _corner_boards(plan: CladdingPlan) -> Iterator[Piece]:
    for face in plan.faces:
        for corner, area in plan.corner_boards(face):
            boards = corner.boards
            assert boards
            other = corner.front if face is corner.through else corner.beside
            n = corner.base_mm(other)
            place = Placement(face.place.point(0.0, 0.0, n), face.place.u, face.place.v)
            u0, low, u1, high = area.bounds
            longest = plan.scene.lumber_stock(boards.stock).longest_mm
            for v0, v1 in stretches(low, high, longest, 0.0):
                yield profile(
                    f"{face.plan.group} corner board",
                    Kind.CORNER_BOARD,
                    f"{face.plan.group} cladding",
                    timber(plan.scene, boards.stock),
                    ring(shapely.intersection(area, box(u0, v0, u1, v1))),
                    place,
                    boards.thickness_mm,
                    grain_rad=math.pi / 2,
                )

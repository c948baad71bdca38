"""Boards between the tails of rafters, where a clad wall runs on up to the plates' top.

     |##|          |##|         tails, which come down before the wall: the cladding under
=====|##|==========|##|=====    them ends lower, and these boards close what is left of it
--------------------------- cladding
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, sheeting, timber
from pikepole_model.geometry.least import BOARD, SHEET, of_width
from pikepole_model.geometry.outline import cut_out, grown
from pikepole_model.geometry.spacing import TOLERANCE_MM, laid_apart
from pikepole_model.layout.joinery import outlined
from pikepole_model.plan.cladding import CladdingPlan
from pikepole_model.plan.corners import BEHIND_MM, facing_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.facings import u_of, v_of
from pikepole_model.scene.envelope import Battens, Boards


def close_eaves(plan: CladdingPlan) -> list[Piece]:
    """What closes the walls between the tails, of what each wall is clad with; wall by wall."""
    return [
        piece
        for face in plan.faces
        for table in plan.tables(face)
        for piece in _between_tails(plan, face, table)
    ]


def _between_tails(plan: CladdingPlan, face: WallFace, table: Battens | Boards) -> Iterator[Piece]:
    scene, (left, right), (foot, top) = plan.scene, u_of(table, face), v_of(table, face)
    if isinstance(table, Battens) and table.sheet:
        kind, source, wide = Kind.STRIP, sheeting(scene, table.sheet), math.inf
        least = SHEET
    else:
        kind, source = Kind.EAVE_BOARD, timber(scene, table.board)
        wide = scene.lumber_stock(table.board).depth_mm
        least = of_width(BOARD, wide)
    n = BEHIND_MM, BEHIND_MM + facing_mm(scene, table)
    opened = plan.open(face)
    for area in plan.eaves(face):
        u0, low, u1, high = area.bounds
        u0, u1, low, high = max(u0, left), min(u1, right), max(low, foot), min(high, top)
        if high < low + TOLERANCE_MM:
            continue
        rows = math.ceil((high - low) / wide) or 1
        step = (high - low) / rows
        edges = [low + step * k for k in range(rows + 1)]
        for v0, v1 in laid_apart(edges):
            if u1 - u0 < least.length or v1 - v0 < least.width:
                continue
            board = shapely.box(u0, v0, u1, v1)
            holes = [grown(hole, board.bounds) for hole in opened if hole.intersects(board)]
            for outline, _ in cut_out(board, holes):
                yield outlined(
                    face,
                    f"{face.plan.group} {kind}",
                    kind,
                    f"{face.plan.group} cladding",
                    source,
                    outline,
                    n,
                )

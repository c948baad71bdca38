"""What upright boards and slats are nailed to: level rows, how high and how far along a wall.

Rows lie between the uprights of a wall, flat and flush with their outer face. Plates serve as the
lowest and the highest, and so do the blocks behind the level joints of sheets.

Source: blocking 24 in apart behind upright boards, sheeted or not (IRC R703.5.1, from memory; WWPA,
Natural Wood Siding).
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.spacing import TOLERANCE_MM, evenly
from pikepole_model.plan.anchor_bolts import over_plate_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.facings import on_others, storeys, tables_on, u_of, v_of
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_metal import OPEN_MM
from pikepole_model.plan.wall_sheets import outside_sheets
from pikepole_model.scene.envelope import Battens
from pikepole_model.scene.walls import MOST_NAILED_APART_MM, SlattedWall
from pikepole_model.stock.rows import Lumber


@dataclass(frozen=True, slots=True)
class NailingRow:
    """A row of blocks or girts between uprights.

    Attributes:
        kind: What they are.
        stock: What they are cut from.
        u: From and to along the wall, mm: of the uprights beside it the next ones.
        middle: Of its wide face, mm above the floor.
    """

    kind: Kind
    stock: Lumber
    u: tuple[float, float]
    middle: float


def nailing_rows(plan: WallPlan) -> Iterator[NailingRow]:
    """The rows of a wall from its foot up, for each cladding that needs some."""
    kind, scene = plan.kind, plan.datums.scene
    if isinstance(kind, SlattedWall):
        if kind.girts == "between":
            girt = scene.lumber_stock(kind.girt)
            for middle in evenly(*_plates(plan), kind.girt_spacing)[1:-1]:
                yield NailingRow(Kind.GIRT, girt, (0.0, plan.length_mm), middle)
        return
    stud, face = scene.lumber_stock(scene.walls.stud), WallFace(plan)
    for table in tables_on(scene, face):
        if isinstance(table, Battens):
            for middle in _levels(face, table, stud.depth_mm / 2):
                yield NailingRow(Kind.NAILING_BLOCK, stud, u_of(table, face), middle)


def _levels(face: WallFace, table: Battens, half: float) -> Iterator[float]:
    """Heights of the rows for one table: at both ends of its boards, and between, mm."""
    foot, top = _plates(face.plan)
    low, high = v_of(table, face)
    stored = on_others(storeys(face, table, (low, min(high, face.area.bounds[3])), OPEN_MM))
    sheets = outside_sheets(face.plan)
    blocked = sheets.courses[1:-1] if sheets else []
    over = _over_plate(face.plan) + half
    first = foot if low + half < foot + TOLERANCE_MM else max(low + half, over)
    ends = (first, min(high - half, top))
    joints = (*stored, *blocked)
    marks = sorted({*ends, *(max(joint, over) for joint in joints if first < joint < ends[1])})
    levels = [
        level
        for one, other in itertools.pairwise(marks)
        for level in evenly(one, other, MOST_NAILED_APART_MM)
    ]
    for level in dict.fromkeys(levels):
        if over - TOLERANCE_MM < level < top - TOLERANCE_MM:
            yield level


def _over_plate(plan: WallPlan) -> float:
    """The lowest foot of a block: over the bottom plate, and over the bolts that hold it, mm."""
    pad = plan.datums.scene.floor_pad
    return plan.foot_mm + plan.datums.breadth_mm + (over_plate_mm(pad.bolt_diameter) if pad else 0)


def _plates(plan: WallPlan) -> tuple[float, float]:
    """Middle of the bottom plate and of what lies on the studs, at its highest, mm."""
    half, part = plan.datums.breadth_mm / 2, plan.open_part
    highest = max(v for _, v in plan.head_line(*plan.framed))
    return plan.foot_mm + half, part.from_mm - half if part else highest + half

"""Where a loft's floor lies against the studs of a wall, and which openings it would cross."""

from __future__ import annotations

from typing import assert_never

from shapely import Polygon as Area
from shapely import box

from pikepole_model.geometry.spacing import SHEET_GAP_MM, TOLERANCE_MM
from pikepole_model.plan.beside import Stretch
from pikepole_model.plan.loft import LoftPlan
from pikepole_model.plan.wall import WallPlan


def against_mm(loft: LoftPlan, plan: WallPlan) -> Stretch | None:
    """From and to of a loft's edge along the studs of a wall, in X or Y, mm; None: not there."""
    low, datums = loft.datums.wall_mm, loft.datums
    match plan.name:
        case "front" | "back":
            return None if loft.is_on_plates(plan.name) else loft.x
        case "left":
            return loft.span_y if loft.x[0] <= low + TOLERANCE_MM else None
        case "right":
            return loft.span_y if loft.x[1] >= datums.length_mm - low - TOLERANCE_MM else None
        case "clerestory":
            return None
        case _:
            assert_never(plan.name)


def loft_against(loft: LoftPlan, plan: WallPlan) -> list[Area]:
    """What a loft's floor takes of a wall's inner face, in (u, height above the floor), mm.

    With the ends of its ledgers in the end walls, and room to cut round it.
    """
    edge = against_mm(loft, plan)
    if edge is None:
        return []
    datums, room = loft.datums, SHEET_GAP_MM
    low, high = loft.low_mm - datums.floor_mm, loft.top_mm - datums.floor_mm
    foot, thick = loft.lowest_mm - datums.floor_mm, datums.scene.lumber_stock(loft.loft.ledger)
    axis = 0 if plan.runs_through else 1
    start, step = (plan.place.point(u, 0.0)[axis] for u in (0.0, 1.0))

    def at(a: float, b: float, v0: float, v1: float) -> Area:
        u0, u1 = sorted(((a - start) / (step - start), (b - start) / (step - start)))
        return box(u0 - room, v0 - room, u1 + room, v1 + room)

    if plan.runs_through:
        return [at(*edge, foot, high)]
    front, back = loft.span_y
    ends = [] if loft.is_on_plates("front") else [(front, front + thick.breadth_mm)]
    ends += [] if loft.is_on_plates("back") else [(back - thick.breadth_mm, back)]
    return [at(*edge, low, high), *(at(*end, foot, low) for end in ends)]

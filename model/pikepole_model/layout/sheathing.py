"""Sheets on walls, outside and inside: upright, their joints on studs."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from shapely import Polygon as Area
from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, profile, sheeting
from pikepole_model.building.sequence import CLOSED_GAPS
from pikepole_model.geometry.least import SHEET
from pikepole_model.geometry.outline import cut_out
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import SHEET_GAP_MM, laid_apart
from pikepole_model.plan.loft import loft_plan
from pikepole_model.plan.loft_walls import loft_against
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_sheets import SheetLayer, inside_sheets, outside_sheets


def sheathe_wall(plan: WallPlan) -> list[Piece]:
    """The sheets of one wall, corner to corner and from the rim under it to the plates.

    A wall higher than a sheet takes a second course; the blocks behind the level joint between
    them are nailed in with the studs.
    """
    layer = outside_sheets(plan)
    return list(_sheets(layer)) if layer else []


def line_wall(plan: WallPlan) -> list[Piece]:
    """The sheets on the inside of one wall, from the floor up, between those of its neighbours."""
    layer = inside_sheets(plan)
    return list(_sheets(layer)) if layer else []


def close_sheets(plan: WallPlan) -> list[Piece]:
    """Strips of sheet where something was taken away that the sheets were cut round."""
    layer = outside_sheets(plan)
    if layer is None:
        return []
    scene, gap = plan.datums.scene, SHEET_GAP_MM
    wall = Area([(0.0, layer.foot), (plan.length_mm, layer.foot), *reversed(layer.top_line)])
    strips = [
        box(one.u[0] + gap, low, one.u[1] - gap, min(high, one.v[1]) - gap)
        for one in layer.cut_round
        if not plan.datums.is_there(scene.existing[one.number], CLOSED_GAPS)
        for low, high in itertools.pairwise(layer.courses)
        if one.v[1] > low
    ]
    return [
        profile(
            layer.what,
            layer.kind,
            CLOSED_GAPS,
            sheeting(scene, scene.walls.sheet),
            outline,
            plan.place,
            layer.stock.thickness_mm,
            grain_rad=math.pi / 2,
        )
        for strip in strips
        for outline, _ in cut_out(wall.intersection(strip), layer.notches)
    ]


def _sheets(layer: SheetLayer) -> Iterator[Piece]:
    plan, stock = layer.plan, layer.stock
    wall = Area([(0.0, layer.foot), (plan.length_mm, layer.foot), *reversed(layer.top_line)])
    cut_away = [
        *(box(framed.u[0], framed.sill, framed.u[1], framed.head) for framed in plan.openings),
        *(_beams_through(plan) if layer.kind == Kind.WALL_SHEET else _inside(plan)),
        *(box(one.u[0], one.v[0], one.u[1], one.v[1]) for one in layer.cut_round),
        *layer.notches,
    ]
    for left, right in layer.sheets_u:
        for low, high in laid_apart(layer.courses):
            sheet = box(left, low, right, high)
            for outline, inner in cut_out(wall.intersection(sheet), cut_away):
                if _is_scrap(plan, outline) or _is_under_floor(outline):
                    continue
                yield profile(
                    layer.what,
                    layer.kind,
                    layer.group,
                    sheeting(plan.datums.scene, stock.name),
                    outline,
                    plan.place.at_depth(layer.n),
                    stock.thickness_mm,
                    grain_rad=math.pi / 2,
                    holes=inner,
                )


def _is_scrap(plan: WallPlan, outline: Polygon) -> bool:
    """Whether a piece lies over a beam's end and no stick of the wall: it is waste."""
    across, foot = [u for u, _ in outline], min(v for _, v in outline)
    left, right = min(across), max(across)
    ends = right <= plan.framed[0] or left >= plan.framed[1]
    return ends or any(
        one.u[0] <= left and right <= one.u[1] and foot >= one.seat for one in plan.pockets
    )


def _is_under_floor(outline: Polygon) -> bool:
    """Whether a piece is a strip under a beam that was there: on the rim, it ties nothing."""
    heights = [v for _, v in outline]
    return max(heights) <= 0.0 and max(heights) - min(heights) < SHEET.width


def _beams_through(plan: WallPlan) -> list[Area]:
    """What is left open for the beams that run out over a bay, up to the rafters, mm."""
    return [box(u0, v0, u1, v1 + plan.datums.beam_depth_mm) for u0, v0, u1, v1 in plan.through]


def _beams_inside(plan: WallPlan) -> list[Area]:
    """What is left open on the inside for what runs level into the wall, mm."""
    return [
        box(p.u[0], p.seat, p.u[1], p.top).buffer(SHEET_GAP_MM, join_style="mitre")
        for p in plan.pockets
    ]


def _inside(plan: WallPlan) -> list[Area]:
    """Where beams run inside a wall's face, and a loft's floor lies against its studs."""
    loft = loft_plan(plan.roof)
    return [*_beams_inside(plan), *(loft_against(loft, plan) if loft else [])]

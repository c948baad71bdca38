"""Sheets on walls, outside and inside: upright, joints on studs, blocks behind a level joint."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from shapely import Polygon as Area
from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, profile, sheeting, timber
from pikepole_model.building.sequence import CLOSED_GAPS, is_there
from pikepole_model.geometry.outline import cut_out, ring
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import (
    LEAST_STICK_MM,
    SHEET_GAP_MM,
    TOLERANCE_MM,
    overlap,
    sheet_edges,
)
from pikepole_model.plan.loft import loft_plan
from pikepole_model.plan.loft_walls import loft_against
from pikepole_model.plan.standing import Standing, closed_gaps, standing_at
from pikepole_model.plan.wall import WallPlan
from pikepole_model.plan.wall_cover import cover_foot_mm, cover_top, lining_top
from pikepole_model.scene.walls import SheetedWall
from pikepole_model.stock.rows import Sheet

# Less wood than this over a level joint takes no nail: 3/4 in, common practice, no source.
LEAST_LANDING_MM = 19.05


@dataclass(frozen=True)
class _Layer:
    """Sheets on one side of a wall's studs.

    Attributes:
        plan: The wall.
        what: What a sheet is called.
        kind: What it is.
        group: What it belongs to.
        stock: What it is cut from.
        u: From and to along the wall, mm.
        foot: Their bottom above the floor, mm.
        top_line: Their top, (u, height above the floor), mm.
        n: Their back, mm out from the framing's outer face.
        block_n: The back of the blocks behind their level joints, mm out from there.
    """

    plan: WallPlan
    what: str
    kind: Kind
    group: str
    stock: Sheet
    u: tuple[float, float]
    foot: float
    top_line: list[tuple[float, float]]
    n: float
    block_n: float

    @property
    def cut_round(self) -> list[Standing]:
        """What is there already where they come."""
        plan, n = self.plan, (self.n, self.n + self.stock.thickness_mm)
        there = standing_at(plan.datums, plan.place, self.group)
        return [one for one in there if overlap(one.n, n)]

    @cached_property
    def courses(self) -> list[float]:
        """Level edges of the sheets from the foot up, the last above the highest point, mm."""
        edges = [self.foot]
        highest = max(top for _, top in self.top_line)
        while edges[-1] < highest - TOLERANCE_MM:
            edges.append(edges[-1] + self.stock.length_mm)
        return edges


def sheathe_wall(plan: WallPlan) -> list[Piece]:
    """The sheets of one wall, corner to corner and from the floor frame's underside to the plates.

    A wall higher than a sheet takes a second course; the level joint between them is backed by
    blocks, which are nailed in with the sheets.
    """
    if not isinstance(plan.kind, SheetedWall):
        return []
    return _laid(_outside(plan))


def _outside(plan: WallPlan) -> _Layer:
    datums = plan.datums
    return _Layer(
        plan,
        f"{plan.group} sheet",
        Kind.WALL_SHEET,
        f"{plan.group} sheathing",
        datums.scene.sheet_stock(datums.scene.walls.sheet),
        (0.0, plan.length_mm),
        cover_foot_mm(plan),
        cover_top(plan),
        0.0,
        -datums.breadth_mm,
    )


def line_wall(plan: WallPlan) -> list[Piece]:
    """The sheets on the inside of one wall, from the floor up and between those of its neighbours.

    A front or back wall's reach from side wall to side wall.
    """
    datums, lining = plan.datums, plan.datums.lining(plan.name)
    if lining is None:
        return []
    beside = [0.0 if plan.runs_through else datums.lining_mm(w) for w in plan.beside]
    return _laid(
        _Layer(
            plan,
            f"{plan.group} {Kind.LINING}",
            Kind.LINING,
            f"{plan.group} lining",
            lining,
            (datums.wall_mm + beside[0], plan.length_mm - datums.wall_mm - beside[1]),
            0.0,
            lining_top(plan),
            -datums.wall_mm - lining.thickness_mm,
            -datums.wall_mm,
        )
    )


def close_sheets(plan: WallPlan) -> list[Piece]:
    """Strips of sheet where something was taken away that the sheets were cut round."""
    if not isinstance(plan.kind, SheetedWall):
        return []
    scene, gap, layer = plan.datums.scene, SHEET_GAP_MM, _outside(plan)
    wall = Area([(0.0, layer.foot), (plan.length_mm, layer.foot), *reversed(layer.top_line)])
    strips = [
        box(one.u[0] + gap, low, one.u[1] - gap, min(high, one.v[1]) - gap)
        for one in layer.cut_round
        if not is_there(scene, scene.existing[one.number], CLOSED_GAPS)
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
        for outline, _ in cut_out(wall.intersection(strip), [])
    ]


def _laid(layer: _Layer) -> list[Piece]:
    return [*_blocks(layer), *_sheets(layer)]


def _sheets(layer: _Layer) -> Iterator[Piece]:
    plan, stock, foot, (start, end) = layer.plan, layer.stock, layer.foot, layer.u
    half = SHEET_GAP_MM / 2
    wall = Area([(0.0, foot), (plan.length_mm, foot), *reversed(layer.top_line)])
    cut_away = [
        *(box(framed.u[0], framed.sill, framed.u[1], framed.head) for framed in plan.openings),
        *(_beams_through(plan) if layer.kind == Kind.WALL_SHEET else _inside(plan)),
        *(box(one.u[0], one.v[0], one.u[1], one.v[1]) for one in layer.cut_round),
    ]
    low, high = sorted(map(plan.from_layout, layer.u))
    marks = [plan.from_layout(u) for u in plan.backed_centres()]
    columns = sorted(
        plan.from_layout(mark) for mark in sheet_edges(low, high, stock.width_mm, marks)
    )
    for left, right in itertools.pairwise(columns):
        for low, high in itertools.pairwise(layer.courses):
            sheet = box(
                left + (half if left > start else 0.0),
                low + (half if low > foot else 0.0),
                right - (half if right < end else 0.0),
                high - half,
            )
            for outline, inner in cut_out(wall.intersection(sheet), cut_away):
                if _is_scrap(plan, outline):
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


def _beams_through(plan: WallPlan) -> list[Area]:
    """What is left open for the beams that run out over a bay, up to the rafters, mm."""
    return [box(u0, v0, u1, v1 + plan.datums.beam_depth_mm) for u0, v0, u1, v1 in plan.through]


def _beams_inside(plan: WallPlan) -> list[Area]:
    """What is left open on the inside for what runs level into the wall, mm."""
    return [
        box(p.u[0], p.seat, p.u[1], p.top).buffer(SHEET_GAP_MM, join_style="mitre")
        for p in plan.pockets
    ]


def _blocks(layer: _Layer) -> Iterator[Piece]:
    """Flat blocks between the uprights behind each level joint, flush with that face of theirs.

    Where the plates come down to the joint, a block is cut to their slope.
    """
    plan, datums = layer.plan, layer.plan.datums
    half = datums.wall_mm / 2
    back = plan.place.at_depth(layer.block_n)
    behind = (layer.block_n, layer.block_n + datums.breadth_mm)
    for joint in layer.courses[1:-1]:
        solid = [
            framed.header_u
            for framed in plan.openings
            if _meets(framed.head, framed.header_top, joint, half)
        ]
        open_ = [
            framed.u for framed in plan.openings if _meets(framed.sill, framed.head, joint, half)
        ]
        standing = sorted(
            upright.u
            for upright in plan.uprights
            if _meets(upright.v[0], math.inf if upright.v[1] is None else upright.v[1], joint, half)
            and overlap(upright.n, behind)
        )
        solid += [p.u for p in plan.pockets if _meets(p.seat, p.top, joint, half)]
        solid += [p.u for p in plan.parted_by if _meets(p.v[0], p.v[1], joint, half)]
        solid += closed_gaps(plan.datums.scene, plan.framed, plan.parted_by)
        filled = sorted([*standing, *solid, *open_])
        reach = filled[0][1] if filled else 0.0
        for u0, u1 in filled[1:]:
            heads = (_head(plan, reach), _head(plan, u0))
            if u0 - reach >= LEAST_STICK_MM and max(heads) >= joint + LEAST_LANDING_MM:
                under = Area([(reach, 0.0), (u0, 0.0), (u0, heads[1]), (reach, heads[0])])
                under = under.intersection(_blunt(plan, reach, u0, joint - half + LEAST_STICK_MM))
                yield profile(
                    f"{plan.group} sheet-edge block",
                    Kind.WALL_BLOCK,
                    layer.group,
                    timber(datums.scene, datums.scene.walls.stud),
                    ring(under.intersection(box(reach, joint - half, u0, joint + half))),
                    back,
                    datums.breadth_mm,
                )
            reach = max(reach, u1)


def _head(plan: WallPlan, u: float) -> float:
    """Underside of what lies on the studs, plates or a cap plate, mm above the floor."""
    part = plan.open_part
    return part.from_mm - plan.datums.breadth_mm if part else plan.stud_head(u)


def _blunt(plan: WallPlan, u0: float, u1: float, least: float) -> Area:
    """The stretch between two uprights where the plates are higher than a block's blunt end."""
    heads = (_head(plan, u0), _head(plan, u1))
    if min(heads) >= least:
        return box(u0, 0.0, u1, max(heads))
    cut = u0 + (u1 - u0) * (least - heads[0]) / (heads[1] - heads[0])
    return box(cut, 0.0, u1, heads[1]) if heads[1] > heads[0] else box(u0, 0.0, cut, heads[0])


def _meets(low: float, high: float, joint: float, half: float) -> bool:
    return low < joint + half and high > joint - half


def _inside(plan: WallPlan) -> list[Area]:
    """Where beams run inside a wall's face, and a loft's floor lies against its studs."""
    loft = loft_plan(plan.roof)
    return [*_beams_inside(plan), *(loft_against(loft, plan) if loft else [])]

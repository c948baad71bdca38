"""Blocks between the rafters over what these rest on: they keep them upright and close the eaves.

Over a closed wall they reach up to the roof sheets, or leave room for air behind a screen:

    ``--..__                     ``--..__
    |      |``--..                  :    ``--..
    |      |                     |--:---|           screen
    |______|                     |______|
     plates   "blocks"            plates   "vents"
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, Source, let_in, profile, timber
from pikepole_model.geometry.outline import NO_AREA_MM2, largest, ring
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Polygon
from pikepole_model.geometry.spacing import (
    LEAST_BLOCK_MM,
    LEAST_STICK_MM,
    TOLERANCE_MM,
    between,
    overlap,
)
from pikepole_model.layout.roof import RAFTERS, tie_outlines
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.gussets import gusset_outlines
from pikepole_model.plan.loft import loft_plan
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_section import across, label
from pikepole_model.plan.slope import Bearing, Slope, Support
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.materials import by_area_material
from pikepole_model.stock.rows import Lumber, Roll

# Vents leave 1 in open under the sheets, as much as IRC R806.3 asks for over insulation.
VENT_MM = 25.4

# A screen lies on a block as far as it stands over it at least: common practice, no source.
LEAST_SCREEN_MM = 2 * VENT_MM

# What is open no wider than 1/4 in needs no screen (IRC R806.1), and no tongue on a block.
LEAST_TONGUE_MM = 6.35

# A block shorter than this along the grain, 4 in, splits at its toe-nails: a gap so narrow is
# closed by one whose grain stands upright. Common practice, no source.
LEAST_ALONG_MM = 101.6

# A saw cut goes this far past the faces of a block, mm.
_PAST_MM = 1.0


@dataclass(frozen=True, slots=True)
class _Beside:
    """What stands beside a rafter, or lies on the plates, where a block comes.

    Attributes:
        x: From and to along the building, mm.
        area: Its outline in (h, z), mm.
    """

    x: tuple[float, float]
    area: BaseGeometry


def block_rafters(roof: RoofPlan) -> list[Piece]:
    """The blocks between the rafters over all that carries them, and the screens of the vents."""
    return [
        piece
        for slope in roof.all_slopes
        for bearing in slope.bearings
        # Those of the slope above stand on the purlin.
        if not (bearing.on == Support.KNEE and slope.upper.meets == Meets.KNEE)
        for piece in _over(roof, slope, bearing)
    ]


def _over(roof: RoofPlan, slope: Slope, bearing: Bearing) -> Iterator[Piece]:
    """The blocks over one bearing."""
    half, length = slope.breadth_mm / 2, roof.datums.length_mm
    beside = [
        _Beside(x, Area([(slope.h_of(y), z) for y, z in outline]))
        for x, outline in _stand_beside(roof)
    ]
    for left, right in itertools.pairwise(slope.centres_mm):
        x = (left + half, right - half)
        if _closes(roof, slope, bearing) and x[0] > 0.0 and x[1] < length:
            yield from _closing(roof, slope, bearing, x, beside)
            continue
        at_end = slope.is_end(left) or slope.is_end(right)
        section = _section(slope, bearing, _seat_mm(slope, bearing, at_end=at_end))
        met = [one.x for one in beside if _meet(one.area, section)]
        for stretch in between(*x, met):
            if stretch[1] - stretch[0] >= LEAST_BLOCK_MM:
                yield _block(roof.datums.scene, slope, slope.rafter, section, stretch)


def _stand_beside(roof: RoofPlan) -> list[tuple[tuple[float, float], Polygon]]:
    """From and to in X, and outline in (y, z), of what stands beside rafters, mm."""
    loft = loft_plan(roof)
    joists = [(one.x, one.outline) for one in loft.joists] if loft else []
    return [*tie_outlines(roof), *gusset_outlines(roof), *joists]


def _meet(one: BaseGeometry, other: BaseGeometry) -> bool:
    return one.intersection(other).area > NO_AREA_MM2


def _closes(roof: RoofPlan, slope: Slope, bearing: Bearing) -> bool:
    """Whether a bearing is the top of a wall that is closed up to there."""
    in_front = slope.y_of(sum(bearing.h) / 2) < roof.datums.depth_mm / 2
    match bearing.on:
        case Support.WALL:
            return roof.datums.scene.is_closed("front" if in_front else "back")
        case Support.STRIP:
            return True
        case _:
            return False


def _seat_mm(slope: Slope, bearing: Bearing, *, at_end: bool) -> float:
    """Underside of a block above ground, mm.

    The end wall's plate that laps the corner there may rise a little over the level one.
    """
    sloped = slope.end_rafter_underside_mm(slope.block_h(bearing)[0])
    return max(bearing.top_mm, sloped) if at_end and not bearing.level_at_ends else bearing.top_mm


def _section(
    slope: Slope, bearing: Bearing, seat: float, deep: float | None = None, vent: float = 0.0
) -> Area:
    """A block from its end, in (h, z), ripped to the roof's slope along its top.

    Args:
        slope: The roof over it.
        bearing: What it stands on.
        seat: Its underside above ground, mm.
        deep: Depth of what it is ripped from, mm; None: as the rafters.
        vent: How far it stays under the roof sheets, plumb, mm.
    """
    h0, h1 = slope.block_h(bearing)
    under_roof = Area([(h0, seat), (h1, seat), *((h, slope.roof_mm(h) - vent) for h in (h1, h0))])
    return largest(under_roof.intersection(box(h0, seat, h1, seat + (deep or slope.rafter_mm))))


def _block(scene: Scene, slope: Slope, stock: str, section: Area, x: tuple[float, float]) -> Piece:
    is_upright = x[1] - x[0] < LEAST_ALONG_MM
    return profile(
        label(slope, Kind.RAFTER_BLOCK),
        Kind.RAFTER_BLOCK,
        RAFTERS,
        timber(scene, stock),
        ring(section),
        across(slope, x[0], x[1] - x[0]),
        x[1] - x[0],
        grain_rad=math.pi / 2 if is_upright else 0.0,
        length_along="u" if is_upright else "n",
    )


def _closing(
    roof: RoofPlan, slope: Slope, bearing: Bearing, x: tuple[float, float], beside: list[_Beside]
) -> Iterator[Piece]:
    """What closes the eave between two rafters, from and to in X, over a wall.

    A tie that leaves a slot over it or under it is fitted into the block's end, and so is the end
    wall's plate that laps the corner, which slopes.
    """
    scene = roof.datums.scene
    if scene.roof.eave == "open":
        return
    vent = VENT_MM if scene.roof.eave == "vents" else 0.0
    seat, plates = _on_plates(roof, slope, bearing, x)
    high = slope.roof_mm(slope.block_h(bearing)[1]) - vent - seat
    if vent:
        high = max(high, _screened_mm(scene, slope, bearing) - seat)
    stock, count = _reaching(scene, slope, high)
    for number in range(count):
        foot = seat + high * number / count
        deep = stock.depth_mm if number == count - 1 else high / count
        section = _section(slope, bearing, foot, deep, vent)
        met = [one for one in beside if overlap(one.x, x) and _meet(one.area, section)]
        slots = [section.difference(one.area).buffer(-LEAST_TONGUE_MM / 2) for one in met]
        let = [one for one, slot in zip(met, slots, strict=True) if not slot.is_empty]
        for stretch in _lengths(x, [one.x for one in met if one not in let], let):
            piece = _block(scene, slope, stock.name, section, stretch)
            for one in (*plates, *let):
                if overlap(one.x, stretch) and _meet(one.area, section):
                    piece = let_in(piece, _waste(slope, piece, one, section, stretch))
            yield piece
        if vent and number == count - 1:
            yield from _screen(scene, slope, bearing, section.bounds[1], x, beside)


def _lengths(
    x: tuple[float, float], taken: list[tuple[float, float]], let: list[_Beside]
) -> Iterator[tuple[float, float]]:
    """From and to of the blocks in a stretch beside what takes all of their height, mm.

    Away from the rafters two blocks meet beside what is let into one of them, so that each can be
    put in.
    """
    for x0, x1 in between(*x, taken):
        joints = sorted(
            one.x[1]
            for one in let
            if one.x[0] > x0 + LEAST_STICK_MM and one.x[1] < x1 - LEAST_STICK_MM
        )
        yield from itertools.pairwise([x0, *joints, x1])


def _on_plates(
    roof: RoofPlan, slope: Slope, bearing: Bearing, x: tuple[float, float]
) -> tuple[float, list[_Beside]]:
    """The lowest of a block in a stretch of a wall's plates, mm, and what these take of it.

    At a corner the end wall's plate that laps the others there slopes, and they lie level.
    """
    wall, length, low = roof.datums.wall_mm, roof.datums.length_mm, bearing.top_mm
    corners = [(0.0, wall), (length - wall, length)]
    if bearing.level_at_ends or not any(overlap(one, x) for one in corners):
        return low, []
    h0, h1 = slope.block_h(bearing)
    ends = [(h, slope.end_rafter_underside_mm(h)) for h in (h1 + _PAST_MM, h0 - _PAST_MM)]
    low = min(low, *(z for _, z in ends))
    foot = low - _PAST_MM
    sloping = Area([(ends[1][0], foot), (ends[0][0], foot), *ends])
    level = box(ends[1][0], foot, ends[0][0], bearing.top_mm)
    return low, [
        *(_Beside(one, sloping) for one in corners),
        _Beside((wall, length - wall), level),
    ]


def _reaching(scene: Scene, slope: Slope, high: float) -> tuple[Lumber, int]:
    """What blocks of some height are ripped from, and how many stand on one another, mm.

    Over steep roofs they are higher than the rafters are deep: the shallowest section of the same
    thickness that is deep enough, or else as many of the rafters' own as it takes.
    """
    rafter = scene.lumber_stock(slope.rafter)
    enough = [
        stock
        for stock in scene.catalogue.lumber.values()
        if abs(stock.breadth_mm - rafter.breadth_mm) < TOLERANCE_MM
        and stock.depth_mm > high - TOLERANCE_MM
    ]
    if rafter in enough or not enough:
        return rafter, max(1, math.ceil((high - TOLERANCE_MM) / rafter.depth_mm))
    return min(enough, key=lambda stock: stock.depth_mm), 1


def _waste(
    slope: Slope, block: Piece, taken: _Beside, section: Area, x: tuple[float, float]
) -> Piece:
    """What is sawn out of a block for something beside it: past its faces, and past its end."""
    h0, low, h1, high = section.bounds
    past = box(h0 - _PAST_MM, low - _PAST_MM, h1 + _PAST_MM, high + _PAST_MM)
    area = largest(taken.area.intersection(past))
    for further in (-_PAST_MM, _PAST_MM):
        longer = area.union(translate(area, yoff=further))
        if longer.difference(area).intersection(section).area < NO_AREA_MM2:
            area = longer
    start = taken.x[0] if taken.x[0] > x[0] + TOLERANCE_MM else x[0] - _PAST_MM
    end = taken.x[1] if taken.x[1] < x[1] - TOLERANCE_MM else x[1] + _PAST_MM
    return profile(
        block.label,
        block.kind,
        block.group,
        block.source,
        ring(largest(area)),
        across(slope, start, end - start),
        end - start,
    )


def _screen_h(slope: Slope, bearing: Bearing, roll: Roll) -> float:
    """Where a screen starts down the slope: on the inner faces of blocks, if rafters run past."""
    h0, h1 = slope.block_h(bearing)
    above = h0 - roll.thickness_mm
    return h1 if bearing.outer_up or slope.upper.h > above else above


def _screened_mm(scene: Scene, slope: Slope, bearing: Bearing) -> float:
    """How high blocks reach at least, for a screen to lie on their faces, mm above ground."""
    roll = scene.roll_stock(scene.roof.screen)
    top = slope.roof_mm(_screen_h(slope, bearing, roll) + roll.thickness_mm)
    return top - roll.width_mm + VENT_MM


def _screen(
    scene: Scene,
    slope: Slope,
    bearing: Bearing,
    low: float,
    x: tuple[float, float],
    beside: list[_Beside],
) -> Iterator[Piece]:
    """A strip of screen from the roof sheets down over blocks, on their faces up the slope.

    It is cut round ties, and where no block fits it has nothing to lie on. Where rafters end there,
    it is nailed to the other faces.

    Args:
        scene: The scene.
        slope: The roof over it.
        bearing: What the blocks stand on.
        low: Underside of the upper ones, mm.
        x: From and to between two rafters, mm.
        beside: What may stand in its way.
    """
    roll = scene.roll_stock(scene.roof.screen)
    start, thick = _screen_h(slope, bearing, roll), roll.thickness_mm
    top = slope.roof_mm(start + thick)
    foot = max(low, top - roll.width_mm)
    face = box(start, foot, start + thick, top)
    taken: list[BaseGeometry] = []
    for one in beside:
        if overlap(one.x, x) and _meet(one.area, face):
            _, under, _, over = one.area.intersection(face).bounds
            is_closed = top - over <= LEAST_TONGUE_MM
            taken.append(box(one.x[0], under, one.x[1], top if is_closed else over))
    y = max(slope.y_of(start), slope.y_of(start + thick))
    place = Placement((0.0, y, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    strip = box(x[0], foot, x[1], top).difference(shapely.union_all(taken))
    for part in shapely.get_parts(strip):
        left, _, right, _ = part.bounds
        if right - left < LEAST_STICK_MM:
            continue
        yield profile(
            label(slope, Kind.VENT_SCREEN),
            Kind.VENT_SCREEN,
            RAFTERS,
            Source(roll.name, by_area_material(roll)),
            ring(part),
            place,
            thick,
        )

"""The boards along the roof's edges: fascias, barge boards, and sheets under the tails.

Fascias reach from barge board to barge board; those pass over the fascias' ends and meet in a
plumb cut at the ridge. All of them lie under the edges of the roof sheets.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from shapely import Polygon as Area
from shapely import box

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, profile, sheeting, timber
from pikepole_model.geometry.outline import ring
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.shape import Polygon, rectangle
from pikepole_model.geometry.spacing import anywhere, laid_apart, sheet_edges, splice
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.faces import roof_plane, roof_u
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.roof_section import across, label
from pikepole_model.plan.slope import RafterEnd, Slope, at
from pikepole_model.plan.tails import level_tailed
from pikepole_model.scene.schema import Scene

EDGES = "roof edges"

# A run along an eave or a rake is cut so that its last board is no offcut: 4 ft, common practice,
# no source.
LEAST_MM = 1219.2


def board_edges(roof: RoofPlan) -> list[Piece]:
    """All boards along the edges of all slopes, and the soffits."""
    scene = roof.datums.scene
    return [
        piece
        for slope in roof.all_slopes
        for piece in (
            *_fascias(roof, slope),
            *_barges(scene, slope),
            *_soffits(roof, slope),
        )
    ]


def _fascias(roof: RoofPlan, slope: Slope) -> Iterator[Piece]:
    scene = roof.datums.scene
    stock = scene.fascia
    if not stock:
        return
    source = timber(scene, stock.name)
    start, end = slope.sheeted_x[0] + slope.barge_mm, slope.sheeted_x[1] - slope.barge_mm
    for rafter_end, down in ((slope.upper, -1), (slope.lower, 1)):
        if not rafter_end.edge_mm:
            continue
        width = min(stock.depth_mm, _over_wall_mm(roof, slope, rafter_end, down))
        for x0, x1 in splice(start, end, stock.longest_mm, slope.centres_mm, least=LEAST_MM):
            yield profile(
                label(slope, Kind.FASCIA),
                Kind.FASCIA,
                EDGES,
                source,
                _fascia_outline(slope, rafter_end, down, width),
                across(slope, x0, x1 - x0),
                x1 - x0,
                length_along="n",
            )


def _over_wall_mm(roof: RoofPlan, slope: Slope, end: RafterEnd, down: int) -> float:
    """Room for a fascia over the wall's sheets, where the rafters end over the wall, mm."""
    bearing = slope.bearings[-1 if down > 0 else 0]
    past = (end.h - bearing.h[1]) if down > 0 else (bearing.h[0] - end.h)
    if past >= roof.datums.proud_mm(roof.wall_under(slope, end)):
        return math.inf
    height = slope.roof_mm(end.h + min(down, 0) * end.edge_mm) - bearing.top_mm
    return height * math.cos(slope.slope_rad) if end.cut == "square" else height


def _fascia_outline(slope: Slope, end: RafterEnd, down: int, width: float) -> Polygon:
    """A fascia in (h, z): upright with its top ripped to the slope, or square to the slope."""
    out = down * end.edge_mm
    if end.cut == "square":
        d = end.h / math.cos(slope.slope_rad)
        return tuple(at(slope, *place) for place in rectangle(d, -width, d + out, 0.0))
    h0, h1 = end.h, end.h + out
    foot = slope.fascia_foot_mm(end, down, width)
    return ((h0, foot), (h1, foot), (h1, slope.roof_mm(h1)), (h0, slope.roof_mm(h0)))


def _barges(scene: Scene, slope: Slope) -> Iterator[Piece]:
    stock = scene.barge
    if not stock:
        return
    # On an end rafter the board is no wider than that: the wall's sheets come up to there.
    width = stock.depth_mm if any(slope.overhangs_mm) else min(stock.depth_mm, slope.end_rafter_mm)
    whole = level_tailed(scene, slope, Area(barge_outline(slope, width)))
    cos = math.cos(slope.slope_rad)
    d0, d1 = whole.bounds[0] / cos, whole.bounds[2] / cos
    # Plumb joints lean across the board.
    longest = stock.longest_mm - width * math.tan(slope.slope_rad)
    lengths = splice(d0, d1, longest, anywhere(d0, d1), least=LEAST_MM)
    start, end = slope.sheeted_x
    source = timber(scene, stock.name)
    for x in (start, end - slope.barge_mm):
        for h0, h1 in ((a * cos, b * cos) for a, b in lengths):
            yield profile(
                label(slope, Kind.BARGE),
                Kind.BARGE,
                EDGES,
                source,
                ring(whole.intersection(box(h0, -stock.longest_mm, h1, 2 * slope.start_mm))),
                across(slope, x, slope.barge_mm),
                slope.barge_mm,
                grain_rad=-slope.slope_rad,
            )


def barge_outline(slope: Slope, width: float) -> Polygon:
    """A barge board in (h, z), from the upper fascia's face or the ridge to the lower one's.

    Args:
        slope: The slope whose end it closes.
        width: Of the board, square to the slope, mm.
    """
    # Rafters stop at a ridge board; the boards outside meet over its end.
    upper = slope.sheeted_h[0] if slope.upper.meets != Meets.RIDGE else 0.0
    (a, b), (c, d) = (
        [slope.corner(replace(end, h=h), square) for square in (0.0, width)]
        for end, h in ((slope.upper, upper), (slope.lower, slope.sheeted_h[1]))
    )
    return (a, b, d, c)


def _soffits(roof: RoofPlan, slope: Slope) -> Iterator[Piece]:
    """Sheets on the undersides of the tails, from the last thing they pass over to their ends."""
    scene = roof.datums.scene
    edges = scene.edges
    if not edges or not edges.soffit:
        return
    stock = scene.sheet_stock(edges.soffit)
    depth, cos, sin = slope.rafter_mm, math.cos(slope.slope_rad), math.sin(slope.slope_rad)
    spans: list[tuple[float, float]] = []
    for end, bearing, down in (
        (slope.upper, slope.bearings[0], -1),
        (slope.lower, slope.bearings[-1], 1),
    ):
        if not end.edge_mm:
            continue
        out = roof.datums.proud_mm(roof.wall_under(slope, end))
        # Where the rafters' underside ends, and where the wall's face meets it, down the slope.
        tail = end.h / cos
        if end.cut == "plumb":
            tail += (depth + stock.thickness_mm) * sin / cos if down < 0 else depth * sin / cos
        face = (bearing.h[1] + out) if down > 0 else (bearing.h[0] - out)
        wall = face / cos + (depth + (0.0 if down < 0 else stock.thickness_mm)) * sin / cos
        if (tail - wall) * down >= stock.thickness_mm:
            spans.append((min(tail, wall), max(tail, wall)))
    start, end_x = slope.ends_x
    supports = sorted(slope.centres_mm)
    for d0, d1 in spans:
        origin = _under(slope, depth + stock.thickness_mm, d1)
        for a, b in laid_apart(sheet_edges(start, end_x, stock.length_mm, supports)):
            u0, u1 = sorted((roof_u(slope, a), roof_u(slope, b)))
            yield profile(
                label(slope, Kind.SOFFIT),
                Kind.SOFFIT,
                EDGES,
                sheeting(scene, edges.soffit),
                rectangle(u0, 0.0, u1, d1 - d0),
                origin,
                stock.thickness_mm,
            )


def _under(slope: Slope, n: float, d: float) -> Placement:
    """The roof's plane moved n under the rafters' top, its v starting at d."""
    plane = roof_plane(slope)
    low = slope.sheeted_h[1] / math.cos(slope.slope_rad)
    return Placement(plane.point(0.0, low - d, -n), plane.u, plane.v)

"""Outlines cut out of outlines: openings in sheets, birdsmouths in rafters.

Plane geometry is shapely's; this says only what a cut outline means as a piece.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely import LineString, box
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.shape import Loop, Polygon
from pikepole_model.geometry.spacing import TOLERANCE_MM

# What is left of a sheet and is narrower than this is waste, not a piece.
LEAST_PIECE_MM = 20.0

# What rounding has left along a cut edge and is thinner than this is no wood: no saw leaves it.
FILM_MM = 0.1
SHARPEST_MITRE = 100.0  # so that the most acute corner that is sawn keeps its point

# An area smaller than this is left by rounding, mm2.
NO_AREA_MM2 = 0.01

# Corners nearer to a straight line than this are not corners.
STRAIGHT_MM = 1e-4


def ring(area: BaseGeometry) -> Polygon:
    """The outer outline of one connected area, mm.

    Raises:
        ValueError: the area is empty or in several pieces.
    """
    if not isinstance(area, Area) or area.is_empty:
        raise ValueError(f"one outline was meant, not {area.geom_type}")
    straight = shapely.simplify(area, STRAIGHT_MM)
    points = list(straight.exterior.coords)[:-1]
    return tuple((u, v) for u, v in points)


def cut_out(whole: BaseGeometry, holes: Sequence[Area]) -> list[tuple[Polygon, list[Loop]]]:
    """What is left of an area when others are taken out of it.

    Args:
        whole: The sheet, mm.
        holes: What is cut away, mm.

    Returns:
        Outer outline and inner loops of each piece that is left and wide enough to be one.
    """
    left = shapely.difference(whole, shapely.union_all(list(holes))) if holes else whole
    pieces: list[tuple[Polygon, list[Loop]]] = []
    for area in shapely.get_parts(left):
        if area.is_empty or area.buffer(-LEAST_PIECE_MM / 2).is_empty:
            continue
        area = shapely.simplify(without_films(area), STRAIGHT_MM)
        inner: list[Loop] = [ring(Area(hole)) for hole in area.interiors]
        pieces.append((ring(area), inner))
    return sorted(pieces)


def largest(area: BaseGeometry) -> Area:
    """The largest part of an area, where a cut leaves several."""
    return max(shapely.get_parts(area), key=lambda part: part.area)


def without_films(area: Area) -> Area:
    """An area less every film along its edges; the area itself where it has none.

    It is shrunk until a film vanishes and grown back; the largest part is what is left of it.
    """
    if shapely.minimum_clearance(area) > FILM_MM:
        return area
    less = area.buffer(-FILM_MM / 2, join_style="mitre", mitre_limit=SHARPEST_MITRE)
    if less.is_empty:
        return area
    whole = less.buffer(FILM_MM / 2, join_style="mitre", mitre_limit=SHARPEST_MITRE)
    return largest(whole)


def grown(
    hole: BaseGeometry,
    piece: tuple[float, float, float, float],
    over: float = LEAST_PIECE_MM,
) -> Area:
    """A hole's box, carried on to the edges of a piece where it would leave waste beside it.

    Args:
        hole: What is cut away, mm.
        piece: The box (u0, v0, u1, v1) it is cut from, mm.
        over: What is left over the hole and is lower than this is waste, mm.
    """
    u0, v0, u1, v1 = hole.bounds
    return box(
        min(u0, piece[0]) if u0 - piece[0] < LEAST_PIECE_MM else u0,
        min(v0, piece[1]) if v0 - piece[1] < LEAST_PIECE_MM else v0,
        max(u1, piece[2]) if piece[2] - u1 < LEAST_PIECE_MM else u1,
        max(v1, piece[3]) if piece[3] - v1 < over else v1,
    )


def past_edges(
    waste: BaseGeometry, piece: tuple[float, float, float, float], past_mm: float
) -> BaseGeometry:
    """A saw cut carried on past a piece's edges: two faces in one plane leave films behind.

    Args:
        waste: What is cut away, mm.
        piece: The box (u0, v0, u1, v1) it is cut from, mm.
        past_mm: How far past its edges.
    """
    u0, v0, u1, v1 = piece
    cut = [waste]
    for edge, du, dv in (
        (LineString([(u0, v0), (u0, v1)]), -past_mm, 0.0),
        (LineString([(u1, v0), (u1, v1)]), past_mm, 0.0),
        (LineString([(u0, v0), (u1, v0)]), 0.0, -past_mm),
        (LineString([(u0, v1), (u1, v1)]), 0.0, past_mm),
    ):
        shared = shapely.intersection(waste, edge)
        if shared.length < TOLERANCE_MM:
            continue
        a, b, c, d = shared.bounds
        cut.append(box(min(a, a + du), min(b, b + dv), max(c, c + du), max(d, d + dv)))
    return shapely.union_all(cut)

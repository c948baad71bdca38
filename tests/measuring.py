"""A tape measure: lengths read off the solids of a building, never off the code that drew them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon as Area

from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.building.piece import Piece
from pikepole_model.geometry.placement import Points, Vector
from pikepole_model.plan.wall import WallPlan

INCH = 25.4

# Recipes are rounded to a millionth of a millimetre; turning them costs a little more.
CUT_MM = 1e-4

# 1/8 in between sheets: APA builder tip, "Prevent Buckling with Proper Spacing".
GAP_MM = 3.175


@dataclass(frozen=True)
class Box:
    """Low and high corner of a part in the building, mm."""

    low: Vector
    high: Vector


def of_kind(building: Building, *kinds: Kind) -> list[Part]:
    """The parts of some kinds."""
    return [part for part in building.parts if part.kind in kinds]


def of_group(building: Building, group: str) -> list[Part]:
    """The parts of one group."""
    return [part for part in building.parts if part.group == group]


def corners(part: Part | Piece) -> Points:
    """(n, 3) float: the corners of a part's solid in the building, mm."""
    return part.placement.apply(part.shape.mesh.vertices)


def box_of(part: Part | Piece) -> Box:
    """How far a part reaches along the building's axes."""
    points = corners(part)
    low, high = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def side_edges(part: Part | Piece) -> Iterator[tuple[Points, Points]]:
    """The solid's edges that lie in its left face, as (y, z) of their ends, mm."""
    points = corners(part)
    left = points[:, 0].min()
    for a, b in part.shape.mesh.edges:
        if points[a, 0] < left + CUT_MM and points[b, 0] < left + CUT_MM:
            yield points[a, 1:], points[b, 1:]


def from_the_end(part: Part | Piece) -> Area:
    """A straight-sided part's end or side as seen along X, in (y, z), mm."""
    edges = [((float(a[0]), float(a[1])), (float(b[0]), float(b[1]))) for a, b in side_edges(part)]
    lines = shapely.set_precision(shapely.MultiLineString(edges), 1e-5)
    return max(shapely.polygonize([lines]).geoms, key=lambda area: area.area)  # type: ignore


@dataclass(frozen=True)
class Cuts:
    """The edges of a rafter's side by their direction, each with its length, mm.

    Attributes:
        level: Seats.
        plumb: Heels and plumb tails.
        along: Top and underside, along the slope.
        square: Square tails.
    """

    level: tuple[float, ...]
    plumb: tuple[float, ...]
    along: tuple[float, ...]
    square: tuple[float, ...]


def cuts_of(rafter: Part | Piece, slope_rad: float) -> Cuts:
    """What was sawn on a rafter, each set in rising order, mm."""
    found: dict[str, list[float]] = {"level": [], "plumb": [], "along": [], "square": []}
    for a, b in side_edges(rafter):
        dy, dz = (abs(float(value)) for value in b - a)
        length = math.hypot(dy, dz)
        angle = math.atan2(dz, dy)
        names = {"level": 0.0, "plumb": math.pi / 2}
        names |= {"along": slope_rad, "square": math.pi / 2 - slope_rad}
        name, off = min(
            ((name, abs(angle - way)) for name, way in names.items()), key=lambda pair: pair[1]
        )
        assert off * length < 0.01, f"an edge at {math.degrees(angle)} degrees"
        found[name].append(length)
    return Cuts(**{name: tuple(sorted(lengths)) for name, lengths in found.items()})


def in_wall(plan: WallPlan, part: Part) -> Area:
    """A part's outline in a wall's plane (u along it, v above the floor), mm; convex parts only."""
    place = plan.place
    points = corners(part) - np.array(place.origin)
    return shapely.MultiPoint(
        list(zip(points @ np.array(place.u), points @ np.array(place.v), strict=True))
    ).convex_hull  # type: ignore[return-value]


def depths(plan: WallPlan, part: Part) -> tuple[float, float]:
    """How far in from and out of a wall's outer face a part reaches, mm."""
    across = (corners(part) - np.array(plan.place.origin)) @ np.array(plan.place.n)
    return float(across.min()), float(across.max())


def section(part: Part) -> tuple[float, float]:
    """The two smaller sides of a part's body, mm."""
    a, b, _ = sorted(part.shape.size_mm)
    return a, b


def gaps(edges: Iterable[float]) -> list[float]:
    """Distances from each to the next, mm."""
    return [b - a for a, b in itertools.pairwise(sorted(edges))]

"""Bent sheet metal: an outline at true thickness, in lengths that lap.

A profile is drawn by the line that lies on what is under it, with the metal on its left hand. Where
one length laps the next it lies on top of it, so every other length is drawn one thickness out.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from shapely import LineString

from pikepole_model.geometry.shape import Polygon
from pikepole_model.stock.rows import Flat

Line: TypeAlias = Sequence[tuple[float, float]]

# Lengths lie at most this many deep, at a lap.
PLIES = 2

# How far the ends of a shelf over a head are turned up: common practice, no source.
DAM_MM = 12.7

# A last piece under this share of a full length looks like what it is, a remnant: common practice,
# no source.
SHORT = 1 / 3

# No bend here is sharper than a right angle and a half; sharper ones would need a round.
_LONGEST_MITRE = 4.0


def bent(line: Line, thickness_mm: float, ply: int = 0) -> Polygon:
    """The outline of a bent sheet.

    Args:
        line: The face that lies on what is under it, mm; the metal is on its left.
        thickness_mm: Of the metal, mm.
        ply: How many thicknesses it lies out from that line: 0 or 1.
    """
    inner = parallel(line, ply * thickness_mm)
    outer = parallel(line, (ply + 1) * thickness_mm)
    return (*inner, *reversed(outer))


def parallel(line: Line, distance_mm: float) -> Polygon:
    """A line with square ends at a distance to the left of another, its corners mitred, mm."""
    path = LineString(line)
    if distance_mm:
        path = path.offset_curve(distance_mm, join_style="mitre", mitre_limit=_LONGEST_MITRE)
    return tuple((u, v) for u, v in path.coords)


def girth_mm(line: Line, thickness_mm: float) -> float:
    """Width of flat metal that a profile is bent from: the length of its middle line, mm."""
    return float(LineString(parallel(line, thickness_mm / 2)).length)


def lengths(
    start: float, end: float, flat: Flat, lap_mm: float | None = None
) -> list[tuple[float, float]]:
    """From and to of each length of a run, each lapping the one before it, mm.

    As many full ones as go in, and the rest; where that would be short, it and the one before it
    are cut equal.

    Args:
        start: Beginning of the run, mm.
        end: Its end, mm.
        flat: What it is bent from: its length and how far lengths lap.
        lap_mm: How far they lap here, where that is not as usual.
    """
    full, lap = flat.length_mm, flat.lap_mm if lap_mm is None else lap_mm
    runs: list[tuple[float, float]] = []
    while end - start > full:
        left = end - (start + full - lap)
        stop = start + full if left >= SHORT * full else (start + end + lap) / 2
        runs.append((start, stop))
        start = stop - lap
    return [*runs, (start, end)]

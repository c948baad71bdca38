"""Boards side by side on a wall: level in courses, or upright in columns, each in which lengths."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.outline import LEAST_PIECE_MM, cut_out, grown
from pikepole_model.geometry.spacing import TOLERANCE_MM, joints_of, splice


def course_edges(low: float, high: float, pitch: float) -> list[float]:
    """Lower edges of courses from the foot up, mm.

    Args:
        low: Foot of the first, mm.
        high: Under which the last one starts, mm.
        pitch: From edge to edge, mm.
    """
    edges = [low]
    while edges[-1] + pitch < high - TOLERANCE_MM:
        edges.append(edges[-1] + pitch)
    return edges


def lengths_in_courses(
    area: BaseGeometry,
    edges: Sequence[float],
    width: float,
    open_: Sequence[BaseGeometry],
    longest: float,
    studs: Sequence[float],
    least_over: float = LEAST_PIECE_MM,
) -> Iterator[tuple[float, BaseGeometry]]:
    """Each board with its course's lower edge, end joints over studs and apart from those below.

    Args:
        area: What is covered, in (u, v), mm.
        edges: Lower edges of the courses, mm.
        width: Of a board, mm.
        open_: What is left open, mm.
        longest: Length of the stock, mm.
        studs: Where a joint may lie, mm.
        least_over: What a board keeps over an opening, mm; less is let go.
    """
    u0, _, u1, _ = area.bounds
    below: list[float] = []
    for v in edges:
        course = shapely.intersection(area, box(u0, v, u1, v + width))
        if course.is_empty:
            continue
        joints: list[float] = []
        holes = [grown(h, course.bounds, least_over) for h in open_ if h.intersects(course)]
        for outline, inner in cut_out(course, holes):
            left = Area(outline, [loop for loop in inner if isinstance(loop, tuple)])
            start, low, end, high = left.bounds
            runs = splice(start, end, longest, studs, below)
            joints += joints_of(runs)
            for run in runs:
                for part in shapely.get_parts(
                    shapely.intersection(left, box(run[0], low, run[1], high))
                ):
                    yield v, part
        below = joints


def columns_of(
    low: float, high: float, width: float, gap: float, start: Literal["left", "right", "centre"]
) -> list[tuple[float, float]]:
    """From and to of the boards side by side along a wall, the last one or both ends ripped.

    Args:
        low: Left edge of what they cover, mm.
        high: Right edge, mm.
        width: Of a whole board, mm.
        gap: Between two, mm.
        start: Where a whole board stands: at the left, at the right, or in the middle.

    Returns:
        In order, mm. Where an end is too narrow for a piece, two equal ones take the place of the
        last whole board, so that the wall is covered from edge to edge.
    """
    pitch = width + gap
    first = {"left": low, "right": high - width, "centre": (low + high - width) / 2}[start]
    first -= math.ceil((first - low - TOLERANCE_MM) / pitch) * pitch
    count = math.ceil((high - first) / pitch)
    columns = [
        (max(low, first + k * pitch), min(high, first + k * pitch + width)) for k in range(count)
    ]
    columns = [(u0, u1) for u0, u1 in columns if u1 - u0 >= LEAST_PIECE_MM]
    if columns and columns[0][0] > low + TOLERANCE_MM:
        end = columns[0][1]
        half = (end - low - gap) / 2
        columns = [(low, low + half), (end - half, end), *columns[1:]]
    if columns and columns[-1][1] < high - TOLERANCE_MM:
        end = columns[-1][0]
        half = (high - end - gap) / 2
        columns = [*columns[:-1], (end, end + half), (high - half, high)]
    return columns


def stretches(low: float, high: float, longest: float, gap: float) -> list[tuple[float, float]]:
    """An upright run cut into stock lengths from its foot up, a gap between them, mm.

    Args:
        low: Foot of the run, mm.
        high: Its top, mm.
        longest: Length of the stock, mm.
        gap: Left open between two lengths, mm.
    """
    runs: list[tuple[float, float]] = []
    while high - low > longest + TOLERANCE_MM:
        runs.append((low, low + longest))
        low += longest + gap
    return [*runs, (low, high)]

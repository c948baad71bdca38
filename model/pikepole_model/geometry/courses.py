"""Level boards on a wall, course by course: what each covers between openings, in which lengths."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

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

"""Boards side by side on a wall: level in courses, or upright in columns, each in which lengths."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Literal

import shapely
from shapely import Polygon as Area
from shapely import box
from shapely.geometry.base import BaseGeometry

from pikepole_model.geometry.outline import (
    LEAST_PIECE_MM,
    NO_AREA_MM2,
    cut_out,
    grown,
    without_films,
)
from pikepole_model.geometry.spacing import (
    LEAST_LENGTH_MM,
    STAGGER_MM,
    TOLERANCE_MM,
    joints_of,
    splice,
)


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

    Of two courses below, so that joints make no ladder, where the studs leave that choice.

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
    below: list[list[float]] = []
    for v in edges:
        course = shapely.intersection(area, box(u0, v, u1, v + width))
        if course.is_empty:
            continue
        joints: list[float] = []
        holes = [grown(h, course.bounds, least_over) for h in open_ if h.intersects(course)]
        for outline, inner in cut_out(course, holes):
            left = Area(outline, [loop for loop in inner if isinstance(loop, tuple)])
            start, low, end, high = left.bounds
            runs = _apart(start, end, longest, studs, below)
            joints += joints_of(runs)
            for run in runs:
                for part in shapely.get_parts(
                    shapely.intersection(left, box(run[0], low, run[1], high))
                ):
                    # Beside a joint at the end of a notch an edge is left over, or hangs on.
                    if part.area > NO_AREA_MM2:
                        yield v, without_films(part)
        below = [*below[-1:], joints]


def _apart(
    start: float, end: float, longest: float, studs: Sequence[float], below: Sequence[list[float]]
) -> list[tuple[float, float]]:
    """A run cut into lengths whose joints lie apart from those of courses below, mm.

    Args:
        start: Beginning of the run, mm.
        end: Its end, mm.
        longest: Length of the stock, mm.
        studs: Where a joint may lie, mm.
        below: The joints of each course below, the last that of the next one, mm.
    """
    joints = list(itertools.chain.from_iterable(below))
    runs = splice(start, end, longest, studs, joints)
    near = (abs(a - b) for a in joints_of(runs) for b in joints)
    if len(below) < 2 or min(near, default=STAGGER_MM) > STAGGER_MM - TOLERANCE_MM:
        return runs
    return _apart(start, end, longest, studs, below[1:])


# The last length of an upright run is 10 in at least: a shorter one is a patch under the eaves, and
# has no room for a row of nails between those at its ends. Common practice, no source.
LEAST_LAST_MM = 254.0

# How finely other places for the first board are tried: 1/8 in.
TRIED_MM = 3.175


def too_narrow(width: float, least: float) -> float:
    """How bad a width is that is left of a piece: 0 for none and for enough, else 1 to 2."""
    return 0.0 if width <= TOLERANCE_MM or width >= least - TOLERANCE_MM else 2.0 - width / least


def across(area: BaseGeometry) -> tuple[float, float]:
    """From and to of an area along u, mm."""
    return area.bounds[0], area.bounds[2]


def up(area: BaseGeometry) -> tuple[float, float]:
    """From and to of an area up v, mm."""
    return area.bounds[1], area.bounds[3]


def edges_within(area: BaseGeometry, axis: Literal[0, 1]) -> list[float]:
    """Where edges of an area that stand square to an axis lie within it, along that axis, mm.

    Args:
        area: What is covered, in (u, v), mm.
        axis: 0 for upright edges, at u; 1 for level ones, at v.
    """
    low, high = (area.bounds[axis + end] for end in (0, 2))
    return sorted(
        {
            a[axis]
            for part in shapely.get_parts(area)
            if isinstance(part, Area)
            for a, b in itertools.pairwise(part.exterior.coords)
            if abs(b[axis] - a[axis]) < TOLERANCE_MM < abs(b[1 - axis] - a[1 - axis])
            if low + 1.0 < a[axis] < high - 1.0
        }
    )


def arms(
    columns: Iterable[tuple[float, float]],
    holes: Iterable[tuple[float, float]],
    least: float,
    let_go: float = 0.0,
) -> float:
    """How bad what holes leave of columns beside them is: 0 where nothing is too narrow.

    Args:
        columns: From and to of each, mm.
        holes: From and to of what is cut out of them over some height, mm.
        least: What a column keeps beside a hole at least, mm.
        let_go: What is cut off with the hole where no more would be left past it, mm.
    """
    return sum(
        too_narrow(u0 - start, least) * (start < u0 < end)
        + too_narrow(end - u1, least) * (start < u1 < end - let_go)
        for (start, end), (u0, u1) in itertools.product(list(columns), list(holes))
    )


def columns_of(
    low: float,
    high: float,
    width: float,
    gap: float,
    start: Literal["left", "right", "centre"],
    least: float = LEAST_PIECE_MM,
    how_bad: Callable[[Sequence[tuple[float, float]]], float] = lambda _: 0.0,
) -> list[tuple[float, float]]:
    """From and to of the boards side by side along a wall, the last one or both ends ripped.

    Args:
        low: Left edge of what they cover, mm.
        high: Right edge, mm.
        width: Of a whole board, mm.
        gap: Between two, mm.
        start: Where a whole board stands: at the left, at the right, or in the middle.
        least: Width of the narrowest that may stand at an end, mm.
        how_bad: What speaks against some columns: the first place in which least does is taken, of
            whole boards as `start` says and then from there on.

    Returns:
        In order, mm. Where an end is too narrow for a piece, two equal ones take the place of the
        last whole board, so that the wall is covered from edge to edge.
    """
    first = {"left": low, "right": high - width, "centre": (low + high - width) / 2}[start]
    best, bad = _columns(low, high, width, gap, first, least), math.inf
    for k in range(math.ceil((width + gap) / TRIED_MM)):
        tried = _columns(low, high, width, gap, first - k * TRIED_MM, least)
        ends = sum(too_narrow(u1 - u0, least) for u0, u1 in tried)
        if (found := how_bad(tried) + ends) < bad - TOLERANCE_MM:
            best, bad = tried, found
        if bad <= TOLERANCE_MM:
            break
    return best


def _columns(
    low: float, high: float, width: float, gap: float, first: float, least: float
) -> list[tuple[float, float]]:
    pitch = width + gap
    first -= math.ceil((first - low - TOLERANCE_MM) / pitch) * pitch
    count = math.ceil((high - first) / pitch)
    columns = [
        (max(low, first + k * pitch), min(high, first + k * pitch + width)) for k in range(count)
    ]
    columns = [(u0, u1) for u0, u1 in columns if u1 - u0 >= least - TOLERANCE_MM]
    if columns and columns[0][0] > low + TOLERANCE_MM:
        end = columns[0][1]
        half = (end - low - gap) / 2
        columns = [(low, low + half), (end - half, end), *columns[1:]]
    if columns and columns[-1][1] < high - TOLERANCE_MM:
        end = columns[-1][0]
        half = (high - end - gap) / 2
        columns = [*columns[:-1], (end, end + half), (high - half, high)]
    return columns


def stretches(
    low: float,
    high: float,
    longest: float,
    gap: float,
    stops: Sequence[tuple[float, float]] = (),
) -> list[tuple[float, float]]:
    """An upright run cut into stock lengths from its foot up, a gap between them, mm.

    No length is a stub: one is cut shorter where the last one would be, or where it would end just
    under or over something.

    Args:
        low: Foot of the run, mm.
        high: Its top, mm.
        longest: Length of the stock, mm.
        gap: Left open between two lengths, mm.
        stops: From and to of what parts of the run stop at, mm.
    """
    runs: list[tuple[float, float]] = []
    least = LEAST_LENGTH_MM

    def leaves_no_stub(top: float) -> bool:
        return high - top - gap >= LEAST_LAST_MM - TOLERANCE_MM and not any(
            v1 < top < v1 + least - TOLERANCE_MM or v0 - least + TOLERANCE_MM < top + gap < v0
            for v0, v1 in stops
        )

    while high - low > longest + TOLERANCE_MM:
        lower = (high - LEAST_LAST_MM - gap, *(v0 - least - gap for v0, _ in stops))
        reached = [v for v in (low + longest, *lower) if low + least < v <= low + longest]
        top = max(filter(leaves_no_stub, reached), default=low + longest)
        runs.append((low, top))
        low = top + gap
    return [*runs, (low, high)]

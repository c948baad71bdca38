"""What is there already where a wall comes: it is framed round posts in its line.

lengths    |<------------->|        |<-------->|
           ||      |      || ##### ||    |    ||
                            post     a stud at both sides of it, plates cut between
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pikepole_model.building.sequence import CLOSED_GAPS
from pikepole_model.geometry.placement import Placement
from pikepole_model.geometry.spacing import CLEAR_OF_MM, TOLERANCE_MM, overlap, without
from pikepole_model.plan.datums import Datums

# What is left between two of them, or between one and the wall's end, is filled with one stud,
# ripped, where it is narrower than two; under 1/2 in it is left open. Common practice, no source.
LEAST_FILLED_MM = 12.7

# A gap that no more studs than these fill is filled with them: plates and rims cut to it would be
# blocks that split as they are nailed. Common practice, no source.
MOST_FILLING = 3


@dataclass(frozen=True, slots=True)
class Standing:
    """Something that is there already, as a wall sees it.

    Attributes:
        number: Its place among the scene's [[existing]] tables, from 0.
        u: From and to along the wall, with room at both sides, mm.
        v: From its foot to its top above the floor, with room, mm.
        n: From and to across the wall, mm; 0 is the framing's outer face, inwards negative.
    """

    number: int
    u: tuple[float, float]
    v: tuple[float, float]
    n: tuple[float, float]

    def is_in(
        self, wall_mm: float, reach_mm: tuple[float, float], v_mm: tuple[float, float]
    ) -> bool:
        """Whether it stands in a wall's studs, between its ends, its foot and its plates' top."""
        return (
            overlap(self.n, (-wall_mm, 0.0)) and overlap(self.u, reach_mm) and overlap(self.v, v_mm)
        )


def standing_at(datums: Datums, place: Placement, group: str) -> tuple[Standing, ...]:
    """What is there already when a group goes up, from left to right in a wall's frame."""
    found: list[Standing] = []
    for number, one in enumerate(datums.scene.existing):
        if not datums.is_there(one, group):
            continue
        corners = [
            (x - place.origin[0], y - place.origin[1])
            for x in (one.x, one.x + one.width)
            for y in (one.y, one.y + one.depth)
        ]
        us, ns = (
            sorted(dx * axis[0] + dy * axis[1] for dx, dy in corners) for axis in (place.u, place.n)
        )
        floor = datums.floor_mm + datums.raised_mm
        found.append(
            Standing(
                number,
                (us[0] - CLEAR_OF_MM, us[-1] + CLEAR_OF_MM),
                (one.foot - floor - CLEAR_OF_MM, one.height - floor + CLEAR_OF_MM),
                (ns[0], ns[-1]),
            )
        )
    return tuple(sorted(found, key=lambda one: one.u))


def standing_in(
    datums: Datums,
    place: Placement,
    group: str,
    reach: tuple[float, float],
    v: tuple[float, float],
) -> tuple[Standing, ...]:
    """What of that stands in a wall's studs, between its foot and the top of its plates."""
    there = standing_at(datums, place, group)
    return tuple(one for one in there if one.is_in(datums.wall_mm, reach, v))


def plates_between(
    reach: tuple[float, float],
    parted_by: Sequence[Standing],
    doors: Sequence[tuple[float, float]],
    breadth_mm: float,
) -> list[tuple[float, float]]:
    """From and to of a wall's bottom plates, mm: they run on under what is there over them.

    None under a filler: as long as a stud is wide, it would split.
    """
    low = [one for one in parted_by if one.v[0] < breadth_mm]
    lengths = [u for u in lengths_between(reach, low) if not is_filled(u, breadth_mm)]
    return [run for u in lengths for run in without(u, doors)]


def is_filled(length: tuple[float, float], breadth_mm: float) -> bool:
    """Whether two studs have no room side by side in what is left: one stud fills it."""
    return length[1] - length[0] < 2 * breadth_mm - TOLERANCE_MM


def lengths_between(
    reach: tuple[float, float], parted_by: Sequence[Standing]
) -> tuple[tuple[float, float], ...]:
    """From and to of what is left of a wall between what stands in it, mm; all where nothing is."""
    found: list[tuple[float, float]] = []
    start, end = reach
    for one in parted_by:
        found.append((start, one.u[0]))
        start = max(start, one.u[1])
    found.append((start, end))
    return tuple(u for u in found if u[1] - u[0] >= LEAST_FILLED_MM) or (reach,)


def closed_gaps(
    datums: Datums, reach: tuple[float, float], parted_by: Sequence[Standing]
) -> list[tuple[float, float]]:
    """From and to of each gap in a wall that nothing of what was there stays in, mm."""
    there = datums.scene.existing
    stay = [one.u for one in parted_by if datums.is_there(there[one.number], CLOSED_GAPS)]
    gaps = without(reach, lengths_between(reach, parted_by))
    return [gap for gap in gaps if not any(overlap(gap, u) for u in stay)]


def is_narrow(gap: tuple[float, float], breadth_mm: float) -> bool:
    """Whether studs fill a gap that was left, and nothing is cut to its length."""
    return gap[1] - gap[0] <= MOST_FILLING * breadth_mm + TOLERANCE_MM


def filling(gap: tuple[float, float], breadth_mm: float) -> list[tuple[float, float]]:
    """From and to of the studs side by side that fill a narrow gap, mm.

    What is too little to rip one to is left in the middle.
    """
    start, end = gap
    whole = math.floor((end - start + TOLERANCE_MM) / breadth_mm)
    left, right = whole - whole // 2, whole // 2
    studs = [(start + k * breadth_mm, start + (k + 1) * breadth_mm) for k in range(left)]
    rest = (start + left * breadth_mm, end - right * breadth_mm)
    if rest[1] - rest[0] >= LEAST_FILLED_MM:
        studs.append(rest)
    return studs + [(end - (k + 1) * breadth_mm, end - k * breadth_mm) for k in range(right)]


def goes_through(
    parted_by: Sequence[Standing], gap: tuple[float, float], foot: float, wall_mm: float
) -> bool:
    """Whether what stood in a gap went down past a height through all of the wall's thickness.

    Args:
        parted_by: What stands in the wall.
        gap: From and to along it, mm.
        foot: The height, over the floor, mm.
        wall_mm: Thickness of the wall.
    """
    there = [one for one in parted_by if overlap(one.u, gap)]
    return bool(there) and all(
        one.v[0] <= foot and one.n[0] - CLEAR_OF_MM <= -wall_mm and one.n[1] + CLEAR_OF_MM >= 0.0
        for one in there
    )


def end_studs(
    lengths: Sequence[tuple[float, float]], breadth_mm: float
) -> Iterator[tuple[float, float]]:
    """From and to of the studs at both ends of each length: one where two have no room, mm."""
    for start, end in lengths:
        if is_filled((start, end), breadth_mm):
            yield (start, min(end, start + breadth_mm))
        else:
            yield from ((start, start + breadth_mm), (end - breadth_mm, end))


def mirrored(spans: Sequence[tuple[float, float]], length: float) -> list[tuple[float, float]]:
    """The same from the other end, mm."""
    return [(length - u1, length - u0) for u0, u1 in reversed(spans)]

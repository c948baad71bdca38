"""Where along a wall its braces are nailed, and what keeps its doorways from spreading.

Tape(right, zero_mm, frames)              along what a wall's measures are told
tape_of(wall, frames, right) -> Tape
places_along(load, count, fixed_mm) -> where along a frame, mm from its box's end
largest_share(places_mm, length_mm) -> what the brace that takes most has of the load
brace_place(load, at_mm, fixed_mm, tape) -> BracePlace
spreaders(tape) -> tuple[Spreader, ...]

+----------------------------+      A brace is nailed to a full stud, so that there is none in a
|   |  b  |  |       |  b  | |      doorway; and clear of the ends, where the next wall's plate
|   |  |  |  |       |  |  | |      lies on the floor. A spreader is a board nailed across a
+---+--+--+--+=======+--+--+-+      doorway's foot, where the bottom plate is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from pikepole_export.derive.lifting.loads import Load
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Points, Vector
from pikepole_model.units import INCH_MM

# How far in from its ends a wall is braced, and apart at the most (8 to 12 ft): common practice, no
# source.
END_MM = 150.0
SPACING_MM = 2400.0

# A board across a doorway lies on a jack and a king at either side: common practice, no source.
OVER_STUDS_MM = 3 * INCH_MM
SPREADER_NAILS = 2  # at each end

_FULL = {Kind.STUD, Kind.CORNER_STUD, Kind.POST_STUD, Kind.KING, Kind.WALL_POST}
_BESIDE = {Kind.JACK, Kind.KING, Kind.STUD, Kind.WALL_POST}
_FOOT_MM = 100.0  # a full stud stands so low: on the bottom plate, or on what that stands on
_SAME_MM = 1.0


@dataclass(frozen=True, slots=True)
class Tape:
    """Along what a wall's measures are told.

    Attributes:
        right: The way it runs: to the right as the wall is seen from outside, a unit vector.
        zero_mm: Where it is hooked, along that: the left end of what the wall stands on.
        frames: What goes up one after the other: the wall, or its halves.
    """

    right: Vector
    zero_mm: float
    frames: tuple[Load, ...]


@dataclass(frozen=True, slots=True)
class BracePlace:
    """Where one brace is fixed.

    Attributes:
        tape_mm: Along the wall's tape: the left edge of what it is nailed to.
        upper_mm: Its upper end, in the middle of that; building frame, mm.
        on: What it is nailed to: "stud", "post"; nothing where none is known.
    """

    tape_mm: float
    upper_mm: Vector
    on: str


@dataclass(frozen=True, slots=True)
class Spreader:
    """A board across a doorway's foot while its wall is tilted up.

    Attributes:
        tape_mm: The doorway's left side along the wall's tape.
        wide_mm: The doorway.
        length_mm: From the far side of one king to that of the other.
    """

    tape_mm: float
    wide_mm: float
    length_mm: float


def tape_of(wall: Load, frames: Sequence[Load], right: Iterable[float] | None = None) -> Tape:
    """The tape along a wall, hooked where those of its drawings are.

    Args:
        wall: All of it.
        frames: What goes up of it one after the other.
        right: To the right from outside, as far as that is known.
    """
    x, y, z = (float(share) for share in (wall.box.u if right is None else right))
    way = np.array([x, y, z])
    feet = [part for part in wall.parts if part.kind is Kind.BOTTOM_PLATE]
    feet = feet or [part for part in wall.parts if part.kind is Kind.WALL_POST]
    points = [part.vertices_mm for part in feet] or [wall.vertices_mm]
    return Tape((x, y, z), min(float((one @ way).min()) for one in points), tuple(frames))


def places_along(load: Load, count: int, fixed_mm: float) -> tuple[float, ...]:
    """Where a frame is braced, mm from the end of its box where that begins: middles of studs.

    The full studs nearest to even places; fewer where there are not so many of them, and the even
    places themselves where there is none.

    Args:
        load: The frame.
        count: Of braces.
        fixed_mm: How high over its foot they are fixed.
    """
    length = load.size_mm[0]
    apart = (length - 2 * END_MM) / max(1, count - 1)
    even = [END_MM + number * apart for number in range(count)]
    studs = _studs(load, fixed_mm, count)
    if not studs:
        return tuple(even)
    free, found = dict.fromkeys(studs), list[float]()
    for place in even[: len(studs)]:
        nearest = min(free, key=lambda at: (abs(at - place), at))
        del free[nearest]
        found.append(nearest)
    return tuple(sorted(found))


def too_far_apart(load: Load, places_mm: Sequence[float], fixed_mm: float) -> bool:
    """Whether two are further apart than braces are, although a stud between them is left."""
    studs = _studs(load, fixed_mm, len(places_mm))
    return any(
        after - before > SPACING_MM + _SAME_MM
        and any(before + _SAME_MM < stud < after - _SAME_MM for stud in studs)
        for before, after in pairwise(places_mm)
    )


def largest_share(places_mm: Sequence[float], length_mm: float) -> float:
    """What the one that takes most has of a load all along: halfway to its neighbours.

    Args:
        places_mm: In rising order.
        length_mm: Of what they hold.
    """
    halfway = ((before + after) / 2 for before, after in pairwise(places_mm))
    reached = (0.0, *halfway, length_mm)
    return max(after - before for before, after in pairwise(reached)) / length_mm


def brace_place(load: Load, along_mm: float, fixed_mm: float, tape: Tape) -> BracePlace:
    """A place along a frame as a tape has it.

    Args:
        load: The frame.
        along_mm: From the end of its box where that begins.
        fixed_mm: How high over its foot the brace is fixed.
        tape: Along its wall.
    """
    way = np.array(tape.right)
    x, y, _ = load.box.point(along_mm, 0.0, load.size_mm[2] / 2)
    upper = (x, y, load.low_mm + fixed_mm)
    part = next((one for one in load.parts if _is_at(one, load, along_mm)), None)
    if part is None:
        return BracePlace(float(np.array(upper) @ way) - tape.zero_mm, upper, "")
    left_mm = float((part.vertices_mm @ way).min())
    on = "post" if part.kind is Kind.WALL_POST else "stud"
    return BracePlace(left_mm - tape.zero_mm, upper, on)


def spreaders(tape: Tape) -> tuple[Spreader, ...]:
    """The doorways of the frames that go up, each with a board across its foot.

    Args:
        tape: Along their wall.
    """
    found = (one for frame in tape.frames for one in _doorways(frame.parts, np.array(tape.right)))
    return tuple(
        Spreader(left - tape.zero_mm, right - left, right - left + 2 * OVER_STUDS_MM)
        for left, right in sorted(found)
    )


def _doorways(parts: Sequence[Part], way: Points) -> Iterator[tuple[float, float]]:
    """Where the bottom plate is left out between jacks, kings or posts."""

    def spans(kinds: set[Kind]) -> list[tuple[float, float]]:
        along = (part.vertices_mm @ way for part in parts if part.kind in kinds)
        return sorted((float(one.min()), float(one.max())) for one in along)

    beside = spans(_BESIDE)
    for (_, left), (right, _) in pairwise(spans({Kind.BOTTOM_PLATE})):
        ends = any(abs(high - left) < _SAME_MM for _, high in beside)
        begins = any(abs(low - right) < _SAME_MM for low, _ in beside)
        if ends and begins and right - left > _SAME_MM:
            yield left, right


def _studs(load: Load, fixed_mm: float, count: int) -> list[float]:
    """Middles of the full studs that braces can be nailed to; clear of the ends, if enough are."""
    middles = sorted({_along(part, load) for part in load.parts if _is_full(part, load, fixed_mm)})
    inside = [at for at in middles if END_MM <= at <= load.size_mm[0] - END_MM]
    return inside if len(inside) >= count else middles


def _is_full(part: Part, load: Load, fixed_mm: float) -> bool:
    low, high = part.bounds_mm[0][2], part.bounds_mm[1][2]
    return (
        part.kind in _FULL
        and low < load.low_mm + _FOOT_MM
        and high > load.low_mm + fixed_mm - _SAME_MM
    )


def _is_at(part: Part, load: Load, along_mm: float) -> bool:
    return part.kind in _FULL and abs(_along(part, load) - along_mm) < _SAME_MM


def _along(part: Part, load: Load) -> float:
    away = np.subtract(part.centre_mm, load.box.origin)
    return float(away @ np.array(load.box.u))

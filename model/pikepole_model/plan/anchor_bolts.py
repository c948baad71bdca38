"""Anchor bolts: where they stand along a bottom plate, and what goes on them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from pikepole_model.geometry.spacing import TOLERANCE_MM

# Anchor bolts (IRC R403.1.6): at least 7 in deep in the concrete and two in a plate, the end ones
# not more than 12 in from its end and not nearer than seven diameters, in the middle third of its
# width. Under the nut lies a
# 3 in square washer 1/4 in thick, or one as wide as a narrower plate; the hole is drilled 1/16 in
# over: common practice, no source.
LEAST_EMBEDMENT_MM = 177.8
FARTHEST_FROM_END_MM = 304.8
# One bolt holds a plate no longer than this. Source: IRC R403.1.6, exception for short walls
# between offset braced panels; here of any plate so short.
ONE_BOLT_UP_TO_MM = 609.6
DIAMETERS_FROM_END = 7
WASHER_MM, WASHER_THICKNESS_MM = 76.2, 6.35
DRILLED_OVER_MM = 1.5875

# From the middle of a rod in adhesive to what stands beside it: fingers have room round it as it is
# turned in, upright. Common practice, no source.
FINGERS_MM = WASHER_MM / 2

# A nut as high as the bolt is thick and 1-1/2 times as wide, two threads showing above it: common
# practice, no source.
NUT_WIDTHS, THREADS_SHOWING_MM = 1.5, 6.0


def over_plate_mm(diameter: float) -> float:
    """How far a bolt stands up over the plate that it holds, mm."""
    return WASHER_THICKNESS_MM + diameter + THREADS_SHOWING_MM


def washer_mm(plate_mm: float) -> float:
    """Side of the square washer on a plate of some width, mm."""
    return min(WASHER_MM, plate_mm)


def bolt_places(
    run: tuple[float, float],
    spacing: float,
    diameter: float,
    taken: Sequence[tuple[float, float]],
) -> list[float]:
    """Where the anchor bolts of one length of bottom plate go.

    Args:
        run: From and to of the plate, mm.
        spacing: Greatest distance between bolts, mm; where it is not known, the end bolts are all.
        diameter: Of the bolts, mm.
        taken: From and to of what stands on the plate, mm.

    Returns:
        Places in rising order, mm: one where a plate is too short for two washers, none where
        uprights leave no room for a washer at all. Where uprights stand in the way at an end, the
        bolt there is farther from it than the code allows; who checks the scene must say so.

    Source: IRC R403.1.6.
    """
    start, end = run
    middle, half = (start + end) / 2, WASHER_MM / 2
    nearest = min(DIAMETERS_FROM_END * diameter, middle - start)
    low, high = start + nearest, end - nearest
    grown = ((u0 - half, u1 + half) for u0, u1 in taken)
    blocked = [(u0, u1) for u0, u1 in grown if u0 < high + half and u1 > low - half]
    edges = [edge for pair in blocked for edge in pair]

    def clear(place: float, others: Sequence[float]) -> bool:
        return (
            low - TOLERANCE_MM <= place <= high + TOLERANCE_MM
            and all(place <= u0 + TOLERANCE_MM or place >= u1 - TOLERANCE_MM for u0, u1 in blocked)
            and all(abs(place - other) >= WASHER_MM - TOLERANCE_MM for other in others)
        )

    def near(wish: float, within: tuple[float, float], others: Sequence[float]) -> list[float]:
        """The clear place nearest to a wish, from a stretch of the plate if that has one."""

        def far(place: float) -> tuple[bool, float]:
            return not within[0] <= place <= within[1], abs(place - wish)

        clear_ones = (place for place in sorted((wish, *edges), key=far) if clear(place, others))
        return [*itertools.islice(clear_ones, 1)]

    if high - low < WASHER_MM:
        return near(middle, (low, high), [])
    # The end bolts of a short plate keep to their own halves, a washer's width apart, and stand in
    # the middles of these where they can: common practice, no source.
    farthest = min(FARTHEST_FROM_END_MM, middle - half - start)
    wish = min(farthest, max(nearest, (middle - start) / 2))
    first = near(start + wish, (low, start + farthest), [])
    last = near(end - wish, (end - farthest, high), first)
    if not (first and last) or math.isnan(spacing):
        return [*first, *last]
    # Fewer gaps than these are wider than the spacing, wherever the bolts stand.
    gaps = max(1, math.ceil((last[0] - first[0]) / (spacing + TOLERANCE_MM)))
    while True:
        places = [*first, *last]
        step = (last[0] - first[0]) / gaps
        for k in range(1, gaps):
            places += near(first[0] + step * k, (low, high), places)
        places.sort()
        widest = max(b - a for a, b in itertools.pairwise(places))
        if widest <= spacing + TOLERANCE_MM or step < WASHER_MM:
            return places
        gaps += 1

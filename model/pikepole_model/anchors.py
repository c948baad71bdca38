"""Anchor bolts: where they stand along a bottom plate, and what goes on them."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from pikepole_model.spacing import CLOSE_MM

# Anchor bolts (IRC R403.1.6): at least two in a plate, the end ones not more than 12 in from its
# end and not nearer than seven diameters, in the middle third of its width. Under the nut lies a
# 3 in square washer 1/4 in thick; the hole is drilled 1/16 in over: common practice, no source.
FARTHEST_FROM_END_MM = 304.8
DIAMETERS_FROM_END = 7
WASHER_MM, WASHER_THICKNESS_MM = 76.2, 6.35
DRILLED_OVER_MM = 1.5875


def bolt_places(
    run: tuple[float, float],
    spacing: float,
    diameter: float,
    taken: Sequence[tuple[float, float]],
) -> list[float]:
    """Where the anchor bolts of one length of bottom plate go.

    Args:
        run: From and to of the plate, mm.
        spacing: Greatest distance between bolts, mm.
        diameter: Of the bolts, mm.
        taken: From and to of what stands on the plate, mm.

    Returns:
        Places in rising order, mm. A plate too short for two gets one in its middle.

    Source: IRC R403.1.6.
    """
    start, end = run
    least, most = DIAMETERS_FROM_END * diameter, FARTHEST_FROM_END_MM
    if end - start < 2 * least:
        return [(start + end) / 2]
    half = WASHER_MM / 2
    blocked = [(u0 - half, u1 + half) for u0, u1 in taken]

    def free(low: float, high: float, wish: float) -> float:
        edges = [edge for pair in blocked for edge in pair if low <= edge <= high]
        clear = [
            place
            for place in [wish, *edges]
            if all(place <= u0 + CLOSE_MM or place >= u1 - CLOSE_MM for u0, u1 in blocked)
        ]
        return min(clear, key=lambda place: abs(place - wish), default=wish)

    middle = (start + end) / 2
    first = free(start + least, min(start + most, middle), min(start + most, middle))
    last = free(max(end - most, middle), end - least, max(end - most, middle))
    gaps = 1
    while True:
        step = (last - first) / gaps
        between = [free(first, last, first + step * k) for k in range(1, gaps)]
        places = [first, *between, last]
        widest = max(b - a for a, b in itertools.pairwise(places))
        if widest <= spacing + CLOSE_MM or step < WASHER_MM:
            return places
        gaps += 1

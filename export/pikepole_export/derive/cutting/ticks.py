"""Lengths as whole ticks and money as whole numbers, so that plans are exact.

tick_mm(lengths_mm) -> what one tick is
ticks(length_mm, tick) -> how many
whole(amounts) -> whole numbers in the same proportion, and what one of them is worth
"""

from __future__ import annotations

import math
from collections.abc import Sequence

FINEST = 1e-4  # 1/64 in is 0.396875 mm: no measure of the trade needs a finer decimal
MICROMETRE_MM = 1e-3
NOISE = 1e-3  # of a tick: left by arithmetic, no length


def tick_mm(lengths_mm: Sequence[float]) -> float:
    """The largest measure that all lengths share, or a micrometre."""
    finest = [length / FINEST for length in lengths_mm]
    if all(abs(n - round(n)) < NOISE for n in finest):
        shared = math.gcd(*map(round, finest)) * FINEST
        if shared >= MICROMETRE_MM:
            return shared
    return MICROMETRE_MM


def ticks(length_mm: float, tick: float) -> int:
    """Whole ticks in a length; what is over is less than any saw can tell."""
    return math.floor(length_mm / tick + NOISE)


def whole(amounts: Sequence[float]) -> tuple[tuple[int, ...], float]:
    """Amounts to four decimals, as whole numbers without common factor, and their unit."""
    finest = [round(amount / FINEST) for amount in amounts]
    shared = math.gcd(*finest) or 1
    return tuple(n // shared for n in finest), shared * FINEST

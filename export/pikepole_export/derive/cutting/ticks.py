"""Lengths as whole ticks and money as whole numbers, so that plans are exact.

shared_step_mm(lengths_mm) -> what one tick is
up(length_mm, step_mm), down(length_mm, step_mm) -> ticks
whole(amounts) -> whole numbers in the same proportion, and what one of them is worth
"""

from __future__ import annotations

import math
from collections.abc import Sequence

FINEST = 1e-4  # 1/64 in is 0.396875 mm: no measure of the trade needs a finer decimal
TENTH_MM = 0.1
MOST_TICKS = 100_000  # in a length; more make searches slow
NOISE = 1e-4  # of a tick: left by arithmetic, no length


def shared_step_mm(lengths_mm: Sequence[float]) -> float:
    """The largest measure that all lengths share, or a tenth of a millimetre."""
    finest = [length / FINEST for length in lengths_mm]
    if all(abs(n - round(n)) < 1e-3 for n in finest):
        shared = math.gcd(*map(round, finest))
        if max(map(round, finest)) <= shared * MOST_TICKS:
            return shared * FINEST
    return TENTH_MM


def up(length_mm: float, step_mm: float) -> int:
    """Ticks of a piece or a kerf: what is not whole counts as one more."""
    return math.ceil(length_mm / step_mm - NOISE)


def down(length_mm: float, step_mm: float) -> int:
    """Ticks of what is cut up: what is not whole does not count."""
    return math.floor(length_mm / step_mm + NOISE)


def whole(amounts: Sequence[float]) -> tuple[tuple[int, ...], float]:
    """Amounts to four decimals, as whole numbers without common factor, and their unit."""
    finest = [round(amount / FINEST) for amount in amounts]
    shared = math.gcd(*finest) or 1
    return tuple(n // shared for n in finest), shared * FINEST

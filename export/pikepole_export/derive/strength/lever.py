"""What of a load each of several members carries that lie side by side."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise


def shares_of(places_mm: Sequence[float], low_mm: float, high_mm: float) -> list[float]:
    """What of an even piece each of several members carries, by the lever rule.

    Between two members each carries the more the nearer it is; past the last one the piece is a
    lever over it, and draws the last but one up. Whatever they are, the shares have the sum and
    the moment of the piece. Source: the lever rule of bridge decks, AASHTO LRFD 4.6.2.2.1 (clause
    from memory): a floor as simple spans from member to member.

    Args:
        places_mm: Middles of the members, rising; at least one.
        low_mm: Where the piece begins, mm in the same frame.
        high_mm: Where it ends, no less.
    """
    shares = [0.0] * len(places_mm)
    if len(places_mm) == 1:
        return [1.0]
    within = [at for at in places_mm if low_mm < at < high_mm]
    for start, end in pairwise((low_mm, *within, high_mm)):
        weight = (end - start) / (high_mm - low_mm) if high_mm > low_mm else 1.0
        middle = (start + end) / 2
        first = max(0, min(sum(at <= middle for at in places_mm) - 1, len(places_mm) - 2))
        near, far = places_mm[first], places_mm[first + 1]
        lever = (middle - near) / (far - near)
        shares[first] += weight * (1 - lever)
        shares[first + 1] += weight * lever
    return shares

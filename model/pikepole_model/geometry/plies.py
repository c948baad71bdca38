"""Where the plies of a built-up member meet end to end: over supports, and past each other.

staggered(start, end, longest, places, plies) -> from and to of each length, ply by ply

|-----------------------o-----------|     o a joint, over a support; the next ply runs past it
|-----------o-----------------------|
|-----------------------o-----------|
"""

from __future__ import annotations

import bisect
import heapq
import itertools
from collections.abc import Iterable, Sequence
from typing import TypeAlias

from pikepole_model.geometry.spacing import STAGGER_MM, TOLERANCE_MM

# A ply shorter than this is a splinter: both its ends would lie within the lap of its neighbours.
# Common practice, no source.
LEAST_PLY_MM = STAGGER_MM

# A ply shorter than this has not a whole lap on its neighbours from each of its ends: it
# is cut longer where the places leave that choice. Common practice, no source.
SHORT_PLY_MM = 2 * STAGGER_MM

_Run: TypeAlias = list[tuple[float, float]]
_Ends: TypeAlias = tuple[float, ...]

# What is wrong with a layout, the worst first: mm over the longest stock, splinters, joints of
# neighbours in one place, joints, short plies; and how far all joints of the one and of the other
# fall short of the end, mm.
_Cost: TypeAlias = tuple[float, int, int, int, int, float, float]


def staggered(
    start: float, end: float, longest: float, places: Iterable[float], plies: int
) -> list[_Run]:
    """The lengths of every ply of a built-up member.

    Every other ply is cut alike. Neighbours keep their joints STAGGER_MM apart, no ply is shorter
    than LEAST_PLY_MM, there are as few joints as can be, and of those layouts as few short plies,
    where the places leave that choice.

    Args:
        start: Beginning of the member, mm.
        end: Its end, mm.
        longest: Longest stock, mm.
        places: Where a joint may lie, mm.
        plies: How many there are.

    Returns:
        (from, to) of each length in order, for each ply, mm. One comes out longer than the stock
        where the places are farther apart than that.
    """
    if end - start <= longest + TOLERANCE_MM:
        return [[(start, end)]] * plies
    within = {place for place in places if start + TOLERANCE_MM < place < end - TOLERANCE_MM}
    both = _best_two([start, *sorted(within), end], longest, alone=plies == 1)
    runs = [list(itertools.pairwise(ends)) for ends in both]
    return [runs[ply % 2] for ply in range(plies)]


def _best_two(nodes: Sequence[float], longest: float, *, alone: bool) -> tuple[_Ends, _Ends]:
    """The ends of the lengths of two neighbours: the cheapest way from end to end of both.

    Whichever has come less far goes on, so that each joint is held against its neighbour's last.
    """
    last, first = len(nodes) - 1, (nodes[0],)
    ways: list[tuple[_Cost, int, int, _Ends, _Ends]] = [
        ((0.0, 0, 0, 0, 0, 0.0, 0.0), 0, last if alone else 0, first, first)
    ]
    done: set[tuple[int, int]] = set()
    while True:
        cost, i, j, one, other = heapq.heappop(ways)
        if i == j == last:
            return one, other
        if (i, j) in done:
            continue
        done.add((i, j))
        at, beside = min(i, j), max(i, j)
        reach = bisect.bisect_right(nodes, nodes[at] + longest + TOLERANCE_MM)
        for to in range(at + 1, max(reach, at + 2)):
            length, short = nodes[to] - nodes[at], nodes[-1] - nodes[to]
            meet = 0 < to < last and 0 < beside < last
            total = (
                cost[0] + max(0.0, length - longest - TOLERANCE_MM),
                cost[1] + (length < LEAST_PLY_MM - TOLERANCE_MM),
                cost[2] + (meet and abs(nodes[to] - nodes[beside]) < STAGGER_MM - TOLERANCE_MM),
                cost[3] + (to < last),
                cost[4] + (length < SHORT_PLY_MM - TOLERANCE_MM),
                cost[5] + (short if i <= j else 0.0),
                cost[6] + (short if i > j else 0.0),
            )
            if i <= j:
                heapq.heappush(ways, (total, to, j, (*one, nodes[to]), other))
            else:
                heapq.heappush(ways, (total, i, to, one, (*other, nodes[to])))

"""Where things fall along a line: members on centre, joints over supports, edges of sheets."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence

# End joints of two layers that carry each other lie at least this far apart: 24 in
# (IRC R602.3.2, double top plates).
STAGGER_MM = 609.6

# Lengths that differ by no more than this are equal, mm: far under a pencil line.
TOLERANCE_MM = 0.01

# Sheets and sticks are cut this much clear of what stands in their way: room to move.
CLEAR_OF_MM = 6.0

# A last length shorter than this splits at its nails; the one before it is cut shorter instead,
# where supports allow: 6 in, common practice, no source.
LEAST_LENGTH_MM = 152.4

# A block shorter than this splits as it is nailed, and so narrow a gap between two members needs
# none: 3-1/2 in, common practice, no source.
LEAST_BLOCK_MM = 88.9

# A stick shorter than this is not cut: the gap is left to the nails.
LEAST_STICK_MM = 25.4


def on_centre(start: float, end: float, spacing: float, breadth: float) -> list[float]:
    """Centres of members laid out on centre from the first end, both ends flush.

    The tape hooks on the start: the first member stands flush with it, the next has its centre at
    one spacing, so that a sheet that starts flush breaks on a member. The last stands flush with
    the end; the layout member before it is left out where the two would collide.

    Args:
        start: Outer face of the first member, mm.
        end: Outer face of the last member, mm.
        spacing: Centre to centre, mm.
        breadth: Thickness of a member, mm.

    Returns:
        Centres in rising order, mm.
    """
    last = end - breadth / 2
    inner = [start + spacing * k for k in range(1, math.floor((last - start) / spacing) + 1)]
    inner = [centre for centre in inner if centre - start >= breadth * 1.5 - TOLERANCE_MM]
    return [
        start + breadth / 2,
        *(centre for centre in inner if last - centre >= breadth - TOLERANCE_MM),
        last,
    ]


def evenly(first: float, last: float, most: float) -> list[float]:
    """Both ends and what lies between them, evenly and at most some distance apart, mm.

    Args:
        first: One end, mm.
        last: The other, mm.
        most: Greatest distance between two places, mm, above 0.
    """
    return parted(first, last, max(1, math.ceil((last - first) / most - 1e-9)))


def parted(first: float, last: float, gaps: int) -> list[float]:
    """Both ends and the places between them that part the way into equal gaps, mm.

    Args:
        first: One end, mm.
        last: The other, mm.
        gaps: How many, from 1.
    """
    return [first + (last - first) * k / gaps for k in range(gaps + 1)]


def splice(
    start: float,
    end: float,
    longest: float,
    supports: Iterable[float],
    apart_from: Sequence[float] = (),
    least: float = LEAST_LENGTH_MM,
) -> list[tuple[float, float]]:
    """Cut a run that is longer than its stock into lengths that meet over supports.

    Each length is as long as stock and supports allow, less what a stub of the last one lacks.
    Joints keep STAGGER_MM away from those of
    the layer that this one is fixed to, where the supports leave that choice.

    Args:
        start: Beginning of the run, mm.
        end: End of the run, mm.
        longest: Longest stock, mm.
        supports: Places where a joint may lie, mm.
        apart_from: Joints of the neighbouring layer, mm.
        least: What the last length is at least, where the supports leave that choice, mm.

    Returns:
        (from, to) of each length in order, mm. A length over unsupported ground may come out
        longer than the stock; who lays it out must say so.
    """
    places = sorted(
        place for place in supports if start + TOLERANCE_MM < place < end - TOLERANCE_MM
    )
    runs: list[tuple[float, float]] = []
    while end - start > longest + TOLERANCE_MM:
        reach = [p for p in places if start + TOLERANCE_MM < p <= start + longest + TOLERANCE_MM]
        clear = [
            p for p in reach if all(abs(p - j) >= STAGGER_MM - TOLERANCE_MM for j in apart_from)
        ]
        beyond = [p for p in places if p > start + longest]
        if not reach and not beyond:
            break
        long = [p for p in clear if end - p >= least - TOLERANCE_MM]
        joint = (long or clear or reach or beyond[:1])[-1]
        runs.append((start, joint))
        start = joint
    runs.append((start, end))
    return runs


def ripped_rows(start: float, end: float, width: float, gap: float) -> list[tuple[float, float]]:
    """From and to of boards side by side, the last one ripped, mm.

    Where that leaves a lath, the last two are ripped to share what is left.

    Args:
        start: Edge of the first, mm.
        end: Edge of the last, mm.
        width: Of a board, mm.
        gap: Between two, mm.
    """
    step = width + gap
    starts = [start + k * step for k in range(math.ceil((end - start - TOLERANCE_MM) / step))]
    ends = [min(one + width, end) for one in starts]
    if len(starts) > 1 and ends[-1] - starts[-1] < width / 2:
        wide = (end - starts[-2] - gap) / 2
        starts[-1], ends[-2] = end - wide, starts[-2] + wide
    return list(zip(starts, ends, strict=True))


def without(
    run: tuple[float, float], gaps: Iterable[tuple[float, float]]
) -> list[tuple[float, float]]:
    """The sticks worth cutting of a run that stretches are taken out of, mm."""
    start, end = run
    left: list[tuple[float, float]] = []
    for low, high in sorted(gaps):
        if low < end and high > start:
            left.append((start, min(end, low)))
            start = max(start, high)
    left.append((start, end))
    return [(a, b) for a, b in left if b - a >= LEAST_STICK_MM]


def overlap(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """Whether two stretches, each from and to, share more than a point, mm."""
    return one[0] < other[1] - TOLERANCE_MM and other[0] < one[1] - TOLERANCE_MM


def between(
    start: float, end: float, stands: Iterable[tuple[float, float]]
) -> list[tuple[float, float]]:
    """What is left of a stretch beside what stands in it, mm: no shorter than a stick is cut.

    Args:
        start: Beginning of the stretch, mm.
        end: End of it, mm.
        stands: From and to of what stands in it or beside it, mm.
    """
    left: list[tuple[float, float]] = []
    for a, b in sorted(stands):
        left.append((start, min(a, end)))
        start = max(start, b)
    return [(a, b) for a, b in [*left, (start, end)] if b - a >= LEAST_STICK_MM]


def anywhere(start: float, end: float) -> list[float]:
    """Joint places for a run that is carried all along: every hundredth of it, mm."""
    return [start + (end - start) * k / 100 for k in range(1, 100)]


def joints_of(runs: Sequence[tuple[float, float]]) -> list[float]:
    """Where the lengths of a spliced run meet, mm."""
    return [run[1] for run in runs[:-1]]


def sheet_edges(
    start: float,
    end: float,
    longest: float,
    supports: Iterable[float],
    first: float | None = None,
    beside: Sequence[float] = (),
) -> list[float]:
    """Edges of a row of sheets whose ends break on supports.

    Args:
        start: Where the row starts, mm.
        end: Where it ends, mm.
        longest: Length of a sheet, mm.
        supports: Centres of the members under it, mm; none where joints may lie anywhere.
        first: Length of the first sheet where the row starts with a cut one, mm.
        beside: Edges of the row before, over which no joint comes to lie where another place will
            do, mm.

    Returns:
        Start, joints and end in rising order, mm.
    """
    places = sorted(supports)
    edges = [start]
    reach = min(first, longest) if first is not None else longest
    while end - edges[-1] > reach + TOLERANCE_MM or (first is not None and len(edges) == 1):
        on = [p for p in places if edges[-1] + TOLERANCE_MM < p <= edges[-1] + reach + TOLERANCE_MM]
        clear = [p for p in on if _staggered(p, beside)]
        long = [p for p in clear if p >= edges[-1] + reach / 2]
        # Rather a short sheet than a joint over one of the row before.
        clear = long or [p for p in clear if p >= edges[-1] + LEAST_SHEET_MM]
        joint = (clear or on or [edges[-1] + reach])[-1]
        if joint >= end - TOLERANCE_MM:
            break
        edges.append(joint)
        reach = longest
    # What fills a gap braces nothing: its last piece need only be a stick.
    least = LEAST_SHEET_MM if places else LEAST_STICK_MM
    if len(edges) > 1 and end - edges[-1] < least - TOLERANCE_MM:
        before = edges[-2]
        back = [p for p in places or [end - least] if before < p <= edges[-1] + TOLERANCE_MM]

        def left(joint: float) -> tuple[float, bool, float]:
            """The less that a joint leaves beside it, whether it is staggered, and where it is."""
            return min(joint - before, end - joint, least), _staggered(joint, beside), joint

        edges[-1] = max([*back, edges[-1]], key=left)
    return [*edges, end]


def _staggered(joint: float, beside: Sequence[float]) -> bool:
    return all(abs(joint - edge) > LEAST_STAGGER_MM for edge in beside)


# A sheet cut shorter than this at a row's end braces and spans little; the one before it is cut
# shorter instead, where members allow: 2 ft, common practice, no source.
LEAST_SHEET_MM = 609.6

# End joints of two rows lie further apart than this: 6 in, common practice, no source.
LEAST_STAGGER_MM = 152.4

# A last row narrower than half a sheet, as that comes off the saw, gives between members where its
# edges are not held: no table of spans has panels under 24 in (IRC Table R503.2.1.1(1), APA, from
# memory). Another row is ripped narrower instead: 23-1/2 in, common practice, no source.
LEAST_ROW_MM = 596.9

# Sheets stand this far apart on all edges: 1/8 in (APA recommendation, a 10d box nail as gauge).
SHEET_GAP_MM = 3.175


def laid_apart(edges: Sequence[float], gap: float = SHEET_GAP_MM) -> list[tuple[float, float]]:
    """From and to of sheets side by side, mm: each starts on its joint and stops short of the next.

    So those between joints as far apart are alike, the first among them, and a tape that hooks on
    where they start has every joint on the member that carries it.

    Args:
        edges: Start, joints and end, in the order in which they are laid, mm.
        gap: Between two, mm.
    """
    return [(a, b - gap) for a, b in itertools.pairwise(edges[:-1])] + [(edges[-2], edges[-1])]


def row_joints(start: float, end: float, width: float, *, tongued: bool = False) -> list[float]:
    """Where the rows of sheets across members meet, mm: each joint the edge of the later row.

    No member holds them to a measure, so that a row is a whole sheet and a gap.

    Args:
        start: Edge of the first row, mm.
        end: Edge of the last, mm.
        width: What a sheet covers, mm.
        tongued: Whether edges that meet have tongue and groove: no rip may take these, and there
            is no gap.
    """
    gap = 0.0 if tongued else SHEET_GAP_MM
    step = width + gap
    rows = math.ceil((end - start + gap - TOLERANCE_MM) / step)
    joints = [start + row * step for row in range(1, rows)]
    if not joints:
        return []
    # No wider than the row that is ripped for its sake.
    last = end - joints[-1]
    short = min(LEAST_ROW_MM, (width + last) / 2) - last
    if short > 0 and tongued:
        # The first row is ripped too, along its outer edge.
        return [joint - short for joint in joints]
    if short > 0:
        joints[-1] -= short
    return joints


def sheet_rows(
    area: tuple[float, float, float, float],
    length: float,
    width: float,
    supports: Sequence[float],
    *,
    tongued: bool = False,
) -> list[tuple[float, float, float, float]]:
    """Sheets laid across members in rows, ends on members, every other row starting with a half.

    Args:
        area: What is covered: low and high corner (u0, v0, u1, v1), mm; members run along v.
        length: Length of a sheet, mm.
        width: What a sheet covers across, mm.
        supports: Centres of the members along u, mm.
        tongued: Whether rows meet with tongue and groove; else they stand a gap apart.

    Returns:
        (u0, v0, u1, v1) of each sheet, row by row from v0, gaps taken off, mm.
    """
    u0, v0, u1, v1 = area
    sheets: list[tuple[float, float, float, float]] = []
    joints = row_joints(v0, v1, width, tongued=tongued)
    edges: list[float] = []
    for row, (low, high) in enumerate(
        laid_apart([v0, *joints, v1], 0.0 if tongued else SHEET_GAP_MM)
    ):
        edges = sheet_edges(u0, u1, length, supports, length / 2 if row % 2 else None, edges)
        sheets += [(left, low, right, high) for left, right in laid_apart(edges)]
    return sheets

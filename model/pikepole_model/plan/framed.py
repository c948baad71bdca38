"""What a wall is framed to: its openings, uprights and rakes, and what runs level through it."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass

from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.spacing import TOLERANCE_MM, overlap
from pikepole_model.plan.standing import mirrored
from pikepole_model.scene.openings import Opening

Rect = tuple[float, float, float, float]

# An inside corner needs this much wood to nail to past the wall that butts there.
LEAST_NAILING_MM = 25.0

# A cripple of the layout nearer than 2 in to the stud beside it is left out: the nose of a nailer
# goes in no less. Common practice, no source. But those that then hold the sheets are no farther
# than 24 in apart (IRC Table R602.3(3), from memory).
LEAST_BESIDE_MM = 50.8
MOST_APART_MM = 609.6


@dataclass(frozen=True, slots=True)
class Upright:
    """One standing member in a wall.

    Attributes:
        kind: Stud, corner stud, king, jack or cripple.
        label: Its name without a number.
        u: From and to along the wall, mm.
        v: Foot and head, mm above the floor; a head of None is cut to the plates.
        n: From and to across the wall, mm; 0 is the framing's outer face, inwards negative.
        stock: What it is cut from; None for a stud.
        under_mm: What lies between the plates and a head that is cut to them, square to them.
    """

    kind: Kind
    label: str
    u: tuple[float, float]
    v: tuple[float, float | None]
    n: tuple[float, float]
    stock: str | None = None
    under_mm: float = 0.0

    @property
    def centre(self) -> float:
        """Middle of it along the wall, mm."""
        return (self.u[0] + self.u[1]) / 2


@dataclass(frozen=True, slots=True)
class Rake:
    """A straight length of a wall's top line, from one (u, height above the floor) to another."""

    start: tuple[float, float]
    end: tuple[float, float]

    @property
    def rad(self) -> float:
        """Its slope along u."""
        return math.atan2(self.end[1] - self.start[1], self.end[0] - self.start[0])

    def at(self, u: float) -> float:
        """Its height at u, on its line drawn out both ways, mm."""
        return self.start[1] + math.tan(self.rad) * (u - self.start[0])

    def plumb(self, square: float) -> float:
        """A thickness square to it, measured plumb, mm."""
        return square / math.cos(self.rad)


def up_to_board(
    line: Sequence[tuple[float, float]], low: float, high: float
) -> tuple[tuple[float, float], ...]:
    """A top line under rafters of unequal slopes, carried on to the board that both end on.

    Where both slopes meet beside it only the rafters of one are: that slope's line goes on up to
    the board's face, and drops to the other's there.

    Args:
        line: (u, height above the floor) of each corner, mm.
        low: From where along it the board is, mm.
        high: To where, mm.
    """
    peak = max(range(len(line)), key=lambda k: line[k][1])
    before, (u, _), after = line[:peak], line[peak], line[peak + 1 :]
    at = min(max(u, low), high)
    if not before or not after or abs(at - u) <= TOLERANCE_MM:
        return tuple(line)
    left, right = Rake(before[-1], line[peak]), Rake(line[peak], after[0])
    return (*before, (at, left.at(at)), (at, right.at(at)), *after)


@dataclass(frozen=True, slots=True)
class Pocket:
    """Where a ridge or a purlin lies in a wall, and what it stands on there.

    Attributes:
        name: What lies there.
        u: From and to along it, mm.
        seat: Underside above the floor, mm.
        top: Top above the floor, mm.
        post: From and to of each stud side by side under it, mm along u.
    """

    name: str
    u: tuple[float, float]
    seat: float
    top: float
    post: tuple[tuple[float, float], ...]

    @property
    def taken_u(self) -> tuple[float, float]:
        """What it and the post under it take of the wall, mm along u."""
        ends = sorted((*self.u, self.post[0][0], self.post[-1][1]))
        return (ends[0], ends[-1])


@dataclass(frozen=True)
class Framed:
    """An opening with the sticks round it.

    Attributes:
        opening: What the scene says of this one: of a row, its own name.
        table: Which of the scene's [[opening]] tables it stands in, from 0.
        left: Left corner of the wall to the rough opening, mm.
        under_u: From and to of all rough openings under its header along the wall, mm: a row's
            where one header lies over that, else its own.
        gap_mm: Between two rough openings under that header; 0 where it has one of its own.
        jacks: Jack studs on each side.
        header: Stock of the header plies; None where a beam on the wall does a header's work.
        header_mm: Depth of the header, or of the flat head plate in place of one; 0 where the
            head is the plates' underside.
        breadth_mm: Thickness of a stud.
    """

    opening: Opening
    table: int
    left: float
    under_u: tuple[float, float]
    gap_mm: float
    jacks: int
    header: str | None
    header_mm: float
    breadth_mm: float

    @property
    def u(self) -> tuple[float, float]:
        """Rough opening along the wall, mm."""
        return (self.left, self.left + self.opening.width)

    @property
    def sill(self) -> float:
        """Bottom of the rough opening above the floor, mm; 0 for a door."""
        return self.opening.sill or 0.0

    @property
    def head(self) -> float:
        """Top of the rough opening above the floor, mm: the underside of what is over it."""
        return self.sill + self.opening.height

    @property
    def header_top(self) -> float:
        """Top of the header above the floor, mm."""
        return self.head + self.header_mm

    @property
    def rough(self) -> Rect:
        """The rough opening: (u0, v0, u1, v1), mm."""
        return (self.u[0], self.sill, self.u[1], self.head)

    @property
    def header_u(self) -> tuple[float, float]:
        """The header, over its jacks, mm along the wall."""
        rest = self.jacks * self.breadth_mm
        return (self.under_u[0] - rest, self.under_u[1] + rest)

    @property
    def is_first(self) -> bool:
        """Whether its header begins at it."""
        return self.u[0] <= self.under_u[0] + TOLERANCE_MM

    @property
    def is_last(self) -> bool:
        """Whether its header ends at it."""
        return self.u[1] >= self.under_u[1] - TOLERANCE_MM

    @property
    def beside_u(self) -> tuple[float, float]:
        """The opening with its jacks, where its header ends on them, mm along the wall."""
        left, right = self.header_u
        return (left if self.is_first else self.u[0], right if self.is_last else self.u[1])

    @property
    def outer_u(self) -> tuple[float, float]:
        """The opening with its jacks and kings, or half way to the next under its header, mm."""
        (left, right), half = self.beside_u, self.gap_mm / 2
        kings = self.opening.kings * self.breadth_mm
        return (
            left - (kings if self.is_first else half),
            right + (kings if self.is_last else half),
        )

    @property
    def kings_u(self) -> list[tuple[float, float]]:
        """The full-height studs past both ends of its header, mm."""
        breadth, (left, right) = self.breadth_mm, self.header_u
        kings = range(self.opening.kings)
        lefts = [left - (k + 1) * breadth for k in kings if self.is_first]
        lefts += [right + k * breadth for k in kings if self.is_last]
        return [(u0, u0 + breadth) for u0 in lefts]

    def jacks_u(self, layout: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
        """The studs under its header: at its ends, and those from it to the next of its row, mm.

        One stud fills what is between two openings, or one stands at each side of it, and those of
        the layout between them.
        """
        breadth, (left, right) = self.breadth_mm, self.u
        lefts = [left - (k + 1) * breadth for k in range(self.jacks) if self.is_first]
        if self.is_last:
            lefts += [right + k * breadth for k in range(self.jacks)]
        else:
            next_u = right + self.gap_mm
            inner = (right + breadth, next_u - breadth)
            lefts += [right, *(u[0] for u in layout if within(u, inner))]
            lefts += [next_u - breadth] if self.gap_mm > 2 * breadth - TOLERANCE_MM else []
        return [(u0, u0 + breadth) for u0 in lefts]


def corner_studs(
    layout: Sequence[tuple[float, float]],
    lengths: Sequence[tuple[float, float]],
    length: float,
    breadth: float,
    depth: float,
) -> tuple[tuple[float, float], tuple[float, float]]:
    """From and to of the corner studs at both ends of a wall, mm along it; none is 0 wide.

    Each lies flat on the inner face beside the end stud and reaches past the wall that butts
    there: nailing for the inside corner. A layout stud in its way moves it on, or does its work
    where it reaches past that wall itself.

    Args:
        layout: From and to of the studs on centre, mm.
        lengths: From and to of each length that is framed by itself, mm.
        length: Of the wall, mm.
        breadth: Thickness of a stud, mm.
        depth: Thickness of the walls, mm.
    """
    flat: list[tuple[float, float]] = []
    for from_end, (start, end) in (
        (layout, lengths[0]),
        (mirrored(layout, length), mirrored(lengths, length)[0]),
    ):
        near = start + breadth
        # What stands in the corner or near it leaves no room for one.
        if start > 0.0 or end < near + depth + LEAST_NAILING_MM:
            flat.append((min(near, end), min(near, end)))
            continue
        for u0, u1 in from_end:
            if u0 < near + depth - TOLERANCE_MM and u1 > near + TOLERANCE_MM:
                near = u1
        flat.append((near, near + depth * (near < depth + LEAST_NAILING_MM)))
    (a0, a1), (b0, b1) = flat
    return ((a0, a1), (length - b1, length - b0))


def beside_posts(
    layout: Sequence[tuple[float, float]],
    pockets: Iterable[Pocket],
    top: Callable[[float], float],
    breadth: float,
) -> list[tuple[float, float]]:
    """From and to of the studs on centre, and of one beside each post where the wall is higher, mm.

    None of them in a post; nor is there one more where one on centre runs into it.

    Args:
        layout: From and to of the studs on centre, mm.
        pockets: The posts, and what they carry.
        top: Top of the plates over a u, mm.
        breadth: Thickness of a stud, mm.
    """
    studs = list(layout)
    for left, right in (pocket.taken_u for pocket in pockets):
        is_left = top(left - breadth) > top(right + breadth)
        u = (left - breadth, left) if is_left else (right, right + breadth)
        studs = [stud for stud in studs if not overlap(stud, (left, right))]
        studs += [] if any(overlap(u, stud) for stud in studs) else [u]
    return studs


def apart(
    layout: Iterable[tuple[float, float]],
    span: tuple[float, float],
    joints: Collection[float] | None,
    breadth: float,
) -> list[tuple[float, float]]:
    """From and to of the studs on centre in a span: far enough off its ends, or needed, mm.

    Needed are those behind a joint, and those without which what is beside is too far apart.

    Args:
        layout: From and to of the studs on centre, mm.
        span: From and to between what stands at its ends, mm.
        joints: Where sheets meet, mm; None while that is not chosen: then all are needed.
        breadth: Thickness of a stud, mm.
    """
    studs = [u for u in layout if within(u, span)]
    if joints is None:
        return studs
    lefts, rights = [span[0], *(u[1] for u in studs)], [span[1], *(u[0] for u in studs)]
    return [
        (u0, u1)
        for u0, u1 in studs
        if not any(TOLERANCE_MM < gap < LEAST_BESIDE_MM for gap in (u0 - span[0], span[1] - u1))
        or any(u0 < joint < u1 for joint in joints)
        or min(u for u in rights if u > u0) - max(u for u in lefts if u < u1)
        > MOST_APART_MM - breadth + TOLERANCE_MM
    ]


def within(u: tuple[float, float], span: tuple[float, float]) -> bool:
    """Whether a stretch lies in another one."""
    return u[0] >= span[0] - TOLERANCE_MM and u[1] <= span[1] + TOLERANCE_MM

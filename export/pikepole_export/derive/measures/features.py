"""What is cut on a stick seen from the side: its ends, its notches, its birdsmouths.

features(outline, u, v) -> Iterator[Feature]     left end, notches from left to right, right end
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, TypeAlias

from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.shape import Polygon

Lies: TypeAlias = Literal["sloping", "upright", "level", "ripped"]
Place: TypeAlias = Literal["left end", "right end", "lower notch", "upper notch"]

# What is this near to a line lies on it, mm: far under a saw's line, far over the sixth decimal
# that outlines are rounded to.
ON_LINE_MM = 1e-3
# Directions within this of each other, as a sine, are the same.
SAME_WAY = 1e-5


@dataclass(frozen=True, slots=True)
class Cut:
    """One straight cut.

    Attributes:
        name: "plumb cut" or "level cut" as the piece is built in, else "square cut", "cut along
            the grain" or "bevel cut" as it lies on the horses.
        start: One end of it in the drawing, mm.
        end: The other.
        off: Whether it is marked nearer to square across the piece or to its edge.
        angle_deg: Between it and that, 0 to 45.
    """

    name: str
    start: tuple[float, float]
    end: tuple[float, float]
    off: Literal["square", "edge"]
    angle_deg: float

    @property
    def length_mm(self) -> float:
        """Along the cut, mm."""
        return math.dist(self.start, self.end)

    @property
    def rise(self) -> float:
        """The framing square's setting: this much on the tongue to 12 on the blade."""
        return 12 * math.tan(math.radians(self.angle_deg))


@dataclass(frozen=True, slots=True)
class Birdsmouth:
    """A level seat and a plumb heel that let a sloping piece sit on what carries it.

    Attributes:
        seat_mm: Length of the seat, mm.
        heel_mm: Height of the heel, mm.
        depth_mm: How deep it is, square to the edge, mm.
        above_mm: Plumb height of the piece left over the corner of seat and heel, mm.
        mark_mm: Where the plumb line of the heel crosses the top edge, from that edge's left end.
        corner: Where seat and heel meet in the drawing, mm.
    """

    seat_mm: float
    heel_mm: float
    depth_mm: float
    above_mm: float
    mark_mm: float
    corner: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Notch:
    """A rectangular step in an edge; at an end it leaves a tongue, in a ripped piece a rabbet.

    Attributes:
        side: Which edge of the drawing it is cut into.
        depth_mm: From that edge, mm.
        length_mm: Along the piece, from its shoulder, mm.
        shoulder_mm: Where the shoulder is along the drawing, mm: the one on the left, if two.
    """

    side: Literal["lower", "upper"]
    depth_mm: float
    length_mm: float
    shoulder_mm: float


@dataclass(frozen=True, slots=True)
class Feature:
    """An end, or a notch: what is cut between one edge and the next.

    Attributes:
        place: Where.
        cuts: From edge to edge, counter-clockwise round the piece; none where an end is a point.
        birdsmouth: Its measures, where it is one.
        notches: The rectangular steps in it, in the order of its cuts.
    """

    place: Place
    cuts: tuple[Cut, ...]
    birdsmouth: Birdsmouth | None = None
    notches: tuple[Notch, ...] = ()

    @property
    def span(self) -> tuple[float, float]:
        """From and to along the piece, mm."""
        us = [point[0] for cut in self.cuts for point in (cut.start, cut.end)]
        return min(us), max(us)

    @property
    def is_plain(self) -> bool:
        """Whether it is one cut square across."""
        return [cut.name for cut in self.cuts] == ["square cut"]


def features(outline: Polygon, u: Vector, v: Vector) -> Iterator[Feature]:
    """What is cut on a piece: its left end, its notches from left to right, its right end.

    Args:
        outline: Its counter-clockwise corners, mm, as it is drawn: u from 0, v from 0.
        u: The building's direction of the drawing's first axis.
        v: Of its second.
    """
    depth = max(point[1] for point in outline)
    top_left = edge_at(outline, depth)[0]

    def edge(point: tuple[float, float]) -> str:
        return "low" if point[1] < ON_LINE_MM else "high" if point[1] > depth - ON_LINE_MM else ""

    first = next(k for k, point in enumerate(outline) if edge(point))
    around = [*outline[first:], *outline[:first], outline[first]]
    places: dict[tuple[str, str], Place] = {
        ("low", "high"): "right end",
        ("high", "low"): "left end",
        ("low", "low"): "lower notch",
        ("high", "high"): "upper notch",
    }
    found: list[Feature] = []
    start = 0
    for k in range(1, len(around)):
        if not edge(around[k]):
            continue
        corners = around[start : k + 1]
        start = k
        place = places[edge(corners[0]), edge(corners[-1])]
        if len(corners) == 2 and place.endswith("notch"):
            continue  # it runs along the edge
        cuts = tuple(_cut(a, b, u, v) for a, b in pairwise(corners))
        mouth = _birdsmouth(cuts, depth, top_left) if place == "lower notch" else None
        found.append(Feature(place, cuts, mouth, tuple(_notches(place, cuts, depth))))
    order = {"left end": 0, "right end": 2}
    yield from sorted(found, key=lambda feature: (order.get(feature.place, 1), feature.span))


def _cut(start: tuple[float, float], end: tuple[float, float], u: Vector, v: Vector) -> Cut:
    length = math.dist(start, end)
    along, across = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    way = [along * a + across * b for a, b in zip(u, v, strict=True)]
    slopes = lies(u) == "sloping"
    if abs(along) < SAME_WAY:
        name = "square cut"
    elif abs(across) < SAME_WAY:
        name = "cut along the grain"
    elif slopes and math.hypot(way[0], way[1]) < SAME_WAY:
        name = "plumb cut"
    elif slopes and abs(way[2]) < SAME_WAY:
        name = "level cut"
    else:
        name = "bevel cut"
    from_square = math.degrees(math.atan2(abs(along), abs(across)))
    # At 45 degrees either would do: a level cut is then taken off the edge, as on lower slopes.
    noise = -SAME_WAY if name == "level cut" else SAME_WAY
    off = "square" if from_square <= 45 + noise else "edge"
    return Cut(name, start, end, off, from_square if off == "square" else 90 - from_square)


def _birdsmouth(cuts: Sequence[Cut], depth_mm: float, top_left: float) -> Birdsmouth | None:
    named = {cut.name: cut for cut in cuts}
    if len(cuts) != 2 or set(named) != {"level cut", "plumb cut"}:
        return None
    corner, heel = cuts[0].end, named["plumb cut"]
    # The plumb line runs on through the corner to the top edge.
    foot = heel.start if heel.start != corner else heel.end
    lean = (corner[0] - foot[0]) / (corner[1] - foot[1])
    over = depth_mm - corner[1]
    return Birdsmouth(
        seat_mm=named["level cut"].length_mm,
        heel_mm=heel.length_mm,
        depth_mm=corner[1],
        above_mm=over * math.hypot(1.0, lean),
        mark_mm=corner[0] + lean * over - top_left,
        corner=corner,
    )


def _notches(place: Place, cuts: Sequence[Cut], depth_mm: float) -> Iterator[Notch]:
    for before, cut, after in zip([None, *cuts[:-1]], cuts, [*cuts[1:], None], strict=True):
        if cut.name != "cut along the grain":
            continue
        (start, level), (end, _) = cut.start, cut.end
        if place.endswith("notch"):
            if not (before and after and before.name == after.name == "square cut"):
                continue
            side, shoulder = "lower" if place == "lower notch" else "upper", before
        else:
            # Counter-clockwise, a step below runs to the right and one above to the left. Its
            # shoulder is the end of it that lies nearer to the middle of the piece.
            side = "lower" if end > start else "upper"
            shoulder = before if (place == "right end") == (side == "lower") else after
        if shoulder is None or shoulder.name != "square cut":
            continue
        depth = level if side == "lower" else depth_mm - level
        corner = min(start, end) if place != "left end" else max(start, end)
        yield Notch(side, depth, cut.length_mm, corner)


def lies(along: Vector) -> Lies:
    """How a piece with its grain that way lies in the building."""
    if abs(along[2]) < SAME_WAY:
        return "level"
    return "sloping" if math.hypot(along[0], along[1]) > SAME_WAY else "upright"


def edge_at(outline: Polygon, v: float) -> tuple[float, float]:
    """From and to of the edge at a height of the drawing, mm."""
    us = [a for a, b in outline if abs(b - v) < ON_LINE_MM]
    return min(us), max(us)

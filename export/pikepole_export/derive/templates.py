r"""Which pieces of lumber are more than square-cut sticks, and how each distinct one is marked out.

    templates(building) -> tuple[Template, ...]     in order of building

A template is a piece seen from the side, laid on the horses: its length from left to right, the
edge it is marked along on top. A sloping piece has its upper end on the left and the roof above
it; an upright one has its foot on the left. A piece ripped along its length is seen from its end
instead, and made in several lengths.

Cladding is left out: it is scribed to what is there. So are pieces that are only drilled: a plate
is marked from its bolts as they stand.

                     ___ mark ______
                    |               :plumb
        upper end  _|_______________:____________
                   \                :            \
                    \_____       ___:_____________\   lower end
                          \ _--'    |
                           '   seat | heel
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Literal, TypeAlias

from pikepole_export.derive.areas import CLADDING
from pikepole_model.part import Building, Part
from pikepole_model.placement import Vector
from pikepole_model.shape import Polygon, Prism

Lies: TypeAlias = Literal["sloping", "upright", "level", "ripped"]
Place: TypeAlias = Literal["left end", "right end", "lower notch", "upper notch"]

# Far under a saw's line, far over the sixth decimal that outlines are rounded to.
CLOSE_MM = 1e-3
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
class Feature:
    """An end, or a notch: what is cut between one edge and the next.

    Attributes:
        place: Where.
        cuts: From edge to edge, counter-clockwise round the piece; none where an end is a point.
        birdsmouth: Its measures, where it is one.
    """

    place: Place
    cuts: tuple[Cut, ...]
    birdsmouth: Birdsmouth | None = None

    @property
    def span(self) -> tuple[float, float]:
        """From and to along the piece, mm."""
        us = [point[0] for cut in self.cuts for point in (cut.start, cut.end)]
        return min(us), max(us)

    @property
    def is_plain(self) -> bool:
        """Whether it is one cut square across."""
        return [cut.name for cut in self.cuts] == ["square cut"]


@dataclass(frozen=True)
class Template:
    """One distinct piece of lumber, as it is marked out.

    Attributes:
        kind: What it is.
        names: The parts that are cut to it, in order of building.
        stock: What it is cut from.
        material: What that is made of.
        section_mm: Breadth and depth of that, mm.
        lies: How it lies in the building; a ripped piece is drawn as its end section.
        outline: Counter-clockwise corners, mm: u to the right from 0, v up from 0.
        features: Left end, notches from left to right, right end.
        lengths: For a ripped piece, drawn as its end section: each length, mm, and how many.
    """

    kind: str
    names: tuple[str, ...]
    stock: str
    material: str
    section_mm: tuple[float, float]
    lies: Lies
    outline: Polygon
    features: tuple[Feature, ...]
    lengths: tuple[tuple[float, int], ...] = ()

    @cached_property
    def length_mm(self) -> float:
        """From long point to long point, mm."""
        return max(point[0] for point in self.outline)

    @cached_property
    def depth_mm(self) -> float:
        """From edge to edge, mm."""
        return max(point[1] for point in self.outline)

    @cached_property
    def top_edge(self) -> tuple[float, float]:
        """From and to of the top edge, mm."""
        return _edge(self.outline, self.depth_mm)

    @cached_property
    def lower_edge(self) -> tuple[float, float]:
        """From and to of the lower edge, mm."""
        return _edge(self.outline, 0.0)

    @cached_property
    def marks_mm(self) -> tuple[float, ...]:
        """What is marked along the top edge, from its left end, mm: the first is 0.

        Its corners, where the plumb lines of birdsmouths meet it, and what lies square over the
        corners of any other notch from below.
        """
        start = self.top_edge[0]
        marks = [u - start for u, v in self.outline if v > self.depth_mm - CLOSE_MM]
        for feature in self.features:
            if feature.birdsmouth:
                marks.append(feature.birdsmouth.mark_mm)
            elif feature.place == "lower notch":
                marks += [cut.start[0] - start for cut in feature.cuts]
                marks.append(feature.cuts[-1].end[0] - start)
        return _distinct(marks)


def templates(building: Building) -> tuple[Template, ...]:
    """One for each distinct piece of lumber that is not a square-cut stick."""
    alike: dict[object, list[Part]] = {}
    for part in building.parts:
        if part.section_mm and part.kind not in CLADDING and _is_shaped(part):
            body = part.shape.body
            assert isinstance(body, Prism)
            # Ripped pieces differ in length only; each is cut off the same ripped board.
            shape = body.outline if body.length_along == "n" else part.shape
            alike.setdefault((part.kind, part.stock, part.material.name, shape), []).append(part)
    return tuple(_template(parts) for parts in alike.values())


def _is_shaped(part: Part) -> bool:
    body = part.shape.body
    if not isinstance(body, Prism) or not isinstance(body.outline, tuple):
        return False
    (u0, v0), (u1, v1) = (min(body.outline), max(body.outline))
    return any(u not in (u0, u1) or v not in (v0, v1) for u, v in body.outline) or (
        len(body.outline) != 4
    )


def _template(parts: Sequence[Part]) -> Template:
    first = parts[0]
    body = first.shape.body
    assert isinstance(body, Prism)
    assert isinstance(body.outline, tuple)
    assert first.section_mm
    ripped = body.length_along == "n"
    lengths: dict[float, int] = {}
    for part in parts if ripped else ():
        lengths[part.length_mm] = lengths.get(part.length_mm, 0) + 1
    outline, u, v = _laid(body.outline, first.placement.u, first.placement.v, ripped)
    return Template(
        kind=first.kind.value,
        names=tuple(part.name for part in parts),
        stock=first.stock,
        material=first.material.name,
        section_mm=first.section_mm,
        lies="ripped" if ripped else _lies(first.placement.u),
        outline=outline,
        features=tuple(_features(outline, u, v)),
        lengths=tuple(sorted(lengths.items())),
    )


def _lies(along: Vector) -> Lies:
    if abs(along[2]) < SAME_WAY:
        return "level"
    return "sloping" if math.hypot(along[0], along[1]) > SAME_WAY else "upright"


def _laid(outline: Polygon, u: Vector, v: Vector, ripped: bool) -> tuple[Polygon, Vector, Vector]:
    """An outline as it is drawn, and the building's directions of the drawing's two axes.

    Turned end for end or over as need be: both faces of a piece are cut at once, so that a view
    of its other face serves as well.
    """
    width, depth = (max(point[axis] for point in outline) for axis in (0, 1))
    if ripped and depth > width:
        outline, u, v = tuple((b, a) for a, b in outline), v, u
        width, depth = depth, width

    (a, b), (c, d) = _edge(outline, 0.0), _edge(outline, depth)
    over = u[2] > SAME_WAY if _lies(u) == "sloping" else u[2] < -SAME_WAY
    under = v[2] < 0 if abs(v[2]) > SAME_WAY else b - a > d - c + CLOSE_MM
    points = [(width - a if over else a, depth - b if under else b) for a, b in outline]
    if _turns_right(points):
        points.reverse()
    return tuple(points), _reversed(u, over), _reversed(v, under)


def _features(outline: Polygon, u: Vector, v: Vector) -> Iterator[Feature]:
    """Left end, notches from left to right, right end."""
    depth = max(point[1] for point in outline)
    top_left = _edge(outline, depth)[0]

    def edge(point: tuple[float, float]) -> str:
        return "low" if point[1] < CLOSE_MM else "high" if point[1] > depth - CLOSE_MM else ""

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
        found.append(Feature(place, cuts, mouth))
    order = {"left end": 0, "right end": 2}
    yield from sorted(found, key=lambda feature: (order.get(feature.place, 1), feature.span))


def _cut(start: tuple[float, float], end: tuple[float, float], u: Vector, v: Vector) -> Cut:
    length = math.dist(start, end)
    along, across = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    way = [along * a + across * b for a, b in zip(u, v, strict=True)]
    slopes = _lies(u) == "sloping"
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


def _edge(outline: Polygon, v: float) -> tuple[float, float]:
    us = [a for a, b in outline if abs(b - v) < CLOSE_MM]
    return min(us), max(us)


def _turns_right(points: Sequence[tuple[float, float]]) -> bool:
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) < 0


def _reversed(vector: Vector, reverse: bool) -> Vector:
    return (-vector[0], -vector[1], -vector[2]) if reverse else vector


def _distinct(values: Sequence[float]) -> tuple[float, ...]:
    kept: list[float] = []
    for value in sorted(values):
        if not kept or value - kept[-1] > CLOSE_MM:
            kept.append(value)
    return tuple(kept)

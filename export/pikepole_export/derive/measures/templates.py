r"""Which pieces of lumber are more than square-cut sticks, and how each distinct one is marked out.

    templates(building) -> tuple[Template, ...]     in order of building
    printed(length_mm, units) -> float              a length as it is printed

A template is a piece seen from the side, laid on the horses: its length from left to right, the
edge it is marked along on top. A sloping piece has its upper end on the left and the roof above
it; an upright one has its foot on the left. A piece ripped along its length is seen from its end
instead, and made in several lengths.

Siding is left out: it is scribed to what is there; its battens and corner boards are sticks as any
other. So are pieces that are only drilled: a plate is marked from its bolts as they stand.

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
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeAlias

from pikepole_export.derive.measures.features import (
    ON_LINE_MM,
    SAME_WAY,
    Cut,
    Feature,
    Lies,
    edge_at,
    features,
    lies,
)
from pikepole_model.building.kind_rows import Drawn
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Vector
from pikepole_model.geometry.shape import Polygon, Prism
from pikepole_model.units import INCH_MM, Units

Side: TypeAlias = Literal["top", "bottom", "outer", "inner", ""]

# A side faces out of the building where the piece is so far off its middle.
PLAINLY_MM = 200.0


@dataclass(frozen=True, slots=True)
class Sides:
    """What faces where; "" where it is neither plain nor the same for every piece of a template.

    Attributes:
        left: "top" or "bottom", "outer" or "inner".
        right: Likewise.
        lower: Likewise.
        upper: Likewise.
    """

    left: Side
    right: Side
    lower: Side
    upper: Side


@dataclass(frozen=True)
class Template:
    """One distinct piece of lumber, as it is marked out.

    Attributes:
        kind: What most of these are.
        names: The parts that are cut to it, in order of building.
        stock: What it is cut from.
        material: What that is made of.
        treated: Whether that has preservative in it.
        section_mm: Breadth and depth of that, mm.
        lies: How it lies in the building; a ripped piece is drawn as its end section.
        outline: Counter-clockwise corners, mm: u to the right from 0, v up from 0.
        features: Left end, notches from left to right, right end.
        sides: What the sides of the drawing are as the piece is built in.
        lengths: For a ripped piece, drawn as its end section: each length, mm, and how many.
    """

    kind: str
    names: tuple[str, ...]
    stock: str
    material: str
    treated: bool
    section_mm: tuple[float, float]
    lies: Lies
    outline: Polygon
    features: tuple[Feature, ...]
    sides: Sides
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
        return edge_at(self.outline, self.depth_mm)

    @cached_property
    def lower_edge(self) -> tuple[float, float]:
        """From and to of the lower edge, mm."""
        return edge_at(self.outline, 0.0)

    @cached_property
    def seen_on(self) -> Literal["narrow edge", "wide face", "face", "end"]:
        """Which side of the lumber the drawing shows."""
        narrow, wide = sorted(self.section_mm)
        if self.lies == "ripped":
            return "end"
        if wide - narrow < ON_LINE_MM:
            return "face"
        return "narrow edge" if self.depth_mm < narrow + ON_LINE_MM else "wide face"

    @cached_property
    def slants(self) -> tuple[Cut, ...]:
        """Its cuts that go neither square across nor along the grain."""
        plain = ("square cut", "cut along the grain")
        cuts = (cut for feature in self.features for cut in feature.cuts)
        return tuple(cut for cut in cuts if cut.name not in plain)

    @cached_property
    def marked_from(self) -> float:
        """The left end of the top edge, mm; of a ripped piece the left end of all of it."""
        return 0.0 if self.lies == "ripped" else self.top_edge[0]

    @cached_property
    def marks_mm(self) -> tuple[float, ...]:
        """What is marked along the top edge, from its left end, mm: the first is 0.

        Of a ripped piece from its left edge.

        Its corners, where the plumb lines of birdsmouths meet it, and what lies square over the
        corners of any other notch from below.
        """
        start = self.marked_from
        marks = [u - start for u, v in self.outline if v > self.depth_mm - ON_LINE_MM]
        if self.lies == "ripped":
            marks.append(0.0)
        for feature in self.features:
            if feature.birdsmouth:
                marks.append(feature.birdsmouth.mark_mm)
            elif feature.place == "lower notch":
                marks += [cut.start[0] - start for cut in feature.cuts]
                marks.append(feature.cuts[-1].end[0] - start)
        return _distinct(marks)


def templates(building: Building) -> tuple[Template, ...]:
    """One for each distinct piece of lumber that is not a square-cut stick.

    Pieces that read alike to the step that lengths are printed to are made alike, whatever they
    are called, unless what faces where is told of the ones and not of the others.
    """
    units = building.scene.units
    alike: dict[tuple[object, ...], list[Laid]] = {}
    for part in building.parts:
        if part.kind.row.drawn is Drawn.TEMPLATE and _is_shaped(part):
            laid = laid_out(part)
            corners = [(printed(u, units), printed(v, units)) for u, v in laid.outline]
            first = corners.index(min(corners))
            ripped, way = laid.is_ripped, lies(laid.u)
            around = (*corners[first:], *corners[:first])
            key = (part.kind, part.stock, part.material.name, ripped, way, around)
            # Ripped pieces differ in length only; each is cut off the same ripped board.
            alike.setdefault(key, []).append(laid)
    middle = _middle(building.parts)
    found: dict[object, list[Laid]] = {}
    for (_, *key), pieces in alike.items():
        found.setdefault((*key, _sides(pieces, middle)), []).extend(pieces)
    return tuple(_template(pieces, middle) for pieces in found.values())


def commonest(kinds: Iterable[Kind]) -> Kind:
    """What most pieces are; of as many the first."""
    ((kind, _),) = Counter(kinds).most_common(1)
    return kind


def printed(length_mm: float, units: Units) -> float:
    """A length, mm, to the sixteenth of an inch or the millimetre that is printed, halves up."""
    step_mm = INCH_MM / 16 if units == "imperial" else 1.0
    # A half is not always a half in binary.
    return math.floor(length_mm / step_mm + 0.5 + 1e-7) * step_mm


def _is_shaped(part: Part) -> bool:
    body = part.shape.body
    if not isinstance(body, Prism) or not isinstance(body.outline, tuple):
        return False
    (u0, v0), (u1, v1) = (min(body.outline), max(body.outline))
    return any(u not in (u0, u1) or v not in (v0, v1) for u, v in body.outline) or (
        len(body.outline) != 4
    )


def _template(pieces: Sequence[Laid], middle: Vector) -> Template:
    first = pieces[0]
    part = first.part
    assert part.section_mm
    lengths: dict[float, int] = {}
    for piece in pieces if first.is_ripped else ():
        lengths[piece.part.length_mm] = lengths.get(piece.part.length_mm, 0) + 1
    return Template(
        kind=commonest(piece.part.kind for piece in pieces).value,
        names=tuple(piece.part.name for piece in pieces),
        stock=part.stock,
        material=part.material.name,
        treated=part.material.treated,
        section_mm=part.section_mm,
        lies="ripped" if first.is_ripped else lies(first.u),
        outline=first.outline,
        features=tuple(features(first.outline, first.u, first.v)),
        sides=_sides(pieces, middle),
        lengths=tuple(sorted(lengths.items())),
    )


@dataclass(frozen=True, slots=True)
class Laid:
    """A part turned as it is drawn.

    Attributes:
        part: The part.
        is_ripped: Whether its end section is drawn.
        outline: Its counter-clockwise corners, mm.
        u: The building's direction of the drawing's first axis.
        v: Of its second.
    """

    part: Part
    is_ripped: bool
    outline: Polygon
    u: Vector
    v: Vector


def laid_out(part: Part) -> Laid:
    """A part as it is drawn.

    Turned end for end or over as need be: both faces of a piece are cut at once, so that a view
    of its other face serves as well.
    """
    body = part.shape.body
    assert isinstance(body, Prism)
    assert isinstance(body.outline, tuple)
    outline, u, v = body.outline, part.placement.u, part.placement.v
    ripped = body.length_along == "n"
    width, depth = (max(point[axis] for point in outline) for axis in (0, 1))
    if ripped and depth > width:
        outline, u, v = tuple((b, a) for a, b in outline), v, u
        width, depth = depth, width

    (a, b), (c, d) = edge_at(outline, 0.0), edge_at(outline, depth)
    over = u[2] > SAME_WAY if lies(u) == "sloping" else u[2] < -SAME_WAY
    under = v[2] < 0 if abs(v[2]) > SAME_WAY else b - a > d - c + ON_LINE_MM
    points = [(width - a if over else a, depth - b if under else b) for a, b in outline]
    if _turns_right(points):
        points.reverse()
    return Laid(part, ripped, tuple(points), _reversed(u, over), _reversed(v, under))


def _sides(pieces: Sequence[Laid], middle: Vector) -> Sides:
    def side(way: Callable[[Laid], Vector], back: bool) -> Side:
        seen: set[Side] = {
            _faces(_reversed(way(piece), back), piece.part, middle) for piece in pieces
        }
        return seen.pop() if len(seen) == 1 else ""

    def u(piece: Laid) -> Vector:
        return piece.u

    def v(piece: Laid) -> Vector:
        return piece.v

    return Sides(
        left=side(u, True), right=side(u, False), lower=side(v, True), upper=side(v, False)
    )


def _faces(way: Vector, part: Part, middle: Vector) -> Side:
    if abs(way[2]) > 0.5:
        return "top" if way[2] > 0 else "bottom"
    centre = part.centre_mm
    out = sum(way[axis] * (centre[axis] - middle[axis]) for axis in (0, 1))
    if abs(out) < PLAINLY_MM:
        return ""
    return "outer" if out > 0 else "inner"


def _middle(parts: Sequence[Part]) -> Vector:
    """Half-way between the outermost parts, mm."""
    xs, ys, zs = zip(*(part.placement.origin for part in parts), strict=True)
    half = [(min(values) + max(values)) / 2 for values in (xs, ys, zs)]
    return half[0], half[1], half[2]


def _turns_right(points: Sequence[tuple[float, float]]) -> bool:
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) < 0


def _reversed(vector: Vector, reverse: bool) -> Vector:
    return (-vector[0], -vector[1], -vector[2]) if reverse else vector


def _distinct(values: Sequence[float]) -> tuple[float, ...]:
    kept: list[float] = []
    for value in sorted(values):
        if not kept or value - kept[-1] > ON_LINE_MM:
            kept.append(value)
    return tuple(kept)

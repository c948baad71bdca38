r"""Which flat pieces are more than a rectangle, and where each of their corners is marked.

    outlines(building) -> tuple[Outline, ...]     in order of building

A sheet is planned and cut as the box round it, its blank; openings, notches and rakes come out of
that. It is seen from the side that is outside when it is up, what is up in the building above, and
measured from the blank's lower left corner:

        y |  ____________
          | |      ______|   .
          | |     |         slope
          | |_____|______/
          0-------------------- x

A corner of flashing, folded from one blank, is laid flat the same way, seen from above with its
outer corner at the lower left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Literal, TypeAlias, assert_never

from shapely import Polygon as Area

from pikepole_export.derive.measures.features import ON_LINE_MM, SAME_WAY, Cut
from pikepole_export.derive.measures.templates import commonest
from pikepole_model.building.kind_rows import Drawn, Family
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.folded import Folded
from pikepole_model.geometry.placement import Placement, Vector, cross
from pikepole_model.geometry.shape import Polygon, Prism, bounds

Seen: TypeAlias = Literal["from outside", "from above", "from below"]
Up: TypeAlias = Literal["up", "up the slope", "up, square to the rake", "to the back"]

# A corner that stands out by less than this with its neighbours is none, mm2.
NO_CORNER_MM2 = 1e-3

# Folded corners within this are the same: they lie a thickness or two over what they lap.
FOLDED_MM = 1.5


@dataclass(frozen=True)
class Outline:
    """One distinct flat piece, as it is marked out on its blank.

    Attributes:
        kind: What most of these are.
        names: The parts that are cut to it, in order of building.
        stock: What it is cut from.
        material: What that is made of.
        seen: Which face is drawn.
        up: What the top of the drawing is in the building; None where it is turned each time.
        corners: Counter-clockwise, mm: x to the right and y up from the blank's lower left corner.
        holes: Corners of each opening that is closed all round, mm.
        along: Which way the length of the sheet it is cut from runs; None where that is all one.
        folds: Lines along which it is folded down, mm.
    """

    kind: str
    names: tuple[str, ...]
    stock: str
    material: str
    seen: Seen
    up: Up | None
    corners: Polygon
    holes: tuple[Polygon, ...] = ()
    along: Literal["x", "y"] | None = None
    folds: tuple[tuple[tuple[float, float], tuple[float, float]], ...] = ()

    @cached_property
    def area(self) -> Area:
        """All of it, mm."""
        return Area(self.corners, self.holes)

    @property
    def loops(self) -> tuple[Polygon, ...]:
        """Its corners, and then those of each opening, mm."""
        return self.corners, *self.holes

    @cached_property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the blank as it is drawn, mm."""
        return self.marks_mm[0][-1], self.marks_mm[1][-1]

    @cached_property
    def marks_mm(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Every corner's x and every corner's y, each once, from 0, mm; folds too."""
        points = [point for loop in (*self.loops, *self.folds) for point in loop]
        xs, ys = (tuple(sorted({point[axis] for point in points})) for axis in (0, 1))
        return xs, ys

    @cached_property
    def slopes(self) -> tuple[Cut, ...]:
        """What is cut at a slope: off the bottom edge ("edge"), or off the left one ("square")."""
        found: list[Cut] = []
        for loop in self.loops:
            for a, b in pairwise([*loop, loop[0]]):
                x, y = abs(b[0] - a[0]), abs(b[1] - a[1])
                if x and y:
                    off = "edge" if y <= x else "square"
                    angle_deg = math.degrees(math.atan2(min(x, y), max(x, y)))
                    found.append(Cut("slope", a, b, off, angle_deg))
        return tuple(found)


def outlines(building: Building) -> tuple[Outline, ...]:
    """One for each distinct flat piece that is not the whole of its blank."""
    middle = _middle(building.parts)
    alike: list[tuple[Outline, list[Part]]] = []
    for part in building.parts:
        outline = _outline(part, middle)
        if outline is None:
            continue
        if outline.area.area > math.prod(outline.size_mm) - ON_LINE_MM * outline.area.length:
            continue  # a rectangle, but for the last decimal of its corners
        parts = next((parts for other, parts in alike if _same(outline, other)), None)
        if parts is None:
            alike.append((outline, [part]))
        else:
            parts.append(part)
    return tuple(
        replace(
            outline,
            kind=commonest(part.kind for part in parts).value,
            names=tuple(part.name for part in parts),
        )
        for outline, parts in alike
    )


def _outline(part: Part, middle: Vector) -> Outline | None:
    """A part as it is marked out flat; None where it is a whole blank, or no flat piece."""
    match part.kind.row.drawn:
        case Drawn.OUTLINE:
            return None if part.shape.is_box else _sheet(part, middle)
        case Drawn.FOLD:
            return _corner(part)
        case Drawn.TEMPLATE | Drawn.BEND | Drawn.NOT:
            return None
        case _:
            assert_never(part.kind.row.drawn)


def _sheet(part: Part, middle: Vector) -> Outline:
    body, place = part.shape.body, part.placement
    assert isinstance(body, Prism)
    out, seen = _outwards(part, middle)
    up, way = _up(out)
    # A sheet that lies along a rake is drawn along its own blank, as nearly upright as that goes.
    sides = [place.u, place.v, _reversed(place.u), _reversed(place.v)]
    plumb, up = up, max(sides, key=lambda side: _dot(side, up))
    if _dot(plumb, up) < 1 - SAME_WAY:
        way = "up, square to the rake"
    right = cross(up, out)
    loops = [_seen(loop, place, right, up) for loop in (body.outline, *body.holes)]
    corners, *holes = _measured(loops)
    return Outline(
        kind=part.kind.value,
        names=(),
        stock=part.stock,
        material=part.material.name,
        seen=seen,
        up=way,
        corners=corners,
        holes=tuple(sorted(holes)),
        along="x" if abs(_dot(place.u, right)) > abs(_dot(place.u, up)) else "y",
    )


def _outwards(part: Part, middle: Vector) -> tuple[Vector, Seen]:
    """Which way a sheet's outer face looks, and from where that is seen."""
    n = part.placement.n
    if abs(n[2]) > SAME_WAY:
        below = part.kind.family is Family.SOFFITS
        out = n if (n[2] < 0) == below else _reversed(n)
        return out, "from below" if below else "from above"
    low, high = bounds(part.shape.body)
    centre = part.placement.point(*((a + b) / 2 for a, b in zip(low, high, strict=True)))
    away = _dot([a - b for a, b in zip(centre, middle, strict=True)], n)
    return n if away >= 0 else _reversed(n), "from outside"


def _up(out: Vector) -> tuple[Vector, Up]:
    """The direction in a face's plane that is drawn upwards, and what it is called."""
    level = math.hypot(out[0], out[1])
    if level < SAME_WAY:
        return (0.0, 1.0, 0.0), "to the back"
    up = (-out[0] * out[2] / level, -out[1] * out[2] / level, level)
    return up, "up" if abs(out[2]) < SAME_WAY else "up the slope"


def _corner(part: Part) -> Outline:
    """A flashing's corner laid flat: an L, all but level, and a leg along each outer edge.

    Turned so that its outer corner is at the lower left: x and y run along the two walls.
    """
    body = part.shape.body
    assert isinstance(body, Folded)
    # Each field's width in its own slope; the corners as `layout/flashing_corners` numbers them.
    end_u, _, corner_at, edge_u, end_v, edge_v, foot, _, _ = body.front
    wide, high = math.dist(corner_at, edge_u), math.dist(corner_at, edge_v)
    deep_u, deep_v = math.dist(end_u, edge_u), math.dist(end_v, edge_v)
    leg, corner = math.dist(corner_at, foot), (0.0, 0.0)
    ell = [corner, (wide, 0.0), (wide, deep_u), (deep_v, deep_u), (deep_v, high), (0.0, high)]
    flat = [(0.0, -leg), (wide, -leg), *ell[1:], (-leg, high), (-leg, 0.0), corner]
    corners, *folds = _measured([flat, [corner, ell[1]], [corner, ell[-1]]])
    return Outline(
        kind=part.kind.value,
        names=(),
        stock=part.stock,
        material=part.material.name,
        seen="from above",
        up=None,
        corners=corners,
        folds=tuple((fold[0], fold[1]) for fold in folds),
    )


def _seen(loop: object, place: Placement, right: Vector, up: Vector) -> list[tuple[float, float]]:
    """A loop's corners as they lie in the face's plane, counter-clockwise, mm."""
    # Only bolts make round holes, and none goes through a flat piece.
    assert isinstance(loop, tuple)
    corners = [place.point(u, v) for u, v in loop]
    points = [(_dot(corner, right), _dot(corner, up)) for corner in corners]
    return points if Area(points).exterior.is_ccw else points[::-1]


def _measured(loops: Sequence[Sequence[tuple[float, float]]]) -> list[Polygon]:
    """Loops from the lower left of the first one's box.

    Coordinates that no rule could tell apart become one, and corners in a straight line go.
    """
    xs, ys = (_told_apart([point[axis] for loop in loops for point in loop]) for axis in (0, 1))
    return [_corners([(xs[x], ys[y]) for x, y in loop]) for loop in loops]


def _told_apart(values: Sequence[float]) -> dict[float, float]:
    """For each value how far it is over the least of them; for those very close, the same."""
    told: dict[float, float] = {}
    low = last = min(values)
    for value in sorted(values):
        if value - last > ON_LINE_MM:
            last = value
        told[value] = last - low
    return told


def _corners(points: Sequence[tuple[float, float]]) -> Polygon:
    around = list(dict.fromkeys(points))
    kept = [
        point
        for before, point, after in zip(
            [around[-1], *around[:-1]], around, [*around[1:], around[0]], strict=True
        )
        if len(around) == 2 or Area([before, point, after]).area > NO_CORNER_MM2
    ]
    first = kept.index(min(kept, key=lambda point: (point[1], point[0])))
    return (*kept[first:], *kept[:first])


def _same(one: Outline, other: Outline) -> bool:
    def told(outline: Outline) -> tuple[object, ...]:
        counts = [len(loop) for loop in outline.loops]
        seen = outline.along, outline.seen, outline.up
        return outline.stock, outline.material, *seen, counts

    if told(one) != told(other):
        return False
    near_mm = FOLDED_MM if one.folds else ON_LINE_MM
    return all(
        math.dist(a, b) < near_mm
        for loop, matched in zip(one.loops, other.loops, strict=True)
        for a, b in zip(loop, matched, strict=True)
    )


def _middle(parts: Sequence[Part]) -> Vector:
    """The middle of the box round the flat pieces: inside the building, mm."""
    corners = [
        part.placement.point(u, v, n)
        for part in parts
        if part.kind.row.drawn is Drawn.OUTLINE
        for low, high in [bounds(part.shape.body)]
        for u, v, n in (low, high)
    ]
    sides = list(zip(*corners, strict=True)) or [(0.0,)] * 3
    a, b, c = ((min(side) + max(side)) / 2 for side in sides)
    return a, b, c


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return sum(p * q for p, q in zip(a, b, strict=True))


def _reversed(vector: Vector) -> Vector:
    return (-vector[0], -vector[1], -vector[2])

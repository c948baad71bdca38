"""One distinct local geometry: what a piece is before anyone puts it anywhere.

A shape is a recipe (an outline, how thick, what is cut away), so that equal pieces are equal
values and share one solid, one mesh and one product in the exported files. Recipes cost nothing;
the solid is made from the recipe on first use.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Literal, TypeAlias

from shapely import Polygon as Area

from pikepole_model.geometry.folded import Folded
from pikepole_model.geometry.kernel import circle, cut_away, extruded, polygon, polyhedron
from pikepole_model.geometry.mesh import (
    Mesh,
    cut_mesh,
    extruded_mesh,
    flat_faced_mesh,
    round_loop,
)
from pikepole_model.geometry.placement import Placement, Vector

if TYPE_CHECKING:
    import cadquery as cq

# Recipes are compared after rounding to this many decimals of a millimetre: far below anything a
# saw can do, far above the noise of a sine, and fine enough to hold every 1/64 in exactly, so that
# no common dimension stands on the brink of being rounded up or down.
DECIMALS = 6

# So many recipes are kept with what was made from them, for the next building with such a piece.
KEPT = 4_096


@dataclass(frozen=True, slots=True)
class Circle:
    """A round loop: a bolt, its hole, a tube form. Millimetres in the outline's plane."""

    u: float
    v: float
    radius: float


Polygon: TypeAlias = tuple[tuple[float, float], ...]
Loop: TypeAlias = Polygon | Circle


@dataclass(frozen=True, slots=True)
class Prism:
    """An outline of constant thickness: every stud, rafter, plate and sheet.

    Attributes:
        outline: Closed outer loop in the (u, v) plane, mm.
        thickness: Extrusion along n, mm.
        holes: Closed loops inside the outline.
        length_along: The local axis along which the piece is measured and its grain runs:
            "u" for a member seen from the side, "n" for one drawn as its end section.

    Raises:
        ValueError: the thickness is not above zero.
    """

    outline: Loop
    thickness: float
    holes: tuple[Loop, ...] = ()
    length_along: Literal["u", "n"] = "u"

    def __post_init__(self) -> None:
        if not self.thickness > 0:
            raise ValueError(f"thickness_mm = {self.thickness}: a prism is thicker than nothing")


@dataclass(frozen=True, slots=True)
class Frustum:
    """A block with sloping sides between two upright rectangles (u0, v0, u1, v1), mm.

    Raises:
        ValueError: the height is not above zero.
    """

    bottom: tuple[float, float, float, float]
    top: tuple[float, float, float, float]
    height: float

    def __post_init__(self) -> None:
        if not self.height > 0:
            raise ValueError(f"height_mm = {self.height}: a block is higher than nothing")

    @property
    def corners(self) -> tuple[Vector, ...]:
        """Those of the bottom, then those of the top, mm."""
        return tuple(
            (u, v, height)
            for rim, height in ((self.bottom, 0.0), (self.top, self.height))
            for u, v in rectangle(*rim)
        )

    @property
    def faces(self) -> tuple[tuple[int, ...], ...]:
        """Each by the numbers of its corners, counter-clockwise seen from outside."""
        sides = ((k, (k + 1) % 4, (k + 1) % 4 + 4, k + 4) for k in range(4))
        return ((3, 2, 1, 0), (4, 5, 6, 7), *sides)


Body: TypeAlias = Prism | Frustum | Folded

# What a shape keeps to its own process.
_OWN = frozenset({"solid", "_hash", "area"})


@dataclass(frozen=True)
class Shape:
    """A body and what is cut away from it. Hashable; equal geometry compares equal.

    Attributes:
        body: The stock as cut to outline.
        cuts: What is let into the body and taken out of it, each where it sits in this frame.
    """

    body: Body
    cuts: tuple[tuple[Body, Placement], ...] = ()

    def __getstate__(self) -> dict[str, object]:
        # Another process makes the solid anew: read back it would not be the same to the last bit.
        # Its hashes of words are others too.
        return {name: value for name, value in vars(self).items() if name not in _OWN}

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        return hash((self.body, self.cuts))

    @cached_property
    def solid(self) -> cq.Solid:
        """The CAD kernel's solid in the shape's own frame, mm.

        A plain extrusion is trusted here and looked at by the kernel when the building is
        checked; a boolean is looked at at once.

        Raises:
            ValueError: the recipe does not make one valid closed body.
        """
        solid = _solid(self.body)
        if self.cuts:
            return cut_away(solid, [(_solid(body), place) for body, place in self.cuts])
        return solid

    @cached_property
    def mesh(self) -> Mesh:
        """The shape's surface in triangles, every edge shared by two of them.

        Raises:
            ValueError: an outline bounds no face, or the cuts leave more than one body.
        """
        mesh = _mesh(self.body)
        if self.cuts:
            return cut_mesh(mesh, [(_mesh(body), place) for body, place in self.cuts])
        return mesh

    @cached_property
    def area(self) -> Area:
        """What the outline of an extrusion bounds in the (u, v) plane, cuts apart, mm.

        Raises:
            ValueError: it is no extrusion, or its outline bounds nothing.
        """
        if not isinstance(self.body, Prism):
            raise ValueError("only what is extruded has an outline")
        return _area_within(self.body)

    @property
    def volume_mm3(self) -> float:
        """Volume of the shape, mm3."""
        return self._volume_and_centre[0]

    @property
    def centroid_mm(self) -> Vector:
        """Centre of the shape in its own frame, mm."""
        return self._volume_and_centre[1]

    @cached_property
    def _volume_and_centre(self) -> tuple[float, Vector]:
        if self.cuts or not isinstance(self.body, Prism):
            return self.mesh.volume_and_centre
        area, height = self.area, self.body.thickness
        return area.area * height, (area.centroid.x, area.centroid.y, height / 2)

    @cached_property
    def size_mm(self) -> Vector:
        """Extent of the body along u, v and n, mm."""
        low, high = bounds(self.body)
        return (high[0] - low[0], high[1] - low[1], high[2] - low[2])

    @property
    def length_mm(self) -> float:
        """Length of stock this piece is cut from, mm: its long points, not its middle."""
        along_n = isinstance(self.body, Prism) and self.body.length_along == "n"
        return self.size_mm[2] if along_n else self.size_mm[0]

    @property
    def diameter_mm(self) -> float | None:
        """Across a round body, mm; None of any other."""
        match self.body:
            case Prism(outline=Circle(radius=radius)):
                return 2 * radius
            case _:
                return None

    @property
    def is_straight(self) -> bool:
        """Whether it is an uncut extrusion of straight sides: its faces are sound by its making."""
        body = self.body
        if self.cuts or not isinstance(body, Prism):
            return False
        return not any(isinstance(loop, Circle) for loop in (body.outline, *body.holes))

    @cached_property
    def is_box(self) -> bool:
        """Whether the shape is a plain rectangular block, for which its box says everything."""
        body = self.body
        if self.cuts or not isinstance(body, Prism) or body.holes:
            return False
        return not isinstance(body.outline, Circle) and _is_rectangle(body.outline)


def bounds(body: Body) -> tuple[Vector, Vector]:
    """Low and high corner of a body in its own frame, mm."""
    if isinstance(body, Frustum | Folded):
        u, v, n = zip(*body.corners, strict=True)
        return (min(u), min(v), min(n)), (max(u), max(v), max(n))
    loop = body.outline
    if isinstance(loop, Circle):
        return (
            (loop.u - loop.radius, loop.v - loop.radius, 0.0),
            (loop.u + loop.radius, loop.v + loop.radius, body.thickness),
        )
    us = [point[0] for point in loop]
    vs = [point[1] for point in loop]
    return (min(us), min(vs), 0.0), (max(us), max(vs), body.thickness)


def canonical(body: Body, place: Placement) -> tuple[Shape, Placement]:
    """A body as drawn in place, as the one Shape that every equal piece shares.

    The outline is moved to start at zero and turned over, end for end or both, into the one
    attitude of the four that sorts first. Each is a turn a carpenter can give the piece, never a
    mirror image, so a left-hand and a right-hand bevelled stud come out as the same piece of work.

    Args:
        body: The body in its own frame.
        place: Where that frame is.

    Returns:
        The shape, and the placement that puts it where the body was.
    """
    if isinstance(body, Frustum | Folded):
        return Shape(body), place
    low, high = bounds(body)
    width, depth, thickness = high[0] - low[0], high[1] - low[1], body.thickness
    is_box = Shape(body).is_box
    if is_box and body.length_along == "u" and depth < thickness - 10**-DECIMALS:
        # A square-cut stick is the same piece however it is turned: draw it by its wide face.
        wide = Prism(rectangle(0.0, 0.0, width, thickness), depth)
        return canonical(wide, Placement(place.point(low[0], high[1]), place.u, place.n))
    shape, flip_u, flip_v = _attitude(body)
    corner = place.point(
        low[0] + (width if flip_u else 0.0),
        low[1] + (depth if flip_v else 0.0),
        thickness if flip_u != flip_v else 0.0,
    )
    return shape, Placement(corner, _signed(place.u, flip_u), _signed(place.v, flip_v))


@lru_cache(KEPT)
def _attitude(body: Prism) -> tuple[Shape, bool, bool]:
    """A prism in the attitude that sorts first, and whether it is flipped along u and along v."""
    low, high = bounds(body)
    width, depth = high[0] - low[0], high[1] - low[1]
    best: tuple[object, Shape, bool, bool] | None = None
    flips = (False,) if Shape(body).is_box else (False, True)  # of a box one is as good as another
    for flip_u, flip_v in itertools.product(flips, flips):
        loops = tuple(
            _turned(loop, low, width, depth, flip_u, flip_v) for loop in (body.outline, *body.holes)
        )
        key = (_sort_key(loops[0]), tuple(sorted(_sort_key(loop) for loop in loops[1:])))
        if best is not None and key >= best[0]:  # type: ignore[operator]
            continue
        holes = tuple(sorted(loops[1:], key=_sort_key))
        prism = Prism(loops[0], round(body.thickness, DECIMALS), holes, body.length_along)
        best = (key, Shape(prism), flip_u, flip_v)
    assert best is not None
    return best[1:]


def rectangle(u0: float, v0: float, u1: float, v1: float) -> Polygon:
    """The four corners of an upright rectangle, counter-clockwise, mm."""
    return ((u0, v0), (u1, v0), (u1, v1), (u0, v1))


def _turned(
    loop: Loop, low: Vector, width: float, depth: float, flip_u: bool, flip_v: bool
) -> Loop:
    def turn(u: float, v: float) -> tuple[float, float]:
        u, v = u - low[0], v - low[1]
        return (
            round(width - u if flip_u else u, DECIMALS) + 0.0,
            round(depth - v if flip_v else v, DECIMALS) + 0.0,
        )

    if isinstance(loop, Circle):
        return Circle(*turn(loop.u, loop.v), round(loop.radius, DECIMALS))
    points = [turn(u, v) for u, v in loop]
    if _area(points) < 0:
        points.reverse()
    first = points.index(min(points))
    return tuple(points[first:] + points[:first])


def _sort_key(loop: Loop) -> tuple[tuple[float, ...], ...]:
    return ((loop.u, loop.v, loop.radius),) if isinstance(loop, Circle) else loop


def _signed(vector: Vector, negative: bool) -> Vector:
    return (-vector[0] + 0.0, -vector[1] + 0.0, -vector[2] + 0.0) if negative else vector


def _area(points: list[tuple[float, float]]) -> float:
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2


def _is_rectangle(loop: Polygon) -> bool:
    if len(loop) != 4 or len(set(loop)) != 4:
        return False
    # Each side keeps one coordinate: a bow tie through the same four corners does not.
    sides = zip(loop, loop[1:] + loop[:1], strict=True)
    return all(a[0] == b[0] or a[1] == b[1] for a, b in sides)


def _mesh(body: Body) -> Mesh:
    if isinstance(body, Prism):
        area = _area_within(body)
        rings = (area.exterior, *area.interiors)
        loops = [[(u, v) for u, v in ring.coords[:-1]] for ring in rings]
        return extruded_mesh(loops, body.thickness)
    return flat_faced_mesh(body.corners, body.faces)


def _area_within(body: Prism) -> Area:
    """What the loops of a prism bound, the outer one counter-clockwise, round ones in facets.

    Raises:
        ValueError: they bound no area.
    """
    outer, *holes = (
        round_loop(loop.u, loop.v, loop.radius) if isinstance(loop, Circle) else _wound(loop)
        for loop in (body.outline, *body.holes)
    )
    area = Area(outer, [hole[::-1] for hole in holes]) if len(outer) > 2 else Area()
    if not area.area or not area.is_valid:
        raise ValueError("an outline meets itself, or encloses nothing")
    return area


def _solid(body: Body) -> cq.Solid:
    if isinstance(body, Frustum | Folded):
        return polyhedron([[body.corners[k] for k in face] for face in body.faces])
    outer, *holes = (_wire(loop) for loop in (body.outline, *body.holes))
    return extruded(outer, holes, body.thickness)


def _wire(loop: Loop) -> cq.Wire:
    if isinstance(loop, Circle):
        return circle(loop.u, loop.v, loop.radius)
    return polygon([(u, v, 0.0) for u, v in _wound(loop)])


def _wound(loop: Polygon) -> Polygon:
    """A loop counter-clockwise."""
    return loop if _area(list(loop)) > 0 else loop[::-1]

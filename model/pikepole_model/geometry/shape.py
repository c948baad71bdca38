"""One distinct local geometry: what a piece is before anyone puts it anywhere.

A shape is a recipe (an outline, how thick, what is cut away), so that equal pieces are equal
values and share one solid, one mesh and one product in the exported files. Recipes cost nothing;
the solid is made from the recipe on first use. This is the one module that imports cadquery.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pikepole_model.geometry.placement import Placement, Points, Vector

if TYPE_CHECKING:
    import cadquery as cq

# Recipes are compared after rounding to this many decimals of a millimetre: far below anything a
# saw can do, far above the noise of a sine, and fine enough to hold every 1/64 in exactly, so that
# no common dimension stands on the brink of being rounded up or down.
DECIMALS = 6

# Mesh nodes of neighbouring faces that lie nearer than this are one: what a boolean cut of the
# kernel may be off by, and far under the thinnest sheet.
SAME_MM = 1e-4

# Curved faces are meshed this finely. A bolt and its hole get the same facets.
CHORD_MM = 0.1
CHORD_ANGLE_RAD = 0.25


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


Body: TypeAlias = Prism | Frustum


@dataclass(frozen=True, slots=True)
class Mesh:
    """A closed triangle mesh in the shape's own frame.

    Attributes:
        vertices: (n, 3) float, mm.
        triangles: (m, 3) int, counter-clockwise seen from outside.
        edges: (k, 2) int, pairs of vertices on the solid's real edges, for drawing.
    """

    vertices: Points
    triangles: NDArray[np.int32]
    edges: NDArray[np.int32]


@dataclass(frozen=True)
class Shape:
    """A body and what is cut away from it. Hashable; equal geometry compares equal.

    Attributes:
        body: The stock as cut to outline.
        cuts: What is let into the body and taken out of it, each where it sits in this frame.
    """

    body: Body
    cuts: tuple[tuple[Body, Placement], ...] = ()

    @cached_property
    def solid(self) -> cq.Solid:
        """The CadQuery solid in the shape's own frame, mm.

        A plain extrusion is trusted here and looked at by the kernel when the building is
        checked; a boolean is looked at at once.

        Raises:
            ValueError: the recipe does not make one valid closed body.
        """
        solid = _solid(self.body)
        if self.cuts:
            tools = [_solid(body).moved(_location(place)) for body, place in self.cuts]
            cut = solid.cut(*tools)
            solids = cut.Solids()
            if len(solids) != 1:
                raise ValueError(f"the cuts leave {len(solids)} bodies where one was meant")
            solid = solids[0]
            if not solid.isValid():
                raise ValueError("the cuts leave a body that is not valid")
        return solid

    @cached_property
    def mesh(self) -> Mesh:
        """The solid's tessellation, vertices merged so that every edge is shared by two facets.

        Raises:
            ValueError: a face of the solid is no face.
        """
        return _tessellate(self.solid)

    @cached_property
    def volume_mm3(self) -> float:
        """Volume of the solid, mm3."""
        return float(self.solid.Volume())

    @cached_property
    def centroid_mm(self) -> Vector:
        """Centre of the solid in the shape's own frame, mm."""
        return self.solid.Center().toTuple()

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

    @cached_property
    def is_box(self) -> bool:
        """Whether the shape is a plain rectangular block, for which its box says everything."""
        body = self.body
        if self.cuts or not isinstance(body, Prism) or body.holes:
            return False
        return not isinstance(body.outline, Circle) and _is_rectangle(body.outline)


def bounds(body: Body) -> tuple[Vector, Vector]:
    """Low and high corner of a body in its own frame, mm."""
    if isinstance(body, Frustum):
        u0, v0, u1, v1 = (
            min(body.bottom[0], body.top[0]),
            min(body.bottom[1], body.top[1]),
            max(body.bottom[2], body.top[2]),
            max(body.bottom[3], body.top[3]),
        )
        return (u0, v0, 0.0), (u1, v1, body.height)
    loop = body.outline
    if isinstance(loop, Circle):
        return (
            (loop.u - loop.radius, loop.v - loop.radius, 0.0),
            (loop.u + loop.radius, loop.v + loop.radius, body.thickness),
        )
    us = [point[0] for point in loop]
    vs = [point[1] for point in loop]
    return (min(us), min(vs), 0.0), (max(us), max(vs), body.thickness)


def bodies_of(solid: cq.Solid) -> tuple[int, list[bool]]:
    """How many bodies a solid is made of, and of each of its shells whether it is closed."""
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopoDS import TopoDS_Iterator

    if solid.wrapped.ShapeType() != TopAbs_ShapeEnum.TopAbs_SOLID:
        return len(solid.Solids()), [shell.Closed() for shell in solid.Shells()]
    closed: list[bool] = []
    shells = TopoDS_Iterator(solid.wrapped)
    while shells.More():
        closed.append(shells.Value().Closed())
        shells.Next()
    return 1, closed


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
    if isinstance(body, Frustum):
        return Shape(body), place
    low, high = bounds(body)
    width, depth, thickness = high[0] - low[0], high[1] - low[1], body.thickness
    if Shape(body).is_box and body.length_along == "u" and depth < thickness - 10**-DECIMALS:
        # A square-cut stick is the same piece however it is turned: draw it by its wide face.
        wide = Prism(rectangle(0.0, 0.0, width, thickness), depth)
        return canonical(wide, Placement(place.point(low[0], high[1]), place.u, place.n))
    best: tuple[object, Shape, Placement] | None = None
    for flip_u in (False, True):
        for flip_v in (False, True):
            loops = tuple(
                _turned(loop, low, width, depth, flip_u, flip_v)
                for loop in (body.outline, *body.holes)
            )
            key = (_sort_key(loops[0]), tuple(sorted(_sort_key(loop) for loop in loops[1:])))
            if best is not None and key >= best[0]:  # type: ignore[operator]
                continue
            holes = tuple(sorted(loops[1:], key=_sort_key))
            prism = Prism(loops[0], round(thickness, DECIMALS), holes, body.length_along)
            corner = place.point(
                low[0] + (width if flip_u else 0.0),
                low[1] + (depth if flip_v else 0.0),
                thickness if flip_u != flip_v else 0.0,
            )
            turned = Placement(corner, _signed(place.u, flip_u), _signed(place.v, flip_v))
            best = (key, Shape(prism), turned)
    assert best is not None
    return best[1], best[2]


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


def _location(place: Placement) -> cq.Location:
    import cadquery as cq

    return cq.Location(cq.Plane(place.origin, place.u, place.n))


def _solid(body: Body) -> cq.Solid:
    import cadquery as cq

    if isinstance(body, Frustum):
        rings = [
            cq.Wire.makePolygon([cq.Vector(u, v, z) for u, v in rectangle(*sides)], close=True)
            for sides, z in ((body.bottom, 0.0), (body.top, body.height))
        ]
        return cq.Solid.makeLoft(rings, ruled=True)
    if isinstance(body.outline, tuple) and not body.holes and body.thickness > 0:
        return _stick(body.outline, body.thickness)
    outer, *holes = (_wire(loop) for loop in (body.outline, *body.holes))
    return cq.Solid.extrudeLinear(outer, holes, cq.Vector(0, 0, body.thickness))


def _stick(outline: Polygon, thickness: float) -> cq.Solid:
    """A straight-sided outline without holes extruded: most pieces, so straight by the kernel."""
    import cadquery as cq
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Pnt, gp_Vec

    corners = outline if _area(list(outline)) > 0 else outline[::-1]
    polygon = BRepBuilderAPI_MakePolygon()
    for u, v in corners:
        polygon.Add(gp_Pnt(u, v, 0.0))
    polygon.Close()
    face = BRepBuilderAPI_MakeFace(polygon.Wire(), True)
    if not face.IsDone():
        raise ValueError("an outline crosses itself, or encloses nothing")
    return cq.Solid(BRepPrimAPI_MakePrism(face.Face(), gp_Vec(0.0, 0.0, thickness)).Shape())


def _wire(loop: Loop) -> cq.Wire:
    import cadquery as cq

    if isinstance(loop, Circle):
        # Four quarters, because the mesher gives a whole circle an odd number of facets: these
        # look the same after any quarter turn, as a bolt may stand in its hole.
        centre, normal = cq.Vector(loop.u, loop.v, 0), cq.Vector(0, 0, 1)
        return cq.Wire.assembleEdges(
            [
                cq.Edge.makeCircle(loop.radius, centre, normal, start, start + 90)
                for start in (0, 90, 180, 270)
            ]
        )
    return cq.Wire.makePolygon([cq.Vector(u, v, 0) for u, v in loop], close=True)


def _tessellate(solid: cq.Solid) -> Mesh:
    from OCP.BRep import BRep_Tool
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopLoc import TopLoc_Location
    from OCP.TopoDS import TopoDS

    BRepMesh_IncrementalMesh(solid.wrapped, CHORD_MM, False, CHORD_ANGLE_RAD, False)
    points: list[Vector] = []
    triangles: list[tuple[int, int, int]] = []
    faces_of = TopExp_Explorer(solid.wrapped, TopAbs_ShapeEnum.TopAbs_FACE)
    while faces_of.More():
        face = TopoDS.Face_s(faces_of.Current())
        faces_of.Next()
        location = TopLoc_Location()  # a face left by a cut keeps the tool's place
        facets = BRep_Tool.Triangulation_s(face, location)
        if facets is None:
            raise ValueError("an outline crosses itself, or encloses nothing")
        place = location.Transformation()
        start = len(points) - 1
        nodes = [facets.Node(i) for i in range(1, facets.NbNodes() + 1)]
        if not location.IsIdentity():
            nodes = [node.Transformed(place) for node in nodes]
        points += [node.Coord() for node in nodes]
        inward = face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
        for i in range(1, facets.NbTriangles() + 1):
            a, b, c = facets.Triangle(i).Get()
            triangles.append(
                (start + a, start + c, start + b) if inward else (start + a, start + b, start + c)
            )
    # Neighbouring faces mesh their shared edge with the same nodes; give those one number.
    cells = _cells(np.array(points))
    # One number for all three, in the same order: much faster than to compare rows.
    keys = np.ravel_multi_index(tuple(cells.T), tuple(cells.max(axis=0) + 1))
    _, first, number = np.unique(keys, return_index=True, return_inverse=True)
    vertices = np.array(points)[first]
    faces = number[np.array(triangles)].astype(np.int32)
    return Mesh(vertices, faces, _sharp_edges(vertices, faces))


def _cells(points: Points) -> NDArray[np.int64]:
    """(n, 3) int: numbers of the points' coordinates, equal where they lie within SAME_MM.

    Rounding would part two that happen to lie either side of a rounding edge.
    """
    cells = np.empty(points.shape, dtype=np.int64)
    for axis, values in enumerate(points.T):
        order = np.argsort(values, kind="stable")
        cells[order, axis] = np.cumsum(np.diff(values[order], prepend=values[order[0]]) > SAME_MM)
    return cells


def _sharp_edges(vertices: Points, triangles: NDArray[np.int32]) -> NDArray[np.int32]:
    """(k, 2) int: the mesh edges across which the surface turns by more than a facet of a curve."""
    corners = vertices[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    edges = np.sort(triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    order = np.lexsort((edges[:, 1], edges[:, 0]))
    pairs, sides = edges[order].reshape(-1, 2, 2), np.repeat(np.arange(len(triangles)), 3)[order]
    a, b = normals[sides.reshape(-1, 2)].swapaxes(0, 1)
    sharp = np.einsum("ij,ij->i", a, b) < np.cos(2 * CHORD_ANGLE_RAD)
    return pairs[sharp, 0].astype(np.int32)

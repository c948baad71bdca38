"""What CadQuery is asked: to make a solid, to cut it, to measure it, to look at it.

It takes seconds to import, so only the functions that need it do.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pikepole_model.geometry.placement import Placement, Vector

if TYPE_CHECKING:
    import cadquery as cq
    from OCP.gp import gp_Pln


def polygon(corners: Sequence[Vector]) -> cq.Wire:
    """The closed loop through some corners, mm."""
    import cadquery as cq

    return cq.Wire.makePolygon([cq.Vector(*corner) for corner in corners], close=True)


def circle(u: float, v: float, radius: float) -> cq.Wire:
    """A round loop at height 0, mm.

    Of four quarters, because the kernel's mesher gives a whole circle an odd number of facets: what
    a program that reads the STEP file makes of these looks the same after any quarter turn, as a
    bolt may stand in its hole.

    Args:
        u: Its centre.
        v: Its centre.
        radius: Above zero.
    """
    import cadquery as cq

    centre, up = cq.Vector(u, v, 0.0), cq.Vector(0.0, 0.0, 1.0)
    return cq.Wire.assembleEdges(
        [cq.Edge.makeCircle(radius, centre, up, start, start + 90) for start in (0, 90, 180, 270)]
    )


def extruded(outer: cq.Wire, holes: Sequence[cq.Wire], thickness: float) -> cq.Solid:
    """A flat outline with its holes, made so thick upwards, mm.

    Args:
        outer: A loop at height 0, counter-clockwise.
        holes: Loops inside it, counter-clockwise too.
        thickness: Above zero.

    Raises:
        ValueError: the outline bounds no face.
    """
    import cadquery as cq
    from OCP.gp import gp_Ax3, gp_Pln

    face = _face(outer, holes, gp_Pln(gp_Ax3()))
    return cq.Solid.extrudeLinear(face, cq.Vector(0.0, 0.0, thickness))


def polyhedron(faces: Sequence[Sequence[Vector]]) -> cq.Solid:
    """The block within flat faces, each told by its corners, mm.

    A loft between two loops would have curved surfaces for sides, and hundreds of facets.

    Raises:
        ValueError: corners bound no face.
    """
    import cadquery as cq

    flat = [_face(polygon(corners)) for corners in faces]
    return cq.Solid.makeSolid(cq.Shell.makeShell(flat)).fix()


def _face(outer: cq.Wire, holes: Sequence[cq.Wire] = (), plane: gp_Pln | None = None) -> cq.Face:
    """A flat face. Not by `makeFromWires`, which mends what these loops cannot lack, and slowly.

    Args:
        outer: A loop.
        holes: Loops inside it, which run round the same way.
        plane: Where it lies; found where it is None.
    """
    import cadquery as cq
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.TopoDS import TopoDS

    made = (
        BRepBuilderAPI_MakeFace(plane, outer.wrapped, True)
        if plane
        else BRepBuilderAPI_MakeFace(outer.wrapped, True)
    )
    for hole in holes:
        made.Add(TopoDS.Wire(hole.wrapped.Reversed()))
    if not made.IsDone():
        raise ValueError("an outline crosses itself, or encloses nothing")
    return cq.Face(made.Face())


def cut_away(solid: cq.Solid, tools: Sequence[tuple[cq.Solid, Placement]]) -> cq.Solid:
    """What is left of a solid when others, each where it is placed, are taken out of it.

    Raises:
        ValueError: it is not one valid body.
    """
    import cadquery as cq

    placed = [
        tool.moved(cq.Location(cq.Plane(place.origin, place.u, place.n))) for tool, place in tools
    ]
    left = solid.cut(*placed).Solids()
    if len(left) != 1:
        raise ValueError(f"the cuts leave {len(left)} bodies where one was meant")
    if not left[0].isValid():
        raise ValueError("the cuts leave a body that is not valid")
    return left[0]


def volume_and_centre(solid: cq.Solid) -> tuple[float, Vector]:
    """Volume of a solid, mm3, and the centre of it, mm: the kernel finds both at once."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid.wrapped, properties)
    return properties.Mass(), properties.CentreOfMass().Coord()


def bodies_of(solid: cq.Solid) -> tuple[int, list[bool]]:
    """How many bodies a solid is made of, and of each of its shells whether it is closed."""
    if solid.ShapeType() != "Solid":
        return len(solid.Solids()), [shell.wrapped.Closed() for shell in solid.Shells()]
    return 1, [shell.wrapped.Closed() for shell in solid]  # its own parts, without a search

"""What the CAD kernel is asked: to make a solid, to cut it, to measure it, to look at it.

Speaks to the kernel's own binding, which loads in half the time and two thirds of the memory of
the modelling library above it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import radians
from typing import TYPE_CHECKING

from pikepole_model.geometry.placement import Placement, Vector

if TYPE_CHECKING:
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopLoc import TopLoc_Location
    from OCP.TopoDS import TopoDS_Shape, TopoDS_Wire


def polygon(corners: Sequence[Vector]) -> TopoDS_Wire:
    """The closed loop through some corners, mm."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakePolygon
    from OCP.gp import gp_Pnt

    maker = BRepBuilderAPI_MakePolygon()
    for corner in corners:
        maker.Add(gp_Pnt(*corner))
    maker.Close()
    return maker.Wire()


def circle(u: float, v: float, radius: float) -> TopoDS_Wire:
    """A round loop at height 0, mm.

    Of four quarters, because the mesher gives a whole circle an odd number of facets: these look
    the same after any quarter turn, as a bolt may stand in its hole.
    """
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeWire
    from OCP.GC import GC_MakeArcOfCircle
    from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pnt

    round_it = gp_Circ(gp_Ax2(gp_Pnt(u, v, 0.0), gp_Dir(0.0, 0.0, 1.0)), radius)
    quarters = (
        GC_MakeArcOfCircle(round_it, radians(start), radians(start + 90), True).Value()
        for start in (0, 90, 180, 270)
    )
    return BRepBuilderAPI_MakeWire(
        *(BRepBuilderAPI_MakeEdge(quarter).Edge() for quarter in quarters)
    ).Wire()


def extruded(outer: TopoDS_Wire, holes: Sequence[TopoDS_Wire], thickness: float) -> TopoDS_Shape:
    """A flat outline with its holes, made so thick upwards, mm.

    Raises:
        ValueError: the outline bounds no face.
    """
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Vec
    from OCP.ShapeFix import ShapeFix_Face

    maker = BRepBuilderAPI_MakeFace(outer, True)
    if not maker.IsDone():
        raise ValueError("an outline crosses itself, or encloses nothing")
    for hole in holes:
        maker.Add(hole)
    face = maker.Face()
    if holes:
        turn = ShapeFix_Face(face)  # a hole runs round the other way than the outline
        turn.FixOrientation()
        turn.Perform()
        face = turn.Result()
    return BRepPrimAPI_MakePrism(face, gp_Vec(0.0, 0.0, thickness)).Shape()


def polyhedron(faces: Sequence[Sequence[Vector]]) -> TopoDS_Shape:
    """The block within flat faces, each told by its corners, mm.

    A loft between two loops would have curved surfaces for sides, and hundreds of facets.
    """
    from OCP.BRepBuilderAPI import (
        BRepBuilderAPI_MakeFace,
        BRepBuilderAPI_MakeSolid,
        BRepBuilderAPI_Sewing,
    )
    from OCP.BRepLib import BRepLib
    from OCP.TopoDS import TopoDS

    sewing = BRepBuilderAPI_Sewing()
    for corners in faces:
        sewing.Add(BRepBuilderAPI_MakeFace(polygon(corners), True).Face())
    sewing.Perform()
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell_s(sewing.SewedShape())).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid


def cut_away(solid: TopoDS_Shape, tools: Sequence[tuple[TopoDS_Shape, Placement]]) -> TopoDS_Shape:
    """What is left of a solid when others, each where it is placed, are taken out of it.

    Raises:
        ValueError: it is not one valid body.
    """
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopTools import TopTools_ListOfShape

    whole, taken = TopTools_ListOfShape(), TopTools_ListOfShape()
    whole.Append(solid)
    for tool, place in tools:
        taken.Append(tool.Moved(_location(place)))
    cut = BRepAlgoAPI_Cut()
    cut.SetArguments(whole)
    cut.SetTools(taken)
    cut.Build()
    left = list(each(cut.Shape(), TopAbs_ShapeEnum.TopAbs_SOLID))
    if len(left) != 1:
        raise ValueError(f"the cuts leave {len(left)} bodies where one was meant")
    if not is_valid(left[0]):
        raise ValueError("the cuts leave a body that is not valid")
    return left[0]


def volume_and_centre(solid: TopoDS_Shape) -> tuple[float, Vector]:
    """Volume of a solid, mm3, and the centre of it, mm."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, properties)
    return properties.Mass(), properties.CentreOfMass().Coord()


def is_valid(solid: TopoDS_Shape) -> bool:
    """Whether the kernel finds no defect in a solid, its faces, its edges."""
    from OCP.BRepCheck import BRepCheck_Analyzer

    return BRepCheck_Analyzer(solid).IsValid()


def bodies_of(solid: TopoDS_Shape) -> tuple[int, list[bool]]:
    """How many bodies a solid is made of, and of each of its shells whether it is closed."""
    from OCP.TopAbs import TopAbs_ShapeEnum

    bodies = sum(1 for _ in each(solid, TopAbs_ShapeEnum.TopAbs_SOLID))
    return bodies, [shell.Closed() for shell in each(solid, TopAbs_ShapeEnum.TopAbs_SHELL)]


def each(solid: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> Iterator[TopoDS_Shape]:
    """All of one kind, faces or shells, that a solid is made of."""
    from OCP.TopExp import TopExp_Explorer

    found = TopExp_Explorer(solid, kind)
    while found.More():
        yield found.Current()
        found.Next()


def _location(place: Placement) -> TopLoc_Location:
    from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt, gp_Trsf
    from OCP.TopLoc import TopLoc_Location

    frame = gp_Trsf()
    frame.SetTransformation(gp_Ax3(gp_Pnt(*place.origin), gp_Dir(*place.n), gp_Dir(*place.u)))
    frame.Invert()
    return TopLoc_Location(frame)

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
import shapely

from pikepole_export.derive.views.cut import OFF_FACES_MM, cut_areas, faces_behind
from pikepole_export.derive.views.faces import faces_towards
from pikepole_export.derive.views.side import ABOVE, SIDES, Side
from pikepole_export.derive.views.visible import edges_seen
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.part import Building, Part
from pikepole_model.scene.types import Wall
from samples import sample_building

# The kernel draws every edge that two faces share once; so does a union of lines. What is left is
# where one hides another by a hair: of metres, millimetres.
HAIR = 0.002


def seen_mm(parts: Sequence[Part], side: Side) -> float:
    """Length of all visible lines, each place of the view once."""
    edges = edges_seen(faces_towards(parts, side))
    return float(shapely.union_all(edges, grid_size=1e-3).length)


def kernel_mm(parts: Sequence[Part], side: Side) -> float:
    """The same by the CAD kernel's own exact removal of hidden lines."""
    import cadquery as cq
    from OCP.BRepLib import BRepLib
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.HLRAlgo import HLRAlgo_Projector
    from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape

    drawing = HLRBRep_Algo()
    for part in parts:
        frame = cq.Plane(part.placement.origin, part.placement.u, part.placement.n)
        drawing.Add(part.shape.solid.moved(cq.Location(frame)).wrapped)
    axes = gp_Ax2(gp_Pnt(), gp_Dir(*side.towards), gp_Dir(*side.right))
    drawing.Projector(HLRAlgo_Projector(axes))
    drawing.Update()
    drawing.Hide()
    lines: list[shapely.LineString] = []
    shapes = HLRBRep_HLRToShape(drawing)
    for found in (shapes.VCompound(), shapes.OutLineVCompound()):
        if found is None or found.IsNull():
            continue
        BRepLib.BuildCurves3d_s(found)
        for edge in cq.Shape.cast(found).Edges():
            ends = [vertex.Center() for vertex in edge.Vertices()]
            lines.append(shapely.LineString([(end.x, end.y) for end in ends]))
    return float(shapely.union_all(lines, grid_size=1e-3).length)


@pytest.mark.parametrize("side", [*SIDES.values(), ABOVE])
def test_the_kernel_sees_as_much_of_the_lines(side: Side) -> None:
    # Flat-faced pieces of a small building, a notched rafter on a slope among them.
    parts = [one for one in sample_building().parts if one.kind.family is not Family.BOLTS]
    assert seen_mm(parts, side) == pytest.approx(kernel_mm(parts, side), rel=HAIR)


def test_a_plane_cuts_out_the_section_of_every_stick_that_it_crosses(honey_house: Building) -> None:
    parts = [part for part in honey_house.finished.parts if part.kind.value == "stud"]
    upright = [part for part in parts if part.section_mm and part.group == "front wall"]
    areas = cut_areas(upright, ABOVE, 1000.0)
    assert len(areas) == len([one for one in upright if one.bounds_mm[0][2] < 1000.0])
    for part, area in areas:
        # PS 20: a dressed 2x4 is 1-1/2 by 3-1/2 in.
        assert part.section_mm is not None
        assert area.area == pytest.approx(1.5 * 3.5 * 25.4**2, rel=1e-6)


@pytest.mark.parametrize("wall", list(SIDES))
def test_nothing_before_a_cut_is_seen(honey_house: Building, wall: Wall) -> None:
    parts, side = honey_house.finished.parts, SIDES[wall]
    depths = side.seen(np.concatenate([part.vertices_mm for part in parts]))[:, 2]
    middle = float(depths.mean())
    faces, cuts = faces_behind(parts, side, middle)
    assert faces.depths.max() <= middle + OFF_FACES_MM + 1e-6
    assert cuts
    # What is cut lies before all else: all of its edge is seen.
    seen = edges_seen(faces)[-len(cuts) :]
    total = sum(area.boundary.length for _, area in cuts)
    assert sum(lines.length for lines in seen) == pytest.approx(total, rel=1e-6)

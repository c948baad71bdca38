"""Shapes and placements against plane geometry written out."""

from __future__ import annotations

from collections import Counter
from math import cos, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from pikepole_model.geometry.kernel import volume_and_centre
from pikepole_model.geometry.mesh import Mesh
from pikepole_model.geometry.placement import Placement, Points, Vector, cross
from pikepole_model.geometry.shape import (
    Body,
    Circle,
    Frustum,
    Polygon,
    Prism,
    Shape,
    bounds,
    canonical,
    rectangle,
)

# Round-off of coordinates of some metres after a turn, and of recipes rounded to 1e-6 mm.
PLACE_MM = 2e-6
VOLUME_REL = 1e-9

X: Vector = (1.0, 0.0, 0.0)
Y: Vector = (0.0, 1.0, 0.0)
Z: Vector = (0.0, 0.0, 1.0)

# A stud for a raking wall, its long edge up or down: the two hands of one piece of work.
STUD_HIGH_FRONT: Polygon = ((0, 0), (2000, 0), (2022.25, 89), (0, 89))
STUD_HIGH_BACK: Polygon = ((0, 0), (2022.25, 0), (2000, 89), (0, 89))
# A rafter with a birdsmouth, and a sheet with a notch and two holes.
RAFTER: Polygon = ((0, 0), (700, 0), (720, 30), (790, 0), (3000, 0), (3040, 140), (35, 140))
SHEET = Prism(
    ((0, 0), (2438.4, 0), (2438.4, 1000), (2300, 1000), (2300, 1219.2), (0, 1219.2)),
    11.1125,
    holes=(rectangle(300, 200, 900, 1100), Circle(1500, 400, 60)),
)
GRAVEL = Frustum((-300, -200, 4300, 3100), (0, 0, 4000, 2800), 150)


def frame(yaw: float, pitch: float, roll: float, origin: Vector = (0.0, 0.0, 0.0)) -> Placement:
    """A frame turned about z, then y, then x; degrees."""
    a, b, c = radians(yaw), radians(pitch), radians(roll)
    turn_z = np.array([[cos(a), -sin(a), 0], [sin(a), cos(a), 0], [0, 0, 1]])
    turn_y = np.array([[cos(b), 0, sin(b)], [0, 1, 0], [-sin(b), 0, cos(b)]])
    turn_x = np.array([[1, 0, 0], [0, cos(c), -sin(c)], [0, sin(c), cos(c)]])
    turn = turn_z @ turn_y @ turn_x
    return Placement(origin, vector(turn[:, 0]), vector(turn[:, 1]))


def vector(row: Points) -> Vector:
    x, y, z = row.tolist()
    return x, y, z


def shoelace(loop: Polygon) -> float:
    """Area of a polygon, mm2: half the sum of cross products of neighbours."""
    pairs = zip(loop, loop[1:] + loop[:1], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


def sides(mesh: Mesh) -> Counter[tuple[int, int]]:
    """How often each edge is run along, in the direction it is run."""
    return Counter((int(t[i]), int(t[(i + 1) % 3])) for t in mesh.triangles for i in range(3))


def mesh_volume(points: Points, mesh: Mesh) -> float:
    """Volume under a closed mesh, mm3: signed tetrahedra from the origin (Gauss)."""
    a, b, c = points[mesh.triangles].swapaxes(0, 1)
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def same_points(a: Points, b: Points) -> bool:
    """Whether two clouds of points are one set, to within `PLACE_MM`."""
    apart = np.linalg.norm(a[:, None] - b[None], axis=2)
    return bool((apart.min(axis=0) < PLACE_MM).all() and (apart.min(axis=1) < PLACE_MM).all())


PLAIN: dict[str, tuple[Body, float]] = {
    "stud": (Prism(rectangle(0, 0, 2300, 38), 89), 2300 * 38 * 89),
    "bevelled stud": (Prism(STUD_HIGH_FRONT, 38), (2000 + 2022.25) / 2 * 89 * 38),
    "rafter": (Prism(RAFTER, 38), shoelace(RAFTER) * 38),
    "sheet with an opening": (
        Prism(rectangle(0, 0, 2440, 1220), 12, holes=(rectangle(100, 100, 900, 1000),)),
        (2440 * 1220 - 800 * 900) * 12,
    ),
    # Prismatoid: height / 6 x (bottom + 4 x middle + top); the middle is the mean of both rims.
    "gravel": (
        GRAVEL,
        150 / 6 * (4600 * 3300 + 4 * (4600 + 4000) / 2 * (3300 + 2800) / 2 + 4000 * 2800),
    ),
    # A thickened edge: one block let into another from below.
    "frustum, lopsided": (
        Frustum((0, 0, 500, 400), (50, 0, 400, 350), 200),
        200 / 6 * (500 * 400 + 4 * (500 + 350) / 2 * (400 + 350) / 2 + 350 * 350),
    ),
}
ROUND: dict[str, tuple[Body, float]] = {
    "bolt": (Prism(Circle(0, 0, 6.35), 254, length_along="n"), pi * 6.35**2 * 254),
    "sheet": (
        SHEET,
        (2438.4 * 1219.2 - 138.4 * 219.2 - 600 * 900 - pi * 60**2) * 11.1125,
    ),
}
ALL = PLAIN | ROUND


@pytest.mark.parametrize("name", ALL)
def test_volume_is_the_closed_formula(name: str) -> None:
    body, expected = ALL[name]
    assert Shape(body).volume_mm3 == pytest.approx(expected, rel=VOLUME_REL)


def test_volume_after_a_cut_is_the_difference() -> None:
    # A post 89 x 89, notched 38 deep and 235 high at its head.
    notch = Prism(rectangle(0, 0, 235, 38), 89)
    post = Shape(Prism(rectangle(0, 0, 2400, 89), 89), ((notch, Placement((2165, 51, 0))),))
    assert post.volume_mm3 == pytest.approx(2400 * 89 * 89 - 235 * 38 * 89, rel=VOLUME_REL)


def test_a_cut_sits_where_its_placement_says_whichever_way_it_is_turned() -> None:
    # A hole drilled along -Y through a beam from its far face: u = X, v = Z, n = X x Z = -Y.
    drill = Prism(Circle(30, 20, 5), 60)
    beam = Shape(Prism(rectangle(0, 0, 400, 60), 90), ((drill, Placement((100, 60, 10), X, Z)),))
    left = 400 * 60 * 90 - pi * 25 * 60
    assert beam.volume_mm3 == pytest.approx(left, rel=VOLUME_REL)
    # Removing a hole of centre (130, 30, 30) moves the centre of the rest away from it.
    whole, hole = np.array([200, 30, 45]), np.array([130, 30, 30])
    expected = (whole * 400 * 60 * 90 - hole * pi * 25 * 60) / left
    assert beam.centroid_mm == pytest.approx(tuple(expected), abs=PLACE_MM)


def test_centroid_of_a_bevelled_stud() -> None:
    # Rectangle 2000 x 89 and triangle 22.25 x 89 with its right angle at the top (v = 89).
    parts = ((2000 * 89, 1000.0, 44.5), (22.25 * 89 / 2, 2000 + 22.25 / 3, 89 * 2 / 3))
    area = sum(p[0] for p in parts)
    expected = (sum(p[0] * p[1] for p in parts) / area, sum(p[0] * p[2] for p in parts) / area, 19)
    found = Shape(Prism(STUD_HIGH_FRONT, 38)).centroid_mm
    assert found == pytest.approx(expected, abs=PLACE_MM)


@pytest.mark.parametrize("name", ALL)
def test_mesh_is_watertight(name: str) -> None:
    around = sides(Shape(ALL[name][0]).mesh)
    assert set(around.values()) == {1}
    assert all((b, a) in around for a, b in around)


def test_mesh_of_a_shape_with_cuts_is_watertight() -> None:
    bore = Prism(Circle(0, 0, 6.35), 400)
    slab = Shape(
        Frustum((0, 0, 3000, 2000), (-20, -20, 3020, 2020), 100),
        tuple((bore, Placement((45.0 + 700 * i, 44.45, -10.0))) for i in range(4)),
    )
    around = sides(slab.mesh)
    assert set(around.values()) == {1}
    assert all((b, a) in around for a, b in around)


@pytest.mark.parametrize("name", ALL)
def test_mesh_holds_the_volume_of_its_solid(name: str) -> None:
    body, expected = ALL[name]
    mesh = Shape(body).mesh
    assert mesh_volume(mesh.vertices, mesh) == pytest.approx(expected, rel=VOLUME_REL)


@pytest.mark.parametrize("radius", [4.0, 6.35, 50.8, 305.0, 2000.0])
def test_round_mesh_is_a_regular_polygon_as_large_as_its_circle(radius: float) -> None:
    mesh = Shape(Prism(Circle(0, 0, radius), 254)).mesh
    count = len(mesh.vertices) // 2
    # A polygon of n sides with its corners at R is n / 2 R^2 sin(2 pi / n).
    corner = np.hypot(*mesh.vertices[:, :2].T)
    assert count / 2 * corner**2 * sin(2 * pi / count) == pytest.approx(pi * radius**2)
    # Neither its corners nor the middles of its sides are a tenth of a millimetre off.
    assert np.abs(corner - radius).max() < 0.1
    assert np.abs(corner * cos(pi / count) - radius).max() < 0.1


def test_a_cut_mesh_is_what_the_kernel_leaves() -> None:
    # A rafter's tail, let into on the slant, with a bolt through the seat.
    notch = Prism(rectangle(0, 0, 300, 60), 90)
    bore = Prism(Circle(0, 0, 6.35), 400, length_along="n")
    cuts = (
        (notch, frame(20, 10, 5, (1500, 100, -20))),
        (bore, frame(0, 15, 0, (1400, 70, -100))),
    )
    shape = Shape(Prism(RAFTER, 38), cuts)
    volume, centre = volume_and_centre(shape.solid)
    assert shape.volume_mm3 == pytest.approx(volume, rel=1e-7)
    assert shape.centroid_mm == pytest.approx(centre, abs=1e-4)


@pytest.mark.parametrize("radius", [4.0, 6.35, 8.0, 12.7, 50.8, 101.6, 150.0, 305.0])
@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_bolt_and_its_hole_get_the_same_facets(radius: float, turn: int) -> None:
    bolt = Shape(Prism(Circle(0, 0, radius), 300)).mesh
    plate = Shape(Prism(rectangle(0, 0, 1200, 900), 38, (Circle(500, 400, radius),))).mesh
    ring = plate.vertices - (500, 400, 0)
    ring = ring[np.hypot(ring[:, 0], ring[:, 1]) < radius + 1]
    standing = frame(turn, 0, 0).apply(bolt.vertices)
    assert same_points(np.unique(ring[:, :2], axis=0), np.unique(standing[:, :2], axis=0))


def test_sharp_edges_of_a_block_and_of_a_bolt() -> None:
    # A block has twelve edges; a bolt's only edges are its two rims.
    assert len(Shape(Prism(rectangle(0, 0, 50, 40), 30)).mesh.edges) == 12
    bolt = Shape(Prism(Circle(0, 0, 6.35), 100)).mesh
    heights = bolt.vertices[bolt.edges][:, :, 2]
    assert (heights[:, 0] == heights[:, 1]).all()
    assert len(bolt.edges) == len(bolt.vertices)


def test_sharp_edges_where_corners_of_two_holes_are_in_line() -> None:
    # A sheet round a window and, farther on, something of eight corners whose one edge is level
    # with the window's head. Every side of its 4 + 4 + 8 is an edge on both faces, and every corner
    # one from face to face.
    step: Polygon = (
        *((1980, 2007), (2056, 2007), (2056, 178), (2856, 178)),
        *((2856, 2007), (2932, 2007), (2932, 2070), (1980, 2070)),
    )
    window = rectangle(490, 178, 1903, 2007)
    mesh = Shape(Prism(rectangle(0, 0, 4086, 2848), 0.2, (window, step))).mesh
    assert len(mesh.edges) == 3 * (4 + 4 + 8)


def test_bounds_and_length() -> None:
    assert bounds(GRAVEL) == ((-300, -200, 0), (4300, 3100, 150))
    assert bounds(Prism(Circle(10, 20, 5), 7)) == ((5, 15, 0), (15, 25, 7))
    # A bevelled stud is cut from its long points.
    assert Shape(Prism(STUD_HIGH_FRONT, 38)).length_mm == 2022.25
    assert Shape(Prism(rectangle(0, 0, 89, 38), 1800, length_along="n")).length_mm == 1800


def test_only_plain_blocks_are_boxes() -> None:
    block = Prism(rectangle(0, 0, 400, 89), 38)
    assert Shape(block).is_box
    assert Shape(Prism(((0, 0), (0, 89), (400, 89), (400, 0)), 38)).is_box  # clockwise
    assert not Shape(block, ((Prism(rectangle(0, 0, 9, 9), 9), Placement()),)).is_box
    assert not Shape(Prism(rectangle(0, 0, 400, 89), 38, (Circle(50, 40, 5),))).is_box
    assert not Shape(Prism(STUD_HIGH_FRONT, 38)).is_box
    assert not Shape(Prism(((0, 0), (400, 89), (400, 0), (0, 89)), 38)).is_box  # a bow tie
    assert not Shape(Prism(Circle(0, 0, 5), 38)).is_box


@pytest.mark.parametrize("thickness", [0.0, -38.0, float("nan")])
def test_a_piece_of_no_thickness_is_refused(thickness: float) -> None:
    with pytest.raises(ValueError, match="thickness_mm"):
        Prism(rectangle(0, 0, 10, 10), thickness)
    with pytest.raises(ValueError, match="height_mm"):
        Frustum((0, 0, 1, 1), (0, 0, 1, 1), thickness)


def test_a_cut_that_parts_the_piece_is_refused() -> None:
    saw = Prism(rectangle(0, -10, 5, 110), 60)
    with pytest.raises(ValueError, match="2 bodies"):
        _ = Shape(Prism(rectangle(0, 0, 400, 100), 40), ((saw, Placement((200, 0, -10))),)).solid
    with pytest.raises(ValueError, match="2 bodies"):
        _ = Shape(Prism(rectangle(0, 0, 400, 100), 40), ((saw, Placement((200, 0, -10))),)).mesh


# settle ----------------------------------------------------------------------------------------

ANGLES = st.floats(-180, 180)
SOME_PLACE = st.builds(
    frame,
    ANGLES,
    ANGLES,
    ANGLES,
    st.tuples(st.floats(-9000, 9000), st.floats(-9000, 9000), st.floats(-9000, 9000)),
)
OFFSET = st.floats(-5000, 5000).map(lambda x: round(x, 2))


def moved(body: Prism, du: float, dv: float) -> Prism:
    def move(loop: Polygon | Circle) -> Polygon | Circle:
        if isinstance(loop, Circle):
            return Circle(loop.u + du, loop.v + dv, loop.radius)
        return tuple((u + du, v + dv) for u, v in loop)

    holes = tuple(move(hole) for hole in body.holes)
    return Prism(move(body.outline), body.thickness, holes, body.length_along)


PRISMS = {name: body for name, (body, _) in ALL.items() if isinstance(body, Prism)} | {
    "other hand": Prism(STUD_HIGH_BACK, 38),
    "end section": Prism(rectangle(0, 0, 89, 38), 900, length_along="n"),
    "clockwise": Prism(STUD_HIGH_BACK[::-1], 38),
}


@pytest.mark.parametrize("name", PRISMS)
@draws(6)
@given(place=SOME_PLACE, du=OFFSET, dv=OFFSET)
def test_settling_fills_the_same_space(name: str, place: Placement, du: float, dv: float) -> None:
    drawn = moved(PRISMS[name], du, dv)
    shape, where = canonical(drawn, place)
    assert same_points(where.apply(shape.mesh.vertices), place.apply(Shape(drawn).mesh.vertices))
    # Never a mirror image: the frame stays right-handed and square.
    turn = where.matrix[:3, :3]
    assert np.linalg.det(turn) == pytest.approx(1.0, abs=1e-12)
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-12)
    assert shape.length_mm == pytest.approx(Shape(drawn).length_mm, abs=PLACE_MM)
    # And the same recipe wherever it was drawn.
    assert shape == canonical(PRISMS[name], Placement())[0]


def test_a_settled_shape_stays_as_it_is() -> None:
    for body in PRISMS.values():
        shape, place = canonical(body, Placement())
        assert isinstance(shape.body, Prism)
        again, same = canonical(shape.body, place)
        assert (again, same) == (shape, place)


def test_left_and_right_hand_are_one_piece_of_work() -> None:
    assert (
        canonical(Prism(STUD_HIGH_FRONT, 38), Placement())[0]
        == canonical(Prism(STUD_HIGH_BACK, 38), Placement((500, 0, 0), Z, Y))[0]
    )


def test_a_piece_that_no_turn_makes_equal_is_another_shape() -> None:
    # One hole off centre both ways: its mirror image is covered by turning the board over, but a
    # board with another hole is another board.
    board = Prism(rectangle(0, 0, 900, 140), 38, (Circle(100, 40, 6),))
    over = Prism(rectangle(0, 0, 900, 140), 38, (Circle(800, 40, 6),))
    other = Prism(rectangle(0, 0, 900, 140), 38, (Circle(100, 50, 6),))
    assert canonical(board, Placement())[0] == canonical(over, Placement())[0]
    assert canonical(board, Placement())[0] != canonical(other, Placement())[0]


def test_an_end_section_is_not_taken_for_a_side_view() -> None:
    # Both fill the same kind of space, but one is measured along n and the other along u.
    along_n = canonical(Prism(rectangle(0, 0, 89, 38), 89, length_along="n"), Placement())[0]
    along_u = canonical(Prism(rectangle(0, 0, 89, 38), 89), Placement())[0]
    assert along_n != along_u


# Placement -------------------------------------------------------------------------------------


@draws(50)
@given(place=SOME_PLACE, a=OFFSET, b=OFFSET, c=OFFSET)
def test_point_apply_and_matrix_agree(place: Placement, a: float, b: float, c: float) -> None:
    by_matrix = (place.matrix @ np.array([a, b, c, 1.0]))[:3]
    assert place.point(a, b, c) == pytest.approx(tuple(by_matrix), abs=1e-9)
    assert place.apply(np.array([[a, b, c]]))[0] == pytest.approx(by_matrix, abs=1e-9)


def test_axes_are_right_handed() -> None:
    assert cross(X, Y) == Z
    assert cross(Y, Z) == X
    assert Placement(u=Y, v=Z).n == X
    assert Placement((10, 20, 30), Y, Z).point(1, 2, 3) == (13, 21, 32)

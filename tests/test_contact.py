"""Contacts against plane geometry, and against the CAD kernel where a formula would be long."""

from __future__ import annotations

from dataclasses import replace
from math import atan, cos, pi, sin, sqrt

import cadquery as cq
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from pikepole_model.building import boxes as boxes_module
from pikepole_model.building import contact as contact_module
from pikepole_model.building.boxes import Boxes, Floats, Pairs
from pikepole_model.building.contact import Contact, find_contacts
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Part
from pikepole_model.geometry.placement import Placement, Vector
from pikepole_model.geometry.shape import Body, Circle, Frustum, Prism, Shape, canonical, rectangle
from samples import SPRUCE, sample_building

X: Vector = (1.0, 0.0, 0.0)
Y: Vector = (0.0, 1.0, 0.0)
Z: Vector = (0.0, 0.0, 1.0)

ROUND_OFF_MM = 1e-6
ROUND_OFF_REL = 1e-6
# A fin of float noise along a heel may add the step that shaves it off.
FILM_MM = 1e-3

SLOPE = atan(3 / 12)
# A piece that runs up a 3:12 roof, seen from the side: u up the slope, v off it, n along X.
UP: Vector = (0.0, cos(SLOPE), sin(SLOPE))
OFF: Vector = (0.0, -sin(SLOPE), cos(SLOPE))


def piece(body: Body, place: Placement | None = None, name: str = "piece") -> Part:
    shape, where = canonical(body, place or Placement())
    return Part(name, Kind.STUD, "frame", 1, "2x4", SPRUCE, None, shape, where)


def cut_piece(shape: Shape, place: Placement | None = None) -> Part:
    return replace(
        piece(Prism(rectangle(0, 0, 1, 1), 1)), shape=shape, placement=place or Placement()
    )


def block(low: Vector, high: Vector) -> Part:
    return piece(
        Prism(rectangle(0, 0, high[0] - low[0], high[1] - low[1]), high[2] - low[2]), Placement(low)
    )


def only(*parts: Part) -> Contact:
    (found,) = find_contacts(parts)
    return found


def kernel_common_mm3(a: Part, b: Part) -> float:
    """Volume common to two parts by the CAD kernel's own boolean."""
    solids = [
        part.shape.solid.moved(
            cq.Location(cq.Plane(part.placement.origin, part.placement.u, part.placement.n))
        )
        for part in (a, b)
    ]
    return solids[0].intersect(solids[1]).Volume()


# Blocks ----------------------------------------------------------------------------------------


def test_two_blocks_share_a_block() -> None:
    # [0, 400] x [0, 89] x [0, 38] and [350, 900] x [-20, 60] x [30, 300] share 50 x 60 x 8.
    found = only(block((0, 0, 0), (400, 89, 38)), block((350, -20, 30), (900, 60, 300)))
    assert (found.a, found.b, found.gap_mm) == (0, 1, 0)
    assert found.common_volume_mm3 == pytest.approx(50 * 60 * 8, rel=ROUND_OFF_REL)
    assert found.penetration_mm == pytest.approx(8, abs=ROUND_OFF_MM)
    assert found.at_mm == pytest.approx((375, 30, 34), abs=ROUND_OFF_MM)


def test_a_block_inside_another_is_as_deep_as_it_is_thick() -> None:
    found = only(block((0, 0, 0), (400, 300, 200)), block((50, 60, 70), (150, 140, 110)))
    assert found.penetration_mm == pytest.approx(40, abs=ROUND_OFF_MM)
    assert found.common_volume_mm3 == pytest.approx(100 * 80 * 40, rel=ROUND_OFF_REL)


def test_touching_blocks_share_nothing() -> None:
    found = only(block((0, 0, 0), (400, 89, 38)), block((100, 20, 38), (138, 60, 2000)))
    assert (found.gap_mm, found.penetration_mm, found.common_volume_mm3) == (0, 0, 0)
    # Middle of the stud's foot on the plate.
    assert found.at_mm == pytest.approx((119, 40, 38), abs=ROUND_OFF_MM)


@pytest.mark.parametrize(("gap", "touches"), [(3.175, True), (4.0, True), (4.001, False)])
def test_a_gap_of_four_millimetres_still_touches(gap: float, touches: bool) -> None:
    pair = block((0, 0, 0), (1000, 500, 12)), block((1000 + gap, 0, 0), (2000, 500, 12))
    found = find_contacts(pair)
    assert len(found) == touches
    assert all(c.gap_mm == pytest.approx(gap) for c in found)


def test_a_gap_across_a_corner_is_the_diagonal() -> None:
    # 3 mm apart along X and Y alike: sqrt(18) = 4.24 mm apart. 2 mm: sqrt(8) = 2.83 mm.
    assert not find_contacts((block((0, 0, 0), (50, 50, 50)), block((53, 53, 0), (90, 90, 50))))
    found = only(block((0, 0, 0), (50, 50, 50)), block((52, 52, 0), (90, 90, 50)))
    assert found.gap_mm == pytest.approx(sqrt(8))


SIZE = st.integers(1, 60).map(lambda n: n * 5.0)
PLACE = st.integers(-40, 40).map(lambda n: n * 4.0)
BLOCKS = st.tuples(PLACE, PLACE, PLACE, SIZE, SIZE, SIZE)
ATTITUDES = [(X, Y), (Y, X), (Z, X), (Y, Z), ((-1.0, 0.0, 0.0), Y), (X, (0.0, 0.0, -1.0))]
SKEW = (Y, Z), (UP, OFF)


def turned_block(row: tuple[float, ...], u: Vector, v: Vector) -> Part:
    x, y, z, length, depth, thickness = row
    return piece(Prism(rectangle(0, 0, length, depth), thickness), Placement((x, y, z), u, v))


def not_told(_boxes: Boxes, pairs: Pairs, _parts: object) -> Floats:
    return np.full(len(pairs.a), np.nan)


@draws(50)
@given(
    one=BLOCKS,
    other=BLOCKS,
    attitudes=st.one_of(
        st.tuples(st.sampled_from(ATTITUDES), st.sampled_from(ATTITUDES)),
        st.just(((UP, OFF), (UP, OFF))),
        st.just(((UP, OFF), (OFF, (0.0, -cos(SLOPE), -sin(SLOPE))))),
    ),
)
def test_blocks_decided_by_their_boxes_agree_with_manifold(
    one: tuple[float, ...],
    other: tuple[float, ...],
    attitudes: tuple[tuple[Vector, Vector], tuple[Vector, Vector]],
) -> None:
    a, b = turned_block(one, *attitudes[0]), turned_block(other, *attitudes[1])
    by_boxes = find_contacts((a, b))
    with pytest.MonkeyPatch.context() as patch:
        # No pair counts as a pair of blocks or of outlines: all go to manifold.
        patch.setattr(Shape, "is_box", False)
        patch.setattr(contact_module, "outline_gaps", not_told)
        by_bodies = find_contacts((a, b))
    assert len(by_boxes) == len(by_bodies)
    for left, right in zip(by_boxes, by_bodies, strict=True):
        assert left.gap_mm == pytest.approx(right.gap_mm, abs=1e-5)
        assert left.common_volume_mm3 == pytest.approx(right.common_volume_mm3, abs=1e-2)
        assert left.penetration_mm == pytest.approx(right.penetration_mm, abs=1e-5)
        assert left.at_mm == pytest.approx(right.at_mm, abs=1e-4)


# Slopes ----------------------------------------------------------------------------------------


def rafter() -> Part:
    """A square-tailed rafter with a bevelled head, 38 mm thick, its lower edge on a 3:12 slope."""
    outline = ((0.0, 0.0), (3000.0, 0.0), (3035.0, 140.0), (0.0, 140.0))
    return piece(Prism(outline, 38), Placement((0, 0, 2000), UP, OFF))


def test_sloped_on_sloped_touches_without_a_gap() -> None:
    # A bevelled fascia-like board on the rafter's upper edge: both prisms, neither a box.
    board = piece(
        Prism(((200, 140), (900, 140), (880, 160), (230, 160)), 600),
        Placement((-300, 0, 2000), UP, OFF),
    )
    found = only(rafter(), board)
    assert found.gap_mm < ROUND_OFF_MM
    assert found.penetration_mm == 0
    assert found.common_volume_mm3 < 1e-2


@pytest.mark.parametrize("x", [0.0, 400.0, 406.4, 3657.6])
@pytest.mark.parametrize("deep", [0.05, 1.0])
@pytest.mark.parametrize("slope", [1 / 12, 3 / 12, 5 / 12, 12 / 12])
def test_a_birdsmouth_sits_on_its_plate(x: float, slope: float, deep: float) -> None:
    # Level seat as deep as the plate (89), plumb heel: in the rafter's frame the seat leaves its
    # lower edge at 700 and rises by the slope's angle.
    angle = atan(slope)
    up, off = (0.0, cos(angle), sin(angle)), (0.0, -sin(angle), cos(angle))
    heel = 89 * slope
    notch = (700 + heel * sin(angle), heel * cos(angle))
    end = 700 + 89 / cos(angle)
    outline = ((0, 0), (700, 0), notch, (end, 0), (1500, 0), (1500, 184), (0, 184))
    plate = block((-500, 2800, 2400), (5000, 2889, 2438))
    # The seat's inner end lies on the plate's inner upper edge.
    y, z = 2889 - end * up[1], 2438 - end * up[2]
    body = piece(Prism(outline, 38), Placement((x, y, z), up, off))
    found = only(plate, body)
    assert found.gap_mm < ROUND_OFF_MM
    assert found.penetration_mm == 0
    # Let down further it is as deep as that: seat area x depth.
    lower = piece(Prism(outline, 38), Placement((x, y, z - deep), up, off))
    sunk = only(plate, lower)
    assert sunk.penetration_mm == pytest.approx(deep, abs=FILM_MM)
    assert sunk.common_volume_mm3 == pytest.approx(deep * 89 * 38, rel=1e-4)


@pytest.mark.parametrize("deep", [0.0, 0.05, 2.0])
def test_mitred_ends(deep: float) -> None:
    # Both faces run across the axes of both pieces, so no local axis shows how thin a film is.
    angle = atan(5 / 12)
    run = 89 * (5 / 12)
    one = piece(Prism(((0, 0), (500, 0), (500 + run, 89), (0, 89)), 38))
    u, v = (cos(2 * angle), -sin(2 * angle), 0.0), (sin(2 * angle), cos(2 * angle), 0.0)
    # The mirror image in the mitre, driven into it along the mitre's normal.
    start = (500 - deep * cos(angle), deep * sin(angle), 0.0)
    other = piece(Prism(((0, 0), (500, 0), (500, 89), (-run, 89)), 38), Placement(start, u, v))
    found = only(one, other)
    assert found.gap_mm < ROUND_OFF_MM
    assert found.penetration_mm == pytest.approx(deep, abs=FILM_MM)
    # A slab as thick as that between both ends, its own ends skewed by less than its thickness.
    slab = deep * 89 / cos(angle) * 38
    assert found.common_volume_mm3 == pytest.approx(slab, rel=deep / 89, abs=1e-2)


@pytest.mark.parametrize("deep", [0.05, 0.2, 5.0])
def test_a_bevelled_end_driven_into_a_slope(deep: float) -> None:
    # A stud bevelled to 3:12 under a rafter's lower edge, `deep` too high: a slab of that depth,
    # as long as the bevel (38 / cos) and 38 wide, skewed at its ends.
    stud = piece(
        Prism(
            (
                (0, 0),
                (1000 + deep / cos(SLOPE), 0),
                (1000 + deep / cos(SLOPE) + 38 / 4, 38),
                (0, 38),
            ),
            38,
        ),
        Placement((38, 400, 1100), Z, Y),
    )
    assert stud.placement.n in (X, (-1.0, 0.0, 0.0))
    beam = rafter()
    found = only(beam, stud)
    assert found.penetration_mm == pytest.approx(deep, abs=1e-5)
    assert found.common_volume_mm3 == pytest.approx(deep * 38 / cos(SLOPE) * 38, rel=1e-4)


# Bolts, notches ----------------------------------------------------------------------------------


@pytest.mark.parametrize("u", [X, Y, (-1.0, 0.0, 0.0)])
@pytest.mark.parametrize("radius", [6.35, 8.0, 150.0])
def test_a_bolt_fills_its_hole_and_shares_nothing(u: Vector, radius: float) -> None:
    bore = Prism(Circle(0, 0, radius), 178)
    slab = cut_piece(
        Shape(
            Frustum((0, 0, 2000, 1500), (20, 20, 1980, 1480), 200),
            ((bore, Placement((400, 300, 22))),),
        )
    )
    v = (-u[1], u[0], 0.0)
    bolt = piece(
        Prism(Circle(0, 0, radius), 248, length_along="n"), Placement((400, 300, 22), u, v)
    )
    found = only(slab, bolt)
    assert found.gap_mm < ROUND_OFF_MM
    assert found.penetration_mm == 0
    assert found.common_volume_mm3 < 1


def test_a_bolt_without_a_hole_is_found_whole() -> None:
    slab = block((0, 0, 0), (2000, 1500, 200))
    bolt = piece(Prism(Circle(0, 0, 8), 248, length_along="n"), Placement((400, 300, 22)))
    found = only(slab, bolt)
    # The facets lie in the circle, at 0.25 rad or finer: less than 1.1 % of its area is missing.
    assert found.common_volume_mm3 == pytest.approx(pi * 64 * 178, rel=0.011)
    assert found.penetration_mm == pytest.approx(16, rel=0.01)
    assert found.at_mm == pytest.approx((400, 300, 22 + 178 / 2), abs=0.01)


def test_a_beam_in_a_notch_just_too_tight_is_measured_on_each_cheek() -> None:
    # Beam 38.1 thick in a slot of 38.0: 0.05 mm into each cheek, not 38 mm into the post.
    slot = Prism(rectangle(0, 0, 140, 38), 89)
    post = cut_piece(
        Shape(Prism(rectangle(0, 0, 2400, 89), 89), ((slot, Placement((2260, 25.5, 0))),)),
        Placement((0, 0, 0), Z, X),
    )
    beam = block((25.45, -500, 2260), (63.55, 500, 2400))
    found = only(post, beam)
    assert found.penetration_mm == pytest.approx(0.05, abs=1e-4)
    assert found.common_volume_mm3 == pytest.approx(2 * 0.05 * 140 * 89, rel=1e-4)


def test_pieces_in_the_same_place_share_all_of_it() -> None:
    found = only(rafter(), rafter())
    assert found.common_volume_mm3 == pytest.approx((3000 + 3035) / 2 * 140 * 38, rel=ROUND_OFF_REL)
    assert found.penetration_mm == pytest.approx(38, abs=1e-5)


def test_common_volumes_agree_with_the_kernel() -> None:
    hip = (cos(0.7) * cos(0.3), sin(0.7) * cos(0.3), sin(0.3))
    side = (-sin(0.7), cos(0.7), 0.0)
    pairs = [
        (rafter(), block((-100, 500, 2000), (500, 700, 2300))),
        (
            rafter(),
            piece(
                Prism(((0, 0), (900, 0), (870, 90), (40, 90)), 45),
                Placement((-200, 800, 2150), hip, side),
            ),
        ),
        (
            piece(Prism(rectangle(0, 0, 900, 140), 38), Placement((0, 0, 0), hip, side)),
            piece(Prism(rectangle(0, 0, 700, 90), 45), Placement((300, -100, 50), Y, Z)),
        ),
        (
            piece(Frustum((0, 0, 900, 700), (100, 150, 800, 600), 200)),
            piece(Prism(rectangle(0, 0, 900, 140), 300), Placement((-30, 80, 40), hip, side)),
        ),
    ]
    for a, b in pairs:
        expected = kernel_common_mm3(a, b)
        assert expected > 1000
        assert only(a, b).common_volume_mm3 == pytest.approx(expected, rel=1e-6)


# The sweep -------------------------------------------------------------------------------------


def crossing_blocks(count: int) -> tuple[Part, ...]:
    rng = np.random.default_rng(4)
    lows = rng.uniform(0, 400, (count, 3))
    sizes = rng.uniform(5, 200, (count, 3))
    return tuple(
        block(tuple(low), tuple(low + size)) for low, size in zip(lows.tolist(), sizes, strict=True)
    )


@pytest.mark.parametrize("at_once", [1, 7, 1_000_000])
def test_the_sweep_finds_every_pair(at_once: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(boxes_module, "SWEEP_PAIRS", at_once)
    parts = crossing_blocks(60)
    corners = [(p.vertices_mm.min(axis=0), p.vertices_mm.max(axis=0)) for p in parts]
    expected = set[tuple[int, int]]()
    for a, (low_a, high_a) in enumerate(corners):
        for b, (low_b, high_b) in enumerate(corners[:a]):
            apart = np.maximum(0, np.maximum(low_a - high_b, low_b - high_a))
            if np.linalg.norm(apart) <= 4:
                expected.add((b, a))
    found = find_contacts(parts)
    assert [(c.a, c.b) for c in found] == sorted(expected)
    assert len(expected) > 100


def test_the_order_of_parts_changes_nothing_but_indices() -> None:
    parts = sample_building().parts
    there = {frozenset((parts[c.a].name, parts[c.b].name)) for c in find_contacts(parts)}
    turned = parts[::-1]
    back = {frozenset((turned[c.a].name, turned[c.b].name)) for c in find_contacts(turned)}
    assert there == back


def test_none_and_one_part_touch_nothing() -> None:
    assert find_contacts(()) == ()
    assert find_contacts((block((0, 0, 0), (1, 1, 1)),)) == ()

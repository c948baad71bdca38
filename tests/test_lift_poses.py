"""Where loads wait: rigid motions, checked against lengths and heights written out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pikepole_export.derive.lifting.items import Handling, Item, items
from pikepole_export.derive.lifting.loads import Load, load_of
from pikepole_export.derive.lifting.poses import (
    CLEAR_MM,
    FOOT_OUT_MM,
    INSIDE_MM,
    LEANT_DEG,
    LET_DOWN_MM,
    Pose,
    eave_pose,
    footprint_of,
    in_place,
    level_along,
    outward_of,
    start_pose,
    tilted_pose,
)
from pikepole_export.derive.lifting.work_surface import level_surface
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.geometry.placement import Placement, Points
from pikepole_model.geometry.shape import Prism, Shape, rectangle
from pikepole_model.scene.schema import Scene
from samples import SPRUCE

TRESTLES_MM = 750.0
NEAR_MM = 1e-6  # float noise of a rotation, over metres


def block(name: str, kind: Kind, *sides: float) -> Part:
    """A block from one corner (x, y, z) to the other, mm, its grain along the longest side."""
    x0, y0, z0, x1, y1, z1 = sides
    shape = Shape(Prism(rectangle(0, 0, x1 - x0, y1 - y0), z1 - z0))
    place = Placement((x0, y0, z0))
    return Part(name, kind, "test", 2, "stock", SPRUCE, None, shape, place)


DECK = block("deck", Kind.FLOOR_SHEET, 0, 0, 200, 5000, 3000, 220)


def building(*parts: Part) -> Building:
    return Building(Scene.model_construct(title="Blocks", units="metric"), (DECK, *parts), (), ())


def item(
    load: Load, handling: Handling, floor_mm: float = 0.0, pass_height_mm: float = 0.0
) -> Item:
    return Item(
        load.name,
        Kind.RAFTER,
        handling,
        2,
        load,
        (),
        (),
        (load.name,),
        level_surface(floor_mm),
        floor_mm,
        pass_height_mm,
    )


def posed(part: Part, handling: Handling, **heights: float) -> tuple[Load, Pose, Points]:
    """A single part at the start: its load, its pose, and its vertices there."""
    load = load_of(part.name, [part])
    footprint = footprint_of(building(part), [DECK, part])
    pose = start_pose(item(load, handling, **heights), load, footprint, TRESTLES_MM)
    return load, pose, pose.apply(load.vertices_mm)


BEAM = block("beam", Kind.BEAM, 500, 0, 2500, 4500, 100, 2700)
POST = block("post", Kind.POST, 4860, 0, 100, 5000, 140, 2500)
SHEET = block("sheet", Kind.WALL_SHEET, 1000, -12, 150, 2200, 0, 2550)
FLOOR = block("floor", Kind.FLOOR_SHEET, 0, 0, 200, 2400, 1200, 218)
LEAF = block("leaf", Kind.DOOR_BOARD, 1000, -40, 230, 1900, 0, 2230)
CASES = {
    "beam": (BEAM, Handling.BEAM),
    "post": (POST, Handling.POST),
    "sheet": (SHEET, Handling.SHEET),
    "floor sheet": (FLOOR, Handling.SHEET),
    "leaf": (LEAF, Handling.UNIT),
    "roof sheet": (FLOOR, Handling.ROOF_SHEET),
    "loft sheet": (FLOOR, Handling.LOFT_SHEET),
}


@pytest.mark.parametrize("case", CASES)
def test_a_pose_is_rigid(case: str) -> None:
    # A rotation keeps every distance and its determinant is 1: Euler's theorem.
    part, handling = CASES[case]
    load, pose, there = posed(part, handling)
    here = load.vertices_mm
    assert np.allclose(pose.turn @ pose.turn.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(pose.turn) == pytest.approx(1.0)
    before = np.linalg.norm(here[:, None] - here[None], axis=2)
    after = np.linalg.norm(there[:, None] - there[None], axis=2)
    assert np.allclose(before, after, atol=NEAR_MM)
    assert np.linalg.norm(pose.outward) == pytest.approx(1.0)
    assert pose.outward[2] == 0.0


@pytest.mark.parametrize("floor_mm", [0.0, 220.0])
def test_a_beam_waits_level_on_trestles_in_front_of_its_wall(floor_mm: float) -> None:
    load, pose, there = posed(BEAM, Handling.BEAM, floor_mm=floor_mm)
    low, high = there.min(axis=0), there.max(axis=0)
    assert low[2] == pytest.approx(floor_mm + TRESTLES_MM)
    # Its size has not turned: 4000 along X, 100 deep, 200 high.
    assert high - low == pytest.approx([4000.0, 100.0, 200.0])
    # The front of all that stands is at Y = 0, and it is on the front.
    assert pose.outward == pytest.approx([0.0, -1.0, 0.0])
    assert high[1] == pytest.approx(-CLEAR_MM)
    # A prism's centre of gravity is at half its height.
    centre = pose.apply(np.array([load.centre_mm]))[0]
    assert centre[2] == pytest.approx(floor_mm + TRESTLES_MM + 100.0)


def test_what_is_let_down_waits_further_out() -> None:
    joist = block("joist", Kind.RIM, 0, 0, 100, 5000, 38, 240)
    _, _, there = posed(joist, Handling.STICK)
    # It lies along the front, so it is carried there: both rooms lie between.
    assert there[:, 1].max() == pytest.approx(-CLEAR_MM - LET_DOWN_MM)


def test_a_rafter_waits_level() -> None:
    slope = math.radians(20)
    shape = Shape(Prism(rectangle(0, 0, 3600, 140), 38))
    along = (0.0, math.cos(slope), math.sin(slope))
    off = (0.0, -math.sin(slope), math.cos(slope))
    place = Placement((1000, -300, 2400), along, off)
    rafter = Part("rafter", Kind.RAFTER, "roof", 2, "2x6", SPRUCE, None, shape, place)
    _, _, there = posed(rafter, Handling.STICK)
    # Level: no higher than it is deep, and as long on the plan as it is.
    assert np.ptp(there, axis=0) == pytest.approx([38.0, 3600.0, 140.0])
    assert there[:, 2].min() == pytest.approx(TRESTLES_MM)


def test_a_post_lies_with_its_foot_at_its_base() -> None:
    load, pose, there = posed(POST, Handling.POST)
    # Its head on a trestle: the underside rises to 750 over 2400 of length from a base at 100.
    rise = math.asin((TRESTLES_MM - 100.0) / 2400.0)
    assert there[:, 2].min() == pytest.approx(100.0)
    assert there[:, 2].max() == pytest.approx(TRESTLES_MM + 140.0 * math.cos(rise))
    # Half its length along and half its thickness over the underside.
    centre = pose.apply(np.array([load.centre_mm]))[0]
    expected = 100.0 + 1200.0 * math.sin(rise) + 70.0 * math.cos(rise)
    assert centre[2] == pytest.approx(expected)
    # The edge that it turns on stays where it is, outside the deck.
    edge = np.array([[5000.0, 0.0, 100.0]])
    assert pose.apply(edge) == pytest.approx(edge)
    assert pose.outward == pytest.approx([0.0, -1.0, 0.0])


def test_a_wall_lies_inward_on_the_deck_and_stands_up_about_its_plate() -> None:
    studs = [
        block(f"stud {i}", Kind.STUD, x, 0, 220, x + 38, 89, 2620)
        for i, x in enumerate((0.0, 2000.0, 4000.0), 1)
    ]
    plate = block("plate", Kind.BOTTOM_PLATE, 0, 0, 182, 4038, 89, 220)
    load = load_of("front wall", [plate, *studs], ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    footprint = footprint_of(building(plate, *studs), [DECK, plate, *studs])
    wall = item(load, Handling.WALL, floor_mm=182.0)
    pose = start_pose(wall, load, footprint, TRESTLES_MM)
    there = pose.apply(load.vertices_mm)
    # Flat: 89 thick, from the plate's inner edge to 2438 inward.
    assert there[:, 2].min() == pytest.approx(182.0)
    assert there[:, 2].max() == pytest.approx(182.0 + 89.0)
    assert there[:, 1].min() == pytest.approx(89.0)
    assert there[:, 1].max() == pytest.approx(89.0 + 2438.0)
    assert pose.outward == pytest.approx([0.0, -1.0, 0.0])
    plumb = tilted_pose(load, footprint, 90.0)
    assert plumb.apply(load.vertices_mm) == pytest.approx(load.vertices_mm)
    # On its way the edge stays, and the head is at L sin a + t cos a over it.
    half = tilted_pose(load, footprint, 30.0).apply(load.vertices_mm)
    top = 2438.0 * math.sin(math.radians(30)) + 89.0 * math.cos(math.radians(30))
    assert half[:, 2].max() == pytest.approx(182.0 + top)
    assert half[:, 2].min() == pytest.approx(182.0)


def test_a_wall_sheet_stands_on_its_long_edge_leant_to_its_place() -> None:
    load, pose, there = posed(SHEET, Handling.SHEET)
    lean = math.radians(LEANT_DEG)
    # 2400 along, 1200 high, 12 thick, leant.
    assert np.ptp(there[:, 0]) == pytest.approx(2400.0)
    assert there[:, 2].min() == pytest.approx(0.0, abs=NEAR_MM)
    assert there[:, 2].max() == pytest.approx(1200 * math.cos(lean) + 12 * math.sin(lean))
    # The clear way between it and its place.
    assert there[:, 1].max() == pytest.approx(-12.0 - CLEAR_MM)
    centre = pose.apply(np.array([load.centre_mm]))[0]
    assert centre[2] == pytest.approx(600 * math.cos(lean) + 6 * math.sin(lean))


def test_a_long_panel_leans_at_the_eave() -> None:
    slope = math.radians(14)
    shape = Shape(Prism(rectangle(0, 0, 4000, 900), 1.0))
    up = (0.0, math.cos(slope), math.sin(slope))
    place = Placement((500.0, -400.0, 2500.0), up, (-1.0, 0.0, 0.0))
    panel = Part("panel", Kind.PANEL, "roof", 2, "panel", SPRUCE, None, shape, place)
    _, pose, there = posed(panel, Handling.ROOF_SHEET, pass_height_mm=2500.0)
    assert pose.outward == pytest.approx([0.0, -1.0, 0.0])
    assert there[:, 2].min() == pytest.approx(0.0, abs=NEAR_MM)
    # The eave is the panel's own low edge at Y = -400; the foot is a metre outside it, and its
    # head at 4000 sin(angle), where the tangent of the angle is 2500 to 1000.
    angle = math.atan2(2500.0, FOOT_OUT_MM)
    assert there[:, 1].min() == pytest.approx(-400.0 - FOOT_OUT_MM, abs=1.0)
    assert there[:, 2].max() == pytest.approx(4000.0 * math.sin(angle), abs=1.0)


def test_a_loft_sheet_leans_at_a_joist_inside() -> None:
    # At the right end, from X = 2600 on, 2080 over the deck: it comes from the middle of the deck,
    # its foot a metre out from its own edge there, its head past the joist.
    sheet = block("sheet", Kind.LOFT_SHEET, 2600, 0, 2300, 5000, 1200, 2318)
    _, pose, there = posed(sheet, Handling.LOFT_SHEET, floor_mm=220.0, pass_height_mm=2300.0)
    assert pose.outward == pytest.approx([-1.0, 0.0, 0.0])
    assert there[:, 2].min() == pytest.approx(220.0, abs=NEAR_MM)
    assert there[:, 0].min() == pytest.approx(2600.0 - FOOT_OUT_MM, abs=1.0)
    angle = math.atan2(2080.0, FOOT_OUT_MM)
    head = 220.0 + 2400.0 * math.sin(angle) + 18.0 * math.cos(angle)
    assert there[:, 2].max() == pytest.approx(head, abs=1.0)


def test_a_loft_sheet_as_long_as_the_store_leans_within_it() -> None:
    sheet = block("sheet", Kind.LOFT_SHEET, 0, 0, 2300, 5000, 1200, 2318)
    _, pose, there = posed(sheet, Handling.LOFT_SHEET, floor_mm=220.0, pass_height_mm=2300.0)
    assert abs(pose.outward[0]) == pytest.approx(1.0)
    # Its foot has room for people before the wall at 5000.
    assert there[:, 0].max() == pytest.approx(5000.0 - INSIDE_MM, abs=1.0)


def test_a_sheet_passes_the_eave_on_its_slope() -> None:
    # Sloped 30 deg, falling to the front: 2000 up the slope, its lower edge 1000 up it.
    up = (0.0, math.cos(math.radians(30)), math.sin(math.radians(30)))
    place = Placement((1000.0, 1000 * up[1], 2500 + 1000 * up[2]), u=up, v=(-1.0, 0.0, 0.0))
    shape = Shape(Prism(rectangle(0, 0, 2000, 1200), 12))
    sheet = Part("sheet", Kind.ROOF_SHEET, "roof", 2, "panel", SPRUCE, None, shape, place)
    load = load_of("sheet", [sheet])
    footprint = footprint_of(building(sheet), [DECK, sheet])
    # 500 lower is 1000 down the slope: 866 further to the front.
    pose = eave_pose(
        item(load, Handling.ROOF_SHEET, pass_height_mm=load.low_mm - 500), load, footprint
    )
    moved = pose.apply(load.vertices_mm) - load.vertices_mm
    expected = [0.0, -1000 * up[1], -500.0]
    assert moved == pytest.approx(np.tile(expected, (len(moved), 1)), abs=1e-6)
    assert pose.outward == pytest.approx([0.0, -1.0, 0.0])
    # What ends at the eave stays there.
    there = eave_pose(item(load, Handling.ROOF_SHEET, pass_height_mm=load.low_mm), load, footprint)
    assert there.shift_mm == pytest.approx(np.zeros(3))


# Front, back, left and right of the deck, which is 5 m along the front and 3 m deep.
FRONT, BACK, LEFT, RIGHT = (0, -1, 0), (0, 1, 0), (-1, 0, 0), (1, 0, 0)


@pytest.mark.parametrize(
    ("low", "size", "way"),
    [
        # Posts, to the nearest side.
        ((2000, 100), (100, 100), FRONT),
        ((2000, 2800), (100, 100), BACK),
        ((100, 1500), (100, 100), LEFT),
        ((4800, 1500), (100, 100), RIGHT),
        # In a corner to the front or back, where either way is about as near.
        ((4850, 200), (100, 100), FRONT),
        ((50, 2650), (100, 100), BACK),
        ((4850, 750), (100, 100), RIGHT),
        # Walls and sheets across their length, away from the middle of the deck.
        ((1000, 100), (3000, 40), FRONT),
        ((1000, 2900), (3000, 40), BACK),
        ((100, 500), (40, 2000), LEFT),
        ((4800, 500), (40, 2000), RIGHT),
        # Over the middle to the front or the left.
        ((1000, 1480), (3000, 40), FRONT),
        ((2480, 500), (40, 2000), LEFT),
    ],
)
def test_outward_is_to_the_nearest_side(
    low: tuple[float, float], size: tuple[float, float], way: tuple[float, float, float]
) -> None:
    piece = block("piece", Kind.POST, *low, 220, low[0] + size[0], low[1] + size[1], 2620)
    load = load_of("piece", [piece], ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)))
    if size[1] > size[0]:
        load = load_of("piece", [piece], ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0)))
    found = outward_of(load, footprint_of(building(piece), [DECK, piece]))
    assert found == pytest.approx(np.array(way))


def test_people_have_a_level_way_to_stand_along() -> None:
    for part, handling in CASES.values():
        load, pose, _ = posed(part, handling)
        along = level_along(load, pose)
        assert along[2] == pytest.approx(0.0)
        assert np.linalg.norm(along) == pytest.approx(1.0)


def test_every_load_of_a_scene_waits_clear_of_its_place(honey_house: Building) -> None:
    for one in items(honey_house):
        before = [part for part in honey_house.parts if part.stage < one.stage]
        footprint = footprint_of(honey_house, [*before, *one.whole.parts])
        pose = start_pose(one, one.whole, footprint, TRESTLES_MM)
        there, here = pose.apply(one.whole.vertices_mm), one.whole.vertices_mm
        assert there[:, 2].min() >= -NEAR_MM
        assert in_place(one.whole, footprint).apply(here) == pytest.approx(here)
        if one.handling not in (Handling.POST, Handling.WALL, Handling.ROOF_SHEET):
            # Nothing of it is where any of it will be.
            assert (there @ pose.outward).min() > (here @ pose.outward).max() - NEAR_MM

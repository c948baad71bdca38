"""What has to be raised, against the building's parts counted and weighed one by one."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from math import cos, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from draws import draws
from lifted import block
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_export.derive.lifting.items import BuiltUp, Handling, Item, items
from pikepole_export.derive.lifting.left_out import left_out
from pikepole_export.derive.lifting.loads import load_of
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Joint, Part, Stage
from pikepole_model.scene.schema import Scene
from pikepole_model.stock.catalogue import load_catalogue
from samples import BREADTH, DEPTH_4, sample_building
from strategies import scenes

INCH_MM = 25.4

# ISO 11228-1:2021, clause 1: the standard applies from 3 kg.
LEAST_KG = 3.0

# Cast or heaped where it stays, or there before; unrolled from a roll: common practice, no source.
NEVER_LIFTED = {
    Kind.GRAVEL,
    Kind.RAMP_TOE,
    Kind.SLAB,
    Kind.FOOTING,
    Kind.EXISTING,
    Kind.WRAP,
    Kind.UNDERLAYMENT,
    Kind.RIDGE_STRIP,
    Kind.SILL_MEMBRANE,
    Kind.VENT_SCREEN,
    Kind.VENT_MESH,
}
FRAMING = {
    Kind.BOTTOM_PLATE,
    Kind.TOP_PLATE,
    Kind.STUD,
    Kind.CORNER_STUD,
    Kind.KING,
    Kind.JACK,
    Kind.HEADER,
    Kind.HEADER_SPACER,
    Kind.HEAD_PLATE,
    Kind.SILL,
    Kind.CRIPPLE,
    Kind.WALL_BLOCK,
    Kind.NAILING_BLOCK,
    Kind.POST_STUD,
}


def high_kg(part: Part) -> float:
    return part.volume_mm3 / 1e9 * part.material.density_kg_m3[2]


def raised(building: Building) -> list[Item]:
    """Everything, a header only as a piece of its wall."""
    return [item for item in items(building) if not item.inside_of]


def names_of(item: Item) -> set[str]:
    """Names of all the parts in it and in its equals."""
    whole = {part.name for part in item.whole.parts}
    return whole if item.times == 1 else set(item.same)


def of(building: Building, name: str) -> Item:
    return next(item for item in items(building) if item.name == name)


def every_part_once(building: Building) -> None:
    found = Counter(name for item in raised(building) for name in names_of(item))
    assert max(found.values()) == 1
    for part in building.handled:
        if part.kind in NEVER_LIFTED:
            assert part.name not in found
        elif high_kg(part) >= LEAST_KG:
            assert part.name in found, part.name


def masses_add_up(building: Building) -> None:
    own = {part.name: high_kg(part) for part in building.handled}
    for item in items(building):
        parts = names_of(item)
        assert item.whole.mass.high_kg * item.times == pytest.approx(sum(own[n] for n in parts))
        assert item.whole.mass.high_kg >= LEAST_KG


def test_every_part_is_raised_once(building: Building) -> None:
    every_part_once(building)


def test_every_part_is_raised_once_in_other_forms(form: Building) -> None:
    every_part_once(form)


def test_masses_are_volume_times_density(building: Building) -> None:
    masses_add_up(building)


def test_masses_are_volume_times_density_in_other_forms(form: Building) -> None:
    masses_add_up(form)


@draws(2)
@given(scenes())
def test_any_building_is_raised_part_by_part(scene: Scene) -> None:
    building = build(scene)
    every_part_once(building)
    masses_add_up(building)


def test_a_wall_is_all_its_framing(building: Building) -> None:
    walls = [item for item in items(building) if item.handling == Handling.WALL]
    assert {"front wall", "back wall"} <= {wall.name for wall in walls}
    for wall in walls:
        framing = {
            part.name
            for part in building.parts
            if part.group == wall.name and part.kind in FRAMING and part.stage == wall.stage
        }
        assert names_of(wall) == framing
        assert {piece.name for piece in wall.pieces} == framing
        later = [item for item in items(building) if item.inside_of == wall.name]
        for frame in wall.lightened:
            loads = (frame, *(item.whole for item in later))
            names = {part.name for load in loads for part in load.parts}
            light = {part.name for part in building.parts if part_mass(part).high_kg < LEAST_KG}
            assert framing - light <= names <= framing


def test_a_header_is_also_told_by_itself(honey_house: Building) -> None:
    after = [item for item in items(honey_house) if item.inside_of]
    headers = [item for item in after if item.kind is BuiltUp.HEADER]
    # Every wall has an upper plate.
    assert len({item.inside_of for item in after if item not in headers}) == 4
    # One over each of the scene's openings.
    assert len(headers) == len(honey_house.scene.opening)
    for header in after:
        assert names_of(header) < names_of(of(honey_house, header.inside_of))


def test_a_whole_balances_at_the_weighted_mean_of_its_parts(honey_house: Building) -> None:
    for item in items(honey_house):
        likely = [p.volume_mm3 * p.material.density_kg_m3[1] for p in item.whole.parts]
        middles = np.array([part.centre_mm for part in item.whole.parts])
        expected = np.average(middles, axis=0, weights=likely)
        assert item.whole.centre_mm == pytest.approx(tuple(expected))


@given(st.floats(1, 100), st.floats(1, 100), st.floats(500, 3000), st.floats(500, 3000))
def test_two_blocks_end_to_end(one_kg: float, other_kg: float, one: float, other: float) -> None:
    load = load_of(
        "pole",
        [
            block("near", (one, 90, 40), one_kg),
            block("far", (other, 90, 40), other_kg, at_mm=(0, one, 0)),
        ],
    )
    # Moments about the near end: m1 l1/2 + m2 (l1 + l2/2) = (m1 + m2) x.
    along = (one_kg * one / 2 + other_kg * (one + other / 2)) / (one_kg + other_kg)
    assert load.mass.high_kg == pytest.approx(one_kg + other_kg)
    assert load.size_mm == pytest.approx((one + other, 90, 40))
    assert load.centre_in_box_mm == pytest.approx((along, 45, 20))
    assert load.ends_mm[0] == pytest.approx((20, 0, 45))
    assert load.ends_mm[1] == pytest.approx((20, one + other, 45))


def test_the_box_of_a_sloping_rafter_slopes() -> None:
    parts = [part for part in sample_building().parts if part.kind == Kind.RAFTER]
    rafter = load_of("rafter", parts)
    # 1100 long and of a 2x4 (PS 20), at 3:12.
    assert rafter.size_mm == pytest.approx((1100, DEPTH_4, BREADTH))
    rise = rafter.ends_mm[1][2] - rafter.ends_mm[0][2]
    assert rise == pytest.approx(1100 * 3 / (3**2 + 12**2) ** 0.5)
    assert not rafter.is_upright


@pytest.mark.parametrize("slope_deg", [0, 30, 45])
def test_the_box_keeps_the_sizes_of_a_block(slope_deg: float) -> None:
    load = load_of("block", [block("block", (3000, 184, 38), 10, slope_deg=slope_deg)])
    assert load.size_mm == pytest.approx((3000, 184, 38))
    assert load.top_mm - load.low_mm == pytest.approx(
        3000 * sin(radians(slope_deg)) + 184 * cos(radians(slope_deg))
    )
    # However steep a roof is, a rafter does not stand.
    assert not load.is_upright


def test_a_post_stands(lopsided: Building) -> None:
    posts = [item for item in items(lopsided) if item.handling == Handling.POST]
    assert posts
    for post in posts:
        assert post.whole.is_upright
        assert post.kind is Kind.POST
        tops = [part for part in lopsided.parts if part.name == post.name]
        assert post.whole.size_mm[0] == pytest.approx(tops[0].length_mm)
        assert post.whole.top_mm - post.whole.low_mm == pytest.approx(tops[0].length_mm)


def test_equal_pieces_are_one_thing(lopsided: Building) -> None:
    for item in items(lopsided):
        if len(item.whole.parts) > 1:
            assert item.times == 1
            continue
        equal = [part for part in lopsided.parts if part.name in item.same]
        assert len(equal) == item.times
        assert len({(part.shape, part.kind, part.material) for part in equal}) == 1
        # at one height: a hand's breadth and a half is the finest that a lift tells apart
        lows = [part.vertices_mm[:, 2].min() for part in equal]
        assert max(lows) - min(lows) <= 150


def test_wet_and_dry_pieces_of_one_shape_are_apart() -> None:
    # Two pieces of one shape in one group, one of them twice as heavy.
    building = sample_building()
    twice = [part for part in building.parts if part.kind == Kind.JOIST][:2]
    heavy = block("heavy", (1, 1, 1), 2).material
    assert heavy != twice[0].material
    parts = tuple(
        replace(part, material=heavy) if part is twice[0] else part for part in building.parts
    )
    stages = tuple(
        replace(stage, parts=tuple(part for part in parts if part.stage == stage.number))
        for stage in building.stages
    )
    changed = Building(building.scene, parts, (), stages)
    assert not any({p.name for p in twice} <= set(item.same) for item in items(changed))
    masses_add_up(changed)


def test_people_stand_on_the_deck_once_it_is_there(lopsided: Building) -> None:
    # On skids that stand 5-1/2 in high, 2x6 joists of 5-1/2 in (PS 20) and a 23/32 in deck.
    deck_mm = (5.5 + 5.5 + 23 / 32) * INCH_MM
    for item in items(lopsided):
        # The bay is to the left of the deck: its rafters are raised from the ground.
        inside = 0 < item.whole.centre_mm[0] < 120 * INCH_MM
        if item.kind is BuiltUp.WALL or (item.kind is Kind.RAFTER and inside):
            assert item.floor_mm == pytest.approx(deck_mm), item.name
        if item.kind in (Kind.JOIST, Kind.RIM, Kind.FLOOR_SHEET, Kind.POST, Kind.WALL_SHEET):
            assert item.floor_mm == 0, item.name


def test_roof_sheets_pass_the_lowest_eave(honey_house: Building) -> None:
    sheets = [part for part in honey_house.parts if part.kind == Kind.ROOF_SHEET]
    eave_mm = min(part.vertices_mm[:, 2].min() for part in sheets)
    found = [item for item in items(honey_house) if item.kind is Kind.ROOF_SHEET]
    assert found
    for sheet in found:
        assert sheet.handling == Handling.ROOF_SHEET
        assert sheet.pass_height_mm == pytest.approx(eave_mm)
        assert sheet.floor_mm == 0


def test_loft_sheets_pass_a_joist_from_the_floor_inside(comb_store: Building) -> None:
    def top_mm(kind: Kind) -> float:
        return max(p.vertices_mm[:, 2].max() for p in comb_store.parts if p.kind is kind)

    found = [item for item in items(comb_store) if item.kind is Kind.LOFT_SHEET]
    assert found
    for sheet in found:
        assert sheet.handling == Handling.LOFT_SHEET
        assert sheet.pass_height_mm == pytest.approx(top_mm(Kind.LOFT_JOIST))
        assert sheet.floor_mm == pytest.approx(top_mm(Kind.FLOOR_SHEET))


def test_both_leaves_of_a_double_door_are_apart(honey_house: Building) -> None:
    leaves = {t.name: names_of(t) for t in items(honey_house) if t.kind is BuiltUp.DOOR_LEAF}
    assert "hive doorway left leaf" in leaves
    assert "hive doorway right leaf" in leaves
    for name, parts in leaves.items():
        # The strip that covers the gap hangs on one of them and is named after neither.
        assert all(part.startswith(name) or "astragal" in part for part in parts)


def test_a_beam_is_its_plies(honey_house: Building) -> None:
    plies = Counter(part.group for part in honey_house.parts if part.kind == Kind.BEAM)
    beams = [item for item in items(honey_house) if item.kind is BuiltUp.BEAM]
    assert {beam.name for beam in beams} == set(plies)
    for beam in beams:
        assert beam.handling == Handling.BEAM
        of_it = [
            part
            for part in honey_house.parts
            if part.group == beam.name and part.kind in (Kind.BEAM, Kind.BEAM_SPACER)
        ]
        assert [piece.name for piece in beam.pieces] == [part.name for part in of_it]
        assert beam.whole.mass.high_kg == pytest.approx(sum(map(high_kg, of_it)))


def test_what_goes_onto_a_wall_later_is_known_by_what_it_stands_on() -> None:
    # A wall of 3 m, 2.4 m high: the upper plate touches no stud, and a header is put in later.
    size, tall = (3000, 89, 38), (2324, 89, 38)
    parts = tuple(
        block(name, size, 9, kind=kind, group="wall", at_mm=(89, y, z), slope_deg=slope, flat=True)
        for name, kind, size, y, z, slope in (
            ("plate", Kind.BOTTOM_PLATE, size, 0, 0, 0),
            ("stud", Kind.STUD, tall, 38, 38, 90),
            ("corner", Kind.CORNER_STUD, tall, 3000, 38, 90),
            ("top", Kind.TOP_PLATE, size, 0, 2362, 0),
            ("upper", Kind.TOP_PLATE, size, 0, 2400, 0),
            ("header", Kind.HEADER, (1200, 89, 38), 900, 2100, 0),
        )
    )
    touching = (
        ("plate", "stud"),
        ("plate", "corner"),
        ("stud", "top"),
        ("corner", "top"),
        ("top", "upper"),
        ("stud", "header"),
    )
    joints = tuple(Joint(a, b, "nailed", (0.0, 0.0, 0.0)) for a, b in touching)
    building = Building(Scene.model_construct(), parts, joints, (Stage(1, "wall", parts),))
    wall = of(building, "wall")
    (first,) = wall.lightened
    assert {part.name for part in first.parts} == {"plate", "stud", "corner", "top"}
    after = [item.name for item in items(building) if item.inside_of]
    assert sorted(after) == ["header", "upper"]
    # Its length along its plate and its height up, whichever of its pieces is the longest.
    assert wall.whole.size_mm[0] == pytest.approx(3000)
    assert wall.whole.size_mm[1] == pytest.approx(2438)


def test_a_header_of_plies_is_named_after_its_opening_and_one_of_a_piece_is_itself() -> None:
    names = ("wall door header ply 1", "wall door header ply 2", "wall window header ply 1")
    parts = (
        block("plate", (3000, 89, 38), 9, kind=Kind.BOTTOM_PLATE, group="wall"),
        *(
            block(name, (1200, 140, 38), 9, kind=Kind.HEADER, group="wall", at_mm=(0, 0, 2000))
            for name in names
        ),
    )
    joints = (Joint(names[0], names[1], "nailed", (0.0, 0.0, 0.0)),)
    building = Building(Scene.model_construct(), parts, joints, (Stage(1, "wall", parts),))
    # Only what is of several plies can go up ply by ply.
    headers = {item.name: len(item.pieces) for item in items(building) if item.inside_of}
    assert headers == {"wall door header": 2, "wall window header ply 1": 0}


@pytest.mark.parametrize(
    ("kinds", "why"),
    [
        ((Kind.WRAP,), "comes off a roll"),
        ((Kind.EXISTING,), "stands already"),
        ((Kind.SLAB, Kind.GRAVEL), "is made in its place"),
        ((Kind.STUD,), "is light"),
        ((Kind.STUD, Kind.WRAP), "is light or comes off a roll"),
        ((Kind.STUD, Kind.SLAB), "is light or made in its place"),
    ],
)
def test_a_stage_without_a_lift_has_its_reason(kinds: tuple[Kind, ...], why: str) -> None:
    # 2 kg each: under the 3 kg from which the standard applies.
    parts = tuple(block(kind.value, (900, 40, 40), 2, kind=kind) for kind in kinds)
    scene = Scene.model_construct(catalogue=load_catalogue())
    (found,) = left_out(Building(scene, parts, (), (Stage(1, "bits", parts),)))
    assert (found.stage, found.name, found.why, found.rolls) == (1, "bits", why, ())

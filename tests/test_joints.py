"""Joints: which kinds are fixed to which, and what the sample building's joints are by hand."""

from __future__ import annotations

from collections import Counter
from itertools import combinations_with_replacement

import pytest

from pikepole_model.building.contact import Contact, find_contacts
from pikepole_model.building.joints import RULES, find_joints, fixing
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import Kind
from samples import sample_building


def test_every_two_kinds_have_a_rule() -> None:
    # A new family has to be given its place in the rules: without one this raises.
    for one, other in combinations_with_replacement(Kind, 2):
        assert fixing(one, other) == fixing(other, one)


def test_every_family_is_named_by_a_rule() -> None:
    named = {
        one if isinstance(one, Family) else one.family
        for rule in RULES
        for side in (rule.these, rule.those)
        if len(side) < len(Family)
        for one in side
    }
    assert named == set(Family)


# Common practice, no source.
@pytest.mark.parametrize(
    ("one", "other", "held"),
    [
        (Kind.SKID, Kind.GRAVEL, "bears on"),
        (Kind.FASCIA, Kind.RAFTER, "nailed"),
        (Kind.BARGE, Kind.FASCIA, "nailed"),
        (Kind.UNDERLAYMENT, Kind.ROOF_SHEET, "nailed"),
        (Kind.PANEL, Kind.ROOF_SHEET, "screwed"),
        (Kind.PANEL, Kind.PANEL, "screwed"),
        (Kind.PANEL, Kind.UNDERLAYMENT, None),
        (Kind.RIDGE_CAP, Kind.PANEL, "screwed"),
        (Kind.DRIP_EDGE, Kind.ROOF_SHEET, "nailed"),
        (Kind.HEAD_FLASHING, Kind.WALL_SHEET, "nailed"),
        (Kind.FLASHING_CORNER, Kind.BASE_FLASHING, "stuck"),
        (Kind.FLASHING_CORNER, Kind.WALL_SHEET, None),
        (Kind.HEAD_FLASHING, Kind.CASING, None),
        (Kind.WRAP, Kind.WALL_SHEET, "stapled"),
        (Kind.WRAP, Kind.WRAP, None),
        (Kind.SIDING, Kind.WALL_SHEET, "nailed"),
        (Kind.SIDING, Kind.WRAP, None),
        (Kind.SIDING, Kind.SIDING, None),
        (Kind.SIDING, Kind.CORNER_BOARD, None),
        (Kind.UPRIGHT_BOARD, Kind.JOINT_BOARD, None),
        (Kind.JOINT_BOARD, Kind.WALL_SHEET, "nailed"),
        (Kind.STRIP, Kind.BATTEN, "nailed between the boards"),
        (Kind.UPRIGHT_BOARD, Kind.BATTEN, "nailed between the boards"),
        (Kind.UPRIGHT_BOARD, Kind.CORNER_BOARD, "nailed"),
        (Kind.CORNER_BOARD, Kind.CORNER_BOARD, "nailed"),
        (Kind.BATTEN, Kind.CORNER_BOARD, None),
        (Kind.FRAME_BOARD, Kind.JACK, "nailed"),
        (Kind.FRAME_BOARD, Kind.WALL_SHEET, None),
        (Kind.GLAZING_STOP, Kind.FRAME_BOARD, "nailed"),
        (Kind.PANE, Kind.GLAZING_STOP, "held"),
        (Kind.PANE, Kind.FRAME_BOARD, None),
        (Kind.SILL_MEMBRANE, Kind.SILL, "stuck"),
        (Kind.VENT_SCREEN, Kind.RAFTER_BLOCK, "stapled"),
        (Kind.VENT_SCREEN, Kind.ROOF_SHEET, None),
        (Kind.VENT_MESH, Kind.FRAME_BOARD, "stapled"),
        (Kind.VENT_MESH, Kind.SLAT, None),
        (Kind.WINDOW_UNIT, Kind.PACKER, "screwed"),
        (Kind.WINDOW_UNIT, Kind.CASING, None),
        (Kind.CASING, Kind.SIDING, "nailed"),
        (Kind.CASING, Kind.BATTEN, None),
        (Kind.HINGE, Kind.CASING, "screwed"),
        (Kind.HINGE, Kind.DOOR_SHEET, "screwed"),
        (Kind.STILE, Kind.DOOR_STOP, None),
        (Kind.STILE, Kind.FRAME_BOARD, None),
        (Kind.DOOR_BOARD, Kind.DOOR_BOARD, None),
        (Kind.DOOR_BOARD, Kind.LEDGE, "nailed"),
        (Kind.HANGER, Kind.DOOR_SHEET, "bolted"),
        (Kind.WHEEL, Kind.TRACK, "bears on"),
        (Kind.TRACK, Kind.TRACK_SPACER, "bolted"),
        (Kind.GUIDE, Kind.DOOR_SHEET, None),
        (Kind.SLAB, Kind.GRAVEL, "bears on"),
        (Kind.BOTTOM_PLATE, Kind.SLAB, "bears on"),
        (Kind.ANCHOR_BOLT, Kind.SLAB, "cast in"),
        (Kind.POST_BASE, Kind.FOOTING, "cast in"),
        (Kind.NUT, Kind.WASHER, "bolted"),
        (Kind.WASHER, Kind.BOTTOM_PLATE, "bolted"),
        (Kind.POST, Kind.POST_BASE, "bolted"),
        (Kind.BEAM, Kind.POST, "bolted"),
        (Kind.BEAM, Kind.POST_CAP, "seated"),
        (Kind.RAFTER, Kind.TOP_PLATE, "nailed"),
        (Kind.RAFTER, Kind.BEAM, "nailed"),
        (Kind.HEADER, Kind.HEADER_SPACER, "nailed"),
        (Kind.JOIST, Kind.SKID, "nailed"),
        (Kind.FLOOR_SHEET, Kind.JOIST, "nailed"),
        (Kind.BOTTOM_PLATE, Kind.FLOOR_SHEET, "nailed"),
        (Kind.ROOF_SHEET, Kind.FLY_RAFTER, "nailed"),
        (Kind.WALL_SHEET, Kind.RIM, "nailed"),
        (Kind.WALL_SHEET, Kind.END_RAFTER, "nailed"),
        # Side by side, neither carrying the other.
        (Kind.ROOF_SHEET, Kind.ROOF_SHEET, None),
        (Kind.WALL_SHEET, Kind.FLOOR_SHEET, None),
        (Kind.FLOOR_SHEET, Kind.POST, None),
        (Kind.WALL_SHEET, Kind.RAFTER, None),
        (Kind.WALL_SHEET, Kind.SLAB, None),
        (Kind.STUD, Kind.ANCHOR_BOLT, None),
        (Kind.NUT, Kind.STUD, None),
        (Kind.WALL_SHEET, Kind.GRAVEL, None),
    ],
)
def test_how_two_kinds_are_held(one: Kind, other: Kind, held: str | None) -> None:
    assert fixing(one, other) == held
    assert fixing(other, one) == held


def test_joints_of_the_sample_counted_by_hand() -> None:
    building = sample_building()
    joints = find_joints(building.parts, find_contacts(building.parts))
    # Each of two footings holds a bolt and carries the sill; each bolt holds the sill.
    # Nailed: the sill to the front rim and three joists (4); three joists to both rims (6); the
    # floor sheet to two rims and three joists (5) and the bottom plate to it (1); three studs to
    # both plates (6); the rafter on the top plate (1). The back rim lies beyond the sill.
    assert Counter(joint.fixing for joint in joints) == {
        "cast in": 2,
        "bears on": 2,
        "bolted": 2,
        "nailed": 4 + 6 + 5 + 1 + 6 + 1,
    }
    by_name = {(joint.a, joint.b): joint for joint in joints}
    assert by_name["back wall top plate", "rafter 1"].fixing == "nailed"
    # Middle of the second stud's foot: 600 along; half of 88.9 in from the back at 800; on top of
    # a sill from 100 (38.1), joists (139.7), a sheet (18.25) and a plate (38.1).
    foot = by_name["back wall bottom plate", "back wall stud 2"].at_mm
    assert foot == pytest.approx((600, 800 - 44.45, 100 + 38.1 + 139.7 + 18.25 + 38.1), abs=1e-6)


def test_the_part_of_the_earlier_stage_comes_first() -> None:
    parts = sample_building().parts[::-1]
    stages = {part.name: part.stage for part in parts}
    joints = find_joints(parts, find_contacts(parts))
    assert len(joints) == 29
    assert all(stages[joint.a] <= stages[joint.b] for joint in joints)


def test_a_contact_between_sheets_makes_no_joint() -> None:
    parts = [part for part in sample_building(repeat=2).parts if part.kind is Kind.FLOOR_SHEET]
    assert find_joints(parts, [Contact(0, 1, 3.2, 0.0, 0.0, (0.0, 0.0, 0.0))]) == ()

"""Blocks between studs: nailed in while the wall lies on the floor, and raised with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from measuring import CUT_MM, INCH, of_kind
from pikepole_export.derive.lifting.items import items
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.reading.file import load_scene

# Dressed 2 x 4 (PS 20).
AREA_MM2 = 1.5 * INCH * 3.5 * INCH

FORMS = Path(__file__).parent / "scenes" / "forms"


def z_of(part: Part) -> tuple[float, float]:
    """From and to above the ground, mm."""
    low, high = part.bounds_mm
    return round(low[2], 6), round(high[2], 6)


def test_blocks_go_up_with_the_frame(lopsided: Building) -> None:
    # The front wall's level sheet joint, lowered beside the door's head, has six blocks behind it,
    # between sticks 1-1/2 in thick: the end and 16 in, 16 in and the king at 27, the king at 67 and
    # 80, 80, 96 and 112, 112 and the end at 118-1/2 in.
    long_in = [13.75, 10.25, 12.25, 14.5, 14.5, 5.75]
    (stage,) = (one for one in lopsided.stages if one.name == "Front wall")
    blocks = [p for p in of_kind(lopsided, Kind.WALL_BLOCK) if p.stage == stage.number]
    lengths = sorted(round(part.length_mm / INCH, 3) for part in blocks)
    assert lengths == pytest.approx(sorted(long_in), abs=CUT_MM)
    volume = sum(long_in) * INCH * AREA_MM2
    assert sum(part.volume_mm3 for part in blocks) == pytest.approx(volume, rel=1e-6)
    (wall,) = (item for item in items(lopsided) if item.name == "front wall")
    raised = {part.name for part in wall.whole.parts}
    assert {part.name for part in blocks} <= raised
    without = [part for part in wall.whole.parts if part not in blocks]
    frame = sum(part.volume_mm3 / 1e9 * part.material.density_kg_m3[2] for part in without)
    wood = volume / 1e9 * blocks[0].material.density_kg_m3[2]
    assert wall.whole.mass.high_kg == pytest.approx(frame + wood)


def test_one_row_takes_the_joints_of_both_sides() -> None:
    # The left wall is sheeted and lined, both from the pad up, and higher than a sheet.
    shed = build(load_scene(FORMS / "lambing-shed.toml"))
    blocks = [p for p in of_kind(shed, Kind.WALL_BLOCK) if p.group == "left wall"]
    (low, high), *others = {z_of(part) for part in blocks}
    assert not others
    # It lies across the wall: as high as a stud is thick, as deep as it is.
    assert high - low == pytest.approx(1.5 * INCH)
    assert {round(p.bounds_mm[1][0] - p.bounds_mm[0][0], 3) for p in blocks} == {
        round(3.5 * INCH, 3)
    }
    for kind in (Kind.WALL_SHEET, Kind.LINING):
        sheets = [p for p in of_kind(shed, kind) if p.group.startswith("left wall")]
        # The upper sheets start in its middle.
        (joint,) = {z_of(part)[0] for part in sheets if z_of(part)[0] > low}
        assert joint == pytest.approx((low + high) / 2)
    # Over the joint each leaves a strip that does not bend in the hand: 12 in.
    lining = [p for p in of_kind(shed, Kind.LINING) if p.group.startswith("left wall")]
    tops = [z_of(p)[1] - z_of(p)[0] for p in lining if z_of(p)[0] > low]
    assert min(tops) >= 12 * INCH


def test_blocks_on_a_header_that_ends_just_under_a_joint(boat_rack: Building) -> None:
    # A 2x6 lies flat behind a joint with its middle there; over the doorway it would lie in the 2x8
    # of the header, which ends less than 2-3/4 in under the joint. There two lie on it, one on each
    # side of the cripple stud in its middle, and the upper sheets have 3/4 in of them or more.
    (door,) = boat_rack.scene.opening
    header = [p for p in of_kind(boat_rack, Kind.HEADER) if p.name.startswith(door.name)]
    ((_, top),) = {z_of(part) for part in header}
    on_it = [p for p in of_kind(boat_rack, Kind.WALL_BLOCK) if z_of(p)[0] == pytest.approx(top)]
    assert len(on_it) == 2
    assert {round(z_of(part)[1] - top, 3) for part in on_it} == {round(5.5 * INCH, 3)}
    sheets = [p for p in of_kind(boat_rack, Kind.WALL_SHEET) if p.group.startswith("left wall")]
    joints = {z_of(part)[0] for part in sheets if z_of(part)[0] > top}
    assert all(top + 0.75 * INCH < joint < top + 5.5 * INCH - 0.75 * INCH for joint in joints)

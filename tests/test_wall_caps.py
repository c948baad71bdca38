"""Caps of half walls: how wide, over what, round what, where their lengths meet, with which nails.

Sizes of boards are those of PS 20, dressed: 1x4 and 1x8 are 3/4 in thick, a 2x6 is 1-1/2 x 5-1/2
in, a 4x4 is 3-1/2 in. That a cap passes what it covers by 3/4 in, falls 1 in 12 and drips at kerfs
of 1/8 x 3/16 in is common practice, no source.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from measuring import CUT_MM, INCH, box_of, corners, depths, of_kind
from pikepole_export.derive.buying.fasteners import fasteners
from pikepole_model.build import build
from pikepole_model.building.kind_rows import Family
from pikepole_model.building.kinds import CLADDING, SLATS, Kind, of
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.checks.practice import practice_findings
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.walls import plan_walls
from pikepole_model.reading.file import load_scene
from strategies import scene_of

FORMS = Path(__file__).parent / "scenes" / "forms"
BEHIND = 4.0  # mm from sheets to siding, for wrap and the legs of flashings: `plan/corners`
UNDER = CLADDING | SLATS | of(Family.SHEETS, Family.WRAP) | {Kind.TOP_PLATE}


@pytest.fixture(scope="module")
def shed() -> Building:
    """A front of slats 42 in high, a right wall of sheets 48 in high, wrapped, sided and lined."""
    return build(load_scene(FORMS / "lambing-shed.toml"))


def bare(**front: Any) -> Building:
    """A store of 10 x 8 ft with a half wall of bare sheets in front."""
    kind = {"kind": "sheets", "height": "3 ft", "posts": 3, **front}
    return build(
        scene_of(
            {
                "title": "Half wall",
                "building": {"length": "10 ft", "depth": "8 ft"},
                "foundation": {"kind": "pad"},
                "walls": {"low_height": "7 ft", "front": kind},
                "roof": {"slope": "4:12"},
            }
        )
    )


def from_above(part: Part) -> BaseGeometry:
    """What a part covers, seen from above, mm."""
    points, mesh = corners(part)[:, :2], part.shape.mesh
    faces = [shapely.Polygon(points[face]) for face in np.asarray(mesh.triangles)]
    return shapely.union_all([face for face in faces if face.area > 1e-6])


def test_width_by_hand(shed: Building) -> None:
    right = next(one for one in plan_walls(RoofPlan(Datums(shed.scene))) if one.name == "right")
    caps = [part for part in of_kind(shed, Kind.WALL_CAP) if part.name.startswith("right")]
    # 7/16 in sheets, siding and 3/4 in outside; 3-1/2 in studs, 1/2 in lining and 3/4 in inside:
    # 6.84 in, ripped from a 2x8.
    outer = (0.4375 + 0.75 + 0.75) * INCH + BEHIND
    for cap in caps:
        assert depths(right, cap) == pytest.approx((-4.75 * INCH, outer), abs=CUT_MM)
        assert cap.stock == "2x8"
    # Lining closes it round the middle one of 3 posts, 54 in along the 9 ft wall: joined there.
    near, far = (box_of(cap) for cap in caps)
    assert (near.high[1], far.low[1]) == pytest.approx((54 * INCH, 54 * INCH))
    # 3/4 in past the corner board, 3/4 in thick, on the front wall's posts, past which it runs.
    assert near.low[1] == pytest.approx(-(0.75 + 0.75) * INCH - BEHIND, abs=CUT_MM)


def test_the_end_of_the_higher_of_two_half_walls_is_closed(shed: Building) -> None:
    # The pad is 6 in over the ground: walls of 42 and 48 in end at 48 and 54 in. Over the front
    # wall's slats a corner board lies on its post, and one beside it on the right wall; both from
    # the framing's corner, 14 ft along, out to the face of the right wall's siding and over it.
    corner, siding = 168 * INCH, (168 + 0.4375 + 0.75) * INCH + BEHIND
    boards = [box_of(one) for one in of_kind(shed, Kind.CORNER_BOARD)]
    right = [one for one in boards if one.high[0] > corner and one.low[1] < 6 * INCH]
    heights = {(round(one.low[2] / INCH), round(one.high[2] / INCH)) for one in right}
    assert heights == {(6, 48), (48, 54)}
    front, beside = sorted((one for one in right if one.low[2] > 47 * INCH), key=lambda b: b.low[1])
    assert front.low[0] < corner
    assert front.high[0] == pytest.approx(siding, abs=CUT_MM)
    assert front.high[1] == pytest.approx(-BEHIND, abs=CUT_MM)
    assert beside.low[1] == pytest.approx(-BEHIND, abs=CUT_MM)
    assert beside.high[0] == pytest.approx(siding, abs=CUT_MM)


def test_one_board_where_nothing_closes_it_in(shed: Building) -> None:
    (front,) = (part for part in of_kind(shed, Kind.WALL_CAP) if part.name.startswith("front"))
    # Slid in from outside round 4 posts, to 3/4 in past the corner boards on the walls beside it.
    boards = [box_of(part) for part in of_kind(shed, Kind.CORNER_BOARD)]
    low = [board for board in boards if board.high[2] == pytest.approx(48 * INCH)]
    assert box_of(front).low[0] == pytest.approx(
        min(board.low[0] for board in low) - 0.75 * INCH, abs=CUT_MM
    )


@pytest.mark.parametrize("wall", ["front", "right"])
def test_nothing_under_it_stays_bare(shed: Building, wall: str) -> None:
    caps = of_kind(shed, Kind.WALL_CAP)
    foot = next(box_of(cap).low[2] for cap in caps if cap.name.startswith(wall))
    stand = [
        from_above(part)
        for part in shed.parts
        if box_of(part).low[2] < foot - 1.0 and box_of(part).high[2] > foot + 1.0
    ]
    # Where another wall rises past it, its corner boards stand on those below, and no more than the
    # room for wrap and flashings is between them and the post.
    boards = [
        from_above(part).buffer(BEHIND)
        for part in of_kind(shed, Kind.CORNER_BOARD)
        if abs(box_of(part).low[2] - foot) < 1.0
    ]
    covered = shapely.union_all([*map(from_above, caps), *stand, *boards]).buffer(0.1)
    ends = [
        part
        for part in shed.parts
        if part.kind in UNDER and foot - 1.0 < box_of(part).high[2] < foot + 1.0
    ]
    assert {part.kind for part in ends} >= {Kind.TOP_PLATE}
    for part in ends:
        assert from_above(part).difference(covered).area < 1.0, part.name


def test_volume_by_hand() -> None:
    # 3-1/2 in studs, 7/16 in sheets, 3/4 in past both: 5.4375 in across, and 3/4 in past the
    # sheets, which run from corner to corner of 10 ft of wall, at both ends.
    caps = of_kind(bare(), Kind.WALL_CAP)
    assert [cap.stock for cap in caps] == ["2x6"]
    wide, long, kerf = 5.4375, 120 + 2 * 0.75, 1 / 8 * 3 / 16
    whole = (1.5 * wide - wide**2 / 24 - 2 * kerf) * long
    # 3/4 in inside the posts would split off: notched through to the inside, 4-1/4 in deep, for
    # 3-1/2 in at the middle post, and from both ends past the corner posts.
    notch = 1.5 * 4.25 - 4.25**2 / 24 - kerf
    less = notch * (3.5 + 2 * (3.5 + 0.75))
    assert caps[0].shape.volume_mm3 == pytest.approx((whole - less) * INCH**3, rel=1e-6)


def test_nails(shed: Building) -> None:
    rows = [row for row in fasteners(shed) if row.joint == "wall cap to plate"]
    # Two rows, at most 16 in apart, into each length of plate between posts: in front three of
    # (168 - 3-1/2) / 3 - 3-1/2 = 51.3 in, five in a row, at the right two of (101 - 3-1/2) / 2 -
    # 3-1/2 = 45-1/4 in, four in a row.
    assert {row.fastener for row in rows} == {"10d siding nail"}
    assert sum(row.pieces for row in rows) == 2 * (3 * 5 + 2 * 4)


def test_told_to_have_none() -> None:
    building = bare(cap=False)
    assert not of_kind(building, Kind.WALL_CAP)
    (finding,) = (one for one in practice_findings(building) if one.key == "walls.front.cap")
    assert finding.mend == "give true"
    assert [one.text for one in check(bare())] == []


def test_jambs_close_the_ends_at_a_gap() -> None:
    # A gap of 30 in that begins 66 in from the left; the half wall is lined, sheeted and sided.
    goats = build(
        scene_of(
            {
                "title": "Goat shed",
                "building": {"length": "14 ft", "depth": "9 ft"},
                "foundation": {"kind": "pad"},
                "walls": {
                    "low_height": "7 ft",
                    "front": {
                        "kind": "sheets",
                        "height": "42 in",
                        "posts": 4,
                        "lining": "1/2 plywood",
                    },
                },
                "opening": [
                    {
                        "name": "goat gap",
                        "kind": "door",
                        "wall": "front",
                        "from_left": "66 in",
                        "width": "30 in",
                        "height": "42 in",
                    }
                ],
                "roof": {"slope": "3:12"},
                "wrap": {},
                "cladding": [{"kind": "boards"}],
            }
        )
    )
    assert [finding.text for finding in check(goats)] == []
    jambs = sorted(of_kind(goats, Kind.FRAME_BOARD), key=lambda part: part.bounds_mm)
    ends = [(box_of(part).low[0] / INCH, box_of(part).high[0] / INCH) for part in jambs]
    assert ends == [pytest.approx((66.0, 66.75)), pytest.approx((95.25, 96.0))]
    # As wide as a 2x4 stud, 7/16 OSB, what is behind siding, a 1x8 board, and 1/2 in of lining.
    wide = (3.5 + 7 / 16 + 0.75 + 0.5) * INCH + BEHIND
    for part in jambs:
        low, high = box_of(part).low, box_of(part).high
        assert high[1] - low[1] == pytest.approx(wide, abs=0.01)
        # Up to the cap, from 1/2 in over the floor (common practice, no source).
        assert high[2] - low[2] == pytest.approx(41.5 * INCH, abs=0.01)
    # The cap passes their faces by as much as it passes the wall's, and no sheet spans the gap.
    caps = [box_of(part) for part in of_kind(goats, Kind.WALL_CAP)]
    beside = {round(u / INCH, 3) for cap in caps for u in (cap.low[0], cap.high[0])}
    assert {67.5, 94.5} <= beside
    for part in (*of_kind(goats, Kind.WALL_SHEET), *of_kind(goats, Kind.LINING)):
        if part.group.startswith("front wall"):
            low, high = box_of(part).low[0] / INCH, box_of(part).high[0] / INCH
            assert high < 66.01 or low > 95.99
            assert high - low > 12  # and none beside it is a strip


def test_corner_boards_close_the_ends_of_walls_that_rise_past_a_half_wall(shed: Building) -> None:
    # The left wall's sheets, wrap and siding end at the corner post, over the front of 42 in.
    floor = 6.0 * INCH
    boards = [p for p in of_kind(shed, Kind.CORNER_BOARD) if p.group.startswith("front")]
    (over,) = (
        box
        for part in boards
        if (box := box_of(part)).low[2] > floor + 41 * INCH and box.high[0] < 6 * INCH
    )
    # It lies on the post, but for what is behind a corner board, from over the slats to the eave.
    assert over.high[1] == pytest.approx(-BEHIND, abs=0.01)
    assert over.low[2] == pytest.approx(floor + 42 * INCH, abs=0.01)
    left = [box_of(p) for p in of_kind(shed, Kind.SIDING) if p.group.startswith("left")]
    assert over.high[2] > max(one.high[2] for one in left if one.low[1] < 6 * INCH) - 12 * INCH
    # It covers the left wall's board beside it: out past the face of that.
    beside = [box_of(p) for p in of_kind(shed, Kind.CORNER_BOARD) if p.group.startswith("left")]
    assert over.low[0] <= min(one.low[0] for one in beside) + 0.01
    # All that covers the left wall ends behind it.
    covers = [p for p in shed.parts if p.group.startswith("left wall") and p.kind in UNDER]
    high = [box_of(p) for p in covers if box_of(p).low[2] > over.low[2]]
    assert high
    assert all(one.low[1] > over.high[1] - 0.01 for one in high)

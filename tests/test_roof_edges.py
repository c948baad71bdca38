"""What closes a store up to its roof: blocks between lookouts over its end walls, and at eaves.

Counted on paper, held against the area that has to be closed, and against what is found where a
block is left out.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
import shapely
from shapely import Polygon as Area

from measuring import CUT_MM, INCH, box_of, corners, from_the_end, of_kind, side_edges
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.practice import practice_findings
from roofs import FORMS, form
from strategies import scene_of

Table = dict[str, Any]


def store(**roof: Any) -> Table:
    """12 by 8 ft, 3:12, 12 in of roof past the walls all round, 2x4 lookouts 24 in apart."""
    return {
        "title": "Quince store",
        "building": {"length": "12 ft", "depth": "8 ft"},
        "foundation": {"kind": "skids"},
        "floor": {},
        "roof": {"slope": "3:12", **roof},
    }


# Down the slope everything is longer by 1/cos, 1.031. The lowest lookout's middle lies 1-3/4 in and
# 20 mm, 2.5 in, from the end of the tails, the highest as far and 3/8 in more from an upper edge,
# and 3 in, 1-3/4 in and 3/8 in, 5.1 in, from a ridge: common practice, no source.
@pytest.mark.parametrize(
    ("roof", "blocks"),
    [
        # 12 + 96 + 12 in: 123.7 - 2.5 - 2.9 is 118.3, 5 gaps of up to 24; over both walls.
        ({}, 2 * 5),
        # 12 + 48 in: 61.9 - 2.5 - 5.1 is 54.3, 3 gaps, and what is left under the ridge.
        ({"ridge": {"kind": "board"}}, 2 * 2 * (3 + 1)),
        # 12 + 36 in: 49.5 - 7.6 is 41.9, 2 gaps; 12 + 60 in: 74.2 - 7.6 is 66.6, 3 gaps.
        ({"ridge": {"kind": "beam", "from_front": "3 ft"}}, 2 * (2 + 1) + 2 * (3 + 1)),
        # Without lookouts nothing is open between them.
        ({"rake_overhang": "0 in"}, 0),
    ],
)
def test_blocks_between_lookouts_by_hand(roof: Table, blocks: int) -> None:
    building = build(scene_of(store(**roof)))
    assert len(of_kind(building, Kind.LOOKOUT_BLOCK)) == blocks
    assert practice_findings(building) == ()


@pytest.mark.parametrize(
    "walls",
    [
        # No wall to close: none, one up to 4 ft, and one with air between its boards.
        {"left": {"kind": "open"}, "right": {"kind": "open"}},
        {"left": {"kind": "sheets", "height": "4 ft"}, "right": {"kind": "open"}},
        {"left": {"kind": "slats"}, "right": {"kind": "slats"}},
    ],
)
def test_no_blocks_over_what_is_open(walls: Table) -> None:
    building = build(scene_of(store() | {"walls": walls}))
    assert of_kind(building, Kind.LOOKOUT)
    assert not of_kind(building, Kind.LOOKOUT_BLOCK)
    assert practice_findings(building) == ()


def closed_over_end(building: Building, x: float) -> shapely.Geometry:
    """What stands in the plane of an end wall's outer face over the end rafters, in (y, z), mm."""
    kinds = (Kind.LOOKOUT, Kind.LOOKOUT_BLOCK, Kind.RIDGE_BOARD)
    through = [
        part
        for part in of_kind(building, *kinds)
        if box_of(part).low[0] < x + INCH / 2 < box_of(part).high[0]
    ]
    return shapely.union_all([from_the_end(part) for part in through]).buffer(CUT_MM)


def top_of(end: Part) -> tuple[float, float]:
    """An end rafter's top edge from the end: its rise to the back, and its Z at y = 0, mm."""
    lines: list[tuple[float, float]] = []
    for (ya, za), (yb, zb) in side_edges(end):
        if abs(yb - ya) > 12 * INCH:
            rise = float((zb - za) / (yb - ya))
            lines.append((rise, float(za - rise * ya)))
    middle = (box_of(end).low[1] + box_of(end).high[1]) / 2
    return max(lines, key=lambda line: line[1] + line[0] * middle)


@pytest.mark.parametrize("name", ["monopitch", "ridge board", "saltbox", "gambrel"])
def test_nothing_is_open_over_an_end_rafter(name: str) -> None:
    # Lookouts, 1-1/2 in thick (PS 20), lift the sheets off the end rafters by so much; over the
    # store all of that is closed. These roofs are convex: all of it is under each slope's line.
    building = form(name)
    depth, far = building.scene.building.depth, 10_000.0
    ends = [part for part in of_kind(building, Kind.END_RAFTER) if box_of(part).low[0] < CUT_MM]
    tops = [top_of(end) for end in ends]
    room = Area([(0.0, 0.0), (depth, 0.0), (depth, far), (0.0, far)])
    under = room
    for rise, at_0 in tops:
        up = at_0 + 1.5 * INCH * math.hypot(1.0, rise)
        room = room.intersection(Area([(0, 0), (depth, 0), (depth, up + rise * depth), (0, up)]))
        line = [(depth, at_0 + rise * depth), (0, at_0)]
        under = under.intersection(Area([(0, 0), (depth, 0), *line]))
    room = room.difference(under)
    assert room.area > 1.5 * INCH * depth
    # The ridge board's top is level: less than the 1/4 in of IRC R806.1 is left over it.
    assert room.difference(closed_over_end(building, 0.0)).buffer(-INCH / 8).is_empty


@pytest.mark.parametrize("name", FORMS)
def test_an_end_wall_without_one_of_its_blocks_is_found(name: str) -> None:
    # IRC R806.1: openings wider than 1/4 in are screened.
    building = form(name)
    assert not [one for one in practice_findings(building) if "R806.1" in one.text]
    for block in of_kind(building, Kind.LOOKOUT_BLOCK)[::5]:
        rest = tuple(part for part in building.parts if part is not block)
        held = tuple(one for one in building.joints if block.name not in (one.a, one.b))
        found = [one.text for one in practice_findings(replace(building, parts=rest, joints=held))]
        wall = "left" if box_of(block).low[0] < building.scene.building.length / 2 else "right"
        (own,) = (text for text in found if text.startswith(f"the {wall} wall stays open"))
        # At a corner it opens the other wall too.
        others = [text for text in found if text is not own]
        assert len(others) <= 1
        assert all("wall stays open" in text for text in others)


def test_a_block_weighs_what_its_wood_does() -> None:
    # Ripped from 2x4 to the end rafter's 1-1/2 in (PS 20); between two lookouts a square stick.
    building = build(scene_of(store()))
    slope = math.radians(building.scene.roof.slope)
    for block in of_kind(building, Kind.LOOKOUT_BLOCK):
        assert block.stock == "2x4"
        low, high = box_of(block).low, box_of(block).high
        long = (high[1] - low[1] - 1.5 * INCH * 0.25 * math.cos(slope)) / math.cos(slope)
        assert block.volume_mm3 == pytest.approx(long * (1.5 * INCH) ** 2, rel=1e-6)


# 12 ft with 2x8 rafters 16 in on centre, from end to end: 16, 32 ... 128 and both ends are 10, with
# 9 gaps; the front's and the back's blocks.
GAPS = 9


@pytest.mark.parametrize(("eave", "blocks", "screens"), [("blocks", 2, 0), ("vents", 2, 2)])
@pytest.mark.parametrize("slope", ["3:12", "7:12"])
def test_eaves_between_the_rafters_by_hand(
    eave: str, blocks: int, screens: int, slope: str
) -> None:
    building = build(scene_of(store(eave=eave, slope=slope)))
    assert len(of_kind(building, Kind.RAFTER_BLOCK)) == blocks * GAPS
    assert len(of_kind(building, Kind.VENT_SCREEN)) == screens * GAPS
    assert practice_findings(building) == ()


def gap_under_the_sheets(building: Building, block: Part) -> float:
    """Plumb, from the top of a block's lower face to the roof's plane over it, mm."""
    # These fall to the back. Rafters are whole along their top, which lies in the roof's plane.
    points = corners(block)
    face = float(points[:, 1].max())
    top = float(points[points[:, 1] > face - CUT_MM][:, 2].max())
    (rafter, *_) = of_kind(building, Kind.RAFTER)
    rise = math.tan(math.radians(building.scene.roof.slope))
    return box_of(rafter).high[2] - rise * (face - box_of(rafter).low[1]) - top


@pytest.mark.parametrize(("eave", "inches"), [("blocks", 0.0), ("vents", 1.0)])
def test_vents_leave_an_inch(eave: str, inches: float) -> None:
    # IRC R806.3: 1 in under the sheets at the vent.
    building = build(scene_of(store(eave=eave)))
    for block in of_kind(building, Kind.RAFTER_BLOCK):
        assert gap_under_the_sheets(building, block) == pytest.approx(inches * INCH, abs=0.01)


def test_blocks_stand_flush_outside() -> None:
    # Over the high wall as over the low one, so that what clads them is nailed to their faces:
    # common practice, no source. Screens are behind them, out of sight and of the cladding's way.
    building = build(scene_of(store(eave="vents")))
    depth, thick = building.scene.building.depth, 1.5 * INCH
    faces = [
        (box_of(one).low[1], box_of(one).high[1]) for one in of_kind(building, Kind.RAFTER_BLOCK)
    ]
    expected = [(0.0, thick)] * GAPS + [(depth - thick, depth)] * GAPS
    assert sorted(faces) == [pytest.approx(one, abs=0.01) for one in expected]
    for screen in of_kind(building, Kind.VENT_SCREEN):
        assert box_of(screen).low[1] >= thick - 0.01
        assert box_of(screen).high[1] <= depth - thick + 0.01


def test_a_screen_closes_a_vent() -> None:
    # 3 in of it: over the vent of 1 in and 2 in down the block; its meshes are 1/8 in, and IRC
    # R806.1 asks for 1/16 to 1/4 in. From rafter to rafter, as the blocks are: 16 less 1-1/2 in.
    building = build(scene_of(store(eave="vents")))
    screens = of_kind(building, Kind.VENT_SCREEN)
    assert {round((box_of(one).high[2] - box_of(one).low[2]) / INCH, 3) for one in screens} == {3.0}
    assert max(one.length_mm for one in screens) == pytest.approx(14.5 * INCH)
    gone = screens[3].name
    rest = replace(
        building,
        parts=tuple(part for part in building.parts if part.name != gone),
        joints=tuple(one for one in building.joints if gone not in (one.a, one.b)),
    )
    (finding,) = practice_findings(rest)
    assert "stays open" in finding.text


def test_open_eaves_are_open() -> None:
    building = build(scene_of(store(eave="open")))
    assert not of_kind(building, Kind.RAFTER_BLOCK)
    assert practice_findings(building) == ()


@pytest.mark.parametrize(
    ("roof", "rolls"),
    # IRC R802.8: deeper than five times as thick, nominal. 2x10 is 5 to 1, 2x12 is 6 to 1; with a
    # tie beside it, 4 by 12.
    [
        ({"rafter": "2x10"}, False),
        ({"rafter": "2x12"}, True),
        ({"rafter": "2x12", "ridge": {"kind": "beam", "ply": "2x12"}}, True),
        ({"rafter": "2x12", "ridge": {"kind": "board", "board": "1x14"}}, False),
    ],
)
def test_deep_rafters_are_kept_upright(roof: Table, rolls: bool) -> None:
    wide = {"name": "1x14", "breadth": "3/4 in", "depth": "13-1/4 in", "lengths": ["16 ft"]}
    stock = {"stock": {"lumber": [wide]}}
    left_open = build(scene_of(store(eave="open", **roof) | stock))
    found = [one for one in practice_findings(left_open) if "R802.8" in one.text]
    assert [one.key for one in found] == ["roof.eave"] * rolls
    blocked = build(scene_of(store(**roof) | stock))
    assert not [one for one in practice_findings(blocked) if "R802.8" in one.text]


def test_eaves_of_open_walls_and_bays_have_plain_blocks() -> None:
    # Nothing to close: an open front and a bay, whose blocks only keep the rafters upright.
    table = store(eave="vents") | {"bay": [{"side": "right", "reach": "6 ft"}], "beam": {}}
    table["walls"] = {"front": {"kind": "open"}, "low_height": "8 ft"}
    building = build(scene_of(table))
    screens = of_kind(building, Kind.VENT_SCREEN)
    length, depth = building.scene.building.length, building.scene.building.depth
    assert screens
    for screen in screens:
        assert box_of(screen).high[0] < length
        assert box_of(screen).low[1] > depth / 2


@pytest.mark.parametrize("pitch", [8, 12, 18])
def test_blocks_reach_the_sheets_over_steep_roofs(pitch: int) -> None:
    # Rafters 7-1/4 in deep (2x8, PS 20) have a seat that takes a quarter of that (IRC R802.7.1),
    # and over the plates' outer edge, where the blocks' outer faces are, 3/4 of it / cos plumb.
    ridge = {"kind": "beam", "ply": "2x10"}
    building = build(scene_of(store(ridge=ridge, slope=f"{pitch}:12", rake_overhang="0 in")))
    assert practice_findings(building) == ()
    high = 0.75 * 7.25 / math.cos(math.atan2(pitch, 12))
    depth = building.scene.building.depth
    blocks = [
        block
        for block in of_kind(building, Kind.RAFTER_BLOCK)
        if not depth / 4 < box_of(block).low[1] < depth * 3 / 4
    ]
    # Of 2x8 up to that height, over it of 2x10 (9-1/4 in) or 2x12 (11-1/4 in).
    depths = {"2x8": 7.25, "2x10": 9.25, "2x12": 11.25}
    stock = next(name for name, deep in depths.items() if deep >= high)
    assert {block.stock for block in blocks} == {stock}
    assert len(blocks) == 2 * GAPS


def test_a_block_has_a_tongue_over_a_tie() -> None:
    # A tie of 2x4 lies 3-1/2 in high on the plates, where the blocks of 2x8 come: these are as long
    # as the gap, less the tie's 1-1/2 by 1-1/2 by 3-1/2 in (PS 20).
    ridge = {"kind": "board", "tie": "2x4"}
    with_ties = build(scene_of(store(ridge=ridge, slope="6:12", rake_overhang="0 in")))
    assert practice_findings(with_ties) == ()
    blocks = of_kind(with_ties, Kind.RAFTER_BLOCK)
    assert len(blocks) == 2 * GAPS
    whole = max(block.volume_mm3 / block.length_mm for block in blocks)
    ties = of_kind(with_ties, Kind.TIE)
    lacking = sum(whole * block.length_mm - block.volume_mm3 for block in blocks)
    assert lacking == pytest.approx(2 * len(ties) * (1.5 * 1.5 * 3.5) * INCH**3, rel=1e-6)

"""What closes a store up to its roof: blocks between lookouts over its end walls.

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

from measuring import CUT_MM, INCH, box_of, from_the_end, of_kind, side_edges
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
        (finding,) = practice_findings(replace(building, parts=rest))
        wall = "left" if box_of(block).low[0] < building.scene.building.length / 2 else "right"
        assert finding.text.startswith(f"the {wall} wall stays open")


def test_a_block_weighs_what_its_wood_does() -> None:
    # Ripped from 2x4 to the end rafter's 1-1/2 in (PS 20); between two lookouts a square stick.
    building = build(scene_of(store()))
    slope = math.radians(building.scene.roof.slope)
    for block in of_kind(building, Kind.LOOKOUT_BLOCK):
        assert block.stock == "2x4"
        low, high = box_of(block).low, box_of(block).high
        long = (high[1] - low[1] - 1.5 * INCH * 0.25 * math.cos(slope)) / math.cos(slope)
        assert block.volume_mm3 == pytest.approx(long * (1.5 * INCH) ** 2, rel=1e-6)

"""Wall sheets are nailed to both top plates, also where tails come down over them.

Braced walls hand their force on through the nails at all edges of their sheets: IRC R602.3,
Table R602.3(1), R602.10.8 (from memory).
"""

from __future__ import annotations

import itertools

import pytest
import shapely
from shapely import LineString
from shapely import Polygon as Area

from measuring import CUT_MM, INCH, box_of, of_group, of_kind
from pikepole_model.build import build
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, Part
from pikepole_model.checks.fit import check
from pikepole_model.geometry.shape import Prism
from strategies import scene_of

CLEAR_MM = 3.0  # beside a tail and under it
BREADTH = 1.5  # a rafter, in


def steep(slope: str, low: str, **roof: object) -> Building:
    return build(
        scene_of(
            {
                "title": "Hop store",
                "building": {"length": "12 ft", "depth": "10 ft"},
                "foundation": {"kind": "skids"},
                "floor": {},
                "walls": {"low_height": low},
                "roof": {"slope": slope, "rafter": "2x8", "ridge": {"kind": "beam"}, **roof},
            }
        )
    )


def from_outside(part: Part) -> Area:
    """A sheet of the front wall in X and Z, mm."""
    body = part.shape.body
    assert isinstance(body, Prism)
    outline = body.outline
    assert isinstance(outline, tuple)
    points = [part.placement.point(u, v) for u, v in outline]
    return Area([(x, z) for x, _, z in points])


@pytest.mark.parametrize("low", ["7 ft", "8 ft"])
@pytest.mark.parametrize("slope", ["6:12", "9:12", "12:12", "15:12"])
def test_sheets_lap_both_plates_between_the_tails(slope: str, low: str) -> None:
    building = steep(slope, low)
    assert [finding.text for finding in check(building)] == []
    plates = [p for p in of_kind(building, Kind.TOP_PLATE) if p.group == "front wall"]
    top = max(box_of(part).high[2] for part in plates)
    sheets = shapely.union_all(
        [from_outside(part) for part in of_group(building, "front wall sheathing")]
    )
    rafters = of_kind(building, Kind.RAFTER, Kind.END_RAFTER)
    tails = sorted(
        {round(box_of(part).low[0], 2) for part in rafters if box_of(part).low[1] < -INCH}
    )
    assert len(tails) >= 10
    # In the middle of each plate, 3/4 and 2-1/4 in down: nails 3/8 in from the edge find both.
    for down in (0.75, 2.25):
        z = top - down * INCH
        line = LineString([(0.0, z), (144 * INCH, z)])
        nailed = shapely.intersection(sheets, line)
        for left, right in itertools.pairwise(tails):
            room = right - left - BREADTH * INCH - 2 * CLEAR_MM
            # Less a gap of 1/8 in where a joint is, or what is left beside one at a tail.
            between = LineString([(left, z), (right, z)]).intersection(nailed)
            if room > 4 * INCH:
                assert between.length >= room - 2.1 * INCH - CUT_MM


def test_a_level_joint_leaves_no_strip() -> None:
    # 2x4 plates over 8 ft of wall and 5-3/4 in of rim: over a sheet of 96 in 5 to 9 in would be
    # left, a strip. Common practice, no source: 12 in or more, of which the sheet below gives some.
    courses: list[int] = []
    for low in ("7 ft 6 in", "8 ft 2 in", "9 ft"):
        building = steep("3:12", low)
        over = [from_outside(part).bounds for part in of_group(building, "front wall sheathing")]
        assert all(v1 - v0 >= 12 * INCH - CUT_MM for _, v0, _, v1 in over)
        courses.append(len({round(v0) for _, v0, _, _ in over}))
    assert max(courses) == 2


def test_a_sheet_stops_at_the_plates_under_no_tail() -> None:
    # Without an overhang nothing comes down over the wall: no notch.
    building = steep("12:12", "7 ft", eave_overhang="0 in")
    for part in of_group(building, "front wall sheathing"):
        assert len(from_outside(part).exterior.coords) == 5
